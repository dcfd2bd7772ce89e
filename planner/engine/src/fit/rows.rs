//! Stands and runway ends as the answer lists them.

use super::{Cell, Fit, Fits, Largest, MOST_SPAN_M, Reason, SegmentSpan, StandRow};
use crate::clean;
use crate::request::MarginRule;
use crate::route;
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::Airfield;

/// Every stand in file order, with what a request must say to mean it.
pub(super) fn stands(field: &Airfield) -> Vec<StandRow> {
    let row = |(stand, s): (usize, &toeline_model::airfield::Stand)| {
        // The name when it is this stand's alone, else the feature; asked of the route's own resolving, so that a plan
        // takes it the same way.
        let ways = s.name.iter().chain(Some(&s.id));
        let mut meant = ways.filter(|asked| route::stand(field, asked) == Ok(stand));
        let alone = s.name.is_some() && s.name.as_ref() == meant.clone().next();
        let name = match &s.name {
            Some(name) if alone => format!("stand {name}"),
            Some(name) => format!("stand {name} ({})", s.id),
            None => format!("stand without name ({})", s.id),
        };
        StandRow {
            stand,
            ask: meant.next().cloned(),
            name,
        }
    };
    field.stands.iter().enumerate().map(row).collect()
}

/// Designators in file order, each once, and the features of runways without any.
pub(super) fn runways(field: &Airfield) -> (Vec<String>, Vec<String>) {
    let (mut list, mut unnamed, mut seen) = (Vec::new(), Vec::new(), BTreeSet::new());
    for r in &field.runways {
        for d in r.designators.iter().flatten() {
            if seen.insert(d.trim().to_lowercase()) {
                list.push(d.clone());
            }
        }
        if r.designators.iter().all(Option::is_none) {
            unnamed.push(r.id.clone());
        }
    }
    (list, unnamed)
}

/// What one aeroplane's table needs: the marks of the cells and the notes they point to.
pub(super) struct Notes<'a> {
    texts: Vec<&'a str>,
}

impl<'a> Notes<'a> {
    /// Every first reason of an aeroplane's answers, each once, in the order of the table.
    pub(super) fn new(fit: &'a Fit, aircraft: usize) -> Notes<'a> {
        let mut texts: Vec<&str> = Vec::new();
        for c in fit.cells.iter().filter(|c| c.aircraft == aircraft) {
            let text = c.reasons.first().map(|r| r.text.as_str());
            if let Some(text) = text.filter(|t| !texts.contains(t)) {
                texts.push(text);
            }
        }
        Notes { texts }
    }

    /// The number of a cell's note.
    pub(super) fn number(&self, cell: &Cell) -> Option<usize> {
        let text = cell.reasons.first()?.text.as_str();
        self.texts.iter().position(|t| *t == text).map(|i| i + 1)
    }

    /// The notes in order, the first is number 1.
    pub(super) fn texts(&self) -> &[&'a str] {
        &self.texts
    }
}

/// The answers of one aeroplane and stand, by runway end.
pub(super) fn row(fit: &Fit, aircraft: usize, stand: usize) -> &[Cell] {
    let n = fit.runways.len();
    let first = (aircraft * fit.stands.len() + stand) * n;
    &fit.cells[first..first + n]
}

/// "12.34 m", "at least 40 m", "none", with what the map cannot say: "10.20 m, not known to 14.20 m".
pub(super) fn span_words(largest: &Result<Largest, Reason>) -> String {
    let Ok(l) = largest else {
        return "not usable".to_string();
    };
    match (l.fits_m, l.perhaps_m) {
        (Some(m), _) if m == MOST_SPAN_M => format!("at least {m:.0} m"),
        (Some(m), Some(p)) if p > m => format!("{m:.2} m, not known to {p:.2} m"),
        (Some(m), _) => format!("{m:.2} m"),
        (None, Some(p)) => format!("not known to {p:.2} m"),
        (None, None) => format!("not even {:.2} m", l.tried_from_m),
    }
}

/// Why it is no larger; empty when nothing limits it.
pub(super) fn span_why(largest: &Result<Largest, Reason>) -> &str {
    match largest {
        Ok(l) => l.limited_by.as_ref().map_or("", |r| r.text.as_str()),
        Err(r) => &r.text,
    }
}

/// A lane of the map by its narrowest piece.
pub(super) struct Lane<'a> {
    /// What it is called; with its feature where another lane is called the same.
    pub(super) name: String,
    /// Its narrowest piece.
    pub(super) narrowest: &'a SegmentSpan,
    /// How many pieces it has.
    pub(super) pieces: usize,
}

