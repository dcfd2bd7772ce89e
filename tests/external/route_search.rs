//! The price of a way against a general graph library: the expanded graph is built again here from the taxi graph and the
//! two cost functions, and searched by the plain Dijkstra of the `pathfinding` crate.

use std::collections::BTreeSet;
use toeline_engine::graph::{self, TaxiGraph};
use toeline_engine::route::{Avoid, Directed, Query, SearchGraph, Via, World};
use toeline_model::aircraft::catalog;

fn sum(terms: &[(String, u64)]) -> u64 {
    terms.iter().map(|t| t.1).sum()
}

/// Every directed segment that may be used, by the public limit function and the segment's own sense.
fn usable(world: World<'_>) -> Vec<Directed> {
    use toeline_model::airfield::Way;
    let mut list = Vec::new();
    for edge in world.graph.graph.edge_indices() {
        if toeline_engine::route::blocked(world.field, world.graph, world.aircraft, edge).is_none() {
            let way = world.graph.segment(edge).way;
            if way != Way::Backward {
                list.push(Directed { edge, forward: true });
            }
            if way != Way::Forward {
                list.push(Directed { edge, forward: false });
            }
        }
    }
    list
}

fn compare(field_text: &str, pairs: usize) -> usize {
    let field = toeline_engine::read::read(field_text).unwrap().field;
    let (taxi_graph, _): (TaxiGraph, _) = graph::build(&field);
    let aircraft = catalog::find("trainer-high-2").unwrap();
    let world = World {
        field: &field,
        graph: &taxi_graph,
        aircraft: &aircraft,
    };
    let all = usable(world);
    let mut found = 0;
    for k in 0..pairs {
        // A fixed spread over the list: no randomness, and no pair chosen for its answer.
        let (from, to) = (all[(k * 7919) % all.len()], all[(k * 104_729 + 31) % all.len()]);
        let middle = all[(k * 1_299_709 + 7) % all.len()];
        let query = Query {
            starts: [(from, 0)].into_iter().collect(),
            via: vec![Via::Passing(BTreeSet::from([middle]))],
            ends: [(to, 0)].into_iter().collect(),
        };
        let ours = SearchGraph::expand(world, &query, &Avoid::default())
            .cheapest(world, &query)
            .map(|r| r.0);
        let theirs = pathfinding::prelude::dijkstra(
            &(0_usize, from),
            |(layer, d)| {
                let mut next: Vec<((usize, Directed), u64)> = Vec::new();
                for to in all
                    .iter()
                    .filter(|t| t.start(&taxi_graph) == d.end(&taxi_graph) && t.edge != d.edge)
                {
                    if let Some(turn) = world.turn_terms(*d, *to) {
                        next.push(((*layer, *to), sum(&turn) + sum(&world.segment_terms(*to))));
                    }
                }
                if *layer == 0 && *d == middle {
                    next.push(((1, *d), 0));
                }
                next
            },
            |s| *s == (1, to),
        )
        .map(|(_, price)| price + sum(&world.segment_terms(from)));
        assert_eq!(ours, theirs, "from {from:?} by {middle:?} to {to:?}");
        found += usize::from(ours.is_some());
    }
    found
}

#[test]
fn on_the_demo_field_every_price_equals_dijkstras() {
    let found = compare(&toeline_tests::demo_field(), 200);
    assert!(
        found > 50,
        "only {found} of 200 pairs are joined: too few to mean anything"
    );
}

#[test]
fn on_a_large_real_field_every_price_equals_dijkstras() {
    let Some(path) = toeline_tests::open_data("airfields/hubs/lfbo-toulouse-2021-01.geojson") else {
        return;
    };
    let found = compare(&std::fs::read_to_string(path).unwrap(), 20);
    assert!(found > 5, "only {found} of 20 pairs are joined");
}
