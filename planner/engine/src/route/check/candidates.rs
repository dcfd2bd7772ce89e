//! The places to stand on one heading, each with the cheapest way in and out that keeps to the pavement.

use super::super::TurnMeans;
use super::super::cost::easy_radius_m;
use super::super::dubins::{self, Word};
use super::super::rounding::{greatest_nose_wheel_rad, means};
use super::around::{Look, TooNear};
use super::blast::{self, Harm};
use super::{LanePlace, Site};
use std::collections::BTreeMap;
use toeline_model::frame::Xy;
use toeline_model::path::Pose;
use toeline_model::units::round_to;
use toeline_model::{DrivenPath, Yaw, planar};

/// The last straight before stopping, in wheelbases: after three of them the tractrix leaves one twentieth of the angle.
const LAST_STRAIGHT_WHEELBASES: f64 = 3.0;
/// How many of the shortest ways to or from one place are tried (ours).
const MOST_WORDS: usize = 60;
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
    /// What the blast falls on, worst first.
    pub(super) blown: Vec<(Harm, String)>,
}

/// Why places on one heading fail.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Tally {
    /// Places at which all wheels stand on pavement.
    pub(super) places: usize,
    /// Those of them without room to drive in or out.
    pub(super) room: usize,
    /// Those where a part comes too near something, on the way in, standing or on the way out: how many, and the least gap.
    pub(super) wings: BTreeMap<TooNear, (usize, f64)>,
    /// Those that would do but for the blast.
    pub(super) blast: BTreeMap<String, usize>,
}

impl Tally {
    fn too_near(&mut self, gap_m: f64, what: TooNear) {
        let entry = self.wings.entry(what).or_insert((0, gap_m));
        entry.0 += 1;
        entry.1 = entry.1.min(gap_m);
    }
}

/// The places on one heading.
#[derive(Clone, Debug, Default)]
pub(super) struct OnHeading {
    /// Cheapest first; the swept check of the way in and out is made when one is asked for.
    pub(super) candidates: Vec<Candidate>,
    pub(super) tally: Tally,
    /// Those already looked at on their whole way: whether they clear.
    looked: BTreeMap<usize, Look>,
}

impl OnHeading {
    /// Whether a candidate clears on its whole way in and out.
    pub(super) fn clears(&mut self, site: &Site<'_>, index: usize) -> bool {
        if let Some(look) = self.looked.get(&index) {
            return look.too_near.is_none();
        }
        let look = site.around.look_along(&site.drive(&self.candidates[index].way));
        if let Some((gap_m, what)) = &look.too_near {
            self.tally.too_near(*gap_m, what.clone());
        }
        let clears = look.too_near.is_none();
        self.looked.insert(index, look);
        clears
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

    /// The cheapest of some ways whose path keeps to the pavement: its price, its way along the lane, and the word.
    fn first_that_fits(
        &self,
        mut ways: Vec<(f64, f64, Xy, Yaw, Word)>,
        path_of: impl Fn(Xy, Yaw, &Word) -> DrivenPath,
    ) -> Option<(f64, f64, Word)> {
        ways.sort_by(|a, b| a.0.total_cmp(&b.0));
        ways.into_iter()
            .take(MOST_WORDS)
            .find(|w| self.path_ok(&path_of(w.2, w.3, &w.4)))
            .map(|w| (w.0, w.1, w.4))
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
        let fits = |word: &Word, first_m: [f64; 2], last_m: [f64; 2]| {
            let room = |(turn, length_m): (i8, f64), arcs_m: [f64; 2]| match turn {
                0 => true,
                side => length_m <= arcs_m[usize::from(side < 0)],
            };
            let [first, last] = word.ends();
            room(first, first_m) && room(last, last_m)
        };
        let priced = |l: &LanePlace, word: Word, along: f64| {
            let price = OFF_LANE_PRICE * word.length_m() + along * (l.way_m - self.passes.0);
            (price, l.way_m, l.at, l.direction, word)
        };
        let last_m = self.ground.arcs_m(before, nose, radius, false);
        let entries = self.lane.iter().filter(|l| l.way_m <= self.passes.1);
        let ways_in = entries.flat_map(|l| {
            let words = dubins::words(l.at, l.direction, before, nose, radius).into_iter();
            words
                .filter(move |w| fits(w, l.leave_m, last_m))
                .map(move |w| priced(l, w, 1.0))
        });
        let (price_in, leave_m, into) = self.first_that_fits(ways_in.collect(), |p, direction, word| {
            let start = Pose {
                nose: p,
                heading_rad: direction,
            };
            let mut path = DrivenPath::new(wheelbase, start);
            word.append(&mut path, direction, 0);
            path.straight(nose, last_straight_m, 0);
            path
        })?;
        let first_m = self.ground.arcs_m(nose_at, nose, radius, true);
        let exits = self.lane.iter().filter(|l| l.way_m >= leave_m);
        let ways_out = exits.flat_map(|l| {
            let words = dubins::words(nose_at, nose, l.at, l.direction, radius).into_iter();
            words
                .filter(move |w| fits(w, first_m, l.join_m))
                .map(move |w| priced(l, w, -1.0))
        });
        let (price_out, join_m, out) = self.first_that_fits(ways_out.collect(), |_, _, word| {
            let mut path = DrivenPath::new(wheelbase, *pose);
            word.append(&mut path, nose, 0);
            path
        })?;
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

    /// The place to stand with the nose wheel at a point, and what speaks against it.
    fn at(&self, nose_at: Xy, nose: Yaw, tally: &mut Tally) -> Option<Candidate> {
        let pose = Pose {
            nose: nose_at,
            heading_rad: nose,
        };
        if !self.ground.carries(&pose) {
            return None;
        }
        tally.places += 1;
        let look = self.around.look_at(&pose);
        if let Some((gap_m, what)) = look.too_near {
            tally.too_near(gap_m, what);
            return None;
        }
        let Some((price, way)) = self.ways(&pose) else {
            tally.room += 1;
            return None;
        };
        let blown = blast::falls_on(self.aircraft, &pose, &self.around.targets);
        if let Some((_, name)) = blown.first() {
            *tally.blast.entry(name.clone()).or_insert(0) += 1;
        }
        let tip = self.aircraft.wing.span_m / 2.0 + OFF_LANE_M;
        let in_the_way_m = planar::closest_on_line(nose_at, &self.beside.points)
            .map_or(0.0, |(q, _, _)| (tip - q.distance(nose_at)).max(0.0));
        let off_middle_m = nose_at.distance(self.middle);
        let unsure = if look.unsure { UNSURE_PRICE } else { 0.0 };
        let price = price + OFF_MIDDLE_PRICE * off_middle_m + IN_THE_WAY_PRICE * in_the_way_m + unsure;
        let path = self.drive(&way);
        let drive_m = path.length_m() - (way.join_m - way.leave_m);
        Some(Candidate {
            way,
            pose,
            price: round_to(price, 3),
            drive_m,
            in_the_way_m,
            off_middle_m,
            unsure: look.unsure,
            blown,
        })
    }

    /// Every place on one heading, cheapest first.
    pub(super) fn on_heading(&self, nose: Yaw, fine: bool) -> OnHeading {
        let mut found = OnHeading::default();
        for nose_at in self.lattice(nose, fine) {
            found.candidates.extend(self.at(nose_at, nose, &mut found.tally));
        }
        found.candidates.sort_by(|a, b| a.price.total_cmp(&b.price));
        found
    }
}
