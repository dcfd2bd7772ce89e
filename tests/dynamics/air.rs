//! Elevator, aileron, gusts and blast on the ground, and the take-off roll.

use crate::help::{CALM, drive, engine_off, fleet, ground, plane, pose};
use toeline_dynamics::{Air, Blast, Controls, End, Gust, NOSE, Params, State, step};
use toeline_model::Bearing;
use toeline_model::airfield::Surface;
use toeline_model::units::{G_MPS2, KNOT_MPS};

#[test]
fn up_elevator_unloads_the_nose_wheel_and_its_steering_fades() {
    let on = ground(Surface::Paved, false);
    for (a, p) in fleet().into_iter().filter(|(_, p)| p.pedal_limit_rad > 0.0) {
        let turn = |elevator: f64| {
            let (start, off) = engine_off(State::rolling(&p, pose(0.0), 14.0));
            let still = drive(&p, &on, start, &Controls { elevator, ..off }, 240);
            let steered = Controls {
                elevator,
                rudder: -0.35,
                ..off
            };
            let turning = drive(&p, &on, still, &steered, 240);
            (
                still.load_n[NOSE],
                turning.yaw_radps * p.wheelbase_m / (turning.forward_mps * turning.nose_wheel_rad),
            )
        };
        let (level, pulled) = (turn(0.0), turn(-1.0));
        println!(
            "{}: nose {:.0} N level, {:.0} N pulled; yaw over geometry {:.3} and {:.3}",
            a.id, level.0, pulled.0, level.1, pulled.1
        );
        assert!(pulled.0 < 0.8 * level.0, "{}: {pulled:?} {level:?}", a.id);
        assert!(pulled.1 < level.1, "{}: steering does not fade", a.id);
    }
}

/// Least share of its static load that any wheel keeps, standing on its brakes with the wind from `from_deg` off the nose
/// (to the right).
fn least_share(p: &Params, from_deg: f64, knots: f64, aileron: f64, elevator: f64) -> f64 {
    let air = Air {
        // Heading east: 90 degrees true.
        wind_from: Some(Bearing::from_deg(90.0 + from_deg)),
        wind_mps: knots * KNOT_MPS,
        ..CALM
    };
    let controls = Controls {
        parking_brake: true,
        aileron,
        elevator,
        ..Controls::default()
    };
    let mut state = State {
        brake: [1.0; 2],
        ..State::parked(p, pose(0.0))
    };
    let mut least: f64 = 1.0;
    for tick in 0..2400 {
        state = step(p, &ground(Surface::Paved, false), &air, &state, &controls);
        if tick > 1200 {
            let share = |i: usize| state.load_n[i] / p.static_load_n()[i];
            least = least.min(share(0)).min(share(1)).min(share(2));
        }
    }
    least
}

#[test]
fn controls_held_wrong_in_a_quartering_tailwind_take_the_load_off_a_wheel() {
    // Right and wrong by the table of the FAA's Airplane Flying Handbook, standards C1: wind from behind left: left
    // aileron down (yoke right), elevator down.
    for (a, p) in fleet() {
        let mut shares = Vec::new();
        for knots in [20.0, 35.0] {
            let right = least_share(&p, -135.0, knots, 1.0, 1.0);
            let neutral = least_share(&p, -135.0, knots, 0.0, 0.0);
            let wrong = least_share(&p, -135.0, knots, -1.0, -1.0);
            assert!(
                wrong < neutral && neutral < right,
                "{} {knots} kt: right {right}, neutral {neutral}, wrong {wrong}",
                a.id
            );
            shares.push((knots, right, neutral, wrong));
        }
        println!(
            "{}: least share of a wheel's load (knots, right, neutral, wrong) {shares:.2?}",
            a.id
        );
    }
    // Mirrored winds are alike with the engine's own turn and torque taken away.
    let mut p = plane("trainer-high-2");
    (p.torque_nm, p.slipstream_lever_m, p.blade_lever_ns) = (0.0, 0.0, 0.0);
    let (left, right) = (
        least_share(&p, -135.0, 35.0, -1.0, -1.0),
        least_share(&p, 135.0, 35.0, 1.0, -1.0),
    );
    assert!((left - right).abs() < 1e-9, "{left} {right}");
}

#[test]
fn into_a_quartering_headwind_the_aileron_works_the_other_way() {
    let p = plane("tourer-high-4");
    let (toward, away) = (
        least_share(&p, -45.0, 30.0, -1.0, 0.0),
        least_share(&p, -45.0, 30.0, 1.0, 0.0),
    );
    assert!(toward > away, "toward {toward}, away {away}");
}

#[test]
fn lift_takes_load_off_the_wheels_with_the_square_of_the_airspeed() {
    let on = ground(Surface::Paved, false);
    for (a, p) in fleet() {
        let lifted = |speed: f64| {
            let (start, off) = engine_off(State::rolling(&p, pose(0.0), speed));
            let s = drive(&p, &on, start, &off, 480);
            (p.mass_kg * G_MPS2 - s.load_n.iter().sum::<f64>()) / (s.forward_mps * s.forward_mps)
        };
        let (slow, fast) = (lifted(8.0), lifted(16.0));
        // Pitch under drag and rolling resistance changes the wing's angle a little.
        assert!(slow > 0.0 && (fast / slow - 1.0).abs() < 0.1, "{}: {slow} {fast}", a.id);
    }
}

