//! Why there is no way: the stop that cannot be reached, and the limits next to what can.

use super::search::{SearchGraph, World};
use super::{Block, NoWay, limits};
use crate::graph::StandPlace;
use crate::request::Request;
use petgraph::graph::NodeIndex;
use std::collections::BTreeSet;
use toeline_model::Xy;

/// What a request ends at: `runway "26"`, `holding position "A1"`.
pub(super) fn asked(to: &str) -> String {
    let what = if to.starts_with(|c: char| c.is_ascii_digit()) {
        "runway"
    } else {
        "holding position"
    };
    format!("{what} \"{to}\"")
}

/// Names what blocks the way, nearest first.
pub(super) fn no_way(
    world: World<'_>,
    request: &Request,
    search: &SearchGraph,
    (name, place, at): (&str, Option<&StandPlace>, Xy),
    areas: &[usize],
) -> NoWay {
    let reached = search.reached(world);
    let layer = reached.iter().map(|r| r.0).max().unwrap_or(0);
    let unreachable = match areas.get(layer) {
        Some(a) => format!(
            "engine-check area {}",
            world.field.check_areas[*a].name.as_deref().unwrap_or("without name")
        ),
        None => asked(&request.to),
    };
    let mut nodes: BTreeSet<NodeIndex> = reached.iter().filter(|r| r.0 == layer).map(|r| r.1).collect();
    nodes.extend(place.into_iter().flat_map(|p| [p.node, p.lane_node]));
    let from = at;
    let mut blocks: Vec<(f64, Block)> = Vec::new();
    for edge in world.graph.graph.edge_indices() {
        let s = world.graph.segment(edge);
        if !nodes.contains(&s.from) && !nodes.contains(&s.to) {
            continue;
        }
        if let Some(text) = limits::blocked(world.field, world.graph, world.aircraft, edge) {
            let at = s.line[s.line.len() / 2];
            let block = Block {
                feature: limits::feature_of(world.field, s),
                text,
                at,
            };
            blocks.push((toeline_model::units::round_to(at.distance(from), 3), block));
        }
    }
    blocks.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.text.cmp(&b.1.text)));
    let mut seen = BTreeSet::new();
    let blocks = blocks
        .into_iter()
        .map(|b| b.1)
        .filter(|b| seen.insert(b.text.clone()))
        .collect();
    NoWay {
        unreachable,
        from: name.to_string(),
        blocks,
    }
}
