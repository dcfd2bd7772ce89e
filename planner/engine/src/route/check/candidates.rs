//! The places to stand on one heading, each with the cheapest way in and out that keeps to the pavement.
//!
//! Looked at best first: every place has a price below which no way to it can be, from straight lines to the lane, and a
//! place is looked at only when nothing cheaper is left. So the order is that of a look at all of them.

use super::super::TurnMeans;
use super::super::cost::easy_radius_m;
use super::super::dubins::{self, Word};
use super::super::rounding::{greatest_nose_wheel_rad, means};
use super::around::{Look, TooNear};
use super::blast::{self, BlastHarm};
use super::{LanePlace, Site};
use std::collections::BTreeMap;
use toeline_model::frame::Xy;
use toeline_model::path::Pose;
use toeline_model::units::round_to;
use toeline_model::{DrivenPath, Yaw, planar};

/// The last straight before stopping, in wheelbases: after three of them the tractrix leaves one twentieth of the angle.
const LAST_STRAIGHT_WHEELBASES: f64 = 3.0;
/// Points of a way looked at before the whole of it is, metres apart.
const NOSE_STEP_M: f64 = 1.0;
/// Wing tips should stay this far from the lane in use while standing, metres (ours); nearer costs this many metres of
/// detour for each metre: a circle is driven rather than the lane blocked.
const OFF_LANE_M: f64 = 3.0;
const IN_THE_WAY_PRICE: f64 = 20.0;
/// A metre off the lane costs as much as this many on it (ours): the lane is left late and joined early.
const OFF_LANE_PRICE: f64 = 1.1;
/// A metre from the middle of the area costs as much as this many of driving (ours).
const OFF_MIDDLE_PRICE: f64 = 0.5;
/// What a place costs at which the map's accuracy decides whether the wings clear, metres of detour (ours).
const UNSURE_PRICE: f64 = 100.0;
/// What the blast on a lane costs, metres of detour (ours): on one heading a place whose blast spares the lane in use goes
/// before any other.
const LANE_PRICE: f64 = 10.0;
const LANE_IN_USE_PRICE: f64 = 1000.0;
/// Prices are rounded to this.
const PRICE_STEP: f64 = 1e-3;

/// A way into the area to a stop with the nose on a heading, and out again.
#[derive(Clone, Debug, PartialEq)]
pub(in super::super) struct CheckWay {
    /// Way along the guide at which the lane is left.
    pub(in super::super) leave_m: f64,
    /// Way along the guide at which the lane is joined again.
    pub(in super::super) join_m: f64,
    into: Word,
    last_straight_m: f64,
    out: Word,
    nose_direction: Yaw,
}

impl CheckWay {
    /// Appends the way in; the path then stands at the check place.
    pub(in super::super) fn append_in(&self, path: &mut DrivenPath, leave: Yaw, leg: usize) {
        self.into.append(path, leave, leg);
        path.straight(self.nose_direction, self.last_straight_m, leg);
    }

    /// Appends the way out; the nose wheel then stands on the guide at `join_m`.
    pub(in super::super) fn append_out(&self, path: &mut DrivenPath, leg: usize) {
        self.out.append(path, self.nose_direction, leg);
    }
}

/// A place to stand.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Candidate {
    pub(super) way: CheckWay,
    pub(super) pose: Pose,
    pub(super) price: f64,
    /// Way of the nose wheel off the lane, less the lane left out, metres.
    pub(super) drive_m: f64,
    /// How much nearer the lane a wing tip is than it should be, metres.
    pub(super) in_the_way_m: f64,
    /// From the middle of the area, metres.
    pub(super) off_middle_m: f64,
    /// Whether the map's accuracy decides.
    pub(super) unsure: bool,
    /// What the blast falls on, worst first: places in the list of targets.
    pub(super) blown: Vec<usize>,
}

/// Why places on one heading fail: each counts once, for the first of these.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Tally {
    /// Places at which all wheels stand on pavement.
    pub(super) places: usize,
    /// Those whose blast falls on what it has to be kept off.
    pub(super) blast: BTreeMap<String, usize>,
    /// Those in the way on the lane.
    pub(super) on_lane: usize,
    /// Those where a part comes too near something, standing or on the way in or out: how many, and the least gap.
    pub(super) wings: BTreeMap<TooNear, (usize, f64)>,
    /// Those without room to drive in or out.
    pub(super) room: usize,
}

