//! What cannot be checked is refused, and what the map draws wrongly is named: neither is ever called clear.

use super::Margins;
use crate::route::Route;
use toeline_model::airfield::Obstacle;
use toeline_model::planar::{self, Shape};
use toeline_model::units::round_to;
use toeline_model::{Aircraft, Xy};

/// Why a way cannot be checked at all.
#[derive(Clone, Debug, PartialEq)]
pub enum ClearanceError {
    /// A figure of the aeroplane that cannot be, with its key and limit.
    Aircraft {
        /// The aeroplane's short name.
        id: String,
        /// Everything wrong, one sentence each.
        problems: Vec<String>,
    },
    /// The path was not made for this aeroplane, or is not made of numbers.
    Path(String),
    /// A margin or an accuracy that cannot be.
    Margin(String),
}

impl core::fmt::Display for ClearanceError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            ClearanceError::Aircraft { id, problems } => {
                write!(f, "aircraft \"{id}\" cannot be swept: {}", problems.join("; "))
            }
            ClearanceError::Path(e) | ClearanceError::Margin(e) => f.write_str(e),
        }
    }
}

impl std::error::Error for ClearanceError {}

/// Refuses what the check cannot work with.
pub(super) fn refuse(aircraft: &Aircraft, route: &Route, margins: &Margins) -> Result<(), ClearanceError> {
    let problems = aeroplane(aircraft);
    if !problems.is_empty() {
        return Err(ClearanceError::Aircraft {
            id: aircraft.id.clone(),
            problems,
        });
    }
    let (path, d) = (&route.path, aircraft.gear.wheelbase_m);
    if (path.wheelbase_m - d).abs() > 1e-9 || !path.wheelbase_m.is_finite() {
        return Err(ClearanceError::Path(format!(
            "the path was made for a wheelbase of {} m, \"{}\" has {d} m: plan it again for this aeroplane",
            path.wheelbase_m, aircraft.id
        )));
    }
    let number = |p: &Xy| p.x.is_finite() && p.y.is_finite();
    let sound = number(&path.start.nose)
        && path.pieces.iter().all(|p| {
            let ends = [p.pose(d, 0.0), p.pose(d, p.length_m)];
            p.length_m.is_finite() && p.from_m.is_finite() && ends.iter().all(|e| number(&e.nose))
        });
    if !sound {
        return Err(ClearanceError::Path(
            "the path has a place or a length that is not a number".to_string(),
        ));
    }
    for (what, value) in [
        ("margin", margins.margin_m),
        ("vertical margin", margins.vertical_margin_m),
        ("accuracy", margins.accuracy_m.unwrap_or(0.0)),
    ] {
        if !value.is_finite() || value < 0.0 {
            return Err(ClearanceError::Margin(format!(
                "{what} of {value} m: it must be a number of at least 0 m"
            )));
        }
    }
    Ok(())
}

/// What of the aeroplane's figures the sweep cannot work with.
fn aeroplane(a: &Aircraft) -> Vec<String> {
    let mut list = Vec::new();
    let mut more = |key: &str, value: f64, limit: f64| {
        if !value.is_finite() || value <= limit {
            list.push(format!("{key} of {value} m must be above {limit} m"));
        }
    };
    more("gear.wheelbase_m", a.gear.wheelbase_m, 0.0);
    more("wing.span_m", a.wing.span_m, 0.0);
    more("gear.track_m", a.gear.track_m, 0.0);
    if a.gear.track_m >= a.wing.span_m {
        list.push(format!(
            "gear.track_m of {} m must be below wing.span_m of {} m",
            a.gear.track_m, a.wing.span_m
        ));
    }
    if list.is_empty() {
        for p in toeline_model::aircraft::parts::parts(a) {
            let number = p.outline.iter().all(|q| q.x.is_finite() && q.y.is_finite());
            if !number || p.outline.len() < 3 {
                list.push(format!("the {} has no area in plan", p.name));
            }
            if !(p.low_m >= 0.0 && p.high_m.is_finite() && p.high_m > p.low_m) {
                list.push(format!(
                    "the {} reaches from {} m to {} m above the ground: the first must be at least 0 m and below the second",
                    p.name, p.low_m, p.high_m
                ));
            }
        }
    }
    list
}

/// Whether a shape has points enough, and all of them are numbers.
pub(super) fn placed(shape: &Shape) -> bool {
    let number = |p: &Xy| p.x.is_finite() && p.y.is_finite();
    match shape {
        Shape::Disc { at, radius_m } => number(at) && radius_m.is_finite() && *radius_m >= 0.0,
        Shape::Line { points } => points.len() >= 2 && points.iter().all(number),
        Shape::Area { outer, holes } => outer.len() >= 3 && outer.iter().chain(holes.iter().flatten()).all(number),
    }
}

/// The flaw of an obstacle, if it has one. Whether an outline crosses itself takes long to see on a large one.
pub(super) fn flaw(o: &Obstacle) -> Option<String> {
    if !placed(&o.shape) {
        return Some("has no place that can be drawn: not checked".to_string());
    }
    let high = o.top_m.unwrap_or(f64::INFINITY);
    if !(o.bottom_m >= 0.0 && high > o.bottom_m) {
        let top = o.top_m.map_or("no upper end".to_string(), |t| format!("{t} m"));
        return Some(format!(
            "reaches from {} m to {top} above the ground, which cannot be: taken to stand on the ground without an \
                 upper end",
            o.bottom_m
        ));
    }
    let Shape::Area { outer, .. } = &o.shape else {
        return None;
    };
    let at = planar::self_crossing(outer)?;
    Some(format!(
        "has an outline that crosses itself at {}, {} m (east, north): everything it winds round is taken as solid",
        round_to(at.x, 1),
        round_to(at.y, 1)
    ))
}
