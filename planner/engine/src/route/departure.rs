//! How the aeroplane leaves its stand: nose out by itself, or nose in and pushed by hand first.

use super::apron::{Join, Off};
use super::error::RouteError;
use super::limits;
use super::search::{Directed, World};
use crate::graph::{Source, StandPlace};
use crate::request::Request;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use toeline_model::airfield::Nose;
use toeline_model::path::Pose;
use toeline_model::units::DEG;

/// How the aeroplane leaves its stand.
pub(super) struct Departure {
    pub(super) pose: Pose,
    pub(super) starts: Vec<Directed>,
    /// Ways over unpainted apron onto the segments in `starts`; empty where a line leads there.
    pub(super) over: Vec<Join>,
    /// Pushed back by hand to this node before taxiing.
    pub(super) pushed_to: Option<NodeIndex>,
    pub(super) doubts: Vec<String>,
}

pub(super) fn departure(world: World<'_>, request: &Request, place: &StandPlace) -> Result<Departure, RouteError> {
    let graph = world.graph;
    let stand = &world.field.stands[place.stand];
    let name = limits::stand_name(world.field, place.stand);
    let leading = |node: NodeIndex| -> Vec<Directed> {
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
    };
    let (stop, joint) = (graph.at(place.node), graph.at(place.lane_node));
    let lead: Vec<Directed> = leading(place.node)
        .into_iter()
        .filter(|d| graph.segment(d.edge).source == Source::Stand(place.stand))
        .collect();
    // A stand whose line is a piece of the lane itself has no lead of its own.
    let out = lead
        .first()
        .map_or_else(|| (joint - stop).direction(), |d| d.sets_off(graph));
    let mut doubts = Vec::new();
    let heading = match (request.parked_heading, stand.heading, stand.nose) {
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
        let starts = if lead.is_empty() { leading(place.node) } else { lead };
        return Ok(Departure {
            pose,
            starts,
            over: Vec::new(),
            pushed_to: None,
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
    let starts = leading(place.lane_node)
        .into_iter()
        .filter(|d| graph.segment(d.edge).source != Source::Stand(place.stand))
        .collect();
    Ok(Departure {
        pose,
        starts,
        over: Vec::new(),
        pushed_to: Some(place.lane_node),
        doubts,
    })
}

/// Leaving a start that no line leads to, by ways over the apron.
pub(super) fn over_apron(off: &Off, over: Vec<Join>) -> Departure {
    let mut doubts = vec![format!(
        "{}: the way over the unpainted apron was found by a search in position and heading; it is not proven the shortest",
        off.name
    )];
    if over.iter().any(|j| !j.room.parked) {
        doubts.push(format!(
            "{}: with aeroplanes on all the other stands no way was found over the apron; this one takes them as empty",
            off.name
        ));
    }
    Departure {
        pose: off.pose,
        starts: over.iter().map(|j| j.onto).collect(),
        over,
        pushed_to: None,
        doubts,
    }
}
