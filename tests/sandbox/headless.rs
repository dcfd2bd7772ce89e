//! The core of the sandbox without any picture: keys move the aeroplane, the step does not depend on the frame rate, going
//! back to the start is going back to the same bits, and what was driven is kept and replays.

mod practice;

use bevy::prelude::*;
use bevy::time::TimeUpdateStrategy;
use toeline_dynamics::State;
use toeline_model::{Bearing, Pose};
use toeline_sandbox::clock::Pace;
use toeline_sandbox::core_plugins;
use toeline_sandbox::drive::{Drive, Phase, Span};
use toeline_sandbox::recorder::{Book, RecordTo, Recording, rescue};
use toeline_training::EventKind;
use toeline_training::logbook::{Logbook, Wanted};

/// The core plugins, standing on the first screen, with `ticks` fixed steps in every frame.
fn app(ticks: u32) -> App {
    let mut app = App::new();
    app.add_plugins(MinimalPlugins)
        .insert_resource(TimeUpdateStrategy::FixedTimesteps(ticks))
        .init_resource::<ButtonInput<KeyCode>>()
        .insert_resource(practice::scene())
        .add_plugins(core_plugins);
    // The first frame only starts the clock.
    app.update();
    app
}

fn press(app: &mut App, key: KeyCode) {
    app.world_mut().resource_mut::<ButtonInput<KeyCode>>().press(key);
}

fn release(app: &mut App, key: KeyCode) {
    app.world_mut().resource_mut::<ButtonInput<KeyCode>>().release(key);
}

/// Runs frames; a press counts as new in the first of them only, as the window's input system would have it.
fn frames(app: &mut App, count: u32) {
    for _ in 0..count {
        app.update();
        app.world_mut().resource_mut::<ButtonInput<KeyCode>>().clear();
    }
}

fn drive(app: &App) -> &Drive {
    app.world().resource::<Drive>()
}

fn state(app: &App) -> State {
    drive(app).now
}

fn pose(app: &App) -> Pose {
    let d = drive(app);
    d.now.pose(&d.params)
}

/// Begins the drive, with keys held in the same frame: from the first tick on they count.
fn begin(app: &mut App, keys: &[KeyCode]) {
    *app.world_mut().resource_mut::<Phase>() = Phase::Driving;
    for k in keys {
        press(app, *k);
    }
}

/// Throttle open and right foot forward for two seconds, then the left toe as well for one, in frames of `per_frame` ticks.
fn same_drive(per_frame: u32) -> App {
    let mut app = app(per_frame);
    begin(&mut app, &[KeyCode::KeyI, KeyCode::KeyJ, KeyCode::KeyP]);
    frames(&mut app, 480 / per_frame);
    press(&mut app, KeyCode::KeyR);
    frames(&mut app, 240 / per_frame);
    release(&mut app, KeyCode::KeyJ);
    frames(&mut app, 480 / per_frame);
    app
}

#[test]
fn nothing_moves_on_the_first_screen_and_enter_begins() {
    let mut app = app(24);
    press(&mut app, KeyCode::KeyI);
    frames(&mut app, 20);
    assert_eq!(drive(&app).tick, 0, "a tick was made behind the first screen");
    press(&mut app, KeyCode::Enter);
    frames(&mut app, 1);
    assert_eq!(drive(&app).tick, 24);
}

#[test]
fn held_keys_move_the_aeroplane_and_the_foot_turns_it_to_its_own_side() {
    let (mut left, mut right) = (app(24), app(24));
    for (app, foot) in [(&mut left, KeyCode::KeyF), (&mut right, KeyCode::KeyJ)] {
        let start = pose(app);
        begin(app, &[KeyCode::KeyI, KeyCode::KeyP]);
        frames(app, 20);
        release(app, KeyCode::KeyI);
        press(app, foot);
        frames(app, 50);
        let moved = pose(app).nose.distance(start.nose);
        assert!(moved > 2.0, "moved {moved:.2} m in 7 s with an open throttle");
    }
    let turned = |app: &App| Bearing::from_deg(0.0).to_deg(pose(app).heading_rad.bearing());
    assert!(turned(&left) < -5.0, "left foot: turned {:.1} deg", turned(&left));
    assert!(turned(&right) > 5.0, "right foot: turned {:.1} deg", turned(&right));
}

