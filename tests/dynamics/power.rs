//! Brakes against power: engine check, heat and fade, closing the throttle, and the table of rpm against speed.

use crate::help::{CALM, drive, engine_off, fleet, ground, plane, pose, stiff, without_lift};
use toeline_dynamics::brakes::{COLD_C, FADED_SHARE, fade};
use toeline_dynamics::faults::BrakeFault;
use toeline_dynamics::{Controls, Faults, LEFT, Params, State, Telemetry, step};
use toeline_model::airfield::Surface;
use toeline_model::units::{G_MPS2, KNOT_MPS};

/// Throttle for an engine speed.
fn throttle(p: &Params, rpm: f64) -> f64 {
    (rpm - p.idle_rpm) / (p.full_rpm - p.idle_rpm)
}

fn engine_check(p: &Params, surface: Surface, seconds: usize) -> State {
    let controls = Controls {
        left_brake: 1.0,
        right_brake: 1.0,
        throttle: throttle(p, 1700.0),
        ..Controls::default()
    };
    let start = State {
        brake: [1.0; 2],
        ..State::parked(p, pose(0.0))
    };
    drive(p, &ground(surface, false), start, &controls, 240 * seconds)
}

#[test]
fn engine_check_power_is_held_on_dry_pavement_and_not_on_ice() {
    for (a, p) in fleet() {
        let start = pose(0.0).nose;
        let dry = engine_check(&p, Surface::Paved, 20);
        let moved = dry.pose(&p).nose.distance(start);
        assert!(
            dry.speed_mps() == 0.0 && moved < 1e-3,
            "{}: {moved} m on dry pavement",
            a.id
        );
        let ice = engine_check(&p, Surface::Ice, 6);
        let moved = ice.pose(&p).nose.distance(start);
        println!("{}: on ice {moved:.2} m in 6 s", a.id);
        assert!(moved > 0.3, "{}: {moved} m on ice", a.id);
    }
}

#[test]
fn with_one_brake_gone_it_creeps_at_power_and_turns_to_the_good_side() {
    let mut crept = 0;
    for (a, p) in fleet() {
        let (sound, gone) = (BrakeFault::None, BrakeFault::Failed);
        for (brake, side) in [([sound, gone], 1.0), ([gone, sound], -1.0)] {
            let faults = Faults { brake, ..p.faults };
            let p = Params { faults, ..p };
            // Two seconds: left alone it would go round and round the good wheel.
            let state = engine_check(&p, Surface::Paved, 2);
            let moved = state.pose(&p).nose.distance(pose(0.0).nose);
            println!(
                "{} brakes {brake:?}: nose moved {moved:.2} m, turned {:.2} rad",
                a.id, state.yaw_rad
            );
            if moved > 0.05 {
                crept += 1;
                assert!(state.yaw_rad * side > 0.02, "{}: turned {} rad", a.id, state.yaw_rad);
            }
        }
    }
    assert!(crept >= 6, "only {crept} crept");
}

#[test]
fn feet_that_hold_the_engine_check_on_sound_brakes_creep_on_a_weak_one_and_turn_to_the_sound_side() {
    let on = ground(Surface::Paved, false);
    for (a, p) in fleet() {
        // Feet that hold with a sixth to spare: statics of two brakes and the rolling resistance against the thrust.
        let thrust = toeline_dynamics::engine::thrust_n(&p, a.engine_check.check_rpm, 0.0);
        let rest = thrust - on.rolling() * p.mass_kg * G_MPS2;
        let toe = 1.17 * rest * p.wheel_radius_m[LEFT] / (2.0 * p.full_brake_nm);
        let controls = Controls {
            left_brake: toe,
            right_brake: toe,
            throttle: throttle(&p, a.engine_check.check_rpm),
            ..Controls::default()
        };
        let run = |brake: [BrakeFault; 2]| {
            let p = Params {
                faults: Faults { brake, ..p.faults },
                ..p
            };
            let start = State {
                brake: [toe; 2],
                ..State::parked(&p, pose(0.0))
            };
            let end = drive(&p, &on, start, &controls, 240 * 4);
            (end.pose(&p).nose.distance(pose(0.0).nose), end.yaw_rad)
        };
        let (sound, weak) = (BrakeFault::None, BrakeFault::Weak);
        assert!(toe < 1.0 && run([sound, sound]).0 < 1e-3, "{}: toe {toe}", a.id);
        for (brake, side) in [([sound, weak], 1.0), ([weak, sound], -1.0)] {
            let (moved, turned) = run(brake);
            println!(
                "{} brakes {brake:?}: nose moved {moved:.2} m, turned {turned:.2} rad",
                a.id
            );
            assert!(
                moved > 0.05 && turned * side > 0.01,
                "{}: {moved} m, {turned} rad",
                a.id
            );
        }
    }
}

