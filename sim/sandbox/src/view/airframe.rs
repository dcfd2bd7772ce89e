//! The shape of an aeroplane from its data: a body of cross-sections, wings with dihedral, tail, legs. A neutral design of
//! our own; only the measures are the aeroplane's.

use super::palette;
use super::sketch::Sketch;
use crate::convert::body;
use bevy::prelude::{Alpha, Color, Vec3};
use toeline_model::Aircraft;

/// One cross-section of the body, metres.
#[derive(Clone, Copy, Debug)]
pub struct Section {
    /// Forward of the main axle.
    pub x_m: f64,
    /// Half its width.
    pub half_m: f64,
    /// Lower edge above the ground.
    pub low_m: f64,
    /// Upper edge above the ground.
    pub top_m: f64,
}

/// Places in the body that outside and inside share, metres.
#[derive(Clone, Copy, Debug)]
pub struct Body {
    /// Sections from the nose to the tail.
    pub sections: [Section; 8],
    /// Foot of the windscreen: x.
    pub screen_x_m: f64,
    /// Foot of the windscreen: height of the cowling there.
    pub screen_z_m: f64,
    /// Front edge of the cabin roof: x.
    pub roof_x_m: f64,
    /// Lower edge of the side windows.
    pub sill_z_m: f64,
    /// Half the width of the cabin.
    pub half_m: f64,
}

const SIDES: usize = 18;
/// Section at the rear of the cabin.
const REAR: usize = 5;

/// Whether the wing lies above the pilot's eye.
pub fn high_wing(a: &Aircraft) -> bool {
    a.wing.root_underside_z_m > a.seats.pilot_eye_z_m
}

/// Works the body out from the aeroplane's measures and the pilot's eye.
pub fn shape(a: &Aircraft) -> Body {
    let (f, eye) = (&a.fuselage, &a.seats);
    let half = f.width_m / 2.0;
    let tall = f.top_z_m - f.underside_z_m;
    let hub = a.propellers.iter().find(|p| p.y_m == 0.0).map(|p| p.hub_z_m);
    // The cowling is drawn around the propeller shaft, and no pilot's eye lies below its top.
    let (nose_low, nose_top) = match hub {
        Some(z) => (f.underside_z_m.max(z - 0.42), (z + 0.14).min(eye.pilot_eye_z_m - 0.15)),
        None => (f.underside_z_m + 0.15 * tall, f.underside_z_m + 0.45 * tall),
    };
    let screen_z_m = (nose_top + 0.10).min(eye.pilot_eye_z_m - 0.20).max(nose_top);
    let screen_x_m = (eye.pilot_eye_x_m + 0.58).min(f.nose_x_m - 0.5);
    let roof_x_m = (eye.pilot_eye_x_m + 0.22).min(screen_x_m - 0.2);
    let rear_x = eye.pilot_eye_x_m - 0.55 - 0.55 * f64::from(a.seats.count.div_ceil(2) - 1);
    let tail_mid = f.underside_z_m + 0.5 * tall;
    let cone_x = rear_x + (f.tail_x_m - rear_x) * 0.35;
    let s = |x_m: f64, width: f64, low_m: f64, top_m: f64| Section {
        x_m,
        half_m: half * width,
        low_m,
        top_m,
    };
    let sections = [
        s(f.nose_x_m, 0.40, nose_low + 0.10, nose_top - 0.06),
        s(f.nose_x_m - 0.14, 0.70, nose_low, nose_top),
        s(
            (f.nose_x_m + screen_x_m) / 2.0,
            0.88,
            f.underside_z_m.max(nose_low - 0.1),
            (nose_top + screen_z_m) / 2.0,
        ),
        s(screen_x_m, 0.98, f.underside_z_m, screen_z_m),
        s(roof_x_m, 1.0, f.underside_z_m, f.top_z_m - 0.03),
        s(rear_x, 0.98, f.underside_z_m + 0.02, f.top_z_m),
        s(cone_x, 0.62, f.underside_z_m + 0.22 * tall, tail_mid + 0.20 * tall),
        s(f.tail_x_m, 0.14, tail_mid - 0.08, tail_mid + 0.10),
    ];
    Body {
        sections,
        screen_x_m,
        screen_z_m,
        roof_x_m,
        sill_z_m: (eye.pilot_eye_z_m - 0.22).min(f.top_z_m - 0.35),
        half_m: half,
    }
}

