//! The logbook when the power goes. What a program asks of the disk is written down (`power/disk_log.c`, loaded before its C
//! library), and from that is built what may lie on the disk at any moment: what was flushed, and of what was not each
//! sector, each change of a length and each name by chance there or not. Each such disk must open as a sound logbook that
//! holds every attempt reported before.

use crate::logbook_killed::{holds, reported, writer};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The smallest piece that a disk writes whole, bytes.
const SECTOR: usize = 512;

/// Attempts that are added while the disk is watched.
const MANY: u64 = 3;

enum What {
    Created,
    Written(usize, Vec<u8>),
    Cut(usize),
    Flushed,
    Removed,
}

struct Step {
    path: String,
    what: What,
}

fn read_log(log: &[u8]) -> Vec<Step> {
    let mut rest = log;
    let mut take = |n: usize| {
        let (part, after) = rest.split_at(n);
        rest = after;
        part.to_vec()
    };
    let mut steps = Vec::new();
    let mut left = log.len();
    while left > 0 {
        let kind = take(1)[0];
        let named = u32::from_ne_bytes(take(4).try_into().expect("4")) as usize;
        let path = String::from_utf8(take(named)).expect("text");
        let at = u64::from_ne_bytes(take(8).try_into().expect("8")) as usize;
        let length = u64::from_ne_bytes(take(8).try_into().expect("8")) as usize;
        let data = take(length);
        left -= 21 + named + length;
        let what = match kind {
            b'c' => What::Created,
            b'w' => What::Written(at, data),
            b't' => What::Cut(at),
            b'f' => What::Flushed,
            b'u' => What::Removed,
            other => panic!("operation {other}"),
        };
        steps.push(Step { path, what });
    }
    steps
}

/// A change of one file that was not flushed yet.
#[derive(Clone)]
enum Change {
    Write(usize, Vec<u8>),
    Cut(usize),
}

fn apply(content: &mut Vec<u8>, at: usize, data: &[u8]) {
    if content.len() < at + data.len() {
        content.resize(at + data.len(), 0);
    }
    content[at..at + data.len()].copy_from_slice(data);
}

#[derive(Clone, Default)]
struct Kept {
    flushed: Vec<u8>,
    pending: Vec<Change>,
}

/// A disk: files apart from their names, because a name and a content reach it apart.
#[derive(Clone, Default)]
struct Disk {
    files: Vec<Kept>,
    names: BTreeMap<String, usize>,
    flushed_names: BTreeMap<String, usize>,
    pending_names: Vec<(String, Option<usize>)>,
}

impl Disk {
    fn step(&mut self, folder: &str, step: &Step) {
        if step.path == folder {
            if matches!(step.what, What::Flushed) {
                self.flushed_names = self.names.clone();
                self.pending_names.clear();
            }
            return;
        }
        match &step.what {
            What::Created => {
                self.files.push(Kept::default());
                let file = self.files.len() - 1;
                self.names.insert(step.path.clone(), file);
                self.pending_names.push((step.path.clone(), Some(file)));
            }
            What::Removed => {
                self.names.remove(&step.path);
                self.pending_names.push((step.path.clone(), None));
            }
            What::Written(at, data) => self.file(step).pending.push(Change::Write(*at, data.clone())),
            What::Cut(length) => self.file(step).pending.push(Change::Cut(*length)),
            What::Flushed => {
                let file = self.file(step);
                for change in std::mem::take(&mut file.pending) {
                    match change {
                        Change::Write(at, data) => apply(&mut file.flushed, at, &data),
                        Change::Cut(length) => file.flushed.resize(length, 0),
                    }
                }
            }
        }
    }

    fn file(&mut self, step: &Step) -> &mut Kept {
        &mut self.files[self.names[&step.path]]
    }

