//! Buildings, fences, trees and poles, upright to the height that the map gives. Where it gives none a thing is drawn to a
//! stand-in height with a pale top, so that nobody takes the drawing for a measurement.

use super::palette;
use super::parked::drawn_as_aeroplane;
use super::quality::Quality;
use super::sketch::{Sketch, with_hole};
use crate::convert::{narrow, world};
use bevy::prelude::{Color, Vec3};
use toeline_model::airfield::{Obstacle, ObstacleKind};
use toeline_model::planar::Shape;
use toeline_model::{Airfield, Xy};

/// Height at which things of unknown height are drawn, metres. Ours.
pub const STAND_IN_HEIGHT_M: f64 = 5.0;
/// The same for fences, walls and hedges, metres. Ours.
const STAND_IN_BARRIER_M: f64 = 1.8;

/// Draws everything that stands, the windsock's cloth excepted.
pub fn draw(sketch: &mut Sketch, field: &Airfield, quality: Quality) {
    for o in field.obstacles.iter().filter(|o| !drawn_as_aeroplane(o)) {
        obstacle(sketch, o, quality);
    }
}

fn barrier(kind: ObstacleKind) -> bool {
    matches!(kind, ObstacleKind::Fence | ObstacleKind::Wall | ObstacleKind::Hedge)
}

/// Upper edge as drawn, metres.
pub fn drawn_top_m(o: &Obstacle) -> f64 {
    let stand_in = if barrier(o.kind) {
        STAND_IN_BARRIER_M
    } else {
        STAND_IN_HEIGHT_M
    };
    o.top_m.unwrap_or(o.bottom_m + stand_in)
}

fn side_colour(kind: ObstacleKind) -> Color {
    match kind {
        ObstacleKind::Building | ObstacleKind::Terminal => palette::BUILDING,
        ObstacleKind::Hangar => palette::HANGAR,
        ObstacleKind::Fence => palette::FENCE,
        ObstacleKind::Wall => palette::WALL,
        ObstacleKind::Tree | ObstacleKind::TreeRow | ObstacleKind::Hedge => palette::LEAVES,
        ObstacleKind::Pole | ObstacleKind::Mast | ObstacleKind::Windsock => palette::POLE,
        ObstacleKind::ParkedAeroplane => palette::PARKED,
    }
}

fn obstacle(sketch: &mut Sketch, o: &Obstacle, quality: Quality) {
    let sides = quality.tree_sides();
    let (low, high, side) = (o.bottom_m, drawn_top_m(o), side_colour(o.kind));
    let known_top = match o.kind {
        ObstacleKind::Building | ObstacleKind::Terminal | ObstacleKind::Hangar => palette::ROOF,
        _ => side,
    };
    let top = if o.top_m.is_none() {
        palette::UNKNOWN_TOP
    } else {
        known_top
    };
    match &o.shape {
        Shape::Area { outer, holes } => {
            sketch.prism(outer, low, high, side, None);
            let mut roof = outer.clone();
            for hole in holes {
                // A courtyard's walls look inward: the ring is walked the other way.
                let mut inner = hole.clone();
                if toeline_model::planar::signed_area(&inner) > 0.0 {
                    inner.reverse();
                }
                for (a, b) in inner.iter().zip(inner.iter().cycle().skip(1)) {
                    let wall = [world(*a, low), world(*b, low), world(*b, high), world(*a, high)];
                    sketch.face(&wall, side);
                }
                roof = with_hole(&roof, &inner);
            }
            sketch.area(&roof, high, top);
        }
        Shape::Line { points } if o.kind == ObstacleKind::Fence => fence(sketch, points, low, high, top),
        Shape::Line { points } if o.kind == ObstacleKind::TreeRow => {
            for at in every(points, 7.0) {
                tree(sketch, (at, 3.0), high, top, sides);
            }
        }
        Shape::Line { points } if o.kind == ObstacleKind::Hedge => {
            for w in points.windows(2) {
                let n = Xy::unit((w[1] - w[0]).direction()).left() * 0.5;
                sketch.prism(&[w[0] - n, w[1] - n, w[1] + n, w[0] + n], low, high, side, Some(top));
            }
        }
        Shape::Line { points } => sketch.wall(points, low, high, side),
        Shape::Disc { at, radius_m } => match o.kind {
            ObstacleKind::Tree | ObstacleKind::TreeRow => tree(sketch, (*at, radius_m.max(0.8)), high, top, sides),
            _ => {
                let r = narrow(radius_m.max(0.06));
                sketch.bar(world(*at, low), world(*at, high), (r, r * 0.8), 8, side);
            }
        },
    }
}

/// Points along a line, about as far apart as asked.
fn every(line: &[Xy], step_m: f64) -> Vec<Xy> {
    let mut out = Vec::new();
    for w in line.windows(2) {
        let n = (w[0].distance(w[1]) / step_m).ceil().max(1.0);
        out.extend((0..n as u32).map(|i| w[0].lerp(w[1], f64::from(i) / n)));
    }
    out.extend(line.last());
    out
}

/// Posts and wires: what is behind a fence stays in sight.
fn fence(sketch: &mut Sketch, line: &[Xy], low: f64, high: f64, top: Color) {
    for at in every(line, 3.0) {
        sketch.bar(world(at, low), world(at, high), (0.04, 0.04), 4, palette::FENCE);
    }
    for (share, colour) in [(0.3, palette::FENCE), (0.65, palette::FENCE), (1.0, top)] {
        let z = low + (high - low) * share;
        for w in line.windows(2) {
            sketch.wall(w, z - 0.03, z + 0.02, colour);
        }
    }
}

/// A trunk and a crown of three tiers.
fn tree(sketch: &mut Sketch, (at, radius_m): (Xy, f64), high_m: f64, top: Color, sides: usize) {
    let foot = (high_m * 0.25).min(2.5);
    sketch.bar(
        world(at, 0.0),
        world(at, foot + 0.5),
        (0.18, 0.14),
        sides.min(6) as u32,
        palette::TRUNK,
    );
    let ring = |share: f64, width: f64, turn: f32| -> Vec<Vec3> {
        let centre = world(at, foot + (high_m - foot) * share);
        (0..sides)
            .map(|i| {
                let t = std::f32::consts::TAU * (i as f32 + turn) / sides as f32;
                centre + Vec3::new(t.sin(), 0.0, t.cos()) * narrow(radius_m * width)
            })
            .collect()
    };
    let rings = [
        ring(0.0, 0.45, 0.0),
        ring(0.22, 0.95, 0.3),
        ring(0.5, 1.0, 0.6),
        ring(0.8, 0.65, 0.9),
        ring(1.0, 0.08, 1.2),
    ];
    sketch.loft(&rings, |r, _| {
        if r == 3 && top != palette::LEAVES {
            top
        } else {
            palette::LEAVES
        }
    });
}
