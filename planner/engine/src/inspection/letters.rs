//! Letters borne by lanes that do not meet: "via B" means any lane named B, and an author may have meant one of them.

use super::called::count;
use super::gap::{Piece, least, piece};
use super::{Finding, Topic, called, doubt};
use crate::graph::{Source, TaxiGraph};
use petgraph::graph::EdgeIndex;
use rstar::RTree;
use std::collections::BTreeMap;
use toeline_model::{Airfield, Xy};

/// One chain of pieces with a letter: its edges and its length.
struct Chain {
    edges: Vec<EdgeIndex>,
    length_m: f64,
}

/// The doubts, in the order of the letters.
pub(super) fn doubts(field: &Airfield, graph: &TaxiGraph) -> Vec<Finding> {
    // Compared without regard to case, told as first written.
    let mut bearing: BTreeMap<String, (String, Vec<EdgeIndex>)> = BTreeMap::new();
    for e in graph.graph.edge_indices() {
        let s = graph.segment(e);
        if !matches!(s.source, Source::Lane(..)) || s.closed.is_some() {
            continue;
        }
        for letter in &s.letters {
            let entry = bearing.entry(letter.to_lowercase());
            entry.or_insert_with(|| (letter.clone(), Vec::new())).1.push(e);
        }
    }
    let told = bearing
        .into_values()
        .filter_map(|(letter, edges)| one(field, graph, &letter, &edges));
    told.collect()
}

fn chains(graph: &TaxiGraph, edges: &[EdgeIndex]) -> Vec<Chain> {
    let mut at_node: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (i, e) in edges.iter().enumerate() {
        let s = graph.segment(*e);
        for n in [s.from, s.to] {
            at_node.entry(n.index()).or_default().push(i);
        }
    }
    let mut seen = vec![false; edges.len()];
    let mut list = Vec::new();
    for start in 0..edges.len() {
        let mut chain = Chain {
            edges: Vec::new(),
            length_m: 0.0,
        };
        let mut work = vec![start];
        while let Some(i) = work.pop() {
            if std::mem::replace(&mut seen[i], true) {
                continue;
            }
            let s = graph.segment(edges[i]);
            chain.edges.push(edges[i]);
            chain.length_m += s.length_m;
            for n in [s.from, s.to] {
                work.extend(at_node[&n.index()].iter().copied().filter(|j| !seen[*j]));
            }
        }
        if !chain.edges.is_empty() {
            chain.edges.sort_unstable();
            list.push(chain);
        }
    }
    list.sort_by_key(|c| core::cmp::Reverse((c.length_m * 1000.0).round() as u64));
    list
}

fn one(field: &Airfield, graph: &TaxiGraph, letter: &str, edges: &[EdgeIndex]) -> Option<Finding> {
    let chains = chains(graph, edges);
    let (first, rest) = chains.split_first()?;
    let second = rest.first()?;
    let pieces = |c: &Chain| -> Vec<Piece> {
        let lines = c.edges.iter().map(|e| (e.index(), &graph.segment(*e).line));
        lines
            .flat_map(|(e, l)| l.windows(2).map(move |w| piece(w[0], w[1], e)))
            .collect()
    };
    let tree = RTree::bulk_load(pieces(first));
    let others: Vec<Piece> = rest.iter().flat_map(pieces).collect();
    let gap = least(&tree, others.iter())?.0;
    let lengths: Vec<String> = chains.iter().take(6).map(|c| format!("{:.0}", c.length_m)).collect();
    let more = if chains.len() > 6 { ", …" } else { "" };
    let text = format!(
        "letter {letter} is borne by {} that do not meet, {} m long{more}; {:.1} m lie between the longest and the nearest other",
        count(chains.len(), "chain of lanes", "chains of lanes"),
        lengths.join(", "),
        gap.distance_m
    );
    let mend = "nothing, when they are one taxiway in truth; otherwise let each have its own ref";
    let at: Xy = gap.on_second;
    let longest = second.edges.iter().max_by(|a, b| {
        let length_m = |e: &EdgeIndex| graph.segment(*e).length_m;
        length_m(a).total_cmp(&length_m(b)).then(b.cmp(a))
    });
    let feature = longest.map_or("", |e| called::id(field, graph.segment(*e).source));
    let mut f = doubt(Topic::Letters, feature, Some(at), &text, mend);
    f.size_m = Some(gap.distance_m);
    f.between = Some([gap.on_first, gap.on_second]);
    f.assumed = Some(format!("\"via {letter}\" means any of them"));
    Some(f)
}
