//! What an attempt is held against, found again from its job: a plan on its map, or a drill.

use crate::attempt::{Attempt, Environment};
use crate::drills::{self, Drill, DrillKind};
use crate::measures::Course;
use crate::pilot::{Pilot, PilotDrive, drive_among, drive_by_pilot};
use crate::surroundings;
use serde::Deserialize;
use serde_json::{Value, json};
use std::sync::Arc;
use toeline_dynamics::Faults;
use toeline_engine::Plan;
use toeline_engine::job::Job;
use toeline_engine::planning::{Outcome, Way, plan};
use toeline_model::Aircraft;

/// Farthest that an attempt may begin from its way, metres (ours): farther, it is another way.
const BEGINS_WITHIN_M: f64 = 2.0;

/// What an attempt is held against.
#[derive(Clone, Debug)]
pub struct Held {
    /// The way with all that is measured against it.
    pub course: Course,
    what: What,
}

#[derive(Clone, Debug)]
enum What {
    Plan(Box<(Plan, Way)>),
    Drill(Box<(Drill, Environment)>),
}

impl Held {
    /// What an attempt says that it was driven on. `map` gives the text of the map file that the job names.
    ///
    /// # Errors
    /// A sentence that says why there is nothing to hold it against.
    pub fn of(attempt: &Attempt, map: &mut dyn FnMut(&str) -> Result<String, String>) -> Result<Held, String> {
        let job = attempt.job.as_ref().filter(|j| !j.is_null());
        let job = job.ok_or("the attempt names no plan that it was driven on")?;
        let held = match job.get("toeline_drill") {
            Some(kind) => of_drill(kind, attempt)?,
            None => of_plan(job, map)?,
        };
        held.begun_where(attempt)
    }

    /// The drive begins at the way's beginning, or somewhere along it.
    fn begun_where(mut self, attempt: &Attempt) -> Result<Held, String> {
        let begins = attempt.track.first().ok_or("its track is empty")?.nose;
        let task = &mut self.course.task;
        let off_m = begins.distance(task.path.pose_at(task.from_m).nose);
        if off_m > BEGINS_WITHIN_M && !task.path.pieces.is_empty() {
            let along = task.path.nearest(begins, task.from_m, task.path.length_m());
            match along.filter(|a| a.1.abs() <= BEGINS_WITHIN_M) {
                Some((way_m, _)) => task.from_m = way_m,
                None => {
                    return Err(format!(
                        "it begins {off_m:.1} m from where its way begins (limit {BEGINS_WITHIN_M} m): the map or the planner has \
                         changed since"
                    ));
                }
            }
        }
        Ok(self)
    }

    /// The same way driven by the model pilot, with a sound aeroplane.
    pub fn model_pilot(&self, attempt: &Attempt) -> PilotDrive {
        match &self.what {
            What::Plan(planned) => {
                let (plan, way) = planned.as_ref();
                drive_by_pilot(plan, way, attempt.job.clone().unwrap_or_default())
            }
            What::Drill(drill) => {
                let (drill, environment) = drill.as_ref();
                let sound = Environment {
                    faults: Faults::default(),
                    ..*environment
                };
                drill_by_pilot(drill, &attempt.aircraft, sound)
            }
        }
    }
}

fn of_plan(job: &Value, map: &mut dyn FnMut(&str) -> Result<String, String>) -> Result<Held, String> {
    let job = Job::deserialize(job).map_err(|e| format!("what the attempt says of its plan cannot be read: {e}"))?;
    let text = map(&job.field_file)?;
    let found = plan(&text, &job.request.without_drives()).map_err(|e| format!("it cannot be planned again: {e}"))?;
    let Outcome::Way(way) = &found.outcome else {
        return Err("there is no longer a way as the attempt was driven; the map has changed since".to_string());
    };
    let way = way.as_ref().clone();
    Ok(Held {
        course: Course::of(&found, &way),
        what: What::Plan(Box::new((found, way))),
    })
}

fn of_drill(kind: &Value, attempt: &Attempt) -> Result<Held, String> {
    let kind = DrillKind::deserialize(kind).map_err(|e| format!("its drill is not known: {e}"))?;
    let environment = attempt.environment;
    let drill = drills::build(
        kind,
        &attempt.aircraft,
        environment.air.wind_from,
        environment.air.wind_mps,
    );
    if drill.path.pieces.is_empty() {
        return Err("its drill has no line to follow".to_string());
    }
    Ok(Held {
        course: Course::of_drill(&drill, &attempt.aircraft, &environment),
        what: What::Drill(Box::new((drill, environment))),
    })
}

/// A drill driven by the model pilot on its practice apron; what is touched there is noted.
pub fn drill_by_pilot(drill: &Drill, aircraft: &Aircraft, environment: Environment) -> PilotDrive {
    let course = Course::of_drill(drill, aircraft, &environment);
    let around = Arc::new(surroundings::on_field(&drill.field));
    let mut drive = drive_among(
        aircraft,
        environment,
        Some(around),
        Pilot::new(aircraft, course.task),
        Pilot::next,
        |_, _| {},
    );
    drive.attempt.job = Some(json!({ "toeline_drill": drill.kind }));
    drive
}
