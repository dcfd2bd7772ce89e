//! What the pilot sees of the own aeroplane: cowling, glare shield, posts, door sills and roof. Built from the same body as
//! the outside, so that it blocks what it really blocks.

use super::aeroplane::{Built, Frame};
use super::airframe::{Body, high_wing, outline, shape};
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

/// Height of the glare shield's two edges against the top of the cowling at the windscreen, metres.
const FAR_LIFT_M: f64 = 0.006;
const NEAR_LIFT_M: f64 = -0.02;
/// How far its ends drop, metres: nearly level in the middle, rounded off at the sides.
const SHIELD_DROP_M: f64 = 0.015;

/// A line across the glare shield from left to right: forward, left and up, metres.
fn shelf(b: &Body, x_m: f64, lift_m: f64) -> Vec<[f64; 3]> {
    (0..=20)
        .map(|i| {
            let share = 0.97 * (1.0 - f64::from(i) / 10.0);
            [
                x_m,
                b.half_m * share,
                b.screen_z_m + lift_m - SHIELD_DROP_M * share.powi(12),
            ]
        })
        .collect()
}

/// The near edge of the glare shield from left to right, in the aeroplane's axes, metres: what the panel lies below.
pub fn shield_edge(a: &Aircraft) -> Vec<[f64; 3]> {
    let b = shape(a);
    let near_x = (a.seats.pilot_eye_x_m + 0.50).min(b.screen_x_m - 0.08);
    shelf(&b, near_x, NEAR_LIFT_M)
}

/// The upper edge of the left door below its window, from front to rear, in the aeroplane's axes, metres.
pub fn door_sill(a: &Aircraft) -> [[f64; 3]; 2] {
    let b = shape(a);
    let y = b.half_m * 0.97;
    [
        [b.screen_x_m, y, b.sill_z_m.min(b.screen_z_m)],
        [a.seats.pilot_eye_x_m - BEHIND_EYE_M, y, b.sill_z_m],
    ]
}

/// The post behind the door, metres behind the pilot's eye.
const BEHIND_EYE_M: f64 = 0.45;

fn cabin(sketch: &mut Sketch, a: &Aircraft) {
    let b = shape(a);
    let (eye_x, half) = (a.seats.pilot_eye_x_m, b.half_m);
    // Glare shield: a shelf from the windscreen to the top of the panel, and the panel below it.
    let points = |edge: Vec<[f64; 3]>| -> Vec<Vec3> { edge.iter().map(|[x, y, z]| body(*x, *y, *z)).collect() };
    let far = points(shelf(&b, b.screen_x_m + 0.02, FAR_LIFT_M));
    let near = points(shield_edge(a));
    let foot = a.fuselage.underside_z_m + 0.25;
    for i in 0..near.len() - 1 {
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
        let rear_x = eye_x - BEHIND_EYE_M;
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
        let low = a.fuselage.underside_z_m + 0.05;
        let [front, rear] = door_sill(a);
        let door = [
            body(front[0], y, low),
            body(rear[0], y, low),
            body(rear[0], y, rear[2]),
            body(front[0], y, front[2]),
        ];
        sketch.leaf(&door, palette::CABIN);
    }
    let bow = |x: f64, z: f64| [body(x, half * 0.94, z), body(x, -half * 0.94, z)];
    let [l, r] = bow(b.roof_x_m, top - 0.05);
    sketch.bar(l, r, (0.025, 0.025), 6, palette::CABIN);
    if high_wing(a) {
        // A closed roof; low wings have a glazed one with the bow only.
        let [bl, br] = bow(eye_x - BEHIND_EYE_M, top - 0.05);
        sketch.leaf(&[l, bl, br, r], palette::CABIN);
    }
}
