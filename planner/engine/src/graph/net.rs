//! The lines while they are being joined: each is a list of numbered places, and equal places have one number.

use super::Source;
use super::names;
use crate::notice::{Notice, NoticeKind};
use std::collections::{BTreeSet, HashMap};
use toeline_model::planar::{closest_on_segment, line_length};
use toeline_model::{Airfield, Xy};

/// Places nearer than this are one, metres. Coordinates in open maps have 7 decimals of a degree, 11 mm; ours.
pub(super) const SAME_M: f64 = 0.05;
/// Size of the grid on which equal coordinates of a file are recognised, metres: they project to equal metres.
const GRID_M: f64 = 1e-4;

/// A line as places.
pub(super) struct Strand {
    /// What it is.
    pub(super) source: Source,
    /// Its places, in order.
    pub(super) v: Vec<usize>,
    /// Level: crossings on different levels do not join.
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
    places: Vec<Xy>,
    // Looked up, never walked through: its order reaches no result.
    by_grid: HashMap<(i64, i64), usize>,
    /// Runways, then lanes, then stands.
    pub(super) strands: Vec<Strand>,
    /// Strands at each place, once per passage.
    users: Vec<Vec<usize>>,
    /// Places that become nodes whatever meets there.
    pub(super) forced: BTreeSet<usize>,
    pub(super) notices: Vec<Notice>,
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
            forced: BTreeSet::new(),
            notices: Vec::new(),
        };
        for (i, r) in field.runways.iter().enumerate() {
            net.add(Source::Runway(i), &r.line, r.level);
        }
        for (i, l) in field.lanes.iter().enumerate() {
            net.add(Source::Lane(i, l.kind), &l.line, l.level);
        }
        for (i, s) in field.stands.iter().enumerate() {
            if s.line.len() > 1 {
                net.add(Source::Stand(i), &s.line, 0);
            }
        }
        net
    }

    /// Adds a line. One without length becomes a strand of one place, which makes no segment.
    pub(super) fn add(&mut self, source: Source, line: &[Xy], level: i32) -> usize {
        let mut v: Vec<usize> = line.iter().map(|p| self.vertex(*p)).collect();
        v.dedup();
        let strand = self.strands.len();
        for place in &v {
            self.users[*place].push(strand);
        }
        self.strands.push(Strand { source, v, level });
        strand
    }

    /// The number of a place.
    pub(super) fn vertex(&mut self, p: Xy) -> usize {
        let key = ((p.x / GRID_M).round() as i64, (p.y / GRID_M).round() as i64);
        let next = self.places.len();
        let v = *self.by_grid.entry(key).or_insert(next);
        if v == next {
            self.places.push(p);
            self.users.push(Vec::new());
        }
        v
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
        &self.users[v]
    }

    /// A strand as points.
    pub(super) fn points(&self, strand: usize) -> Vec<Xy> {
        self.strands[strand].v.iter().map(|v| self.at(*v)).collect()
    }

    /// Length of a strand, metres.
    pub(super) fn length_m(&self, strand: usize) -> f64 {
        line_length(&self.points(strand))
    }

    /// Closest place of a strand to a point. `None` for a strand without length.
    pub(super) fn foot(&self, strand: usize, p: Xy) -> Option<Foot> {
        let mut best: Option<Foot> = None;
        for (piece, w) in self.strands[strand].v.windows(2).enumerate() {
            let (at, _) = closest_on_segment(p, self.at(w[0]), self.at(w[1]));
            let distance_m = at.distance(p);
            if best.is_none_or(|b| distance_m < b.distance_m) {
                best = Some(Foot {
                    strand,
                    piece,
                    at,
                    distance_m,
                });
            }
        }
        best
    }

    /// The place number at a foot: an end of the piece when one is within `reach_m`, else a new place put into the piece
    /// and into every other strand that runs over the same piece.
    pub(super) fn open(&mut self, foot: Foot, reach_m: f64) -> usize {
        let v = &self.strands[foot.strand].v;
        let (a, b) = (v[foot.piece], v[foot.piece + 1]);
        let (da, db) = (self.at(a).distance(foot.at), self.at(b).distance(foot.at));
        if da.min(db) <= reach_m {
            return if da <= db { a } else { b };
        }
        let new = self.vertex(foot.at);
        self.put_between(a, b, new);
        new
    }

    /// Puts a place between two neighbouring ones, in every strand where they are neighbours.
    pub(super) fn put_between(&mut self, a: usize, b: usize, new: usize) {
        if new == a || new == b {
            return;
        }
        let mut list: Vec<usize> = self.users[a].clone();
        list.sort_unstable();
        list.dedup();
        for s in list {
            let mut i = 0;
            while i + 1 < self.strands[s].v.len() {
                let (p, q) = (self.strands[s].v[i], self.strands[s].v[i + 1]);
                if (p, q) == (a, b) || (p, q) == (b, a) {
                    self.strands[s].v.insert(i + 1, new);
                    self.users[new].push(s);
                    i += 1;
                }
                i += 1;
            }
        }
    }

    /// Makes two places one: whatever went through `gone` goes through `kept`.
    pub(super) fn unite(&mut self, gone: usize, kept: usize) {
        if gone == kept {
            return;
        }
        let mut list = std::mem::take(&mut self.users[gone]);
        list.sort_unstable();
        list.dedup();
        for s in list {
            let v = &mut self.strands[s].v;
            v.iter_mut().filter(|p| **p == gone).for_each(|p| *p = kept);
            v.dedup();
            let passages = v.iter().filter(|p| **p == kept).count();
            self.users[kept].retain(|u| *u != s);
            self.users[kept].extend(std::iter::repeat_n(s, passages));
        }
        if self.forced.remove(&gone) {
            self.forced.insert(kept);
        }
    }

    /// Lengthens a strand by a place at its start or its end.
    pub(super) fn lengthen(&mut self, strand: usize, at_start: bool, v: usize) {
        let list = &mut self.strands[strand].v;
        let end = if at_start { list.first() } else { list.last() };
        if end == Some(&v) {
            return;
        }
        list.insert(if at_start { 0 } else { list.len() }, v);
        self.users[v].push(strand);
    }

    /// Whether a place is on an open or closed lane.
    pub(super) fn on_lane(&self, v: usize) -> bool {
        self.users[v]
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
    pub(super) fn tell(&mut self, kind: NoticeKind, feature: impl Into<String>, at: Xy, text: impl Into<String>) {
        self.notices.push(Notice::new(kind, feature, text).with_place(Some(at)));
    }
}
