//! Main wheels against the pavement edge, leg by leg.
//!
//! A wheel is on pavement when it is within half the width of the line of any leg, lane or runway of known width, or
//! inside an apron, an engine-check area or the outline of a runway or taxiway, and not in a hole of it. The room at a point is the greatest of what each of those gives, which is
//! never above the true distance to the edge of them all together. Along a chord, the room beside one straight piece of
//! line is concave and so no less than at the chord's ends; with the sagitta that certifies an interval of way.

use super::queue::Queue;
use super::solid::Solid;
use super::sweep::{Cell, Outline, Walk};
use super::{EdgeRoom, Verdict};
use crate::route::{Leg, LegKind, Route};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use toeline_model::airfield::NamedArea;
use toeline_model::frame::xy;
use toeline_model::path::Pose;
use toeline_model::planar::{self, Shape};
use toeline_model::{Aircraft, Airfield, Xy};

/// How near lower and upper bound of the room must come, metres.
const TOLERANCE_M: f64 = 0.0005;
/// Beyond this room inside an area the exact figure does not matter, metres.
const AMPLE_M: f64 = 100.0;

/// A straight piece of a line with half its width.
#[derive(Clone, Copy, Debug)]
struct Strip {
    a: Xy,
    b: Xy,
    half_m: f64,
}

impl Strip {
    fn room(&self, p: Xy) -> f64 {
        self.half_m - planar::closest_on_segment(p, self.a, self.b).0.distance(p)
    }
}

/// All pavement that the map gives a width or an outline for.
struct Pavement {
    strips: Vec<Strip>,
    tree: RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>,
    /// Areas, ready for distance questions.
    areas: Vec<(NamedArea, Solid)>,
}

/// The pavement near one cell.
struct Local<'a> {
    strips: Vec<Strip>,
    areas: Vec<&'a (NamedArea, Solid)>,
}

fn strips(line: &[Xy], width_m: Option<f64>) -> impl Iterator<Item = Strip> + '_ {
    let strip = move |w: &[Xy]| {
        width_m.map(|width_m| Strip {
            a: w[0],
            b: w[1],
            half_m: width_m / 2.0,
        })
    };
    line.windows(2).filter_map(strip)
}

impl Pavement {
    fn new(field: &Airfield, route: &Route) -> Pavement {
        let mut all: Vec<Strip> = Vec::new();
        for lane in field.lanes.iter().filter(|l| l.closed.is_none()) {
            all.extend(strips(&lane.line, lane.width_m));
        }
        for runway in field.runways.iter().filter(|r| r.closed.is_none()) {
            all.extend(strips(&runway.line, runway.width_m));
        }
        for leg in &route.legs {
            all.extend(strips(&leg.mapped_line, leg.width_m));
        }
        let boxed = |(i, s): (usize, &Strip)| {
            let h = xy(s.half_m, s.half_m);
            let (low, high) = (
                xy(s.a.x.min(s.b.x), s.a.y.min(s.b.y)) - h,
                xy(s.a.x.max(s.b.x), s.a.y.max(s.b.y)) + h,
            );
            GeomWithData::new(Rectangle::from_corners([low.x, low.y], [high.x, high.y]), i)
        };
        let tree = RTree::bulk_load(all.iter().enumerate().map(boxed).collect());
        let area = |area: &NamedArea| {
            let shape = Shape::Area {
                outer: area.outer.clone(),
                holes: area.holes.clone(),
            };
            (area.clone(), Solid::new(shape, Vec::new(), true, 0.0))
        };
        let areas = field
            .aprons
            .iter()
            .chain(&field.check_areas)
            .chain(&field.outlines)
            .map(area)
            .collect();
        Pavement {
            strips: all,
            tree,
            areas,
        }
    }

    fn near(&self, cell: &Cell, leg: &Leg) -> Local<'_> {
        let (low, high) = cell.bounds;
        let here = AABB::from_corners([low.x, low.y], [high.x, high.y]);
        let mut found: Vec<usize> = self
            .tree
            .locate_in_envelope_intersecting(here)
            .map(|g| g.data)
            .collect();
        found.sort_unstable();
        let mut list: Vec<Strip> = found.iter().map(|i| self.strips[*i]).collect();
        // The leg's own line always counts, so that the room has a figure however far off it the wheels are.
        list.extend(strips(&leg.mapped_line, leg.width_m));
        let meets = |a: &&(NamedArea, Solid)| {
            let (l, h) = a.1.bounds;
            l.x <= high.x && h.x >= low.x && l.y <= high.y && h.y >= low.y
        };
        Local {
            strips: list,
            areas: self.areas.iter().filter(meets).collect(),
        }
    }
}