/// The outline of a section: a rounded box, anticlockwise as seen from behind, beginning at the right.
pub fn outline(s: &Section) -> Vec<Vec3> {
    let (middle, tall) = ((s.low_m + s.top_m) / 2.0, (s.top_m - s.low_m) / 2.0);
    (0..SIDES)
        .map(|i| {
            let t = std::f64::consts::TAU * i as f64 / SIDES as f64;
            // A superellipse of power 3: flat sides, round corners.
            let soft = |v: f64| v.signum() * v.abs().powf(2.0 / 3.0);
            body(s.x_m, -s.half_m * soft(t.cos()), middle + tall * soft(t.sin()))
        })
        .collect()
}

/// The body from outside.
pub fn hull(sketch: &mut Sketch, a: &Aircraft) {
    let b = shape(a);
    let rings: Vec<Vec<Vec3>> = b.sections[..REAR + 1].iter().map(outline).collect();
    let mut nose = rings[0].clone();
    nose.reverse();
    sketch.face(&nose, palette::SKIN_LOW);
    let upper = |i: usize| (1..SIDES / 2 - 1).contains(&i);
    sketch.loft(&rings, |r, i| match r {
        // The top of the cowling is dull, as on any aeroplane whose pilot looks over it.
        0..=2 if (2..7).contains(&i) => palette::SKIN_LOW,
        3 if upper(i) => palette::GLASS,
        4 if (1..3).contains(&i) || (6..8).contains(&i) => palette::GLASS,
        _ if (SIDES / 2 + 1..SIDES - 1).contains(&i) => palette::SKIN_LOW,
        _ => palette::SKIN,
    });
    for p in a.propellers.iter().filter(|p| p.y_m != 0.0) {
        let (front, back) = (body(p.x_m - 0.1, p.y_m, p.hub_z_m), body(p.x_m - 2.0, p.y_m, p.hub_z_m));
        sketch.bar(front, back, (0.30, 0.22), 12, palette::SKIN);
    }
}

/// The body behind the cabin: seen from outside, and over the shoulder.
pub fn rear_hull(sketch: &mut Sketch, a: &Aircraft) {
    let b = shape(a);
    let rings: Vec<Vec<Vec3>> = b.sections[REAR..].iter().map(outline).collect();
    sketch.loft(&rings, |r, i| match r {
        0 if rear_window(i) => palette::GLASS,
        _ if (SIDES / 2 + 1..SIDES - 1).contains(&i) => palette::SKIN_LOW,
        _ => palette::SKIN,
    });
    sketch.face(&rings[rings.len() - 1], palette::SKIN_LOW);
}

/// What the pilot sees looking back: walls and roof behind the door, and the inside of the body up to the rear windows.
pub fn rear_lining(sketch: &mut Sketch, a: &Aircraft) {
    let b = shape(a);
    let [front, back] = [&b.sections[REAR], &b.sections[REAR + 1]].map(outline);
    for i in (0..SIDES).filter(|i| !rear_window(*i)) {
        let j = (i + 1) % SIDES;
        sketch.face(&[front[i], back[i], back[j], front[j]], palette::CABIN);
    }
    let bulkhead: Vec<Vec3> = back.iter().rev().copied().collect();
    sketch.face(&bulkhead, palette::CABIN);
    let (from, to) = (a.seats.pilot_eye_x_m - 0.45, b.sections[REAR].x_m);
    let (low, top) = (a.fuselage.underside_z_m + 0.05, a.fuselage.top_z_m - 0.05);
    let half = b.half_m * 0.97;
    for y in [half, -half] {
        let wall = [
            body(from, y, low),
            body(to, y, low),
            body(to, y, b.sill_z_m),
            body(from, y, b.sill_z_m),
        ];
        sketch.leaf(&wall, palette::CABIN);
    }
    // A floor, above a low wing that passes through below it.
    let wing_top = a.wing.root_underside_z_m + a.wing.thickness_m + 0.09;
    let floor = if high_wing(a) { low } else { low.max(wing_top) };
    let ahead = a.seats.pilot_eye_x_m + 0.5;
    let floor = [(ahead, half), (to, half), (to, -half), (ahead, -half)].map(|(x, y)| body(x, y, floor));
    sketch.leaf(&floor, palette::PANEL);
    let roof = [
        body(from, half, top),
        body(to, half, top),
        body(to, -half, top),
        body(from, -half, top),
    ];
    sketch.leaf(&roof, palette::CABIN);
}

fn rear_window(i: usize) -> bool {
    (1..3).contains(&i) || (6..8).contains(&i)
}

