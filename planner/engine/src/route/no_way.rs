//! Why there is no way: the stop that cannot be reached, and the fewest limits that, lifted together, open a way.
//!
//! All limits are lifted and the cheapest way is sought by the number of different limits it breaks first and its price
//! second. Breaking the same limit twice counts once (a closed taxiway may be many segments), so a place of the graph is
//! kept once for every set of limits that no other one there beats.

use super::by::By;
use super::departure::Departure;
use super::search::{Directed, Place, Priced, Query, SearchGraph, World};
use super::{Block, NoWay, limits};
use crate::request::Request;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};
use toeline_model::airfield::Way;

/// How many pairs of a place and a set of limits are looked at before the answer is called not proven (ours).
const MOST_LABELS: usize = 40_000;

/// What a request ends at: `runway "26"`, `holding position "A1"`.
pub(super) fn asked(to: &str) -> String {
    let what = if to.to_lowercase().starts_with("threshold ") {
        "place"
    } else if to.starts_with(|c: char| c.is_ascii_digit()) {
        "runway"
    } else {
        "holding position"
    };
    format!("{what} \"{to}\"")
}

/// Names what has to be lifted.
pub(super) fn no_way(
    world: World<'_>,
    request: &Request,
    search: &SearchGraph,
    query: &Query,
    start: &Departure,
    by: &[By],
) -> NoWay {
    let reached = search.reached(world);
    let layer = reached.iter().map(|r| r.0).max().unwrap_or(0);
    let unreachable = match by.get(layer) {
        Some(By::Area(a)) => format!(
            "engine-check area {}",
            world.field.check_areas[*a].name.as_deref().unwrap_or("without name")
        ),
        Some(By::Stand(place)) => limits::stand_name(world.field, place.stand),
        Some(By::Hold(i)) => format!("holding position {}", world.graph.holds[*i].name),
        None => asked(&request.to),
    };
    let lifted = Lifted::new(world, query);
    let (broken, proven) = lifted.fewest();
    NoWay {
        unreachable,
        from: start.name.clone(),
        blocks: broken.into_iter().map(|i| lifted.limits[i].clone()).collect(),
        fewest: Some(proven),
    }
}

/// The search graph without limits, and which limits each directed segment breaks.
struct Lifted {
    search: SearchGraph,
    limits: Vec<Block>,
    breaks: BTreeMap<Directed, BTreeSet<usize>>,
}

/// Numbers of limits, a bit each.
#[derive(Clone, PartialEq, Eq)]
struct Limits(Vec<u64>);

impl Limits {
    fn none(of: usize) -> Limits {
        Limits(vec![0; of.div_ceil(64)])
    }

    fn insert(&mut self, limit: usize) {
        self.0[limit / 64] |= 1 << (limit % 64);
    }

    fn count(&self) -> u32 {
        self.0.iter().map(|w| w.count_ones()).sum()
    }

    fn within(&self, other: &Limits) -> bool {
        self.0.iter().zip(&other.0).all(|(a, b)| a & !b == 0)
    }
}

/// A way so far: limits broken, and where it comes from.
struct Label {
    at: NodeIndex,
    price: u64,
    broken: Limits,
    before: usize,
}

impl Lifted {
    fn new(world: World<'_>, query: &Query) -> Lifted {
        let World { field, graph, aircraft } = world;
        let mut limits: Vec<Block> = Vec::new();
        let mut known: BTreeMap<String, usize> = BTreeMap::new();
        let mut breaks: BTreeMap<Directed, BTreeSet<usize>> = BTreeMap::new();
        for edge in graph.graph.edge_indices() {
            let s = graph.segment(edge);
            let feature = limits::feature_of(field, s);
            let mut number = |text: String| {
                *known.entry(text.clone()).or_insert_with(|| {
                    limits.push(Block {
                        feature: feature.clone(),
                        text,
                        at: s.line[s.line.len() / 2],
                    });
                    limits.len() - 1
                })
            };
            let both: BTreeSet<usize> = limits::all_limits(field, graph, aircraft, edge)
                .into_iter()
                .map(&mut number)
                .collect();
            for forward in [true, false] {
                let against = if forward { Way::Backward } else { Way::Forward };
                let mut own = both.clone();
                if s.way == against {
                    let name = limits::name_of(field, s);
                    own.insert(number(format!("{name}: one way, and this way goes against it")));
                }
                if !own.is_empty() {
                    breaks.insert(Directed { edge, forward }, own);
                }
            }
        }
        let all = graph.graph.edge_indices().flat_map(|edge| {
            let both = [true, false];
            both.map(|forward| Directed { edge, forward })
        });
        Lifted {
            search: SearchGraph::expand_priced(&Priced::over(world, all.collect()), query),
            limits,
            breaks,
        }
    }

