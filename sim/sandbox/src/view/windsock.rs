//! The windsock's cloth: it points downwind and lifts with the wind.

use super::daylight::Finishes;
use super::obstacles::drawn_top_m;
use super::palette;
use super::sketch::Sketch;
use crate::convert::{facing, narrow, world};
use crate::drive::Drive;
use crate::scene::{Raise, Scene};
use bevy::prelude::*;
use toeline_model::Bearing;
use toeline_model::airfield::ObstacleKind;
use toeline_model::planar::Shape;

/// Length of the cloth, metres. Ours, near the 3.6 m that ICAO Annex 14 asks for.
const CLOTH_M: f32 = 3.6;
/// Wind in which the cloth is straight, metres per second: 15 kt, common practice, no source.
const STRAIGHT_MPS: f64 = 7.7;

/// Where limp cloth hangs, radians below the horizontal (80 degrees, ours).
const LIMP_RAD: f64 = 80.0 * std::f64::consts::PI / 180.0;

/// The cloth of a windsock.
#[derive(Component)]
pub struct Cloth;

/// How the cloth hangs in a wind: away from where it comes from, and the straighter the stronger. With a wind from nowhere
/// in particular it hangs to the south and is limp or half up all the same. The mouth is at the top of the pole, the tail
/// along the turned -z.
pub fn hangs(wind_from: Option<Bearing>, wind_mps: f64) -> Quat {
    let share = (wind_mps / STRAIGHT_MPS).clamp(0.0, 1.0);
    let droop = narrow((1.0 - share) * LIMP_RAD);
    let downwind = Bearing::from_deg(wind_from.map_or(180.0, |b| b.deg() + 180.0));
    facing(downwind.yaw()) * Quat::from_rotation_x(-droop)
}

/// Hangs the cloth on every windsock of the map, and lifts it with every gust.
pub fn windsock_plugin(app: &mut App) {
    app.add_systems(Raise, hang).add_systems(Update, blow);
}

fn hang(mut commands: Commands, scene: Res<Scene>, mut meshes: ResMut<Assets<Mesh>>, finishes: Res<Finishes>) {
    let mut mesh = None;
    for o in scene
        .field
        .obstacles
        .iter()
        .filter(|o| o.kind == ObstacleKind::Windsock)
    {
        let Shape::Disc { at, .. } = o.shape else { continue };
        let top = world(at, drawn_top_m(o) - 0.4);
        let mesh = mesh.get_or_insert_with(|| meshes.add(cloth())).clone();
        commands.spawn((
            Name::new("windsock"),
            Cloth,
            Mesh3d(mesh),
            MeshMaterial3d(finishes.solid.clone()),
            Transform::from_translation(top)
                .with_rotation(hangs(scene.environment.air.wind_from, scene.environment.air.wind_mps)),
        ));
    }
}

fn blow(drive: Res<Drive>, mut all: Query<&mut Transform, With<Cloth>>) {
    let gust = drive.air.gust.map_or(0.0, |g| g.extra_at(drive.seconds()));
    let rotation = hangs(drive.air.wind_from, drive.air.wind_mps + gust);
    for mut t in &mut all {
        if t.rotation != rotation {
            t.rotation = rotation;
        }
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
