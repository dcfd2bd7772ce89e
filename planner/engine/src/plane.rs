//! The local plane: azimuthal equidistant about an origin on the WGS 84 ellipsoid.
//!
//! Distance and azimuth from the origin are those of the geodesic. Near the origin they come from a series: the geodesics
//! through the origin, written in the plane that touches the ellipsoid there. With x, y the plane's metres, e, n the
//! metres east and north in the tangent plane, N and M the radii of curvature across and along the meridian, primes for
//! derivatives northward, and
//! K = x²/N + y²/M, C = 3 (1/N)' x² y + (1/M)' y³, the surface's equation and the geodesic's give
//!
//! ```text
//! e = x − x K/(6 N) − (x C/N + (1/N)' x y K)/12 + x (K/N)²/120 + …
//! n = y − y K/(6 M) − (y C/M + ((1/M)' y² + (1/N)' x²) K/2)/12 + y (K/M)²/120 + …
//! ```
//!
//! The fourth-order terms are the ellipsoid's, from the Codazzi equations; of the fifth order only the sphere's part is kept.
//! Nothing in it knows where the poles or the 180th meridian are. Worst difference from the geodesic, measured over random
//! places on the whole earth (`tests/external/geodesy.rs`): below 0.00001 mm at 5, 10 and 15 km in either direction, which is
//! the rounding of numbers of the size of the earth's radius. Beyond [`SERIES_REACH_M`] the geodesic itself is asked.

use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};
use std::sync::LazyLock;
use toeline_model::frame::{LonLat, Xy, xy};
use toeline_model::units::DEG;
use toeline_model::{Bearing, Yaw, math};

/// How far from the origin the series is used, metres. Ours: no place of a field that is read lies farther out, and there
/// the terms left out come to less than a micrometre.
pub const SERIES_REACH_M: f64 = 40_000.0;

/// The geodesic on WGS 84: its series are worked out once.
static EARTH: LazyLock<Geodesic> = LazyLock::new(Geodesic::wgs84);

/// Semi-major axis of WGS 84, metres (NIMA TR8350.2).
const SEMI_MAJOR_M: f64 = 6_378_137.0;
/// Flattening of WGS 84 (NIMA TR8350.2).
const FLATTENING: f64 = 1.0 / 298.257_223_563;
/// Square of the first eccentricity.
const E2: f64 = FLATTENING * (2.0 - FLATTENING);

/// Projects between longitude/latitude and local metres. Distance and azimuth from the origin are true, to 1 mm at 5 km
/// and far better.
#[derive(Clone, Debug)]
pub struct LocalPlane {
    origin: LonLat,
    sin_lat: f64,
    cos_lat: f64,
    /// The origin in the meridian plane: distance from the axis and height above the equator, metres.
    axis_m: f64,
    height_m: f64,
    /// 1/N and 1/M, per metre.
    across: f64,
    along: f64,
    /// Their derivatives northward, per square metre.
    across_slope: f64,
    along_slope: f64,
    earth: &'static Geodesic,
}

impl LocalPlane {
    /// A plane that touches the ellipsoid at `origin`: x east, y north there.
    pub fn new(origin: LonLat) -> LocalPlane {
        let (sin_lat, cos_lat) = math::sin_cos(origin.lat_deg * DEG);
        let w2 = 1.0 - E2 * sin_lat * sin_lat;
        let n_m = SEMI_MAJOR_M / w2.sqrt();
        let m_m = n_m * (1.0 - E2) / w2;
        let slope = -E2 * sin_lat * cos_lat / w2;
        LocalPlane {
            origin,
            sin_lat,
            cos_lat,
            axis_m: n_m * cos_lat,
            height_m: n_m * (1.0 - E2) * sin_lat,
            across: 1.0 / n_m,
            along: 1.0 / m_m,
            across_slope: slope / (n_m * m_m),
            along_slope: 3.0 * slope / (m_m * m_m),
            earth: &EARTH,
        }
    }

    /// The place that the plane touches.
    pub fn origin(&self) -> LonLat {
        self.origin
    }

