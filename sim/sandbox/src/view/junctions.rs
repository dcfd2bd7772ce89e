//! Where lanes of different letters meet, and which ways lead away from there: what direction signs are worked out from.

use crate::surface::LANE_WIDTH_M;
use toeline_model::airfield::Lane;
use toeline_model::planar::{bounds, closest_on_line, line_length};
use toeline_model::{Airfield, Xy};

/// Lanes this near to one another meet, metres; and meetings this near to one another are one. Ours.
const MEET_M: f64 = 1.0;
const ONE_M: f64 = 12.0;
/// A way shorter than this is only a rounded corner of another, metres. Ours.
const ARM_M: f64 = 12.0;
/// How far along a way its direction is taken, metres. Ours.
const LOOK_M: f64 = 25.0;
/// Where its sign stands before the junction, metres; and how long the way must be for one. Ours.
const SIGN_BEFORE_M: f64 = 28.0;
const SIGN_ROOM_M: f64 = 45.0;

/// One way away from a junction.
#[derive(Clone, Debug, PartialEq)]
pub struct Arm {
    /// Letter of its lane.
    pub letter: String,
    /// Unit vector away from the junction.
    pub away: Xy,
    /// Width of its lane, metres.
    pub width_m: f64,
    /// Where a sign for those who come along it stands, metres from the junction; `None` when it is too short for one.
    pub sign_at_m: Option<f64>,
}

/// A place where lanes of different letters meet.
#[derive(Clone, Debug, PartialEq)]
pub struct Junction {
    /// Where.
    pub at: Xy,
    /// The ways that lead from there.
    pub arms: Vec<Arm>,
}

/// All junctions, in the order of the lanes in the file. Lanes without a letter and closed ones have no part in them.
pub fn find(field: &Airfield) -> Vec<Junction> {
    let lanes: Vec<(&Lane, (Xy, Xy))> = field
        .lanes
        .iter()
        .filter(|l| l.closed.is_none() && !l.letters.is_empty() && l.line.len() > 1)
        .filter_map(|l| Some((l, bounds(l.line.iter().copied())?)))
        .collect();
    let near = |p: Xy, (low, high): (Xy, Xy), by: f64| {
        p.x > low.x - by && p.x < high.x + by && p.y > low.y - by && p.y < high.y + by
    };
    let mut places: Vec<Xy> = Vec::new();
    for (a, _) in &lanes {
        for (b, room) in &lanes {
            if a.letters[0] == b.letters[0] || a.level != b.level {
                continue;
            }
            for p in &a.line {
                let meets = near(*p, *room, MEET_M)
                    && closest_on_line(*p, &b.line).is_some_and(|(q, _, _)| q.distance(*p) < MEET_M);
                if meets && places.iter().all(|old| old.distance(*p) > ONE_M) {
                    places.push(*p);
                }
            }
        }
    }
    let junction = |at: Xy| Junction {
        at,
        arms: lanes
            .iter()
            .filter(|(_, room)| near(at, *room, ONE_M))
            .flat_map(|(l, _)| arms(l, at))
            .collect(),
    };
    places.into_iter().map(junction).collect()
}

/// The one or two ways along a lane from a place on it.
fn arms(lane: &Lane, at: Xy) -> Vec<Arm> {
    let Some((foot, i, _)) = closest_on_line(at, &lane.line) else {
        return Vec::new();
    };
    if foot.distance(at) > MEET_M * 2.0 {
        return Vec::new();
    }
    let mut ahead = vec![foot];
    ahead.extend(&lane.line[i + 1..]);
    let mut behind = vec![foot];
    behind.extend(lane.line[..=i].iter().rev());
    [ahead, behind]
        .into_iter()
        .filter_map(|line| {
            let length = line_length(&line);
            (length >= ARM_M).then(|| {
                let away = Xy::unit((along(&line, LOOK_M.min(length)) - foot).direction());
                Arm {
                    letter: lane.letters[0].clone(),
                    away,
                    width_m: lane.width_m.unwrap_or(LANE_WIDTH_M),
                    sign_at_m: (length >= SIGN_ROOM_M).then_some(SIGN_BEFORE_M),
                }
            })
        })
        .collect()
}

fn along(line: &[Xy], way_m: f64) -> Xy {
    let mut left = way_m;
    for w in line.windows(2) {
        let length = w[0].distance(w[1]);
        if left <= length && length > 0.0 {
            return w[0].lerp(w[1], left / length);
        }
        left -= length;
    }
    line[line.len() - 1]
}
