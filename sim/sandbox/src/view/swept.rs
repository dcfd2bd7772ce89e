//! From above only: a thin broken outline of everything that the aeroplane sweeps on its way. Not seen from the seat, because no
//! aerodrome has such a line.

use super::daylight::Finishes;
use super::field::layer;
use super::sketch::{Dashes, Sketch};
use super::{SeenFrom, View, palette};
use crate::scene::{Raise, Scene};
use bevy::prelude::*;

/// Width of the outline, metres.
const LINE_M: f64 = 0.16;
const DASHES: Dashes = Dashes {
    dash_m: 1.0,
    gap_m: 0.6,
    start_m: 0.0,
};

/// Draws the outline once.
pub fn swept_plugin(app: &mut App) {
    app.add_systems(Raise, draw);
}

fn draw(mut commands: Commands, scene: Res<Scene>, mut meshes: ResMut<Assets<Mesh>>, finishes: Res<Finishes>) {
    let mut sketch = Sketch::default();
    for ring in &scene.swept {
        let mut closed = ring.clone();
        closed.extend(ring.first());
        sketch.dashes(&closed, DASHES, LINE_M, layer::CLOSED, palette::SWEPT);
    }
    if !sketch.is_empty() {
        commands.spawn((
            Name::new("swept outline"),
            Mesh3d(meshes.add(sketch.mesh())),
            // Not a thing of the field: it stays in sight at night.
            MeshMaterial3d(finishes.sign.clone()),
            SeenFrom(&[View::Above]),
        ));
    }
}
