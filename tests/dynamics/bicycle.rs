//! The linear bicycle model's closed forms on the shipped step.
//!
//! Source: standards D2 (Gillespie, chapter 6, and Rajamani, chapter 3, from memory; re-derived): yaw rate over nose-wheel
//! angle V/(L + K·V²), K = m·b/(L·C_f) - m·a/(L·C_r), critical speed √(-L/K), with its two worked rows. The step is
//! brought to that model by the values of its parameters alone: no air, no thrust, the centre of gravity on the ground and
//! the main wheels a millimetre apart (the model neither leans nor has a width), and wheels so heavy that rolling resistance
//! takes nothing off the speed. Angles are of the order of 1e-7, where the brush tyre is linear.

use crate::help::{CALM, engine_off, ground, plane, pose};
use toeline_dynamics::{Controls, LEFT, NOSE, Params, RIGHT, State, step};
use toeline_model::airfield::Surface;
use toeline_model::units::G_MPS2;

/// Seconds until a circle is steady, and in which a swing's growth is looked at.
const SETTLES_S: u32 = 60;
const GROWS_S: u32 = 40;
/// Relative bound of the worked figures (standards, row 19 of its table).
const BOUND: f64 = 1e-4;

/// Mass, places of the two axles and their cornering stiffness.
#[derive(Clone, Copy)]
struct Axles {
    mass_kg: f64,
    ahead_m: f64,
    behind_m: f64,
    nose_n: f64,
    main_n: f64,
}

/// A row of the standard: K (rad·s²/m), critical speed, and speeds with their yaw gain, as worked there.
struct Row {
    axles: Axles,
    gradient: f64,
    critical_mps: f64,
    gains: &'static [[f64; 2]],
}

const WORKED: [Row; 2] = [
    Row {
        axles: Axles {
            mass_kg: 1100.0,
            ahead_m: 1.40,
            behind_m: 0.25,
            nose_n: 20_000.0,
            main_n: 60_000.0,
        },
        gradient: -0.007_222_2,
        critical_mps: 15.1149,
        gains: &[[5.0, 3.402_65], [10.0, 10.7784]],
    },
    Row {
        axles: Axles {
            mass_kg: 1000.0,
            ahead_m: 1.45,
            behind_m: 0.20,
            nose_n: 15_000.0,
            main_n: 100_000.0,
        },
        // Worked to six places: -0.000707.
        gradient: -0.000_707,
        critical_mps: 48.307,
        gains: &[[5.0, 3.063_12]],
    },
];

impl Axles {
    fn gradient(&self) -> f64 {
        let base = self.ahead_m + self.behind_m;
        self.mass_kg * (self.behind_m / self.nose_n - self.ahead_m / self.main_n) / base
    }

    fn gain(&self, speed: f64) -> f64 {
        speed / (self.ahead_m + self.behind_m + self.gradient() * speed * speed)
    }

    fn critical_mps(&self) -> f64 {
        (-(self.ahead_m + self.behind_m) / self.gradient()).sqrt()
    }

    fn params(&self) -> Params {
        let mut p = plane("trainer-high-2");
        (
            p.air.drag_area_m2,
            p.air.side_area_m2,
            p.air.fin_area_m2,
            p.air.rudder_area_m2,
        ) = (0.0, 0.0, 0.0, 0.0);
        (p.air.wing_area_m2, p.air.tail_area_m2, p.air.elevator_area_m2) = (0.0, 0.0, 0.0);
        (p.air.aileron_volume_m3, p.air.dihedral_volume_m3, p.air.roll_damping_m4) = (0.0, 0.0, 0.0);
        (p.static_thrust_n, p.torque_nm, p.blade_lever_ns) = (0.0, 0.0, 0.0);
        (p.cg_height_m, p.track_m, p.trail_m) = (0.0, 0.001, 0.0);
        p.mass_kg = self.mass_kg;
        (p.nose_ahead_m, p.axle_behind_m) = (self.ahead_m, self.behind_m);
        p.wheelbase_m = self.ahead_m + self.behind_m;
        let loads = p.static_load_n();
        p.tyre_per_load[NOSE] = self.nose_n / loads[NOSE];
        for wheel in [LEFT, RIGHT] {
            p.tyre_per_load[wheel] = self.main_n / (loads[LEFT] + loads[RIGHT]);
        }
        for (i, load) in loads.into_iter().enumerate() {
            // Ten million times the mass that rests on the wheel, at its rim.
            p.wheel_inertia_kgm2[i] = 1e7 * load / G_MPS2 * p.wheel_radius_m[i] * p.wheel_radius_m[i];
        }
        p
    }
}

/// Yaw rate over nose-wheel angle in a steady circle, with a pedal small enough for the brush tyre to be linear.
fn yaw_gain(p: &Params, speed: f64) -> f64 {
    let (mut state, mut controls) = engine_off(State::rolling(p, pose(0.0), speed));
    controls.rudder = -2e-7 / p.pedal_limit_rad;
    for _ in 0..240 * SETTLES_S {
        state = step(p, &ground(Surface::Paved, false), &CALM, &state, &controls);
    }
    assert!(
        (state.forward_mps / speed - 1.0).abs() < 1e-5,
        "the speed is to stay: {}",
        state.forward_mps
    );
    state.yaw_radps / state.nose_wheel_rad
}

