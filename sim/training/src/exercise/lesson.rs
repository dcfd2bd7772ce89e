//! An exercise made ready for an aeroplane: field, path, stops, start, air, ground and what stands around.

use super::{Exercise, Hour, Journey, Place, Start, line_up};
use crate::attempt::{Attempt, Environment};
use crate::drills::{self, Drill, DrillKind};
use crate::journey;
use crate::measures::Course;
use crate::pilot::{Task, TaskStop};
use crate::surroundings;
use serde_json::{Value, json};
use std::sync::Arc;
use toeline_dynamics::contacts::Surroundings;
use toeline_dynamics::{Ground, Params, State};
use toeline_engine::job::Job;
use toeline_engine::odds::OddsAsked;
use toeline_engine::planning::{Outcome, Plan, plan};
use toeline_engine::request::{DEFAULT_MARGIN_M, DEFAULT_VERTICAL_MARGIN_M, Request};
use toeline_engine::route::StopKind;
use toeline_model::date::Date;
use toeline_model::units::{AIR_KGPM3, G_MPS2};
use toeline_model::{Aircraft, Airfield, Bearing};

/// Names of the built-in fields.
pub const BUILT_IN_FIELDS: [&str; 1] = ["quillmere"];

/// Lift coefficient with which the wing carries the weight at lift-off (ours: between the rest on three wheels and the stall;
/// the flight manual's speed comes first).
const LIFT_OFF_COEFFICIENT: f64 = 1.0;

/// Height of the sun for an hour of an exercise, degrees (ours: the middle of civil twilight at dusk).
const DAY_SUN_DEG: f64 = 30.0;
/// See [`DAY_SUN_DEG`].
const DUSK_SUN_DEG: f64 = -3.0;
/// See [`DAY_SUN_DEG`].
const NIGHT_SUN_DEG: f64 = -20.0;

/// Text of a built-in field.
pub fn built_in_field(name: &str) -> Option<&'static str> {
    (name == BUILT_IN_FIELDS[0]).then_some(include_str!("../../../../maps/quillmere.geojson"))
}

/// Speed at which the wing can carry the weight, m/s.
pub fn lift_off_mps(aircraft: &Aircraft) -> f64 {
    let p = Params::from_aircraft(aircraft);
    (2.0 * p.mass_kg * G_MPS2 / (AIR_KGPM3 * p.air.wing_area_m2 * LIFT_OFF_COEFFICIENT)).sqrt()
}

/// Why an exercise cannot be driven in an aeroplane.
#[derive(Clone, Debug, PartialEq)]
pub enum LessonError {
    /// The map cannot be read or planned on.
    Field {
        /// The field as the exercise names it.
        field: String,
        /// Why.
        cause: String,
    },
    /// There is no way for this aeroplane.
    NoWay {
        /// The aeroplane's id.
        aircraft: String,
        /// What stands against it.
        cause: String,
    },
    /// The exercise does not fit the way: all that was found.
    Unfit(Vec<String>),
}

impl core::fmt::Display for LessonError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            LessonError::Field { field, cause } => write!(f, "where.field \"{field}\": {cause}"),
            LessonError::NoWay { aircraft, cause } => write!(
                f,
                "there is no way for {aircraft}: {cause}; choose another aeroplane or another way"
            ),
            LessonError::Unfit(list) => write!(f, "the exercise does not fit its way: {}", list.join("; ")),
        }
    }
}

impl std::error::Error for LessonError {}

/// An exercise made ready.
#[derive(Clone, Debug)]
pub struct Lesson {
    /// The exercise.
    pub exercise: Exercise,
    /// The aeroplane.
    pub aircraft: Aircraft,
    /// The field.
    pub field: Airfield,
    /// The plan, where it is driven along one.
    pub plan: Option<Plan>,
    /// The drill, where it is one.
    pub drill: Option<Drill>,
    /// Path, speeds, stops and wind; without stops on the free apron, which has no path.
    pub task: Task,
    /// Every stop of the way, those before the start too.
    pub stops: Vec<TaskStop>,
    /// Way of the path at which driving would begin, metres: ways of the exercise count from there.
    pub zero_m: f64,
    /// Way of the path at which it is lined up for a take-off roll, metres; `None` where it does not roll.
    pub roll_from_m: Option<f64>,
    /// The aeroplane at the start.
    pub start: State,
    /// Air, ground and what is broken from the start on.
    pub environment: Environment,
    /// What stands around.
    pub surroundings: Arc<Surroundings>,
}

