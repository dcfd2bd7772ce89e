//! `toeline logbook`: pupils and their attempts in one file on this machine.

use crate::args::{LogbookArgs, LogbookCommand};
use crate::files;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use toeline_training::logbook::{About, Added, Entry, Figure, Imported, Logbook, Wanted, When};

/// 0 done, 1 a finding (`check` found something wrong), 2 could not.
pub(crate) fn run(args: &LogbookArgs) -> Result<u8, String> {
    let path = args.logbook.clone().map_or_else(usual_place, Ok)?;
    let told = Told { json: args.json };
    match &args.what {
        LogbookCommand::Add {
            attempts,
            pupil,
            when,
            exercise,
        } => {
            let when = when.as_deref().map(When::parse).transpose()?;
            add(&path, told, attempts, pupil, when, exercise.as_deref())?;
        }
        LogbookCommand::Import { file } => import(&path, told, file)?,
        LogbookCommand::Check => return check(&path, told),
        LogbookCommand::Rename { pupil, new } => {
            there(&path)?.rename(pupil, new).map_err(say)?;
            told.say(json!({ "renamed": pupil.trim(), "to": new.trim() }), || {
                format!("\"{}\" is now \"{}\"\n", pupil.trim(), new.trim())
            });
        }
        LogbookCommand::Forget { pupil, really } => forget(&path, told, pupil, *really)?,
        other => look(&there(&path)?, told, other)?,
    }
    Ok(0)
}

/// How it is told.
#[derive(Clone, Copy)]
struct Told {
    json: bool,
}

impl Told {
    fn say(self, json: impl serde::Serialize, text: impl FnOnce() -> String) {
        if self.json {
            // Plain data always serialises.
            let text = serde_json::to_string_pretty(&json).unwrap_or_default();
            files::say(&(text + "\n"));
        } else {
            files::say(&text());
        }
    }
}

fn say(e: impl std::fmt::Display) -> String {
    e.to_string()
}

/// This system's folder for a program's data.
pub(super) fn usual_place() -> Result<PathBuf, String> {
    toeline_training::logbook::usual_place()
        .ok_or_else(|| "this system names no folder for data of yours; give --logbook FILE".to_string())
}

/// The logbook, which must be there.
pub(super) fn there(path: &Path) -> Result<Logbook, String> {
    if !path.exists() {
        return Err(format!(
            "{}: no logbook yet; `toeline logbook add ATTEMPT --pupil PUPIL` begins one",
            path.display()
        ));
    }
    Logbook::open_existing(path).map_err(say)
}

/// The logbook, begun where it is not there.
fn begun(path: &Path) -> Result<Logbook, String> {
    Logbook::begin(path).map_err(say)
}

/// Everything that only looks, or writes elsewhere.
fn look(book: &Logbook, told: Told, what: &LogbookCommand) -> Result<(), String> {
    match what {
        LogbookCommand::List { pupil, most } => {
            let wanted = Wanted {
                pupil: pupil.clone(),
                most: *most,
            };
            let list = book.list(&wanted).map_err(say)?;
            told.say(&list, || table(&list));
        }
        LogbookCommand::Pupils => {
            let list = book.pupils().map_err(say)?;
            told.say(&list, || {
                let mut text = format!("{:<32} {:>8} {:>9}  last\n", "pupil", "attempts", "min");
                for p in &list {
                    let last = p.last.map_or_else(|| "-".to_string(), minute);
                    text += &format!("{:<32} {:>8} {:>9.1}  {last}\n", p.name, p.attempts, p.driven_s / 60.0);
                }
                text
            });
        }
        LogbookCommand::Show { name } => {
            let (entry, figures) = book.entry(name).map_err(say)?;
            told.say(json!({ "entry": &entry, "figures": &figures }), || {
                show(&entry, &figures)
            });
        }
        LogbookCommand::Progress {
            pupil, measures: true, ..
        } => {
            let went = super::debrief::of_pupil(book, pupil, None, None)?;
            told.say(&went, || toeline_training::debrief::progress_text(&went));
        }
        LogbookCommand::Progress { pupil, figure, .. } => progress(book, told, pupil, figure)?,
        LogbookCommand::Take { name, file } => {
            if file.exists() {
                return Err(format!("{}: is there already; choose another name", file.display()));
            }
            let attempt = book.attempt(name).map_err(say)?;
            toeline_training::store::save(file, &attempt).map_err(say)?;
            told.say(json!({ "written": file }), || format!("written: {}\n", file.display()));
        }
        LogbookCommand::Export { file } => {
            let attempts = match ending(file)? {
                Ending::Json => book.export_json(file),
                Ending::Csv => book.export_csv(file),
            }
            .map_err(say)?;
            told.say(json!({ "written": file, "attempts": attempts }), || {
                format!("written: {} with {}\n", file.display(), counted(attempts))
            });
        }
        LogbookCommand::Backup { file } => {
            book.backup(file).map_err(say)?;
            told.say(json!({ "written": file }), || format!("written: {}\n", file.display()));
        }
        // The others change the logbook; `run` has done them.
        _ => {}
    }
    Ok(())
}

