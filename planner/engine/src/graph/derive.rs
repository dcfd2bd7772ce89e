//! Holding positions that the map lacks: one on every lane that meets a runway unguarded, at the published distance.

use super::assemble::Assembled;
use super::holds::{Placed, edges_at, live_runway, micrometres, settled};
use super::net::{Net, SAME_M};
use super::{HOLD_SEARCH_M, SNAP_M, Source, names};
use crate::notice::Notice;
use crate::notice::NoticeKind::{Doubt, Repair};
use petgraph::graph::{EdgeIndex, NodeIndex};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};
use toeline_model::airfield::{HoldingKind, Runway, Surface};
use toeline_model::planar::{closest_on_line, closest_on_segment, line_length};
use toeline_model::units::round_to;
use toeline_model::{Airfield, Xy};

/// A lane that has not reached the published distance after this many times that distance runs beside the runway and
/// will not be held there. Ours: an exit at 30 degrees with its curve needs about two and a half.
const PATIENCE: f64 = 3.0;
/// A derived holding position keeps this far from a junction that is nearer than the published distance, metres. Ours.
const BEFORE_JUNCTION_M: f64 = 5.0;

/// Distance of a runway-holding position from the runway centreline, metres: ICAO Annex 14 Volume I, Table 3-2,
/// non-instrument runways, code numbers 1, 2, and 3 or 4 (from memory). The length of the runway stands in for the
/// aerodrome reference field length that decides the code number.
pub(super) fn published_m(length_m: f64) -> f64 {
    if length_m < 800.0 {
        30.0
    } else if length_m < 1200.0 {
        40.0
    } else {
        75.0
    }
}

/// How a way out from the runway ended.
#[derive(Clone, Copy, PartialEq)]
enum End {
    /// No more lane.
    Nothing,
    /// The search distance was used up.
    Far,
    /// A runway.
    Runway(usize),
    /// A lane that was reached by a shorter way.
    Known,
}

/// A way out: its edges from the runway, each with the node it is entered from.
struct WayOut {
    edges: Vec<(EdgeIndex, NodeIndex)>,
    end: End,
}

/// Adds the missing holding positions.
pub(super) fn derive(net: &mut Net<'_>, first: &Assembled, mapped: &[Placed]) -> Vec<Placed> {
    let field = net.field;
    let mut list: Vec<Placed> = Vec::new();
    let mut taken: BTreeSet<(usize, usize)> = BTreeSet::new();
    let mut guards: Vec<BTreeSet<NodeIndex>> = vec![BTreeSet::new(); field.runways.len()];
    for h in mapped {
        if let (Some(r), Some(node)) = (h.guards, first.node[h.vertex]) {
            guards[r].insert(node);
        }
    }
    // Nodes on each runway, from west to east: the numbering of the nodes decides no name.
    let mut on: Vec<BTreeSet<NodeIndex>> = vec![BTreeSet::new(); field.runways.len()];
    for s in first.graph.edge_weights() {
        if let Some(r) = live_runway(field, s) {
            on[r].extend([s.from, s.to]);
        }
    }
    for (r, runway) in field.runways.iter().enumerate() {
        let mut without_room = None;
        let mut nodes: Vec<NodeIndex> = on[r].iter().copied().collect();
        let at = |n: &NodeIndex| first.graph[*n].at;
        nodes.sort_by(|a, b| at(a).x.total_cmp(&at(b).x).then(at(a).y.total_cmp(&at(b).y)));
        for node in nodes {
            let edges = edges_at(first, node);
            for (e, _) in edges.into_iter().filter(|(e, _)| open_lane(field, first, *e)) {
                for way in ways_out(field, first, &guards[r], node, e) {
                    match spot(first, runway, &way) {
                        Some(spot) => put(net, first, r, &spot, &mut taken, &mut list),
                        None if matches!(way.end, End::Runway(other) if other != r) => {
                            without_room.get_or_insert(first.graph[node].at);
                        }
                        None => {}
                    }
                }
            }
        }
        if let Some(at) = without_room {
            let text = format!(
                "a lane leads from {} to another runway with no room for a holding position between",
                names::runway(runway)
            );
            net.say(Notice::new(Doubt, runway.id.clone(), text).with_place(Some(at)));
        }
    }
    settled(net, &mut list);
    tell_apart(net, &mut list);
    list
}

fn open_lane(field: &Airfield, whole: &Assembled, e: EdgeIndex) -> bool {
    let s = &whole.graph[e];
    matches!(s.source, Source::Lane(i, _) if s.closed.is_none() && field.lanes[i].surface != Surface::Water)
}

