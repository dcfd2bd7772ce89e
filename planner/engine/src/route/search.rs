//! The search graph: its nodes are directed segments, its edges are turns, because the price of a way depends on the
//! turns in it. One layer for each place to go by, so that one search finds the cheapest whole way.

use super::dense::{self, Exact};
use super::{cost, limits};
use crate::graph::{Source, TaxiGraph};
use petgraph::graph::{DiGraph, EdgeIndex, NodeIndex};
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::airfield::{Airfield, Way};
use toeline_model::frame::Xy;
use toeline_model::{Aircraft, Yaw};

/// A segment with the sense in which it is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Directed {
    /// The segment.
    pub edge: EdgeIndex,
    /// True: from the first point of its line to the last.
    pub forward: bool,
}

impl Directed {
    /// The same segment the other way.
    pub(super) fn reversed(self) -> Directed {
        Directed {
            edge: self.edge,
            forward: !self.forward,
        }
    }

    /// Line in the direction of travel, local metres.
    pub fn line(self, graph: &TaxiGraph) -> Vec<Xy> {
        let line = &graph.segment(self.edge).line;
        if self.forward {
            line.clone()
        } else {
            line.iter().rev().copied().collect()
        }
    }

    /// Node it starts at.
    pub fn start(self, graph: &TaxiGraph) -> NodeIndex {
        let s = graph.segment(self.edge);
        if self.forward { s.from } else { s.to }
    }

    /// Node it ends at.
    pub fn end(self, graph: &TaxiGraph) -> NodeIndex {
        let s = graph.segment(self.edge);
        if self.forward { s.to } else { s.from }
    }

    /// Direction in which it sets off.
    pub fn sets_off(self, graph: &TaxiGraph) -> Yaw {
        let line = &graph.segment(self.edge).line;
        let n = line.len();
        if self.forward {
            (line[1] - line[0]).direction()
        } else {
            (line[n - 2] - line[n - 1]).direction()
        }
    }

    /// Direction in which it arrives.
    pub fn arrives(self, graph: &TaxiGraph) -> Yaw {
        let line = &graph.segment(self.edge).line;
        let n = line.len();
        if self.forward {
            (line[n - 1] - line[n - 2]).direction()
        } else {
            (line[0] - line[1]).direction()
        }
    }
}

/// Segments that are not to be used, as if they were not on the map: another way than one that uses them is looked for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Avoid {
    /// Directed segments.
    pub segments: BTreeSet<Directed>,
    /// How many of the best ways to stand for the engine check to pass over.
    pub check_stands: usize,
}

/// A node of the search graph.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Before the first segment.
    Source,
    /// A directed segment, with the number of places already gone by.
    On(usize, Directed),
    /// After the last.
    Sink,
}

/// How a place is gone by.
#[derive(Clone, Debug, PartialEq)]
pub enum Via {
    /// On any of these directed segments.
    Passing(BTreeSet<Directed>),
    /// In by the first and on by the second directed segment, which need not meet (a push back by hand), with the extra
    /// price, milliseconds.
    Turning(BTreeMap<(Directed, Directed), u64>),
}

/// What the search is asked.
#[derive(Clone, Debug, Default)]
pub struct Query {
    /// Directed segments the way may begin with, and the extra price of beginning so, milliseconds.
    pub starts: BTreeMap<Directed, u64>,
    /// Places to go by, in order.
    pub via: Vec<Via>,
    /// Directed segments the way may end with, and the extra price of ending there, milliseconds.
    pub ends: BTreeMap<Directed, u64>,
}

/// The graph that is searched, weights in milliseconds.
#[derive(Clone, Debug)]
pub struct SearchGraph {
    /// Directed segments in layers, joined by turns; the weight of an edge is the turn plus the segment it leads to.
    pub graph: DiGraph<Place, u64>,
    /// Where the way begins.
    pub source: NodeIndex,
    /// Where it ends.
    pub sink: NodeIndex,
}

