//! The logbook when a program dies in the middle of adding, and when two add at once.

use crate::logbook::{about, everything, new_id, short};
use std::collections::BTreeSet;
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use toeline_training::logbook::Logbook;

/// Set in a child that adds attempts: the logbook, the file that it reports to, the first number and how many.
const CHILD: &str = "TOELINE_TEST_LOGBOOK_WRITER";

/// Not a test of its own: the child of the others. Adds attempts and reports each when it has been added.
#[test]
fn the_child_that_adds() {
    let Ok(what) = std::env::var(CHILD) else { return };
    let parts: Vec<&str> = what.split('\n').collect();
    let (first, count): (u64, u64) = (parts[2].parse().expect("a number"), parts[3].parse().expect("a number"));
    let mut book = Logbook::open(Path::new(parts[0])).expect("opens");
    let mut report = OpenOptions::new()
        .create(true)
        .append(true)
        .open(parts[1])
        .expect("opens");
    for n in first..first + count {
        let added = book
            .add(&short(n), &about(&format!("pupil {}", n % 3), "2026-07-04"))
            .expect("adds");
        report
            .write_all(format!("{}\n", new_id(added)).as_bytes())
            .expect("reports");
    }
}

/// A child that will add `count` attempts.
pub(crate) fn writer(book: &Path, report: &Path, first: u64, count: u64) -> Command {
    let mut child = Command::new(std::env::current_exe().expect("this program"));
    child
        .args(["--exact", "logbook_killed::the_child_that_adds"])
        .env(
            CHILD,
            format!("{}\n{}\n{first}\n{count}", book.display(), report.display()),
        )
        .stdout(Stdio::null());
    child
}

/// The names that a report holds whole.
pub(crate) fn reported(report: &Path) -> BTreeSet<String> {
    let text = fs::read_to_string(report).unwrap_or_default();
    let whole = text.rfind('\n').map_or("", |end| &text[..end]);
    whole.lines().map(str::to_string).collect()
}

/// Waits until a report holds so many names.
fn wait_for(report: &Path, child: &mut Child, names: usize) {
    while reported(report).len() < names {
        assert!(
            child.try_wait().expect("a child").is_none(),
            "the child ended before its time"
        );
        std::thread::sleep(Duration::from_millis(1));
    }
}

/// A logbook that was left in the middle is sound and holds all that was reported, and at most one attempt more.
pub(crate) fn holds(book: &Path, reported: &BTreeSet<String>) {
    let book = Logbook::open_existing(book).expect("opens");
    let checked = book.check().expect("looks");
    assert!(checked.problems.is_empty(), "{:?}", checked.problems);
    assert_eq!(checked.whole, checked.attempts);
    let held: BTreeSet<String> = book
        .list(&everything())
        .expect("lists")
        .into_iter()
        .map(|e| e.id)
        .collect();
    assert!(
        held.is_superset(reported),
        "lost: {:?}",
        reported.difference(&held).collect::<Vec<_>>()
    );
    assert!(
        held.len() <= reported.len() + 1,
        "{} held, {} reported",
        held.len(),
        reported.len()
    );
}

fn killed_while_adding(folder: &Path, n: u64) -> usize {
    let (book, report) = (folder.join(format!("{n}.sqlite")), folder.join(format!("{n}.txt")));
    let mut child = writer(&book, &report, 0, 1_000_000).spawn().expect("starts");
    wait_for(&report, &mut child, 1 + (n % 4) as usize);
    // Anywhere in the next additions: 0 to 20 ms, spread by the golden ratio.
    std::thread::sleep(Duration::from_micros(n * 12_361 % 20_000));
    // SIGKILL: no handler, no flush.
    child.kill().expect("killed");
    child.wait().expect("gone");
    let told = reported(&report);
    holds(&book, &told);
    told.len()
}

#[test]
fn killed_at_any_moment_it_holds_all_that_was_reported() {
    let folder = tempfile::tempdir().expect("a folder");
    let told: usize = (1..=20).map(|n| killed_while_adding(folder.path(), n)).sum();
    assert!(told >= 20, "{told}");
    println!("20 killed, {told} attempts reported and there");
}

#[test]
#[ignore = "the long run: minutes"]
fn killed_five_hundred_times() {
    let folder = tempfile::tempdir().expect("a folder");
    let told: usize = (1..=500).map(|n| killed_while_adding(folder.path(), n)).sum();
    println!("500 killed, {told} attempts reported and there");
}

/// The journal that lies beside a logbook while it is written.
fn journal_of(book: &Path) -> PathBuf {
    let mut name = book.as_os_str().to_owned();
    name.push("-journal");
    name.into()
}

/// Sends a signal by its name and, for a stop, waits until the process stands still.
#[cfg(target_os = "linux")]
fn signal(child: &Child, name: &str) {
    let pid = child.id().to_string();
    let sent = Command::new("kill")
        .args([&format!("-{name}"), &pid])
        .status()
        .expect("sends");
    assert!(sent.success());
    if name != "STOP" {
        return;
    }
    loop {
        let stat = fs::read_to_string(format!("/proc/{pid}/stat")).expect("there");
        let state = stat.rsplit(") ").next().and_then(|s| s.chars().next());
        if state == Some('T') {
            // Every thread of it, not the first one only.
            let all = fs::read_dir(format!("/proc/{pid}/task")).expect("there").all(|task| {
                let path = task.expect("a thread").path().join("stat");
                let stat = fs::read_to_string(path).unwrap_or_default();
                stat.rsplit(") ").next().is_none_or(|s| s.starts_with('T'))
            });
            if all {
                return;
            }
        }
        std::thread::yield_now();
    }
}

#[cfg(target_os = "linux")]
#[test]
fn what_lies_on_the_disk_at_any_moment_opens_and_holds_all_that_was_reported() {
    let folder = tempfile::tempdir().expect("a folder");
    let (book, report) = (folder.path().join("a.sqlite"), folder.path().join("a.txt"));
    let mut child = writer(&book, &report, 0, 1_000_000).spawn().expect("starts");
    wait_for(&report, &mut child, 1);
    let mut in_the_middle = 0;
    for n in 1..=40_u64 {
        std::thread::sleep(Duration::from_micros(n * 12_361 % 20_000));
        // It stands still while the files are copied: a file system stops for no program, but shows one moment.
        signal(&child, "STOP");
        let copy = folder.path().join(format!("copy-{n}.sqlite"));
        fs::copy(&book, &copy).expect("copies");
        if journal_of(&book).exists() {
            in_the_middle += 1;
            fs::copy(journal_of(&book), journal_of(&copy)).expect("copies");
        }
        let told = reported(&report);
        signal(&child, "CONT");
        holds(&copy, &told);
    }
    child.kill().expect("killed");
    child.wait().expect("gone");
    println!("40 copies, {in_the_middle} of them with a journal in the middle of a change");
    assert!(in_the_middle > 0, "no copy caught it at work");
}

#[test]
fn two_programs_that_begin_and_add_at_once_both_succeed() {
    let folder = tempfile::tempdir().expect("a folder");
    for round in 0..5 {
        let book = folder.path().join(format!("{round}.sqlite"));
        let reports = [0, 1].map(|n| folder.path().join(format!("{round}-{n}.txt")));
        let children = [0, 1].map(|n| writer(&book, &reports[n], 1000 * n as u64, 12).spawn().expect("starts"));
        for mut child in children {
            assert!(child.wait().expect("ends").success());
        }
        let told: BTreeSet<String> = reports.iter().flat_map(|r| reported(r)).collect();
        assert_eq!(told.len(), 24);
        holds(&book, &told);
    }
}
