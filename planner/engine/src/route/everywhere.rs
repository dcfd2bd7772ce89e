//! From every stand to every runway at once: one search backward from each runway end, in place of one for each pair.

use super::dense::Exact;
use super::search::{Avoid, Directed, Place, Query, SearchGraph, World, sum};
use super::{departure, limits, resolve};
use crate::graph::StandPlace;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use std::collections::BTreeMap;

/// The cheapest way from one stand to one runway, clearance apart.
#[derive(Clone, Debug, PartialEq)]
pub struct StandWay {
    /// Index of the stand in the airfield's list.
    pub stand: usize,
    /// Index of the runway in the airfield's list.
    pub runway: usize,
    /// The designator of the direction: "26".
    pub designator: String,
    /// Price and segments in order, or `None` when this aeroplane has no way. The price is the search's own,
    /// milliseconds: the engine check is not in it.
    pub way: Option<(u64, Vec<Directed>)>,
}

/// The cheapest way from every stand to every designated runway end, in the order of the stands and then of the runways.
/// A stand that is joined to no lane, and a runway that no lane leads to, have no ways. A stand without a heading is taken
/// with its nose out, where [`super::find`] would ask. Limits are those of [`super::blocked`]; the wings are not looked at.
pub fn from_all_stands(world: World<'_>) -> Vec<StandWay> {
    let (field, graph) = (world.field, world.graph);
    let nothing = Query::default();
    let search = SearchGraph::expand(world, &nothing, &Avoid::default());
    let on: BTreeMap<Directed, NodeIndex> = search
        .graph
        .node_indices()
        .filter_map(|n| match search.graph[n] {
            Place::On(_, d) => Some((d, n)),
            Place::Source | Place::Sink => None,
        })
        .collect();
    let mut list = Vec::new();
    let leaving: Vec<Option<BTreeMap<Directed, u64>>> = (0..field.stands.len())
        .map(|s| {
            let place = graph.stands.iter().find(|p| p.stand == s)?;
            starts(world, place)
        })
        .collect();
    for (runway, r) in field.runways.iter().enumerate() {
        for designator in r.designators.iter().flatten() {
            let closed = resolve::closed_end(field, graph, designator).is_some();
            let ends = match resolve::destination(field, graph, designator) {
                Ok(d) if !closed && d.runway.as_ref().is_some_and(|r| r.0 == runway) => d.ends,
                Ok(_) | Err(_) => BTreeMap::new(),
            };
            let mut to_end = search.clone();
            for (d, extra) in &ends {
                if let Some(n) = on.get(d) {
                    to_end.graph.add_edge(*n, to_end.sink, *extra);
                }
            }
            let exact = Exact::to(&to_end.graph, to_end.sink);
            for (stand, starts) in leaving.iter().enumerate() {
                let first = starts.iter().flatten().filter_map(|(d, extra)| {
                    let n = *on.get(d)?;
                    Some((extra + sum(&world.segment_terms(*d)) + exact.from(n)?, n))
                });
                let way = first.min().map(|(price, n)| (price, to_end.onward(&exact, n)));
                list.push(StandWay {
                    stand,
                    runway,
                    designator: designator.clone(),
                    way,
                });
            }
        }
    }
    list.sort_by_key(|w| w.stand);
    list
}

/// How an aeroplane may leave a stand; `None` when it may not be there or the map's heading lies across the way out. One that
/// is pushed off by hand uses no segment of its stand, and may still not be there.
pub(super) fn starts(world: World<'_>, place: &StandPlace) -> Option<BTreeMap<Directed, u64>> {
    let leaving = departure::of_stand(world, None, place, true).ok()?;
    let kept_off = leaving.pushed.is_some() && !limits::on_stand(world, place.stand).is_empty();
    (!kept_off).then_some(leaving.starts)
}

impl SearchGraph {
    /// The segments of the cheapest way from a place on, by the exact prices.
    fn onward(&self, exact: &Exact, from: NodeIndex) -> Vec<Directed> {
        let mut list = Vec::new();
        let mut at = from;
        while let Place::On(_, d) = self.graph[at] {
            list.push(d);
            let next = self
                .graph
                .edges(at)
                .filter_map(|e| Some((e.weight() + exact.from(e.target())?, e.target())))
                .min();
            match next {
                Some((_, to)) => at = to,
                None => break,
            }
        }
        list
    }
}
