//! How the time of a drive runs: held, slow, or ten seconds back.
//!
//! Simulated time alone is held or slowed; keys and the window go on. A step back ends the attempt that is being recorded and
//! begins a new one from the earlier state, so that every record stays one drive that replays to the same bits.

use crate::controls::asked;
use crate::drive::{Drive, driving};
use crate::feel::Hands;
use crate::feet::Notices;
use crate::keys::Action;
use crate::recorder::{RecordTo, Recording};
use crate::scene::Scene;
use bevy::prelude::*;
use std::collections::VecDeque;
use toeline_dynamics::{State, TICK_S};
use toeline_training::EventKind;

/// Share of life's pace when time runs slow (ours: a pedal's lag can be seen, and a turn does not bore).
pub const SLOW_SHARE: f64 = 0.25;
/// How far a step back goes, seconds.
pub const BACK_S: f64 = 10.0;
/// Ticks from one kept moment to the next.
const KEEP_EVERY: u64 = 24;
/// Moments kept: two minutes.
const MOST_KEPT: usize = 1200;

/// How time runs.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Flow {
    /// Time stands still.
    pub held: bool,
    /// Time runs at [`SLOW_SHARE`] of life's pace.
    pub slow: bool,
}

/// Where the drive was a while ago.
#[derive(Clone, Copy, Debug)]
struct Moment {
    state: State,
    hands: Hands,
    way_m: f64,
}

/// The last two minutes of the drive.
#[derive(Resource, Clone, Debug, Default)]
pub struct Past(VecDeque<Moment>);

/// Holds and slows time, and steps back.
pub fn flow_plugin(app: &mut App) {
    app.init_resource::<Flow>()
        .init_resource::<Past>()
        .add_systems(FixedPostUpdate, remember.run_if(driving))
        .add_systems(
            Update,
            (
                hold.run_if(asked(Action::HoldTime)),
                slow_down.run_if(asked(Action::SlowTime)),
                step_back.run_if(asked(Action::StepBack)),
                set_pace.run_if(resource_changed::<Flow>),
            )
                .chain(),
        );
}

fn hold(mut flow: ResMut<Flow>) {
    flow.held = !flow.held;
}

fn slow_down(mut flow: ResMut<Flow>) {
    flow.slow = !flow.slow;
}

fn set_pace(flow: Res<Flow>, mut time: ResMut<Time<Virtual>>) {
    // Whether it runs at all is settled where the screens that stop it are known.
    time.set_relative_speed_f64(if flow.slow { SLOW_SHARE } else { 1.0 });
}

fn remember(drive: Res<Drive>, hands: Res<Hands>, mut past: ResMut<Past>) {
    let tick = drive.now.tick;
    // A drive that began anew leaves nothing to go back to.
    while past.0.back().is_some_and(|m| m.state.tick >= tick) {
        past.0.pop_back();
    }
    if past.0.is_empty() || tick.is_multiple_of(KEEP_EVERY) {
        past.0.push_back(Moment {
            state: drive.now,
            hands: *hands,
            way_m: drive.way_m,
        });
        if past.0.len() > MOST_KEPT {
            past.0.pop_front();
        }
    }
}

fn step_back(
    mut drive: ResMut<Drive>,
    mut hands: ResMut<Hands>,
    mut past: ResMut<Past>,
    mut recording: ResMut<Recording>,
    scene: Res<Scene>,
    to: Res<RecordTo>,
    notices: Option<ResMut<Notices>>,
) {
    if scene.lesson.is_some() {
        // A lesson is one drive from its start to its end; its start is a key away.
        return;
    }
    let now = drive.now.tick;
    let want = now.saturating_sub((BACK_S / TICK_S) as u64);
    // The latest moment that is far enough back; the first one that is kept when the drive is younger than that.
    while past.0.len() > 1 && past.0.back().is_some_and(|m| m.state.tick > want) {
        past.0.pop_back();
    }
    let Some(moment) = past.0.back().filter(|m| m.state.tick < now) else {
        return;
    };
    let seconds = (now - moment.state.tick) as f64 * TICK_S;
    recording.event(EventKind::Reset, &format!("{seconds:.0} s back"));
    if recording.keep().is_some()
        && let (Some(trouble), Some(mut notices)) = (recording.last_trouble(), notices)
    {
        notices.say(trouble);
    }
    let kept = recording.kept().to_vec();
    drive.go_to(&moment.state, moment.way_m);
    *hands = moment.hands;
    *recording = Recording::new(&scene, &drive, &to, false).carrying(kept);
}
