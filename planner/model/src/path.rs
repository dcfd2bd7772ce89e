//! The one driven path: what the nose wheel follows from the starting pose to the last stop, with the heading carried
//! from piece to piece. Clearance, drive, score and debrief all read this path and no other.

use crate::angle::Yaw;
use crate::frame::Xy;
use crate::math;
use crate::planar;
use crate::tractrix;
use serde::{Deserialize, Serialize};

/// Where an aeroplane stands: its nose-wheel contact point and its heading.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pose {
    /// Contact point of the nose wheel, local metres.
    pub nose: Xy,
    /// Direction of the aeroplane's axis, tail to nose.
    pub heading_rad: Yaw,
}

impl Pose {
    /// Middle of the main axle, local metres.
    pub fn axle(&self, wheelbase_m: f64) -> Xy {
        self.nose - Xy::unit(self.heading_rad) * wheelbase_m
    }

    /// A point given in the aeroplane's own axes (x forward of the main axle, y left) in local metres.
    pub fn place(&self, wheelbase_m: f64, body: Xy) -> Xy {
        let (c, s) = self.heading_rad.unit();
        let (x, y) = (body.x - wheelbase_m, body.y);
        self.nose
            + Xy {
                x: x * c - y * s,
                y: x * s + y * c,
            }
    }
}

/// How one piece of the path is moved along.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Motion {
    /// Nose wheel led straight on.
    Straight,
    /// Nose wheel led along an arc.
    Arc {
        /// Curvature, 1/m, left positive; its inverse is the radius of the nose wheel's way.
        curvature_per_m: f64,
    },
    /// Pushed by hand, tail first, without turning.
    PushBack,
    /// Swung by hand about the middle of the main axle.
    PushSwing {
        /// Angle of the swing, left positive; the nose wheel runs along a circle of the wheelbase's radius.
        left_rad: f64,
    },
}

/// One piece of the driven path.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Piece {
    /// How it is moved along.
    pub motion: Motion,
    /// Way of the nose wheel from the start of the path to the start of this piece, metres.
    pub from_m: f64,
    /// Way of the nose wheel in this piece, metres.
    pub length_m: f64,
    /// Pose at the start of the piece.
    pub start: Pose,
    /// Direction in which the nose wheel sets off.
    pub direction_rad: Yaw,
    /// What the planner says it follows: the index of the leg in the plan.
    pub leg: usize,
}

/// The whole way of the nose wheel. Lengths in metres, angles in radians.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DrivenPath {
    /// Wheelbase the headings were computed with, metres.
    pub wheelbase_m: f64,
    /// Pose before the first movement.
    pub start: Pose,
    /// Pieces in order.
    pub pieces: Vec<Piece>,
}

impl Piece {
    /// Angle from the aeroplane's axis to the way of the nose wheel at the start, radians, left positive.
    pub fn start_beta(&self) -> f64 {
        self.start.heading_rad.to_rad(self.direction_rad)
    }

    fn curvature(&self) -> f64 {
        match self.motion {
            Motion::Arc { curvature_per_m } => curvature_per_m,
            _ => 0.0,
        }
    }

    /// β at a way `s` metres into the piece (see [`tractrix`]); 0 while pushed by hand.
    pub fn beta(&self, wheelbase_m: f64, s: f64) -> f64 {
        match self.motion {
            Motion::Straight | Motion::Arc { .. } => {
                tractrix::beta_after(self.start_beta(), self.curvature(), wheelbase_m, s)
            }
            Motion::PushBack | Motion::PushSwing { .. } => 0.0,
        }
    }

    /// Pose at a way `s` metres into the piece, 0..=length.
    pub fn pose(&self, wheelbase_m: f64, s: f64) -> Pose {
        match self.motion {
            Motion::Straight => {
                let nose = self.start.nose + Xy::unit(self.direction_rad) * s;
                Pose {
                    nose,
                    heading_rad: self.direction_rad.turned(-self.beta(wheelbase_m, s)),
                }
            }
            Motion::Arc { curvature_per_m: k } => {
                let turned = k * s;
                let centre = self.start.nose + Xy::unit(self.direction_rad).left() * (1.0 / k);
                let nose = centre + (self.start.nose - centre).rotated(turned);
                Pose {
                    nose,
                    heading_rad: self.direction_rad.turned(turned - self.beta(wheelbase_m, s)),
                }
            }
            Motion::PushBack => {
                let nose = self.start.nose - Xy::unit(self.start.heading_rad) * s;
                Pose {
                    nose,
                    heading_rad: self.start.heading_rad,
                }
            }
            Motion::PushSwing { left_rad } => {
                let axle = self.start.axle(wheelbase_m);
                let turned = if left_rad < 0.0 {
                    -s / wheelbase_m
                } else {
                    s / wheelbase_m
                };
                let heading_rad = self.start.heading_rad.turned(turned);
                Pose {
                    nose: axle + Xy::unit(heading_rad) * wheelbase_m,
                    heading_rad,
                }
            }
        }
    }

