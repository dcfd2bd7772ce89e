//! The ground that the wheels may stand on: the area, the lane beside it, aprons and mapped outlines of pavement.
//!
//! It is asked about a million places, so it is drawn once in cells. A cell knows how far its middle is from the nearest
//! edge of each piece of pavement: where that settles the matter for all of the cell it is settled, and where it does not
//! the pieces themselves are asked. The answers are the same.

use super::super::guide::Guide;
use core::cell::Cell;
use toeline_model::airfield::{NamedArea, Surface};
use toeline_model::frame::{Xy, xy};
use toeline_model::path::Pose;
use toeline_model::{Aircraft, Airfield, DrivenPath, Yaw, math, planar};

/// Pavement kept around every wheel, metres (ours): a beginner's wheel, and what lies between two places looked at.
const AROUND_WHEEL_M: f64 = 0.3;
/// Places looked at along a way, metres: first far apart, to throw out quickly what fails, then near.
const STEPS_M: [f64; 2] = [2.0, 0.5];
/// Side of a cell, metres; larger where a field is so large that there would be too many.
const CELL_M: f64 = 0.75;
const MOST_CELLS: f64 = 250_000.0;

/// Pavement with an outline.
struct Piece<'a> {
    area: &'a NamedArea,
    /// Its box.
    bounds: (Xy, Xy),
    /// Its edges that come near.
    edges: Vec<(Xy, Xy)>,
}

/// The ground around one area.
pub(super) struct Ground<'a> {
    /// The area itself, and other open pavement that comes near.
    pieces: Vec<Piece<'a>>,
    lane: &'a Guide,
    lane_half_m: f64,
    wheelbase_m: f64,
    /// Points about the wheels that have to be on it, in the aeroplane's axes.
    feet: Vec<Xy>,
    /// The foremost point, in the same axes.
    foremost: Xy,
    /// Farthest of them from the middle of the wheelbase, metres.
    reach_m: f64,
    low: Xy,
    cell_m: f64,
    columns: usize,
    /// How far the middle of each cell is within the pavement (without it: negative), metres, at least; NaN before it is
    /// asked for.
    cells: Vec<Cell<f64>>,
}

fn inside((low, high): (Xy, Xy), p: Xy) -> bool {
    low.x <= p.x && p.x <= high.x && low.y <= p.y && p.y <= high.y
}

