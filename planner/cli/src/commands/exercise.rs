//! `toeline exercise`: list, show, check and drive exercises.

use crate::args::{ExerciseArgs, ExerciseCommand};
use crate::{files, wish};
use std::ffi::OsString;
use std::path::Path;
use toeline_training::exercise::{
    self, Came, Exercise, Hour, Lesson, LessonDrive, Moment, Place, StageCame, build, drive_by_model_pilot,
    drive_by_script, find,
};
use toeline_training::store;

/// 0 done, or every stage done; 1 a stage that was not; 2 no answer.
pub(crate) fn run(args: &ExerciseArgs) -> Result<u8, String> {
    match args.what.as_ref().unwrap_or(&ExerciseCommand::List) {
        ExerciseCommand::List => {
            files::say(&list());
            Ok(0)
        }
        ExerciseCommand::Show { name, json } => {
            let exercise = named(name)?;
            files::say(&if *json { exercise.to_json() } else { show(&exercise) });
            Ok(0)
        }
        ExerciseCommand::Check { file } => {
            let exercise = from_file(file)?;
            let aircraft = wish::aircraft(&exercise.aircraft)?;
            lesson(&exercise, &aircraft).map_err(|e| format!("exercise file {}: {e}", file.display()))?;
            files::say(&format!(
                "{}: sound: {} ({}), {} stages, drivable with {}\n",
                file.display(),
                exercise.title,
                exercise.id,
                exercise.stages.len(),
                aircraft.id
            ));
            Ok(0)
        }
        ExerciseCommand::Drive {
            name,
            aircraft: asked,
            script,
            model_pilot,
            record,
            pupil,
            logbook,
            json,
        } => {
            let exercise = named(name)?;
            let aircraft = wish::aircraft(asked.as_ref().unwrap_or(&exercise.aircraft))?;
            let lesson = lesson(&exercise, &aircraft)?;
            let drive = match script {
                Some(script) => by_script(&lesson, script)?,
                None if *model_pilot => drive_by_model_pilot(&lesson),
                None if *json => {
                    return Err("--json tells of a drive without a window: give --script FILE or --model-pilot".into());
                }
                None => {
                    let mut given: Vec<OsString> = vec!["--exercise".into(), name.into()];
                    if let Some(asked) = asked {
                        given.extend(["--aircraft".into(), asked.into()]);
                    }
                    return super::drive::in_sandbox(given, record.as_ref(), (pupil.as_ref(), logbook.as_ref()));
                }
            };
            if let Some(record) = record {
                store::save(record, &drive.attempt).map_err(|e| e.to_string())?;
            }
            tell(&lesson, &drive, record.as_deref(), *json)
        }
    }
}

fn by_script(lesson: &Lesson, script: &Path) -> Result<LessonDrive, String> {
    drive_by_script(lesson, &files::read_text(script)?).map_err(|problems| {
        let list: Vec<String> = problems.iter().map(|p| format!("\n  {p}")).collect();
        format!("script {} cannot be driven:{}", script.display(), list.concat())
    })
}

fn tell(lesson: &Lesson, drive: &LessonDrive, record: Option<&Path>, json: bool) -> Result<u8, String> {
    if json {
        let value = serde_json::json!({
            "exercise": lesson.exercise.id,
            "aircraft": lesson.aircraft.id,
            "time_s": drive.attempt.duration_s(),
            "gave_up": drive.gave_up,
            "stages": drive.came,
        });
        let text = serde_json::to_string_pretty(&value).map_err(|e| e.to_string())?;
        files::say(&(text + "\n"));
    } else {
        files::say(&exercise::tell(&lesson.exercise, &drive.came));
        if let Some(why) = &drive.gave_up {
            files::say(&format!("the model pilot gave up: {why}\n"));
        }
        if let Some(record) = record {
            files::say(&format!(
                "drove {:.1} s; recorded in {}; `toeline debrief {}` tells more\n",
                drive.attempt.duration_s(),
                record.display(),
                record.display()
            ));
        }
    }
    Ok(code(&drive.came))
}

/// 0 when every stage was done within its limits.
pub(crate) fn code(came: &[StageCame]) -> u8 {
    u8::from(came.iter().any(|c| c.came != Came::Done))
}

