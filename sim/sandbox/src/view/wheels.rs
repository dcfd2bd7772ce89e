//! Wheels, legs and the nose leg. Wheels and fork stay on the ground; what hangs on the body moves with it, so that legs bend
//! and the nose leg slides in and out.

use super::airframe::high_wing;
use super::palette;
use super::sketch::Sketch;
use crate::convert::{body, narrow};
use bevy::prelude::Vec3;
use toeline_model::Aircraft;

/// Bare length of the nose leg's piston at rest, metres. Ours.
const PISTON_M: f64 = 0.10;
/// Sides of a tyre.
const TREAD: u32 = 16;

/// A wheel about its hub, which turns about the cross axis.
pub fn wheel(sketch: &mut Sketch, width_m: f64, diameter_m: f64) {
    let r = narrow(diameter_m / 2.0);
    let hub = |y: f64| body(0.0, y, 0.0);
    let half = width_m / 2.0;
    // A rounded tread: narrower rings at both walls.
    let ring = |y: f64, share: f32| -> Vec<Vec3> {
        (0..TREAD)
            .map(|i| {
                let t = std::f32::consts::TAU * i as f32 / TREAD as f32;
                hub(y) + Vec3::new(0.0, t.cos(), t.sin()) * r * share
            })
            .collect()
    };
    let rings = [
        ring(half, 0.86),
        ring(half * 0.6, 1.0),
        ring(-half * 0.6, 1.0),
        ring(-half, 0.86),
    ];
    sketch.loft(&rings, |_, _| palette::TYRE);
    sketch.face(&rings[3], palette::TYRE);
    let mut left: Vec<Vec3> = rings[0].clone();
    left.reverse();
    sketch.face(&left, palette::TYRE);
    let rim = r * 0.52;
    sketch.bar(hub(-width_m * 0.53), hub(width_m * 0.53), (rim, rim), 8, palette::METAL);
    // Three dark holes in each face show that it turns.
    for side in [1.0, -1.0] {
        for i in 0..3 {
            let t = std::f64::consts::TAU * f64::from(i) / 3.0;
            let at = body(0.0, side * width_m * 0.54, 0.0);
            let out = Vec3::new(0.0, narrow(t.cos()), narrow(t.sin())) * rim;
            let across = Vec3::new(0.0, narrow(-t.sin()), narrow(t.cos())) * rim * 0.22;
            let hole = [
                at + out * 0.35 - across,
                at + out * 0.85 - across,
                at + out * 0.85 + across,
                at + out * 0.35 + across,
            ];
            sketch.leaf(&hole, palette::BLACK);
        }
    }
}

/// The two ends of a main leg, on the body and at the hub; `side` is 1 on the left.
pub fn leg_ends(a: &Aircraft, side: f64) -> (Vec3, Vec3) {
    let g = &a.gear;
    let y = side * g.track_m / 2.0;
    let inner = y - side * g.main_tyre_width_m * 0.8;
    let root = if high_wing(a) {
        body(0.05, side * a.fuselage.width_m * 0.4, a.fuselage.underside_z_m + 0.1)
    } else {
        body(0.05, inner, a.wing.root_underside_z_m + 0.05)
    };
    (root, body(0.0, inner, g.main_tyre_diameter_m / 2.0))
}

/// A leg one metre long, upward from its root.
pub fn leg(sketch: &mut Sketch) {
    sketch.bar(Vec3::ZERO, Vec3::Y, (0.05, 0.035), 6, palette::METAL);
}

/// The stub axle of a main wheel about its hub; `side` is 1 on the left.
pub fn axle(sketch: &mut Sketch, a: &Aircraft, side: f64) {
    let inner = -side * a.gear.main_tyre_width_m * 0.85;
    sketch.bar(body(0.0, inner, 0.0), Vec3::ZERO, (0.03, 0.03), 6, palette::METAL);
}

fn crown_m(a: &Aircraft) -> f64 {
    a.gear.nose_tyre_diameter_m + 0.04
}

/// Fork and piston about the nose wheel's contact point: they steer, and stay on the ground.
pub fn fork(sketch: &mut Sketch, a: &Aircraft) {
    let g = &a.gear;
    let crown = crown_m(a);
    for y in [-1.0, 1.0] {
        let y = y * g.nose_tyre_width_m * 0.75;
        let foot = body(0.0, y, g.nose_tyre_diameter_m / 2.0);
        sketch.bar(foot, body(0.02, y, crown), (0.02, 0.02), 5, palette::METAL);
    }
    let y = g.nose_tyre_width_m * 0.75;
    sketch.bar(
        body(0.02, -y, crown),
        body(0.02, y, crown),
        (0.022, 0.022),
        5,
        palette::METAL,
    );
    let top = body(0.04, 0.0, crown + PISTON_M + 0.12);
    sketch.bar(body(0.02, 0.0, crown), top, (0.024, 0.024), 8, palette::CHROME);
}

/// The sleeve that the piston slides in, fixed to the body.
pub fn sleeve(sketch: &mut Sketch, a: &Aircraft) {
    let x = a.gear.wheelbase_m;
    let low = crown_m(a) + PISTON_M;
    let top = a.fuselage.underside_z_m.max(low) + 0.15;
    sketch.bar(
        body(x + 0.035, 0.0, low),
        body(x + 0.06, 0.0, top),
        (0.042, 0.042),
        8,
        palette::METAL,
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tyre_is_closed_and_faces_outward() {
        let mut s = Sketch::default();
        wheel(&mut s, 0.15, 0.40);
        // The volume by the divergence theorem is positive only when faces look outward.
        let mesh = s.mesh();
        let at = mesh
            .attribute(bevy::prelude::Mesh::ATTRIBUTE_POSITION)
            .and_then(|a| a.as_float3())
            .expect("positions");
        let index: Vec<usize> = mesh.indices().expect("indices").iter().collect();
        let point = |i: usize| Vec3::from(at[index[i]]);
        // The tread alone comes first: 3 rings of 16 quads and two caps of 14 triangles.
        let tread = 3 * (3 * 16 * 2 + 2 * 14);
        let volume: f32 = (0..tread)
            .step_by(3)
            .map(|i| point(i).dot(point(i + 1).cross(point(i + 2))) / 6.0)
            .sum();
        // A cylinder of 0.40 by 0.15 m holds 0.0188 m³; rounded and with 16 sides a little less.
        assert!((0.015..0.0188).contains(&volume), "{volume} m³");
    }
}