/// Everything that prices and limits a way.
#[derive(Clone, Copy)]
pub struct World<'a> {
    /// The airfield.
    pub field: &'a Airfield,
    /// Its graph.
    pub graph: &'a TaxiGraph,
    /// The aeroplane.
    pub aircraft: &'a Aircraft,
}

impl World<'_> {
    /// Terms for running along a segment.
    pub fn segment_terms(&self, d: Directed) -> Vec<(String, u64)> {
        let s = self.graph.segment(d.edge);
        let name = limits::name_of(self.field, s);
        let mut terms = cost::segment_cost(self.aircraft, s, d.forward, &self.field.hot_spots, &name);
        terms.extend(cost::helipad_cost(self.aircraft, s, d.forward, &self.field.helipads));
        terms
    }

    /// Terms for going from one segment to the next, a runway at the node included; `None` when that turn is not made.
    pub fn turn_terms(&self, from: Directed, to: Directed) -> Option<Vec<(String, u64)>> {
        let (a, b) = (self.graph.segment(from.edge), self.graph.segment(to.edge));
        let left = from.arrives(self.graph).to_rad(to.sets_off(self.graph));
        let mut terms = cost::turn_cost(self.aircraft, a, b, left)?;
        let node = from.end(self.graph);
        let runway = self.graph.graph.edges(node).find_map(|e| match e.weight().source {
            Source::Runway(i) => Some(limits::runway_name(self.field, i)),
            _ => None,
        });
        terms.extend(cost::runway_cost(a, b, runway.as_deref()));
        Some(terms)
    }

    /// Directed segments that this aeroplane may use, in a fixed order.
    pub fn usable(&self, avoid: &Avoid) -> Vec<Directed> {
        let mut list = Vec::new();
        for edge in self.graph.graph.edge_indices() {
            if limits::blocked(self.field, self.graph, self.aircraft, edge).is_some() {
                continue;
            }
            let way = self.graph.segment(edge).way;
            for forward in [true, false] {
                let against = if forward { Way::Backward } else { Way::Forward };
                let d = Directed { edge, forward };
                if way != against && !avoid.segments.contains(&d) {
                    list.push(d);
                }
            }
        }
        list
    }
}

pub(super) fn sum(terms: &[(String, u64)]) -> u64 {
    terms.iter().map(|t| t.1).sum()
}

/// What this aeroplane may use of a field, with every price worked out once: many searches for one aeroplane share it.
#[derive(Clone, Debug)]
pub struct Priced {
    usable: Vec<Directed>,
    price: BTreeMap<Directed, u64>,
    /// Turns with the price of turn and segment turned into, in the order in which they become edges.
    turns: Vec<(Directed, Directed, u64)>,
}

impl Priced {
    /// Prices every segment and turn that the aeroplane of a world may use.
    pub fn new(world: World<'_>) -> Priced {
        Priced::over(world, world.usable(&Avoid::default()))
    }

    /// The same over these directed segments, whatever their limits.
    pub(super) fn over(world: World<'_>, usable: Vec<Directed>) -> Priced {
        let price: BTreeMap<Directed, u64> = usable.iter().map(|d| (*d, sum(&world.segment_terms(*d)))).collect();
        let mut leaving: BTreeMap<NodeIndex, Vec<Directed>> = BTreeMap::new();
        for d in &usable {
            leaving.entry(d.start(world.graph)).or_default().push(*d);
        }
        let mut turns = Vec::new();
        for from in &usable {
            for to in leaving.get(&from.end(world.graph)).into_iter().flatten() {
                if to.edge == from.edge {
                    continue;
                }
                if let Some(terms) = world.turn_terms(*from, *to) {
                    turns.push((*from, *to, sum(&terms) + price[to]));
                }
            }
        }
        Priced { usable, price, turns }
    }
}

impl SearchGraph {
    /// Expands the taxi graph for a query.
    pub fn expand(world: World<'_>, query: &Query, avoid: &Avoid) -> SearchGraph {
        SearchGraph::expand_priced(&Priced::over(world, world.usable(avoid)), query)
    }

