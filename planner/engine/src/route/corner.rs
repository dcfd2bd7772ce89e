//! Which radius a corner is taken with: easily where that leaves as much pavement beside the wheels as the published rows
//! ask, tighter by steering alone where that does, else easily as long as a little is left, and with inside brake only where
//! the wheels would leave the pavement otherwise. The estimate here only chooses; clearance judges.

use super::cost::easy_radius_m;
use super::limits::EDGE_LEFT_M;
use toeline_model::frame::Xy;
use toeline_model::{Aircraft, math};

/// Pavement wished for beside the outer main tyre in a turn, metres (ours): a little more than the 5 ft that the FAA's rows
/// and the 1.5 m that ICAO's ask of new taxiways for the smallest aeroplanes.
const WISHED_BESIDE_M: f64 = 1.55;
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
        if fits(easy, WISHED_BESIDE_M) {
            easy
        } else if fits(steering, WISHED_BESIDE_M) {
            largest(steering, easy, |r| fits(r, WISHED_BESIDE_M))
        } else if fits(easy, EDGE_LEFT_M) {
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

    /// How far inside the mapped line the outer edge of the inner main tyre comes on a turn driven for long, metres: with a
    /// radius R of the nose wheel's way and a wheelbase d it runs on a circle of √(R² - d²) less half the gear, and is
    /// nearest to the inner corner of the pavement in the middle of the turn.
    fn inner_wheel_m(&self, radius_m: f64, turn_rad: f64) -> f64 {
        let d = self.aircraft.gear.wheelbase_m;
        let axle_m = (radius_m * radius_m - d * d).max(0.0).sqrt();
        radius_m - (axle_m - self.aircraft.outer_gear_m() / 2.0) * math::cos(turn_rad.abs() / 2.0)
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
