//! Branch and bound over the driven path: the least gap, certified from below.
//!
//! For an interval of way two lower bounds hold: the gap at its middle less the farthest a point can move from there;
//! and the distance from the convex hull of the part at both ends less the sagitta of its points' ways, because every
//! point stays within that of its chord and the chords lie in the hull. The gap at any pose is an upper bound. The
//! interval with the smallest lower bound is halved until lower and upper meet.

use super::Gap;
use super::queue::Queue;
use super::solid::Solid;
use super::sweep::{Cell, Cover, Walk};
use super::verdict::Rule;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use toeline_model::path::Pose;
use toeline_model::planar::Closest;
use toeline_model::units::round_to;

/// How near lower and upper bound of a least gap must come, metres: half of what is promised, so that rounding in the
/// last digits cannot break the promise.
const GAP_TOLERANCE_M: f64 = 0.0005;
/// Allowance for rounding in the distances themselves, metres.
const ROUNDING_M: f64 = 1e-9;
/// How closely the ends of a contact are placed, metres of way.
const CONTACT_M: f64 = 0.005;

/// An obstacle that may come near in a cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Near {
    /// Index of the cell.
    pub(super) cell: usize,
    /// Index of the obstacle.
    pub(super) solid: usize,
    /// Lower bound of the gap from the circles around the aeroplane, metres; negative when it says nothing.
    pub(super) coarse_m: f64,
}

/// Every pair of a cell and an obstacle that may come within [`Walk::look_m`], by cell and then by obstacle.
pub(super) fn near(walk: &Walk, solids: &[Solid]) -> Vec<Near> {
    let boxed = |(i, s): (usize, &Solid)| {
        let (low, high) = s.bounds;
        GeomWithData::new(Rectangle::from_corners([low.x, low.y], [high.x, high.y]), i)
    };
    let tree = RTree::bulk_load(
        solids
            .iter()
            .enumerate()
            .filter(|(_, s)| !s.parts.is_empty())
            .map(boxed)
            .collect(),
    );
    let mut list = Vec::new();
    for (cell, c) in walk.cells.iter().enumerate() {
        let (low, high) = c.bounds;
        let around = AABB::from_corners(
            [low.x - walk.look_m, low.y - walk.look_m],
            [high.x + walk.look_m, high.y + walk.look_m],
        );
        let mut found: Vec<usize> = tree.locate_in_envelope_intersecting(around).map(|g| g.data).collect();
        found.sort_unstable();
        for solid in found {
            let limit = walk.look_m + c.radius_m + ROUNDING_M;
            let coarse_m = solids[solid].point_distance(c.centre, limit) - c.radius_m - ROUNDING_M;
            if coarse_m < walk.look_m {
                list.push(Near { cell, solid, coarse_m });
            }
        }
    }
    list
}

/// The pose at which the least gap so far was seen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Best {
    pub(super) at_m: f64,
    pub(super) pose: Pose,
    pub(super) part: usize,
    pub(super) closest: Closest,
}

/// What a search found: the true least gap lies between the two bounds.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    pub(super) lower_m: f64,
    pub(super) upper_m: f64,
    pub(super) best: Option<Best>,
}

/// An interval still open. `part` is `None` for a cell not yet looked into.
#[derive(Clone, Copy, Debug)]
struct Open {
    cell: usize,
    solid: usize,
    part: Option<usize>,
    span: (f64, f64),
    ends: (Pose, Pose),
}

struct Search<'a> {
    walk: &'a Walk,
    solids: &'a [Solid],
    tolerance_m: f64,
    queue: Queue<Open>,
    upper_m: f64,
    best: Option<Best>,
}

