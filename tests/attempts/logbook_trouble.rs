//! What goes wrong around a logbook: each says what, and nothing is lost.

use crate::help::driven;
use crate::logbook::{about, everything, short, three};
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;
use toeline_training::logbook::Logbook;

/// Set in a child that may only read: the logbook.
const CHILD: &str = "TOELINE_TEST_LOGBOOK_READER";

#[test]
fn a_full_disk_is_said_and_nothing_is_lost() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.sqlite");
    let (mut book, _) = three(&path);
    let (list, size) = (
        book.list(&everything()).expect("lists"),
        fs::metadata(&path).expect("there").len(),
    );
    book.limit_size(size).expect("limits");
    let more = toeline_training::Attempt {
        job: Some(
            serde_json::json!({ "more": "x".repeat(64), "list": (0..20_000).map(|n| n * 7919 % 10_007).collect::<Vec<u32>>() }),
        ),
        ..driven()
    };
    let e = book
        .add(&more, &about("New", "2026-07-05"))
        .expect_err("full")
        .to_string();
    assert!(e.contains("a.sqlite") && e.contains("the disk is full"), "{e}");
    assert_eq!(book.list(&everything()).expect("lists"), list);
    assert_eq!(book.pupils().expect("lists").len(), 2, "nor is half of it there");
    assert!(book.check().expect("looks").problems.is_empty());
    book.limit_size(u64::MAX >> 1).expect("room again");
    book.add(&more, &about("New", "2026-07-05")).expect("adds");
}

#[test]
fn a_torn_file_is_said_and_never_taken_for_a_whole_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.sqlite");
    drop(three(&path));
    let whole = fs::read(&path).expect("reads");
    let torn = folder.path().join("torn.sqlite");
    for length in (1..whole.len())
        .step_by(3000)
        .chain([99, 100, 511, 512, 4096, whole.len() - 4096, whole.len() - 1])
    {
        fs::write(&torn, &whole[..length]).expect("writes");
        let said = match Logbook::open_existing(&torn) {
            Err(e) => e.to_string(),
            Ok(book) => match book.check() {
                Err(e) => e.to_string(),
                Ok(found) => found.problems.join("; "),
            },
        };
        assert!(
            !said.is_empty(),
            "cut to {length} of {} bytes and called sound",
            whole.len()
        );
        assert_eq!(fs::read(&torn).expect("reads").len(), length, "left as it was");
    }
}

#[test]
fn a_sector_of_other_bytes_is_found_or_does_no_harm() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.sqlite");
    let (book, ids) = three(&path);
    let list = book.list(&everything()).expect("lists");
    drop(book);
    let whole = fs::read(&path).expect("reads");
    let spoilt = folder.path().join("spoilt.sqlite");
    let mut found = 0;
    let mut harmless = 0;
    for sector in 0..whole.len() / 512 {
        let mut bytes = whole.clone();
        for (i, byte) in bytes[sector * 512..(sector + 1) * 512].iter_mut().enumerate() {
            *byte = byte.wrapping_add((i as u8).wrapping_mul(37) | 1);
        }
        fs::write(&spoilt, &bytes).expect("writes");
        let checked = Logbook::open_existing(&spoilt).and_then(|book| {
            let checked = book.check()?;
            Ok((book, checked))
        });
        match checked {
            Ok((book, checked)) if checked.problems.is_empty() => {
                // Called sound: then what is in it is what was put in. Text of a list row has no check of its own.
                assert_eq!(checked.whole, 3, "sector {sector}");
                assert_eq!(book.attempt(&ids[0]).expect("whole"), driven(), "sector {sector}");
                assert_eq!(book.list(&everything()).expect("lists").len(), list.len());
                harmless += 1;
            }
            _ => found += 1,
        }
    }
    println!(
        "{found} of {} spoilt sectors found, {harmless} without harm to a drive",
        found + harmless
    );
    assert!(found > 0);
}

