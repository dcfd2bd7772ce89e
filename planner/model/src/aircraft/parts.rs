//! The aeroplane cut into parts, each a convex outline in plan with a height band. Clearance sweeps exactly these, the
//! sandbox collides with exactly these, and the plan's JSON prints exactly these.

use super::Aircraft;
use crate::frame::{Xy, xy};
use serde::{Deserialize, Serialize};

/// Half the depth of a propeller disc fore and aft, metres (ours: blades are twisted and the spinner stands out).
pub const PROPELLER_HALF_DEPTH_M: f64 = 0.10;
/// Half the thickness of the fin with its rudder, metres (ours).
const FIN_HALF_WIDTH_M: f64 = 0.15;

/// One part: a convex outline in the aeroplane's axes (x forward of the main axle, y left, metres; anticlockwise) and
/// its height band above the ground.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// What a pilot calls it.
    pub name: String,
    /// Convex outline, open ring, anticlockwise.
    pub outline: Vec<Xy>,
    /// Lower edge, metres above the ground.
    pub low_m: f64,
    /// Upper edge, metres above the ground.
    pub high_m: f64,
}

/// All parts of an aeroplane, in a fixed order.
pub fn parts(a: &Aircraft) -> Vec<Part> {
    let mut list = Vec::new();
    let mut add = |name: &str, points: &[Xy], low_m: f64, high_m: f64| {
        list.push(Part {
            name: name.to_string(),
            outline: crate::planar::convex_hull(points),
            low_m,
            high_m,
        });
    };
    let w = &a.wing;
    let half = w.span_m / 2.0;
    let (root, tip) = (w.root_underside_z_m, a.tip_underside_z_m());
    for (name, side) in [("left wing", 1.0), ("right wing", -1.0)] {
        let outline = [
            xy(w.root_leading_edge_x_m, 0.0),
            xy(w.root_leading_edge_x_m - w.root_chord_m, 0.0),
            xy(w.tip_leading_edge_x_m - w.tip_chord_m, side * half),
            xy(w.tip_leading_edge_x_m, side * half),
        ];
        add(name, &outline, root.min(tip), root.max(tip) + w.thickness_m);
    }
    let f = &a.fuselage;
    let hw = f.width_m / 2.0;
    let shoulder = f.nose_x_m - (f.nose_x_m - f.tail_x_m) * 0.25;
    let waist = f.nose_x_m - (f.nose_x_m - f.tail_x_m) * 0.55;
    let fuselage = [
        xy(f.nose_x_m, hw * 0.6),
        xy(f.nose_x_m, -hw * 0.6),
        xy(shoulder, hw),
        xy(shoulder, -hw),
        xy(waist, hw),
        xy(waist, -hw),
        xy(f.tail_x_m, hw * 0.2),
        xy(f.tail_x_m, -hw * 0.2),
    ];
    add("fuselage", &fuselage, f.underside_z_m, f.top_z_m);
    let t = &a.tailplane;
    let (front, rear, side) = (t.leading_edge_x_m, t.leading_edge_x_m - t.chord_m, t.span_m / 2.0);
    let tailplane = [xy(front, side), xy(front, -side), xy(rear, side), xy(rear, -side)];
    add(
        "tailplane",
        &tailplane,
        t.underside_z_m,
        t.underside_z_m + t.thickness_m,
    );
    let fin = [
        xy(a.fin.leading_edge_x_m, FIN_HALF_WIDTH_M),
        xy(a.fin.leading_edge_x_m, -FIN_HALF_WIDTH_M),
        xy(a.fin.trailing_edge_x_m, FIN_HALF_WIDTH_M),
        xy(a.fin.trailing_edge_x_m, -FIN_HALF_WIDTH_M),
    ];
    add("fin", &fin, f.underside_z_m, a.fin.top_z_m);
    for p in &a.propellers {
        let name = match p.y_m {
            y if y > 0.0 => "left propeller",
            y if y < 0.0 => "right propeller",
            _ => "propeller",
        };
        let (r, e) = (p.diameter_m / 2.0, PROPELLER_HALF_DEPTH_M);
        let disc = [
            xy(p.x_m + e, p.y_m + r),
            xy(p.x_m + e, p.y_m - r),
            xy(p.x_m - e, p.y_m + r),
            xy(p.x_m - e, p.y_m - r),
        ];
        add(name, &disc, p.hub_z_m - r, p.hub_z_m + r);
    }
    let g = &a.gear;
    for (name, x, y, width, diameter) in [
        (
            "nose wheel",
            g.wheelbase_m,
            0.0,
            g.nose_tyre_width_m,
            g.nose_tyre_diameter_m,
        ),
        (
            "left main wheel",
            0.0,
            g.track_m / 2.0,
            g.main_tyre_width_m,
            g.main_tyre_diameter_m,
        ),
        (
            "right main wheel",
            0.0,
            -g.track_m / 2.0,
            g.main_tyre_width_m,
            g.main_tyre_diameter_m,
        ),
    ] {
        let (r, h) = (diameter / 2.0, width / 2.0);
        let wheel = [xy(x + r, y + h), xy(x + r, y - h), xy(x - r, y + h), xy(x - r, y - h)];
        add(name, &wheel, 0.0, diameter);
    }
    list
}
