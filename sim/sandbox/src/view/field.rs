//! The ground of the field: grass, aprons, lanes, runways and what is painted on them.

use super::daylight::{Daylight, Finishes};
use super::ground_grain::scatter;
use super::quality::Quality;
use super::sketch::Sketch;
use super::{markings, obstacles, palette, signs};
use crate::scene::{Raise, Scene};
use crate::surface::{LANE_WIDTH_M, RUNWAY_WIDTH_M, STAND_WIDTH_M};
use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use toeline_model::airfield::Surface;
use toeline_model::frame::xy;
use toeline_model::planar::bounds;
use toeline_model::{Airfield, Xy};

/// Heights of the ground's layers, metres. All a hair below the wheels, each a hair above the one it hides.
pub mod layer {
    /// The wide country.
    pub const COUNTRY: f64 = -0.060;
    /// Grass near the field.
    pub const GRASS: f64 = -0.050;
    /// Aprons.
    pub const APRON: f64 = -0.042;
    /// Engine-check areas.
    pub const AREA: f64 = -0.037;
    /// Taxiways, taxilanes and stands.
    pub const LANE: f64 = -0.032;
    /// Paint on them.
    pub const LANE_PAINT: f64 = -0.027;
    /// Runways, which cut the paint of the lanes that cross them.
    pub const RUNWAY: f64 = -0.022;
    /// Bare pavement under a marking that breaks the line below it.
    pub const BACKING: f64 = -0.018;
    /// Paint on runways, and holding positions.
    pub const PAINT: f64 = -0.013;
    /// Crosses of closed lanes and runways.
    pub const CLOSED: f64 = -0.009;
    /// The shadow of the aeroplane.
    pub const SHADOW: f64 = -0.004;
}

/// Half the side of the wide country, metres.
const COUNTRY_M: f64 = 9000.0;
/// Side of a patch of grass, metres; patches differ a little in lightness.
const PATCH_M: f64 = 30.0;
/// About so many patches on a large field, where they are larger. Ours.
const MOST_PATCHES: f64 = 16_000.0;
/// How far the patches reach beyond the field, metres.
const PATCHES_BEYOND_M: f64 = 450.0;

/// Draws the field once at the start.
pub fn field_plugin(app: &mut App) {
    app.add_systems(Raise, draw_field);
}

/// The smallest box around everything on the field.
pub fn extent(field: &Airfield) -> (Xy, Xy) {
    let lines = field
        .lanes
        .iter()
        .map(|l| &l.line)
        .chain(field.runways.iter().map(|r| &r.line))
        .chain(field.stands.iter().map(|s| &s.line))
        .chain(field.aprons.iter().map(|a| &a.outer));
    bounds(lines.flatten().copied()).unwrap_or((xy(0.0, 0.0), xy(0.0, 0.0)))
}

fn colour_of(surface: Surface, paved: Color) -> Color {
    match surface {
        Surface::Grass => palette::MOWN,
        Surface::Loose => palette::LOOSE,
        Surface::Paved | Surface::Ice | Surface::Water | Surface::Unknown => paved,
    }
}

fn lighter(colour: Color, by: f32) -> Color {
    let c = colour.to_srgba();
    Color::srgb(c.red * by, c.green * by, c.blue * by)
}

fn grass(sketch: &mut Sketch, field: &Airfield) {
    let (low, high) = extent(field);
    let middle = low.lerp(high, 0.5);
    let square =
        |at: Xy, half: f64| [xy(-half, -half), xy(half, -half), xy(half, half), xy(-half, half)].map(|c| at + c);
    sketch.patch(&square(middle, COUNTRY_M), layer::COUNTRY, palette::GRASS);
    let room = high - low + xy(2.0, 2.0) * PATCHES_BEYOND_M;
    let side = PATCH_M.max((room.x * room.y / MOST_PATCHES).sqrt());
    let cells = |from: f64, to: f64| {
        let first = ((from - PATCHES_BEYOND_M) / side).floor() as i64;
        first..((to + PATCHES_BEYOND_M) / side).ceil() as i64
    };
    for i in cells(low.x, high.x) {
        for j in cells(low.y, high.y) {
            let at = xy((i as f64 + 0.5) * side, (j as f64 + 0.5) * side);
            let shade = lighter(palette::GRASS, 0.95 + 0.10 * scatter(i, j));
            sketch.patch(&square(at, side / 2.0), layer::GRASS, shade);
        }
    }
}

fn pavement(sketch: &mut Sketch, field: &Airfield) {
    for a in &field.aprons {
        sketch.area(&a.outer, layer::APRON, colour_of(a.surface, palette::CONCRETE));
    }
    for a in &field.check_areas {
        sketch.area(&a.outer, layer::AREA, colour_of(a.surface, palette::CHECK_AREA));
    }
    for s in &field.stands {
        // A stand on an apron needs no pavement of its own.
        let on_apron = s.line.iter().all(|p| {
            field
                .aprons
                .iter()
                .any(|a| toeline_model::planar::inside_ring(*p, &a.outer))
        });
        if !on_apron && s.line.len() > 1 {
            let width = s.width_m.unwrap_or(STAND_WIDTH_M);
            sketch.ribbon(&s.line, width, layer::LANE, palette::CONCRETE);
        }
    }
    for l in &field.lanes {
        let width = l.width_m.unwrap_or(LANE_WIDTH_M);
        let colour = colour_of(l.surface, palette::ASPHALT);
        sketch.ribbon(&l.line, width, layer::LANE, colour);
        for end in l.line.first().into_iter().chain(l.line.last()) {
            sketch.disc(*end, width / 2.0, layer::LANE, colour);
        }
    }
    for r in &field.runways {
        let width = r.width_m.unwrap_or(RUNWAY_WIDTH_M);
        sketch.ribbon(&r.line, width, layer::RUNWAY, colour_of(r.surface, palette::RUNWAY));
    }
}

fn draw_field(
    mut commands: Commands,
    scene: Res<Scene>,
    quality: Res<Quality>,
    mut meshes: ResMut<Assets<Mesh>>,
    finishes: Res<Finishes>,
) {
    let field = &scene.field;
    let quality = *quality;
    let mut put = |draw: &dyn Fn(&mut Sketch, &Airfield), finish: &Handle<Daylight>, name: &'static str| {
        let mut sketch = Sketch::default();
        draw(&mut sketch, field);
        if !sketch.is_empty() {
            let mut thing = commands.spawn((
                Name::new(name),
                Mesh3d(meshes.add(sketch.mesh())),
                MeshMaterial3d(finish.clone()),
            ));
            if *finish != finishes.solid {
                // Flat ground throws no shadow on itself.
                thing.insert(NotShadowCaster);
            }
        }
    };
    put(&grass, &finishes.ground, "grass");
    put(&pavement, &finishes.ground, "pavement");
    put(&markings::draw, &finishes.flat, "paint");
    put(&signs::draw, &finishes.sign, "signs");
    put(&|s, f| obstacles::draw(s, f, quality), &finishes.solid, "obstacles");
}
