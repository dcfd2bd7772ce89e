//! Standing still, and not standing still when the brakes are too weak.

use crate::help::{CALM, drive, fleet, ground, pose};
use toeline_dynamics::{Air, Controls, LEFT, State, step};
use toeline_model::Bearing;
use toeline_model::airfield::Surface;
use toeline_model::units::{G_MPS2, KNOT_MPS};

fn place(s: &State) -> [u64; 3] {
    [s.x_m, s.y_m, s.yaw_rad].map(f64::to_bits)
}

#[test]
fn parked_on_its_brakes_in_fifteen_knots_nothing_moves_in_a_minute() {
    let controls = Controls {
        parking_brake: true,
        ..Controls::default()
    };
    for on in [ground(Surface::Paved, false), ground(Surface::Grass, true)] {
        for (a, p) in fleet() {
            for from in [0.0, 50.0, 90.0, 135.0, 180.0, 270.0, 333.0] {
                let air = Air {
                    wind_from: Some(Bearing::from_deg(from)),
                    wind_mps: 15.0 * KNOT_MPS,
                    ..Air::default()
                };
                let start = State::parked(&p, pose(0.9));
                let mut state = start;
                let mut rested = None;
                for tick in 0..14_400 {
                    state = step(&p, &on, &air, &state, &controls);
                    // The struts take up the wind and sway for some seconds; the wheels do not move.
                    if tick == 2400 {
                        rested = Some(place(&state));
                    }
                }
                let moved = state.pose(&p).nose.distance(start.pose(&p).nose);
                assert!(
                    moved < 1e-3,
                    "{} wind from {from}: moved {moved} m while the pressure rose",
                    a.id
                );
                assert_eq!(
                    Some(place(&state)),
                    rested,
                    "{} wind from {from}: moved after the first ten seconds",
                    a.id
                );
                assert_eq!(
                    [state.forward_mps, state.left_mps, state.yaw_radps],
                    [0.0; 3],
                    "{} wind from {from}",
                    a.id
                );
            }
        }
    }
}

#[test]
fn brakes_hold_against_thrust_exactly_when_they_are_strong_enough() {
    // Statics: two brakes and the rolling resistance of all wheels against the thrust, unless the main wheels slide first.
    let on = ground(Surface::Paved, false);
    let (mut held, mut crept) = (0, 0);
    for (a, p) in fleet() {
        for toe in [0.0, 0.3, 0.6, 0.8, 1.0] {
            for throttle in [0.0, 0.5, 1.0] {
                let controls = Controls {
                    left_brake: toe,
                    right_brake: toe,
                    throttle,
                    ..Controls::default()
                };
                // Twenty seconds, so that the body has done swaying on its struts.
                let mut start = State::parked(&p, pose(0.0));
                start.brake = [toe, toe];
                let mut state = drive(&p, &on, start, &controls, 4800);
                let thrust = toeline_dynamics::engine::thrust_n(&p, state.engine.rpm.min(p.full_rpm), 0.0);
                let weight = p.mass_kg * G_MPS2;
                let brakes = 2.0 * toe * p.full_brake_nm / p.wheel_radius_m[LEFT] + on.rolling() * weight;
                let nose = (weight * p.axle_behind_m + p.thrust_height_m * thrust) / p.wheelbase_m;
                let tyres = on.friction() * (weight - nose);
                let can = brakes.min(tyres);
                let before = place(&state);
                state = drive(&p, &on, state, &controls, 1200);
                if thrust < 0.93 * can {
                    held += 1;
                    assert_eq!(place(&state), before, "{} toe {toe} throttle {throttle}: crept", a.id);
                    assert_eq!(state.speed_mps(), 0.0);
                } else if thrust > 1.07 * can {
                    crept += 1;
                    assert!(
                        state.speed_mps() > 0.05,
                        "{} toe {toe} throttle {throttle}: stood still",
                        a.id
                    );
                }
            }
        }
    }
    assert!(held > 20 && crept > 20, "{held} held, {crept} crept");
}

#[test]
fn at_idle_it_stands_where_rolling_resistance_is_more_than_the_thrust_and_creeps_where_it_is_less() {
    // Statics alone decide, for each aeroplane and surface.
    let (mut stood, mut crept) = (0, 0);
    for (a, p) in fleet() {
        for on in [
            ground(Surface::Paved, false),
            ground(Surface::Grass, false),
            ground(Surface::Grass, true),
            ground(Surface::Ice, false),
        ] {
            let idle_n = toeline_dynamics::engine::thrust_n(&p, p.idle_rpm, 0.0);
            let holds = on.rolling() * p.mass_kg * G_MPS2;
            let end = drive(&p, &on, State::parked(&p, pose(0.0)), &Controls::default(), 7200);
            if idle_n < 0.97 * holds {
                stood += 1;
                assert_eq!(end.speed_mps(), 0.0, "{} on {:?}", a.id, on.surface);
            } else if idle_n > 1.03 * holds {
                crept += 1;
                assert!(
                    (0.2..9.0).contains(&end.speed_mps()),
                    "{}: {} m/s",
                    a.id,
                    end.speed_mps()
                );
            }
        }
    }
    assert!(stood > 6 && crept > 3, "{stood} stood, {crept} crept");
}

#[test]
fn it_rolls_out_and_comes_to_an_exact_rest() {
    for (a, p) in fleet() {
        let mut state = State::rolling(&p, pose(0.3), 3.0);
        state.engine.rpm = 0.0;
        let off = Controls {
            mixture: 0.0,
            ..Controls::default()
        };
        let mut ticks = 0;
        while state.speed_mps() > 0.0 && ticks < 30_000 {
            state = step(&p, &ground(Surface::Paved, false), &CALM, &state, &off);
            ticks += 1;
        }
        assert_eq!(
            [state.forward_mps, state.left_mps, state.yaw_radps],
            [0.0; 3],
            "{}",
            a.id
        );
        assert_eq!(state.spin_radps, [0.0; 3], "{}", a.id);
        // v²/(2 c g): rolling resistance alone, standards D3 with the wheels' own inertia and drag apart.
        let rolled = state.pose(&p).nose.distance(pose(0.3).nose);
        let want = 9.0 / (2.0 * ground(Surface::Paved, false).rolling() * G_MPS2);
        assert!(
            (rolled / want - 1.0).abs() < 0.05,
            "{}: rolled {rolled:.2} m, want about {want:.2} m",
            a.id
        );
    }
}
