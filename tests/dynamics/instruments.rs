//! The panel as a whole: what its instruments share, those that live on air pressure, and the engine's gauges.

use core::f64::consts::TAU;
use proptest::prelude::*;
use toeline_dynamics::instruments::{self, InstrumentParams, Instruments, Seen};
use toeline_dynamics::{Faults, TICK_S};
use toeline_model::aircraft::catalog;
use toeline_model::units::{DEG, KNOT_MPS};
use toeline_model::{Bearing, math};

pub(crate) fn params() -> InstrumentParams {
    InstrumentParams::from_aircraft(&catalog::find("trainer-high-2").unwrap())
}

pub(crate) fn seen(heading_deg: f64, dip_deg: f64) -> Seen {
    Seen {
        heading: Bearing::from_deg(heading_deg).yaw(),
        dip_rad: dip_deg * DEG,
        suction_kpa: 16.0,
        ..Seen::default()
    }
}

/// The panel after some seconds of the same.
pub(crate) fn hold(p: &InstrumentParams, mut shown: Instruments, seen: &Seen, seconds: f64) -> Instruments {
    for _ in 0..(seconds / TICK_S).round() as usize {
        shown = instruments::next(p, &shown, seen, &Faults::default(), TICK_S);
    }
    shown
}

pub(crate) fn signed_deg(rad: f64) -> f64 {
    (rad / DEG + 540.0).rem_euclid(360.0) - 180.0
}

/// The whole panel of the south against that of the north, in motion and through a turn.
#[test]
fn the_panel_of_the_south_mirrors_that_of_the_north_in_motion() {
    let p = params();
    let at = |k: u32, sign: f64| {
        let t = f64::from(k) * TICK_S;
        let by = 60.0 * DEG * (1.0 - math::cos(0.5 * t)) / 2.0;
        let rate = 60.0 * DEG * 0.5 * math::sin(0.5 * t) / 2.0;
        let north = Bearing::from_deg(20.0).yaw().turned(-by);
        Seen {
            // North for south: heading M becomes 180 − M.
            heading: if sign > 0.0 {
                north
            } else {
                toeline_model::Yaw::from_rad(-north.rad())
            },
            yaw_radps: -sign * rate,
            accel_mps2: [0.5 * math::sin(t), -sign * 4.0 * rate],
            latitude_rad: sign * 50.0 * DEG,
            dip_rad: sign * 66.5 * DEG,
            suction_kpa: 16.0,
            ..Seen::default()
        }
    };
    let (mut north, mut south) = (Instruments::set(&p, &at(0, 1.0)), Instruments::set(&p, &at(0, -1.0)));
    let mut swung = 0.0_f64;
    for k in 1..=4800 {
        north = instruments::next(&p, &north, &at(k, 1.0), &Faults::default(), TICK_S);
        south = instruments::next(&p, &south, &at(k, -1.0), &Faults::default(), TICK_S);
        swung = swung.max(north.compass.swing_rad.abs());
        let sum = |a: f64, b: f64| signed_deg(a + b - 180.0 * DEG).abs();
        assert!(
            sum(north.compass.reading_rad, south.compass.reading_rad) < 1e-6,
            "tick {k}"
        );
        assert!(sum(north.gyros.heading_rad, south.gyros.heading_rad) < 1e-6, "tick {k}");
        assert!((north.gyros.ball_rad + south.gyros.ball_rad).abs() < 1e-12);
        assert!((north.gyros.turn_radps + south.gyros.turn_radps).abs() < 1e-12);
    }
    assert!(swung > 5.0 * DEG, "the errors were there: {}", swung / DEG);
}

#[test]
fn airspeed_is_alive_only_above_its_scale() {
    let p = params();
    let level = seen(0.0, 60.0);
    let shown = |kt: f64| {
        let s = Seen {
            airspeed_mps: kt * KNOT_MPS,
            ..level
        };
        hold(&p, Instruments::set(&p, &level), &s, 5.0).air.airspeed_mps / KNOT_MPS
    };
    for kt in [-20.0, 0.0, 12.0, 34.9] {
        assert_eq!(shown(kt), 0.0, "{kt} kt");
    }
    for kt in [35.1, 50.0, 60.0] {
        assert!((shown(kt) - kt).abs() < 0.01, "{kt} kt: {}", shown(kt));
    }
}

