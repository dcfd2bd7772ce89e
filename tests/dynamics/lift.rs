//! Wheel loads in wind by statics (`toeline_model::air`, what the briefing's margins rest on) against the simulated
//! aeroplane, which leans on its struts, and against hand formulas.

use crate::help::{CALM, engine_off, fleet, ground, pose};
use toeline_dynamics::{Air, Controls, End, Params, State, step};
use toeline_engine::briefing::wind::quarter;
use toeline_engine::briefing::{LIFT_LOOKED_TO_KT, held_right, held_wrong};
use toeline_model::Bearing;
use toeline_model::air::{AirShape, Lifted, OnWheels, Surfaces, first_lift};
use toeline_model::aircraft::catalog;
use toeline_model::airfield::Surface;
use toeline_model::units::{AIR_KGPM3, G_MPS2, KNOT_MPS};

/// Seconds in which the wind grows, and in which it then stays.
const GROWS_S: f64 = 20.0;
const STAYS_S: f64 = 10.0;
const TICKS_A_SECOND: f64 = 240.0;

/// What is left on the wheels, as shares of their loads in calm air.
#[derive(Debug)]
struct Left {
    /// Least of each wheel while the wind stays; nothing when the run has ended before.
    steady: [f64; 3],
    /// Least of each wheel in all.
    ever: [f64; 3],
    end: End,
}

/// Heading east in a wind that grows to `wind_mps` and stays: parked on its brakes with the engine off, or rolling at a
/// speed that throttle and brakes hold. Its inertia in yaw is made so large that it keeps its heading, as a pilot's feet
/// would have it do: in such winds the tyres let most aeroplanes swing into the wind before a wheel lifts.
fn in_wind(p: &Params, from_right_deg: f64, wind_mps: f64, held: &Surfaces, speed_mps: f64) -> Left {
    let p = Params {
        yaw_inertia_kgm2: 1e9,
        ..*p
    };
    let (mut state, off) = if speed_mps > 0.0 {
        (State::rolling(&p, pose(0.0), speed_mps), Controls::default())
    } else {
        let (mut state, off) = engine_off(State::parked(&p, pose(0.0)));
        state.brake = [1.0; 2];
        (state, off)
    };
    let mut left = Left {
        steady: [f64::INFINITY; 3],
        ever: [f64::INFINITY; 3],
        end: End::No,
    };
    let ticks = ((GROWS_S + STAYS_S) * TICKS_A_SECOND) as usize;
    for tick in 0..ticks {
        let time_s = tick as f64 / TICKS_A_SECOND;
        let air = Air {
            wind_from: Some(Bearing::from_deg(90.0 + from_right_deg)),
            wind_mps: wind_mps * (time_s / GROWS_S).min(1.0),
            ..CALM
        };
        let slow_mps = speed_mps - state.forward_mps;
        let brakes = (-0.3 * slow_mps).clamp(0.0, 1.0);
        let controls = Controls {
            parking_brake: speed_mps == 0.0,
            elevator: held.elevator,
            aileron: held.aileron,
            throttle: if speed_mps > 0.0 {
                (0.4 * slow_mps).clamp(0.0, 1.0)
            } else {
                0.0
            },
            left_brake: if speed_mps > 0.0 { brakes } else { 0.0 },
            right_brake: if speed_mps > 0.0 { brakes } else { 0.0 },
            ..off
        };
        state = step(&p, &ground(Surface::Paved, false), &air, &state, &controls);
        for i in 0..3 {
            let share = state.load_n[i] / p.static_load_n()[i];
            left.ever[i] = left.ever[i].min(share);
            if time_s > GROWS_S {
                left.steady[i] = left.steady[i].min(share);
            }
        }
        if state.end != End::No {
            left.end = state.end;
            left.steady = [0.0; 3];
            break;
        }
    }
    left
}

/// Shares of the wind that lifts by statics, at which the simulated wheels must still bear and must have lifted. Loads go
/// with the square of the wind: 3 per cent of wind are 6 per cent of what a wheel carries. Statics know the springs; what is
/// left between the two is the body that still rocks a little, and the height that it loses by leaning (second order).
const BEARS: f64 = 0.97;
const LIFTS: f64 = 1.03;

