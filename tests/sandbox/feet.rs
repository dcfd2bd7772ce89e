//! Feet and hands without a picture: made-up devices on the device trait drive the real core; the screen of controls is used
//! by keys as its user would; settings go to the disk and come back.

mod feet_bench;
mod feet_screen;
mod practice;

use bevy::input::mouse::AccumulatedMouseMotion;
use bevy::prelude::*;
use feet_bench::*;
use toeline_sandbox::feel::Hands;
use toeline_sandbox::feet::deeds::Deed;
use toeline_sandbox::feet::device::{DeviceId, Report};
use toeline_sandbox::keys::Action;
use toeline_sandbox::recorder::Recording;

#[test]
fn pedals_move_rudder_and_brakes_and_the_one_moved_last_leads() {
    let (mut app, played) = app(None);
    played.put(Report::Here(DeviceId(1), pedals(1)));
    frames(&mut app, 1);
    assert!(
        said(&app).contains("Our guess: it moves left brake, right brake, rudder"),
        "{}",
        said(&app)
    );
    assert_eq!(drive(&app).controls.rudder, 0.0);
    played.axis(1, BAR, 1000);
    played.axis(1, RIGHT_BRAKE, 255);
    frames(&mut app, 1);
    let c = drive(&app).controls;
    assert_eq!(
        (c.rudder, c.left_brake, c.right_brake),
        (1.0, 0.0, 1.0),
        "felt at once, as they stand"
    );
    press(&mut app, KeyCode::KeyF);
    frames(&mut app, 12);
    assert_eq!(drive(&app).controls.rudder, -1.0, "the key was moved last");
    release(&mut app, KeyCode::KeyF);
    frames(&mut app, 10);
    assert_eq!(
        drive(&app).controls.rudder,
        0.0,
        "a key let go eases off, though the bar stands aside"
    );
    assert_eq!(
        drive(&app).controls.right_brake,
        1.0,
        "the other foot is still on its brake"
    );
    played.axis(1, BAR, 250);
    frames(&mut app, 1);
    let rudder = drive(&app).controls.rudder;
    // Half of the travel, with a dead zone of 3 %.
    assert!((rudder + (0.5 - 0.03) / 0.97).abs() < 1e-12, "{rudder}");
}

#[test]
fn pulled_out_mid_drive_the_pedals_ease_off_and_work_again_when_put_back() {
    let folder = Folder::new("replug");
    let (mut app, played) = app(Some(&folder.file()));
    played.put(Report::Here(DeviceId(1), pedals(1)));
    frames(&mut app, 1);
    app.world_mut().resource_mut::<Hands>().parking_brake = false;
    choose(&mut app, Deed::Invert(DeviceId(1), BAR));
    choose(&mut app, Deed::Close);
    played.axis(1, BAR, 0);
    played.axis(1, LEFT_BRAKE, 200);
    press(&mut app, KeyCode::KeyI);
    frames(&mut app, 20);
    release(&mut app, KeyCode::KeyI);
    let before = drive(&app).controls;
    assert!(
        before.rudder == 1.0 && before.left_brake > 0.7 && before.throttle > 0.4,
        "{before:?}"
    );
    played.put(Report::Gone(DeviceId(1)));
    // A straggler about the lost device changes nothing.
    played.axis(1, BAR, 1000);
    frames(&mut app, 1);
    assert!(
        said(&app).contains("Made-up pedals 1 was pulled out: the keys have rudder, left brake now."),
        "{}",
        said(&app)
    );
    let easing = drive(&app).controls;
    assert!(easing.rudder > 0.0 && easing.rudder < 1.0, "no jump: {easing:?}");
    frames(&mut app, 10);
    let c = drive(&app).controls;
    assert_eq!((c.rudder, c.left_brake), (0.0, 0.0));
    assert_eq!(c.throttle, before.throttle, "the throttle stays");
    let tick = drive(&app).tick;
    played.put(Report::Here(DeviceId(2), pedals(1)));
    frames(&mut app, 1);
    assert_eq!(drive(&app).tick, tick + 24, "the drive goes on");
    played.axis(2, BAR, 1000);
    frames(&mut app, 1);
    assert_eq!(drive(&app).controls.rudder, -1.0, "still inverted");
    assert_eq!(get::<Recording>(&app).trouble, None);
}

