//! Who fits where: every stand against every runway for several aeroplanes, what blocks whom, and the largest span that
//! each piece of the field and each stand takes.
//!
//! | file | what it holds |
//! |---|---|
//! | `cells` | one answer for each stand, runway end and aeroplane: the whole plan's own loop, so exact |
//! | `reasons` | what blocks, in figures and words |
//! | `spans` | the largest span of every segment and every stand, by search |
//! | `rows` | the answers put together for reading |
//! | `text`, `csv`, `json`, `html`, `picture` | the forms |
//! | `survey` | one line for each aerodrome of a file |
//!
//! What is shared over all answers: the map and its graph; for each aeroplane the limits and prices of every segment and
//! turn; for each stand the check of a way that another runway end has already had checked. Nothing of that changes an
//! answer: each is what [`crate::plan()`] says.
//!
//! This is no stage of a plan; like [`crate::planning`] it calls the stages.

mod cells;
mod csv;
mod html;
mod json;
mod picture;
mod reasons;
mod rows;
mod spans;
mod survey;
mod text;

pub use csv::csv;
pub use html::html;
pub use json::{FORMAT, json};
pub use picture::picture;
pub use survey::{Answered, FORMAT as SURVEY_FORMAT, line as survey_line};
pub use text::text;

use crate::clearance::{self, Verdict};
use crate::graph::TaxiGraph;
use crate::notices::{self, Notam, Shown};
use crate::odds::OddsAsked;
use crate::planning::{self, PlanError};
use crate::request::{DEFAULT_MARGIN_M, DEFAULT_VERTICAL_MARGIN_M, MarginRule, Request};
use crate::route::{Priced, World};
use crate::{graph, read};
use rayon::prelude::*;
use serde::Serialize;
use std::sync::atomic::{AtomicUsize, Ordering};
use toeline_model::date::{Date, TimeOfDay};
use toeline_model::{Aircraft, Airfield, Bearing, Wind, Xy};

/// What is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct FitAsked {
    /// The aeroplanes, in the order of the answer.
    pub aircraft: Vec<Aircraft>,
    /// Day (UTC), for closures.
    pub date: Date,
    /// Time of that day (UTC), for closures.
    pub time_utc: Option<TimeOfDay>,
    /// Wing-tip margin, metres.
    pub margin_m: f64,
    /// Vertical margin, metres.
    pub vertical_margin_m: f64,
    /// Horizontal accuracy of the map, metres, when the user states it.
    pub accuracy_m: Option<f64>,
    /// Which figures decide in the table. The largest spans are always held against the pilot's margin: under a published
    /// rule the class would change with the span, and the figure with it.
    pub rule: MarginRule,
    /// Notices laid over the field.
    pub notams: Vec<Notam>,
    /// Whether the largest spans are searched too.
    pub spans: bool,
}

impl FitAsked {
    /// The usual margins on a day.
    pub fn new(aircraft: Vec<Aircraft>, date: Date) -> FitAsked {
        FitAsked {
            aircraft,
            date,
            time_utc: None,
            margin_m: DEFAULT_MARGIN_M,
            vertical_margin_m: DEFAULT_VERTICAL_MARGIN_M,
            accuracy_m: None,
            rule: MarginRule::Pilot,
            notams: Vec::new(),
            spans: true,
        }
    }

    /// The plan's request that one answer stands for: calm, no engine check on the way, no odds.
    pub fn request(&self, aircraft: &Aircraft, from: &str, to: &str, parked_heading: Option<Bearing>) -> Request {
        Request {
            notams: self.notams.clone(),
            ..self.over_laid(aircraft, from, to, parked_heading)
        }
    }

    /// The same for a field on which the notices lie already.
    fn over_laid(&self, aircraft: &Aircraft, from: &str, to: &str, parked_heading: Option<Bearing>) -> Request {
        Request {
            aircraft: aircraft.clone(),
            from: from.to_string(),
            parked_heading,
            via: Vec::new(),
            to: to.to_string(),
            wind: Wind::Calm,
            date: self.date,
            time_utc: self.time_utc,
            margin_m: self.margin_m,
            vertical_margin_m: self.vertical_margin_m,
            accuracy_m: self.accuracy_m,
            rule: self.rule,
            instruction: None,
            notams: Vec::new(),
            odds: OddsAsked {
                drives: 0,
                ..OddsAsked::default()
            },
        }
    }
}

/// Whether an aeroplane fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fits {
    /// There is a way, clear of everything the map shows.
    Fits,
    /// The map cannot say.
    NotKnown,
    /// There is no way, or none that clears.
    DoesNot,
}

impl From<Verdict> for Fits {
    fn from(v: Verdict) -> Fits {
        match v {
            Verdict::Clear => Fits::Fits,
            Verdict::NotKnown => Fits::NotKnown,
            Verdict::NotClear => Fits::DoesNot,
        }
    }
}

