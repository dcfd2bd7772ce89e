//! How the aeroplane leaves its stand: nose out by itself, or nose in and pushed by hand first.

use super::cost::PUSH_MPS;
use super::error::RouteError;
use super::limits;
use super::over_apron::Over;
use super::search::{Directed, World};
use crate::graph::{Source, StandPlace, TaxiGraph};
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use std::collections::BTreeMap;
use toeline_model::airfield::Nose;
use toeline_model::path::Pose;
use toeline_model::units::DEG;
use toeline_model::{Bearing, DrivenPath, Xy};

/// How the aeroplane leaves its stand.
pub(super) struct Departure {
    /// What the place is called.
    pub(super) name: String,
    /// How it stands; `None` where that follows from the segment it begins with.
    pub(super) pose: Option<Pose>,
    /// Segments to begin with, with the price of pushing onto them, milliseconds.
    pub(super) starts: BTreeMap<Directed, u64>,
    /// Where it begins, local metres.
    pub(super) at: Xy,
    /// Pushed back by hand off this stand before taxiing.
    pub(super) pushed: Option<StandPlace>,
    /// Ways over unpainted apron onto the segments in `starts`, where no line leads away.
    pub(super) over: Option<Over>,
    pub(super) doubts: Vec<String>,
}

/// Every directed segment that begins at a node, in order.
pub(super) fn leading(graph: &TaxiGraph, node: NodeIndex) -> Vec<Directed> {
    let mut list: Vec<Directed> = Vec::new();
    for e in graph.graph.edges(node) {
        let edge = e.id();
        for forward in [true, false] {
            let d = Directed { edge, forward };
            if d.start(graph) == node && !list.contains(&d) {
                list.push(d);
            }
        }
    }
    list.sort();
    list
}

/// Pushes an aeroplane at the end of a path back along its stand's line and swings it onto a segment of the lane.
pub(super) fn push_onto(graph: &TaxiGraph, path: &mut DrivenPath, place: &StandPlace, first: Directed, leg: usize) {
    let back = graph.at(place.lane_node).distance(graph.at(place.node)) - path.wheelbase_m;
    path.push_back(back.max(0.0), leg);
    path.push_swing(path.end().heading_rad.to_rad(first.sets_off(graph)), leg);
}

/// The price of pushing a way by hand, milliseconds.
pub(super) fn push_ms(length_m: f64) -> u64 {
    (length_m / PUSH_MPS * 1000.0).ceil() as u64
}

/// Segments of the lane that an aeroplane can be pushed onto off its stand, with the price.
pub(super) fn pushed_onto(world: World<'_>, place: &StandPlace, pose: Pose) -> BTreeMap<Directed, u64> {
    let graph = world.graph;
    leading(graph, place.lane_node)
        .into_iter()
        .filter(|d| graph.segment(d.edge).source != Source::Stand(place.stand))
        .map(|d| {
            let mut path = DrivenPath::new(world.aircraft.gear.wheelbase_m, pose);
            push_onto(graph, &mut path, place, d, 0);
            (d, push_ms(path.length_m()))
        })
        .collect()
}

/// How it leaves a stand, parked on a heading (`None`: as the map says). `assume_out`: a stand without a heading is taken
/// nose out and not asked about.
pub(super) fn of_stand(
    world: World<'_>,
    parked: Option<Bearing>,
    place: &StandPlace,
    assume_out: bool,
) -> Result<Departure, RouteError> {
    let graph = world.graph;
    let stand = &world.field.stands[place.stand];
    let name = limits::stand_name(world.field, place.stand);
    let (stop, joint) = (graph.at(place.node), graph.at(place.lane_node));
    let lead: Vec<Directed> = leading(graph, place.node)
        .into_iter()
        .filter(|d| graph.segment(d.edge).source == Source::Stand(place.stand))
        .collect();
    // A stand whose line is a piece of the lane itself has no lead of its own.
    let out = lead
        .first()
        .map_or_else(|| (joint - stop).direction(), |d| d.sets_off(graph));
    let mut doubts = Vec::new();
    let heading = match (parked, stand.heading, stand.nose) {
        (Some(given), _, _) => given.yaw(),
        (None, Some(mapped), _) => mapped.yaw(),
        (None, None, Some(Nose::Out)) => out,
        (None, None, Some(Nose::In)) => out.turned(core::f64::consts::PI),
        (None, None, None) if stand.line.len() >= 2 => {
            doubts.push(format!(
                "{name} is a line without a heading on the map: taken nose in, as lead-in lines are drawn; give --parked-heading \
                 {:03} if it is parked nose out",
                out.bearing().spoken()
            ));
            out.turned(core::f64::consts::PI)
        }
        (None, None, None) if assume_out => out,
        (None, None, None) => {
            return Err(RouteError::NeedsHeading {
                place: name,
                out_deg: out.bearing().spoken(),
                in_deg: out.turned(core::f64::consts::PI).bearing().spoken(),
            });
        }
    };
    let pose = Pose {
        nose: stop,
        heading_rad: heading,
    };
    let off = heading.to_rad(out).abs();
    if off <= 60.0 * DEG {
        let starts = if lead.is_empty() {
            leading(graph, place.node)
        } else {
            lead
        };
        return Ok(Departure {
            name,
            pose: Some(pose),
            starts: starts.into_iter().map(|d| (d, 0)).collect(),
            at: stop,
            pushed: None,
            over: None,
            doubts,
        });
    }
    if off < 120.0 * DEG {
        return Err(RouteError::HeadingAcross {
            place: name,
            given_deg: heading.bearing().spoken(),
            out_deg: out.bearing().spoken(),
        });
    }
    Ok(Departure {
        name,
        pose: Some(pose),
        starts: pushed_onto(world, place, pose),
        at: stop,
        pushed: Some(place.clone()),
        over: None,
        doubts,
    })
}
