//! After a drive: what was good, the one thing to work on next and what to practise for it, with every figure behind it, as
//! text, JSON, CSV and one page.

mod csv;
mod json;
mod page;
mod plot;
mod text;

pub use csv::csv;
pub use json::json;
pub use page::page;
pub use text::text;

use crate::attempt::Attempt;
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
    /// Speed intended at every sample, m/s; empty without a plan.
    pub intended_mps: Vec<f64>,
}

/// Step of the planned line in the picture, metres.
const LINE_STEP_M: f64 = 0.5;

/// Debriefs an attempt. Without a plan, `why_no_plan` says why the parts that need it are left out.
pub fn debrief(attempt: &Attempt, name: &str, planned: Option<Planned<'_>>, why_no_plan: &str) -> Debrief {
    let course = planned.map(|p| Course::of(p.plan, p.way));
    let mut found = against(attempt, name, course.as_ref());
    match planned {
        Some(p) => found.field = Some(p.plan.field.clone()),
        None => found.left_out.insert(
            0,
            format!("everything that is held against the planned way, and the map: {why_no_plan}"),
        ),
    }
    found
}

/// The same against a course: a bare path, or none.
pub fn against(attempt: &Attempt, name: &str, course: Option<&Course>) -> Debrief {
    let series = Series::of(attempt, course);
    let measures = measures::measures(attempt, course, &series);
    let planned_line = course.map_or_else(Vec::new, |c| {
        let steps = (c.task.path.length_m() / LINE_STEP_M).ceil() as usize;
        let place = |k: usize| c.task.path.pose_at(k as f64 * LINE_STEP_M).nose;
        (0..=steps).map(place).collect()
    });
    let intended_mps = course.map_or_else(Vec::new, |c| {
        series.samples.iter().map(|s| c.task.speed_at(s.way_m)).collect()
    });
    let left_out = series
        .no_replay
        .iter()
        .map(|why| format!("brake heat, engine speed and nose wheel: {why}"));
    Debrief {
        name: name.to_string(),
        aircraft: attempt.aircraft.id.clone(),
        time_s: series.samples.last().map_or(0.0, |s| s.time_s),
        rolled_m: series.samples.iter().map(|s| s.rolled_m).sum(),
        left_out: left_out.collect(),
        next: measures.iter().position(|m| m.judged == Judged::WorkOn),
        gaps: measures::gaps(attempt, course, &series),
        measures,
        planned_line,
        field: None,
        intended_mps,
        series,
    }
}

impl Debrief {
    /// The one thing to work on next; `None` when nothing was found.
    pub fn work_on(&self) -> Option<&Measure> {
        self.next.and_then(|i| self.measures.get(i))
    }

    /// Measures of a judgement.
    pub fn judged(&self, judged: Judged) -> impl Iterator<Item = &Measure> {
        self.measures.iter().filter(move |m| m.judged == judged)
    }
}
