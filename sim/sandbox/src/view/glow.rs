//! Points of light: lamps of the field and of the aeroplane. A lamp far away is smaller than a pixel and is seen all the
//! same, so each is a square toward the eye that never gets smaller than a few pixels. One mesh holds any number.

use super::hour::TimeOfDay;
use crate::scene::Scene;
use bevy::asset::{RenderAssetUsages, load_internal_asset, uuid_handle};
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use bevy::reflect::TypePath;
use bevy::render::render_resource::AsBindGroup;
use bevy::shader::{Shader, ShaderRef};

const SHADER: Handle<Shader> = uuid_handle!("2a3f6d5c-7d0e-4c0b-9a41-8f1b5a0c77d2");

/// Additive light with a soft rim. See `glow.wgsl`.
#[derive(Asset, AsBindGroup, TypePath, Clone, Debug)]
pub struct Glow {
    /// Strength, and least half side on the screen in pixels.
    #[uniform(0)]
    how: Vec4,
}

impl Material for Glow {
    fn vertex_shader() -> ShaderRef {
        SHADER.into()
    }

    fn fragment_shader() -> ShaderRef {
        SHADER.into()
    }

    fn alpha_mode(&self) -> AlphaMode {
        AlphaMode::Add
    }

    fn enable_prepass() -> bool {
        false
    }

    fn enable_shadows() -> bool {
        false
    }
}

/// The one glow that all lamps share.
#[derive(Resource, Clone, Debug)]
pub struct Glowing(pub Handle<Glow>);

/// Something that is only there while lamps are lit: at dusk and night.
#[derive(Component)]
pub struct AfterDusk;

/// Loads the shader.
pub fn glow_plugin(app: &mut App) {
    load_internal_asset!(app, SHADER, "glow.wgsl", Shader::from_wgsl);
    app.add_plugins(MaterialPlugin::<Glow>::default());
}

/// Makes the glow and hides by day what only shines after dusk; works without a window.
pub fn glowing_plugin(app: &mut App) {
    app.add_systems(PreStartup, make).add_systems(
        Update,
        light_up.run_if(resource_changed::<TimeOfDay>.or_else(resource_changed::<Scene>)),
    );
}

fn make(mut commands: Commands, mut glows: ResMut<Assets<Glow>>) {
    commands.insert_resource(Glowing(glows.add(Glow {
        how: Vec4::new(1.0, 1.6, 0.0, 0.0),
    })));
}

fn light_up(hour: Res<TimeOfDay>, mut lamps: Query<&mut Visibility, With<AfterDusk>>) {
    for mut seen in &mut lamps {
        *seen = if hour.lamps_lit() {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        };
    }
}

/// Lamps collected for one mesh.
#[derive(Default)]
pub struct Lights {
    at: Vec<[f32; 3]>,
    beam: Vec<[f32; 3]>,
    uv: Vec<[f32; 2]>,
    colour: Vec<[f32; 4]>,
    index: Vec<u32>,
}

impl Lights {
    /// A lamp whose glow reaches `radius_m`; with a `beam` other than zero it is bright only toward that direction.
    pub fn add(&mut self, at: Vec3, colour: Color, radius_m: f32, beam: Vec3) {
        let first = self.at.len() as u32;
        let c = colour.to_linear();
        for corner in [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]] {
            self.at.push(at.to_array());
            self.beam.push(beam.to_array());
            self.uv.push(corner);
            self.colour.push([c.red, c.green, c.blue, radius_m]);
        }
        self.index.extend([0, 1, 2, 0, 2, 3].map(|i| first + i));
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.at.is_empty()
    }

    /// All of them as a mesh for [`Glow`].
    pub fn mesh(self) -> Mesh {
        Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::RENDER_WORLD)
            .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, self.at)
            .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, self.beam)
            .with_inserted_attribute(Mesh::ATTRIBUTE_UV_0, self.uv)
            .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, self.colour)
            .with_inserted_indices(Indices::U32(self.index))
    }
}
