//! The way ahead as the pilot sees it: where he is on it, where it leads, and how fast it may be taken.

use super::gains;
use super::plane::Plane;
use super::task::Task;
use toeline_model::path::{DrivenPath, Motion};
use toeline_model::units::{G_MPS2, KNOT_MPS};
use toeline_model::{Xy, math};

/// Step of the table of speeds, metres.
const STEP_M: f64 = 0.25;
/// Most that the place on the path is moved in one look, metres.
const MOST_MOVE_M: f64 = 2.0;

/// Place on the path, followed step by step: a path that crosses itself or runs beside itself is no riddle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Way of the nose wheel, metres.
    pub way_m: f64,
    /// Distance of the nose wheel from the path, metres, left positive.
    pub offset_m: f64,
    /// Way before which it never falls back, metres: what was pushed by hand is behind.
    least_m: f64,
}

impl Place {
    /// The place at a way, from which the drive begins.
    pub fn at(way_m: f64) -> Place {
        Place {
            way_m,
            offset_m: 0.0,
            // A hair on: at the seam itself the path is still that of the push.
            least_m: way_m + 1e-9 * way_m.max(1.0),
        }
    }

    /// The place after the nose wheel has moved on to a point.
    #[must_use]
    pub fn moved(self, path: &DrivenPath, nose: Xy) -> Place {
        let length = path.length_m().max(self.least_m);
        let mut way = self.way_m;
        for _ in 0..3 {
            let from = nose - path.pose_at(way).nose;
            let along = Xy::unit(path.direction_at(way)).dot(from);
            way = (way + along.clamp(-MOST_MOVE_M, MOST_MOVE_M)).clamp(self.least_m, length);
        }
        let way_m = way
            .clamp(self.way_m - MOST_MOVE_M, self.way_m + MOST_MOVE_M)
            .max(self.least_m);
        let from = nose - path.pose_at(way_m).nose;
        let offset_m = Xy::unit(path.direction_at(way_m)).cross(from);
        Place {
            way_m,
            offset_m,
            ..self
        }
    }
}

/// What the path asks at a way: how the nose wheel is led there.
#[derive(Clone, Copy, Debug)]
pub(super) struct Led {
    /// Direction of the nose wheel's way, radians.
    pub(super) toward_rad: f64,
    /// Heading, radians.
    pub(super) heading_rad: f64,
    /// Nose-wheel angle β, radians.
    pub(super) wheel_rad: f64,
    /// Its growth with the way, rad/m.
    pub(super) wheel_per_m: f64,
    /// Curvature of the nose wheel's way, 1/m.
    pub(super) curvature_per_m: f64,
}

/// What a path asks at a way.
pub(super) fn led(path: &DrivenPath, way_m: f64) -> Led {
    let d = path.wheelbase_m;
    let Some(i) = path.piece_at(way_m) else {
        let heading_rad = path.start.heading_rad.rad();
        return Led {
            toward_rad: heading_rad,
            heading_rad,
            wheel_rad: 0.0,
            wheel_per_m: 0.0,
            curvature_per_m: 0.0,
        };
    };
    let piece = &path.pieces[i];
    let s = (way_m - piece.from_m).clamp(0.0, piece.length_m);
    let curvature_per_m = match piece.motion {
        Motion::Arc { curvature_per_m } => curvature_per_m,
        _ => 0.0,
    };
    let wheel_rad = piece.beta(d, s);
    Led {
        toward_rad: piece.direction(s).rad(),
        heading_rad: piece.pose(d, s).heading_rad.rad(),
        wheel_rad,
        wheel_per_m: curvature_per_m - math::sin(wheel_rad) / d,
        curvature_per_m,
    }
}

/// Speeds along the way: what each place allows, and what can be slowed down from before the next one.
#[derive(Clone, Debug)]
pub(super) struct Speeds {
    mps: Vec<f64>,
}

