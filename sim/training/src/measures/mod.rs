//! Figures and judgements of a drive, each with the reference that it is judged by. No sums of them and no single figure:
//! a debrief says what was good and the one thing to work on.
//!
//! | file | what it holds |
//! |---|---|
//! | `course` | the way that was to be driven |
//! | `series` | the drive, sample by sample |
//! | `stats` | statistics along the way |
//! | `keeping` | nose wheel and path, weave |
//! | `pace` | speed, power against brake |
//! | `feet` | brakes, steering before brake, stops, brake check |
//! | `hands` | yoke and wind |
//! | `room` | things touched, lines, pavement, gaps |
//! | `noted` | looks, switches, the radio, verdicts: what the program noted of them |
//! | `looks`, `lights`, `radio` | looking out, lights, permission and read-back |
//! | `engine_check`, `headings`, `panel` | engine check read and judged, heading instruments |
//! | `runways`, `roll` | when it was on a runway, the take-off roll |
//! | `sun` | how high the sun stands |

mod course;
mod engine_check;
mod feet;
mod hands;
mod headings;
mod keeping;
mod lights;
mod looks;
mod noted;
mod pace;
mod panel;
mod radio;
mod roll;
mod room;
mod runways;
mod series;
pub mod stats;
pub mod sun;

pub(crate) use engine_check::check_throttle;

pub use course::{Bend, Course, Line, PlannedCheck};
pub use panel::Headings;
pub use runways::Strip;
pub use series::{Felt, Sample, Series};

use crate::attempt::Attempt;
use serde::Serialize;

/// What a measure is judged by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Source {
    /// Published practice, named.
    Published,
    /// Common practice of the trade, no source.
    Common,
    /// Ours.
    Ours,
}

/// What came of a measure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Judged {
    /// As it should be.
    Good,
    /// Told, not judged.
    Told,
    /// To work on.
    WorkOn,
    /// Cannot be said of this drive; the sentence says why.
    LeftOut,
    /// The attempt does not hold what it takes.
    NotRecorded,
}

/// A number of a measure.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// Name, with its unit at the end.
    pub name: &'static str,
    /// Value.
    pub value: f64,
}

/// Where something happened.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Spot {
    /// Seconds since the start.
    pub time_s: f64,
    /// Way along the path, metres.
    pub way_m: f64,
    /// What.
    pub text: String,
}

/// One measure of a drive.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measure {
    /// Name that does not change, for programs.
    pub key: &'static str,
    /// Name for people.
    pub title: &'static str,
    /// What came of it.
    pub judged: Judged,
    /// What was seen, in a sentence.
    pub sentence: String,
    /// Figures.
    pub figures: Vec<Figure>,
    /// Where, in order.
    pub spots: Vec<Spot>,
    /// Whose rule it is.
    pub source: Source,
    /// The rule, and where it is from.
    pub reference: &'static str,
    /// What to practise when it is to be worked on.
    pub practise: &'static str,
    /// Id of the exercise of the course that it is practised in; `None` where there is none for it.
    pub exercise: Option<&'static str>,
}

/// What a measure is, before anything is measured.
pub(crate) struct Kind {
    pub(crate) key: &'static str,
    pub(crate) title: &'static str,
    pub(crate) source: Source,
    pub(crate) reference: &'static str,
    pub(crate) practise: &'static str,
    pub(crate) exercise: Option<&'static str>,
}

impl Kind {
    pub(crate) fn found(&self, judged: Judged, sentence: impl Into<String>) -> Measure {
        Measure {
            key: self.key,
            title: self.title,
            judged,
            sentence: sentence.into(),
            figures: Vec::new(),
            spots: Vec::new(),
            source: self.source,
            reference: self.reference,
            practise: self.practise,
            exercise: self.exercise,
        }
    }

    pub(crate) fn judged(&self, good: bool, sentence: impl Into<String>) -> Measure {
        self.found(if good { Judged::Good } else { Judged::WorkOn }, sentence)
    }

    pub(crate) fn not_recorded(&self, what: &str) -> Measure {
        self.found(
            Judged::NotRecorded,
            format!("not recorded: this attempt does not tell {what}"),
        )
    }

    pub(crate) fn left_out(&self, why: impl Into<String>) -> Measure {
        self.found(Judged::LeftOut, why)
    }
}

impl Measure {
    pub(crate) fn figure(mut self, name: &'static str, value: f64) -> Measure {
        self.figures.push(Figure { name, value });
        self
    }

    pub(crate) fn at(mut self, sample: &Sample, text: impl Into<String>) -> Measure {
        self.spots.push(Spot {
            time_s: sample.time_s,
            way_m: sample.way_m,
            text: text.into(),
        });
        self
    }

    /// A figure by its name.
    pub fn value(&self, name: &str) -> Option<f64> {
        self.figures.iter().find(|f| f.name == name).map(|f| f.value)
    }
}

/// What the measures look at.
pub(crate) struct Drive<'a> {
    pub(crate) attempt: &'a Attempt,
    pub(crate) course: Option<&'a Course>,
    pub(crate) series: &'a Series,
}

/// What cannot be measured without a course.
pub(crate) const NO_COURSE: &str = "left out: without the planned way it cannot be said";

/// Way that has to be rolled before rolling well can be said, metres (ours).
pub(crate) const LEAST_ROLL_M: f64 = 5.0;

/// So many times, in words.
pub(crate) fn times(n: usize) -> String {
    match n {
        1 => "once".to_string(),
        2 => "twice".to_string(),
        n => format!("{n} times"),
    }
}

/// Most spots that one measure names.
pub(crate) const MOST_SPOTS: usize = 8;

/// A drive, measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Every measure, in the order in which things are worked on: what breaks an aeroplane first.
    pub measures: Vec<Measure>,
    /// Least gap to anything that stands around at every sample, metres; `None` beyond 20 m and without a course.
    pub gaps_m: Vec<Option<f64>>,
}

/// Measures a drive.
pub fn measure(attempt: &Attempt, course: Option<&Course>, series: &Series) -> Measured {
    let drive = &Drive {
        attempt,
        course,
        series,
    };
    let gaps = room::gaps(drive);
    let measures = vec![
        room::touched(drive),
        room::ended(drive),
        radio::permission(drive),
        room::hold_lines(drive),
        engine_check::readings(drive),
        room::pavement(drive),
        room::gap(drive, &gaps),
        feet::locked(drive),
        roll::roll(drive),
        pace::stopping_distance(drive),
        pace::place(drive),
        pace::power_against_brake(drive),
        feet::steering_first(drive),
        feet::brake_use(drive),
        feet::heat(drive),
        hands::yoke_to_steer(drive),
        keeping::path(drive),
        keeping::steady(drive),
        keeping::weave(drive),
        feet::straight_stops(drive),
        hands::wind(drive),
        looks::both_ways(drive),
        looks::approach(drive),
        feet::brake_check(drive),
        hands::into_wind(drive),
        lights::lights(drive),
        radio::read_back(drive),
        headings::headings(drive),
        hands::free(drive),
    ];
    Measured {
        measures,
        gaps_m: gaps.into_iter().map(|g| g.map(|g| g.gap_m)).collect(),
    }
}
