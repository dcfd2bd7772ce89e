//! The whole way once: read, graph, route, clearance, and the loop that tries another way when the wings do not clear.

mod alternatives;
mod instructed;

pub use alternatives::{Alternative, alternatives};
pub use instructed::Radio;

use crate::clearance::{self, Clearance, ClearanceError, Margins, Verdict};
use crate::instruction::InstructionError;
use crate::notice::Notice;
use crate::odds::{self, Odds};
use crate::read::ReadError;
use crate::request::Request;
use crate::route::{Attempted, Avoid, Directed, LegKind, NoWay, Route, RouteError, TurnMeans, World};
use crate::{graph, magnetic, read, route};
use serde::{Deserialize, Serialize};
use toeline_model::{Airfield, units};

/// A finished plan: everything that the briefing and the sandbox need, and nothing that has to be computed again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Plan {
    /// The airfield as read, with what is closed at the time of the plan.
    pub field: Airfield,
    /// What was asked.
    pub request: Request,
    /// Magnetic declination used.
    pub declination: Declination,
    /// Repairs, doubts and omissions of reading and joining.
    pub notices: Vec<Notice>,
    /// The answer.
    pub outcome: Outcome,
    /// What is said on the radio for it; absent on a way that was picked in place of the planned one.
    #[serde(default)]
    pub radio: Option<Radio>,
}

/// Magnetic declination and where it is from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Declination {
    /// Degrees, east positive.
    pub deg: f64,
    /// "World Magnetic Model 2025" (2020 for a day before 2025) or "given by the map".
    pub source: String,
}

/// A way, or why there is none.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "outcome", rename_all = "snake_case")]
pub enum Outcome {
    /// A way was found.
    Way(Box<Way>),
    /// No way within the limits.
    NoWay(NoWay),
}

/// A way with its clearance.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Way {
    /// The way.
    pub route: Route,
    /// Its clearance.
    pub clearance: Clearance,
    /// Cheaper ways that were given up because a part came too near something, with the reason, in order.
    pub given_up: Vec<String>,
    /// Odds that a wobbling pupil touches something; only for the planned way, and only when drives were asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub odds: Option<Odds>,
}

/// Why there is no plan at all.
#[derive(Clone, Debug, PartialEq)]
pub enum PlanError {
    /// The map could not be read.
    Read(ReadError),
    /// The request names something the map does not have.
    Route(RouteError),
    /// The taxi instruction cannot be read, or names something the map does not have.
    Instruction(InstructionError),
    /// The magnetic model has no value for the day.
    Magnetic(String),
    /// The way cannot be checked.
    Clearance(ClearanceError),
    /// A figure of the request is out of range.
    Request(String),
}

impl core::fmt::Display for PlanError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            PlanError::Read(e) => e.fmt(f),
            PlanError::Route(e) => e.fmt(f),
            PlanError::Clearance(e) => e.fmt(f),
            PlanError::Instruction(e) => e.fmt(f),
            PlanError::Magnetic(e) | PlanError::Request(e) => e.fmt(f),
        }
    }
}

impl std::error::Error for PlanError {}

/// How many ways are tried when the wings do not clear, before the best of them is given (ours).
const MOST_TRIES: usize = 12;

fn check_request(request: &Request) -> Result<(), PlanError> {
    for (what, value, low, high) in [
        ("margin", request.margin_m, 0.0, 50.0),
        ("vertical margin", request.vertical_margin_m, 0.0, 10.0),
        ("accuracy", request.accuracy_m.unwrap_or(0.0), 0.0, 50.0),
    ] {
        if !(low..=high).contains(&value) {
            return Err(PlanError::Request(format!(
                "{what} of {value} m is outside {low} to {high} m"
            )));
        }
    }
    if let Some(problem) = request.odds.problem() {
        return Err(PlanError::Request(problem));
    }
    let problems = toeline_model::aircraft::check::problems(&request.aircraft);
    if problems.is_empty() {
        return Ok(());
    }
    let list: Vec<String> = problems.iter().map(|p| format!("\n  {p}")).collect();
    Err(PlanError::Request(format!(
        "aircraft \"{}\" cannot be:{}",
        request.aircraft.id,
        list.concat()
    )))
}

/// Plans a way on the airfield of a map file's text.
///
/// # Errors
/// A map that cannot be read, names it does not have, figures out of range. "No way" and "too little clearance" are
/// answers, not errors.
pub fn plan(field_text: &str, request: &Request) -> Result<Plan, PlanError> {
    plan_with(field_text, request, &mut |_| {})
}

