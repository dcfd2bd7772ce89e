//! What came of the stages, in words.

use super::Exercise;
use serde::Serialize;
use std::fmt::Write as _;
use toeline_model::Xy;

/// What came of a stage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Came {
    /// Done, within its limits.
    Done,
    /// Done, with a limit broken on the way.
    LimitBroken,
    /// Not done.
    NotDone,
    /// Not begun: the drive ended before.
    NotBegun,
}

impl Came {
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Came::Done => "done",
            Came::LimitBroken => "done, limit broken",
            Came::NotDone => "not done",
            Came::NotBegun => "not begun",
        }
    }
}

/// A limit that was broken.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Broken {
    /// Tick at which it was first broken in the stage.
    pub tick: u64,
    /// Seconds since the start.
    pub time_s: f64,
    /// Way from where driving begins, metres.
    pub way_m: f64,
    /// Nose wheel there, local metres.
    pub at: Xy,
    /// Which limit, and by how much at most.
    pub text: String,
}

/// What came of one stage.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StageCame {
    /// Number, counted from 1.
    pub stage: usize,
    /// Its title.
    pub title: String,
    /// What came of it.
    pub came: Came,
    /// Tick at which it ended; `None` when it was not begun.
    pub tick: Option<u64>,
    /// Seconds since the start.
    pub time_s: Option<f64>,
    /// Way from where driving begins, metres.
    pub way_m: Option<f64>,
    /// Nose wheel there, local metres.
    pub at: Option<Xy>,
    /// In a sentence.
    pub text: String,
    /// Limits broken in it, in order.
    pub broken: Vec<Broken>,
}

/// Minutes and seconds to a tenth.
pub(super) fn clock(time_s: f64) -> String {
    let tenths = (time_s * 10.0).round() as u64;
    format!("{}:{:02}.{}", tenths / 600, tenths / 10 % 60, tenths % 10)
}

/// The stages of a drive, as lines of text.
pub fn tell(exercise: &Exercise, came: &[StageCame]) -> String {
    let mut out = format!("STAGES of \"{}\"\n", exercise.title);
    for c in came {
        let _ = write!(out, "  {:>2}. {}: {}", c.stage, c.title, c.came.word());
        if let (Some(time_s), Some(way_m)) = (c.time_s, c.way_m) {
            let _ = write!(out, " at {}, {way_m:.1} m along", clock(time_s));
        }
        if c.came != Came::Done && !c.text.is_empty() {
            let _ = write!(out, ": {}", c.text);
        }
        out.push('\n');
        for b in &c.broken {
            let _ = writeln!(
                out,
                "      {}, {:.1} m along (x {:.1} m, y {:.1} m): {}",
                clock(b.time_s),
                b.way_m,
                b.at.x,
                b.at.y,
                b.text
            );
        }
    }
    out
}
