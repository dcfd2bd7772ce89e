//! Attempts as JSON text, and everything that can be wrong with such a text.

use crate::attempt::{Attempt, Event, EventKind, FORMAT, MOST_TICKS, TrackPoint};
use serde::Deserialize;
use toeline_model::aircraft::check;

/// Farthest that a point of a track may lie from the field's origin, metres (ours), and the fastest that it may be, m/s (ours).
const MOST_M: f64 = 1e6;
/// See [`MOST_M`].
const MOST_MPS: f64 = 1000.0;

/// Why a text is not an attempt that can be used.
#[derive(Clone, Debug, PartialEq)]
pub enum AttemptError {
    /// Not JSON, broken off, or not of the shape of an attempt.
    Shape(String),
    /// Written in a format that this program does not know.
    Format(u32),
    /// Readable, but it does not fit together: all that was found.
    Unsound(Vec<String>),
    /// Could not be written as JSON.
    Write(String),
}

impl core::fmt::Display for AttemptError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            AttemptError::Shape(cause) => write!(f, "not a readable attempt: {cause}"),
            AttemptError::Format(found) => write!(
                f,
                "attempt format {found} is not known; this program reads format {FORMAT}"
            ),
            AttemptError::Unsound(list) => write!(f, "the attempt does not fit together: {}", list.join("; ")),
            AttemptError::Write(cause) => write!(f, "the attempt cannot be written: {cause}"),
        }
    }
}

impl std::error::Error for AttemptError {}

/// The one key that says what a file is, read before anything else.
#[derive(Deserialize)]
struct Head {
    toeline_attempt: u32,
}

impl Attempt {
    /// Reads an attempt. One of another physics version is read too: only its replay is refused.
    ///
    /// # Errors
    /// What is wrong with the text, with line and column where JSON knows them.
    pub fn from_json(text: &str) -> Result<Attempt, AttemptError> {
        let shape = |e: serde_json::Error| AttemptError::Shape(e.to_string());
        let head: Head = serde_json::from_str(text).map_err(shape)?;
        if head.toeline_attempt != FORMAT {
            return Err(AttemptError::Format(head.toeline_attempt));
        }
        let attempt: Attempt = serde_json::from_str(text).map_err(shape)?;
        let mut list = attempt.problems();
        list.extend(
            check::problems(&attempt.aircraft)
                .iter()
                .map(|p| format!("aircraft.{p}")),
        );
        if list.is_empty() {
            Ok(attempt)
        } else {
            Err(AttemptError::Unsound(list))
        }
    }

    /// Writes the attempt as JSON, one line, bits of every number kept.
    ///
    /// # Errors
    /// When a number in it is not finite: JSON has no word for it.
    pub fn to_json(&self) -> Result<String, AttemptError> {
        if let Some(checkpoint) = std::iter::once(&self.start)
            .chain(&self.checkpoints)
            .find(|c| c.read().is_err() && self.physics_version == toeline_dynamics::PHYSICS_VERSION)
        {
            return Err(AttemptError::Write(format!(
                "the state of tick {} holds a number that is not finite",
                checkpoint.tick
            )));
        }
        serde_json::to_string(self).map_err(|e| AttemptError::Write(e.to_string()))
    }

    /// What does not fit together, in words; empty when all is sound. Whether the states follow from the inputs is for
    /// [`Attempt::replay`] to say.
    pub fn problems(&self) -> Vec<String> {
        let mut list = self.inputs.problems();
        let ticks = self.inputs.ticks();
        if ticks > MOST_TICKS {
            list.push(format!("{ticks} ticks; at most {MOST_TICKS} (24 h) can be"));
        }
        let first = self.start.tick;
        let Some(last) = first.checked_add(ticks) else {
            list.push(format!("start.tick: {first} cannot be counted on from"));
            return list;
        };
        let mut ordered = |name: &str, all: &mut dyn Iterator<Item = u64>, again: bool| {
            let mut before = None;
            for tick in all {
                if !(first..=last).contains(&tick) {
                    list.push(format!("{name}: tick {tick} is outside {first} to {last}"));
                    break;
                }
                if before.is_some_and(|b| tick < b || (tick == b && !again)) {
                    list.push(format!("{name}: tick {tick} is out of order"));
                    break;
                }
                before = Some(tick);
            }
            before
        };
        let ends = ordered("checkpoints", &mut self.checkpoints.iter().map(|c| c.tick), false);
        ordered("track", &mut self.track.iter().map(|p: &TrackPoint| p.tick), false);
        ordered("events", &mut self.events.iter().map(|e: &Event| e.tick), true);
        for event in self.events.iter().filter(|e| e.kind == EventKind::Broke) {
            match &event.faults {
                None => list.push(format!("events: what broke at tick {} is not said", event.tick)),
                Some(faults) if faults.clamped() != *faults => {
                    list.push(format!("events: what broke at tick {} is out of range", event.tick));
                }
                Some(_) => {}
            }
        }
        for p in &self.track {
            let (x, y, v) = (p.nose.x, p.nose.y, p.speed_mps);
            let figures = [
                ("x", x, MOST_M, "m"),
                ("y", y, MOST_M, "m"),
                ("speed", v, MOST_MPS, "m/s"),
            ];
            let wrong = figures
                .into_iter()
                .find(|(_, v, most, _)| !(-*most..=*most).contains(v));
            if let Some((name, value, most, unit)) = wrong {
                list.push(format!(
                    "track: {name} of tick {}, {value:e} {unit}, is outside -{most} to {most} {unit}",
                    p.tick
                ));
                break;
            }
        }
        if ends != Some(last) {
            list.push(format!("checkpoints: there is none for the last tick, {last}"));
        }
        if !(self.tick_s > 0.0 && self.tick_s < 1.0) {
            list.push(format!("tick_s: {} s is outside 0 to 1 s", self.tick_s));
        }
        list
    }
}
