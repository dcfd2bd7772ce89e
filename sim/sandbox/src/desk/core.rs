//! What happens at the desk, without any picture: deeds are obeyed, points chosen, ways asked for, drives begun.

use super::choice::{Choice, Which};
use super::ends::{Ends, Role};
use super::hand::{Grip, Hand, Wish};
use super::pick::Place;
use super::planner::{Planner, work};
use super::sheet::Sheet;
use super::table::{Opening, Table, Trouble, open, open_job, opened};
use crate::drive::{Drive, Phase, park};
use crate::keys::Action;
use crate::recorder::RecordTo;
use crate::scene::{NextScene, Scene};
use crate::view::hour::TimeOfDay;
use bevy::prelude::*;
use toeline_dynamics::Faults;
use toeline_training::DrillKind;

/// How long a held point rests over a place before its way is asked for, seconds (ours).
pub const REST_S: f64 = 0.15;

/// Something that a button, a key or a test asks for.
#[derive(Message, Clone, Copy, Debug, PartialEq)]
pub enum Deed {
    /// Take a field of the list.
    TakeField(usize),
    /// Take an aeroplane.
    TakeAeroplane(Which),
    /// Take a time of day.
    TakeTime(TimeOfDay),
    /// Open the chosen field and go to the map.
    OpenMap,
    /// Begin a drill.
    Drill(DrillKind),
    /// Begin an exercise of the course, by its place in it.
    Lesson(usize),
    /// Something done on the map.
    OnMap(Wish),
    /// Pick one of the ways.
    PickWay(usize),
    /// Drive the picked way.
    DriveIt,
    /// Forget the chosen points.
    StartOver,
    /// Show the whole field.
    Fit,
    /// Larger (1) or smaller (-1).
    Zoom(i8),
    /// Back to the first screen.
    ToDesk,
    /// From the drive back to the map, or to the first screen when a drill is driven.
    Back,
    /// Leave the program.
    Leave,
}

/// The chosen points as they would be if the held one were let go here.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub struct Trial {
    /// The held point and the place under it.
    pub held: Option<(Role, Place)>,
    since_s: f64,
    asked: bool,
}

/// The systems of the desk that obey deeds.
#[derive(SystemSet, Clone, Debug, PartialEq, Eq, Hash)]
pub struct DeskSet;

/// Everything of the desk that works without a window.
pub fn desk_core_plugin(app: &mut App) {
    app.add_message::<Deed>()
        .init_resource::<Ends>()
        .init_resource::<Hand>()
        .init_resource::<Sheet>()
        .init_resource::<Planner>()
        .init_resource::<Trouble>()
        .init_resource::<Trial>()
        .init_resource::<TimeOfDay>()
        .add_systems(
            Update,
            (
                back_by_key.run_if(crate::controls::asked(Action::ToMap)),
                name_pupil,
                opened,
                choose,
                on_map,
                go,
                rest,
                work,
            )
                .chain()
                .in_set(DeskSet)
                .run_if(resource_exists::<Choice>),
        );
}

/// Attempts that begin from now on go to the pupil that is typed.
fn name_pupil(choice: Res<Choice>, mut to: ResMut<RecordTo>) {
    if !choice.is_changed() {
        return;
    }
    let book = choice.book();
    if to.book != book {
        to.book = book;
    }
}

fn back_by_key(mut deeds: MessageWriter<Deed>) {
    deeds.write(Deed::Back);
}

/// What is done on the first screen.
fn choose(
    mut commands: Commands,
    mut deeds: MessageReader<Deed>,
    mut choice: ResMut<Choice>,
    mut time: ResMut<TimeOfDay>,
    mut trouble: ResMut<Trouble>,
) {
    for deed in deeds.read() {
        match *deed {
            Deed::TakeField(i) => {
                if let Some(file) = choice.fields.get(i) {
                    choice.field = file.display().to_string();
                    trouble.0.clear();
                }
            }
            Deed::TakeAeroplane(which) => {
                choice.aeroplane = which;
                trouble.0.clear();
            }
            Deed::TakeTime(t) => {
                *time = t;
                choice.time = t;
            }
            Deed::OpenMap => {
                trouble.0.clear();
                match choice.pupil_fits().and_then(|()| open(&choice)) {
                    Ok(opening) => commands.insert_resource(opening),
                    Err(e) => trouble.0 = e,
                }
            }
            Deed::Lesson(i) => match choice.pupil_fits().and_then(|()| choice.lesson(i)) {
                Ok(lesson) => {
                    trouble.0.clear();
                    commands.insert_resource(NextScene {
                        scene: Scene::from_lesson(lesson),
                        phase: Phase::Caution,
                    });
                }
                Err(e) => trouble.0 = e,
            },
            Deed::Drill(kind) => match choice
                .pupil_fits()
                .and_then(|()| choice.wind())
                .and_then(|w| choice.aircraft().map(|a| (w, a)))
            {
                Ok((wind, aircraft)) => {
                    trouble.0.clear();
                    let scene = Scene::from_drill(kind, aircraft, &wind);
                    commands.insert_resource(NextScene {
                        scene,
                        phase: Phase::Caution,
                    });
                }
                Err(e) => trouble.0 = e,
            },
            _ => {}
        }
    }
}