#[test]
fn a_button_of_a_device_does_what_it_is_given() {
    let (mut app, played) = app(None);
    let mut stick = pedals(7);
    stick.buttons = vec![0x120];
    played.put(Report::Here(DeviceId(1), stick));
    frames(&mut app, 1);
    choose(&mut app, Deed::Rebind(Action::ParkingBrake));
    played.put(Report::Button(DeviceId(1), 0x120, true));
    played.put(Report::Button(DeviceId(1), 0x120, false));
    frames(&mut app, 1);
    choose(&mut app, Deed::Close);
    frames(&mut app, 1);
    assert!(get::<Hands>(&app).parking_brake);
    // Down and up within one frame still counts once.
    played.put(Report::Button(DeviceId(1), 0x120, true));
    played.put(Report::Button(DeviceId(1), 0x120, false));
    frames(&mut app, 3);
    assert!(!get::<Hands>(&app).parking_brake);
    tap(&mut app, KeyCode::KeyP);
    assert!(get::<Hands>(&app).parking_brake, "the key does it too");
}

#[test]
fn the_mouse_moves_the_column_while_its_button_is_held() {
    let (mut app, _) = app(None);
    let moved = |app: &mut App, x: f32, y: f32| {
        app.world_mut().resource_mut::<AccumulatedMouseMotion>().delta = Vec2::new(x, y);
        frames(app, 1);
        app.world_mut().resource_mut::<AccumulatedMouseMotion>().delta = Vec2::ZERO;
    };
    moved(&mut app, 200.0, 0.0);
    assert_eq!(drive(&app).controls.aileron, 0.0, "not held");
    app.world_mut()
        .resource_mut::<ButtonInput<MouseButton>>()
        .press(MouseButton::Right);
    moved(&mut app, 200.0, -100.0);
    let c = drive(&app).controls;
    // 3 full travels for 1000 pixels; the dynamics count a push forward as positive.
    assert!(
        (c.aileron - 0.6).abs() < 1e-6 && (c.elevator - 0.3).abs() < 1e-6,
        "{c:?}"
    );
    app.world_mut()
        .resource_mut::<ButtonInput<MouseButton>>()
        .release(MouseButton::Right);
    frames(&mut app, 5);
    assert_eq!(drive(&app).controls.aileron, c.aileron, "it stays where it was put");
}

#[test]
fn a_locked_device_and_a_broken_source_are_said_in_words() {
    let (mut app, played) = app(None);
    played.put(Report::Locked("Made-up pedals may not be read.".into()));
    played.put(Report::NoSource("Nothing can be read.".into()));
    frames(&mut app, 1);
    assert_eq!(said(&app), "Made-up pedals may not be read.\nNothing can be read.");
    assert_eq!(drive(&app).tick, 24);
}

#[test]
fn what_was_driven_with_pedals_replays_to_the_same_bits() {
    let folder = Folder::new("replay");
    let file = folder.0.join("attempt.json");
    let (mut app, played) = app(None);
    app.insert_resource(toeline_sandbox::recorder::RecordTo {
        file: Some(file.clone()),
        replace: true,
        book: None,
    });
    played.put(Report::Here(DeviceId(1), pedals(1)));
    tap(&mut app, KeyCode::Backspace);
    tap(&mut app, KeyCode::KeyP);
    press(&mut app, KeyCode::KeyI);
    for step in 0..40 {
        played.axis(1, BAR, 500 + 12 * step);
        played.axis(1, LEFT_BRAKE, (step * 7) % 256);
        frames(&mut app, 1);
    }
    tap(&mut app, KeyCode::Escape);
    let attempt = toeline_training::store::load(&file).expect("the attempt was written");
    assert!(attempt.inputs.iter().any(|c| c.rudder > 0.5), "the pedals are in it");
    attempt.replay().expect("it replays bit for bit");
}