#[test]
fn a_gust_has_its_shape_and_a_blast_its_cone() {
    let gust = Gust {
        extra_mps: 6.0,
        length_s: 4.0,
        begins_s: 10.0,
        repeats: false,
    };
    let at = |t: f64| gust.extra_at(t);
    assert_eq!((at(9.9), at(10.0), at(12.0)), (0.0, 0.0, 6.0));
    assert!((at(11.0) - 3.0).abs() < 1e-12 && at(14.1) == 0.0);
    assert!((Gust { repeats: true, ..gust }.extra_at(16.0) - 6.0).abs() < 1e-12);
    assert_eq!(
        Gust {
            extra_mps: f64::NAN,
            ..gust
        }
        .extra_at(12.0),
        0.0
    );
    assert_eq!(Gust { length_s: 0.0, ..gust }.extra_at(12.0), 0.0);

    let blast = Blast {
        east_m: 0.0,
        north_m: 0.0,
        toward: Bearing::from_deg(90.0),
        speed_mps: 20.0,
        diameter_m: 2.0,
    };
    assert!((blast.speed_at(6.0, 0.0) - 20.0).abs() < 1e-9);
    assert!((blast.speed_at(24.0, 0.0) - 10.0).abs() < 1e-9);
    assert_eq!((blast.speed_at(-1.0, 0.0), blast.speed_at(10.0, 2.1)), (0.0, 0.0));
    assert!(blast.speed_at(10.0, 1.9) > 0.0);

    // Behind a running aeroplane a parked one leans; out of the blast it stands still.
    let p = plane("trainer-high-2");
    let (start, mut off) = engine_off(State::parked(&p, pose(1.57)));
    off.parking_brake = true;
    let lean = |off_m: f64| {
        let air = Air {
            blast: Some(Blast {
                east_m: start.x_m - 12.0,
                north_m: start.y_m + off_m,
                ..blast
            }),
            ..CALM
        };
        let mut state = start;
        for _ in 0..2400 {
            state = step(&p, &ground(Surface::Paved, false), &air, &state, &off);
        }
        state.roll_rad
    };
    assert!(lean(0.0) > 1e-4, "{}", lean(0.0));
    assert_eq!(lean(30.0), 0.0);
}

#[test]
fn the_take_off_roll_needs_right_rudder_more_with_power_and_with_the_nose_up_and_ends_at_lift_off() {
    for (a, p) in fleet() {
        let mut state = State::parked(&p, pose(0.0));
        // Mean rudder with little power; with full power below 6, 12 and 24 m/s; and with the nose wheel off the ground.
        let mut bands = [(0.0, 0.0); 5];
        let mut rudder: f64 = 0.0;
        while state.end == End::No && state.tick < 240 * 60 {
            let speed = state.forward_mps;
            // Feet hold the heading; hands pull at 24 m/s and then hold a pitch of 7 degrees.
            rudder = (3.0 * state.yaw_rad + 2.0 * state.yaw_radps + 0.3 * rudder).clamp(-1.0, 1.0);
            let controls = Controls {
                throttle: (state.tick as f64 / 720.0).min(1.0),
                rudder,
                elevator: if speed > 24.0 {
                    -0.6 + 6.0 * (state.pitch_rad - 0.12) + 2.0 * state.pitch_radps
                } else {
                    0.0
                },
                ..Controls::default()
            };
            state = step(&p, &ground(Surface::Paved, false), &CALM, &state, &controls);
            let band = match (state.tick, speed) {
                (721.., _) if state.load_n[NOSE] == 0.0 && state.pitch_rad > 0.08 => Some(4),
                (120..=360, _) => Some(0),
                (721.., v) if v < 6.0 => Some(1),
                (721.., v) if v < 12.0 => Some(2),
                (721.., v) if v < 24.0 => Some(3),
                _ => None,
            };
            if let Some(n) = band {
                bands[n] = (bands[n].0 + rudder, bands[n].1 + 1.0);
            }
        }
        let means = bands.map(|(sum, count)| sum / count);
        let mean = means[3];
        println!(
            "{}: mean right rudder {means:.3?}, lift-off at {:.1} kt after {:.0} s, pitch {:.1} deg, {:.0} m",
            a.id,
            state.speed_mps() / KNOT_MPS,
            state.tick as f64 / 240.0,
            state.pitch_rad.to_degrees(),
            state.x_m
        );
        assert_eq!(state.end, End::Airborne, "{}: {state:?}", a.id);
        assert!(mean > 0.002, "{}: no right rudder: {mean}", a.id);
        // More power, more right rudder. As the speed comes the rudder itself grows stronger and the thrust weaker: about
        // the same, or less where the rudder does it all. A linked nose wheel that leaves the ground then steers no more and
        // the blades meet the air at an angle: more again.
        assert!(means[1] > 2.0 * means[0] && means[0] > 0.0, "{}: {means:?}", a.id);
        if p.pedal_limit_rad > 0.0 {
            assert!(
                means[4] > 1.2 * means[1] && means[4] > 1.3 * means[3],
                "{}: {means:?}",
                a.id
            );
        }
        // Lift carries the weight there.
        assert!(
            state.load_n.iter().all(|n| *n == 0.0) && (35.0..95.0).contains(&(state.speed_mps() / KNOT_MPS)),
            "{}",
            a.id
        );
    }
}
