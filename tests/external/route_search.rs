//! The price of a way against a general graph library: the expanded graph is built again here from the taxi graph and the
//! two cost functions, and searched by the plain Dijkstra of the `pathfinding` crate.

use super::python::{answer, python};
use petgraph::visit::EdgeRef;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use toeline_engine::graph::{self, TaxiGraph};
use toeline_engine::route::{Avoid, Barred, Directed, Query, SearchGraph, Via, World};
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

/// The expanded graph of a query, for another program.
fn edges(search: &SearchGraph) -> Value {
    let edges: Vec<[u64; 3]> = search
        .graph
        .edge_references()
        .map(|e| [e.source().index() as u64, e.target().index() as u64, *e.weight()])
        .collect();
    json!({ "edges": edges, "source": search.source.index(), "sink": search.sink.index() })
}

/// Expanded graphs of a field for pairs spread over it, with our price of each.
fn asked(text: &str, pairs: usize) -> Vec<(Value, Option<u64>)> {
    let field = toeline_engine::read::read(text).unwrap().field;
    let (taxi_graph, _) = graph::build(&field);
    let aircraft = catalog::find("trainer-high-2").unwrap();
    let world = World {
        field: &field,
        graph: &taxi_graph,
        aircraft: &aircraft,
    };
    let all = usable(world);
    let one = |k: usize| {
        let (from, to) = (all[(k * 7919) % all.len()], all[(k * 104_729 + 31) % all.len()]);
        let query = Query {
            starts: [(from, 0)].into_iter().collect(),
            via: Vec::new(),
            ends: [(to, 0)].into_iter().collect(),
        };
        let search = SearchGraph::expand(world, &query, &Avoid::default());
        let price = search.cheapest(world, &query).map(|r| r.0);
        // The same by a search backward, and by the search that bars nothing.
        let exact = search.exact();
        assert_eq!(exact.from(search.source), price);
        let by_barred = Barred::default()
            .cheapest(&search, &exact, &mut 1_000_000)
            .expect("within its limit");
        assert_eq!(by_barred.map(|r| r.0), price);
        let theirs = pathfinding::prelude::dijkstra(
            &search.source,
            |n| {
                let next = search.graph.edges(*n).map(|e| (e.target(), *e.weight()));
                next.collect::<Vec<_>>()
            },
            |n| *n == search.sink,
        );
        assert_eq!(theirs.map(|t| t.1), price, "pair {k}");
        (edges(&search), price)
    };
    (0..pairs).map(one).collect()
}

fn against_networkx(asked: Vec<(Value, Option<u64>)>) {
    let Some(python) = python() else { return };
    let graphs: Vec<&Value> = asked.iter().map(|a| &a.0).collect();
    let theirs = answer(&python, "cheapest.py", &json!(graphs));
    let theirs = theirs.as_array().unwrap();
    assert_eq!(theirs.len(), asked.len());
    for (k, ((_, ours), theirs)) in asked.iter().zip(theirs).enumerate() {
        assert_eq!(*ours, theirs.as_u64(), "graph {k}");
    }
    let found = asked.iter().filter(|a| a.1.is_some()).count();
    assert!(found * 3 > asked.len(), "only {found} of {} have a way", asked.len());
}

#[test]
fn prices_equal_those_of_networkx_on_random_lattices_and_on_the_demo_field() {
    // A fixed sequence (the multiplier and increment of Knuth's MMIX), so that every run asks the same.
    let mut state = 7_u64;
    let mut next = |n: u64| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % n
    };
    let mut all = asked(&toeline_tests::demo_field(), 25);
    for _ in 0..30 {
        let skewed: Vec<(f64, f64)> = (0..9)
            .map(|_| (next(30) as f64 - 15.0, next(30) as f64 - 15.0))
            .collect();
        let tags: Vec<Option<Value>> = (0..toeline_tests::lattice::LANES)
            .map(|_| match next(8) {
                0 => None,
                1 => Some(json!({ "oneway": "yes" })),
                2 => Some(json!({ "oneway": "-1" })),
                3 => Some(json!({ "maxspeed": "5 knots" })),
                _ => Some(json!({})),
            })
            .collect();
        let text = toeline_tests::lattice::with_tags(70.0, &skewed, |k| tags[k].clone(), |s, _| s);
        all.extend(asked(&text, 4));
    }
    against_networkx(all);
}

#[test]
fn prices_equal_those_of_networkx_on_a_real_field() {
    let Some(path) = toeline_tests::open_data("airfields/hubs/lfbo-toulouse-2021-01.geojson") else {
        return;
    };
    against_networkx(asked(&std::fs::read_to_string(path).unwrap(), 8));
}
