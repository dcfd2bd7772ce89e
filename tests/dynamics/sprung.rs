//! The body on its struts: at rest, leaning, lifting a wheel, tipping.

use crate::help::{CALM, drive, engine_off, fleet, ground, held_straight, plane, pose, stiff};
use toeline_dynamics::{Air, Controls, End, Ground, Gust, LEFT, NOSE, Params, RIGHT, State, advance, step};
use toeline_model::airfield::Surface;
use toeline_model::units::{G_MPS2, KNOT_MPS};
use toeline_model::{Bearing, turning};

#[test]
fn at_rest_in_calm_air_each_wheel_bears_its_static_share_and_no_bit_moves() {
    let on = ground(Surface::Paved, false);
    for (a, p) in fleet() {
        let (mut state, mut controls) = engine_off(State::parked(&p, pose(0.9)));
        controls.parking_brake = true;
        for _ in 0..480 {
            let next = step(&p, &on, &CALM, &state, &controls);
            assert_eq!(next.load_n, p.static_load_n(), "{}", a.id);
            assert_eq!(
                (next.x_m, next.y_m, next.yaw_rad),
                (state.x_m, state.y_m, state.yaw_rad),
                "{}",
                a.id
            );
            assert_eq!([next.heave_m, next.pitch_rad, next.roll_rad], [0.0; 3], "{}", a.id);
            state = next;
        }
        let weight: f64 = state.load_n.iter().sum();
        assert!((weight / (p.mass_kg * G_MPS2) - 1.0).abs() < 1e-12, "{}", a.id);
    }
}

#[test]
fn it_parks_on_its_brakes_for_an_hour_in_gusts_without_moving_a_millimetre() {
    let on = ground(Surface::Paved, false);
    let controls = Controls {
        parking_brake: true,
        ..Controls::default()
    };
    for (n, (a, p)) in fleet().into_iter().enumerate() {
        let air = Air {
            wind_from: Some(Bearing::from_deg(60.0 * n as f64 + 20.0)),
            wind_mps: 15.0 * KNOT_MPS,
            gust: Some(Gust {
                extra_mps: 10.0 * KNOT_MPS,
                length_s: 6.5,
                begins_s: 3.0,
                repeats: true,
            }),
            blast: None,
        };
        let start = State {
            brake: [1.0; 2],
            ..State::parked(&p, pose(0.9))
        };
        let begin = start.pose(&p);
        let mut state = start;
        let mut most: f64 = 0.0;
        for tick in 0..3600 * 240 {
            state = step(&p, &on, &air, &state, &controls);
            if tick % 240 == 0 {
                most = most.max(state.pose(&p).nose.distance(begin.nose));
            }
        }
        let turned = begin.heading_rad.to_rad(state.pose(&p).heading_rad).abs();
        println!(
            "{}: at most {most:.2e} m and {turned:.2e} rad in an hour of gusts",
            a.id
        );
        assert!(most < 1e-3 && turned < 1e-4, "{}: {most} m, {turned} rad", a.id);
    }
}

#[test]
fn on_a_slope_the_struts_lean_as_their_springs_say() {
    // Parked along and across a slope of 5 per cent the ground holds m·g·0.05 against it; `leaning` is the springs' own
    // closed form, the step arrives there by itself.
    let engine = Controls {
        mixture: 0.0,
        parking_brake: true,
        ..Controls::default()
    };
    for (a, p) in fleet() {
        for rise in [[0.05, 0.0], [0.0, 0.05], [0.03, -0.04]] {
            let on = Ground {
                rise,
                ..ground(Surface::Paved, false)
            };
            let (start, _) = engine_off(State::parked(&p, pose(0.0)));
            let start = State {
                brake: [1.0; 2],
                ..start
            };
            let state = drive(&p, &on, start, &engine, 4800);
            let push = rise.map(|r| r * p.mass_kg * G_MPS2);
            let want = start.leaning(&p, push);
            for (got, want) in [
                (state.heave_m, want.heave_m),
                (state.pitch_rad, want.pitch_rad),
                (state.roll_rad, want.roll_rad),
            ] {
                // The sway of the arms is of second order, and left out of the closed form's cross terms.
                assert!(
                    (got - want).abs() < 0.01 * want.abs() + 3e-5,
                    "{} {rise:?}: {got}, want {want}",
                    a.id
                );
            }
            assert_eq!(state.speed_mps(), 0.0, "{}", a.id);
        }
    }
}

