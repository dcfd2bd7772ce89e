//! Closures that a way goes around: what it would have used, had they not been in force.

use crate::read;
use crate::request::Request;
use crate::route::{self, Avoid, Place, World};
use toeline_model::units::round_to;

/// The closures in force that keep the way off the cheapest one, each in a sentence with what going around costs, in the
/// order in which the cheapest way would meet them; empty when that way is open. By the price alone, whatever the wings say,
/// as closures are lifted in thought. What is out of use by a lifecycle marker is no closure to go around: it is gone.
pub(super) fn gone_around(world: World<'_>, request: &Request, declination_deg: f64) -> Vec<String> {
    let World { field, graph, aircraft } = world;
    let closed: Vec<_> = graph
        .graph
        .edge_indices()
        .filter(|e| {
            graph
                .segment(*e)
                .closed
                .as_deref()
                .is_none_or(|why| !read::is_marker(why))
        })
        .map(|e| (e, route::closures_on(field, graph, e)))
        .filter(|(_, closures)| !closures.is_empty())
        .collect();
    if closed.is_empty() {
        return Vec::new();
    }
    let mut open_graph = graph.clone();
    for (e, _) in &closed {
        open_graph.graph[*e].closed = None;
    }
    let mut open_field = field.clone();
    open_field.closures.clear();
    let open = World {
        field: &open_field,
        graph: &open_graph,
        aircraft,
    };
    let cheapest = |world: World<'_>| {
        let ready = route::searching(world, request, declination_deg, &Avoid::default())
            .ok()?
            .ok()?;
        let found = ready.first()?;
        let on = |place: Place| match place {
            Place::On(_, d) => Some(d.edge),
            Place::Source | Place::Sink => None,
        };
        let edges: Vec<_> = found.places.iter().filter_map(|n| on(ready.search.graph[*n])).collect();
        Some((found.price_ms, edges))
    };
    let Some((open_ms, edges)) = cheapest(open) else {
        return Vec::new();
    };
    // Mostly no closed segment would be used: nothing to compare with then.
    if !closed.iter().any(|(c, _)| edges.contains(c)) {
        return Vec::new();
    }
    let Some((price_ms, _)) = cheapest(world).filter(|(price_ms, _)| *price_ms > open_ms) else {
        return Vec::new();
    };
    let more_s = round_to((price_ms - open_ms) as f64 / 1000.0, 0);
    let mut list: Vec<String> = Vec::new();
    for e in edges {
        for text in closed
            .iter()
            .filter(|(c, _)| *c == e)
            .flat_map(|(_, closures)| closures)
        {
            let text = format!("{text}: the cheapest way leads there; going around it costs {more_s:.0} s more");
            if !list.contains(&text) {
                list.push(text);
            }
        }
    }
    list
}
