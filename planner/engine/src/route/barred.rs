//! The cheapest way that contains none of a list of sequences.
//!
//! What fails on a way is a fact about the few segments around the place, in their order: the same segment may be fine from
//! another side. Such a sequence is barred, and no more than it. The search then runs over pairs of a place and the longest
//! beginning of a barred sequence that the way so far ends with (the automaton of Aho and Corasick), so that it is as
//! exact as the search without them.

use super::dense::Exact;
use super::search::SearchGraph;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap, HashMap};

/// How often a way that runs over the same directed segment twice is passed over before the search gives up (ours).
const MOST_ROUNDS: usize = 2000;

/// Sequences of places of a search graph that no way may contain, one after the other without anything between.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Barred {
    sequences: BTreeSet<Vec<NodeIndex>>,
}

/// The beginnings of the sequences.
struct Beginnings {
    /// What a beginning becomes by one more place; from the empty one only what begins a sequence.
    next: Vec<BTreeMap<NodeIndex, usize>>,
    /// The longest beginning that another one ends with.
    shorter: Vec<usize>,
    /// Whether a barred sequence ends here.
    whole: Vec<bool>,
}

impl Beginnings {
    fn new(sequences: &BTreeSet<Vec<NodeIndex>>) -> Beginnings {
        let mut b = Beginnings {
            next: vec![BTreeMap::new()],
            shorter: vec![0],
            whole: vec![false],
        };
        for sequence in sequences {
            let mut at = 0;
            for place in sequence {
                let new = b.next.len();
                let to = *b.next[at].entry(*place).or_insert(new);
                if to == new {
                    b.next.push(BTreeMap::new());
                    b.shorter.push(0);
                    b.whole.push(false);
                }
                at = to;
            }
            b.whole[at] = true;
        }
        // Breadth first: what is shorter is known before what is longer.
        let mut line: Vec<usize> = b.next[0].values().copied().collect();
        let mut k = 0;
        while k < line.len() {
            let at = line[k];
            k += 1;
            for (place, to) in b.next[at].clone() {
                b.shorter[to] = b.step(b.shorter[at], place);
                b.whole[to] = b.whole[to] || b.whole[b.shorter[to]];
                line.push(to);
            }
        }
        b
    }

    fn step(&self, from: usize, place: NodeIndex) -> usize {
        let mut at = from;
        loop {
            if let Some(to) = self.next[at].get(&place) {
                return *to;
            }
            if at == 0 {
                return 0;
            }
            at = self.shorter[at];
        }
    }
}

impl Barred {
    /// Bars a sequence. False when it is barred already, or empty.
    pub fn bar(&mut self, sequence: &[NodeIndex]) -> bool {
        !sequence.is_empty() && self.sequences.insert(sequence.to_vec())
    }

    /// Whether nothing is barred.
    pub fn is_empty(&self) -> bool {
        self.sequences.is_empty()
    }

    /// The cheapest way that contains no barred sequence and runs over no directed segment twice between two places to go
    /// by: its price, milliseconds, and its places. `exact` is the search graph's own.
    pub fn cheapest(&self, search: &SearchGraph, exact: &Exact) -> Option<(u64, Vec<NodeIndex>)> {
        // A detour around the block would do away with a barred sequence; the round itself is barred then.
        let mut rounds = self.clone();
        for _ in 0..MOST_ROUNDS {
            let (price, way) = rounds.walk(search, exact)?;
            let mut last: BTreeMap<NodeIndex, usize> = BTreeMap::new();
            let round = way
                .iter()
                .enumerate()
                .find_map(|(i, n)| last.insert(*n, i).map(|from| (from, i)));
            match round {
                None => return Some((price, way)),
                Some((from, to)) => rounds.bar(&way[from..=to]),
            };
        }
        None
    }

    /// The cheapest walk that contains no barred sequence.
    fn walk(&self, search: &SearchGraph, exact: &Exact) -> Option<(u64, Vec<NodeIndex>)> {
        let beginnings = Beginnings::new(&self.sequences);
        let start = (search.source, beginnings.step(0, search.source));
        if beginnings.whole[start.1] {
            return None;
        }
        // Looked up, never walked through: the order of the table reaches no result.
        let mut best: HashMap<(NodeIndex, usize), (u64, (NodeIndex, usize))> = HashMap::from([(start, (0, start))]);
        let mut heap = BinaryHeap::from([Reverse((exact.from(search.source)?, start, 0))]);
        while let Some(Reverse((_, at, price))) = heap.pop() {
            if best.get(&at).is_some_and(|b| price > b.0) {
                continue;
            }
            if at.0 == search.sink {
                let mut way = vec![at.0];
                let mut here = at;
                while here != start {
                    here = best.get(&here)?.1;
                    way.push(here.0);
                }
                way.reverse();
                return Some((price, way));
            }
            for e in search.graph.edges(at.0) {
                let Some(left) = exact.from(e.target()) else { continue };
                let to = (e.target(), beginnings.step(at.1, e.target()));
                let sum = price + e.weight();
                if !beginnings.whole[to.1] && best.get(&to).is_none_or(|b| sum < b.0) {
                    best.insert(to, (sum, at));
                    heap.push(Reverse((sum + left, to, sum)));
                }
            }
        }
        None
    }
}
