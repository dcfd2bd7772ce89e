//! Lines along the geodesic, with points added so that lines straight in longitude and latitude between them stay on it.

use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};
use toeline_model::LonLat;
use toeline_model::units::DEG;

/// How far the lines between the points may be from the geodesic or the arc, metres. Ours: half of what the reader allows
/// itself, so that the sum of both is within its limit.
pub(super) const OFF_M: f64 = 5e-5;
/// Longest edge, metres. Ours: twice the widest field that is read.
pub(super) const EDGE_LIMIT_M: f64 = 60_000.0;
/// Greatest radius of an arc or circle, metres. Ours: a building site or a holding bay is smaller by far.
pub(super) const RADIUS_LIMIT_M: f64 = 30_000.0;
/// Pieces longer than this are tested at their quarters too, metres.
const LONG_M: f64 = 100.0;
/// Most halvings of one edge: 60 km in pieces of 6 cm.
const DEPTH: u32 = 20;

/// About how far two near places are apart, metres: good to a percent, which is enough for a bound halved already.
fn metres(a: LonLat, b: LonLat) -> f64 {
    const METRES_A_DEGREE: f64 = 111_700.0;
    let mut east_deg = (a.lon_deg - b.lon_deg).abs();
    if east_deg > 180.0 {
        east_deg = 360.0 - east_deg;
    }
    let across = east_deg * toeline_model::math::cos(a.lat_deg * DEG);
    let north = a.lat_deg - b.lat_deg;
    (across * across + north * north).sqrt() * METRES_A_DEGREE
}

/// Distance along the geodesic, metres.
pub(super) fn distance_m(a: LonLat, b: LonLat) -> f64 {
    Geodesic::wgs84().inverse(a.lat_deg, a.lon_deg, b.lat_deg, b.lon_deg)
}

/// The place at a distance in a direction, degrees clockwise from north.
pub(super) fn place(from: LonLat, azimuth_deg: f64, m: f64) -> LonLat {
    let (lat_deg, lon_deg): (f64, f64) = Geodesic::wgs84().direct(from.lat_deg, from.lon_deg, azimuth_deg, m);
    LonLat { lon_deg, lat_deg }
}

struct Edge {
    earth: Geodesic,
    from: LonLat,
    azimuth_deg: f64,
    length_m: f64,
}

impl Edge {
    fn at(&self, t: f64) -> LonLat {
        let m = self.length_m * t;
        let (lat_deg, lon_deg): (f64, f64) =
            self.earth
                .direct(self.from.lat_deg, self.from.lon_deg, self.azimuth_deg, m);
        LonLat { lon_deg, lat_deg }
    }
}

/// Adds the points between two places, ends not included.
pub(super) fn between(a: LonLat, b: LonLat, out: &mut Vec<LonLat>) -> Result<(), String> {
    let earth = Geodesic::wgs84();
    let (length_m, azimuth_deg, _, _): (f64, f64, f64, f64) = earth.inverse(a.lat_deg, a.lon_deg, b.lat_deg, b.lon_deg);
    if length_m > EDGE_LIMIT_M {
        return Err(format!(
            "has an edge of {:.1} km; the limit is {:.0} km",
            length_m / 1000.0,
            EDGE_LIMIT_M / 1000.0
        ));
    }
    let edge = Edge {
        earth,
        from: a,
        azimuth_deg,
        length_m,
    };
    halve(&edge, (0.0, a), (1.0, b), DEPTH, out);
    Ok(())
}

fn halve(edge: &Edge, (s, a): (f64, LonLat), (t, b): (f64, LonLat), depth: u32, out: &mut Vec<LonLat>) {
    let length_m = edge.length_m * (t - s);
    if depth == 0 || length_m < 0.1 {
        return;
    }
    // Continuous across the 180th meridian.
    let b_lon = if b.lon_deg - a.lon_deg > 180.0 {
        b.lon_deg - 360.0
    } else if b.lon_deg - a.lon_deg < -180.0 {
        b.lon_deg + 360.0
    } else {
        b.lon_deg
    };
    let straight = |k: f64| LonLat {
        lon_deg: a.lon_deg + (b_lon - a.lon_deg) * k,
        lat_deg: a.lat_deg + (b.lat_deg - a.lat_deg) * k,
    };
    let off_m = |k: f64| metres(straight(k), edge.at(s + (t - s) * k));
    let middle = edge.at((s + t) / 2.0);
    let bends =
        metres(straight(0.5), middle) > OFF_M || (length_m > LONG_M && [0.25, 0.75].iter().any(|k| off_m(*k) > OFF_M));
    if bends {
        let m = ((s + t) / 2.0, middle);
        halve(edge, (s, a), m, depth - 1, out);
        out.push(middle);
        halve(edge, m, (t, b), depth - 1, out);
    }
}

/// The places of an arc about a centre, both ends included. Angles are degrees clockwise from north and run from the first
/// to the second.
pub(super) fn arc(centre: LonLat, radius_m: f64, from_deg: f64, to_deg: f64) -> Vec<LonLat> {
    // A chord is off its arc by r (1 - cos(step / 2)), about r step² / 8.
    let step_deg = (8.0 * OFF_M / radius_m).sqrt() / DEG;
    let count = ((to_deg - from_deg).abs() / step_deg).ceil().max(1.0);
    (0..=count as usize)
        .map(|k| place(centre, from_deg + (to_deg - from_deg) * (k as f64 / count), radius_m))
        .collect()
}
