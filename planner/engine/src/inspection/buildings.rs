//! Lanes and runways drawn through a building that begins at the ground.

use super::{Finding, Topic, called, doubt};
use crate::graph::{Source, TaxiGraph};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use std::collections::BTreeMap;
use toeline_model::airfield::ObstacleKind;
use toeline_model::planar::{Shape, crossing, inside_ring, ring_edges};
use toeline_model::{Airfield, Xy};

/// A lane that ends within this far inside a building only touches it: the accuracy of a drawing, metres (ours).
const TOUCH_M: f64 = 0.5;

/// The doubts: one for each lane and building.
pub(super) fn doubts(field: &Airfield, graph: &TaxiGraph) -> Vec<Finding> {
    let solid = |kind| {
        use ObstacleKind as K;
        matches!(kind, K::Building | K::Hangar | K::Terminal)
    };
    let boxes = field.obstacles.iter().enumerate();
    let boxes = boxes.filter(|(_, o)| solid(o.kind) && o.bottom_m <= 0.0).map(|(i, o)| {
        let (lo, hi) = o.shape.bounds();
        GeomWithData::new(Rectangle::from_corners([lo.x, lo.y], [hi.x, hi.y]), i)
    });
    let tree = RTree::bulk_load(boxes.collect());
    // By what is drawn and what stands there: length inside, and the first place.
    let mut found: BTreeMap<(u8, usize, usize), (f64, Xy, Source)> = BTreeMap::new();
    for s in graph.graph.edge_weights().filter(|s| s.closed.is_none()) {
        let key = match s.source {
            Source::Lane(i, _) => (0, i),
            Source::Runway(i) => (1, i),
            // The straight connection of a stand is told when it is made.
            Source::Stand(_) => continue,
        };
        let above = match s.source {
            Source::Lane(i, _) => field.lanes[i].level != 0,
            _ => false,
        };
        if s.nearest_obstacle_m != Some(0.0) || above {
            continue;
        }
        for w in s.line.windows(2) {
            let envelope = AABB::from_corners(w[0].into(), w[1].into());
            for near in tree.locate_in_envelope_intersecting(envelope) {
                if let Some((length_m, at)) = inside(w[0], w[1], &field.obstacles[near.data].shape) {
                    let entry = found.entry((key.0, key.1, near.data)).or_insert((0.0, at, s.source));
                    entry.0 += length_m;
                }
            }
        }
    }
    let told = found.into_iter().filter(|(_, (length_m, _, _))| *length_m > TOUCH_M);
    told.map(|((_, _, o), (length_m, at, source))| {
        let obstacle = &field.obstacles[o];
        let kind = match obstacle.kind {
            ObstacleKind::Hangar => "hangar",
            ObstacleKind::Terminal => "terminal",
            _ => "building",
        };
        let name = match &obstacle.name {
            Some(name) => format!("{kind} {name} ({})", obstacle.id),
            None => format!("{kind} ({})", obstacle.id),
        };
        let text = format!(
            "{} runs through {name} for {length_m:.1} m; any way there touches it",
            called::source(field, source)
        );
        let mend = "move the line or the outline; give the building a min_height when there is a passage under it";
        let mut f = doubt(Topic::Building, called::id(field, source), Some(at), &text, mend);
        f.size_m = Some(length_m);
        f
    })
    .collect()
}

/// Length of a straight piece inside an area, and where it first is inside.
fn inside(a: Xy, b: Xy, shape: &Shape) -> Option<(f64, Xy)> {
    let Shape::Area { outer, holes } = shape else {
        return None;
    };
    let mut cuts = vec![0.0, 1.0];
    for (c, d) in std::iter::once(outer).chain(holes).flat_map(|r| ring_edges(r)) {
        cuts.extend(crossing(a, b, c, d).map(|(t, _)| t));
    }
    cuts.sort_by(f64::total_cmp);
    let within = |p: Xy| inside_ring(p, outer) && !holes.iter().any(|h| inside_ring(p, h));
    let spans = cuts
        .windows(2)
        .filter(|w| w[1] > w[0] && within(a.lerp(b, (w[0] + w[1]) / 2.0)));
    let spans: Vec<(f64, f64)> = spans.map(|w| (w[0], w[1])).collect();
    let first = spans.first()?.0;
    let share: f64 = spans.iter().map(|(t, u)| u - t).sum();
    Some((share * a.distance(b), a.lerp(b, first)))
}
