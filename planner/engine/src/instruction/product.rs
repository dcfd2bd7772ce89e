//! The search for the cheapest way that is exactly what was said: the route stage's directed segments and turns, times the
//! place in the instruction.
//!
//! A state is a directed segment with the number of areas gone by, the number of pieces of the instruction begun, whether
//! a link without a letter is being used, and which words about runways have been used up. The length of the link in use is
//! limited, so the search keeps, for each state, every pair of price and link length that no other pair beats in both.

use super::meaning::{Element, Meaning, RunwayWord};
use super::names::Names;
use crate::graph::{Segment, Source};
use crate::route::{Avoid, Directed, Query, Via, World};
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};
use toeline_model::Xy;
use toeline_model::airfield::LaneKind;

/// Longest link without a letter between two taxiways that were said, or before the end, metres (ours). Real maps draw the
/// rounded corners between taxiways as such links; at the largest field measured they have a median of 66 m.
pub const BETWEEN_LETTERS_M: f64 = 200.0;
/// Longest way from the stand to the first taxiway that was said, by taxilanes and links without a letter, metres (ours).
pub const TO_FIRST_LETTER_M: f64 = 1000.0;
/// Price of a turn sharper than any that is made, where the search looks for what is wrong, milliseconds.
const TOO_SHARP_MS: u64 = 600_000;

/// Which rules are lifted, to find what is wrong.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Lifted {
    /// Words about runways that are never met.
    pub(super) words: bool,
    /// Runways crossed without a word.
    pub(super) crossings: bool,
    /// Closures, one-way, span, width, surface.
    pub(super) limits: bool,
    /// Other taxiways between those said, and long links.
    pub(super) gaps: bool,
}

/// A state of the search.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct State {
    /// Areas gone by.
    pub(super) layer: usize,
    /// Pieces of the instruction begun.
    pub(super) step: usize,
    /// On a link between pieces.
    pub(super) link: bool,
    /// Words about runways used, one bit each.
    pub(super) used: u32,
    pub(super) on: Directed,
}

/// A place where a piece of the instruction must not begin, to look for another.
#[derive(Clone, Copy, Debug)]
pub(super) struct NotAt {
    /// Number of the piece, from 1.
    pub(super) step: usize,
    pub(super) at: Xy,
    pub(super) within_m: f64,
}

/// The search.
pub(super) struct Product<'a> {
    pub(super) world: World<'a>,
    pub(super) names: &'a Names<'a>,
    pub(super) meaning: &'a Meaning,
    pub(super) query: &'a Query,
    pub(super) avoid: &'a Avoid,
    pub(super) lifted: Lifted,
    pub(super) not_at: Option<NotAt>,
    /// Dearer ways than this are not looked for, milliseconds.
    pub(super) up_to_ms: Option<u64>,
}

struct Label {
    price: u64,
    state: State,
    before: Option<usize>,
}

type Turns = BTreeMap<(Directed, Directed), Option<u64>>;