/// Text of a map: a built-in field's by its name, otherwise a file's.
pub(crate) fn map_text(name: &str) -> Result<String, String> {
    match exercise::built_in_field(name) {
        Some(text) => Ok(text.to_string()),
        None => files::read_text(Path::new(name)),
    }
}

fn lesson(exercise: &Exercise, aircraft: &toeline_model::Aircraft) -> Result<Lesson, String> {
    build(exercise, aircraft, &mut map_text).map_err(|e| format!("{}: {e}", exercise.id))
}

/// A built-in exercise by its id, or a file.
fn named(name: &str) -> Result<Exercise, String> {
    if let Some(found) = find(name) {
        return Ok(found);
    }
    let path = Path::new(name);
    if path.exists() || name.contains(['/', '\\', '.']) {
        return from_file(path);
    }
    let mut near: Vec<(i64, String)> = exercise::ids()
        .into_iter()
        .map(|id| ((strsim::jaro_winkler(name, &id) * 1000.0).round() as i64, id))
        .collect();
    near.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    let list: Vec<String> = near.into_iter().map(|n| n.1).collect();
    Err(format!(
        "no exercise \"{name}\": no file of that name, and the built-in ones are, nearest first: {}",
        list.join(", ")
    ))
}

fn from_file(path: &Path) -> Result<Exercise, String> {
    let mut exercise = Exercise::from_json(&files::read_text(path)?).map_err(|problems| {
        let list: Vec<String> = problems.iter().map(|p| format!("\n  {p}")).collect();
        format!("exercise file {} cannot be used:{}", path.display(), list.concat())
    })?;
    // A map that it names lies in this folder or beside it; the record names the whole path, so that it can be debriefed from
    // anywhere.
    if let Place::Journey(journey) = &mut exercise.place
        && exercise::built_in_field(&journey.field).is_none()
    {
        let here = Path::new(&journey.field);
        let beside = path.with_file_name(here);
        let found = [here, beside.as_path()].into_iter().find_map(|p| p.canonicalize().ok());
        if let Some(found) = found {
            journey.field = found.display().to_string();
        }
    }
    Ok(exercise)
}

fn list() -> String {
    let mut text = format!("{:<24} {:<46} {}\n", "name", "exercise", "stages");
    for e in exercise::all() {
        text += &format!("{:<24} {:<46} {:>6}\n", e.id, e.title, e.stages.len());
    }
    text + "In rising difficulty; `toeline exercise show NAME` tells what each teaches.\n"
}

fn show(e: &Exercise) -> String {
    let mut text = format!("{} ({})\n", e.title, e.id);
    for sentence in &e.teaches {
        text += &format!("  {sentence}\n");
    }
    if !e.after.is_empty() {
        text += &format!("comes after: {}\n", e.after.join(", "));
    }
    text += &format!("where: {}\n", place(&e.place));
    let hour = match e.hour {
        Hour::Day => "by day",
        Hour::Dusk => "at dusk",
        Hour::Night => "at night",
    };
    text += &format!(
        "with: {} unless another is chosen; wind {}; {hour}\n",
        e.aircraft,
        String::from(e.wind)
    );
    for b in &e.faults {
        text += &format!("breaks {}\n", moment(&b.from));
    }
    text += "stages:\n";
    for (k, stage) in e.stages.iter().enumerate() {
        text += &format!("  {:>2}. {}: {}\n", k + 1, stage.title, stage.prompt);
        let ends: Vec<String> = stage.until.iter().map(exercise::Until::words).collect();
        text += &format!("      done when: {}\n", ends.join("; "));
    }
    text + &format!("judged: {}\n", e.scored.join(", "))
}

fn place(place: &Place) -> String {
    match place {
        Place::Drill { drill } => format!("practice apron, {}", drill.name()),
        Place::Journey(j) => {
            let via: Vec<String> = j.via.iter().map(|v| format!(" by {v}")).collect();
            format!("{}, from {}{} to {}", j.field, j.from, via.concat(), j.to)
        }
    }
}

fn moment(from: &Moment) -> String {
    if from.is_start() {
        return "from the start".to_string();
    }
    let mut parts = Vec::new();
    if let Some(stage) = from.stage {
        parts.push(format!("in stage {stage}"));
    }
    if let Some(m) = from.way_m {
        parts.push(format!("{m} m along"));
    }
    if let Some(kt) = from.kt {
        parts.push(format!("at {kt} kt"));
    }
    parts.join(", ")
}
