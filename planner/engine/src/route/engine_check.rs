//! The engine check within the way: off the lane to a place with the nose into the wind and back, or a stop on the lane.

use super::assemble::Assembly;
use super::check::around::Around;
use super::check::blast::{self, BlastHarm, BlastOn, blast_behind_m, leads_to_a_runway};
use super::check::{Chosen, LANE_BEYOND_M, Site};
use super::resolve::AREA_REACH_M;
use super::search::World;
use super::{CheckStand, CostTerm, FREE_HEADING_BELOW_MPS, LegKind, Stop, StopKind};
use std::collections::BTreeSet;
use toeline_model::airfield::{FeatureId, Lane, NamedArea};
use toeline_model::path::Pose;
use toeline_model::planar::Shape;
use toeline_model::units::KNOT_MPS;
use toeline_model::{Bearing, Xy, planar};

/// How much more of the lane than may be left and joined counts as pavement, metres: for the wheels behind.
const WHEELS_BEHIND_M: f64 = 10.0;

impl Assembly<'_> {
    /// Drives to the engine check in an area that the guide passes between two ways, and on.
    pub(super) fn engine_check(&mut self, area: usize, pass: (f64, f64), skip: usize) {
        let area = &self.world.field.check_areas[area];
        let strong = self.request.wind.speed_mps() >= FREE_HEADING_BELOW_MPS;
        let wind = self.request.wind.from_true(self.declination_deg).filter(|_| strong);
        let pass = self.beside_the_area(area, pass);
        let lane = (
            pass.0 - LANE_BEYOND_M - WHEELS_BEHIND_M,
            pass.1 + LANE_BEYOND_M + WHEELS_BEHIND_M,
        );
        let beside = self.guide.slice(lane.0, lane.1);
        let points: Vec<Xy> = area.outer.iter().chain(&beside.points).copied().collect();
        let World { field, aircraft, .. } = self.world;
        let own: BTreeSet<&FeatureId> = self.legs.iter().map(|l| &l.feature).collect();
        let in_use = |l: &Lane| own.contains(&l.id) || leads_to_a_runway(field, l);
        let around = Around::new(field, aircraft, self.request, &self.path.start, &points, &in_use);
        let width_m = self.guide.leg_at(pass.1).and_then(|l| self.legs[l].width_m);
        let limits = (self.from_m, self.end_m);
        let site = Site::new(
            field,
            aircraft,
            area,
            &self.guide,
            &beside,
            width_m,
            pass,
            limits,
            &around,
        );
        match site.choose(wind, skip) {
            Ok(chosen) => self.stand_off_the_lane(area, chosen, wind),
            Err(why) => self.stop_on_the_lane(area, pass, wind, &why, &around),
        }
    }

    /// The part of a stretch of the guide that really lies beside the area: a segment may be long.
    fn beside_the_area(&self, area: &NamedArea, pass: (f64, f64)) -> (f64, f64) {
        let steps = (pass.1 - pass.0).ceil().max(1.0) as usize;
        let ways = (0..=steps).map(|k| pass.0 + (pass.1 - pass.0) * k as f64 / steps as f64);
        let near = |way: &f64| {
            self.guide.at(*way).is_some_and(|(at, _)| {
                let point = Shape::Disc { at, radius_m: 0.0 };
                planar::outline_to_shape(&area.outer, &point).distance_m <= AREA_REACH_M
            })
        };
        let beside: Vec<f64> = ways.filter(near).collect();
        match (beside.first(), beside.last()) {
            (Some(a), Some(b)) => (*a, *b),
            _ => pass,
        }
    }

    fn stand_off_the_lane(&mut self, area: &NamedArea, chosen: Chosen, wind: Option<Bearing>) {
        let way = &chosen.way;
        self.follow_to(way.leave_m);
        let name = name_of(area);
        let speed = self.world.aircraft.taxi.apron_kt * KNOT_MPS;
        let label = format!("engine-check area {name}");
        let leg = self.extra_leg(LegKind::CheckArea, label, area.id.clone(), speed);
        self.legs[leg].surface = area.surface;
        let before = self.path.length_m();
        let direction = self.guide.at(way.leave_m).map_or(self.path.end().heading_rad, |g| g.1);
        way.append_in(&mut self.path, direction, leg);
        let (at_m, pose) = (self.path.length_m(), self.path.end());
        self.stops.push(check_stop(&name, at_m, pose));
        let mut check = self.check_stand(&name, pose, wind, chosen.why);
        self.doubt_blast(&name, &chosen.blown);
        (check.blast_on, check.others) = (chosen.blown, chosen.others);
        self.check = Some(check);
        way.append_out(&mut self.path, leg);
        let extra = (self.path.length_m() - before - (way.join_m - way.leave_m)).max(0.0);
        let what = format!("into engine-check area {name} and out, {extra:.1} m more");
        let cost_ms = (extra / speed * 1000.0).ceil() as u64;
        self.costs.push(CostTerm {
            what,
            at: pose.nose,
            cost_ms,
        });
        self.from_m = way.join_m;
        self.marks.push((way.join_m, self.path.length_m()));
    }

    /// Stops on the lane where it comes nearest to the middle of the area.
    fn stop_on_the_lane(
        &mut self,
        area: &NamedArea,
        pass: (f64, f64),
        wind: Option<Bearing>,
        blocked: &str,
        around: &Around,
    ) {
        let beside = self.guide.slice(pass.0, pass.1);
        let into = planar::closest_on_line(planar::centroid(&area.outer), &beside.points).map_or(0.0, |(q, i, _)| {
            planar::line_length(&beside.points[..=i]) + beside.points[i].distance(q)
        });
        self.follow_to((pass.0 + into).clamp(self.from_m, self.end_m));
        let name = name_of(area);
        let (at_m, pose) = (self.path.length_m(), self.path.end());
        self.stops.push(check_stop(&name, at_m, pose));
        let why = match wind {
            Some(_) => {
                format!("on the lane, because the area itself will not do on any heading; into the wind, {blocked}")
            }
            None => format!("on the lane, because the area itself will not do: {blocked}"),
        };
        let mut check = self.check_stand(&name, pose, wind, why);
        // On the lane the blast is on the lane: what stands behind is what matters.
        check.blast_on = blast::falls_on(self.world.aircraft, &pose, &around.targets);
        self.doubt_blast(&name, &check.blast_on);
        self.check = Some(check);
    }

    /// Says so when the blast of the check falls on what it should be kept off.
    fn doubt_blast(&mut self, area: &str, blown: &[BlastOn]) {
        let harmed = blown.iter().filter(|b| b.harm == BlastHarm::KeepOff);
        let names: Vec<&str> = harmed.map(|b| b.name.as_str()).collect();
        if !names.is_empty() {
            self.doubts.push(format!(
                "engine check in {area}: no place was found where the blast falls on nobody; it would fall on {}: \
                 ask for another place, or have the ground behind cleared",
                names.join(", ")
            ));
        }
    }

    fn check_stand(&self, area: &str, pose: Pose, wind_from: Option<Bearing>, why: String) -> CheckStand {
        let aircraft = self.world.aircraft;
        let heading = pose.heading_rad.bearing();
        CheckStand {
            area: area.to_string(),
            heading,
            wind_from,
            off_wind_deg: wind_from.map(|w| heading.to_deg(w).abs()),
            why,
            blast_m: blast_behind_m(aircraft, aircraft.engine_check.check_rpm),
            blast_on: Vec::new(),
            others: Vec::new(),
        }
    }
}

fn name_of(area: &NamedArea) -> String {
    area.name.clone().unwrap_or_else(|| area.id.clone())
}

fn check_stop(name: &str, at_m: f64, pose: Pose) -> Stop {
    let kind = StopKind::EngineCheck;
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
