//! Who drives beside the learner: nobody, the model pilot, or the attempt before this one.
//!
//! The other aeroplane is a recorded drive of the same task, shown at the same time since its start; nothing of it is
//! felt. With the model pilot his feet are shown too: what he would do at this moment in the learner's own seat.

use crate::controls::asked;
use crate::drive::{Drive, driving};
use crate::feet::Notices;
use crate::keys::Action;
use crate::recorder::Recording;
use crate::scene::Scene;
use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task, block_on, futures_lite::future};
use std::sync::Arc;
use toeline_dynamics::Controls;
use toeline_model::Pose;
use toeline_training::pilot::{Doing, Pilot, drive_task};
use toeline_training::{Attempt, TrackPoint};

/// Distance off the path from which the pilot's feet are no help and are not shown, metres (ours).
const TOO_FAR_M: f64 = 3.0;

/// Who drives beside the learner.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Company {
    /// Nobody.
    #[default]
    Nobody,
    /// The model pilot.
    Pilot,
    /// The attempt before this one.
    Earlier,
}

impl Company {
    /// The one that the next press asks for.
    pub fn next(self) -> Company {
        match self {
            Company::Nobody => Company::Pilot,
            Company::Pilot => Company::Earlier,
            Company::Earlier => Company::Nobody,
        }
    }

    /// Who it is, in words.
    pub fn words(self) -> &'static str {
        match self {
            Company::Nobody => "nobody",
            Company::Pilot => "the model pilot",
            Company::Earlier => "your attempt before this one",
        }
    }
}

/// Controls whose feet are drawn beside the learner's, as an outline: the model pilot's, on request. `None` shows none.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct OtherFeet(pub Option<Controls>);

/// The drives that can be shown beside this one.
#[derive(Resource, Default)]
pub struct Others {
    pilot: Option<Arc<Attempt>>,
    /// The pilot's drive while it is being driven.
    on_its_way: Option<Task<Attempt>>,
}

/// The model pilot in the learner's seat.
#[derive(Resource, Default)]
struct Adviser(Option<(Pilot, u64)>);

/// Where the other aeroplane is now; `None` when nobody is beside or the other drive has not begun or is over.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct BesidePose(pub Option<Pose>);

/// Lets another drive beside the learner.
pub fn beside_plugin(app: &mut App) {
    app.init_resource::<Company>()
        .init_resource::<OtherFeet>()
        .init_resource::<Others>()
        .init_resource::<Adviser>()
        .init_resource::<BesidePose>()
        .add_systems(FixedPostUpdate, advise.run_if(driving))
        .add_systems(
            Update,
            (
                forget.run_if(resource_exists_and_changed::<Scene>),
                change.run_if(asked(Action::Company)),
                fetch,
                place,
            )
                .chain(),
        );
}

/// Another scene: the drives beside it belonged to the last one.
fn forget(mut others: ResMut<Others>, mut adviser: ResMut<Adviser>) {
    *others = Others::default();
    adviser.0 = None;
}

fn change(
    mut company: ResMut<Company>,
    scene: Res<Scene>,
    recording: Res<Recording>,
    mut others: ResMut<Others>,
    mut notices: ResMut<Notices>,
) {
    *company = company.next();
    if *company == Company::Pilot && scene.task.is_none() {
        notices.say("There is no way here for the model pilot.");
        *company = company.next();
    }
    if *company == Company::Earlier && recording.earlier().is_none() {
        notices.say("There is no earlier attempt at this yet.");
        *company = company.next();
    }
    notices.say(format!("Beside you: {}", company.words()));
    if let (Company::Pilot, Some(task), true) = (*company, &scene.task, others.pilot.is_none()) {
        let (aircraft, environment, task) = (scene.aircraft.clone(), scene.environment, task.clone());
        let drive = async move { drive_task(&aircraft, environment, task, |_, _| {}).attempt };
        others.on_its_way = Some(AsyncComputeTaskPool::get().spawn(drive));
    }
}

fn fetch(mut others: ResMut<Others>) {
    let Some(task) = &mut others.on_its_way else { return };
    if let Some(attempt) = block_on(future::poll_once(task)) {
        others.pilot = Some(Arc::new(attempt));
        others.on_its_way = None;
    }
}

fn place(
    company: Res<Company>,
    others: Res<Others>,
    recording: Res<Recording>,
    drive: Res<Drive>,
    mut pose: ResMut<BesidePose>,
) {
    let attempt = match *company {
        Company::Nobody => None,
        Company::Pilot => others.pilot.as_deref(),
        Company::Earlier => recording.earlier().map(Arc::as_ref),
    };
    pose.set_if_neq(BesidePose(attempt.and_then(|a| pose_at(&a.track, drive.tick))));
}

/// Pose of a recorded drive at a tick, between its track points.
pub fn pose_at(track: &[TrackPoint], tick: u64) -> Option<Pose> {
    let next = track.partition_point(|p| p.tick <= tick);
    let (a, b) = (track.get(next.checked_sub(1)?)?, track.get(next)?);
    let share = (tick - a.tick) as f64 / (b.tick - a.tick) as f64;
    Some(Pose {
        nose: a.nose.lerp(b.nose, share),
        heading_rad: a.heading_rad.turned(a.heading_rad.to_rad(b.heading_rad) * share),
    })
}

/// What the model pilot would do now in the learner's seat. He takes over afresh wherever the drive does not go on from its
/// last tick, and after he has given up with it.
fn advise(
    company: Res<Company>,
    scene: Res<Scene>,
    drive: Res<Drive>,
    mut adviser: ResMut<Adviser>,
    mut feet: ResMut<OtherFeet>,
) {
    let Some(task) = scene.task.as_ref().filter(|_| *company == Company::Pilot) else {
        adviser.0 = None;
        feet.set_if_neq(OtherFeet(None));
        return;
    };
    if drive.off_m.is_none_or(|off| off.abs() > TOO_FAR_M) {
        adviser.0 = None;
        feet.set_if_neq(OtherFeet(None));
        return;
    }
    let goes_on = |(pilot, tick): &(Pilot, u64)| *tick == drive.tick && !matches!(pilot.doing(), Doing::GaveUp(_));
    let (mut pilot, _) = adviser.0.take().filter(goes_on).unwrap_or_else(|| {
        let mut task = task.clone();
        // He has the whole way ahead, and the part that is behind the learner is behind him too.
        task.from_m = drive.way_m.max(task.from_m);
        task.stops.retain(|s| s.at_m > task.from_m);
        (Pilot::new(&scene.aircraft, task), drive.tick)
    });
    let controls = pilot.next(&drive.now);
    adviser.0 = Some((pilot, drive.tick + 1));
    feet.set_if_neq(OtherFeet(Some(controls)));
}
