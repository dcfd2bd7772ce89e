//! Choosing how to stand for the engine check: a place in the area with the nose into the wind, and ways in and out that
//! this aeroplane can drive.

use super::TurnMeans;
use super::cost::easy_radius_m;
use super::dubins::{self, Word};
use super::guide::Guide;
use super::rounding::{greatest_nose_wheel_rad, means};
use toeline_model::airfield::{Airfield, NamedArea};
use toeline_model::frame::{Xy, xy};
use toeline_model::path::Pose;
use toeline_model::units::{DEG, round_to};
use toeline_model::{Aircraft, Bearing, DrivenPath, Yaw, planar};

/// Pavement width taken beside a lane whose width is not mapped, metres, for driving in and out only (the least that
/// ICAO Annex 14 gives a taxiway; clearance says "not known" there all the same).
const UNKNOWN_WIDTH_M: f64 = 7.5;
/// Grid of places tried, metres.
const GRID_M: f64 = 4.0;
/// Steps along the lane for leaving and joining it, metres.
const LANE_STEP_M: f64 = 3.0;
/// How far before and after the area the lane may be left and joined, metres.
pub(super) const LANE_BEYOND_M: f64 = 30.0;
/// The last straight before stopping, in wheelbases: after three of them the tractrix leaves one twentieth of the angle.
const LAST_STRAIGHT_WHEELBASES: f64 = 3.0;
/// Directions tried besides full into wind, degrees either side, nearest first (ours).
const OFF_WIND_STEP_DEG: f64 = 15.0;
/// How many of the shortest ways to or from one place are tried (ours).
const MOST_WORDS: usize = 60;
/// Wing tips should stay this far from the lane in use while standing, metres (ours); nearer costs this many metres of
/// detour for each metre: a circle is driven rather than the lane blocked.
const OFF_LANE_M: f64 = 3.0;
const IN_THE_WAY_PRICE: f64 = 20.0;
/// A metre off the lane costs as much as this many on it (ours): the lane is left late and joined early.
const OFF_LANE_PRICE: f64 = 1.1;

/// A way into the area to a stop with the nose into the wind, and out again.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct CheckWay {
    /// Way along the guide at which the lane is left.
    pub(super) leave_m: f64,
    /// Way along the guide at which the lane is joined again.
    pub(super) join_m: f64,
    into: Word,
    last_straight_m: f64,
    out: Word,
    nose_direction: Yaw,
    /// How far off the wind the last straight points, degrees; `None` when the heading is free.
    pub(super) off_wind_deg: Option<f64>,
}

impl CheckWay {
    /// Appends the way in; the path then stands at the check place.
    pub(super) fn append_in(&self, path: &mut DrivenPath, leave: Yaw, leg: usize) {
        self.into.append(path, leave, leg);
        path.straight(self.nose_direction, self.last_straight_m, leg);
    }

    /// Appends the way out; the nose wheel then stands on the guide at `join_m`.
    pub(super) fn append_out(&self, path: &mut DrivenPath, leg: usize) {
        self.out.append(path, self.nose_direction, leg);
    }
}

/// What the search may use.
pub(super) struct Site<'a> {
    pub(super) field: &'a Airfield,
    pub(super) aircraft: &'a Aircraft,
    pub(super) area: &'a NamedArea,
    /// The whole mapped line of the way.
    pub(super) guide: &'a Guide,
    /// The part of it that passes the area.
    pub(super) beside: Guide,
    /// Half width of the lane pavement beside the guide, metres.
    pub(super) lane_half_m: f64,
    /// Ways along the guide between which the lane passes the area.
    pub(super) passes: (f64, f64),
    /// Ways along the guide that must not be gone before or beyond.
    pub(super) limits: (f64, f64),
}

