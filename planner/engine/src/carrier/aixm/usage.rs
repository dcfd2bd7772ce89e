//! Whether and for whom something may be used (`availability`): closed, or limited by wing span.
//!
//! The conditions are asked for a light landplane of every span. A condition on what is not known here (a time of day, a flight,
//! an engine) is neither true nor false; what hangs on it is told as a doubt.

use super::tree::{Node, Space};
use super::units;
use crate::clean;

/// The heaviest aeroplane that counts as light, kilograms (common practice in certification; no aeroplane here is heavier).
const LIGHT_KG: f64 = 5700.0;
/// Span that is asked for when all that has no bound counts, metres.
const ANY_SPAN_M: f64 = 10.0;

/// What comes of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Usage {
    /// Why it is closed to the aeroplanes here.
    pub(super) closed: Option<String>,
    /// Greatest wing span, metres.
    pub(super) span_m: Option<f64>,
    pub(super) doubts: Vec<String>,
}

impl Usage {
    /// The stricter of both.
    pub(super) fn and(mut self, other: Usage) -> Usage {
        self.closed = self.closed.or(other.closed);
        self.span_m = match (self.span_m, other.span_m) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        for doubt in other.doubts {
            if !self.doubts.contains(&doubt) {
                self.doubts.push(doubt);
            }
        }
        self
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Truth {
    Yes,
    No,
    Unknown,
}

use Truth::{No, Unknown, Yes};

fn all(list: impl IntoIterator<Item = Truth>) -> Truth {
    list.into_iter().fold(Yes, |a, b| match (a, b) {
        (No, _) | (_, No) => No,
        (Unknown, _) | (_, Unknown) => Unknown,
        _ => Yes,
    })
}

fn not(t: Truth) -> Truth {
    match t {
        Yes => No,
        No => Yes,
        Unknown => Unknown,
    }
}

/// Of the availability of a feature.
pub(super) fn usage(feature: &Node) -> Usage {
    let list = feature.all(Space::Aixm, "availability").flat_map(|a| &a.children);
    list.map(one).fold(Usage::default(), Usage::and)
}

fn one(availability: &Node) -> Usage {
    let mut out = Usage::default();
    let timed = timed(availability);
    match availability.value(Space::Aixm, "operationalStatus") {
        Some("CLOSED") => {
            out.closed = Some("operationalStatus CLOSED".to_string());
            if timed {
                out.doubts
                    .push("it is closed by a timetable, which is not read; taken as closed all the time".to_string());
            }
            return out;
        }
        None | Some("NORMAL" | "LIMITED") => {}
        Some(other) => out.doubts.push(format!(
            "operationalStatus \"{}\" is not known; taken as in use",
            clean::name(other)
        )),
    }
    let uses: Vec<(&str, Option<&Node>)> = availability
        .all(Space::Aixm, "usage")
        .flat_map(|u| &u.children)
        .filter(|u| matches!(u.value(Space::Aixm, "operation"), None | Some("ALL" | "TAXIING")))
        .map(|u| {
            let condition = u.at(Space::Aixm, &["selection", "ConditionCombination"]);
            (u.value(Space::Aixm, "type").unwrap_or_default(), condition)
        })
        .collect();
    let holds = |condition: Option<&Node>, span_m: f64| condition.map_or(Yes, |c| combination(c, span_m, 0));
    let any = |what: &str, span_m: f64| {
        let found = uses.iter().filter(|u| u.0 == what).map(|u| not(holds(u.1, span_m)));
        not(all(found))
    };
    let permits = uses.iter().any(|u| u.0 == "PERMIT");
    // A condition that is not known forbids nothing by itself; it is told.
    let open = |span_m: f64| any("FORBID", span_m) != Yes && (!permits || any("PERMIT", span_m) != No);
    let mut spans: Vec<f64> = Vec::new();
    uses.iter().filter_map(|u| u.1).for_each(|c| thresholds(c, &mut spans));
    spans.retain(|s| *s > 0.0);
    spans.sort_by(f64::total_cmp);
    spans.dedup();
    if spans.len() > SPANS {
        out.doubts.push(format!(
            "its usage tells {} wing spans apart; the first {SPANS} count",
            spans.len()
        ));
        spans.truncate(SPANS);
    }
    let mut low = 0.0;
    for (i, span) in spans.iter().copied().chain([f64::INFINITY]).enumerate() {
        let between = if span.is_finite() {
            (low + span) / 2.0
        } else {
            low + 1.0
        };
        if !open(between) {
            match i {
                0 => out.closed = Some("not for landplanes, by its usage".to_string()),
                _ => out.span_m = Some(low),
            }
            break;
        }
        if span.is_finite() && !open(span) {
            // "At or above": the last whole centimetre is below.
            out.span_m = Some(((span * 100.0).ceil() - 1.0) / 100.0);
            break;
        }
        low = span;
    }
    let span_m = out.span_m.map_or(ANY_SPAN_M, |s| s.min(ANY_SPAN_M));
    for (what, condition) in &uses {
        let truth = holds(*condition, span_m);
        match (*what, truth) {
            ("PERMIT" | "FORBID", Unknown) => out.doubts.push(format!(
                "whether a usage ({what}) applies depends on {}, which is not read; taken as not forbidding",
                condition.map(unknowns).unwrap_or_default()
            )),
            ("PERMIT" | "FORBID", _) | ("CONDITIONAL" | "RESERV", No) => {}
            ("CONDITIONAL" | "RESERV", _) => {
                out.doubts.push(format!("its use is {what}: ask the operator"));
            }
            (other, _) => out
                .doubts
                .push(format!("a usage of the type \"{}\" is not known", clean::name(other))),
        }
    }
    out
}

/// Whether a timetable is given.
fn timed(node: &Node) -> bool {
    node.all(Space::Aixm, "timeInterval")
        .any(|t| !t.is_nil() && !t.children.is_empty())
}

/// Most wing spans of one usage that are looked at. Ours: there are six classes.
const SPANS: usize = 50;
/// Deepest nesting of conditions: the tree's own depth limit is near.
const DEPTH: usize = 20;

fn combination(node: &Node, span_m: f64, depth: usize) -> Truth {
    if depth > DEPTH {
        return Unknown;
    }
    let mut parts = Vec::new();
    for child in node.children.iter().filter(|c| !c.is_nil()) {
        match child.name.as_str() {
            "aircraft" => parts.extend(child.children.iter().map(|c| characteristic(c, span_m))),
            "subCondition" => parts.extend(child.children.iter().map(|c| combination(c, span_m, depth + 1))),
            "weather" | "flight" => parts.push(Unknown),
            _ => {}
        }
    }
    let truth = match node.value(Space::Aixm, "logicalOperator") {
        Some("OR") => not(all(parts.into_iter().map(not))),
        Some("NOT") => not(all(parts)),
        None | Some("AND" | "NONE") => all(parts),
        Some(_) => Unknown,
    };
    all([truth, if timed(node) { Unknown } else { Yes }])
}

fn compared(interpretation: Option<&str>, value: f64, limit: f64) -> Truth {
    let yes = match interpretation {
        Some("ABOVE") => value > limit,
        Some("AT_OR_ABOVE") => value >= limit,
        Some("BELOW") => value < limit,
        Some("AT_OR_BELOW") => value <= limit,
        None | Some("EQUAL") => value == limit,
        Some(_) => return Unknown,
    };
    if yes { Yes } else { No }
}

fn characteristic(node: &Node, span_m: f64) -> Truth {
    all(node
        .children
        .iter()
        .filter(|c| !c.is_nil())
        .map(|c| match c.name.as_str() {
            "type" => match c.text.as_str() {
                "LANDPLANE" => Yes,
                "ALL" => Yes,
                t if t.starts_with("OTHER") || matches!(t, "STOL" | "ULTRA_LIGHT" | "AMPHIBIAN") => Unknown,
                _ => No,
            },
            "wingSpan" => match units::length_m(c) {
                Ok(limit_m) => compared(node.value(Space::Aixm, "wingSpanInterpretation"), span_m, limit_m),
                Err(_) => Unknown,
            },
            "classWingSpan" => match units::span_class_m(&c.text) {
                Some((low, high)) if (low..high).contains(&span_m) => Yes,
                Some(_) => No,
                None => Unknown,
            },
            "weight" => match (units::mass_kg(c), node.value(Space::Aixm, "weightInterpretation")) {
                (Ok(kg), Some("ABOVE" | "AT_OR_ABOVE")) if kg >= LIGHT_KG => No,
                (Ok(kg), Some("BELOW" | "AT_OR_BELOW")) if kg >= LIGHT_KG => Yes,
                _ => Unknown,
            },
            "wingSpanInterpretation" | "weightInterpretation" | "annotation" => Yes,
            _ => Unknown,
        }))
}

/// The spans at which a condition may change.
fn thresholds(node: &Node, list: &mut Vec<f64>) {
    match node.name.as_str() {
        "wingSpan" => list.extend(units::length_m(node)),
        "classWingSpan" => {
            if let Some((low, high)) = units::span_class_m(&node.text) {
                list.extend([low, high]);
            }
        }
        _ => node.children.iter().for_each(|c| thresholds(c, list)),
    }
}

/// What a condition asks that is not known, in the standard's own words.
fn unknowns(node: &Node) -> String {
    let mut list: Vec<String> = Vec::new();
    gather(node, &mut list);
    list.sort();
    list.dedup();
    list.truncate(6);
    list.join(", ")
}

fn gather(node: &Node, list: &mut Vec<String>) {
    match node.name.as_str() {
        "timeInterval" if !node.is_nil() => list.push("a timetable".to_string()),
        "weather" | "flight" if !node.is_nil() => list.push(node.name.clone()),
        "AircraftCharacteristic" if characteristic(node, ANY_SPAN_M) == Unknown => {
            list.extend(
                node.children
                    .iter()
                    .map(|c| format!("{} {}", clean::name(&c.name), clean::name(&c.text))),
            );
        }
        _ => node.children.iter().for_each(|c| gather(c, list)),
    }
}

#[cfg(test)]
#[path = "usage_tests.rs"]
mod tests;