    /// Local metres of a place.
    pub fn to_xy(&self, p: LonLat) -> Xy {
        let (sin_lat, cos_lat) = math::sin_cos(p.lat_deg * DEG);
        // A whole turn is taken off in degrees, where it is exact.
        let mut east_deg = p.lon_deg - self.origin.lon_deg;
        if east_deg.abs() > 180.0 {
            east_deg -= 360.0 * (east_deg / 360.0).round();
        }
        let (sin_east, cos_east) = math::sin_cos(east_deg * DEG);
        let n_m = SEMI_MAJOR_M / (1.0 - E2 * sin_lat * sin_lat).sqrt();
        let axis = n_m * cos_lat * cos_east - self.axis_m;
        let height = n_m * (1.0 - E2) * sin_lat - self.height_m;
        let e = n_m * cos_lat * sin_east;
        let n = self.cos_lat * height - self.sin_lat * axis;
        let u = self.cos_lat * axis + self.sin_lat * height;
        // What is no number goes to the geodesic too.
        let near = e * e + n * n + u * u < SERIES_REACH_M * SERIES_REACH_M;
        if !near {
            return self.geodesic_xy(p);
        }
        // The series turned round: its own terms at (e, n), and at the fifth order the arc sine's of the sphere.
        let (east, north) = self.fourth_order(e, n);
        let k = self.normal(e, n);
        let (p, q) = (k * self.across, k * self.along);
        xy(
            e * (1.0 + p * (1.0 / 6.0 + p * (3.0 / 40.0))) + east,
            n * (1.0 + q * (1.0 / 6.0 + q * (3.0 / 40.0))) + north,
        )
    }

    /// The place of local metres, its longitude within -180 to 180 degrees.
    pub fn to_lonlat(&self, p: Xy) -> LonLat {
        let near = p.dot(p) < SERIES_REACH_M * SERIES_REACH_M;
        if !near {
            return self.geodesic_lonlat(p);
        }
        let (east, north) = self.fourth_order(p.x, p.y);
        let k = self.normal(p.x, p.y);
        let (a, b) = (k * self.across, k * self.along);
        let e = p.x * (1.0 - a * (1.0 / 6.0 - a * (1.0 / 120.0))) - east;
        let n = p.y * (1.0 - b * (1.0 / 6.0 - b * (1.0 / 120.0))) - north;
        let u = self.depth(e, n);
        let axis = self.axis_m - self.sin_lat * n + self.cos_lat * u;
        let height = self.height_m + self.cos_lat * n + self.sin_lat * u;
        let from_axis = (axis * axis + e * e).sqrt();
        let lat_deg = math::atan2(height, (1.0 - E2) * from_axis) / DEG;
        let mut lon_deg = self.origin.lon_deg + math::atan2(e, axis) / DEG;
        if lon_deg > 180.0 {
            lon_deg -= 360.0;
        } else if lon_deg < -180.0 {
            lon_deg += 360.0;
        }
        LonLat { lon_deg, lat_deg }
    }

    /// Twice the drop of the ellipsoid below the tangent plane, to second order, metres.
    fn normal(&self, x: f64, y: f64) -> f64 {
        x * x * self.across + y * y * self.along
    }

    /// What the change of curvature along the meridian adds, metres east and north.
    fn fourth_order(&self, x: f64, y: f64) -> (f64, f64) {
        let k = self.normal(x, y);
        let c = y * (3.0 * self.across_slope * x * x + self.along_slope * y * y);
        let east = x * (c * self.across + self.across_slope * y * k);
        let north = y * c * self.along + 0.5 * (self.along_slope * y * y + self.across_slope * x * x) * k;
        (east / 12.0, north / 12.0)
    }

    /// Height of the ellipsoid above the tangent plane, metres (never positive): the nearer root of the quadratic equation,
    /// in the form that subtracts nothing.
    fn depth(&self, e: f64, n: f64) -> f64 {
        // The ellipsoid is axis² + east² + height²/(1 - e²) = a²; a step is (-sin n + cos u, e, cos n + sin u).
        let g = 1.0 / (1.0 - E2);
        let square = self.cos_lat * self.cos_lat + g * self.sin_lat * self.sin_lat;
        let half =
            self.axis_m * self.cos_lat + g * self.height_m * self.sin_lat + (g - 1.0) * self.sin_lat * self.cos_lat * n;
        let rest = e * e + n * n * (self.sin_lat * self.sin_lat + g * self.cos_lat * self.cos_lat);
        -rest / (half + (half * half - square * rest).sqrt())
    }

    fn geodesic_xy(&self, p: LonLat) -> Xy {
        let (distance_m, azimuth_deg, _, _): (f64, f64, f64, f64) =
            self.earth
                .inverse(self.origin.lat_deg, self.origin.lon_deg, p.lat_deg, p.lon_deg);
        Xy::unit(Bearing::from_deg(azimuth_deg).yaw()) * distance_m
    }

    fn geodesic_lonlat(&self, p: Xy) -> LonLat {
        let azimuth_deg = Yaw::from_rad(p.direction().rad()).bearing().deg();
        let (lat_deg, lon_deg): (f64, f64) =
            self.earth
                .direct(self.origin.lat_deg, self.origin.lon_deg, azimuth_deg, p.norm());
        LonLat { lon_deg, lat_deg }
    }
}
