//! Planning: the answer is checked first, then the time is told, and the search is compared with the A* of a general graph
//! library on the same expanded graph with the same estimate in the same run.
//!
//! `cargo bench -p toeline-tests --bench plan`; the real field needs `TOELINE_OPEN_DATA`.

#![allow(clippy::print_stdout)]

use petgraph::visit::EdgeRef;
use std::time::Instant;
use toeline_engine::planning::{Outcome, alternatives};
use toeline_engine::route::{Avoid, Directed, Query, SearchGraph, World, from_all_stands};
use toeline_engine::{Request, graph, plan, read};
use toeline_model::aircraft::catalog;
use toeline_tests::sketch::Sketch;

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
    toeline_tests::request("trainer-high-2", from, via, to, "240/12T")
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

/// A query of pair `k`, spread over the directed segments that may be used.
fn pair(usable: &[Directed], k: usize) -> Query {
    let (from, to) = (
        usable[(k * 7919) % usable.len()],
        usable[(k * 104_729 + 31) % usable.len()],
    );
    Query {
        starts: [(from, 0)].into_iter().collect(),
        via: Vec::new(),
        ends: [(to, 0)].into_iter().collect(),
    }
}

/// One warm query: our A* and that of `pathfinding`, on the same expanded graph with the same estimate.
fn search(name: &str, text: &str, pairs: usize) {
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
    let mut build = Vec::new();
    for k in 0..pairs {
        let query = pair(&usable, k);
        let begin = Instant::now();
        let expanded = SearchGraph::expand(world, &query, &Avoid::default());
        build.push(begin.elapsed().as_secs_f64());
        let estimate = expanded.estimate(world, &query);
        let astar = || {
            pathfinding::prelude::astar(
                &expanded.source,
                |n| {
                    expanded
                        .graph
                        .edges(*n)
                        .map(|e| (e.target(), *e.weight()))
                        .collect::<Vec<_>>()
                },
                |n| estimate(*n),
                |n| *n == expanded.sink,
            )
            .map(|r| r.1)
        };
        let price = expanded.cheapest(world, &query).map(|r| r.0);
        assert_eq!(price, astar(), "pair {k}");
        if price.is_some() {
            ours += median_s(9, || assert_eq!(expanded.cheapest(world, &query).map(|r| r.0), price));
            theirs += median_s(9, || assert_eq!(astar(), price));
            compared += 1;
        }
    }
    build.sort_by(f64::total_cmp);
    let each = 1e3 / f64::from(compared.max(1));
    println!(
        "{name}: {} segments, {compared} pairs: a warm query takes {:.3} ms, {:.2} of the time of pathfinding's A* ({:.3} ms); the graph \
         is expanded in {:.1} ms",
        taxi_graph.graph.edge_count(),
        ours * each,
        ours / theirs,
        theirs * each,
        build[build.len() / 2] * 1e3,
    );
}

/// Every stand to every runway in one call, against one search for each pair.
fn everywhere(name: &str, text: &str) {
    let field = read::read(text).expect("a field").field;
    let (taxi_graph, _) = graph::build(&field);
    let aircraft = catalog::find("trainer-high-2").expect("built in");
    let world = World {
        field: &field,
        graph: &taxi_graph,
        aircraft: &aircraft,
    };
    let all = from_all_stands(world);
    let ways = all.iter().filter(|w| w.way.is_some()).count();
    assert!(ways > 0, "{name}: no stand has a way");
    let s = median_s(3, || assert_eq!(from_all_stands(world).len(), all.len()));
    println!(
        "{name}: {} pairs of a stand and a runway, {ways} with a way: {:.1} ms in one call, {:.4} ms each",
        all.len(),
        s * 1e3,
        s * 1e3 / all.len() as f64
    );
}

/// Five other ways against the plan itself, which reads, joins and sweeps once; without simulated drives.
fn others(name: &str, text: &str, request: &Request) {
    let request = &request.without_drives();
    let answer = plan(text, request).expect("a plan");
    let offered = alternatives(&answer, 5);
    let one = median_s(5, || assert!(plan(text, request).expect("a plan") == answer));
    let all = median_s(5, || assert_eq!(alternatives(&answer, 5), offered));
    println!(
        "{name}: {} other ways (5 asked) take {:.1} times one plan",
        offered.len(),
        all / one
    );
}

/// A lattice of taxiways with this many lanes between crossings a side, as a map.
fn grid(side: usize) -> String {
    let mut sketch = Sketch::default();
    let step = 80.0;
    let along = |k: usize, across: bool| -> Vec<[f64; 2]> {
        let at = |i: usize| {
            let (a, b) = (i as f64 * step, k as f64 * step);
            if across { [b, a] } else { [a, b] }
        };
        (0..=side).map(at).collect()
    };
    for k in 0..=side {
        sketch = sketch.taxiway(&format!("e{k}"), &format!("E{k}"), &along(k, false));
        sketch = sketch.taxiway(&format!("n{k}"), &format!("N{k}"), &along(k, true));
    }
    sketch.text()
}

fn main() {
    let demo = toeline_tests::demo_field();
    whole("demo field", &demo, &request("4", &["E"], "26"));
    others("demo field", &demo, &request("4", &["E"], "26"));
    search("demo field", &demo, 20);
    everywhere("demo field", &demo);
    if let Some(path) = toeline_tests::open_data("airfields/hubs/eddf-frankfurt-2023-08.geojson") {
        let text = std::fs::read_to_string(path).expect("read");
        whole("Frankfurt", &text, &request("V 117", &[], "25C"));
        others("Frankfurt", &text, &request("V 117", &[], "25C"));
        search("Frankfurt", &text, 20);
        everywhere("Frankfurt", &text);
    }
    // 2 * side * (side + 1) segments: 1e3, 1e4 and 1e5.
    for side in [22, 70, 223] {
        search(&format!("lattice of side {side}"), &grid(side), 5);
    }
}
