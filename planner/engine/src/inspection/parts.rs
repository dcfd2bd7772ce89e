//! Parts of the field that are not joined: what each holds, and how far the nearest other one is.

use super::called::{self, count};
use super::gap::{Piece, around, least, piece};
use super::{Finding, Topic, doubt};
use crate::graph::{Segment, Source, TaxiGraph};
use petgraph::graph::EdgeIndex;
use petgraph::unionfind::UnionFind;
use rstar::RTree;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::airfield::Surface;
use toeline_model::{Airfield, Xy};

/// The gap is measured for this many parts; files with more are no single field (ours).
const MEASURED: usize = 200;

/// Pieces of ground between which an aeroplane cannot taxi.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Number, from 1: the main one first (with a runway, then by length).
    pub number: usize,
    /// Runways in it, by name.
    pub runways: Vec<String>,
    /// Taxiways and taxilanes in it, by name.
    pub lanes: Vec<String>,
    /// Stands in it, by name.
    pub stands: Vec<String>,
    /// Length of its runways and lanes, metres.
    pub length_m: f64,
    /// Feature of its longest piece.
    pub feature: String,
    /// Its lines, local metres; empty for the main part.
    pub lines: Vec<Vec<Xy>>,
    /// The nearest other part; `None` for the main one.
    pub gap: Option<PartGap>,
    /// Whether only something closed keeps it apart.
    pub by_closure: bool,
}

/// Where a part is nearest to another one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartGap {
    /// Least distance, metres; 0 where they cross on different levels.
    pub distance_m: f64,
    /// Number of the other part.
    pub to_part: usize,
    /// What is there on this side and on the other.
    pub between: [String; 2],
    /// The two places, local metres.
    pub at_xy_m: [Xy; 2],
}

/// Which part each piece of way is in.
pub(super) struct Split {
    /// By edge: its part from 0, or none when it is closed, water, or a stand's line that leads nowhere.
    pub(super) of: Vec<Option<usize>>,
    /// How many.
    pub(super) count: usize,
    /// By part: its number when closed pieces join too.
    with_closed: Vec<usize>,
}

/// Whether wheels may use a piece.
pub(super) fn usable(s: &Segment) -> bool {
    s.closed.is_none() && s.surface != Surface::Water
}

/// Finds the parts.
pub(super) fn split(graph: &TaxiGraph) -> Split {
    let g = &graph.graph;
    let mut open = UnionFind::<usize>::new(g.node_count());
    let mut all = UnionFind::<usize>::new(g.node_count());
    for s in g.edge_weights().filter(|s| s.surface != Surface::Water) {
        all.union(s.from.index(), s.to.index());
        if usable(s) {
            open.union(s.from.index(), s.to.index());
        }
    }
    // By root: has a runway, length, first edge.
    let mut found: BTreeMap<usize, (bool, f64, usize)> = BTreeMap::new();
    for (i, s) in g.edge_weights().enumerate().filter(|(_, s)| usable(s)) {
        let (runway, length_m) = match s.source {
            Source::Runway(_) => (true, s.length_m),
            Source::Lane(..) => (false, s.length_m),
            Source::Stand(_) => continue,
        };
        let part = found.entry(open.find(s.from.index())).or_insert((false, 0.0, i));
        (part.0, part.1) = (part.0 || runway, part.1 + length_m);
    }
    let mut order: Vec<(usize, (bool, f64, usize))> = found.into_iter().collect();
    let millimetres = |m: f64| (m * 1000.0).round() as u64;
    order.sort_by_key(|(_, (runway, length_m, first))| (!runway, core::cmp::Reverse(millimetres(*length_m)), *first));
    let number: BTreeMap<usize, usize> = order.iter().enumerate().map(|(n, (root, _))| (*root, n)).collect();
    let of = g
        .edge_weights()
        .map(|s| {
            usable(s)
                .then(|| number.get(&open.find(s.from.index())).copied())
                .flatten()
        })
        .collect();
    Split {
        of,
        count: order.len(),
        with_closed: order.iter().map(|(root, _)| all.find(*root)).collect(),
    }
}

fn pieces(graph: &TaxiGraph, split: &Split) -> Vec<(usize, Piece)> {
    let mut list = Vec::new();
    for e in graph.graph.edge_indices() {
        let Some(part) = split.of[e.index()] else { continue };
        for w in graph.segment(e).line.windows(2) {
            list.push((part, piece(w[0], w[1], e.index())));
        }
    }
    list
}

