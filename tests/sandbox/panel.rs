//! The panel without a window: what each needle points to, instruments stepped once a tick whatever the frame rate, faults
//! that show, and switches that are noted.

mod panel_help;
mod practice;

use bevy::prelude::*;
use panel_help::*;
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_dynamics::instruments::{InstrumentParams, Instruments, Seen, next, random_drift_radps};
use toeline_dynamics::{Faults, TICK_S};
use toeline_model::aircraft::catalog;
use toeline_model::units::{DEG, KNOT_MPS};
use toeline_sandbox::drive::Drive;
use toeline_sandbox::feel::Hands;
use toeline_sandbox::panel::scales::{self, Straight};
use toeline_sandbox::panel::switches::Switches;
use toeline_sandbox::panel::{PanelStart, place};
use toeline_sandbox::recorder::RecordTo;
use toeline_sandbox::scene::Scene;
use toeline_sandbox::view::readout::{FiguresShown, figures};
use toeline_training::{Attempt, EventKind};

fn app(ticks: u32) -> App {
    start(ticks, |_| {})
}

fn near(got: f64, want_deg: f64) {
    assert!(
        (got / DEG - want_deg).abs() < 1e-6,
        "{} deg instead of {want_deg}",
        got / DEG
    );
}

#[test]
fn needles_point_where_their_scales_say() {
    for (kt, deg) in [(0.0, 0.0), (40.0, 30.0), (100.0, 180.0), (160.0, 330.0), (300.0, 330.0)] {
        near(scales::airspeed_rad(kt * KNOT_MPS), deg);
    }
    near(scales::airspeed_rad(-5.0), 0.0);
    let [long, short] = scales::altitude_rad(1250.0 * 0.3048);
    near(long, 90.0);
    near(short, 45.0);
    let [below, _] = scales::altitude_rad(-100.0 * 0.3048);
    near(below, 324.0);
    for (fpm, deg) in [
        (0.0, -90.0),
        (2000.0, 80.0),
        (-2000.0, -260.0),
        (9000.0, 80.0),
        (1000.0, -5.0),
    ] {
        near(scales::climb_rad(fpm * 0.3048 / 60.0), deg);
    }
    let mark = scales::STANDARD_MARK_RAD / DEG;
    for (degps, deg) in [(0.0, 0.0), (3.0, mark), (-3.0, -mark), (30.0, 2.0 * mark)] {
        near(scales::turn_rad(degps * DEG), deg);
    }
    assert_eq!(
        [-30.0, -7.5, 0.0, 15.0].map(|d: f64| scales::ball_share(d * DEG)),
        [-1.0, -0.5, 0.0, 1.0]
    );
}

#[test]
fn the_rpm_scale_reaches_past_the_files_red_line_of_every_aeroplane() {
    for a in catalog::all() {
        let most = scales::rpm_most(&a);
        assert!(
            most > 1.05 * a.engine.red_line_rpm && most < 1.4 * a.engine.red_line_rpm,
            "{}",
            a.id
        );
        near(scales::rpm_rad(0.0, most), -130.0);
        near(scales::rpm_rad(most / 2.0, most), 0.0);
        near(scales::rpm_rad(2.0 * most, most), 130.0);
    }
}

#[test]
fn cards_read_as_cards_do() {
    // On the heading indicator the heading itself is at the top and east is a right angle to the right of north.
    near(scales::heading_mark_rad(240.0 * DEG, 240.0 * DEG), 0.0);
    near(scales::heading_mark_rad(90.0 * DEG, 0.0), 90.0);
    // The compass card is seen from its near side: with north under the line, 030 lies to the left.
    let [across, front] = scales::compass_mark(30.0 * DEG, 0.0);
    assert!((across + 0.5).abs() < 1e-12 && front > 0.8, "{across} {front}");
    let [_, behind] = scales::compass_mark(180.0 * DEG, 0.0);
    assert!(behind < 0.0, "south is on the far side");
    assert_eq!(scales::three_figures(0.0), "360");
    assert_eq!(scales::three_figures(-0.3 * DEG), "360");
    assert_eq!(scales::three_figures(7.0 * DEG), "007");
}

