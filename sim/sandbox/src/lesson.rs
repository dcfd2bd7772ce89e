//! A lesson in the window: the conductor follows the drive tick by tick, what the exercise wants to happen happens, and what
//! it says stands on the screen.

use crate::drive::{Drive, driving};
use crate::keys::Action;
use crate::radio::Radio;
use crate::recorder::{Noting, Recording};
use crate::scene::Scene;
use bevy::prelude::*;
use std::sync::Arc;
use toeline_dynamics::End;
use toeline_training::EventKind;
use toeline_training::exercise::{Came, Conductor, Cue, Lesson, Reading, StageCame, Until};

/// The lesson that is driven now.
#[derive(Resource, Clone, Debug, Default)]
pub struct Lessons {
    conductor: Option<Conductor>,
    /// The lesson that the conductor follows.
    lesson: Option<Arc<Lesson>>,
    tick: u64,
    /// What came of every stage, once the run has ended in the air or on its side.
    ended: Option<Vec<StageCame>>,
}

/// Follows the drive when it is a lesson.
pub fn lesson_plugin(app: &mut App) {
    app.init_resource::<Lessons>()
        .add_systems(FixedPostUpdate, conduct.run_if(driving).in_set(Noting::Lesson));
}

impl Lessons {
    /// What came of the stages that are behind.
    pub fn came(&self) -> &[StageCame] {
        self.conductor.as_ref().map_or(&[], Conductor::came)
    }

    /// Whether the run has ended in the air or on its side.
    pub fn ended(&self) -> bool {
        self.ended.is_some()
    }

    /// Whether the exercise's tower answers this call now.
    pub fn awaits(&self, call: &str) -> bool {
        let stage = |c: &Conductor| c.exercise().stages[c.stage()?].tower.as_ref()?.upon.clone();
        self.conductor.as_ref().and_then(stage).as_deref() == Some(call)
    }

    /// Keys for what the stage still waits for that is no pedal, lever or yoke, each once, in the order of the stage.
    pub fn actions(&self) -> Vec<Action> {
        let pending = match &self.conductor {
            Some(c) if self.ended.is_none() => c.pending(),
            _ => Vec::new(),
        };
        let mut list: Vec<Action> = pending.into_iter().filter_map(action_for).collect();
        let mut seen = Vec::new();
        list.retain(|a| {
            !seen.contains(a) && {
                seen.push(*a);
                true
            }
        });
        list
    }

    /// The number of stages that are behind when all are; `None` while one is under way, and without a lesson.
    pub fn over(&self) -> Option<usize> {
        let conductor = self.conductor.as_ref()?;
        conductor.stage().is_none().then(|| conductor.came().len())
    }

    /// What the screen says: the stage now and its prompt, with what came of the one before; at the end what came of all.
    pub fn words(&self) -> String {
        let Some(conductor) = &self.conductor else {
            return String::new();
        };
        let stages = &conductor.exercise().stages;
        let came = self.ended.as_deref().unwrap_or(conductor.came());
        match conductor.stage().filter(|_| self.ended.is_none()) {
            Some(k) => {
                let before = came.last().map(came_words);
                let now = format!(
                    "Stage {} of {}, {}: {}",
                    k + 1,
                    stages.len(),
                    stages[k].title,
                    stages[k].prompt
                );
                before.into_iter().chain([now]).collect::<Vec<_>>().join("\n")
            }
            None => {
                let list: Vec<String> = came.iter().map(came_words).collect();
                format!("The lesson is over.\n{}", list.join("\n"))
            }
        }
    }
}

/// The key that does what a stage waits for; `None` for hands and feet.
fn action_for(until: &Until) -> Option<Action> {
    Some(match until {
        Until::Looked(to) => match to.as_str() {
            "left" => Action::LookLeft,
            "right" => Action::LookRight,
            "left shoulder" => Action::LookLeftShoulder,
            "right shoulder" => Action::LookRightShoulder,
            _ => Action::LookApproach,
        },
        Until::Said(call) => match call.as_str() {
            "read back" => Action::ReadBack,
            "request" => Action::AskToGo,
            "ready" => Action::Ready,
            _ => Action::Announce,
        },
        Until::Judged(_) => Action::EngineGood,
        Until::Switched(s) => match s.switch.as_str() {
            "taxi light" => Action::TaxiLight,
            "landing light" => Action::LandingLight,
            "navigation lights" => Action::NavigationLights,
            "beacon" => Action::Beacon,
            "transponder" => Action::Transponder,
            _ => return None,
        },
        Until::Reading(Reading::LeftMagneto | Reading::RightMagneto) => Action::Magnetos,
        Until::Reading(Reading::CarburettorHeat) => Action::HeatMore,
        _ => return None,
    })
}

/// What came of a stage, in a line.
fn came_words(c: &StageCame) -> String {
    let more = match c.came {
        Came::LimitBroken => c.broken.first().map_or("", |b| b.text.as_str()),
        Came::NotDone => c.text.as_str(),
        Came::Done | Came::NotBegun => "",
    };
    let how = c.came.word();
    if more.is_empty() {
        format!("{}: {how}", c.title)
    } else {
        format!("{}: {how}: {more}", c.title)
    }
}

fn conduct(
    scene: Res<Scene>,
    mut drive: ResMut<Drive>,
    mut lessons: ResMut<Lessons>,
    mut recording: ResMut<Recording>,
    mut radio: ResMut<Radio>,
) {
    let Some(lesson) = &scene.lesson else {
        if lessons.conductor.is_some() {
            *lessons = Lessons::default();
        }
        return;
    };
    if drive.tick == lessons.tick {
        return;
    }
    let same = lessons.lesson.as_ref().is_some_and(|l| Arc::ptr_eq(l, lesson));
    if !same || drive.tick != lessons.tick + 1 {
        // Another lesson, or back at the start of this one.
        lessons.conductor = Some(Conductor::new(lesson));
        lessons.lesson = Some(Arc::clone(lesson));
        lessons.ended = None;
    }
    lessons.tick = drive.tick;
    if lessons.ended.is_some() {
        return;
    }
    let Some(conductor) = &mut lessons.conductor else {
        return;
    };
    conductor.live(&drive.controls, recording.recorder());
    for cue in conductor.take_cues() {
        match cue {
            Cue::Breaks(faults) => drive.params = recording.breaks(faults),
            Cue::Tells { what, words } => {
                recording.deed(EventKind::Told, None, &what, &words);
                radio.hear(drive.tick, what, &words);
            }
        }
    }
    if drive.now.end != End::No {
        let came = conductor.clone().finish(&recording.attempt().events);
        lessons.ended = Some(came);
    }
}
