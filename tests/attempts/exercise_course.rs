//! The model pilot drives the whole course: every stage done, and of what is scored nothing to work on.

use toeline_model::aircraft::catalog;
use toeline_training::debrief;
use toeline_training::exercise::{
    Came, Conductor, Exercise, Lesson, LessonDrive, all, build, drive_by_model_pilot, tell,
};
use toeline_training::measures::Judged;

fn lesson(exercise: &Exercise, aircraft: &str) -> Lesson {
    let aircraft = catalog::find(aircraft).expect("built in");
    build(exercise, &aircraft, &mut |_| Err("no map".into())).unwrap_or_else(|e| panic!("{}: {e}", exercise.id))
}

/// What is wrong with a drive, in words; empty when nothing is.
fn wrong(lesson: &Lesson, drive: &LessonDrive) -> Vec<String> {
    let id = &lesson.exercise.id;
    let mut list = Vec::new();
    if drive.came.iter().any(|c| c.came != Came::Done) {
        let why = drive.gave_up.as_deref().unwrap_or("");
        list.push(format!("{id}: {}{why}", tell(&lesson.exercise, &drive.came)));
    }
    let course = lesson.course();
    let told = debrief::against(&drive.attempt, id, Some(&course), "").judging_only(&lesson.exercise.scored());
    for m in &told.measures {
        let scored = lesson.exercise.scored.iter().any(|key| key == m.key);
        if scored && matches!(m.judged, Judged::LeftOut | Judged::NotRecorded) {
            list.push(format!("{id}: scored, and nothing to say: {} {}", m.key, m.sentence));
        }
    }
    for m in told.judged(Judged::WorkOn) {
        list.push(format!("{id}: to work on: {} {} {:?}", m.key, m.sentence, m.spots));
    }
    list
}

#[test]
fn the_model_pilot_drives_every_exercise_to_the_end() {
    let only = std::env::var("TOELINE_EXERCISE").ok();
    let mut list = Vec::new();
    for exercise in all() {
        if only.as_ref().is_some_and(|id| *id != exercise.id) {
            continue;
        }
        let lesson = lesson(&exercise, &exercise.aircraft);
        let drive = drive_by_model_pilot(&lesson);
        println!("{}", tell(&exercise, &drive.came));
        list.extend(wrong(&lesson, &drive));
        if let Err(why) = drive.attempt.replay() {
            list.push(format!("{}: {why}", exercise.id));
        }
        let over = Conductor::over(&lesson, &drive.attempt);
        if over != drive.came {
            list.push(format!("{}: live and stored differ", exercise.id));
        }
    }
    assert!(list.is_empty(), "{}", list.join("\n"));
}

/// Another aeroplane, with a castering nose wheel, on those that every aeroplane can drive.
#[test]
fn another_aeroplane_can_be_chosen() {
    for id in ["first-roll", "s-bends", "tightest-turn", "engine-check"] {
        let exercise = toeline_training::exercise::find(id).expect("of the course");
        for aircraft in ["caster-low-2", "tourer-low-4"] {
            let lesson = lesson(&exercise, aircraft);
            let drive = drive_by_model_pilot(&lesson);
            let done = drive.came.iter().all(|c| c.came == Came::Done);
            assert!(done, "{aircraft}: {}{:?}", tell(&exercise, &drive.came), drive.gave_up);
        }
    }
}

/// A fault that the exercise does not tell of changes what the pilot says: the healthy check refuses a sick engine.
#[test]
fn a_sick_engine_is_not_called_fit() {
    let mut exercise = toeline_training::exercise::find("engine-check").expect("of the course");
    let faulty = toeline_training::exercise::find("engine-check-faulty").expect("of the course");
    exercise.faults = faulty.faults;
    let lesson = lesson(&exercise, "trainer-high-2");
    let drive = drive_by_model_pilot(&lesson);
    let last = drive.came.last().expect("stages");
    assert_eq!(last.came, Came::NotDone, "{:?}", drive.came);
}
