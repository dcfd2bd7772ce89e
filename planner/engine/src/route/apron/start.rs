//! Where a way over the apron starts, which lanes it may join, and what to say when it joins none.

use super::super::cost::easy_radius_m;
use super::super::error::RouteError;
use super::super::limits;
use super::super::search::{Avoid, Directed, World};
use super::super::{Block, resolve};
use super::flood::{self, Narrow};
use super::ground::{Ground, Room};
use super::search::{Goal, search};
use crate::graph::Source;
use crate::plane::LocalPlane;
use crate::request::Request;
use toeline_model::path::Pose;
use toeline_model::units::{DEG, KNOT_MPS, gap_floor, round_to};
use toeline_model::{Aircraft, DrivenPath, LonLat, Xy, planar};

/// Driving where nothing is painted, seconds on top of its time (ours): looking out, asking, a wing walker.
pub(crate) const UNPAINTED_S: f64 = 30.0;
/// Lanes are joined every so many metres (ours).
const LANE_STEP_M: f64 = 3.0;
/// Farther than this no lane is looked for, metres (ours).
pub(super) const LANE_REACH_M: f64 = 400.0;
/// Lanes so much farther than the nearest are looked at as well, metres (ours).
const BEYOND_NEAREST_M: f64 = 60.0;
/// At most so many places to join (ours).
const MOST_GOALS: usize = 400;
/// The search keeps this far beyond the farthest goal, metres (ours).
const AROUND_M: f64 = 60.0;
/// Asked for on top of every margin, because the search looks at poses some way apart and clearance at all, metres (ours).
const SAMPLED_M: f64 = 0.1;
/// Room kept to the limit of steering and of the inside brake, as a share of the radius (ours; as for corners).
const STEERING_RESERVE: f64 = 1.02;
const BRAKE_RESERVE: f64 = 1.15;

/// A start that no line leads to.
#[derive(Clone, Debug, PartialEq)]
pub struct Off {
    /// What it is called.
    pub name: String,
    /// The stand, an index in the airfield's stands, where it is one.
    pub stand: Option<usize>,
    /// How the aeroplane stands.
    pub pose: Pose,
}

/// A way from the start onto a lane.
#[derive(Clone, Debug, PartialEq)]
pub struct Join {
    /// The segment joined, in the sense of travel.
    pub onto: Directed,
    /// Way along that segment's line at which it is joined, metres.
    pub at_m: f64,
    /// The way there, all of leg 0.
    pub path: DrivenPath,
    /// Its time at apron speed and the penalty, milliseconds.
    pub cost_ms: u64,
    /// What was asked for beside the parts on it.
    pub room: Room,
}

impl Join {
    /// How much of the time along the whole segment joined is not driven, milliseconds, rounded down.
    pub(in super::super) fn skipped_ms(&self, world: World<'_>) -> u64 {
        let whole_ms = world.segment_terms(self.onto).first().map_or(0, |t| t.1);
        (whole_ms as f64 * self.at_m / world.graph.segment(self.onto.edge).length_m).floor() as u64
    }
}

/// Why no lane is joined, with what it would take.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused {
    /// In a sentence with figures, and where.
    pub block: Block,
    /// The narrowest place of the widest way, where one leads to a lane at all.
    pub narrow: Option<Narrow>,
}

/// The bare point "longitude,latitude" in degrees; `None` when the text is not of that form.
fn lon_lat(asked: &str) -> Option<LonLat> {
    let (lon, lat) = asked.split_once(',')?;
    let (lon_deg, lat_deg) = (lon.trim().parse::<f64>().ok()?, lat.trim().parse::<f64>().ok()?);
    Some(LonLat { lon_deg, lat_deg })
}

