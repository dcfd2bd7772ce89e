//! One attempt as data.

use crate::inputs::Inputs;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use toeline_dynamics::{Air, Faults, Ground, Params, State};
use toeline_model::units::round_to;
use toeline_model::{Aircraft, Xy, Yaw};

/// Version of the attempt format that this program writes and reads.
pub const FORMAT: u32 = 1;

/// Ticks from one track point to the next: 20 Hz at 240 ticks a second.
pub const TRACK_EVERY_TICKS: u64 = 12;

/// Ticks from one stored state to the next: 5 s.
pub const CHECKPOINT_EVERY_TICKS: u64 = 1200;

/// Most ticks in one attempt: 24 hours. A file that claims more is refused before anything is run.
pub const MOST_TICKS: u64 = 24 * 3600 * 240;

/// A whole attempt.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Attempt {
    /// Version of the format: [`FORMAT`].
    pub toeline_attempt: u32,
    /// Version of the physics it was driven with.
    pub physics_version: u32,
    /// Length of a tick, seconds.
    pub tick_s: f64,
    /// The aeroplane, whole, so that a later change of its file changes nothing here.
    pub aircraft: Aircraft,
    /// Ground and air.
    pub environment: Environment,
    /// State before the first tick.
    pub start: Checkpoint,
    /// What the hands and feet did.
    pub inputs: Inputs,
    /// States along the way, in order; the last one is after the last tick.
    pub checkpoints: Vec<Checkpoint>,
    /// The driven track, in order.
    pub track: Vec<TrackPoint>,
    /// What happened, in order.
    pub events: Vec<Event>,
    /// Which plan it was driven on, as the caller describes it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub job: Option<Value>,
}

/// Ground and air of an attempt, and what is broken on its aeroplane at the start; ground and air do not change within one,
/// and what breaks later is an [`EventKind::Broke`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Environment {
    /// What the wheels stand on.
    pub ground: Ground,
    /// The wind.
    pub air: Air,
    /// What is broken; nothing in attempts older than this.
    #[serde(default, skip_serializing_if = "Faults::is_none")]
    pub faults: Faults,
}

impl Environment {
    /// The numbers of an aeroplane as it is driven here, with what is broken.
    pub fn params(&self, aircraft: &Aircraft) -> Params {
        Params {
            faults: self.faults,
            ..Params::from_aircraft(aircraft)
        }
    }
}

/// A stored state with its fingerprint. The state is kept as it was written, so that an attempt of another physics
/// version, whose states have other fields, can still be read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Checkpoint {
    /// Tick of the state.
    pub tick: u64,
    /// `State::hash`, sixteen hexadecimal digits.
    pub hash: String,
    /// The state.
    pub state: Value,
}

impl Checkpoint {
    /// The checkpoint of a state.
    pub fn of(state: &State) -> Checkpoint {
        Checkpoint {
            tick: state.tick,
            hash: hash_text(state.hash()),
            state: serde_json::to_value(state).unwrap_or(Value::Null),
        }
    }

    /// The state, if it is one of this physics version.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn read(&self) -> Result<State, String> {
        State::deserialize(&self.state).map_err(|e| e.to_string())
    }
}

/// A hash as it is written: sixteen hexadecimal digits.
pub fn hash_text(hash: u64) -> String {
    format!("{hash:016x}")
}

/// One point of the driven track. Written as `[tick, x, y, heading, speed]`: metres to 0.1 mm, radians to 0.00001,
/// metres per second to 0.001.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(from = "(u64, f64, f64, f64, f64)", into = "(u64, f64, f64, f64, f64)")]
pub struct TrackPoint {
    /// Tick.
    pub tick: u64,
    /// Contact point of the nose wheel, local metres.
    pub nose: Xy,
    /// Heading.
    pub heading_rad: Yaw,
    /// Speed over the ground, m/s.
    pub speed_mps: f64,
}

impl TrackPoint {
    /// The track point of a state.
    pub fn of(p: &Params, state: &State) -> TrackPoint {
        let pose = state.pose(p);
        TrackPoint {
            tick: state.tick,
            nose: Xy {
                x: round_to(pose.nose.x, 4),
                y: round_to(pose.nose.y, 4),
            },
            heading_rad: Yaw::from_rad(round_to(pose.heading_rad.rad(), 5)),
            speed_mps: round_to(state.speed_mps(), 3),
        }
    }
}

impl From<(u64, f64, f64, f64, f64)> for TrackPoint {
    fn from((tick, x, y, heading, speed_mps): (u64, f64, f64, f64, f64)) -> TrackPoint {
        TrackPoint {
            tick,
            nose: Xy { x, y },
            heading_rad: Yaw::from_rad(heading),
            speed_mps,
        }
    }
}