#[test]
fn who_waits_too_long_is_told_and_may_try_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.sqlite");
    let (mut book, _) = three(&path);
    let other = rusqlite::Connection::open(&path).expect("opens");
    other.execute_batch("BEGIN EXCLUSIVE").expect("another program writes");
    book.wait_at_most(Duration::from_millis(50)).expect("sets");
    let e = book
        .add(&short(4), &about("Ann", "2026-07-05"))
        .expect_err("busy")
        .to_string();
    assert!(e.contains("a.sqlite") && e.contains("another program"), "{e}");
    other.execute_batch("COMMIT").expect("done");
    book.add(&short(4), &about("Ann", "2026-07-05")).expect("adds");
    // One that comes while the other is at work waits and gets its turn.
    book.wait_at_most(Duration::from_secs(60)).expect("sets");
    other.execute_batch("BEGIN EXCLUSIVE").expect("another program writes");
    std::thread::scope(|scope| {
        let waits = scope.spawn(|| {
            book.add(&short(5), &about("Ann", "2026-07-05"))
                .map(|_| book.list(&everything()))
        });
        std::thread::sleep(Duration::from_millis(200));
        other.execute_batch("COMMIT").expect("done");
        let list = waits.join().expect("no panic").expect("adds").expect("lists");
        assert_eq!(list.len(), 5);
    });
}

/// Not a test of its own: the child of the next one. Tells what a user without the right to write can do.
#[test]
fn the_child_that_may_only_read() {
    let Ok(path) = std::env::var(CHILD) else { return };
    match Logbook::open_existing(Path::new(&path)) {
        Err(e) => println!("open: {e}"),
        Ok(mut book) => {
            println!(
                "list: {}",
                book.list(&everything())
                    .map_or_else(|e| e.to_string(), |l| l.len().to_string())
            );
            match book.add(&short(8), &about("Ann", "2026-07-05")) {
                Ok(_) => println!("add: done"),
                Err(e) => println!("add: {e}"),
            }
        }
    }
    let beside = Path::new(&path).with_file_name("new.sqlite");
    match Logbook::open(&beside) {
        Ok(_) => println!("begin: done"),
        Err(e) => println!("begin: {e}"),
    }
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_only_be_read_is_said_and_can_be_read() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt};
    use std::os::unix::process::CommandExt;
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.sqlite");
    drop(three(&path));
    let before = fs::read(&path).expect("reads");
    let mode = |path: &Path, mode: u32| fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("set");
    let root = fs::metadata(folder.path()).expect("there").uid() == 0;
    for file in [0o444, 0o666] {
        mode(&path, file);
        mode(folder.path(), 0o555);
        let mut child = Command::new(std::env::current_exe().expect("this program"));
        child
            .args([
                "--exact",
                "logbook_trouble::the_child_that_may_only_read",
                "--nocapture",
            ])
            .env(CHILD, &path)
            .current_dir("/")
            .stdin(Stdio::null());
        if root {
            // No folder is read-only to this user; the child is one with no rights ("nobody").
            child.uid(65534).gid(65534);
        }
        let ran = child.output();
        mode(folder.path(), 0o755);
        let Ok(ran) = ran else {
            println!("skipped: a read-only folder: the test program cannot be run as another user here");
            return;
        };
        let out = String::from_utf8_lossy(&ran.stdout).into_owned();
        assert!(out.contains("list: 3"), "{out}{}", String::from_utf8_lossy(&ran.stderr));
        let add = out.lines().find(|l| l.contains("add: ")).expect("told");
        assert!(
            add.contains("a.sqlite") && add.contains("the folder it lies in, may only be read"),
            "{out}"
        );
        let begin = out.lines().find(|l| l.contains("begin: ")).expect("told");
        assert!(
            begin.contains("new.sqlite") && begin.contains("its folder cannot be written"),
            "{out}"
        );
        assert_eq!(fs::read(&path).expect("reads"), before);
    }
}
