//! After a drive: what was good, the one thing to work on next and what to practise for it, with every figure behind it, as
//! text, JSON, CSV and one page.

mod csv;
mod held;
mod json;
mod page;
mod plot;
mod progress;
mod text;

pub use csv::csv;
pub use held::{Held, drill_by_pilot};
pub use json::json;
pub use page::page;
pub use progress::{Earlier, Progress, Row, progress};
pub use text::{progress_text, text};

use crate::attempt::Attempt;
use crate::exercise::{Came, StageCame};
use crate::measures::{self, Course, Judged, Measure, Series};
use toeline_engine::Plan;
use toeline_engine::planning::Way;
use toeline_model::{Airfield, Xy};

/// The plan that a drive is held against.
#[derive(Clone, Copy, Debug)]
pub struct Planned<'a> {
    /// The plan, with the field.
    pub plan: &'a Plan,
    /// Its way.
    pub way: &'a Way,
}

/// A drive, debriefed.
#[derive(Clone, Debug)]
pub struct Debrief {
    /// What it is called: the file's name.
    pub name: String,
    /// The aeroplane's id.
    pub aircraft: String,
    /// Length of the drive, seconds.
    pub time_s: f64,
    /// Way rolled, metres.
    pub rolled_m: f64,
    /// Parts that are left out, with the reason.
    pub left_out: Vec<String>,
    /// Every measure, in the order in which they are worked on.
    pub measures: Vec<Measure>,
    /// Index of the measure to work on next.
    pub next: Option<usize>,
    /// The drive, sample by sample.
    pub series: Series,
    /// Least gap at every sample, metres.
    pub gaps: Vec<Option<f64>>,
    /// The planned way of the nose wheel, local metres; empty without a plan.
    pub planned_line: Vec<Xy>,
    /// The field, for the picture.
    pub field: Option<Airfield>,
    /// Speed intended at every sample, m/s; `None` on runways; empty without a plan.
    pub intended_mps: Vec<Option<f64>>,
    /// Name and ways of each leg, metres; empty without a plan.
    pub legs: Vec<(String, f64, f64)>,
    /// What came of the stages, when the drive was an exercise and somebody has followed it.
    pub stages: Vec<StageCame>,
    /// How the measures went over earlier drives and this one, where any were given.
    pub progress: Option<Progress>,
}

/// Step of the planned line in the picture, metres.
const LINE_STEP_M: f64 = 0.5;

/// Debriefs an attempt against a plan's way. Without a plan, `why_no_plan` says why the parts that need it are left out.
pub fn debrief(attempt: &Attempt, name: &str, planned: Option<Planned<'_>>, why_no_plan: &str) -> Debrief {
    let course = planned.map(|p| Course::of(p.plan, p.way));
    against(attempt, name, course.as_ref(), why_no_plan)
}

/// The same against a course. Without one, `why_none` says why the parts that need it are left out.
pub fn against(attempt: &Attempt, name: &str, course: Option<&Course>, why_none: &str) -> Debrief {
    let series = Series::of(attempt, course);
    let measured = measures::measure(attempt, course, &series);
    let planned_line = course.map_or_else(Vec::new, |c| {
        let steps = (c.task.path.length_m() / LINE_STEP_M).ceil() as usize;
        let place = |k: usize| c.task.path.pose_at(k as f64 * LINE_STEP_M).nose;
        (0..=steps).map(place).collect()
    });
    let intended_mps = course.map_or_else(Vec::new, |c| {
        let intended = series.samples.iter();
        intended
            .map(|s| (!s.on_runway).then(|| c.task.speed_at(s.way_m)))
            .collect()
    });
    let mut left_out = Vec::new();
    if course.is_none() {
        left_out.push(format!(
            "everything that is held against the planned way, and the map: {why_none}"
        ));
    }
    let replay = series.no_replay.iter();
    left_out.extend(replay.map(|why| format!("brake heat, engine speed, nose wheel and heading instruments: {why}")));
    let measures = measured.measures;
    Debrief {
        name: name.to_string(),
        aircraft: attempt.aircraft.id.clone(),
        time_s: series.samples.last().map_or(0.0, |s| s.time_s),
        rolled_m: series.samples.iter().map(|s| s.rolled_m).sum(),
        left_out,
        next: first_to_work_on(&measures),
        gaps: measured.gaps_m,
        measures,
        planned_line,
        field: course.and_then(|c| c.field.clone()),
        intended_mps,
        legs: course.map_or_else(Vec::new, |c| c.legs.clone()),
        stages: Vec::new(),
        progress: None,
        series,
    }
}

fn first_to_work_on(measures: &[Measure]) -> Option<usize> {
    measures.iter().position(|m| m.judged == Judged::WorkOn)
}

impl Debrief {
    /// Credit that the map's data must be given, where the picture of the drive is.
    pub fn attribution(&self) -> Option<&str> {
        self.field.as_ref()?.attribution.as_deref()
    }

    /// The one thing to work on next; `None` when nothing was found.
    pub fn work_on(&self) -> Option<&Measure> {
        self.next.and_then(|i| self.measures.get(i))
    }

    /// The stage to do again when no measure has anything to work on: the first that was not done within its limits.
    pub fn stage_again(&self) -> Option<&StageCame> {
        let missed = |s: &&StageCame| s.came != Came::Done;
        self.stages.iter().find(missed).filter(|_| self.next.is_none())
    }

    /// Measures of a judgement.
    pub fn judged(&self, judged: Judged) -> impl Iterator<Item = &Measure> {
        self.measures.iter().filter(move |m| m.judged == judged)
    }

    /// The same judged only by some measures, by their keys: of the others everything is told and nothing judged.
    #[must_use]
    pub fn judging_only(mut self, keys: &[&str]) -> Debrief {
        for m in &mut self.measures {
            let judged = matches!(m.judged, Judged::Good | Judged::WorkOn);
            if judged && !keys.contains(&m.key) {
                m.judged = Judged::Told;
            }
        }
        self.next = first_to_work_on(&self.measures);
        self
    }
}