impl Tally {
    fn too_near(&mut self, gap_m: f64, what: TooNear) {
        let entry = self.wings.entry(what).or_insert((0, gap_m));
        entry.0 += 1;
        entry.1 = entry.1.min(gap_m);
    }
}

/// What is known of a place.
#[derive(Clone, Debug)]
enum Known {
    Nothing,
    /// Standing there a part would be too near something.
    TooNear(f64, TooNear),
    NoRoom,
    /// It can be driven to; its swept check, once made.
    Way(Box<Candidate>, Option<Look>),
}

/// A place where all wheels stand on pavement.
#[derive(Clone, Debug)]
struct Spot {
    pose: Pose,
    /// No way to it is cheaper.
    least: f64,
    /// The part of its price that does not depend on the way.
    own_price: f64,
    blown: Vec<usize>,
    harms: Harms,
    known: Known,
}

/// Whom standing at a place is in the way of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Harms {
    /// The worst that the blast falls on.
    pub(super) blast: Option<BlastHarm>,
    /// Whether a wheel or the propeller is on the lane that the area is beside: nobody can pass.
    pub(super) on_lane: bool,
}

/// The places on the headings of one angle off the wind.
#[derive(Clone, Debug, Default)]
pub(super) struct Spots {
    list: Vec<Spot>,
}

impl Spots {
    /// Places whose blast is as admitted and that clear on their whole way in and out, cheapest first, and of those only
    /// the ones that are wanted; no more than `most`.
    pub(super) fn clear(
        &mut self,
        site: &Site<'_>,
        admitted: impl Fn(Harms) -> bool,
        mut wanted: impl FnMut(&Pose) -> bool,
        most: usize,
    ) -> Vec<Candidate> {
        let mut order: Vec<usize> = (0..self.list.len()).filter(|i| admitted(self.list[*i].harms)).collect();
        order.sort_by(|a, b| self.list[*a].least.total_cmp(&self.list[*b].least));
        let (mut next, mut ready) = (0, BTreeMap::new());
        let mut found = Vec::new();
        while found.len() < most {
            let cheapest = ready.first_key_value().map(|((price, _), _)| *price);
            if let Some(i) = order.get(next).copied()
                && cheapest.is_none_or(|price| thousandths(self.list[i].least) <= price)
            {
                next += 1;
                if wanted(&self.list[i].pose)
                    && let Some(price) = self.list[i].look(site)
                {
                    ready.insert((thousandths(price), i), ());
                }
                continue;
            }
            let Some(((_, i), ())) = ready.pop_first() else {
                break;
            };
            let spot = &mut self.list[i];
            // What has been found since may be near it.
            if wanted(&spot.pose) && spot.clears(site) {
                found.extend(spot.candidate().cloned());
            }
        }
        found
    }

    /// Why they fail, as far as they have been looked at.
    pub(super) fn tally(&self, site: &Site<'_>) -> Tally {
        let mut t = Tally::default();
        for spot in &self.list {
            t.places += 1;
            match &spot.known {
                _ if spot.harms.blast == Some(BlastHarm::KeepOff) => {
                    let name = site.around.targets[spot.blown[0]].name.clone();
                    *t.blast.entry(name).or_insert(0) += 1;
                }
                _ if spot.harms.on_lane => t.on_lane += 1,
                Known::TooNear(gap_m, what) => t.too_near(*gap_m, what.clone()),
                Known::NoRoom => t.room += 1,
                Known::Way(
                    _,
                    Some(Look {
                        too_near: Some((gap_m, what)),
                        ..
                    }),
                ) => t.too_near(*gap_m, what.clone()),
                Known::Nothing | Known::Way(..) => {}
            }
        }
        t
    }
}

/// Prices in whole steps, to be ordered by.
fn thousandths(price: f64) -> i64 {
    (price / PRICE_STEP).round() as i64
}

impl Spot {
    /// Looks at it, if that has not been done: its price when it can be driven to.
    fn look(&mut self, site: &Site<'_>) -> Option<f64> {
        if matches!(self.known, Known::Nothing) {
            self.known = site.look_at(self);
        }
        self.candidate().map(|c| c.price)
    }

    fn candidate(&self) -> Option<&Candidate> {
        match &self.known {
            Known::Way(candidate, _) => Some(candidate),
            _ => None,
        }
    }

    /// Whether it clears on its whole way in and out.
    fn clears(&mut self, site: &Site<'_>) -> bool {
        match &mut self.known {
            Known::Way(candidate, look) => {
                let look = look.get_or_insert_with(|| site.around.look_along(&site.drive(&candidate.way)));
                look.too_near.is_none()
            }
            _ => false,
        }
    }
}

