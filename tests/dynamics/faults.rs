//! Each fault shows in the instruments the way the trade says, and a sound aeroplane shows none of it.

use crate::engine::{at_check, on, run, trainer};
use toeline_dynamics::engine::{self, EngineControls, EngineParams, EngineState, MagnetoSwitch};
use toeline_dynamics::faults::{BrakeFault, LEFT_SIDE, RIGHT_SIDE};
use toeline_dynamics::instruments::{self, InstrumentParams, Instruments, Seen};
use toeline_dynamics::{Faults, LEFT, NOSE, RIGHT, TICK_S};
use toeline_model::Bearing;
use toeline_model::aircraft::catalog;
use toeline_model::units::DEG;

/// Rpm on both, on the left and on the right magneto alone at the check speed, and whether it runs rough there.
fn magneto_check(faults: &Faults) -> ([f64; 3], [f64; 3]) {
    let (p, check) = trainer();
    let (c, settled) = at_check(&p, check.check_rpm);
    let both = run(&p, settled, &c, faults, 15.0);
    let left = run(&p, both, &on(&c, MagnetoSwitch::Left), faults, 15.0);
    let right = run(&p, both, &on(&c, MagnetoSwitch::Right), faults, 15.0);
    let all = [both, left, right];
    (all.map(|s| s.rpm), all.map(|s| s.roughness()))
}

#[test]
fn a_sound_engine_runs_smoothly_and_drops_evenly() {
    let ([both, left, right], rough) = magneto_check(&Faults::default());
    assert!((both - 1700.0).abs() < 0.5);
    assert!((25.0..=75.0).contains(&(both - left)) && (25.0..=75.0).contains(&(both - right)));
    assert_eq!(rough, [0.0; 3]);
}

#[test]
fn a_fouled_plug_drops_too_far_and_rough_on_its_own_magneto_only() {
    let (_, check) = trainer();
    for side in [LEFT_SIDE, RIGHT_SIDE] {
        let mut faults = Faults::default();
        faults.fouled_plug[side] = true;
        let ([both, left, right], [smooth, rough_left, rough_right]) = magneto_check(&faults);
        println!("fouled plug, side {side}: {both:.0}, left {left:.0}, right {right:.0}");
        let (bad, good) = if side == LEFT_SIDE {
            (left, right)
        } else {
            (right, left)
        };
        let (bad_rough, good_rough) = if side == LEFT_SIDE {
            (rough_left, rough_right)
        } else {
            (rough_right, rough_left)
        };
        assert!(
            (1680.0..1700.5).contains(&both) && smooth == 0.0,
            "hardly seen on both: {both}"
        );
        assert!(both - bad > check.magneto_drop_rpm, "{both} {bad}");
        assert!(both - good <= check.magneto_drop_rpm, "{both} {good}");
        assert!(
            (good - bad).abs() > check.magneto_difference_rpm,
            "uneven beyond the file's limit"
        );
        assert!(bad_rough > 0.0 && good_rough == 0.0);
        assert!(bad > 1000.0, "but it runs: {bad}");
    }
}

#[test]
fn a_dead_magneto_stops_the_engine_when_selected_alone() {
    for side in [LEFT_SIDE, RIGHT_SIDE] {
        let mut faults = Faults::default();
        faults.dead_magneto[side] = true;
        let ([both, left, right], _) = magneto_check(&faults);
        let (dead, other) = if side == LEFT_SIDE {
            (left, right)
        } else {
            (right, left)
        };
        assert!((25.0..=75.0).contains(&(1700.0 - both)), "low already on both: {both}");
        assert!((both - other).abs() < 0.5, "no drop on the good one: {both} {other}");
        assert_eq!(dead, 0.0, "and none at all on the dead one");
    }
}

#[test]
fn a_live_magneto_shows_no_drop_and_runs_on_at_off() {
    for side in [LEFT_SIDE, RIGHT_SIDE] {
        let mut faults = Faults::default();
        faults.live_magneto[side] = true;
        let ([both, left, right], _) = magneto_check(&faults);
        let (own, other) = if side == LEFT_SIDE {
            (left, right)
        } else {
            (right, left)
        };
        assert!(
            (both - other).abs() < 0.1,
            "selecting the other one silences nothing: {both} {other}"
        );
        assert!(
            (25.0..=75.0).contains(&(both - own)),
            "the sound one is silenced as ever: {own}"
        );
        // The earth check before shutdown: Off at idle.
        let (p, _) = trainer();
        let off = on(&EngineControls::default(), MagnetoSwitch::Off);
        let idling = EngineState::idling(&p);
        assert!(run(&p, idling, &off, &faults, 15.0).running(), "it runs on");
        assert!(
            !run(&p, idling, &off, &Faults::default(), 15.0).running(),
            "a sound one stops"
        );
    }
}

