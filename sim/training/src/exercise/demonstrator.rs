//! The model pilot as a perfect pupil: it drives as ever, and does what a stage asks for besides: moves the controls, looks,
//! speaks, judges, opens up for the take-off, and stops when something breaks. All figures are ours.

use super::conductor::{Conductor, READ_BACK};
use super::drive::{Doing, Driver};
use super::watching::STANDS_MPS;
use super::{Lesson, Power, Stood, Until, lift_off_mps};
use crate::attempt::EventKind;
use crate::pilot::{self, Pilot, Place};
use toeline_dynamics::{Controls, End, LEFT, Params, State, TICK_S};
use toeline_model::units::KNOT_MPS;

/// Ticks from one thing that it does besides the controls to the next: half a second.
const BETWEEN_TICKS: u64 = 120;
/// Ticks from one look around to the next: 2 s.
const SCANS_TICKS: u64 = 480;
/// The same in the first two seconds: a quarter of a second.
const FIRST_SCANS_TICKS: u64 = 60;
/// Ticks in which a stage must come to its end once the pilot has nothing more to do: 20 s.
const WAITS_TICKS: u64 = 4800;
/// Ticks after which a stage is given up whatever the pilot is at: 20 min, more than any oil takes to warm.
const STAGE_TICKS: u64 = 20 * 60 * 240;
/// Ticks that it stands after the last stage: 2 s.
const AFTERWARDS_TICKS: u64 = 480;
/// Deceleration that both toes are pressed for when something has broken, m/s².
const STOPS_MPS2: f64 = 1.5;
/// Speed at which the mixture is pulled, m/s.
const NEARLY_STOPPED_MPS: f64 = 1.0;
/// Share of a stage's speed limit that it drives at most: what hands and feet overshoot by is within the rest.
const OF_LIMIT: f64 = 0.9;
/// How fast throttle and toes move, full ranges a second.
const LEVER_PER_S: f64 = 0.8;
/// See [`LEVER_PER_S`].
const TOES_PER_S: f64 = 3.0;
/// How fast the yoke is moved to its ends, full ranges a second.
const YOKE_PER_S: f64 = 2.0;

pub(super) struct Demonstrator {
    pilot: Pilot,
    params: Params,
    roll_from_m: Option<f64>,
    place: Place,
    held: Controls,
    stage: Option<usize>,
    in_stage: u64,
    next_doing: u64,
    scan: u64,
    end: [usize; 3],
    idle: u64,
    over: u64,
    why_not: Option<String>,
    lesson: Lesson,
}

impl Demonstrator {
    pub(super) fn new(lesson: &Lesson) -> Demonstrator {
        Demonstrator {
            pilot: Pilot::new(&lesson.aircraft, lesson.task.clone()),
            params: Params::from_aircraft(&lesson.aircraft),
            roll_from_m: lesson.roll_from_m,
            place: Place::at(lesson.task.from_m),
            held: Controls::default(),
            stage: None,
            in_stage: 0,
            next_doing: BETWEEN_TICKS,
            scan: 0,
            end: [0; 3],
            idle: 0,
            over: 0,
            why_not: None,
            lesson: lesson.clone(),
        }
    }

    pub(super) fn why_not(&self) -> Option<String> {
        self.why_not.clone()
    }

    /// Whether a stop that has to be made is made here.
    fn is_there(&self, stood: &Stood) -> bool {
        let stop = stood.at.as_deref().and_then(|name| self.lesson.stop_m(name));
        let way = self.place.way_m;
        stop.is_none_or(|m| way >= m - stood.within_m && way <= m + 0.3)
    }

    /// What it does besides the controls for one condition, if that is anything and its time has come.
    fn doing_for(&self, until: &Until) -> Option<Doing> {
        Some(match until {
            Until::Looked(to) => Doing::of(EventKind::Looked, to),
            Until::Said(what) => Doing::of(EventKind::Said, what),
            Until::Switched(s) => Doing {
                part: Some(s.switch.clone()),
                ..Doing::of(EventKind::Switched, &s.to)
            },
            // It says what it read, whatever the exercise would like to hear.
            Until::Judged(_) => {
                let readings = self.pilot.readings().last()?;
                let fit = readings.findings.is_empty();
                Doing::of(EventKind::Judged, if fit { "fit" } else { "unfit" })
            }
            _ => return None,
        })
    }