#[test]
fn straight_gauges_mark_the_files_range_and_nothing_else() {
    for a in catalog::all() {
        let gauges = [
            Some(Straight::oil_c(&a)),
            Some(Straight::oil_kpa(&a)),
            Straight::suction_kpa(&a),
        ];
        assert_eq!(gauges[2].is_some(), a.engine_check.suction_kpa.is_some(), "{}", a.id);
        assert_eq!(
            gauges[0].expect("oil").range,
            [a.engine_check.oil_least_c, a.engine_check.oil_most_c]
        );
        assert_eq!(gauges[1].expect("oil").range, a.engine_check.oil_pressure_kpa);
        for g in gauges.into_iter().flatten() {
            let [low, high] = g.range.map(|v| g.place(v));
            assert!(0.0 < low && low < high && high < 1.0, "{}: {g:?}", a.id);
            assert!(g.holds(g.range[0] - 0.1).is_lt() && g.holds(g.range[1] + 0.1).is_gt());
            assert!(g.holds(g.range[0]).is_eq() && g.holds(g.range[1]).is_eq());
        }
    }
}

/// Throttle, then a turn to the right with throttle.
fn turn_right(app: &mut App, per_frame: u32) {
    press(app, KeyCode::KeyP);
    hold(app, KeyCode::KeyI, 480 / per_frame);
    hold(app, KeyCode::KeyJ, 2400 / per_frame);
}

#[test]
fn instruments_step_once_a_tick_whatever_the_frame_rate() {
    let (params, place, start) = (
        InstrumentParams::from_aircraft(&practice::scene().aircraft),
        place(&practice::scene()),
        PanelStart::default(),
    );
    let mut one = app(1);
    let first = one.world().resource::<Drive>().clone();
    let seen = Seen::of(&first.params, &first.air, &first.now, &place, 0.0);
    let mut by_hand = Instruments::set(&params, &seen);
    let mut follow = |app: &App| {
        let d = app.world().resource::<Drive>();
        let drift = random_drift_radps(start.drift_seed, d.seconds());
        let seen = Seen::of(&d.params, &d.air, &d.now, &place, drift);
        by_hand = next(&params, &by_hand, &seen, &Faults::default(), TICK_S);
        assert_eq!(shown(app), by_hand, "tick {}", d.tick);
    };
    press(&mut one, KeyCode::KeyP);
    for keys in [(KeyCode::KeyI, 480), (KeyCode::KeyJ, 2400)] {
        press(&mut one, keys.0);
        for _ in 0..keys.1 {
            frames(&mut one, 1);
            follow(&one);
        }
        one.world_mut().resource_mut::<ButtonInput<KeyCode>>().release(keys.0);
    }
    assert!(
        shown(&one).gyros.turn_radps.abs() > 0.02,
        "the drive of this test must turn"
    );
    for per_frame in [8, 60, 240] {
        let mut other = app(per_frame);
        turn_right(&mut other, per_frame);
        assert_eq!(shown(&other), shown(&one), "{per_frame} ticks a frame");
    }
}

#[test]
fn a_stuck_compass_stays_while_the_heading_indicator_turns() {
    // Frame by frame, so that more than half a turn is counted as what it is.
    let turned = |stuck: bool| {
        let mut app = app(24);
        app.world_mut().resource_mut::<Drive>().params.faults.stuck_compass = stuck;
        press(&mut app, KeyCode::KeyP);
        hold(&mut app, KeyCode::KeyI, 20);
        press(&mut app, KeyCode::KeyJ);
        let (mut heading, mut compass) = (0.0, 0.0);
        for _ in 0..80 {
            let before = shown(&app);
            frames(&mut app, 1);
            let after = shown(&app);
            let by = |a: f64, b: f64| toeline_model::angle::wrap(b - a) / DEG;
            heading += by(before.gyros.heading_rad, after.gyros.heading_rad);
            compass += by(before.compass.reading_rad, after.compass.reading_rad);
        }
        (heading, compass)
    };
    let (heading, compass) = turned(false);
    assert!(
        heading > 20.0 && compass > 10.0,
        "sound: heading {heading}, compass {compass}"
    );
    let (heading, compass) = turned(true);
    assert!(heading > 20.0, "heading indicator turned {heading}");
    assert_eq!(compass, 0.0, "a stuck card moves nowhere");
}

#[test]
fn going_back_to_the_start_sets_instruments_and_switches_anew() {
    let mut app = app(24);
    frames(&mut app, 1);
    let fresh = shown(&app);
    turn_right(&mut app, 24);
    hold(&mut app, KeyCode::Semicolon, 2);
    hold(&mut app, KeyCode::BracketRight, 10);
    assert!(switches(&app).taxi_light && shown(&app) != fresh);
    hold(&mut app, KeyCode::Backspace, 1);
    frames(&mut app, 1);
    assert_eq!(app.world().resource::<Drive>().tick, 24);
    assert_eq!(shown(&app), fresh, "the same 24 ticks from the same start");
    assert_eq!(switches(&app), Switches::default());
}

