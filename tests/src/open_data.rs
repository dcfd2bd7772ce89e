//! Where the open airfield data lies, for the tests of every crate.

use std::path::PathBuf;

/// A file of the open airfield data, whose folder is named by `TOELINE_OPEN_DATA`. Without that folder it prints a line
/// that begins with "skipped: " and gives `None`; the test then has nothing to check.
#[allow(clippy::print_stdout)]
pub fn open_data(file: &str) -> Option<PathBuf> {
    let Some(folder) = std::env::var_os("TOELINE_OPEN_DATA") else {
        println!("skipped: TOELINE_OPEN_DATA does not name the open airfield data, so {file} is not there");
        return None;
    };
    let path = PathBuf::from(folder).join(file);
    if path.exists() {
        return Some(path);
    }
    println!("skipped: {} is not there", path.display());
    None
}
