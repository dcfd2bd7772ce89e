//! Usage limitations and their conditions: who may use a thing that is closed or limited.

use crate::carrier::aixm::tree::{Node, Space};
use crate::carrier::aixm::units;
use crate::clean;
use crate::notices::condition::{Condition, DEEPEST, Is};
use toeline_model::units::{FOOT_M, POUND_KG};

/// To whom a thing stays open: to nobody where `None`. `closed`: its status is closed, not limited.
pub(super) fn open_to(usages: &[&Node], closed: bool) -> Option<Condition> {
    let (mut only, mut not) = (Vec::new(), Vec::new());
    for u in usages {
        let sort = u.value(Space::Aixm, "type").unwrap_or_default().to_ascii_uppercase();
        let mut all = vec![selection(u, &sort)];
        let operation = u
            .value(Space::Aixm, "operation")
            .unwrap_or_default()
            .to_ascii_uppercase();
        if !matches!(operation.as_str(), "" | "TAXIING" | "ALL") {
            all.push(Condition::Unknown(format!("the operation {}", clean::name(&operation))));
        }
        if let Some(p) = u.child(Space::Aixm, "priorPermission").filter(|p| !p.is_nil())
            && sort != "FORBID"
        {
            let unit = p.attribute(Space::None, "uom").unwrap_or_default();
            all.push(Condition::Unknown(clean::name(&format!(
                "a flight with permission asked {} {unit} before",
                p.text
            ))));
        }
        let condition = match all.len() {
            1 => all.remove(0),
            _ => Condition::All(all),
        };
        match sort.as_str() {
            "FORBID" => not.push(condition),
            "PERMIT" | "RESERV" | "CONDITIONAL" => only.push(condition),
            other => only.push(Condition::Unknown(format!(
                "a usage of the sort {}",
                clean::name(other)
            ))),
        }
    }
    if closed && only.is_empty() {
        return None;
    }
    let only = (!only.is_empty()).then(|| flat(only));
    let not = (!not.is_empty()).then(|| Condition::Not(Box::new(flat(not))));
    match (only, not) {
        (Some(a), Some(b)) => Some(Condition::All(vec![a, b])),
        (Some(a), None) | (None, Some(a)) => Some(a),
        (None, None) => None,
    }
}

fn flat(mut list: Vec<Condition>) -> Condition {
    if list.len() == 1 {
        list.remove(0)
    } else {
        Condition::Any(list)
    }
}

fn selection(usage: &Node, sort: &str) -> Condition {
    let found = usage.child(Space::Aixm, "selection").filter(|s| !s.is_nil());
    match found.and_then(|s| s.children.first()) {
        Some(c) => combination(c, 0),
        // A reservation for nobody in particular opens it to nobody who is known.
        None if sort == "RESERV" => {
            Condition::Unknown("somebody for whom it is reserved, whom the notice does not name".to_string())
        }
        None => Condition::All(Vec::new()),
    }
}

/// A condition combination.
pub(super) fn combination(c: &Node, depth: usize) -> Condition {
    if depth >= DEEPEST {
        return Condition::Unknown(format!("conditions nested more than {DEEPEST} deep"));
    }
    let mut list = Vec::new();
    let mut hours = false;
    for child in c.children.iter().filter(|k| !k.is_nil()) {
        let inner = child.children.first();
        match (child.name.as_str(), inner) {
            ("logicalOperator" | "annotation" | "extension", _) => {}
            ("timeInterval" | "specialDateAuthority", _) => hours = true,
            ("aircraft", Some(a)) => list.push(aircraft(a)),
            ("flight", Some(f)) => list.push(flight(f)),
            ("subCondition", Some(s)) => list.push(combination(s, depth + 1)),
            ("weather", _) => list.push(Condition::Unknown("the weather of the condition".to_string())),
            (other, _) => list.push(Condition::Unknown(format!("a condition on {}", clean::name(other)))),
        }
    }
    let operator = c
        .value(Space::Aixm, "logicalOperator")
        .unwrap_or("NONE")
        .to_ascii_uppercase();
    let found = match (operator.as_str(), list.len()) {
        (_, 0) => Condition::Unknown("a condition that says nothing".to_string()),
        ("AND", _) => Condition::All(list),
        ("OR", _) => flat(list),
        ("NOT", 1) => Condition::Not(Box::new(list.remove(0))),
        ("NONE", 1) => list.remove(0),
        (other, n) => Condition::Unknown(format!("{n} conditions joined by {}", clean::name(other))),
    };
    if hours {
        let own = Condition::Unknown("a flight in the hours of the condition".to_string());
        return Condition::All(vec![found, own]);
    }
    found
}