    /// Left and right, turn by turn all the way; where it stands along the approach too.
    fn look_around(&mut self, stands: bool, doings: &mut Vec<Doing>) {
        const ROLLING: [&str; 2] = ["left", "right"];
        const STANDING: [&str; 3] = ["left", "right", "approach"];
        // The first round at once: before the brakes come off.
        let every = if self.scan < SCANS_TICKS {
            FIRST_SCANS_TICKS
        } else {
            SCANS_TICKS
        };
        if self.scan.is_multiple_of(every) {
            let k = (self.scan / every) as usize;
            let to = if stands {
                STANDING[k % STANDING.len()]
            } else {
                ROLLING[k % ROLLING.len()]
            };
            doings.push(Doing::of(EventKind::Looked, to));
        }
        self.scan += 1;
    }

    /// Moves yoke and pedals to their ends, one after the other, feet on the brakes.
    fn full_and_free(&mut self) -> Controls {
        // Left and right, back and forward, pedals, each from the middle and back to it.
        const GOALS: [f64; 3] = [-1.0, 1.0, 0.0];
        let mut c = self.holding();
        let mut course = [c.aileron, c.elevator, c.rudder];
        let Some(k) = self.end.iter().position(|goal| *goal < GOALS.len()) else {
            return c;
        };
        let goal = GOALS[self.end[k]];
        let most = YOKE_PER_S * TICK_S;
        course[k] += (goal - course[k]).clamp(-most, most);
        if course[k] == goal {
            self.end[k] += 1;
        }
        [c.aileron, c.elevator, c.rudder] = course;
        c
    }

    /// Throttle closed, feet on the brakes; the rest stays.
    fn holding(&self) -> Controls {
        let mut c = self.held;
        move_to(&mut c.throttle, 0.0, LEVER_PER_S);
        if c.throttle <= 0.0 {
            move_to(&mut c.left_brake, 0.8, TOES_PER_S);
            move_to(&mut c.right_brake, 0.8, TOES_PER_S);
        }
        c
    }

    /// Throttle closed at once, then both toes; pedals as the pilot steers, mixture off once it is closed.
    fn stopping(&mut self, state: &State, mixture_off: bool) -> Controls {
        let steering = self.pilot.next(state);
        // While the wing still carries, the wheels have little weight on them, and lock under toes that hold later on.
        let carried = (state.speed_mps() / lift_off_mps(&self.lesson.aircraft))
            .powi(2)
            .min(1.0);
        let force_n = self.params.mass_kg * STOPS_MPS2 / 2.0 * (1.0 - carried);
        let press = force_n * self.params.wheel_radius_m[LEFT] / self.params.full_brake_nm;
        let press = if state.speed_mps() < STANDS_MPS {
            0.8
        } else {
            press.min(0.6)
        };
        let mut c = self.held;
        c.rudder = steering.rudder;
        c.aileron = steering.aileron;
        c.elevator = 0.0;
        move_to(&mut c.throttle, 0.0, 2.0 * LEVER_PER_S);
        if c.throttle <= 0.0 {
            move_to(&mut c.left_brake, press, TOES_PER_S);
            move_to(&mut c.right_brake, press, TOES_PER_S);
            // The engine runs while there is something to steer clear of: then it is stopped.
            if mixture_off && state.speed_mps() < NEARLY_STOPPED_MPS {
                move_to(&mut c.mixture, 0.0, LEVER_PER_S);
            }
        } else {
            (c.left_brake, c.right_brake) = (0.0, 0.0);
        }
        c
    }

    /// Full throttle, feet off the brakes, pedals as the pilot steers.
    fn rolling(&mut self, state: &State) -> Controls {
        let steering = self.pilot.next(state);
        if *self.pilot.doing() != pilot::Doing::Taxiing {
            // Still standing lined up, as at every stop.
            return steering;
        }
        let mut c = self.held;
        (c.rudder, c.aileron, c.elevator) = (steering.rudder, steering.aileron, 0.0);
        (c.left_brake, c.right_brake, c.parking_brake) = (0.0, 0.0, false);
        move_to(&mut c.throttle, 1.0, LEVER_PER_S / 2.0);
        c
    }

