//! Keeps what is driven: every tick goes into an attempt, and every attempt goes to the disk when it ends.

use crate::drive::Drive;
use crate::scene::Scene;
use bevy::prelude::*;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime, UNIX_EPOCH};
use toeline_dynamics::{Controls, Faults, Params, State};
use toeline_training::exercise::{self, Came, Conductor, Lesson, StageCame};
use toeline_training::journal::{self, Journal, PART_EVERY_TICKS};
use toeline_training::logbook::{About, Logbook};
use toeline_training::store::StoreCause;
use toeline_training::{Attempt, EventKind, Recorder, store};

/// An attempt shorter than this is not kept, ticks: a second in which nothing was driven.
const SHORTEST_TICKS: u64 = 240;

/// How long the window waits for another program that writes the logbook (ours: a pause, not a fright).
const MOST_WAIT: Duration = Duration::from_secs(1);

/// The attempt being recorded, and where it goes.
#[derive(Resource, Debug)]
pub struct Recording {
    recorder: Recorder,
    ticks: u64,
    /// File of the attempt; `None` keeps nothing on the disk.
    file: Option<PathBuf>,
    /// Written while it is driven; from the first tick that is worth keeping, and until the attempt has been saved.
    journal: Option<Journal>,
    /// The attempt before this one at the same task.
    earlier: Option<Arc<Attempt>>,
    /// What could not be written, in words.
    pub trouble: Option<String>,
    /// What was written last.
    pub written: Option<PathBuf>,
    /// Whose logbook it goes into as well.
    book: Option<Book>,
    /// The lesson that is driven, when it is one.
    lesson: Option<Arc<Lesson>>,
    /// What became of the attempts of this window that have ended, this one included once it has.
    kept: Vec<Kept>,
}

/// What became of an attempt that has ended.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// File that it is in.
    pub file: Option<PathBuf>,
    /// What could not be written, in words.
    pub trouble: Option<String>,
    /// What came of its stages, when it was a lesson.
    pub stages: Option<String>,
    /// Whether every stage was done within its limits; without a lesson there is none to miss.
    pub all_done: bool,
}

/// A pupil's place in a logbook.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Book {
    /// File of the logbook.
    pub file: PathBuf,
    /// The pupil, by the name or number that he chose.
    pub pupil: String,
}

impl Book {
    /// Adds an attempt that has just ended.
    fn add(&self, attempt: &Attempt) -> Result<(), String> {
        let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        let exercise = attempt
            .job
            .as_ref()
            .and_then(|j| j.get("exercise")?.get("id")?.as_str());
        let about = About {
            pupil: self.pupil.clone(),
            when_unix_s: i64::try_from(now.as_secs()).unwrap_or(i64::MAX),
            exercise: exercise.map(str::to_string),
            ..About::default()
        };
        let mut book = Logbook::begin(&self.file).map_err(|e| e.to_string())?;
        // The window stands still meanwhile.
        book.wait_at_most(MOST_WAIT).map_err(|e| e.to_string())?;
        book.add(attempt, &about).map_err(|e| e.to_string())?;
        Ok(())
    }
}

/// Where attempts are to be written.
#[derive(Resource, Clone, Debug, Default)]
pub struct RecordTo {
    /// File of the first attempt; later ones, after a restart, get a number. `None` keeps nothing on the disk.
    pub file: Option<PathBuf>,
    /// Whether the first attempt may take the place of a file that is there, because the name was asked for.
    pub replace: bool,
    /// Logbook and pupil; `None` leaves the logbook alone.
    pub book: Option<Book>,
}

impl RecordTo {
    /// The file of the next attempt.
    pub fn next(&self, first: bool) -> Option<PathBuf> {
        self.file.as_deref().map(|file| {
            if first && self.replace {
                file.to_path_buf()
            } else {
                free_name(file)
            }
        })
    }
}

impl Recording {
    /// A fresh recording of a drive that stands at its start, to go where `to` says; `first` as in [`RecordTo::next`].
    pub fn new(scene: &Scene, drive: &Drive, to: &RecordTo, first: bool) -> Recording {
        let recorder = Recorder::new(&scene.aircraft, scene.environment, &drive.now, Some(scene.job.clone()));
        Recording {
            recorder: recorder.among(scene.surroundings.clone()),
            ticks: 0,
            file: to.next(first),
            journal: None,
            earlier: None,
            trouble: None,
            written: None,
            book: to.book.clone(),
            lesson: scene.lesson.clone(),
            kept: Vec::new(),
        }
    }

