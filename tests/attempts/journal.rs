//! The journal of a drive: what is left when the program dies in the middle of it.

use crate::help::{aeroplane, air, driven, dry, start};
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;
use toeline_dynamics::{Controls, Params, step};
use toeline_training::journal::{Journal, PART_EVERY_TICKS, recover};
use toeline_training::{Attempt, Environment, Recorder};

/// Set in the child that records until it is killed: the file of its journal.
const CHILD: &str = "TOELINE_TEST_JOURNAL";

fn controls(tick: u64) -> Controls {
    Controls {
        throttle: 0.4,
        rudder: if tick % 480 < 240 { 0.3 } else { -0.3 },
        ..Controls::default()
    }
}

/// Drives and records `ticks` ticks, a part to the journal every quarter second; `each` sees every tick.
fn record(path: &Path, ticks: u64, mut each: impl FnMut(u64)) -> (Journal, Recorder) {
    let aircraft = aeroplane();
    let params = Params::from_aircraft(&aircraft);
    let (ground, air) = (dry(), air());
    let mut state = start(&aircraft);
    let environment = Environment {
        ground,
        air,
        ..Environment::default()
    };
    let mut recorder = Recorder::new(&aircraft, environment, &state, None);
    let journal = Journal::begin(path, &recorder.beginning()).expect("a new file");
    for tick in 0..ticks {
        let held = controls(tick);
        state = step(&params, &ground, &air, &state, &held);
        recorder.push(&held, &state).expect("the next tick");
        if (tick + 1) % PART_EVERY_TICKS == 0 {
            journal.add(recorder.part().expect("ticks since the last"));
        }
        each(tick);
    }
    (journal, recorder)
}

#[test]
fn a_journal_holds_the_attempt_and_replays_to_the_same_bits() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("drive.journal");
    let (journal, recorder) = record(&path, 1320, |_| {});
    let busy = recover(&path).expect_err("still being written").to_string();
    assert!(busy.contains("another window"), "{busy}");
    assert_eq!(journal.close(), None);
    let found = recover(&path).expect("whole");
    assert_eq!(found.torn_bytes, 0);
    assert_eq!(
        found.attempt,
        recorder.finish(),
        "22 parts of 60 ticks: the same as the recording"
    );
    found.attempt.replay().expect("replays");
    // A second journal never takes the place of the first.
    let again = Journal::begin(&path, &found.attempt).expect_err("there already");
    assert!(again.to_string().contains("drive.journal"), "{again}");
}

#[test]
fn cut_anywhere_it_gives_back_every_part_that_was_whole() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("drive.journal");
    record(&path, 600, |_| {}).0.close();
    let whole = std::fs::read(&path).expect("reads");
    let ends: Vec<usize> = (0..whole.len()).filter(|i| whole[*i] == b'\n').map(|i| i + 1).collect();
    assert_eq!(ends.len(), 11, "the beginning and ten parts");
    let cut = folder.path().join("cut.journal");
    for length in (0..whole.len())
        .step_by(97)
        .chain(ends.iter().flat_map(|e| [e - 1, *e]))
    {
        std::fs::write(&cut, &whole[..length]).expect("writes");
        let lines = ends.iter().filter(|e| **e <= length).count() as u64;
        match recover(&cut) {
            Ok(found) => {
                assert_eq!(found.attempt.inputs.ticks(), (lines - 1) * PART_EVERY_TICKS);
                let kept = ends[lines as usize - 1];
                assert_eq!(found.torn_bytes, (length - kept) as u64);
                found.attempt.replay().expect("replays");
            }
            Err(e) => assert!(lines == 0 && e.to_string().contains("cut.journal"), "{length}: {e}"),
        }
    }
    // A changed byte in the third part: the two before it are kept, it and the rest are not.
    let mut spoilt = whole.clone();
    spoilt[ends[2] + 200] ^= 1;
    std::fs::write(&cut, &spoilt).expect("writes");
    let found = recover(&cut).expect("the beginning is sound");
    assert_eq!(found.attempt.inputs.ticks(), 2 * PART_EVERY_TICKS);
    assert_eq!(found.torn_bytes, (whole.len() - ends[2]) as u64);
}

#[test]
fn a_journal_that_is_none_is_refused_by_name() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("other.txt");
    for text in ["", "nothing of the kind\n", "0000000000000000 {}\n"] {
        std::fs::write(&path, text).expect("writes");
        let e = recover(&path).expect_err("no journal").to_string();
        assert!(e.contains("other.txt") && e.contains("first line"), "{e}");
    }
    let Attempt { inputs, .. } = driven();
    let mut twice = inputs.clone();
    twice.append(&inputs);
    assert_eq!(twice.ticks(), 2 * inputs.ticks());
    assert!(twice.problems().is_empty());
}

/// Not a test of its own: the child of the next one. Drives at the pace of the clock and says each tick that it has
/// recorded, until it is killed.
#[test]
fn the_child_that_is_killed() {
    let Ok(path) = std::env::var(CHILD) else { return };
    let mut out = std::io::stdout();
    record(Path::new(&path), 240 * 60, |tick| {
        writeln!(out, "recorded {tick}")
            .and_then(|()| out.flush())
            .expect("the parent listens");
        std::thread::sleep(Duration::from_micros(4100));
    });
}

#[test]
fn killed_at_any_moment_it_loses_at_most_a_second() {
    let folder = tempfile::tempdir().expect("a folder");
    let runs: Vec<u64> = (0..20).collect();
    for batch in runs.chunks(5) {
        std::thread::scope(|scope| {
            for n in batch {
                let path = folder.path().join(format!("{n}.journal"));
                scope.spawn(move || killed(&path, 150 + 97 * n));
            }
        });
    }
}

/// Lets a child record to a journal, kills it when it has recorded `after` ticks and looks at what is left.
fn killed(path: &Path, after: u64) {
    let mut child = Command::new(std::env::current_exe().expect("this program"))
        .args(["--exact", "journal::the_child_that_is_killed", "--nocapture"])
        .env(CHILD, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("starts");
    let mut last = None;
    let out = BufReader::new(child.stdout.take().expect("piped"));
    for line in out.lines().map_while(Result::ok) {
        if let Some(tick) = line
            .split("recorded ")
            .nth(1)
            .and_then(|t| t.trim().parse::<u64>().ok())
        {
            last = Some(tick);
            if tick == after {
                // SIGKILL: no handler, no flush. What was said since then is still read.
                child.kill().expect("killed");
            }
        }
    }
    child.wait().expect("gone");
    let driven = last.expect("it recorded") + 1;
    assert!(driven > after, "{driven} of {after}");
    let found = recover(path).expect("what was flushed is whole");
    let kept = found.attempt.inputs.ticks();
    assert!(driven - kept <= 240, "{driven} ticks driven, {kept} kept");
    found.attempt.replay().expect("replays to the same bits");
}