#[test]
fn heat_in_the_brakes_is_the_energy_that_the_aeroplane_lost() {
    let on = ground(Surface::Paved, false);
    for (a, p) in fleet() {
        let p = stiff(&without_lift(&p));
        let mut p = p;
        (p.air.drag_area_m2, p.air.side_area_m2) = (0.0, 0.0);
        let (start, off) = engine_off(State::rolling(&p, pose(0.0), 10.0));
        let controls = Controls {
            left_brake: 0.35,
            right_brake: 0.35,
            ..off
        };
        let mut state = start;
        let mut rolled = 0.0;
        while state.forward_mps > 0.01 {
            state = step(&p, &on, &CALM, &state, &controls);
            rolled += on.rolling() * p.mass_kg * G_MPS2 * state.forward_mps / 240.0;
        }
        let heat: f64 = state.brake_c.iter().map(|t| (t - COLD_C) * p.brake_jpk).sum();
        let lost = start.energy_j(&p) - state.energy_j(&p) - rolled;
        // Cooling takes a few per cent in these seconds, and the tyres' slip a little.
        assert!(
            heat / lost > 0.9 && heat / lost < 1.0,
            "{}: {heat:.0} J of {lost:.0} J",
            a.id
        );
    }
}

#[test]
fn riding_a_brake_heats_it_until_it_fades_and_standing_cools_it() {
    let on = ground(Surface::Paved, false);
    let p = plane("trainer-high-2");
    let riding = Controls {
        left_brake: 0.25,
        right_brake: 0.25,
        throttle: throttle(&p, 1800.0),
        ..Controls::default()
    };
    let mut state = State::rolling(&p, pose(0.0), 6.0);
    let early = drive(&p, &on, state, &riding, 240 * 10);
    state = drive(&p, &on, early, &riding, 240 * 230);
    let t = Telemetry::of(&p, &state, &riding);
    println!(
        "after four minutes at {:.1} m/s: brakes at {:.0} C, grip {:.2}",
        t.speed_mps, t.brake_c[0], t.brake_grip[0]
    );
    assert!(t.brake_grip[0] < 0.9 && early.brake_c[0] < 120.0);
    assert!(state.speed_mps() > early.speed_mps(), "as the brakes fade it runs away");
    let rest = Controls {
        parking_brake: true,
        ..Controls::default()
    };
    let cooled = drive(&p, &on, state, &rest, 240 * 900);
    assert!(
        cooled.brake_c[0] < 60.0 && cooled.brake_c[0] >= COLD_C,
        "{} C after a quarter of an hour",
        cooled.brake_c[0]
    );
    assert_eq!((fade(20.0), fade(1000.0)), (1.0, FADED_SHARE));
}

#[test]
fn throttle_closed_and_a_moderate_brake_stop_promptly_from_a_taxi_speed() {
    // No figure is published; within five seconds and two lengths of the aeroplane is ours.
    for (a, p) in fleet() {
        let speed = a.taxi.straight_kt * KNOT_MPS;
        let closed = Controls {
            left_brake: 0.5,
            right_brake: 0.5,
            ..Controls::default()
        };
        let start = State::rolling(&p, pose(0.0), speed);
        let mut state = start;
        let mut ticks = 0;
        while state.speed_mps() > 0.1 && ticks < 240 * 20 {
            state = step(&p, &ground(Surface::Paved, false), &CALM, &state, &closed);
            ticks += 1;
        }
        let way = state.pose(&p).nose.distance(start.pose(&p).nose);
        println!(
            "{}: from {:.0} kt {way:.1} m in {:.1} s",
            a.id,
            a.taxi.straight_kt,
            f64::from(ticks) / 240.0
        );
        assert!(ticks < 240 * 5, "{}: {ticks} ticks", a.id);
        assert!(
            way < 2.0 * (a.fuselage.nose_x_m - a.fuselage.tail_x_m),
            "{}: {way} m",
            a.id
        );
    }
}

