//! Other ways than the planned one, as they are told.

use super::{Units, verdict};
use crate::clean;
use crate::clearance::Verdict;
use crate::layout::Page;
use crate::planning::Alternative;
use serde::{Deserialize, Serialize};
use toeline_model::units::round_to;

/// Another way, in words and rounded numbers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OtherBriefing {
    /// What is better or worse than on the planned way, in one line.
    pub words: String,
    /// Verdict.
    pub verdict: Verdict,
    /// Way of the nose wheel, metres.
    pub length_m: f64,
    /// Price that the search compared: time with penalties, seconds.
    pub cost_s: f64,
    /// Names of the legs, in order.
    pub legs: Vec<String>,
    /// Stops, in order.
    pub stops: Vec<String>,
}

/// Tells other ways.
pub fn others(list: &[Alternative]) -> Vec<OtherBriefing> {
    let told = |other: &Alternative| {
        let route = &other.way.route;
        let mut legs: Vec<String> = route.legs.iter().map(|l| clean::name(&l.name)).collect();
        legs.dedup();
        OtherBriefing {
            words: clean::sentence(&other.words),
            verdict: other.way.clearance.verdict,
            length_m: round_to(route.path.length_m(), 1),
            cost_s: round_to(route.cost_ms as f64 / 1000.0, 1),
            legs,
            stops: route.stops.iter().map(|s| clean::name(&s.name)).collect(),
        }
    };
    list.iter().map(told).collect()
}

/// Writes them as plain text; nothing when there are none.
pub(super) fn text(page: &mut Page, list: &[OtherBriefing], units: Units) {
    if list.is_empty() {
        return;
    }
    page.heading(&format!("OTHER WAYS ({}), cheapest first", list.len()));
    let line = |o: &OtherBriefing| {
        let verdict = verdict::word(o.verdict);
        format!(
            "{verdict}, {}: {}; {}",
            units.length(o.length_m, 0),
            o.legs.join(", "),
            o.words
        )
    };
    page.list(&list.iter().map(line).collect::<Vec<_>>());
}
