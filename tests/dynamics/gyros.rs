//! Heading indicator, attitude indicator, turn indicator and ball.

use crate::instruments::{hold, params, seen, signed_deg};
use toeline_dynamics::instruments::{self, InstrumentParams, Instruments, MOST_DRIFT_RADPS, Seen, random_drift_radps};
use toeline_dynamics::{Faults, TICK_S};
use toeline_model::aircraft::catalog;
use toeline_model::units::{DEG, G_MPS2, KNOT_MPS};
use toeline_model::{Bearing, math};

/// Drift of C6: 0, 7.5, 10.6066, 12.9904, 15 degrees an hour; 2.6517 in 15 minutes at 45 degrees. North reads low.
#[test]
fn the_heading_indicator_drifts_with_the_sine_of_the_latitude() {
    let p = params();
    for (latitude, want) in [(0.0, 0.0), (30.0, 7.5), (45.0, 10.6066), (60.0, 12.9904), (90.0, 15.0)] {
        for hemisphere in [1.0, -1.0] {
            let still = Seen {
                latitude_rad: hemisphere * latitude * DEG,
                ..seen(70.0, 0.0)
            };
            let mut shown = Instruments::set(&p, &still);
            let mut quarter = 0.0;
            for tick in 1..=36_000 {
                shown = instruments::next(&p, &shown, &still, &Faults::default(), 0.1);
                if tick == 9_000 {
                    quarter = signed_deg(shown.gyros.heading_rad - 70.0 * DEG);
                }
            }
            let hour = signed_deg(shown.gyros.heading_rad - 70.0 * DEG);
            assert!(
                (hour + hemisphere * want).abs() < 1e-4,
                "{latitude}: {hour} against {want}"
            );
            if latitude == 45.0 {
                assert!((quarter + hemisphere * 2.6517).abs() < 1e-4, "{quarter}");
            }
        }
    }
}

/// Transport drift of C6: east ground speed in knots times tan(latitude) over 60, degrees an hour.
#[test]
fn going_east_adds_to_the_drift() {
    let p = params();
    let still = Seen {
        latitude_rad: 45.0 * DEG,
        ..seen(90.0, 0.0)
    };
    let moving = Seen {
        forward_mps: 60.0 * KNOT_MPS,
        ..still
    };
    let after = |s: &Seen| {
        let mut shown = Instruments::set(&p, &still);
        for _ in 0..36_000 {
            shown = instruments::next(&p, &shown, s, &Faults::default(), 0.1);
        }
        signed_deg(shown.gyros.heading_rad - 90.0 * DEG)
    };
    let (more, west) = (
        after(&moving) - after(&still),
        after(&Seen {
            heading: Bearing::from_deg(270.0).yaw(),
            ..moving
        }),
    );
    assert!((more + 1.0).abs() < 1e-6, "{more}");
    assert!(
        signed_deg((west - 180.0) * DEG) > after(&still),
        "and westward takes from it"
    );
}

#[test]
fn random_drift_is_bounded_seeded_and_without_a_lean() {
    let every: Vec<f64> = (0..20_000)
        .map(|k| random_drift_radps(7, f64::from(k) * 13.7))
        .collect();
    assert!(every.iter().all(|d| d.abs() <= MOST_DRIFT_RADPS));
    let mean = every.iter().sum::<f64>() / every.len() as f64;
    assert!(mean.abs() < 0.05 * MOST_DRIFT_RADPS, "{}", mean / MOST_DRIFT_RADPS);
    assert!(every.iter().any(|d| *d > 0.7 * MOST_DRIFT_RADPS) && every.iter().any(|d| *d < -0.7 * MOST_DRIFT_RADPS));
    assert_eq!(random_drift_radps(7, 100.0), random_drift_radps(7, 100.0));
    assert_ne!(random_drift_radps(7, 100.0), random_drift_radps(8, 100.0));
    for wild in [f64::NAN, f64::INFINITY, -5.0] {
        assert!(random_drift_radps(7, wild).is_finite());
    }
    // No jump from one value to the next.
    let step = (random_drift_radps(7, 60.0 + 1e-6) - random_drift_radps(7, 60.0 - 1e-6)).abs();
    assert!(step < 1e-6 * MOST_DRIFT_RADPS);
}

/// The panel takes up the drift it is given: a quarter of an hour of it is its sum, and within 3 degrees.
#[test]
fn random_drift_moves_the_heading_indicator() {
    let p = params();
    let still = seen(70.0, 0.0);
    let mut ends = Vec::new();
    for seed in 0..20 {
        let (mut shown, mut sum) = (Instruments::set(&p, &still), 0.0);
        for tick in 0..9_000 {
            let drift_radps = random_drift_radps(seed, f64::from(tick) * 0.1);
            sum += drift_radps * 0.1;
            let now = Seen { drift_radps, ..still };
            shown = instruments::next(&p, &shown, &now, &Faults::default(), 0.1);
        }
        let off = signed_deg(shown.gyros.heading_rad - 70.0 * DEG);
        assert!((off - sum / DEG).abs() < 1e-9, "seed {seed}: {off}");
        assert!(off.abs() <= 3.0);
        ends.push(off);
    }
    assert!(
        ends.iter().any(|d| *d > 0.3) && ends.iter().any(|d| *d < -0.3),
        "{ends:?}"
    );
}

