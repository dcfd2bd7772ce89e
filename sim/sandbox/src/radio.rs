//! The radio and the pilot's word on the engine check, as far as a lesson needs them: a few calls by key, and a voice that
//! lets the aeroplane onto the runway at whose holding position it stands. Where nobody permits, the pilot announces.

use crate::controls::Asked;
use crate::drive::{Drive, Phase};
use crate::keys::Action;
use crate::lesson::Lessons;
use crate::recorder::{Noting, Recording};
use crate::scene::Scene;
use bevy::prelude::*;
use toeline_dynamics::TICK_S;
use toeline_training::EventKind;

/// How near the nose wheel must be to a holding position for the voice to answer, metres of way (ours).
pub const AT_HOLD_M: f64 = 20.0;
/// Time to the answer, seconds (ours).
pub const ANSWER_S: f64 = 4.0;
/// How long the last words stay on the screen, seconds (ours).
pub const SHOWN_S: f64 = 10.0;

/// What was said last on the radio, and what is still to be answered.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub struct Radio {
    /// Words for the screen; empty when nothing was said lately.
    pub words: String,
    /// What the voice told last, as the attempt names it.
    pub told: Option<String>,
    said_at: u64,
    due: Option<Due>,
    tick: u64,
}

/// An answer to come: its tick, what it permits or forbids, and the words. Without the second it tells nothing that counts.
type Due = (u64, Option<&'static str>, String);

/// Takes the calls and gives the answers.
pub fn radio_plugin(app: &mut App) {
    app.init_resource::<Radio>()
        .add_systems(
            RunFixedMainLoop,
            call.after(RunFixedMainLoopSystems::BeforeFixedMainLoop)
                .before(RunFixedMainLoopSystems::FixedMainLoop),
        )
        .add_systems(FixedPostUpdate, answer.in_set(Noting::Voice));
}

impl Radio {
    /// The voice says something at a tick: what it permits or forbids, and the words.
    pub fn hear(&mut self, tick: u64, what: impl Into<String>, words: &str) {
        self.told = Some(what.into());
        // Who has just been told something is not told to wait as well.
        self.due = self.due.take().filter(|(_, what, _)| what.is_some());
        self.say(tick, format!("Radio: {words}"));
    }

    fn say(&mut self, tick: u64, words: String) {
        self.words = words;
        self.said_at = tick;
    }
}

/// What the voice says to who asks at this place: the kind of permission and the words. "hold short" away from a holding
/// position of a runway.
pub fn reply(scene: &Scene, way_m: f64) -> (&'static str, String) {
    let next = scene.stops.iter().find(|s| s.at_m > way_m - 2.0);
    let runway = next.and_then(|s| s.name.split("(runway ").nth(1).map(|r| r.trim_end_matches(')')));
    match (next, runway) {
        // A runway with both its designators is one that is only crossed.
        (Some(stop), Some(runway)) if stop.at_m - way_m <= AT_HOLD_M && runway.contains('/') => {
            ("cross", format!("cross runway {runway}"))
        }
        (Some(stop), Some(runway)) if stop.at_m - way_m <= AT_HOLD_M => {
            ("enter", format!("runway {runway}, cleared for take-off"))
        }
        (Some(stop), Some(_)) => ("hold short", format!("hold short at {}", stop.name)),
        _ => ("hold short", "no runway is ahead of you; hold position".into()),
    }
}

fn call(
    mut asked: MessageReader<Asked>,
    phase: Res<Phase>,
    scene: Res<Scene>,
    drive: Res<Drive>,
    lessons: Res<Lessons>,
    mut radio: ResMut<Radio>,
    mut recording: ResMut<Recording>,
) {
    for Asked(action) in asked.read() {
        if *phase != Phase::Driving || recording.ticks() == 0 {
            continue;
        }
        let words = match action {
            Action::ReadBack => {
                let heard = radio.told.as_deref().unwrap_or("nothing");
                recording.deed(
                    EventKind::Said,
                    Some(heard),
                    "read back",
                    &format!("read back: {heard}"),
                );
                match &radio.told {
                    Some(told) => format!("You read back: {told}"),
                    None => "You read back, but nothing was said to you yet".into(),
                }
            }
            Action::AskToGo => {
                recording.deed(EventKind::Said, None, "request", "asked for the runway");
                radio.due = due(&scene, &drive, lessons.awaits("request"));
                "You ask for the runway".into()
            }
            Action::Ready => {
                recording.deed(EventKind::Said, None, "ready", "said that he is ready for departure");
                radio.due = due(&scene, &drive, lessons.awaits("ready"));
                "You say that you are ready for departure".into()
            }
            Action::Announce => {
                recording.deed(EventKind::Said, None, "announce", "announced entering the runway");
                "You announce that you are entering the runway".into()
            }
            Action::EngineGood => {
                recording.deed(EventKind::Judged, Some("engine"), "fit", "judged the engine good");
                "Engine check: you call it good".into()
            }
            Action::EngineBad => {
                recording.deed(EventKind::Judged, Some("engine"), "unfit", "judged the engine not good");
                "Engine check: you call it not good. Back to the stand".into()
            }
            _ => continue,
        };
        radio.say(drive.tick, words);
    }
}

/// The answer to a call. In a lesson with a tower the exercise answers the call that it waits for, and any other is told to
/// wait.
fn due(scene: &Scene, drive: &Drive, awaited: bool) -> Option<Due> {
    let at = drive.tick + (ANSWER_S / TICK_S) as u64;
    let lesson = scene.lesson.as_ref();
    if lesson.is_some_and(|l| l.exercise.stages.iter().any(|s| s.tower.is_some())) {
        return (!awaited).then(|| (at, None, "stand by".to_string()));
    }
    let (kind, words) = reply(scene, drive.way_m);
    Some((at, Some(kind), words))
}

/// Gives the answer when it is due, and takes the words down again.
fn answer(drive: Res<Drive>, mut radio: ResMut<Radio>, mut recording: ResMut<Recording>) {
    if drive.tick == radio.tick {
        return;
    }
    if drive.tick != radio.tick + 1 {
        // Back at the start, or somewhere else: nothing was said there.
        *radio = Radio::default();
    }
    radio.tick = drive.tick;
    if radio.due.as_ref().is_some_and(|(due, ..)| drive.tick >= *due)
        && let Some((_, kind, words)) = radio.due.take()
    {
        match kind {
            Some(kind) => {
                recording.deed(EventKind::Told, None, kind, &words);
                radio.hear(drive.tick, kind, &words);
            }
            None => radio.say(drive.tick, format!("Radio: {words}")),
        }
    }
    if !radio.words.is_empty() && (drive.tick - radio.said_at) as f64 * TICK_S > SHOWN_S {
        radio.words.clear();
    }
}
