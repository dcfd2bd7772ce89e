//! The propeller's blast behind an aeroplane that stands with power set: how far it reaches, how wide, and on what it
//! falls.
//!
//! A free round jet (textbook: Pope, Turbulent Flows, table 5.1, from memory): far from the propeller the greatest speed is
//! 6·√(4T/(πρ))/x for a thrust T, and it has fallen to a tenth of that at 0.18·x from the middle. The thrust is that of the
//! actuator disc at full throttle, less with the square of the rpm. Left out, and so ours to judge: ground, fuselage and
//! tail in the way, the swirl, and the wind that carries it.

use toeline_model::airfield::{LaneKind, ObstacleKind};
use toeline_model::frame::{Xy, xy};
use toeline_model::path::Pose;
use toeline_model::planar::{self, Shape};
use toeline_model::units::DEG;
use toeline_model::{Aircraft, Airfield, math};

/// Speed at which the blast is taken to end, metres per second (20 kt, ours: less is a wind that people, doors and
/// unlocked rudders out there have to bear on many a day).
pub const BLAST_ENDS_MPS: f64 = 10.0;
/// Opening either side of the edge of the propeller disc, degrees (ours; the jet's own tenth is at 10).
pub const BLAST_HALF_ANGLE_DEG: f64 = 12.0;
/// Of the textbook, see above.
const JET_DECAY: f64 = 6.0;
/// Air at sea level in the ICAO standard atmosphere, kg/m³.
const AIR_KGPM3: f64 = 1.225;
/// Share of the shaft's power that a fixed propeller turns into thrust at rest (ours, the same as in the dynamics).
const EFFICIENCY: f64 = 0.75;
/// Half width of what somebody who waits at a holding position takes, metres (ours), and of a runway or lane whose width is
/// not mapped.
const WAITING_M: f64 = 5.0;
const RUNWAY_HALF_M: f64 = 9.0;
const LANE_HALF_M: f64 = 3.75;

/// How far behind a propeller the blast reaches at an engine speed, metres.
pub fn blast_reach_m(aircraft: &Aircraft, diameter_m: f64, rpm: f64) -> f64 {
    let engine = &aircraft.engine;
    let power_w = EFFICIENCY * engine.power_kw * 1000.0 * engine.static_rpm / engine.red_line_rpm;
    let disc_m2 = core::f64::consts::PI * diameter_m * diameter_m / 4.0;
    let full_n = (2.0 * AIR_KGPM3 * disc_m2 * power_w * power_w).cbrt();
    let share = rpm / engine.static_rpm;
    let thrust_n = full_n * share * share;
    JET_DECAY * (4.0 * thrust_n / (core::f64::consts::PI * AIR_KGPM3)).sqrt() / BLAST_ENDS_MPS
}

/// How far the blast of the whole aeroplane reaches behind its farthest propeller, metres.
pub fn blast_behind_m(aircraft: &Aircraft, rpm: f64) -> f64 {
    let reach = aircraft
        .propellers
        .iter()
        .map(|p| blast_reach_m(aircraft, p.diameter_m, rpm));
    reach.fold(0.0, f64::max)
}

/// The blast behind each propeller in plan, in local metres: convex outlines.
pub fn blast_outlines(aircraft: &Aircraft, pose: &Pose, rpm: f64) -> Vec<Vec<Xy>> {
    let open = math::tan(BLAST_HALF_ANGLE_DEG * DEG);
    let wheelbase = aircraft.gear.wheelbase_m;
    let one = |p: &toeline_model::aircraft::Propeller| {
        let (r, long) = (p.diameter_m / 2.0, blast_reach_m(aircraft, p.diameter_m, rpm));
        let wide = r + open * long;
        let corners = [
            xy(p.x_m, p.y_m + r),
            xy(p.x_m - long, p.y_m + wide),
            xy(p.x_m - long, p.y_m - wide),
            xy(p.x_m, p.y_m - r),
        ];
        corners.iter().map(|b| pose.place(wheelbase, *b)).collect()
    };
    aircraft.propellers.iter().map(one).collect()
}

/// How bad it is that the blast falls on something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in super::super) enum Harm {
    /// Ground where others come by: a lane, a runway, a holding position. It can be waited for.
    Traffic,
    /// People, aeroplanes that stand, hangars that may be open.
    People,
}

