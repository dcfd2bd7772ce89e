//! One try: resolve the names, search, and build the driven path with its legs, turns and stops.

use super::check_stand::{LANE_BEYOND_M, Site, lane_half_m};
use super::guide::{Guide, follow};
use super::search::{Avoid, Directed, Place, Query, SearchGraph, World};
use super::{
    Block, CheckStand, CostTerm, FREE_HEADING_BELOW_MPS, Leg, LegKind, NoWay, Route, RouteError, Stop, StopKind,
};
use super::{cost, limits, resolve};
use crate::graph::{Source, StandPlace};
use crate::request::Request;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use std::collections::BTreeSet;
use toeline_model::airfield::{LaneKind, Nose};
use toeline_model::frame::Xy;
use toeline_model::path::Pose;
use toeline_model::units::DEG;
use toeline_model::{Bearing, DrivenPath, planar};

/// Speed of pushing by hand, metres per second (ours: a slow walk).
const PUSH_MPS: f64 = 0.5;
/// How far behind a holding line the foremost part stops, metres (ours).
pub(crate) const HOLD_MARGIN_M: f64 = 1.0;

/// What one try gives.
#[derive(Clone, Debug, PartialEq)]
pub enum Attempted {
    /// A way.
    Way(Box<Route>),
    /// No way.
    NoWay(NoWay),
}

/// How the aeroplane leaves its stand.
struct Departure {
    pose: Pose,
    starts: Vec<Directed>,
    /// Pushed back by hand to this node before taxiing.
    pushed_to: Option<NodeIndex>,
    doubts: Vec<String>,
}

fn departure(world: World<'_>, request: &Request, place: &StandPlace) -> Result<Departure, RouteError> {
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
        pushed_to: Some(place.lane_node),
        doubts,
    })
}

/// Tries to find a way.
///
/// # Errors
/// Names that the map does not have, and places that nothing leads to.
pub fn find(world: World<'_>, request: &Request, declination_deg: f64, avoid: &Avoid) -> Result<Attempted, RouteError> {
    let field = world.field;
    let stand = resolve::stand(field, &request.from)?;
    let place = world
        .graph
        .stands
        .iter()
        .find(|p| p.stand == stand)
        .ok_or_else(|| RouteError::NotJoined {
            place: limits::stand_name(field, stand),
        })?;
    let mut areas = Vec::new();
    let mut via = Vec::new();
    for asked in &request.via {
        let area = resolve::check_area(field, asked)?;
        let passes: BTreeSet<Directed> = resolve::segments_at(world.graph, &field.check_areas[area].outer)
            .into_iter()
            .collect();
        if passes.is_empty() {
            return Err(RouteError::NoEntry {
                place: format!("engine-check area {asked}"),
            });
        }
        areas.push(area);
        via.push(passes);
    }
    let destination = resolve::destination(field, world.graph, &request.to)?;
    let start = departure(world, request, place)?;
    let query = Query {
        starts: start.starts.clone(),
        via,
        ends: destination.ends.clone(),
    };
    let search = SearchGraph::expand(world, &query, avoid);
    let Some((_, places)) = search.cheapest(world, &query) else {
        return Ok(Attempted::NoWay(no_way(world, request, &search, place, &areas)));
    };
    let on: Vec<(usize, Directed)> = places
        .iter()
        .filter_map(|p| match p {
            Place::On(layer, d) => Some((*layer, *d)),
            Place::Source | Place::Sink => None,
        })
        .collect();
    let mut builder = Builder {
        world,
        request,
        legs: Vec::new(),
        costs: Vec::new(),
        doubts: start.doubts.clone(),
    };
    Ok(Attempted::Way(Box::new(builder.build(
        &start,
        place,
        &on,
        &areas,
        &destination,
        declination_deg,
        avoid,
    ))))
}