/// Stands on a tilting table that leans toward `toward` (radians from the nose, to the left) until it goes over; the
/// tangent of the lean at which it does. From `slowly_from` on it leans so slowly that the time of falling does not count.
fn tilting_table(p: &Params, toward: f64, slowly_from: f64) -> f64 {
    let controls = Controls {
        mixture: 0.0,
        parking_brake: true,
        ..Controls::default()
    };
    let (start, _) = engine_off(State::parked(p, pose(0.0)));
    let mut state = State {
        brake: [1.0; 2],
        ..start
    };
    let mut lean = 0.0;
    while state.end == End::No && lean < 1.5 {
        lean += if lean < slowly_from { 5e-5 } else { 2.5e-6 };
        let on = Ground {
            rise: [-lean * toward.cos(), -lean * toward.sin()],
            ..ground(Surface::Paved, false)
        };
        state = step(p, &on, &CALM, &state, &controls);
    }
    assert_eq!(state.end, End::TippedOver);
    lean
}

#[test]
fn it_tips_over_the_nose_and_main_wheel_line_where_the_formula_says() {
    // Standards D3: static tipping at g·e/h, e the distance of the centre of gravity from the line of nose wheel and main
    // wheel (derived). The table leans straight across that line. A centre of gravity set higher by parameter keeps the
    // tipping below where tyres of friction 0.7 would slide; stiff struts keep the body from leaning first, and a held nose wheel from swivelling
    // downhill.
    for (a, p) in fleet() {
        let mut p = held_straight(&stiff(&p));
        let tips =
            |p: &Params| turning::tip_over_mps2(p.wheelbase_m, p.track_m, p.nose_ahead_m, p.cg_height_m) / G_MPS2;
        p.cg_height_m *= tips(&p) / 0.45;
        // One brake alone holds what two do: the other wheel is empty in the end.
        p.full_brake_nm *= 3.0;
        let e_over_h = tips(&p);
        let line = (p.track_m / (2.0 * p.wheelbase_m)).atan();
        let across = core::f64::consts::FRAC_PI_2 - line;
        let left = tilting_table(&p, across, 0.9 * e_over_h);
        let right = tilting_table(&p, -across, 0.9 * e_over_h);
        println!(
            "{}: tips at {left:.4} g left, {right:.4} g right, formula {e_over_h:.4} g",
            a.id
        );
        assert!(
            (left / e_over_h - 1.0).abs() < 0.03 && (right / left - 1.0).abs() < 1e-6,
            "{}",
            a.id
        );
    }
}

#[test]
fn too_fast_a_turn_skids_and_with_a_high_centre_of_gravity_tips_and_there_the_run_ends() {
    let on = ground(Surface::Paved, false);
    // A linkage that does not give way, by parameter: as built it lets the nose wheel straighten before the tyres slide.
    let mut p = plane("tourer-high-4");
    p.linkage_limit_nm *= 20.0;
    p.linkage_nm_per_rad *= 20.0;
    let full_left = Controls {
        rudder: -1.0,
        mixture: 0.0,
        ..Controls::default()
    };
    let run = |p: &Params, speed: f64| {
        let (mut state, _) = engine_off(State::rolling(p, pose(0.0), speed));
        let (mut skidded, mut lifted) = (false, false);
        for _ in 0..1200 {
            state = step(p, &on, &CALM, &state, &full_left);
            let use_of = |i: usize| state.tyre_n[i][0].hypot(state.tyre_n[i][1]) / state.grip_n[i];
            skidded |= state.speed_mps() > 3.0 && use_of(NOSE) > 0.999;
            lifted |= state.load_n[LEFT] == 0.0;
        }
        (state, skidded, lifted)
    };
    // As built it tips at 0.82 g and its tyres give 0.7: it skids and never goes over.
    let (slow, skidded, lifted) = run(&p, 3.0);
    assert!(!skidded && !lifted && slow.end == End::No);
    let (fast, skidded, _) = run(&p, 16.0);
    assert!(skidded && fast.end == End::No, "{fast:?}");
    // A load on the roof rack: 0.43 g.
    let mut high = p;
    high.cg_height_m *= 1.9;
    let (over, _, lifted) = run(&high, 16.0);
    assert!(lifted && over.end == End::TippedOver && over.roll_rad > 0.0, "{over:?}");
    // There it stays.
    let later = drive(&high, &on, over, &full_left, 10);
    assert_eq!(
        State {
            tick: over.tick,
            ..later
        },
        over
    );
    assert_eq!(later.tick, over.tick + 10);
    // And not so at a walk.
    let (walk, _, lifted) = run(&high, 2.5);
    assert!(!lifted && walk.end == End::No);
}