impl Speeds {
    pub(super) fn new(plane: &Plane, task: &Task) -> Speeds {
        let steps = (task.path.length_m() / STEP_M).ceil() as usize;
        let mut mps: Vec<f64> = (0..=steps).map(|k| allowed(plane, task, k as f64 * STEP_M)).collect();
        for k in (0..steps).rev() {
            let can = (mps[k + 1] * mps[k + 1] + 2.0 * gains::SLOWS_MPS2 * STEP_M).sqrt();
            mps[k] = mps[k].min(can);
        }
        Speeds { mps }
    }

    /// Speed at a way with nothing to stop for, m/s.
    pub(super) fn at(&self, way_m: f64) -> f64 {
        let k = way_m.max(0.0) / STEP_M;
        let (low, share) = (k.floor() as usize, k - k.floor());
        let last = self.mps.len() - 1;
        let (a, b) = (self.mps[low.min(last)], self.mps[(low + 1).min(last)]);
        a + (b - a) * share
    }

    /// Speed at a way with a stop ahead, m/s.
    pub(super) fn before(&self, way_m: f64, stop_m: f64) -> f64 {
        let left_m = (stop_m - way_m).max(0.0);
        self.at(way_m).min((2.0 * gains::SLOWS_MPS2 * left_m).sqrt())
    }
}

/// Speed that a place allows by itself, m/s.
fn allowed(plane: &Plane, task: &Task, way_m: f64) -> f64 {
    let taxi = &plane.aircraft.taxi;
    // In more wind than it is flown in across a runway it is taxied at apron speed.
    let strong = task.wind_mps > plane.aircraft.wind_limits.crosswind_kt * KNOT_MPS;
    let most = if strong {
        taxi.apron_kt * KNOT_MPS
    } else {
        f64::INFINITY
    };
    let lane = task.speed_at(way_m).min(most);
    let here = led(&task.path, way_m);
    let (sin, cos) = (math::sin(here.wheel_rad), math::cos(here.wheel_rad));
    let bend = here.curvature_per_m.abs().max(sin.abs() / plane.wheelbase_m);
    let mut mps = lane;
    if bend > 1e-6 {
        let radius = 1.0 / bend;
        let side = (taxi.turn_side_g * G_MPS2 * radius).sqrt();
        let turn = if radius < gains::BEND_RADIUS_M {
            plane.aircraft.turn_speed_mps(radius)
        } else {
            side
        };
        mps = mps.min(gains::TURN_SHARE * turn);
    }
    // No faster than the feet can lead the nose wheel.
    if here.wheel_per_m.abs() > 1e-6 {
        mps = mps.min((gains::WHEEL_RADPS / here.wheel_per_m.abs()).max(gains::LEAST_TURN_MPS));
    }
    // The nose wheel, or where it is not enough the brake, must be able to begin and end the turn.
    let limit = plane.params.pedal_limit_rad;
    let per_v2 = plane.turning_nm(cos, sin / plane.wheelbase_m, cos * here.wheel_per_m / plane.wheelbase_m);
    let left_nm = if plane.steered && here.wheel_rad.abs() <= 0.9 * limit {
        plane.most_nose_nm()
    } else {
        // Into the turn against the nose wheel with the inside brake; out of it by the nose wheel alone, or, when it
        // casters, with the other brake.
        let nose_nm = plane.nose_moment_nm(limit, here.wheel_rad.abs()).min(0.0).abs();
        if plane.steered && per_v2 * here.wheel_rad < 0.0 {
            nose_nm
        } else {
            (plane.most_moment_nm - nose_nm / gains::PLANNED_SHARE).max(0.0)
        }
    };
    if per_v2.abs() > 1e-9 {
        let by_moment = (gains::PLANNED_SHARE * left_nm / per_v2.abs()).sqrt();
        mps = mps.min(by_moment.max(gains::LEAST_TURN_MPS.min(lane)));
    }
    mps
}
