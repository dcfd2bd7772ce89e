//! Looking at a way that was found: is another way of joining a taxiway as good, and where does it hold short of what.

use super::Instruction;
use super::meaning::{Meaning, Other, OtherShort};
use super::names::Names;
use super::product::{NotAt, Product, State, lanes_at};
use crate::graph::Source;
use crate::route::{Block, Directed, Route, Stop, StopKind, World, feature_of};
use petgraph::graph::NodeIndex;
use toeline_model::airfield::LaneKind;

/// Places of joining a taxiway nearer to each other than this are one place, metres (ours): the corners of one junction.
const ONE_PLACE_M: f64 = 100.0;
/// Where an aeroplane holds short of a taxiway without a mapped holding position, metres from its centreline to the
/// foremost part: the distance that keeps clear of an aeroplane on it, ICAO Annex 14 Table 3-1, code A (from memory).
const SHORT_OF_TAXIWAY_M: f64 = 15.5;
/// Farthest before a taxiway that a mapped intermediate holding position is taken to be for it, metres (ours).
const HOLD_BEFORE_M: f64 = 120.0;

/// Segments of a way, in order, each once.
pub(super) fn segments(way: &[State]) -> Vec<Directed> {
    let mut list: Vec<Directed> = Vec::new();
    for (i, s) in way.iter().enumerate() {
        // The same segment again, one layer up, is the same passage.
        if i == 0 || way[i - 1].layer == s.layer {
            list.push(s.on);
        }
    }
    list
}

fn length_m(world: World<'_>, way: &[State]) -> f64 {
    segments(way).iter().map(|d| world.graph.segment(d.edge).length_m).sum()
}

/// Index of the state with which each piece of the instruction begins.
fn begins(way: &[State]) -> Vec<(usize, usize)> {
    let mut list = Vec::new();
    let mut step = 0;
    for (i, s) in way.iter().enumerate() {
        if s.step > step {
            step = s.step;
            list.push((step, i));
        }
    }
    list
}

/// Taxiways that can be joined at another place too, in sentences: both places, with the length of the whole way by each.
pub(super) fn unclear_joins(product: &Product<'_>, price: u64, way: &[State]) -> Vec<String> {
    let (world, names, m) = (product.world, product.names, product.meaning);
    let mut list = Vec::new();
    for (step, i) in begins(way) {
        if step < 2 || step > m.said() {
            continue;
        }
        let node = way[i].on.start(world.graph);
        let other = Product {
            not_at: Some(NotAt {
                step,
                at: world.graph.at(node),
                within_m: ONE_PLACE_M,
            }),
            // Dearer than twice is no way that anybody would take.
            up_to_ms: Some(price * 2),
            ..*product
        };
        let Some((_, second)) = other.cheapest() else { continue };
        let Some((_, k)) = begins(&second).into_iter().find(|b| b.0 == step) else {
            continue;
        };
        // Joining later and coming back past the first place is a detour, not another reading.
        if second[k..].iter().any(|s| s.on.end(world.graph) == node) {
            continue;
        }
        let place = |way: &[State], i: usize| {
            let at = way[i].on.start(world.graph);
            let lanes = lanes_at(names, world, at);
            let shown: Vec<&str> = lanes.iter().map(|l| names.shown(l)).collect();
            let run: f64 = segments(&way[..i])
                .iter()
                .map(|d| world.graph.segment(d.edge).length_m)
                .sum();
            let where_m = if shown.is_empty() {
                format!("after {run:.0} m")
            } else {
                format!("after {run:.0} m, where {} meet", shown.join(", "))
            };
            format!("{where_m} ({:.0} m in all)", length_m(world, way))
        };
        let called = |k: usize| m.called(names, world, k);
        list.push(format!(
            "{} can be joined from {} in two ways: {} or {}; the first is taken, so ask which is meant",
            called(step - 1),
            called(step - 2),
            place(way, i),
            place(&second, k)
        ));
    }
    list
}

/// Taxilanes used before the first taxiway that was said.
pub(super) fn before_first(product: &Product<'_>, way: &[State]) -> Option<String> {
    let (world, names) = (product.world, product.names);
    let mut lanes: Vec<String> = Vec::new();
    let mut length = 0.0;
    for s in way.iter().filter(|s| s.step == 0 && !product.meaning.free) {
        let segment = world.graph.segment(s.on.edge);
        length += segment.length_m;
        if matches!(segment.source, Source::Lane(_, LaneKind::Taxilane)) {
            for l in names.of_segment(s.on.edge) {
                let shown = names.shown(l).to_string();
                if !lanes.contains(&shown) {
                    lanes.push(shown);
                }
            }
        }
    }
    let first = (!lanes.is_empty()).then(|| product.meaning.called(names, world, 0))?;
    Some(format!(
        "before {first} the way uses taxilane {}, which the instruction does not name ({length:.0} m)",
        lanes.join(", ")
    ))
}