/// The same, telling how far the reading of a long map is.
///
/// # Errors
/// As [`plan`].
pub fn plan_with(
    field_text: &str,
    request: &Request,
    progress: &mut dyn FnMut(read::Progress),
) -> Result<Plan, PlanError> {
    check_request(request)?;
    let read::ReadField { field, mut notices } = read::read_with(field_text, progress).map_err(PlanError::Read)?;
    let (field, closures) = read::in_force(field, request.date, request.time_utc);
    notices.extend(closures);
    let (taxi_graph, repairs) = graph::build(&field);
    notices.extend(repairs);
    let declination = match field.declination_deg {
        Some(deg) => Declination {
            deg,
            source: "given by the map".to_string(),
        },
        None => {
            let height_m = field.elevation_m.unwrap_or(0.0);
            let deg = magnetic::declination_deg(field.origin, height_m, request.date).map_err(PlanError::Magnetic)?;
            // The library carries two models and takes the one that is valid on the day.
            let model = if request.date.year < 2025 { 2020 } else { 2025 };
            Declination {
                deg,
                source: format!("World Magnetic Model {model}"),
            }
        }
    };
    let world = World {
        field: &field,
        graph: &taxi_graph,
        aircraft: &request.aircraft,
    };
    let (mut outcome, radio) = instructed::with_radio(world, request, declination.deg)?;
    if let Outcome::Way(way) = &mut outcome {
        let begin = odds::Begin::Parked;
        way.odds = odds::odds(&request.aircraft, &way.route.path, &way.clearance, &request.odds, begin);
        let tried = way.given_up.len();
        let (margins, found) = (margins(world, request), &way.clearance);
        way.clearance.remedies = clearance::remedies(world.field, world.aircraft, &way.route, &margins, found, tried);
    }
    Ok(Plan {
        field,
        request: request.clone(),
        declination,
        notices,
        outcome,
        radio: Some(radio),
    })
}

/// What a way has to keep.
fn margins(world: World<'_>, request: &Request) -> Margins {
    Margins {
        margin_m: request.margin_m,
        vertical_margin_m: request.vertical_margin_m,
        accuracy_m: request.accuracy_m,
        rule: request.rule,
        own_stand: route::stand(world.field, &request.from).ok(),
    }
}

/// Tries ways, cheapest first and without what is to be avoided, until one clears; otherwise gives the best of those tried.
fn search_clear(
    world: World<'_>,
    request: &Request,
    declination_deg: f64,
    mut avoid: Avoid,
) -> Result<Outcome, PlanError> {
    let margins = margins(world, request);
    // Ways that failed, with the reason, in the order tried.
    let mut failed: Vec<(Fault, Route, Clearance)> = Vec::new();
    for _ in 0..MOST_TRIES {
        let route = match route::find(world, request, declination_deg, &avoid).map_err(PlanError::Route)? {
            Attempted::Way(route) => *route,
            Attempted::NoWay(why) if failed.is_empty() => return Ok(Outcome::NoWay(why)),
            Attempted::NoWay(_) => break,
        };
        let clearance =
            clearance::check(world.field, world.aircraft, &route, &margins).map_err(PlanError::Clearance)?;
        let mut faults = faults(&route, &clearance).into_iter();
        let Some(first) = faults.next() else {
            let given_up = failed.into_iter().map(|(f, _, _)| f.reason).collect();
            return Ok(Outcome::Way(Box::new(Way {
                route,
                clearance,
                given_up,
                odds: None,
            })));
        };
        // What cannot be helped (the start itself) is passed over: another way may still mend the rest.
        let mut places = core::iter::once(first.at_m).chain(faults.map(|f| f.at_m));
        let more = places.any(|at_m| close_off(world, &route, at_m, &mut avoid));
        failed.push((first, route, clearance));
        if !more {
            break;
        }
    }
    // None clears: the least bad, and of equals the cheapest, is told with its own findings.
    let least = (0..failed.len()).min_by_key(|i| (failed[*i].0.kind, *i));
    let Some(least) = least else {
        return Err(PlanError::Request("no way was tried".to_string()));
    };
    let (_, route, clearance) = failed.remove(least);
    let given_up = failed.into_iter().map(|(f, _, _)| f.reason).collect();
    Ok(Outcome::Way(Box::new(Way {
        route,
        clearance,
        given_up,
        odds: None,
    })))
}