    /// The fewest limits in the order met, and whether that is proven. Nothing when no way would open.
    fn fewest(&self) -> (Vec<usize>, bool) {
        let exact = self.search.exact();
        let Some(least) = exact.from(self.search.source) else {
            return (Vec::new(), true);
        };
        // What each place breaks, looked up for every label that comes to it.
        let breaks: Vec<Limits> = self
            .search
            .graph
            .node_indices()
            .map(|n| {
                let mut own = Limits::none(self.limits.len());
                self.at(n).for_each(|limit| own.insert(limit));
                own
            })
            .collect();
        let mut kept: Vec<Vec<(Limits, u64)>> = vec![Vec::new(); breaks.len()];
        let mut labels = vec![Label {
            at: self.search.source,
            price: 0,
            broken: Limits::none(self.limits.len()),
            before: 0,
        }];
        let mut heap = BinaryHeap::from([Reverse((0, least, 0))]);
        let mut looked = 0;
        while let Some(Reverse((_, _, index))) = heap.pop() {
            let (at, price) = (labels[index].at, labels[index].price);
            if at == self.search.sink {
                return (self.in_order(&labels, index), true);
            }
            looked += 1;
            if looked > MOST_LABELS {
                return (self.cheapest_way(), false);
            }
            for e in self.search.graph.edges(at) {
                let to = e.target();
                let Some(left) = exact.from(to) else { continue };
                let mut broken = labels[index].broken.clone();
                broken
                    .0
                    .iter_mut()
                    .zip(&breaks[to.index()].0)
                    .for_each(|(a, b)| *a |= b);
                let sum = price + e.weight();
                let others = &mut kept[to.index()];
                if others.iter().any(|(b, p)| *p <= sum && b.within(&broken)) {
                    continue;
                }
                others.retain(|(b, p)| !(sum <= *p && broken.within(b)));
                others.push((broken.clone(), sum));
                heap.push(Reverse((broken.count(), sum + left, labels.len())));
                labels.push(Label {
                    at: to,
                    price: sum,
                    broken,
                    before: index,
                });
            }
        }
        (Vec::new(), true)
    }

    /// The limits that a place breaks.
    fn at(&self, n: NodeIndex) -> impl Iterator<Item = usize> {
        let own = match self.search.graph[n] {
            Place::On(_, d) => self.breaks.get(&d),
            Place::Source | Place::Sink => None,
        };
        own.into_iter().flatten().copied()
    }

    /// The limits of a way in the order in which it meets them.
    fn in_order(&self, labels: &[Label], last: usize) -> Vec<usize> {
        let (mut way, mut at) = (vec![labels[last].at], last);
        while at != 0 {
            at = labels[at].before;
            way.push(labels[at].at);
        }
        way.reverse();
        self.broken_on(&way)
    }

    fn broken_on(&self, way: &[NodeIndex]) -> Vec<usize> {
        let mut list = Vec::new();
        for limit in way.iter().flat_map(|n| self.at(*n)) {
            if !list.contains(&limit) {
                list.push(limit);
            }
        }
        list
    }

    /// The limits on the cheapest way of all: a set that would do, when the fewest cannot be proven.
    fn cheapest_way(&self) -> Vec<usize> {
        let way = super::dense::astar(&self.search.graph, self.search.source, self.search.sink, |_| 0);
        way.map_or(Vec::new(), |w| self.broken_on(&w.1))
    }
}
