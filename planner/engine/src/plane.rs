//! The local plane: azimuthal equidistant about an origin, from the geodesic on the WGS 84 ellipsoid.

use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};
use toeline_model::frame::{LonLat, Xy};
use toeline_model::{Bearing, Yaw};

/// Projects between longitude/latitude and local metres. Distance and azimuth from the origin are true; 1 mm at 5 km.
#[derive(Clone, Debug)]
pub struct LocalPlane {
    origin: LonLat,
    earth: Geodesic,
}

impl LocalPlane {
    /// A plane that touches the ellipsoid at `origin`: x east, y north there.
    pub fn new(origin: LonLat) -> LocalPlane {
        LocalPlane {
            origin,
            earth: Geodesic::wgs84(),
        }
    }

    /// Local metres of a place.
    pub fn to_xy(&self, p: LonLat) -> Xy {
        let (distance_m, azimuth_deg, _, _): (f64, f64, f64, f64) =
            self.earth
                .inverse(self.origin.lat_deg, self.origin.lon_deg, p.lat_deg, p.lon_deg);
        Xy::unit(Bearing::from_deg(azimuth_deg).yaw()) * distance_m
    }

    /// The place of local metres.
    pub fn to_lonlat(&self, p: Xy) -> LonLat {
        let azimuth_deg = Yaw::from_rad(p.direction().rad()).bearing().deg();
        let (lat_deg, lon_deg): (f64, f64) =
            self.earth
                .direct(self.origin.lat_deg, self.origin.lon_deg, azimuth_deg, p.norm());
        LonLat { lon_deg, lat_deg }
    }
}