/// The wind leans on the aeroplane before the brake has built up its pressure; by then it has moved less than this. After
/// 10 s the sprung body has stopped rocking altogether.
const SETTLED_M: f64 = 1e-4;

#[test]
fn with_the_parking_brake_on_idle_power_moves_nothing() {
    let mut app = app(24);
    let start = pose(&app);
    begin(&mut app, &[]);
    frames(&mut app, 100);
    let settled = pose(&app);
    assert!(settled.nose.distance(start.nose) < SETTLED_M);
    frames(&mut app, 100);
    assert_eq!(pose(&app), settled, "it creeps");
    assert_eq!(drive(&app).tick, 4800);
}

#[test]
fn the_same_ticks_in_other_frames_give_the_same_bits() {
    let one = same_drive(1);
    assert_eq!(drive(&one).tick, 1200);
    assert!(state(&one).speed_mps() > 0.1, "the drive of this test must move");
    for per_frame in [2, 8, 60, 240] {
        let other = same_drive(per_frame);
        assert_eq!(drive(&other).tick, 1200, "{per_frame} ticks a frame");
        assert_eq!(
            state(&one).first_difference(&state(&other)),
            None,
            "{per_frame} ticks a frame"
        );
        assert_eq!(state(&one).hash(), state(&other).hash(), "{per_frame} ticks a frame");
    }
}

#[test]
fn restart_goes_back_to_the_very_same_start() {
    let mut app = app(24);
    let start = state(&app);
    begin(&mut app, &[KeyCode::KeyI, KeyCode::KeyP]);
    frames(&mut app, 60);
    release(&mut app, KeyCode::KeyI);
    assert_ne!(state(&app).hash(), start.hash());
    press(&mut app, KeyCode::Backspace);
    frames(&mut app, 1);
    assert_eq!(drive(&app).tick, 0);
    assert_eq!(state(&app).first_difference(&start), None);
    frames(&mut app, 10);
    assert_eq!(drive(&app).tick, 240, "it can be driven again at once");
    let crept = pose(&app).nose.distance(start.pose(&drive(&app).params).nose);
    assert!(
        crept < SETTLED_M,
        "the parking brake is on again, yet it moved {crept} m"
    );
}

#[test]
fn the_drive_ends_at_the_tick_that_was_asked_for() {
    let mut app = app(60);
    app.insert_resource(Span {
        from_m: 0.0,
        ticks: Some(100),
    });
    begin(&mut app, &[KeyCode::KeyI]);
    frames(&mut app, 4);
    assert_eq!(drive(&app).tick, 100);
    assert!(app.should_exit().is_some());
}

#[test]
fn the_distance_off_the_path_is_the_drivers_own() {
    let mut app = app(24);
    begin(&mut app, &[]);
    frames(&mut app, 2);
    let off = drive(&app).off_m.expect("the start lies on the path");
    assert!(off.abs() < SETTLED_M, "{off} m off at the start");
    // 0.7 m to the left of the line of lane B, which leads north there.
    let off_left = {
        let s = practice::scene();
        let on = s.path.pose_at(40.0);
        let aside = Pose {
            nose: on.nose + toeline_model::Xy::unit(on.heading_rad).left() * 0.7,
            heading_rad: on.heading_rad,
        };
        let mut d = app.world_mut().resource_mut::<Drive>();
        d.way_m = 40.0;
        d.now = State::parked(&d.params, aside);
        d.before = d.now;
        frames(&mut app, 1);
        drive(&app).off_m.expect("near the path")
    };
    assert!((off_left - 0.7).abs() < 1e-3, "{off_left} m instead of 0.7 m left");
}

