//! Metres about a place, near enough to decide what belongs to an aerodrome: within a percent over the 30 km of a field.

use super::element::Place;
use toeline_model::frame::{Xy, xy};
use toeline_model::math;
use toeline_model::units::DEG;

/// Metres in a degree of a great circle on a sphere of the earth's mean radius, 6371.0088 km (IUGG).
const DEGREE_M: f64 = 111_195.08;

/// A plane that touches the earth at a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Flat {
    lon_deg: f64,
    lat_deg: f64,
    lon_m: f64,
}

impl Flat {
    pub(super) fn about(middle: Place) -> Flat {
        let at = middle.lonlat();
        Flat {
            lon_deg: at.lon_deg,
            lat_deg: at.lat_deg,
            lon_m: DEGREE_M * math::cos(at.lat_deg * DEG),
        }
    }

    pub(super) fn to_xy(self, place: Place) -> Xy {
        let at = place.lonlat();
        let mut east_deg = at.lon_deg - self.lon_deg;
        if east_deg > 180.0 {
            east_deg -= 360.0;
        } else if east_deg < -180.0 {
            east_deg += 360.0;
        }
        xy(east_deg * self.lon_m, (at.lat_deg - self.lat_deg) * DEGREE_M)
    }

    pub(super) fn line(self, places: &[Place]) -> Vec<Xy> {
        places.iter().map(|p| self.to_xy(*p)).collect()
    }

    /// Metres between two places near one another.
    pub(super) fn between(a: Place, b: Place) -> f64 {
        Flat::about(a).to_xy(b).norm()
    }

    /// A box in longitude and latitude that holds all within `reach_m` of a box; `None` near a pole and across the 180th
    /// meridian.
    pub(super) fn span(self, (low, high): (Xy, Xy), reach_m: f64) -> Option<(Place, Place)> {
        // Beyond what the sums round by.
        const MORE_M: f64 = 1.0;
        let reach_m = reach_m + MORE_M;
        let corner = |x: f64, y: f64| {
            let (lon, lat) = (self.lon_deg + x / self.lon_m, self.lat_deg + y / DEGREE_M);
            Place::from_deg(lon, lat).ok()
        };
        Some((
            corner(low.x - reach_m, low.y - reach_m)?,
            corner(high.x + reach_m, high.y + reach_m)?,
        ))
    }

    /// As many metres as degrees of longitude here, and of latitude.
    pub(super) fn degrees(self, metres: f64) -> (f64, f64) {
        // At a pole every longitude is near.
        ((metres / self.lon_m.max(1.0)).min(180.0), metres / DEGREE_M)
    }
}

/// The middle of the box around places; its sides may lie on either side of the 180th meridian.
pub(super) fn middle(places: impl IntoIterator<Item = Place>) -> Option<Place> {
    let mut places = places.into_iter();
    let first = places.next()?;
    let turn = 360_000_000_000;
    let (mut low, mut high) = (first, first);
    for p in places {
        let mut lon = p.lon_nano;
        if lon - first.lon_nano > turn / 2 {
            lon -= turn;
        } else if first.lon_nano - lon > turn / 2 {
            lon += turn;
        }
        low = Place {
            lon_nano: low.lon_nano.min(lon),
            lat_nano: low.lat_nano.min(p.lat_nano),
        };
        high = Place {
            lon_nano: high.lon_nano.max(lon),
            lat_nano: high.lat_nano.max(p.lat_nano),
        };
    }
    let mut lon_nano = (low.lon_nano + high.lon_nano) / 2;
    if lon_nano > turn / 2 {
        lon_nano -= turn;
    } else if lon_nano < -turn / 2 {
        lon_nano += turn;
    }
    Some(Place {
        lon_nano,
        lat_nano: (low.lat_nano + high.lat_nano) / 2,
    })
}
