//! From longitude and latitude to the local plane: the origin, the width of the field, and straight lines kept straight.

use super::geometry::Part;
use super::{ReadError, SAGITTA_M, WIDTH_LIMIT_M};
use crate::plane::LocalPlane;
use toeline_model::planar::closest_on_segment;
use toeline_model::units::{DEG, round_to};
use toeline_model::{LonLat, Xy, math};

/// Pieces shorter than this are never split, metres: below 89.9 degrees of latitude their sagitta is under the limit.
const SHORT_M: f64 = 2.0;
/// Pieces longer than this are tested at their quarters too, metres: a line through the origin bends both ways.
const LONG_M: f64 = 100.0;
/// Most halvings of one piece; reached by nothing within the width limit.
const DEPTH: u32 = 20;

/// Longitudes made continuous across the 180th meridian: of every part from its first position on, and of the parts among
/// one another by the first longitude met.
pub(super) fn unwrap(parts: &mut [Part], first_lon_deg: f64) {
    let follow = |p: &mut LonLat, before_deg: f64| {
        if p.lon_deg - before_deg > 180.0 {
            p.lon_deg -= 360.0;
        } else if p.lon_deg - before_deg < -180.0 {
            p.lon_deg += 360.0;
        }
        p.lon_deg
    };
    let chain = |line: &mut Vec<LonLat>| {
        line.iter_mut().fold(first_lon_deg, |before, p| follow(p, before));
    };
    for part in parts {
        match part {
            Part::Point(p) => {
                follow(p, first_lon_deg);
            }
            Part::Line(line) => chain(line),
            Part::Area { outer, holes } => {
                chain(outer);
                holes.iter_mut().for_each(chain);
            }
        }
    }
}

/// Nearer to a pole than this the box around the field is taken in metres, degrees of latitude: a box of longitudes means
/// nothing around the pole. Ours.
const POLAR_DEG: f64 = 89.0;

/// Origin and extent of a field near a pole: the middle of the box in the plane about its first place.
fn polar(places: impl Iterator<Item = LonLat>) -> Option<(LonLat, Xy)> {
    let mut places = places.peekable();
    let plane = LocalPlane::new(*places.peek()?);
    let (low, high) = toeline_model::planar::bounds(places.map(|p| plane.to_xy(p)))?;
    let middle = plane.to_lonlat(low.lerp(high, 0.5));
    let origin = LonLat {
        lon_deg: round_to(middle.lon_deg, 6),
        lat_deg: round_to(middle.lat_deg, 6),
    };
    Some((origin, high - low))
}

/// The origin of the local plane: the middle of the box around some places, rounded to 1e-6 degree. `None` without places.
pub(super) fn origin(places: impl Iterator<Item = LonLat> + Clone) -> Result<Option<LonLat>, ReadError> {
    let corners = places.clone().fold(None, |b: Option<(LonLat, LonLat)>, p| match b {
        None => Some((p, p)),
        Some((lo, hi)) => Some((
            LonLat {
                lon_deg: lo.lon_deg.min(p.lon_deg),
                lat_deg: lo.lat_deg.min(p.lat_deg),
            },
            LonLat {
                lon_deg: hi.lon_deg.max(p.lon_deg),
                lat_deg: hi.lat_deg.max(p.lat_deg),
            },
        )),
    });
    let Some((lo, hi)) = corners else { return Ok(None) };
    if lo.lat_deg.abs().max(hi.lat_deg.abs()) > POLAR_DEG {
        let Some((origin, extent)) = polar(places) else {
            return Ok(None);
        };
        narrow(extent.x, extent.y)?;
        return Ok(Some(origin));
    }
    let mut origin = LonLat {
        lon_deg: round_to((lo.lon_deg + hi.lon_deg) / 2.0, 6),
        lat_deg: round_to((lo.lat_deg + hi.lat_deg) / 2.0, 6),
    };
    if origin.lon_deg > 180.0 {
        origin.lon_deg = round_to(origin.lon_deg - 360.0, 6);
    } else if origin.lon_deg < -180.0 {
        origin.lon_deg = round_to(origin.lon_deg + 360.0, 6);
    }
    let measure = |a: LonLat, b: LonLat| LocalPlane::new(a).to_xy(b).norm();
    let mid_lat = |lon_deg: f64| LonLat {
        lon_deg,
        lat_deg: origin.lat_deg,
    };
    let mid_lon = |lat_deg: f64| LonLat {
        lon_deg: origin.lon_deg,
        lat_deg,
    };
    // Half the earth apart in longitude the way round the other side is shorter; such a box is too wide anyway.
    let east_west_m = if hi.lon_deg - lo.lon_deg > 90.0 {
        f64::INFINITY
    } else {
        measure(mid_lat(lo.lon_deg), mid_lat(hi.lon_deg))
    };
    let north_south_m = measure(mid_lon(lo.lat_deg), mid_lon(hi.lat_deg));
    narrow(east_west_m, north_south_m)?;
    Ok(Some(origin))
}