/// The start that a request names, when no line leads to it: a bare point, or a stand that is not joined to a lane. `None`
/// when it is something else, which is not for here.
///
/// # Errors
/// A point that is none, or no heading.
pub fn place(world: World<'_>, request: &Request) -> Result<Option<Off>, RouteError> {
    let (field, asked) = (world.field, request.from.as_str());
    let known = resolve::stand(field, asked);
    let (name, stand, nose, mapped) = match (known, lon_lat(asked)) {
        (Ok(stand), _) => {
            if world.graph.stands.iter().any(|p| p.stand == stand) {
                return Ok(None);
            }
            let s = &field.stands[stand];
            // A line is parked on at its end; which one is the front, no lane tells.
            let Some(nose) = s.line.first() else { return Ok(None) };
            let name = limits::stand_name(field, stand);
            if let Some(why) = &s.closed {
                let text = format!("{name}: closed ({why})");
                return Err(RouteError::BadStart { text });
            }
            (name, Some(stand), *nose, s.heading)
        }
        (Err(_), Some(at)) => {
            let good = at.lon_deg.abs() <= 180.0 && at.lat_deg.abs() <= 90.0;
            if !good {
                let text =
                    format!("\"{asked}\" is no place: longitude within -180 to 180, latitude within -90 to 90 degrees");
                return Err(RouteError::BadStart { text });
            }
            let nose = LocalPlane::new(field.origin).to_xy(at);
            (format!("point {asked}"), None, nose, None)
        }
        (Err(_), None) => return Ok(None),
    };
    let heading = request.parked_heading.or(mapped);
    // Off every apron no heading helps: that it is not joined is told then.
    let on_apron = || field.aprons.iter().any(|a| a.holds(nose));
    if heading.is_none() && stand.is_some() && !on_apron() {
        return Ok(None);
    }
    let Some(heading) = heading else {
        let text = format!(
            "{name} has no heading and no lane leads to it; say with --parked-heading which way the aeroplane stands, degrees true"
        );
        return Err(RouteError::BadStart { text });
    };
    Ok(Some(Off {
        name,
        stand,
        pose: Pose {
            nose,
            heading_rad: heading.yaw(),
        },
    }))
}

/// Where the lanes near a start can be joined: the segment, the way along it, and the goal.
pub fn lanes_near(world: World<'_>, from: Xy) -> Vec<(Directed, f64, Goal)> {
    let graph = world.graph;
    let clear = easy_radius_m(world.aircraft);
    let mut list: Vec<(f64, (Directed, f64, Goal))> = Vec::new();
    for onto in world.usable(&Avoid::default()) {
        let s = graph.segment(onto.edge);
        if !matches!(s.source, Source::Lane(..)) {
            continue;
        }
        let near = planar::closest_on_line(from, &s.line).is_some_and(|(q, _, _)| q.distance(from) <= LANE_REACH_M);
        if !near {
            continue;
        }
        let line = onto.line(graph);
        let mut way = 0.0;
        let mut next = 0.0;
        for w in line.windows(2) {
            let (length, direction) = (w[0].distance(w[1]), (w[1] - w[0]).direction());
            // The corner at the end of the piece must still be rounded, and the pose must have come onto the line.
            while next <= way + length {
                let left = way + length - next;
                let at = w[0].lerp(w[1], ((next - way) / length).min(1.0));
                let end = next + clear > s.length_m;
                let bends = left < clear && !end && {
                    let after = line.windows(2).map(|v| (v[1] - v[0]).direction());
                    after.into_iter().any(|d| d.to_rad(direction).abs() > 3.0 * DEG)
                };
                if !end && !bends && at.distance(from) <= LANE_REACH_M {
                    let goal = Goal {
                        at,
                        direction,
                        key: 0,
                        extra_m: 0.0,
                    };
                    list.push((round_to(at.distance(from), 3), (onto, next, goal)));
                }
                next += LANE_STEP_M;
            }
            way += length;
        }
    }
    list.sort_by(|a, b| {
        a.0.total_cmp(&b.0)
            .then(a.1.0.cmp(&b.1.0))
            .then(a.1.1.total_cmp(&b.1.1))
    });
    let nearest = list.first().map_or(0.0, |l| l.0);
    let near = list
        .into_iter()
        .take_while(|l| l.0 <= nearest + BEYOND_NEAREST_M)
        .take(MOST_GOALS);
    near.map(|l| l.1)
        .map(|(onto, at_m, goal)| {
            let key = 2 * onto.edge.index() + usize::from(onto.forward);
            (onto, at_m, Goal { key, ..goal })
        })
        .collect()
}

