//! The lines while they are being joined: each is a list of numbered places, and equal places have one number.
//!
//! A repair is asked for by number ([`Net::open`], [`Net::unite`], [`Net::lengthen`]) while nothing moves, and all that was
//! asked is done at once by [`Net::settle`]. So the order of the lines decides nothing, and a line with a hundred thousand
//! joints costs no more than as many lines with one.

use super::crossings::MEETING_LIMIT;
use super::near::Pieces;
use super::settle::Asked;
use super::{Source, levels, names, near, settle};
use crate::notice::{Notice, NoticeKind};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::rc::Rc;
use toeline_model::planar::{closest_on_segment, line_length};
use toeline_model::{Airfield, Xy};

/// Places nearer than this are one, metres. Coordinates in open maps have 7 decimals of a degree, 11 mm; ours.
pub(super) const SAME_M: f64 = 0.05;
/// Where nothing may move any more, places nearer than this are one, metres: no more than the grid below makes one anyway.
/// Ours.
pub(super) const EXACT_M: f64 = GRID_M;
/// Size of the grid on which equal coordinates of a file are recognised, metres: they project to equal metres.
const GRID_M: f64 = 1e-4;

/// A line as places.
pub(super) struct Strand {
    /// What it is.
    pub(super) source: Source,
    /// Its places, in order.
    pub(super) v: Vec<usize>,
    /// Level: lines on different levels neither cross nor snap.
    pub(super) level: i32,
}

impl Strand {
    /// Whether it ends where it begins.
    pub(super) fn is_loop(&self) -> bool {
        self.v.len() > 2 && self.v.first() == self.v.last()
    }

    /// Whether it belongs to a stand.
    pub(super) fn is_stand(&self) -> bool {
        matches!(self.source, Source::Stand(_))
    }
}

/// Closest place of a strand to a point.
#[derive(Clone, Copy, Debug)]
pub(super) struct Foot {
    pub(super) strand: usize,
    pub(super) piece: usize,
    pub(super) at: Xy,
    pub(super) distance_m: f64,
}

/// All lines of the field.
pub(super) struct Net<'a> {
    pub(super) field: &'a Airfield,
    pub(super) places: Vec<Xy>,
    // Looked up, never walked through: its order reaches no result.
    by_grid: HashMap<(i64, i64, i32), usize>,
    /// Runways, then lanes, then stands.
    pub(super) strands: Vec<Strand>,
    /// Strands at the places, once per passage: one list for all, and where in it each place begins.
    users: Vec<usize>,
    users_begin: Vec<usize>,
    /// Whether strands were added since the last settling.
    pub(super) grown: bool,
    /// By place: whether the pieces at it have moved since the last [`Net::take_bent`].
    pub(super) bent: Vec<bool>,
    /// How wide the places spread that a place has taken in, by the place that stays.
    pub(super) spread: BTreeMap<usize, (Xy, Xy)>,
    /// Places that were asked to become one and were not.
    pub(super) refused: BTreeSet<(usize, usize)>,
    /// Every piece of every strand by place, while the net stays as it is.
    pieces: RefCell<Option<Rc<Pieces>>>,
    /// For a place that went into another one: that one.
    pub(super) became: Vec<usize>,
    /// Places that become nodes whatever meets there.
    pub(super) forced: BTreeSet<usize>,
    /// How many meetings may still be joined.
    pub(super) meetings_left: usize,
    /// What is to be done at the next settling.
    pub(super) asked: Asked,
    pub(super) notices: Vec<Notice>,
}

/// The square of the grid that a place is in.
pub(super) fn grid(p: Xy) -> (i64, i64) {
    ((p.x / GRID_M).round() as i64, (p.y / GRID_M).round() as i64)
}

