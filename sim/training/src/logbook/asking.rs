//! What the logbook is asked: the list, one attempt, the course of a figure.

use super::entry::{Entry, Figure, Reference, When};
use super::error::{LogbookCause, LogbookError};
use super::packed::unpack;
use super::{Logbook, people};
use crate::attempt::Attempt;
use rusqlite::{Row, params};

/// Which attempts are wanted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wanted {
    /// Of this pupil only.
    pub pupil: Option<String>,
    /// At most so many, the newest; all when `None`.
    pub most: Option<u32>,
}

/// The columns that [`entry`] reads.
pub(super) const COLUMNS: &str = "a.id, a.when_unix_s, p.name, a.field, a.aircraft, a.exercise, a.plan, a.physics_version, \
    a.duration_s, a.attempt";

pub(super) fn entry(r: &Row<'_>) -> rusqlite::Result<Entry> {
    Ok(Entry {
        id: r.get(0)?,
        when: When::at(r.get(1)?),
        pupil: r.get(2)?,
        field: r.get(3)?,
        aircraft: r.get(4)?,
        exercise: r.get(5)?,
        plan: r.get(6)?,
        physics_version: r.get(7)?,
        duration_s: r.get(8)?,
    })
}

pub(super) fn figure(r: &Row<'_>) -> rusqlite::Result<Figure> {
    let word: String = r.get(2)?;
    Ok(Figure {
        key: r.get(0)?,
        value: r.get(1)?,
        reference: Reference::of_word(&word).unwrap_or(Reference::Ours),
        source: r.get(3)?,
    })
}

impl Logbook {
    /// The list, newest first. Reads no drive.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn list(&self, wanted: &Wanted) -> Result<Vec<Entry>, LogbookError> {
        const DOING: &str = "listing";
        let pupil = match &wanted.pupil {
            Some(name) => Some(people::found(&self.connection, &self.path, DOING, name)?),
            None => None,
        };
        let which = if pupil.is_some() {
            "WHERE a.pupil = ?1"
        } else {
            "WHERE ?1 IS NULL"
        };
        let most = wanted.most.map_or(-1, i64::from);
        self.connection
            .prepare(&format!(
                "SELECT {COLUMNS} FROM attempts a JOIN pupils p ON p.pupil = a.pupil {which}
                 ORDER BY a.when_unix_s DESC, a.attempt DESC LIMIT ?2"
            ))
            .and_then(|mut q| q.query_map(params![pupil, most], entry)?.collect())
            .map_err(LogbookError::database(&self.path, DOING))
    }

    /// One entry with its figures, by its name or the beginning of it (at least four digits).
    ///
    /// # Errors
    /// The file and the cause.
    pub fn entry(&self, id: &str) -> Result<(Entry, Vec<Figure>), LogbookError> {
        const DOING: &str = "reading";
        let failed = LogbookError::database(&self.path, DOING);
        let none = |cause| LogbookError::new(&self.path, DOING, cause);
        let start = id.trim().to_ascii_lowercase();
        if start.len() < 4 || !start.bytes().all(|b| b.is_ascii_hexdigit()) {
            return Err(none(LogbookCause::NoAttempt(id.to_string())));
        }
        let mut found: Vec<(Entry, i64)> = self
            .connection
            .prepare(&format!(
                "SELECT {COLUMNS} FROM attempts a JOIN pupils p ON p.pupil = a.pupil
                 WHERE a.id >= ?1 AND a.id < ?1 || 'g' LIMIT 2"
            ))
            .and_then(|mut q| q.query_map([&start], |r| Ok((entry(r)?, r.get(9)?)))?.collect())
            .map_err(&failed)?;
        let (entry, row) = match (found.pop(), found.pop()) {
            (Some(one), None) => one,
            (None, _) => return Err(none(LogbookCause::NoAttempt(id.to_string()))),
            (Some(_), Some(_)) => return Err(none(LogbookCause::Several(id.to_string()))),
        };
        let figures = self
            .connection
            .prepare("SELECT key, value, reference, source FROM figures WHERE attempt = ?1 ORDER BY key")
            .and_then(|mut q| q.query_map([row], figure)?.collect())
            .map_err(&failed)?;
        Ok((entry, figures))
    }

    /// The text of an attempt (its one form), by its name or the beginning of it.
    ///
    /// # Errors
    /// The file and the cause; among them that what is stored is no longer what was added.
    pub fn text(&self, id: &str) -> Result<String, LogbookError> {
        const DOING: &str = "reading";
        let id = self.entry(id)?.0.id;
        let none = |cause| LogbookError::new(&self.path, DOING, cause);
        let found: Result<(i64, Vec<u8>), _> = self.connection.query_row(
            "SELECT d.bytes, d.packed FROM drives d JOIN attempts a ON a.attempt = d.attempt WHERE a.id = ?1",
            [&id],
            |r| Ok((r.get(0)?, r.get(1)?)),
        );
        match found {
            Ok((bytes, packed)) => {
                unpack(&id, bytes.unsigned_abs(), &packed).map_err(|why| none(LogbookCause::Damaged(id, why)))
            }
            Err(rusqlite::Error::QueryReturnedNoRows) => Err(none(LogbookCause::OnlyFigures(id))),
            Err(e) => Err(LogbookError::database(&self.path, DOING)(e)),
        }
    }

    /// An attempt, by its name or the beginning of it.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn attempt(&self, id: &str) -> Result<Attempt, LogbookError> {
        let text = self.text(id)?;
        Attempt::from_json(&text).map_err(|e| LogbookError::new(&self.path, "reading", LogbookCause::Attempt(e)))
    }

    /// The course of one figure over a pupil's attempts, oldest first.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn progress(&self, pupil: &str, key: &str) -> Result<Vec<(When, Figure)>, LogbookError> {
        const DOING: &str = "reading";
        let row = people::found(&self.connection, &self.path, DOING, pupil)?;
        self.connection
            .prepare(
                "SELECT f.key, f.value, f.reference, f.source, a.when_unix_s FROM attempts a
                 JOIN figures f ON f.attempt = a.attempt AND f.key = ?2
                 WHERE a.pupil = ?1 ORDER BY a.when_unix_s, a.attempt",
            )
            .and_then(|mut q| {
                q.query_map(params![row, key], |r| Ok((When::at(r.get(4)?), figure(r)?)))?
                    .collect()
            })
            .map_err(LogbookError::database(&self.path, DOING))
    }
}
