//! What is drawn, without a window: signs, paint, lamps, parked aeroplanes, moving parts, looks, and what all of it costs on
//! the largest real field at hand.

#![expect(clippy::print_stdout, reason = "a skipped or measured check says so")]

mod demo;
mod practice;
mod world_cost;
mod world_field;

use bevy::prelude::*;
use bevy::time::TimeUpdateStrategy;
use std::f32::consts::FRAC_PI_2;
use toeline_dynamics::{Controls, Params, State};
use toeline_model::aircraft::catalog;
use toeline_model::{Airfield, Bearing};
use toeline_sandbox::core_plugins;
use toeline_sandbox::drive::{Drive, Phase};
use toeline_sandbox::scene::Scene;
use toeline_sandbox::view::aeroplane::{Frame, Wheels};
use toeline_sandbox::view::daylight::{Daylight, Finishes};
use toeline_sandbox::view::gaze::Gaze;
use toeline_sandbox::view::glow::{AfterDusk, Glow};
use toeline_sandbox::view::hour::TimeOfDay;
use toeline_sandbox::view::lamps::Lamps;
use toeline_sandbox::view::lifting;
use toeline_sandbox::view::moving::{Leg, Moves, Rolls};
use toeline_sandbox::view::quality::Quality;
use toeline_sandbox::view::scenery_plugins;
use toeline_sandbox::view::sketch::Sketch;
use toeline_sandbox::view::stance::{Stance, body_on_wheels};
use toeline_sandbox::view::windsock::hangs;

pub(crate) fn scene(field: Airfield) -> Scene {
    Scene {
        field,
        ..practice::scene()
    }
}

/// Core and scenery, with four ticks a frame and nothing of a graphics card.
pub(crate) fn app(scene: Scene, hour: TimeOfDay, quality: Quality) -> App {
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, AssetPlugin::default()))
        .init_asset::<Mesh>()
        .init_asset::<Image>()
        .init_asset::<Daylight>()
        .init_asset::<Glow>()
        .insert_resource(TimeUpdateStrategy::FixedTimesteps(4))
        .init_resource::<ButtonInput<KeyCode>>()
        .insert_resource(scene)
        .insert_resource(hour)
        .insert_resource(quality)
        .add_plugins((core_plugins, scenery_plugins));
    app.update();
    app.update();
    app
}

fn practice_app(hour: TimeOfDay) -> App {
    app(scene(practice::field()), hour, Quality::Medium)
}

fn transform<C: Component>(app: &mut App) -> Transform {
    let mut query = app.world_mut().query_filtered::<&Transform, With<C>>();
    *query.single(app.world()).expect("one of them")
}

#[test]
fn the_body_leans_on_wheels_that_stay_on_the_ground() {
    let mut app = practice_app(TimeOfDay::Day);
    let level = transform::<Frame>(&mut app);
    assert!(
        level.translation.length() < 1e-3,
        "at rest the body sits where it was built: {level:?}"
    );
    let lean = |app: &mut App, pitch_rad: f64, roll_rad: f64, heave_m: f64| {
        let mut drive = app.world_mut().resource_mut::<Drive>();
        drive.now.pitch_rad = pitch_rad;
        drive.now.roll_rad = roll_rad;
        drive.now.heave_m = heave_m;
        drive.before = drive.now;
        app.update();
        (transform::<Frame>(app), transform::<Wheels>(app))
    };
    let nose = Vec3::new(0.0, 1.0, -3.0);
    let (braked, wheels) = lean(&mut app, -0.02, 0.0, -0.01);
    assert!((wheels.translation.y).abs() < 1e-6, "wheels left the ground");
    let dip = braked.transform_point(nose).y - nose.y;
    assert!((-0.09..-0.05).contains(&dip), "nose down by {dip} m under the brakes");
    let (rolled, _) = lean(&mut app, 0.0, 0.03, 0.0);
    let right_tip = Vec3::new(5.0, 2.0, 0.0);
    let drop = rolled.transform_point(right_tip).y - right_tip.y;
    assert!(
        (-0.17..-0.13).contains(&drop),
        "right tip {drop} m in a lean to the right"
    );
    // Each main leg still reaches from the body to its wheel.
    let mut legs = app.world_mut().query::<(&Leg, &Transform)>();
    let ends: Vec<(Vec3, Vec3)> = legs
        .iter(app.world())
        .map(|(l, t)| {
            (
                t.transform_point(Vec3::Y) - l.foot,
                t.translation - rolled.transform_point(l.root),
            )
        })
        .collect();
    assert_eq!(ends.len(), 2);
    assert!(
        ends.iter()
            .all(|(foot, root)| foot.length() < 1e-4 && root.length() < 1e-4),
        "{ends:?}"
    );
    // The pilot's eye goes with the body.
    let eye = Vec3::new(-0.3, 1.6, -0.6);
    let stance = *app.world().resource::<Stance>();
    let in_world = stance.body_in_world().transform_point(eye);
    let on_ground = stance.wheels.transform_point(rolled.transform_point(eye));
    assert!(in_world.distance(on_ground) < 1e-4);
}

