//! The model pilot: drives any driven path on the shipped step, within the aeroplane's limits.
//!
//! It is the reference to compare a drive with, and the proof that a way can be driven. It looks at what a pilot sees,
//! feels and reads, decides sixty times a second, and moves pedals, toes and levers no faster than a person. No clock, no
//! randomness: the same states give the same controls to the last bit. How it decides, and every figure it decides by, is
//! told in `docs/pilot.md`.

mod ahead;
mod brake_check;
mod check;
mod doing;
mod drive;
mod feet;
mod gains;
mod lookout;
mod pace;
mod plane;
mod radio;
mod report;
mod seen;
mod standing;
mod taps;
mod task;
mod yoke;

pub use ahead::Place;
pub use brake_check::BrakeReading;
pub use check::{CheckReadings, CheckStep};
pub use doing::{Doing, StopMade};
pub(crate) use drive::drive_among;
pub use drive::{PilotDrive, drive_by_pilot, drive_task};
pub use lookout::Remark;
pub use report::{PilotReport, Precision, precision};
pub use task::{Task, TaskStop};
pub use yoke::{Yoke, held_for};

use crate::attempt::EventKind;
use ahead::Speeds;
use brake_check::BrakeCheck;
use check::EngineCheck;
use feet::Feet;
use lookout::Lookout;
use pace::{Pace, Wanted};
use plane::Plane;
use radio::Radio;
use seen::Seen;
use taps::Taps;
use toeline_dynamics::{Controls, End, State, TICK_S};
use toeline_engine::planning::{Plan, Way};
use toeline_model::Aircraft;

/// Offset from the path at which the pilot gives up, metres (ours).
const LOST_M: f64 = 4.0;
/// Speed of one who rolls already, m/s (ours): slower, it is the wind that moved it before the toes were on.
const ROLLS_MPS: f64 = 0.3;
/// How long it may stand without wanting to before the pilot gives up, seconds (ours).
const STUCK_S: f64 = 30.0;

/// The model pilot.
#[derive(Clone, Debug)]
pub struct Pilot {
    task: Task,
    plane: Plane,
    speeds: Speeds,
    most_mps: f64,
    place: Place,
    doing: Doing,
    stop: usize,
    calls: u64,
    last: Option<Seen>,
    feet: Feet,
    pace: Pace,
    brake_check: BrakeCheck,
    check: Option<EngineCheck>,
    behind: bool,
    pressing: bool,
    taps: Taps,
    turn_brake_n: f64,
    still_s: f64,
    wanted: Controls,
    held: Controls,
    stops_made: Vec<StopMade>,
    readings: Vec<CheckReadings>,
    lookout: Lookout,
    radio: Radio,
    notes: Vec<Remark>,
}

impl Pilot {
    /// A pilot of an aeroplane at the start of a task.
    pub fn new(aircraft: &Aircraft, task: Task) -> Pilot {
        let plane = Plane::new(aircraft);
        Pilot {
            lookout: Lookout::new(&task.path, task.from_m),
            radio: Radio::default(),
            speeds: Speeds::new(&plane, &task),
            most_mps: f64::INFINITY,
            place: Place::at(task.from_m),
            doing: if task.stops.is_empty() {
                Doing::Arrived
            } else {
                Doing::Taxiing
            },
            stop: 0,
            calls: 0,
            last: None,
            feet: Feet::default(),
            pace: Pace::default(),
            brake_check: BrakeCheck::due(),
            check: None,
            behind: false,
            pressing: false,
            taps: Taps::default(),
            turn_brake_n: 0.0,
            still_s: 0.0,
            wanted: Controls::default(),
            held: Controls::default(),
            stops_made: Vec::new(),
            readings: Vec::new(),
            notes: Vec::new(),
            task,
            plane,
        }
    }

    /// A pilot at the start of a plan's way. Where it follows a taxi instruction there is a tower to talk to.
    pub fn on(plan: &Plan, way: &Way) -> Pilot {
        let mut pilot = Pilot::new(&plan.request.aircraft, Task::of(plan, way));
        pilot.radio = Radio::of(plan, way);
        pilot.radio.before_moving(&mut pilot.lookout);
        pilot
    }

    /// The controls for the next tick. Call it once a tick, with the state before it.
    pub fn next(&mut self, state: &State) -> Controls {
        if self.calls.is_multiple_of(gains::DECIDES_EVERY_TICKS) {
            self.decide(state, gains::DECIDES_EVERY_TICKS as f64 * TICK_S);
        }
        self.calls += 1;
        self.reach();
        self.held
    }

    /// Drives no faster than this from now on, m/s, whatever the way allows; `None`: as the way allows.
    pub(crate) fn no_faster_than(&mut self, mps: Option<f64>) {
        self.most_mps = mps.unwrap_or(f64::INFINITY);
    }

