//! What is driven: the field, the aeroplane, the one driven path and today's wind; and how one scene follows another.

use crate::desk::choice::{Choice, lesson_of};
use crate::drive::{Phase, Span, park};
use crate::view::hour::TimeOfDay;
use bevy::ecs::schedule::ScheduleLabel;
use bevy::prelude::*;
use std::path::Path;
use std::sync::Arc;
use toeline_dynamics::contacts::Surroundings;
use toeline_engine::job::Job;
use toeline_engine::planning::Outcome;
use toeline_engine::route::Stop;
use toeline_engine::{Plan, plan};
use toeline_model::{Aircraft, Airfield, DrivenPath, Wind, Xy};
use toeline_training::exercise::{Exercise, Lesson};
use toeline_training::faults::{self, Faults};
use toeline_training::pilot::Task;
use toeline_training::{DrillKind, Environment, drills, journey, surroundings};

/// A stop on the way, as the list on the screen names it.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedStop {
    /// Way of the nose wheel, metres.
    pub at_m: f64,
    /// What it is called.
    pub name: String,
}

/// Everything the window needs to know about a job.
#[derive(Resource, Clone, Debug)]
pub struct Scene {
    /// The field.
    pub field: Airfield,
    /// The aeroplane.
    pub aircraft: Aircraft,
    /// The way of the nose wheel.
    pub path: DrivenPath,
    /// Stops in order.
    pub stops: Vec<NamedStop>,
    /// Outline of everything that the aeroplane sweeps on that way, rings in local metres; drawn from above only.
    pub swept: Vec<Vec<Xy>>,
    /// Ground and air, and what is broken.
    pub environment: Environment,
    /// What can be touched, and the pavement.
    pub surroundings: Arc<Surroundings>,
    /// What the model pilot would be given to do; `None` where there is no way to follow.
    pub task: Option<Task>,
    /// One line that names the drive.
    pub title: String,
    /// The job as it was given, kept for the record.
    pub job: serde_json::Value,
    /// The exercise made ready, when the drive is one.
    pub lesson: Option<Arc<Lesson>>,
}

impl Scene {
    /// Reads a job file and plans it. A map named by a relative path is looked for from the current folder, then beside
    /// the job.
    ///
    /// # Errors
    /// A sentence that says what is wrong.
    pub fn from_job_file(file: &Path) -> Result<Scene, String> {
        let unreadable = |what: &Path, e: std::io::Error| format!("{}: cannot be read: {e}", what.display());
        let text = std::fs::read_to_string(file).map_err(|e| unreadable(file, e))?;
        let job = Job::from_json(&text).map_err(|e| format!("{}: {e}", file.display()))?;
        let beside = file.with_file_name(&job.field_file);
        let map = Path::new(&job.field_file);
        let map = if !map.exists() && beside.exists() { &beside } else { map };
        if let Some(value) = &job.exercise {
            let of = Exercise::from_value(value).map_err(|problems| {
                let list: Vec<String> = problems.iter().map(|p| format!("\n  {p}")).collect();
                format!("{}: its exercise cannot be used:{}", file.display(), list.concat())
            })?;
            let folder = file.parent().unwrap_or(Path::new(""));
            let lesson = lesson_of(&of, &job.request.aircraft, folder)?;
            return Ok(Scene::from_lesson(lesson));
        }
        let field_text = std::fs::read_to_string(map).map_err(|e| unreadable(map, e))?;
        let plan = plan(&field_text, &job.request.without_drives()).map_err(|e| format!("{}: {e}", map.display()))?;
        let kept = serde_json::to_value(&job).map_err(|e| format!("{}: {e}", file.display()))?;
        let faults = match &job.faults {
            Some(given) => faults::from_value(given).map_err(|problems| {
                let list: Vec<String> = problems.iter().map(|p| format!("\n  {p}")).collect();
                format!("{}: its faults cannot be used:{}", file.display(), list.concat())
            })?,
            None => Faults::default(),
        };
        Scene::from_plan(plan, faults, kept)
    }

