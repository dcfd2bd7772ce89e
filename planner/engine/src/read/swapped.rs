//! Longitude and latitude in the wrong order, where it can be seen.
//!
//! A swapped file is mirrored about the north-east diagonal, so a runway along 080 comes to lie along 010. The numbers of
//! its designators do not swap. When every runway with two numbers lies far off them as the file stands, and close to them
//! with the two swapped, the file is doubted. A runway along the diagonal (04/22, 05/23) or across it (13/31, 14/32) lies the
//! same way either way, and a file without designators says nothing: there a swap is not seen. Latitudes beyond 90 degrees
//! are told where positions are read.

use crate::notice::{Notice, NoticeKind};
use crate::plane::LocalPlane;
use toeline_model::airfield::Runway;
use toeline_model::{Bearing, LonLat, Xy};

/// Farther off its designator a runway does not lie, degrees. Ours: the numbers are in tens and count from magnetic north.
const FAR_OFF_DEG: f64 = 30.0;
/// So near its designator a runway lies when the order is right, degrees. Ours.
const NEAR_DEG: f64 = 15.0;

/// A doubt about the whole file, borne by its first runway.
pub(super) fn swapped(plane: &LocalPlane, runways: &[Runway]) -> Option<Notice> {
    let mut seen = runways.iter().filter_map(|r| Some((r, off_deg(plane, r)?)));
    let (first, off) = seen.next()?;
    let tells = |(now, turned): (f64, f64)| now > FAR_OFF_DEG && turned < NEAR_DEG;
    (tells(off) && seen.all(|(_, off)| tells(off))).then(|| {
        let text = format!(
            "longitude and latitude look swapped: as the file stands runways lie {:.0} deg off their designators, with the \
             two swapped {:.0} deg; RFC 7946 puts longitude first",
            off.0, off.1
        );
        Notice::new(NoticeKind::Doubt, first.id.clone(), text).with_place(first.line.first().copied())
    })
}

/// How far a runway lies off its two designators, as the file stands and swapped, degrees; `None` when it cannot be said.
fn off_deg(plane: &LocalPlane, runway: &Runway) -> Option<(f64, f64)> {
    let number = |d: &Option<String>| {
        let digits: String = d.as_ref()?.chars().take_while(char::is_ascii_digit).collect();
        digits.parse::<u32>().ok().filter(|n| (1..=36).contains(n))
    };
    let (low, high) = (number(&runway.designators[0])?, number(&runway.designators[1])?);
    if low.abs_diff(high) != 18 {
        return None;
    }
    let axis = Bearing::from_deg(f64::from(low) * 10.0);
    // Either sense: the designators were put in order by the direction as the file stands.
    let off = |along: Xy| {
        let deg = axis.to_deg(along.direction().bearing()).abs();
        deg.min(180.0 - deg)
    };
    let (a, b) = (*runway.line.first()?, *runway.line.last()?);
    let turned = |p: Xy| {
        let LonLat { lon_deg, lat_deg } = plane.to_lonlat(p);
        LonLat {
            lon_deg: lat_deg,
            lat_deg: lon_deg,
        }
    };
    let (from, to) = (turned(a), turned(b));
    if from.lat_deg.abs() > 90.0 || to.lat_deg.abs() > 90.0 {
        return None;
    }
    Some((off(b - a), off(LocalPlane::new(from).to_xy(to))))
}
