//! Stage 4: the parts of the aeroplane swept along the driven path, against everything the map shows.
//!
//! | file | what it holds |
//! |---|---|
//! | `sweep` | the path cut into cells, and what each part covers in a cell |
//! | `solid` | an obstacle made ready for many distance questions |
//! | `obstacles`, `stands` | which obstacles count: the map's own, and aeroplanes on other stands |
//! | `queue`, `advance` | branch and bound: the certified least gap, and the contact interval |
//! | `curve` | the certified lower bound along the way |
//! | `edge` | main wheels against the pavement edge |
//! | `swept` | outline of everything swept |
//! | `hold` | parts against the holding lines that the way stops at |
//! | `published`, `compare` | the FAA and ICAO design rows, and the way held against them |
//! | `verdict`, `lacks` | what follows from the figures, and what the map does not say |
//! | `remedy` | what would make a way clear that is not |
//! | `sound` | what cannot be checked is refused, what is drawn wrongly is named |

use crate::request::MarginRule;
use crate::route::{Route, TurnMeans};
use serde::{Deserialize, Serialize};
use toeline_model::airfield::ObstacleKind;
use toeline_model::planar::Shape;
use toeline_model::{Aircraft, Airfield, Bearing, Xy};

mod advance;
mod compare;
mod curve;
mod edge;
mod hold;
mod lacks;
mod obstacles;
pub mod published;
mod queue;
mod remedy;
mod solid;
mod sound;
mod stands;
mod sweep;
mod swept;
mod verdict;

pub(crate) use crate::standing::bands_meet;
pub use crate::standing::{like_ours, parked_pose};
pub use compare::{Compared, Row, RowFound};
pub use remedy::{Remedy, RemedyKind, remedies};
pub use sound::ClearanceError;
pub(crate) use verdict::accuracy_of;

/// The answer about clearance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Clear, by the margin, of everything the map shows, even if the map is off by its accuracy.
    Clear,
    /// Nearer than the margin to something the map shows.
    NotClear,
    /// The map cannot say: its accuracy or something it lacks decides.
    NotKnown,
}

/// What an obstacle in the check is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Against {
    /// A fixed thing of the map.
    Fixed(ObstacleKind),
    /// An aeroplane taken to stand on another stand.
    OccupiedStand,
}

/// Everything about one obstacle that the check used.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Considered {
    /// Feature in the map.
    pub feature: String,
    /// What to call it: "hangar H2 (feature 31)", "aeroplane on stand 5 (feature 9)".
    pub name: String,
    /// What it is.
    pub against: Against,
    /// Plan view, local metres. An aeroplane on a stand has several outlines, one entry of [`Considered`] each.
    pub shape: Shape,
    /// Lower edge above the ground, metres.
    pub bottom_m: f64,
    /// Upper edge above the ground, metres; `None` when the map gives no height.
    pub top_m: Option<f64>,
    /// Whether it is sure to be there and of that shape; a parked aeroplane of unknown heading is not.
    pub sure: bool,
}

/// Least gap to one obstacle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Gap {
    /// Index in `considered`.
    pub obstacle: usize,
    /// Part of the aeroplane that comes nearest.
    pub part: String,
    /// Gap, metres: never above the true least gap of the model and within 1 mm of it; 0 on contact.
    pub gap_m: f64,
    /// Way of the nose wheel where it is least, metres.
    pub at_m: f64,
    /// Closest point on the aeroplane, local metres.
    pub on_aircraft: Xy,
    /// Closest point on the obstacle, local metres.
    pub on_obstacle: Xy,
    /// Heading of the aeroplane there.
    pub heading: Bearing,
    /// Verdict on this obstacle.
    pub verdict: Verdict,
    /// First and last way at which it touches, metres, when it touches.
    pub contact_m: Option<[f64; 2]>,
}

/// Certified lower bound of the gap to everything between two ways.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CurveCell {
    /// From, metres of way.
    pub from_m: f64,
    /// To, metres of way.
    pub to_m: f64,
    /// Never above the true least gap in between, metres; `None` when nothing lies within [`LOOK_AROUND_M`].
    pub gap_m: Option<f64>,
}

/// How far from the aeroplane's parts obstacles are looked at, metres; farther where the margin and the map's accuracy
/// together are more.
pub const LOOK_AROUND_M: f64 = 20.0;

/// How far from the aeroplane's parts obstacles are looked at for these margins, metres: [`LOOK_AROUND_M`], or as far as
/// decides about a wider margin.
fn look_m(field: &Airfield, margins: &Margins) -> f64 {
    LOOK_AROUND_M.max(margins.margin_m + verdict::accuracy(field, margins).0)
}

