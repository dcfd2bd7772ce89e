//! The gust of a report reaches the drive.

use crate::demo::{planned, way};
use toeline_dynamics::Air;
use toeline_model::units::KNOT_MPS;
use toeline_training::journey::{FIRST_GUST_S, GUST_LENGTH_S, environment};

fn air(wind: &str) -> Air {
    let plan = planned("trainer-high-2", "4", wind);
    environment(&plan, way(&plan)).air
}

/// Wind at a time, knots.
fn at(air: &Air, time_s: f64) -> f64 {
    air.velocity_at(0.0, 0.0, time_s).norm() / KNOT_MPS
}

#[test]
fn the_wind_rises_to_the_gust_of_the_report_and_falls_back_to_the_steady_wind_again_and_again() {
    let air = air("240/12G20T");
    let course: Vec<f64> = (0..12_000).map(|i| at(&air, f64::from(i) / 100.0)).collect();
    let most = course.iter().copied().fold(0.0, f64::max);
    let least = course.iter().copied().fold(f64::INFINITY, f64::min);
    assert!(
        (most - 20.0).abs() < 1e-6 && (least - 12.0).abs() < 1e-6,
        "{least} to {most}"
    );
    assert!(
        course[..500].iter().all(|kt| (kt - 12.0).abs() < 1e-9),
        "calm for {FIRST_GUST_S} s"
    );
    // The highest mean over 3 s, which is what is reported, is no more than 5 % of the rise below the gust.
    let mean = |i: usize| course[i..i + 300].iter().sum::<f64>() / 300.0;
    let highest = (0..course.len() - 300).map(mean).fold(0.0, f64::max);
    assert!(highest > 20.0 - 0.05 * 8.0 - 0.01, "{highest} kt over 3 s");
    for n in 0..9 {
        let top = FIRST_GUST_S + (f64::from(n) + 0.5) * GUST_LENGTH_S;
        assert!((at(&air, top) - 20.0).abs() < 1e-9, "gust {n}");
    }
    // From 240 degrees it blows toward 60 degrees: to the east and a little north.
    let blows = air.velocity_at(0.0, 0.0, FIRST_GUST_S + GUST_LENGTH_S / 2.0);
    assert!(
        (blows.y / blows.x - 30_f64.to_radians().tan()).abs() < 1e-9,
        "{blows:?}"
    );
}

#[test]
fn a_wind_without_a_gust_or_without_a_direction_has_none() {
    for wind in ["240/12T", "calm", "VRB/04", "VRB/04G15"] {
        assert_eq!(air(wind).gust, None, "{wind}");
    }
}
