//! Attempts as files. Saving never leaves a half-written file in the place of a good one.

pub mod journal;

use crate::attempt::Attempt;
use crate::reading::AttemptError;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Largest file that is read, bytes: far above a day's driving.
const MOST_BYTES: u64 = 512 * 1024 * 1024;

/// Why a file could not be saved or loaded.
#[derive(Debug)]
pub struct StoreError {
    /// The file.
    pub path: PathBuf,
    /// What was being done, for example "writing".
    pub doing: &'static str,
    /// The cause.
    pub cause: StoreCause,
}

/// The cause of a [`StoreError`].
#[derive(Debug)]
pub enum StoreCause {
    /// The system refused.
    System(io::Error),
    /// Larger than is read, bytes.
    TooLarge(u64),
    /// The path has no file name.
    NoName,
    /// Another program is writing it.
    InUse,
    /// The content is not an attempt.
    Content(AttemptError),
}

impl core::fmt::Display for StoreError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}: {} failed: ", self.path.display(), self.doing)?;
        match &self.cause {
            StoreCause::System(e) => write!(f, "{e}"),
            StoreCause::TooLarge(bytes) => write!(f, "it has {bytes} bytes; at most {MOST_BYTES} are read"),
            StoreCause::NoName => write!(f, "the path names no file"),
            StoreCause::InUse => write!(f, "another window is still writing it"),
            StoreCause::Content(e) => write!(f, "{e}"),
        }
    }
}

impl std::error::Error for StoreError {}

pub(crate) fn failed(path: &Path, doing: &'static str) -> impl Fn(io::Error) -> StoreError {
    let path = path.to_path_buf();
    move |e| StoreError {
        path: path.clone(),
        doing,
        cause: StoreCause::System(e),
    }
}

pub(crate) fn wrong(path: &Path, doing: &'static str, cause: StoreCause) -> StoreError {
    StoreError {
        path: path.to_path_buf(),
        doing,
        cause,
    }
}

/// Saves an attempt: written beside its place, flushed to the disk, then renamed into place, so that after a crash there
/// is either the old file or the whole new one.
///
/// # Errors
/// The file and the cause.
pub fn save(path: &Path, attempt: &Attempt) -> Result<(), StoreError> {
    let text = attempt
        .to_json()
        .map_err(|e| wrong(path, "writing", StoreCause::Content(e)))?;
    let name = path
        .file_name()
        .ok_or_else(|| wrong(path, "writing", StoreCause::NoName))?;
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut beside_name = std::ffi::OsString::from(".");
    beside_name.push(name);
    beside_name.push(format!(".{}.part", std::process::id()));
    let beside = folder.join(beside_name);
    let written =
        write_whole(&beside, &text).and_then(|()| fs::rename(&beside, path).map_err(failed(path, "renaming")));
    if written.is_err() {
        // The cause that is reported is the first one; a leftover that cannot be removed either does no harm.
        let _ = fs::remove_file(&beside);
        return written;
    }
    // The new name itself must reach the disk too. Not every system lets a folder be opened; there it is left to it.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}

fn write_whole(path: &Path, text: &str) -> Result<(), StoreError> {
    let mut file = OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(true)
        .open(path)
        .map_err(failed(path, "creating"))?;
    file.write_all(text.as_bytes()).map_err(failed(path, "writing"))?;
    file.sync_all().map_err(failed(path, "flushing"))
}

/// Loads an attempt.
///
/// # Errors
/// The file and the cause.
pub fn load(path: &Path) -> Result<Attempt, StoreError> {
    let size = fs::metadata(path).map_err(failed(path, "reading"))?.len();
    if size > MOST_BYTES {
        return Err(wrong(path, "reading", StoreCause::TooLarge(size)));
    }
    let text = fs::read_to_string(path).map_err(failed(path, "reading"))?;
    Attempt::from_json(&text).map_err(|e| wrong(path, "reading", StoreCause::Content(e)))
}
