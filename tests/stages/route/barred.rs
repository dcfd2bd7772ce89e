//! The cheapest way without barred sequences, against every way there is.

use petgraph::Direction::Incoming;
use petgraph::graph::{DiGraph, EdgeIndex, NodeIndex};
use petgraph::visit::EdgeRef;
use proptest::prelude::*;
use toeline_engine::route::{Barred, Directed, GaveUp, Place, SearchGraph};

/// A search graph of numbered places; 0 is where ways begin, 1 where they end.
fn graph_of(places: usize, edges: &[(usize, usize, u64)]) -> SearchGraph {
    let mut graph = DiGraph::new();
    for i in 0..places {
        graph.add_node(match i {
            0 => Place::Source,
            1 => Place::Sink,
            i => Place::On(
                0,
                Directed {
                    edge: EdgeIndex::new(i),
                    forward: true,
                },
            ),
        });
    }
    for (from, to, price) in edges {
        graph.update_edge(NodeIndex::new(*from), NodeIndex::new(*to), *price);
    }
    SearchGraph {
        graph,
        source: NodeIndex::new(0),
        sink: NodeIndex::new(1),
    }
}

/// The least price of all ways that come to no place twice and contain none of the sequences, one by one.
fn least(search: &SearchGraph, barred: &[Vec<NodeIndex>], way: &mut Vec<NodeIndex>, price: u64) -> Option<u64> {
    if barred.iter().any(|b| way.ends_with(b)) {
        return None;
    }
    let at = *way.last()?;
    if at == search.sink {
        return Some(price);
    }
    let mut best: Option<u64> = None;
    for e in search.graph.edges(at) {
        if !way.contains(&e.target()) {
            way.push(e.target());
            best = best
                .into_iter()
                .chain(least(search, barred, way, price + e.weight()))
                .min();
            way.pop();
        }
    }
    best
}

fn cheapest(search: &SearchGraph, barred: &[Vec<NodeIndex>]) -> Result<Option<(u64, Vec<NodeIndex>)>, GaveUp> {
    let mut all = Barred::default();
    for sequence in barred {
        all.bar(sequence);
    }
    all.cheapest(search, &search.exact(), &mut { LOOKS })
}

/// More than any of these searches needs.
const LOOKS: usize = 2_000_000;