/// Makes an exercise ready for an aeroplane. `map` gives the text of a map file; built-in fields need none.
///
/// # Errors
/// Why it cannot be driven.
pub fn build(
    exercise: &Exercise,
    aircraft: &Aircraft,
    map: &mut dyn FnMut(&str) -> Result<String, String>,
) -> Result<Lesson, LessonError> {
    let mut lesson = match &exercise.place {
        Place::Drill { drill } => on_the_apron(exercise, aircraft, *drill),
        Place::Journey(journey) => along_a_plan(exercise, aircraft, journey, map)?,
    };
    lesson.environment.faults = exercise.faults_at_start();
    if let Some(ground) = exercise.ground {
        lesson.environment.ground = Ground {
            surface: ground.surface.unwrap_or(lesson.environment.ground.surface),
            wet: ground.wet,
            ..lesson.environment.ground
        };
        lesson.task.ground = lesson.environment.ground;
    }
    lesson.begin_where_asked();
    let unfit = super::fitting::unfit(&lesson);
    if unfit.is_empty() {
        Ok(lesson)
    } else {
        Err(LessonError::Unfit(unfit))
    }
}

fn on_the_apron(exercise: &Exercise, aircraft: &Aircraft, kind: DrillKind) -> Lesson {
    // The practice apron has no declination: true and magnetic wind are one.
    let environment = Environment {
        air: journey::air(&exercise.wind, 0.0),
        ..Environment::default()
    };
    let drill = drills::build(kind, aircraft, environment.air.wind_from, environment.air.wind_mps);
    let mut task = Task {
        wind_from: environment.air.wind_from,
        wind_mps: environment.air.wind_mps,
        ..Task::along(drill.path.clone(), aircraft)
    };
    let stop = |(at_m, name): (f64, String)| TaskStop {
        kind: StopKind::End,
        name,
        at_m,
    };
    task.stops = drill.stops.clone().into_iter().map(stop).collect();
    Lesson {
        start: State::parked(&environment.params(aircraft), task.path.start),
        surroundings: Arc::new(surroundings::on_field(&drill.field)),
        exercise: exercise.clone(),
        aircraft: aircraft.clone(),
        field: drill.field.clone(),
        plan: None,
        drill: Some(drill),
        roll_from_m: None,
        zero_m: 0.0,
        stops: task.stops.clone(),
        task,
        environment,
    }
}

fn request(exercise: &Exercise, aircraft: &Aircraft, j: &Journey) -> Result<Request, String> {
    Ok(Request {
        aircraft: aircraft.clone(),
        from: j.from.clone(),
        parked_heading: j.parked_heading_deg.map(Bearing::from_deg),
        via: j.via.clone(),
        to: j.to.clone(),
        wind: exercise.wind,
        date: Date::parse(&j.date)?,
        time_utc: None,
        margin_m: DEFAULT_MARGIN_M,
        vertical_margin_m: DEFAULT_VERTICAL_MARGIN_M,
        accuracy_m: None,
        rule: Default::default(),
        instruction: j.instruction.clone(),
        notams: Vec::new(),
        odds: OddsAsked {
            drives: 0,
            ..OddsAsked::default()
        },
    })
}

fn along_a_plan(
    exercise: &Exercise,
    aircraft: &Aircraft,
    j: &Journey,
    map: &mut dyn FnMut(&str) -> Result<String, String>,
) -> Result<Lesson, LessonError> {
    let wrong = |cause: String| LessonError::Field {
        field: j.field.clone(),
        cause,
    };
    let text = match built_in_field(&j.field) {
        Some(text) => text.to_string(),
        None => map(&j.field).map_err(|e| {
            wrong(format!(
                "{e}; write a map file, or a built-in field: {}",
                BUILT_IN_FIELDS.join(", ")
            ))
        })?,
    };
    let request = request(exercise, aircraft, j).map_err(wrong)?;
    let plan = plan(&text, &request).map_err(|e| wrong(e.to_string()))?;
    let way = match &plan.outcome {
        Outcome::Way(way) => way.clone(),
        Outcome::NoWay(no) => {
            let blocks: Vec<&str> = no.blocks.iter().map(|b| b.text.as_str()).collect();
            let cause = format!(
                "{} cannot be reached from {}: {}",
                no.unreachable,
                no.from,
                blocks.join("; ")
            );
            return Err(LessonError::NoWay {
                aircraft: aircraft.id.clone(),
                cause,
            });
        }
    };
    let mut task = Task::of(&plan, &way);
    let mut roll_from_m = None;
    if let (Some(roll_m), Some(last)) = (j.roll_m, way.route.stops.last()) {
        let found = line_up::go_on(&mut task, last, &plan.field, aircraft, roll_m);
        roll_from_m = Some(found.map_err(|why| LessonError::Unfit(vec![format!("where.roll_m: {why}")]))?);
    }
    let environment = journey::environment(&plan, &way);
    Ok(Lesson {
        exercise: exercise.clone(),
        aircraft: aircraft.clone(),
        field: plan.field.clone(),
        zero_m: task.from_m,
        start: State::parked(&environment.params(aircraft), task.path.pose_at(task.from_m)),
        surroundings: Arc::new(surroundings::of(&plan, &way)),
        plan: Some(plan),
        drill: None,
        roll_from_m,
        stops: task.stops.clone(),
        task,
        environment,
    })
}