fn against_the_world(speed_kt: impl Fn(&toeline_model::Aircraft) -> f64, bears: f64, lifts: f64) {
    let mut lifted_cases = 0;
    for (a, p) in fleet() {
        let on = OnWheels::of(&a);
        let speed_mps = speed_kt(&a) * KNOT_MPS;
        let limit_mps = LIFT_LOOKED_TO_KT * KNOT_MPS;
        for angle_deg in [-135.0, -45.0, 45.0, 135.0] {
            let q = quarter(angle_deg);
            for (how, held) in [("right", held_right(q)), ("wrong", held_wrong(q))] {
                let found = first_lift(&on, angle_deg.to_radians(), speed_mps, &held, limit_mps);
                let below = in_wind(
                    &p,
                    angle_deg,
                    bears * found.map_or(limit_mps, |f| f.wind_mps),
                    &held,
                    speed_mps,
                );
                let least = below.steady.into_iter().fold(f64::INFINITY, f64::min);
                let told = format!("{} {angle_deg} held {how}: {found:?}, below {below:.3?}", a.id);
                assert!(below.end == End::No && least > 0.0, "{told}");
                let Some(Lifted { wheel, wind_mps }) = found else {
                    println!(
                        "{} {angle_deg} held {how}: none below 60 kt, at {bears} of it {least:.2}",
                        a.id
                    );
                    continue;
                };
                let above = in_wind(&p, angle_deg, lifts * wind_mps, &held, speed_mps);
                println!(
                    "{} {angle_deg} held {how}: wheel {wheel} at {:.1} kt; least share at {bears} of it {least:.2}, of that wheel \
                     at {lifts} {:.2}",
                    a.id,
                    wind_mps / KNOT_MPS,
                    above.ever[wheel]
                );
                assert_eq!(above.ever[wheel], 0.0, "{told}, above {above:.3?}");
                lifted_cases += 1;
            }
        }
    }
    assert!(lifted_cases >= 24, "only {lifted_cases} cases lift below the limit");
}

#[test]
fn parked_in_the_wind_of_the_margin_wheels_bear_below_it_and_lift_above() {
    against_the_world(|_| 0.0, BEARS, LIFTS);
}

/// Rolling, the propeller's thrust and torque and the brakes in a tailwind add to what statics know.
#[test]
fn rolling_in_it_at_taxi_speed_too() {
    against_the_world(|a| a.taxi.straight_kt, 0.93, 1.07);
}

/// On stiff legs: the body does not lean, as hand formulas have it.
fn stiff(on: OnWheels) -> OnWheels {
    OnWheels {
        sinks_m: [0.0; 2],
        ..on
    }
}

/// Side wind on a bare box: the windward wheel lifts when the overturning moment about the lee wheel is the weight on the main
/// wheels times half the track, that is the weight times the half track that counts, (T/2)·(a/L).
#[test]
fn a_side_wind_on_a_stripped_shape_is_the_hand_formula() {
    for a in catalog::all() {
        let whole = OnWheels::of(&a);
        let nothing = AirShape {
            drag_area_m2: 0.0,
            wing_area_m2: 0.0,
            tail_area_m2: 0.0,
            elevator_area_m2: 0.0,
            aileron_volume_m3: 0.0,
            dihedral_volume_m3: 0.0,
            fin_area_m2: 0.0,
            rudder_area_m2: 0.0,
            ..whole.air
        };
        let on = stiff(OnWheels { air: nothing, ..whole });
        let wheelbase_m = on.nose_ahead_m + on.axle_behind_m;
        let counts_m = on.track_m / 2.0 * on.nose_ahead_m / wheelbase_m;
        let moment_nm = on.mass_kg * G_MPS2 * counts_m;
        let want_mps = (moment_nm / (AIR_KGPM3 / 2.0 * nothing.side_area_m2 * nothing.side_height_m)).sqrt();
        for (from_deg, wheel) in [(90.0_f64, 2), (-90.0, 1)] {
            let got = first_lift(&on, from_deg.to_radians(), 0.0, &Surfaces::default(), 200.0).expect("lifts");
            assert_eq!(got.wheel, wheel, "the windward one: {got:?}");
            assert!(
                (got.wind_mps / want_mps - 1.0).abs() < 1e-6,
                "{}: {got:?} against {want_mps}",
                a.id
            );
        }
        // On springs it leans to leeward, which brings the centre of gravity toward the lee wheel: it lifts sooner, by less
        // than a twentieth.
        let leaning = OnWheels { air: nothing, ..whole };
        let sooner = first_lift(&leaning, 1.57, 0.0, &Surfaces::default(), 200.0).expect("lifts");
        assert!(
            (0.95..1.0).contains(&(sooner.wind_mps / want_mps)),
            "{}: {sooner:?}",
            a.id
        );
        // The nose wheel keeps its share: a force across does not tip it.
        let load_n = on.loads_n([0.0, -want_mps], &Surfaces::default());
        let static_n = on.loads_n([0.0, 0.0], &Surfaces::default());
        assert!((load_n[0] / static_n[0] - 1.0).abs() < 1e-12 && load_n[2].abs() < 1e-6 * static_n[2]);
    }
}

