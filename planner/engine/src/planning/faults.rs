//! What is wrong with a way, in order of how bad it is.

use crate::clearance::{Clearance, Verdict};
use crate::request::MarginRule;
use crate::route::{Route, TurnMeans};
use toeline_model::units;

/// How bad it is that a way fails, least first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum FaultKind {
    TooNear,
    OverLine,
    OffPavement,
    Touches,
    Impossible,
}

/// Why a way fails, and where along it.
pub(super) struct Fault {
    pub(super) kind: FaultKind,
    /// Way of the nose wheel at which it fails, metres: where it begins and ends.
    pub(super) at_m: (f64, f64),
    /// By how much it fails, metres: what is missing to the margin; infinite where that is no question of metres.
    pub(super) short_m: f64,
    pub(super) reason: String,
}

/// Everything wrong with a way, worst first; empty when nothing the map shows is.
pub(super) fn faults(route: &Route, clearance: &Clearance) -> Vec<Fault> {
    let told = |kind: FaultKind, at_m: (f64, f64), short_m: f64, text: String| {
        let leg = route
            .legs
            .iter()
            .find(|l| l.to_m >= at_m.0)
            .map_or("the last leg", |l| l.name.as_str());
        Fault {
            kind,
            at_m,
            short_m,
            reason: format!("by {leg}: {text}"),
        }
    };
    let mut list = Vec::new();
    for t in route.turns.iter().filter(|t| t.means == TurnMeans::NotPossible) {
        let text = "a turn tighter than this aeroplane can make".to_string();
        list.push(told(FaultKind::Impossible, (t.from_m, t.to_m), f64::INFINITY, text));
    }
    // Gaps come smallest first.
    for g in clearance.gaps.iter().filter(|g| g.verdict == Verdict::NotClear) {
        let kind = if g.contact_m.is_some() {
            FaultKind::Touches
        } else {
            FaultKind::TooNear
        };
        let (name, shown) = (&clearance.considered[g.obstacle].name, units::gap_floor(g.gap_m));
        // A published row asks for other metres than the pilot's margin.
        let short_m = match clearance.rule {
            MarginRule::Pilot => clearance.margin_m - g.gap_m,
            MarginRule::Faa | MarginRule::Icao => f64::INFINITY,
        };
        list.push(told(
            kind,
            (g.at_m, g.at_m),
            short_m,
            format!("{} comes within {shown:.1} m of {name}", g.part),
        ));
    }
    for e in clearance.edges.iter().filter(|e| e.verdict == Verdict::NotClear) {
        let room_m = e.room_m.unwrap_or(0.0);
        let short_m = if room_m < 0.0 { -room_m } else { f64::INFINITY };
        // On the pavement and still not clear: a published row asks for more.
        let text = if room_m < 0.0 {
            format!("a main wheel runs {:.1} m off the pavement", -room_m)
        } else {
            format!(
                "a main wheel comes within {:.1} m of the pavement edge",
                units::gap_floor(room_m)
            )
        };
        list.push(told(FaultKind::OffPavement, (e.at_m, e.at_m), short_m, text));
    }
    for h in clearance.holds.iter().filter(|h| h.verdict == Verdict::NotClear) {
        let text = format!("the {} stands {:.1} m over the holding line", h.part, -h.behind_m);
        list.push(told(FaultKind::OverLine, (h.at_m, h.at_m), -h.behind_m, text));
    }
    list.sort_by_key(|f| core::cmp::Reverse(f.kind));
    list
}