    /// The same from prices worked out before.
    pub fn expand_priced(priced: &Priced, query: &Query) -> SearchGraph {
        let Priced { usable, price, turns } = priced;
        let layers = query.via.len() + 1;
        let mut graph = DiGraph::new();
        let source = graph.add_node(Place::Source);
        let sink = graph.add_node(Place::Sink);
        let mut index: Vec<BTreeMap<Directed, NodeIndex>> = Vec::with_capacity(layers);
        for layer in 0..layers {
            index.push(
                usable
                    .iter()
                    .map(|d| (*d, graph.add_node(Place::On(layer, *d))))
                    .collect(),
            );
        }
        for (d, extra) in &query.starts {
            if let Some(n) = index[0].get(d) {
                graph.add_edge(source, *n, extra + price[d]);
            }
        }
        for (from, to, price) in turns {
            for layer in &index {
                graph.add_edge(layer[from], layer[to], *price);
            }
        }
        for (layer, via) in query.via.iter().enumerate() {
            let mut join = |from: &Directed, to: &Directed, cost_ms: u64| {
                if let (Some(a), Some(b)) = (index[layer].get(from), index[layer + 1].get(to)) {
                    graph.add_edge(*a, *b, cost_ms);
                }
            };
            match via {
                Via::Passing(on) => on.iter().for_each(|d| join(d, d, 0)),
                Via::Turning(turns) => {
                    for ((from, to), extra) in turns {
                        join(from, to, extra + price.get(to).copied().unwrap_or(0));
                    }
                }
            }
        }
        for (d, extra) in &query.ends {
            if let Some(n) = index[layers - 1].get(d) {
                graph.add_edge(*n, sink, *extra);
            }
        }
        SearchGraph { graph, source, sink }
    }

    /// Cheapest way: its price and its places in order, source and sink included. A* with the straight-line time at the
    /// greatest taxi speed as estimate, which never overestimates.
    pub fn cheapest(&self, world: World<'_>, query: &Query) -> Option<(u64, Vec<Place>)> {
        let (price, nodes) = dense::astar(&self.graph, self.source, self.sink, self.estimate(world, query))?;
        Some((price, nodes.into_iter().map(|n| self.graph[n]).collect()))
    }

    /// The estimate that [`SearchGraph::cheapest`] is led by: milliseconds from a place to the nearest end, never more than
    /// the true price.
    pub fn estimate(&self, world: World<'_>, query: &Query) -> impl Fn(NodeIndex) -> u64 {
        let goals: Vec<Xy> = query.ends.keys().map(|d| world.graph.at(d.end(world.graph))).collect();
        let taxi = &world.aircraft.taxi;
        let top_mps = taxi.straight_kt.max(taxi.apron_kt) * toeline_model::units::KNOT_MPS;
        move |n: NodeIndex| match self.graph[n] {
            Place::On(_, d) => {
                let at = world.graph.at(d.end(world.graph));
                let nearest = goals.iter().map(|g| g.distance(at)).fold(f64::INFINITY, f64::min);
                // Prices are rounded up and the estimate down.
                if nearest.is_finite() {
                    (nearest / top_mps * 1000.0).floor() as u64
                } else {
                    0
                }
            }
            Place::Source | Place::Sink => 0,
        }
    }

    /// The true price from every place to the end, by one search backward: the best estimate for many searches.
    pub fn exact(&self) -> Exact {
        Exact::to(&self.graph, self.sink)
    }

    /// Taxi-graph nodes that can be reached from the source at all, with the layer, in a fixed order.
    pub fn reached(&self, world: World<'_>) -> BTreeSet<(usize, NodeIndex)> {
        let mut search = petgraph::visit::Dfs::new(&self.graph, self.source);
        let mut set = BTreeSet::new();
        while let Some(n) = search.next(&self.graph) {
            if let Place::On(layer, d) = self.graph[n] {
                set.insert((layer, d.end(world.graph)));
            }
        }
        set
    }
}
