//! The way along some segments by themselves: no stand, no holding position, no price. What the largest span for a
//! segment is measured on.

use super::assemble::half_width_m;
use super::corner::Corners;
use super::guide::Guide;
use super::rounding::follow;
use super::search::{Directed, World};
use super::{Leg, LegKind, Route, limits};
use crate::graph::Source;
use toeline_model::airfield::LaneKind;
use toeline_model::frame::Xy;
use toeline_model::path::{DrivenPath, Pose};

/// The way along segments that follow one another, driven with the nose wheel on their line from its first point to its
/// last, the aeroplane straight behind it at the start; corners are rounded as everywhere. `None` without a segment that
/// has a direction. Its price is 0 and it has no stops.
pub fn along(world: World<'_>, on: &[Directed]) -> Option<Route> {
    let mut guide = Guide::default();
    let mut legs = Vec::new();
    for d in on {
        let s = world.graph.segment(d.edge);
        let line = d.line(world.graph);
        guide.extend(&line, legs.len());
        legs.push(Leg {
            kind: match s.source {
                Source::Lane(_, LaneKind::Taxiway) => LegKind::Taxiway,
                Source::Lane(_, LaneKind::Taxilane) => LegKind::Taxilane,
                Source::Runway(_) => LegKind::Runway,
                Source::Stand(_) => LegKind::Stand,
            },
            name: limits::name_of(world.field, s),
            letters: s.letters.clone(),
            feature: limits::feature_of(world.field, s),
            from_m: 0.0,
            to_m: 0.0,
            width_m: s.width_m,
            surface: s.surface,
            mapped_line: line,
            speed_mps: super::cost::segment_speed_mps(world.aircraft, s),
            slope_percent: None,
        });
    }
    let (nose, heading_rad) = guide.at(0.0)?;
    let mut path = DrivenPath::new(world.aircraft.gear.wheelbase_m, Pose { nose, heading_rad });
    let mut turns = Vec::new();
    let room = |p: Xy| half_width_m(world.field, &legs, &guide, p);
    let corners = Corners {
        aircraft: world.aircraft,
        half_width_m: &room,
    };
    follow(&mut path, &guide, &corners, &mut turns);
    for (i, leg) in legs.iter_mut().enumerate() {
        let mut own = path.pieces.iter().filter(|p| p.leg == i);
        let first = own.next();
        leg.from_m = first.map_or(0.0, |p| p.from_m);
        let last = own.next_back().or(first);
        leg.to_m = last.map_or(leg.from_m, |p| p.from_m + p.length_m);
    }
    Some(Route {
        path,
        legs,
        turns,
        stops: Vec::new(),
        costs: Vec::new(),
        cost_ms: 0,
        check: None,
        segments: on.iter().map(|d| (d.edge, d.forward)).collect(),
        doubts: Vec::new(),
    })
}
