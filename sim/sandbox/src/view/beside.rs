//! The aeroplane of the one who drives beside the learner, drawn so that it can be looked through.

use super::{View, parked, sketch::Sketch};
use crate::beside::BesidePose;
use crate::convert::{facing, world};
use crate::drive::Shown;
use crate::scene::{Raise, Scene};
use bevy::light::NotShadowCaster;
use bevy::prelude::*;

/// The other aeroplane.
#[derive(Component)]
pub struct Beside;

/// Nearer than this, in spans, it is not drawn from the seat: one would look out through its inside. Ours.
const CLEAR_OF_SEAT: f64 = 1.0;

/// How far it is lifted, so that it does not fight with the ground or with an own aeroplane in the same place, metres.
const LIFT_M: f64 = 0.04;

/// Puts the other aeroplane up and moves it.
pub fn beside_view_plugin(app: &mut App) {
    app.add_systems(Raise, put_up).add_systems(Update, follow);
}

fn put_up(
    mut commands: Commands,
    scene: Res<Scene>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let mut sketch = Sketch::default();
    parked::whole(&mut sketch, &scene.aircraft);
    let glass = materials.add(StandardMaterial {
        base_color: Color::srgba(1.0, 1.0, 1.0, 0.38),
        alpha_mode: AlphaMode::Blend,
        unlit: true,
        ..default()
    });
    commands.spawn((
        Name::new("beside"),
        Beside,
        Mesh3d(meshes.add(sketch.mesh())),
        MeshMaterial3d(glass),
        NotShadowCaster,
        Transform::default(),
        Visibility::Hidden,
    ));
}

fn follow(
    pose: Res<BesidePose>,
    own: Res<Shown>,
    view: Res<View>,
    scene: Res<Scene>,
    mut other: Single<(&mut Transform, &mut Visibility), With<Beside>>,
) {
    let (at, seen) = &mut *other;
    let apart = |p: &toeline_model::Pose| p.nose.distance(own.0.nose) / scene.aircraft.wing.span_m;
    let shown = pose.0.filter(|p| *view != View::Seat || apart(p) > CLEAR_OF_SEAT);
    seen.set_if_neq(if shown.is_some() {
        Visibility::Inherited
    } else {
        Visibility::Hidden
    });
    if let Some(p) = shown {
        let axle = p.axle(scene.aircraft.gear.wheelbase_m);
        **at = Transform::from_translation(world(axle, LIFT_M)).with_rotation(facing(p.heading_rad));
    }
}
