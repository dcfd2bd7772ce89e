//! The cheapest way that contains none of a list of sequences.
//!
//! What fails on a way is a fact about the few segments around the place, in their order: the same segment may be fine from
//! another side. Such a sequence is barred, and no more than it. The search then runs over pairs of a place and the longest
//! beginning of a barred sequence that the way so far ends with (the automaton of Aho and Corasick), so that it is as
//! exact as the search without them.
//!
//! A barred sequence can be done away with by driving once around a block, which no pilot would do: a way uses no directed
//! segment twice. The search starts without that rule. Where the cheapest walk comes back to a place, every place of that
//! round learns to remember those of the round that the way has been to, and the search is made again: no way that keeps
//! the rule is lost, and rounds near by end with the one that was met (relaxed routes with local memory, as in the routing
//! of vehicles; Baldacci, Mingozzi and Roberti 2011, from memory).

use super::dense::Exact;
use super::search::SearchGraph;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap, HashMap};

/// How many places can be remembered; more than are in any round that was met (ours).
const MOST_REMEMBERED: usize = 256;

/// The search was given up: there may be a way, or not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GaveUp;

/// A set of places that can be remembered, by their numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Places([u64; MOST_REMEMBERED / 64]);

impl Places {
    fn with(mut self, number: usize) -> Places {
        self.0[number / 64] |= 1 << (number % 64);
        self
    }

    fn has(&self, number: usize) -> bool {
        self.0[number / 64] & 1 << (number % 64) != 0
    }

    fn both(self, other: &Places) -> Places {
        let mut both = self;
        both.0.iter_mut().zip(other.0).for_each(|(a, b)| *a &= b);
        both
    }

    fn either(self, other: &Places) -> Places {
        let mut either = self;
        either.0.iter_mut().zip(other.0).for_each(|(a, b)| *a |= b);
        either
    }
}

/// What places remember.
#[derive(Default)]
struct Memory {
    /// Number of each place that is remembered anywhere.
    number: HashMap<NodeIndex, usize>,
    /// Which places each place remembers.
    at: HashMap<NodeIndex, Places>,
}

impl Memory {
    /// Every place of a round remembers all of them. Fails when they are too many.
    fn learn(&mut self, round: &[NodeIndex]) -> Result<(), GaveUp> {
        let mut all = Places::default();
        for place in round {
            let new = self.number.len();
            let number = *self.number.entry(*place).or_insert(new);
            if number >= MOST_REMEMBERED {
                return Err(GaveUp);
            }
            all = all.with(number);
        }
        for place in round {
            let known = self.at.entry(*place).or_default();
            *known = known.either(&all);
        }
        Ok(())
    }

    /// What is remembered at `to` by a way that remembers `so_far`; `None` when it has been there.
    fn step(&self, so_far: &Places, to: NodeIndex) -> Option<Places> {
        let number = self.number.get(&to);
        if number.is_some_and(|n| so_far.has(*n)) {
            return None;
        }
        let Some(kept) = self.at.get(&to) else {
            return Some(Places::default());
        };
        let been = number.map_or(*so_far, |n| so_far.with(*n));
        Some(been.both(kept))
    }
}

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

    /// Whether a beginning ends with another one, or is it.
    fn ends_with(&self, mut long: usize, short: usize) -> bool {
        while long != short {
            if long == 0 {
                return false;
            }
            long = self.shorter[long];
        }
        true
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
    /// by: its price, milliseconds, and its places. `exact` is the search graph's own. `looks` says how many beginnings of
    /// ways may be looked at, and is lowered by those that were; fails when they do not do.
    pub fn cheapest(
        &self,
        search: &SearchGraph,
        exact: &Exact,
        looks: &mut usize,
    ) -> Result<Option<(u64, Vec<NodeIndex>)>, GaveUp> {
        let beginnings = Beginnings::new(&self.sequences);
        let mut memory = Memory::default();
        loop {
            let Some((price, way)) = walk(search, exact, &beginnings, &memory, looks)? else {
                return Ok(None);
            };
            let mut last: BTreeMap<NodeIndex, usize> = BTreeMap::new();
            let mut round = false;
            for (i, place) in way.iter().enumerate() {
                if let Some(from) = last.insert(*place, i) {
                    memory.learn(&way[from..i])?;
                    round = true;
                }
            }
            if !round {
                return Ok(Some((price, way)));
            }
        }
    }
}

/// The beginning of a walk.
struct Begun {
    place: NodeIndex,
    /// What it may be the beginning of.
    state: usize,
    /// Where it remembers to have been.
    kept: Places,
    price: u64,
    /// Number of what it goes on from; its own at the start.
    before: usize,
    /// Whether another one does all that it can do for no more.
    beaten: bool,
}

impl Begun {
    /// Whether all that another beginning at the same place can go on with, this one can, for no more.
    fn beats(&self, other: &Begun, beginnings: &Beginnings) -> bool {
        self.price <= other.price
            && self.kept.both(&other.kept) == self.kept
            && beginnings.ends_with(other.state, self.state)
    }
}

/// The cheapest walk that contains no barred sequence and comes back to no place that it remembers.
fn walk(
    search: &SearchGraph,
    exact: &Exact,
    beginnings: &Beginnings,
    memory: &Memory,
    looks: &mut usize,
) -> Result<Option<(u64, Vec<NodeIndex>)>, GaveUp> {
    let Some(kept) = memory.step(&Places::default(), search.source) else {
        return Ok(None);
    };
    let state = beginnings.step(0, search.source);
    let Some(left) = exact.from(search.source).filter(|_| !beginnings.whole[state]) else {
        return Ok(None);
    };
    let mut all = vec![Begun {
        place: search.source,
        state,
        kept,
        price: 0,
        before: 0,
        beaten: false,
    }];
    let mut at_place: Vec<Vec<usize>> = vec![Vec::new(); search.graph.node_count()];
    at_place[search.source.index()].push(0);
    let mut heap = BinaryHeap::from([Reverse((left, search.source, state, 0))]);
    while let Some(Reverse((_, place, state, number))) = heap.pop() {
        let (price, kept) = (all[number].price, all[number].kept);
        if all[number].beaten {
            continue;
        }
        if place == search.sink {
            let mut way = vec![place];
            let mut here = number;
            while here != 0 {
                here = all[here].before;
                way.push(all[here].place);
            }
            way.reverse();
            return Ok(Some((price, way)));
        }
        *looks = looks.checked_sub(1).ok_or(GaveUp)?;
        for e in search.graph.edges(place) {
            let Some(left) = exact.from(e.target()) else { continue };
            let Some(kept) = memory.step(&kept, e.target()) else {
                continue;
            };
            let begun = Begun {
                place: e.target(),
                state: beginnings.step(state, e.target()),
                kept,
                price: price + e.weight(),
                before: number,
                beaten: false,
            };
            let there = &mut at_place[e.target().index()];
            if beginnings.whole[begun.state] || there.iter().any(|i| all[*i].beats(&begun, beginnings)) {
                continue;
            }
            there.retain(|i| {
                let beaten = begun.beats(&all[*i], beginnings);
                all[*i].beaten = all[*i].beaten || beaten;
                !beaten
            });
            there.push(all.len());
            heap.push(Reverse((begun.price + left, begun.place, begun.state, all.len())));
            all.push(begun);
        }
    }
    Ok(None)
}