    /// What lies there after the power went; `keeps` decides about each thing that was not flushed.
    fn after(&self, mut keeps: impl FnMut() -> bool) -> BTreeMap<String, Vec<u8>> {
        let mut names = self.flushed_names.clone();
        for (name, file) in &self.pending_names {
            if keeps() {
                match file {
                    Some(file) => names.insert(name.clone(), *file),
                    None => names.remove(name),
                };
            }
        }
        let mut content = |file: &Kept| {
            let mut bytes = file.flushed.clone();
            for change in &file.pending {
                match change {
                    Change::Cut(length) if keeps() => bytes.resize(*length, 0),
                    Change::Cut(_) => {}
                    Change::Write(at, data) => {
                        let mut from = 0;
                        while from < data.len() {
                            let to = data.len().min((at + from) / SECTOR * SECTOR + SECTOR - at);
                            if keeps() {
                                apply(&mut bytes, at + from, &data[from..to]);
                            }
                            from = to;
                        }
                    }
                }
            }
            bytes
        };
        names
            .into_iter()
            .map(|(name, file)| (name, content(&self.files[file])))
            .collect()
    }
}

/// A seeded source of chance (SplitMix64).
fn chance(seed: u64) -> impl FnMut() -> u64 {
    let mut state = seed;
    move || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
}

/// The layer, built; `None` where there is no C compiler.
fn layer(folder: &Path) -> Option<PathBuf> {
    let library = folder.join("disk_log.so");
    let source = toeline_tests::root().join("tests/attempts/power/disk_log.c");
    let built = Command::new("cc")
        .args(["-shared", "-fPIC", "-O1", "-o"])
        .args([&library, &source])
        .arg("-ldl")
        .status();
    built.is_ok_and(|s| s.success()).then_some(library)
}

#[cfg(all(target_os = "linux", target_env = "gnu"))]
#[test]
fn when_the_power_goes_all_that_was_reported_is_there() {
    let folder = tempfile::tempdir().expect("a folder");
    let Some(library) = layer(folder.path()) else {
        println!("skipped: loss of power: no C compiler to build the layer with");
        return;
    };
    let disk = folder.path().join("disk");
    fs::create_dir(&disk).expect("a folder");
    let (book, report, log) = (disk.join("a.sqlite"), disk.join("a.txt"), folder.path().join("log"));
    let mut child = writer(&book, &report, 0, MANY)
        .env("LD_PRELOAD", &library)
        .env("DISK_LOG_FOLDER", &disk)
        .env("DISK_LOG_FILE", &log)
        .spawn()
        .expect("starts");
    assert!(child.wait().expect("ends").success());
    let all = reported(&report);
    assert_eq!(all.len() as u64, MANY);

    let steps = read_log(&fs::read(&log).expect("a log"));
    let flushes = steps.iter().filter(|s| matches!(s.what, What::Flushed)).count();
    assert!(
        flushes as u64 >= MANY * 3,
        "{flushes} flushes were seen: the layer does not see the disk"
    );
    let (folder_name, report_name) = (disk.display().to_string(), report.display().to_string());
    let again = folder.path().join("again");
    let (mut disk, mut told, mut disks) = (Disk::default(), String::new(), 0);
    for (n, step) in steps.iter().enumerate() {
        if step.path == report_name {
            // What was reported is known to whoever read it, whatever becomes of this file.
            if let What::Written(_, data) = &step.what {
                told += std::str::from_utf8(data).expect("text");
            }
            continue;
        }
        disk.step(&folder_name, step);
        let reported: BTreeSet<String> = told.lines().map(str::to_string).collect();
        let mut random = chance(n as u64);
        // Nothing that was not flushed, all of it, and by chance.
        for how in 0..3 {
            let lies = disk.after(|| match how {
                0 => false,
                1 => true,
                _ => random().is_multiple_of(2),
            });
            let _ = fs::remove_dir_all(&again);
            fs::create_dir(&again).expect("a folder");
            for (name, bytes) in &lies {
                let name = Path::new(name).file_name().expect("a name");
                fs::write(again.join(name), bytes).expect("writes");
            }
            disks += 1;
            let left = again.join("a.sqlite");
            if left.exists() {
                holds(&left, &reported);
            } else {
                assert!(reported.is_empty(), "step {n}: the whole logbook is gone");
            }
        }
    }
    println!(
        "{disks} disks from {} steps with {flushes} flushes, each sound and whole",
        steps.len()
    );
}
