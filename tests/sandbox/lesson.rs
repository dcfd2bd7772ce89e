//! Lessons without a window: the same drive as without one, bit for bit, a fault that comes in mid-drive included; the tower of
//! an exercise, its prompts and keys, and the course from the first screen.

#[allow(dead_code)] // the panel is not asked for here
mod panel_help;
mod practice;

use bevy::prelude::*;
use panel_help::*;
use toeline_sandbox::desk::choice::{Choice, named_lesson};
use toeline_sandbox::desk::core::Deed;
use toeline_sandbox::desk::table::Trouble;
use toeline_sandbox::drive::{Drive, Phase};
use toeline_sandbox::keys::Action;
use toeline_sandbox::lesson::Lessons;
use toeline_sandbox::radio::Radio;
use toeline_sandbox::recorder::Recording;
use toeline_sandbox::scene::Scene;
use toeline_sandbox::scripted::Scripted;
use toeline_sandbox::view::hour::TimeOfDay;
use toeline_training::exercise::{Conductor, Hour, drive_by_model_pilot};
use toeline_training::{EventKind, Script};

fn in_lesson(id: &str, ticks: u32, set: impl Fn(&mut App)) -> App {
    let scene = Scene::from_lesson(named_lesson(id, None).expect("an exercise of the course"));
    start(ticks, |app| {
        app.insert_resource(toeline_sandbox::drive::Span {
            from_m: scene.first_driven_m(),
            ticks: None,
        });
        app.insert_resource(scene.clone());
        set(app);
    })
}

fn words(app: &App) -> String {
    app.world().resource::<Lessons>().words()
}

#[test]
fn a_brake_that_fails_in_mid_drive_fails_in_the_window_at_the_same_tick_and_the_attempt_replays() {
    let lesson = named_lesson("failed-brake", None).expect("an exercise of the course");
    let pilot = drive_by_model_pilot(&lesson);
    let controls: Vec<_> = pilot.attempt.inputs.iter().collect();
    let script = Script {
        ticks: controls.len() as u64,
        orders: (0..).zip(controls).collect(),
    };
    let length = script.ticks;
    let mut app = in_lesson("failed-brake", 24, |app| {
        app.insert_resource(Scripted(script.clone()));
    });
    frames(&mut app, (length / 24) as u32);
    let attempt = app.world().resource::<Recording>().attempt().clone();
    let broke = |a: &toeline_training::Attempt| -> Vec<(u64, String)> {
        let list = a.events.iter().filter(|e| e.kind == EventKind::Broke);
        list.map(|e| (e.tick, format!("{:?}", e.faults))).collect()
    };
    assert_eq!(broke(&attempt).len(), 1, "{:?}", attempt.events);
    assert_eq!(broke(&attempt), broke(&pilot.attempt));
    // The same bits: every stored state up to where the window stands.
    for (a, b) in attempt.checkpoints.iter().zip(&pilot.attempt.checkpoints) {
        assert_eq!((a.tick, &a.hash), (b.tick, &b.hash));
    }
    assert!(attempt.checkpoints.len() > 3);
    let now = app.world().resource::<Drive>().now;
    assert_eq!(now.tick, length / 24 * 24);
    let lessons = app.world().resource::<Lessons>();
    let done: Vec<_> = lessons.came().iter().map(|c| (c.came, c.tick)).collect();
    let whole: Vec<_> = pilot.came.iter().map(|c| (c.came, c.tick)).collect();
    assert_eq!(done[..], whole[..done.len()]);
    assert_eq!(done.len(), whole.len(), "the lesson is over: {}", words(&app));
    assert!(
        words(&app).starts_with("The lesson is over.\nBrake check: done"),
        "{}",
        words(&app)
    );
    assert_eq!(lessons.over(), Some(3));
    let recorder = app.world().resource::<Recording>().recorder().clone().finish();
    recorder.replay().expect("it replays, with the brake that failed in it");
    assert_eq!(Conductor::over(&lesson, &recorder).len(), 3);
}

#[test]
fn the_tower_of_an_exercise_speaks_and_hears_the_read_back() {
    let mut app = in_lesson("hold-short", 24, |_| {});
    frames(&mut app, 5);
    let first = words(&app);
    assert!(first.starts_with("Stage 1 of 3, The instruction: Listen."), "{first}");
    // Read back before anything was said: that is not what is asked for.
    hold(&mut app, KeyCode::KeyT, 1);
    // The exercise's own tower answers; the voice of a free drive is silent.
    hold(&mut app, KeyCode::Slash, 1);
    frames(&mut app, 60);
    let told: Vec<String> = {
        let attempt = app.world().resource::<Recording>().attempt();
        let list = attempt.events.iter().filter(|e| e.kind == EventKind::Told);
        list.map(|e| e.text.clone()).collect()
    };
    assert_eq!(told, ["Runway 26, taxi via A, hold short of runway 17."]);
    assert!(words(&app).starts_with("Stage 1 of 3"), "{}", words(&app));
    assert!(
        app.world()
            .resource::<Radio>()
            .words
            .contains("hold short of runway 17")
    );
    hold(&mut app, KeyCode::KeyT, 1);
    frames(&mut app, 2);
    assert!(
        words(&app).starts_with("The instruction: done\nStage 2 of 3"),
        "{}",
        words(&app)
    );
    // Back at the start everything is to be done again; a step back there is none in a lesson.
    let tick = app.world().resource::<Drive>().tick;
    hold(&mut app, KeyCode::KeyB, 1);
    assert!(app.world().resource::<Drive>().tick > tick);
    hold(&mut app, KeyCode::Backspace, 1);
    frames(&mut app, 3);
    assert!(words(&app).starts_with("Stage 1 of 3"), "{}", words(&app));
    assert!(
        app.world().resource::<Lessons>().came().is_empty(),
        "nothing is done any more"
    );
}