/// Tells what each part holds.
pub(super) fn parts(field: &Airfield, graph: &TaxiGraph, split: &Split) -> Vec<Part> {
    let mut list: Vec<Part> = (1..=split.count)
        .map(|number| Part {
            number,
            runways: Vec::new(),
            lanes: Vec::new(),
            stands: Vec::new(),
            length_m: 0.0,
            feature: String::new(),
            lines: Vec::new(),
            gap: None,
            by_closure: split.with_closed[number - 1] == split.with_closed[0],
        })
        .collect();
    let mut seen: BTreeSet<(usize, u8, usize)> = BTreeSet::new();
    let mut longest_m = vec![0.0; split.count];
    for e in graph.graph.edge_indices() {
        let Some(n) = split.of[e.index()] else { continue };
        let s = graph.segment(e);
        let part = &mut list[n];
        if n > 0 {
            part.lines.push(s.line.clone());
        }
        if !matches!(s.source, Source::Stand(_)) {
            part.length_m += s.length_m;
            if s.length_m > longest_m[n] {
                longest_m[n] = s.length_m;
                part.feature = called::id(field, s.source).to_string();
            }
        }
        let (names, key) = match s.source {
            Source::Runway(i) => (&mut part.runways, (n, 0, i)),
            Source::Lane(i, _) => (&mut part.lanes, (n, 1, i)),
            Source::Stand(_) => continue,
        };
        if seen.insert(key) {
            names.push(called::source(field, s.source));
        }
    }
    for stand in &graph.stands {
        let part = graph.graph.edges(stand.node).find_map(|e| {
            use petgraph::visit::EdgeRef;
            split.of[e.id().index()]
        });
        if let Some(n) = part {
            list[n].stands.push(called::stand(field, stand.stand));
        }
    }
    let all = pieces(graph, split);
    let whole = RTree::bulk_load(all.iter().map(|p| p.1).collect());
    for part in list.iter_mut().skip(1).take(MEASURED) {
        let own = part.number - 1;
        let pieces: Vec<Piece> = all.iter().filter(|p| p.0 == own).map(|p| p.1).collect();
        let others = around(&whole, &pieces, |e| split.of[e] == Some(own));
        let tree = RTree::bulk_load(pieces);
        let Some((closest, mine, theirs)) = least(&tree, others.into_iter()) else {
            continue;
        };
        let name = |e: usize| called::source(field, graph.segment(EdgeIndex::new(e)).source);
        part.gap = Some(PartGap {
            distance_m: closest.distance_m,
            to_part: split.of[theirs].map_or(0, |n| n + 1),
            between: [name(mine), name(theirs)],
            at_xy_m: [closest.on_first, closest.on_second],
        });
    }
    list
}

/// "runway 08/26, taxiway B (b); 3 stands".
fn holds(part: &Part) -> String {
    let ways: Vec<String> = part.runways.iter().chain(&part.lanes).cloned().collect();
    let stands = match part.stands.len() {
        0 => "no stand".to_string(),
        n => count(n, "stand", "stands"),
    };
    let lanes = count(part.lanes.len(), "lane", "lanes");
    let (ways, length_m) = (called::some_of(&ways, 3), part.length_m);
    format!("{stands}, {lanes}, {length_m:.0} m in all: {ways}")
}

/// One doubt for every part but the main one.
pub(super) fn doubts(parts: &[Part]) -> Vec<Finding> {
    let of = parts.len();
    let one = |part: &Part| {
        let near = match &part.gap {
            Some(gap) => format!(
                "the nearest is part {}, {:.2} m away, from {} to {}",
                gap.to_part, gap.distance_m, gap.between[0], gap.between[1]
            ),
            None => format!("only the first {MEASURED} parts are measured"),
        };
        let (why, mend) = if part.by_closure {
            (
                "only something closed lies between",
                "nothing, when the closure is meant",
            )
        } else {
            (
                "no aeroplane can taxi between",
                "draw a lane across the gap, or let the two lines share a position; leave it when they are apart in truth",
            )
        };
        let text = format!(
            "part {} of {of} is not joined to the others, {why}; {near}; it has {}",
            part.number,
            holds(part)
        );
        let at = part.gap.as_ref().map(|g| g.at_xy_m[0]);
        let at = at.or_else(|| part.lines.first().and_then(|l| l.first()).copied());
        let mut f = doubt(Topic::Parts, &part.feature, at, &text, mend);
        f.size_m = part.gap.as_ref().map(|g| g.distance_m);
        f.between = part.gap.as_ref().map(|g| g.at_xy_m);
        f
    };
    parts.iter().skip(1).map(one).collect()
}
