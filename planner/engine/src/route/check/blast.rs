//! The propeller's blast behind an aeroplane that stands with power set: how far it reaches, how wide, and on what it
//! falls.
//!
//! A free round jet (textbook: Pope, Turbulent Flows, table 5.1, from memory): far from the propeller the greatest speed is
//! 6·√(4T/(πρ))/x for a thrust T, and it has fallen to a tenth of that at 0.18·x from the middle. The thrust is that of the
//! actuator disc at full throttle, less with the square of the rpm. Left out, and so ours to judge: ground, fuselage and
//! tail in the way, the swirl, and the wind that carries it.

use serde::{Deserialize, Serialize};
use toeline_model::airfield::{HoldingPosition, Lane, LaneKind, Obstacle, ObstacleKind, Runway};
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BlastHarm {
    /// A lane that seldom anybody comes by on: one looks before setting power.
    Lane,
    /// A lane in use: one that this plan's way runs on, or that meets a runway or has a holding position on it. Others may
    /// come by: one looks, and waits for them.
    LaneInUse,
    /// People and aeroplanes that stand or wait, hangars that may be open, runways: the blast is kept off them.
    KeepOff,
}

/// Something that the blast of the engine check falls on all the same.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BlastOn {
    /// What it is called.
    pub name: String,
    /// How bad it is.
    pub harm: BlastHarm,
    /// How far behind the propeller the blast meets it, metres.
    pub behind_m: f64,
}

/// Something that the blast must not fall on.
#[derive(Clone, Debug)]
pub(in super::super) struct Target {
    pub(super) name: String,
    pub(super) harm: BlastHarm,
    shape: Shape,
    /// Half width of a line, metres.
    pub(super) half_m: f64,
    pub(super) bounds: (Xy, Xy),
}

impl Target {
    pub(super) fn new(name: String, harm: BlastHarm, shape: Shape, half_m: f64) -> Target {
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

/// Whether a lane meets a runway or has a holding position on it: who comes from a runway or goes to one passes there.
pub(in super::super) fn leads_to_a_runway(field: &Airfield, lane: &Lane) -> bool {
    let half_m = lane.width_m.map_or(LANE_HALF_M, |w| w / 2.0);
    let holds = |h: &HoldingPosition| {
        planar::closest_on_line(h.at, &lane.line).is_some_and(|(q, _, _)| q.distance(h.at) <= half_m)
    };
    let meets = |r: &Runway| {
        let width_m = r.width_m.unwrap_or(2.0 * RUNWAY_HALF_M);
        let to_runway = |p: &Xy| planar::closest_on_line(*p, &r.line).map(|(q, _, _)| q.distance(*p));
        lane.line
            .iter()
            .filter_map(to_runway)
            .any(|d| d <= width_m / 2.0 + half_m)
            || lane.line.windows(2).any(|w| {
                let mut runway = r.line.windows(2);
                runway.any(|v| planar::crossing(w[0], w[1], v[0], v[1]).is_some())
            })
    };
    let open = field.runways.iter().filter(|r| r.closed.is_none());
    field.holding_positions.iter().any(holds) || open.into_iter().any(meets)
}

/// Lanes, runways, holding positions, buildings with people, hangars and parked aeroplanes of the map. Stands are added by
/// the caller, who knows how others stand there.
pub(super) fn targets(
    field: &Airfield,
    name_of: impl Fn(&Obstacle) -> String,
    in_use: &dyn Fn(&Lane) -> bool,
) -> Vec<Target> {
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
        let harm = if in_use(l) {
            BlastHarm::LaneInUse
        } else {
            BlastHarm::Lane
        };
        list.push(Target::new(name, harm, shape, half_m));
    }
    for r in field.runways.iter().filter(|r| r.closed.is_none() && r.line.len() > 1) {
        let ends: Vec<&str> = r.designators.iter().flatten().map(String::as_str).collect();
        let shape = Shape::Line { points: r.line.clone() };
        let half_m = r.width_m.map_or(RUNWAY_HALF_M, |w| w / 2.0);
        let name = format!("runway {}", ends.join("/"));
        list.push(Target::new(name, BlastHarm::KeepOff, shape, half_m));
    }
    for h in &field.holding_positions {
        let name = format!("holding position {}", h.name.as_ref().unwrap_or(&h.id));
        let shape = Shape::Disc {
            at: h.at,
            radius_m: WAITING_M,
        };
        list.push(Target::new(name, BlastHarm::KeepOff, shape, 0.0));
    }
    for pad in &field.helipads {
        let shape = Shape::Area {
            outer: pad.outer.clone(),
            holes: Vec::new(),
        };
        let name = format!("helipad {}", pad.name.as_ref().unwrap_or(&pad.id));
        list.push(Target::new(name, BlastHarm::KeepOff, shape, 0.0));
    }
    for o in &field.obstacles {
        use ObstacleKind as K;
        if matches!(o.kind, K::Building | K::Hangar | K::Terminal | K::ParkedAeroplane) {
            list.push(Target::new(name_of(o), BlastHarm::KeepOff, o.shape.clone(), 0.0));
        }
    }
    list
}

/// What the blast falls on when the aeroplane stands so, worst first, each name once: places in the list of targets.
pub(super) fn hits(aircraft: &Aircraft, pose: &Pose, targets: &[Target]) -> Vec<usize> {
    let mut list: Vec<usize> = Vec::new();
    for outline in blast_outlines(aircraft, pose, aircraft.engine_check.check_rpm) {
        let Some(around) = planar::bounds(outline.iter().copied()) else {
            continue;
        };
        let hit = (0..targets.len()).filter(|i| targets[*i].hit(&outline, around));
        for i in hit.collect::<Vec<_>>() {
            // Of one name the worst is told.
            match list.iter_mut().find(|j| targets[**j].name == targets[i].name) {
                Some(known) if targets[*known].harm < targets[i].harm => *known = i,
                Some(_) => {}
                None => list.push(i),
            }
        }
    }
    list.sort_by_key(|i| core::cmp::Reverse(targets[*i].harm));
    list
}

/// The same with the distances, worst and then nearest first.
pub(in super::super) fn falls_on(aircraft: &Aircraft, pose: &Pose, targets: &[Target]) -> Vec<BlastOn> {
    let told = |i: usize| BlastOn {
        name: targets[i].name.clone(),
        harm: targets[i].harm,
        behind_m: behind_m(aircraft, pose, targets, &targets[i].name),
    };
    let mut list: Vec<BlastOn> = hits(aircraft, pose, targets).into_iter().map(told).collect();
    list.sort_by(|a, b| b.harm.cmp(&a.harm).then(a.behind_m.total_cmp(&b.behind_m)));
    list
}

/// How far behind a propeller the blast first meets something of a name, metres: a shorter blast is narrower nowhere, so
/// its length is halved down to a centimetre.
fn behind_m(aircraft: &Aircraft, pose: &Pose, targets: &[Target], name: &str) -> f64 {
    let full_rpm = aircraft.engine_check.check_rpm;
    let meets = |share: f64| {
        blast_outlines(aircraft, pose, full_rpm * share).iter().any(|outline| {
            let around = planar::bounds(outline.iter().copied()).unwrap_or_default();
            targets.iter().any(|t| t.name == name && t.hit(outline, around))
        })
    };
    let full_m = blast_behind_m(aircraft, full_rpm);
    let (mut short, mut long) = (0.0, 1.0);
    while (long - short) * full_m > 0.01 {
        let half = (short + long) / 2.0;
        if meets(half) {
            long = half;
        } else {
            short = half;
        }
    }
    long * full_m
}