    /// What the pilot is at.
    pub fn doing(&self) -> &Doing {
        &self.doing
    }

    /// Where the pilot is on the path.
    pub fn place(&self) -> Place {
        self.place
    }

    /// The task.
    pub fn task(&self) -> &Task {
        &self.task
    }

    /// Stops made so far.
    pub fn stops_made(&self) -> &[StopMade] {
        &self.stops_made
    }

    /// Readings of the engine checks so far.
    pub fn readings(&self) -> &[CheckReadings] {
        &self.readings
    }

    /// What the brake check showed; `None` before it.
    pub fn brake_reading(&self) -> Option<&BrakeReading> {
        self.brake_check.reading.as_ref()
    }

    /// What is worth a note since the last call, in order.
    pub fn take_notes(&mut self) -> Vec<Remark> {
        core::mem::take(&mut self.notes)
    }

    fn decide(&mut self, state: &State, dt_s: f64) {
        let seen = Seen {
            pedals: self.held.rudder,
            ..Seen::look(&self.plane, &self.task, state, self.last.as_ref(), dt_s)
        };
        self.last = Some(seen);
        self.place = self.place.moved(&self.task.path, seen.nose);
        let (yoke, behind) = held_for(seen.wind_mps[0], seen.wind_mps[1], self.behind);
        self.behind = behind;
        self.wanted.aileron = yoke.aileron;
        self.wanted.elevator = yoke.elevator;
        self.notes.extend(self.lookout.goes_by(dt_s));
        match self.doing.clone() {
            // Looks first, and what has to be said; one who rolls already looks as he goes.
            Doing::Taxiing if self.lookout.holds() && seen.nose_mps < ROLLS_MPS => self.hold(),
            Doing::Taxiing => {
                self.lookout.rolling(self.place.way_m, seen.nose_mps);
                self.taxi(&seen, state, dt_s);
            }
            Doing::Standing { left_s } if left_s > dt_s || self.lookout.holds() => {
                self.hold();
                let left_s = (left_s - dt_s).max(0.0);
                self.doing = Doing::Standing { left_s };
            }
            Doing::Standing { .. } => self.go_on(),
            Doing::Checking(_) => self.check_engine(state, dt_s),
            Doing::Arrived => {
                self.hold();
                self.wanted.parking_brake = true;
            }
            Doing::GaveUp(_) => self.hold(),
        }
    }

    /// Feet firmly on; while it still rolls, no firmer than the wheels go on turning.
    fn hold(&mut self) {
        let rolls = self.last.is_some_and(|seen| seen.nose_mps > gains::STANDS_MPS);
        let most = if rolls { self.most_toe() } else { 1.0 };
        self.wanted.throttle = 0.0;
        self.wanted.rudder = 0.0;
        self.wanted.left_brake = gains::HOLDS.min(most);
        self.wanted.right_brake = gains::HOLDS.min(most);
    }

    /// Toe pressure below which no main wheel locks on this ground, 0 to 1.
    fn most_toe(&self) -> f64 {
        self.plane.pressure(self.plane.rolls_below_n(&self.task.ground))
    }

    fn go_on(&mut self) {
        self.stop += 1;
        self.still_s = 0.0;
        self.feet = self.feet.afresh();
        self.pace = Pace::default();
        self.doing = Doing::Taxiing;
    }

    fn give_up(&mut self, why: String) {
        self.notes
            .push(Remark::new(EventKind::Note, format!("given up: {why}")));
        self.doing = Doing::GaveUp(why);
        self.hold();
    }

