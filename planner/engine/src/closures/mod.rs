//! What a closure breaks: which stands lose their way to which runway, for which aeroplanes, and how much longer the other
//! ways become. No stage of a plan. Ways are those of [`crate::route::from_all_stands`]: the price without the wings.
//!
//! The lines are joined once, before anything is closed: a closure takes away and moves nothing. So it never makes a way
//! cheaper, and never opens one.

mod csv;
mod json;
mod names;
mod text;

pub use csv::csv;
pub use json::{FORMAT, json};
pub use names::{Asked, What};
pub use text::text;

use crate::graph::{self, TaxiGraph};
use crate::notices::{self, Notam, Shown, Status};
use crate::read::{self, ReadError};
use crate::route::{self, RouteError, StandWay, World};
use toeline_model::airfield::{Airfield, FeatureId};
use toeline_model::date::{Date, TimeOfDay};
use toeline_model::{Aircraft, units};

/// What is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// What is to be closed, all at once; at least one.
    pub close: Vec<Asked>,
    /// For which aeroplanes.
    pub aircraft: Vec<Aircraft>,
    /// Day (UTC) whose closures of the map's own count before and after.
    pub date: Date,
    /// Time of that day (UTC); without it what is closed for a part of the day counts as closed.
    pub time_utc: Option<TimeOfDay>,
    /// Notices laid over the field; what they close counts before and after.
    pub notams: Vec<Notam>,
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq)]
pub enum ClosuresError {
    /// The map could not be read.
    Read(ReadError),
    /// A name that the map does not have, or has twice.
    Name(RouteError),
    /// Nothing is asked to be closed, or no aeroplane is given.
    Nothing(&'static str),
}

impl core::fmt::Display for ClosuresError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            ClosuresError::Read(e) => e.fmt(f),
            ClosuresError::Name(e) => e.fmt(f),
            ClosuresError::Nothing(what) => f.write_str(what),
        }
    }
}

impl std::error::Error for ClosuresError {}

/// One way: what it costs and where it leads.
#[derive(Clone, Debug, PartialEq)]
pub struct Cost {
    /// Price of the search, milliseconds: taxi time and the stated penalties.
    pub cost_ms: u64,
    /// Length of its segments, metres.
    pub length_m: f64,
    /// Names of the lanes and runways it uses, in order, each once.
    pub by: Vec<String>,
}

/// One stand to one runway with one aeroplane.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Id of the aeroplane.
    pub aircraft: String,
    /// "stand 4".
    pub stand: String,
    /// Feature of the stand.
    pub feature: FeatureId,
    /// Designator: "26".
    pub runway: String,
    /// The way before the closure; `None` where there is none.
    pub before: Option<Cost>,
    /// The way with it.
    pub after: Option<Cost>,
}

/// What becomes of a way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Change {
    /// No way before, and none after.
    NeverHad,
    /// The same price as before.
    Same,
    /// Reached by a dearer way.
    Dearer,
    /// Lost.
    Lost,
}

impl Row {
    /// What becomes of it.
    pub fn change(&self) -> Change {
        match (&self.before, &self.after) {
            (None, _) => Change::NeverHad,
            (Some(_), None) => Change::Lost,
            (Some(b), Some(a)) if a.cost_ms == b.cost_ms => Change::Same,
            (Some(_), Some(_)) => Change::Dearer,
        }
    }
}

/// A holding position or engine-check area that no stand leads to any more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LostPlace {
    /// Id of the aeroplane.
    pub aircraft: String,
    /// "holding position A1", "engine-check area E".
    pub place: String,
    /// Its feature.
    pub feature: FeatureId,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Broken {
    /// Name of the field, or `None`.
    pub field: Option<String>,
    /// Credit that the map's data must be given.
    pub attribution: Option<String>,
    /// What is closed: "taxiway B", with its features.
    pub closed: Vec<(String, Vec<FeatureId>)>,
    /// Day of the map's own closures.
    pub date: Date,
    /// Time of that day.
    pub time_utc: Option<TimeOfDay>,
    /// The map's own closures that count before and after, in words.
    pub also_closed: Vec<String>,
    /// What is to be noted: something that was closed before.
    pub notes: Vec<String>,
    /// Notices laid over the field.
    pub notams: Vec<Shown>,
    /// Ids of the aeroplanes.
    pub aircraft: Vec<String>,
    /// Every stand to every runway end with every aeroplane, in that order from the last.
    pub rows: Vec<Row>,
    /// Places that are lost.
    pub places: Vec<LostPlace>,
}

impl Broken {
    /// Rows of a change, in order.
    pub fn of(&self, change: Change) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(move |r| r.change() == change)
    }

    /// Whether a notice in force could not be laid on the map, so that more may be lost than is told.
    pub fn not_known(&self) -> bool {
        let unplaced = |n: &Shown| n.counts && matches!(n.status, Status::NotPlaced | Status::PlacedInPart);
        self.notams.iter().any(unplaced)
    }

    /// Whether anything is lost.
    pub fn loses(&self) -> bool {
        !self.places.is_empty() || self.of(Change::Lost).next().is_some()
    }
}

