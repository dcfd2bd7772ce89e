//! The answer in sentences: clear, not clear, not known, and because of what.

use super::gaps::{EdgeBriefing, GapBriefing};
use super::{clean, number};
use crate::clearance::{Clearance, Verdict};
use crate::request::MarginRule;
use crate::route::{Route, TurnMeans};
use toeline_model::units::DEG;

/// One word group for a verdict.
pub(crate) fn word(v: Verdict) -> &'static str {
    match v {
        Verdict::Clear => "clear",
        Verdict::NotClear => "not clear",
        Verdict::NotKnown => "not known",
    }
}

/// Whether nothing but notices that could not be placed keeps the answer from being clear.
fn by_notices_alone(c: &Clearance) -> bool {
    let known = [c.parts_verdict, c.edge_verdict, c.hold_verdict];
    !c.unplaced.is_empty() && known.iter().all(|v| *v == Verdict::Clear)
}

/// "the rows of FAA AC 150/5300-13B, ..., and where it has none by the pilot's margin of 3.0 m".
fn rule_words(c: &Clearance) -> String {
    let source = c.compared.iter().find(|p| p.decides).map_or("", |p| p.source.as_str());
    format!(
        "the rows of {}, and where it has none by the margin of {:.1} m",
        clean::sentence(source),
        number::metres(c.margin_m)
    )
}

fn gap_sentence(g: &GapBriefing) -> String {
    if g.touches {
        return format!("Leg {}: the {} touches {}.", g.leg, g.part, g.obstacle);
    }
    format!("Leg {}: {:.1} m from the {} to {}.", g.leg, g.gap_m, g.part, g.obstacle)
}

/// The answer, first the summary and then what decides it, the worst first.
pub(crate) fn sentences(route: &Route, c: &Clearance, gaps: &[GapBriefing], edges: &[EdgeBriefing]) -> Vec<String> {
    let (margin, accuracy) = (number::metres(c.margin_m), number::metres(c.accuracy_m));
    let from = super::clean::sentence(&c.accuracy_from);
    let summary = match c.verdict {
        Verdict::Clear if c.rule != MarginRule::Pilot => format!(
            "CLEAR of everything the map shows by {}, even if the map is off by {accuracy:.1} m ({from}).",
            rule_words(c)
        ),
        Verdict::Clear => format!(
            "CLEAR of everything the map shows: every part keeps {margin:.1} m, even if the map is off by {accuracy:.1} m ({from})."
        ),
        Verdict::NotClear
            if [c.parts_verdict, c.edge_verdict].contains(&Verdict::NotClear)
                && c.hold_verdict != Verdict::NotClear
                && c.rule != MarginRule::Pilot =>
        {
            format!("NOT CLEAR by {}.", rule_words(c))
        }
        Verdict::NotClear if c.parts_verdict == Verdict::NotClear => {
            let least = gaps.iter().find(|g| g.verdict == Verdict::NotClear);
            let short = least.map_or(0.0, |g| number::metres(margin - g.gap_m));
            format!(
                "NOT CLEAR: a part of the aeroplane comes nearer than the margin of {margin:.1} m, by up to {short:.1} m."
            )
        }
        Verdict::NotClear if c.hold_verdict == Verdict::NotClear => {
            "NOT CLEAR: a part of the aeroplane stands over a holding line.".to_string()
        }
        Verdict::NotClear if c.edge_verdict != Verdict::NotClear => {
            "NOT CLEAR: a turn on this way is tighter than this aeroplane can make.".to_string()
        }
        Verdict::NotClear => "NOT CLEAR: a main wheel leaves the mapped pavement.".to_string(),
        Verdict::NotKnown if by_notices_alone(c) => match c.unplaced.len() {
            1 => "NOT KNOWN: a notice in force could not be laid on this map whole. What it closes may lie on the way: read it \
                  before you move."
                .to_string(),
            n => format!(
                "NOT KNOWN: {n} notices in force could not be laid on this map whole. What they close may lie on the way: read \
                 them before you move."
            ),
        },
        Verdict::NotKnown => format!(
            "NOT KNOWN: the map cannot say. Its accuracy of {accuracy:.1} m ({from}) or something it lacks decides; walk it first."
        ),
    };
    let gaps = super::gaps::by_name(gaps);
    let mut list = vec![summary];
    list.extend(c.unplaced.iter().map(|t| super::clean::sentence(t)));
    list.extend(
        gaps.iter()
            .filter(|g| g.verdict == Verdict::NotClear)
            .map(|g| gap_sentence(g)),
    );
    for h in c.holds.iter().filter(|h| h.verdict == Verdict::NotClear) {
        let name = route.stops.get(h.stop).map_or("a stop", |s| s.name.as_str());
        list.push(format!(
            "At {}: the {} is {:.1} m over the holding line.",
            clean::name(name),
            h.part,
            // Up, so that a little over the line never reads as on it.
            (-h.behind_m * 10.0).ceil() / 10.0
        ));
    }
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
    for t in route.turns.iter().filter(|t| t.means == TurnMeans::NotPossible) {
        let leg = route.legs.iter().position(|l| l.to_m >= t.from_m).unwrap_or(0) + 1;
        let side = if t.left_rad > 0.0 { "left" } else { "right" };
        let deg = (t.left_rad.abs() / DEG).round();
        list.push(format!(
            "Leg {leg}: the turn {side} by {deg:.0} degrees is tighter than this aeroplane can make."
        ));
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
