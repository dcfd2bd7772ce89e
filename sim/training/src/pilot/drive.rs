//! A whole drive by the model pilot, recorded as an attempt.

use super::{BrakeReading, CheckReadings, Doing, Pilot, StopMade, Task};
use crate::attempt::{Attempt, Environment, MOST_TICKS};
use crate::journey::environment;
use crate::recorder::Recorder;
use crate::surroundings;
use serde_json::Value;
use std::sync::Arc;
use toeline_dynamics::contacts::Surroundings;
use toeline_dynamics::{Controls, End, State, step};
use toeline_engine::planning::{Plan, Way};
use toeline_model::Aircraft;

/// Ticks recorded after the end, so that the standstill is part of the attempt: 2 s.
const AFTERWARDS_TICKS: u64 = 480;
/// Ticks in which an aeroplane that the pilot has given up with comes to rest: 20 s.
const GIVEN_UP_TICKS: u64 = 4800;

/// A drive by the model pilot.
#[derive(Clone, Debug)]
pub struct PilotDrive {
    /// The attempt.
    pub attempt: Attempt,
    /// What the pilot was at in the end: [`Doing::Arrived`], or [`Doing::GaveUp`] with the reason.
    pub ended: Doing,
    /// Stops made, in order.
    pub stops: Vec<StopMade>,
    /// Readings of the engine checks, in order.
    pub checks: Vec<CheckReadings>,
    /// What the brake check showed.
    pub brakes: Option<BrakeReading>,
}

impl PilotDrive {
    /// Whether the pilot got to the end of the way.
    pub fn arrived(&self) -> bool {
        self.ended == Doing::Arrived
    }
}

/// Drives a plan's way from its start to its end, or until the pilot gives up. `job` goes into the attempt.
pub fn drive_by_pilot(plan: &Plan, way: &Way, job: Value) -> PilotDrive {
    let mut drive = drive_among(
        &plan.request.aircraft,
        environment(plan, way),
        Some(Arc::new(surroundings::of(plan, way))),
        Pilot::on(plan, way),
        Pilot::next,
        |_, _| {},
    );
    drive.attempt.job = Some(job);
    drive
}

/// Drives a task in an environment; `watch` sees every tick's controls and the state that they led to.
pub fn drive_task(
    aircraft: &Aircraft,
    environment: Environment,
    task: Task,
    watch: impl FnMut(&Controls, &State),
) -> PilotDrive {
    let pilot = Pilot::new(aircraft, task);
    drive_among(aircraft, environment, None, pilot, Pilot::next, watch)
}

/// The same among what stands around: what is touched is noted. `hands` makes the controls of the next tick of what the
/// pilot would do: his own, or a pupil's.
pub(crate) fn drive_among(
    aircraft: &Aircraft,
    environment: Environment,
    around: Option<Arc<Surroundings>>,
    mut pilot: Pilot,
    mut hands: impl FnMut(&mut Pilot, &State) -> Controls,
    mut watch: impl FnMut(&Controls, &State),
) -> PilotDrive {
    let params = environment.params(aircraft);
    let mut state = State::parked(&params, pilot.task().path.pose_at(pilot.task().from_m));
    let mut recorder = Recorder::new(aircraft, environment, &state, None);
    if let Some(around) = around {
        recorder = recorder.among(around);
    }
    let mut to_go: Option<u64> = None;
    for _ in 0..MOST_TICKS {
        let controls = hands(&mut pilot, &state);
        state = step(&params, &environment.ground, &environment.air, &state, &controls);
        // Every tick comes once and in order.
        if recorder.push(&controls, &state).is_err() {
            break;
        }
        watch(&controls, &state);
        for note in pilot.take_notes() {
            recorder.event_about(note.kind, note.thing, note.text);
        }
        if state.end != End::No {
            to_go = Some(to_go.unwrap_or(AFTERWARDS_TICKS));
        }
        to_go = match (pilot.doing(), to_go) {
            (Doing::Arrived, None) => Some(AFTERWARDS_TICKS),
            (Doing::GaveUp(_), None) => Some(GIVEN_UP_TICKS),
            (_, left) => left.map(|n| n.saturating_sub(1)),
        };
        if to_go == Some(0) {
            break;
        }
    }
    let ended = match pilot.doing() {
        Doing::Arrived if state.end == End::No => Doing::Arrived,
        Doing::GaveUp(why) => Doing::GaveUp(why.clone()),
        _ => Doing::GaveUp("the run has ended".to_string()),
    };
    PilotDrive {
        attempt: recorder.finish(),
        ended,
        stops: pilot.stops_made().to_vec(),
        checks: pilot.readings().to_vec(),
        brakes: pilot.brake_reading().cloned(),
    }
}