/// Every way out from a runway node by one edge that meets no holding position of that runway.
fn ways_out(
    field: &Airfield,
    whole: &Assembled,
    guards: &BTreeSet<NodeIndex>,
    start: NodeIndex,
    edge: EdgeIndex,
) -> Vec<WayOut> {
    let mut before: BTreeMap<NodeIndex, (EdgeIndex, NodeIndex)> = BTreeMap::new();
    let mut list = Vec::new();
    let far = |e: EdgeIndex, from: NodeIndex| {
        let s = &whole.graph[e];
        if s.from == from { s.to } else { s.from }
    };
    let mut heap = BinaryHeap::from([Reverse((micrometres(whole.graph[edge].length_m), edge, start))]);
    while let Some(Reverse((cost, e, from))) = heap.pop() {
        let node = far(e, from);
        let known = before.contains_key(&node) || node == start;
        if !known {
            before.insert(node, (e, from));
        }
        if guards.contains(&node) {
            continue;
        }
        let at = edges_at(whole, node);
        let onward: Vec<EdgeIndex> = at
            .iter()
            .map(|(e, _)| *e)
            .filter(|o| *o != e && open_lane(field, whole, *o))
            .collect();
        let runway = at.iter().find_map(|(e, _)| live_runway(field, &whole.graph[*e]));
        let end = match runway {
            Some(r) => End::Runway(r),
            None if known => End::Known,
            None if cost > micrometres(HOLD_SEARCH_M) => End::Far,
            None if onward.is_empty() => End::Nothing,
            None => {
                for o in onward {
                    heap.push(Reverse((cost + micrometres(whole.graph[o].length_m), o, node)));
                }
                continue;
            }
        };
        let mut edges = vec![(e, from)];
        let mut back = from;
        while let Some(step) = before.get(&back).copied().filter(|_| back != start) {
            edges.push(step);
            back = step.1;
        }
        edges.reverse();
        list.push(WayOut { edges, end });
    }
    list
}

/// Distance of a point from those pieces of a line that pass a test, metres; 0 without one.
fn off_line_m(p: Xy, line: &[Xy], test: impl Fn(usize) -> bool) -> f64 {
    let pieces = line.windows(2).enumerate().filter(|(i, _)| test(*i));
    let off = |w: &[Xy]| closest_on_segment(p, w[0], w[1]).0.distance(p);
    pieces.map(|(_, w)| off(w)).min_by(f64::total_cmp).unwrap_or_default()
}

/// By piece of a line: whether it can be the nearest to any point from `a` to `b`, where `a` is `off_m` from the line. A
/// step of that length brings no piece nearer than by itself, and takes the nearest one no farther away.
fn pieces_near(a: Xy, b: Xy, line: &[Xy], off_m: f64) -> Vec<bool> {
    // A little more, as sums round differently.
    let reach_m = (off_m + 2.0 * a.distance(b)) * (1.0 + 1e-9) + 1e-6;
    let off = |w: &[Xy]| closest_on_segment(a, w[0], w[1]).0.distance(a);
    line.windows(2).map(|w| off(w) <= reach_m).collect()
}

/// Where on a way out a holding position goes.
struct Spot {
    edge: EdgeIndex,
    at: Xy,
    distance_m: f64,
    reached: bool,
}

fn spot(whole: &Assembled, runway: &Runway, way: &WayOut) -> Option<Spot> {
    let wanted_m = published_m(line_length(&runway.line));
    let off = |p: Xy| off_line_m(p, &runway.line, |_| true);
    let mut points: Vec<(Xy, EdgeIndex, f64)> = Vec::new();
    let mut run_m = 0.0;
    for (e, from) in &way.edges {
        let s = &whole.graph[*e];
        let mut line = s.line.clone();
        if s.from != *from {
            line.reverse();
        }
        for (i, p) in line.iter().enumerate() {
            run_m += if i == 0 { 0.0 } else { p.distance(line[i - 1]) };
            points.push((*p, *e, run_m));
        }
    }
    // How far each point is from the centreline, as far along the way as was asked.
    let mut offs: Vec<f64> = Vec::with_capacity(points.len());
    let mut off_of = |i: usize| {
        while offs.len() <= i {
            offs.push(off(points[offs.len()].0));
        }
        offs[i]
    };
    // Where the way is first as far from the centreline as asked.
    let mut cross = |limit_m: f64| {
        let i = (1..points.len()).find(|i| off_of(i - 1) < limit_m && off_of(*i) >= limit_m)?;
        let (a, b) = (points[i - 1], points[i]);
        let near = pieces_near(a.0, b.0, &runway.line, off_of(i - 1));
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..50 {
            let t = (low + high) / 2.0;
            if off_line_m(a.0.lerp(b.0, t), &runway.line, |piece| near[piece]) < limit_m {
                low = t
            } else {
                high = t
            }
        }
        let at = a.0.lerp(b.0, high);
        Some((at, b.1, a.2 + at.distance(a.0)))
    };
    if let Some((at, edge, run_m)) = cross(wanted_m)
        && run_m <= PATIENCE * wanted_m
    {
        return Some(Spot {
            edge,
            at,
            distance_m: wanted_m,
            reached: true,
        });
    }
    if matches!(way.end, End::Known | End::Runway(_)) {
        return None;
    }
    // Too short, or it runs beside the runway: as far out as the first stretch gets, clear of the junction there.
    let farthest_m = points
        .iter()
        .filter(|p| p.2 <= PATIENCE * wanted_m)
        .map(|p| off(p.0))
        .fold(0.0, f64::max);
    let (mut at, mut edge, out_m) = cross(farthest_m - 0.5)?;
    // Junctions of the way itself; nothing else can be in the way of it.
    let junction = |p: Xy| {
        way.edges
            .iter()
            .flat_map(|(e, _)| [whole.graph[*e].from, whole.graph[*e].to])
            .any(|n| whole.graph[n].at.distance(p) < BEFORE_JUNCTION_M && whole.graph.edges(n).count() > 2)
    };
    if junction(at) {
        let back_m = (out_m - BEFORE_JUNCTION_M).max(out_m / 2.0);
        let w = points
            .windows(2)
            .find(|w| w[0].2 <= back_m && back_m <= w[1].2 && w[1].2 > w[0].2)?;
        (at, edge) = (w[0].0.lerp(w[1].0, (back_m - w[0].2) / (w[1].2 - w[0].2)), w[1].1);
    }
    Some(Spot {
        edge,
        at,
        distance_m: off(at),
        reached: false,
    })
}

