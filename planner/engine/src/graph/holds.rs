//! Holding positions: put on their lane, then aimed at the runway that they guard.

use super::assemble::Assembled;
use super::facing;
use super::near::Near;
use super::net::{Net, SAME_M};
use super::{GUARD_REACH_M, HOLD_ON_LANE_M, HOLD_REACH_M, Segment, Source, names};
use crate::notice::Notice;
use crate::notice::NoticeKind::{Doubt, LeftOut, Repair};
use petgraph::graph::{EdgeIndex, NodeIndex};
use petgraph::visit::EdgeRef;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};
use toeline_model::airfield::{HoldingKind, HoldingPosition, Surface};
use toeline_model::{Airfield, Xy, Yaw};

/// A holding position nearer to a runway centreline than this is on the runway, metres. Ours.
const ON_RUNWAY_M: f64 = 5.0;
/// A way past another holding position counts this much longer, metres. Ours: a second bar for low visibility stands
/// behind the first, and both guard the same runway.
const PAST_HOLD_M: f64 = 100.0;

/// A holding position in place numbers.
#[derive(Clone, Debug)]
pub(super) struct Placed {
    pub(super) position: Option<usize>,
    pub(super) name: String,
    pub(super) vertex: usize,
    pub(super) kind: HoldingKind,
    /// The runway it was derived for.
    pub(super) only: Option<usize>,
    pub(super) guards: Option<usize>,
    pub(super) runway_vertex: Option<usize>,
    pub(super) toward: Option<Yaw>,
}

/// Puts the mapped holding positions on their lanes.
pub(super) fn place(net: &mut Net<'_>) -> Vec<Placed> {
    let lanes = Near::new(net, |n, s| matches!(n.strands[s].source, Source::Lane(..)));
    let runways = Near::new(net, |n, s| match n.strands[s].source {
        Source::Runway(r) => n.field.runways[r].surface != Surface::Water,
        _ => false,
    });
    let mut list = Vec::new();
    for (i, h) in net.field.holding_positions.iter().enumerate() {
        let called = called(h);
        let notice = |kind, text: String| Notice::new(kind, h.id.clone(), text).with_place(Some(h.at));
        let on_runway = runways.foot(net, h.at, ON_RUNWAY_M);
        if let Some(f) = on_runway.filter(|f| f.distance_m < ON_RUNWAY_M) {
            let text = format!("{called} lies on {}; left out", net.name(f.strand));
            net.say(notice(LeftOut, text).with_size(f.distance_m));
            continue;
        }
        let Some(foot) = lanes.foot(net, h.at, HOLD_REACH_M) else {
            let text = format!("{called} is more than {HOLD_REACH_M} m from every lane; left out");
            net.say(notice(LeftOut, text));
            continue;
        };
        let Source::Lane(lane, _) = net.strands[foot.strand].source else {
            continue;
        };
        let vertex = net.open(foot, SAME_M);
        if foot.distance_m > HOLD_ON_LANE_M {
            let text = format!(
                "{called} is {:.1} m beside {}; put on it",
                foot.distance_m,
                net.name(foot.strand)
            );
            let told = notice(Repair, text).with_size(foot.distance_m);
            net.say(told.with_assumption("it is for the nearest lane"));
        }
        let name = h
            .name
            .clone()
            .unwrap_or_else(|| format!("holding position on {} ({})", names::lane(&net.field.lanes[lane]), h.id));
        list.push(Placed {
            position: Some(i),
            name,
            vertex,
            kind: h.kind,
            only: None,
            guards: None,
            runway_vertex: None,
            toward: None,
        });
    }
    settled(net, &mut list);
    list
}

/// Settles the net with the places of holding positions as nodes.
pub(super) fn settled(net: &mut Net<'_>, list: &mut [Placed]) {
    net.settle();
    for h in list {
        h.vertex = net.now(h.vertex);
        net.forced.insert(h.vertex);
    }
}

/// "holding position A1 (node/7)".
fn called(h: &HoldingPosition) -> String {
    match &h.name {
        Some(name) => format!("holding position {name} ({})", h.id),
        None => format!("holding position {}", h.id),
    }
}

/// Whether a segment is part of a runway that wheels may use.
pub(super) fn live_runway(field: &Airfield, s: &Segment) -> Option<usize> {
    match s.source {
        Source::Runway(r) if s.closed.is_none() && field.runways[r].surface != Surface::Water => Some(r),
        _ => None,
    }
}

/// Edges at a node in the order in which they were made.
pub(super) fn edges_at(whole: &Assembled, node: NodeIndex) -> Vec<(EdgeIndex, NodeIndex)> {
    let mut list: Vec<_> = whole.graph.edges(node).map(|e| (e.id(), e.target())).collect();
    list.sort_unstable();
    list
}

