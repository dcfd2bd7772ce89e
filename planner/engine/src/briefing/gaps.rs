//! The tight places: which part, which obstacle, how near, on which leg. Gaps are rounded down.

use super::{clean, legs, number};
use crate::clearance::{Clearance, Gap, Verdict};
use crate::route::Route;
use serde::{Deserialize, Serialize};

/// One least gap as it is told.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct GapBriefing {
    /// Number of the leg, from 1.
    pub leg: usize,
    /// Part of the aeroplane.
    pub part: String,
    /// Obstacle.
    pub obstacle: String,
    /// Gap, metres, rounded down to 0.1 m.
    pub gap_m: f64,
    /// Way of the nose wheel, metres.
    pub at_m: f64,
    /// Whether the map is sure of the obstacle's place and shape.
    pub sure: bool,
    /// Whether it touches.
    pub touches: bool,
    /// Verdict on it.
    pub verdict: Verdict,
}

/// Wheels against the pavement edge on one leg, as it is told.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct EdgeBriefing {
    /// Number of the leg, from 1.
    pub leg: usize,
    /// Least room, metres, rounded down; negative off the pavement; absent when the width is not mapped.
    pub room_m: Option<f64>,
    /// Way of the nose wheel, metres.
    pub at_m: f64,
    /// Verdict on it.
    pub verdict: Verdict,
}

fn tell_one(route: &Route, clearance: &Clearance, g: &Gap) -> GapBriefing {
    let considered = clearance.considered.get(g.obstacle);
    GapBriefing {
        leg: legs::leg_at(route, g.at_m) + 1,
        part: clean::name(&g.part),
        obstacle: considered.map_or_else(|| "obstacle".to_string(), |c| clean::name(&c.name)),
        gap_m: number::gap(g.gap_m),
        at_m: number::metres(g.at_m),
        sure: considered.is_some_and(|c| c.sure),
        touches: g.contact_m.is_some(),
        verdict: g.verdict,
    }
}

/// Every least gap, smallest first.
pub(crate) fn tell(route: &Route, clearance: &Clearance) -> Vec<GapBriefing> {
    clearance.gaps.iter().map(|g| tell_one(route, clearance, g)).collect()
}

/// The smallest of the least gaps that lie on a leg.
pub(crate) fn tightest_on(route: &Route, clearance: &Clearance, leg: usize) -> Option<GapBriefing> {
    let here = clearance.gaps.iter().filter(|g| legs::leg_at(route, g.at_m) == leg);
    let least = here.min_by(|a, b| a.gap_m.total_cmp(&b.gap_m));
    least.map(|g| tell_one(route, clearance, g))
}

/// Certified lower bound of the gap between two ways, rounded down; `None` when nothing comes near.
pub(crate) fn least_between(clearance: &Clearance, from_m: f64, to_m: f64) -> Option<f64> {
    let cells = clearance.curve.iter().filter(|c| c.from_m < to_m && c.to_m > from_m);
    cells.filter_map(|c| c.gap_m).min_by(f64::total_cmp).map(number::gap)
}

/// Wheels against the pavement edge.
pub(crate) fn edges(clearance: &Clearance) -> Vec<EdgeBriefing> {
    let one = |e: &crate::clearance::EdgeRoom| EdgeBriefing {
        leg: e.leg + 1,
        // Down, below zero too: half a wheel off the edge never reads as on it.
        room_m: e.room_m.map(|m| number::metres((m * 10.0 + 1e-9).floor() / 10.0)),
        at_m: number::metres(e.at_m),
        verdict: e.verdict,
    };
    clearance.edges.iter().map(one).collect()
}

/// The least gap to each thing by name: an aeroplane on a stand has several outlines, and one line is enough.
pub(crate) fn by_name(gaps: &[GapBriefing]) -> Vec<&GapBriefing> {
    let mut list: Vec<&GapBriefing> = Vec::new();
    for g in gaps {
        if !list.iter().any(|told| told.obstacle == g.obstacle) {
            list.push(g);
        }
    }
    list
}
