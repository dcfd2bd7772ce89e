//! `toeline debrief`: what a recorded drive shows, as text, JSON, CSV and one page.

use crate::args::DebriefArgs;
use crate::files;
use std::path::Path;
use toeline_engine::Plan;
use toeline_engine::job::Job;
use toeline_engine::planning::{Outcome, Way};
use toeline_training::debrief::{self, Debrief, Planned};
use toeline_training::pilot::drive_by_pilot;
use toeline_training::{Attempt, store};

/// The word that names the model pilot in place of a file.
const MODEL_PILOT: &str = "model-pilot";

/// 0 with nothing to work on, 1 with something.
pub(crate) fn run(args: &DebriefArgs) -> Result<u8, String> {
    let attempt = load(&args.attempt)?;
    let (plan, why) = match planned(&attempt, args.field.as_deref()) {
        Ok(plan) => (Some(plan), String::new()),
        Err(why) => (None, why),
    };
    // A map that was named has to be there; one that the record names may have gone.
    if args.field.is_some() && plan.is_none() {
        return Err(why);
    }
    let held = plan.as_ref().and_then(held_against);
    let name = name_of(&args.attempt);
    let drive = debrief::debrief(&attempt, &name, held, &why);
    let mut others = Vec::new();
    for other in &args.against {
        others.push(beside(other, held)?);
    }
    // Written before anything is said: a file that cannot be written is an error, not half an answer.
    if let Some(file) = &args.html {
        files::write_whole(file, &debrief::page(&drive, &others, &attempt.aircraft))?;
    }
    if let Some(file) = &args.csv {
        files::write_whole(file, &debrief::csv(&drive))?;
    }
    files::say(&if args.json {
        debrief::json(&drive, &others)
    } else {
        debrief::text(&drive, &others)
    });
    Ok(u8::from(drive.work_on().is_some()))
}

fn load(path: &Path) -> Result<Attempt, String> {
    store::load(path).map_err(|e| e.to_string())
}

fn name_of(path: &Path) -> String {
    path.file_name()
        .map_or(String::new(), |n| n.to_string_lossy().into_owned())
}

/// Plans again what the attempt was driven on.
fn planned(attempt: &Attempt, field: Option<&Path>) -> Result<Plan, String> {
    let job = attempt
        .job
        .as_ref()
        .ok_or("the attempt names no plan that it was driven on")?;
    let job: Job = serde_json::from_value(job.clone())
        .map_err(|e| format!("what the attempt says of its plan cannot be read: {e}"))?;
    let path = field.unwrap_or(Path::new(&job.field_file));
    let text = files::read_text(path)?;
    let plan = toeline_engine::plan(&text, &job.request.without_drives());
    let plan = plan.map_err(|e| format!("{}: {e}", path.display()))?;
    match &plan.outcome {
        Outcome::Way(_) => Ok(plan),
        Outcome::NoWay(_) => Err(format!(
            "{}: there is no longer a way as the attempt was driven; the map has changed since",
            path.display()
        )),
    }
}

fn held_against(plan: &Plan) -> Option<Planned<'_>> {
    match &plan.outcome {
        Outcome::Way(way) => Some(Planned { plan, way }),
        Outcome::NoWay(_) => None,
    }
}

/// Another drive, against the same plan.
fn beside(other: &Path, held: Option<Planned<'_>>) -> Result<Debrief, String> {
    if other.as_os_str() == MODEL_PILOT {
        let Some(Planned { plan, way }) = held else {
            return Err("--against model-pilot needs the map of the drive; give it with --field".to_string());
        };
        return Ok(model_pilot(plan, way));
    }
    let why = "the plan of the drive that it is held against is not at hand";
    Ok(debrief::debrief(&load(other)?, &name_of(other), held, why))
}

fn model_pilot(plan: &Plan, way: &Way) -> Debrief {
    let drive = drive_by_pilot(plan, way, serde_json::Value::Null);
    debrief::debrief(&drive.attempt, "the model pilot", Some(Planned { plan, way }), "")
}
