//! Stands without a way to a runway, or from one: whole parts without a runway, and one-way lanes against each other.

use super::called::{self, count};
use super::parts::{Split, usable};
use super::{Doubted, Finding, Topic, doubt};
use crate::graph::{Source, StandPlace, TaxiGraph};
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use toeline_model::airfield::Way;
use toeline_model::{Airfield, Xy};

/// Nodes that can be reached from the runways: with the permitted sense, or against it (which gives where a runway can
/// be reached from).
fn reached(graph: &TaxiGraph, against: bool) -> Vec<bool> {
    let g = &graph.graph;
    let mut seen = vec![false; g.node_count()];
    let mut work: Vec<NodeIndex> = Vec::new();
    for s in g.edge_weights().filter(|s| usable(s)) {
        if matches!(s.source, Source::Runway(_)) {
            work.extend([s.from, s.to]);
        }
    }
    while let Some(node) = work.pop() {
        if std::mem::replace(&mut seen[node.index()], true) {
            continue;
        }
        for e in g.edges(node).filter(|e| usable(e.weight())) {
            let s = e.weight();
            let along = s.from == node;
            let permitted = match s.way {
                Way::Both => true,
                Way::Forward => along != against,
                Way::Backward => along == against,
            };
            let other = if along { s.to } else { s.from };
            if permitted && !seen[other.index()] {
                work.push(other);
            }
        }
    }
    seen
}

/// The doubts. Without any runway in use there is nothing to say of single stands.
pub(super) fn doubts(field: &Airfield, graph: &TaxiGraph, split: &Split, doubted: &Doubted) -> Vec<Finding> {
    let mut has_runway = vec![false; split.count];
    for (s, part) in graph.graph.edge_weights().zip(&split.of) {
        if let Some(part) = part.filter(|_| matches!(s.source, Source::Runway(_))) {
            has_runway[part] = true;
        }
    }
    if !has_runway.contains(&true) {
        return Vec::new();
    }
    let (from, to) = (reached(graph, false), reached(graph, true));
    let mut without: Vec<Vec<&StandPlace>> = vec![Vec::new(); split.count];
    let mut list = Vec::new();
    for place in &graph.stands {
        let stand = &field.stands[place.stand];
        let mut edges = graph.graph.edges(place.node);
        let Some(part) = edges
            .find_map(|e| split.of[e.id().index()])
            .filter(|_| stand.closed.is_none())
        else {
            continue;
        };
        if !has_runway[part] {
            without[part].push(place);
            continue;
        }
        let (out, home) = (to[place.node.index()], from[place.node.index()]);
        if !out || !home {
            let which = match (out, home) {
                (false, true) => "from it to any runway",
                (true, false) => "from any runway to it",
                _ => "from it to any runway or back",
            };
            let name = called::stand(field, place.stand);
            list.push(doubt(
                Topic::NoWay,
                &stand.id,
                Some(graph.at(place.node)),
                &format!("{name}: one-way lanes leave no way {which}"),
                "turn or take away a oneway on the lanes about it",
            ));
        }
    }
    for (n, places) in without.iter().enumerate() {
        let Some(first) = places.first() else { continue };
        let names: Vec<String> = places.iter().map(|p| called::stand(field, p.stand)).collect();
        list.push(doubt(
            Topic::NoWay,
            &field.stands[first.stand].id,
            Some(graph.at(first.node)),
            &format!(
                "no way to a runway from {}, because part {} has no runway: {}",
                count(places.len(), "stand", "stands"),
                n + 1,
                called::some(&names)
            ),
            "join its part to one with a runway",
        ));
    }
    // A stand that could not be joined at all is doubted by the joining; this is for one that was not told there.
    let joined: std::collections::BTreeSet<usize> = graph.stands.iter().map(|p| p.stand).collect();
    for (i, stand) in field.stands.iter().enumerate() {
        if !joined.contains(&i) && stand.closed.is_none() && !doubted.has(&stand.id) {
            let at: Option<Xy> = stand.line.first().copied();
            list.push(doubt(
                Topic::NoWay,
                &stand.id,
                at,
                &format!("{} is not joined to any lane", called::stand(field, i)),
                "draw a lane to it",
            ));
        }
    }
    list
}
