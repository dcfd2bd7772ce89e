//! The windsock's cloth: it points downwind and lifts with the wind.

use super::daylight::Finishes;
use super::obstacles::drawn_top_m;
use super::palette;
use super::sketch::Sketch;
use crate::convert::{facing, narrow, world};
use crate::scene::{Raise, Scene};
use bevy::prelude::*;
use toeline_model::airfield::ObstacleKind;
use toeline_model::planar::Shape;

/// Length of the cloth, metres. Ours, near the 3.6 m that ICAO Annex 14 asks for.
const CLOTH_M: f32 = 3.6;
/// Wind in which the cloth is straight, metres per second: 15 kt, common practice, no source.
const STRAIGHT_MPS: f64 = 7.7;

/// Hangs the cloth on every windsock of the map.
pub fn windsock_plugin(app: &mut App) {
    app.add_systems(Raise, hang);
}

fn hang(mut commands: Commands, scene: Res<Scene>, mut meshes: ResMut<Assets<Mesh>>, finishes: Res<Finishes>) {
    let share = (scene.wind_mps / STRAIGHT_MPS).clamp(0.0, 1.0);
    // Limp cloth hangs 80 degrees down.
    let droop = narrow((1.0 - share) * 80.0_f64.to_radians());
    // With a wind from nowhere in particular it hangs to the south and is limp or half up all the same.
    let downwind = scene
        .wind_from
        .map_or(std::f64::consts::PI, |b| b.deg().to_radians() + std::f64::consts::PI);
    let bearing = toeline_model::Bearing::from_deg(downwind.to_degrees());
    for o in scene
        .field
        .obstacles
        .iter()
        .filter(|o| o.kind == ObstacleKind::Windsock)
    {
        let Shape::Disc { at, .. } = o.shape else { continue };
        let top = world(at, drawn_top_m(o) - 0.4);
        commands.spawn((
            Name::new("windsock"),
            Mesh3d(meshes.add(cloth())),
            MeshMaterial3d(finishes.solid.clone()),
            Transform::from_translation(top).with_rotation(facing(bearing.yaw()) * Quat::from_rotation_x(-droop)),
        ));
    }
}

/// Five bands, orange and white, along -z.
fn cloth() -> Mesh {
    let mut sketch = Sketch::default();
    let ring = |share: f32| -> Vec<Vec3> {
        let r = 0.45 - 0.22 * share;
        (0..10)
            .map(|i| {
                let t = std::f32::consts::TAU * i as f32 / 10.0;
                Vec3::new(-t.cos() * r, t.sin() * r, -0.2 - share * CLOTH_M)
            })
            .collect()
    };
    let colour = |band: usize, _: usize| {
        if band.is_multiple_of(2) {
            palette::ORANGE
        } else {
            palette::WHITE
        }
    };
    let rings: Vec<Vec<Vec3>> = (0..=5).map(|i| ring(i as f32 / 5.0)).collect();
    sketch.loft(&rings, colour);
    // The inside is seen through the mouth.
    let inside: Vec<Vec<Vec3>> = rings.iter().map(|r| r.iter().rev().copied().collect()).collect();
    sketch.loft(&inside, colour);
    sketch.mesh()
}
