//! Watches a drive by the model pilot, tick by tick, with measures of its own.

use toeline_dynamics::{Controls, LEFT, Params, RIGHT, State, Telemetry};
use toeline_engine::plan;
use toeline_engine::planning::{Outcome, Plan, Way};
use toeline_model::path::Motion;
use toeline_model::units::DEG;
use toeline_model::{Aircraft, DrivenPath, Xy};
use toeline_training::pilot::Task;

/// Ticks from one measure of the distance to the next.
pub(crate) const TICKS_A_LOOK: u64 = 4;
/// Step of the points that the path is turned into, metres.
const STEP_M: f64 = 0.02;
/// Toe that counts as braking, and speed from which it counts.
const TOE: f64 = 0.02;
const ROLLS_MPS: f64 = 0.3;
/// Way before the end of the path in which the last stop is made, metres: v²/2a from the fastest taxi speed at 0.45 m/s².
const STOP_BEGINS_M: f64 = 65.0;

/// The plan of a journey on the demo field; `None` when there is no way.
pub(crate) fn planned(id: &str, from: &str, via: &str, to: &str, wind: &str) -> Option<Plan> {
    let request = toeline_tests::request(id, from, &[via], to, wind);
    let plan = plan(&toeline_tests::demo_field(), &request).unwrap();
    matches!(plan.outcome, Outcome::Way(_)).then_some(plan)
}

pub(crate) fn way(plan: &Plan) -> &Way {
    match &plan.outcome {
        Outcome::Way(way) => way,
        Outcome::NoWay(why) => panic!("no way: {why:?}"),
    }
}

/// What a drive is held to.
pub(crate) struct Limits {
    /// Nose wheel off the path, metres.
    pub(crate) off_m: f64,
    /// Brakes, degrees Celsius: where fading begins.
    pub(crate) brake_c: f64,
}

impl Default for Limits {
    fn default() -> Limits {
        Limits {
            off_m: 0.3,
            brake_c: 200.0,
        }
    }
}

/// What was seen.
pub(crate) struct Seen {
    params: Params,
    turn_mps: f64,
    linked: bool,
    path: DrivenPath,
    points: Vec<Xy>,
    at: usize,
    off: Vec<(f64, f64)>,
    /// Hottest brake, degrees Celsius.
    pub(crate) hottest_c: f64,
    locked: Option<(f64, f64)>,
    power_and_brake: Option<f64>,
    brake_before_pedal: Option<f64>,
    pressing_inside: bool,
    too_fast: f64,
    braked_ticks: u64,
    rolled_ticks: u64,
    /// Fastest, m/s.
    pub(crate) fastest_mps: f64,
    /// Whether one brake was pressed alone in a turn.
    pub(crate) turned_by_brake: bool,
}

impl Seen {
    pub(crate) fn new(aircraft: &Aircraft, task: &Task) -> Seen {
        let steps = (task.path.length_m() / STEP_M).ceil() as usize;
        let points = (0..=steps).map(|k| task.path.pose_at(k as f64 * STEP_M).nose).collect();
        let params = Params::from_aircraft(aircraft);
        Seen {
            linked: params.pedal_limit_rad > 0.0,
            turn_mps: aircraft.taxi.turn_kt * toeline_model::units::KNOT_MPS,
            params,
            path: task.path.clone(),
            points,
            at: (task.from_m / STEP_M).ceil() as usize,
            off: Vec::new(),
            hottest_c: 0.0,
            locked: None,
            power_and_brake: None,
            brake_before_pedal: None,
            pressing_inside: false,
            too_fast: 0.0,
            braked_ticks: 0,
            rolled_ticks: 0,
            fastest_mps: 0.0,
            turned_by_brake: false,
        }
    }

