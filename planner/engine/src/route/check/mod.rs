//! Choosing how to stand for the engine check: a place in the area with the nose into the wind, and ways in and out that
//! this aeroplane can drive.
//!
//! | file | what it holds |
//! |---|---|
//! | `ground` | where the wheels may stand |
//! | `around` | what stands around, and how near the parts come to it |
//! | `blast` | the propeller's blast and on what it falls |
//! | `candidates` | the places for one heading, each with its ways, cheapest first |
//! | `choose` | the order of the headings, the choice, and the words for it |

pub(super) mod around;
pub(super) mod blast;
mod candidates;
mod choose;
pub(super) mod ground;

pub(super) use choose::Chosen;

use super::cost::easy_radius_m;
use super::guide::Guide;
use around::Around;
use ground::Ground;
use toeline_model::airfield::{Airfield, NamedArea};
use toeline_model::frame::Xy;
use toeline_model::units::DEG;
use toeline_model::{Aircraft, Yaw, planar};

/// Pavement width taken beside a lane whose width is not mapped, metres, for driving in and out only (the least that
/// ICAO Annex 14 gives a taxiway; clearance says "not known" there all the same).
const UNKNOWN_WIDTH_M: f64 = 7.5;
/// Steps along the lane for leaving and joining it, metres.
const LANE_STEP_M: f64 = 3.0;
/// How far before and after the area the lane may be left and joined, metres.
pub(super) const LANE_BEYOND_M: f64 = 30.0;
/// Places tried in an area, metres apart: as many as a tenth of its side asks for, within these.
const GRID_M: [f64; 2] = [2.0, 4.0];
/// An area is not a field: so many places each way from its middle at most.
const MOST_EACH_WAY: i32 = 50;

/// A place where the lane can be left or joined.
struct LanePlace {
    /// Way along the guide, metres.
    way_m: f64,
    at: Xy,
    direction: Yaw,
    /// Room for the nose wheel on a circle to the left and to the right, metres, from here on and up to here.
    leave_m: [f64; 2],
    join_m: [f64; 2],
}

/// What the search may use.
pub(super) struct Site<'a> {
    aircraft: &'a Aircraft,
    area: &'a NamedArea,
    /// The whole mapped line of the way.
    guide: &'a Guide,
    /// The part of it that passes the area.
    beside: &'a Guide,
    /// Ways along the guide between which the lane passes the area.
    passes: (f64, f64),
    lane: Vec<LanePlace>,
    ground: Ground<'a>,
    around: &'a Around,
    middle: Xy,
}

impl<'a> Site<'a> {
    /// An area beside a guide, between two ways along it and within limits that must not be passed.
    #[allow(clippy::too_many_arguments)] // plain data, named at the one place that calls it
    pub(super) fn new(
        field: &'a Airfield,
        aircraft: &'a Aircraft,
        area: &'a NamedArea,
        guide: &'a Guide,
        beside: &'a Guide,
        lane_width_m: Option<f64>,
        passes: (f64, f64),
        limits: (f64, f64),
        around: &'a Around,
    ) -> Site<'a> {
        let lane_half_m = lane_width_m.unwrap_or(UNKNOWN_WIDTH_M) / 2.0;
        let ground = Ground::new(field, aircraft, area, beside, lane_half_m);
        Site {
            aircraft,
            area,
            guide,
            beside,
            passes,
            lane: lane_places(aircraft, guide, passes, limits, &ground),
            ground,
            around,
            middle: planar::centroid(&area.outer),
        }
    }

    /// Places to put the nose wheel for one heading: a lattice about the middle, laid along the heading, so that an area
    /// that is mirrored or turned with its wind has the same places.
    fn lattice(&self, nose: Yaw, fine: bool) -> Vec<Xy> {
        let side_m = planar::signed_area(&self.area.outer).abs().sqrt();
        let step_m = (side_m / 10.0).clamp(GRID_M[0], GRID_M[1]) / if fine { 2.0 } else { 1.0 };
        let ahead = Xy::unit(nose);
        let reach_m = self
            .area
            .outer
            .iter()
            .map(|p| p.distance(self.middle))
            .fold(0.0, f64::max);
        let most = ((reach_m / step_m).ceil() as i32).min(MOST_EACH_WAY);
        let mut list = Vec::new();
        for i in -most..=most {
            for j in -most..=most {
                let p = self.middle + ahead * (f64::from(i) * step_m) + ahead.left() * (f64::from(j) * step_m);
                if self.area.holds(p) {
                    list.push(p);
                }
            }
        }
        list
    }
}

/// Straight parts of the guide where the lane can be left or joined.
fn lane_places(
    aircraft: &Aircraft,
    guide: &Guide,
    passes: (f64, f64),
    limits: (f64, f64),
    ground: &Ground<'_>,
) -> Vec<LanePlace> {
    let low = (passes.0 - LANE_BEYOND_M).max(limits.0);
    let high = (passes.1 + LANE_BEYOND_M).min(limits.1);
    let mut list = Vec::new();
    let steps = ((high - low) / LANE_STEP_M).floor().max(0.0) as usize;
    for k in 0..=steps {
        let way = low + k as f64 * LANE_STEP_M;
        let Some((p, direction)) = guide.at(way) else {
            continue;
        };
        // A corner near by would be rounded, and the driven path would not pass here.
        let clear = easy_radius_m(aircraft);
        let straight = [way - clear, way + clear].iter().all(|w| {
            *w < 0.0
                || *w > guide.length_m()
                || guide.at(*w).is_some_and(|(_, d)| d.to_rad(direction).abs() < 3.0 * DEG)
        });
        if straight {
            list.push(LanePlace {
                way_m: way,
                at: p,
                direction,
                leave_m: ground.arcs_m(p, direction, clear, true),
                join_m: ground.arcs_m(p, direction, clear, false),
            });
        }
    }
    list
}
