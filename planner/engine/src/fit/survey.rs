//! One line of JSON for an aerodrome of a file; `docs/survey.schema.json` says what may stand in it.

use super::json::{AskedOut, Counts, asked};
use super::{Fit, Fits, ReasonKind};
use crate::briefing::CAUTION;
use crate::carrier::{ATTRIBUTION, Aerodrome, AerodromeOut};
use crate::clean;
use serde::Serialize;
use std::collections::BTreeMap;
use toeline_model::units::gap_floor;

/// Version of the form, the value of its key `toeline_survey`.
pub const FORMAT: u32 = 1;

/// What came of an aerodrome.
#[derive(Clone, Debug, PartialEq)]
pub enum Answered {
    /// The answer; boxed, as it is large.
    Fit(Box<Fit>),
    /// It has no runway and no lane.
    NothingToTaxiOn,
    /// It could not be cut out of the file or read: why.
    Not(String),
}

#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
enum Answer {
    AllFit,
    SomeDoNot,
    NotKnown,
    #[serde(rename = "nothing_to_answer")]
    Nothing,
    NotAnswered,
}

#[derive(Serialize)]
struct Line {
    toeline_survey: u32,
    made_by: String,
    caution: &'static str,
    attribution: Option<String>,
    file: String,
    number: usize,
    of: usize,
    aerodrome: Option<AerodromeOut>,
    answer: Answer,
    why: Option<String>,
    asked: Option<AskedOut>,
    stands: usize,
    runway_ends: usize,
    unnamed_runways: usize,
    counts: Counts,
    blocked_by: BTreeMap<ReasonKind, usize>,
    aircraft: Vec<AircraftLine>,
}

#[derive(Serialize)]
struct AircraftLine {
    id: String,
    name: String,
    span_m: f64,
    counts: Counts,
    stands: Counts,
    least_gap_m: Option<f64>,
}

/// A line, with its line end: the aerodrome with this number, from 1, of so many in the file of this name. An airfield that is
/// no aerodrome of a larger file has none.
pub fn line(file: &str, (number, of): (usize, usize), aerodrome: Option<&Aerodrome>, answered: &Answered) -> String {
    let fit = match answered {
        Answered::Fit(fit) => Some(fit.as_ref()),
        Answered::NothingToTaxiOn | Answered::Not(_) => None,
    };
    let (answer, why) = match (answered, fit) {
        (Answered::Not(why), _) => (Answer::NotAnswered, Some(why.clone())),
        (_, Some(fit)) => of_cells(fit),
        (_, None) => (
            Answer::Nothing,
            Some("the file has no runway and no lane of it".to_string()),
        ),
    };
    let cells = fit.map_or(&[][..], |f| f.cells.as_slice());
    let mut blocked_by = BTreeMap::new();
    for reason in cells.iter().filter_map(|c| c.reasons.first()) {
        *blocked_by.entry(reason.kind).or_insert(0) += 1;
    }
    let line = Line {
        toeline_survey: FORMAT,
        made_by: format!("toeline {}", env!("CARGO_PKG_VERSION")),
        caution: CAUTION,
        attribution: match (fit, aerodrome) {
            (Some(fit), _) => fit.field.attribution.clone(),
            (None, Some(_)) => Some(ATTRIBUTION.to_string()),
            (None, None) => None,
        },
        file: clean::sentence(file),
        number,
        of,
        aerodrome: aerodrome.map(AerodromeOut::of),
        answer,
        why: why.map(|w| clean::sentence(&w)),
        asked: fit.map(asked),
        stands: fit.map_or(0, |f| f.stands.len()),
        runway_ends: fit.map_or(0, |f| f.runways.len()),
        unnamed_runways: fit.map_or(0, |f| f.unnamed_runways.len()),
        counts: Counts::of(cells.iter().map(|c| c.fits)),
        blocked_by,
        aircraft: fit.map_or_else(Vec::new, aircraft),
    };
    // Texts and numbers always serialise.
    serde_json::to_string(&line).unwrap_or_default() + "\n"
}

fn of_cells(fit: &Fit) -> (Answer, Option<String>) {
    let some = |fits: Fits| fit.cells.iter().any(|c| c.fits == fits);
    if fit.cells.is_empty() {
        let lacks = match (fit.stands.is_empty(), fit.runways.is_empty()) {
            (true, true) => "stand and no runway with a designator",
            (true, false) => "stand",
            (false, _) => "runway with a designator",
        };
        return (Answer::Nothing, Some(format!("the map has no {lacks}")));
    }
    let answer = if some(Fits::DoesNot) {
        Answer::SomeDoNot
    } else if some(Fits::NotKnown) {
        Answer::NotKnown
    } else {
        Answer::AllFit
    };
    (answer, None)
}

fn aircraft(fit: &Fit) -> Vec<AircraftLine> {
    let each = fit.asked.aircraft.iter().enumerate();
    each.map(|(i, a)| {
        let cells = || fit.cells.iter().filter(move |c| c.aircraft == i);
        // The best of a stand's answers: to which runway end one goes is the pilot's choice.
        let mut best: BTreeMap<usize, Fits> = BTreeMap::new();
        for c in cells() {
            let fits = best.entry(c.stand).or_insert(c.fits);
            *fits = (*fits).min(c.fits);
        }
        let gaps = cells().filter_map(|c| c.least_gap_m);
        AircraftLine {
            id: clean::name(&a.id),
            name: clean::name(&a.name),
            span_m: a.wing.span_m,
            counts: Counts::of(cells().map(|c| c.fits)),
            stands: Counts::of(best.into_values()),
            least_gap_m: gaps.min_by(f64::total_cmp).map(gap_floor),
        }
    })
    .collect()
}
