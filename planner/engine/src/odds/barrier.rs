//! How far aside the aeroplane must be, step by step, for anything to touch a body: the line that a deviation must cross.

use super::bodies::Body;
use super::drive::{Course, driven_hull};
use super::moments::Moment;
use toeline_model::frame::xy;
use toeline_model::planar::{self, Shape, convex_hull, ring_edges};
use toeline_model::{Xy, math};

/// Headings are looked at in so many slices of their range.
const SLICES: usize = 32;
/// Spreads of the heading within which it is looked at; the odds of more are added to the bound.
pub(super) const TURNED_SPREADS: f64 = 5.0;
/// Corners of the polygon drawn around a disc.
const AROUND: usize = 24;

/// For one step: for each slice of the heading's difference, the least deviation to the left (and to the right) at which
/// something touches, metres.
#[derive(Clone, Debug)]
pub(super) struct Barrier {
    pub(super) step: usize,
    /// Slices: from and to, radians; least deviation left and right.
    pub(super) slices: Vec<(f64, f64, [f64; 2])>,
    /// How wrong the first order of the heading's difference may be, radians.
    pub(super) loose_rad: f64,
}

/// The barriers of a body, by step.
pub(super) fn barriers(course: &Course<'_>, moments: &[Moment], body: &Body) -> Vec<Barrier> {
    let edges = edges(&body.shape);
    let mut list: Vec<Barrier> = Vec::new();
    for group in body.touches.chunk_by(|a, b| a.step == b.step) {
        let step = group[0].step;
        let (a, b) = course.stations.step(step);
        let (m, n) = (&moments[step], &moments[(step + 1).min(moments.len() - 1)]);
        let both = |i: usize, spreads: f64| m.within(i, spreads).max(n.within(i, spreads));
        let bend = bend_behind(course, step);
        // The first order leaves out κ·y·(y' − δ) and δ³/6, forgotten over a wheelbase.
        let turned = both(3, TURNED_SPREADS).max(both(1, TURNED_SPREADS));
        let loose_rad = bend * both(0, TURNED_SPREADS) * 2.0 * turned + turned * turned * turned;
        let range = both(3, TURNED_SPREADS) + loose_rad;
        let step_m = b.at_m - a.at_m;
        // The two ends of the step go aside along their own normals.
        let middle = a.along + b.along;
        let aside = middle.left() * (1.0 / middle.norm().max(1e-12));
        let fan = a.along.cross(b.along).abs() / 2.0 * both(0, TURNED_SPREADS);
        let slices = (0..SLICES)
            .map(|k| {
                let at = |i: usize| range * (2.0 * i as f64 / SLICES as f64 - 1.0);
                let (from, to) = (at(k), at(k + 1));
                let mut least = [f64::INFINITY; 2];
                for touch in group {
                    let reach = body.reaches[touch.part];
                    let corners = &course.corners[touch.part];
                    let mut points: Vec<Xy> = Vec::new();
                    for turn in [from, to] {
                        let hull = driven_hull(
                            corners,
                            (a.nose, turned_by(a.axis, turn)),
                            (b.nose, turned_by(b.axis, turn)),
                        );
                        points.extend(hull);
                    }
                    if fan > 0.0 {
                        let more: Vec<Xy> = points
                            .iter()
                            .flat_map(|p| [*p + a.along * fan, *p - a.along * fan])
                            .collect();
                        points.extend(more);
                    }
                    let hull = convex_hull(&points);
                    // Chords in place of arcs: along the step, and in the slice.
                    let bulge = b.sagitta_m(reach, step_m) + reach * (to - from) * (to - from) / 8.0;
                    for (side, sign) in [1.0, -1.0].into_iter().enumerate() {
                        let aside_m = shift(&hull, aside * sign, &body.shape, &edges) - bulge;
                        least[side] = least[side].min(aside_m);
                    }
                }
                (from, to, least)
            })
            .collect();
        list.push(Barrier {
            step,
            slices,
            loose_rad,
        });
    }
    list
}

/// The sharpest bend of the way here and in the three wheelbases behind, 1/m.
fn bend_behind(course: &Course<'_>, step: usize) -> f64 {
    let list = &course.stations.list;
    let (here, next) = course.stations.step(step);
    let behind_m = here.at_m - 3.0 * course.stations.wheelbase_m;
    list[..=step]
        .iter()
        .rev()
        .take_while(|s| s.at_m >= behind_m)
        .chain([next])
        .map(|s| s.curvature_per_m.abs())
        .fold(0.0, f64::max)
}

fn turned_by(axis: Xy, left_rad: f64) -> Xy {
    let (s, c) = math::sin_cos(left_rad);
    xy(axis.x * c - axis.y * s, axis.x * s + axis.y * c)
}

/// Edges of a shape; a disc as the polygon around it.
fn edges(shape: &Shape) -> Vec<(Xy, Xy)> {
    match shape {
        Shape::Disc { at, radius_m } => {
            let half = core::f64::consts::PI / AROUND as f64;
            let r = radius_m / math::cos(half);
            let corner = |i: usize| {
                let (s, c) = math::sin_cos(2.0 * half * i as f64);
                *at + xy(r * c, r * s)
            };
            (0..AROUND).map(|i| (corner(i), corner(i + 1))).collect()
        }
        Shape::Line { points } => points.windows(2).map(|w| (w[0], w[1])).collect(),
        Shape::Area { outer, holes } => core::iter::once(outer)
            .chain(holes)
            .flat_map(|r| ring_edges(r))
            .collect(),
    }
}

/// How far a convex outline can be moved along a unit vector before it touches, metres; infinite when it never does.
fn shift(outline: &[Xy], toward: Xy, shape: &Shape, edges: &[(Xy, Xy)]) -> f64 {
    // Along the vector is x, across it y.
    let seen = |p: Xy| xy(p.dot(toward), toward.cross(p));
    let own: Vec<Xy> = outline.iter().map(|p| seen(*p)).collect();
    let low = own.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
    let high = own.iter().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
    let back = own.iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
    let mut least = f64::INFINITY;
    for &(a, b) in edges {
        let (a, b) = (seen(a), seen(b));
        if a.y.max(b.y) < low || a.y.min(b.y) > high || a.x.max(b.x) < back {
            continue;
        }
        for p in &own {
            if let Some(x) = across(a, b, p.y) {
                least = nearer(least, x - p.x);
            }
        }
        for (c, d) in ring_edges(&own) {
            for p in [a, b] {
                if let Some(x) = across(c, d, p.y) {
                    least = nearer(least, p.x - x);
                }
            }
        }
    }
    // Nothing ahead says nothing about what is there already; the distance is asked last because it costs most.
    if planar::outline_to_shape(outline, shape).distance_m <= 0.0 {
        return 0.0;
    }
    least
}

fn nearer(least: f64, way: f64) -> f64 {
    if way >= 0.0 { least.min(way) } else { least }
}

/// Where a piece of line is at a height y: the nearer end when it lies along the vector.
fn across(a: Xy, b: Xy, y: f64) -> Option<f64> {
    if y < a.y.min(b.y) || y > a.y.max(b.y) {
        return None;
    }
    if a.y == b.y {
        return Some(a.x.min(b.x));
    }
    Some(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y))
}
