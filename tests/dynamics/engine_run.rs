//! The engine from its start to its stop, its oil and its suction.

use crate::engine::{on, run, throttle_for, trainer};
use toeline_dynamics::engine::{self, EngineControls, EngineParams, EngineState, MagnetoSwitch};
use toeline_dynamics::{Faults, TICK_S};
use toeline_model::aircraft::catalog;

#[test]
fn it_starts_only_with_the_starter_spark_and_fuel() {
    let (p, _) = trainer();
    let sound = Faults::default();
    let cold = EngineState::stopped(&p);
    let ready = EngineControls::default();
    assert_eq!(run(&p, cold, &ready, &sound, 10.0).rpm, 0.0, "not by itself");
    let start = EngineControls { starter: true, ..ready };
    for hopeless in [
        EngineControls { mixture: 0.0, ..start },
        EngineControls {
            magnetos: MagnetoSwitch::Off,
            ..start
        },
    ] {
        let cranked = run(&p, cold, &hopeless, &sound, 5.0);
        assert!((80.0..250.0).contains(&cranked.rpm), "cranks: {}", cranked.rpm);
        assert!(!cranked.running());
        assert_eq!(
            run(
                &p,
                cranked,
                &EngineControls {
                    starter: false,
                    ..hopeless
                },
                &sound,
                5.0
            )
            .rpm,
            0.0
        );
    }
    let caught = run(&p, run(&p, cold, &start, &sound, 2.0), &ready, &sound, 10.0);
    assert!(caught.running() && (caught.rpm - p.idle_rpm).abs() < 1.0, "{caught:?}");

    let cut = EngineControls { mixture: 0.0, ..ready };
    let stopped = run(&p, caught, &cut, &sound, 8.0);
    assert_eq!((stopped.rpm, stopped.firing), (0.0, 0));
    assert_eq!(
        run(&p, stopped, &ready, &sound, 10.0).rpm,
        0.0,
        "mixture alone does not bring it back"
    );
    let off = run(&p, caught, &on(&ready, MagnetoSwitch::Off), &sound, 8.0);
    assert_eq!(off.rpm, 0.0);
    // Shown both ways: while the propeller still turns fast enough, fuel does bring it back.
    let slowing = run(&p, caught, &cut, &sound, 0.5);
    assert!(slowing.rpm > 100.0 && run(&p, slowing, &ready, &sound, 10.0).running());
}

/// A small rise of rpm, then the end: what a pilot looks for when he pulls the mixture (from memory).
#[test]
fn pulling_the_mixture_gives_a_small_rise_and_then_stops_it() {
    let (p, _) = trainer();
    let (mut s, mut most) = (EngineState::idling(&p), 0.0_f64);
    let ticks = (40.0 / TICK_S) as usize;
    for k in 0..ticks {
        let mixture = 1.0 - k as f64 / ticks as f64;
        let c = EngineControls {
            mixture,
            ..EngineControls::default()
        };
        s = engine::next(&p, &s, &c, &Faults::default(), 0.0, TICK_S);
        most = most.max(s.rpm);
    }
    assert!((3.0..50.0).contains(&(most - p.idle_rpm)), "rise {}", most - p.idle_rpm);
    assert_eq!(s.rpm, 0.0);
}

#[test]
fn oil_warms_and_its_pressure_follows_rpm_and_temperature() {
    let (p, check) = trainer();
    let c = EngineControls {
        throttle: throttle_for(&p, 1000.0),
        ..EngineControls::default()
    };
    let started = run(
        &p,
        EngineState::stopped(&p),
        &EngineControls { starter: true, ..c },
        &Faults::default(),
        3.0,
    );
    let soon = run(&p, started, &c, &Faults::default(), 10.0);
    assert!(
        soon.oil_c < check.oil_least_c,
        "cold after a few seconds: {}",
        soon.oil_c
    );
    assert!(
        soon.oil_kpa > check.oil_pressure_kpa[0],
        "pressure soon: {}",
        soon.oil_kpa
    );
    let warm = run(&p, soon, &c, &Faults::default(), 300.0);
    assert!(warm.oil_c > check.oil_least_c, "{}", warm.oil_c);
    let long = run(&p, warm, &c, &Faults::default(), 3600.0);
    assert!(long.oil_c < check.oil_most_c, "{}", long.oil_c);
    assert!(
        long.oil_kpa < soon.oil_kpa,
        "warm oil is thin: {} {}",
        long.oil_kpa,
        soon.oil_kpa
    );
    let idle = run(&p, long, &EngineControls::default(), &Faults::default(), 20.0);
    assert!(
        idle.oil_kpa < long.oil_kpa - 10.0,
        "less at idle: {} {}",
        idle.oil_kpa,
        long.oil_kpa
    );
    assert!(
        idle.suction_kpa < check.suction_kpa.unwrap()[0],
        "suction is low at idle: {}",
        idle.suction_kpa
    );
    let off = run(
        &p,
        idle,
        &EngineControls {
            mixture: 0.0,
            ..EngineControls::default()
        },
        &Faults::default(),
        60.0,
    );
    assert!(off.oil_kpa < 1e-6 && off.suction_kpa < 1e-6, "{off:?}");
}

#[test]
fn a_sound_engine_stays_in_the_green_at_every_speed() {
    for a in catalog::all() {
        let p = EngineParams::from_aircraft(&a);
        let [low, high] = a.engine_check.oil_pressure_kpa;
        for tenth in 0..=10 {
            let c = EngineControls {
                throttle: f64::from(tenth) / 10.0,
                ..EngineControls::default()
            };
            for oil_c in [15.0, 60.0, p.oil_c[1]] {
                let s = run(
                    &p,
                    EngineState {
                        oil_c,
                        ..EngineState::idling(&p)
                    },
                    &c,
                    &Faults::default(),
                    20.0,
                );
                assert!(
                    (low..=high).contains(&s.oil_kpa),
                    "{} {tenth} {oil_c} C: {} kPa",
                    a.id,
                    s.oil_kpa
                );
            }
        }
    }
}
