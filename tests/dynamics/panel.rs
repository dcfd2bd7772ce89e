//! Engine check, faults and instruments through the shipped step.

use crate::help::{CALM, drive, ground, plane, pose};
use toeline_dynamics::engine::{EngineState, MagnetoSwitch};
use toeline_dynamics::faults::BrakeFault;
use toeline_dynamics::instruments::{self, InstrumentParams, Instruments, Place, Seen};
use toeline_dynamics::{Controls, Faults, Ground, Params, State, TICK_S, step};
use toeline_model::aircraft::catalog;
use toeline_model::airfield::Surface;
use toeline_model::units::DEG;

fn paved() -> Ground {
    ground(Surface::Paved, false)
}

fn throttle(p: &Params, rpm: f64) -> f64 {
    (rpm - p.idle_rpm) / (p.full_rpm - p.idle_rpm)
}

fn broken(id: &str, faults: Faults) -> Params {
    Params { faults, ..plane(id) }
}

/// Speeds on both, left, right, and with carburettor heat, held on the brakes at the check speed.
fn check(p: &Params) -> [f64; 4] {
    let both = Controls {
        parking_brake: true,
        throttle: throttle(p, 1700.0),
        ..Controls::default()
    };
    let start = State {
        brake: [1.0; 2],
        ..State::parked(p, pose(0.0))
    };
    let settled = drive(p, &paved(), start, &both, 240 * 15);
    let after = |c: Controls| drive(p, &paved(), settled, &c, 240 * 10).engine.rpm;
    [
        settled.engine.rpm,
        after(Controls {
            magnetos: MagnetoSwitch::Left,
            ..both
        }),
        after(Controls {
            magnetos: MagnetoSwitch::Right,
            ..both
        }),
        after(Controls {
            carburettor_heat: 1.0,
            ..both
        }),
    ]
}

/// Handbook text: 25 to 75 rpm on each magneto, even on both (standards.md F).
#[test]
fn the_engine_check_of_a_sound_trainer_by_the_step() {
    let [both, left, right, hot] = check(&plane("trainer-high-2"));
    println!("both {both:.1}, left {left:.1}, right {right:.1}, carburettor heat {hot:.1} rpm");
    assert!((both - 1700.0).abs() < 1.0);
    for one in [left, right] {
        assert!((25.0..=75.0).contains(&(both - one)), "{one}");
    }
    assert!(
        (left - right).abs() < 50.0 && (20.0..=100.0).contains(&(both - hot)),
        "{hot}"
    );
    // No drop on the side that cannot be silenced: the dangerous one.
    let live = Faults {
        live_magneto: [false, true],
        ..Faults::default()
    };
    let [both, left, right, _] = check(&broken("trainer-high-2", live));
    assert!(
        (both - left).abs() < 0.1 && both - right > 25.0,
        "{both} {left} {right}"
    );
}

#[test]
fn the_step_starts_and_stops_the_engine() {
    let p = plane("trainer-high-2");
    let parked = State {
        engine: EngineState::stopped(&p.engine),
        ..State::parked(&p, pose(0.0))
    };
    let ready = Controls {
        parking_brake: true,
        ..Controls::default()
    };
    assert_eq!(drive(&p, &paved(), parked, &ready, 2400).engine.rpm, 0.0);
    let cranked = drive(&p, &paved(), parked, &Controls { starter: true, ..ready }, 480);
    let idling = drive(&p, &paved(), cranked, &ready, 2400);
    assert!((idling.engine.rpm - p.idle_rpm).abs() < 1.0 && idling.engine.oil_kpa > 200.0);
    let off = Controls {
        magnetos: MagnetoSwitch::Off,
        ..ready
    };
    assert_eq!(drive(&p, &paved(), idling, &off, 2400).engine.rpm, 0.0);
}

/// Heading in degrees, left positive, after some seconds of straight rolling with the feet off.
fn swings(p: &Params, controls: &Controls, seconds: usize) -> f64 {
    drive(p, &paved(), State::rolling(p, pose(0.0), 5.0), controls, 240 * seconds).yaw_rad / DEG
}