impl Site<'_> {
    /// Whether all three wheels stand on the area, the lane or an apron.
    fn on_pavement(&self, pose: &Pose) -> bool {
        let wheelbase = self.aircraft.gear.wheelbase_m;
        let side = self.aircraft.outer_gear_m() / 2.0;
        [xy(wheelbase, 0.0), xy(0.0, side), xy(0.0, -side)].iter().all(|b| {
            let p = pose.place(wheelbase, *b);
            planar::inside_ring(p, &self.area.outer)
                || self.field.aprons.iter().any(|a| planar::inside_ring(p, &a.outer))
                || planar::closest_on_line(p, &self.beside.points)
                    .is_some_and(|(q, _, _)| q.distance(p) <= self.lane_half_m)
        })
    }

    fn path_ok(&self, path: &DrivenPath) -> bool {
        let steps = (path.length_m() / 1.0).ceil() as usize;
        let turns_ok = means(self.aircraft, greatest_nose_wheel_rad(path, 0.0)) != TurnMeans::NotPossible;
        turns_ok
            && (0..=steps).all(|k| self.on_pavement(&path.pose_at(path.length_m() * k as f64 / steps.max(1) as f64)))
    }

    /// Straight parts of the guide where the lane can be left or joined: way, point, direction.
    fn lane_places(&self) -> Vec<(f64, Xy, Yaw)> {
        let low = (self.passes.0 - LANE_BEYOND_M).max(self.limits.0);
        let high = (self.passes.1 + LANE_BEYOND_M).min(self.limits.1);
        let mut list = Vec::new();
        let steps = ((high - low) / LANE_STEP_M).floor().max(0.0) as usize;
        for k in 0..=steps {
            let way = low + k as f64 * LANE_STEP_M;
            let Some((p, direction)) = self.guide.at(way) else {
                continue;
            };
            // A corner near by would be rounded, and the driven path would not pass here.
            let clear = easy_radius_m(self.aircraft);
            let straight = [way - clear, way + clear].iter().all(|w| {
                *w < 0.0 || *w > self.guide.length_m() || {
                    self.guide
                        .at(*w)
                        .is_some_and(|(_, d)| d.to_rad(direction).abs() < 3.0 * DEG)
                }
            });
            if straight {
                list.push((way, p, direction));
            }
        }
        list
    }

    fn grid(&self) -> Vec<Xy> {
        let Some((low, high)) = planar::bounds(self.area.outer.iter().copied()) else {
            return Vec::new();
        };
        let (nx, ny) = (
            ((high.x - low.x) / GRID_M) as usize,
            ((high.y - low.y) / GRID_M) as usize,
        );
        let mut list = Vec::new();
        // An area is not a field: a hundred places each way is more than any has.
        for i in 0..=nx.min(100) {
            for j in 0..=ny.min(100) {
                let p = low + xy((i as f64 + 0.5) * GRID_M, (j as f64 + 0.5) * GRID_M);
                if planar::inside_ring(p, &self.area.outer) {
                    list.push(p);
                }
            }
        }
        list
    }

    /// The cheapest of some ways whose path keeps to the pavement: its price, its way along the lane, and the word.
    fn first_that_fits(
        &self,
        mut ways: Vec<(f64, f64, Xy, Yaw, Word)>,
        path_of: impl Fn(Xy, Yaw, &Word) -> DrivenPath,
    ) -> Option<(f64, f64, Word)> {
        ways.sort_by(|a, b| a.0.total_cmp(&b.0));
        let tried = ways.into_iter().take(MOST_WORDS);
        tried
            .into_iter()
            .find(|w| self.path_ok(&path_of(w.2, w.3, &w.4)))
            .map(|w| (w.0, w.1, w.4))
    }

    /// Ways to stand with the nose in one direction and their price, best first.
    fn toward(&self, nose: Yaw, off_wind_deg: Option<f64>) -> Vec<(f64, CheckWay)> {
        let wheelbase = self.aircraft.gear.wheelbase_m;
        let radius = easy_radius_m(self.aircraft);
        let last_straight_m = LAST_STRAIGHT_WHEELBASES * wheelbase;
        let lane = self.lane_places();
        let middle = planar::centroid(&self.area.outer);
        let mut ranked: Vec<(f64, CheckWay)> = Vec::new();
        for nose_at in self.grid() {
            let pose = Pose {
                nose: nose_at,
                heading_rad: nose,
            };
            if !self.on_pavement(&pose) {
                continue;
            }
            let before = nose_at - Xy::unit(nose) * last_straight_m;
            let entries = lane.iter().filter(|l| l.0 <= self.passes.1);
            let ways_in = entries.flat_map(|(way, p, direction)| {
                let words = dubins::words(*p, *direction, before, nose, radius);
                words.into_iter().map(move |w| {
                    (
                        OFF_LANE_PRICE * w.length_m() + (way - self.passes.0),
                        *way,
                        *p,
                        *direction,
                        w,
                    )
                })
            });
            let Some((price_in, leave_m, into)) = self.first_that_fits(ways_in.collect(), |p, direction, word| {
                let mut path = DrivenPath::new(
                    wheelbase,
                    Pose {
                        nose: p,
                        heading_rad: direction,
                    },
                );
                word.append(&mut path, direction, 0);
                path.straight(nose, last_straight_m, 0);
                path
            }) else {
                continue;
            };
            let exits = lane.iter().filter(|l| l.0 >= leave_m);
            let ways_out = exits.flat_map(|(way, p, direction)| {
                let words = dubins::words(nose_at, nose, *p, *direction, radius);
                words.into_iter().map(move |w| {
                    (
                        OFF_LANE_PRICE * w.length_m() - (way - self.passes.0),
                        *way,
                        *p,
                        *direction,
                        w,
                    )
                })
            });
            let Some((price_out, join_m, out)) = self.first_that_fits(ways_out.collect(), |_, _, word| {
                let mut path = DrivenPath::new(wheelbase, pose);
                word.append(&mut path, nose, 0);
                path
            }) else {
                continue;
            };
            let tip = self.aircraft.wing.span_m / 2.0 + OFF_LANE_M;
            let in_the_way = planar::closest_on_line(nose_at, &self.beside.points)
                .map_or(0.0, |(q, _, _)| (tip - q.distance(nose_at)).max(0.0));
            let price = price_in + price_out + 0.5 * nose_at.distance(middle) + IN_THE_WAY_PRICE * in_the_way;
            let way = CheckWay {
                leave_m,
                join_m,
                into,
                last_straight_m,
                out,
                nose_direction: nose,
                off_wind_deg,
            };
            ranked.push((round_to(price, 3), way));
        }
        ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
        ranked
    }

    /// The best way to stand when any heading will do, after passing over `skip` of them: along the lane, against it or
    /// across it.
    pub(super) fn any_heading(&self, skip: usize) -> Option<CheckWay> {
        let (_, lane) = self.guide.at((self.passes.0 + self.passes.1) / 2.0)?;
        let quarters = [0.0, 1.0, 2.0, 3.0].map(|q| lane.turned(q * core::f64::consts::FRAC_PI_2));
        let mut all: Vec<(f64, CheckWay)> = quarters.iter().flat_map(|nose| self.toward(*nose, None)).collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        all.into_iter().nth(skip).map(|(_, way)| way)
    }

    /// The way to stand nearest into the wind, after passing over `skip` of the best.
    pub(super) fn nearest_to_wind(&self, wind_from: Bearing, skip: usize) -> Option<CheckWay> {
        let mut left = skip;
        let steps = (180.0 / OFF_WIND_STEP_DEG) as i32;
        for k in 0..=steps {
            let off = f64::from(k) * OFF_WIND_STEP_DEG;
            for side in [1.0, -1.0] {
                if (k == 0 || k == steps) && side < 0.0 {
                    continue;
                }
                let ways = self.toward(Bearing::from_deg(wind_from.deg() + side * off).yaw(), Some(off));
                if left < ways.len() {
                    return ways.into_iter().nth(left).map(|(_, way)| way);
                }
                left -= ways.len();
            }
        }
        None
    }
}

/// Half width of the pavement beside the guide where it passes an area.
pub(super) fn lane_half_m(width_m: Option<f64>) -> f64 {
    width_m.unwrap_or(UNKNOWN_WIDTH_M) / 2.0
}
