//! The whole logbook as one JSON file, out and in again. One attempt at a time is held in memory.

use super::adding::{Added, insert};
use super::asking::{COLUMNS, entry, figure};
use super::entry::{Entry, Figure};
use super::error::{LogbookCause, LogbookError};
use super::keeping::write_new;
use super::packed::{canonical, unpack};
use super::{Logbook, people};
use rusqlite::Connection;
use serde::de::{DeserializeSeed, Error as _, MapAccess, SeqAccess, Visitor};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::fs::File;
use std::io::{BufReader, Write};
use std::path::Path;

/// Version of the export.
const FORMAT: u32 = 1;

/// What an import brought.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Imported {
    /// Attempts that are new.
    pub new: u64,
    /// Attempts whose figures were there and whose drive is there now too.
    pub completed: u64,
    /// Attempts that were there; nothing of them was changed.
    pub known: u64,
    /// Pupils that are new.
    pub new_pupils: u64,
}

impl Imported {
    pub(super) fn count(&mut self, added: &Added) {
        match added {
            Added::New { new_pupil, .. } => {
                self.new += 1;
                self.new_pupils += u64::from(*new_pupil);
            }
            Added::Completed { .. } => self.completed += 1,
            Added::Known { .. } => self.known += 1,
        }
    }
}

/// One attempt in the export: its entry, its figures, and itself.
#[derive(Serialize, Deserialize)]
struct Item {
    #[serde(flatten)]
    entry: Entry,
    figures: Vec<Figure>,
    /// `null` where only the figures are known.
    attempt: Option<Value>,
}

/// Entry and row of every attempt, oldest first, in an order that does not depend on when it was added.
pub(super) fn all_entries(connection: &Connection) -> rusqlite::Result<Vec<(Entry, i64)>> {
    connection
        .prepare(&format!(
            "SELECT {COLUMNS} FROM attempts a JOIN pupils p ON p.pupil = a.pupil ORDER BY a.when_unix_s, a.id"
        ))?
        .query_map([], |r| Ok((entry(r)?, r.get(9)?)))?
        .collect()
}

pub(super) fn figures(connection: &Connection, row: i64) -> rusqlite::Result<Vec<Figure>> {
    connection
        .prepare("SELECT key, value, reference, source FROM figures WHERE attempt = ?1 ORDER BY key")?
        .query_map([row], figure)?
        .collect()
}

impl Logbook {
    /// Writes everything as JSON into a new file. Gives the number of attempts.
    ///
    /// # Errors
    /// The file and the cause; a file that is there already is left alone.
    pub fn export_json(&self, to: &Path) -> Result<u64, LogbookError> {
        const DOING: &str = "exporting";
        let failed = LogbookError::database(&self.path, DOING);
        // One view of the logbook from the first row to the last, whoever writes meanwhile.
        let view = self.connection.unchecked_transaction().map_err(&failed)?;
        let entries = all_entries(&view).map_err(&failed)?;
        let pupils: Vec<String> = self.pupils()?.into_iter().map(|p| p.name).collect();
        write_new(to, DOING, |out| {
            let system = LogbookError::system(to, DOING);
            let json = |e: serde_json::Error| system(std::io::Error::from(e));
            let put = |out: &mut dyn Write, text: &str| out.write_all(text.as_bytes()).map_err(&system);
            put(out, &format!("{{\"toeline_logbook\":{FORMAT},\"pupils\":"))?;
            put(out, &serde_json::to_string(&pupils).map_err(json)?)?;
            put(out, ",\"attempts\":[")?;
            for (i, (entry, row)) in entries.iter().enumerate() {
                put(out, if i == 0 { "\n" } else { ",\n" })?;
                let item = Item {
                    entry: entry.clone(),
                    figures: figures(&view, *row).map_err(&failed)?,
                    attempt: None,
                };
                let text = self.drive_text(entry)?;
                let head = serde_json::to_string(&item).map_err(json)?;
                // The attempt goes in as the text it is kept as, not through numbers and back.
                let head = head.strip_suffix("null}").unwrap_or(&head);
                put(out, head)?;
                put(out, text.as_deref().unwrap_or("null"))?;
                put(out, "}")?;
            }
            put(out, "\n]}\n")
        })?;
        Ok(entries.len() as u64)
    }

    /// The text of an attempt; `None` where only its figures are known.
    pub(super) fn drive_text(&self, entry: &Entry) -> Result<Option<String>, LogbookError> {
        use rusqlite::OptionalExtension;
        let found: Option<(i64, Vec<u8>)> = self
            .connection
            .prepare("SELECT d.bytes, d.packed FROM drives d JOIN attempts a ON a.attempt = d.attempt WHERE a.id = ?1")
            .and_then(|mut q| q.query_row([&entry.id], |r| Ok((r.get(0)?, r.get(1)?))).optional())
            .map_err(LogbookError::database(&self.path, "reading"))?;
        found
            .map(|(bytes, packed)| {
                unpack(&entry.id, bytes.unsigned_abs(), &packed).map_err(|why| {
                    LogbookError::new(&self.path, "reading", LogbookCause::Damaged(entry.id.clone(), why))
                })
            })
            .transpose()
    }