    /// Direction of the nose wheel's way at `s` metres into the piece.
    pub fn direction(&self, s: f64) -> Yaw {
        match self.motion {
            Motion::Straight | Motion::PushBack => self.direction_rad,
            Motion::Arc { curvature_per_m } => self.direction_rad.turned(curvature_per_m * s),
            Motion::PushSwing { left_rad } => self.direction_rad.turned(left_rad * s / self.length_m.max(1e-12)),
        }
    }

    /// How fast a point at `reach_m` from the nose wheel can move at most, in metres per metre of way: 1 + r/d.
    pub fn speed_bound(&self, wheelbase_m: f64, reach_m: f64) -> f64 {
        1.0 + reach_m / wheelbase_m
    }

    /// Bound on the curvature vector (second derivative by way, 1/m) of a point at `reach_m` from the nose wheel,
    /// between `a` and `b` metres into the piece. With it the true way of that point stays within bound·(b−a)²/8 of the
    /// straight line between its two ends.
    pub fn bend_bound(&self, wheelbase_m: f64, reach_m: f64, a: f64, b: f64) -> f64 {
        let d = wheelbase_m;
        match self.motion {
            Motion::PushBack => 0.0,
            Motion::PushSwing { .. } => (reach_m + d) / (d * d),
            Motion::Straight | Motion::Arc { .. } => {
                let kappa = self.curvature();
                let (beta_a, beta_b) = (self.beta(d, a), self.beta(d, b));
                // dβ/ds = κ − sin β/d is one first-order equation without s, so β never turns back within a piece
                // and sin β and dβ/ds are bounded by their ends, unless β passes a quarter turn.
                let (sin, rate) = if beta_a.abs().max(beta_b.abs()) < core::f64::consts::FRAC_PI_2 {
                    let (sa, sb) = (math::sin(beta_a), math::sin(beta_b));
                    (
                        sa.abs().max(sb.abs()),
                        (kappa - sa / d).abs().max((kappa - sb / d).abs()),
                    )
                } else {
                    (1.0, kappa.abs() + 1.0 / d)
                };
                // Heading rate ψ' = sin β/d, ψ'' = cos β·β'/d.
                kappa.abs() + reach_m * ((sin / d) * (sin / d) + rate / d)
            }
        }
    }
}

impl DrivenPath {
    /// An empty path that stands at `start`.
    pub fn new(wheelbase_m: f64, start: Pose) -> DrivenPath {
        DrivenPath {
            wheelbase_m,
            start,
            pieces: Vec::new(),
        }
    }

    /// Whole way of the nose wheel, metres.
    pub fn length_m(&self) -> f64 {
        self.pieces.last().map_or(0.0, |p| p.from_m + p.length_m)
    }

    /// Pose after the last piece.
    pub fn end(&self) -> Pose {
        self.pieces
            .last()
            .map_or(self.start, |p| p.pose(self.wheelbase_m, p.length_m))
    }

    fn push(&mut self, motion: Motion, length_m: f64, direction_rad: Yaw, leg: usize) {
        if length_m > 0.0 {
            let (from_m, start) = (self.length_m(), self.end());
            self.pieces.push(Piece {
                motion,
                from_m,
                length_m,
                start,
                direction_rad,
                leg,
            });
        }
    }

    /// Leads the nose wheel straight on in a direction.
    pub fn straight(&mut self, direction: Yaw, length_m: f64, leg: usize) {
        self.push(Motion::Straight, length_m, direction, leg);
    }

