//! The answer in sentences: clear, not clear, not known, and because of what.

use super::gaps::{EdgeBriefing, GapBriefing};
use super::number;
use crate::clearance::{Clearance, Verdict};

/// One word group for a verdict.
pub(crate) fn word(v: Verdict) -> &'static str {
    match v {
        Verdict::Clear => "clear",
        Verdict::NotClear => "not clear",
        Verdict::NotKnown => "not known",
    }
}

fn gap_sentence(g: &GapBriefing) -> String {
    if g.touches {
        return format!("Leg {}: the {} touches {}.", g.leg, g.part, g.obstacle);
    }
    format!("Leg {}: {:.1} m from the {} to {}.", g.leg, g.gap_m, g.part, g.obstacle)
}

/// The answer, first the summary and then what decides it, the worst first.
pub(crate) fn sentences(c: &Clearance, gaps: &[GapBriefing], edges: &[EdgeBriefing]) -> Vec<String> {
    let (margin, accuracy) = (number::metres(c.margin_m), number::metres(c.accuracy_m));
    let from = super::clean::sentence(&c.accuracy_from);
    let summary = match c.verdict {
        Verdict::Clear => format!(
            "CLEAR of everything the map shows: every part keeps {margin:.1} m, even if the map is off by {accuracy:.1} m ({from})."
        ),
        Verdict::NotClear if c.parts_verdict == Verdict::NotClear => {
            format!("NOT CLEAR: a part of the aeroplane comes nearer than the margin of {margin:.1} m.")
        }
        Verdict::NotClear => "NOT CLEAR: a main wheel leaves the mapped pavement.".to_string(),
        Verdict::NotKnown => format!(
            "NOT KNOWN: the map cannot say. Its accuracy of {accuracy:.1} m ({from}) or something it lacks decides; walk it first."
        ),
    };
    let gaps = super::gaps::by_name(gaps);
    let mut list = vec![summary];
    list.extend(
        gaps.iter()
            .filter(|g| g.verdict == Verdict::NotClear)
            .map(|g| gap_sentence(g)),
    );
    for e in edges.iter().filter(|e| e.verdict == Verdict::NotClear) {
        let room = e.room_m.unwrap_or(0.0);
        list.push(if room < 0.0 {
            format!(
                "Leg {}: a main wheel runs {:.1} m off the mapped pavement.",
                e.leg, -room
            )
        } else {
            format!(
                "Leg {}: only {room:.1} m from a main wheel to the pavement edge.",
                e.leg
            )
        });
    }
    for g in gaps.iter().filter(|g| g.verdict == Verdict::NotKnown) {
        let why = if g.sure {
            "the map's accuracy decides"
        } else {
            "the map is not sure of it"
        };
        list.push(format!("{} Not known: {why}.", gap_sentence(g)));
    }
    let unknown: Vec<String> = edges
        .iter()
        .filter(|e| e.verdict == Verdict::NotKnown)
        .map(|e| e.leg.to_string())
        .collect();
    if !unknown.is_empty() {
        let legs = if unknown.len() == 1 { "leg" } else { "legs" };
        list.push(format!(
            "Wheels to pavement edge not known on {legs} {}.",
            unknown.join(", ")
        ));
    }
    list
}