impl Product<'_> {
    /// Cheapest way: its price and its states in order.
    pub(super) fn cheapest(&self) -> Option<(u64, Vec<State>)> {
        let graph = self.world.graph;
        let usable: BTreeSet<Directed> = if self.lifted.limits {
            let both = |edge| [true, false].map(|forward| Directed { edge, forward });
            graph.graph.edge_indices().flat_map(both).collect()
        } else {
            self.world.usable(self.avoid).into_iter().collect()
        };
        let mut leaving: BTreeMap<NodeIndex, Vec<Directed>> = BTreeMap::new();
        for d in &usable {
            leaving.entry(d.start(graph)).or_default().push(*d);
        }
        let price: BTreeMap<Directed, u64> = usable
            .iter()
            .map(|d| (*d, sum(&self.world.segment_terms(*d))))
            .collect();
        let mut turns: Turns = BTreeMap::new();
        let mut labels: Vec<Label> = Vec::new();
        let mut heap = BinaryHeap::new();
        let mut settled: BTreeMap<State, Vec<u64>> = BTreeMap::new();
        let mut best: Option<(u64, usize)> = None;
        for (d, extra) in self.query.starts.iter().filter(|(d, _)| usable.contains(d)) {
            for (state, link_mm) in self.moves(None, *d, 0) {
                labels.push(Label {
                    price: extra + price[d],
                    state,
                    before: None,
                });
                heap.push(Reverse((extra + price[d], link_mm, labels.len() - 1)));
            }
        }
        while let Some(Reverse((so_far, link_mm, label))) = heap.pop() {
            if best.is_some_and(|b| b.0 <= so_far) || self.up_to_ms.is_some_and(|most| so_far > most) {
                break;
            }
            let state = labels[label].state;
            let links = settled.entry(state).or_default();
            if links.iter().any(|l| *l <= link_mm) {
                continue;
            }
            links.push(link_mm);
            if let Some(extra) = self.accepts(state)
                && best.is_none_or(|b| so_far + extra < b.0)
            {
                best = Some((so_far + extra, label));
            }
            let mut next: Vec<(State, u64, u64)> = Vec::new();
            let layer = state.layer + 1;
            match self.query.via.get(state.layer) {
                Some(Via::Passing(on)) if on.contains(&state.on) => next.push((State { layer, ..state }, link_mm, 0)),
                Some(Via::Turning(onto)) => {
                    let own = onto
                        .iter()
                        .filter(|((from, to), _)| *from == state.on && usable.contains(to));
                    for ((_, to), extra) in own {
                        let moves = self.moves(Some(state), *to, link_mm).into_iter();
                        next.extend(moves.map(|(s, link)| (State { layer, ..s }, link, extra + price[to])));
                    }
                }
                Some(Via::Passing(_)) | None => {}
            }
            for to in leaving.get(&state.on.end(graph)).into_iter().flatten() {
                if to.edge == state.on.edge {
                    continue;
                }
                let moves = self.moves(Some(state), *to, link_mm);
                if moves.is_empty() {
                    continue;
                }
                let turn = turns
                    .entry((state.on, *to))
                    .or_insert_with(|| self.world.turn_terms(state.on, *to).map(|t| sum(&t)));
                let turn = match *turn {
                    Some(turn) => turn,
                    None if self.lifted.limits => TOO_SHARP_MS,
                    None => continue,
                };
                next.extend(moves.into_iter().map(|(s, link)| (s, link, turn + price[to])));
            }
            for (state, link_mm, more) in next {
                labels.push(Label {
                    price: so_far + more,
                    state,
                    before: Some(label),
                });
                heap.push(Reverse((so_far + more, link_mm, labels.len() - 1)));
            }
        }
        let (total, last) = best?;
        let mut way = Vec::new();
        let mut at = Some(last);
        while let Some(i) = at {
            way.push(labels[i].state);
            at = labels[i].before;
        }
        way.reverse();
        debug_assert!(labels[last].price <= total);
        Some((total, way))
    }

    /// Extra price of ending in a state, when one may.
    fn accepts(&self, state: State) -> Option<u64> {
        let m = self.meaning;
        let done = state.layer == self.query.via.len() && (m.free || state.step >= m.said());
        let extra = self.query.ends.get(&state.on).filter(|_| done)?;
        let left = |(k, _): (usize, &RunwayWord)| state.used & (1 << k) == 0 && !self.done_at_end(k, state.on);
        let all_used = self.lifted.words || !m.words.iter().enumerate().any(left);
        all_used.then_some(*extra)
    }

    /// Whether a word is to hold short of the runway that the way ends before: that is done by ending there.
    pub(super) fn done_at_end(&self, word: usize, last: Directed) -> bool {
        let word = &self.meaning.words[word];
        let hold = self.meaning.destination.holds.get(&last.end(self.world.graph));
        let before = hold.and_then(|h| self.world.graph.holds[*h].guards);
        let there = word
            .on
            .as_ref()
            .is_none_or(|on| self.names.of_segment(last.edge).contains(on));
        !word.crosses && there && before == Some(word.runway)
    }

    /// The states in which a segment can be used after another, or at the start, with the length of the link in use.
    fn moves(&self, from: Option<State>, to: Directed, link_mm: u64) -> Vec<(State, u64)> {
        let segment = self.world.graph.segment(to.edge);
        let mut uses = vec![from.map_or(0, |f| f.used)];
        if let Some(f) = from {
            for (runway, _) in self.crossings(f.on, to) {
                uses = self.use_word(&uses, runway, f.on, to);
            }
        }
        let mut list = Vec::new();
        for (step, link) in self.steps(from, to, segment) {
            let length = if link && !self.lifted.gaps {
                link_mm * u64::from(from.is_none_or(|f| f.link)) + (segment.length_m * 1000.0).round() as u64
            } else {
                0
            };
            let most_m = if step == 0 {
                TO_FIRST_LETTER_M
            } else {
                BETWEEN_LETTERS_M
            };
            if length as f64 > most_m * 1000.0 {
                continue;
            }
            list.extend(uses.iter().map(|used| {
                let state = State {
                    layer: from.map_or(0, |f| f.layer),
                    step,
                    link,
                    used: *used,
                    on: to,
                };
                (state, length)
            }));
        }
        list
    }

    /// Which pieces of the instruction a segment can be used for: the number begun with it, and whether it is a link.
    fn steps(&self, from: Option<State>, to: Directed, segment: &Segment) -> Vec<(usize, bool)> {
        let m = self.meaning;
        let step = from.map_or(0, |f| f.step);
        if m.free {
            let lane = !matches!(segment.source, Source::Runway(_));
            return if lane || self.lifted.gaps {
                vec![(0, false)]
            } else {
                Vec::new()
            };
        }
        let mut list = Vec::new();
        let bears = |k: usize| m.bears(self.names, self.world.graph, k, to);
        if step >= 1 && bears(step - 1) {
            list.push((step, false));
        }
        let here = self.world.graph.at(to.start(self.world.graph));
        let kept_off = self
            .not_at
            .is_some_and(|n| n.step == step + 1 && n.at.distance(here) <= n.within_m);
        if step < m.elements.len() && bears(step) && !kept_off {
            list.push((step + 1, false));
        }
        if link_lane(segment, step == 0) || self.lifted.gaps {
            list.push((step, true));
        }
        list
    }

    /// Runways met between two segments, on neither of which one is; the node at which.
    pub(super) fn crossings(&self, from: Directed, to: Directed) -> Vec<(usize, NodeIndex)> {
        let graph = self.world.graph;
        let node = from.end(graph);
        let on = |d: Directed, r: usize| graph.segment(d.edge).source == Source::Runway(r);
        let said = |r: usize| {
            let is = |e: &Element| matches!(e, Element::Runway { runway, .. } if *runway == r);
            self.meaning.elements.iter().any(is)
        };
        let met = self.names.runways_at(node).into_iter();
        // Rolling along a runway that was said needs no other word for entering it.
        met.filter(|r| !(on(from, *r) || on(to, *r) && said(*r)))
            .map(|r| (r, node))
            .collect()
    }

    /// Uses up a word for a runway in each of these sets of used words; a set without one is given up.
    fn use_word(&self, uses: &[u32], runway: usize, from: Directed, to: Directed) -> Vec<u32> {
        let mut list = BTreeSet::new();
        for used in uses {
            let mut none = true;
            // Equal words are used in their order.
            let mut seen: BTreeSet<Option<&String>> = BTreeSet::new();
            for (k, word) in self.meaning.words.iter().enumerate() {
                let fits = word.on.as_ref().is_none_or(|on| {
                    self.names.of_segment(from.edge).contains(on) || self.names.of_segment(to.edge).contains(on)
                });
                if word.runway == runway && fits && used & (1 << k) == 0 && seen.insert(word.on.as_ref()) {
                    list.insert(used | (1 << k));
                    none = false;
                }
            }
            if none && self.lifted.crossings {
                list.insert(*used);
            }
        }
        list.into_iter().collect()
    }
}

/// Whether a segment may be used without having been said: a lane without a letter; before the first taxiway a taxilane
/// and the line of a stand too.
pub(super) fn link_lane(segment: &Segment, first: bool) -> bool {
    match segment.source {
        Source::Lane(_, kind) => segment.letters.is_empty() || first && kind == LaneKind::Taxilane,
        Source::Stand(_) => first,
        Source::Runway(_) => false,
    }
}

fn sum(terms: &[(String, u64)]) -> u64 {
    terms.iter().map(|t| t.1).sum()
}

/// Taxiways that meet at a node.
pub(super) fn lanes_at(names: &Names<'_>, world: World<'_>, node: NodeIndex) -> BTreeSet<String> {
    let edges = world.graph.graph.edges(node);
    edges.flat_map(|e| names.of_segment(e.id()).to_vec()).collect()
}