/// How bad it is that a way fails, least first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum FaultKind {
    TooNear,
    OffPavement,
    Touches,
    Impossible,
}

/// Why a way fails, and where along it.
struct Fault {
    kind: FaultKind,
    at_m: f64,
    reason: String,
}

/// Everything wrong with a way, worst first; empty when nothing the map shows is.
fn faults(route: &Route, clearance: &Clearance) -> Vec<Fault> {
    let told = |kind: FaultKind, at_m: f64, text: String| {
        let leg = route
            .legs
            .iter()
            .find(|l| l.to_m >= at_m)
            .map_or("the last leg", |l| l.name.as_str());
        Fault {
            kind,
            at_m,
            reason: format!("by {leg}: {text}"),
        }
    };
    let mut list = Vec::new();
    for t in route.turns.iter().filter(|t| t.means == TurnMeans::NotPossible) {
        let text = "a turn tighter than this aeroplane can make".to_string();
        list.push(told(FaultKind::Impossible, t.from_m, text));
    }
    // Gaps come smallest first.
    for g in clearance.gaps.iter().filter(|g| g.verdict == Verdict::NotClear) {
        let kind = if g.contact_m.is_some() {
            FaultKind::Touches
        } else {
            FaultKind::TooNear
        };
        let (name, shown) = (&clearance.considered[g.obstacle].name, units::gap_floor(g.gap_m));
        list.push(told(
            kind,
            g.at_m,
            format!("{} comes within {shown:.1} m of {name}", g.part),
        ));
    }
    for e in clearance.edges.iter().filter(|e| e.verdict == Verdict::NotClear) {
        let room_m = e.room_m.unwrap_or(0.0);
        // On the pavement and still not clear: a published row asks for more.
        let text = if room_m < 0.0 {
            format!("a main wheel runs {:.1} m off the pavement", -room_m)
        } else {
            format!(
                "a main wheel comes within {:.1} m of the pavement edge",
                units::gap_floor(room_m)
            )
        };
        list.push(told(FaultKind::OffPavement, e.at_m, text));
    }
    list.sort_by_key(|f| core::cmp::Reverse(f.kind));
    list
}

/// Keeps the next try off the place where this way failed. False when nothing is left to close off.
fn close_off(world: World<'_>, route: &Route, at_m: f64, avoid: &mut Avoid) -> bool {
    let leg = route.legs.iter().find(|l| l.from_m <= at_m && at_m <= l.to_m);
    match leg.map(|l| l.kind) {
        Some(LegKind::CheckArea) => {
            avoid.check_stands += 1;
            return true;
        }
        // Another lane may be joined another way.
        Some(LegKind::Apron) => {
            let first = route.segments.first();
            return first.is_some_and(|(edge, forward)| {
                avoid.segments.insert(Directed {
                    edge: *edge,
                    forward: *forward,
                })
            });
        }
        // The start cannot be helped.
        Some(LegKind::HandPush | LegKind::Stand) => return false,
        _ => {}
    }
    let at = route.path.pose_at(at_m).nose;
    let mut nearest: Option<(f64, usize)> = None;
    for (i, (edge, _)) in route.segments.iter().enumerate() {
        if let Some((q, _, _)) = toeline_model::planar::closest_on_line(at, &world.graph.segment(*edge).line) {
            let d = units::round_to(q.distance(at), 3);
            if nearest.is_none_or(|(b, _)| d < b) {
                nearest = Some((d, i));
            }
        }
    }
    let Some((_, i)) = nearest else { return false };
    let directed = |k: usize| {
        let (edge, forward) = route.segments[k];
        Directed { edge, forward }
    };
    let turning = route.turns.iter().any(|t| t.from_m <= at_m && at_m <= t.to_m);
    if turning {
        // A failing turn is closed off alone: the same segment may be fine straight on.
        let here = world.graph.at(directed(i).end(world.graph)).distance(at);
        let before = world.graph.at(directed(i).start(world.graph)).distance(at);
        let pair = if here <= before {
            i + 1 < route.segments.len()
        } else {
            i > 0
        };
        if pair {
            let k = if here <= before { i } else { i - 1 };
            return avoid.turns.insert((directed(k), directed(k + 1)));
        }
    }
    avoid.segments.insert(directed(i))
}
