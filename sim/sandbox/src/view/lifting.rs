//! Wings and tailplane with the surfaces that move: ailerons and elevator are cut out of them and hang on hinges of their own.

use super::airframe::high_wing;
use super::palette;
use super::sketch::Sketch;
use crate::convert::body;
use bevy::prelude::{Color, Vec3};
use toeline_model::Aircraft;

/// Share of the chord in front of an aileron's hinge, and from where to where along the half span it reaches. Ours.
const AILERON_HINGE: f64 = 0.76;
const AILERON: (f64, f64) = (0.54, 0.93);
/// Share of the tailplane's chord in front of the elevator's hinge, and where it ends. Ours.
const ELEVATOR_HINGE: f64 = 0.66;
const ELEVATOR: (f64, f64) = (0.10, 0.97);

/// A cut through a lifting surface, metres.
#[derive(Clone, Copy)]
struct Rib {
    lead_x: f64,
    chord: f64,
    y: f64,
    low_z: f64,
    thick: f64,
}

/// Share of the chord from the leading edge, share of the thickness: over the top, and back along the bottom.
const TOP: [(f64, f64); 6] = [
    (0.0, 0.40),
    (0.03, 0.68),
    (0.12, 0.92),
    (0.30, 1.0),
    (0.65, 0.72),
    (1.0, 0.40),
];
const BOTTOM: [(f64, f64); 3] = [(1.0, 0.34), (0.40, 0.0), (0.06, 0.12)];

impl Rib {
    fn toward(self, tip: Rib, t: f64) -> Rib {
        let mix = |a: f64, b: f64| a + (b - a) * t;
        Rib {
            lead_x: mix(self.lead_x, tip.lead_x),
            chord: mix(self.chord, tip.chord),
            y: mix(self.y, tip.y),
            low_z: mix(self.low_z, tip.low_z),
            thick: mix(self.thick, tip.thick),
        }
    }

    fn at(self, (c, t): (f64, f64)) -> Vec3 {
        body(self.lead_x - c * self.chord, self.y, self.low_z + t * self.thick)
    }

    /// Top and bottom at a share of the chord behind the thickest part.
    fn skin(cut: f64) -> [(f64, f64); 2] {
        let between = |(c0, t0): (f64, f64), (c1, t1): (f64, f64)| (cut, t0 + (t1 - t0) * (cut - c0) / (c1 - c0));
        [between(TOP[4], TOP[5]), between(BOTTOM[1], BOTTOM[0])]
    }

    /// The outline up to a share of the chord: always nine points.
    fn front(self, cut: f64) -> Vec<Vec3> {
        let [top, bottom] = Rib::skin(cut);
        let ahead = TOP[..5].iter().copied();
        let back = [top, bottom, BOTTOM[1], BOTTOM[2]];
        ahead.chain(back).map(|p| self.at(p)).collect()
    }

    /// The outline behind that share, from a given point.
    fn rear(self, cut: f64, from: Vec3) -> Vec<Vec3> {
        let [top, bottom] = Rib::skin(cut);
        // A round front edge that stays inside the gap as the surface turns.
        let nose = (cut - 0.015, f64::midpoint(top.1, bottom.1));
        [nose, top, TOP[5], BOTTOM[0], bottom]
            .map(|p| self.at(p) - from)
            .to_vec()
    }

    fn hinge(self, cut: f64) -> Vec3 {
        let [top, bottom] = Rib::skin(cut);
        self.at((cut, f64::midpoint(top.1, bottom.1)))
    }
}

/// A moving surface: where its hinge is and the way the hinge runs, from left to right; a positive turn about it lowers the
/// rear edge.
#[derive(Clone, Copy, Debug)]
pub struct Hinge {
    /// A point on it, in the aeroplane's axes as Bevy sees them.
    pub at: Vec3,
    /// Unit vector along it, to the right.
    pub along: Vec3,
}

/// A half of wing or tailplane.
struct Half {
    root: Rib,
    tip: Rib,
    cut: f64,
    moving: (f64, f64),
}

impl Half {
    fn rib(&self, t: f64) -> Rib {
        self.root.toward(self.tip, t)
    }