/// Least gap over some pairs of cell and obstacle, looking no farther than [`Walk::look_m`].
pub(super) fn least<'n>(
    walk: &Walk,
    solids: &[Solid],
    pairs: impl IntoIterator<Item = &'n Near>,
    tolerance_m: f64,
) -> Found {
    let upper_m = walk.look_m + tolerance_m;
    let mut search = Search {
        walk,
        solids,
        tolerance_m,
        queue: Queue::new(),
        upper_m,
        best: None,
    };
    for n in pairs {
        let c = &walk.cells[n.cell];
        let (span, ends) = ((c.a, c.b), (c.poses[0], c.poses[2]));
        let open = Open {
            cell: n.cell,
            solid: n.solid,
            part: None,
            span,
            ends,
        };
        search.queue.keep(n.coarse_m, search.enough(), open);
    }
    search.run()
}

impl Search<'_> {
    /// A lower bound that need not be improved. A gap is never negative, so after a contact nothing need be.
    fn enough(&self) -> f64 {
        if self.upper_m == 0.0 {
            f64::NEG_INFINITY
        } else {
            self.upper_m - self.tolerance_m
        }
    }

    fn run(mut self) -> Found {
        while let Some((lower_m, open)) = self.queue.next(self.enough()) {
            match open.part {
                None => self.look_into(lower_m, &open),
                Some(part) => self.halve(lower_m, &open, part),
            }
        }
        Found {
            lower_m: self.queue.lower().min(self.upper_m).max(0.0),
            upper_m: self.upper_m,
            best: self.best,
        }
    }

    fn look_into(&mut self, so_far_m: f64, open: &Open) {
        let (walk, solids) = (self.walk, self.solids);
        let (c, solid) = (&walk.cells[open.cell], &solids[open.solid]);
        for &part in &solid.parts {
            let at_middle = solid.distance(&c.middle[part], self.upper_m);
            self.saw(c, (c.a + c.b) / 2.0, c.poses[1], part, at_middle);
            let lower_m = self.bound(solid, c, part, &c.covers[part], at_middle.distance_m, c.b - c.a);
            self.queue.keep(
                lower_m.max(so_far_m),
                self.enough(),
                Open {
                    part: Some(part),
                    ..*open
                },
            );
        }
    }

    fn halve(&mut self, so_far_m: f64, open: &Open, part: usize) {
        let (walk, solids) = (self.walk, self.solids);
        let (c, solid) = (&walk.cells[open.cell], &solids[open.solid]);
        let (a, b) = open.span;
        let m = (a + b) / 2.0;
        if m <= a || m >= b {
            // The two ends are neighbours among the floating-point numbers.
            self.queue.lay_aside(so_far_m);
            return;
        }
        let at_m = walk.pose(c.piece, m);
        let at_middle = solid.distance(&walk.place(part, &at_m), self.upper_m);
        self.saw(c, m, at_m, part, at_middle);
        for (span, ends) in [((a, m), (open.ends.0, at_m)), ((m, b), (at_m, open.ends.1))] {
            let cover = walk.cover(c.piece, part, span, (&ends.0, &ends.1));
            // The pose at m is an end of both halves: as far from their other ends as from those of the whole.
            let lower_m = self.bound(solid, c, part, &cover, at_middle.distance_m, b - a);
            self.queue
                .keep(lower_m.max(so_far_m), self.enough(), Open { span, ends, ..*open });
        }
    }

    /// The better of the two lower bounds for an interval of a length around the middle pose.
    fn bound(&self, solid: &Solid, c: &Cell, part: usize, cover: &Cover, middle_m: f64, length_m: f64) -> f64 {
        let hull_m = solid.distance(&cover.hull, self.upper_m + cover.sagitta_m).distance_m - cover.sagitta_m;
        hull_m.max(middle_m - self.moved(c, part, length_m)) - ROUNDING_M
    }

    /// The farthest a point of a part can be from where it is in the middle of an interval, metres.
    fn moved(&self, cell: &Cell, part: usize, length_m: f64) -> f64 {
        let piece = &self.walk.pieces[cell.piece];
        piece.speed_bound(self.walk.wheelbase_m, self.walk.reaches[part]) * length_m / 2.0
    }

    fn saw(&mut self, cell: &Cell, s: f64, pose: Pose, part: usize, closest: Closest) {
        if closest.distance_m < self.upper_m {
            self.upper_m = closest.distance_m;
            let at_m = self.walk.pieces[cell.piece].from_m + s;
            self.best = Some(Best {
                at_m,
                pose,
                part,
                closest,
            });
        }
    }
}