    /// Leads the nose wheel along an arc that sets off in a direction and turns by an angle, left positive.
    pub fn arc(&mut self, direction: Yaw, radius_m: f64, left_rad: f64, leg: usize) {
        if left_rad != 0.0 {
            let curvature_per_m = left_rad.signum() / radius_m;
            self.push(
                Motion::Arc { curvature_per_m },
                radius_m * left_rad.abs(),
                direction,
                leg,
            );
        }
    }

    /// Pushes the aeroplane back by hand without turning.
    pub fn push_back(&mut self, length_m: f64, leg: usize) {
        let direction = self.end().heading_rad.turned(core::f64::consts::PI);
        self.push(Motion::PushBack, length_m, direction, leg);
    }

    /// Swings the aeroplane by hand about the middle of its main axle, left positive.
    pub fn push_swing(&mut self, left_rad: f64, leg: usize) {
        let quarter = core::f64::consts::FRAC_PI_2 * left_rad.signum();
        let direction = self.end().heading_rad.turned(quarter);
        self.push(
            Motion::PushSwing { left_rad },
            self.wheelbase_m * left_rad.abs(),
            direction,
            leg,
        );
    }

    /// Index of the piece at a way of `s` metres; `None` on an empty path.
    pub fn piece_at(&self, s: f64) -> Option<usize> {
        if self.pieces.is_empty() {
            return None;
        }
        Some(self.pieces.partition_point(|p| p.from_m <= s).saturating_sub(1))
    }

    /// Pose at a way of `s` metres, clamped to the path.
    pub fn pose_at(&self, s: f64) -> Pose {
        self.piece_at(s).map_or(self.start, |i| {
            let p = &self.pieces[i];
            p.pose(self.wheelbase_m, (s - p.from_m).clamp(0.0, p.length_m))
        })
    }

    /// Direction of the nose wheel's way at `s` metres, clamped to the path.
    pub fn direction_at(&self, s: f64) -> Yaw {
        self.piece_at(s).map_or(self.start.heading_rad, |i| {
            let p = &self.pieces[i];
            p.direction((s - p.from_m).clamp(0.0, p.length_m))
        })
    }

    /// Where on the path a point is nearest, looking only between two ways: the way in metres and the signed distance,
    /// left positive. `None` when no piece lies there.
    pub fn nearest(&self, p: Xy, from_s: f64, to_s: f64) -> Option<(f64, f64)> {
        let mut best: Option<(f64, f64, f64)> = None;
        for piece in &self.pieces {
            if piece.from_m > to_s || piece.from_m + piece.length_m < from_s {
                continue;
            }
            let s = nearest_in_piece(self.wheelbase_m, piece, p);
            let at = piece.pose(self.wheelbase_m, s).nose;
            let distance = at.distance(p);
            if best.is_none_or(|(d, _, _)| distance < d) {
                let side = Xy::unit(piece.direction(s)).cross(p - at);
                best = Some((
                    distance,
                    piece.from_m + s,
                    if side < 0.0 { -distance } else { distance },
                ));
            }
        }
        best.map(|(_, s, offset)| (s, offset))
    }
}

fn nearest_in_piece(wheelbase_m: f64, piece: &Piece, p: Xy) -> f64 {
    let around = |centre: Xy, left: bool, radius: f64| {
        let start = (piece.start.nose - centre).direction();
        let turned = start.to_rad((p - centre).direction());
        let swept = if left { turned } else { -turned };
        // Half way round the rest of the circle decides which end is nearer.
        let whole = piece.length_m / radius;
        let swept = if swept < -(core::f64::consts::PI - whole / 2.0).max(0.0) {
            swept + core::f64::consts::TAU
        } else {
            swept
        };
        (swept * radius).clamp(0.0, piece.length_m)
    };
    match piece.motion {
        Motion::Straight | Motion::PushBack => {
            let end = piece.pose(wheelbase_m, piece.length_m).nose;
            planar::closest_on_segment(p, piece.start.nose, end).1 * piece.length_m
        }
        Motion::Arc { curvature_per_m: k } => {
            let centre = piece.start.nose + Xy::unit(piece.direction_rad).left() * (1.0 / k);
            around(centre, k > 0.0, 1.0 / k.abs())
        }
        Motion::PushSwing { left_rad } => around(piece.start.axle(wheelbase_m), left_rad > 0.0, wheelbase_m),
    }
}
