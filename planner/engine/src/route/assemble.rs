//! From the segments found to a route: legs, price, the mapped line to follow, and the driven path along it.

use super::by::By;
use super::corner::Corners;
use super::departure::{self, Departure};
use super::guide::{self, Guide};
use super::over_apron::Joined;
use super::resolve::Destination;
use super::rounding::follow;
use super::search::{Directed, World};
use super::stops::HOLD_MARGIN_M;
use super::{CheckStand, CostTerm, Leg, LegKind, Route, Stop, StopKind, Turn, cost, gear, limits};
use crate::graph::{Source, StandPlace};
use crate::request::Request;
use petgraph::graph::{EdgeIndex, NodeIndex};
use toeline_model::airfield::{Airfield, LaneKind, Surface};
use toeline_model::frame::Xy;
use toeline_model::path::Pose;
use toeline_model::{DrivenPath, planar};

/// What is to be assembled.
pub(super) struct Trip<'a> {
    pub(super) start: &'a Departure,
    /// Segments in order, with the number of places gone by before each.
    pub(super) on: Vec<(usize, Directed)>,
    /// Places to go by, in order.
    pub(super) by: &'a [By],
    pub(super) destination: &'a Destination,
}

/// A route in the making.
pub(super) struct Assembly<'a> {
    pub(super) world: World<'a>,
    pub(super) request: &'a Request,
    pub(super) declination_deg: f64,
    pub(super) legs: Vec<Leg>,
    pub(super) costs: Vec<CostTerm>,
    pub(super) doubts: Vec<String>,
    pub(super) path: DrivenPath,
    /// The mapped line of the whole way.
    pub(super) guide: Guide,
    pub(super) turns: Vec<Turn>,
    pub(super) stops: Vec<Stop>,
    pub(super) check: Option<CheckStand>,
    /// Every node run over, with its way along the guide, metres.
    pub(super) nodes: Vec<(NodeIndex, f64)>,
    /// For each place to go by, the ways along the guide between which it is passed, metres, and the segment that the way
    /// goes on with.
    passes: Vec<((f64, f64), Directed)>,
    /// Ways along the guide and along the path at places where both are known, metres.
    pub(super) marks: Vec<(f64, f64)>,
    segments: Vec<(EdgeIndex, bool)>,
    /// Way along the guide at the end of each segment searched, metres.
    reach: Vec<f64>,
    /// Where a way over the apron joins its first segment.
    pub(super) joined: Option<Joined>,
    /// Way along the guide from which on it is still to be followed, and that of the last stop, metres.
    pub(super) from_m: f64,
    pub(super) end_m: f64,
}

