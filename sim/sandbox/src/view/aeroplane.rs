//! The aeroplane as it moves: the frame follows the drawn pose, the nose wheel and rudder turn, the propeller runs.

use super::daylight::Finishes;
use super::field::layer;
use super::sketch::Sketch;
use super::{SeenFrom, View, airframe, palette};
use crate::convert::{body, facing, narrow, world};
use crate::drive::{Drive, Shown};
use crate::scene::{Raise, Scene};
use bevy::prelude::*;
use std::f32::consts::TAU;
use toeline_model::aircraft::parts::parts;

/// The frame everything of the aeroplane hangs on: the middle of the main axle, on the ground.
#[derive(Component)]
pub struct Frame;

/// The nose wheel about its contact point.
#[derive(Component)]
struct NoseWheel;

/// The rudder about its hinge.
#[derive(Component)]
struct Rudder;

/// A propeller about its hub.
#[derive(Component, Default)]
struct Blades {
    turned_rad: f32,
}

/// Largest rudder deflection drawn, radians (25 degrees, ours).
const RUDDER_RAD: f32 = 0.436;

/// Builds the aeroplane and keeps it in place.
pub fn aeroplane_plugin(app: &mut App) {
    app.add_systems(Raise, build.in_set(Built))
        .add_systems(Update, (follow, moving_parts, show_by_view));
}

/// The set in which the frame is made; the cockpit hangs itself on it afterwards.
#[derive(SystemSet, Clone, Debug, PartialEq, Eq, Hash)]
pub struct Built;

fn build(
    mut commands: Commands,
    scene: Res<Scene>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    finishes: Res<Finishes>,
) {
    let a = &scene.aircraft;
    let faint = |alpha: f32, colour: Color| StandardMaterial {
        base_color: colour.with_alpha(alpha),
        alpha_mode: AlphaMode::Blend,
        unlit: true,
        double_sided: true,
        cull_mode: None,
        ..default()
    };
    let shadow = materials.add(faint(0.38, palette::BLACK));
    let blur = materials.add(faint(0.10, palette::METAL));
    let mut mesh = |draw: &dyn Fn(&mut Sketch)| {
        let mut sketch = Sketch::default();
        draw(&mut sketch);
        Mesh3d(meshes.add(sketch.mesh()))
    };
    let outside = SeenFrom(&[View::Behind, View::Above]);
    let frame = commands
        .spawn((
            Name::new("aeroplane"),
            Frame,
            Transform::default(),
            Visibility::default(),
        ))
        .id();
    let (hinge, _) = airframe::rudder_hinge(a);
    let paint = MeshMaterial3d(finishes.solid.clone());
    commands.entity(frame).with_children(|f| {
        f.spawn((mesh(&|s| airframe::hull(s, a)), paint.clone(), outside));
        f.spawn((mesh(&|s| airframe::wings(s, a)), paint.clone()));
        f.spawn((mesh(&|s| airframe::tail(s, a)), paint.clone()));
        f.spawn((mesh(&|s| airframe::main_gear(s, a)), paint.clone()));
        f.spawn((
            mesh(&|s| airframe::nose_gear(s, a)),
            paint.clone(),
            NoseWheel,
            Transform::from_translation(body(a.gear.wheelbase_m, 0.0, 0.0)),
        ));
        f.spawn((
            mesh(&|s| airframe::rudder(s, a)),
            paint.clone(),
            Rudder,
            Transform::from_translation(body(hinge, 0.0, 0.0)),
        ));
        f.spawn((
            mesh(&|s| shadow_of(s, a)),
            MeshMaterial3d(shadow),
            Transform::from_xyz(0.0, narrow(layer::SHADOW), 0.0),
        ));
        for p in &a.propellers {
            let hub = Transform::from_translation(body(p.x_m, p.y_m, p.hub_z_m));
            f.spawn((
                mesh(&|s| airframe::propeller(s, p.diameter_m)),
                paint.clone(),
                Blades::default(),
                outside,
                hub,
            ));
            f.spawn((
                mesh(&|s| disc(s, p.diameter_m)),
                MeshMaterial3d(blur.clone()),
                outside,
                hub,
            ));
        }
    });
}

fn disc(sketch: &mut Sketch, diameter_m: f64) {
    let r = diameter_m / 2.0;
    let ring: Vec<Vec3> = (0..28)
        .map(|i| {
            let t = std::f64::consts::TAU * f64::from(i) / 28.0;
            body(0.0, r * t.cos(), r * t.sin())
        })
        .collect();
    sketch.face(&ring, Color::WHITE);
}

/// The plan outline of all parts, flat on the ground. Parts overlap only under the body.
fn shadow_of(sketch: &mut Sketch, a: &toeline_model::Aircraft) {
    for part in parts(a)
        .iter()
        .filter(|p| !p.name.contains("propeller") && !p.name.contains("wheel") && p.name != "fin")
    {
        let ring: Vec<Vec3> = part.outline.iter().map(|p| body(p.x, p.y, 0.0)).collect();
        sketch.face(&ring, Color::WHITE);
    }
}

fn follow(shown: Res<Shown>, scene: Res<Scene>, mut frame: Single<&mut Transform, With<Frame>>) {
    let pose = shown.0;
    frame.translation = world(pose.axle(scene.aircraft.gear.wheelbase_m), 0.0);
    frame.rotation = facing(pose.heading_rad);
}

/// A part that only turns, told apart from the other turning parts.
type Turning<'w, 's, This, Other> =
    Query<'w, 's, &'static mut Transform, (With<This>, Without<Other>, Without<Blades>)>;

fn moving_parts(
    drive: Res<Drive>,
    time: Res<Time<Virtual>>,
    mut nose: Turning<NoseWheel, Rudder>,
    mut rudder: Turning<Rudder, NoseWheel>,
    mut blades: Query<(&mut Transform, &mut Blades)>,
) {
    let gauges = drive.gauges();
    for mut t in &mut nose {
        t.rotation = Quat::from_rotation_y(narrow(gauges.nose_wheel_rad));
    }
    for mut t in &mut rudder {
        // The right foot forward swings the rudder's rear edge to the right.
        t.rotation = Quat::from_rotation_y(narrow(drive.controls.rudder) * RUDDER_RAD);
    }
    for (mut t, mut b) in &mut blades {
        let turns = narrow(gauges.rpm / 60.0) * time.delta_secs();
        b.turned_rad = (b.turned_rad + TAU * turns) % TAU;
        // Clockwise as the pilot sees it.
        t.rotation = Quat::from_rotation_z(-b.turned_rad);
    }
}

fn show_by_view(view: Res<View>, mut things: Query<(&SeenFrom, &mut Visibility)>) {
    for (seen, mut visibility) in &mut things {
        let want = if seen.0.contains(&view) {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        };
        if *visibility != want {
            *visibility = want;
        }
    }
}