    /// The same, with what became of the attempts before it.
    #[must_use]
    pub fn carrying(self, kept: Vec<Kept>) -> Recording {
        Recording { kept, ..self }
    }

    /// What became of the attempts of this window that have ended, in order.
    pub fn kept(&self) -> &[Kept] {
        &self.kept
    }

    /// What could not be written of the attempt that ended last.
    pub fn last_trouble(&self) -> Option<&str> {
        self.kept.last()?.trouble.as_deref()
    }

    /// The same, after an earlier attempt: it can be shown beside this one when it was at the same task.
    #[must_use]
    pub fn after(mut self, earlier: Option<Arc<Attempt>>) -> Recording {
        let now = self.recorder.attempt();
        self.earlier = earlier
            .filter(|then| then.job == now.job && then.aircraft == now.aircraft && then.start.tick == now.start.tick);
        self
    }

    /// The attempt before this one at the same task.
    pub fn earlier(&self) -> Option<&Arc<Attempt>> {
        self.earlier.as_ref()
    }

    /// Takes one tick down.
    pub fn push(&mut self, controls: &Controls, state: &State) {
        match self.recorder.push(controls, state) {
            Ok(()) => self.ticks += 1,
            Err(e) => self.trouble = Some(e.to_string()),
        }
        if self.ticks.is_multiple_of(PART_EVERY_TICKS) {
            self.journal();
        }
    }

    /// Hands what was recorded since the last time to the journal.
    fn journal(&mut self) {
        let Some(file) = &self.file else { return };
        if self.journal.is_none() && self.ticks == PART_EVERY_TICKS {
            match Journal::begin(&free_name(&journal_of(file)), &self.recorder.beginning()) {
                Ok(journal) => self.journal = Some(journal),
                // The drive goes on; it is then kept only at its end.
                Err(e) => self.trouble = Some(e.to_string()),
            }
        }
        if let Some(journal) = &self.journal {
            if let Some(part) = self.recorder.part() {
                journal.add(part);
            }
            if let Some(trouble) = journal.trouble() {
                self.trouble = Some(trouble);
            }
        }
    }

    /// Ticks taken down so far.
    pub fn ticks(&self) -> u64 {
        self.ticks
    }

    /// Notes that something broke, and gives the numbers to step with from now on.
    pub fn breaks(&mut self, faults: Faults) -> Params {
        self.recorder.breaks(faults, "something broke")
    }

    /// What collects the ticks.
    pub fn recorder(&self) -> &Recorder {
        &self.recorder
    }

    /// The attempt so far.
    pub fn attempt(&self) -> &Attempt {
        self.recorder.attempt()
    }

    /// Notes that something happened.
    pub fn event(&mut self, kind: EventKind, words: &str) {
        self.recorder.event(kind, words);
    }

    /// Notes a look, a switch, a call or a judgement: what it was of, and what it was.
    pub fn deed(&mut self, kind: EventKind, part: Option<&str>, thing: &str, words: &str) {
        self.recorder.deed(kind, part, thing, words);
    }

    /// Closes the attempt and writes it, if it has a file. Gives it back, if it is long enough to be one.
    pub fn keep(&mut self) -> Option<Arc<Attempt>> {
        let attempt = (self.ticks >= SHORTEST_TICKS).then(|| Arc::new(self.recorder.clone().finish()));
        let saved = match self.file.as_deref().zip(attempt.as_deref()) {
            // Too short to be an attempt: its journal goes too.
            None => true,
            Some((file, attempt)) => match store::save(file, attempt) {
                Ok(()) => {
                    self.written = Some(file.to_path_buf());
                    true
                }
                Err(e) => {
                    self.trouble = Some(e.to_string());
                    false
                }
            },
        };
        if let Some((book, attempt)) = self.book.as_ref().zip(attempt.as_deref())
            && let Err(e) = book.add(attempt)
        {
            // The attempt's own file is there all the same, and `toeline logbook add` takes it later.
            self.trouble = Some(format!("not in the logbook: {e}"));
        }
        if let Some(journal) = self.journal.take() {
            let ended = if saved {
                journal.discard().err().map(|e| e.to_string())
            } else {
                journal.close()
            };
            if let Some(trouble) = ended {
                self.trouble = Some(trouble);
            }
        }
        if let Some(attempt) = &attempt {
            let came = self.lesson.as_ref().map(|l| (l, Conductor::over(l, attempt)));
            let done = |came: &[StageCame]| came.iter().all(|c| c.came == Came::Done);
            self.kept.push(Kept {
                file: self.written.clone(),
                trouble: self.trouble.clone(),
                all_done: came.as_ref().is_none_or(|(_, came)| done(came)),
                stages: came.map(|(l, came)| exercise::tell(&l.exercise, &came)),
            });
        }
        attempt
    }
}