fn ask(planner: &mut Planner, table: &Table, choice: &Choice, ends: &Ends) {
    match ends.request(&table.field, &table.aircraft, table.wind, choice.date) {
        Some(request) => planner.ask(table.text.clone(), table.like_its_job(request)),
        None => planner.clear(),
    }
}

/// What is done on the map.
fn on_map(
    mut deeds: MessageReader<Deed>,
    table: Option<Res<Table>>,
    choice: Res<Choice>,
    mut ends: ResMut<Ends>,
    mut planner: ResMut<Planner>,
    mut trial: ResMut<Trial>,
    now: Res<Time<Real>>,
) {
    let Some(table) = table else {
        deeds.clear();
        return;
    };
    // Another field, aeroplane or wind: what was found no longer holds.
    if table.is_changed() {
        trial.held = None;
        planner.clear();
        ask(&mut planner, &table, &choice, &ends);
    }
    for deed in deeds.read() {
        match *deed {
            Deed::OnMap(Wish::Click(place)) => {
                ends.click(place);
                ask(&mut planner, &table, &choice, &ends);
            }
            Deed::OnMap(Wish::Try(role, place)) => {
                *trial = Trial {
                    held: Some((role, place)),
                    since_s: now.elapsed_secs_f64(),
                    asked: false,
                };
            }
            Deed::OnMap(Wish::Move(role, place)) => {
                let moved = ends.moved(role, place);
                let known = trial.held == Some((role, place)) && trial.asked;
                if moved != *ends {
                    *ends = moved;
                }
                if !known {
                    ask(&mut planner, &table, &choice, &ends);
                }
                trial.held = None;
            }
            // The way that was tried gives place to the one that is chosen.
            Deed::OnMap(Wish::Leave) if trial.held.take().is_some() && trial.asked => {
                ask(&mut planner, &table, &choice, &ends);
            }
            Deed::StartOver => {
                *ends = Ends::default();
                trial.held = None;
                planner.clear();
            }
            Deed::PickWay(i) => planner.pick(i),
            _ => {}
        }
    }
}

/// Asks for the way that is tried once the held point has rested.
fn rest(
    table: Option<Res<Table>>,
    choice: Res<Choice>,
    ends: Res<Ends>,
    mut planner: ResMut<Planner>,
    mut trial: ResMut<Trial>,
    now: Res<Time<Real>>,
) {
    let (Some(table), Some((role, place))) = (table, trial.held) else {
        return;
    };
    if !trial.asked && now.elapsed_secs_f64() - trial.since_s >= REST_S {
        trial.asked = true;
        ask(&mut planner, &table, &choice, &ends.moved(role, place));
    }
}

/// From one screen to another.
fn go(
    mut commands: Commands,
    mut deeds: MessageReader<Deed>,
    to: (ResMut<Phase>, ResMut<Trouble>, ResMut<Hand>),
    on: (Option<Res<Table>>, Option<Res<Opening>>, Res<Planner>),
    driven: (Res<Scene>, Option<Res<Drive>>),
    mut exit: MessageWriter<AppExit>,
) {
    let (mut phase, mut trouble, mut hand) = to;
    let (table, opening, planner) = on;
    // The field that was waited for is there.
    if *phase == Phase::Choosing && opening.is_none() && table.as_ref().is_some_and(|t| t.is_changed()) {
        *phase = Phase::Drawing;
    }
    for deed in deeds.read() {
        match *deed {
            Deed::DriveIt if *phase == Phase::Drawing => {
                let (Some(table), Some(plan)) = (&table, planner.to_drive()) else {
                    continue;
                };
                match Scene::from_plan(plan.clone(), Faults::default(), table.job(&plan.request)) {
                    Ok(scene) => commands.insert_resource(NextScene {
                        scene,
                        phase: Phase::Caution,
                    }),
                    Err(e) => trouble.0 = e,
                }
            }
            Deed::ToDesk => *phase = Phase::Choosing,
            Deed::Back => {
                let drill = driven.0.job.get("toeline_drill").is_some() || driven.0.lesson.is_some();
                if table.is_none()
                    && driven.0.lesson.is_none()
                    && let Ok(job) = serde_json::from_value(driven.0.job.clone())
                {
                    // A job was given on the command line: its map comes on the table first.
                    commands.insert_resource(open_job(job));
                }
                *phase = if table.is_some() && !drill {
                    Phase::Drawing
                } else {
                    Phase::Choosing
                };
                hand.grip = Grip::Open;
                // The attempt ends here and is kept.
                if driven.1.as_ref().is_some_and(|d| d.tick > 0) {
                    commands.run_system_cached(park);
                }
            }
            Deed::Leave => {
                exit.write(AppExit::Success);
            }
            _ => {}
        }
    }
}