/// Main wheels against the pavement edge, for one leg.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct EdgeRoom {
    /// Index of the leg.
    pub leg: usize,
    /// Least distance from the outside of a main tyre to the edge of the mapped pavement, metres: never above the true
    /// one and within 1 mm of it; negative off the pavement; `None` when the width is not mapped.
    pub room_m: Option<f64>,
    /// Way at which it is least, metres.
    pub at_m: f64,
    /// Verdict: not clear when off the pavement, not known without a width.
    pub verdict: Verdict,
}

/// The aeroplane at a stop before a holding line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct HoldRoom {
    /// Index of the stop.
    pub stop: usize,
    /// The foremost part.
    pub part: String,
    /// How far it stays behind the line, metres; negative when it is over it.
    pub behind_m: f64,
    /// Way of the nose wheel at the stop, metres.
    pub at_m: f64,
    /// Verdict: not clear when a part is over the line.
    pub verdict: Verdict,
}

/// The whole result.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Clearance {
    /// The answer: the worst of wings, wheels and holding lines, and "not clear" where a turn cannot be made.
    pub verdict: Verdict,
    /// Answer for the parts against obstacles alone.
    pub parts_verdict: Verdict,
    /// Answer for the wheels against the pavement edge alone.
    pub edge_verdict: Verdict,
    /// Answer for the holding lines alone.
    pub hold_verdict: Verdict,
    /// Which figures decided.
    pub rule: MarginRule,
    /// Wing-tip margin used, metres.
    pub margin_m: f64,
    /// Vertical margin used, metres.
    pub vertical_margin_m: f64,
    /// Horizontal accuracy used, metres.
    pub accuracy_m: f64,
    /// Where that accuracy is from: "stated by the map", "given", "ours, for open maps".
    pub accuracy_from: String,
    /// Every obstacle looked at, those whose box comes within [`LOOK_AROUND_M`] of the way: first the map's own in file
    /// order, then aeroplanes on stands.
    pub considered: Vec<Considered>,
    /// Least gap to each obstacle that comes within [`LOOK_AROUND_M`], smallest first.
    pub gaps: Vec<Gap>,
    /// Lower bound of the gap along the way.
    pub curve: Vec<CurveCell>,
    /// Wheels against the pavement edge, leg by leg.
    pub edges: Vec<EdgeRoom>,
    /// Every stop at a holding line, in order.
    pub holds: Vec<HoldRoom>,
    /// The way against the published design rows.
    pub compared: Vec<Compared>,
    /// What would make it clear, when it is not; filled in for the way that is given.
    pub remedies: Vec<Remedy>,
    /// Outline of everything the aeroplane sweeps, one or more open rings, outer ones anticlockwise and holes clockwise,
    /// local metres; within 1 cm.
    pub swept: Vec<Vec<Xy>>,
    /// What the map lacks, in sentences.
    pub lacks: Vec<String>,
    /// Notices in force that could not be laid on the map, or not whole: what they close is somewhere on it, so the answer is
    /// never better than "not known".
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unplaced: Vec<String>,
}

/// What the check is asked to use.
#[derive(Clone, Debug, PartialEq)]
pub struct Margins {
    /// Wing-tip margin, metres.
    pub margin_m: f64,
    /// Vertical margin, metres.
    pub vertical_margin_m: f64,
    /// Horizontal accuracy, metres, when the user states it.
    pub accuracy_m: Option<f64>,
    /// Which figures decide.
    pub rule: MarginRule,
    /// Index of the stand that the way starts from.
    pub own_stand: Option<usize>,
}

/// Everything that stands on the field by the rules of this check, near the way or not: the map's own obstacles in file
/// order, then aeroplanes on stands other than `own_stand` (an index in the field's stands).
pub fn standing(field: &Airfield, aircraft: &Aircraft, route: &Route, own_stand: Option<usize>) -> Vec<Considered> {
    obstacles::standing(field, aircraft, route, own_stand)
}

/// The least gap to every obstacle near a way by the pilot's own margin, smallest first, and nothing else: what a
/// search over many ways or aeroplanes needs.
///
/// # Errors
/// As [`check`].
pub fn least_gaps(
    field: &Airfield,
    aircraft: &Aircraft,
    route: &Route,
    margins: &Margins,
) -> Result<(Vec<Considered>, Vec<Gap>), ClearanceError> {
    sound::refuse(aircraft, route, margins)?;
    let walk = sweep::Walk::new(aircraft, &route.path).looking(look_m(field, margins));
    let gathered = obstacles::gather(field, aircraft, route, margins, &walk);
    let near = advance::near(&walk, &gathered.solids);
    let rule = verdict::Rule {
        margin_m: margins.margin_m,
        accuracy_m: verdict::accuracy(field, margins).0,
    };
    let gaps = advance::gaps(&walk, &gathered.solids, &near, &rule);
    Ok((gathered.considered, gaps))
}