fn to_edge(solid: &Solid, p: Xy, q: Xy) -> f64 {
    solid.edge_distance(&Outline::new(vec![p, q]), AMPLE_M).distance_m
}

impl Local<'_> {
    /// Room at a point, metres.
    fn room(&self, p: Xy) -> f64 {
        let beside = self.strips.iter().map(|s| s.room(p)).fold(f64::NEG_INFINITY, f64::max);
        let inside = self.areas.iter().map(|(area, solid)| {
            let edge_m = to_edge(solid, p, p);
            if area.holds(p) { edge_m } else { -edge_m }
        });
        inside.fold(beside, f64::max)
    }

    /// Lower bound of the room along a chord, metres.
    fn chord_room(&self, p: Xy, q: Xy) -> f64 {
        let beside = self
            .strips
            .iter()
            .map(|s| s.room(p).min(s.room(q)))
            .fold(f64::NEG_INFINITY, f64::max);
        let inside = self.areas.iter().filter_map(|(area, solid)| {
            let edge_m = to_edge(solid, p, q);
            (edge_m > 0.0 && area.holds(p)).then_some(edge_m)
        });
        inside.fold(beside, f64::max)
    }
}

/// Room of the wheels on every leg that has a pavement edge to mind.
pub(super) fn rooms(field: &Airfield, aircraft: &Aircraft, route: &Route, walk: &Walk) -> Vec<EdgeRoom> {
    let pavement = Pavement::new(field, route);
    let wheels = Wheels {
        half_m: aircraft.outer_gear_m() / 2.0,
        walk,
        pavement: &pavement,
    };
    let minded = |leg: &Leg| match leg.kind {
        LegKind::Taxiway | LegKind::Taxilane | LegKind::Runway | LegKind::Apron => true,
        LegKind::Stand => leg.width_m.is_some(),
        LegKind::HandPush | LegKind::CheckArea => false,
    };
    let legs = route.legs.iter().enumerate().filter(|(_, leg)| minded(leg));
    legs.filter_map(|(i, leg)| wheels.on_leg(i, leg, route)).collect()
}

/// Both main wheels on their way.
struct Wheels<'a> {
    /// Half the distance between the outsides of the main tyres, metres.
    half_m: f64,
    walk: &'a Walk,
    pavement: &'a Pavement,
}

/// Least room in a search: a lower bound, and the least seen with its way.
struct Least {
    lower_m: f64,
    upper_m: f64,
    at_m: f64,
}