/// Wind from straight ahead on a bare wing: lift spreads over the wheels like the weight and takes it all at once where the
/// lift is the weight; with drag the nose is pressed up by its moment about the ground.
#[test]
fn a_headwind_on_a_bare_wing_lifts_with_its_weight() {
    for a in catalog::all() {
        let whole = OnWheels::of(&a);
        let air = AirShape {
            drag_area_m2: 0.0,
            lift_drag: 0.0,
            ..whole.air
        };
        let on = stiff(OnWheels { air, ..whole });
        let want_mps = (2.0 * on.mass_kg * G_MPS2 / (AIR_KGPM3 * air.wing_area_m2 * air.rest_lift)).sqrt();
        let got = first_lift(&on, 0.0, 0.0, &Surfaces::default(), 200.0).expect("lifts");
        assert!(
            (got.wind_mps / want_mps - 1.0).abs() < 1e-6,
            "{}: {got:?} against {want_mps}",
            a.id
        );
        // Rolling into it counts as wind.
        let rolling = first_lift(&on, 0.0, 6.0, &Surfaces::default(), 200.0).expect("lifts");
        assert!((rolling.wind_mps + 6.0 - got.wind_mps).abs() < 1e-5);

        let air = AirShape {
            wing_area_m2: 0.0,
            drag_area_m2: 2.0,
            ..whole.air
        };
        let on = stiff(OnWheels { air, ..whole });
        let speed_mps: f64 = 30.0;
        let drag_n = AIR_KGPM3 / 2.0 * 2.0 * speed_mps * speed_mps;
        let off_nose_n = drag_n * on.cg_height_m / (on.nose_ahead_m + on.axle_behind_m);
        let (calm, blown) = (
            on.loads_n([0.0, 0.0], &Surfaces::default()),
            on.loads_n([speed_mps, 0.0], &Surfaces::default()),
        );
        assert!((calm[0] - blown[0] - off_nose_n).abs() < 1e-9);
        assert!((blown.iter().sum::<f64>() - on.mass_kg * G_MPS2).abs() < 1e-9);
    }
}

/// The load need not fall steadily with the wind: the first zero counts. Rolling at 15 m/s with the wind from behind, the flow
/// over the wing passes through nothing on the way.
#[test]
fn the_first_zero_is_found_where_the_load_rises_again() {
    let a = catalog::find("motorglider-15").expect("built in");
    let on = OnWheels::of(&a);
    let held = Surfaces {
        elevator: -1.0,
        ..Surfaces::default()
    };
    let speed_mps = 18.0;
    let nose = |wind_mps: f64| on.loads_n([speed_mps - wind_mps, 0.0], &held)[0];
    assert!(
        nose(0.0) < 0.0 && nose(18.0) > 0.0,
        "lifted in calm air, down in a tailwind"
    );
    let got = first_lift(&on, std::f64::consts::PI, speed_mps, &held, 40.0).expect("lifts");
    assert_eq!((got.wheel, got.wind_mps), (0, 0.0));
    // Slower, it bears at first; the zero found is the first: all wheels bear at every finer step below it.
    for speed_mps in [0.0, 4.0, 8.0, 12.0] {
        for tenth in 0..36 {
            let angle = f64::from(tenth) * 0.1745;
            let Some(got) = first_lift(&on, angle, speed_mps, &held, 45.0) else {
                continue;
            };
            let least = |wind: f64| {
                let through = [speed_mps + wind * angle.cos(), -wind * angle.sin()];
                on.loads_n(through, &held).into_iter().fold(f64::INFINITY, f64::min)
            };
            let mut wind = 0.0;
            while wind < got.wind_mps - 1e-4 {
                assert!(least(wind) > 0.0, "{angle} {speed_mps}: {wind} below {got:?}");
                wind += 0.0037;
            }
            assert!(least(got.wind_mps + 1e-4) <= 0.0, "{angle} {speed_mps}: {got:?}");
        }
    }
}
