//! Exercises: lessons as data files that an instructor can write (`docs/exercises.md`).
//!
//! [`Exercise::from_json`] reads one, [`build`] makes a [`Lesson`] of it for an aeroplane, and a [`Conductor`] follows a drive
//! tick by tick and says which stage it is at and what came of each. It looks at the stored track, the controls and the
//! events alone, so that it says the same live, over a replay and over an attempt of any physics version.
//!
//! | file | what it holds |
//! |---|---|
//! | `mod` | an exercise as data |
//! | `until` | what ends a stage |
//! | `reading` | from a file, everything wrong at once |
//! | `checking` | limits of every value |
//! | `catalog` | the built-in course |
//! | `lesson` | an exercise made ready for an aeroplane |
//! | `line_up` | from the holding position onto the runway and along it |
//! | `fitting` | whether it fits the way that was found |
//! | `conductor` | the stage now, and what came of each |
//! | `watching` | whether what ends a stage has been seen |
//! | `telling` | what came of the stages, in words |
//! | `drive` | a lesson driven without a window, by script |
//! | `demonstrator` | the model pilot as a perfect pupil |

mod catalog;
mod checking;
mod conductor;
mod demonstrator;
mod drive;
mod fitting;
mod lesson;
mod line_up;
mod reading;
mod telling;
mod until;
mod watching;

pub use catalog::{all, find, ids, texts};
pub use checking::{ExerciseProblem, measure_keys};
pub use conductor::{Conductor, Cue};
pub use drive::{LessonDrive, drive_by_model_pilot, drive_by_script};
pub use lesson::{BUILT_IN_FIELDS, Lesson, LessonError, build, built_in_field, lift_off_mps};
pub use line_up::{END_OF_ROLL, LINED_UP};
pub use telling::{Broken, Came, StageCame, tell};
pub use until::{Control, Power, Reading, Stood, StoppedAfterFault, Switched, Until};

use crate::drills::DrillKind;
use crate::faults::Faults;
use serde::{Deserialize, Serialize};
use toeline_model::Wind;
use toeline_model::airfield::Surface;

/// Version of the file format that this program reads and writes.
pub const FORMAT: u32 = 1;

/// One exercise. Ways (`…_m`) are metres that the nose wheel rolls along the path from where driving begins, after any push
/// by hand.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Exercise {
    /// Version of the format: [`FORMAT`].
    pub toeline_exercise: u32,
    /// Name for programs: small letters, digits and hyphens.
    pub id: String,
    /// Name for people.
    pub title: String,
    /// What it teaches, in sentences.
    pub teaches: Vec<String>,
    /// Ids of the exercises that come before it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub after: Vec<String>,
    /// Where it is driven.
    #[serde(rename = "where")]
    pub place: Place,
    /// Built-in aeroplane that it is driven in unless another is chosen.
    pub aircraft: String,
    /// The wind, with its north.
    pub wind: Wind,
    /// What the wheels stand on; `None`: as the map says, dry.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ground: Option<GroundAs>,
    /// Time of the day.
    pub hour: Hour,
    /// Where it begins; `None`: at the start of the way.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start: Option<Start>,
    /// What is to be done, in order.
    pub stages: Vec<Stage>,
    /// What breaks, and when.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub faults: Vec<Breakdown>,
    /// Keys of the measures that are judged; the others are told.
    pub scored: Vec<String>,
}

/// Where an exercise is driven.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Place {
    /// On the practice apron, along a drill's line.
    Drill {
        /// Which drill.
        drill: DrillKind,
    },
    /// Along a planned way on a field.
    Journey(Journey),
}

/// A journey, as in a job.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Journey {
    /// A built-in field by its name ([`BUILT_IN_FIELDS`]), or a map file.
    pub field: String,
    /// Stand, runway, holding position or point to start from.
    pub from: String,
    /// Engine-check areas, stands or holding positions to go by, in order.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub via: Vec<String>,
    /// Runway, holding position or stand to end at; "threshold 26" ends on the runway.
    pub to: String,
    /// Taxi instruction to follow exactly.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub instruction: Option<String>,
    /// Heading of the parked aeroplane, degrees true.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub parked_heading_deg: Option<f64>,
    /// Day for closures and the magnetic model, `YYYY-MM-DD`.
    pub date: String,
    /// The way goes on from the runway's holding position: onto the runway, lined up, and so far along it, metres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub roll_m: Option<f64>,
}

/// What the wheels stand on.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GroundAs {
    /// Surface; `None`: as the map says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surface: Option<Surface>,
    /// Whether it is wet.
    #[serde(default)]
    pub wet: bool,
}

