//! The tables, by version. A version that has gone out is never changed: what is new is a further step.

use super::error::{LogbookCause, LogbookError};
use rusqlite::{Connection, TransactionBehavior};
use rusqlite_migration::{M, Migrations};
use std::path::Path;

/// Says in the file's head that it is one of ours: "toel" in ASCII.
pub const APPLICATION_ID: i64 = 0x746f_656c;

/// Version 1: pupils, what is known of each attempt, the attempt itself, and its figures.
///
/// The attempt itself has a table of its own, so that listing reads short rows only.
const FIRST: &str = "
PRAGMA application_id = 1953457516;
CREATE TABLE pupils (
    pupil INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE
) STRICT;
CREATE TABLE attempts (
    attempt INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    pupil INTEGER NOT NULL REFERENCES pupils ON DELETE CASCADE,
    when_unix_s INTEGER NOT NULL,
    field TEXT,
    aircraft TEXT NOT NULL,
    exercise TEXT,
    plan TEXT,
    physics_version INTEGER NOT NULL,
    duration_s REAL NOT NULL
) STRICT;
CREATE INDEX attempts_of_pupil ON attempts (pupil, when_unix_s);
CREATE TABLE drives (
    attempt INTEGER PRIMARY KEY REFERENCES attempts ON DELETE CASCADE,
    bytes INTEGER NOT NULL,
    packed BLOB NOT NULL
) STRICT;
CREATE TABLE figures (
    attempt INTEGER NOT NULL REFERENCES attempts ON DELETE CASCADE,
    key TEXT NOT NULL,
    value REAL NOT NULL,
    PRIMARY KEY (attempt, key)
) STRICT, WITHOUT ROWID;
";

/// Version 2: a figure says by whose reference it is read, and the list of everybody is quick too. The figures of version
/// 1 were all read off the record itself, which is our own way of counting.
const SECOND: &str = "
ALTER TABLE figures ADD COLUMN reference TEXT NOT NULL DEFAULT 'ours';
ALTER TABLE figures ADD COLUMN source TEXT NOT NULL DEFAULT '';
CREATE INDEX attempts_by_time ON attempts (when_unix_s);
";

const STEPS: &[M<'static>] = &[M::up(FIRST), M::up(SECOND)];

/// Version of the tables that this program reads and writes.
pub const NEWEST: i64 = STEPS.len() as i64;

fn number(connection: &Connection, pragma: &str) -> rusqlite::Result<i64> {
    connection.pragma_query_value(None, pragma, |row| row.get(0))
}

/// Version of the tables in a file; 0 for one that is still empty.
///
/// # Errors
/// When it is no logbook, or one of a newer version.
fn version(connection: &Connection, path: &Path) -> Result<i64, LogbookError> {
    let failed = LogbookError::database(path, "opening");
    let found = number(connection, "user_version").map_err(&failed)?;
    let ours = number(connection, "application_id").map_err(&failed)? == APPLICATION_ID;
    if !ours {
        let tables: i64 = connection
            .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
            .map_err(&failed)?;
        if tables > 0 || found != 0 {
            return Err(LogbookError::new(path, "opening", LogbookCause::NotALogbook));
        }
    }
    if found > NEWEST {
        return Err(LogbookError::new(path, "opening", LogbookCause::Newer(found)));
    }
    Ok(found)
}

/// Brings the tables to the newest version; each step whole or not at all.
///
/// # Errors
/// When it is no logbook, or one of a newer version, or cannot be written.
pub(super) fn bring_up(connection: &mut Connection, path: &Path) -> Result<(), LogbookError> {
    connection.set_transaction_behavior(TransactionBehavior::Immediate);
    let mut before = version(connection, path)?;
    while before < NEWEST {
        let step = Migrations::from_slice(STEPS).to_version(connection, before as usize + 1);
        let after = version(connection, path)?;
        // Another program may have taken the same step in between; then ours fails and theirs counts.
        if after == before {
            return Err(match step {
                Err(rusqlite_migration::Error::RusqliteError { err, .. }) => {
                    LogbookError::database(path, "bringing its tables to this version")(err)
                }
                other => LogbookError::new(
                    path,
                    "bringing its tables to this version",
                    LogbookCause::Step(format!("{other:?}")),
                ),
            });
        }
        before = after;
    }
    Ok(())
}
