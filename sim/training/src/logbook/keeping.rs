//! Keeping the logbook: a backup while it is in use, and a check of all that is in it. Also how a new file is written.

use super::error::{LogbookCause, LogbookError};
use super::{Logbook, exchange};
use crate::attempt::Attempt;
use rusqlite::Connection;
use rusqlite::backup::Backup;
use serde::Serialize;
use std::ffi::OsString;
use std::fs::{self, File, OpenOptions};
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// What a check found.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Checked {
    /// Attempts in the list.
    pub attempts: u64,
    /// Attempts of them whose drive is here and could be read whole.
    pub whole: u64,
    /// Attempts of which only the figures are here (from a table of figures).
    pub figures_only: u64,
    /// Everything that is wrong, in words; empty when the logbook is sound.
    pub problems: Vec<String>,
}

/// A name beside a file for what is not whole yet.
fn beside(path: &Path) -> PathBuf {
    let mut name = OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(format!(".{}.part", std::process::id()));
    path.with_file_name(name)
}

fn put_in_place(part: &Path, path: &Path) -> std::io::Result<()> {
    File::open(part)?.sync_all()?;
    if path.exists() {
        return Err(std::io::ErrorKind::AlreadyExists.into());
    }
    fs::rename(part, path)?;
    let folder = path.parent().filter(|f| !f.as_os_str().is_empty());
    // Not every system lets a folder be opened; there the new name is left to it.
    if let Ok(folder) = File::open(folder.unwrap_or(Path::new("."))) {
        let _ = folder.sync_all();
    }
    Ok(())
}

/// Makes a new file whole or not at all; one that is there already is left alone.
fn make_new(
    path: &Path,
    doing: &'static str,
    make: impl FnOnce(&Path) -> Result<(), LogbookError>,
) -> Result<(), LogbookError> {
    if path.exists() {
        return Err(LogbookError::new(path, doing, LogbookCause::InTheWay));
    }
    let part = beside(path);
    let made = make(&part).and_then(|()| put_in_place(&part, path).map_err(LogbookError::system(path, doing)));
    if made.is_err() {
        // The cause that is told is the first one.
        let _ = fs::remove_file(&part);
    }
    made
}

/// Writes a new file whole or not at all.
pub(super) fn write_new(
    path: &Path,
    doing: &'static str,
    write: impl FnOnce(&mut dyn Write) -> Result<(), LogbookError>,
) -> Result<(), LogbookError> {
    make_new(path, doing, |part| {
        let system = LogbookError::system(path, doing);
        let file = OpenOptions::new().write(true).create(true).truncate(true).open(part);
        let mut out = BufWriter::new(file.map_err(&system)?);
        write(&mut out)?;
        out.flush().map_err(&system)
    })
}

fn integrity(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut list: Vec<String> = connection
        .prepare("PRAGMA integrity_check")?
        .query_map([], |r| r.get(0))?
        .collect::<Result<_, _>>()?;
    list.retain(|line| line != "ok");
    let lost: Vec<String> = connection
        .prepare("PRAGMA foreign_key_check")?
        .query_map([], |r| r.get(0))?
        .collect::<Result<_, _>>()?;
    list.extend(
        lost.into_iter()
            .map(|table| format!("a row of {table} belongs to nothing")),
    );
    Ok(list)
}

impl Logbook {
    /// Copies the logbook as it is at one moment into a new file, while it may be in use. The copy is checked before it
    /// gets its name.
    ///
    /// # Errors
    /// The file and the cause; a file that is there already is left alone.
    pub fn backup(&self, to: &Path) -> Result<(), LogbookError> {
        const DOING: &str = "backing up";
        make_new(to, DOING, |part| {
            let failed = LogbookError::database(to, DOING);
            let mut copy = Connection::open(part).map_err(&failed)?;
            // All pages in one step: no other program's change falls between two of them.
            Backup::new(&self.connection, &mut copy)
                .and_then(|b| b.run_to_completion(i32::MAX, Duration::from_millis(50), None))
                .map_err(&failed)?;
            let problems = integrity(&copy).map_err(&failed)?;
            if let Some(first) = problems.first() {
                let cause = LogbookCause::Damaged("(the whole file)".to_string(), first.clone());
                return Err(LogbookError::new(&self.path, DOING, cause));
            }
            copy.close().map_err(|(_, e)| failed(e))
        })
    }

    /// Looks whether the file is sound and every drive in it is what was added.
    ///
    /// # Errors
    /// The file and the cause, when it cannot be looked at. What is wrong in it is no error but the answer.
    pub fn check(&self) -> Result<Checked, LogbookError> {
        let failed = LogbookError::database(&self.path, "checking");
        let mut found = Checked {
            problems: integrity(&self.connection).map_err(&failed)?,
            ..Checked::default()
        };
        let view = self.connection.unchecked_transaction().map_err(&failed)?;
        for (entry, _) in exchange::all_entries(&view).map_err(&failed)? {
            found.attempts += 1;
            match self.drive_text(&entry) {
                Ok(None) => found.figures_only += 1,
                Ok(Some(text)) => match Attempt::from_json(&text) {
                    Ok(_) => found.whole += 1,
                    Err(e) => found.problems.push(format!("attempt {}: {e}", entry.id)),
                },
                Err(e) => found.problems.push(e.why()),
            }
        }
        Ok(found)
    }
}
