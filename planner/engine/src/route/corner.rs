//! Which radius a corner is taken with: easily where there is room, tighter where the pavement is narrow, and with inside
//! brake only where the wheels would leave the pavement otherwise. The estimate here only chooses; clearance judges.

use super::cost::easy_radius_m;
use super::limits::EDGE_LEFT_M;
use toeline_model::frame::Xy;
use toeline_model::{Aircraft, math};

/// Room kept to the limit of steering, and of the inside brake, as a share of the radius (ours).
const STEERING_RESERVE: f64 = 1.02;
const BRAKE_RESERVE: f64 = 1.15;
/// The same for a freely castering nose wheel, which has no steering of its own (ours).
const CASTER_RESERVE: f64 = 1.3;

/// Chooses radii for one aeroplane.
pub(super) struct Corners<'a> {
    pub(super) aircraft: &'a Aircraft,
    /// Half width of the pavement at a place, metres; `None` where it is open or not mapped.
    pub(super) half_width_m: &'a dyn Fn(Xy) -> Option<f64>,
}

impl Corners<'_> {
    /// Radius of the nose wheel's way wanted at a corner of an angle, metres.
    pub(super) fn radius_m(&self, at: Xy, turn_rad: f64) -> f64 {
        let easy = easy_radius_m(self.aircraft);
        let Some(half) = (self.half_width_m)(at) else {
            return easy;
        };
        let fits = |radius: f64, left: f64| self.inner_wheel_m(radius, turn_rad) + left <= half;
        let (steering, brake) = (self.steering_m(), BRAKE_RESERVE * self.aircraft.tightest_radius_m());
        if fits(easy, EDGE_LEFT_M) {
            easy
        } else if fits(steering, EDGE_LEFT_M) {
            largest(steering, easy, |r| fits(r, EDGE_LEFT_M))
        } else if fits(steering, 0.0) || brake >= steering {
            steering
        } else {
            largest(brake, steering, |r| fits(r, EDGE_LEFT_M))
        }
    }

    /// Radius at which neighbouring corners need not be taken as one, metres.
    pub(super) fn enough_m(&self, at: Xy, turn_rad: f64) -> f64 {
        self.steering_m().min(self.radius_m(at, turn_rad))
    }

    fn steering_m(&self) -> f64 {
        let steering = self.aircraft.steering_radius_m();
        if steering.is_finite() {
            STEERING_RESERVE * steering
        } else {
            CASTER_RESERVE * self.aircraft.tightest_radius_m()
        }
    }

    /// How far inside the mapped line the outer edge of the inner main tyre comes, metres: the cut of the corner, half
    /// the gear, and the steady off-tracking d²/2R.
    fn inner_wheel_m(&self, radius_m: f64, turn_rad: f64) -> f64 {
        let d = self.aircraft.gear.wheelbase_m;
        let cut = radius_m * (1.0 - math::cos(turn_rad.abs() / 2.0));
        cut + self.aircraft.outer_gear_m() / 2.0 + d * d / (2.0 * radius_m)
    }
}

/// The largest value between `low` and `high` that fits, to a centimetre; `low` when only that does or nothing does.
fn largest(low: f64, high: f64, fits: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (low, high);
    while high - low > 0.01 {
        let middle = (low + high) / 2.0;
        if fits(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}