impl Site<'_> {
    /// The way off the lane, in and out.
    pub(super) fn drive(&self, way: &CheckWay) -> DrivenPath {
        let (nose, direction) = self.guide.at(way.leave_m).unwrap_or((self.middle, way.nose_direction));
        let start = Pose {
            nose,
            heading_rad: direction,
        };
        let mut path = DrivenPath::new(self.aircraft.gear.wheelbase_m, start);
        way.append_in(&mut path, direction, 0);
        way.append_out(&mut path, 0);
        path
    }

    fn path_ok(&self, path: &DrivenPath) -> bool {
        means(self.aircraft, greatest_nose_wheel_rad(path, 0.0)) != TurnMeans::NotPossible
            && self.ground.carries_along(path)
    }

    /// The cheapest of the ways from some places of the lane whose path keeps to the pavement: its price, its way along the
    /// lane, and the word. Of each place the least price of any way is told, and its words are asked for in that order.
    fn first_that_fits<'l>(
        &self,
        places: impl Iterator<Item = (f64, &'l LanePlace)>,
        words: impl Fn(&LanePlace) -> Vec<Word>,
        priced: impl Fn(&LanePlace, &Word) -> f64,
        fits: impl Fn(&LanePlace, &Word) -> bool,
    ) -> Option<(f64, f64, Word)> {
        let mut places: Vec<(f64, &LanePlace)> = places.collect();
        places.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut next = 0;
        let mut ready: Vec<(f64, &LanePlace, Word)> = Vec::new();
        loop {
            let cheapest = (0..ready.len()).min_by(|a, b| ready[*a].0.total_cmp(&ready[*b].0));
            if let Some((least, place)) = places.get(next).copied()
                && cheapest.is_none_or(|i| least <= ready[i].0)
            {
                next += 1;
                ready.extend(words(place).into_iter().map(|w| (priced(place, &w), place, w)));
                continue;
            }
            let (price, place, word) = ready.swap_remove(cheapest?);
            if fits(place, &word) {
                return Some((price, place.way_m, word));
            }
        }
    }

    /// The cheapest way in and out of one place, with its price.
    fn ways(&self, pose: &Pose) -> Option<(f64, CheckWay)> {
        let (nose_at, nose) = (pose.nose, pose.heading_rad);
        let wheelbase = self.aircraft.gear.wheelbase_m;
        let radius = easy_radius_m(self.aircraft);
        let last_straight_m = LAST_STRAIGHT_WHEELBASES * wheelbase;
        let before = nose_at - Xy::unit(nose) * last_straight_m;
        let back = Pose {
            nose: before,
            heading_rad: nose,
        };
        if !self.ground.carries(&back) {
            return None;
        }
        // A word whose first or last circle has no room need not be driven to be thrown out.
        let room = |(turn, length_m): (i8, f64), arcs_m: [f64; 2]| match turn {
            0 => true,
            side => length_m <= arcs_m[usize::from(side < 0)],
        };
        let on = |p: Xy| self.ground.holds(p);
        let last_m = self.ground.arcs_m(before, nose, radius, false);
        let least_in = |l: &LanePlace| OFF_LANE_PRICE * l.at.distance(before) + (l.way_m - self.passes.0);
        let entries = self.lane.iter().filter(|l| l.way_m <= self.passes.1);
        let (price_in, leave_m, into) = self.first_that_fits(
            entries.map(|l| (least_in(l), l)),
            |l| {
                dubins::words_with(l.at, l.direction, before, nose, radius, |[first, last]| {
                    room(first, l.leave_m) && room(last, last_m)
                })
            },
            |l, word| OFF_LANE_PRICE * word.length_m() + (l.way_m - self.passes.0),
            |l, word| {
                word.all_along(l.at, l.direction, NOSE_STEP_M, on) && {
                    let start = Pose {
                        nose: l.at,
                        heading_rad: l.direction,
                    };
                    let mut path = DrivenPath::new(wheelbase, start);
                    word.append(&mut path, l.direction, 0);
                    path.straight(nose, last_straight_m, 0);
                    self.path_ok(&path)
                }
            },
        )?;
        let first_m = self.ground.arcs_m(nose_at, nose, radius, true);
        let least_out = |l: &LanePlace| OFF_LANE_PRICE * l.at.distance(nose_at) - (l.way_m - self.passes.0);
        let exits = self.lane.iter().filter(|l| l.way_m >= leave_m);
        let (price_out, join_m, out) = self.first_that_fits(
            exits.map(|l| (least_out(l), l)),
            |l| {
                dubins::words_with(nose_at, nose, l.at, l.direction, radius, |[first, last]| {
                    room(first, first_m) && room(last, l.join_m)
                })
            },
            |l, word| OFF_LANE_PRICE * word.length_m() - (l.way_m - self.passes.0),
            |_, word| {
                word.all_along(nose_at, nose, NOSE_STEP_M, on) && {
                    let mut path = DrivenPath::new(wheelbase, *pose);
                    word.append(&mut path, nose, 0);
                    self.path_ok(&path)
                }
            },
        )?;
        let way = CheckWay {
            leave_m,
            join_m,
            into,
            last_straight_m,
            out,
            nose_direction: nose,
        };
        Some((price_in + price_out, way))
    }

    /// How much nearer the lane a wing tip is than it should be, metres.
    fn in_the_way_m(&self, nose_at: Xy) -> f64 {
        let tip = self.aircraft.wing.span_m / 2.0 + OFF_LANE_M;
        planar::closest_on_line(nose_at, &self.beside.points)
            .map_or(0.0, |(q, _, _)| (tip - q.distance(nose_at)).max(0.0))
    }

    /// The place with the nose wheel at a point, as far as that is quickly told; `None` where a wheel is off the pavement.
    fn spot(&self, nose_at: Xy, nose: Yaw) -> Option<Spot> {
        let pose = Pose {
            nose: nose_at,
            heading_rad: nose,
        };
        if !self.ground.carries(&pose) {
            return None;
        }
        let blown = blast::hits(self.aircraft, &pose, &self.around.targets);
        let harm = blown.first().map(|i| self.around.targets[*i].harm);
        let blast_price = match harm {
            Some(BlastHarm::Lane) => LANE_PRICE,
            Some(BlastHarm::LaneInUse) => LANE_IN_USE_PRICE,
            Some(BlastHarm::KeepOff) | None => 0.0,
        };
        let own_price = OFF_MIDDLE_PRICE * nose_at.distance(self.middle)
            + IN_THE_WAY_PRICE * self.in_the_way_m(nose_at)
            + blast_price;
        let before = nose_at - Xy::unit(nose) * (LAST_STRAIGHT_WHEELBASES * self.aircraft.gear.wheelbase_m);
        let straight = |from: Xy, sign: f64| {
            let one = |l: &LanePlace| OFF_LANE_PRICE * l.at.distance(from) + sign * (l.way_m - self.passes.0);
            self.lane.iter().map(one).fold(f64::INFINITY, f64::min)
        };
        Some(Spot {
            pose,
            least: own_price + straight(before, 1.0) + straight(nose_at, -1.0) - PRICE_STEP,
            own_price,
            blown,
            harms: Harms {
                blast: harm,
                on_lane: self.ground.on_lane(&pose),
            },
            known: Known::Nothing,
        })
    }

    /// Whether one can stand there, drive in and drive out.
    fn look_at(&self, spot: &Spot) -> Known {
        let look = self.around.look_at(&spot.pose);
        if let Some((gap_m, what)) = look.too_near {
            return Known::TooNear(gap_m, what);
        }
        let Some((price, way)) = self.ways(&spot.pose) else {
            return Known::NoRoom;
        };
        let unsure = if look.unsure { UNSURE_PRICE } else { 0.0 };
        let path = self.drive(&way);
        let candidate = Candidate {
            drive_m: path.length_m() - (way.join_m - way.leave_m),
            way,
            pose: spot.pose,
            price: round_to(price + spot.own_price + unsure, 3),
            in_the_way_m: self.in_the_way_m(spot.pose.nose),
            off_middle_m: spot.pose.nose.distance(self.middle),
            unsure: look.unsure,
            blown: spot.blown.clone(),
        };
        Known::Way(Box::new(candidate), None)
    }

    /// Every place on some headings.
    pub(super) fn spots(&self, headings: &[Yaw], fine: bool) -> Spots {
        let one = |nose: &Yaw| {
            let at = self.lattice(*nose, fine).into_iter();
            at.filter_map(|nose_at| self.spot(nose_at, *nose)).collect::<Vec<_>>()
        };
        Spots {
            list: headings.iter().flat_map(one).collect(),
        }
    }
}