fn no_way(world: World<'_>, request: &Request, search: &SearchGraph, place: &StandPlace, areas: &[usize]) -> NoWay {
    let reached = search.reached(world);
    let layer = reached.iter().map(|r| r.0).max().unwrap_or(0);
    let unreachable = match areas.get(layer) {
        Some(a) => format!(
            "engine-check area {}",
            world.field.check_areas[*a].name.as_deref().unwrap_or("without name")
        ),
        None => format!(
            "{} \"{}\"",
            if request.to.starts_with(|c: char| c.is_ascii_digit()) {
                "runway"
            } else {
                "holding position"
            },
            request.to
        ),
    };
    let mut nodes: BTreeSet<NodeIndex> = reached.iter().filter(|r| r.0 == layer).map(|r| r.1).collect();
    nodes.extend([place.node, place.lane_node]);
    let from = world.graph.at(place.node);
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
        from: limits::stand_name(world.field, place.stand),
        blocks,
    }
}

struct Builder<'a> {
    world: World<'a>,
    request: &'a Request,
    legs: Vec<Leg>,
    costs: Vec<CostTerm>,
    doubts: Vec<String>,
}

impl Builder<'_> {
    /// Opens a leg, or goes on with the last one when it has the same name.
    fn leg_for(&mut self, d: Directed) -> usize {
        let s = self.world.graph.segment(d.edge);
        let name = limits::name_of(self.world.field, s);
        let kind = match s.source {
            Source::Lane(_, LaneKind::Taxiway) => LegKind::Taxiway,
            Source::Lane(_, LaneKind::Taxilane) => LegKind::Taxilane,
            Source::Runway(_) => LegKind::Runway,
            Source::Stand(_) => LegKind::Stand,
        };
        let speed_mps = cost::segment_speed_mps(self.world.aircraft, s);
        let line = d.line(self.world.graph);
        if let Some(last) = self.legs.last_mut()
            && last.name == name
            && last.kind == kind
            && last.width_m == s.width_m
        {
            last.mapped_line.extend(line.into_iter().skip(1));
            last.speed_mps = last.speed_mps.min(speed_mps);
            return self.legs.len() - 1;
        }
        self.legs.push(Leg {
            kind,
            name,
            letters: s.letters.clone(),
            feature: limits::feature_of(self.world.field, s),
            from_m: 0.0,
            to_m: 0.0,
            width_m: s.width_m,
            surface: s.surface,
            mapped_line: line,
            speed_mps,
        });
        self.legs.len() - 1
    }

    fn extra_leg(&mut self, kind: LegKind, name: String, feature: String, speed_mps: f64) -> usize {
        self.legs.push(Leg {
            kind,
            name,
            letters: Vec::new(),
            feature,
            from_m: 0.0,
            to_m: 0.0,
            width_m: None,
            surface: toeline_model::airfield::Surface::Unknown,
            mapped_line: Vec::new(),
            speed_mps,
        });
        self.legs.len() - 1
    }

    fn charge(&mut self, terms: Vec<(String, u64)>, at: Xy) {
        self.costs
            .extend(terms.into_iter().map(|(what, cost_ms)| CostTerm { what, at, cost_ms }));
    }

    /// Pushes the aeroplane back along its stand line and swings it onto the lane.
    fn push_by_hand(&mut self, path: &mut DrivenPath, place: &StandPlace, first: Directed) {
        let graph = self.world.graph;
        let name = format!(
            "{}, pushed back by hand",
            limits::stand_name(self.world.field, place.stand)
        );
        let feature = self.world.field.stands[place.stand].id.clone();
        let leg = self.extra_leg(LegKind::HandPush, name, feature, PUSH_MPS);
        let wheelbase = self.world.aircraft.gear.wheelbase_m;
        let back = graph.at(place.lane_node).distance(graph.at(place.node)) - wheelbase;
        path.push_back(back.max(0.0), leg);
        path.push_swing(path.end().heading_rad.to_rad(first.sets_off(graph)), leg);
        let cost_ms = (path.length_m() / PUSH_MPS * 1000.0).ceil() as u64;
        let at = graph.at(place.node);
        self.costs.push(CostTerm {
            what: format!("pushed by hand, {:.1} m", path.length_m()),
            at,
            cost_ms,
        });
    }

    #[allow(clippy::too_many_arguments)]
    fn build(
        &mut self,
        start: &Departure,
        place: &StandPlace,
        on: &[(usize, Directed)],
        areas: &[usize],
        destination: &resolve::Destination,
        declination_deg: f64,
        avoid: &Avoid,
    ) -> Route {
        let World { field, graph, aircraft } = self.world;
        let mut path = DrivenPath::new(aircraft.gear.wheelbase_m, start.pose);
        let mut guide = Guide::default();
        if start.pushed_to.is_some()
            && let Some((_, first)) = on.first()
        {
            self.push_by_hand(&mut path, place, *first);
        }
        // Ways along the guide: where each place to go by is passed, and every node that is run over.
        let mut passes: Vec<(f64, f64)> = Vec::new();
        let mut nodes: Vec<(NodeIndex, f64)> = Vec::new();
        let mut segments = Vec::new();
        let mut previous: Option<(usize, Directed)> = None;
        for (layer, d) in on {
            if let Some((before, last)) = previous
                && *layer != before
            {
                let length = graph.segment(last.edge).length_m;
                passes.push((guide.length_m() - length, guide.length_m()));
                previous = Some((*layer, last));
                continue;
            }
            if let Some((_, last)) = previous
                && let Some(terms) = self.world.turn_terms(last, *d)
            {
                self.charge(terms, graph.at(d.start(graph)));
            }
            let line = d.line(graph);
            let leg = self.leg_for(*d);
            self.charge(self.world.segment_terms(*d), line[line.len() / 2]);
            if guide.points.is_empty() {
                // After a push the nose wheel already stands a wheelbase along the lane.
                nodes.push((d.start(graph), 0.0));
            }
            guide.extend(&line, leg);
            nodes.push((d.end(graph), guide.length_m()));
            segments.push((d.edge, d.forward));
            previous = Some((*layer, *d));
        }
        let guide_length = guide.length_m();
        let ahead = aircraft.foremost_ahead_of_nose_m() + HOLD_MARGIN_M;
        let end_m = (guide_length - ahead).max(0.0);
        let mut from_m = if start.pushed_to.is_some() {
            aircraft.gear.wheelbase_m.min(end_m)
        } else {
            0.0
        };
        let mut turns = Vec::new();
        let mut stops = vec![Stop {
            kind: StopKind::Start,
            name: limits::stand_name(field, place.stand),
            of: None,
            at_m: 0.0,
            pose: start.pose,
            line_at: None,
            derived: false,
        }];
        let mut check = None;
        // (way along the guide, way along the path) at places where both are known, for finding stops again.
        let mut marks: Vec<(f64, f64)> = vec![(from_m, path.length_m())];
        for (area_index, pass) in areas.iter().zip(&passes) {
            let area = &field.check_areas[*area_index];
            let name = area.name.clone().unwrap_or_else(|| area.id.clone());
            let wind_from = self.request.wind.from_true(declination_deg);
            let strong = self.request.wind.speed_mps() >= FREE_HEADING_BELOW_MPS;
            let width = self.legs.iter().rev().find_map(|l| l.width_m);
            let site = Site {
                field,
                aircraft,
                area,
                guide: &guide,
                // A little more than the lane may be left and joined in, for the wheels behind.
                beside: guide.slice(pass.0 - LANE_BEYOND_M - 10.0, pass.1 + LANE_BEYOND_M + 10.0),
                lane_half_m: lane_half_m(width),
                passes: *pass,
                limits: (from_m, end_m),
            };
            let way = wind_from
                .filter(|_| strong)
                .and_then(|w| site.nearest_to_wind(w, avoid.check_stands));
            if let (Some(way), Some(wind)) = (&way, wind_from) {
                follow(&mut path, &guide.slice(from_m, way.leave_m), aircraft, &mut turns);
                marks.push((way.leave_m, path.length_m()));
                let lane_speed = aircraft.taxi.apron_kt * toeline_model::units::KNOT_MPS;
                let label = format!("engine-check area {name}");
                let leg = self.extra_leg(LegKind::CheckArea, label, area.id.clone(), lane_speed);
                self.legs[leg].surface = area.surface;
                let before = path.length_m();
                let direction = guide.at(way.leave_m).map_or(path.end().heading_rad, |g| g.1);
                way.append_in(&mut path, direction, leg);
                let at_m = path.length_m();
                let pose = path.pose_at(at_m);
                let heading = pose.heading_rad.bearing();
                stops.push(stop(StopKind::EngineCheck, &name, at_m, pose));
                check = Some(check_stand(&name, heading, Some(wind), way.off_wind_deg));
                way.append_out(&mut path, leg);
                let extra = (path.length_m() - before - (way.join_m - way.leave_m)).max(0.0);
                let cost_ms = (extra / lane_speed * 1000.0).ceil() as u64;
                let what = format!("into engine-check area {name} and out, {extra:.1} m more");
                self.costs.push(CostTerm {
                    what,
                    at: pose.nose,
                    cost_ms,
                });
                from_m = way.join_m;
                marks.push((from_m, path.length_m()));
            } else {
                // Stop on the lane where it comes nearest to the middle of the area.
                let middle = planar::centroid(&area.outer);
                let beside = guide.slice(pass.0, pass.1);
                let into = planar::closest_on_line(middle, &beside.points).map_or(0.0, |(q, i, _)| {
                    planar::line_length(&beside.points[..=i]) + beside.points[i].distance(q)
                });
                let stop_m = (pass.0 + into).clamp(from_m, end_m);
                follow(&mut path, &guide.slice(from_m, stop_m), aircraft, &mut turns);
                let (at_m, pose) = (path.length_m(), path.end());
                stops.push(stop(StopKind::EngineCheck, &name, at_m, pose));
                let heading = pose.heading_rad.bearing();
                let off = wind_from.map_or(0.0, |w| heading.to_deg(w).abs());
                check = Some(check_stand(&name, heading, wind_from.filter(|_| strong), off));
                from_m = stop_m;
                marks.push((from_m, at_m));
            }
        }
        follow(&mut path, &guide.slice(from_m, end_m), aircraft, &mut turns);
        marks.push((end_m, path.length_m()));
        self.hold_stops(&path, &guide, &nodes, &marks, on, &mut stops);
        self.end_stop(&path, &nodes, destination, &mut stops);
        stops.sort_by(|a, b| a.at_m.total_cmp(&b.at_m));
        turns.sort_by(|a, b| a.from_m.total_cmp(&b.from_m));
        self.settle_legs(&mut path);
        let cost_ms = self.costs.iter().map(|c| c.cost_ms).sum();
        Route {
            path,
            legs: core::mem::take(&mut self.legs),
            turns,
            stops,
            costs: core::mem::take(&mut self.costs),
            cost_ms,
            check,
            segments,
            doubts: core::mem::take(&mut self.doubts),
        }
    }

    /// Stops before every holding line that guards a runway, except the last.
    fn hold_stops(
        &self,
        path: &DrivenPath,
        guide: &Guide,
        nodes: &[(NodeIndex, f64)],
        marks: &[(f64, f64)],
        on: &[(usize, Directed)],
        stops: &mut Vec<Stop>,
    ) {
        let World { field, graph, aircraft } = self.world;
        let Some(end_node) = on.last().map(|(_, d)| d.end(graph)) else {
            return;
        };
        for (node, way) in nodes.iter().filter(|n| n.0 != end_node) {
            for hold in graph.holds.iter().filter(|h| h.node == *node) {
                let Some(runway) = hold.guards else { continue };
                // A little before the node, so that a corner at it does not decide the direction.
                let Some((_, direction)) = guide.at((way - 0.05).max(0.0)) else {
                    continue;
                };
                if hold.toward.is_some_and(|t| t.to_rad(direction).abs() > 1.6) {
                    continue;
                }
                let after = marks.iter().filter(|m| m.0 <= *way).map(|m| m.1).fold(0.0, f64::max);
                let before = marks
                    .iter()
                    .filter(|m| m.0 >= *way)
                    .map(|m| m.1)
                    .fold(f64::INFINITY, f64::min);
                let before = before.min(path.length_m());
                let Some((line_m, _)) = path.nearest(graph.at(*node), after, before) else {
                    continue;
                };
                let at_m = (line_m - aircraft.foremost_ahead_of_nose_m() - HOLD_MARGIN_M).max(0.0);
                stops.push(Stop {
                    kind: StopKind::HoldShort,
                    name: hold.name.clone(),
                    of: Some(limits::runway_name(field, runway)),
                    at_m,
                    pose: path.pose_at(at_m),
                    line_at: Some(graph.at(*node)),
                    derived: hold.position.is_none(),
                });
            }
        }
    }

    fn end_stop(
        &mut self,
        path: &DrivenPath,
        nodes: &[(NodeIndex, f64)],
        destination: &resolve::Destination,
        stops: &mut Vec<Stop>,
    ) {
        let World { field, graph, .. } = self.world;
        let Some((node, _)) = nodes.last() else { return };
        let hold = destination.holds.get(node).map(|i| &graph.holds[*i]);
        let of = match (&destination.runway, hold.and_then(|h| h.guards)) {
            (Some((_, designator)), _) => Some(format!("runway {designator}")),
            (None, Some(i)) => Some(limits::runway_name(field, i)),
            (None, None) => None,
        };
        if let Some(past) = destination.past_threshold_m.get(node).filter(|m| **m > 60.0) {
            self.doubts.push(format!(
                "this way joins the runway {past:.0} m past the threshold: that much runway is left behind unless you backtrack"
            ));
        }
        stops.push(Stop {
            kind: StopKind::End,
            name: hold.map_or_else(|| self.request.to.clone(), |h| h.name.clone()),
            of,
            at_m: path.length_m(),
            pose: path.end(),
            line_at: Some(graph.at(*node)),
            derived: hold.is_some_and(|h| h.position.is_none()),
        });
    }

    /// Gives every leg its stretch of the path and drops legs that rounding has swallowed.
    fn settle_legs(&mut self, path: &mut DrivenPath) {
        // The path may visit a leg twice (off the lane and back): it becomes two.
        let mut legs: Vec<Leg> = Vec::new();
        let mut last: Option<usize> = None;
        for piece in &mut path.pieces {
            if last != Some(piece.leg) {
                let mut leg = self.legs[piece.leg].clone();
                leg.from_m = piece.from_m;
                legs.push(leg);
                last = Some(piece.leg);
            }
            piece.leg = legs.len() - 1;
            if let Some(leg) = legs.last_mut() {
                leg.to_m = piece.from_m + piece.length_m;
            }
        }
        self.legs = legs;
    }
}

fn stop(kind: StopKind, name: &str, at_m: f64, pose: Pose) -> Stop {
    Stop {
        kind,
        name: name.to_string(),
        of: None,
        at_m,
        pose,
        line_at: None,
        derived: false,
    }
}

fn check_stand(area: &str, heading: Bearing, wind_from: Option<Bearing>, planned_off_deg: f64) -> CheckStand {
    let off_wind_deg = wind_from.map(|w| heading.to_deg(w).abs());
    let why = match wind_from {
        None => "the wind is calm, light or variable: the heading is free, and it stands on the lane".to_string(),
        Some(_) if planned_off_deg < 1.0 => "nose into the wind".to_string(),
        Some(_) => format!(
            "{planned_off_deg:.0} degrees off the wind: nearer to it there is no room to drive in, stand and drive out within the area"
        ),
    };
    CheckStand {
        area: area.to_string(),
        heading,
        wind_from,
        off_wind_deg,
        why,
    }
}