/// Finds for each holding position the runway it guards, by following the lanes to the first runway either way.
pub(super) fn aim(net: &Net<'_>, whole: &Assembled, mut list: Vec<Placed>) -> Vec<Placed> {
    let designators: BTreeSet<&str> = net
        .field
        .runways
        .iter()
        .flat_map(|r| r.designators.iter().flatten())
        .map(String::as_str)
        .collect();
    let all: BTreeSet<NodeIndex> = list.iter().filter_map(|h| whole.node[h.vertex]).collect();
    for h in &mut list {
        let Some(start) = whole.node[h.vertex] else { continue };
        if h.kind == HoldingKind::Intermediate {
            h.toward = facing::travel(net, h);
            continue;
        }
        let name = h
            .position
            .and_then(|p| net.field.holding_positions[p].name.as_deref())
            .unwrap_or_default();
        let parts: Vec<&str> = name.split(|c: char| !c.is_ascii_alphanumeric()).collect();
        let named = |r: usize| {
            let own = net.field.runways[r].designators.iter().flatten();
            own.into_iter().any(|d| parts.contains(&d.as_str()))
        };
        // Without a type and a runway in its name, one behind another may as well be for a crossing lane.
        let sure = h.kind == HoldingKind::Runway || parts.iter().any(|p| designators.contains(p));
        let found = runways_from(net, whole, start, &all, !sure);
        let facing = facing::travel(net, h);
        let agrees = |f: &&(usize, NodeIndex, Option<EdgeIndex>)| {
            facing.is_some_and(|yaw| f.2.is_some_and(|e| facing::agree(leaving(whole, e, start), yaw)))
        };
        let best = match h.only {
            Some(r) => found.iter().find(|f| f.0 == r),
            None => found
                .iter()
                .find(|f| named(f.0))
                .or(found.iter().find(agrees))
                .or(found.first()),
        };
        // One that guards no runway stops the traffic that the map says.
        h.toward = facing;
        if let Some((runway, node, first)) = best {
            h.guards = Some(*runway);
            h.runway_vertex = Some(whole.vertex[node.index()]);
            h.toward = first.map(|e| leaving(whole, e, start));
        }
    }
    list
}

/// Doubts the mapped holding positions that are tagged for a runway but lead to none, or that face away from the one they
/// lead to.
pub(super) fn aimless(net: &mut Net<'_>, list: &[Placed]) {
    facing::doubt(net, list);
    for h in list
        .iter()
        .filter(|h| h.kind == HoldingKind::Runway && h.guards.is_none())
    {
        let Some(p) = h.position else { continue };
        let text = format!(
            "{} is tagged for a runway, but none is within {GUARD_REACH_M} m along the lanes; taken to guard none",
            called(&net.field.holding_positions[p])
        );
        let notice = Notice::new(Doubt, net.field.holding_positions[p].id.clone(), text);
        net.say(
            notice
                .with_place(Some(net.at(h.vertex)))
                .with_assumption("it guards none"),
        );
    }
}

/// Runways reached from a node along lanes, nearest first: runway, node on it, first edge of the way.
fn runways_from(
    net: &Net<'_>,
    whole: &Assembled,
    start: NodeIndex,
    holds: &BTreeSet<NodeIndex>,
    stop_at_holds: bool,
) -> Vec<(usize, NodeIndex, Option<EdgeIndex>)> {
    let mut found: Vec<(usize, NodeIndex, Option<EdgeIndex>)> = Vec::new();
    let mut settled: BTreeMap<NodeIndex, Option<EdgeIndex>> = BTreeMap::new();
    // Cost, which ranks, and true length, which limits.
    let mut heap = BinaryHeap::from([Reverse((0_u64, 0_u64, start, None::<EdgeIndex>))]);
    while let Some(Reverse((cost, run, node, first))) = heap.pop() {
        if settled.contains_key(&node) {
            continue;
        }
        settled.insert(node, first);
        let edges = edges_at(whole, node);
        let runways: Vec<usize> = edges
            .iter()
            .filter_map(|(e, _)| live_runway(net.field, &whole.graph[*e]))
            .collect();
        if !runways.is_empty() {
            for r in runways {
                if !found.iter().any(|f| f.0 == r) {
                    found.push((r, node, first));
                }
            }
            continue;
        }
        let mut cost = cost;
        if node != start && holds.contains(&node) {
            if stop_at_holds {
                continue;
            }
            cost += micrometres(PAST_HOLD_M);
        }
        for (e, other) in edges {
            let s = &whole.graph[e];
            let length = micrometres(s.length_m);
            if matches!(s.source, Source::Lane(..)) && run + length <= micrometres(GUARD_REACH_M) {
                heap.push(Reverse((cost + length, run + length, other, first.or(Some(e)))));
            }
        }
    }
    found
}

/// Whole micrometres, so that equal ways tie the same everywhere.
pub(super) fn micrometres(m: f64) -> u64 {
    (m * 1e6).round() as u64
}

/// Direction in which an edge leaves a node.
fn leaving(whole: &Assembled, e: EdgeIndex, node: NodeIndex) -> Yaw {
    // The first half metre may be a crumb left by a repair.
    const CRUMB_M: f64 = 0.5;
    let s = &whole.graph[e];
    let mut line: Vec<Xy> = s.line.clone();
    if s.from != node {
        line.reverse();
    }
    let ahead = line
        .iter()
        .find(|p| p.distance(line[0]) > CRUMB_M)
        .or(line.last())
        .copied()
        .unwrap_or(line[0]);
    (ahead - line[0]).direction()
}
