//! A lesson driven without a window: by a control script, or by the model pilot as a perfect pupil. The conductor runs along;
//! what it wants to happen happens, and is noted.

use super::Lesson;
use super::conductor::{Conductor, Cue};
use super::demonstrator::Demonstrator;
use super::telling::StageCame;
use crate::attempt::{ANSWERS, Attempt, CALLS, Event, EventKind, LOOKS, MOST_TICKS};
use crate::recorder::Recorder;
use crate::script::{Script, ScriptProblem};
use std::sync::Arc;
use toeline_dynamics::{Controls, State, step};

/// A drive through a lesson.
#[derive(Clone, Debug)]
pub struct LessonDrive {
    /// The attempt; its job names the exercise.
    pub attempt: Attempt,
    /// What came of the stages.
    pub came: Vec<StageCame>,
    /// Why the model pilot did not get to the end; `None` when it did, and of a script.
    pub gave_up: Option<String>,
}

/// Something that the driver does besides moving the controls: what becomes an event.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Doing {
    pub(super) kind: EventKind,
    pub(super) part: Option<String>,
    pub(super) thing: String,
}

impl Doing {
    pub(super) fn of(kind: EventKind, thing: &str) -> Doing {
        Doing {
            kind,
            part: None,
            thing: thing.to_string(),
        }
    }
}

/// Whoever drives: the controls for the next tick, and what is done besides; `None` ends the drive.
pub(super) trait Driver {
    fn next(&mut self, conductor: &Conductor, state: &State, doings: &mut Vec<Doing>) -> Option<Controls>;
}

pub(super) fn drive(lesson: &Lesson, driver: &mut dyn Driver) -> (Attempt, Vec<StageCame>) {
    let environment = lesson.environment;
    let mut params = environment.params(&lesson.aircraft);
    let mut state = lesson.start;
    let mut recorder = Recorder::new(&lesson.aircraft, environment, &state, Some(lesson.job()))
        .among(Arc::clone(&lesson.surroundings));
    let mut conductor = Conductor::new(lesson);
    for _ in 0..MOST_TICKS {
        let mut doings = Vec::new();
        let Some(controls) = driver.next(&conductor, &state, &mut doings) else {
            break;
        };
        state = step(&params, &environment.ground, &environment.air, &state, &controls);
        // Every tick comes once and in order.
        if recorder.push(&controls, &state).is_err() {
            break;
        }
        for doing in doings {
            recorder.deed(doing.kind, doing.part.as_deref(), &doing.thing, "");
        }
        conductor.live(&controls, &recorder);
        for cue in conductor.take_cues() {
            match cue {
                Cue::Breaks(faults) => params = recorder.breaks(faults, "something broke"),
                Cue::Tells { what, words } => recorder.deed(EventKind::Told, None, &what, words),
            }
        }
    }
    let events: Vec<Event> = recorder.attempt().events.clone();
    (recorder.finish(), conductor.finish(&events))
}

/// Drives a lesson by a control script (`docs/attempts.md`), which may also say what is done besides the controls:
/// `at TICK looks left`, `says ready`, `judges fit`, `switches "taxi light" on`.
///
/// # Errors
/// Everything wrong in the script.
pub fn drive_by_script(lesson: &Lesson, text: &str) -> Result<LessonDrive, Vec<ScriptProblem>> {
    let mut scripted = Scripted::parse(text)?;
    let (attempt, came) = drive(lesson, &mut scripted);
    Ok(LessonDrive {
        attempt,
        came,
        gave_up: None,
    })
}

/// Lets the model pilot drive a lesson as a perfect pupil would: with looks, calls and judgements.
pub fn drive_by_model_pilot(lesson: &Lesson) -> LessonDrive {
    let mut demonstrator = Demonstrator::new(lesson);
    let (attempt, came) = drive(lesson, &mut demonstrator);
    LessonDrive {
        attempt,
        came,
        gave_up: demonstrator.why_not(),
    }
}

struct Scripted {
    controls: std::vec::IntoIter<(u64, Controls)>,
    held: Controls,
    ahead: Option<(u64, Controls)>,
    ticks: u64,
    done: u64,
    doings: Vec<(u64, Doing)>,
}

impl Scripted {
    fn parse(text: &str) -> Result<Scripted, Vec<ScriptProblem>> {
        let (mut doings, mut problems, mut rest) = (Vec::new(), Vec::new(), String::new());
        for (k, line) in text.lines().enumerate() {
            match doing(line) {
                Some(Ok(found)) => doings.push(found),
                Some(Err(text)) => problems.push(ScriptProblem { line: k + 1, text }),
                None => rest += line,
            }
            // Lines keep their numbers.
            rest.push('\n');
        }
        match Script::parse(&rest) {
            Ok(script) if problems.is_empty() => {
                doings.sort_by_key(|d: &(u64, Doing)| d.0);
                let mut controls = script.orders.into_iter();
                Ok(Scripted {
                    ahead: controls.next(),
                    controls,
                    held: Controls::default(),
                    ticks: script.ticks,
                    done: 0,
                    doings,
                })
            }
            Ok(_) => Err(problems),
            Err(more) => {
                problems.extend(more);
                problems.sort_by_key(|p| p.line);
                Err(problems)
            }
        }
    }
}

/// What a line does besides the controls; `None` when it is an ordinary line.
fn doing(line: &str) -> Option<Result<(u64, Doing), String>> {
    let line = line.split('#').next().unwrap_or("");
    let mut words = line.split_whitespace();
    let (at, tick, verb) = (words.next()?, words.next()?, words.next()?);
    let (kind, can): (EventKind, &[&str]) = match verb {
        "looks" => (EventKind::Looked, &LOOKS),
        "says" => (EventKind::Said, &CALLS),
        "hears" => (EventKind::Told, &ANSWERS),
        "judges" => (EventKind::Judged, &["fit", "unfit"]),
        "switches" => (EventKind::Switched, &[]),
        _ => return None,
    };
    let what = words.collect::<Vec<_>>().join(" ");
    let Some(tick) = tick.parse::<u64>().ok().filter(|t| at == "at" && *t <= MOST_TICKS) else {
        return Some(Err(format!("\"{line}\": write at TICK {verb} …")));
    };
    if kind == EventKind::Switched {
        let parts: Vec<&str> = what.split('"').collect();
        let [_, switch, to] = parts[..] else {
            return Some(Err(format!("switches {what}: write switches \"NAME\" POSITION")));
        };
        let doing = Doing {
            kind,
            part: Some(switch.to_string()),
            thing: to.trim().to_string(),
        };
        return Some(Ok((tick, doing)));
    }
    if !can.contains(&what.as_str()) {
        return Some(Err(format!("{verb} \"{what}\": there are {}", can.join(", "))));
    }
    Some(Ok((tick, Doing::of(kind, &what))))
}

impl Driver for Scripted {
    fn next(&mut self, _: &Conductor, _: &State, doings: &mut Vec<Doing>) -> Option<Controls> {
        if self.done >= self.ticks {
            return None;
        }
        while let Some((_, controls)) = self.ahead.filter(|a| a.0 <= self.done) {
            self.held = controls;
            self.ahead = self.controls.next();
        }
        let now = self.doings.iter().take_while(|d| d.0 <= self.done).count();
        doings.extend(self.doings.drain(..now).map(|d| d.1));
        self.done += 1;
        Some(self.held)
    }
}
