//! Who drives beside the learner: the model pilot with his feet, or the attempt before this one.

mod practice;

use bevy::prelude::*;
use bevy::time::TimeUpdateStrategy;
use toeline_model::Wind;
use toeline_model::aircraft::catalog;
use toeline_sandbox::beside::{BesidePose, Company, OtherFeet, pose_at};
use toeline_sandbox::core_plugins;
use toeline_sandbox::drive::{Drive, Phase};
use toeline_sandbox::recorder::Recording;
use toeline_sandbox::scene::Scene;
use toeline_training::DrillKind;
use toeline_training::pilot::drive_task;

fn app(scene: Scene) -> App {
    let mut app = App::new();
    app.add_plugins(MinimalPlugins)
        .insert_resource(TimeUpdateStrategy::FixedTimesteps(24))
        .init_resource::<ButtonInput<KeyCode>>()
        .insert_resource(scene)
        .insert_resource(Phase::Driving)
        .add_plugins(core_plugins);
    app.update();
    app
}

fn tap(app: &mut App, key: KeyCode) {
    let keys = |app: &mut App, down: bool| {
        let mut keys = app.world_mut().resource_mut::<ButtonInput<KeyCode>>();
        keys.clear();
        if down { keys.press(key) } else { keys.release(key) }
    };
    keys(app, true);
    app.update();
    keys(app, false);
    app.update();
    app.world_mut().resource_mut::<ButtonInput<KeyCode>>().clear();
}

fn company(app: &App) -> Company {
    *app.world().resource::<Company>()
}

fn beside(app: &App) -> Option<toeline_model::Pose> {
    app.world().resource::<BesidePose>().0
}

#[test]
fn the_model_pilot_drives_beside_and_his_feet_are_shown() {
    let aircraft = catalog::find("trainer-high-2").expect("built in");
    let scene = Scene::from_drill(DrillKind::StraightLine, aircraft, &Wind::Calm);
    let task = scene.task.clone().expect("a line to follow");
    let pilot = drive_task(&scene.aircraft, scene.environment, task, |_, _| {});
    assert!(pilot.arrived());
    let mut app = app(scene);
    tap(&mut app, KeyCode::Digit1);
    assert_eq!(company(&app), Company::Pilot);
    // His drive is reckoned on another thread.
    for _ in 0..2000 {
        if beside(&app).is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
        app.update();
    }
    let tick = app.world().resource::<Drive>().tick;
    let want = pose_at(&pilot.attempt.track, tick);
    assert!(want.is_some() && tick < 2400, "tick {tick}: still on his way");
    assert_eq!(beside(&app), want, "his own drive at the same time since the start");
    // The learner stands on the line with the parking brake on: the pilot would look both ways, and then open the throttle.
    for _ in 0..60 {
        app.update();
    }
    let feet = app.world().resource::<OtherFeet>().0.expect("shown");
    assert!(feet.throttle > 0.05 && feet.left_brake == 0.0, "{feet:?}");
    // Nobody any more, and no feet.
    tap(&mut app, KeyCode::Digit1);
    assert_eq!(company(&app), Company::Nobody, "there is no earlier attempt");
    app.update();
    assert_eq!((beside(&app), app.world().resource::<OtherFeet>().0), (None, None));
}

#[test]
fn the_attempt_before_this_one_drives_beside() {
    let mut app = app(practice::scene());
    tap(&mut app, KeyCode::KeyP);
    app.world_mut()
        .resource_mut::<ButtonInput<KeyCode>>()
        .press(KeyCode::KeyI);
    for _ in 0..80 {
        app.update();
        app.world_mut().resource_mut::<ButtonInput<KeyCode>>().clear();
    }
    app.world_mut()
        .resource_mut::<ButtonInput<KeyCode>>()
        .release(KeyCode::KeyI);
    let driven = app.world().resource::<Drive>().now;
    assert!(driven.speed_mps() > 0.5);
    tap(&mut app, KeyCode::Backspace);
    // On the practice way there is nothing for the model pilot: the first press asks for the earlier attempt.
    tap(&mut app, KeyCode::Digit1);
    assert_eq!(company(&app), Company::Earlier);
    for _ in 0..60 {
        app.update();
    }
    let tick = app.world().resource::<Drive>().tick;
    let earlier = app.world().resource::<Recording>().earlier().expect("kept").clone();
    assert_eq!(beside(&app), pose_at(&earlier.track, tick));
    let apart = beside(&app).expect("still driving").nose.distance(
        app.world()
            .resource::<Drive>()
            .now
            .pose(&app.world().resource::<Drive>().params)
            .nose,
    );
    assert!(apart > 0.5, "it has driven off: {apart} m");
    earlier.replay().expect("a whole attempt");
}