enum Ending {
    Json,
    Csv,
}

fn ending(file: &Path) -> Result<Ending, String> {
    match file.extension().and_then(|e| e.to_str()) {
        Some("json") => Ok(Ending::Json),
        Some("csv") => Ok(Ending::Csv),
        _ => Err(format!(
            "{}: the name must end in .json (everything) or .csv (the figures alone)",
            file.display()
        )),
    }
}

fn counted(attempts: u64) -> String {
    match attempts {
        1 => "1 attempt".to_string(),
        n => format!("{n} attempts"),
    }
}

fn add(
    path: &Path,
    told: Told,
    attempts: &[PathBuf],
    pupil: &str,
    when: Option<When>,
    exercise: Option<&str>,
) -> Result<(), String> {
    let mut book = begun(path)?;
    let mut list: Vec<Value> = Vec::new();
    for file in attempts {
        let text = files::read_text(file)?;
        let when = match when {
            Some(when) => when,
            None => When::at(files::written_unix_s(file)?),
        };
        let about = About {
            pupil: pupil.to_string(),
            when_unix_s: when.unix_s,
            exercise: exercise.map(str::to_string),
            ..About::default()
        };
        let added = book.add_text(&text, &about).map_err(|e| match e.cause {
            // What is wrong with the record is told of the record.
            toeline_training::logbook::LogbookCause::Attempt(why) => format!("{}: {why}", file.display()),
            _ => say(e),
        })?;
        let (word, id, whose) = match &added {
            Added::New { id, .. } => ("added", id, pupil.trim()),
            Added::Completed { id, pupil } => ("completed", id, pupil.as_str()),
            Added::Known { id, pupil } => ("known", id, pupil.as_str()),
        };
        if told.json {
            list.push(json!({ "file": file, "attempt": id, "what": word, "pupil": whose }));
            continue;
        }
        // Told at once: what was said to be added is on the disk, whatever comes of the next one.
        let short = &id[..12];
        let file = file.display();
        files::say(&match &added {
            Added::New { new_pupil: true, .. } => format!("{file}: added as {short}, for the new pupil \"{whose}\"\n"),
            Added::New { .. } => format!("{file}: added as {short}, for \"{whose}\"\n"),
            Added::Completed { .. } => {
                format!("{file}: the figures of {short} of \"{whose}\" were there; now the drive is too\n")
            }
            Added::Known { .. } => {
                format!("{file}: is in the logbook already, as {short} of \"{whose}\"; nothing was changed\n")
            }
        });
    }
    if told.json {
        told.say(&list, String::new);
    }
    Ok(())
}

fn import(path: &Path, told: Told, file: &Path) -> Result<(), String> {
    let ending = ending(file)?;
    if !file.is_file() {
        return Err(format!("{}: no such file", file.display()));
    }
    let mut book = begun(path)?;
    let found: Imported = match ending {
        Ending::Json => book.import_json(file),
        Ending::Csv => book.import_csv(file),
    }
    .map_err(say)?;
    told.say(found, || {
        format!(
            "{}: {} new, {} completed, {} known and left as they are; {} new pupils\n",
            file.display(),
            counted(found.new),
            found.completed,
            found.known,
            found.new_pupils
        )
    });
    Ok(())
}

fn check(path: &Path, told: Told) -> Result<u8, String> {
    let found = there(path)?.check().map_err(say)?;
    told.say(&found, || {
        let mut text = format!(
            "{}: {}, {} whole, {} with figures only\n",
            path.display(),
            counted(found.attempts),
            found.whole,
            found.figures_only
        );
        for problem in &found.problems {
            text += &format!("  FINDING: {problem}\n");
        }
        if found.problems.is_empty() {
            text += "nothing is wrong with it\n";
        }
        text
    });
    Ok(u8::from(!found.problems.is_empty()))
}