impl<'a> Ground<'a> {
    pub(super) fn new(
        field: &'a Airfield,
        aircraft: &Aircraft,
        area: &'a NamedArea,
        lane: &'a Guide,
        lane_half_m: f64,
    ) -> Ground<'a> {
        let gear = &aircraft.gear;
        let m = AROUND_WHEEL_M;
        let (nose, main) = (gear.nose_tyre_width_m / 2.0 + m, aircraft.outer_gear_m() / 2.0 + m);
        let feet = vec![
            xy(gear.wheelbase_m, 0.0),
            xy(gear.wheelbase_m + m, nose),
            xy(gear.wheelbase_m + m, -nose),
            xy(m, main),
            xy(m, -main),
            xy(-m, main),
            xy(-m, -main),
        ];
        let half_way = xy(gear.wheelbase_m / 2.0, 0.0);
        let reach_m = feet.iter().map(|f| f.distance(half_way)).fold(0.0, f64::max);
        let here = planar::bounds(area.outer.iter().chain(&lane.points).copied()).unwrap_or_default();
        // Cells as far out as the wheels come.
        let beyond = lane_half_m + reach_m;
        let (low, high) = (here.0 - xy(beyond, beyond), here.1 + xy(beyond, beyond));
        let size = high - low;
        let cell_m = CELL_M.max((size.x * size.y / MOST_CELLS).sqrt());
        let (columns, rows) = ((size.x / cell_m).ceil(), (size.y / cell_m).ceil());
        let near = |b: &(Xy, Xy)| b.0.x <= here.1.x && b.1.x >= here.0.x && b.0.y <= here.1.y && b.1.y >= here.0.y;
        let piece = |area: &'a NamedArea| {
            let bounds = planar::bounds(area.outer.iter().copied()).filter(near)?;
            let rings = core::iter::once(&area.outer).chain(&area.holes);
            let edges = rings.flat_map(|r| planar::ring_edges(r));
            // Edges farther out than a cell is wide settle nothing here.
            let close = |(a, b): &(Xy, Xy)| {
                a.x.min(b.x) - beyond <= high.x
                    && a.x.max(b.x) + beyond >= low.x
                    && a.y.min(b.y) - beyond <= high.y
                    && a.y.max(b.y) + beyond >= low.y
            };
            Some(Piece {
                area,
                bounds,
                edges: edges.filter(close).collect(),
            })
        };
        let open = field.aprons.iter().chain(&field.outlines);
        let open = open.filter(|a| a.surface != Surface::Water);
        Ground {
            pieces: core::iter::once(area).chain(open).filter_map(piece).collect(),
            lane,
            lane_half_m,
            wheelbase_m: gear.wheelbase_m,
            feet,
            foremost: xy(gear.wheelbase_m + aircraft.foremost_ahead_of_nose_m(), 0.0),
            reach_m,
            low,
            cell_m,
            columns: columns as usize,
            cells: vec![Cell::new(f64::NAN); columns as usize * rows as usize],
        }
    }

    fn holds_exactly(&self, p: Xy) -> bool {
        self.pieces.iter().any(|q| inside(q.bounds, p) && q.area.holds(p))
            || planar::closest_on_line(p, &self.lane.points).is_some_and(|(q, _, _)| q.distance(p) <= self.lane_half_m)
    }

    /// How far a point is within one of the pieces, or without them all (negative), metres: no more than it is. Distances
    /// beyond `reach_m` may be told as that.
    fn within_m(&self, p: Xy) -> f64 {
        let lane = planar::closest_on_line(p, &self.lane.points)
            .map_or(f64::NEG_INFINITY, |(q, _, _)| self.lane_half_m - q.distance(p));
        let one = |piece: &Piece<'_>| {
            let edge = |(a, b): &(Xy, Xy)| planar::closest_on_segment(p, *a, *b).0.distance(p);
            let edge_m = piece
                .edges
                .iter()
                .map(edge)
                .fold(self.lane_half_m + self.reach_m, f64::min);
            if inside(piece.bounds, p) && piece.area.holds(p) {
                edge_m
            } else {
                -edge_m
            }
        };
        self.pieces.iter().map(one).fold(lane, f64::max)
    }

    /// The way to the edge from anywhere in the cell around a point, at least, as [`Ground::within_m`]; `None` where the
    /// edge is in the cell, or outside of all cells.
    fn settled_m(&self, p: Xy) -> Option<f64> {
        let at = (p - self.low) * (1.0 / self.cell_m);
        let (i, j) = (at.x.floor(), at.y.floor());
        if !(0.0..self.columns as f64).contains(&i) || j < 0.0 {
            return None;
        }
        let (i, j) = (i as usize, j as usize);
        let cell = self.cells.get(j * self.columns + i)?;
        let mut within_m = cell.get();
        if within_m.is_nan() {
            let middle = self.low + xy(i as f64 + 0.5, j as f64 + 0.5) * self.cell_m;
            within_m = self.within_m(middle);
            cell.set(within_m);
        }
        // A hair more than half the diagonal, for rounding.
        let half_m = self.cell_m * 0.708;
        (within_m.abs() > half_m).then_some(within_m.signum() * (within_m.abs() - half_m))
    }

    /// Whether a point is on it.
    pub(super) fn holds(&self, p: Xy) -> bool {
        match self.settled_m(p) {
            Some(within_m) => within_m > 0.0,
            None => self.holds_exactly(p),
        }
    }

    /// Whether every wheel stands on it.
    pub(super) fn carries(&self, pose: &Pose) -> bool {
        let middle = pose.nose - Xy::unit(pose.heading_rad) * (self.wheelbase_m / 2.0);
        if let Some(within_m) = self.settled_m(middle)
            && within_m > self.reach_m
        {
            return true;
        }
        self.feet.iter().all(|b| self.holds(pose.place(self.wheelbase_m, *b)))
    }

    /// Whether a wheel or what is foremost stands on the lane itself, or over it.
    pub(super) fn on_lane(&self, pose: &Pose) -> bool {
        let on = |p: Xy| {
            planar::closest_on_line(p, &self.lane.points).is_some_and(|(q, _, _)| q.distance(p) < self.lane_half_m)
        };
        let ends = self.feet.iter().chain([&self.foremost]);
        ends.into_iter().any(|b| on(pose.place(self.wheelbase_m, *b)))
    }

    /// How far the nose wheel stays on it along a circle to the left and to the right, metres, forward or backward; at
    /// most once round. Necessary for any way that begins or ends so, and quickly looked up.
    pub(super) fn arcs_m(&self, nose: Xy, direction: Yaw, radius_m: f64, forward: bool) -> [f64; 2] {
        let step_m = STEPS_M[1];
        let steps = (core::f64::consts::TAU * radius_m / step_m).ceil() as usize;
        [1.0, -1.0].map(|side| {
            let centre = nose + Xy::unit(direction).left() * (side * radius_m);
            let sense = if forward { side } else { -side };
            // Turned on step by step: a sine and a cosine for all of them.
            let (c, s) = {
                let turned = sense * step_m / radius_m;
                (math::cos(turned), math::sin(turned))
            };
            let mut arm = nose - centre;
            let mut on = |_: &usize| {
                arm = xy(arm.x * c - arm.y * s, arm.x * s + arm.y * c);
                self.holds(centre + arm)
            };
            (1..=steps).take_while(|k| on(k)).count() as f64 * step_m + step_m
        })
    }

    /// Whether every wheel stays on it along a way.
    pub(super) fn carries_along(&self, path: &DrivenPath) -> bool {
        STEPS_M.iter().all(|step_m| {
            let steps = (path.length_m() / step_m).ceil().max(1.0) as usize;
            (0..=steps).all(|k| self.carries(&path.pose_at(path.length_m() * k as f64 / steps as f64)))
        })
    }
}
