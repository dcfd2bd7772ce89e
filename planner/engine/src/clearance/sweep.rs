//! The driven path cut into cells of at most 1 m, and what every part of the aeroplane covers in one of them: the convex
//! hull of the part at both ends, widened by the sagitta of its points' ways.

use super::LOOK_AROUND_M;
use toeline_model::aircraft::parts::{self, Part};
use toeline_model::frame::xy;
use toeline_model::path::{DrivenPath, Motion, Piece, Pose};
use toeline_model::{Aircraft, Xy, planar};

/// Longest cell, metres of way.
const CELL_M: f64 = 1.0;

/// Points with the box around them.
#[derive(Clone, Debug)]
pub(super) struct Outline {
    /// Open ring.
    pub(super) points: Vec<Xy>,
    /// Lower-left corner of the box.
    pub(super) low: Xy,
    /// Upper-right corner of the box.
    pub(super) high: Xy,
}

impl Outline {
    pub(super) fn new(points: Vec<Xy>) -> Outline {
        let (low, high) = planar::bounds(points.iter().copied()).unwrap_or((xy(0.0, 0.0), xy(0.0, 0.0)));
        Outline { points, low, high }
    }
}

/// Distance between two boxes, metres; 0 when they overlap.
pub(super) fn box_gap(a: (Xy, Xy), b: (Xy, Xy)) -> f64 {
    let dx = (b.0.x - a.1.x).max(a.0.x - b.1.x).max(0.0);
    let dy = (b.0.y - a.1.y).max(a.0.y - b.1.y).max(0.0);
    (dx * dx + dy * dy).sqrt()
}

/// What one part covers between two poses: everything within `sagitta_m` of `hull`.
#[derive(Clone, Debug)]
pub(super) struct Cover {
    /// Convex hull of the part at both ends.
    pub(super) hull: Outline,
    /// How far a point of the part can leave the hull in between, metres.
    pub(super) sagitta_m: f64,
}

/// A stretch of one piece.
#[derive(Clone, Debug)]
pub(super) struct Cell {
    /// Index of the piece.
    pub(super) piece: usize,
    /// Start in the piece, metres.
    pub(super) a: f64,
    /// End in the piece, metres.
    pub(super) b: f64,
    /// Way from the start of the path to the start of the cell, metres.
    pub(super) from_m: f64,
    /// Way from the start of the path to its end, metres.
    pub(super) to_m: f64,
    /// Poses at the start, in the middle and at the end.
    pub(super) poses: [Pose; 3],
    /// Cover of each part.
    pub(super) covers: Vec<Cover>,
    /// Each part placed at the middle pose.
    pub(super) middle: Vec<Outline>,
    /// Middle of the circle that holds the whole aeroplane all through the cell.
    pub(super) centre: Xy,
    /// Radius of that circle, metres.
    pub(super) radius_m: f64,
    /// Box around all covers, sagitta included.
    pub(super) bounds: (Xy, Xy),
}

/// The aeroplane on its way.
#[derive(Clone, Debug)]
pub(super) struct Walk {
    /// Wheelbase of the path, metres.
    pub(super) wheelbase_m: f64,
    /// Parts of the aeroplane.
    pub(super) parts: Vec<Part>,
    /// Farthest point of each part from the nose wheel, metres.
    pub(super) reaches: Vec<f64>,
    /// Pieces of the path; one of no length when the aeroplane does not move.
    pub(super) pieces: Vec<Piece>,
    /// Cells in order.
    pub(super) cells: Vec<Cell>,
    /// How far from the parts is looked, metres.
    pub(super) look_m: f64,
}

impl Walk {
    /// Looks this far from the parts, metres.
    pub(super) fn looking(mut self, look_m: f64) -> Walk {
        self.look_m = look_m;
        self
    }

    pub(super) fn new(aircraft: &Aircraft, path: &DrivenPath) -> Walk {
        let wheelbase_m = path.wheelbase_m;
        let parts = parts::parts(aircraft);
        let nose = xy(wheelbase_m, 0.0);
        let reaches = parts
            .iter()
            .map(|p| p.outline.iter().map(|q| q.distance(nose)).fold(0.0, f64::max))
            .collect::<Vec<_>>();
        let mut pieces = path.pieces.clone();
        if pieces.is_empty() {
            pieces.push(Piece {
                motion: Motion::Straight,
                from_m: 0.0,
                length_m: 0.0,
                start: path.start,
                direction_rad: path.start.heading_rad,
                leg: 0,
            });
        }
        let mut walk = Walk {
            wheelbase_m,
            parts,
            reaches,
            pieces,
            cells: Vec::new(),
            look_m: LOOK_AROUND_M,
        };
        walk.cut();
        walk
    }