fn radii(aircraft: &Aircraft) -> Vec<f64> {
    let easy = easy_radius_m(aircraft);
    let steering = STEERING_RESERVE * aircraft.steering_radius_m();
    let brake = BRAKE_RESERVE * aircraft.tightest_radius_m();
    let mut list = vec![easy];
    list.extend([steering, brake].into_iter().filter(|r| r.is_finite() && *r < easy));
    list
}

/// Time and penalty of a way over the apron, milliseconds.
fn cost_ms(aircraft: &Aircraft, length_m: f64) -> u64 {
    ((length_m / (aircraft.taxi.apron_kt * KNOT_MPS) + UNPAINTED_S) * 1000.0).ceil() as u64
}

/// Ways from a start onto the lanes round about, at most one for each segment and sense, cheapest first: first with the
/// margin and the accuracy of the map beside every part and turning easily, then with less.
///
/// # Errors
/// Why no lane is joined.
pub fn join_lanes(world: World<'_>, request: &Request, off: &Off) -> Result<Vec<Join>, Box<Refused>> {
    let goals = lanes_near(world, off.pose.nose);
    let refuse = |text: String, feature: String, at: Xy, narrow| {
        let block = Block { feature, text, at };
        Err(Box::new(Refused { block, narrow }))
    };
    let feature = off
        .stand
        .map_or_else(|| "request".to_string(), |s| world.field.stands[s].id.clone());
    if goals.is_empty() {
        let text = format!(
            "{}: no lane that can be joined lies within {LANE_REACH_M:.0} m",
            off.name
        );
        return refuse(text, feature, off.pose.nose, None);
    }
    let accuracy_m = request.accuracy_m.unwrap_or(world.field.accuracy_m);
    let margin_m = request.margin_m;
    let window_m = goals.iter().map(|g| g.2.at.distance(off.pose.nose)).fold(0.0, f64::max) + AROUND_M;
    let list: Vec<Goal> = goals.iter().map(|g| g.2).collect();
    let room = |margin_m: f64, parked: bool| Room {
        margin_m: margin_m + SAMPLED_M,
        vertical_margin_m: request.vertical_margin_m,
        parked,
    };
    let mut rooms = vec![
        room(margin_m + accuracy_m, true),
        room(margin_m, true),
        room(margin_m, false),
    ];
    // What would only be asked twice.
    if accuracy_m == 0.0 {
        rooms.remove(0);
    }
    if world.field.stands.len() <= usize::from(off.stand.is_some()) {
        rooms.pop();
    }
    for room in rooms {
        let ground = Ground::new(world, room, &off.pose, off.stand);
        if !ground.carries(off.pose.nose) {
            let text = format!(
                "{}: the nose wheel does not stand on an apron that the map shows",
                off.name
            );
            return refuse(text, feature, off.pose.nose, None);
        }
        // Too narrow by more than the nose wheel can lead the wings aside: no search is needed.
        let narrow = narrowest(&ground, &list, off.pose.nose, window_m);
        if narrow.is_none_or(|n| n.slack_m < -world.aircraft.gear.wheelbase_m) {
            continue;
        }
        for radius_m in radii(world.aircraft) {
            let found = search(&ground, &off.pose, &list, radius_m, window_m);
            if !found.is_empty() {
                let join = |f: super::Found| Join {
                    onto: goals[f.goal].0,
                    at_m: goals[f.goal].1,
                    cost_ms: cost_ms(world.aircraft, f.path.length_m()),
                    path: f.path,
                    room,
                };
                return Ok(found.into_iter().map(join).collect());
            }
        }
    }
    let asked = Room {
        margin_m,
        ..room(margin_m, false)
    };
    let ground = Ground::new(world, asked, &off.pose, off.stand);
    let narrow = narrowest(&ground, &list, off.pose.nose, window_m);
    if narrow
        .as_ref()
        .is_some_and(|n| n.one.is_none() && !ground.carries(n.at))
    {
        let (text, at) = no_pavement(world, &ground, off, &goals, window_m);
        return refuse(text, feature, at, narrow);
    }
    let (text, of, at) = say(&ground, world.aircraft, off, narrow.as_ref());
    refuse(text, of.unwrap_or(feature), at, narrow)
}