#[test]
fn the_heading_indicator_starts_off_the_compass_by_what_was_asked_and_its_knob_sets_it() {
    let mut app = start(24, |app| {
        app.insert_resource(PanelStart {
            heading_off_rad: -30.0 * DEG,
            ..default()
        });
    });
    let off = |app: &App| {
        let s = shown(app);
        toeline_model::angle::wrap(s.gyros.heading_rad - s.compass.reading_rad) / DEG
    };
    assert!((off(&app) + 30.0).abs() < 1e-9, "{}", off(&app));
    // A second of the key turns the card by 30 degrees.
    hold(&mut app, KeyCode::BracketRight, 10);
    assert!(off(&app).abs() < 0.5, "{}", off(&app));
}

/// Drives what `with` does, leaves, and gives the attempt back.
fn attempt(name: &str, with: impl Fn(&mut App)) -> Attempt {
    let folder = std::env::temp_dir().join(format!("toeline-panel-{name}-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder for the attempt");
    let file = folder.join("a.json");
    let mut app = start(24, |app| {
        app.insert_resource(RecordTo {
            file: Some(file.clone()),
            replace: true,
            book: None,
        });
    });
    frames(&mut app, 10);
    with(&mut app);
    hold(&mut app, KeyCode::Escape, 1);
    let attempt = toeline_training::store::load(&file).expect("the attempt was written");
    std::fs::remove_dir_all(&folder).expect("the folder goes away again");
    attempt
}

fn notes(attempt: &Attempt) -> Vec<&str> {
    let list = attempt
        .events
        .iter()
        .filter(|e| matches!(e.kind, EventKind::Note | EventKind::Switched));
    list.map(|e| e.text.as_str()).collect()
}

#[test]
fn every_switch_has_a_key_and_every_change_is_noted_with_its_tick() {
    let kept = attempt("keys", |app| {
        for key in [
            KeyCode::Semicolon,
            KeyCode::Quote,
            KeyCode::Minus,
            KeyCode::Equal,
            KeyCode::KeyD,
            KeyCode::KeyD,
            KeyCode::KeyE,
            KeyCode::KeyY,
            KeyCode::Semicolon,
        ] {
            hold(app, key, 2);
        }
        // A tenth of a second of trim each frame: noted once, when it has come to rest.
        hold(app, KeyCode::Digit6, 10);
        frames(app, 10);
        hold(app, KeyCode::BracketLeft, 5);
        frames(app, 10);
        hold(app, KeyCode::Comma, 1);
        assert_eq!(app.world().resource::<Drive>().controls.magnetos, MagnetoSwitch::Off);
    });
    let all = notes(&kept);
    // How it was handed over comes first, in the first tick.
    assert_eq!(
        all[..6],
        [
            "taxi light off at the start",
            "landing light off at the start",
            "navigation lights off at the start",
            "beacon on at the start",
            "flaps up at the start",
            "transponder standby at the start",
        ]
    );
    assert_eq!(all[6], "time of day: day");
    let told = &all[7..];
    assert_eq!(
        told[..10],
        [
            "taxi light on",
            "landing light on",
            "navigation lights on",
            "beacon off",
            "flaps 1 of 3",
            "flaps 2 of 3",
            "flaps 1 of 3",
            "transponder on with altitude",
            "taxi light off",
            "trim 25 % nose up",
        ]
    );
    assert!(told[10].starts_with("heading indicator set to "), "{told:?}");
    assert_eq!(told.len(), 11, "{told:?}");
    // Ten frames of 24 ticks before it; the change is noted in the first tick that it was there.
    let mut switched = kept.events.iter().filter(|e| e.kind == EventKind::Switched);
    let first = switched.nth(6).expect("a change");
    assert_eq!(
        (first.part.as_deref(), first.thing.as_deref()),
        (Some("taxi light"), Some("on"))
    );
    assert!((240..=241).contains(&first.tick), "tick {}", first.tick);
    kept.replay().expect("and the attempt still replays");
}

#[test]
fn distance_off_and_speed_are_told_when_asked_for_and_never_in_a_test() {
    let mut app = app(24);
    frames(&mut app, 3);
    let told = |shown: bool| {
        let world = app.world();
        figures(
            world.resource::<Drive>(),
            world.resource::<Hands>(),
            world.resource::<Scene>(),
            shown,
        )
    };
    assert!(told(true).contains("Nose wheel") && told(true).contains("Speed"));
    assert!(!told(false).contains("Nose wheel") && !told(false).contains("Speed") && told(false).contains("Way"));
    let mut asked = FiguresShown::default();
    assert!(asked.shown(), "shown unless hidden");
    asked.asked = false;
    assert!(!asked.shown());
    let mut unaided = FiguresShown::unaided();
    unaided.asked = true;
    assert!(!unaided.shown(), "no key brings them back in a test");
}
