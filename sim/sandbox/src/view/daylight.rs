//! The material of everything solid, and the light it stands in. Two lamps of the aeroplane are reckoned in it too: that is
//! much cheaper than a light of the engine's own, and they reach everything that is drawn with it.

use super::ground_grain::grain;
use super::hour::TimeOfDay;
use super::quality::Quality;
use bevy::asset::{load_internal_asset, uuid_handle};
use bevy::light::{CascadeShadowConfigBuilder, DirectionalLightShadowMap, PointLightShadowMap};
use bevy::prelude::*;
use bevy::reflect::TypePath;
use bevy::render::render_resource::AsBindGroup;
use bevy::shader::{Shader, ShaderRef};

const SHADER: Handle<Shader> = uuid_handle!("5b0c2f0e-8b7a-4f53-9c9b-6f4d1e7a2c31");

/// Density of the haze, 1/m: three quarters of a thing's own colour are left at 1.3 km. Ours.
const HAZE_PER_M: f32 = 0.000_22;
/// How far ahead of the eye shadows are cast, metres. Ours.
const SHADOWS_TO_M: f32 = 220.0;

/// Vertex colour, grain, sun and sky, two lamps, haze. See `daylight.wgsl`.
#[derive(Asset, AsBindGroup, TypePath, Clone, Debug)]
pub struct Daylight {
    #[uniform(0)]
    haze: Vec4,
    #[uniform(0)]
    toward_sun: Vec4,
    #[uniform(0)]
    sun: Vec4,
    #[uniform(0)]
    sky: Vec4,
    #[uniform(0)]
    lamp_at: Vec4,
    #[uniform(0)]
    taxi: Vec4,
    #[uniform(0)]
    landing: Vec4,
    /// Least light, and opacity.
    #[uniform(0)]
    own: Vec4,
    #[texture(1)]
    #[sampler(2)]
    grain: Option<Handle<Image>>,
    shines: Shines,
    see_through: bool,
}

/// What gives its own light.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shines {
    No,
    AfterDusk,
    Always,
    /// Nothing does: the drawn shadow, which fades with the sun.
    Shade,
}

impl Material for Daylight {
    fn fragment_shader() -> ShaderRef {
        SHADER.into()
    }

    fn alpha_mode(&self) -> AlphaMode {
        if self.see_through {
            AlphaMode::Blend
        } else {
            AlphaMode::Opaque
        }
    }
}

impl Daylight {
    fn new(shines: Shines, haze_per_m: f32, grain: Option<Handle<Image>>) -> Daylight {
        Daylight {
            haze: Vec4::new(0.0, 0.0, 0.0, haze_per_m),
            toward_sun: Vec4::Y,
            sun: Vec4::ZERO,
            sky: Vec4::ONE,
            lamp_at: Vec4::ZERO,
            taxi: Vec4::NEG_Z,
            landing: Vec4::NEG_Z,
            own: Vec4::new(0.0, 1.0, 0.0, 0.0),
            grain,
            shines,
            see_through: false,
        }
    }

    /// Sets how much of what lies behind is hidden, 0 to 1.
    pub fn set_opacity(&mut self, share: f32) {
        self.own.y = share;
    }

    /// Sets the light of an hour; with `shadows` the map of depths is read.
    pub fn set_hour(&mut self, hour: TimeOfDay, shadows: bool) {
        let light = hour.light();
        if self.shines == Shines::Shade {
            // Drawn shadows give way to cast ones.
            self.own.y = if shadows { 0.0 } else { light.shade };
        }
        let haze = light.horizon.to_linear();
        self.haze = Vec4::new(haze.red, haze.green, haze.blue, self.haze.w);
        self.toward_sun = light.toward.extend(0.0);
        self.sun = light.sun.extend(if shadows { 1.0 } else { 0.0 });
        self.sky = light.sky.extend(0.22);
        self.own.x = match self.shines {
            Shines::No | Shines::Shade => 0.0,
            Shines::AfterDusk => light.signs,
            Shines::Always => 1.0,
        };
    }

    /// Strength of the aeroplane's two lamps together, 0 when both are off.
    pub fn lamp_strength(&self) -> f32 {
        self.lamp_at.w + self.landing.w
    }

    /// Sets the aeroplane's lamps.
    pub fn set_beams(&mut self, beams: &Beams) {
        self.lamp_at = beams.at.extend(beams.taxi);
        self.taxi = beams.taxi_to.extend(beams.taxi_edge);
        self.landing = beams.landing_to.extend(beams.landing);
    }
}

