//! Recording an attempt while it is driven.

use crate::around::Around;
use crate::attempt::{
    Attempt, CHECKPOINT_EVERY_TICKS, Checkpoint, Environment, Event, EventKind, FORMAT, MOST_TICKS, TRACK_EVERY_TICKS,
    TrackPoint,
};
use crate::inputs::Inputs;
use crate::store::journal::Part;
use crate::watch::Watch;
use serde_json::Value;
use std::sync::Arc;
use toeline_dynamics::contacts::Surroundings;
use toeline_dynamics::{Controls, Faults, PHYSICS_VERSION, Params, State, TICK_S};
use toeline_model::Aircraft;

/// Collects an attempt tick by tick.
#[derive(Clone, Debug)]
pub struct Recorder {
    params: Params,
    last: State,
    watch: Watch,
    around: Option<Around>,
    attempt: Attempt,
    /// What has not yet gone into a part.
    fresh: Fresh,
}

/// Inputs since the last part, and how much of the attempt's lists the parts hold.
#[derive(Clone, Debug, Default)]
struct Fresh {
    inputs: Inputs,
    checkpoints: usize,
    track: usize,
    events: usize,
}

/// Why a tick was not recorded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RecordError {
    /// The state is not the one after the last.
    NotNext {
        /// The tick that was due.
        due: u64,
        /// The tick that came.
        came: u64,
    },
    /// The attempt is as long as one can be.
    TooLong,
}

impl core::fmt::Display for RecordError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            RecordError::NotNext { due, came } => write!(
                f,
                "the state of tick {came} cannot be recorded: tick {due} is due; record every tick once, and start a new \
                 recording after a reset"
            ),
            RecordError::TooLong => write!(
                f,
                "the attempt has {MOST_TICKS} ticks (24 h), the most that one holds; start a new one"
            ),
        }
    }
}

impl std::error::Error for RecordError {}

impl Recorder {
    /// Starts recording from a state. `job` says which plan is driven, in whatever form the caller likes.
    pub fn new(aircraft: &Aircraft, environment: Environment, start: &State, job: Option<Value>) -> Recorder {
        let params = environment.params(aircraft);
        Recorder {
            params,
            last: *start,
            watch: Watch::new(start),
            around: None,
            attempt: Attempt {
                toeline_attempt: FORMAT,
                physics_version: PHYSICS_VERSION,
                tick_s: TICK_S,
                aircraft: aircraft.clone(),
                environment,
                start: Checkpoint::of(start),
                inputs: Inputs::default(),
                checkpoints: Vec::new(),
                track: vec![TrackPoint::of(&params, start)],
                events: Vec::new(),
                job,
            },
            fresh: Fresh {
                // The first point is in the attempt as it begins.
                track: 1,
                ..Fresh::default()
            },
        }
    }

    /// The attempt as it began, for the first line of a journal.
    pub fn beginning(&self) -> Attempt {
        Attempt {
            inputs: Inputs::default(),
            checkpoints: Vec::new(),
            track: self.attempt.track[..1].to_vec(),
            events: Vec::new(),
            ..self.attempt.clone()
        }
    }

    /// What was recorded since the last call, for a journal; `None` when no tick was.
    pub fn part(&mut self) -> Option<Part> {
        if self.fresh.inputs.ticks() == 0 {
            return None;
        }
        let all = &self.attempt;
        let part = Part {
            inputs: std::mem::take(&mut self.fresh.inputs),
            end: Checkpoint::of(&self.last),
            checkpoints: all.checkpoints[self.fresh.checkpoints..].to_vec(),
            track: all.track[self.fresh.track..].to_vec(),
            events: all.events[self.fresh.events..].to_vec(),
        };
        self.fresh = Fresh {
            inputs: Inputs::default(),
            checkpoints: all.checkpoints.len(),
            track: all.track.len(),
            events: all.events.len(),
        };
        Some(part)
    }