#[test]
fn the_body_turns_about_its_centre_of_gravity_and_sways_as_the_struts_have_it() {
    let a = catalog::find("trainer-high-2").expect("a built-in aeroplane");
    let p = Params::from_aircraft(&a);
    let t = body_on_wheels(&p, [0.02, 0.05, 0.0]);
    let cg = Vec3::new(0.0, p.cg_height_m as f32, -p.axle_behind_m as f32);
    let moved = t.transform_point(cg) - cg;
    let sway = (p.cg_height_m * 0.05) as f32;
    // Pitched nose up, the centre of gravity lies behind: +z in Bevy's axes.
    assert!(moved.distance(Vec3::new(0.0, 0.02, sway)) < 1e-4, "{moved}");
}

/// Height that the rear edge of a surface gains by its turn, metres.
fn rear_edge_rises(sketch: Sketch, along: Vec3, turn_rad: f32) -> f32 {
    let mesh = sketch.mesh();
    let at = mesh
        .attribute(Mesh::ATTRIBUTE_POSITION)
        .and_then(|a| a.as_float3())
        .expect("positions");
    let rear = at
        .iter()
        .map(|p| Vec3::from(*p))
        .max_by(|a, b| a.z.total_cmp(&b.z))
        .expect("points");
    (Quat::from_axis_angle(along, turn_rad) * rear - rear).y
}

#[test]
fn surfaces_go_the_way_the_controls_ask() {
    let a = catalog::find("trainer-high-2").expect("a built-in aeroplane");
    let rises = |side: f64, aileron: f64| {
        let mut s = Sketch::default();
        let hinge = lifting::aileron(&mut s, &a, side);
        let c = Controls {
            aileron,
            ..Controls::default()
        };
        let moves = Moves::Aileron { side: side as f32 };
        rear_edge_rises(s, hinge.along, moves.turn_rad(&c))
    };
    // Column to the left: left aileron up, right aileron down (AFH figure: wind from the left, left aileron up).
    assert!(rises(1.0, -1.0) > 0.05 && rises(-1.0, -1.0) < -0.05);
    assert!(rises(1.0, 1.0) < -0.05 && rises(-1.0, 1.0) > 0.05);
    for side in [1.0, -1.0] {
        let mut s = Sketch::default();
        let hinge = lifting::elevator(&mut s, &a, side);
        let pulled = Controls {
            elevator: -1.0,
            ..Controls::default()
        };
        assert!(rear_edge_rises(s, hinge.along, Moves::Elevator.turn_rad(&pulled)) > 0.05);
    }
    let right_foot = Controls {
        rudder: 1.0,
        ..Controls::default()
    };
    let rear = Quat::from_rotation_y(Moves::Rudder.turn_rad(&right_foot)) * Vec3::Z;
    assert!(rear.x > 0.3, "the rudder's rear edge goes to the right: {rear}");
}

#[test]
fn wheels_turn_as_far_as_the_ground_goes_by() {
    let mut app = practice_app(TimeOfDay::Day);
    let radius = {
        let mut drive = app.world_mut().resource_mut::<Drive>();
        let pose = drive.now.pose(&drive.params);
        drive.now = State::rolling(&drive.params, pose, 3.0);
        drive.before = drive.now;
        drive.controls.parking_brake = false;
        drive.params.wheel_radius_m[1]
    };
    // The parking brake is on at the start; a main wheel would lock.
    app.world_mut()
        .resource_mut::<toeline_sandbox::feel::Hands>()
        .put(&Controls::default());
    *app.world_mut().resource_mut::<Phase>() = Phase::Driving;
    let place = |app: &App| {
        let d = app.world().resource::<Drive>();
        d.now.pose(&d.params).nose
    };
    let from = place(&app);
    for _ in 0..8 {
        app.update();
    }
    let rolled = place(&app).distance(from);
    let mut query = app.world_mut().query_filtered::<&Transform, With<Rolls>>();
    let turns: Vec<f32> = query
        .iter(app.world())
        .map(|t| -t.rotation.to_euler(EulerRot::XYZ).0)
        .collect();
    let want = (rolled / radius) as f32;
    assert!(rolled > 0.3, "rolled {rolled} m");
    assert_eq!(turns.len(), 3);
    assert!(
        turns
            .iter()
            .any(|t| (t.rem_euclid(std::f32::consts::TAU) - want).abs() < 0.1 * want),
        "{turns:?} rad for {rolled} m, wanted {want}"
    );
}