fn flight(f: &Node) -> Condition {
    let said: Vec<String> = f
        .children
        .iter()
        .filter(|c| !c.is_nil() && !c.text.is_empty())
        .map(|c| format!("{} {}", c.name, c.text))
        .collect();
    Condition::Unknown(clean::name(&format!("a flight of {}", said.join(", "))))
}

fn aircraft(a: &Node) -> Condition {
    let mut list = Vec::new();
    let how = |key: &str| match a.value(Space::Aixm, key)?.to_ascii_uppercase().as_str() {
        "ABOVE" => Some(Is::Above),
        "AT_OR_ABOVE" => Some(Is::AtLeast),
        "AT" => Some(Is::Same),
        "AT_OR_BELOW" => Some(Is::AtMost),
        "BELOW" => Some(Is::Below),
        _ => None,
    };
    for child in a.children.iter().filter(|c| !c.is_nil()) {
        let text = child.text.to_ascii_uppercase();
        let unknown = || Condition::Unknown(clean::name(&format!("an aircraft of {} {}", child.name, child.text)));
        let sort = |ours: bool| {
            Condition::Sort(
                clean::name(&format!("an aircraft of {} {}", child.name, child.text)),
                ours,
            )
        };
        let figure = || child.text.parse::<f64>().ok().filter(|v| v.is_finite() && *v > 0.0);
        let unit = child
            .attribute(Space::None, "uom")
            .unwrap_or_default()
            .to_ascii_uppercase();
        list.push(match child.name.as_str() {
            "annotation" | "extension" | "wingSpanInterpretation" | "weightInterpretation" => continue,
            "type" => match text.as_str() {
                "LANDPLANE" | "ALL" => sort(true),
                "SEAPLANE" | "AMPHIBIAN" | "HELICOPTER" | "GYROCOPTER" | "TILT_WING" | "GLIDER" | "HANGGLIDER"
                | "PARAGLIDER" | "BALLOON" | "UAV" => sort(false),
                _ => unknown(),
            },
            "engine" => match text.as_str() {
                "PISTON" | "ALL" => sort(true),
                "JET" | "TURBOPROP" => sort(false),
                _ => unknown(),
            },
            "numberEngine" => match text.parse::<u32>() {
                Ok(n) => Condition::Engines(Is::Same, n),
                Err(_) => unknown(),
            },
            // ICAO Doc 4444: light up to 7000 kg, heavy from 136 000 kg on.
            "wakeTurbulence" => match text.as_str() {
                "LOW" | "LIGHT" => Condition::Mass(Is::AtMost, 7000.0),
                "MEDIUM" => Condition::All(vec![
                    Condition::Mass(Is::Above, 7000.0),
                    Condition::Mass(Is::Below, 136_000.0),
                ]),
                "HEAVY" => Condition::Mass(Is::AtLeast, 136_000.0),
                _ => unknown(),
            },
            "classWingSpan" => match units::span_class_m(&text) {
                Some((low_m, below_m)) => Condition::All(vec![
                    Condition::Span(Is::AtLeast, low_m),
                    Condition::Span(Is::Below, below_m),
                ]),
                None => unknown(),
            },
            "wingSpan" => {
                let m = match unit.as_str() {
                    "M" => figure(),
                    "FT" => figure().map(|v| v * FOOT_M),
                    _ => None,
                };
                match (how("wingSpanInterpretation"), m) {
                    (Some(is), Some(m)) => Condition::Span(is, m),
                    _ => unknown(),
                }
            }
            "weight" => {
                let kg = match unit.as_str() {
                    "KG" => figure(),
                    "T" => figure().map(|v| v * 1000.0),
                    "LB" => figure().map(|v| v * POUND_KG),
                    _ => None,
                };
                match (how("weightInterpretation"), kg) {
                    (Some(is), Some(kg)) => Condition::Mass(is, kg),
                    _ => unknown(),
                }
            }
            _ => unknown(),
        });
    }
    match list.len() {
        0 => Condition::Unknown("an aircraft of which nothing is said".to_string()),
        1 => list.remove(0),
        _ => Condition::All(list),
    }
}
