//! The engine check within the way: off the lane to a place with the nose into the wind and back, or a stop on the lane.

use super::assemble::Assembly;
use super::check_stand::{CheckWay, LANE_BEYOND_M, Site, lane_half_m};
use super::resolve::AREA_REACH_M;
use super::{CheckStand, CostTerm, FREE_HEADING_BELOW_MPS, LegKind, Stop, StopKind};
use toeline_model::airfield::NamedArea;
use toeline_model::path::Pose;
use toeline_model::planar::Shape;
use toeline_model::units::KNOT_MPS;
use toeline_model::{Bearing, planar};

/// How much more of the lane than may be left and joined counts as pavement, metres: for the wheels behind.
const WHEELS_BEHIND_M: f64 = 10.0;

/// Said when the wind gives no heading.
const FREE: &str = "the wind is calm, light or variable, so any heading will do";

impl Assembly<'_> {
    /// Drives to the engine check in an area that the guide passes between two ways, and on.
    pub(super) fn engine_check(&mut self, area: usize, pass: (f64, f64), skip: usize) {
        let area = &self.world.field.check_areas[area];
        let strong = self.request.wind.speed_mps() >= FREE_HEADING_BELOW_MPS;
        let wind = self.request.wind.from_true(self.declination_deg).filter(|_| strong);
        let pass = self.beside_the_area(area, pass);
        let around = (
            pass.0 - LANE_BEYOND_M - WHEELS_BEHIND_M,
            pass.1 + LANE_BEYOND_M + WHEELS_BEHIND_M,
        );
        let site = Site {
            field: self.world.field,
            aircraft: self.world.aircraft,
            area,
            guide: &self.guide,
            beside: self.guide.slice(around.0, around.1),
            lane_half_m: lane_half_m(self.guide.leg_at(pass.1).and_then(|l| self.legs[l].width_m)),
            passes: pass,
            limits: (self.from_m, self.end_m),
        };
        let way = match wind {
            Some(from) => site.nearest_to_wind(from, skip),
            None => site.any_heading(skip),
        };
        match way {
            Some(way) => self.stand_off_the_lane(area, &way, wind),
            None => self.stop_on_the_lane(area, pass, wind),
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

    fn stand_off_the_lane(&mut self, area: &NamedArea, way: &CheckWay, wind: Option<Bearing>) {
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
        let why = match way.off_wind_deg {
            None => FREE.to_string(),
            Some(off) if off < 1.0 => "nose into the wind".to_string(),
            Some(off) => format!(
                "{off:.0} degrees off the wind: nearer to it there is no room to drive in, stand and drive out within the area"
            ),
        };
        self.check = Some(check_stand(&name, pose, wind, why));
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
    fn stop_on_the_lane(&mut self, area: &NamedArea, pass: (f64, f64), wind: Option<Bearing>) {
        let beside = self.guide.slice(pass.0, pass.1);
        let into = planar::closest_on_line(planar::centroid(&area.outer), &beside.points).map_or(0.0, |(q, i, _)| {
            planar::line_length(&beside.points[..=i]) + beside.points[i].distance(q)
        });
        self.follow_to((pass.0 + into).clamp(self.from_m, self.end_m));
        let name = name_of(area);
        let (at_m, pose) = (self.path.length_m(), self.path.end());
        self.stops.push(check_stop(&name, at_m, pose));
        let no_room = "on the lane: the area has no room to drive in, stand and drive out";
        let why = if wind.is_some() {
            no_room.to_string()
        } else {
            format!("{no_room}; {FREE}")
        };
        self.check = Some(check_stand(&name, pose, wind, why));
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

fn check_stand(area: &str, pose: Pose, wind_from: Option<Bearing>, why: String) -> CheckStand {
    let heading = pose.heading_rad.bearing();
    let off_wind_deg = wind_from.map(|w| heading.to_deg(w).abs());
    CheckStand {
        area: area.to_string(),
        heading,
        wind_from,
        off_wind_deg,
        why,
    }
}