/// How fast a small swing grows (positive) or dies, 1/s, long after it began.
fn growth(p: &Params, speed: f64) -> f64 {
    let seconds = GROWS_S;
    let (mut state, controls) = engine_off(State::rolling(p, pose(0.0), speed));
    state.yaw_radps = 1e-6;
    let mut half = 0.0;
    for tick in 0..240 * seconds {
        if tick == 120 * seconds {
            half = state.yaw_radps;
        }
        state = step(
            p,
            &ground(Surface::Paved, false),
            &CALM,
            &state,
            &Controls {
                rudder: 0.0,
                ..controls
            },
        );
    }
    2.0 / f64::from(seconds) * (state.yaw_radps / half).ln()
}

/// K from the steady circle at a speed.
fn gradient(p: &Params, speed: f64) -> f64 {
    (speed / yaw_gain(p, speed) - p.wheelbase_m) / (speed * speed)
}

fn near(got: f64, want: f64) -> bool {
    (got / want - 1.0).abs() < BOUND
}

#[test]
fn yaw_gain_is_that_of_the_worked_rows() {
    for row in &WORKED {
        let p = row.axles.params();
        for [speed, want] in row.gains {
            let got = yaw_gain(&p, *speed);
            println!("yaw gain at {speed} m/s: {got:.6} 1/s, worked {want}");
            assert!(near(got, *want), "at {speed} m/s: {got}, want {want}");
        }
        // And by the formula up to eight tenths of the critical speed; nearer to it a circle takes minutes to settle.
        for share in [0.1, 0.3, 0.6, 0.8] {
            let speed = share * row.critical_mps;
            let (got, want) = (yaw_gain(&p, speed), row.axles.gain(speed));
            assert!(near(got, want), "at {speed} m/s: {got}, want {want}");
        }
    }
}

#[test]
fn the_understeer_gradient_comes_out_of_circles_at_several_speeds() {
    for row in &WORKED {
        let p = row.axles.params();
        let want = row.axles.gradient();
        assert!(
            (want - row.gradient).abs() < 1e-7,
            "{want} against the worked {}",
            row.gradient
        );
        for speed in [4.0, 7.0, 10.0, 13.0] {
            let got = gradient(&p, speed);
            // What the circle measures is L + K·V²: the bound is that of the yaw gain.
            let off = (got - want).abs() * speed * speed / (p.wheelbase_m + want * speed * speed);
            println!("K at {speed} m/s: {got:.8}, formula {want:.8}");
            assert!(off < BOUND, "at {speed} m/s: {got}, want {want}");
        }
    }
}

#[test]
fn a_swing_dies_below_the_critical_speed_and_grows_above() {
    for row in &WORKED {
        let p = row.axles.params();
        let want = row.axles.critical_mps();
        assert!(
            near(want, row.critical_mps),
            "{want} against the worked {}",
            row.critical_mps
        );
        let (below, above) = (growth(&p, (1.0 - BOUND) * want), growth(&p, (1.0 + BOUND) * want));
        println!("{want:.4} m/s: {below:.6} and {above:.6} 1/s a ten-thousandth below and above");
        assert!(below < 0.0 && above > 0.0, "{below} and {above}");
        // Further away it is no close thing.
        assert!(growth(&p, 0.9 * want) < -0.05 && growth(&p, 1.1 * want) > 0.05);
    }
}

#[test]
fn with_a_soft_nose_the_gain_is_greatest_at_the_characteristic_speed() {
    // K > 0: at √(L/K) the gain is half of V/L, and less on both sides.
    let axles = Axles {
        nose_n: 8_000.0,
        ..WORKED[1].axles
    };
    let (p, k) = (axles.params(), axles.gradient());
    let speed = (p.wheelbase_m / k).sqrt();
    let at = yaw_gain(&p, speed);
    println!("K {k:.6}, characteristic speed {speed:.3} m/s, gain {at:.5} 1/s");
    assert!(near(at, speed / (2.0 * p.wheelbase_m)), "{at}");
    assert!(yaw_gain(&p, 0.8 * speed) < at && yaw_gain(&p, 1.2 * speed) < at);
}

#[test]
fn a_tyre_stiffness_or_wheelbase_five_per_cent_off_would_be_seen() {
    for row in &WORKED {
        let right = row.axles.params();
        let mut wrong = [right; 3];
        wrong[0].tyre_per_load[NOSE] *= 1.05;
        wrong[1].tyre_per_load[LEFT] *= 1.05;
        wrong[1].tyre_per_load[RIGHT] *= 1.05;
        wrong[2].nose_ahead_m += 0.05 * right.wheelbase_m;
        wrong[2].wheelbase_m *= 1.05;
        for (p, what) in wrong.iter().zip(["nose tyre", "main tyres", "wheelbase"]) {
            let [speed, want] = row.gains[0];
            let got = yaw_gain(p, speed);
            println!(
                "{what} 5 % off: yaw gain {:.2} % off at {speed} m/s",
                100.0 * (got / want - 1.0)
            );
            assert!(!near(got, want), "{what}: {got} is taken for {want}");
            let critical = row.axles.critical_mps();
            let (below, above) = (growth(p, (1.0 - BOUND) * critical), growth(p, (1.0 + BOUND) * critical));
            assert!(below.signum() == above.signum(), "{what}: {below} and {above}");
        }
    }
}
