//! What is chosen on the first screen: field, aeroplane, wind. Every message about a wrong entry is the engine's or the
//! model's own.

use crate::recorder::Book;
use crate::view::hour::TimeOfDay;
use bevy::prelude::Resource;
use std::path::{Path, PathBuf};
use toeline_model::aircraft::{catalog, check};
use toeline_model::date::Date;
use toeline_model::{Aircraft, Wind};
use toeline_training::exercise::{self, Exercise, Lesson, Place};
use toeline_training::logbook;

/// Wind that the first screen begins with.
pub const FIRST_WIND: &str = "240/12T";

/// Which aeroplane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// One of the built-in ones, by its place in the list.
    BuiltIn(usize),
    /// The user's own file.
    File,
}

/// Everything chosen, as typed.
#[derive(Resource, Clone, Debug)]
pub struct Choice {
    /// Field files that were found.
    pub fields: Vec<PathBuf>,
    /// Path of the field, as typed or taken from the list.
    pub field: String,
    /// The built-in aeroplanes.
    pub built_in: Vec<Aircraft>,
    /// Which aeroplane.
    pub aeroplane: Which,
    /// Path of the user's own aircraft file, as typed.
    pub aeroplane_file: String,
    /// Wind, as typed.
    pub wind: String,
    /// Day, for the magnetic model.
    pub date: Date,
    /// Time of day for drives that bring none of their own.
    pub time: TimeOfDay,
    /// Whose attempts these are, as typed; empty: nobody's, and nothing goes into the logbook.
    pub pupil: String,
    /// File of the logbook, where there is a place for one.
    pub logbook: Option<PathBuf>,
    /// The built-in course of exercises, in order.
    pub course: Vec<Exercise>,
}

impl Choice {
    /// A first choice: the first field of the list, the first aeroplane.
    pub fn new(fields: Vec<PathBuf>, date: Date) -> Choice {
        Choice {
            field: fields.first().map(|f| f.display().to_string()).unwrap_or_default(),
            fields,
            built_in: catalog::all(),
            aeroplane: Which::BuiltIn(0),
            aeroplane_file: String::new(),
            wind: FIRST_WIND.into(),
            date,
            time: TimeOfDay::default(),
            pupil: String::new(),
            logbook: None,
            course: exercise::all(),
        }
    }

    /// What is wrong with the pupil's name that is typed; nobody's is fine.
    ///
    /// # Errors
    /// A sentence.
    pub fn pupil_fits(&self) -> Result<(), String> {
        if self.pupil.trim().is_empty() {
            return Ok(());
        }
        logbook::name(&self.pupil)
            .map(|_| ())
            .map_err(|why| format!("this cannot be the name of a pupil: {why}"))
    }

    /// An exercise of the course, made ready for the aeroplane that is chosen.
    ///
    /// # Errors
    /// Why it cannot be driven in it.
    pub fn lesson(&self, place: usize) -> Result<Lesson, String> {
        let exercise = self.course.get(place).ok_or("there is no such exercise")?;
        lesson_of(exercise, &self.aircraft()?, Path::new(""))
    }

    /// Where attempts go beside their own files; `None` when nobody is named, or by a name that cannot be one.
    pub fn book(&self) -> Option<Book> {
        let pupil = logbook::name(&self.pupil).ok()?;
        let file = self.logbook.clone()?;
        Some(Book { file, pupil })
    }

    /// The wind that is typed.
    ///
    /// # Errors
    /// The model's sentence about what is wrong.
    pub fn wind(&self) -> Result<Wind, String> {
        Wind::parse(&self.wind)
    }

    /// The aeroplane that is chosen; a file is read now.
    ///
    /// # Errors
    /// What is wrong with the file, everything at once.
    pub fn aircraft(&self) -> Result<Aircraft, String> {
        match self.aeroplane {
            Which::BuiltIn(i) => self
                .built_in
                .get(i)
                .cloned()
                .ok_or_else(|| "no aeroplane is chosen".to_string()),
            Which::File => aircraft_file(Path::new(self.aeroplane_file.trim())),
        }
    }
}

