//! True bearings of legs against the geodesic (Karney's algorithm, crate `geographiclib-rs`), on both demo fields and on real
//! ones.
//!
//! A leg's bearing is counted from the north of the local plane, which is true north at the plane's origin. Elsewhere the
//! meridians converge by x·tan(latitude)/R: that is what remains, and it is told here with its size.

use geographiclib_rs::{Geodesic, InverseGeodesic};
use toeline_engine::briefing::{self, Answer};
use toeline_engine::plane::LocalPlane;
use toeline_engine::planning::Outcome;
use toeline_engine::{Request, plan};
use toeline_model::Bearing;

/// Mean radius of the earth, metres: enough for an angle of hundredths of a degree.
const EARTH_M: f64 = 6_371_000.0;
/// Bearings are written to 0.01 degrees; what the bow of the geodesic over a leg adds is far below.
const WRITTEN_DEG: f64 = 0.005 + 0.001;
/// The most that convergence may come to on a field, degrees: a fifth of the whole degree that pilots read.
const MOST_CONVERGENCE_DEG: f64 = 0.2;

fn request(from: &str, to: &str) -> Request {
    toeline_tests::request("trainer-high-2", from, &[], to, "240/12T").without_drives()
}

/// Checks every straight leg; gives their number and the worst convergence, degrees.
fn check(what: &str, text: &str, from: &str, to: &str) -> (usize, f64) {
    let planned = plan(text, &request(from, to)).unwrap_or_else(|e| panic!("{what}: {e}"));
    let told = briefing::brief(&planned);
    let (Outcome::Way(way), Answer::Way(told)) = (&planned.outcome, &told.answer) else {
        panic!("{what}: no way")
    };
    let plane = LocalPlane::new(planned.field.origin);
    let earth = Geodesic::wgs84();
    let (mut legs, mut worst_deg) = (0, 0.0_f64);
    for (leg, said) in way.route.legs.iter().zip(&told.legs) {
        let ends = leg.mapped_line.first().zip(leg.mapped_line.last());
        let Some((a, b)) = ends.filter(|(a, b)| a.distance(**b) > 5.0 && !said.directions.winding) else {
            continue;
        };
        let (la, lb) = (plane.to_lonlat(*a), plane.to_lonlat(*b));
        let (_, azimuth_deg, _, _): (f64, f64, f64, f64) =
            earth.inverse(la.lat_deg, la.lon_deg, lb.lat_deg, lb.lon_deg);
        let off_deg = Bearing::from_deg(azimuth_deg).to_deg(Bearing::from_deg(said.directions.true_deg));
        let convergence_deg = ((a.x + b.x) / 2.0 * la.lat_deg.to_radians().tan() / EARTH_M).to_degrees();
        // North of the plane lies to the left of the meridian east of the origin (northern hemisphere).
        assert!(
            (off_deg + convergence_deg).abs() < WRITTEN_DEG,
            "{what}, {}: {} against {azimuth_deg}, convergence {convergence_deg}",
            said.name,
            said.directions.true_deg
        );
        let magnetic = Bearing::from_deg(said.directions.true_deg - planned.declination.deg);
        let off_deg = magnetic.to_deg(Bearing::from_deg(said.directions.magnetic_deg));
        assert!(off_deg.abs() <= 0.01 + 1e-9, "{what}, {}: magnetic", said.name);
        worst_deg = worst_deg.max(convergence_deg.abs());
        legs += 1;
    }
    println!("{what}: {legs} straight legs, convergence of the meridians at most {worst_deg:.3} deg");
    assert!(
        legs > 0 && worst_deg < MOST_CONVERGENCE_DEG,
        "{what}: {legs} {worst_deg}"
    );
    (legs, worst_deg)
}

#[test]
fn on_the_demo_fields() {
    check("quillmere", &toeline_tests::demo_field(), "4", "26");
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../maps/sallowfen.geojson");
    check("sallowfen", &std::fs::read_to_string(path).unwrap(), "1", "27");
}

#[test]
fn on_real_fields() {
    for (file, from, to) in [
        ("airfields/hubs/eddf-frankfurt-2023-08.geojson", "V 117", "25C"),
        ("airfields/malta/malta-airfield.geojson", "way/304191637", "31"),
    ] {
        let Some(path) = toeline_tests::open_data(file) else {
            return;
        };
        check(file, &std::fs::read_to_string(path).unwrap(), from, to);
    }
}