    /// Looks at a tick.
    pub(crate) fn look(&mut self, controls: &Controls, state: &State) {
        let nose = state.pose(&self.params).nose;
        if state.tick.is_multiple_of(TICKS_A_LOOK) {
            // Nearest of the path's points within 3 m of way of the last one.
            let reach = (3.0 / STEP_M) as usize;
            let range = self.at.saturating_sub(reach)..(self.at + reach).min(self.points.len());
            let nearest = range.min_by(|a, b| {
                self.points[*a]
                    .distance(nose)
                    .total_cmp(&self.points[*b].distance(nose))
            });
            self.at = nearest.unwrap();
            self.off
                .push((self.at as f64 * STEP_M, self.points[self.at].distance(nose)));
        }
        let way_m = self.at as f64 * STEP_M;
        self.hottest_c = self.hottest_c.max(state.brake_c[0]).max(state.brake_c[1]);
        let speed = state.speed_mps();
        self.fastest_mps = self.fastest_mps.max(speed);
        let wheels = Telemetry::of(&self.params, state, controls).wheels;
        if self.locked.is_none() && (wheels[LEFT].locked || wheels[RIGHT].locked) {
            self.locked = Some((way_m, speed));
        }
        if speed < ROLLS_MPS {
            return;
        }
        let (left, right) = (controls.left_brake, controls.right_brake);
        if way_m < self.path.length_m() - STOP_BEGINS_M {
            self.rolled_ticks += 1;
            self.braked_ticks += u64::from(left.max(right) > TOE);
        }
        let piece = &self.path.pieces[self.path.piece_at(way_m).unwrap()];
        let s = (way_m - piece.from_m).clamp(0.0, piece.length_m);
        let beta = piece.beta(self.path.wheelbase_m, s).abs();
        let straight = piece.motion == Motion::Straight && beta < DEG;
        // Steering by pedals: no brake at all goes with power on a straight, and not both in a turn that the pedals make.
        // In a sharper one the toes may change over under power; a caster is steered by one brake, power or not.
        let sharp = self.linked && beta > self.params.pedal_limit_rad;
        let slowing = match (self.linked && straight, sharp) {
            (true, _) => left.max(right),
            (_, true) => 0.0,
            _ => left.min(right),
        };
        if slowing > TOE && controls.throttle > 0.0 {
            self.power_and_brake.get_or_insert(way_m);
        }
        let inside = (left - right).abs() > TOE;
        if inside && !straight {
            self.turned_by_brake = true;
        }
        // A press of one brake begins with full pedal.
        if self.linked && inside && !self.pressing_inside && left.min(right) <= TOE && controls.rudder.abs() < 0.95 {
            self.brake_before_pedal.get_or_insert(way_m);
        }
        self.pressing_inside = inside;
        if matches!(piece.motion, Motion::Arc { curvature_per_m } if curvature_per_m.abs() > 1.0 / 25.0) {
            self.too_fast = self.too_fast.max(speed - self.turn_mps);
        }
    }

    /// Greatest distance from the path between two ways, metres.
    pub(crate) fn most_off_between(&self, from_m: f64, to_m: f64) -> f64 {
        let inside = self.off.iter().filter(|o| o.0 >= from_m && o.0 <= to_m);
        inside.map(|o| o.1).fold(0.0, f64::max)
    }

    /// Share of the rolling time with a toe on a brake, before the last stop begins.
    pub(crate) fn braked_share(&self) -> f64 {
        self.braked_ticks as f64 / self.rolled_ticks.max(1) as f64
    }

    /// The figures in a line.
    pub(crate) fn say(&self) -> String {
        let worst = self.off.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
        format!(
            "at most {:.3} m off at {:.1} m; brakes to {:.0} C, on for {:.2} of the time; {:.1} m/s at most",
            worst.1,
            worst.0,
            self.hottest_c,
            self.braked_share(),
            self.fastest_mps
        )
    }

    /// Holds the drive to limits.
    pub(crate) fn hold_to(&self, told: &str, limits: &Limits) {
        let off = self.most_off_between(0.0, f64::INFINITY);
        assert!(self.off.len() > 100, "{told}: hardly looked at");
        assert!(off < limits.off_m, "{told}: {}", self.say());
        assert!(self.hottest_c < limits.brake_c, "{told}: {}", self.say());
        assert_eq!(self.locked, None, "{told}: a braked wheel locked (way, speed)");
        assert_eq!(self.power_and_brake, None, "{told}: power against the brakes (way)");
        assert_eq!(
            self.brake_before_pedal, None,
            "{told}: inside brake before full pedal (way)"
        );
        assert!(
            self.too_fast < 0.05,
            "{told}: {:.2} m/s above the turn speed",
            self.too_fast
        );
    }
}
