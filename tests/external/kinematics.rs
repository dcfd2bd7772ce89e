//! Turning radii, stopping distances and static tipping against hand-computed values of textbook formulas (no-slip
//! kinematics: any vehicle-dynamics text; stopping v²/(2μg); tipping after the landing-gear chapter of Raymer, from
//! memory; structural pivot after 14 CFR 25.503).

use toeline_model::turning::*;
use toeline_model::units::{G_MPS2, KNOT_MPS};

fn near(got: f64, want: f64, within: f64, what: &str) {
    assert!((got - want).abs() <= within, "{what}: {got} against {want}");
}

#[test]
fn radii_from_the_nose_wheel_angle() {
    // wheelbase, track, span, angle deg, axle, nose, inner, outer, tip radius; metres.
    for [l, t, b, deg, axle, nose, inner, outer, tip] in [
        [1.65, 2.53, 11.0, 10.0, 9.3576, 9.5020, 8.0926, 10.6226, 14.8576],
        [1.65, 2.53, 11.0, 30.0, 2.8579, 3.3000, 1.5929, 4.1229, 8.3579],
        [1.8, 3.0, 10.7, 30.0, 3.1177, 3.6000, 1.6177, 4.6177, 8.4677],
        [2.0, 2.4, 11.0, 30.0, 3.4641, 4.0000, 2.2641, 4.6641, 8.9641],
    ] {
        let r = axle_radius_m(l, f64::to_radians(deg));
        near(r, axle, 1e-4, "axle");
        near(nose_radius_m(l, f64::to_radians(deg)), nose, 1e-4, "nose");
        near(r - t / 2.0, inner, 1e-4, "inner wheel");
        near(r + t / 2.0, outer, 1e-4, "outer wheel");
        near(point_radius_m(r, 0.0, b / 2.0), tip, 1e-4, "tip");
    }
}

#[test]
fn the_pivot_about_the_inner_wheel() {
    let angle = pivot_angle_rad(1.65, 2.53);
    near(angle.to_degrees(), 52.5238, 1e-4, "angle");
    near(axle_radius_m(1.65, angle), 1.265, 1e-6, "axle radius is half the track");
    near(nose_radius_m(1.65, angle), 2.0791, 1e-4, "nose radius");
    near(point_radius_m(1.265, 0.0, 5.5), 6.765, 1e-9, "tip");
}

#[test]
fn stopping_distances() {
    for (kt, mu, want) in [
        (15.0, 0.3, 10.1201),
        (15.0, 0.4, 7.5901),
        (15.0, 0.5, 6.0721),
        (15.0, 0.8, 3.7951),
    ] {
        near(stop_all_wheels_m(kt * KNOT_MPS, mu), want, 1e-4, "all wheels");
    }
    near(stop_all_wheels_m(10.0 * KNOT_MPS, 0.4), 3.3734, 1e-4, "10 kt");
    near(stop_all_wheels_m(20.0 * KNOT_MPS, 0.3), 17.9914, 1e-4, "20 kt");
    // Tabulated to 1e-3 m: the table's speed is 7.7167 m/s, rounded.
    near(
        stop_main_wheels_m(15.0 * KNOT_MPS, 0.4, 1.65, 1.45, 1.0),
        10.7310,
        1e-3,
        "main wheels, 0.4",
    );
    near(
        stop_main_wheels_m(15.0 * KNOT_MPS, 0.3, 1.65, 1.45, 1.0),
        13.6100,
        1e-3,
        "main wheels, 0.3",
    );
}

#[test]
fn static_tipping() {
    // Tabulated as 0.88218 from an arm rounded to 0.8822 m.
    near(tip_over_mps2(1.65, 2.53, 1.45, 1.0) / G_MPS2, 0.88218, 1e-4, "tips at");
    // The overturn angle: tan θ = h/e, tabulated as 48.580 degrees.
    let e = tip_over_mps2(1.65, 2.53, 1.45, 1.0) / G_MPS2;
    near((1.0 / e).atan().to_degrees(), 48.580, 1e-3, "overturn angle");
}
