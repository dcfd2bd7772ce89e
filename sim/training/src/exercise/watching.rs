//! Whether what ends a stage has been seen, from the stored track, the controls and the events.

use super::until::{CLOSED_TO, ENDS_AT, FULL_FROM, TOE};
use super::{Control, Lesson, Power, Reading, Stood, StoppedAfterFault, Switched, Until, lift_off_mps};
use crate::attempt::{Event, EventKind};
use crate::measures::check_throttle;
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_dynamics::{Controls, TICK_S};
use toeline_model::units::{DEG, KNOT_MPS};

/// Speed below which it stands, m/s (ours; the track is stored to 0.001 m/s).
pub(super) const STANDS_MPS: f64 = 0.05;
/// How far beyond a stop still counts as there, metres (ours).
const BEYOND_M: f64 = 0.3;
/// How long levers must be held for a reading, ticks: 2 s (ours).
const READS_TICKS: u64 = 480;
/// Movement of the throttle within which it is held (ours).
const HELD_WITHIN: f64 = 0.02;
/// Mixture that counts as cut off (ours).
const MIXTURE_OFF: f64 = 0.05;

/// What a moment shows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    /// Tick.
    pub(super) tick: u64,
    /// The controls of the tick.
    pub(super) controls: Controls,
    /// Way of the path, metres.
    pub(super) way_m: f64,
    /// Heading, radians anticlockwise from east.
    pub(super) heading_rad: f64,
    /// Speed, m/s.
    pub(super) speed_mps: f64,
    /// Tick from which something has been broken that was not at the start, or 0 when it was.
    pub(super) fault: Option<u64>,
}

/// Watches for one thing that ends a stage.
#[derive(Clone, Debug)]
pub(super) struct Watcher {
    until: Until,
    stop_m: Option<f64>,
    zero_m: f64,
    check_throttle: f64,
    lift_off_mps: f64,
    carburettor_heat: bool,
    pub(super) seen: bool,
    since: Option<u64>,
    throttle: f64,
    had_check_power: bool,
    press_from_mps: Option<f64>,
    last_heading: Option<f64>,
    turned: f64,
    low: f64,
    high: f64,
    most_left: f64,
    most_right: f64,
    ends: [[bool; 2]; 3],
    closed_at: Option<u64>,
    late: Option<f64>,
    /// Another verdict than the one waited for: it cannot be taken back.
    other_verdict: Option<String>,
}

impl Watcher {
    pub(super) fn new(lesson: &Lesson, until: &Until) -> Watcher {
        Watcher {
            stop_m: until.stop().and_then(|name| lesson.stop_m(name)),
            zero_m: lesson.zero_m,
            check_throttle: check_throttle(&lesson.aircraft),
            lift_off_mps: lift_off_mps(&lesson.aircraft),
            carburettor_heat: lesson.aircraft.engine.carburettor_heat,
            until: until.clone(),
            seen: false,
            since: None,
            throttle: 0.0,
            had_check_power: false,
            press_from_mps: None,
            last_heading: None,
            turned: 0.0,
            low: 0.0,
            high: 0.0,
            most_left: 0.0,
            most_right: 0.0,
            ends: [[false; 2]; 3],
            closed_at: None,
            late: None,
            other_verdict: None,
        }
    }

    /// What it waits for.
    pub(super) fn until(&self) -> &Until {
        &self.until
    }

    /// Way of the path beyond which it can no longer be seen: a stop that was driven past.
    pub(super) fn gone_beyond(&self, way_m: f64) -> bool {
        const PAST_M: f64 = 5.0;
        matches!(self.until, Until::Stood(_)) && self.stop_m.is_some_and(|m| way_m > m + PAST_M)
    }

    /// Why it can no longer be seen, whatever comes.
    pub(super) fn spoilt(&self) -> Option<String> {
        let other = self.other_verdict.as_ref()?;
        Some(format!("called \"{other}\""))
    }

    /// Why it has not been seen, where more can be said than that.
    pub(super) fn why_not(&self) -> Option<String> {
        match &self.until {
            Until::TurnedDeg(deg) => Some(format!(
                "of {deg} degrees each way {:.0} to the left and {:.0} to the right",
                self.most_left / DEG,
                self.most_right / DEG
            )),
            Until::FullAndFree(list) => {
                let free = list.iter().filter(|c| self.ends[index(**c)] == [true, true]).count();
                Some(format!("{free} of {} controls moved to both ends", list.len()))
            }
            Until::StoppedAfterFault(_) => self
                .late
                .map(|s| format!("the throttle was closed {s:.1} s after the fault")),
            _ => None,
        }
    }

    /// Looks at an event of the stage.
    pub(super) fn hear(&mut self, event: &Event) {
        let thing = event.thing.as_deref().unwrap_or_default();
        if let Until::Judged(what) = &self.until
            && event.kind == EventKind::Judged
            && thing != what
            && !self.seen
        {
            self.other_verdict.get_or_insert_with(|| thing.to_string());
        }
        self.seen |= match &self.until {
            Until::Looked(to) => event.kind == EventKind::Looked && thing == to,
            Until::Said(what) => event.kind == EventKind::Said && thing == what,
            Until::Told(what) => event.kind == EventKind::Told && thing == what,
            Until::Judged(what) => event.kind == EventKind::Judged && thing == what && self.other_verdict.is_none(),
            Until::Switched(Switched { switch, to }) => {
                event.kind == EventKind::Switched && event.part.as_deref() == Some(switch) && thing == to
            }
            _ => false,
        };
    }

