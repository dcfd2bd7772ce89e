//! What can be reached at all from any stand: holding positions and engine-check areas.

use super::search::{Avoid, Directed, Place, Query, SearchGraph, World};
use super::{everywhere, limits, resolve};
use std::collections::BTreeSet;

/// Places that an aeroplane can come to from at least one stand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reached {
    /// Indices in the airfield's holding positions.
    pub holding_positions: BTreeSet<usize>,
    /// Indices in the airfield's engine-check areas.
    pub check_areas: BTreeSet<usize>,
}

/// The mapped holding positions and engine-check areas that this aeroplane can come to from any stand, by one search
/// forward. Limits are those of [`super::blocked`]; the wings are not looked at. A stand without a heading is taken with
/// its nose out.
pub fn reached_from_stands(world: World<'_>) -> Reached {
    let (field, graph) = (world.field, world.graph);
    let mut query = Query::default();
    for place in &graph.stands {
        query
            .starts
            .extend(everywhere::starts(world, place).into_iter().flatten());
    }
    let search = SearchGraph::expand(world, &query, &Avoid::default());
    let mut dfs = petgraph::visit::Dfs::new(&search.graph, search.source);
    let mut on: BTreeSet<Directed> = BTreeSet::new();
    while let Some(n) = dfs.next(&search.graph) {
        if let Place::On(_, d) = search.graph[n] {
            on.insert(d);
        }
    }
    let mut out = Reached::default();
    for hold in &graph.holds {
        let Some(p) = hold.position else { continue };
        let open = limits::hold_closed(field, p).is_none();
        if open && resolve::arriving(graph, hold).iter().any(|d| on.contains(d)) {
            out.holding_positions.insert(p);
        }
    }
    for (i, area) in field.check_areas.iter().enumerate() {
        let open = limits::area_closed(field, i).is_none();
        if open && resolve::segments_at(graph, &area.outer).iter().any(|d| on.contains(d)) {
            out.check_areas.insert(i);
        }
    }
    out
}