    /// The scene of a plan that has a way, and of what is broken.
    ///
    /// # Errors
    /// Why there is no way to drive.
    pub fn from_plan(plan: Plan, faults: Faults, job: serde_json::Value) -> Result<Scene, String> {
        let way = match &plan.outcome {
            Outcome::Way(way) => way,
            Outcome::NoWay(why) => {
                let blocks: Vec<String> = why.blocks.iter().map(|b| format!("\n  {}", b.text)).collect();
                return Err(format!(
                    "there is nothing to drive: no way from {} to {}{}",
                    why.from,
                    why.unreachable,
                    blocks.concat()
                ));
            }
        };
        let environment = Environment {
            faults,
            ..journey::environment(&plan, way)
        };
        let surroundings = Arc::new(surroundings::of(&plan, way));
        let task = Some(Task::of(&plan, way));
        let (route, swept) = (way.route.clone(), way.clearance.swept.clone());
        let request = plan.request;
        Ok(Scene {
            title: title(&plan.field, &request.from, &request.to),
            environment,
            surroundings,
            task,
            stops: route
                .stops
                .iter()
                .map(|s| NamedStop {
                    at_m: s.at_m,
                    name: stop_name(s),
                })
                .collect(),
            swept,
            path: route.path,
            aircraft: request.aircraft,
            field: plan.field,
            job,
            lesson: None,
        })
    }

    /// The scene of a drill without a route. The practice apron has no declination: true and magnetic wind are one.
    pub fn from_drill(kind: DrillKind, aircraft: Aircraft, wind: &Wind) -> Scene {
        let environment = Environment {
            air: journey::air(wind, 0.0),
            ..Environment::default()
        };
        let drill = drills::build(kind, &aircraft, environment.air.wind_from, environment.air.wind_mps);
        let task = (!drill.path.pieces.is_empty()).then(|| Task {
            wind_from: environment.air.wind_from,
            wind_mps: environment.air.wind_mps,
            ..Task::along(drill.path.clone(), &aircraft)
        });
        Scene {
            title: format!("Drill: {}", kind.name()),
            environment,
            surroundings: Arc::new(surroundings::on_field(&drill.field)),
            task,
            stops: drill
                .stops
                .into_iter()
                .map(|(at_m, name)| NamedStop { at_m, name })
                .collect(),
            swept: Vec::new(),
            path: drill.path,
            field: drill.field,
            aircraft,
            job: serde_json::json!({ "toeline_drill": kind }),
            lesson: None,
        }
    }

    /// The scene of an exercise that was made ready.
    pub fn from_lesson(lesson: Lesson) -> Scene {
        let way = lesson.plan.as_ref().and_then(|p| match &p.outcome {
            Outcome::Way(way) => Some(way),
            Outcome::NoWay(_) => None,
        });
        let stops = lesson.stops.iter().map(|s| {
            // Runways stand in the plan's names alone.
            let planned = way.and_then(|w| w.route.stops.iter().find(|p| (p.at_m - s.at_m).abs() < 0.01));
            NamedStop {
                at_m: s.at_m,
                name: planned.map_or_else(|| s.name.clone(), stop_name),
            }
        });
        Scene {
            title: format!("Lesson: {}", lesson.exercise.title),
            environment: lesson.environment,
            surroundings: Arc::clone(&lesson.surroundings),
            task: (!lesson.task.path.pieces.is_empty()).then(|| lesson.task.clone()),
            stops: stops.collect(),
            swept: way.map(|w| w.clearance.swept.clone()).unwrap_or_default(),
            path: lesson.task.path.clone(),
            field: lesson.field.clone(),
            aircraft: lesson.aircraft.clone(),
            job: lesson.job(),
            lesson: Some(Arc::new(lesson)),
        }
    }

