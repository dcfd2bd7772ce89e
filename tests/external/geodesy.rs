//! The local plane against the definition of the azimuthal equidistant projection (distance and azimuth from the origin
//! are those of the geodesic) and the round trip, within the 1 mm at 5 km that the design promises.

use toeline_engine::plane::LocalPlane;
use toeline_model::LonLat;
use toeline_model::frame::xy;

#[test]
fn there_and_back_within_a_tenth_of_a_millimetre() {
    for (lon_deg, lat_deg) in [(-20.4, 47.2), (14.5, 35.8), (179.999, -16.7), (-72.9, 78.0)] {
        let plane = LocalPlane::new(LonLat { lon_deg, lat_deg });
        for k in 0..36 {
            let a = f64::from(k) * 0.1745;
            let p = xy(5000.0 * a.cos(), 5000.0 * a.sin());
            let back = plane.to_xy(plane.to_lonlat(p));
            assert!(back.distance(p) < 1e-4, "{p:?} came back as {back:?}");
        }
    }
}

#[test]
fn a_degree_of_latitude_has_its_known_length() {
    // Meridian arc from 45 to 45.01 N on WGS 84: radius of curvature M = a(1-e²)/(1-e² sin²φ)^1.5 at the middle.
    let (a, e2) = (6_378_137.0, 6.694_379_990_14e-3);
    let phi = f64::to_radians(45.005);
    let m = a * (1.0 - e2) / (1.0 - e2 * phi.sin() * phi.sin()).powf(1.5);
    let plane = LocalPlane::new(LonLat {
        lon_deg: 7.0,
        lat_deg: 45.0,
    });
    let p = plane.to_xy(LonLat {
        lon_deg: 7.0,
        lat_deg: 45.01,
    });
    assert!((p.y - m * 0.01_f64.to_radians()).abs() < 1e-4, "{}", p.y);
    assert!(p.x.abs() < 1e-6);
    // Parallel arc: radius N cos φ; the straight way over 0.001 degree differs from it by far less than 0.1 mm.
    let n = a / (1.0 - e2 * f64::to_radians(45.0).sin().powi(2)).sqrt();
    let q = plane.to_xy(LonLat {
        lon_deg: 7.001,
        lat_deg: 45.0,
    });
    assert!(
        (q.x - n * f64::to_radians(45.0).cos() * 0.001_f64.to_radians()).abs() < 1e-4,
        "{}",
        q.x
    );
}
