//! Places to go by: an engine-check area, a stand (fuel, wash, another parking place) or a holding position.

use super::assemble::Assembly;
use super::departure::{self, leading};
use super::error::RouteError;
use super::resolve::{self, Asked};
use super::search::{Directed, Via, World};
use super::{Block, Stop, StopKind, limits};
use crate::graph::{Source, StandPlace, TaxiGraph};
use std::collections::BTreeMap;
use toeline_model::path::Pose;

/// A place to go by.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum By {
    /// Index in the airfield's engine-check areas.
    Area(usize),
    /// A stand: the nose wheel stops on its mark, and the aeroplane is pushed back onto the lane by hand.
    Stand(StandPlace),
    /// Index in the graph's holding positions.
    Hold(usize),
}

/// What going by a place comes to.
pub(super) enum Gone {
    /// It can be searched.
    By(By, Via),
    /// It is closed: what cannot be reached, and why.
    Closed(String, Block),
}

/// Finds a place to go by, by its name or feature id.
pub(super) fn place(world: World<'_>, asked: &str) -> Result<Gone, RouteError> {
    let World { field, graph, .. } = world;
    match resolve::any_place(field, graph, asked)? {
        Asked::Area(area) => {
            let closed = &field.check_areas[area];
            let called = format!("engine-check area {asked}");
            if let Some(text) = limits::area_closed(field, area) {
                let block = Block {
                    feature: closed.id.clone(),
                    text,
                    at: closed.outer[0],
                };
                return Ok(Gone::Closed(called, block));
            }
            let passes = resolve::segments_at(graph, &closed.outer).into_iter().collect();
            through(By::Area(area), passes, called)
        }
        Asked::Hold(index) => {
            let hold = &graph.holds[index];
            let called = format!("holding position {}", hold.name);
            if let Some(p) = hold.position
                && let Some(text) = limits::hold_closed(field, p)
            {
                let h = &field.holding_positions[p];
                let block = Block {
                    feature: h.id.clone(),
                    text,
                    at: h.at,
                };
                return Ok(Gone::Closed(called, block));
            }
            through(By::Hold(index), resolve::arriving(graph, hold), called)
        }
        Asked::Stand(stand) => {
            let called = limits::stand_name(field, stand);
            let place = graph.stands.iter().find(|p| p.stand == stand);
            let place = place.ok_or(RouteError::NotJoined { place: called.clone() })?;
            let mut turns: BTreeMap<(Directed, Directed), u64> = BTreeMap::new();
            for into in into_stand(graph, place) {
                let pose = Pose {
                    nose: graph.at(place.node),
                    heading_rad: into.arrives(graph),
                };
                for (onto, price) in departure::pushed_onto(world, place, pose) {
                    turns.insert((into, onto), price);
                }
            }
            if turns.is_empty() {
                return Err(RouteError::NoEntry { place: called });
            }
            Ok(Gone::By(By::Stand(place.clone()), Via::Turning(turns)))
        }
    }
}

fn through(by: By, passes: std::collections::BTreeSet<Directed>, place: String) -> Result<Gone, RouteError> {
    if passes.is_empty() {
        return Err(RouteError::NoEntry { place });
    }
    Ok(Gone::By(by, Via::Passing(passes)))
}

/// Directed segments that arrive where the nose wheel stops on a stand: by its own line where it has one.
pub(super) fn into_stand(graph: &TaxiGraph, place: &StandPlace) -> Vec<Directed> {
    let all: Vec<Directed> = leading(graph, place.node).into_iter().map(Directed::reversed).collect();
    let own = |d: &Directed| graph.segment(d.edge).source == Source::Stand(place.stand);
    let lead: Vec<Directed> = all.iter().copied().filter(own).collect();
    if lead.is_empty() { all } else { lead }
}

impl Assembly<'_> {
    /// Stops with the nose wheel on a stand's mark, and pushes back onto the lane.
    pub(super) fn stop_at_stand(&mut self, place: &StandPlace, pass: (f64, f64), onward: Directed) {
        self.follow_to(pass.1);
        self.stops.push(Stop {
            kind: StopKind::Place,
            name: limits::stand_name(self.world.field, place.stand),
            of: None,
            at_m: self.path.length_m(),
            pose: self.path.end(),
            line_at: None,
            derived: false,
        });
        self.push_by_hand(place, onward);
        // The guide runs back to the lane; the nose wheel then stands a wheelbase along it.
        let graph = self.world.graph;
        let back = graph.at(place.node).distance(graph.at(onward.start(graph)));
        self.from_m = (pass.1 + back + self.world.aircraft.gear.wheelbase_m).min(self.end_m);
        self.marks.push((self.from_m, self.path.length_m()));
    }

    /// Stops before a holding line, as far along the guide as the foremost part allows.
    pub(super) fn stop_behind(&mut self, hold: usize, way_m: f64) {
        self.follow_to(way_m.clamp(self.from_m, self.end_m));
        let World { field, graph, .. } = self.world;
        let hold = &graph.holds[hold];
        self.stops.push(Stop {
            kind: StopKind::Place,
            name: hold.name.clone(),
            of: hold.guards.map(|i| limits::runway_name(field, i)),
            at_m: self.path.length_m(),
            pose: self.path.end(),
            line_at: Some(graph.at(hold.node)),
            derived: hold.position.is_none(),
        });
    }
}