/// Where on a way what is to be held short of is met: the node, and the number of segments before it.
fn met(names: &Names<'_>, world: World<'_>, list: &[Directed], short: &OtherShort) -> Option<(NodeIndex, usize)> {
    (0..list.len()).find_map(|i| {
        let node = list[i].end(world.graph);
        let on = |d: &Directed| short.on.as_ref().is_none_or(|l| names.of_segment(d.edge).contains(l));
        let there = match &short.of {
            Other::Taxiway(lane) => {
                lanes_at(names, world, node).contains(lane) && !names.of_segment(list[i].edge).contains(lane)
            }
            Other::Holds(holds) => holds.iter().any(|h| world.graph.holds[*h].node == node),
        };
        (there && on(&list[i])).then_some((node, i + 1))
    })
}

/// Holding short of taxiways and named holding positions that the way never meets.
pub(super) fn never_met(
    names: &Names<'_>,
    world: World<'_>,
    meaning: &Meaning,
    said: &Instruction,
    list: &[Directed],
) -> Vec<Block> {
    let shorts = meaning.shorts.iter();
    shorts
        .filter(|s| met(names, world, list, s).is_none())
        .filter_map(|s| {
            let what = match &s.of {
                Other::Taxiway(lane) => format!("taxiway {}", names.shown(lane)),
                Other::Holds(holds) => format!("holding position {}", world.graph.holds[holds[0]].name),
            };
            let on =
                s.on.as_ref()
                    .map(|l| format!(" at {}", names.shown(l)))
                    .unwrap_or_default();
            let last = list.last()?;
            Some(Block {
                feature: feature_of(world.field, world.graph.segment(last.edge)),
                text: format!("\"{}\": the way instructed never meets {what}{on}", said.words(&s.at)),
                at: world.graph.at(last.end(world.graph)),
            })
        })
        .collect()
}

/// Adds the stops before taxiways and intermediate holding positions that were said.
pub(super) fn add_stops(names: &Names<'_>, world: World<'_>, meaning: &Meaning, list: &[Directed], route: &mut Route) {
    let graph = world.graph;
    let ahead = world.aircraft.foremost_ahead_of_nose_m();
    for short in &meaning.shorts {
        let Some((node, count)) = met(names, world, list, short) else {
            continue;
        };
        let mut back_m = 0.0;
        let mut mapped = None;
        let held = |n: NodeIndex| graph.holds.iter().find(|h| h.node == n && h.guards.is_none());
        if matches!(short.of, Other::Holds(_)) {
            mapped = graph.holds.iter().find(|h| h.node == node);
        } else {
            for d in list[..count].iter().rev() {
                back_m += graph.segment(d.edge).length_m;
                if back_m > HOLD_BEFORE_M {
                    break;
                }
                mapped = held(d.start(graph));
                if mapped.is_some() {
                    break;
                }
            }
        }
        let line = mapped.map_or(node, |h| h.node);
        let Some((line_m, _)) = route.path.nearest(graph.at(line), 0.0, route.path.length_m()) else {
            continue;
        };
        // A mapped one that guards a runway is a stop already.
        if mapped.is_some_and(|h| h.guards.is_some()) {
            continue;
        }
        let before = if mapped.is_some() {
            crate::route::HOLD_MARGIN_M
        } else {
            SHORT_OF_TAXIWAY_M
        };
        let at_m = (line_m - ahead - before).max(0.0);
        let of = match &short.of {
            Other::Taxiway(lane) => Some(format!("taxiway {}", names.shown(lane))),
            Other::Holds(_) => None,
        };
        let stop = Stop {
            kind: StopKind::HoldShort,
            name: mapped.map_or_else(|| of.clone().unwrap_or_default(), |h| h.name.clone()),
            of,
            at_m,
            pose: route.path.pose_at(at_m),
            line_at: mapped.map(|_| graph.at(line)),
            derived: mapped.is_none(),
        };
        let place = route
            .stops
            .iter()
            .position(|s| s.at_m > at_m)
            .unwrap_or(route.stops.len());
        route.stops.insert(place, stop);
    }
}
