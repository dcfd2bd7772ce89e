//! How far the nearest obstacle is from each segment, so that the route can price a narrow place.

use super::near::Wide;
use super::{FREE_HALF_WIDTH_REACH_M, Node, Segment};
use petgraph::graph::UnGraph;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
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

type Boxes = RTree<GeomWithData<Rectangle<[f64; 2]>, usize>, Wide>;

impl<'a> Areas<'a> {
    /// Of a field.
    pub(super) fn new(field: &'a Airfield) -> Areas<'a> {
        let boxed = |i: usize, (lo, hi): (Xy, Xy)| GeomWithData::new(Rectangle::from_corners(lo.into(), hi.into()), i);
        let obstacles = field
            .obstacles
            .iter()
            .enumerate()
            .map(|(i, o)| boxed(i, o.shape.bounds()));
        let aprons = field.aprons.iter().enumerate();
        let aprons = aprons.filter_map(|(i, a)| Some(boxed(i, bounds(a.outer.iter().copied())?)));
        Areas {
            field,
            obstacles: RTree::bulk_load_with_params(obstacles.collect()),
            aprons: RTree::bulk_load_with_params(aprons.collect()),
        }
    }

    /// Whether a point is on an apron or within `reach_m` of its edge.
    pub(super) fn apron_within(&self, p: Xy, reach_m: f64) -> bool {
        let hits = self.aprons.locate_in_envelope_intersecting(around(p, p, reach_m));
        hits.map(|g| &self.field.aprons[g.data].outer).any(|ring| {
            inside_ring(p, ring) || ring_edges(ring).any(|(a, b)| closest_on_segment(p, a, b).0.distance(p) <= reach_m)
        })
    }

    /// Whether a point is in a building or within `reach_m` of one.
    pub(super) fn building_within(&self, p: Xy, reach_m: f64) -> bool {
        self.through_building(p, p, reach_m).is_some()
    }

    /// The first building of the file that a straight piece comes within `reach_m` of.
    pub(super) fn through_building(&self, a: Xy, b: Xy, reach_m: f64) -> Option<&'a Obstacle> {
        let (lo, hi) = (xy(a.x.min(b.x), a.y.min(b.y)), xy(a.x.max(b.x), a.y.max(b.y)));
        let hits = self.obstacles.locate_in_envelope_intersecting(around(lo, hi, reach_m));
        let first = hits
            .map(|g| g.data)
            .filter(|i| {
                let o = &self.field.obstacles[*i];
                matches!(
                    o.kind,
                    ObstacleKind::Building | ObstacleKind::Hangar | ObstacleKind::Terminal
                ) && piece_to_shape(a, b, &o.shape) <= reach_m
            })
            .min()?;
        Some(&self.field.obstacles[first])
    }

    /// Indices of the obstacles whose boxes meet a box, ascending.
    pub(super) fn in_box(&self, lo: Xy, hi: Xy) -> Vec<usize> {
        let hits = self.obstacles.locate_in_envelope_intersecting(around(lo, hi, 0.0));
        let mut list: Vec<usize> = hits.map(|g| g.data).collect();
        list.sort_unstable();
        list
    }

    /// Fills in `nearest_obstacle_m` of every segment.
    pub(super) fn measure(&self, graph: &mut UnGraph<Node, Segment>) {
        for s in graph.edge_weights_mut() {
            s.nearest_obstacle_m = nearest(&self.obstacles, &self.field.obstacles, &s.line);
        }
    }
}

fn around(lo: Xy, hi: Xy, reach_m: f64) -> AABB<[f64; 2]> {
    AABB::from_corners([lo.x - reach_m, lo.y - reach_m], [hi.x + reach_m, hi.y + reach_m])
}

fn nearest(tree: &Boxes, obstacles: &[Obstacle], line: &[Xy]) -> Option<f64> {
    let mut best = FREE_HALF_WIDTH_REACH_M;
    let mut found = false;
    // Piece by piece: the box around a long bent segment would hold half the field.
    for w in line.windows(2) {
        let (lo, hi) = bounds(w.iter().copied())?;
        // Most have one near, and a small box holds few to measure.
        for reach_m in [FREE_HALF_WIDTH_REACH_M / 3.0, FREE_HALF_WIDTH_REACH_M] {
            for near in tree.locate_in_envelope_intersecting(around(lo, hi, best.min(reach_m))) {
                // No nearer than its box, which is quickly measured. A little more is asked, as sums round differently.
                let (low, high): (Xy, Xy) = (near.geom().lower().into(), near.geom().upper().into());
                let apart = |a: f64, b: f64| a.max(b).max(0.0);
                let gap = xy(apart(low.x - hi.x, lo.x - high.x), apart(low.y - hi.y, lo.y - high.y));
                if gap.dot(gap) > best * best + 1e-3 {
                    continue;
                }
                let d = piece_to_shape(w[0], w[1], &obstacles[near.data].shape);
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

/// Least distance from a straight piece to a shape, metres; 0 when it touches or lies inside.
fn piece_to_shape(a: Xy, b: Xy, shape: &Shape) -> f64 {
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
