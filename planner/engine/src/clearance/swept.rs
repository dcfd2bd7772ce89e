//! Outline of everything that the aeroplane sweeps: the union of the convex hulls of its parts at successive poses.

use super::sweep::Walk;
use geo::{Coord, LineString, Polygon, unary_union};
use toeline_model::Xy;
use toeline_model::frame::xy;
use toeline_model::path::Motion;
use toeline_model::planar;

/// Longest step in a turn, metres of way.
const TURN_STEP_M: f64 = 0.5;
/// Longest step on a straight, metres of way.
const STRAIGHT_STEP_M: f64 = 20.0;
/// Most that a point may leave the hull of a step, metres.
const SAGITTA_M: f64 = 0.002;
/// Most that the heading may change in a step, radians. The hull of a part that turns about a point inside itself holds
/// a little more than it sweeps, in proportion to this.
const HEADING_STEP_RAD: f64 = 0.02;
/// Corners that lie this far inside a straightened outline are left out, metres: the outline grows.
const GROWS_M: f64 = 0.005;
/// Corners that stick out of a straightened outline by this much are left out, metres: the outline shrinks.
const SHRINKS_M: f64 = 0.0005;
/// Polygons that are joined in one go.
const UNION_GROUP: usize = 12;
/// Holes smaller than this are filled, m².
const SMALL_HOLE_M2: f64 = 0.01;

/// The rings, open, outer ones anticlockwise and holes clockwise.
pub(super) fn outline(walk: &Walk) -> Vec<Vec<Xy>> {
    let shown = shown_parts(walk);
    let mut hulls: Vec<Polygon> = Vec::new();
    for piece in 0..walk.pieces.len() {
        for w in steps(walk, piece).windows(2) {
            let ends = (walk.pose(piece, w[0]), walk.pose(piece, w[1]));
            let hull = |k: &usize| walk.cover(piece, *k, (w[0], w[1]), (&ends.0, &ends.1)).hull.points;
            hulls.extend(shown.iter().map(hull).map(polygon));
        }
    }
    let mut rings: Vec<Vec<Xy>> = Vec::new();
    for p in joined(&hulls) {
        rings.push(straightened(&turned(open(p.exterior()), true)));
        let holes = p.interiors().iter().map(|h| turned(open(h), false));
        rings.extend(
            holes
                .filter(|h| planar::signed_area(h).abs() > SMALL_HOLE_M2)
                .map(|h| straightened(&h)),
        );
    }
    rings.retain(|r| r.len() >= 3);
    rings
}

/// Union of polygons that follow one another: neighbours first, because most of their edges vanish in one another. A
/// union of all at once would compare every edge with hundreds that it overlaps.
fn joined(polygons: &[Polygon]) -> Vec<Polygon> {
    if polygons.len() <= UNION_GROUP {
        return unary_union(polygons).0;
    }
    let (first, second) = polygons.split_at(polygons.len() / 2);
    let mut both = joined(first);
    both.extend(joined(second));
    unary_union(&both).0
}

/// Parts that are not wholly above or below another part in plan.
fn shown_parts(walk: &Walk) -> Vec<usize> {
    let parts = &walk.parts;
    let hidden = |k: &usize| {
        (0..parts.len()).any(|o| {
            o != *k
                && parts[*k]
                    .outline
                    .iter()
                    .all(|p| planar::inside_ring(*p, &parts[o].outline))
        })
    };
    (0..parts.len()).filter(|k| !hidden(k)).collect()
}

/// Ways into a piece, first and last included.
fn steps(walk: &Walk, piece: usize) -> Vec<f64> {
    let p = &walk.pieces[piece];
    let reach = walk.reaches.iter().copied().fold(0.0, f64::max);
    let longest = match p.motion {
        Motion::Straight | Motion::PushBack => STRAIGHT_STEP_M,
        Motion::Arc { .. } | Motion::PushSwing { .. } => TURN_STEP_M,
    };
    let mut list = vec![0.0];
    let mut a = 0.0;
    while a < p.length_m {
        let mut step = longest;
        loop {
            let b = (a + step).min(p.length_m);
            let h = b - a;
            let bulge = p.bend_bound(walk.wheelbase_m, reach, a, b) * h * h / 8.0;
            let turn = walk
                .pose(piece, a)
                .heading_rad
                .to_rad(walk.pose(piece, b).heading_rad)
                .abs();
            // Below a millimetre nothing is gained.
            if (bulge <= SAGITTA_M && turn <= HEADING_STEP_RAD) || step < 1e-3 {
                list.push(b);
                a = b;
                break;
            }
            step /= 2.0;
        }
    }
    if list.len() == 1 {
        list.push(0.0);
    }
    list
}

fn polygon(ring: Vec<Xy>) -> Polygon {
    Polygon::new(
        LineString::new(ring.iter().map(|p| Coord { x: p.x, y: p.y }).collect()),
        Vec::new(),
    )
}

fn open(ring: &LineString) -> Vec<Xy> {
    let mut points: Vec<Xy> = ring.coords().map(|c| xy(c.x, c.y)).collect();
    if points.len() > 1 && points.first() == points.last() {
        points.pop();
    }
    points
}

/// The ring with the swept side on its left, starting from its lowest, leftmost corner.
fn turned(mut ring: Vec<Xy>, anticlockwise: bool) -> Vec<Xy> {
    if (planar::signed_area(&ring) > 0.0) != anticlockwise {
        ring.reverse();
    }
    let first = (0..ring.len()).min_by(|&i, &j| {
        let (p, q) = (ring[i], ring[j]);
        p.y.total_cmp(&q.y).then(p.x.total_cmp(&q.x))
    });
    ring.rotate_left(first.unwrap_or(0));
    ring
}

/// Leaves out corners that hardly count: those a little inside the straightened outline, and those sticking out of it
/// by next to nothing. The swept side is on the left.
fn straightened(ring: &[Xy]) -> Vec<Xy> {
    let mut list: Vec<Xy> = Vec::new();
    let mut i = 0;
    while i < ring.len() {
        list.push(ring[i]);
        let mut next = i + 1;
        while next < ring.len() && may_skip(&ring[i..=next], ring[(next + 1) % ring.len()]) {
            next += 1;
        }
        i = next;
    }
    list
}

/// Whether all corners after the first can be left out on the way from it to `to`.
fn may_skip(run: &[Xy], to: Xy) -> bool {
    let chord = to - run[0];
    let length = chord.norm();
    length > 0.0
        && run[1..].iter().all(|p| {
            let (left, along) = (chord.cross(*p - run[0]) / length, chord.dot(*p - run[0]) / length);
            (-SHRINKS_M..=GROWS_M).contains(&left) && (0.0..=length).contains(&along)
        })
}