#[test]
fn the_knob_sets_the_heading_indicator() {
    let p = params();
    let still = Seen {
        declination_rad: 12.0 * DEG,
        latitude_rad: 50.0 * DEG,
        ..seen(240.0, 60.0)
    };
    let fresh = Instruments::set(&p, &still);
    // Nose on 240° true with 12° east declination: 228° magnetic (check 25).
    assert!((fresh.compass.reading_rad / DEG - 228.0).abs() < 1e-6);
    assert!((fresh.gyros.heading_rad / DEG - 228.0).abs() < 1e-6);
    let later = hold(&p, fresh, &still, 600.0);
    assert!(signed_deg(later.gyros.heading_rad - later.compass.reading_rad) < -1.0);
    let reset = later.with_heading_from_compass();
    assert_eq!(reset.gyros.heading_rad, later.compass.reading_rad);
    let held = hold(&p, reset, &still, 1.0);
    assert!(
        signed_deg(held.gyros.heading_rad - 228.0 * DEG).abs() < 0.01,
        "it stays set"
    );
    assert_eq!(later.with_heading(f64::NAN), later);
}

#[test]
fn the_ball_follows_apparent_gravity() {
    let p = params();
    let level = seen(0.0, 60.0);
    let rest = |s: Seen| hold(&p, Instruments::set(&p, &level), &s, 5.0).gyros;
    // A ground turn to the right throws it left by the bank that the turn lacks: 14.3017° at 2.5 m/s².
    let right = rest(Seen {
        accel_mps2: [0.0, -2.5],
        yaw_radps: -0.5,
        ..level
    });
    assert!(
        (right.ball_rad / DEG + 14.3017).abs() < 1e-4,
        "{}",
        right.ball_rad / DEG
    );
    assert!((right.turn_radps - 0.5).abs() < 1e-6, "the turn indicator shows right");
    // A coordinated turn keeps it in the middle.
    let bank = 15.0 * DEG;
    let flown = rest(Seen {
        roll_rad: bank,
        accel_mps2: [0.0, -G_MPS2 * math::tan(bank)],
        ..level
    });
    assert!(flown.ball_rad.abs() < 1e-9);
    assert!(
        rest(Seen {
            roll_rad: 3.0 * DEG,
            ..level
        })
        .ball_rad
            > 2.9 * DEG,
        "parked right wing down: right"
    );
    assert!(
        rest(Seen {
            accel_mps2: [0.0, 60.0],
            ..level
        })
        .ball_rad
            <= 15.0 * DEG,
        "the tube ends"
    );
}

/// Turns the aeroplane right by 90 degrees in 10 s; how far the heading indicator went.
fn shown_turn(p: &InstrumentParams, from: &Instruments, suction_kpa: f64) -> f64 {
    let base = Seen {
        suction_kpa,
        ..seen(0.0, 60.0)
    };
    let rate = 9.0 * DEG;
    let mut shown = *from;
    for k in 1..=(10.0 / TICK_S) as u32 {
        let s = Seen {
            heading: base.heading.turned(-rate * f64::from(k) * TICK_S),
            yaw_radps: -rate,
            ..base
        };
        shown = instruments::next(p, &shown, &s, &Faults::default(), TICK_S);
    }
    signed_deg(shown.gyros.heading_rad - from.gyros.heading_rad)
}

#[test]
fn without_suction_the_gyros_sag() {
    let p = params();
    let good = seen(0.0, 60.0);
    let none = Seen {
        suction_kpa: 0.0,
        ..good
    };
    let running = hold(&p, Instruments::set(&p, &good), &good, 60.0);
    assert_eq!((running.gyros.pitch_rad, running.gyros.roll_rad), (0.0, 0.0));
    assert!((shown_turn(&p, &running, 16.0) - 90.0).abs() < 0.01);
    let idle = hold(
        &p,
        running,
        &Seen {
            suction_kpa: 9.0,
            ..good
        },
        600.0,
    );
    assert!(idle.gyros.spin > 0.999, "idle still holds them: {}", idle.gyros.spin);
    let sagging = hold(&p, running, &none, 1200.0);
    assert!(
        sagging.gyros.roll_rad.abs() > 15.0 * DEG,
        "lies over: {}",
        sagging.gyros.roll_rad / DEG
    );
    let turn = shown_turn(&p, &sagging, 0.0);
    assert!(turn.abs() < 5.0, "the heading stays while the aeroplane turns: {turn}");
    let cold = Instruments::cold(&p, &none);
    assert!(cold.gyros.spin == 0.0 && cold.gyros.roll_rad.abs() > 15.0 * DEG);
    let risen = hold(&p, cold, &good, 240.0);
    assert!(
        risen.gyros.roll_rad.abs() < 0.1 * DEG,
        "up again with suction: {}",
        risen.gyros.roll_rad / DEG
    );
    // Without suction-driven instruments there is nothing to lose.
    let electric = InstrumentParams::from_aircraft(&catalog::find("caster-low-2").unwrap());
    let shown = hold(&electric, Instruments::cold(&electric, &none), &none, 600.0);
    assert_eq!((shown.gyros.spin, shown.gyros.roll_rad), (1.0, 0.0));
}
