//! How far the nearest obstacle is from each segment, so that the route can price a narrow place.

use super::{FREE_HALF_WIDTH_REACH_M, Node, Segment};
use petgraph::graph::UnGraph;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use toeline_model::airfield::Obstacle;
use toeline_model::planar::{Shape, between_segments, bounds, closest_on_line, inside_ring, ring_edges};
use toeline_model::{Airfield, Xy};

/// Fills in `nearest_obstacle_m` of every segment.
pub(super) fn measure(field: &Airfield, graph: &mut UnGraph<Node, Segment>) {
    let tree = tree(&field.obstacles);
    for s in graph.edge_weights_mut() {
        s.nearest_obstacle_m = nearest(&tree, &field.obstacles, &s.line);
    }
}

type Boxes = RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>;

fn tree(obstacles: &[Obstacle]) -> Boxes {
    let boxes = obstacles.iter().enumerate().map(|(i, o)| {
        let (lo, hi) = o.shape.bounds();
        GeomWithData::new(Rectangle::from_corners(lo.into(), hi.into()), i)
    });
    RTree::bulk_load(boxes.collect())
}

fn nearest(tree: &Boxes, obstacles: &[Obstacle], line: &[Xy]) -> Option<f64> {
    let mut best = FREE_HALF_WIDTH_REACH_M;
    let mut found = false;
    // Piece by piece: the box around a long bent segment would hold half the field.
    for w in line.windows(2) {
        let (lo, hi) = bounds(w.iter().copied())?;
        let envelope = AABB::from_corners([lo.x - best, lo.y - best], [hi.x + best, hi.y + best]);
        for near in tree.locate_in_envelope_intersecting(envelope) {
            let d = piece_to_shape(w[0], w[1], &obstacles[near.data].shape);
            if d <= best {
                (best, found) = (d, true);
            }
        }
    }
    found.then_some(best)
}

/// Least distance from a straight piece to a shape, metres; 0 when it touches or lies inside.
pub(super) fn piece_to_shape(a: Xy, b: Xy, shape: &Shape) -> f64 {
    let to_edges = |edges: &mut dyn Iterator<Item = (Xy, Xy)>| {
        edges
            .map(|(c, d)| between_segments(a, b, c, d).distance_m)
            .fold(f64::INFINITY, f64::min)
    };
    match shape {
        Shape::Disc { at, radius_m } => {
            let d = closest_on_line(*at, &[a, b]).map_or(f64::INFINITY, |(q, _, _)| q.distance(*at));
            (d - radius_m).max(0.0)
        }
        Shape::Line { points } => to_edges(&mut points.windows(2).map(|w| (w[0], w[1]))),
        Shape::Area { outer, holes } => {
            if inside_ring(a, outer) && !holes.iter().any(|h| inside_ring(a, h)) {
                return 0.0;
            }
            to_edges(&mut std::iter::once(outer).chain(holes).flat_map(|r| ring_edges(r)))
        }
    }
}