impl Lesson {
    /// Way of the path, metres, at which a stop is: by its name, or `check` (the first engine check), or `end`.
    pub fn stop_m(&self, name: &str) -> Option<f64> {
        let stops = &self.stops;
        let found = match name {
            "end" => stops.last(),
            "check" => stops.iter().find(|s| s.kind == StopKind::EngineCheck),
            _ => stops.iter().find(|s| s.name == name),
        };
        found.map(|s| s.at_m)
    }

    /// The course that the drive is measured against.
    pub fn course(&self) -> Course {
        let way = self.plan.as_ref().and_then(|plan| match &plan.outcome {
            Outcome::Way(way) => Some((plan, way)),
            Outcome::NoWay(_) => None,
        });
        let mut course = match (way, &self.drill) {
            (Some((plan, way)), _) => Course::of(plan, way),
            (None, Some(drill)) => Course::of_drill(drill, &self.aircraft, &self.environment),
            (None, None) => Course::along(self.task.path.clone(), &self.aircraft),
        };
        course.task = self.task.clone();
        if self.roll_from_m.is_some() {
            // The way goes on beyond the line that the plan ends at.
            course.lines.iter_mut().for_each(|line| line.is_end = false);
        }
        course.sun_deg = Some(match self.exercise.hour {
            Hour::Day => DAY_SUN_DEG,
            Hour::Dusk => DUSK_SUN_DEG,
            Hour::Night => NIGHT_SUN_DEG,
        });
        course
    }

    /// What goes into the attempt as its job: that of the plan or of the drill, and the whole exercise. `field_file` is
    /// where the map is; for a built-in field its name.
    pub fn job(&self) -> Value {
        let exercise = serde_json::to_value(&self.exercise).unwrap_or(Value::Null);
        match (&self.exercise.place, &self.plan) {
            (Place::Journey(j), Some(plan)) => {
                let job = Job {
                    toeline_job: toeline_engine::job::FORMAT,
                    field_file: j.field.clone(),
                    request: plan.request.clone(),
                    faults: None,
                    exercise: Some(exercise),
                };
                serde_json::to_value(&job).unwrap_or(Value::Null)
            }
            (Place::Drill { drill }, _) => json!({ "toeline_drill": drill, "exercise": exercise }),
            (Place::Journey(_), None) => Value::Null,
        }
    }

    /// The lesson that an attempt was driven as; `None` when its job names no exercise.
    pub fn of_attempt(
        attempt: &Attempt,
        map: &mut dyn FnMut(&str) -> Result<String, String>,
    ) -> Option<Result<Lesson, String>> {
        let value = attempt.job.as_ref()?.get("exercise")?;
        Some(match Exercise::from_value(value) {
            Ok(exercise) => build(&exercise, &attempt.aircraft, map).map_err(|e| e.to_string()),
            Err(list) => {
                let list: Vec<String> = list.iter().map(ToString::to_string).collect();
                Err(format!("the exercise in its job cannot be read: {}", list.join("; ")))
            }
        })
    }

    fn begin_where_asked(&mut self) {
        let at_m = match &self.exercise.start {
            None => self.zero_m,
            Some(Start::AtM(m)) => self.zero_m + m,
            // A stop that is not there is told with everything else that does not fit.
            Some(Start::Before { stop, by_m }) => self.stop_m(stop).map_or(self.zero_m, |at| at - by_m),
        };
        let at_m = at_m.clamp(self.zero_m, self.task.path.length_m());
        if at_m > self.zero_m {
            self.task.from_m = at_m;
            // What is behind is no stop to make.
            self.task.stops.retain(|s| s.at_m > at_m + 1.0);
            self.start = State::parked(&self.environment.params(&self.aircraft), self.task.path.pose_at(at_m));
        }
    }
}
