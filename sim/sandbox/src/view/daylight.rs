//! The material of everything solid, and the light it stands in.

use super::ground_grain::grain;
use super::palette;
use bevy::asset::{load_internal_asset, uuid_handle};
use bevy::prelude::*;
use bevy::reflect::TypePath;
use bevy::render::render_resource::AsBindGroup;
use bevy::shader::{Shader, ShaderRef};

const SHADER: Handle<Shader> = uuid_handle!("5b0c2f0e-8b7a-4f53-9c9b-6f4d1e7a2c31");

/// Density of the haze, 1/m: three quarters of a thing's own colour are left at 1.3 km. Ours.
const HAZE_PER_M: f32 = 0.000_22;

/// Vertex colour, grain, one sun, haze. See `daylight.wgsl`.
#[derive(Asset, AsBindGroup, TypePath, Clone, Debug)]
pub struct Daylight {
    #[uniform(0)]
    haze: Vec4,
    #[uniform(0)]
    sun: Vec4,
    #[uniform(0)]
    sky: Vec4,
    #[texture(1)]
    #[sampler(2)]
    grain: Option<Handle<Image>>,
}

impl Material for Daylight {
    fn fragment_shader() -> ShaderRef {
        SHADER.into()
    }
}

/// The three finishes that things are drawn with.
#[derive(Resource, Clone, Debug)]
pub struct Finishes {
    /// Ground: grained, not shaded, since it is flat.
    pub ground: Handle<Daylight>,
    /// Paint on the ground: neither grained nor shaded.
    pub flat: Handle<Daylight>,
    /// Upright things: shaded.
    pub solid: Handle<Daylight>,
    /// The sky: its own colour and no haze.
    pub sky: Handle<Daylight>,
}

/// Loads the shader and makes the finishes.
pub fn daylight_plugin(app: &mut App) {
    load_internal_asset!(app, SHADER, "daylight.wgsl", Shader::from_wgsl);
    app.add_plugins(MaterialPlugin::<Daylight>::default())
        .add_systems(PreStartup, mix);
}

fn mix(mut commands: Commands, mut materials: ResMut<Assets<Daylight>>, mut images: ResMut<Assets<Image>>) {
    let haze = palette::HORIZON.to_linear();
    let toward_sun = Vec3::new(-0.45, 0.75, 0.50).normalize();
    let finish = |sun: f32, sky: f32, density: f32, grain: Option<Handle<Image>>| Daylight {
        haze: Vec4::new(haze.red, haze.green, haze.blue, density),
        sun: toward_sun.extend(sun),
        sky: Vec4::new(sky, if sun > 0.0 { 0.22 } else { 0.0 }, 0.0, 0.0),
        grain,
    };
    let grain = images.add(grain());
    let flat = materials.add(finish(0.0, 1.0, HAZE_PER_M, None));
    let finishes = Finishes {
        ground: materials.add(finish(0.0, 1.0, HAZE_PER_M, Some(grain))),
        solid: materials.add(finish(0.62, 0.48, HAZE_PER_M, None)),
        sky: materials.add(finish(0.0, 1.0, 0.0, None)),
        flat,
    };
    commands.insert_resource(finishes);
}