    /// Takes in everything of an export that is not here yet: all of it or, when anything in it is not in order, nothing.
    /// What is here already stays as it is.
    ///
    /// # Errors
    /// The file, the place in it and the cause.
    pub fn import_json(&mut self, from: &Path) -> Result<Imported, LogbookError> {
        const DOING: &str = "importing";
        let file = File::open(from).map_err(LogbookError::system(from, DOING))?;
        self.change(DOING, |all, path| {
            let mut counts = Imported::default();
            let mut trouble = None;
            let mut reader = serde_json::Deserializer::from_reader(BufReader::new(file));
            let mut take = |n: usize, item: Item| match taken(all, path, from, n, item) {
                Ok(added) => {
                    counts.count(&added);
                    true
                }
                Err(e) => {
                    trouble = Some(e);
                    false
                }
            };
            let read = Book { take: &mut take }
                .deserialize(&mut reader)
                .and_then(|pupils| reader.end().map(|()| pupils));
            let pupils = match (read, trouble) {
                (_, Some(e)) => return Err(e),
                (Err(e), None) => return Err(unsound(from, "the file", e.to_string())),
                (Ok(pupils), None) => pupils,
            };
            for typed in pupils {
                let name = super::entry::name(&typed)
                    .map_err(|why| LogbookError::new(from, DOING, LogbookCause::Name(typed.clone(), why)))?;
                let (_, new) = people::found_or_new(all, &name).map_err(LogbookError::database(path, DOING))?;
                counts.new_pupils += u64::from(new);
            }
            Ok(counts)
        })
    }
}

pub(super) fn unsound(from: &Path, place: &str, why: impl Into<String>) -> LogbookError {
    LogbookError::new(from, "importing", LogbookCause::Import(place.to_string(), why.into()))
}

/// Whether a text has the form of an attempt's name.
pub(super) fn is_id(text: &str) -> bool {
    text.len() == 32 && text.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b))
}

/// Puts one item of an export into the logbook.
fn taken(all: &Connection, path: &Path, from: &Path, n: usize, item: Item) -> Result<Added, LogbookError> {
    let place = format!("attempt {} of the list, {}", n + 1, item.entry.id);
    let wrong = |why: String| unsound(from, &place, why);
    let entry = item.entry.tidy();
    if !is_id(&entry.id) {
        return Err(wrong("its id is not 32 hexadecimal digits".to_string()));
    }
    let text = match item.attempt {
        None => None,
        Some(value) => {
            let whole = canonical(&value.to_string()).map_err(|e| wrong(e.to_string()))?;
            if whole.id != entry.id {
                return Err(wrong(format!("its content has the name {}: it was changed", whole.id)));
            }
            let told = (&entry.aircraft, entry.physics_version, entry.duration_s);
            let a = &whole.attempt;
            if told != (&a.aircraft.id, a.physics_version, a.duration_s()) {
                return Err(wrong(format!(
                    "aircraft {}, physics version {} and {} s are told, the attempt itself says {}, {} and {} s",
                    told.0,
                    told.1,
                    told.2,
                    a.aircraft.id,
                    a.physics_version,
                    a.duration_s()
                )));
            }
            Some(whole.text)
        }
    };
    insert(all, path, &entry, &item.figures, text.as_deref()).map_err(|e| match e.cause {
        LogbookCause::Database(_) => e,
        other => {
            let e = LogbookError::new(path, "importing", other);
            wrong(e.why())
        }
    })
}

/// Reads an export from front to back, handing over each attempt as it comes. Gives the pupils.
struct Book<'a> {
    /// Given the place and the item; `false` stops the reading.
    take: &'a mut dyn FnMut(usize, Item) -> bool,
}

impl<'de> DeserializeSeed<'de> for Book<'_> {
    type Value = Vec<String>;
    fn deserialize<D: serde::Deserializer<'de>>(self, reader: D) -> Result<Vec<String>, D::Error> {
        reader.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for Book<'_> {
    type Value = Vec<String>;

    fn expecting(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str("an export of a logbook: an object that begins with toeline_logbook")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Vec<String>, A::Error> {
        if map.next_key::<String>()?.as_deref() != Some("toeline_logbook") {
            return Err(A::Error::custom(
                "no export of a logbook: it does not begin with toeline_logbook",
            ));
        }
        let format: u32 = map.next_value()?;
        if format != FORMAT {
            return Err(A::Error::custom(format!(
                "an export of format {format}; this program reads format {FORMAT}"
            )));
        }
        let (mut pupils, mut seen) = (None, false);
        while let Some(key) = map.next_key::<String>()? {
            match key.as_str() {
                "pupils" if pupils.is_none() => pupils = Some(map.next_value::<Vec<String>>()?),
                "attempts" if !seen => {
                    seen = true;
                    map.next_value_seed(Items { take: &mut *self.take })?;
                }
                other => {
                    return Err(A::Error::custom(format!(
                        "\"{other}\" has no place here, or comes twice"
                    )));
                }
            }
        }
        match pupils {
            Some(pupils) if seen => Ok(pupils),
            _ => Err(A::Error::custom("the lists pupils and attempts must both be there")),
        }
    }
}

struct Items<'a> {
    take: &'a mut dyn FnMut(usize, Item) -> bool,
}

impl<'de> DeserializeSeed<'de> for Items<'_> {
    type Value = ();
    fn deserialize<D: serde::Deserializer<'de>>(self, reader: D) -> Result<(), D::Error> {
        reader.deserialize_seq(self)
    }
}

impl<'de> Visitor<'de> for Items<'_> {
    type Value = ();

    fn expecting(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str("a list of attempts")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        let mut n = 0;
        while let Some(item) = list.next_element::<Item>()? {
            if !(self.take)(n, item) {
                return Err(A::Error::custom("stopped"));
            }
            n += 1;
        }
        Ok(())
    }
}
