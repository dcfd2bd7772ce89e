//! Legs taken together for the knee: at most twelve where the way allows it, and nothing that a pilot must do lost.
//!
//! Ours. First, legs of one lane that follow one another are one, unless a stop or a told turn lies at their seam. Where more
//! than [`MOST`] are left, pieces shorter than [`SHORT_M`] without a stop join the leg after them and both names are said. A
//! change of lane, a stop and a turn are never taken away; a way that still has more legs goes on overleaf.

use crate::briefing::{LegBriefing, WayBriefing};
use crate::planning::Way;
use crate::route::{StopKind, TurnMeans};
use core::ops::Range;

/// Legs on the first page.
pub(super) const MOST: usize = 12;
/// Pieces shorter than this are taken with the next when there are too many legs, metres.
pub(super) const SHORT_M: f64 = 60.0;
/// Turns of less than this are not told on the knee, degrees.
pub(super) const TURN_TOLD_DEG: f64 = 20.0;
/// A stop this near to a seam is at it, metres.
const AT_SEAM_M: f64 = 5.0;
/// Lanes named in one row.
const MOST_NAMES: usize = 3;

/// Legs that are told as one.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Group {
    /// Indices of its legs.
    pub(super) legs: Range<usize>,
}

impl Group {
    /// Its number: "3", or "3-5".
    pub(super) fn number(&self) -> String {
        match self.legs.len() {
            1 => self.legs.end.to_string(),
            _ => format!("{}-{}", self.legs.start + 1, self.legs.end),
        }
    }

    /// Its lanes, each once, in order.
    pub(super) fn names<'a>(&self, told: &'a WayBriefing) -> Vec<&'a str> {
        let mut list: Vec<&str> = told.legs[self.legs.clone()].iter().map(|l| l.name.as_str()).collect();
        list.dedup();
        list
    }

    /// Way of the nose wheel where it begins and ends, metres.
    pub(super) fn span(&self, way: &Way) -> (f64, f64) {
        let legs = &way.route.legs[self.legs.clone()];
        (
            legs.first().map_or(0.0, |l| l.from_m),
            legs.last().map_or(0.0, |l| l.to_m),
        )
    }
}

fn turn_told(leg: &LegBriefing) -> bool {
    let told = |t: &crate::briefing::TurnBriefing| t.turn_deg >= TURN_TOLD_DEG || t.means != TurnMeans::Steering;
    leg.turns.iter().any(|t| t.at_end && told(t))
}

fn stop_between(way: &Way, from_m: f64, to_m: f64) -> bool {
    let stops = way.route.stops.iter().filter(|s| s.kind != StopKind::Start);
    stops.into_iter().any(|s| s.at_m > from_m && s.at_m < to_m)
}

/// The groups in order, and whether short pieces had to be taken with the next.
pub(super) fn groups(way: &Way, told: &WayBriefing) -> (Vec<Group>, bool) {
    let seam = |i: usize| way.route.legs[i].to_m;
    let stop_at = |s: f64| stop_between(way, s - AT_SEAM_M, s + AT_SEAM_M);
    let mut list: Vec<Group> = Vec::new();
    for i in 0..told.legs.len() {
        let joins = i > 0 && {
            let (a, b) = (&told.legs[i - 1], &told.legs[i]);
            a.name == b.name && a.kind == b.kind && !turn_told(a) && !stop_at(seam(i - 1))
        };
        match list.last_mut() {
            Some(last) if joins => last.legs.end = i + 1,
            _ => list.push(Group { legs: i..i + 1 }),
        }
    }
    let mut short = false;
    while list.len() > MOST {
        let may = |k: &usize| {
            let (group, next) = (&list[*k], &list[k + 1]);
            let (from, to) = group.span(way);
            let mut names = group.names(told);
            names.extend(next.names(told));
            names.dedup();
            let kinds = told.legs[group.legs.start].kind == told.legs[next.legs.start].kind;
            kinds && to - from < SHORT_M && !stop_between(way, from, to + AT_SEAM_M) && names.len() <= MOST_NAMES
        };
        let length = |k: usize| {
            let (from, to) = list[k].span(way);
            to - from
        };
        let shortest = (0..list.len() - 1)
            .filter(may)
            .min_by(|a, b| length(*a).total_cmp(&length(*b)));
        let Some(k) = shortest else { break };
        list[k].legs.end = list[k + 1].legs.end;
        list.remove(k + 1);
        short = true;
    }
    (list, short)
}
