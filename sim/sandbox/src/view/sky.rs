//! The sky.

use super::daylight::Finishes;
use super::palette;
use super::sketch::Sketch;
use bevy::prelude::*;

/// Radius of the sky, metres: inside the far plane of the camera.
pub const SKY_RADIUS_M: f32 = 9000.0;

/// The dome, which goes where the camera goes.
#[derive(Component)]
pub struct Dome;

/// Puts up the sky.
pub fn sky_plugin(app: &mut App) {
    app.insert_resource(ClearColor(palette::HORIZON))
        .add_systems(Startup, put_up);
}

fn put_up(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, finishes: Res<Finishes>) {
    commands.spawn((
        Name::new("sky"),
        Dome,
        Mesh3d(meshes.add(dome())),
        MeshMaterial3d(finishes.sky.clone()),
    ));
}

/// A dome seen from inside, pale at the horizon and blue above.
fn dome() -> Mesh {
    const BANDS: u32 = 16;
    const SIDES: u32 = 24;
    let mut sketch = Sketch::default();
    // Bands are narrow at the horizon, where the colour changes fastest.
    let share = |band: u32| band as f32 / BANDS as f32;
    let at = |band: u32, side: u32| {
        let up = -0.02 + share(band).powi(2) * (std::f32::consts::FRAC_PI_2 + 0.02);
        let t = std::f32::consts::TAU * side as f32 / SIDES as f32;
        Vec3::new(up.cos() * t.cos(), up.sin(), up.cos() * t.sin()) * SKY_RADIUS_M
    };
    let colour = |band: u32| palette::HORIZON.mix(&palette::ZENITH, share(band).powf(1.1));
    for band in 0..BANDS {
        for side in 0..SIDES {
            let corners = [
                at(band, side),
                at(band, side + 1),
                at(band + 1, side + 1),
                at(band + 1, side),
            ];
            sketch.blend(
                &corners,
                &[colour(band), colour(band), colour(band + 1), colour(band + 1)],
            );
        }
    }
    sketch.mesh()
}