/// What kind of thing blocks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ReasonKind {
    /// A hard limit of the map or the aeroplane: closed, span, width, surface.
    Limit,
    /// Nothing leads there.
    NoWay,
    /// A part of the aeroplane comes too near something.
    Gap,
    /// A turn tighter than this aeroplane can make.
    Turn,
    /// A main wheel against the pavement edge.
    Wheel,
    /// A part over a holding line.
    Hold,
    /// The map does not say how the aeroplane is parked, or the stand cannot be told from another.
    Stand,
    /// A notice in force could not be laid on the map.
    Notice,
}

/// One thing that blocks, or that the map does not say.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reason {
    /// Kind.
    pub kind: ReasonKind,
    /// Feature of the map it is about; empty when it is about none.
    pub feature: String,
    /// What it is called.
    pub name: String,
    /// The figure that decides, metres, rounded down; `None` when it is no length.
    pub value_m: Option<f64>,
    /// What it is held against, metres.
    pub limit_m: Option<f64>,
    /// In a sentence, safe to show.
    pub text: String,
    /// Where, local metres.
    pub at: Option<Xy>,
}

/// How many reasons an answer keeps (ours); the rest is counted.
pub const MOST_REASONS: usize = 3;

/// The answer for one stand, one runway end and one aeroplane.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// Index in the aeroplanes asked for.
    pub aircraft: usize,
    /// Index in [`Fit::stands`].
    pub stand: usize,
    /// Index in [`Fit::runways`].
    pub runway: usize,
    /// The answer.
    pub fits: Fits,
    /// Why not, worst first, at most [`MOST_REASONS`]; empty when it fits.
    pub reasons: Vec<Reason>,
    /// How many more there are.
    pub more: usize,
    /// Least gap on the way to anything within reach, metres; `None` without a way or without anything near.
    pub least_gap_m: Option<f64>,
    /// Length of the way, metres; `None` without one.
    pub way_m: Option<f64>,
}

/// A stand of the field as this answer names it.
#[derive(Clone, Debug, PartialEq)]
pub struct StandRow {
    /// Index in the airfield's stands.
    pub stand: usize,
    /// What a request must say to mean it: its name, or its feature where the name is not its alone. `None` when neither
    /// does.
    pub ask: Option<String>,
    /// What it is called: "stand 4".
    pub name: String,
}

/// A largest span: two figures, because the map is only so accurate.
#[derive(Clone, Debug, PartialEq)]
pub struct Largest {
    /// Largest span that clears everything even if the map is off, metres, to 1 cm downward; `None` when not even
    /// [`Largest::tried_from_m`] does.
    pub fits_m: Option<f64>,
    /// Largest span that is not shown to be too wide, metres; between the two the map cannot say.
    pub perhaps_m: Option<f64>,
    /// Narrowest span tried, metres.
    pub tried_from_m: f64,
    /// What the next centimetre comes too near to, or the span limit of the map; `None` when [`MOST_SPAN_M`] still fits.
    pub limited_by: Option<Reason>,
}

/// Widest span tried, metres (ours: far beyond any light aeroplane).
pub const MOST_SPAN_M: f64 = 40.0;

/// The largest span of one piece of the field.
#[derive(Clone, Debug, PartialEq)]
pub struct SegmentSpan {
    /// Number of the segment in the graph.
    pub segment: usize,
    /// Feature it is a piece of.
    pub feature: String,
    /// What it is called: "taxiway B".
    pub name: String,
    /// Whether it is the line of a stand and no lane.
    pub of_stand: bool,
    /// Its line, local metres.
    pub line: Vec<Xy>,
    /// The largest span, or why an aeroplane otherwise like this one may not use it at all.
    pub largest: Result<Largest, Reason>,
}

/// The largest span of one stand.
#[derive(Clone, Debug, PartialEq)]
pub struct StandSpan {
    /// Index in [`Fit::stands`].
    pub stand: usize,
    /// Where the nose wheel stands, local metres.
    pub at: Option<Xy>,
    /// The largest span that can stand there and leave by the better of its ways out, or why there is none.
    pub largest: Result<Largest, Reason>,
}

/// Largest spans for aeroplanes otherwise like one of those asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Spans {
    /// Every segment that is no runway, in the order of the graph.
    pub segments: Vec<SegmentSpan>,
    /// Every stand.
    pub stands: Vec<StandSpan>,
}

/// The whole answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The airfield as read, with what is closed at the time.
    pub field: Airfield,
    /// What was asked.
    pub asked: FitAsked,
    /// Horizontal accuracy used, metres.
    pub accuracy_m: f64,
    /// Where it is from.
    pub accuracy_from: String,
    /// Stands in file order.
    pub stands: Vec<StandRow>,
    /// Runway ends by designator, in file order.
    pub runways: Vec<String>,
    /// Runways that no designator names, by feature: no request can end there.
    pub unnamed_runways: Vec<String>,
    /// Every answer: by aeroplane, then by stand, then by runway end.
    pub cells: Vec<Cell>,
    /// Largest spans for each aeroplane; empty when they were not asked for.
    pub spans: Vec<Spans>,
    /// Notices laid over the field.
    pub notams: Vec<Shown>,
}

