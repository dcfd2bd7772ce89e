//! Simulated pupils: the model pilot's hands and feet with a learner's faults between eyes and pedals.
//!
//! | file | what it holds |
//! |---|---|
//! | `hands` | what a pupil sees and does in place of the model pilot |
//! | `drive` | one drive, and thousands of them on all cores |
//!
//! Every figure is ours, no source; `docs/pupils.md` tells what each does.

mod drive;
mod hands;

pub use drive::{drive_pupil, drive_pupil_among, drive_pupils};
pub use hands::Hands;

use serde::{Deserialize, Serialize};
use toeline_engine::odds::{Wobble, WobbleFrom};
use toeline_model::Aircraft;

/// A pupil's faults. Plain data; the random part comes from a seed and a number, see [`drive_pupil`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pupil {
    /// Where he believes the nose wheel has to be: beside the line by a steady offset and a wandering. It is the same
    /// process as in the planner's odds.
    pub wobble: Wobble,
    /// How old that is what he sees, seconds: 0 to [`MOST_LATE_S`]. He looks as much farther ahead, as far as he feels the turn
    /// going.
    pub reaction_s: f64,
    /// How much later his feet come than he means them to, seconds: 0 to [`MOST_LATE_S`]. Of this he does not know.
    pub late_feet_s: f64,
    /// Pressure with which both toes rest on the brakes while it rolls, 0 to 1.
    pub rides_brakes: f64,
    /// How much larger than it is he takes every error of place and heading: 1 as it is, above it he over-corrects.
    pub overcorrects: f64,
}

/// Longest that a pupil may be late by either figure, seconds (ours).
pub const MOST_LATE_S: f64 = 2.0;

impl Pupil {
    /// A pupil without a fault: the model pilot.
    pub const FAULTLESS: Pupil = Pupil {
        wobble: Wobble {
            offset_m: 0.0,
            spread_m: 0.0,
            correlation_m: 20.0,
            from: WobbleFrom::Ours,
        },
        reaction_s: 0.0,
        late_feet_s: 0.0,
        rides_brakes: 0.0,
        overcorrects: 1.0,
    };

    /// A good pupil shortly before his first solo. Ours, no source.
    pub fn good() -> Pupil {
        Pupil {
            wobble: Wobble {
                offset_m: -0.05,
                spread_m: 0.15,
                correlation_m: 25.0,
                from: WobbleFrom::Ours,
            },
            reaction_s: 0.10,
            ..Pupil::FAULTLESS
        }
    }

    /// A beginner: the planner's default wobble, sees a little late, is a little late with his feet, rests his toes on the brakes and
    /// over-corrects. Ours, no source.
    pub fn beginner(aircraft: &Aircraft) -> Pupil {
        Pupil {
            wobble: Wobble::beginner(aircraft),
            reaction_s: 0.05,
            late_feet_s: 0.03,
            rides_brakes: 0.03,
            overcorrects: 1.15,
        }
    }

    /// What is out of range, in a sentence with value, unit and limit.
    pub fn problem(&self) -> Option<String> {
        let own = [
            ("reaction", self.reaction_s, 0.0, MOST_LATE_S, " s"),
            ("late feet", self.late_feet_s, 0.0, MOST_LATE_S, " s"),
            ("riding the brakes", self.rides_brakes, 0.0, 1.0, ""),
            ("over-correction", self.overcorrects, 0.2, 5.0, ""),
        ];
        let own = own.into_iter().find(|(_, v, low, high, _)| !(low..=high).contains(&v));
        let own = own
            .map(|(what, v, low, high, unit)| format!("pupil: {what} of {v}{unit} is outside {low} to {high}{unit}"));
        own.or_else(|| self.wobble.problem())
    }
}
