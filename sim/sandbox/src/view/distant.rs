//! An aeroplane as it is drawn far from the eye: the same measures in a tenth of the triangles, so that a hub with hundreds
//! of stands costs little.

use super::airframe::shape;
use super::palette;
use super::sketch::Sketch;
use crate::convert::body;
use bevy::prelude::{Color, Vec3};
use toeline_model::frame::xy;
use toeline_model::{Aircraft, Xy};

/// Every how many corners of a cross-section one is kept: 6 of 18 are.
const EVERY: usize = 3;
/// Sides of a wheel.
const WHEEL_SIDES: u32 = 6;

/// The whole of it at rest.
pub fn whole(sketch: &mut Sketch, a: &Aircraft) {
    let rings: Vec<Vec<Vec3>> = shape(a).sections.iter().map(ring).collect();
    let mut nose = rings[0].clone();
    nose.reverse();
    sketch.face(&nose, palette::SKIN_LOW);
    sketch.loft(&rings, |r, i| match (r, i) {
        (3, 0..=2) => palette::GLASS,
        (_, 3..) => palette::SKIN_LOW,
        _ => palette::SKIN,
    });
    sketch.face(&rings[rings.len() - 1], palette::SKIN_LOW);
    let (w, t) = (&a.wing, &a.tailplane);
    // The middle of the dihedral stands for the whole of it.
    let low_m = f64::midpoint(w.root_underside_z_m, a.tip_underside_z_m());
    let half_m = w.span_m / 2.0;
    let wing = [
        xy(w.root_leading_edge_x_m, 0.0),
        xy(w.tip_leading_edge_x_m, half_m),
        xy(w.tip_leading_edge_x_m - w.tip_chord_m, half_m),
        xy(w.root_leading_edge_x_m - w.root_chord_m, 0.0),
        xy(w.tip_leading_edge_x_m - w.tip_chord_m, -half_m),
        xy(w.tip_leading_edge_x_m, -half_m),
    ];
    let (front, rear, side) = (t.leading_edge_x_m, t.leading_edge_x_m - t.chord_m, t.span_m / 2.0);
    let tail = [xy(front, -side), xy(front, side), xy(rear, side), xy(rear, -side)];
    slab(sketch, &wing, low_m, low_m + w.thickness_m, palette::SKIN);
    slab(
        sketch,
        &tail,
        t.underside_z_m,
        t.underside_z_m + t.thickness_m,
        palette::SKIN,
    );
    let foot_m = f64::midpoint(a.fuselage.underside_z_m, a.fuselage.top_z_m);
    let (ahead, astern) = (a.fin.leading_edge_x_m, a.fin.trailing_edge_x_m);
    let fin = [xy(ahead, -0.05), xy(ahead, 0.05), xy(astern, 0.05), xy(astern, -0.05)];
    slab(sketch, &fin, foot_m, a.fin.top_z_m, palette::SKIN);
    for p in &a.propellers {
        let at = |ahead_m: f64| body(p.x_m + ahead_m, p.y_m, p.hub_z_m);
        sketch.bar(at(-0.06), at(0.22), (0.14, 0.02), WHEEL_SIDES, palette::SKIN_LOW);
        if p.y_m != 0.0 {
            sketch.bar(at(-0.1), at(-2.0), (0.30, 0.22), WHEEL_SIDES, palette::SKIN);
        }
    }
    let g = &a.gear;
    let wheels = [
        (0.0, g.track_m / 2.0, g.main_tyre_width_m, g.main_tyre_diameter_m),
        (0.0, -g.track_m / 2.0, g.main_tyre_width_m, g.main_tyre_diameter_m),
        (g.wheelbase_m, 0.0, g.nose_tyre_width_m, g.nose_tyre_diameter_m),
    ];
    for (x_m, y_m, width_m, diameter_m) in wheels {
        let r = crate::convert::narrow(diameter_m / 2.0);
        let end = |side: f64| body(x_m, y_m + side * width_m / 2.0, diameter_m / 2.0);
        sketch.bar(end(1.0), end(-1.0), (r, r), WHEEL_SIDES, palette::TYRE);
        let top = body(x_m, y_m * 0.5, a.fuselage.underside_z_m + 0.1);
        sketch.bar(end(0.0), top, (0.05, 0.05), 4, palette::METAL);
    }
}

fn ring(section: &super::airframe::Section) -> Vec<Vec3> {
    super::airframe::outline(section).into_iter().step_by(EVERY).collect()
}

/// A flat thing of one thickness, its underside too.
fn slab(sketch: &mut Sketch, outline: &[Xy], low_m: f64, high_m: f64, colour: Color) {
    // The drawing's axes are the aeroplane's, turned a quarter to the left.
    let turned: Vec<Xy> = outline.iter().map(|p| p.left()).collect();
    sketch.prism(&turned, low_m, high_m, colour, Some(colour));
    let mut under: Vec<Vec3> = outline.iter().map(|p| body(p.x, p.y, low_m)).collect();
    under.reverse();
    sketch.face(&under, palette::SKIN_LOW);
}