#[test]
fn carburettor_ice_sinks_the_rpm_and_heat_gives_a_drop_and_then_a_rise() {
    let (p, check) = trainer();
    let (c, settled) = at_check(&p, check.check_rpm);
    let damp = Faults {
        carburettor_ice: 1.0,
        ..Faults::default()
    };
    let dry = run(&p, settled, &c, &Faults::default(), 120.0);
    assert!(
        dry.ice == 0.0 && (dry.rpm - settled.rpm).abs() < 0.1,
        "dry air makes none"
    );
    let iced = run(&p, settled, &c, &damp, 60.0);
    assert!(settled.rpm - iced.rpm > 50.0, "{} then {}", settled.rpm, iced.rpm);

    let hot = EngineControls {
        carburettor_heat: 1.0,
        ..c
    };
    let mut s = iced;
    let mut least = f64::INFINITY;
    let mut least_at = 0;
    for tick in 0..(60.0 / TICK_S) as usize {
        s = engine::next(&p, &s, &hot, &damp, 0.0, TICK_S);
        if s.rpm < least {
            (least, least_at) = (s.rpm, tick);
        }
    }
    println!(
        "iced {:.0}, least {least:.0} after {:.1} s, then {:.0}",
        iced.rpm,
        least_at as f64 * TICK_S,
        s.rpm
    );
    assert!(iced.rpm - least > 10.0, "first the drop: {} {least}", iced.rpm);
    assert!(s.rpm - least > 30.0, "then the rise: {least} {}", s.rpm);
    let after = run(&p, s, &c, &damp, 5.0);
    assert!(
        after.rpm > iced.rpm + 30.0,
        "and more than before with the heat off: {}",
        after.rpm
    );

    // Without ice there is a drop and no rise.
    let mut s = settled;
    let mut before = s.rpm;
    for _ in 0..(60.0 / TICK_S) as usize {
        s = engine::next(&p, &s, &hot, &Faults::default(), 0.0, TICK_S);
        assert!(s.rpm <= before + 1e-9);
        before = s.rpm;
    }
}

#[test]
fn ice_left_alone_stops_an_idling_engine_but_not_one_without_a_carburettor() {
    let damp = Faults {
        carburettor_ice: 1.0,
        ..Faults::default()
    };
    let (p, _) = trainer();
    let long = run(&p, EngineState::idling(&p), &EngineControls::default(), &damp, 1200.0);
    assert!(!long.running(), "{long:?}");
    let twin = catalog::find("twin-light-6").unwrap();
    assert!(!twin.engine.carburettor_heat, "the file's own word");
    let p = EngineParams::from_aircraft(&twin);
    let long = run(&p, EngineState::idling(&p), &EngineControls::default(), &damp, 1200.0);
    assert!(long.running() && long.ice == 0.0);
}

fn panel() -> (InstrumentParams, Seen) {
    let p = InstrumentParams::from_aircraft(&catalog::find("trainer-high-2").unwrap());
    let seen = Seen {
        heading: Bearing::from_deg(40.0).yaw(),
        suction_kpa: 16.0,
        ..Seen::default()
    };
    (p, seen)
}

fn apart_deg(shown: &Instruments) -> f64 {
    let d = (shown.gyros.heading_rad - shown.compass.reading_rad) / DEG;
    (d + 540.0).rem_euclid(360.0) - 180.0
}

/// 3 degrees in 15 minutes: common practice, no FAA source (standards.md C6).
#[test]
fn a_drifting_heading_indicator_leaves_the_compass() {
    let (p, seen) = panel();
    let quarter_hour = |faults: &Faults| {
        let mut shown = Instruments::set(&p, &seen);
        for _ in 0..9000 {
            shown = instruments::next(&p, &shown, &seen, faults, 0.1);
        }
        shown
    };
    let faulty = Faults {
        heading_drift_radps: 30.0 * DEG / 3600.0,
        ..Faults::default()
    };
    assert!((apart_deg(&quarter_hour(&faulty)) - 7.5).abs() < 1e-6);
    assert!(apart_deg(&quarter_hour(&faulty)) > 3.0);
    assert!(
        apart_deg(&quarter_hour(&Faults::default())).abs() < 1e-6,
        "a sound one at the equator stays"
    );
    let reset = quarter_hour(&faulty).with_heading_from_compass();
    assert!(apart_deg(&reset).abs() < 1e-12);
}

#[test]
fn a_stuck_compass_keeps_its_figure_while_the_heading_indicator_turns() {
    let (p, seen) = panel();
    let turn = |faults: &Faults| {
        let mut shown = Instruments::set(&p, &seen);
        let (start, rate) = (shown, 9.0 * DEG);
        for k in 1..=4000 {
            let by = (rate * f64::from(k) * 0.01).min(90.0 * DEG);
            let now = Seen {
                heading: seen.heading.turned(-by),
                yaw_radps: if by < 90.0 * DEG { -rate } else { 0.0 },
                ..seen
            };
            shown = instruments::next(&p, &shown, &now, faults, 0.01);
        }
        let moved = |a: f64, b: f64| ((b - a) / DEG).rem_euclid(360.0);
        (
            moved(start.compass.reading_rad, shown.compass.reading_rad),
            moved(start.gyros.heading_rad, shown.gyros.heading_rad),
        )
    };
    let (compass, heading) = turn(&Faults {
        stuck_compass: true,
        ..Faults::default()
    });
    assert_eq!(compass, 0.0);
    assert!((heading - 90.0).abs() < 0.01, "{heading}");
    let (compass, heading) = turn(&Faults::default());
    assert!(
        (compass - 90.0).abs() < 0.1 && (heading - 90.0).abs() < 0.01,
        "{compass} {heading}"
    );
}

