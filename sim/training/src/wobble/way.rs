//! The driven path that an attempt was to follow, found again from its job.

use crate::attempt::Attempt;
use crate::drills::{self, DrillKind};
use crate::exercise::Lesson;
use crate::journey::first_driven_m;
use serde::Deserialize;
use serde_json::Value;
use toeline_engine::job::Job;
use toeline_engine::planning::{Outcome, plan};
use toeline_model::DrivenPath;

/// Farthest that an attempt may begin from where its way begins, metres (ours): farther, it is not that way.
const BEGINS_WITHIN_M: f64 = 2.0;

/// A way that was to be followed.
#[derive(Clone, Debug, PartialEq)]
pub struct WhichWay {
    /// The driven path.
    pub path: DrivenPath,
    /// Way at which the driving begins, metres.
    pub from_m: f64,
}

/// Ways found so far; the same job is planned once.
#[derive(Clone, Debug, Default)]
pub struct Ways(Vec<(Value, Result<WhichWay, String>)>);

impl Ways {
    /// The way of an attempt; `map` gives the text of a map file.
    ///
    /// # Errors
    /// A sentence that says why it has none.
    pub fn of(
        &mut self,
        attempt: &Attempt,
        map: &mut dyn FnMut(&str) -> Result<String, String>,
    ) -> Result<WhichWay, String> {
        let job = attempt
            .job
            .as_ref()
            .ok_or("it holds no job, so that the way it was to follow is not known")?;
        let drill = job.get("toeline_drill");
        let way = if job.get("exercise").is_some() {
            // An exercise may begin along its way, and goes on along the runway where it says so.
            match self.0.iter().find(|(j, _)| j == job) {
                Some((_, known)) => known.clone()?,
                None => {
                    let found = of_exercise(attempt, map);
                    self.0.push((job.clone(), found.clone()));
                    found?
                }
            }
        } else if let Some(kind) = drill {
            // A drill's line depends on aeroplane and wind too, and costs nothing to draw.
            of_drill(kind, attempt)?
        } else if let Some((_, known)) = self.0.iter().find(|(j, _)| j == job) {
            known.clone()?
        } else {
            let found = of_job(job, map);
            self.0.push((job.clone(), found.clone()));
            found?
        };
        let begins = attempt.track.first().ok_or("its track is empty")?.nose;
        let off = begins.distance(way.path.pose_at(way.from_m).nose);
        if off > BEGINS_WITHIN_M {
            return Err(format!(
                "it begins {off:.1} m from where the way of its job begins (limit {BEGINS_WITHIN_M} m): the map or the planner has \
                 changed since"
            ));
        }
        Ok(way)
    }
}

fn of_exercise(attempt: &Attempt, map: &mut dyn FnMut(&str) -> Result<String, String>) -> Result<WhichWay, String> {
    let lesson = Lesson::of_attempt(attempt, map).ok_or("its job names no exercise")??;
    if lesson.task.path.pieces.is_empty() {
        return Err("its exercise has no line to follow".to_string());
    }
    Ok(WhichWay {
        from_m: lesson.task.from_m,
        path: lesson.task.path,
    })
}

fn of_drill(kind: &Value, attempt: &Attempt) -> Result<WhichWay, String> {
    let kind = DrillKind::deserialize(kind).map_err(|e| format!("its drill is not known: {e}"))?;
    let air = &attempt.environment.air;
    let path = drills::build(kind, &attempt.aircraft, air.wind_from, air.wind_mps).path;
    if path.pieces.is_empty() {
        return Err("its drill has no line to follow".to_string());
    }
    Ok(WhichWay { from_m: 0.0, path })
}

fn of_job(job: &Value, map: &mut dyn FnMut(&str) -> Result<String, String>) -> Result<WhichWay, String> {
    let job = Job::deserialize(job).map_err(|e| format!("its job cannot be read: {e}"))?;
    let text = map(&job.field_file)?;
    let plan =
        plan(&text, &job.request.without_drives()).map_err(|e| format!("its way cannot be planned again: {e}"))?;
    match plan.outcome {
        Outcome::Way(way) => Ok(WhichWay {
            from_m: first_driven_m(&way.route.path),
            path: way.route.path,
        }),
        Outcome::NoWay(_) => Err("its way cannot be planned again: there is none on that map".to_string()),
    }
}
