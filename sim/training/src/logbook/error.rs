//! What can go wrong with a logbook, in words.

use super::schema::NEWEST;
use crate::reading::AttemptError;
use rusqlite::ErrorCode;
use std::path::{Path, PathBuf};

/// Why a logbook could not do what was asked. What failed has changed nothing.
#[derive(Debug)]
pub struct LogbookError {
    /// The file: the logbook, or what it was exchanged with.
    pub path: PathBuf,
    /// What was being done, for example "adding".
    pub doing: &'static str,
    /// The cause.
    pub cause: LogbookCause,
}

/// The cause of a [`LogbookError`].
#[derive(Debug)]
pub enum LogbookCause {
    /// The database refused.
    Database(rusqlite::Error),
    /// The system refused.
    System(std::io::Error),
    /// There is no such file.
    Missing,
    /// A file is there already.
    InTheWay,
    /// Too short to be a database, and not empty.
    Stump,
    /// A database, but none of ours.
    NotALogbook,
    /// Written by a newer program: the version of its tables.
    Newer(i64),
    /// A step to the newest version failed.
    Step(String),
    /// A name that no pupil can have, and why.
    Name(String, &'static str),
    /// Nobody of this name; who there is.
    NoPupil(String, Vec<String>),
    /// Somebody else has this name.
    Taken(String),
    /// No attempt begins with this.
    NoAttempt(String),
    /// More than one attempt begins with this.
    Several(String),
    /// Of this attempt only the figures are here.
    OnlyFigures(String),
    /// What is stored is not what was added, and why.
    Damaged(String, String),
    /// What was to be added is no attempt.
    Attempt(AttemptError),
    /// A figure that cannot be kept.
    Figure(String, &'static str),
    /// What was to be imported is not in order: where, and why.
    Import(String, String),
}

impl LogbookError {
    pub(super) fn new(path: &Path, doing: &'static str, cause: LogbookCause) -> LogbookError {
        LogbookError {
            path: path.to_path_buf(),
            doing,
            cause,
        }
    }

    /// The cause in words, without the file.
    pub(super) fn why(&self) -> String {
        self.cause.to_string()
    }

    pub(super) fn database(path: &Path, doing: &'static str) -> impl Fn(rusqlite::Error) -> LogbookError {
        let path = path.to_path_buf();
        move |e| LogbookError::new(&path, doing, LogbookCause::Database(e))
    }

    pub(super) fn system(path: &Path, doing: &'static str) -> impl Fn(std::io::Error) -> LogbookError {
        let path = path.to_path_buf();
        move |e| {
            let cause = match e.kind() {
                std::io::ErrorKind::AlreadyExists => LogbookCause::InTheWay,
                _ => LogbookCause::System(e),
            };
            LogbookError::new(&path, doing, cause)
        }
    }
}

/// What the database says, as a person needs it.
fn words(e: &rusqlite::Error) -> String {
    let what = match e.sqlite_error_code() {
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => {
            "another program is writing it and did not finish in time; try again when it has"
        }
        Some(ErrorCode::DiskFull) => "the disk is full, or the logbook has reached the largest size it may have",
        Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => "it, or the folder it lies in, may only be read",
        Some(ErrorCode::CannotOpen) => {
            "it cannot be opened or its folder cannot be written: a folder is missing, or you may not write there"
        }
        Some(ErrorCode::NotADatabase) => "it is no logbook: not a database at all, or its beginning is damaged",
        Some(ErrorCode::DatabaseCorrupt) => {
            "it is damaged (torn off, or overwritten); nothing was changed; put back a backup of it"
        }
        Some(ErrorCode::SystemIoFailure) => "the disk refused to read or write",
        _ => return e.to_string(),
    };
    format!("{what} ({e})")
}

impl core::fmt::Display for LogbookError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}: {} failed: {}", self.path.display(), self.doing, self.cause)
    }
}

impl core::fmt::Display for LogbookCause {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            LogbookCause::Database(e) => f.write_str(&words(e)),
            LogbookCause::System(e) => write!(f, "{e}"),
            LogbookCause::Missing => f.write_str("there is no such file"),
            LogbookCause::InTheWay => f.write_str("a file of that name is there already; choose another name"),
            LogbookCause::Stump => {
                f.write_str("it is no logbook, or torn off near its beginning; put back a backup of it")
            }
            LogbookCause::NotALogbook => f.write_str("it is a database, but no logbook of toeline"),
            LogbookCause::Newer(found) => write!(
                f,
                "it was written by a newer toeline: its tables are version {found}, this program knows versions up to \
                 {NEWEST}; nothing was changed"
            ),
            LogbookCause::Step(why) => f.write_str(why),
            LogbookCause::Name(name, why) => write!(f, "\"{}\" cannot name a pupil: {why}", name.escape_debug()),
            LogbookCause::NoPupil(name, others) if others.is_empty() => {
                write!(f, "no pupil \"{name}\": the logbook has no pupils yet")
            }
            LogbookCause::NoPupil(name, others) => {
                write!(f, "no pupil \"{name}\"; the nearest names are: {}", others.join(", "))
            }
            LogbookCause::Taken(name) => write!(f, "there is a pupil \"{name}\" already; nothing was changed"),
            LogbookCause::NoAttempt(id) => {
                write!(f, "no attempt begins with \"{id}\"; `toeline logbook list` tells them")
            }
            LogbookCause::Several(id) => write!(f, "more than one attempt begins with \"{id}\"; give more of it"),
            LogbookCause::OnlyFigures(id) => write!(
                f,
                "attempt {id} came from a table of figures (CSV): the drive itself is not in this logbook"
            ),
            LogbookCause::Damaged(id, why) => write!(f, "attempt {id} is damaged: {why}"),
            LogbookCause::Attempt(e) => write!(f, "{e}"),
            LogbookCause::Figure(key, why) => write!(f, "figure \"{}\" cannot be kept: {why}", key.escape_debug()),
            LogbookCause::Import(place, why) => write!(f, "{place}: {why}; nothing was imported"),
        }
    }
}

impl std::error::Error for LogbookError {}
