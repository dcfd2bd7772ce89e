//! What stands on a field, by name and in plan: the words for the map's own things, and aeroplanes taken to stand on other
//! stands: one like ours when the map gives no span limit, otherwise ours with wing and tailplane stretched (or shrunk) so
//! that its span is the limit. Fuselage and heights stay ours: the map says nothing about them. No stage of a plan: route
//! (where to stand for the engine check) and clearance both ask here.

use toeline_model::aircraft::parts::{self, Part};
use toeline_model::airfield::{Nose, Obstacle, ObstacleKind, Stand};
use toeline_model::path::Pose;
use toeline_model::planar::{self, Shape};
use toeline_model::units::round_to;
use toeline_model::{Aircraft, Airfield, Xy};

/// One part of the other aeroplane, placed.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Placed {
    pub(crate) shape: Shape,
    pub(crate) bottom_m: f64,
    pub(crate) top_m: f64,
}

/// The aeroplane taken to stand on a stand.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Occupant {
    /// Its parts, or the one disc that it needs when its heading is not known.
    pub(crate) outlines: Vec<Placed>,
    /// Whether it is known how it stands.
    pub(crate) sure: bool,
    /// What had to be assumed, in a sentence.
    pub(crate) note: Option<String>,
}

/// What a stand is called: "stand 5 (feature 9)".
pub(crate) fn name(stand: &Stand) -> String {
    match &stand.name {
        Some(n) if n.to_lowercase().contains("stand") => format!("{n} ({})", stand.id),
        Some(n) => format!("stand {n} ({})", stand.id),
        None => format!("unnamed stand ({})", stand.id),
    }
}

/// The aeroplane taken to stand on a stand of the field.
pub(crate) fn occupant(field: &Airfield, stand: usize, ours: &Aircraft) -> Occupant {
    let s = &field.stands[stand];
    let other = like_ours(ours, s.span_limit_m);
    if let Some(pose) = parked_pose(field, s) {
        let d = other.gear.wheelbase_m;
        let placed = |p: parts::Part| Placed {
            shape: Shape::Area {
                outer: p.outline.iter().map(|q| pose.place(d, *q)).collect(),
                holes: Vec::new(),
            },
            bottom_m: p.low_m,
            top_m: p.high_m,
        };
        return Occupant {
            outlines: parts::parts(&other).into_iter().map(placed).collect(),
            sure: true,
            note: None,
        };
    }
    let Some(at) = s.line.first().copied() else {
        return Occupant {
            outlines: Vec::new(),
            sure: false,
            note: None,
        };
    };
    let radius_m = other.reach_m();
    let list = parts::parts(&other);
    let bottom_m = list.iter().map(|p| p.low_m).fold(f64::INFINITY, f64::min);
    let top_m = list.iter().map(|p| p.high_m).fold(0.0, f64::max);
    let note = format!(
        "no heading on {}: its aeroplane is taken as a circle of {} m about the point",
        name(s),
        round_to(radius_m, 1)
    );
    let disc = Placed {
        shape: Shape::Disc { at, radius_m },
        bottom_m,
        top_m,
    };
    Occupant {
        outlines: vec![disc],
        sure: false,
        note: Some(note),
    }
}

/// Ours, or ours with wing and tailplane brought to a span limit, metres.
pub fn like_ours(ours: &Aircraft, span_limit_m: Option<f64>) -> Aircraft {
    let mut other = ours.clone();
    if let Some(limit_m) = span_limit_m {
        other.tailplane.span_m *= limit_m / ours.wing.span_m;
        other.wing.span_m = limit_m;
    }
    other
}

/// How an aeroplane stands there: nose wheel at the end of the line that is farther from any lane; heading as mapped,
/// else along the line away from the lane, or toward it when the map says nose out. `None` for a point without a
/// heading.
pub fn parked_pose(field: &Airfield, s: &Stand) -> Option<Pose> {
    let (first, last) = (*s.line.first()?, *s.line.last()?);
    if s.line.len() < 2 || planar::line_length(&s.line) == 0.0 {
        return s.heading.map(|h| Pose {
            nose: first,
            heading_rad: h.yaw(),
        });
    }
    // Rounded to a millimetre, so that equal distances tie everywhere; then the line ends where it was drawn to.
    let from_lanes = |p: Xy| {
        let to_line = |line: &[Xy]| planar::closest_on_line(p, line).map(|(q, _, _)| q.distance(p));
        round_to(
            field
                .lanes
                .iter()
                .filter_map(|l| to_line(&l.line))
                .fold(f64::INFINITY, f64::min),
            3,
        )
    };
    let drawn_from_lane = from_lanes(first) <= from_lanes(last);
    let line: Vec<Xy> = if drawn_from_lane {
        s.line.clone()
    } else {
        s.line.iter().rev().copied().collect()
    };
    let nose = if drawn_from_lane { last } else { first };
    let away = line
        .iter()
        .rev()
        .find(|p| p.distance(nose) > 0.0)
        .map(|p| (nose - *p).direction())?;
    let heading_rad = match (s.heading, s.nose) {
        (Some(h), _) => h.yaw(),
        (None, Some(Nose::Out)) => away.turned(core::f64::consts::PI),
        (None, Some(Nose::In) | None) => away,
    };
    Some(Pose { nose, heading_rad })
}

/// Whether two height bands come nearer to each other than the vertical margin. A gap of exactly the margin is enough.
pub(crate) fn bands_meet(part: &Part, bottom_m: f64, top_m: Option<f64>, vertical_margin_m: f64) -> bool {
    let over = top_m.map_or(f64::NEG_INFINITY, |top| part.low_m - top);
    let under = bottom_m - part.high_m;
    over.max(under) < vertical_margin_m - 1e-9
}

/// What people call a kind of obstacle, one and several.
pub(crate) fn kind_words(kind: ObstacleKind) -> (&'static str, &'static str) {
    match kind {
        ObstacleKind::Building => ("building", "buildings"),
        ObstacleKind::Hangar => ("hangar", "hangars"),
        ObstacleKind::Terminal => ("terminal", "terminals"),
        ObstacleKind::Fence => ("fence", "fences"),
        ObstacleKind::Wall => ("wall", "walls"),
        ObstacleKind::Tree => ("tree", "trees"),
        ObstacleKind::TreeRow => ("tree row", "tree rows"),
        ObstacleKind::Hedge => ("hedge", "hedges"),
        ObstacleKind::Pole => ("pole", "poles"),
        ObstacleKind::Mast => ("mast", "masts"),
        ObstacleKind::Windsock => ("windsock", "windsocks"),
        ObstacleKind::ParkedAeroplane => ("parked aeroplane", "parked aeroplanes"),
    }
}

/// "hangar H2 (feature 31)"; the kind is not said twice when the name on the map says it.
pub(crate) fn obstacle_name(o: &Obstacle) -> String {
    let (kind, _) = kind_words(o.kind);
    match &o.name {
        Some(name) if name.to_lowercase().contains(kind) => format!("{name} ({})", o.id),
        Some(name) => format!("{kind} {name} ({})", o.id),
        None => format!("{kind} ({})", o.id),
    }
}
