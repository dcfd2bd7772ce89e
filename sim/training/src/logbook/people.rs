//! Pupils: found, renamed, forgotten.

use super::Logbook;
use super::entry::{Pupil, When, name};
use super::error::{LogbookCause, LogbookError};
use rusqlite::{Connection, OptionalExtension};
use std::path::Path;

/// The pupil's row; a new one where there was none, and whether there was none.
pub(super) fn found_or_new(all: &Connection, name: &str) -> rusqlite::Result<(i64, bool)> {
    let made = all
        .prepare("INSERT OR IGNORE INTO pupils (name) VALUES (?1)")?
        .execute([name])?;
    let row = all
        .prepare("SELECT pupil FROM pupils WHERE name = ?1")?
        .query_row([name], |r| r.get(0))?;
    Ok((row, made > 0))
}

/// The pupil's row.
///
/// # Errors
/// With the names that come nearest when there is no such pupil.
pub(super) fn found(all: &Connection, path: &Path, doing: &'static str, typed: &str) -> Result<i64, LogbookError> {
    let failed = LogbookError::database(path, doing);
    let row = all
        .query_row("SELECT pupil FROM pupils WHERE name = ?1", [typed.trim()], |r| r.get(0))
        .optional()
        .map_err(&failed)?;
    if let Some(row) = row {
        return Ok(row);
    }
    let mut names: Vec<(i64, String)> = all
        .prepare("SELECT name FROM pupils")
        .and_then(|mut q| {
            q.query_map([], |r| r.get::<_, String>(0))?
                .collect::<Result<Vec<_>, _>>()
        })
        .map_err(&failed)?
        .into_iter()
        .map(|n| ((strsim::jaro_winkler(typed, &n) * 1000.0).round() as i64, n))
        .collect();
    names.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let near = names.into_iter().take(5).map(|n| n.1).collect();
    Err(LogbookError::new(
        path,
        doing,
        LogbookCause::NoPupil(typed.trim().to_string(), near),
    ))
}

impl Logbook {
    /// Everybody, by name.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn pupils(&self) -> Result<Vec<Pupil>, LogbookError> {
        let pupil = |r: &rusqlite::Row<'_>| {
            Ok(Pupil {
                name: r.get(0)?,
                attempts: r.get::<_, i64>(1)?.unsigned_abs(),
                driven_s: r.get(2)?,
                last: r.get::<_, Option<i64>>(3)?.map(When::at),
            })
        };
        self.connection
            .prepare(
                "SELECT p.name, count(a.attempt), total(a.duration_s), max(a.when_unix_s)
                 FROM pupils p LEFT JOIN attempts a ON a.pupil = p.pupil GROUP BY p.pupil ORDER BY p.name",
            )
            .and_then(|mut q| q.query_map([], pupil)?.collect())
            .map_err(LogbookError::database(&self.path, "reading"))
    }

    /// Gives a pupil another name.
    ///
    /// # Errors
    /// The file and the cause; among them that somebody has this name.
    pub fn rename(&mut self, old: &str, new: &str) -> Result<(), LogbookError> {
        const DOING: &str = "renaming";
        self.change(DOING, |all, path| {
            let failed = LogbookError::database(path, DOING);
            let row = found(all, path, DOING, old)?;
            let new =
                name(new).map_err(|why| LogbookError::new(path, DOING, LogbookCause::Name(new.to_string(), why)))?;
            let other: Option<i64> = all
                .query_row("SELECT pupil FROM pupils WHERE name = ?1", [&new], |r| r.get(0))
                .optional()
                .map_err(&failed)?;
            if other.is_some_and(|o| o != row) {
                return Err(LogbookError::new(path, DOING, LogbookCause::Taken(new)));
            }
            all.execute("UPDATE pupils SET name = ?1 WHERE pupil = ?2", (&new, row))
                .map_err(&failed)?;
            Ok(())
        })
    }

    /// Removes a pupil with everything of his, and overwrites the place where it was in the file. Gives the number of
    /// attempts that went.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn forget(&mut self, pupil: &str) -> Result<u64, LogbookError> {
        const DOING: &str = "forgetting";
        self.change(DOING, |all, path| {
            let failed = LogbookError::database(path, DOING);
            let row = found(all, path, DOING, pupil)?;
            let attempts: i64 = all
                .query_row("SELECT count(*) FROM attempts WHERE pupil = ?1", [row], |r| r.get(0))
                .map_err(&failed)?;
            all.execute("DELETE FROM pupils WHERE pupil = ?1", [row])
                .map_err(&failed)?;
            Ok(attempts.unsigned_abs())
        })
    }
}
