//! The drive whose end is known to the last bit. Used by the golden test and by the bench.

use toeline_dynamics::{Air, Controls, Ground, Params, State, step};
use toeline_model::airfield::Surface;
use toeline_model::{Bearing, Pose, Xy, Yaw, aircraft::catalog};

/// Hash over the end states of all built-in aeroplanes after [`TICKS`] ticks each, physics version 2.
pub(crate) const GOLDEN: u64 = 0x7d5f_7fc0_39b0_fc02;

/// Ticks that each aeroplane drives: 40 s.
pub(crate) const TICKS: u64 = 9600;

/// Controls of a tick: numbers that need no mathematical library.
pub(crate) fn controls(tick: u64) -> Controls {
    let wave = |period: u64| ((tick % period) as f64 / period as f64 * 2.0 - 1.0).abs() * 2.0 - 1.0;
    if tick > 6000 {
        return Controls {
            parking_brake: true,
            ..Controls::default()
        };
    }
    Controls {
        rudder: wave(900),
        left_brake: wave(1300).max(0.0) * 0.6,
        right_brake: wave(1700).max(0.0) * 0.6,
        throttle: 0.25 + 0.2 * wave(2100),
        elevator: wave(1100),
        aileron: wave(700),
        ..Controls::default()
    }
}

/// Drives all built-in aeroplanes; gives the combined hash and the end states.
pub(crate) fn drive() -> (u64, Vec<State>) {
    let ground = Ground {
        surface: Surface::Paved,
        wet: false,
        ..Ground::default()
    };
    let air = Air {
        wind_from: Some(Bearing::from_deg(240.0)),
        wind_mps: 6.0,
        ..Air::default()
    };
    let pose = Pose {
        nose: Xy { x: 10.0, y: -20.0 },
        heading_rad: Yaw::from_rad(0.75),
    };
    let mut combined: u64 = 0;
    let mut ends = Vec::new();
    for aircraft in catalog::all() {
        let p = Params::from_aircraft(&aircraft);
        let mut state = State::parked(&p, pose);
        for tick in 0..TICKS {
            state = step(&p, &ground, &air, &state, &controls(tick));
        }
        combined = combined.rotate_left(7) ^ state.hash();
        ends.push(state);
    }
    (combined, ends)
}
