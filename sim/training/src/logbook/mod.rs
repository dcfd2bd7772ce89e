//! The logbook: pupils and their attempts in one file, an SQLite database on this machine. `docs/logbook.md` says what is
//! in it and what is promised.
//!
//! Every change is one transaction: it is there whole or not at all, and when a function returns `Ok` it is on the disk. A
//! function that fails has changed nothing. Nothing leaves the machine.

mod adding;
mod asking;
mod entry;
mod error;
mod exchange;
mod figures_csv;
mod keeping;
mod packed;
mod people;
mod schema;

pub use adding::Added;
pub use asking::Wanted;
pub use entry::{About, Entry, Figure, LATEST_UNIX_S, Pupil, Reference, When, figures_of, name};
pub use error::{LogbookCause, LogbookError};
pub use exchange::Imported;
pub use keeping::Checked;
pub use schema::{APPLICATION_ID, NEWEST};

use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How long one program waits while another writes, unless told otherwise.
const BUSY: Duration = Duration::from_secs(10);

/// Name of the file in this system's folder for a program's data.
const USUAL_NAME: &str = "logbook.sqlite";

/// Where the logbook lies when no other file is named: this system's folder for a program's data. `None` where the system
/// names no such folder.
pub fn usual_place() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "toeline").map(|d| d.data_dir().join(USUAL_NAME))
}

/// The least size of a database that is not empty, bytes: one page of the smallest kind.
const SHORTEST: u64 = 512;

/// The journal that SQLite keeps beside a database while it is written.
fn journal(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push("-journal");
    name.into()
}

/// An open logbook.
#[derive(Debug)]
pub struct Logbook {
    connection: Connection,
    path: PathBuf,
}

impl Logbook {
    /// Opens a logbook, or begins one where there is no such file. The folder must be there. Older tables are brought to
    /// the newest version.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn open(path: &Path) -> Result<Logbook, LogbookError> {
        Logbook::with(path, OpenFlags::SQLITE_OPEN_CREATE)
    }

    /// Opens a logbook, or begins one; its folder is made where it is not there.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn begin(path: &Path) -> Result<Logbook, LogbookError> {
        if let Some(folder) = path.parent().filter(|f| !f.as_os_str().is_empty()) {
            std::fs::create_dir_all(folder)
                .map_err(|e| LogbookError::new(folder, "making the folder", LogbookCause::System(e)))?;
        }
        Logbook::open(path)
    }

    /// Opens a logbook that is there already.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn open_existing(path: &Path) -> Result<Logbook, LogbookError> {
        if !path.exists() {
            return Err(LogbookError::new(path, "opening", LogbookCause::Missing));
        }
        Logbook::with(path, OpenFlags::empty())
    }

    fn with(path: &Path, flags: OpenFlags) -> Result<Logbook, LogbookError> {
        let failed = LogbookError::database(path, "opening");
        let flags = flags | OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        // SQLite takes the stump of a torn file for an empty one and would begin anew in it.
        let stump = std::fs::metadata(path).is_ok_and(|m| m.is_file() && (1..SHORTEST).contains(&m.len()));
        if stump && !journal(path).exists() {
            return Err(LogbookError::new(path, "opening", LogbookCause::Stump));
        }
        let mut connection = Connection::open_with_flags(path, flags).map_err(&failed)?;
        connection.busy_timeout(BUSY).map_err(&failed)?;
        // A rollback journal, SQLite's default: one plain file while nobody writes, on any disk. EXTRA is FULL and, beyond it,
        // flushes the folder after the journal is removed: else a journal that comes back with the power undoes the last change.
        connection
            .execute_batch(
                "PRAGMA synchronous = EXTRA; PRAGMA foreign_keys = ON; PRAGMA secure_delete = ON; PRAGMA trusted_schema = OFF;",
            )
            .map_err(&failed)?;
        schema::bring_up(&mut connection, path)?;
        Ok(Logbook {
            connection,
            path: path.to_path_buf(),
        })
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Sets the largest size that the file may grow to through this connection, bytes. What would go beyond is refused as
    /// on a full disk.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn limit_size(&self, bytes: u64) -> Result<(), LogbookError> {
        let failed = LogbookError::database(&self.path, "limiting");
        let page: i64 = self
            .connection
            .pragma_query_value(None, "page_size", |row| row.get(0))
            .map_err(&failed)?;
        let pages = i64::try_from(bytes).unwrap_or(i64::MAX) / page.max(1);
        self.connection
            .pragma_update_and_check(None, "max_page_count", pages.max(1), |_| Ok(()))
            .map_err(&failed)
    }

    /// Sets how long this connection waits while another program writes; 10 s unless set.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn wait_at_most(&self, time: Duration) -> Result<(), LogbookError> {
        let failed = LogbookError::database(&self.path, "setting the time to wait");
        self.connection.busy_timeout(time).map_err(failed)
    }

    /// Does something whole or not at all.
    fn change<T>(
        &mut self,
        doing: &'static str,
        work: impl FnOnce(&Transaction<'_>, &Path) -> Result<T, LogbookError>,
    ) -> Result<T, LogbookError> {
        let failed = LogbookError::database(&self.path, doing);
        // Immediate: the right to write is waited for at the beginning, where nothing can be lost by waiting.
        let all = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(&failed)?;
        let result = work(&all, &self.path)?;
        all.commit().map_err(&failed)?;
        Ok(result)
    }
}