#[test]
fn a_bad_brake_or_tyre_pulls_to_its_side() {
    let p = plane("trainer-high-2");
    let free = Controls {
        throttle: throttle(&p, 1100.0),
        ..Controls::default()
    };
    let pressed = Controls {
        left_brake: 0.3,
        right_brake: 0.3,
        ..Controls::default()
    };
    let (straight, stopped) = (swings(&p, &free, 3), swings(&p, &pressed, 3));
    let bad = |faults| broken("trainer-high-2", faults);
    for (side, sign) in [(0, 1.0), (1, -1.0)] {
        let mut brake = [BrakeFault::None; 2];
        brake[side] = BrakeFault::Seized;
        let seized = swings(
            &bad(Faults {
                brake,
                ..Faults::default()
            }),
            &free,
            3,
        ) - straight;
        brake[side] = BrakeFault::Weak;
        let weak = swings(
            &bad(Faults {
                brake,
                ..Faults::default()
            }),
            &pressed,
            3,
        ) - stopped;
        brake[side] = BrakeFault::Failed;
        let failed = swings(
            &bad(Faults {
                brake,
                ..Faults::default()
            }),
            &pressed,
            3,
        ) - stopped;
        let mut flat_tyre = [false; 3];
        flat_tyre[1 + side] = true;
        let flat = bad(Faults {
            flat_tyre,
            ..Faults::default()
        });
        let pull = swings(&flat, &free, 3) - straight;
        println!("side {side}: seized {seized:.1}, weak {weak:.1}, failed {failed:.1}, flat {pull:.1} degrees");
        assert!(seized * sign > 1.0, "a seized brake pulls to its side: {seized}");
        assert!(
            weak * sign < -0.2 && failed * sign < weak * sign,
            "to the good side: {weak} {failed}"
        );
        assert!(pull * sign > 0.1, "a flat tyre pulls to its side: {pull}");
        let parked = drive(&flat, &paved(), State::parked(&flat, pose(0.0)), &pressed, 2400);
        assert!(
            parked.roll_rad * sign < -0.2 * DEG,
            "and lets its wing down: {}",
            parked.roll_rad / DEG
        );
    }
}

#[test]
fn play_in_the_steering_swallows_small_pedals() {
    let sound = plane("trainer-high-2");
    let loose = broken(
        "trainer-high-2",
        Faults {
            steering_play_rad: 2.0 * DEG,
            ..Faults::default()
        },
    );
    let small = Controls {
        rudder: -0.15,
        throttle: throttle(&sound, 1000.0),
        ..Controls::default()
    };
    let wheel = |p: &Params| drive(p, &paved(), State::rolling(p, pose(0.0), 3.0), &small, 240).nose_wheel_rad / DEG;
    let (tight, slack) = (wheel(&sound), wheel(&loose));
    println!("nose wheel {tight:.2} degrees, with play {slack:.2}");
    assert!(tight > 1.0 && slack < 0.5 * tight, "{tight} {slack}");
}

#[test]
fn a_flat_nose_tyre_turns_wider() {
    let sound = plane("trainer-high-2");
    let flat = broken(
        "trainer-high-2",
        Faults {
            flat_tyre: [true, false, false],
            ..Faults::default()
        },
    );
    let turn = Controls {
        rudder: -0.6,
        throttle: throttle(&sound, 1200.0),
        ..Controls::default()
    };
    // Turn for each metre of way, over what the wheel's angle alone would give.
    let answers = |p: &Params| {
        let s = drive(p, &paved(), State::rolling(p, pose(0.0), 7.0), &turn, 240);
        s.yaw_radps / s.forward_mps / (s.nose_wheel_rad.tan() / p.wheelbase_m)
    };
    let (good, bad) = (answers(&sound), answers(&flat));
    println!("turns {good:.3} of the geometry, with a flat nose tyre {bad:.3}");
    assert!(bad < good - 0.02, "{good} {bad}");
}

/// A turn to the right from north in the northern hemisphere: the compass lags the heading indicator (standards.md C6),
/// the turn indicator shows right, the ball goes left, the airspeed stays on its peg.
#[test]
fn the_panel_shows_a_taxi_turn_as_a_pilot_sees_it() {
    let p = plane("trainer-high-2");
    let gauges = InstrumentParams::from_aircraft(&catalog::find("trainer-high-2").unwrap());
    let place = Place {
        latitude_rad: 51.0 * DEG,
        dip_rad: 66.5 * DEG,
        ..Place::default()
    };
    let mut state = State::rolling(&p, pose(90.0 * DEG), 4.0);
    state.engine.rpm = 1100.0;
    let mut shown = Instruments::set(&gauges, &Seen::of(&p, &CALM, &state, &place, 0.0));
    let right = Controls {
        rudder: 0.8,
        throttle: throttle(&p, 1100.0),
        ..Controls::default()
    };
    let mut most = (0.0_f64, 0.0_f64, 0.0_f64);
    while state.yaw_rad > 60.0 * DEG {
        state = step(&p, &paved(), &CALM, &state, &right);
        assert!(state.tick < 4800, "it turns");
        shown = instruments::next(
            &gauges,
            &shown,
            &Seen::of(&p, &CALM, &state, &place, 0.0),
            &p.faults,
            TICK_S,
        );
        let behind = (shown.gyros.heading_rad - shown.compass.reading_rad) / DEG;
        let behind = (behind + 540.0).rem_euclid(360.0) - 180.0;
        most = (
            most.0.max(behind),
            most.1.max(shown.gyros.turn_radps),
            most.2.min(shown.gyros.ball_rad),
        );
    }
    println!(
        "compass {:.1} degrees behind, ball {:.1}, turn {:.2} rad/s",
        most.0,
        most.2 / DEG,
        most.1
    );
    assert!(most.0 > 2.0 && most.1 > 0.1 && most.2 < -DEG);
    assert_eq!(shown.air.airspeed_mps, 0.0);
    assert!((shown.rpm - state.engine.rpm).abs() < 5.0 && shown.suction_kpa > 0.0);
}
