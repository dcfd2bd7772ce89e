//! What is done where it stands: the stop noted, the radio, the engine check from its first step to its judgement.

use super::check::{CheckStep, EngineCheck};
use super::lookout::Remark;
use super::{Doing, Pilot, StopMade, TaskStop, gains};
use crate::attempt::EventKind;
use toeline_dynamics::{Controls, State};
use toeline_engine::route::StopKind;

impl Pilot {
    pub(super) fn stopped(&mut self, stop: &TaskStop, state: &State) {
        self.hold();
        self.stops_made.push(StopMade {
            name: stop.name.clone(),
            kind: stop.kind,
            at_m: stop.at_m,
            made_at_m: self.place.way_m,
            offset_m: self.place.offset_m,
            wheel_rad: state.nose_wheel_rad,
            tick: state.tick,
        });
        let last = self.stop + 1 == self.task.stops.len();
        let hold = matches!(stop.kind, StopKind::HoldShort) || (last && stop.kind == StopKind::End);
        if hold {
            self.notes.push(Remark::new(EventKind::ReachedHold, stop.name.clone()));
        }
        if stop.kind == StopKind::EngineCheck {
            let check = EngineCheck::new(&stop.name, state);
            self.doing = Doing::Checking(check.step);
            self.check = Some(check);
            let text = format!("engine check at {}", stop.name);
            self.notes.push(Remark::new(EventKind::Note, text));
        } else if last {
            self.radio.at_the_end(stop, &mut self.lookout);
            self.notes.push(Remark::new(EventKind::Arrived, stop.name.clone()));
            self.doing = Doing::Arrived;
        } else {
            self.radio.at_a_stop(stop, &mut self.lookout);
            self.doing = Doing::Standing { left_s: gains::LOOKS_S };
        }
    }

    pub(super) fn check_engine(&mut self, state: &State, dt_s: f64) {
        self.hold();
        let Some(check) = self.check.as_mut() else {
            return self.go_on();
        };
        let held = Controls {
            throttle: self.held.throttle,
            ..self.wanted
        };
        self.wanted = check.decide(&self.plane, state, held, dt_s);
        self.doing = Doing::Checking(check.step);
        if check.step != CheckStep::Done {
            return;
        }
        let readings = check.readings.clone();
        self.check = None;
        let text = readings.say();
        let sound = readings.findings.is_empty();
        let verdict = if sound { "fit" } else { "unfit" };
        self.notes.push(Remark::new(EventKind::Note, text.clone()));
        self.notes.push(Remark::about(EventKind::Judged, verdict, text));
        let why = readings.findings.join("; ");
        self.readings.push(readings);
        if !sound {
            self.give_up(format!("engine check: {why}"));
        } else if self.stop + 1 == self.task.stops.len() {
            self.doing = Doing::Arrived;
        } else {
            self.lookout.before_moving();
            self.go_on();
        }
    }
}