#[test]
fn a_blocked_airspeed_tube_keeps_the_needle_on_its_peg_while_a_sound_one_comes_alive() {
    let (p, seen) = panel();
    let roll = |faults: &Faults| {
        let mut shown = Instruments::set(&p, &seen);
        let mut alive_from = None;
        for k in 1..=2000 {
            let airspeed_mps = f64::from(k) * 0.015;
            let now = Seen { airspeed_mps, ..seen };
            shown = instruments::next(&p, &shown, &now, faults, 0.01);
            if shown.air.airspeed_mps > 0.0 && alive_from.is_none() {
                alive_from = Some(airspeed_mps);
            }
        }
        (alive_from, shown.air.airspeed_mps)
    };
    let (alive, last) = roll(&Faults::default());
    assert!(alive.is_some_and(|mps| (p.airspeed_from_mps..p.airspeed_from_mps + 1.0).contains(&mps)));
    assert!((last - 30.0).abs() < 1.0, "{last}");
    let dead = Faults {
        dead_airspeed: true,
        ..Faults::default()
    };
    assert_eq!(roll(&dead), (None, 0.0));
}

#[test]
fn wheels_and_linkage_take_their_faults_as_plain_factors() {
    let sound = Faults::default();
    assert!(sound.is_none());
    for wheel in [NOSE, LEFT, RIGHT] {
        assert_eq!(
            (
                sound.rolling_factor(wheel),
                sound.stiffness_factor(wheel),
                sound.radius_factor(wheel)
            ),
            (1.0, 1.0, 1.0)
        );
    }
    for side in [LEFT_SIDE, RIGHT_SIDE] {
        assert_eq!(sound.brake_nm(side, 120.0, 330.0), 120.0);
    }
    assert_eq!(sound.asked_after_play(0.1, -0.05), 0.1);

    let mut f = Faults {
        brake: [BrakeFault::Weak, BrakeFault::Seized],
        flat_tyre: [false, true, false],
        steering_play_rad: 0.03,
        ..Faults::default()
    };
    assert!(!f.is_none());
    assert!(f.brake_nm(LEFT_SIDE, 330.0, 330.0) < 0.5 * 330.0 && f.brake_nm(LEFT_SIDE, 0.0, 330.0) == 0.0);
    assert!(f.brake_nm(RIGHT_SIDE, 0.0, 330.0) > 0.0, "drags with the feet off");
    assert_eq!(f.brake_nm(RIGHT_SIDE, 330.0, 330.0), 330.0);
    f.brake[LEFT_SIDE] = BrakeFault::Failed;
    assert_eq!(f.brake_nm(LEFT_SIDE, 330.0, 330.0), 0.0);
    assert!(f.rolling_factor(LEFT) > 1.0 && f.rolling_factor(RIGHT) == 1.0);
    assert!(f.radius_factor(LEFT) < 1.0 && f.stiffness_factor(LEFT) < 1.0);
    assert_eq!(f.asked_after_play(0.02, 0.0), 0.0, "inside the play nothing pulls");
    assert!((f.asked_after_play(0.1, 0.0) - 0.07).abs() < 1e-15);
    assert!((f.asked_after_play(-0.1, 0.0) + 0.07).abs() < 1e-15);
    assert_eq!(f.mirrored().brake, [BrakeFault::Seized, BrakeFault::Failed]);
    assert_eq!(f.mirrored().flat_tyre, [false, false, true]);
    assert_eq!(f.mirrored().mirrored(), f);
}

#[test]
fn wild_figures_count_as_no_fault() {
    let wild = Faults {
        steering_play_rad: f64::NAN,
        carburettor_ice: f64::INFINITY,
        heading_drift_radps: f64::NEG_INFINITY,
        ..Faults::default()
    };
    assert!(wild.clamped().is_none());
    assert_eq!(
        Faults {
            carburettor_ice: 7.0,
            ..Faults::default()
        }
        .clamped()
        .carburettor_ice,
        1.0
    );
}

#[test]
fn faults_are_read_by_name_and_a_slip_is_an_error() {
    let none: Faults = serde_json::from_str("{}").unwrap();
    assert!(none.is_none());
    let some: Faults = serde_json::from_str(r#"{"brake":["weak","none"],"live_magneto":[true,false]}"#).unwrap();
    assert_eq!(some.brake[LEFT_SIDE], BrakeFault::Weak);
    let text = serde_json::to_string(&some).unwrap();
    assert_eq!(serde_json::from_str::<Faults>(&text).unwrap(), some);
    assert!(
        serde_json::from_str::<Faults>(r#"{"brakes":[]}"#)
            .unwrap_err()
            .to_string()
            .contains("brakes")
    );
}