    /// Watches what the parts touch and where the wheels are, from here on: to be called before the first tick.
    #[must_use]
    pub fn among(self, surroundings: Arc<Surroundings>) -> Recorder {
        let around = Around::new(surroundings, &self.attempt.aircraft, &self.params, &self.last);
        Recorder {
            around: Some(around),
            ..self
        }
    }

    /// Records one tick: the controls that were held and the state that they led to.
    ///
    /// # Errors
    /// When the state is not that of the next tick, or the attempt is too long; nothing is recorded then.
    pub fn push(&mut self, controls: &Controls, state: &State) -> Result<(), RecordError> {
        let due = self.last.tick + 1;
        if state.tick != due {
            return Err(RecordError::NotNext { due, came: state.tick });
        }
        if self.attempt.inputs.ticks() >= MOST_TICKS {
            return Err(RecordError::TooLong);
        }
        self.attempt.inputs.push(controls);
        self.fresh.inputs.push(controls);
        self.last = *state;
        self.attempt.events.extend(self.watch.look(&self.params, state));
        if let Some(around) = &mut self.around {
            self.attempt.events.extend(around.look(&self.params, state));
        }
        let driven = self.attempt.inputs.ticks();
        if driven.is_multiple_of(TRACK_EVERY_TICKS) {
            self.attempt.track.push(TrackPoint::of(&self.params, state));
        }
        if driven.is_multiple_of(CHECKPOINT_EVERY_TICKS) {
            self.attempt.checkpoints.push(Checkpoint::of(state));
        }
        Ok(())
    }

    /// Notes that something happened, at the last recorded tick. Starting, stopping, a locked wheel, a stopped engine and
    /// the end of a run are noted by [`Recorder::push`] itself, and with [`Recorder::among`] contacts and the pavement's
    /// edge too.
    pub fn event(&mut self, kind: EventKind, text: impl Into<String>) {
        self.event_about(kind, None, text);
    }

    /// The same with the thing that it is about: where was looked, what was said, told or judged.
    pub fn event_about(&mut self, kind: EventKind, thing: Option<String>, text: impl Into<String>) {
        let event = Event::of(&self.params, &self.last, kind, text);
        self.attempt.events.push(Event { thing, ..event });
    }

    /// Notes that something broke after the last recorded tick: from the next one on it must be driven with these faults, all
    /// that is broken then. Gives the numbers of the aeroplane to step with.
    pub fn breaks(&mut self, faults: Faults, text: impl Into<String>) -> Params {
        self.params.faults = faults.clamped();
        let event = Event {
            faults: Some(self.params.faults),
            ..Event::of(&self.params, &self.last, EventKind::Broke, text)
        };
        self.attempt.events.push(event);
        self.params
    }

    /// Notes something of a part and a thing, as the kinds from [`EventKind::Looked`] to [`EventKind::Judged`] want it.
    pub fn deed(&mut self, kind: EventKind, part: Option<&str>, thing: &str, text: impl Into<String>) {
        let event = Event::of(&self.params, &self.last, kind, text);
        self.attempt.events.push(Event {
            part: part.map(str::to_string),
            thing: Some(thing.to_string()),
            ..event
        });
    }

    /// The attempt so far, not closed.
    pub fn attempt(&self) -> &Attempt {
        &self.attempt
    }

    /// The last recorded state.
    pub fn last(&self) -> &State {
        &self.last
    }

    /// The attempt so far, with its last state stored.
    pub fn finish(mut self) -> Attempt {
        let tick = self.last.tick;
        if self.attempt.track.last().is_none_or(|p| p.tick != tick) {
            self.attempt.track.push(TrackPoint::of(&self.params, &self.last));
        }
        if self.attempt.checkpoints.last().is_none_or(|c| c.tick != tick) {
            self.attempt.checkpoints.push(Checkpoint::of(&self.last));
        }
        self.attempt
    }
}