    /// Looks at a moment.
    pub(super) fn look(&mut self, s: &Seen) {
        if !self.seen {
            self.seen = self.holds(s);
        }
    }

    fn holds(&mut self, s: &Seen) -> bool {
        let c = &s.controls;
        let stands = s.speed_mps < STANDS_MPS;
        match self.until.clone() {
            Until::PassedM(m) => s.way_m - self.zero_m >= m,
            Until::Passed(_) => self.stop_m.is_some_and(|m| s.way_m >= m),
            Until::Stood(Stood { for_s, within_m, .. }) => {
                let there = |m: f64| s.way_m >= m - within_m && s.way_m <= m + BEYOND_M;
                let here = stands && self.stop_m.is_none_or(there);
                self.for_ticks(here, s.tick, (for_s / TICK_S).round() as u64)
            }
            Until::TurnedDeg(deg) => {
                let before = self.last_heading.replace(s.heading_rad).unwrap_or(s.heading_rad);
                self.turned += toeline_model::angle::wrap(s.heading_rad - before);
                // Each way counts from the farthest that the nose had gone the other way before.
                self.low = self.low.min(self.turned);
                self.high = self.high.max(self.turned);
                self.most_left = self.most_left.max(self.turned - self.low);
                self.most_right = self.most_right.max(self.high - self.turned);
                self.most_left.min(self.most_right) >= deg * DEG
            }
            Until::SlowedKt(kt) => {
                let pressed = c.left_brake.min(c.right_brake) > TOE && c.throttle <= CLOSED_TO;
                if !pressed {
                    self.press_from_mps = None;
                    return false;
                }
                let from = *self.press_from_mps.get_or_insert(s.speed_mps);
                from - s.speed_mps >= kt * KNOT_MPS
            }
            Until::Reading(reading) => self.reads(reading, s, stands),
            Until::FullAndFree(list) => {
                if stands {
                    for (k, at) in [c.aileron, c.elevator, c.rudder].into_iter().enumerate() {
                        self.ends[k][0] |= at <= -ENDS_AT;
                        self.ends[k][1] |= at >= ENDS_AT;
                    }
                }
                list.iter().all(|control| self.ends[index(*control)] == [true, true])
            }
            Until::Power(Power::Full) => c.throttle >= FULL_FROM,
            Until::Power(Power::Closed) => c.throttle <= CLOSED_TO,
            Until::ReachedKt(kt) => s.speed_mps >= kt * KNOT_MPS,
            Until::LiftOffShare(share) => s.speed_mps >= share * self.lift_off_mps,
            Until::StoppedAfterFault(wanted) => self.stopped(&wanted, s, stands),
            Until::Looked(_) | Until::Said(_) | Until::Told(_) | Until::Judged(_) | Until::Switched(_) => false,
        }
    }

    fn for_ticks(&mut self, holds: bool, tick: u64, ticks: u64) -> bool {
        if !holds {
            self.since = None;
            return false;
        }
        tick - *self.since.get_or_insert(tick) >= ticks
    }

    fn reads(&mut self, reading: Reading, s: &Seen, stands: bool) -> bool {
        let c = &s.controls;
        let power = c.throttle >= self.check_throttle;
        self.had_check_power |= power && stands;
        if reading == Reading::CarburettorHeat && !self.carburettor_heat {
            return true;
        }
        let both = c.magnetos == MagnetoSwitch::Both;
        let set = match reading {
            Reading::CheckRpm => power && both,
            Reading::LeftMagneto => power && c.magnetos == MagnetoSwitch::Left,
            Reading::RightMagneto => power && c.magnetos == MagnetoSwitch::Right,
            Reading::CarburettorHeat => power && both && c.carburettor_heat >= FULL_FROM,
            Reading::Idle => self.had_check_power && c.throttle <= CLOSED_TO,
        };
        let held = (c.throttle - self.throttle).abs() <= HELD_WITHIN;
        if !held {
            self.since = None;
            self.throttle = c.throttle;
        }
        self.for_ticks(set && held && stands, s.tick, READS_TICKS)
    }

    fn stopped(&mut self, wanted: &StoppedAfterFault, s: &Seen, stands: bool) -> bool {
        let Some(fault) = s.fault else { return false };
        if s.controls.throttle <= CLOSED_TO && self.closed_at.is_none() {
            self.closed_at = Some(s.tick);
            let took_s = s.tick.saturating_sub(fault) as f64 * TICK_S;
            self.late = wanted
                .throttle_closed_within_s
                .is_some_and(|most| took_s > most)
                .then_some(took_s);
        }
        let closed = wanted.throttle_closed_within_s.is_none() || (self.closed_at.is_some() && self.late.is_none());
        let mixture = !wanted.mixture_off || s.controls.mixture <= MIXTURE_OFF;
        stands && closed && mixture
    }
}

fn index(control: Control) -> usize {
    match control {
        Control::Aileron => 0,
        Control::Elevator => 1,
        Control::Rudder => 2,
    }
}