/// Builds the route, and for each segment searched (an engine-check area or another place to go by repeats one) the stretch
/// of the path along it, metres. `check_stands` is how many of the best ways to stand for the engine check to pass over.
pub(super) fn assemble(
    world: World<'_>,
    request: &Request,
    declination_deg: f64,
    trip: &Trip<'_>,
    check_stands: usize,
) -> (Route, Vec<(f64, f64)>) {
    let first = trip.on.first().map(|on| on.1);
    // A way always has a segment; without one it stands where it begins.
    let onto = |d: Directed| Pose {
        nose: world.graph.at(d.start(world.graph)),
        heading_rad: d.sets_off(world.graph),
    };
    let pose = trip.start.pose.or(first.map(onto)).unwrap_or(Pose {
        nose: trip.start.at,
        heading_rad: toeline_model::Yaw::from_rad(0.0),
    });
    let mut a = Assembly {
        world,
        request,
        declination_deg,
        legs: Vec::new(),
        costs: Vec::new(),
        doubts: trip.start.doubts.clone(),
        path: DrivenPath::new(world.aircraft.gear.wheelbase_m, pose),
        guide: Guide::default(),
        turns: Vec::new(),
        stops: Vec::new(),
        check: None,
        nodes: Vec::new(),
        passes: Vec::new(),
        marks: Vec::new(),
        segments: Vec::new(),
        reach: Vec::new(),
        joined: None,
        from_m: 0.0,
        end_m: 0.0,
    };
    a.stops.push(Stop {
        kind: StopKind::Start,
        name: trip.start.name.clone(),
        of: None,
        at_m: 0.0,
        pose,
        line_at: None,
        derived: false,
    });
    if let (Some(place), Some(first)) = (&trip.start.pushed, first) {
        a.push_by_hand(place, first);
    }
    let join = trip.start.over.as_ref().and_then(|o| o.onto(first));
    if let Some(join) = join {
        a.cross_apron(join);
    }
    a.charge_ends(trip);
    a.lay_guide(trip);
    let ahead = world.aircraft.foremost_ahead_of_nose_m() + HOLD_MARGIN_M;
    // At a stand the nose wheel stops on its mark; elsewhere the foremost part stays behind the line.
    let left = if trip.destination.stand.is_some() { 0.0 } else { ahead };
    a.end_m = (a.guide.length_m() - left).max(0.0);
    if trip.start.pushed.is_some() {
        // After the push the nose wheel already stands a wheelbase along the lane.
        a.from_m = world.aircraft.gear.wheelbase_m.min(a.end_m);
    }
    if let Some(join) = join {
        a.from_m = join.at_m.min(a.end_m);
        // What lies before the join is not passed.
        a.nodes.retain(|n| n.1 >= join.at_m);
    }
    a.marks.push((a.from_m, a.path.length_m()));
    for (by, (pass, onward)) in trip.by.iter().zip(a.passes.clone()) {
        match by {
            By::Area(area) => a.engine_check(*area, pass, check_stands),
            By::Stand(place) => a.stop_at_stand(place, pass, onward),
            By::Hold(index) => a.stop_behind(*index, pass.1 - ahead),
        }
    }
    a.follow_to(a.end_m);
    a.hold_stops(trip);
    a.end_stop(trip.destination);
    let spans = a.spans(trip);
    (a.finish(), spans)
}

