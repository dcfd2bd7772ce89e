//! How far the nearest obstacle is from each segment, so that the route can price a narrow place.

use super::near;
use super::{FREE_HALF_WIDTH_REACH_M, Node, Segment};
use crate::boxes::Boxes;
use petgraph::graph::UnGraph;
use toeline_model::airfield::{Obstacle, ObstacleKind};
use toeline_model::frame::xy;
use toeline_model::planar::{
    Shape, between_segments, bounds, closest_on_line, closest_on_segment, inside_ring, ring_edges,
};
use toeline_model::{Airfield, Xy};

/// Obstacles and aprons of a field, found by place.
pub(super) struct Areas<'a> {
    field: &'a Airfield,
    obstacles: Boxes,
    aprons: Boxes,
}

impl<'a> Areas<'a> {
    /// Of a field.
    pub(super) fn new(field: &'a Airfield) -> Areas<'a> {
        // Whatever its box, nothing is on an apron without an outline.
        let apron = |outer: &Vec<Xy>| bounds(outer.iter().copied()).unwrap_or_default();
        Areas {
            field,
            obstacles: Boxes::new(field.obstacles.iter().map(|o| o.shape.bounds()).collect()),
            aprons: Boxes::new(field.aprons.iter().map(|a| apron(&a.outer)).collect()),
        }
    }

    /// Whether a point is on an apron or within `reach_m` of its edge.
    pub(super) fn apron_within(&self, p: Xy, reach_m: f64) -> bool {
        let mut within = false;
        self.aprons.meeting((p, p), reach_m, |i| {
            let ring = &self.field.aprons[i].outer;
            let near = |(a, b): (Xy, Xy)| closest_on_segment(p, a, b).0.distance(p) <= reach_m;
            within = inside_ring(p, ring) || ring_edges(ring).any(near);
            !within
        });
        within
    }

    /// Whether a point is in a building or within `reach_m` of one.
    pub(super) fn building_within(&self, p: Xy, reach_m: f64) -> bool {
        self.through_building(p, p, reach_m).is_some()
    }

    /// The first building of the file that a straight piece comes within `reach_m` of.
    pub(super) fn through_building(&self, a: Xy, b: Xy, reach_m: f64) -> Option<&'a Obstacle> {
        let building = |i: &usize| {
            let o = &self.field.obstacles[*i];
            matches!(
                o.kind,
                ObstacleKind::Building | ObstacleKind::Hangar | ObstacleKind::Terminal
            ) && piece_to_shape(a, b, &o.shape, reach_m) <= reach_m
        };
        let first = self
            .obstacles
            .all_meeting(near::around(a, b), reach_m)
            .into_iter()
            .find(building)?;
        Some(&self.field.obstacles[first])
    }

    /// Indices of the obstacles whose boxes meet a box, ascending.
    pub(super) fn in_box(&self, lo: Xy, hi: Xy) -> Vec<usize> {
        self.obstacles.all_meeting((lo, hi), 0.0)
    }

    /// Fills in `nearest_obstacle_m` of every segment.
    pub(super) fn measure(&self, graph: &mut UnGraph<Node, Segment>) {
        let mut order = Vec::new();
        for s in graph.edge_weights_mut() {
            s.nearest_obstacle_m = nearest(&self.obstacles, &self.field.obstacles, &s.line, &mut order);
        }
    }
}

/// `order` is room to work in, kept from one segment to the next.
fn nearest(boxes: &Boxes, obstacles: &[Obstacle], line: &[Xy], order: &mut Vec<(f64, usize)>) -> Option<f64> {
    let mut best = FREE_HALF_WIDTH_REACH_M;
    let mut found = false;
    // Piece by piece: the box around a long bent segment would hold half the field.
    for w in line.windows(2) {
        let (lo, hi) = near::around(w[0], w[1]);
        // Most have one near, and a small box holds few to measure.
        for reach_m in [FREE_HALF_WIDTH_REACH_M / 3.0, FREE_HALF_WIDTH_REACH_M] {
            // The nearest boxes first: what they hold mostly settles it for the others.
            order.clear();
            boxes.meeting((lo, hi), best.min(reach_m), |i| {
                order.push((apart(boxes.corners(i), (lo, hi)), i));
                true
            });
            order.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            for (apart_m2, i) in &*order {
                if *apart_m2 > best * best + SLACK_M2 {
                    break;
                }
                let d = piece_to_shape(w[0], w[1], &obstacles[*i].shape, best);
                if d <= best {
                    (best, found) = (d, true);
                }
            }
            if best <= reach_m {
                break;
            }
        }
    }
    found.then_some(best)
}

/// A little more is measured than what two boxes say, as sums round differently, square metres.
const SLACK_M2: f64 = 1e-3;

/// Square of the distance between two boxes, square metres; 0 when they meet.
fn apart((lo, hi): (Xy, Xy), (low, high): (Xy, Xy)) -> f64 {
    let gap = |lo: f64, hi: f64, low: f64, high: f64| (low - hi).max(lo - high).max(0.0);
    let gap = xy(gap(lo.x, hi.x, low.x, high.x), gap(lo.y, hi.y, low.y, high.y));
    gap.dot(gap)
}

/// Least distance from a straight piece to a shape, metres; 0 when it touches or lies inside. One beyond `limit_m` may be
/// given as infinite.
fn piece_to_shape(a: Xy, b: Xy, shape: &Shape, limit_m: f64) -> f64 {
    let own = near::around(a, b);
    let to_edges = |edges: &mut dyn Iterator<Item = (Xy, Xy)>| {
        let mut least = f64::INFINITY;
        for (c, d) in edges {
            let limit_m = limit_m.min(least);
            if apart(near::around(c, d), own) <= limit_m * limit_m + SLACK_M2 {
                least = least.min(between_segments(a, b, c, d).distance_m);
            }
        }
        least
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
