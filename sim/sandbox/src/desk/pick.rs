//! What lies under the pointer: a stand, an engine-check area, a holding position, the end of a runway.

use toeline_model::airfield::{NamedArea, Stand};
use toeline_model::planar::{centroid, closest_on_line, inside_ring};
use toeline_model::{Airfield, Xy};

/// A place on the map that a way can start at, go by or end at. Figures are indices in the airfield.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// A stand.
    Stand(usize),
    /// An engine-check area.
    CheckArea(usize),
    /// A holding position.
    Hold(usize),
    /// A runway, to be used from its first (0) or last (1) point on.
    RunwayEnd(usize, usize),
}

/// The place under a point of the field; `reach_m` is how far off one may point and still be understood. Stands and
/// holding positions go before areas, and areas before runways: the smaller thing is the one that was meant.
pub fn hit(field: &Airfield, p: Xy, reach_m: f64) -> Option<Place> {
    let stands = (0..field.stands.len()).map(|i| (stand_distance_m(&field.stands[i], p), Place::Stand(i)));
    let holds = (0..field.holding_positions.len()).map(|i| (field.holding_positions[i].at.distance(p), Place::Hold(i)));
    let small = stands
        .chain(holds)
        .filter(|(d, _)| *d <= reach_m)
        .min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((_, place)) = small {
        return Some(place);
    }
    if let Some(i) = field.check_areas.iter().position(|a| inside_ring(p, &a.outer)) {
        return Some(Place::CheckArea(i));
    }
    for (i, r) in field.runways.iter().enumerate() {
        let half = r.width_m.unwrap_or(crate::surface::RUNWAY_WIDTH_M) / 2.0;
        let near = closest_on_line(p, &r.line).is_some_and(|(q, _, _)| q.distance(p) <= half + reach_m);
        let (Some(first), Some(last)) = (r.line.first(), r.line.last()) else {
            continue;
        };
        let end = usize::from(last.distance(p) < first.distance(p));
        if near && r.designators[end].is_some() {
            return Some(Place::RunwayEnd(i, end));
        }
    }
    None
}

fn stand_distance_m(stand: &Stand, p: Xy) -> f64 {
    match stand.line.as_slice() {
        [] => f64::INFINITY,
        [one] => one.distance(p),
        line => closest_on_line(p, line).map_or(f64::INFINITY, |(q, _, _)| q.distance(p)),
    }
}

/// Where a place is marked on the map.
pub fn spot(field: &Airfield, place: Place) -> Option<Xy> {
    match place {
        Place::Stand(i) => {
            let line = &field.stands.get(i)?.line;
            match line.as_slice() {
                [] => None,
                [one] => Some(*one),
                [first, .., last] => Some(first.lerp(*last, 0.5)),
            }
        }
        Place::CheckArea(i) => field.check_areas.get(i).map(|a| centroid(&a.outer)),
        Place::Hold(i) => field.holding_positions.get(i).map(|h| h.at),
        Place::RunwayEnd(i, end) => {
            let line = &field.runways.get(i)?.line;
            if end == 0 {
                line.first().copied()
            } else {
                line.last().copied()
            }
        }
    }
}

/// What a place is called on the map and on the screen.
pub fn label(field: &Airfield, place: Place) -> String {
    let named = |what: &str, name: Option<&str>, id: &str| match name {
        Some(n) => format!("{what} {n}"),
        None => format!("{what} without name ({id})"),
    };
    match place {
        Place::Stand(i) => field
            .stands
            .get(i)
            .map_or_else(String::new, |s| named("stand", s.name.as_deref(), &s.id)),
        Place::CheckArea(i) => field
            .check_areas
            .get(i)
            .map_or_else(String::new, |a| named("engine-check area", a.name.as_deref(), &a.id)),
        Place::Hold(i) => field
            .holding_positions
            .get(i)
            .map_or_else(String::new, |h| named("holding position", h.name.as_deref(), &h.id)),
        Place::RunwayEnd(i, end) => field
            .runways
            .get(i)
            .and_then(|r| r.designators[end].as_deref())
            .map_or_else(String::new, |d| format!("runway {d}")),
    }
}

/// The word by which the planner knows a place: its name, or the feature's identity where the name is missing or not the
/// only one of its kind.
pub fn asked(field: &Airfield, place: Place) -> String {
    let word = |name: Option<&str>, id: &str, all: &mut dyn Iterator<Item = Option<&str>>| {
        let same = |o: Option<&str>| o.is_some_and(|o| name.is_some_and(|n| n.eq_ignore_ascii_case(o)));
        match name {
            Some(n) if all.filter(|o| same(*o)).count() == 1 => n.to_string(),
            _ => id.to_string(),
        }
    };
    match place {
        Place::Stand(i) => field.stands.get(i).map_or_else(String::new, |s| {
            word(
                s.name.as_deref(),
                &s.id,
                &mut field.stands.iter().map(|s| s.name.as_deref()),
            )
        }),
        Place::CheckArea(i) => field.check_areas.get(i).map_or_else(String::new, |a: &NamedArea| {
            word(
                a.name.as_deref(),
                &a.id,
                &mut field.check_areas.iter().map(|a| a.name.as_deref()),
            )
        }),
        Place::Hold(i) => field.holding_positions.get(i).map_or_else(String::new, |h| {
            word(
                h.name.as_deref(),
                &h.id,
                &mut field.holding_positions.iter().map(|h| h.name.as_deref()),
            )
        }),
        Place::RunwayEnd(i, end) => field
            .runways
            .get(i)
            .and_then(|r| r.designators[end].clone())
            .unwrap_or_default(),
    }
}