/// Every lane of the map, in the order of the graph; a stand's own line is in the stand's figure.
pub(super) fn lanes(segments: &[SegmentSpan]) -> Vec<Lane<'_>> {
    let width = |s: &SegmentSpan| match &s.largest {
        Err(_) => -1.0,
        Ok(l) => l.fits_m.unwrap_or(0.0),
    };
    let mut list: Vec<Lane<'_>> = Vec::new();
    let mut known: BTreeMap<&str, usize> = BTreeMap::new();
    let mut named: BTreeMap<&str, usize> = BTreeMap::new();
    for s in segments.iter().filter(|s| !s.of_stand) {
        if let Some(i) = known.get(s.feature.as_str()) {
            let lane = &mut list[*i];
            lane.pieces += 1;
            if width(s) < width(lane.narrowest) {
                lane.narrowest = s;
            }
            continue;
        }
        known.insert(&s.feature, list.len());
        *named.entry(&s.name).or_default() += 1;
        list.push(Lane {
            name: s.name.clone(),
            narrowest: s,
            pieces: 1,
        });
    }
    for lane in &mut list {
        if named.get(lane.narrowest.name.as_str()).is_some_and(|n| *n > 1) {
            lane.name = format!("{} ({})", lane.name, lane.narrowest.feature);
        }
    }
    list
}

/// What the answers rest on and what they are not, in sentences.
pub(super) fn basis(fit: &Fit) -> Vec<String> {
    let a = &fit.asked;
    let by = match a.rule {
        MarginRule::Pilot => format!("a margin of {} m beside every part", a.margin_m),
        MarginRule::Faa => format!(
            "the rows of FAA AC 150/5300-13B, and {} m where it has none",
            a.margin_m
        ),
        MarginRule::Icao => format!("the rows of ICAO Annex 14, and {} m where it has none", a.margin_m),
    };
    let mut list = vec![
        format!(
            "Held against {by}, {} m in height, map accurate to {} m ({}), closures of {}.",
            a.vertical_margin_m, fit.accuracy_m, fit.accuracy_from, a.date
        ),
        "Each answer of the table is that of a whole plan from the stand to the runway without an engine check on the \
         way: other stands are taken as occupied, and other ways are tried when the cheapest does not clear."
            .to_string(),
        format!(
            "Largest spans are for an aeroplane otherwise like the one named, its wing and tailplane stretched, to 1 cm \
             downward, from the parts alone with a margin of {} m. A stand's is for standing there and leaving it until \
             the tail is off its line. A lane's is for its narrowest piece driven from end to end; it does not say what \
             turning into or out of it takes.",
            a.margin_m
        ),
    ];
    if !fit.unnamed_runways.is_empty() {
        let names: Vec<String> = fit.unnamed_runways.iter().map(|r| clean::name(r)).collect();
        list.push(format!(
            "Without a designator on the map, and so not asked for: {}.",
            names.join(", ")
        ));
    }
    list
}

/// One line that sums it up.
pub(super) fn summary(fit: &Fit) -> String {
    let (yes, unknown, no) = (
        fit.count(Fits::Fits),
        fit.count(Fits::NotKnown),
        fit.count(Fits::DoesNot),
    );
    match fit.cells.len() {
        0 => "Nothing to answer: the map has no stand, or no runway with a designator.".to_string(),
        n if yes == n => format!("ALL FIT: all {n} of stand, runway and aeroplane."),
        n => format!("Of {n} of stand, runway and aeroplane: {yes} fit, {unknown} not known, {no} do not fit."),
    }
}

/// "Quillmere", or that it has no name.
pub(super) fn title(fit: &Fit) -> String {
    let name = fit
        .field
        .name
        .as_deref()
        .map_or("airfield without name".to_string(), clean::name);
    let invented = if fit.field.invented { " (invented airfield)" } else { "" };
    format!("{name}{invented}")
}
