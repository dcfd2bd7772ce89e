//! Runs the program in a folder of its own.

use std::path::{Path, PathBuf};
use std::process::Command;

pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

pub(crate) fn demo() -> String {
    toeline_tests::root()
        .join("maps/quillmere.geojson")
        .display()
        .to_string()
}

/// Runs `toeline` with arguments in `folder`; paths of this machine are replaced in what it says.
pub(crate) fn toeline_in(folder: &Path, args: &[&str]) -> Ran {
    let output = Command::new(env!("CARGO_BIN_EXE_toeline"))
        .args(args)
        .current_dir(folder)
        .env("COLUMNS", "100")
        .output()
        .expect("the program starts");
    let clean = |bytes: &[u8]| {
        String::from_utf8(bytes.to_vec())
            .expect("UTF-8")
            .replace(&demo(), "FIELD")
            .replace(&folder.display().to_string(), "FOLDER")
    };
    Ran {
        code: output.status.code().expect("an exit code"),
        out: clean(&output.stdout),
        err: clean(&output.stderr),
    }
}

pub(crate) fn toeline(args: &[&str]) -> Ran {
    let folder = tempfile::tempdir().expect("a folder");
    toeline_in(folder.path(), args)
}

/// The demo journey of README.md with some options replaced or added.
pub(crate) fn journey(command: &str, changes: &[(&str, &str)]) -> Vec<String> {
    let mut options: Vec<(String, String)> = [
        ("--aircraft", "trainer-high-2"),
        ("--from", "4"),
        ("--via", "E"),
        ("--to", "26"),
        ("--wind", "240/12T"),
        ("--date", "2026-07-04"),
    ]
    .iter()
    .map(|(k, v)| (k.to_string(), v.to_string()))
    .collect();
    let mut field = demo();
    for (key, value) in changes {
        if *key == "FIELD" {
            field = value.to_string();
        } else if let Some(o) = options.iter_mut().find(|o| o.0 == *key) {
            o.1 = value.to_string();
        } else {
            options.push((key.to_string(), value.to_string()));
        }
    }
    let mut args = vec![command.to_string(), field];
    args.extend(
        options
            .into_iter()
            .filter(|o| o.1 != "ABSENT")
            .flat_map(|(k, v)| [k, v]),
    );
    args
}

pub(crate) fn run(args: &[String]) -> Ran {
    toeline(&args.iter().map(String::as_str).collect::<Vec<_>>())
}

pub(crate) fn write(folder: &Path, name: &str, text: impl AsRef<[u8]>) -> PathBuf {
    let path = folder.join(name);
    std::fs::write(&path, text).expect("written");
    path
}