#[test]
fn closing_the_throttle_alone_stops_it_from_a_brisk_walk_where_idle_thrust_is_less_than_rolling_resistance() {
    // 1.8 m/s is our brisk walk (no FAA figure: standards C1). Bound: energy over the resultant of both, the thrust taken
    // as at rest, so never shorter than the true way.
    let on = ground(Surface::Paved, false);
    let mut stopped = 0;
    for (a, p) in fleet() {
        let rolls = on.rolling() * p.mass_kg * G_MPS2;
        let idle_n = toeline_dynamics::engine::thrust_n(&p, p.idle_rpm, 0.0);
        let start = State::rolling(&p, pose(0.0), 1.8);
        let mut state = start;
        while state.speed_mps() > 0.0 && state.tick < 240 * 120 {
            state = step(&p, &on, &CALM, &state, &Controls::default());
        }
        let way = state.pose(&p).nose.distance(start.pose(&p).nose);
        println!(
            "{}: idle thrust {idle_n:.0} N, rolls with {rolls:.0} N: {way:.1} m, {:.1} s, then {:.1} m/s",
            a.id,
            state.tick as f64 / 240.0,
            state.speed_mps()
        );
        if idle_n < 0.9 * rolls {
            stopped += 1;
            let wheels: f64 = (0..3)
                .map(|i| p.wheel_inertia_kgm2[i] / (p.wheel_radius_m[i] * p.wheel_radius_m[i]))
                .sum();
            let most = (p.mass_kg + wheels) * 1.8 * 1.8 / 2.0 / (rolls - idle_n);
            assert!(
                state.speed_mps() == 0.0 && way < most,
                "{}: {way} m of at most {most} m",
                a.id
            );
        }
    }
    // The twin and the light one on a caster have as much idle thrust as they roll with, or more: those need their brakes.
    assert!(stopped >= 4, "{stopped} stopped");
}

/// Steady speed on level dry pavement without brakes with the engine held at a speed, m/s.
fn steady_speed(p: &Params, rpm: f64) -> f64 {
    // Slipstream and torque taken away: nobody steers here, and the aeroplane would run in a circle.
    let mut p = *p;
    (p.slipstream_lever_m, p.torque_nm) = (0.0, 0.0);
    let mut state = State::parked(&p, pose(0.0));
    let mut lever = throttle(&p, rpm);
    for _ in 0..240 * 400 {
        lever = (lever + 2e-7 * (rpm - state.engine.rpm)).clamp(0.0, 1.0);
        let controls = Controls {
            throttle: lever,
            ..Controls::default()
        };
        state = step(&p, &ground(Surface::Paved, false), &CALM, &state, &controls);
    }
    assert!(
        (state.engine.rpm - rpm).abs() < 5.0,
        "{} rpm for {rpm}",
        state.engine.rpm
    );
    state.speed_mps()
}

/// Engine speed at which it breaks away on level dry pavement, rpm: the lever is opened slowly from below idle.
fn breaks_away_rpm(p: &Params) -> f64 {
    let mut p = *p;
    (p.idle_rpm, p.engine.idle_rpm) = (300.0, 300.0);
    let mut state = State::parked(&p, pose(0.0));
    state.engine.rpm = 300.0;
    for tick in 0..240 * 1200 {
        let controls = Controls {
            throttle: f64::from(tick) * 1e-6,
            ..Controls::default()
        };
        state = step(&p, &ground(Surface::Paved, false), &CALM, &state, &controls);
        if state.speed_mps() > 0.02 {
            return state.engine.rpm;
        }
    }
    panic!("never moved");
}

#[test]
fn more_rpm_gives_more_speed_and_the_table_is_printed() {
    // The table in docs/dynamics.md: cargo test -p toeline-tests --test dynamics table -- --nocapture
    println!("| aeroplane | breaks away, rpm | 700 | 800 | 900 | 1000 | 1100 | 1200 | 1300 rpm, m/s |");
    for (a, p) in fleet() {
        let away = breaks_away_rpm(&p);
        // Statics: thrust equals rolling resistance there.
        let thrust = toeline_dynamics::engine::thrust_n(&p, away, 0.0);
        let rolls = ground(Surface::Paved, false).rolling() * p.mass_kg * G_MPS2;
        assert!(
            (thrust / rolls - 1.0).abs() < 0.03,
            "{}: {thrust:.1} N at {away:.0} rpm, {rolls:.1} N",
            a.id
        );
        let speeds: Vec<Option<f64>> = [700.0, 800.0, 900.0, 1000.0, 1100.0, 1200.0, 1300.0]
            .into_iter()
            .map(|rpm| (rpm > p.idle_rpm).then(|| steady_speed(&p, rpm)))
            .collect();
        let cells: Vec<String> = speeds
            .iter()
            .map(|v| v.map_or("below idle".to_string(), |v| format!("{v:.1}")))
            .collect();
        println!("| {} | {away:.0} | {} |", a.id, cells.join(" | "));
        let known: Vec<f64> = speeds.into_iter().flatten().collect();
        assert!(known.windows(2).all(|w| w[1] > w[0]), "{}: {known:?}", a.id);
    }
}