/// Something that the blast must not fall on.
#[derive(Clone, Debug)]
pub(in super::super) struct Target {
    pub(super) name: String,
    pub(super) harm: Harm,
    shape: Shape,
    /// Half width of a line, metres.
    half_m: f64,
    bounds: (Xy, Xy),
}

impl Target {
    pub(super) fn new(name: String, harm: Harm, shape: Shape, half_m: f64) -> Target {
        let bounds = shape.bounds();
        Target {
            name,
            harm,
            shape,
            half_m,
            bounds,
        }
    }

    fn hit(&self, outline: &[Xy], around: (Xy, Xy)) -> bool {
        let (h, (low, high)) = (self.half_m, self.bounds);
        let apart =
            low.x - h > around.1.x || high.x + h < around.0.x || low.y - h > around.1.y || high.y + h < around.0.y;
        !apart && planar::outline_to_shape(outline, &self.shape).distance_m <= h
    }
}

/// Lanes, runways, holding positions, buildings with people, hangars and parked aeroplanes of the map. Stands are added by
/// the caller, who knows how others stand there.
pub(super) fn targets(field: &Airfield, name_of: impl Fn(&toeline_model::airfield::Obstacle) -> String) -> Vec<Target> {
    let mut list = Vec::new();
    for l in field.lanes.iter().filter(|l| l.closed.is_none() && l.line.len() > 1) {
        let kind = match l.kind {
            LaneKind::Taxiway => "taxiway",
            LaneKind::Taxilane => "taxilane",
        };
        let name = if l.letters.is_empty() {
            format!("an unnamed {kind} ({})", l.id)
        } else {
            format!("{kind} {}", l.letters.join(" "))
        };
        let shape = Shape::Line { points: l.line.clone() };
        let half_m = l.width_m.map_or(LANE_HALF_M, |w| w / 2.0);
        list.push(Target::new(name, Harm::Traffic, shape, half_m));
    }
    for r in field.runways.iter().filter(|r| r.closed.is_none() && r.line.len() > 1) {
        let ends: Vec<&str> = r.designators.iter().flatten().map(String::as_str).collect();
        let shape = Shape::Line { points: r.line.clone() };
        let half_m = r.width_m.map_or(RUNWAY_HALF_M, |w| w / 2.0);
        list.push(Target::new(
            format!("runway {}", ends.join("/")),
            Harm::Traffic,
            shape,
            half_m,
        ));
    }
    for h in &field.holding_positions {
        let name = format!("holding position {}", h.name.as_ref().unwrap_or(&h.id));
        let shape = Shape::Disc {
            at: h.at,
            radius_m: WAITING_M,
        };
        list.push(Target::new(name, Harm::Traffic, shape, 0.0));
    }
    for pad in &field.helipads {
        let shape = Shape::Area {
            outer: pad.outer.clone(),
            holes: Vec::new(),
        };
        let name = format!("helipad {}", pad.name.as_ref().unwrap_or(&pad.id));
        list.push(Target::new(name, Harm::People, shape, 0.0));
    }
    for o in &field.obstacles {
        use ObstacleKind as K;
        if matches!(o.kind, K::Building | K::Hangar | K::Terminal | K::ParkedAeroplane) {
            list.push(Target::new(name_of(o), Harm::People, o.shape.clone(), 0.0));
        }
    }
    list
}

/// What the blast falls on when the aeroplane stands so, worst first, each name once.
pub(in super::super) fn falls_on(aircraft: &Aircraft, pose: &Pose, targets: &[Target]) -> Vec<(Harm, String)> {
    let mut list: Vec<(Harm, String)> = Vec::new();
    for outline in blast_outlines(aircraft, pose, aircraft.engine_check.check_rpm) {
        let Some(around) = planar::bounds(outline.iter().copied()) else {
            continue;
        };
        for t in targets.iter().filter(|t| t.hit(&outline, around)) {
            if list.iter().all(|(_, name)| *name != t.name) {
                list.push((t.harm, t.name.clone()));
            }
        }
    }
    list.sort_by_key(|(harm, _)| core::cmp::Reverse(*harm));
    list
}
