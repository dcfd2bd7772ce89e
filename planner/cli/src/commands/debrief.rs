//! `toeline debrief`: what a recorded drive shows, as text, JSON, CSV and one page; how a pupil's drives went.

use super::{exercise, logbook};
use crate::args::DebriefArgs;
use crate::files;
use std::path::Path;
use toeline_training::debrief::{self, Debrief, Earlier, Held, Progress};
use toeline_training::exercise::{Conductor, Lesson, StageCame, tell};
use toeline_training::logbook::{Logbook, LogbookCause, Wanted};
use toeline_training::{Attempt, measures, store};

/// The word that names the model pilot in place of a file.
const MODEL_PILOT: &str = "model-pilot";

/// 0 with nothing to work on, 1 with something.
pub(crate) fn run(args: &DebriefArgs) -> Result<u8, String> {
    let attempt = load(&args.attempt)?;
    let (held, why) = match held(&attempt, args.field.as_deref()) {
        Ok(held) => (Some(held), String::new()),
        Err(why) => (None, why),
    };
    // A map that was named has to be there; one that the record names may have gone.
    if args.field.is_some() && held.is_none() {
        return Err(why);
    }
    // A drive of an exercise is held against the exercise's own way, which may go on along the runway.
    let (lesson, why) = match Lesson::of_attempt(&attempt, &mut |named| map(named, args.field.as_deref())) {
        Some(Ok(lesson)) => (Some(lesson), why),
        Some(Err(why)) => (None, why),
        None => (None, why),
    };
    let lesson_course = lesson.as_ref().map(Lesson::course);
    let course = lesson_course.as_ref().or(held.as_ref().map(|h| &h.course));
    let name = name_of(&args.attempt);
    let mut drive = debrief::against(&attempt, &name, course, &why);
    let stages = lesson
        .as_ref()
        .map(|lesson| (lesson, Conductor::over(lesson, &attempt)));
    if let Some((lesson, _)) = &stages {
        drive = drive.judging_only(&lesson.exercise.scored());
    }
    let mut others = Vec::new();
    for other in &args.against {
        others.push(beside(other, held.as_ref(), &attempt)?);
    }
    drive.progress = match &args.pupil {
        Some(pupil) => {
            let path = args.logbook.clone().map_or_else(logbook::usual_place, Ok)?;
            let book = logbook::there(&path)?;
            Some(of_pupil(&book, pupil, args.field.as_deref(), Some((&attempt, &drive)))?)
        }
        None => of_files(&drive, &others, &args.against),
    };
    // Written before anything is said: a file that cannot be written is an error, not half an answer.
    if let Some(file) = &args.html {
        files::write_whole(file, &debrief::page(&drive, &others, &attempt.aircraft))?;
    }
    if let Some(file) = &args.csv {
        files::write_whole(file, &debrief::csv(&drive))?;
    }
    let (mut said, mut missed) = (
        if args.json {
            debrief::json(&drive, &others)
        } else {
            debrief::text(&drive, &others)
        },
        false,
    );
    if let Some((lesson, came)) = &stages {
        missed = exercise::code(came) != 0;
        said = if args.json {
            with_stages(&said, lesson, came)?
        } else {
            format!("{}\n{said}", tell(&lesson.exercise, came))
        };
    }
    files::say(&said);
    Ok(u8::from(missed || drive.work_on().is_some()))
}

/// The JSON of a debrief with the stages of the exercise in it.
fn with_stages(json: &str, lesson: &Lesson, came: &[StageCame]) -> Result<String, String> {
    let mut value: serde_json::Value = serde_json::from_str(json).map_err(|e| e.to_string())?;
    value["exercise"] = serde_json::json!({ "id": lesson.exercise.id, "title": lesson.exercise.title, "stages": came });
    let text = serde_json::to_string_pretty(&value).map_err(|e| e.to_string())?;
    Ok(text + "\n")
}

fn load(path: &Path) -> Result<Attempt, String> {
    store::load(path).map_err(|e| e.to_string())
}

fn name_of(path: &Path) -> String {
    path.file_name()
        .map_or(String::new(), |n| n.to_string_lossy().into_owned())
}

/// What an attempt is held against: planned again on the map that it names, or on another file.
fn held(attempt: &Attempt, field: Option<&Path>) -> Result<Held, String> {
    Held::of(attempt, &mut |named| map(named, field))
}

/// Text of the map that an attempt names, or of another file; a built-in field needs none.
fn map(named: &str, field: Option<&Path>) -> Result<String, String> {
    field.map_or_else(|| exercise::map_text(named), files::read_text)
}

/// Another drive, against the same way.
fn beside(other: &Path, held: Option<&Held>, attempt: &Attempt) -> Result<Debrief, String> {
    if other.as_os_str() == MODEL_PILOT {
        let Some(held) = held else {
            return Err("--against model-pilot needs the map of the drive; give it with --field".to_string());
        };
        let drive = held.model_pilot(attempt);
        return Ok(debrief::against(
            &drive.attempt,
            "the model pilot",
            Some(&held.course),
            "",
        ));
    }
    let why = "the plan of the drive that it is held against is not at hand";
    Ok(debrief::against(
        &load(other)?,
        &name_of(other),
        held.map(|h| &h.course),
        why,
    ))
}

fn earlier(d: &Debrief) -> Earlier {
    Earlier {
        name: d.name.clone(),
        measures: d.measures.clone(),
    }
}

/// Progress over the files that were given beside the drive, in that order; nothing without any.
fn of_files(drive: &Debrief, others: &[Debrief], names: &[std::path::PathBuf]) -> Option<Progress> {
    let files = others.iter().zip(names).filter(|(_, n)| n.as_os_str() != MODEL_PILOT);
    let mut list: Vec<Earlier> = files.map(|(d, _)| earlier(d)).collect();
    if list.is_empty() {
        return None;
    }
    list.push(earlier(drive));
    Some(debrief::progress(&list))
}

/// Progress over a pupil's attempts in the logbook, oldest first; the drive that is debriefed comes last where it is not among
/// them. Attempts of which the logbook has only the figures cannot be measured.
pub(crate) fn of_pupil(
    book: &Logbook,
    pupil: &str,
    field: Option<&Path>,
    drive: Option<(&Attempt, &Debrief)>,
) -> Result<Progress, String> {
    let wanted = Wanted {
        pupil: Some(pupil.to_string()),
        most: None,
    };
    let mut list = Vec::new();
    let mut among = false;
    let entries = book.list(&wanted).map_err(|e| e.to_string())?;
    for entry in entries.iter().rev() {
        let attempt = match book.attempt(&entry.id) {
            Ok(attempt) => attempt,
            Err(e) if matches!(e.cause, LogbookCause::OnlyFigures(_)) => continue,
            Err(e) => return Err(e.to_string()),
        };
        among |= drive.is_some_and(|(a, _)| *a == attempt);
        let course = held(&attempt, field).ok().map(|h| h.course);
        let series = measures::Series::of(&attempt, course.as_ref());
        list.push(Earlier {
            name: [
                Some(logbook::minute(entry.when)),
                entry.exercise.clone(),
                entry.plan.clone(),
            ]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(", "),
            measures: measures::measure(&attempt, course.as_ref(), &series).measures,
        });
    }
    if let (Some((_, d)), false) = (drive, among) {
        list.push(earlier(d));
    }
    if list.is_empty() {
        return Err(format!(
            "the logbook has no drive of \"{}\" that can be measured",
            pupil.trim()
        ));
    }
    Ok(debrief::progress(&list))
}