    fn fixed(&self, sketch: &mut Sketch) {
        let (from, to) = self.moving;
        let ends = [
            (0.0, 1.0),
            (from, 1.0),
            (from, self.cut),
            (to, self.cut),
            (to, 1.0),
            (1.0, 1.0),
        ];
        let mut rings = ends.map(|(t, cut)| self.rib(t).front(cut));
        if self.left() {
            // The left side is the mirror image, so it is walked the other way.
            rings.iter_mut().for_each(|r| r.reverse());
        }
        for pair in [0, 2, 4] {
            let colour = if pair == 4 { palette::SKIN_LOW } else { palette::SKIN };
            sketch.loft(&rings[pair..pair + 2], |_, _| colour);
        }
        sketch.face(&rings[5], palette::SKIN_LOW);
        for step in [1, 4] {
            sketch.leaf(&rings[step], palette::SKIN);
        }
    }

    fn moving(&self, sketch: &mut Sketch, colour: Color) {
        let from = self.place().at;
        let mut rings = [self.moving.0, self.moving.1].map(|t| self.rib(t).rear(self.cut, from));
        if self.left() {
            rings.iter_mut().for_each(|r| r.reverse());
        }
        sketch.face(&rings[1], colour);
        let mut inner = rings[0].clone();
        inner.reverse();
        sketch.face(&inner, colour);
        sketch.loft(&rings, |_, _| colour);
    }

    fn place(&self) -> Hinge {
        let [inner, outer] = [self.moving.0, self.moving.1].map(|t| self.rib(t).hinge(self.cut));
        let out = (outer - inner).normalize_or(Vec3::X);
        Hinge {
            at: inner,
            along: if self.left() { -out } else { out },
        }
    }

    fn left(&self) -> bool {
        self.tip.y > self.root.y
    }
}

fn wing(a: &Aircraft, side: f64) -> Half {
    let w = &a.wing;
    Half {
        root: Rib {
            lead_x: w.root_leading_edge_x_m,
            chord: w.root_chord_m,
            y: 0.0,
            low_z: w.root_underside_z_m,
            thick: w.thickness_m,
        },
        tip: Rib {
            lead_x: w.tip_leading_edge_x_m,
            chord: w.tip_chord_m,
            y: side * w.span_m / 2.0,
            low_z: a.tip_underside_z_m(),
            thick: w.thickness_m * 0.6,
        },
        cut: AILERON_HINGE,
        moving: AILERON,
    }
}

fn tail_half(a: &Aircraft, side: f64) -> Half {
    let t = &a.tailplane;
    let end = |y: f64, share: f64| Rib {
        lead_x: t.leading_edge_x_m - t.chord_m * (1.0 - share) * 0.5,
        chord: t.chord_m * share,
        y,
        low_z: t.underside_z_m,
        thick: t.thickness_m,
    };
    Half {
        root: end(0.0, 1.0),
        tip: end(side * t.span_m / 2.0, 0.85),
        cut: ELEVATOR_HINGE,
        moving: ELEVATOR,
    }
}

/// Both wings without ailerons, with their struts when they sit on top.
pub fn wings(sketch: &mut Sketch, a: &Aircraft) {
    let w = &a.wing;
    for side in [1.0, -1.0] {
        wing(a, side).fixed(sketch);
        if high_wing(a) {
            let x = w.root_leading_edge_x_m - 0.35 * w.root_chord_m;
            let out = w.span_m * 0.23;
            let z = w.root_underside_z_m + (a.tip_underside_z_m() - w.root_underside_z_m) * 0.46;
            sketch.bar(
                body(x, side * a.fuselage.width_m / 2.0, a.fuselage.underside_z_m + 0.2),
                body(x, side * out, z + 0.05),
                (0.035, 0.035),
                6,
                palette::SKIN,
            );
        }
    }
}

/// Tailplane without the elevator.
pub fn tailplane(sketch: &mut Sketch, a: &Aircraft) {
    for side in [1.0, -1.0] {
        tail_half(a, side).fixed(sketch);
    }
}

/// An aileron about its hinge: `side` is 1 on the left and -1 on the right.
pub fn aileron(sketch: &mut Sketch, a: &Aircraft, side: f64) -> Hinge {
    let half = wing(a, side);
    half.moving(sketch, palette::SKIN_LOW);
    half.place()
}

/// One half of the elevator about its hinge.
pub fn elevator(sketch: &mut Sketch, a: &Aircraft, side: f64) -> Hinge {
    let half = tail_half(a, side);
    half.moving(sketch, palette::SKIN_LOW);
    half.place()
}
