//! Planning: the answer is checked first, then the time is told, and the search is compared with the plain Dijkstra of a
//! general graph library on the same expanded graph in the same run.
//!
//! `cargo bench -p toeline-tests --bench plan`; the real field needs `TOELINE_OPEN_DATA`.

#![allow(clippy::print_stdout)]

use petgraph::visit::EdgeRef;
use std::time::Instant;
use toeline_engine::planning::Outcome;
use toeline_engine::route::{Avoid, Query, SearchGraph, World};
use toeline_engine::{Request, graph, plan, read};
use toeline_model::Wind;
use toeline_model::aircraft::catalog;
use toeline_model::date::Date;

/// Median of the seconds that some runs take.
fn median_s(runs: usize, mut f: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..runs)
        .map(|_| {
            let begin = Instant::now();
            f();
            begin.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[runs / 2]
}

fn request(from: &str, via: &[&str], to: &str) -> Request {
    Request {
        aircraft: catalog::find("trainer-high-2").expect("built in"),
        from: from.to_string(),
        parked_heading: None,
        via: via.iter().map(|v| v.to_string()).collect(),
        to: to.to_string(),
        wind: Wind::parse("240/12T").expect("a wind"),
        date: Date::parse("2026-07-04").expect("a day"),
        margin_m: 3.0,
        vertical_margin_m: 0.5,
        accuracy_m: None,
        rule: Default::default(),
        instruction: None,
        time_utc: None,
        odds: toeline_engine::odds::OddsAsked::default(),
    }
}

fn whole(name: &str, text: &str, request: &Request) {
    let answer = plan(text, request).expect("a plan");
    let Outcome::Way(way) = &answer.outcome else {
        panic!("{name}: no way")
    };
    let length = way.route.path.length_m();
    assert!(length > 100.0);
    let s = median_s(9, || {
        let again = plan(text, request).expect("a plan");
        assert!(again == answer, "the same question got another answer");
    });
    println!(
        "{name}: plan of {length:.0} m, {} obstacles: {:.0} ms",
        way.clearance.considered.len(),
        s * 1000.0
    );
}

fn search(name: &str, text: &str) {
    let field = read::read(text).expect("a field").field;
    let (taxi_graph, _) = graph::build(&field);
    let aircraft = catalog::find("trainer-high-2").expect("built in");
    let world = World {
        field: &field,
        graph: &taxi_graph,
        aircraft: &aircraft,
    };
    let usable = world.usable(&Avoid::default());
    let (mut ours, mut theirs, mut compared) = (0.0, 0.0, 0);
    for k in 0..20_usize {
        let (from, to) = (
            usable[(k * 7919) % usable.len()],
            usable[(k * 104_729 + 31) % usable.len()],
        );
        let query = Query {
            starts: vec![from],
            via: Vec::new(),
            ends: [(to, 0)].into_iter().collect(),
        };
        let expanded = SearchGraph::expand(world, &query, &Avoid::default());
        let dijkstra = || {
            pathfinding::prelude::dijkstra(
                &expanded.source,
                |n| {
                    expanded
                        .graph
                        .edges(*n)
                        .map(|e| (e.target(), *e.weight()))
                        .collect::<Vec<_>>()
                },
                |n| *n == expanded.sink,
            )
            .map(|r| r.1)
        };
        let price = expanded.cheapest(world, &query).map(|r| r.0);
        assert_eq!(price, dijkstra(), "pair {k}");
        if price.is_some() {
            ours += median_s(5, || assert_eq!(expanded.cheapest(world, &query).map(|r| r.0), price));
            theirs += median_s(5, || assert_eq!(dijkstra(), price));
            compared += 1;
        }
    }
    println!(
        "{name}: search over {compared} pairs takes {:.2} of the time of pathfinding's Dijkstra",
        ours / theirs
    );
}

fn main() {
    let demo = toeline_tests::demo_field();
    whole("demo field", &demo, &request("4", &["E"], "26"));
    search("demo field", &demo);
    if let Some(path) = toeline_tests::open_data("airfields/hubs/eddf-frankfurt-2023-08.geojson") {
        let text = std::fs::read_to_string(path).expect("read");
        whole("Frankfurt", &text, &request("V 117", &[], "25C"));
        search("Frankfurt", &text);
    }
}