/// Checks a way.
///
/// # Errors
/// What cannot be swept at all: an aeroplane, a path or a margin that cannot be.
pub fn check(
    field: &Airfield,
    aircraft: &Aircraft,
    route: &Route,
    margins: &Margins,
) -> Result<Clearance, ClearanceError> {
    look(field, aircraft, route, margins, Depth::Whole)
}

/// The same verdicts, gaps, wheels and holding lines as [`check`], without what only a briefing shows: the curve, the
/// comparison (unless a published rule decides), the swept outline and what the map lacks are empty. For a search over
/// many ways.
///
/// # Errors
/// As [`check`].
pub fn judge(
    field: &Airfield,
    aircraft: &Aircraft,
    route: &Route,
    margins: &Margins,
) -> Result<Clearance, ClearanceError> {
    look(field, aircraft, route, margins, Depth::Verdicts)
}

/// The gaps of the parts alone and the verdict on them, as [`judge`]: wheels and holding lines are not looked at. For a
/// search over spans.
///
/// # Errors
/// As [`check`].
pub fn judge_parts(
    field: &Airfield,
    aircraft: &Aircraft,
    route: &Route,
    margins: &Margins,
) -> Result<Clearance, ClearanceError> {
    look(field, aircraft, route, margins, Depth::Parts)
}

/// How much of a way is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Depth {
    Parts,
    Verdicts,
    Whole,
}

fn look(
    field: &Airfield,
    aircraft: &Aircraft,
    route: &Route,
    margins: &Margins,
    depth: Depth,
) -> Result<Clearance, ClearanceError> {
    sound::refuse(aircraft, route, margins)?;
    let (accuracy_m, accuracy_from) = verdict::accuracy(field, margins);
    let walk = sweep::Walk::new(aircraft, &route.path).looking(look_m(field, margins));
    let gathered = obstacles::gather(field, aircraft, route, margins, &walk);
    let near = advance::near(&walk, &gathered.solids);
    let rule = verdict::Rule {
        margin_m: margins.margin_m,
        accuracy_m,
    };
    let mut gaps = advance::gaps(&walk, &gathered.solids, &near, &rule);
    let (mut edges, mut holds) = (Vec::new(), Vec::new());
    if depth > Depth::Parts {
        edges = edge::rooms(field, aircraft, route, &walk);
        holds = hold::rooms(route, &walk);
    }
    let (compared, decided) = if depth == Depth::Whole || margins.rule != MarginRule::Pilot {
        compare::compare(&compare::Scene {
            field,
            aircraft,
            route,
            walk: &walk,
            solids: &gathered.solids,
            near: &near,
            edges: &edges,
            margins,
            accuracy_m,
        })
    } else {
        (Vec::new(), None)
    };
    if let Some(decided) = &decided {
        decided.apply(&mut gaps, &mut edges);
    }
    let unsaid = gathered.unplaced > 0 || decided.is_some_and(|d| d.beyond);
    let unsaid = unsaid.then_some(Verdict::NotKnown);
    let parts_verdict = verdict::worst(gaps.iter().map(|g| g.verdict).chain(unsaid));
    let edge_verdict = verdict::worst(edges.iter().map(|e| e.verdict));
    let hold_verdict = verdict::worst(holds.iter().map(|h| h.verdict));
    // A way with a turn that this aeroplane cannot make is not clear, however far everything is.
    let turned = route.turns.iter().all(|t| t.means != TurnMeans::NotPossible);
    let turn_verdict = if turned { Verdict::Clear } else { Verdict::NotClear };
    let notice_verdict = if field.unplaced.is_empty() {
        Verdict::Clear
    } else {
        Verdict::NotKnown
    };
    let (mut curve, mut swept, mut lacks) = (Vec::new(), Vec::new(), Vec::new());
    if depth == Depth::Whole {
        curve = curve::curve(&walk, &gathered.solids, &near);
        swept = swept::outline(&walk);
        lacks = lacks::sentences(field, route, &gathered, accuracy_m, accuracy_from);
    }
    Ok(Clearance {
        verdict: verdict::worst([parts_verdict, edge_verdict, hold_verdict, turn_verdict, notice_verdict]),
        parts_verdict,
        edge_verdict,
        hold_verdict,
        rule: margins.rule,
        margin_m: margins.margin_m,
        vertical_margin_m: margins.vertical_margin_m,
        accuracy_m,
        accuracy_from: accuracy_from.to_string(),
        considered: gathered.considered,
        gaps,
        curve,
        edges,
        holds,
        compared,
        remedies: Vec::new(),
        swept,
        lacks,
        unplaced: field.unplaced.clone(),
    })
}