fn put(
    net: &mut Net<'_>,
    first: &Assembled,
    r: usize,
    spot: &Spot,
    taken: &mut BTreeSet<(usize, usize)>,
    list: &mut Vec<Placed>,
) {
    let Source::Lane(lane, _) = first.graph[spot.edge].source else {
        return;
    };
    let strand = net.field.runways.len() + lane;
    let Some(foot) = net.foot_on(strand, spot.at).filter(|f| f.distance_m <= SNAP_M) else {
        return;
    };
    let vertex = net.open(foot, SAME_M);
    if !taken.insert((vertex, r)) {
        return;
    }
    let runway = &net.field.runways[r];
    let (taxiway, runway_name) = (names::lane(&net.field.lanes[lane]), names::runway(runway));
    let length_m = line_length(&runway.line);
    let published = published_m(length_m);
    let d = round_to(spot.distance_m, 1);
    let place = if spot.reached {
        format!("taken to be {published:.0} m from its centreline")
    } else {
        format!(
            "the lane gets only {d} m from its centreline before it ends or turns along it, so taken to be there and not at {published:.0} m"
        )
    };
    let text = format!(
        "no holding position is mapped on {taxiway} before {runway_name}; {place} (ICAO Annex 14, Table 3-2, non-instrument, for a runway of {length_m:.0} m)"
    );
    let notice = Notice::new(Repair, net.field.lanes[lane].id.clone(), text).with_place(Some(net.at(vertex)));
    net.say(
        notice
            .with_size(spot.distance_m)
            .with_assumption(format!("a holding position {d} m from the centreline")),
    );
    list.push(Placed {
        position: None,
        name: format!("holding point of {taxiway} for {runway_name} (derived)"),
        vertex,
        kind: HoldingKind::Runway,
        only: Some(r),
        guards: Some(r),
        runway_vertex: None,
        toward: None,
    });
}

/// Gives derived holding positions of one lane and runway different names: the side of the runway, then a number.
fn tell_apart(net: &Net<'_>, list: &mut [Placed]) {
    let doubled: Vec<bool> = {
        let counts = counts(list);
        list.iter().map(|h| counts[h.name.as_str()] > 1).collect()
    };
    for (h, doubled) in list.iter_mut().zip(doubled) {
        let Some(r) = h.only.filter(|_| doubled) else { continue };
        let p = net.at(h.vertex);
        let Some((q, _, _)) = closest_on_line(p, &net.field.runways[r].line) else {
            continue;
        };
        let side = names::side((p - q).direction());
        h.name = h.name.replace(" (derived)", &format!(", {side} side (derived)"));
    }
    let total: BTreeMap<String, usize> = counts(list).into_iter().map(|(n, c)| (n.to_string(), c)).collect();
    let mut numbered: BTreeMap<String, usize> = BTreeMap::new();
    for h in list {
        if total[&h.name] > 1 {
            let number = numbered.entry(h.name.clone()).or_default();
            *number += 1;
            h.name = h.name.replace(" (derived)", &format!(" no. {number} (derived)"));
        }
    }
}

fn counts(list: &[Placed]) -> BTreeMap<&str, usize> {
    let mut counts = BTreeMap::new();
    for h in list {
        *counts.entry(h.name.as_str()).or_default() += 1;
    }
    counts
}