/// The journal beside an attempt's file.
pub fn journal_of(file: &Path) -> PathBuf {
    file.with_extension("journal")
}

/// Journals beside `file` that a program that died has left, saved as attempts in files of their own. Gives a sentence for
/// each. Journals of running windows are locked and left alone.
pub fn rescue(file: &Path) -> Vec<String> {
    let folder = match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let stem = file.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let mut left: Vec<PathBuf> = std::fs::read_dir(folder)
        .map(|all| {
            all.filter_map(|entry| Some(entry.ok()?.path()))
                .filter(|p| p.extension().is_some_and(|e| e == "journal"))
                .filter(|p| p.file_name().is_some_and(|n| n.to_string_lossy().starts_with(&stem)))
                .collect()
        })
        .unwrap_or_default();
    left.sort();
    left.iter().filter_map(|path| rescue_one(path)).collect()
}

fn rescue_one(path: &Path) -> Option<String> {
    let found = match journal::recover(path) {
        Ok(found) => found,
        Err(e) if matches!(e.cause, StoreCause::InUse) => return None,
        Err(e) => return Some(format!("a journal of an earlier drive cannot be used: {e}")),
    };
    let to = free_name(&path.with_extension("json"));
    if let Err(e) = store::save(&to, &found.attempt) {
        return Some(e.to_string());
    }
    let gone = match std::fs::remove_file(path) {
        Ok(()) => String::new(),
        Err(e) => format!("; {} could not be removed: {e}", path.display()),
    };
    Some(format!(
        "an earlier drive ended without being saved; its {:.0} s are now in {}{gone}\nIt is in no logbook yet: toeline logbook add FILE --pupil PUPIL",
        found.attempt.duration_s(),
        to.display()
    ))
}

/// The first name like `file` that is not taken: `a.json`, `a-2.json`, `a-3.json` and so on.
pub fn free_name(file: &Path) -> PathBuf {
    let stem = file.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let ending = file
        .extension()
        .map(|e| format!(".{}", e.to_string_lossy()))
        .unwrap_or_default();
    let mut name = file.to_path_buf();
    let mut number = 2;
    while name.exists() {
        name = file.with_file_name(format!("{stem}-{number}{ending}"));
        number += 1;
    }
    name
}

/// Who notes something in the attempt after a tick, in this order: equal drives leave equal attempts.
#[derive(SystemSet, Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Noting {
    /// The heading indicator's knob.
    Instruments,
    /// Lights, flaps, trim, transponder.
    Switches,
    /// Looks.
    Eyes,
    /// The radio's answers.
    Voice,
    /// The lesson, which goes by what the others have noted.
    Lesson,
}

/// The set in which the last attempt is kept.
#[derive(SystemSet, Clone, Debug, PartialEq, Eq, Hash)]
pub struct KeepAttempt;

/// Starts recording with the drive and keeps the attempt when the program leaves.
pub fn recorder_plugin(app: &mut App) {
    use Noting::{Eyes, Instruments, Lesson, Switches, Voice};
    app.init_resource::<RecordTo>()
        .configure_sets(FixedPostUpdate, (Instruments, Switches, Eyes, Voice, Lesson).chain())
        .add_systems(Last, keep_on_leaving.in_set(KeepAttempt));
}

fn keep_on_leaving(mut leaving: MessageReader<AppExit>, recording: Option<ResMut<Recording>>) {
    if leaving.read().count() > 0
        && let Some(mut recording) = recording
    {
        recording.keep();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_taken_name_gets_a_number() {
        assert_eq!(
            free_name(Path::new("nowhere/at all/a.json")),
            Path::new("nowhere/at all/a.json")
        );
        let here = Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.toml");
        assert_eq!(free_name(&here), here.with_file_name("Cargo-2.toml"));
    }
}
