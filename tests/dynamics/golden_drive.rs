//! The drive whose end is known to the last bit. Used by the golden test and by the bench.

use toeline_dynamics::faults::BrakeFault;
use toeline_dynamics::{Air, Blast, Controls, Faults, Ground, Gust, Params, State, TowBar, step};
use toeline_model::airfield::Surface;
use toeline_model::{Bearing, Pose, Xy, Yaw, aircraft::catalog};

/// Hash over the end states of all built-in aeroplanes after [`TICKS`] ticks each, physics version 3.
pub(crate) const GOLDEN: u64 = 0x1811_aeee_28ea_d8d1;

/// Ticks that each aeroplane drives: 40 s.
pub(crate) const TICKS: u64 = 9600;

/// Controls of a tick: numbers that need no mathematical library.
pub(crate) fn controls(tick: u64) -> Controls {
    let wave = |period: u64| ((tick % period) as f64 / period as f64 * 2.0 - 1.0).abs() * 2.0 - 1.0;
    if tick > 6000 {
        return Controls {
            parking_brake: true,
            mixture: 0.0,
            tow_bar: (tick > 8000).then_some(TowBar {
                pull_n: 150.0,
                angle_rad: 0.3,
            }),
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

/// Ground, air and faults of the n-th aeroplane: between them every surface, gusts, a blast, a slope and several faults.
fn world(n: usize) -> (Ground, Air, Faults) {
    let surface = [Surface::Paved, Surface::Grass, Surface::Loose, Surface::Ice][n % 4];
    let ground = Ground {
        surface,
        wet: n % 2 == 1,
        rise: if n == 1 { [0.005, -0.003] } else { [0.0; 2] },
    };
    let air = Air {
        wind_from: Some(Bearing::from_deg(240.0)),
        wind_mps: if surface == Surface::Ice { 1.0 } else { 6.0 },
        gust: (n == 2).then_some(Gust {
            extra_mps: 5.0,
            length_s: 3.0,
            begins_s: 4.0,
            repeats: true,
        }),
        blast: (n == 4).then_some(Blast {
            east_m: 0.0,
            north_m: -20.0,
            toward: Bearing::from_deg(80.0),
            speed_mps: 15.0,
            diameter_m: 1.9,
        }),
    };
    let mut faults = Faults::default();
    faults.brake[n % 2] = [BrakeFault::None, BrakeFault::Weak, BrakeFault::Seized][n % 3];
    faults.flat_tyre[0] = n == 3;
    faults.steering_play_rad = if n == 4 { 0.02 } else { 0.0 };
    (ground, air, faults)
}

/// One built-in aeroplane's drive from its state at `from`.
fn on_from(n: usize, p: &Params, mut state: State) -> State {
    let (ground, air, _) = world(n);
    while state.tick < TICKS {
        state = step(p, &ground, &air, &state, &controls(state.tick));
    }
    state
}

/// Drives all built-in aeroplanes, each interrupted by `pause`, which may save and restore; gives the combined hash and
/// the end states.
pub(crate) fn drive_with(pause: impl Fn(State) -> State) -> (u64, Vec<State>) {
    let pose = Pose {
        nose: Xy { x: 10.0, y: -20.0 },
        heading_rad: Yaw::from_rad(0.75),
    };
    let mut combined: u64 = 0;
    let mut ends = Vec::new();
    for (n, aircraft) in catalog::all().iter().enumerate() {
        let (ground, air, faults) = world(n);
        let p = Params {
            faults,
            ..Params::from_aircraft(aircraft)
        };
        let mut state = State::parked(&p, pose);
        while state.tick < 3217 {
            state = step(&p, &ground, &air, &state, &controls(state.tick));
        }
        let state = on_from(n, &p, pause(state));
        combined = combined.rotate_left(7) ^ state.hash();
        ends.push(state);
    }
    (combined, ends)
}

/// The same in one go.
pub(crate) fn drive() -> (u64, Vec<State>) {
    drive_with(|state| state)
}
