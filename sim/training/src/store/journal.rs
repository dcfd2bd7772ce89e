//! An attempt written down while it is driven, so that a program that dies loses at most the last moment.
//!
//! A journal is a text file that only ever grows: one line for the attempt as it began, then one for each part of it. A
//! line is a fingerprint of its text (FNV-1a, 64 bit, sixteen hexadecimal digits), a space and JSON. A line that does not
//! agree with its fingerprint was not written whole; it and what follows are not used. A part is flushed to the disk before
//! the next one is taken, on a thread of its own, because a disk may take longer than a frame.

use crate::attempt::{Attempt, Checkpoint, Event, FORMAT, TrackPoint};
use crate::inputs::Inputs;
use crate::reading::AttemptError;
use crate::store::{StoreCause, StoreError, failed, wrong};
use serde::{Deserialize, Serialize};
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Sender, channel};
use std::sync::{Arc, OnceLock};
use std::thread::JoinHandle;

/// Ticks from one part to the next: a quarter of a second.
pub const PART_EVERY_TICKS: u64 = 60;

/// Longest line that is read, bytes: far above a part's.
const MOST_LINE: u64 = 64 * 1024 * 1024;

/// What was added to an attempt since the last part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// What the hands and feet did in it.
    pub inputs: Inputs,
    /// State at its end.
    pub end: Checkpoint,
    /// States stored in it.
    pub checkpoints: Vec<Checkpoint>,
    /// Track points in it.
    pub track: Vec<TrackPoint>,
    /// Events in it.
    pub events: Vec<Event>,
}

/// The first line: an attempt that has just begun.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    toeline_journal: u32,
    attempt: Attempt,
}

/// A journal that is being written.
#[derive(Debug)]
pub struct Journal {
    path: PathBuf,
    parts: Option<Sender<Part>>,
    trouble: Arc<OnceLock<String>>,
    writer: Option<JoinHandle<()>>,
}

/// What a journal still held.
#[derive(Clone, Debug, PartialEq)]
pub struct Recovered {
    /// The attempt up to its last whole part.
    pub attempt: Attempt,
    /// Bytes at the end that were not written whole; 0 after an orderly end.
    pub torn_bytes: u64,
}

