//! The whole way once: read, graph, route, clearance, and the loop that tries another way when the wings do not clear.

mod alternatives;
mod by_wind;
mod faults;
mod gone_around;
mod instructed;
mod tries;

pub use alternatives::{Alternative, alternatives};
pub use by_wind::INTO_WIND;
pub use instructed::Radio;
pub(crate) use tries::search_clear_by;

use crate::clearance::{self, Clearance, ClearanceError, Margins};
use crate::instruction::InstructionError;
use crate::notice::Notice;
use crate::notices::Told;
use crate::odds::{self, Odds};
use crate::read::ReadError;
use crate::request::Request;
use crate::route::{NoWay, Route, RouteError, World};
use crate::{graph, magnetic, notices, read, route};
use serde::{Deserialize, Serialize};
use toeline_model::Airfield;

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
    /// What became of each notice that was laid over the field.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notams: Vec<Told>,
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
    /// Closures in force that keep it off the cheapest way, each with what going around costs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gone_around: Vec<String>,
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

pub(crate) fn check_request(request: &Request) -> Result<(), PlanError> {
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
    let read::ReadField {
        field,
        notices: mut told,
    } = read::read_with(field_text, progress).map_err(PlanError::Read)?;
    let (field, closures) = read::in_force(field, request.date, request.time_utc);
    told.extend(closures);
    let laid = notices::lay(&field, &request.notams, request.date, request.time_utc);
    let (field, notams) = (laid.on(field, &request.aircraft), laid.told(Some(&request.aircraft)));
    let (taxi_graph, repairs) = graph::build(&field);
    let mut field = field;
    notices::mark_lanes(&mut field);
    told.extend(repairs);
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
    let (request, mut outcome, radio) = by_wind::with_runway(world, request, declination.deg)?;
    let request = &request;
    if let Outcome::Way(way) = &mut outcome {
        // A taxi instruction is followed, whatever else is open.
        if request.instruction.is_none() {
            way.gone_around = gone_around::gone_around(world, request, declination.deg);
        }
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
        notices: told,
        notams,
        outcome,
        radio: Some(radio),
    })
}

/// What a way has to keep.
pub(crate) fn margins(world: World<'_>, request: &Request) -> Margins {
    Margins {
        margin_m: request.margin_m,
        vertical_margin_m: request.vertical_margin_m,
        accuracy_m: request.accuracy_m,
        rule: request.rule,
        own_stand: route::stand(world.field, &request.from).ok(),
    }
}
