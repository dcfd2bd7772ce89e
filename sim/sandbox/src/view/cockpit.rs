//! What the pilot sees of the own aeroplane: cowling, glare shield, posts, door sills and roof. Built from the same body as
//! the outside, so that it blocks what it really blocks.

use super::aeroplane::{Built, Frame};
use super::airframe::{high_wing, outline, shape};
use super::daylight::Finishes;
use super::sketch::Sketch;
use super::{SeenFrom, View, palette};
use crate::convert::body;
use crate::scene::{Raise, Scene};
use bevy::prelude::*;
use toeline_model::Aircraft;

/// Builds the inside once the frame is there.
pub fn cockpit_plugin(app: &mut App) {
    app.add_systems(Raise, build.after(Built));
}

fn build(
    mut commands: Commands,
    scene: Res<Scene>,
    frame: Single<Entity, With<Frame>>,
    mut meshes: ResMut<Assets<Mesh>>,
    finishes: Res<Finishes>,
) {
    let mut sketch = Sketch::default();
    cowling(&mut sketch, &scene.aircraft);
    cabin(&mut sketch, &scene.aircraft);
    commands.entity(*frame).with_child((
        Name::new("cockpit"),
        Mesh3d(meshes.add(sketch.mesh())),
        MeshMaterial3d(finishes.solid.clone()),
        SeenFrom(&[View::Seat]),
    ));
}

fn cowling(sketch: &mut Sketch, a: &Aircraft) {
    let b = shape(a);
    let rings: Vec<Vec<Vec3>> = b.sections[..4].iter().map(outline).collect();
    sketch.loft(&rings, |_, i| {
        if (2..7).contains(&i) {
            palette::SKIN_LOW
        } else {
            palette::SKIN
        }
    });
    // The bulkhead closes it toward the cabin.
    sketch.face(&rings[3], palette::PANEL);
}

fn cabin(sketch: &mut Sketch, a: &Aircraft) {
    let b = shape(a);
    let (eye_x, half) = (a.seats.pilot_eye_x_m, b.half_m);
    // Glare shield: a gently arched shelf from the windscreen to the top of the panel, and the panel below it.
    let near_x = (eye_x + 0.50).min(b.screen_x_m - 0.08);
    let arch = |x: f64, lift: f64| -> Vec<Vec3> {
        (0..=10)
            .map(|i| {
                let y = half * 0.97 * (1.0 - f64::from(i) / 5.0);
                let share = y / half;
                body(x, y, b.screen_z_m - 0.015 + lift - 0.09 * share * share)
            })
            .collect()
    };
    let (far, near) = (arch(b.screen_x_m + 0.02, 0.0), arch(near_x, 0.012));
    let foot = a.fuselage.underside_z_m + 0.25;
    for i in 0..10 {
        sketch.leaf(&[far[i], near[i], near[i + 1], far[i + 1]], palette::PANEL);
        let down = |p: Vec3| Vec3::new(p.x, body(0.0, 0.0, foot).y, p.z);
        sketch.leaf(
            &[near[i], down(near[i]), down(near[i + 1]), near[i + 1]],
            palette::PANEL,
        );
    }
    let top = a.fuselage.top_z_m;
    for side in [1.0, -1.0] {
        let y = side * half * 0.97;
        // Windscreen post and the post behind the door.
        let foot = body(b.screen_x_m, y, b.sill_z_m.min(b.screen_z_m));
        let head = body(b.roof_x_m, y * 0.96, top - 0.06);
        sketch.bar(foot, head, (0.016, 0.016), 6, palette::CABIN);
        let rear_x = eye_x - 0.45;
        sketch.bar(
            body(rear_x, y, b.sill_z_m),
            body(rear_x, y * 0.96, top - 0.06),
            (0.04, 0.04),
            6,
            palette::CABIN,
        );
        sketch.bar(
            head,
            body(rear_x, y * 0.96, top - 0.06),
            (0.025, 0.025),
            6,
            palette::CABIN,
        );
        // Door below the sill.
        let (low, sill) = (a.fuselage.underside_z_m + 0.05, b.sill_z_m);
        let door = [
            body(b.screen_x_m, y, low),
            body(rear_x, y, low),
            body(rear_x, y, sill),
            body(b.screen_x_m, y, sill.min(b.screen_z_m)),
        ];
        sketch.leaf(&door, palette::CABIN);
    }
    let bow = |x: f64, z: f64| [body(x, half * 0.94, z), body(x, -half * 0.94, z)];
    let [l, r] = bow(b.roof_x_m, top - 0.05);
    sketch.bar(l, r, (0.025, 0.025), 6, palette::CABIN);
    if high_wing(a) {
        // A closed roof; low wings have a glazed one with the bow only.
        let [bl, br] = bow(eye_x - 0.45, top - 0.05);
        sketch.leaf(&[l, bl, br, r], palette::CABIN);
    }
}
