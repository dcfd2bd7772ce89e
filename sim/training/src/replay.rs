//! Driving an attempt again from its inputs and comparing every stored state bit for bit.

use crate::attempt::{Attempt, Checkpoint, EventKind, TRACK_EVERY_TICKS, TrackPoint, hash_text};
use toeline_dynamics::{Faults, PHYSICS_VERSION, Params, State, TICK_S, step};

/// A replay that agreed everywhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Replay {
    /// State after the last tick.
    pub final_state: State,
    /// Stored states that were compared, the start among them.
    pub states_compared: usize,
    /// Track points that were compared.
    pub track_compared: usize,
}

/// Why an attempt cannot be replayed, or where it does not agree with itself.
#[derive(Clone, Debug, PartialEq)]
pub enum ReplayError {
    /// Driven with another physics version.
    Physics {
        /// Version of the attempt.
        attempt: u32,
        /// Version of this program.
        program: u32,
    },
    /// Driven with another tick.
    Tick {
        /// Tick of the attempt, seconds.
        attempt_s: f64,
    },
    /// Something does not fit together.
    Unsound(String),
    /// A stored state cannot be read.
    State {
        /// Its tick.
        tick: u64,
        /// What is wrong.
        cause: String,
    },
    /// A stored state does not have the hash stored with it.
    Hash {
        /// Its tick.
        tick: u64,
        /// Stored hash.
        stored: String,
        /// Hash of the stored state.
        found: String,
    },
    /// The replay does not lead to a stored state.
    Differs {
        /// Its tick.
        tick: u64,
        /// The first field that differs.
        field: &'static str,
    },
    /// The replay does not lead to a track point.
    Track {
        /// Its tick.
        tick: u64,
    },
}

impl core::fmt::Display for ReplayError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            ReplayError::Physics { attempt, program } => write!(
                f,
                "the attempt was driven with physics version {attempt}; this program has version {program} and cannot \
                 replay it bit for bit. Its track and events can still be read"
            ),
            ReplayError::Tick { attempt_s } => {
                write!(
                    f,
                    "the attempt has ticks of {attempt_s} s; this program steps by {TICK_S} s"
                )
            }
            ReplayError::Unsound(what) => write!(f, "the attempt does not fit together: {what}"),
            ReplayError::State { tick, cause } => {
                write!(f, "the state stored for tick {tick} is not readable: {cause}")
            }
            ReplayError::Hash { tick, stored, found } => write!(
                f,
                "the state stored for tick {tick} has the hash {found}, but {stored} is written beside it: the file was \
                 changed after it was recorded"
            ),
            ReplayError::Differs { tick, field } => write!(
                f,
                "the replay differs from the state stored for tick {tick}, first in {field}: the inputs or the states were \
                 changed after recording"
            ),
            ReplayError::Track { tick } => write!(
                f,
                "the replay differs from the track point of tick {tick}: the track was changed after recording"
            ),
        }
    }
}

impl std::error::Error for ReplayError {}

fn stored(checkpoint: &Checkpoint) -> Result<State, ReplayError> {
    let tick = checkpoint.tick;
    let state = checkpoint.read().map_err(|cause| ReplayError::State { tick, cause })?;
    let found = hash_text(state.hash());
    if found != checkpoint.hash {
        let stored = checkpoint.hash.clone();
        return Err(ReplayError::Hash { tick, stored, found });
    }
    if state.tick != tick {
        let cause = format!("it says that it is of tick {}", state.tick);
        return Err(ReplayError::State { tick, cause });
    }
    if let Some(name) = state.first_not_finite() {
        let cause = format!("{name} is not a finite number");
        return Err(ReplayError::State { tick, cause });
    }
    Ok(state)
}

impl Attempt {
    /// Drives the attempt again from its start with its inputs and compares every stored state, bit for bit, and every
    /// track point.
    ///
    /// # Errors
    /// Another physics version, or the first place where the attempt and its replay differ.
    pub fn replay(&self) -> Result<Replay, ReplayError> {
        if self.physics_version != PHYSICS_VERSION {
            return Err(ReplayError::Physics {
                attempt: self.physics_version,
                program: PHYSICS_VERSION,
            });
        }
        if self.tick_s.to_bits() != TICK_S.to_bits() {
            return Err(ReplayError::Tick { attempt_s: self.tick_s });
        }
        if let Some(first) = self.problems().into_iter().next() {
            return Err(ReplayError::Unsound(first));
        }
        // A point moved to a neighbouring tick of a standing aeroplane would be true of the drive and still be a change.
        let (first, last) = (self.start.tick, self.start.tick + self.inputs.ticks());
        let off_beat = |t: u64| t != last && !t.saturating_sub(first).is_multiple_of(TRACK_EVERY_TICKS);
        if let Some(point) = self.track.iter().find(|p| off_beat(p.tick)) {
            return Err(ReplayError::Track { tick: point.tick });
        }
        let mut params = self.environment.params(&self.aircraft);
        let mut breaks = Breaks::of(self);
        let mut state = stored(&self.start)?;
        let mut replay = Replay {
            final_state: state,
            states_compared: 1,
            track_compared: 0,
        };
        let mut checkpoints = self.checkpoints.iter().peekable();
        let mut track = self.track.iter().peekable();
        compare_track(&params, &state, &mut track, &mut replay)?;
        compare_states(&state, &mut checkpoints, &mut replay)?;
        for controls in self.inputs.iter() {
            params.faults = breaks.next(state.tick, params.faults);
            state = step(
                &params,
                &self.environment.ground,
                &self.environment.air,
                &state,
                &controls,
            );
            compare_states(&state, &mut checkpoints, &mut replay)?;
            compare_track(&params, &state, &mut track, &mut replay)?;
        }
        replay.final_state = state;
        Ok(replay)
    }
}

/// What broke during an attempt, tick by tick.
#[derive(Clone, Debug)]
pub struct Breaks(Vec<(u64, Faults)>, usize);

impl Breaks {
    /// Before the first tick.
    pub fn of(attempt: &Attempt) -> Breaks {
        let broke = attempt.events.iter().filter(|e| e.kind == EventKind::Broke);
        Breaks(broke.filter_map(|e| Some((e.tick, e.faults?))).collect(), 0)
    }

    /// What is broken for the tick after `tick`, when `now` was for the one before. Ticks rise from call to call.
    pub fn next(&mut self, tick: u64, now: Faults) -> Faults {
        let mut faults = now;
        while let Some((_, broken)) = self.0.get(self.1).filter(|b| b.0 <= tick) {
            faults = *broken;
            self.1 += 1;
        }
        faults
    }
}

type Ahead<'a, T> = core::iter::Peekable<core::slice::Iter<'a, T>>;

fn compare_states(state: &State, ahead: &mut Ahead<'_, Checkpoint>, replay: &mut Replay) -> Result<(), ReplayError> {
    if let Some(checkpoint) = ahead.next_if(|c| c.tick == state.tick) {
        let kept = stored(checkpoint)?;
        if let Some(field) = state.first_difference(&kept) {
            return Err(ReplayError::Differs {
                tick: state.tick,
                field,
            });
        }
        replay.states_compared += 1;
    }
    Ok(())
}

fn compare_track(
    params: &Params,
    state: &State,
    ahead: &mut Ahead<'_, TrackPoint>,
    replay: &mut Replay,
) -> Result<(), ReplayError> {
    if let Some(point) = ahead.next_if(|p| p.tick == state.tick) {
        if *point != TrackPoint::of(params, state) {
            return Err(ReplayError::Track { tick: state.tick });
        }
        replay.track_compared += 1;
    }
    Ok(())
}