fn forget(path: &Path, told: Told, pupil: &str, really: bool) -> Result<(), String> {
    let mut book = there(path)?;
    if !really {
        let wanted = Wanted {
            pupil: Some(pupil.to_string()),
            most: None,
        };
        let attempts = book.list(&wanted).map_err(say)?.len() as u64;
        return Err(format!(
            "nothing was removed: \"{}\" with {} would be, for good; say --really to do it",
            pupil.trim(),
            counted(attempts)
        ));
    }
    let gone = book.forget(pupil).map_err(say)?;
    told.say(json!({ "forgotten": pupil.trim(), "attempts": gone }), || {
        format!(
            "\"{}\" is forgotten, {} removed; backups and exports made before still hold them\n",
            pupil.trim(),
            counted(gone)
        )
    });
    Ok(())
}

fn progress(book: &Logbook, told: Told, pupil: &str, wanted: &[String]) -> Result<(), String> {
    let keys = match wanted {
        [] => {
            let newest = Wanted {
                pupil: Some(pupil.to_string()),
                most: Some(1),
            };
            match book.list(&newest).map_err(say)?.first() {
                Some(entry) => book
                    .entry(&entry.id)
                    .map_err(say)?
                    .1
                    .into_iter()
                    .map(|f| f.key)
                    .collect(),
                None => Vec::new(),
            }
        }
        some => some.to_vec(),
    };
    let mut courses = Vec::new();
    for key in keys {
        let course = book.progress(pupil, &key).map_err(say)?;
        if course.is_empty() {
            return Err(format!("no attempt of \"{}\" has the figure \"{key}\"", pupil.trim()));
        }
        courses.push((key, course));
    }
    let data: Vec<Value> = courses
        .iter()
        .map(|(key, course)| {
            let points: Vec<Value> = course
                .iter()
                .map(
                    |(when, f)| json!({ "when": when, "value": f.value, "reference": f.reference, "source": f.source }),
                )
                .collect();
            json!({ "figure": key, "course": points })
        })
        .collect();
    told.say(data, || {
        let mut text = String::new();
        for (key, course) in &courses {
            text += &format!("{key}\n");
            for (when, f) in course {
                text += &format!("  {}  {:>10.2}  ({})\n", minute(*when), f.value, f.reference.word());
            }
        }
        text
    });
    Ok(())
}

/// A moment to the minute.
pub(super) fn minute(when: When) -> String {
    let text = when.to_string();
    format!("{} {}Z", &text[..10], &text[11..16])
}

/// A text in a column: cut where it is too long.
fn cut(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        return text.to_string();
    }
    text.chars().take(width - 1).chain(['…']).collect()
}

fn table(list: &[Entry]) -> String {
    if list.is_empty() {
        return "no attempts\n".to_string();
    }
    let mut text = format!(
        "{:<12}  {:<17}  {:<16}  {:<16}  {:>6}  driven\n",
        "attempt", "when", "pupil", "aeroplane", "min"
    );
    for e in list {
        let what = [&e.exercise, &e.field, &e.plan].into_iter().flatten().cloned();
        let what = what.collect::<Vec<_>>().join(", ");
        let row = format!(
            "{:<12}  {:<17}  {:<16}  {:<16}  {:>6.1}  {}",
            &e.id[..12],
            minute(e.when),
            cut(&e.pupil, 16),
            cut(&e.aircraft, 16),
            e.duration_s / 60.0,
            cut(&what, 20)
        );
        text += &format!("{}\n", row.trim_end());
    }
    text
}

fn show(e: &Entry, figures: &[Figure]) -> String {
    let or_none = |text: &Option<String>| text.clone().unwrap_or_else(|| "-".to_string());
    let mut text = String::new();
    for (name, value) in [
        ("attempt", e.id.clone()),
        ("when", e.when.to_string()),
        ("pupil", e.pupil.clone()),
        ("field", or_none(&e.field)),
        ("aeroplane", e.aircraft.clone()),
        ("exercise", or_none(&e.exercise)),
        ("way", or_none(&e.plan)),
        ("physics version", e.physics_version.to_string()),
        ("duration", format!("{:.1} s", e.duration_s)),
    ] {
        text += &format!("{name:<16} {value}\n");
    }
    for f in figures {
        let source = if f.source.is_empty() {
            String::new()
        } else {
            format!(": {}", f.source)
        };
        text += &format!("  {:<24} {:>10.2}  ({}{source})\n", f.key, f.value, f.reference.word());
    }
    text
}
