//! Cheapest ways in a directed graph with whole prices: A* on plain tables, and the exact prices to one place.
//!
//! Ties are broken by the number of the place, so that the same graph gives the same way on every machine.

use petgraph::Direction;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// A price that stands for "not at all".
const NEVER: u64 = u64::MAX;

/// The price from every place to one place.
#[derive(Clone, Debug)]
pub struct Exact(Vec<u64>);

impl Exact {
    /// By plain Dijkstra against the edges.
    pub fn to<N>(graph: &DiGraph<N, u64>, goal: NodeIndex) -> Exact {
        let mut price = vec![NEVER; graph.node_count()];
        price[goal.index()] = 0;
        let mut heap = BinaryHeap::from([Reverse((0, goal))]);
        while let Some(Reverse((p, n))) = heap.pop() {
            if p > price[n.index()] {
                continue;
            }
            for e in graph.edges_directed(n, Direction::Incoming) {
                let (from, q) = (e.source(), p + e.weight());
                if q < price[from.index()] {
                    price[from.index()] = q;
                    heap.push(Reverse((q, from)));
                }
            }
        }
        Exact(price)
    }

    /// The price from a place, milliseconds; `None` when the goal cannot be reached from it.
    pub fn from(&self, n: NodeIndex) -> Option<u64> {
        self.0.get(n.index()).copied().filter(|p| *p != NEVER)
    }
}

/// The cheapest way between two places: its price and its places in order. The estimate must never be more than the true
/// price, nor fall by more than the price of an edge along it.
pub(super) fn astar<N>(
    graph: &DiGraph<N, u64>,
    source: NodeIndex,
    goal: NodeIndex,
    estimate: impl Fn(NodeIndex) -> u64,
) -> Option<(u64, Vec<NodeIndex>)> {
    let n = graph.node_count();
    let (mut price, mut before, mut guess) = (vec![NEVER; n], vec![source; n], vec![NEVER; n]);
    price[source.index()] = 0;
    let mut heap = BinaryHeap::from([Reverse((estimate(source), source, 0))]);
    while let Some(Reverse((_, at, p))) = heap.pop() {
        if p > price[at.index()] {
            continue;
        }
        if at == goal {
            let mut way = vec![goal];
            let mut last = goal;
            while last != source {
                last = before[last.index()];
                way.push(last);
            }
            way.reverse();
            return Some((p, way));
        }
        for e in graph.edges(at) {
            let (to, q) = (e.target(), p + e.weight());
            let i = to.index();
            if q < price[i] {
                price[i] = q;
                before[i] = at;
                if guess[i] == NEVER {
                    guess[i] = estimate(to);
                }
                heap.push(Reverse((q + guess[i], to, q)));
            }
        }
    }
    None
}