    /// What is to be done, when this is a drill.
    pub fn drill_task(&self) -> Option<&'static str> {
        let kind = self.job.get("toeline_drill")?;
        serde_json::from_value(kind.clone()).ok().map(DrillKind::task)
    }

    /// Where driving begins, metres of way: where the lesson says, else after what is pushed by hand at the start.
    pub fn first_driven_m(&self) -> f64 {
        match &self.lesson {
            Some(lesson) => lesson.task.from_m,
            None => journey::first_driven_m(&self.path),
        }
    }

    /// The next stop after a way, with the metres to it.
    pub fn next_stop(&self, way_m: f64) -> Option<(&str, f64)> {
        self.stops
            .iter()
            .find(|s| s.at_m > way_m + 1.0)
            .map(|s| (s.name.as_str(), s.at_m - way_m))
    }
}

/// Runs whenever a scene comes in, the first one included: everything that is built from the scene is built here, by
/// systems that a plugin adds to this schedule in place of `Startup`.
#[derive(ScheduleLabel, Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Raise;

/// Marks what was built from the scene that is there now; it goes when the next one comes.
#[derive(Component, Clone, Copy, Debug)]
pub struct OfScene;

/// A scene that is to take the place of the one that is there, with the phase that it begins in. Insert it as a resource.
#[derive(Resource, Clone, Debug)]
pub struct NextScene {
    /// The scene.
    pub scene: Scene,
    /// What is shown when it is there.
    pub phase: Phase,
}

/// Builds the first scene and lets another take its place.
pub fn scene_plugin(app: &mut App) {
    app.init_schedule(Raise)
        .add_systems(Startup, raise)
        .add_systems(First, change.run_if(resource_exists::<NextScene>));
}

/// Everything with a place in the world or on the screen.
type Drawn = Or<(With<Transform>, With<Node>)>;

fn raise(world: &mut World) {
    let mut drawn = world.query_filtered::<Entity, Drawn>();
    let before: std::collections::BTreeSet<Entity> = drawn.iter(world).collect();
    world.run_schedule(Raise);
    world.flush();
    let after: Vec<Entity> = drawn.iter(world).filter(|e| !before.contains(e)).collect();
    for e in after {
        world.entity_mut(e).insert(OfScene);
    }
}

fn change(world: &mut World) {
    let Some(next) = world.remove_resource::<NextScene>() else {
        return;
    };
    let mut old = world.query_filtered::<Entity, With<OfScene>>();
    let old: Vec<Entity> = old.iter(world).collect();
    for e in old {
        // A child went with its parent.
        if let Ok(e) = world.get_entity_mut(e) {
            e.despawn();
        }
    }
    let from_m = next.scene.first_driven_m();
    // A lesson brings its own light; after it comes that of the first screen again.
    let hour = match &next.scene.lesson {
        Some(lesson) => Some(TimeOfDay::of(lesson.exercise.hour)),
        None => world.get_resource::<Choice>().map(|c| c.time),
    };
    if let Some(hour) = hour {
        world.insert_resource(hour);
    }
    let ticks = world.get_resource::<Span>().and_then(|s| s.ticks);
    world.insert_resource(next.scene);
    world.insert_resource(Span { from_m, ticks });
    world.insert_resource(next.phase);
    if let Err(e) = world.run_system_cached(park) {
        bevy::log::error!("the drive was not set back to its start: {e}");
    }
    raise(world);
}

fn stop_name(stop: &Stop) -> String {
    match &stop.of {
        Some(of) => format!("{} ({of})", stop.name),
        None => stop.name.clone(),
    }
}

fn title(field: &Airfield, from: &str, to: &str) -> String {
    let place = field.name.as_deref().unwrap_or("field without a name");
    let from = if from.starts_with("stand") {
        from.to_string()
    } else {
        format!("stand {from}")
    };
    let runway = field
        .runways
        .iter()
        .flat_map(|r| &r.designators)
        .flatten()
        .any(|d| d == to);
    let to = if runway { format!("runway {to}") } else { to.to_string() };
    format!("{place}: {from} to {to}")
}
