//! The driven path as stations a quarter of a metre apart, each with what a wobble needs to know there.

use super::wander::{self, Between};
use toeline_model::Xy;
use toeline_model::frame::xy;
use toeline_model::math;
use toeline_model::path::{DrivenPath, Motion};

/// Longest way between stations, metres.
const STEP_M: f64 = 0.25;

/// A place on the driven path.
#[derive(Clone, Copy, Debug)]
pub(super) struct Station {
    /// Way of the nose wheel from the start of the path, metres.
    pub(super) at_m: f64,
    /// Nose wheel on the driven path, local metres.
    pub(super) nose: Xy,
    /// Unit vector along the way of the nose wheel.
    pub(super) along: Xy,
    /// Unit vector along the aeroplane's axis, forward.
    pub(super) axis: Xy,
    /// Angle from the axis to the way, radians, left positive.
    pub(super) beta_rad: f64,
    /// Curvature of the way, 1/m, left positive.
    pub(super) curvature_per_m: f64,
    /// Whether the aeroplane is pushed by hand here: no wobble.
    pub(super) pushed: bool,
    /// How many stretches under own power begin before or here; a push ends one.
    pub(super) stretch: usize,
    /// Place between knots of the stretch's wander.
    pub(super) between: Between,
    /// Steady part of the deviation, metres; its slope; and what it comes to in the long run, metres.
    pub(super) steady: (f64, f64, f64),
    /// How far a point can be from the chord of the step that ends here, per square metre of step and by its distance
    /// from the nose wheel: [`toeline_model::path::Piece::bend_bound`] for two distances.
    bend: [f64; 2],
}

impl Station {
    /// How far a point at a distance from the nose wheel can leave its chord in the step that ends here, metres.
    pub(super) fn sagitta_m(&self, reach_m: f64, step_m: f64) -> f64 {
        // The bound is a straight line in the distance.
        (self.bend[0] + self.bend[1] * reach_m) * step_m * step_m / 8.0
    }
}

/// The stations, and how many knots each stretch needs.
#[derive(Clone, Debug)]
pub(super) struct Stations {
    /// In order; a path without pieces has one.
    pub(super) list: Vec<Station>,
    /// Index of the last knot of each stretch.
    pub(super) knots: Vec<usize>,
    /// Wheelbase, metres.
    pub(super) wheelbase_m: f64,
    /// a of the wander, 1/m.
    pub(super) rate_per_m: f64,
}

/// Cuts a path. The first stretch starts from a stand when `parked`; what follows a push always does.
pub(super) fn stations(path: &DrivenPath, offset_m: f64, correlation_m: f64, parked: bool) -> Stations {
    let d = path.wheelbase_m;
    let rate = wander::rate_per_m(correlation_m);
    let mut all = Stations {
        list: Vec::new(),
        knots: Vec::new(),
        wheelbase_m: d,
        rate_per_m: rate,
    };
    let mut since_m = 0.0;
    let mut under_way = false;
    for piece in &path.pieces {
        let pushed = matches!(piece.motion, Motion::PushBack | Motion::PushSwing { .. });
        if !pushed && !under_way {
            all.knots.push(0);
            since_m = 0.0;
        }
        under_way = !pushed;
        let stretch = all.knots.len();
        let from_rest = parked || stretch > 1;
        let curvature_per_m = match piece.motion {
            Motion::Arc { curvature_per_m } => curvature_per_m,
            _ => 0.0,
        };
        let count = (piece.length_m / STEP_M).ceil().max(1.0) as usize;
        for i in 0..=count {
            let s = piece.length_m * i as f64 / count as f64;
            let before = piece.length_m * i.saturating_sub(1) as f64 / count as f64;
            let pose = piece.pose(d, s);
            let (u, v) = (pose.heading_rad.unit(), piece.direction(s).unit());
            let t = rate * (since_m + s);
            let (share, slope) = wander::taken_up(t, from_rest);
            let bend = [0.0, 1.0].map(|reach| piece.bend_bound(d, reach, before, s));
            let between = Between::at(t);
            if let Some(last) = all.knots.last_mut().filter(|_| !pushed) {
                *last = (*last).max(between.knot + 1);
            }
            all.list.push(Station {
                at_m: piece.from_m + s,
                nose: pose.nose,
                along: xy(v.0, v.1),
                axis: xy(u.0, u.1),
                beta_rad: piece.beta(d, s),
                curvature_per_m,
                pushed,
                stretch,
                between,
                steady: (offset_m * share, offset_m * slope * rate, offset_m),
                bend: [bend[0], bend[1] - bend[0]],
            });
        }
        since_m += piece.length_m;
    }
    if all.list.is_empty() {
        let (u, nose) = (path.start.heading_rad.unit(), path.start.nose);
        all.list.push(Station {
            at_m: 0.0,
            nose,
            along: xy(u.0, u.1),
            axis: xy(u.0, u.1),
            beta_rad: 0.0,
            curvature_per_m: 0.0,
            pushed: true,
            stretch: 0,
            between: Between::at(0.0),
            steady: (0.0, 0.0, 0.0),
            bend: [0.0; 2],
        });
    }
    all
}

impl Stations {
    /// Steps from one station to the next; a path that stands still has one of no length.
    pub(super) fn steps(&self) -> usize {
        (self.list.len() - 1).max(1)
    }

    /// The two stations of a step.
    pub(super) fn step(&self, i: usize) -> (&Station, &Station) {
        (&self.list[i], &self.list[(i + 1).min(self.list.len() - 1)])
    }
}

/// The axis after the nose wheel has run straight along `chord`: the tractrix, exact for a straight piece. Unit vectors
/// in place of angles: tan(β/2) shrinks by e^(−L/d).
pub(super) fn follow(axis: Xy, chord: Xy, wheelbase_m: f64) -> Xy {
    let length = chord.norm();
    if length == 0.0 {
        return axis;
    }
    let along = chord * (1.0 / length);
    let (sin, cos) = (axis.cross(along), axis.dot(along));
    // Straight backward the axle is pushed and stays behind: an unsteady balance, kept.
    if 1.0 + cos < 1e-12 {
        return axis;
    }
    let t = sin / (1.0 + cos) * math::exp(-length / wheelbase_m);
    let (sin, cos) = (2.0 * t / (1.0 + t * t), (1.0 - t * t) / (1.0 + t * t));
    // The way turned back by β.
    let turned = xy(along.x * cos + along.y * sin, along.y * cos - along.x * sin);
    turned * (1.0 / turned.norm())
}