/// The found way is one: joined, priced, and without what is barred.
fn is_a_way(search: &SearchGraph, barred: &[Vec<NodeIndex>], price: u64, way: &[NodeIndex]) {
    assert_eq!((way.first(), way.last()), (Some(&search.source), Some(&search.sink)));
    let joined: u64 = way
        .windows(2)
        .map(|w| search.graph[search.graph.find_edge(w[0], w[1]).expect("joined")])
        .sum();
    assert_eq!(joined, price);
    for b in barred {
        assert!(way.windows(b.len()).all(|w| w != b.as_slice()), "{b:?} in {way:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn is_the_cheapest_of_all(
        edges in prop::collection::vec((0..9_usize, 1..9_usize, 1..40_u64), 8..34),
        walks in prop::collection::vec((0..9_usize, prop::collection::vec(0..6_usize, 0..4)), 0..14),
    ) {
        let search = graph_of(9, &edges);
        // Sequences that can be walked: most of any others would bar nothing.
        let barred: Vec<Vec<NodeIndex>> = walks
            .iter()
            .map(|(from, turns)| {
                let mut walk = vec![NodeIndex::new(*from)];
                for turn in turns {
                    let last = walk[walk.len() - 1];
                    let next: Vec<NodeIndex> = search.graph.neighbors(last).collect();
                    if let Some(to) = next.get(*turn % next.len().max(1)) {
                        walk.push(*to);
                    }
                }
                walk
            })
            .filter(|walk| walk.len() > 1)
            .collect();
        let found = cheapest(&search, &barred).expect("within its limit");
        let wanted = least(&search, &barred, &mut vec![search.source], 0);
        prop_assert_eq!(found.as_ref().map(|f| f.0), wanted);
        if let Some((price, way)) = found {
            is_a_way(&search, &barred, price, &way);
            let once: std::collections::BTreeSet<_> = way.iter().collect();
            prop_assert_eq!(once.len(), way.len());
        }
    }
}

/// A lattice of blocks with both senses of every street: rounds everywhere. Places are the directed streets.
fn streets(across: usize) -> (SearchGraph, Vec<Vec<NodeIndex>>) {
    let mut ends: Vec<(usize, usize)> = Vec::new();
    let corner = |x: usize, y: usize| y * across + x;
    for y in 0..across {
        for x in 0..across {
            let right = (x + 1 < across).then(|| corner(x + 1, y));
            let up = (y + 1 < across).then(|| corner(x, y + 1));
            for to in right.into_iter().chain(up) {
                ends.push((corner(x, y), to));
                ends.push((to, corner(x, y)));
            }
        }
    }
    let last = across * across - 1;
    let mut edges = Vec::new();
    for (i, a) in ends.iter().enumerate() {
        if a.0 == 0 {
            edges.push((0, i + 2, 100));
        }
        if a.1 == last {
            edges.push((i + 2, 1, 1));
        }
        for (k, b) in ends.iter().enumerate() {
            // No turning back.
            if a.1 == b.0 && a.0 != b.1 {
                edges.push((i + 2, k + 2, 100 + (i * 7 + k * 3) as u64 % 11));
            }
        }
    }
    let search = graph_of(ends.len() + 2, &edges);
    // Every arrival of some places that comes to none of them twice: only those with a round in them are left.
    let mut barred = Vec::new();
    let mut arrivals = vec![vec![search.sink]];
    while let Some(arrival) = arrivals.pop() {
        if arrival.len() == ARRIVAL || arrival[0] == search.source {
            barred.push(arrival);
            continue;
        }
        for before in search.graph.neighbors_directed(arrival[0], Incoming) {
            if !arrival.contains(&before) {
                arrivals.push([&[before], arrival.as_slice()].concat());
            }
        }
    }
    (search, barred)
}

/// Places of an arrival: a round about a block of four streets and what leads out of it.
const ARRIVAL: usize = 8;

#[test]
fn where_only_rounds_are_left_that_is_known_without_giving_up() {
    for across in [3, 4, 5, 6] {
        let (search, barred) = streets(across);
        let (price, way) = cheapest(&search, &[]).expect("within its limit").expect("a way");
        let found = cheapest(&search, &barred);
        assert_eq!(found, Ok(None), "{across} streets across, {} barred", barred.len());
        // With the arrival of the cheapest way left open, it is found again.
        let open: Vec<_> = barred.iter().filter(|b| !way.ends_with(b)).cloned().collect();
        assert_eq!(open.len() + 1, barred.len());
        assert_eq!(cheapest(&search, &open), Ok(Some((price, way))));
    }
}

#[test]
fn a_round_about_the_block_does_not_do_away_with_what_is_barred() {
    // 2 to 3 to 4 is barred; 3, 5, 6 is a round that comes back to 3 and would go on to 4.
    let edges = [
        (0, 2, 1),
        (2, 3, 1),
        (3, 4, 1),
        (4, 1, 1),
        (3, 5, 1),
        (5, 6, 1),
        (6, 3, 1),
    ];
    let search = graph_of(7, &edges);
    let barred = [[2, 3, 4].map(NodeIndex::new).to_vec()];
    assert_eq!(cheapest(&search, &barred), Ok(None));
    assert_eq!(cheapest(&search, &[]).map(|w| w.map(|w| w.0)), Ok(Some(4)));
}

#[test]
fn more_rounds_than_can_be_remembered_are_given_up_and_said() {
    // Each of 300 places can only be left by a round through its own second place: 600 places to remember.
    let mut edges = vec![(0, 2, 1)];
    let mut barred = Vec::new();
    for i in 0..300 {
        let (here, beside) = (2 + 2 * i, 3 + 2 * i);
        let next = if i == 299 { 1 } else { here + 2 };
        edges.extend([(here, next, 1), (here, beside, 1), (beside, here, 1)]);
        let before = if i == 0 { 0 } else { here - 2 };
        barred.push([before, here, next].map(NodeIndex::new).to_vec());
    }
    let search = graph_of(602, &edges);
    assert_eq!(cheapest(&search, &barred), Err(GaveUp));
}
