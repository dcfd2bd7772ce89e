//! What the logbook's list and a replay cost against a plain run of the dynamics: 10 000 attempts listed, and an attempt of
//! ten minutes replayed with every stored state compared. Asserts the list and the last state first. Processor time, so that
//! other programs do not count. `TOELINE_ATTEMPTS` is the number of attempts.

#![allow(clippy::print_stdout)]

use cpu_time::ProcessTime;
use serde_json::json;
use toeline_dynamics::{PHYSICS_VERSION, Params, State, step};
use toeline_model::{Bearing, Pose, Xy};
use toeline_tests::lanes::built_in;
use toeline_training::logbook::{About, Logbook, Wanted};
use toeline_training::{Attempt, Environment, Script, run_script};

fn timed<T>(work: impl FnOnce() -> T) -> (f64, T) {
    let began = ProcessTime::now();
    let result = work();
    (began.elapsed().as_secs_f64(), result)
}

fn drive(script: &str) -> Attempt {
    let a = built_in("trainer-high-2");
    let environment = Environment::default();
    let pose = Pose {
        nose: Xy { x: 0.0, y: 0.0 },
        heading_rad: Bearing::from_deg(90.0).yaw(),
    };
    let start = State::parked(&environment.params(&a), pose);
    let script = Script::parse(script).expect("sound");
    run_script(&a, environment.ground, environment.air, &start, &script)
}

fn main() {
    let long = drive("at 0 throttle 0.2\nend 144000\n");
    assert_eq!(long.physics_version, PHYSICS_VERSION);
    let p: Params = long.environment.params(&long.aircraft);
    let (plain_s, end) = timed(|| {
        let first = long.start.read().expect("of this version");
        long.inputs.iter().fold(first, |now, c| {
            step(&p, &long.environment.ground, &long.environment.air, &now, &c.clamped())
        })
    });
    let (replay_s, replay) = timed(|| long.replay().expect("it replays"));
    assert_eq!(replay.final_state.hash(), end.hash(), "the plain run leads elsewhere");
    println!(
        "plain run of ten minutes: {plain_s:.3} s; replay with every stored state compared: {replay_s:.3} s, {:.2} times \
         that, {:.0} times real time",
        replay_s / plain_s,
        long.duration_s() / replay_s
    );

    let count: u32 = std::env::var("TOELINE_ATTEMPTS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(10_000);
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("book.sqlite");
    let mut book = Logbook::open(&file).expect("begins");
    let short = drive("at 0 throttle 0.4\nend 24\n");
    let (adding_s, ()) = timed(|| {
        for n in 0..count {
            let attempt = Attempt {
                job: Some(json!({ "field_file": "quillmere.geojson", "n": n })),
                ..short.clone()
            };
            let about = About {
                pupil: format!("pupil {}", n % 20),
                when_unix_s: 1_780_000_000 + i64::from(n) * 60,
                ..About::default()
            };
            book.add(&attempt, &about).expect("adds");
        }
    });
    let (all_s, all) = timed(|| book.list(&Wanted::default()).expect("a list"));
    assert_eq!(all.len(), count as usize);
    assert!(
        all.windows(2).all(|w| w[0].when.unix_s > w[1].when.unix_s),
        "newest first"
    );
    let one = Wanted {
        pupil: Some("pupil 7".into()),
        most: Some(50),
    };
    let (some_s, some) = timed(|| book.list(&one).expect("a list"));
    assert_eq!(some.len(), 50.min(count as usize / 20));
    println!(
        "{count} attempts: added in {adding_s:.1} s of processor time, {:.2} ms each; listed in {all_s:.4} s, {:.1} % of the plain \
         run of one drive of ten minutes; the newest 50 of one pupil in {some_s:.5} s",
        1000.0 * adding_s / f64::from(count),
        100.0 * all_s / plain_s
    );
}