impl<'a> Net<'a> {
    /// Takes over the runways and lanes of a field, and the stands drawn as lines.
    pub(super) fn new(field: &'a Airfield) -> Net<'a> {
        let mut net = Net {
            field,
            places: Vec::new(),
            by_grid: HashMap::new(),
            strands: Vec::new(),
            users: Vec::new(),
            users_begin: Vec::new(),
            grown: true,
            bent: Vec::new(),
            spread: BTreeMap::new(),
            refused: BTreeSet::new(),
            pieces: RefCell::new(None),
            became: Vec::new(),
            forced: BTreeSet::new(),
            meetings_left: MEETING_LIMIT,
            asked: Asked::default(),
            notices: Vec::new(),
        };
        let runways = field.runways.iter().map(|r| r.line.len());
        let lanes = field.lanes.iter().map(|l| l.line.len());
        let stands = field.stands.iter().map(|s| s.line.len());
        net.by_grid.reserve(runways.chain(lanes).chain(stands).sum());
        for (i, r) in field.runways.iter().enumerate() {
            net.add_line(Source::Runway(i), &r.line, r.level);
        }
        for (i, l) in field.lanes.iter().enumerate() {
            net.add_line(Source::Lane(i, l.kind), &l.line, l.level);
        }
        for (i, s) in field.stands.iter().enumerate() {
            if s.line.len() > 1 {
                net.add_line(Source::Stand(i), &s.line, 0);
            }
        }
        net.settle();
        levels::join(&mut net);
        net
    }

    /// Adds a line. One without length becomes a strand of one place, which makes no segment.
    fn add_line(&mut self, source: Source, line: &[Xy], level: i32) {
        let mut v: Vec<usize> = line.iter().map(|p| self.vertex(*p, level)).collect();
        v.dedup();
        let repeated = line.len() - v.len();
        self.add(source, v, level);
        let (strand, Some(at)) = (self.strands.len() - 1, line.first()) else {
            return;
        };
        if self.strands[strand].v.len() < 2 {
            let text = format!("{} has no length; left out", self.name(strand));
            self.say(
                Notice::new(NoticeKind::LeftOut, self.id(strand), text)
                    .with_place(Some(*at))
                    .with_size(0.0),
            );
        } else if repeated > 0 {
            let text = format!(
                "{} repeats {repeated} of its points; each taken once",
                self.name(strand)
            );
            let notice = Notice::new(NoticeKind::Repair, self.id(strand), text).with_place(Some(*at));
            self.say(notice.with_size(0.0).with_assumption("repeated points are one"));
        }
    }

    /// Adds a line by its places. It takes part from the next settling on.
    pub(super) fn add(&mut self, source: Source, v: Vec<usize>, level: i32) -> usize {
        self.grown = true;
        self.pieces.take();
        for place in &v {
            self.bent[*place] = true;
        }
        self.strands.push(Strand { source, v, level });
        self.strands.len() - 1
    }

    /// The number of a place on a level.
    pub(super) fn vertex(&mut self, p: Xy, level: i32) -> usize {
        let (x, y) = grid(p);
        let next = self.places.len();
        let v = *self.by_grid.entry((x, y, level)).or_insert(next);
        if v == next {
            self.places.push(p);
            self.became.push(next);
            self.bent.push(false);
        }
        self.now(v)
    }

    /// The number that a place has since the last settling.
    pub(super) fn now(&self, v: usize) -> usize {
        self.became[v]
    }

    /// Where a place is.
    pub(super) fn at(&self, v: usize) -> Xy {
        self.places[v]
    }

    /// How many places there are.
    pub(super) fn place_count(&self) -> usize {
        self.places.len()
    }

    /// Strands through a place.
    pub(super) fn users(&self, v: usize) -> &[usize] {
        match (self.users_begin.get(v), self.users_begin.get(v + 1)) {
            (Some(a), Some(b)) => &self.users[*a..*b],
            // A place that nothing goes through yet.
            _ => &[],
        }
    }

    /// Finds the strands through every place anew, after the strands have changed.
    pub(super) fn changed(&mut self) {
        self.grown = false;
        self.pieces.take();
        self.users_begin.clear();
        self.users_begin.resize(self.places.len() + 1, 0);
        for place in self.strands.iter().flat_map(|s| &s.v) {
            self.users_begin[place + 1] += 1;
        }
        for v in 0..self.places.len() {
            self.users_begin[v + 1] += self.users_begin[v];
        }
        let mut next = self.users_begin.clone();
        self.users.clear();
        self.users.resize(self.users_begin[self.places.len()], 0);
        for (s, strand) in self.strands.iter().enumerate() {
            for place in &strand.v {
                self.users[next[*place]] = s;
                next[*place] += 1;
            }
        }
    }

    /// Every piece of every strand by place.
    pub(super) fn pieces(&self) -> Rc<Pieces> {
        let mut kept = self.pieces.borrow_mut();
        Rc::clone(kept.get_or_insert_with(|| Rc::new(near::pieces(self))))
    }

    /// A strand as points.
    pub(super) fn points(&self, strand: usize) -> Vec<Xy> {
        self.strands[strand].v.iter().map(|v| self.at(*v)).collect()
    }

    /// Length of a strand, metres.
    pub(super) fn length_m(&self, strand: usize) -> f64 {
        line_length(&self.points(strand))
    }

    /// The foot of a point on a strand: the nearest, and of equal ones the first along it.
    pub(super) fn foot_on(&self, strand: usize, p: Xy) -> Option<Foot> {
        let v = &self.strands[strand].v;
        let feet = (1..v.len()).map(|i| {
            let (at, _) = closest_on_segment(p, self.at(v[i - 1]), self.at(v[i]));
            Foot {
                strand,
                piece: i - 1,
                at,
                distance_m: at.distance(p),
            }
        });
        feet.min_by(|a, b| a.distance_m.total_cmp(&b.distance_m))
    }

    /// Asks for a place at a foot and gives its number: an end of the piece when one is within `reach_m`, else a new
    /// place, which the piece and every other strand that runs over the same piece take in when the net is settled.
    pub(super) fn open(&mut self, foot: Foot, reach_m: f64) -> usize {
        let strand = &self.strands[foot.strand];
        let (a, b, level) = (strand.v[foot.piece], strand.v[foot.piece + 1], strand.level);
        let (da, db) = (self.at(a).distance(foot.at), self.at(b).distance(foot.at));
        if da.min(db) <= reach_m {
            return if da <= db { a } else { b };
        }
        let new = self.vertex(foot.at, level);
        self.put_between(a, b, new);
        new
    }

    /// Asks for a place between two neighbouring ones, in every strand where they are neighbours.
    pub(super) fn put_between(&mut self, a: usize, b: usize, new: usize) {
        if new != a && new != b {
            self.asked.cuts.entry((a.min(b), a.max(b))).or_default().push(new);
        }
    }

    /// Asks for two places to become one: whatever goes through `gone` goes through `kept`.
    pub(super) fn unite(&mut self, gone: usize, kept: usize) {
        if gone != kept {
            self.asked.same.push((gone, kept));
        }
    }

    /// Asks for a strand to be longer by a place at its start or its end.
    pub(super) fn lengthen(&mut self, strand: usize, at_start: bool, v: usize) {
        self.asked.longer.push((strand, at_start, v));
    }

    /// Does all that was asked for.
    pub(super) fn settle(&mut self) {
        settle::settle(self, SAME_M);
    }

    /// Does all that was asked for; places asked for on one piece nearer together than `reach_m` are one.
    pub(super) fn settle_within(&mut self, reach_m: f64) {
        settle::settle(self, reach_m);
    }

    /// By place: whether the pieces at it have moved since this was last asked.
    pub(super) fn take_bent(&mut self) -> Vec<bool> {
        let none = vec![false; self.places.len()];
        std::mem::replace(&mut self.bent, none)
    }

    /// Whether a place is on an open or closed lane.
    pub(super) fn on_lane(&self, v: usize) -> bool {
        self.users(v)
            .iter()
            .any(|s| matches!(self.strands[*s].source, Source::Lane(..)))
    }

    /// Whether a strand is closed.
    pub(super) fn is_closed(&self, strand: usize) -> bool {
        match self.strands[strand].source {
            Source::Lane(i, _) => self.field.lanes[i].closed.is_some(),
            Source::Runway(i) => self.field.runways[i].closed.is_some(),
            Source::Stand(i) => self.field.stands[i].closed.is_some(),
        }
    }

    /// What a strand is called in a notice.
    pub(super) fn name(&self, strand: usize) -> String {
        names::source(self.field, self.strands[strand].source)
    }

    /// Identity of the feature a strand is from.
    pub(super) fn id(&self, strand: usize) -> String {
        names::id(self.field, self.strands[strand].source).to_string()
    }

    /// Adds a notice.
    pub(super) fn say(&mut self, notice: Notice) {
        self.notices.push(notice);
    }
}