/// The narrowest place of the widest way to any goal; `None` when none leads there in the window.
pub fn narrowest(ground: &Ground, goals: &[Goal], from: Xy, window_m: f64) -> Option<Narrow> {
    let ends: Vec<Xy> = goals.iter().map(|g| g.at).collect();
    flood::narrowest(ground, &ends, from, window_m)
}

/// That mapped pavement ends before every lane: where it comes nearest, and to which one.
fn no_pavement(
    world: World<'_>,
    ground: &Ground,
    off: &Off,
    goals: &[(Directed, f64, Goal)],
    window_m: f64,
) -> (String, Xy) {
    let ends: Vec<Xy> = goals.iter().map(|g| g.2.at).collect();
    let name = &off.name;
    let Some((at, goal, away_m)) = flood::nearest_edge(ground, &ends, off.pose.nose, window_m) else {
        let text = format!("{name}: the apron that the map shows does not lead to a lane");
        return (text, off.pose.nose);
    };
    let lane = limits::name_of(world.field, world.graph.segment(goals[goal].0.edge));
    let text = format!(
        "{name}: the apron that the map shows does not lead to a lane: its edge lies about {away_m:.0} m from the line of {lane}, \
         and no pavement is mapped between the two"
    );
    (text, at)
}

/// Why no lane is joined: the sentence, the feature, the place.
fn say(ground: &Ground, aircraft: &Aircraft, off: &Off, narrow: Option<&Narrow>) -> (String, Option<String>, Xy) {
    let name = &off.name;
    let Some(n) = narrow else {
        return (
            format!("{name}: no lane can be reached over the apron"),
            None,
            off.pose.nose,
        );
    };
    let Some(one) = n.one.map(|k| &ground.things[k]) else {
        let text = format!(
            "{name}: no way ahead turns onto a lane within what this aeroplane can turn; turn it by hand first"
        );
        return (text, None, n.at);
    };
    let span = aircraft.wing.span_m;
    let text = match (n.other.map(|k| &ground.things[k]), n.width_m) {
        (Some(other), Some(width)) if n.slack_m < 0.0 || width < n.needed_m => format!(
            "{name}: the gap between {} and {} is {:.1} m wide, this aeroplane needs {:.1} m (span {span:.1} m and the margin on \
             either side)",
            one.name,
            other.name,
            gap_floor(width),
            (n.needed_m * 10.0 - 1e-9).ceil() / 10.0,
        ),
        (Some(other), Some(width)) => format!(
            "{name}: no way ahead was found; the narrowest place of the widest way is {:.1} m between {} and {}, of which straight \
             on {:.1} m are needed",
            gap_floor(width),
            one.name,
            other.name,
            (n.needed_m * 10.0 - 1e-9).ceil() / 10.0,
        ),
        _ => format!(
            "{name}: {} leaves too little room beside it, {:.1} m are needed",
            one.name,
            n.needed_m / 2.0
        ),
    };
    (text, Some(one.feature.clone()), n.at)
}