#[test]
fn the_windsock_points_downwind_and_fills_with_the_wind() {
    // The cloth runs along -z of its own axes.
    let tail = |from: f64, mps: f64| hangs(Some(Bearing::from_deg(from)), mps) * Vec3::NEG_Z;
    // Wind from the west, 15 kt: straight out to the east.
    assert!(tail(270.0, 7.72).distance(Vec3::X) < 1e-3, "{}", tail(270.0, 7.72));
    // From the north: to the south, which is +z.
    assert!(tail(0.0, 20.0).distance(Vec3::Z) < 1e-3);
    let (calm, some, more) = (tail(270.0, 0.0), tail(270.0, 3.0), tail(270.0, 5.0));
    assert!(calm.y < -0.95 && some.y < -0.3 && some.y > calm.y && more.y > some.y);
    assert!(hangs(None, 0.0).mul_vec3(Vec3::NEG_Z).y < -0.95);
}

#[test]
fn lamps_light_up_after_dusk_and_follow_their_switch() {
    let strength = |app: &App| {
        let handle = &app.world().resource::<Finishes>().ground;
        let all = app.world().resource::<Assets<Daylight>>();
        all.get(handle).expect("the ground's finish").lamp_strength()
    };
    let lit = |app: &mut App| {
        let mut query = app.world_mut().query_filtered::<&Visibility, With<AfterDusk>>();
        let all: Vec<bool> = query.iter(app.world()).map(|v| *v != Visibility::Hidden).collect();
        assert!(!all.is_empty(), "the field has lamps");
        assert!(all.iter().all(|l| *l == all[0]));
        all[0]
    };
    let mut app = practice_app(TimeOfDay::Day);
    assert!(!lit(&mut app) && strength(&app) == 0.0);
    *app.world_mut().resource_mut::<TimeOfDay>() = TimeOfDay::Night;
    app.world_mut().resource_mut::<Lamps>().taxi = true;
    app.update();
    assert!(lit(&mut app) && strength(&app) > 0.5);
    app.world_mut().resource_mut::<Lamps>().taxi = false;
    app.update();
    assert_eq!(strength(&app), 0.0, "the taxi light is switched off");
    let mut night = practice_app(TimeOfDay::Night);
    assert!(
        lit(&mut night) && strength(&night) > 0.5,
        "at night the taxi light is on from the start"
    );
}

#[test]
fn the_look_up_the_approach_turns_to_where_aeroplanes_come_from() {
    let mut s = scene(practice::field());
    let end = s.path.pose_at(s.path.length_m());
    // At A1, nose to the north, near the eastern end: those who land on 27 come from the right.
    let turn = |s: &Scene, gaze: Gaze| gaze.turn_deg(s, s.path.length_m() - 5.0, end, 68.0);
    let to_the_right = turn(&s, Gaze::Approach);
    assert!((-100.0..-80.0).contains(&to_the_right.x), "{to_the_right}");
    assert!(
        (1.0..4.0).contains(&to_the_right.y),
        "a little above the horizon: {to_the_right}"
    );
    // The same place on the way to runway 09: from the left.
    s.stops[0].name = "A1 (runway 09)".into();
    assert!((80.0..100.0).contains(&turn(&s, Gaze::Approach).x));
    assert!(turn(&s, Gaze::LeftShoulder).x > 120.0 && turn(&s, Gaze::RightShoulder).x < -120.0);
    assert!(turn(&s, Gaze::Left).x.to_radians() > FRAC_PI_2 * 0.6);
    s.field.runways.clear();
    assert_eq!(turn(&s, Gaze::Approach), Vec2::ZERO, "no runway, nothing to look for");
}
