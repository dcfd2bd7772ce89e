//! The sky.

use super::daylight::Finishes;
use super::glow::{AfterDusk, Glowing, Lights};
use super::ground_grain::scatter;
use super::hour::{Light, TimeOfDay};
use super::quality::Quality;
use super::sketch::Sketch;
use bevy::light::NotShadowCaster;
use bevy::prelude::*;

/// Radius of the sky, metres: inside the far plane of the camera.
pub const SKY_RADIUS_M: f32 = 9000.0;

/// The dome, which goes where the camera goes.
#[derive(Component)]
pub struct Dome;

/// Number of stars. Ours; about as many as are seen from a lit place.
const STARS: i64 = 260;

/// Puts up the sky.
pub fn sky_plugin(app: &mut App) {
    app.add_systems(Startup, put_up)
        .add_systems(Update, follow_hour.run_if(resource_changed::<TimeOfDay>));
}

fn put_up(
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    finishes: Res<Finishes>,
    glowing: Res<Glowing>,
    how: (Res<TimeOfDay>, Res<Quality>),
) {
    let (hour, quality) = how;
    commands.spawn((
        Name::new("sky"),
        Dome,
        NotShadowCaster,
        Mesh3d(meshes.add(dome(&hour.light()))),
        MeshMaterial3d(finishes.sky.clone()),
        Transform::default(),
    ));
    if *quality != Quality::Low {
        commands.spawn((
            Name::new("stars"),
            Dome,
            Stars,
            Mesh3d(meshes.add(stars())),
            MeshMaterial3d(glowing.0.clone()),
            Transform::default(),
            AfterDusk,
        ));
    }
}

/// The stars, which hang on the dome.
#[derive(Component)]
struct Stars;

fn follow_hour(
    mut commands: Commands,
    hour: Res<TimeOfDay>,
    dome_now: Single<Entity, (With<Dome>, Without<Stars>)>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    let light = hour.light();
    commands.insert_resource(ClearColor(light.horizon));
    commands.entity(*dome_now).insert(Mesh3d(meshes.add(dome(&light))));
}

/// Lamps too faint to be more than points; the glow's own dimming with distance is the reason for their strength.
fn stars() -> Mesh {
    let mut lights = Lights::default();
    for i in 0..STARS {
        let (turn, height) = (scatter(i, 1) * std::f32::consts::TAU, scatter(i, 2));
        let up = (0.06 + 0.94 * height).asin();
        let at = Vec3::new(up.cos() * turn.cos(), up.sin(), up.cos() * turn.sin()) * (SKY_RADIUS_M * 0.9);
        let bright = 3.0 + 14.0 * scatter(i, 3).powi(3);
        lights.add(at, Color::linear_rgb(bright, bright, bright * 1.1), 1.0, Vec3::ZERO);
    }
    lights.mesh()
}

/// A dome seen from inside, pale at the horizon and blue above.
fn dome(light: &Light) -> Mesh {
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
    let colour = |band: u32| light.horizon.mix(&light.zenith, share(band).powf(light.rise));
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
