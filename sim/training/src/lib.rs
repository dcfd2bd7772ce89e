//! Attempts at taxiing: recorded tick by tick, stored, replayed to the last bit, and driven from a script without a window.
//!
//! An [`Attempt`] holds what the hands and feet did, the aeroplane, the ground and the air, the driven track and what
//! happened. The track and the events can be read for ever; replay is promised within one physics version.

mod around;
pub mod attempt;
pub mod debrief;
pub mod drills;
pub mod exercise;
pub mod faults;
pub mod inputs;
pub mod journey;
pub mod logbook;
pub mod measures;
pub mod pilot;
pub mod pupils;
pub mod reading;
pub mod recorder;
pub mod replay;
pub mod script;
pub mod store;
pub mod surroundings;
mod watch;
pub mod wobble;

pub use attempt::{Attempt, Checkpoint, Environment, Event, EventKind, TrackPoint};
pub use drills::{Drill, DrillKind};
pub use exercise::Exercise;
pub use inputs::Inputs;
pub use reading::AttemptError;
pub use recorder::{RecordError, Recorder};
pub use replay::{Replay, ReplayError};
pub use script::{Script, ScriptProblem, run_script, run_script_among};
pub use store::journal;