impl Assembly<'_> {
    /// Charges what beginning and ending so costs besides: the search has it in its price.
    fn charge_ends(&mut self, trip: &Trip<'_>) {
        let graph = self.world.graph;
        let (Some((_, first)), Some((_, last))) = (trip.on.first(), trip.on.last()) else {
            return;
        };
        let rolled = trip.start.starts.get(first).copied().unwrap_or(0);
        // A push by hand and a way over the apron are charged where they are driven.
        if trip.start.pushed.is_none() && trip.start.over.is_none() && rolled > 0 {
            let what = "along the runway to this exit".to_string();
            self.charge(vec![(what, rolled)], graph.at(first.start(graph)));
        }
        let lost = trip.destination.ends.get(last).copied().unwrap_or(0);
        if lost > 0 {
            let what = "runway left behind at this entry".to_string();
            self.charge(vec![(what, lost)], graph.at(last.end(graph)));
        }
    }

    /// Lays the mapped lines of the segments end to end, opens their legs and charges their price.
    fn lay_guide(&mut self, trip: &Trip<'_>) {
        let graph = self.world.graph;
        let mut previous: Option<(usize, Directed)> = None;
        for (layer, d) in &trip.on {
            if let Some((before, last)) = previous
                && *layer != before
            {
                // Here the place is gone by.
                let length = graph.segment(last.edge).length_m;
                let pass = (self.guide.length_m() - length, self.guide.length_m());
                self.passes.push((pass, *d));
                if *d == last {
                    // The same segment again, one layer up.
                    self.reach.push(self.guide.length_m());
                    previous = Some((*layer, last));
                    continue;
                }
                // Off a stand, back to its lane.
                let leg = self.legs.len() - 1;
                self.guide.extend(&[graph.at(d.start(graph))], leg);
            } else if let Some((_, last)) = previous
                && let Some(terms) = self.world.turn_terms(last, *d)
            {
                self.charge(terms, graph.at(d.start(graph)));
            }
            let line = d.line(graph);
            let leg = self.leg_for(*d);
            let mut terms = self.world.segment_terms(*d);
            if self.guide.points.is_empty()
                && let (Some(joined), Some(time)) = (&self.joined, terms.first_mut())
            {
                time.0.push_str(", joined on the way");
                time.1 = time.1.saturating_sub(joined.skipped_ms);
            }
            self.charge(terms, line[line.len() / 2]);
            if self.guide.points.is_empty() {
                self.nodes.push((d.start(graph), 0.0));
            }
            self.guide.extend(&line, leg);
            self.reach.push(self.guide.length_m());
            self.nodes.push((d.end(graph), self.guide.length_m()));
            self.segments.push((d.edge, d.forward));
            previous = Some((*layer, *d));
        }
    }

    /// For each segment searched, the stretch of the path along it: found at its ends, in order, between the marks where
    /// the ways along the guide and along the path are both known.
    fn spans(&self, trip: &Trip<'_>) -> Vec<(f64, f64)> {
        let mut from = self.joined.as_ref().map_or(0.0, |j| j.over_m);
        let mut list: Vec<(f64, f64)> = Vec::new();
        for (i, (_, d)) in trip.on.iter().enumerate() {
            let end = self.world.graph.at(d.end(self.world.graph));
            let to = match self.along_path(end, self.reach[i], from) {
                Some(s) if i + 1 < trip.on.len() => s,
                _ => self.path.length_m(),
            };
            list.push((from, to));
            from = to;
        }
        list
    }

    /// Where along the path a point of the guide lies, `guide_m` along that; not before a way along the path.
    pub(super) fn along_path(&self, at: Xy, guide_m: f64, not_before_m: f64) -> Option<f64> {
        let before = self.marks.iter().rfind(|m| m.0 <= guide_m);
        let after = self.marks.iter().find(|m| m.0 >= guide_m);
        let low = before.copied().unwrap_or((0.0, 0.0));
        let high = after.copied().unwrap_or((self.guide.length_m(), self.path.length_m()));
        // Two marks at one place of the guide: the path does something there that the guide does not.
        let high = if high.1 < low.1 { low } else { high };
        guide::along_path(&self.path, at, guide_m, (low, high), not_before_m)
    }

    /// Drives along the guide to a way along it.
    pub(super) fn follow_to(&mut self, to_m: f64) {
        let piece = self.guide.slice(self.from_m, to_m);
        let (field, legs) = (self.world.field, &self.legs);
        let half_width_m = |p: Xy| half_width_m(field, legs, &piece, p);
        let corners = Corners {
            aircraft: self.world.aircraft,
            half_width_m: &half_width_m,
        };
        follow(&mut self.path, &piece, &corners, &mut self.turns);
        self.from_m = to_m;
        self.marks.push((to_m, self.path.length_m()));
    }

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
        let slope_percent = self.slope(d);
        if let Some(last) = self.legs.last_mut()
            && last.name == name
            && last.kind == kind
            && last.width_m == s.width_m
        {
            last.mapped_line.extend(line.into_iter().skip(1));
            last.speed_mps = last.speed_mps.min(speed_mps);
            let steepness = |s: Option<f64>| s.map_or(-1.0, f64::abs);
            if steepness(slope_percent) > steepness(last.slope_percent) {
                last.slope_percent = slope_percent;
            }
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
            slope_percent,
        });
        self.legs.len() - 1
    }

    /// Slope of a segment in the direction of travel, percent.
    fn slope(&self, d: Directed) -> Option<f64> {
        // A segment's line runs in the sense of the lane it is a piece of.
        match self.world.graph.segment(d.edge).source {
            Source::Lane(i, _) => {
                let along = self.world.field.lanes[i].slope_percent?;
                Some(if d.forward { along } else { -along })
            }
            Source::Runway(_) | Source::Stand(_) => None,
        }
    }

    /// Says which helipads the way passes: looking there is the pilot's, and no price makes it safe.
    fn doubt_helipads(&mut self) {
        for pad in &self.world.field.helipads {
            let words = cost::helipad_words(pad);
            if self.costs.iter().any(|c| c.what == words) {
                let pad = words.trim_start_matches("pass ");
                self.doubts.push(format!(
                    "this way passes {pad} within half a wing span: look up and ask before you come to it"
                ));
            }
        }
    }

    /// Opens a leg that is no piece of the graph.
    pub(super) fn extra_leg(&mut self, kind: LegKind, name: String, feature: String, speed_mps: f64) -> usize {
        self.legs.push(Leg {
            kind,
            name,
            letters: Vec::new(),
            feature,
            from_m: 0.0,
            to_m: 0.0,
            width_m: None,
            surface: Surface::Unknown,
            mapped_line: Vec::new(),
            speed_mps,
            slope_percent: None,
        });
        self.legs.len() - 1
    }

    pub(super) fn charge(&mut self, terms: Vec<(String, u64)>, at: Xy) {
        self.costs
            .extend(terms.into_iter().map(|(what, cost_ms)| CostTerm { what, at, cost_ms }));
    }

    /// Pushes the aeroplane back along its stand line and swings it onto the lane.
    pub(super) fn push_by_hand(&mut self, place: &StandPlace, first: Directed) {
        let graph = self.world.graph;
        let name = format!(
            "{}, pushed back by hand",
            limits::stand_name(self.world.field, place.stand)
        );
        let feature = self.world.field.stands[place.stand].id.clone();
        let leg = self.extra_leg(LegKind::HandPush, name, feature, cost::PUSH_MPS);
        let before_m = self.path.length_m();
        departure::push_onto(graph, &mut self.path, place, first, leg);
        let pushed_m = self.path.length_m() - before_m;
        self.costs.push(CostTerm {
            what: format!("pushed by hand, {pushed_m:.1} m"),
            at: graph.at(place.node),
            cost_ms: departure::push_ms(pushed_m),
        });
    }

    /// Gives every leg its stretch of the path and drops legs that rounding has swallowed.
    fn settle_legs(&mut self) {
        // The path may visit a leg twice (off the lane and back): it becomes two.
        let mut legs: Vec<Leg> = Vec::new();
        let mut last: Option<usize> = None;
        for piece in &mut self.path.pieces {
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

    fn finish(mut self) -> Route {
        self.doubt_helipads();
        self.stops.sort_by(|a, b| a.at_m.total_cmp(&b.at_m));
        self.turns.sort_by(|a, b| a.from_m.total_cmp(&b.from_m));
        self.settle_legs();
        let World { field, aircraft, .. } = self.world;
        gear::measure(field, aircraft, &self.path, &self.legs, &mut self.turns);
        Route {
            path: self.path,
            legs: self.legs,
            turns: self.turns,
            stops: self.stops,
            cost_ms: self.costs.iter().map(|c| c.cost_ms).sum(),
            costs: self.costs,
            check: self.check,
            segments: self.segments,
            doubts: self.doubts,
        }
    }
}

/// Half the narrowest mapped width of the legs that meet at a point of the guide, metres; `None` on an apron.
pub(super) fn half_width_m(field: &Airfield, legs: &[Leg], guide: &Guide, p: Xy) -> Option<f64> {
    let open = field.aprons.iter().chain(&field.check_areas);
    if open.into_iter().any(|a| a.holds(p)) {
        return None;
    }
    let (_, piece, _) = planar::closest_on_line(p, &guide.points)?;
    let meet = &guide.legs[piece..guide.legs.len().min(piece + 2)];
    let widths = meet.iter().filter_map(|l| legs[*l].width_m);
    widths.reduce(f64::min).map(|w| w / 2.0)
}
