//! `toeline debrief`: what a recorded drive shows, as text, JSON, CSV and one page; how a pupil's drives went.

use super::{exercise, logbook};
use crate::args::DebriefArgs;
use crate::files;
use std::path::Path;
use toeline_training::debrief::{self, Debrief, Earlier, Held, Progress};
use toeline_training::exercise::{Conductor, Lesson, StageCame, drive_by_model_pilot, tell};
use toeline_training::logbook::{Logbook, LogbookCause, Wanted};
use toeline_training::measures::Course;
use toeline_training::{Attempt, store};

/// The word that names the model pilot in place of a file.
const MODEL_PILOT: &str = "model-pilot";

/// A drive with what it was held against.
struct Done {
    drive: Debrief,
    held: Result<Held, String>,
    lesson: Option<Lesson>,
    course: Option<Course>,
}

/// Debriefs an attempt against its own way. One of an exercise is held against the exercise's way, which may go on along the
/// runway, and judged only by what that scores.
fn debriefed(attempt: &Attempt, name: &str, field: Option<&Path>) -> Done {
    let held = Held::of(attempt, &mut |named| map(named, field));
    let mut why = held.as_ref().err().cloned().unwrap_or_default();
    let lesson = match Lesson::of_attempt(attempt, &mut |named| map(named, field)) {
        Some(Ok(lesson)) => Some(lesson),
        Some(Err(cause)) => {
            why = cause;
            None
        }
        None => None,
    };
    let course = lesson
        .as_ref()
        .map(Lesson::course)
        .or(held.as_ref().ok().map(|h| h.course.clone()));
    let mut drive = debrief::against(attempt, name, course.as_ref(), &why);
    if let Some(lesson) = &lesson {
        drive = drive.judging_only(&lesson.exercise.scored());
    }
    Done {
        drive,
        held,
        lesson,
        course,
    }
}

/// 0 with nothing to work on, 1 with something.
pub(crate) fn run(args: &DebriefArgs) -> Result<u8, String> {
    let attempt = load(&args.attempt)?;
    let Done {
        mut drive,
        held,
        lesson,
        course,
    } = debriefed(&attempt, &name_of(&args.attempt), args.field.as_deref());
    // A map that was named has to be there; one that the record names may have gone.
    let held = match held {
        Ok(held) => Some(held),
        Err(why) if args.field.is_some() => return Err(why),
        Err(_) => None,
    };
    let stages = lesson
        .as_ref()
        .map(|lesson| (lesson, Conductor::over(lesson, &attempt)));
    if let Some((_, came)) = &stages {
        drive.stages.clone_from(came);
    }
    let mut others = Vec::new();
    for other in &args.against {
        others.push(beside(
            other,
            held.as_ref(),
            lesson.as_ref(),
            course.as_ref(),
            &attempt,
        )?);
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
        files::write_whole(file, debrief::page(&drive, &others, &attempt.aircraft))?;
    }
    if let Some(file) = &args.csv {
        files::write_whole(file, debrief::csv(&drive))?;
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

/// Text of the map that an attempt names, or of another file; a built-in field needs none.
fn map(named: &str, field: Option<&Path>) -> Result<String, String> {
    field.map_or_else(|| exercise::map_text(named), files::read_text)
}

/// Another drive, against the same way.
fn beside(
    other: &Path,
    held: Option<&Held>,
    lesson: Option<&Lesson>,
    course: Option<&Course>,
    attempt: &Attempt,
) -> Result<Debrief, String> {
    let scored = lesson.map(|l| l.exercise.scored());
    let judged = |drive: Debrief| match &scored {
        Some(keys) => drive.judging_only(keys),
        None => drive,
    };
    if other.as_os_str() == MODEL_PILOT {
        if let Some(lesson) = lesson {
            // An exercise has its own start and stops, and may go on along the runway.
            let drive = drive_by_model_pilot(lesson);
            let told = debrief::against(&drive.attempt, "the model pilot", Some(&lesson.course()), "");
            return Ok(judged(told));
        }
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
    Ok(judged(debrief::against(&load(other)?, &name_of(other), course, why)))
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
        let words = [
            Some(logbook::minute(entry.when)),
            entry.exercise.clone(),
            entry.plan.clone(),
        ];
        let name = words.into_iter().flatten().collect::<Vec<_>>().join(", ");
        list.push(earlier(&debriefed(&attempt, &name, field).drive));
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