#[test]
fn what_the_stage_waits_for_has_its_keys_and_a_call_that_is_not_due_is_told_to_wait() {
    let mut app = in_lesson("cross-the-runway", 24, |_| {});
    frames(&mut app, 5);
    let lessons = app.world().resource::<Lessons>();
    assert!(lessons.actions().is_empty(), "the brake check is for the feet");
    assert!(!lessons.awaits("request") && !lessons.awaits("ready"));
    // Too early: the tower says to wait, and nothing is permitted by that.
    hold(&mut app, KeyCode::Slash, 1);
    frames(&mut app, 45);
    assert_eq!(app.world().resource::<Radio>().words, "Radio: stand by");
    let attempt = app.world().resource::<Recording>().attempt();
    assert!(attempt.events.iter().all(|e| e.kind != EventKind::Told));

    let mut app = in_lesson("hold-short", 24, |_| {});
    frames(&mut app, 5);
    assert_eq!(app.world().resource::<Lessons>().actions(), [Action::ReadBack]);
}

#[test]
fn lessons_begin_on_the_first_screen_bring_their_own_light_and_give_it_back() {
    let mut choice = Choice::new(Vec::new(), toeline_sandbox::desk::choice::today());
    let place = |choice: &Choice, id: &str| choice.course.iter().position(|e| e.id == id).expect("in the course");
    let (night, whole) = (place(&choice, "night-taxi"), place(&choice, "full-taxi"));
    choice.pupil = "x".repeat(81);
    let mut app = start(24, |app| {
        app.insert_resource(choice.clone()).insert_resource(Phase::Choosing);
    });
    let ask = |app: &mut App, deed: Deed| {
        app.world_mut().write_message(deed);
        frames(app, 3);
    };
    let phase = |app: &App| *app.world().resource::<Phase>();
    // A name that cannot be one is said before anything begins.
    ask(&mut app, Deed::Lesson(night));
    let trouble = |app: &App| app.world().resource::<Trouble>().0.clone();
    assert!(trouble(&app).contains("longer than 80 characters"), "{}", trouble(&app));
    assert_eq!(phase(&app), Phase::Choosing);
    app.world_mut().resource_mut::<Choice>().pupil = "17".into();
    ask(&mut app, Deed::Lesson(night));
    assert_eq!((trouble(&app).as_str(), phase(&app)), ("", Phase::Caution));
    assert_eq!(*app.world().resource::<TimeOfDay>(), TimeOfDay::Night);
    // Home leads back to the lessons, whatever map the exercise is on.
    ask(&mut app, Deed::Back);
    frames(&mut app, 20);
    assert_eq!((trouble(&app).as_str(), phase(&app)), ("", Phase::Choosing));
    ask(&mut app, Deed::Lesson(whole));
    assert_eq!(*app.world().resource::<TimeOfDay>(), TimeOfDay::Day);
    ask(&mut app, Deed::Lesson(night));
    ask(&mut app, Deed::Drill(toeline_training::DrillKind::StraightLine));
    assert_eq!(
        *app.world().resource::<TimeOfDay>(),
        TimeOfDay::Day,
        "the light of the first screen again"
    );
    assert!(app.world().resource::<Scene>().lesson.is_none());
    assert_eq!(words(&app), "");
}

#[test]
fn what_came_of_a_lesson_is_kept_when_it_is_begun_again() {
    let mut app = in_lesson("straight-line", 24, |_| {});
    frames(&mut app, 20);
    hold(&mut app, KeyCode::Backspace, 1);
    frames(&mut app, 2);
    let recording = app.world().resource::<Recording>();
    let kept = recording.kept();
    assert_eq!(kept.len(), 1);
    assert!(!kept[0].all_done);
    let stages = kept[0].stages.as_deref().expect("a lesson");
    assert!(
        stages.starts_with("STAGES of \"") && stages.contains("not begun"),
        "{stages}"
    );
}

#[test]
fn every_exercise_of_the_course_can_be_begun_in_every_aeroplane_that_it_fits_or_says_why_not() {
    let mut choice = Choice::new(Vec::new(), toeline_sandbox::desk::choice::today());
    assert!(choice.course.len() >= 14);
    for aeroplane in 0..choice.built_in.len() {
        choice.aeroplane = toeline_sandbox::desk::choice::Which::BuiltIn(aeroplane);
        for place in 0..choice.course.len() {
            match choice.lesson(place) {
                Ok(lesson) => {
                    let scene = Scene::from_lesson(lesson);
                    assert!(scene.title.starts_with("Lesson: "));
                    assert!((0.0..=scene.path.length_m()).contains(&scene.first_driven_m()));
                }
                Err(why) => assert!(
                    aeroplane > 0 && why.starts_with(&choice.course[place].title),
                    "{} in {}: {why}",
                    choice.course[place].id,
                    choice.built_in[aeroplane].id
                ),
            }
        }
    }
    assert!(choice.lesson(choice.course.len()).is_err());
    assert_eq!(TimeOfDay::of(Hour::Night), TimeOfDay::Night);
}

#[test]
fn an_exercise_that_is_none_is_said_with_what_there_is() {
    let words = named_lesson("first-rol", None).expect_err("no such exercise");
    assert!(words.contains("first-rol") && words.contains("first-roll, "), "{words}");
    let words = named_lesson("first-roll", Some("no-such-aeroplane")).expect_err("no such aeroplane");
    assert!(words.contains("no-such-aeroplane"), "{words}");
}