/// Share of the fin's chord that is rudder.
const RUDDER: f64 = 0.38;

/// The rudder's hinge: x and the height of its foot, metres.
pub fn rudder_hinge(a: &Aircraft) -> (f64, f64) {
    let chord = a.fin.leading_edge_x_m - a.fin.trailing_edge_x_m;
    let foot = a.fuselage.underside_z_m + 0.5 * (a.fuselage.top_z_m - a.fuselage.underside_z_m);
    (a.fin.trailing_edge_x_m + RUDDER * chord, foot)
}

fn slab(sketch: &mut Sketch, profile: &[(f64, f64)], half_m: f64, colour: Color) {
    // Profile points run anticlockwise as seen from the right side, where forward is to the right.
    let side = |y: f64| -> Vec<Vec3> { profile.iter().map(|(x, z)| body(*x, y, *z)).collect() };
    let (right, left) = (side(-half_m), side(half_m));
    sketch.face(&right, colour);
    let mut back = left.clone();
    back.reverse();
    sketch.face(&back, colour);
    sketch.loft(&[left, right], |_, _| colour);
}

/// Fin.
pub fn fin(sketch: &mut Sketch, a: &Aircraft) {
    let (hinge, foot) = rudder_hinge(a);
    let front = a.fin.leading_edge_x_m;
    let top_front = front - (front - hinge) * 0.7;
    let profile = [
        (front, foot),
        (hinge, foot),
        (hinge, a.fin.top_z_m),
        (top_front, a.fin.top_z_m),
    ];
    let mirrored: Vec<(f64, f64)> = profile.iter().rev().copied().collect();
    slab(sketch, &mirrored, 0.06, palette::SKIN);
}

/// The rudder, about its hinge.
pub fn rudder(sketch: &mut Sketch, a: &Aircraft) {
    let (hinge, foot) = rudder_hinge(a);
    let rear = a.fin.trailing_edge_x_m - hinge;
    let top = a.fin.top_z_m;
    let profile = [(0.0, foot), (0.0, top), (rear * 0.75, top), (rear, foot)];
    let mirrored: Vec<(f64, f64)> = profile.to_vec();
    slab(sketch, &mirrored, 0.045, palette::SKIN_LOW);
}

/// The spinner about the hub.
pub fn spinner(sketch: &mut Sketch) {
    let (back, front) = (body(-0.06, 0.0, 0.0), body(0.10, 0.0, 0.0));
    sketch.bar(back, front, (0.14, 0.10), 14, palette::SKIN_LOW);
    sketch.bar(front, body(0.22, 0.0, 0.0), (0.10, 0.02), 14, palette::SKIN_LOW);
}

/// Two blades about the hub.
pub fn blades(sketch: &mut Sketch, diameter_m: f64) {
    let r = diameter_m / 2.0;
    for way in [1.0, -1.0] {
        let blade = [
            body(0.03, way * 0.05, way * 0.10),
            body(0.0, -way * 0.05, way * 0.10),
            body(-0.01, -way * 0.06, way * r * 0.7),
            body(0.0, -way * 0.02, way * r),
            body(0.02, way * 0.04, way * r),
            body(0.03, way * 0.06, way * r * 0.7),
        ];
        sketch.leaf(&blade, palette::METAL);
    }
}

/// The disc that quick blades become: densest near the hub, where blades are wide for the way they
/// sweep, and gone at the tips.
pub fn blurred(sketch: &mut Sketch, diameter_m: f64) {
    let r = diameter_m / 2.0;
    let rings = [(0.10, 0.18), (0.45, 0.10), (0.80, 0.055), (0.96, 0.035), (1.0, 0.0)];
    let point = |share: f64, i: u32| {
        let t = std::f64::consts::TAU * f64::from(i) / 40.0;
        body(0.0, r * share * t.cos(), r * share * t.sin())
    };
    for pair in rings.windows(2) {
        let [(inner, thin), (outer, thick)] = [pair[0], pair[1]];
        for i in 0..40 {
            let corners = [
                point(inner, i),
                point(outer, i),
                point(outer, i + 1),
                point(inner, i + 1),
            ];
            let c = |alpha: f32| palette::METAL.with_alpha(alpha);
            let colours = [c(thin), c(thick), c(thick), c(thin)];
            sketch.blend(&corners, &colours);
            let back = [corners[3], corners[2], corners[1], corners[0]];
            sketch.blend(&back, &[colours[3], colours[2], colours[1], colours[0]]);
        }
    }
}