/// Makes an exercise ready for an aeroplane. A map that it names is looked for from the current folder, then from `beside`.
///
/// # Errors
/// Why it cannot be driven.
pub fn lesson_of(of: &Exercise, aircraft: &Aircraft, beside: &Path) -> Result<Lesson, String> {
    let mut of = of.clone();
    if let Place::Journey(journey) = &mut of.place
        && exercise::built_in_field(&journey.field).is_none()
    {
        let here = Path::new(&journey.field);
        let near = beside.join(here);
        let found = [here, near.as_path()].into_iter().find_map(|p| p.canonicalize().ok());
        if let Some(found) = found {
            // The record names the whole path, so that it can be debriefed from anywhere.
            journey.field = found.display().to_string();
        }
    }
    let mut map = |name: &str| read_text(Path::new(name));
    exercise::build(&of, aircraft, &mut map).map_err(|e| format!("{}: {e}", of.title))
}

/// An exercise by its id in the course, or from a file, made ready for an aeroplane: a built-in one or a file, else the one
/// that the exercise names.
///
/// # Errors
/// Everything that is wrong with it.
pub fn named_lesson(name: &str, aircraft: Option<&str>) -> Result<Lesson, String> {
    let (of, beside) = match exercise::find(name) {
        Some(of) => (of, PathBuf::new()),
        None => {
            let file = Path::new(name);
            if !file.exists() {
                let ids = exercise::ids().join(", ");
                return Err(format!(
                    "\"{name}\" is no exercise of the course and no file; the course has {ids}"
                ));
            }
            let read = Exercise::from_json(&read_text(file)?).map_err(|problems| {
                let list: Vec<String> = problems.iter().map(|p| format!("\n  {p}")).collect();
                format!("exercise {} cannot be used:{}", file.display(), list.concat())
            })?;
            (read, file.parent().map(Path::to_path_buf).unwrap_or_default())
        }
    };
    let wanted = aircraft.unwrap_or(&of.aircraft);
    let aircraft = catalog::find(wanted).map_or_else(|| aircraft_file(Path::new(wanted)), Ok)?;
    lesson_of(&of, &aircraft, &beside)
}

fn aircraft_file(file: &Path) -> Result<Aircraft, String> {
    if file.as_os_str().is_empty() {
        return Err("type the path of your aircraft file, or take one of the list".into());
    }
    let text = read_text(file)?;
    check::read(&text).map_err(|problems| {
        let list: Vec<String> = problems.iter().map(|p| format!("\n  {p}")).collect();
        format!("aircraft file {} cannot be used:{}", file.display(), list.concat())
    })
}

/// Largest file that is read, bytes: far above any field, and it keeps a slip of the finger from filling the memory.
const MOST_BYTES: u64 = 256 * 1024 * 1024;

/// Reads a text file.
///
/// # Errors
/// A sentence with the path and the reason.
pub fn read_text(file: &Path) -> Result<String, String> {
    let cannot = |e: std::io::Error| format!("{}: cannot be read: {e}", file.display());
    let about = std::fs::metadata(file).map_err(cannot)?;
    if about.is_dir() {
        return Err(format!("{}: cannot be read: it is a folder", file.display()));
    }
    if about.len() > MOST_BYTES {
        return Err(format!(
            "{}: {} MB is above {} MB, the most that is read",
            file.display(),
            about.len() / 1_000_000,
            MOST_BYTES / 1_000_000
        ));
    }
    std::fs::read_to_string(file).map_err(cannot)
}

/// Field files in folders, by name; a folder that is not there has none.
pub fn find_fields(folders: &[PathBuf]) -> Vec<PathBuf> {
    let mut list: Vec<PathBuf> = Vec::new();
    for folder in folders {
        let Ok(entries) = std::fs::read_dir(folder) else {
            continue;
        };
        let mut here: Vec<PathBuf> = entries
            .flatten()
            .map(|e| e.path())
            .filter(|p| p.extension().is_some_and(|e| e.eq_ignore_ascii_case("geojson")))
            .collect();
        here.sort();
        list.extend(here);
    }
    let mut seen: Vec<PathBuf> = Vec::new();
    list.retain(|p| {
        let whole = p.canonicalize().unwrap_or_else(|_| p.clone());
        let new = !seen.contains(&whole);
        seen.push(whole);
        new
    });
    list
}

/// Where fields are looked for: `maps` in the current folder and beside the program, up to the folder that a build of the
/// project lies in.
pub fn usual_folders() -> Vec<PathBuf> {
    let mut list = vec![PathBuf::from("maps")];
    if let Ok(program) = std::env::current_exe() {
        list.extend(program.ancestors().skip(1).take(4).map(|f| f.join("maps")));
    }
    list
}

/// Today, UTC; the first day of the magnetic model where the clock stands before 1970.
pub fn today() -> Date {
    let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    Date::from_unix_s(now.map(|d| d.as_secs()).unwrap_or(1_735_689_600))
}
