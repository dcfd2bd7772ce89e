//! Adding an attempt.

use super::entry::{About, Entry, Figure, Reference, When, drill_of, field_of, figures_of, name, plan_of};
use super::error::{LogbookCause, LogbookError};
use super::packed::{Canonical, canonical, pack};
use super::{Logbook, people};
use crate::attempt::Attempt;
use rusqlite::{Connection, OptionalExtension, params};
use std::path::Path;

/// What came of adding an attempt.
#[derive(Clone, Debug, PartialEq)]
pub enum Added {
    /// It is in the logbook now.
    New {
        /// The attempt's own name.
        id: String,
        /// Whether the pupil is new too.
        new_pupil: bool,
    },
    /// Its figures were there (from a table of figures); now the drive itself is too. Nothing else was changed.
    Completed {
        /// The attempt's own name.
        id: String,
        /// Whose it is.
        pupil: String,
    },
    /// It was in the logbook; nothing was changed.
    Known {
        /// The attempt's own name.
        id: String,
        /// Whose it is.
        pupil: String,
    },
}

impl Logbook {
    /// Adds an attempt. When this returns, it is on the disk.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn add(&mut self, attempt: &Attempt, about: &About) -> Result<Added, LogbookError> {
        let text = attempt.to_json().map_err(|e| self.no_attempt(e))?;
        self.add_text(&text, about)
    }

    /// Adds an attempt from its text, as it stands in a file.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn add_text(&mut self, text: &str, about: &About) -> Result<Added, LogbookError> {
        let whole = canonical(text).map_err(|e| self.no_attempt(e))?;
        let entry = entry_of(&whole, about);
        let mut figures = figures_of(&whole.attempt);
        figures.retain(|f| about.figures.iter().all(|own| own.key != f.key));
        figures.extend(about.figures.iter().cloned());
        self.change("adding", |all, path| {
            insert(all, path, &entry, &figures, Some(&whole.text))
        })
    }

    fn no_attempt(&self, e: crate::AttemptError) -> LogbookError {
        LogbookError::new(&self.path, "adding", LogbookCause::Attempt(e))
    }
}

fn entry_of(whole: &Canonical, about: &About) -> Entry {
    let job = whole.attempt.job.as_ref();
    Entry {
        id: whole.id.clone(),
        when: When::at(about.when_unix_s),
        pupil: about.pupil.clone(),
        field: about.field.clone().or_else(|| field_of(job)),
        aircraft: whole.attempt.aircraft.id.clone(),
        exercise: about.exercise.clone().or_else(|| drill_of(job)),
        plan: plan_of(job),
        physics_version: whole.attempt.physics_version,
        duration_s: whole.attempt.duration_s(),
    }
    .tidy()
}

/// Writes an entry with its figures and, where it is at hand, the drive itself. One that is there already is not touched.
pub(super) fn insert(
    all: &Connection,
    path: &Path,
    entry: &Entry,
    figures: &[Figure],
    text: Option<&str>,
) -> Result<Added, LogbookError> {
    let failed = LogbookError::database(path, "adding");
    let id = entry.id.clone();
    let known: Option<(i64, String, bool)> = all
        .prepare(
            "SELECT a.attempt, p.name, EXISTS (SELECT 1 FROM drives d WHERE d.attempt = a.attempt)
             FROM attempts a JOIN pupils p ON p.pupil = a.pupil WHERE a.id = ?1",
        )
        .and_then(|mut q| q.query_row([&id], |r| Ok((r.get(0)?, r.get(1)?, r.get(2)?))).optional())
        .map_err(&failed)?;
    if let Some((row, pupil, whole)) = known {
        return match text {
            Some(text) if !whole => {
                drive(all, path, row, text)?;
                Ok(Added::Completed { id, pupil })
            }
            _ => Ok(Added::Known { id, pupil }),
        };
    }
    let pupil = name(&entry.pupil)
        .map_err(|why| LogbookError::new(path, "adding", LogbookCause::Name(entry.pupil.clone(), why)))?;
    let (pupil, new_pupil) = people::found_or_new(all, &pupil).map_err(&failed)?;
    all.prepare(
        "INSERT INTO attempts (id, pupil, when_unix_s, field, aircraft, exercise, plan, physics_version, duration_s)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )
    .and_then(|mut q| {
        q.execute(params![
            entry.id,
            pupil,
            entry.when.unix_s,
            entry.field,
            entry.aircraft,
            entry.exercise,
            entry.plan,
            entry.physics_version,
            entry.duration_s
        ])
    })
    .map_err(&failed)?;
    let row = all.last_insert_rowid();
    for f in figures {
        figure(all, path, row, f)?;
    }
    if let Some(text) = text {
        drive(all, path, row, text)?;
    }
    Ok(Added::New { id, new_pupil })
}

fn figure(all: &Connection, path: &Path, row: i64, f: &Figure) -> Result<(), LogbookError> {
    let refused = |why| LogbookError::new(path, "adding", LogbookCause::Figure(f.key.clone(), why));
    if f.key.is_empty()
        || !f
            .key
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_')
    {
        return Err(refused(
            "its key must be of small letters, digits and _, for example top_speed_mps",
        ));
    }
    if !f.value.is_finite() {
        return Err(refused("its value is not a finite number"));
    }
    if f.reference == Reference::Published && f.source.trim().is_empty() {
        return Err(refused("it is called published, but no source is named"));
    }
    let written = all
        .prepare("INSERT OR IGNORE INTO figures (attempt, key, value, reference, source) VALUES (?1, ?2, ?3, ?4, ?5)")
        .and_then(|mut q| q.execute(params![row, f.key, f.value, f.reference.word(), f.source]))
        .map_err(LogbookError::database(path, "adding"))?;
    if written == 0 {
        return Err(refused("it is given twice"));
    }
    Ok(())
}

fn drive(all: &Connection, path: &Path, row: i64, text: &str) -> Result<(), LogbookError> {
    let packed = pack(text).map_err(LogbookError::system(path, "adding"))?;
    all.prepare("INSERT INTO drives (attempt, bytes, packed) VALUES (?1, ?2, ?3)")
        .and_then(|mut q| q.execute(params![row, text.len() as i64, packed]))
        .map_err(LogbookError::database(path, "adding"))?;
    Ok(())
}