/// Tells what closing breaks. `progress` is told how many of how many searches are done.
///
/// # Errors
/// A map that cannot be read, a name that it does not have or has for several things, nothing to close.
pub fn broken(
    field_text: &str,
    question: &Question,
    progress: &mut dyn FnMut(usize, usize),
) -> Result<Broken, ClosuresError> {
    if question.close.is_empty() {
        return Err(ClosuresError::Nothing("nothing is asked to be closed"));
    }
    if question.aircraft.is_empty() {
        return Err(ClosuresError::Nothing("no aeroplane is asked about"));
    }
    let mut field = read::read(field_text).map_err(ClosuresError::Read)?.field;
    let mut asked = Vec::new();
    for a in &question.close {
        asked.push(names::find(&field, a).map_err(ClosuresError::Name)?);
    }
    // One of the map's own dated closures that is asked about is open before, whatever the day.
    let mine = |id: &str| {
        asked
            .iter()
            .any(|f: &names::Found| f.closures.iter().any(|c| c.id == id))
    };
    field.closures.retain(|c| !mine(&c.id));
    let (before, _) = read::in_force(field, question.date, question.time_utc);
    let mut notes = Vec::new();
    for f in &asked {
        notes.extend(f.closed_before(&before));
    }
    let mut after = before.clone();
    after.closures.extend(asked.iter().flat_map(|f| f.closures.clone()));
    let (after, _) = read::in_force(after, question.date, question.time_utc);
    let laid = notices::lay(&before, &question.notams, question.date, question.time_utc);
    let (graph, _) = graph::build(&before);
    let mut rows = Vec::new();
    let mut places = Vec::new();
    let of = 2 * question.aircraft.len();
    for (k, aircraft) in question.aircraft.iter().enumerate() {
        let (before, after) = (laid.on(before.clone(), aircraft), laid.on(after.clone(), aircraft));
        let world = |field| World {
            field,
            graph: &graph,
            aircraft,
        };
        progress(2 * k, of);
        let (ways, reached) = (
            route::from_all_stands(world(&before)),
            route::reached_from_stands(world(&before)),
        );
        progress(2 * k + 1, of);
        let (ways_after, reached_after) = (
            route::from_all_stands(world(&after)),
            route::reached_from_stands(world(&after)),
        );
        for (b, a) in ways.iter().zip(&ways_after) {
            rows.push(Row {
                aircraft: aircraft.id.clone(),
                stand: route::stand_name(&before, b.stand),
                feature: before.stands[b.stand].id.clone(),
                runway: b.designator.clone(),
                before: cost(&before, &graph, b),
                after: cost(&before, &graph, a),
            });
        }
        for p in reached.holding_positions.difference(&reached_after.holding_positions) {
            let h = &before.holding_positions[*p];
            let name = h.name.as_ref().unwrap_or(&h.id);
            places.push(lost(aircraft, format!("holding position {name}"), &h.id));
        }
        for p in reached.check_areas.difference(&reached_after.check_areas) {
            let a = &before.check_areas[*p];
            let name = a.name.as_ref().unwrap_or(&a.id);
            places.push(lost(aircraft, format!("engine-check area {name}"), &a.id));
        }
    }
    progress(of, of);
    Ok(Broken {
        field: before.name.clone(),
        attribution: before.attribution.clone(),
        closed: asked.iter().map(|f| (f.name.clone(), f.features())).collect(),
        date: question.date,
        time_utc: question.time_utc,
        also_closed: before
            .closures
            .iter()
            .map(|c| format!("{}: {}", c.name, c.words()))
            .collect(),
        notes,
        notams: notices::shown(&laid.told(None)),
        aircraft: question.aircraft.iter().map(|a| a.id.clone()).collect(),
        rows,
        places,
    })
}

fn lost(aircraft: &Aircraft, place: String, feature: &str) -> LostPlace {
    LostPlace {
        aircraft: aircraft.id.clone(),
        place,
        feature: feature.to_string(),
    }
}

fn cost(field: &Airfield, graph: &TaxiGraph, way: &StandWay) -> Option<Cost> {
    let (cost_ms, segments) = way.way.as_ref()?;
    let mut by: Vec<String> = Vec::new();
    for d in segments {
        let s = graph.segment(d.edge);
        let name = route::name_of(field, s);
        if !matches!(s.source, graph::Source::Stand(_)) && !by.contains(&name) {
            by.push(name);
        }
    }
    let length_m: f64 = segments.iter().map(|d| graph.segment(d.edge).length_m).sum();
    Some(Cost {
        cost_ms: *cost_ms,
        length_m: units::round_to(length_m, 3),
        by,
    })
}