    fn cut(&mut self) {
        let all = planar::bounds(self.parts.iter().flat_map(|p| p.outline.iter().copied()));
        let (low, high) = all.unwrap_or((xy(0.0, 0.0), xy(0.0, 0.0)));
        let middle = low.lerp(high, 0.5);
        let radius = middle.distance(high);
        let reach = middle.distance(xy(self.wheelbase_m, 0.0));
        for piece in 0..self.pieces.len() {
            let p = &self.pieces[piece];
            let count = (p.length_m / longest_cell(p, self.wheelbase_m)).ceil().max(1.0) as usize;
            let length = p.length_m;
            for i in 0..count {
                let (a, b) = (length * i as f64 / count as f64, length * (i + 1) as f64 / count as f64);
                let cell = self.cell(piece, a, b, middle, radius, reach);
                self.cells.push(cell);
            }
        }
    }

    fn cell(&self, piece: usize, a: f64, b: f64, middle: Xy, radius: f64, reach: f64) -> Cell {
        let p = &self.pieces[piece];
        let poses = [a, (a + b) / 2.0, b].map(|s| p.pose(self.wheelbase_m, s));
        let covers: Vec<Cover> = (0..self.parts.len())
            .map(|k| self.cover(piece, k, (a, b), (&poses[0], &poses[2])))
            .collect();
        let wide = |c: &Cover| {
            let e = xy(c.sagitta_m, c.sagitta_m);
            [c.hull.low - e, c.hull.high + e]
        };
        let bounds = planar::bounds(covers.iter().flat_map(wide)).unwrap_or((poses[0].nose, poses[0].nose));
        let speed = p.speed_bound(self.wheelbase_m, reach);
        Cell {
            piece,
            a,
            b,
            from_m: p.from_m + a,
            to_m: p.from_m + b,
            poses,
            covers,
            middle: (0..self.parts.len()).map(|k| self.place(k, &poses[1])).collect(),
            centre: poses[1].place(self.wheelbase_m, middle),
            radius_m: radius + speed * (b - a) / 2.0,
            bounds,
        }
    }

    /// A part placed at a pose.
    pub(super) fn place(&self, part: usize, pose: &Pose) -> Outline {
        Outline::new(self.placed(part, pose).collect())
    }

    fn placed(&self, part: usize, pose: &Pose) -> impl Iterator<Item = Xy> + '_ {
        let (c, s) = pose.heading_rad.unit();
        let (nose, d) = (pose.nose, self.wheelbase_m);
        // As Pose::place, with the sine and cosine taken once.
        self.parts[part].outline.iter().map(move |q| {
            let x = q.x - d;
            nose + xy(x * c - q.y * s, x * s + q.y * c)
        })
    }

    /// What a part covers between two ways of a piece, given the poses there.
    pub(super) fn cover(&self, piece: usize, part: usize, (a, b): (f64, f64), (at_a, at_b): (&Pose, &Pose)) -> Cover {
        let points: Vec<Xy> = self.placed(part, at_a).chain(self.placed(part, at_b)).collect();
        let bend = self.pieces[piece].bend_bound(self.wheelbase_m, self.reaches[part], a, b);
        Cover {
            hull: Outline::new(planar::convex_hull(&points)),
            sagitta_m: bend * (b - a) * (b - a) / 8.0,
        }
    }

    /// Pose at a way into a piece.
    pub(super) fn pose(&self, piece: usize, s: f64) -> Pose {
        self.pieces[piece].pose(self.wheelbase_m, s)
    }
}

/// The bend bound reads the angle between axis and way at both ends of an interval; the interval must be too short for
/// that angle to run half round in between, which a guide radius below the wheelbase would otherwise allow.
fn longest_cell(piece: &Piece, wheelbase_m: f64) -> f64 {
    let curvature = match piece.motion {
        Motion::Arc { curvature_per_m } => curvature_per_m.abs(),
        _ => 0.0,
    };
    CELL_M.min(2.0 / (curvature + 1.0 / wheelbase_m))
}