/// Time of the day, as far as light goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Hour {
    /// Daylight.
    #[default]
    Day,
    /// Dusk.
    Dusk,
    /// Night.
    Night,
}

/// Where an exercise begins: standing on the path, engine at idle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Start {
    /// So far along the way, metres.
    AtM(f64),
    /// So far before a stop.
    Before {
        /// The stop, by its name, or `check`, or `end`.
        stop: String,
        /// Metres before it.
        by_m: f64,
    },
}

/// One stage.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stage {
    /// Name.
    pub title: String,
    /// What the running list says, in plain words of the trade.
    pub prompt: String,
    /// What ends it: all of these, each seen once within the stage, in any order.
    pub until: Vec<Until>,
    /// What the tower says in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tower: Option<Tower>,
    /// What must hold in it.
    #[serde(skip_serializing_if = "Limits::is_none")]
    pub limits: Limits,
}

/// What the tower says in a stage.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tower {
    /// What it permits or forbids: one of [`crate::attempt::ANSWERS`].
    pub tells: String,
    /// In words.
    pub words: String,
    /// Seconds after the stage has begun or, with `upon`, after that was said in it.
    #[serde(default)]
    pub after_s: f64,
    /// Only once the pilot has said this: one of [`crate::attempt::CALLS`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub upon: Option<String>,
}

/// What must hold in a stage; each may be left out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    /// Fastest, knots.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most_kt: Option<f64>,
    /// Farthest that the nose wheel may be off the line, metres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub off_line_m: Option<f64>,
    /// Farthest that the heading may be from that of the path there, degrees, while it rolls.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heading_deg: Option<f64>,
    /// Done within so many seconds of its beginning, or not done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within_s: Option<f64>,
    /// Done before so far along the way, metres, or not done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by_m: Option<f64>,
    /// Done before the nose wheel is past this stop, or not done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by_stop: Option<String>,
}

impl Limits {
    /// None at all?
    pub fn is_none(&self) -> bool {
        *self == Limits::default()
    }
}

/// Something that breaks. It stays broken; a later one counts on top of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Breakdown {
    /// The moment.
    pub from: Moment,
    /// What is broken from there on, by the names of `docs/attempts.md`.
    pub broken: Faults,
}

/// A moment of a drive: the first at which everything given holds. Nothing given: from the start.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Moment {
    /// This stage or a later one has begun, counted from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stage: Option<usize>,
    /// So far along the way, metres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub way_m: Option<f64>,
    /// At least so fast, knots.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kt: Option<f64>,
}

impl Moment {
    /// The start itself?
    pub fn is_start(&self) -> bool {
        *self == Moment::default()
    }
}

impl Exercise {
    /// Writes the exercise as a person would: indented, with what is left at its default left out.
    pub fn to_json(&self) -> String {
        // Plain structs of strings and finite numbers always serialise.
        serde_json::to_string_pretty(self).unwrap_or_default() + "\n"
    }

    /// The keys of the measures that are judged: for [`crate::debrief::Debrief::judging_only`].
    pub fn scored(&self) -> Vec<&str> {
        self.scored.iter().map(String::as_str).collect()
    }

    /// What is broken from the start on.
    pub fn faults_at_start(&self) -> Faults {
        let from_start = self.faults.iter().filter(|b| b.from.is_start());
        from_start.fold(Faults::default(), |all, b| with(all, &b.broken))
    }
}

/// Both at once: what either breaks is broken; of two figures the one that is not 0 and comes later counts.
pub fn with(all: Faults, more: &Faults) -> Faults {
    use toeline_dynamics::faults::BrakeFault;
    let both = |a: [bool; 2], b: [bool; 2]| [a[0] | b[0], a[1] | b[1]];
    let figure = |a: f64, b: f64| if b == 0.0 { a } else { b };
    let brake = |side: usize| match more.brake[side] {
        BrakeFault::None => all.brake[side],
        broken => broken,
    };
    Faults {
        brake: [brake(0), brake(1)],
        flat_tyre: [0, 1, 2].map(|k: usize| all.flat_tyre[k] | more.flat_tyre[k]),
        steering_play_rad: figure(all.steering_play_rad, more.steering_play_rad),
        fouled_plug: both(all.fouled_plug, more.fouled_plug),
        dead_magneto: both(all.dead_magneto, more.dead_magneto),
        live_magneto: both(all.live_magneto, more.live_magneto),
        carburettor_ice: figure(all.carburettor_ice, more.carburettor_ice),
        heading_drift_radps: figure(all.heading_drift_radps, more.heading_drift_radps),
        stuck_compass: all.stuck_compass | more.stuck_compass,
        dead_airspeed: all.dead_airspeed | more.dead_airspeed,
    }
}