/// Beams of the aeroplane's lamps in the world.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Beams {
    /// Place of both.
    pub at: Vec3,
    /// Direction of the taxi light.
    pub taxi_to: Vec3,
    /// Cosine of half its opening.
    pub taxi_edge: f32,
    /// Its strength, 0 when off.
    pub taxi: f32,
    /// Direction of the landing light.
    pub landing_to: Vec3,
    /// Its strength, 0 when off.
    pub landing: f32,
}

/// The finishes that things are drawn with.
#[derive(Resource, Clone, Debug)]
pub struct Finishes {
    /// Ground: grained.
    pub ground: Handle<Daylight>,
    /// Paint on the ground: not grained.
    pub flat: Handle<Daylight>,
    /// Upright things.
    pub solid: Handle<Daylight>,
    /// Faces of signs, which shine after dusk.
    pub sign: Handle<Daylight>,
    /// The sky: its own colour and no haze.
    pub sky: Handle<Daylight>,
    /// What can be seen through, as far as its vertices say: the aeroplane's shadow on the ground.
    pub shade: Handle<Daylight>,
    /// The disc of a turning propeller.
    pub blur: Handle<Daylight>,
}

impl Finishes {
    /// All of them.
    pub fn all(&self) -> [&Handle<Daylight>; 7] {
        [
            &self.ground,
            &self.flat,
            &self.solid,
            &self.sign,
            &self.sky,
            &self.shade,
            &self.blur,
        ]
    }
}

/// Loads the shader.
pub fn daylight_plugin(app: &mut App) {
    load_internal_asset!(app, SHADER, "daylight.wgsl", Shader::from_wgsl);
    app.add_plugins(MaterialPlugin::<Daylight>::default())
        .add_systems(Startup, cast_shadows);
}

/// Makes the finishes and keeps them as the hour wants; works without a window.
pub fn finishes_plugin(app: &mut App) {
    app.init_resource::<TimeOfDay>()
        .init_resource::<Quality>()
        .add_systems(PreStartup, mix)
        .add_systems(Update, follow_hour.run_if(resource_changed::<TimeOfDay>));
}

fn mix(
    mut commands: Commands,
    hour: Res<TimeOfDay>,
    quality: Res<Quality>,
    mut materials: ResMut<Assets<Daylight>>,
    mut images: ResMut<Assets<Image>>,
) {
    let grain = quality.grain().then(|| images.add(grain()));
    let mut finish = |shines, haze_per_m, grain, see_through| {
        let mut made = Daylight::new(shines, haze_per_m, grain);
        made.see_through = see_through;
        made.set_hour(*hour, quality.shadows() && *hour == TimeOfDay::Day);
        materials.add(made)
    };
    let finishes = Finishes {
        ground: finish(Shines::No, HAZE_PER_M, grain, false),
        flat: finish(Shines::No, HAZE_PER_M, None, false),
        solid: finish(Shines::No, HAZE_PER_M, None, false),
        sign: finish(Shines::AfterDusk, HAZE_PER_M, None, false),
        sky: finish(Shines::Always, 0.0, None, false),
        shade: finish(Shines::Shade, 0.0, None, true),
        blur: finish(Shines::No, 0.0, None, true),
    };
    commands.insert_resource(finishes);
}

fn follow_hour(
    hour: Res<TimeOfDay>,
    quality: Res<Quality>,
    finishes: Res<Finishes>,
    mut materials: ResMut<Assets<Daylight>>,
) {
    for handle in finishes.all() {
        if let Some(mut made) = materials.get_mut(handle) {
            made.set_hour(*hour, quality.shadows() && *hour == TimeOfDay::Day);
        }
    }
}

/// The sun as the shadow maps see it; its light itself is in the material.
fn cast_shadows(mut commands: Commands, quality: Res<Quality>, hour: Res<TimeOfDay>) {
    // The maps are made whether anything is cast into them or not: 40 MB of what Bevy takes by itself. No lamp casts.
    commands.insert_resource(PointLightShadowMap { size: 1 });
    if !quality.shadows() || *hour != TimeOfDay::Day {
        commands.insert_resource(DirectionalLightShadowMap { size: 1 });
        return;
    }
    commands.spawn((
        Name::new("sun"),
        DirectionalLight {
            shadow_maps_enabled: true,
            ..default()
        },
        CascadeShadowConfigBuilder {
            num_cascades: 3,
            first_cascade_far_bound: 18.0,
            maximum_distance: SHADOWS_TO_M,
            ..default()
        }
        .build(),
        Transform::default().looking_to(-hour.light().toward, Vec3::Y),
    ));
}