fn fingerprint(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

fn line(content: &impl Serialize) -> Result<String, AttemptError> {
    let json = serde_json::to_string(content).map_err(|e| AttemptError::Write(e.to_string()))?;
    Ok(format!("{:016x} {json}\n", fingerprint(&json)))
}

fn append(file: &mut File, content: &impl Serialize) -> Result<(), StoreCause> {
    let text = line(content).map_err(StoreCause::Content)?;
    file.write_all(text.as_bytes()).map_err(StoreCause::System)?;
    file.sync_data().map_err(StoreCause::System)
}

fn in_use(e: TryLockError) -> StoreCause {
    match e {
        TryLockError::Error(e) => StoreCause::System(e),
        TryLockError::WouldBlock => StoreCause::InUse,
    }
}

impl Journal {
    /// Begins a journal in a new file with an attempt that has just begun.
    ///
    /// # Errors
    /// The file and the cause; a file that is already there is left alone.
    pub fn begin(path: &Path, attempt: &Attempt) -> Result<Journal, StoreError> {
        let mut file = OpenOptions::new()
            .append(true)
            .create_new(true)
            .open(path)
            .map_err(failed(path, "creating"))?;
        // Held until the file is closed, by whatever end: so a journal that was left can be told from one in use.
        file.try_lock().map_err(|e| wrong(path, "locking", in_use(e)))?;
        let head = Head {
            toeline_journal: FORMAT,
            attempt: attempt.clone(),
        };
        append(&mut file, &head).map_err(|cause| wrong(path, "writing", cause))?;
        let (parts, to_write) = channel::<Part>();
        let trouble = Arc::new(OnceLock::new());
        let say = Arc::clone(&trouble);
        let name = path.to_path_buf();
        let writer = std::thread::spawn(move || {
            for part in to_write {
                if let Err(cause) = append(&mut file, &part) {
                    // Nothing after a part that is missing can be used: stop here, and say so once.
                    let _ = say.set(wrong(&name, "writing", cause).to_string());
                    return;
                }
            }
        });
        Ok(Journal {
            path: path.to_path_buf(),
            parts: Some(parts),
            trouble,
            writer: Some(writer),
        })
    }

    /// Hands over a part to be written.
    pub fn add(&self, part: Part) {
        if let Some(parts) = &self.parts {
            // A writer that has stopped has said why.
            let _ = parts.send(part);
        }
    }

    /// What went wrong with writing, in words.
    pub fn trouble(&self) -> Option<String> {
        self.trouble.get().cloned()
    }

    /// Waits until everything handed over is on the disk. Gives what went wrong, in words.
    pub fn close(mut self) -> Option<String> {
        self.settle();
        self.trouble()
    }

    /// The same, and removes the file: the whole attempt has been saved elsewhere.
    ///
    /// # Errors
    /// The file and the cause.
    pub fn discard(mut self) -> Result<(), StoreError> {
        self.settle();
        std::fs::remove_file(&self.path).map_err(failed(&self.path, "removing"))
    }

    fn settle(&mut self) {
        self.parts = None;
        if let Some(writer) = self.writer.take() {
            let _ = writer.join();
        }
    }
}

impl Drop for Journal {
    fn drop(&mut self) {
        self.settle();
    }
}

/// One line of a journal; `None` at its end or where it is not whole, with the bytes that were there.
fn next_line(reader: &mut impl BufRead, path: &Path) -> Result<(Option<String>, u64), StoreError> {
    let mut bytes = Vec::new();
    let count = reader
        .by_ref()
        .take(MOST_LINE)
        .read_until(b'\n', &mut bytes)
        .map_err(failed(path, "reading"))? as u64;
    let json = String::from_utf8(bytes).ok().and_then(|text| {
        let (hash, json) = text.strip_suffix('\n')?.split_once(' ')?;
        (hash.len() == 16 && u64::from_str_radix(hash, 16).ok()? == fingerprint(json)).then(|| json.to_string())
    });
    Ok((json, count))
}

/// Reads what a journal holds: the attempt up to the last part that was written whole.
///
/// # Errors
/// The file and the cause: another window is writing it, not even the beginning was written whole, or the parts do not
/// fit together.
pub fn recover(path: &Path) -> Result<Recovered, StoreError> {
    let unsound = |cause: AttemptError| wrong(path, "reading", StoreCause::Content(cause));
    let shape = |e: serde_json::Error| unsound(AttemptError::Shape(e.to_string()));
    let file = File::open(path).map_err(failed(path, "reading"))?;
    file.try_lock_shared().map_err(|e| wrong(path, "reading", in_use(e)))?;
    let mut reader = BufReader::new(file);
    let (Some(head), _) = next_line(&mut reader, path)? else {
        let cause = "the first line of the journal was not written whole".to_string();
        return Err(unsound(AttemptError::Shape(cause)));
    };
    let head: Head = serde_json::from_str(&head).map_err(shape)?;
    if head.toeline_journal != FORMAT {
        return Err(unsound(AttemptError::Format(head.toeline_journal)));
    }
    let mut attempt = head.attempt;
    let mut end = None;
    let torn_bytes = loop {
        let (json, bytes) = next_line(&mut reader, path)?;
        let Some(json) = json else {
            let mut rest = bytes;
            rest += std::io::copy(&mut reader, &mut std::io::sink()).map_err(failed(path, "reading"))?;
            break rest;
        };
        let part: Part = serde_json::from_str(&json).map_err(shape)?;
        attempt.inputs.append(&part.inputs);
        attempt.checkpoints.extend(part.checkpoints);
        attempt.track.extend(part.track);
        attempt.events.extend(part.events);
        end = Some(part.end);
    };
    let end = end.unwrap_or_else(|| attempt.start.clone());
    if attempt.checkpoints.last().is_none_or(|c| c.tick != end.tick) {
        attempt.checkpoints.push(end);
    }
    let problems = attempt.problems();
    if problems.is_empty() {
        Ok(Recovered { attempt, torn_bytes })
    } else {
        Err(unsound(AttemptError::Unsound(problems)))
    }
}