/// Refuses a field that is wider than the limit.
fn narrow(east_west_m: f64, north_south_m: f64) -> Result<(), ReadError> {
    for (what, value_m) in [("east to west", east_west_m), ("north to south", north_south_m)] {
        if value_m > WIDTH_LIMIT_M {
            let value = if value_m.is_finite() {
                format!("{:.1} km", value_m / 1000.0)
            } else {
                "a quarter of the earth".to_string()
            };
            return Err(ReadError::TooLarge {
                found: format!(
                    "runways, taxiways and stands span {value} from {what}; the limit is {:.0} km: cut out one airfield",
                    WIDTH_LIMIT_M / 1000.0
                ),
            });
        }
    }
    Ok(())
}

/// About how far places are from one: good to a few percent, and cheap enough to ask of every position.
pub(super) struct Roughly {
    from: LonLat,
    cos_lat: f64,
}

impl Roughly {
    /// From a place.
    pub(super) fn from(from: LonLat) -> Roughly {
        let cos_lat = math::cos(from.lat_deg * DEG);
        Roughly { from, cos_lat }
    }

    /// To a place, metres.
    pub(super) fn metres(&self, p: LonLat) -> f64 {
        const METRES_A_DEGREE: f64 = 111_200.0;
        let mut east_deg = (p.lon_deg - self.from.lon_deg).abs() % 360.0;
        if east_deg > 180.0 {
            east_deg = 360.0 - east_deg;
        }
        let across = east_deg * self.cos_lat;
        let north_deg = p.lat_deg - self.from.lat_deg;
        (across * across + north_deg * north_deg).sqrt() * METRES_A_DEGREE
    }
}

/// The plane of a field, with the length of line that needs no look there.
pub(super) struct Plane {
    plane: LocalPlane,
    straight_m: f64,
}

impl Plane {
    /// About an origin.
    pub(super) fn new(origin: LonLat) -> Plane {
        Plane {
            plane: LocalPlane::new(origin),
            straight_m: straight_m(origin),
        }
    }
}

impl core::ops::Deref for Plane {
    type Target = LocalPlane;
    fn deref(&self) -> &LocalPlane {
        &self.plane
    }
}

/// Pieces shorter than this need no look, metres. A line straight in longitude and latitude bends by at most
/// 1.09 tan(latitude)/R (the greatest of sin a (1 + cos² a) over its directions a), and the plane's own bending of a straight
/// line is below r/R² at a distance r from the origin; the sagitta of such a piece is under half the limit.
fn straight_m(origin: LonLat) -> f64 {
    const LEAST_R_M: f64 = 6_335_000.0;
    // The field reaches at most this much farther toward the pole, degrees: more than the width limit.
    const BEYOND_DEG: f64 = 0.3;
    let lat_deg = origin.lat_deg.abs() + BEYOND_DEG;
    if lat_deg >= 90.0 {
        return SHORT_M;
    }
    let bend = (1.09 * math::tan(lat_deg * DEG) + WIDTH_LIMIT_M / LEAST_R_M) / LEAST_R_M;
    (4.0 * SAGITTA_M / bend).sqrt().max(SHORT_M)
}

/// A line in local metres, with points added where it would leave the line that RFC 7946 means.
pub(super) fn line(plane: &Plane, places: &[LonLat]) -> Vec<Xy> {
    run(plane, places.iter(), places.len())
}

fn run<'a>(plane: &Plane, places: impl Iterator<Item = &'a LonLat>, count: usize) -> Vec<Xy> {
    let mut out = Vec::with_capacity(count);
    let mut last: Option<(LonLat, Xy)> = None;
    for place in places {
        let here = plane.to_xy(*place);
        if let Some((a, pa)) = last {
            if pa.distance(here) >= plane.straight_m {
                between(plane, (a, pa), (*place, here), DEPTH, &mut out);
            }
        }
        out.push(here);
        last = Some((*place, here));
    }
    out
}

/// An open ring in local metres, with points added likewise, on the closing edge too.
pub(super) fn ring(plane: &Plane, places: &[LonLat]) -> Vec<Xy> {
    let mut out = run(plane, places.iter().chain(places.first()), places.len() + 1);
    out.pop();
    out
}

/// Adds the points between two ends, ends not included.
fn between(plane: &LocalPlane, (a, pa): (LonLat, Xy), (b, pb): (LonLat, Xy), depth: u32, out: &mut Vec<Xy>) {
    let length_m = pa.distance(pb);
    if depth == 0 || length_m < SHORT_M {
        return;
    }
    let part = |t: f64| LonLat {
        lon_deg: a.lon_deg + (b.lon_deg - a.lon_deg) * t,
        lat_deg: a.lat_deg + (b.lat_deg - a.lat_deg) * t,
    };
    let off_m = |p: Xy| closest_on_segment(p, pa, pb).0.distance(p);
    // Half the sum, so that the middle is the same in either direction and equal pieces get equal points.
    let middle = LonLat {
        lon_deg: (a.lon_deg + b.lon_deg) / 2.0,
        lat_deg: (a.lat_deg + b.lat_deg) / 2.0,
    };
    let pm = plane.to_xy(middle);
    let bends = off_m(pm) > SAGITTA_M
        || (length_m > LONG_M && [0.25, 0.75].iter().any(|t| off_m(plane.to_xy(part(*t))) > SAGITTA_M));
    if bends {
        between(plane, (a, pa), (middle, pm), depth - 1, out);
        out.push(pm);
        between(plane, (middle, pm), (b, pb), depth - 1, out);
    }
}