    fn decide(&mut self, conductor: &Conductor, state: &State, doings: &mut Vec<Doing>) -> Controls {
        let stands = state.speed_mps() < STANDS_MPS;
        let pending = conductor.pending();
        let fault = conductor.fault_tick().is_some();
        let stop = pending.iter().find_map(|u| match u {
            Until::StoppedAfterFault(s) => Some(s.mixture_off),
            _ => None,
        });
        if let (Some(mixture_off), true) = (stop, fault) {
            return self.stopping(state, mixture_off);
        }
        if conductor.stage().is_none() {
            return if stands {
                self.holding()
            } else {
                self.stopping(state, false)
            };
        }
        // What can be done without the controls, one thing after the other, once a stop asked for has been made.
        let before_stop = pending.iter().any(|u| matches!(u, Until::Stood(_)));
        if !before_stop && self.in_stage >= self.next_doing {
            let ready = |u: &&&Until| conductor.to_read_back() || !matches!(u, Until::Said(what) if what == READ_BACK);
            let due = pending.iter().filter(ready).find_map(|u| self.doing_for(u));
            if let Some(due) = due {
                self.next_doing = self.in_stage + BETWEEN_TICKS;
                doings.push(due);
            }
        }
        let on_runway = self.roll_from_m.is_some_and(|m| self.place.way_m > m - 2.0);
        let wants_power = |u: &&Until| {
            matches!(
                u,
                Until::Power(Power::Full) | Until::LiftOffShare(_) | Until::ReachedKt(_) | Until::StoppedAfterFault(_)
            )
        };
        if on_runway && pending.iter().any(wants_power) {
            return self.rolling(state);
        }
        if pending.iter().any(|u| matches!(u, Until::FullAndFree(_))) {
            return self.full_and_free();
        }
        let on_the_way = |u: &&Until| matches!(u, Until::Stood(stood) if stood.at.is_some() && !self.is_there(stood));
        if pending.iter().any(on_the_way) {
            return self.pilot.next(state);
        }
        for until in &pending {
            let waits = match until {
                Until::Stood(stood) if stood.at.is_none() && !stands => return self.stopping(state, false),
                Until::Stood(stood) => self.is_there(stood),
                Until::Looked(_) | Until::Said(_) | Until::Told(_) | Until::Switched(_) => true,
                Until::Judged(_) => !self.pilot.readings().is_empty(),
                _ => false,
            };
            if waits && stands {
                return self.holding();
            }
        }
        self.pilot.next(state)
    }
}

fn move_to(held: &mut f64, wanted: f64, per_s: f64) {
    *held += (wanted - *held).clamp(-per_s * TICK_S, per_s * TICK_S);
}

impl Driver for Demonstrator {
    fn next(&mut self, conductor: &Conductor, state: &State, doings: &mut Vec<Doing>) -> Option<Controls> {
        if conductor.stage() != self.stage {
            self.stage = conductor.stage();
            (self.in_stage, self.next_doing, self.idle, self.end) = (0, BETWEEN_TICKS, 0, [0; 3]);
            let stage = self.stage.and_then(|k| conductor.exercise().stages.get(k));
            let most_kt = stage.and_then(|s| s.limits.most_kt);
            self.pilot.no_faster_than(most_kt.map(|kt| OF_LIMIT * kt * KNOT_MPS));
        }
        self.in_stage += 1;
        self.place = self.place.moved(&self.lesson.task.path, state.pose(&self.params).nose);
        let stands = state.speed_mps() < STANDS_MPS;
        if conductor.stage().is_none() && stands || state.end != End::No {
            self.over += 1;
            if self.over > AFTERWARDS_TICKS {
                return None;
            }
        }
        if self.in_stage > STAGE_TICKS {
            self.why_not = Some("the stage does not end".to_string());
            return None;
        }
        let at_rest = matches!(self.pilot.doing(), pilot::Doing::Arrived | pilot::Doing::GaveUp(_));
        self.idle = if at_rest && stands { self.idle + 1 } else { 0 };
        if self.idle > WAITS_TICKS {
            self.why_not = Some(match self.pilot.doing() {
                pilot::Doing::GaveUp(why) => why.clone(),
                _ => "it has arrived, and the stage does not end".to_string(),
            });
            return None;
        }
        self.look_around(stands, doings);
        self.held = self.decide(conductor, state, doings).clamped();
        Some(self.held)
    }
}