#[test]
fn what_was_driven_is_kept_and_replays_bit_for_bit() {
    let folder = std::env::temp_dir().join(format!("toeline-sandbox-test-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder for the attempt");
    let file = folder.join("attempt.json");
    let mut app = App::new();
    app.add_plugins(MinimalPlugins)
        .insert_resource(TimeUpdateStrategy::FixedTimesteps(24))
        .init_resource::<ButtonInput<KeyCode>>()
        .insert_resource(practice::scene())
        .insert_resource(RecordTo {
            file: Some(file.clone()),
            replace: true,
            book: None,
        })
        .add_plugins(core_plugins);
    app.update();
    begin(&mut app, &[KeyCode::KeyI, KeyCode::KeyP, KeyCode::KeyU]);
    frames(&mut app, 40);
    let driven = state(&app);
    press(&mut app, KeyCode::Escape);
    frames(&mut app, 1);
    assert!(app.should_exit().is_some(), "Esc leaves");
    let attempt = toeline_training::store::load(&file).expect("the attempt was written");
    // The frame in which Esc is pressed is driven too.
    assert_eq!(attempt.inputs.ticks(), driven.tick + 24);
    let replay = attempt.replay().expect("it replays");
    assert_eq!(replay.final_state.hash(), state(&app).hash());
    std::fs::remove_dir_all(&folder).expect("the folder goes away again");
}

#[test]
fn a_named_pupil_s_drives_go_into_the_logbook_too_and_trouble_there_loses_nothing() {
    let folder = std::env::temp_dir().join(format!("toeline-sandbox-book-{}", std::process::id()));
    let file = folder.join("attempt.json");
    let in_book = folder.join("books").join("logbook.sqlite");
    for (place, fits) in [(in_book.clone(), true), (folder.clone(), false)] {
        std::fs::create_dir_all(&folder).expect("a folder for the attempt");
        let mut app = App::new();
        app.add_plugins(MinimalPlugins)
            .insert_resource(TimeUpdateStrategy::FixedTimesteps(24))
            .init_resource::<ButtonInput<KeyCode>>()
            .insert_resource(practice::scene())
            .insert_resource(RecordTo {
                file: Some(file.clone()),
                replace: true,
                book: Some(Book {
                    file: place,
                    pupil: "17".into(),
                }),
            })
            .add_plugins(core_plugins);
        app.update();
        begin(&mut app, &[KeyCode::KeyI, KeyCode::KeyP]);
        frames(&mut app, 15);
        // A restart ends an attempt, leaving another.
        press(&mut app, KeyCode::Backspace);
        frames(&mut app, 15);
        press(&mut app, KeyCode::Escape);
        frames(&mut app, 1);
        let attempt = toeline_training::store::load(&file).expect("the attempt has its own file in any case");
        let trouble = app.world().resource::<Recording>().trouble.clone();
        if fits {
            assert_eq!(trouble, None);
            let book = Logbook::open_existing(&in_book).expect("it was begun");
            let list = book.list(&Wanted::default()).expect("a list");
            assert_eq!(list.len(), 2, "{list:?}");
            assert!(list.iter().all(|e| e.pupil == "17"));
            let whole: Vec<_> = list.iter().map(|e| book.attempt(&e.id).expect("whole")).collect();
            assert!(whole.contains(&attempt));
        } else {
            let words = trouble.expect("a folder is no logbook");
            assert!(words.starts_with("not in the logbook: "), "{words}");
        }
        std::fs::remove_dir_all(&folder).expect("the folder goes away again");
    }
}

#[test]
fn a_drive_into_the_grass_is_told_wheel_by_wheel_and_what_is_broken_is_felt_and_kept() {
    let folder = std::env::temp_dir().join(format!("toeline-sandbox-grass-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder for the attempt");
    let file = folder.join("attempt.json");
    let mut broken = practice::scene();
    broken.environment.faults.flat_tyre = [false, false, true];
    let mut app = App::new();
    app.add_plugins(MinimalPlugins)
        .insert_resource(TimeUpdateStrategy::FixedTimesteps(24))
        .init_resource::<ButtonInput<KeyCode>>()
        .insert_resource(broken)
        .insert_resource(RecordTo {
            file: Some(file.clone()),
            replace: true,
            book: None,
        })
        .add_plugins(core_plugins);
    app.update();
    begin(&mut app, &[KeyCode::KeyI, KeyCode::KeyP, KeyCode::KeyJ]);
    frames(&mut app, 250);
    press(&mut app, KeyCode::Escape);
    frames(&mut app, 1);
    let attempt = toeline_training::store::load(&file).expect("the attempt was written");
    std::fs::remove_dir_all(&folder).expect("the folder goes away again");
    assert_eq!(attempt.environment.faults.flat_tyre, [false, false, true]);
    attempt.replay().expect("it replays with its flat tyre");
    let left: Vec<_> = attempt
        .events
        .iter()
        .filter(|e| e.kind == EventKind::LeftPavement)
        .collect();
    assert!(!left.is_empty(), "{:?}", attempt.events);
    for event in left {
        let wheel = event.part.as_deref().expect("which wheel");
        assert!(wheel.ends_with("wheel"), "{wheel}");
        assert!(event.at.is_some() && event.speed_mps.is_some(), "{event:?}");
    }
}

#[test]
fn a_restart_keeps_the_attempt_that_ends_there_and_starts_another() {
    let folder = std::env::temp_dir().join(format!("toeline-sandbox-restart-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder for the attempts");
    let mut app = App::new();
    app.add_plugins(MinimalPlugins)
        .insert_resource(TimeUpdateStrategy::FixedTimesteps(24))
        .init_resource::<ButtonInput<KeyCode>>()
        .insert_resource(practice::scene())
        .insert_resource(RecordTo {
            file: Some(folder.join("a.json")),
            replace: true,
            book: None,
        })
        .add_plugins(core_plugins);
    app.update();
    begin(&mut app, &[KeyCode::KeyI, KeyCode::KeyP]);
    frames(&mut app, 20);
    press(&mut app, KeyCode::Backspace);
    frames(&mut app, 15);
    press(&mut app, KeyCode::Escape);
    frames(&mut app, 1);
    let ticks = |name: &str| {
        toeline_training::store::load(&folder.join(name))
            .expect("an attempt")
            .inputs
            .ticks()
    };
    assert_eq!((ticks("a.json"), ticks("a-2.json")), (21 * 24, 15 * 24));
    std::fs::remove_dir_all(&folder).expect("the folder goes away again");
}

/// Holds a key for some frames.
fn hold(app: &mut App, key: KeyCode, count: u32) {
    press(app, key);
    frames(app, count);
    release(app, key);
}

#[test]
fn a_cut_engine_stands_still_until_the_starter_turns_it_and_each_magneto_drops_the_speed() {
    let mut app = app(24);
    begin(&mut app, &[]);
    let rpm = |app: &App| drive(app).gauges().rpm;
    frames(&mut app, 20);
    let idle = rpm(&app);
    assert!(idle > 500.0, "{idle} rpm at idle");
    hold(&mut app, KeyCode::KeyL, 60);
    frames(&mut app, 60);
    assert!(rpm(&app) < 1.0, "mixture cut, still {} rpm", rpm(&app));
    hold(&mut app, KeyCode::KeyO, 60);
    frames(&mut app, 20);
    assert!(rpm(&app) < 1.0, "it started by itself");
    hold(&mut app, KeyCode::KeyS, 30);
    frames(&mut app, 40);
    assert!((rpm(&app) - idle).abs() < 30.0, "after the starter: {} rpm", rpm(&app));
    hold(&mut app, KeyCode::KeyI, 12);
    frames(&mut app, 40);
    let both = rpm(&app);
    hold(&mut app, KeyCode::KeyM, 1);
    frames(&mut app, 40);
    let right = rpm(&app);
    hold(&mut app, KeyCode::KeyM, 1);
    frames(&mut app, 40);
    let left = rpm(&app);
    hold(&mut app, KeyCode::KeyM, 1);
    frames(&mut app, 40);
    assert!(
        right < both - 5.0 && left < both - 5.0,
        "both {both}, right {right}, left {left}"
    );
    assert!((rpm(&app) - both).abs() < 2.0);
}

#[test]
fn time_can_be_held_and_slowed_and_nothing_counts_as_lost() {
    let mut app = app(24);
    begin(&mut app, &[KeyCode::KeyI]);
    frames(&mut app, 10);
    let tick = drive(&app).tick;
    press(&mut app, KeyCode::Space);
    frames(&mut app, 1);
    release(&mut app, KeyCode::Space);
    frames(&mut app, 1);
    let held = drive(&app).tick;
    assert!(held <= tick + 2 * 24, "{held} after {tick}");
    frames(&mut app, 20);
    assert_eq!(drive(&app).tick, held, "time stands still");
    assert!(!app.world().resource::<Pace>().slower_than_life());
    press(&mut app, KeyCode::Space);
    frames(&mut app, 1);
    release(&mut app, KeyCode::Space);
    frames(&mut app, 10);
    assert!(drive(&app).tick >= held + 9 * 24, "and runs again");
    press(&mut app, KeyCode::KeyW);
    frames(&mut app, 2);
    release(&mut app, KeyCode::KeyW);
    let before = drive(&app).tick;
    frames(&mut app, 40);
    let went = drive(&app).tick - before;
    assert!(
        (230..=250).contains(&went),
        "{went} ticks in 40 frames of 24 at a quarter of the pace"
    );
    assert!(!app.world().resource::<Pace>().slower_than_life());
}

/// The core in frames of 24 ticks, begun anew with a place to write to.
fn writing_to(file: &std::path::Path) -> App {
    let mut app = app(24);
    app.insert_resource(RecordTo {
        file: Some(file.to_path_buf()),
        replace: true,
        book: None,
    });
    press(&mut app, KeyCode::Backspace);
    frames(&mut app, 1);
    release(&mut app, KeyCode::Backspace);
    app
}

#[test]
fn a_step_back_goes_to_the_same_bits_ten_seconds_ago_and_both_drives_replay() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("drive.json");
    let mut app = writing_to(&file);
    begin(&mut app, &[KeyCode::KeyI]);
    press(&mut app, KeyCode::KeyP);
    frames(&mut app, 1);
    release(&mut app, KeyCode::KeyP);
    let mut seen = vec![];
    for _ in 0..150 {
        frames(&mut app, 1);
        seen.push(state(&app));
    }
    let last = *seen.last().expect("driven");
    press(&mut app, KeyCode::KeyB);
    frames(&mut app, 1);
    release(&mut app, KeyCode::KeyB);
    let back = state(&app);
    // One frame of 24 ticks has gone on from there at most.
    let from = back.tick - back.tick % 24;
    assert!(
        (2376..=2424).contains(&(last.tick - from)),
        "{} and {}",
        last.tick,
        back.tick
    );
    assert!(seen.iter().any(|s| s.tick == from), "a moment that was driven");
    frames(&mut app, 50);
    app.world_mut().write_message(AppExit::Success);
    frames(&mut app, 1);
    let first = toeline_training::store::load(&file).expect("kept");
    assert_eq!(first.events.last().map(|e| e.text.as_str()), Some("10 s back"));
    first.replay().expect("the first drive replays");
    let second = toeline_training::store::load(&folder.path().join("drive-2.json")).expect("kept too");
    assert!(
        seen.iter()
            .any(|s| s.tick == second.start.tick && Some(*s) == second.start.read().ok())
    );
    second.replay().expect("the drive from there replays");
}

#[test]
fn a_drive_that_was_cut_off_is_rescued_from_its_journal() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("drive.json");
    let mut app = writing_to(&file);
    begin(&mut app, &[KeyCode::KeyI, KeyCode::KeyJ]);
    frames(&mut app, 50);
    let journal = folder.path().join("drive.journal");
    assert!(journal.exists() && !file.exists(), "written while it is driven");
    assert_eq!(
        rescue(&file),
        Vec::<String>::new(),
        "another window's drive is left alone"
    );
    let driven = drive(&app).tick;
    // Nobody says that the program leaves.
    drop(app);
    let news = rescue(&file);
    assert!(news.len() == 1 && news[0].contains("without being saved"), "{news:?}");
    assert!(!journal.exists());
    let attempt = toeline_training::store::load(&file).expect("an attempt");
    assert!(driven - attempt.inputs.ticks() < 240, "{driven} driven");
    attempt.replay().expect("replays");
    // And an orderly end leaves no journal.
    assert_eq!(rescue(&file), Vec::<String>::new());
}