impl Wheels<'_> {
    fn on_leg(&self, index: usize, leg: &Leg, route: &Route) -> Option<EdgeRoom> {
        let edge = |least: &Least, room_m, verdict| {
            Some(EdgeRoom {
                leg: index,
                room_m,
                at_m: least.at_m,
                verdict,
            })
        };
        let least = self.least(leg, &[], leg.width_m.is_none())?;
        if leg.width_m.is_none() {
            // Known only where other pavement carries the wheels all along.
            return if least.lower_m >= 0.0 {
                edge(&least, Some(least.lower_m), Verdict::Clear)
            } else {
                edge(&least, None, Verdict::NotKnown)
            };
        }
        let verdict = if least.lower_m >= 0.0 {
            Verdict::Clear
        } else {
            // Off the known pavement. Where the line of a leg of unknown width is nearer than this leg's own, that
            // leg's pavement may carry the wheel.
            let unknown = route
                .legs
                .iter()
                .filter(|l| l.width_m.is_none())
                .map(|l| l.mapped_line.as_slice());
            let unknown: Vec<&[Xy]> = unknown.collect();
            let off = unknown.is_empty() || self.least(leg, &unknown, true).is_some_and(|l| l.upper_m < 0.0);
            if off { Verdict::NotClear } else { Verdict::NotKnown }
        };
        edge(&least, Some(least.lower_m), verdict)
    }

    /// Least room of both wheels over a leg, or only its sign when `sign_only`. Lines in `perhaps` may carry a wheel
    /// that is nearer to them than to the leg's own line.
    fn least(&self, leg: &Leg, perhaps: &[&[Xy]], sign_only: bool) -> Option<Least> {
        let mut queue: Queue<(usize, f64, f64)> = Queue::new();
        let cells = &self.walk.cells;
        let first = cells.partition_point(|c| c.to_m <= leg.from_m);
        let mut locals: Vec<Local<'_>> = Vec::new();
        for cell in cells[first..].iter().take_while(|c| c.from_m < leg.to_m) {
            let offset = cell.from_m - cell.a;
            let (a, b) = ((leg.from_m - offset).max(cell.a), (leg.to_m - offset).min(cell.b));
            queue.keep(f64::MIN, f64::INFINITY, (locals.len(), a, b));
            locals.push(self.pavement.near(cell, leg));
        }
        let mut least = Least {
            lower_m: f64::INFINITY,
            upper_m: f64::INFINITY,
            at_m: leg.from_m,
        };
        while let Some((so_far_m, (k, a, b))) = queue.next(least.upper_m - TOLERANCE_M) {
            if sign_only && least.upper_m < 0.0 {
                queue.lay_aside(so_far_m);
                break;
            }
            let (cell, local, m) = (&cells[first + k], &locals[k], (a + b) / 2.0);
            let room = |p: Xy| local.room(p).max(perhaps_m(p, leg, perhaps));
            let [left, right] = self.tyres(&self.walk.pose(cell.piece, m)).map(room);
            if left.min(right) < least.upper_m {
                least.upper_m = left.min(right);
                least.at_m = cell.from_m - cell.a + m;
            }
            let lower_m = self
                .bound(cell, local, (a, b), left.min(right), !perhaps.is_empty())
                .max(so_far_m);
            if m <= a || m >= b || lower_m >= least.upper_m - TOLERANCE_M {
                queue.lay_aside(lower_m);
            } else {
                queue.keep(lower_m, f64::INFINITY, (k, a, m));
                queue.keep(lower_m, f64::INFINITY, (k, m, b));
            }
        }
        least.lower_m = queue.lower().min(least.upper_m);
        (!locals.is_empty()).then_some(least)
    }

    /// Lower bound of the room between two ways into a cell's piece, given the room in the middle.
    fn bound(&self, cell: &Cell, local: &Local<'_>, (a, b): (f64, f64), middle_m: f64, doubled: bool) -> f64 {
        let (d, piece) = (self.walk.wheelbase_m, &self.walk.pieces[cell.piece]);
        let reach = xy(-d, self.half_m).norm();
        // The room changes no faster than the wheel moves; the difference of two distances twice as fast.
        let rate = piece.speed_bound(d, reach) * if doubled { 2.0 } else { 1.0 };
        let moved_m = middle_m - rate * (b - a) / 2.0;
        let [from, to] = [a, b].map(|s| self.tyres(&self.walk.pose(cell.piece, s)));
        let chord_m = local.chord_room(from[0], to[0]).min(local.chord_room(from[1], to[1]));
        moved_m.max(chord_m - piece.bend_bound(d, reach, a, b) * (b - a) * (b - a) / 8.0) - 1e-9
    }

    /// Outsides of the left and the right main tyre at a pose.
    fn tyres(&self, pose: &Pose) -> [Xy; 2] {
        [self.half_m, -self.half_m].map(|y| pose.place(self.walk.wheelbase_m, xy(0.0, y)))
    }
}

/// How much nearer a point is to the nearest of some lines than to the leg's own, metres.
fn perhaps_m(p: Xy, leg: &Leg, lines: &[&[Xy]]) -> f64 {
    let to = |line: &[Xy]| planar::closest_on_line(p, line).map_or(f64::INFINITY, |(q, _, _)| q.distance(p));
    let nearest = lines.iter().map(|l| to(l)).fold(f64::INFINITY, f64::min);
    if nearest.is_finite() {
        to(&leg.mapped_line) - nearest
    } else {
        f64::NEG_INFINITY
    }
}