impl From<TrackPoint> for (u64, f64, f64, f64, f64) {
    fn from(p: TrackPoint) -> (u64, f64, f64, f64, f64) {
        (p.tick, p.nose.x, p.nose.y, p.heading_rad.rad(), p.speed_mps)
    }
}

/// What kind of thing happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum EventKind {
    /// Began to move.
    Started,
    /// Came to a standstill.
    Stopped,
    /// Put back to the start; nothing after it belongs to the same drive.
    Reset,
    /// A wheel left the pavement; `part` says which.
    LeftPavement,
    /// A wheel is on the pavement again; `part` says which.
    BackOnPavement,
    /// A part began to touch a thing; `part` and `thing` say which.
    TouchedObstacle,
    /// A braked wheel stopped turning while the aeroplane moved.
    BrakeLocked,
    /// The engine stopped.
    EngineStopped,
    /// Left the ground: the run ended there.
    LiftedOff,
    /// Went over: the run ended there.
    TippedOver,
    /// Reached a holding position.
    ReachedHold,
    /// Crossed a holding position.
    CrossedHold,
    /// Reached the end of the way.
    Arrived,
    /// Looked somewhere for long enough to see; `thing` is one of [`LOOKS`].
    Looked,
    /// Moved a switch that no input of the attempt holds; `part` is the switch, `thing` its new position.
    Switched,
    /// Said something on the radio; `thing` is one of [`CALLS`].
    Said,
    /// Was told something on the radio; `thing` is what it permits or forbids, one of [`ANSWERS`].
    Told,
    /// Judged the engine check; `thing` is `fit` or `unfit`.
    Judged,
    /// Something broke during the drive; `faults` holds all that is broken from the next tick on.
    Broke,
    /// A remark.
    Note,
    /// A kind that this version does not know.
    #[serde(other)]
    Other,
}

/// Where an [`EventKind::Looked`] went.
pub const LOOKS: [&str; 5] = ["left", "right", "left shoulder", "right shoulder", "approach"];

/// What an [`EventKind::Said`] was: ready for departure, a read-back of what was heard, a request to cross or to enter the
/// runway, or an announcement where nobody permits.
pub const CALLS: [&str; 4] = ["ready", "read back", "request", "announce"];

/// What an [`EventKind::Told`] was: may enter the runway, may cross it, must hold short.
pub const ANSWERS: [&str; 3] = ["enter", "cross", "hold short"];

/// Something that happened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Event {
    /// Tick.
    pub tick: u64,
    /// Kind.
    pub kind: EventKind,
    /// In words; may be empty.
    pub text: String,
    /// Where, local metres to a millimetre: the point of contact, the wheel, otherwise the nose wheel. `None` in older
    /// attempts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Xy>,
    /// Speed over the ground, m/s to 0.001; `None` in older attempts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub speed_mps: Option<f64>,
    /// Part or wheel of the aeroplane, where one is meant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<String>,
    /// What it touched.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thing: Option<String>,
    /// What is broken from the next tick on, of an [`EventKind::Broke`]; a replay follows it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub faults: Option<Faults>,
}

impl Event {
    /// Something that happened with a state: at its nose wheel and its speed.
    pub fn of(p: &Params, state: &State, kind: EventKind, text: impl Into<String>) -> Event {
        Event {
            tick: state.tick,
            kind,
            text: text.into(),
            at: Some(to_mm(state.pose(p).nose)),
            speed_mps: Some(round_to(state.speed_mps(), 3)),
            part: None,
            thing: None,
            faults: None,
        }
    }

    /// What happened, in a sentence without its place and time.
    pub fn words(&self) -> String {
        match self.kind {
            EventKind::TippedOver => format!("tipped over, {}", self.text),
            EventKind::LiftedOff => format!("left the ground, {}", self.text),
            _ => self.text.clone(),
        }
    }

    /// The same at another place.
    #[must_use]
    pub fn at(self, place: Xy) -> Event {
        Event {
            at: Some(to_mm(place)),
            ..self
        }
    }

    /// The same of a part or wheel.
    #[must_use]
    pub fn of_part(self, part: impl Into<String>) -> Event {
        Event {
            part: Some(part.into()),
            ..self
        }
    }
}

fn to_mm(p: Xy) -> Xy {
    Xy {
        x: round_to(p.x, 3),
        y: round_to(p.y, 3),
    }
}

impl Attempt {
    /// How long it lasted, seconds.
    pub fn duration_s(&self) -> f64 {
        self.inputs.ticks() as f64 * self.tick_s
    }

    /// Time of a tick since the start, seconds.
    pub fn time_s(&self, tick: u64) -> f64 {
        tick.saturating_sub(self.start.tick) as f64 * self.tick_s
    }
}