/// Least gap to every obstacle that comes within [`Walk::look_m`], smallest first.
pub(super) fn gaps(walk: &Walk, solids: &[Solid], near: &[Near], rule: &Rule) -> Vec<Gap> {
    let mut by_solid: Vec<Vec<Near>> = vec![Vec::new(); solids.len()];
    for n in near {
        by_solid[n.solid].push(*n);
    }
    let mut list: Vec<Gap> = Vec::new();
    for (obstacle, pairs) in by_solid.iter().enumerate() {
        let found = least(walk, solids, pairs, GAP_TOLERANCE_M);
        let Some(best) = found.best else { continue };
        let solid = &solids[obstacle];
        let touches = found.upper_m == 0.0;
        list.push(Gap {
            obstacle,
            part: walk.parts[best.part].name.clone(),
            gap_m: found.lower_m,
            at_m: best.at_m,
            on_aircraft: best.closest.on_first,
            on_obstacle: best.closest.on_second,
            heading: best.pose.heading_rad.bearing(),
            verdict: rule.of(found.lower_m, solid),
            contact_m: touches.then(|| contact(walk, solid, pairs, best.at_m)),
        });
    }
    let key = |g: &Gap| (round_to(g.gap_m, 4), round_to(g.at_m, 2));
    list.sort_by(|a, b| {
        let ((ga, sa), (gb, sb)) = (key(a), key(b));
        ga.total_cmp(&gb)
            .then(sa.total_cmp(&sb))
            .then(a.obstacle.cmp(&b.obstacle))
    });
    list
}

/// First and last way at which any part touches, given one at which some part does.
fn contact(walk: &Walk, solid: &Solid, pairs: &[Near], known_m: f64) -> [f64; 2] {
    let may = || pairs.iter().filter(|n| n.coarse_m <= 0.0).map(|n| &walk.cells[n.cell]);
    let end = |c: &Cell, back: bool| touch(walk, solid, c, (c.a, c.b), (c.poses[0], c.poses[2]), back);
    let first = may().find_map(|c| end(c, false));
    let last = may().rev().find_map(|c| end(c, true));
    [
        first.unwrap_or(known_m).min(known_m),
        last.unwrap_or(known_m).max(known_m),
    ]
}

/// The first (or, from the back, the last) way of an interval at which a part touches, to within [`CONTACT_M`] and
/// rather too early (or too late) than the other way about.
fn touch(
    walk: &Walk,
    solid: &Solid,
    cell: &Cell,
    (a, b): (f64, f64),
    (at_a, at_b): (Pose, Pose),
    back: bool,
) -> Option<f64> {
    let may = |&part: &usize| {
        let cover = walk.cover(cell.piece, part, (a, b), (&at_a, &at_b));
        solid
            .distance(&cover.hull, cover.sagitta_m + 2.0 * ROUNDING_M)
            .distance_m
            <= cover.sagitta_m + ROUNDING_M
    };
    if !solid.parts.iter().any(may) {
        return None;
    }
    let (s, pose) = if back { (b, at_b) } else { (a, at_a) };
    let touching = |&part: &usize| solid.distance(&walk.place(part, &pose), ROUNDING_M).distance_m == 0.0;
    if b - a <= CONTACT_M || solid.parts.iter().any(touching) {
        return Some(walk.pieces[cell.piece].from_m + s);
    }
    let m = (a + b) / 2.0;
    let at_m = walk.pose(cell.piece, m);
    let before = || touch(walk, solid, cell, (a, m), (at_a, at_m), back);
    let after = || touch(walk, solid, cell, (m, b), (at_m, at_b), back);
    if back {
        after().or_else(before)
    } else {
        before().or_else(after)
    }
}
