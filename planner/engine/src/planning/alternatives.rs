//! Other ways than the one that was planned: what one would do if a lane of it were not to be used.
//!
//! For every named lane on the way (an unnamed one by its segments) the way is searched again without the parts of it that the
//! way uses, by the same search, the same limits and the same clearance. Ways that differ in named lanes, runways crossed
//! or stops are kept, cheapest first, equal ones in the order of the lanes. That is not every way there is.

use super::tries::{Answered, Picked, Tries};
use super::{Outcome, Plan, Way};
use crate::graph;
use crate::route::{Directed, Route, StopKind, TurnMeans, World};
use petgraph::graph::EdgeIndex;
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::units::gap_floor;

/// A way to pick in place of the planned one.
#[derive(Clone, Debug, PartialEq)]
pub struct Alternative {
    /// The way with its clearance.
    pub way: Way,
    /// What is better or worse than on the planned way, in one line.
    pub words: String,
}

/// What tells two ways apart: lanes by name in order (an unnamed one by its segments), runways met, and stops.
type Character = (Vec<String>, Vec<String>, Vec<(String, Option<String>)>);

fn character(world: World<'_>, route: &Route) -> Character {
    let mut names: Vec<String> = Vec::new();
    let (mut runways, mut last) = (Vec::new(), None);
    for (edge, forward) in &route.segments {
        let d = Directed {
            edge: *edge,
            forward: *forward,
        };
        names.push(lane(world, *edge));
        if let Some(before) = last
            && let Some(terms) = world.turn_terms(before, d)
        {
            let met = terms.into_iter().map(|t| t.0);
            runways.extend(met.filter(|t| t.starts_with("cross ") || t.starts_with("enter ")));
        }
        last = Some(d);
    }
    names.dedup();
    let stops = route.stops.iter().map(|s| (s.name.clone(), s.of.clone()));
    (names, runways, stops.collect())
}

/// What a segment is known by: its letters, or itself.
fn lane(world: World<'_>, edge: EdgeIndex) -> String {
    let letters = &world.graph.segment(edge).letters;
    if letters.is_empty() {
        format!("segment {}", edge.index())
    } else {
        letters.join(" ")
    }
}

/// At most `most` other ways than a plan's, cheapest first; empty when there is no way at all or no other.
pub fn alternatives(plan: &Plan, most: usize) -> Vec<Alternative> {
    let Outcome::Way(planned) = &plan.outcome else {
        return Vec::new();
    };
    let (taxi_graph, _) = graph::build(&plan.field);
    let world = World {
        field: &plan.field,
        graph: &taxi_graph,
        aircraft: &plan.request.aircraft,
    };
    // Lanes in the order in which the way first comes to them.
    let mut lanes: Vec<BTreeSet<EdgeIndex>> = Vec::new();
    let mut known: BTreeMap<String, usize> = BTreeMap::new();
    for (edge, _) in &planned.route.segments {
        let name = lane(world, *edge);
        let n = *known.entry(name).or_insert_with(|| {
            lanes.push(BTreeSet::new());
            lanes.len() - 1
        });
        lanes[n].insert(*edge);
    }
    let Ok(Ok(mut tries)) = Tries::new(world, &plan.request, plan.declination.deg) else {
        return Vec::new();
    };
    let mut characters = vec![character(world, &planned.route)];
    let mut found: Vec<Picked> = Vec::new();
    for without in lanes {
        // The least bad of ways that all fail is none to offer.
        let Ok(Answered::Clear(picked)) = tries.answer(&without) else {
            continue;
        };
        let own = character(world, &picked.route);
        if !characters.contains(&own) {
            characters.push(own);
            found.push(picked);
        }
    }
    found.sort_by_key(|p| p.route.cost_ms);
    found.truncate(most);
    let told = |way: Way| Alternative {
        words: compare(planned, &way),
        way,
    };
    let shown = found.into_iter().filter_map(|p| tries.shown(p).ok());
    shown.map(told).collect()
}

/// What is better or worse on `other`.
pub(super) fn compare(planned: &Way, other: &Way) -> String {
    let (a, b) = (&planned.route, &other.route);
    let mut list = Vec::new();
    let lanes = |r: &Route| -> Vec<String> {
        let mut names: Vec<String> = r.legs.iter().map(|l| l.name.clone()).collect();
        let mut seen = BTreeSet::new();
        names.retain(|n| seen.insert(n.clone()));
        names
    };
    let (here, there) = (lanes(a), lanes(b));
    let by: Vec<&str> = there.iter().filter(|n| !here.contains(n)).map(String::as_str).collect();
    if by.is_empty() {
        let without: Vec<&str> = here.iter().filter(|n| !there.contains(n)).map(String::as_str).collect();
        list.push(match without.as_slice() {
            [] => "by the same names".to_string(),
            names => format!("without {}", names.join(", ")),
        });
    } else {
        list.push(format!("by {}", by.join(", ")));
    }
    let metres = b.path.length_m() - a.path.length_m();
    list.push(format!(
        "{:.0} m {}",
        metres.abs(),
        if metres < 0.0 { "shorter" } else { "longer" }
    ));
    let seconds = (b.cost_ms as f64 - a.cost_ms as f64) / 1000.0;
    list.push(format!("{seconds:+.0} s with penalties"));
    let count = |r: &Route| r.stops.iter().filter(|s| s.kind == StopKind::HoldShort).count();
    if count(a) != count(b) {
        list.push(format!("{} runway crossings, not {}", count(b), count(a)));
    }
    let brake = |r: &Route| r.turns.iter().filter(|t| t.means == TurnMeans::InsideBrake).count();
    if brake(a) != brake(b) {
        list.push(format!("inside brake in {} turns, not {}", brake(b), brake(a)));
    }
    let least = |w: &Way| w.clearance.gaps.first().map(|g| gap_floor(g.gap_m));
    if let (Some(planned), Some(other)) = (least(planned), least(other))
        && planned != other
    {
        list.push(format!("tightest gap {other:.1} m, not {planned:.1} m"));
    }
    list.join("; ")
}