#[test]
fn altimeter_and_vertical_speed() {
    let p = params();
    let level = Seen {
        elevation_m: 120.0,
        ..seen(0.0, 60.0)
    };
    let parked = hold(&p, Instruments::set(&p, &level), &level, 30.0);
    assert_eq!((parked.air.altitude_m, parked.air.vertical_mps), (120.0, 0.0));
    let mut shown = parked;
    for k in 1..=(40.0 / TICK_S) as u32 {
        let s = Seen {
            elevation_m: 120.0 + 2.0 * f64::from(k) * TICK_S,
            ..level
        };
        shown = instruments::next(&p, &shown, &s, &Faults::default(), TICK_S);
        if k == 240 {
            assert!(shown.air.vertical_mps < 0.5, "lags: {}", shown.air.vertical_mps);
        }
    }
    assert!(
        (shown.air.vertical_mps - 2.0).abs() < 0.01,
        "{}",
        shown.air.vertical_mps
    );
    assert!((shown.air.altitude_m - 200.0).abs() < 0.1);
}

#[test]
fn engine_gauges_show_the_engine() {
    let p = params();
    let s = Seen {
        rpm: 1700.0,
        oil_c: 60.0,
        oil_kpa: 480.0,
        suction_kpa: 16.7,
        ..seen(0.0, 60.0)
    };
    let shown = hold(&p, Instruments::set(&p, &seen(0.0, 60.0)), &s, 3.0);
    assert!((shown.rpm - 1700.0).abs() < 0.01);
    assert_eq!((shown.oil_c, shown.oil_kpa, shown.suction_kpa), (60.0, 480.0, 16.7));
}

#[test]
fn a_saved_panel_goes_on_bit_for_bit() {
    let p = params();
    let s = Seen {
        accel_mps2: [0.7, -1.1],
        yaw_radps: -0.2,
        latitude_rad: 0.9,
        ..seen(33.0, 64.0)
    };
    let half = hold(&p, Instruments::set(&p, &seen(30.0, 64.0)), &s, 2.0);
    let text = serde_json::to_string(&half).unwrap();
    let back: Instruments = serde_json::from_str(&text).unwrap();
    assert_eq!(hold(&p, back, &s, 2.0), hold(&p, half, &s, 2.0));
}

proptest! {
    #[test]
    fn no_needle_is_ever_lost(
        moves in prop::collection::vec(
            (-10.0..10.0_f64, -5.0..5.0_f64, -1.6..1.6_f64, -3.2..3.2_f64, -60.0..90.0_f64, any::<[i8; 2]>(), 0.0..20.0_f64),
            1..40,
        ),
        latitude in -1.58..1.58_f64,
        dip in -1.58..1.58_f64,
        dt in 0.001..0.2_f64,
        stuck in any::<bool>(),
        drift in -1.0..1.0_f64,
    ) {
        let p = params();
        let faults = Faults { stuck_compass: stuck, heading_drift_radps: drift, ..Faults::default() };
        let mut shown = Instruments::cold(&p, &Seen::default());
        for (heading, yaw_radps, pitch_rad, roll_rad, speed, accel, suction_kpa) in moves {
            let s = Seen {
                heading: toeline_model::Yaw::from_rad(heading),
                yaw_radps,
                pitch_rad,
                roll_rad,
                forward_mps: speed,
                airspeed_mps: speed,
                accel_mps2: accel.map(f64::from),
                latitude_rad: latitude,
                dip_rad: dip,
                declination_rad: heading / 20.0,
                elevation_m: speed * 10.0,
                drift_radps: drift / 1000.0,
                rpm: speed.abs() * 30.0,
                oil_c: speed,
                oil_kpa: speed.abs(),
                suction_kpa,
            };
            for _ in 0..20 {
                shown = instruments::next(&p, &shown, &s, &faults, dt);
                let (c, g, a) = (shown.compass, shown.gyros, shown.air);
                for x in [
                    c.swing_rad, c.swing_radps, g.pitch_rad, g.roll_rad, g.turn_radps, g.ball_rad, g.heading_error_rad,
                    a.airspeed_mps, a.felt_mps, a.altitude_m, a.trailing_m, a.vertical_mps, shown.rpm, shown.oil_c,
                ] {
                    prop_assert!(x.is_finite(), "{shown:?}");
                }
                prop_assert!((0.0..TAU).contains(&c.reading_rad) && (0.0..TAU).contains(&g.heading_rad), "{shown:?}");
                prop_assert!((0.0..=1.0).contains(&g.spin));
            }
        }
        let lost = Seen { dip_rad: f64::NAN, ..Seen::default() };
        prop_assert_eq!(instruments::next(&p, &shown, &lost, &faults, dt), shown);
    }
}