    fn taxi(&mut self, seen: &Seen, state: &State, dt_s: f64) {
        let (way_m, dt) = (self.place.way_m, dt_s);
        if state.end != End::No {
            return self.give_up("the run has ended".to_string());
        }
        if seen.rpm <= 0.0 {
            return self.give_up(format!("the engine has stopped, {way_m:.1} m along"));
        }
        if self.place.offset_m.abs() > LOST_M {
            return self.give_up(format!(
                "{:.1} m off the path, {way_m:.1} m along",
                self.place.offset_m.abs()
            ));
        }
        let Some(stop) = self.task.stops.get(self.stop).cloned() else {
            return self.give_up("nowhere to go".to_string());
        };
        let left_m = stop.at_m - gains::STOPS_BEFORE_M - way_m;
        self.still_s = if seen.nose_mps < gains::STANDS_MPS {
            self.still_s + dt
        } else {
            0.0
        };
        if left_m < gains::STOPPED_WITHIN_M - gains::STOPS_BEFORE_M && seen.nose_mps < gains::STANDS_MPS {
            return self.stopped(&stop, state);
        }
        if self.still_s > STUCK_S {
            return self.give_up(format!(
                "it does not move, {way_m:.1} m along, throttle {:.2}",
                self.held.throttle
            ));
        }

        let turn_n = if self.brake_check.pressing() {
            // The feet stay as they are, so that the aeroplane shows what the brakes do.
            self.wanted.rudder = self.held.rudder;
            0.0
        } else {
            self.steer(seen, dt) / self.plane.half_track_m
        };

        // The throttle makes up for a long press, not for a tap.
        self.turn_brake_n += (turn_n.abs() - self.turn_brake_n) * (dt / (gains::LONG_PRESS_S + dt));
        let wanted = self.pace_wanted(seen, stop.at_m - gains::STOPS_BEFORE_M, self.turn_brake_n);
        let rolled_m = way_m - self.task.from_m;
        let most_n = self.plane.rolls_below_n(&self.task.ground);
        let checking = self
            .brake_check
            .decide(&self.plane, most_n, seen, (rolled_m, way_m), self.held.throttle, dt);
        let each_n = if let Some(each_n) = checking {
            self.wanted.throttle = 0.0;
            each_n
        } else {
            let ask = self.pace.decide(&self.plane, seen, &wanted, self.held.throttle, dt);
            self.wanted.throttle = ask.throttle;
            ask.each_n
        };
        if let Some(finding) = self.brake_check.reading.as_ref().and_then(|b| b.finding.clone()) {
            return self.give_up(format!("brake check: {finding}"));
        }
        // No power against both brakes: the toes come off before the throttle goes up.
        if self.held.left_brake.min(self.held.right_brake) > 0.0 {
            self.wanted.throttle = 0.0;
        }
        let most = self.most_toe();
        let toe = |extra_n: f64| self.plane.pressure(each_n + extra_n.max(0.0)).min(most);
        (self.wanted.left_brake, self.wanted.right_brake) = (toe(turn_n), toe(-turn_n));
        // The last handbreadth: feet firmly on.
        if (left_m < 0.3 && seen.nose_mps < 0.12) || left_m < 0.0 {
            self.hold();
            if self.held.throttle > 0.0 {
                (self.wanted.left_brake, self.wanted.right_brake) = (0.0, 0.0);
            }
        }
        self.wanted.parking_brake = false;
        self.wanted.carburettor_heat = 0.0;
    }

    /// Sets the pedals; the moment that one brake is to give, N·m, left positive.
    fn steer(&mut self, seen: &Seen, dt_s: f64) -> f64 {
        let feet = self.feet.decide(&self.plane, &self.task.path, self.place, seen, dt_s);
        self.wanted.rudder = feet.rudder;
        let most = self.plane.most_moment_nm;
        if !self.plane.steered {
            return self.taps.press(feet.moment_nm, most, dt_s);
        }
        // A press begins when it is worth one, and ends when nothing is left of it.
        let least = if self.pressing {
            gains::TOES_OFF_SHARE
        } else {
            gains::TOES_ON_SHARE
        };
        self.pressing = feet.moment_nm.abs() >= least * most;
        if self.pressing {
            feet.moment_nm.clamp(-most, most)
        } else {
            0.0
        }
    }

    fn pace_wanted(&self, seen: &Seen, stop_m: f64, turn_brake_n: f64) -> Wanted {
        const LOOK_M: f64 = 0.5;
        let from = self.place.way_m + 0.2 * seen.nose_mps;
        let (here, next) = (
            self.speeds.before(from, stop_m).min(self.most_mps),
            self.speeds.before(from + LOOK_M, stop_m).min(self.most_mps),
        );
        let mps2 = ((next * next - here * here) / (2.0 * LOOK_M)).clamp(-2.0 * gains::SLOWS_MPS2, 0.0);
        Wanted {
            mps: here,
            mps2,
            slowing: mps2 < -0.2 * gains::SLOWS_MPS2,
            turn_brake_n,
        }
    }

    /// Hands and feet move toward what is wanted, no faster than they can.
    fn reach(&mut self) {
        let move_to = |held: &mut f64, wanted: f64, per_s: f64| {
            *held += (wanted - *held).clamp(-per_s * TICK_S, per_s * TICK_S);
        };
        let (h, w) = (&mut self.held, &self.wanted);
        move_to(&mut h.rudder, w.rudder, gains::PEDALS_PER_S);
        move_to(&mut h.left_brake, w.left_brake, gains::TOES_PER_S);
        move_to(&mut h.right_brake, w.right_brake, gains::TOES_PER_S);
        move_to(&mut h.throttle, w.throttle, gains::THROTTLE_PER_S);
        move_to(&mut h.aileron, w.aileron, gains::YOKE_PER_S);
        move_to(&mut h.elevator, w.elevator, gains::YOKE_PER_S);
        move_to(&mut h.carburettor_heat, w.carburettor_heat, gains::YOKE_PER_S);
        h.parking_brake = w.parking_brake;
        h.magnetos = w.magnetos;
        *h = h.clamped();
    }
}