#[test]
fn a_wheel_that_lifts_comes_back() {
    let on = ground(Surface::Paved, false);
    for (a, p) in fleet() {
        let (start, controls) = engine_off(State::rolling(&p, pose(0.0), 5.0));
        let mut state = State {
            roll_radps: 1.2,
            ..start
        };
        let mut in_air = 0;
        for _ in 0..1440 {
            state = step(&p, &on, &CALM, &state, &controls);
            in_air += u32::from(state.load_n[LEFT] == 0.0);
            assert!(
                state.load_n.iter().all(|n| *n >= 0.0) && state.end == End::No,
                "{}",
                a.id
            );
        }
        assert!(in_air > 5, "{}: {in_air} ticks clear of the ground", a.id);
        let rest = p.static_load_n();
        for i in [NOSE, LEFT, RIGHT] {
            // Where it still slows down, the ground's push at the arm of the centre of gravity's height presses on the nose.
            let dip_n = -state.accel_mps2[0] * p.mass_kg * p.cg_height_m / p.wheelbase_m;
            let want = rest[i] + if i == NOSE { dip_n } else { -dip_n / 2.0 };
            assert!(
                (state.load_n[i] / want - 1.0).abs() < 0.02,
                "{}: {:?}",
                a.id,
                state.load_n
            );
        }
    }
}

#[test]
fn torque_reaction_leans_on_the_left_wheel() {
    // P = torque·ω at full power (definition); the load moved is torque over track. PHAK ch. 5 for the side.
    for (a, p) in fleet() {
        let mut p = p;
        // Thrust alone would swing and side-load the tail: not asked here.
        (p.slipstream_lever_m, p.air.slipstream_per_m2) = (0.0, 0.0);
        let controls = Controls {
            parking_brake: true,
            throttle: 0.45,
            ..Controls::default()
        };
        let start = State {
            brake: [1.0; 2],
            ..State::parked(&p, pose(0.0))
        };
        let state = drive(&p, &ground(Surface::Paved, false), start, &controls, 4800);
        assert_eq!(state.speed_mps(), 0.0, "{}: held", a.id);
        let share = state.engine.rpm / p.full_rpm;
        // The centre of gravity moves over the left wheel a little: part of the body's softness.
        let roll = p.mass_kg * G_MPS2 * p.cg_height_m * state.roll_rad;
        let want = 2.0 * (p.torque_nm * share * share - roll) / p.track_m;
        let got = state.load_n[LEFT] - state.load_n[RIGHT];
        assert!(
            (got / want - 1.0).abs() < 0.01 && got > 0.0,
            "{}: {got} N, want {want} N",
            a.id
        );
    }
}

#[test]
fn on_locked_wheels_it_rocks_as_a_damped_pendulum() {
    // Closed form: (I + m·h²)·φ'' + c·T²/2·φ' + (k·T²/2 - m·g·h)·φ = 0 about the line on the ground. Shorter ticks come
    // nearer; the tick in use damps a little more than the struts do.
    let controls = Controls {
        mixture: 0.0,
        parking_brake: true,
        ..Controls::default()
    };
    for (a, p) in fleet() {
        let h = p.cg_height_m;
        let inertia = p.roll_inertia_kgm2 + p.mass_kg * h * h;
        let half = p.track_m * p.track_m / 2.0;
        let decay = p.strut_damping_nspm[LEFT] * half / (2.0 * inertia);
        let square = (p.strut_n_per_m[LEFT] * half - p.mass_kg * G_MPS2 * h) / inertia;
        let swing = (square - decay * decay).sqrt();
        let want = |t: f64| 0.01 * (-decay * t).exp() * ((swing * t).cos() + decay / swing * (swing * t).sin());
        let worst = |per_second: u32| {
            let dt = 1.0 / f64::from(per_second);
            let (start, _) = engine_off(State::parked(&p, pose(0.0)));
            let mut state = State {
                brake: [1.0; 2],
                roll_rad: 0.01,
                ..start
            };
            let mut off: f64 = 0.0;
            for tick in 1..=per_second {
                state = advance(&p, &ground(Surface::Paved, false), &CALM, &state, &controls, dt);
                off = off.max((state.roll_rad - want(f64::from(tick) * dt)).abs() / 0.01);
            }
            off
        };
        let (used, finer, finest) = (worst(240), worst(960), worst(3840));
        println!(
            "{}: {:.2} Hz, off by {used:.4} of the first swing at 240 a second, {finest:.4} at 3840",
            a.id,
            swing / core::f64::consts::TAU
        );
        assert!(
            used < 0.05 && finer < 0.4 * used && finest < 0.4 * finer,
            "{}: {used} {finer} {finest}",
            a.id
        );
    }
}