impl Fit {
    /// How many answers are of a kind.
    pub fn count(&self, fits: Fits) -> usize {
        self.cells.iter().filter(|c| c.fits == fits).count()
    }

    /// Whether every aeroplane fits from every stand to every runway end; not so when nothing was answered.
    pub fn all_fit(&self) -> bool {
        !self.cells.is_empty() && self.count(Fits::Fits) == self.cells.len()
    }
}

/// How far it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Progress {
    /// The map is being read.
    Reading(read::Progress),
    /// Ways of the table and spans of segments and stands, done and in all.
    Checking {
        /// Done.
        done: usize,
        /// In all.
        of: usize,
    },
}

/// Whether it can be asked on any map.
///
/// # Errors
/// No aeroplane, figures out of range.
pub fn check(asked: &FitAsked) -> Result<(), PlanError> {
    if asked.aircraft.is_empty() {
        return Err(PlanError::Request("no aeroplane was named".to_string()));
    }
    let mut each = asked.aircraft.iter();
    each.try_for_each(|a| planning::check_request(&asked.over_laid(a, "", "", None)))
}

/// Who fits where on the airfield of a map file's text. Uses the threads of the pool it is called in; the answer is the
/// same on any number of them.
///
/// # Errors
/// A map that cannot be read, figures out of range. That nothing fits is an answer.
pub fn fit(field_text: &str, asked: &FitAsked, progress: &(dyn Fn(Progress) + Sync)) -> Result<Fit, PlanError> {
    check(asked)?;
    let read = read::read_with(field_text, &mut |p| progress(Progress::Reading(p))).map_err(PlanError::Read)?;
    let (field, _) = read::in_force(read.field, asked.date, asked.time_utc);
    let laid = notices::lay(&field, &asked.notams, asked.date, asked.time_utc);
    // One field serves all aeroplanes, unless a notice closes something to some of them.
    let mut fields: Vec<Airfield> = match laid.depends_on_aeroplane() {
        true => asked.aircraft.iter().map(|a| laid.on(field.clone(), a)).collect(),
        false => Vec::new(),
    };
    let mut field = laid.on_for_all(field);
    let graphs: Vec<TaxiGraph> = fields.iter().map(|f| graph::build(f).0).collect();
    let (taxi_graph, _) = graph::build(&field);
    fields.iter_mut().chain([&mut field]).for_each(notices::mark_lanes);
    let stands = rows::stands(&field);
    let (runways, unnamed_runways) = rows::runways(&field);
    let worlds: Vec<World<'_>> = asked
        .aircraft
        .iter()
        .enumerate()
        .map(|(i, aircraft)| World {
            field: fields.get(i).unwrap_or(&field),
            graph: graphs.get(i).unwrap_or(&taxi_graph),
            aircraft,
        })
        .collect();
    let priced: Vec<Priced> = worlds.par_iter().map(|w| Priced::new(*w)).collect();
    let segments: Vec<_> = worlds.iter().map(|w| spans::segments(w.graph)).collect();
    let pieces: usize = segments.iter().map(|s| stands.len() + s.len()).sum();
    let searched = if asked.spans { pieces } else { 0 };
    let (done, of) = (AtomicUsize::new(0), stands.len() * worlds.len() + searched);
    let step = || {
        progress(Progress::Checking {
            done: done.fetch_add(1, Ordering::Relaxed) + 1,
            of,
        })
    };
    let jobs: Vec<(usize, usize)> = (0..worlds.len())
        .flat_map(|a| (0..stands.len()).map(move |s| (a, s)))
        .collect();
    let answered: Result<Vec<Vec<Cell>>, PlanError> = jobs
        .par_iter()
        .map(|&(a, s)| {
            let from = cells::OneStand {
                world: worlds[a],
                priced: &priced[a],
                asked,
                aircraft: a,
                row: s,
                stand: &stands[s],
            };
            let cells = from.cells(&runways);
            step();
            cells
        })
        .collect();
    let spans: Vec<Spans> = worlds
        .iter()
        .zip(&segments)
        .filter(|_| asked.spans)
        .map(|(w, segments)| spans::spans(*w, asked, segments, &stands, &step))
        .collect();
    let (accuracy_m, accuracy_from) = clearance::accuracy_of(&field, asked.accuracy_m);
    let cells = answered?.concat();
    Ok(Fit {
        asked: asked.clone(),
        accuracy_m,
        accuracy_from: accuracy_from.to_string(),
        stands,
        runways,
        unnamed_runways,
        cells,
        spans,
        notams: notices::shown(&laid.told(None)),
        field,
    })
}
