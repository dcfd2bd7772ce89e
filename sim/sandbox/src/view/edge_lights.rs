//! Lamps of the field: blue along taxiway and apron edges, white along runways, green at a threshold and red at a runway's end.
//! Colours as ICAO Annex 14 chapter 5.3 has them (from memory). Where the lamps stand is ours: no map gives it.

use super::daylight::Finishes;
use super::free_ground::FreeGround;
use super::glow::{AfterDusk, Glowing, Lights};
use super::palette;
use super::quality::Quality;
use super::sketch::Sketch;
use crate::convert::{narrow, world};
use crate::scene::{Raise, Scene};
use crate::surface::{LANE_WIDTH_M, RUNWAY_WIDTH_M};
use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use toeline_model::airfield::Surface;
use toeline_model::planar::{line_length, signed_area};
use toeline_model::{Airfield, Xy};

/// Between the pavement's edge and the lamp, metres; Annex 14 allows 3.
const OUTSIDE_M: f64 = 0.6;
/// Between runway edge lights, metres (Annex 14 5.3.9: at most 60 on an instrument runway).
const RUNWAY_SPACING_M: f64 = 60.0;
/// Between the lamps across a threshold, metres (Annex 14 5.3.10: about 3).
const ACROSS_M: f64 = 3.0;
/// Height of a lamp's glass, metres.
const GLASS_M: f64 = 0.30;

/// Which lamp it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LampKind {
    /// Blue, all around.
    Taxiway,
    /// White, all around.
    RunwayEdge,
    /// Green toward the approach and red toward the runway.
    RunwayEnd,
}

/// A lamp of the field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FieldLamp {
    /// Where it stands.
    pub at: Xy,
    /// Which it is.
    pub kind: LampKind,
    /// Away from the runway, for a lamp at its end.
    pub outward: Xy,
}

/// All lamps of a field, with `spacing_m` between those of a taxiway. None stands on anything that wheels roll on.
pub fn field_lamps(field: &Airfield, spacing_m: f64) -> Vec<FieldLamp> {
    let free = FreeGround::new(field);
    let mut all = Vec::new();
    let mut put = |at: Xy, kind: LampKind, outward: Xy, clear_m: f64| {
        if free.is_free(at, clear_m) {
            all.push(FieldLamp { at, kind, outward });
        }
    };
    let none = Xy { x: 0.0, y: 0.0 };
    let lit = |surface: Surface| matches!(surface, Surface::Paved | Surface::Unknown);
    for l in field.lanes.iter().filter(|l| lit(l.surface) && l.closed.is_none()) {
        let out = l.width_m.unwrap_or(LANE_WIDTH_M) / 2.0 + OUTSIDE_M;
        for (at, way) in spread(&l.line, spacing_m) {
            for side in [1.0, -1.0] {
                put(at + way.left() * (side * out), LampKind::Taxiway, none, OUTSIDE_M);
            }
        }
    }
    for a in field.aprons.iter().filter(|a| lit(a.surface)) {
        let mut ring = a.outer.clone();
        if signed_area(&ring) < 0.0 {
            ring.reverse();
        }
        ring.extend(ring.first().copied());
        for w in ring.windows(2) {
            // The ring runs anticlockwise: outside is to the right.
            for (at, way) in spread(w, spacing_m) {
                put(at - way.left() * OUTSIDE_M, LampKind::Taxiway, none, OUTSIDE_M);
            }
        }
    }
    for r in field
        .runways
        .iter()
        .filter(|r| lit(r.surface) && r.closed.is_none() && r.line.len() > 1)
    {
        let half = r.width_m.unwrap_or(RUNWAY_WIDTH_M) / 2.0;
        for (at, way) in spread(&r.line, RUNWAY_SPACING_M) {
            for side in [1.0, -1.0] {
                let out = side * (half + OUTSIDE_M);
                put(at + way.left() * out, LampKind::RunwayEdge, none, OUTSIDE_M);
            }
        }
        let last = r.line.len() - 1;
        for (end, inner) in [(r.line[0], r.line[1]), (r.line[last], r.line[last - 1])] {
            let outward = Xy::unit((end - inner).direction());
            let count = (2.0 * half / ACROSS_M).round().max(2.0);
            for i in 0..=count as u32 {
                let across = half - 2.0 * half * f64::from(i) / count;
                let at = end + outward * OUTSIDE_M + outward.left() * across;
                put(at, LampKind::RunwayEnd, outward, OUTSIDE_M);
            }
        }
    }
    all
}

/// Points along a line at even gaps of at most `spacing_m`, half a gap from both ends, with the direction there.
fn spread(line: &[Xy], spacing_m: f64) -> Vec<(Xy, Xy)> {
    let whole = line_length(line);
    let count = (whole / spacing_m).ceil().max(1.0);
    let gap = whole / count;
    let (mut out, mut next, mut s) = (Vec::new(), gap / 2.0, 0.0);
    for w in line.windows(2) {
        let length = w[0].distance(w[1]);
        while next <= s + length && length > 0.0 {
            let way = Xy::unit((w[1] - w[0]).direction());
            out.push((w[0].lerp(w[1], (next - s) / length), way));
            next += gap;
        }
        s += length;
    }
    out
}

/// Draws the lamps, and their light after dusk.
pub fn edge_lights_plugin(app: &mut App) {
    app.add_systems(Raise, draw);
}

fn draw(
    mut commands: Commands,
    scene: Res<Scene>,
    quality: Res<Quality>,
    mut meshes: ResMut<Assets<Mesh>>,
    finishes: Res<Finishes>,
    glowing: Res<Glowing>,
) {
    let (mut stands, mut lights) = (Sketch::default(), Lights::default());
    for lamp in field_lamps(&scene.field, quality.edge_light_spacing_m()) {
        let glass = world(lamp.at, GLASS_M);
        let foot = world(lamp.at, 0.0);
        let (colour, reach) = match lamp.kind {
            LampKind::Taxiway => (palette::LAMP_BLUE, 0.26),
            LampKind::RunwayEdge => (palette::LAMP_WHITE, 0.30),
            LampKind::RunwayEnd => (palette::LAMP_GREEN, 0.26),
        };
        stands.post(foot, glass, (0.03, 0.03), 3, palette::POLE);
        stands.post(glass, glass + Vec3::Y * 0.10, (0.06, 0.04), 4, colour);
        let at = glass + Vec3::Y * 0.06;
        if lamp.kind == LampKind::RunwayEnd {
            let outward = Vec3::new(narrow(lamp.outward.x), 0.0, narrow(-lamp.outward.y));
            lights.add(at, colour, reach, outward);
            lights.add(at, palette::LAMP_RED, reach, -outward);
        } else {
            lights.add(at, colour, reach, Vec3::ZERO);
        }
    }
    if lights.is_empty() {
        return;
    }
    commands.spawn((
        Name::new("lamps of the field"),
        Mesh3d(meshes.add(stands.mesh())),
        MeshMaterial3d(finishes.solid.clone()),
        NotShadowCaster,
    ));
    commands.spawn((
        Name::new("light of the field"),
        AfterDusk,
        Mesh3d(meshes.add(lights.mesh())),
        MeshMaterial3d(glowing.0.clone()),
        Visibility::default(),
    ));
}
