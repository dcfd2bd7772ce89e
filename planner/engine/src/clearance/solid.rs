//! An obstacle made ready for many distance questions: its edges in runs of neighbours with a box around each run, so
//! that a polygon of a thousand corners costs little more than one of ten.

use super::sweep::{Outline, box_gap};
use toeline_model::Xy;
use toeline_model::frame::xy;
use toeline_model::planar::{self, Closest, Shape};

/// Edges in one run.
const RUN: usize = 12;

/// Neighbouring edges and the box around them.
#[derive(Clone, Debug)]
struct Run {
    bounds: (Xy, Xy),
    edges: Vec<(Xy, Xy)>,
}

/// An obstacle ready for questions.
#[derive(Clone, Debug)]
pub(super) struct Solid {
    /// Plan view.
    pub(super) shape: Shape,
    /// Box around it.
    pub(super) bounds: (Xy, Xy),
    /// Indices of the parts whose height band comes within the vertical margin of its own.
    pub(super) parts: Vec<usize>,
    /// Whether it is sure to be there and of that shape.
    pub(super) sure: bool,
    /// How much of a disc's radius is ours rather than the map's, metres.
    pub(super) assumed_radius_m: f64,
    /// Whether the map draws it wrongly: then nothing near it is called clear.
    pub(super) flawed: bool,
    runs: Vec<Run>,
}

impl Solid {
    pub(super) fn new(shape: Shape, parts: Vec<usize>, sure: bool, assumed_radius_m: f64) -> Solid {
        let mut edges: Vec<(Xy, Xy)> = Vec::new();
        match &shape {
            Shape::Disc { .. } => {}
            Shape::Line { points } => edges.extend(points.windows(2).map(|w| (w[0], w[1]))),
            Shape::Area { outer, holes } => {
                for ring in core::iter::once(outer).chain(holes) {
                    edges.extend(planar::ring_edges(ring));
                }
            }
        }
        let run = |edges: &[(Xy, Xy)]| Run {
            bounds: planar::bounds(edges.iter().flat_map(|(a, b)| [*a, *b])).unwrap_or((xy(0.0, 0.0), xy(0.0, 0.0))),
            edges: edges.to_vec(),
        };
        let runs = edges.chunks(RUN).map(run).collect();
        Solid {
            bounds: shape.bounds(),
            shape,
            parts,
            sure,
            assumed_radius_m,
            flawed: false,
            runs,
        }
    }

    /// Least distance from a convex outline; exact below `limit_m`, and not below `limit_m` otherwise.
    pub(super) fn distance(&self, outline: &Outline, limit_m: f64) -> Closest {
        if let Shape::Disc { .. } = self.shape {
            return planar::outline_to_shape(&outline.points, &self.shape);
        }
        if box_gap((outline.low, outline.high), self.bounds) >= limit_m {
            return beyond(limit_m);
        }
        if let Some(at) = self.shared_point(outline) {
            return Closest {
                distance_m: 0.0,
                on_first: at,
                on_second: at,
            };
        }
        self.edge_distance(outline, limit_m)
    }

    /// Least distance from an outline (or a single piece of line) to the edges alone.
    pub(super) fn edge_distance(&self, outline: &Outline, limit_m: f64) -> Closest {
        let outline_box = (outline.low, outline.high);
        let mut best = beyond(limit_m);
        for run in &self.runs {
            if box_gap(outline_box, run.bounds) >= best.distance_m {
                continue;
            }
            for &(c, d) in &run.edges {
                let edge_box = corners(c, d);
                if box_gap(outline_box, edge_box) >= best.distance_m {
                    continue;
                }
                for (a, b) in planar::ring_edges(&outline.points) {
                    if box_gap(corners(a, b), edge_box) < best.distance_m {
                        let found = planar::between_segments(a, b, c, d);
                        if found.distance_m < best.distance_m {
                            best = found;
                        }
                    }
                }
            }
        }
        best
    }

    /// A point that shows that outline and obstacle overlap although no edges need cross.
    fn shared_point(&self, outline: &Outline) -> Option<Xy> {
        let within = |p: Xy, (low, high): (Xy, Xy)| p.x >= low.x && p.x <= high.x && p.y >= low.y && p.y <= high.y;
        let (ring, own) = match &self.shape {
            Shape::Disc { .. } => return None,
            Shape::Line { points } => (None, *points.first()?),
            Shape::Area { outer, holes } => (Some((outer, holes)), *outer.first()?),
        };
        if within(own, (outline.low, outline.high)) && planar::inside_ring(own, &outline.points) {
            return Some(own);
        }
        let p = *outline.points.first()?;
        ring.filter(|_| within(p, self.bounds))
            .is_some_and(|(outer, holes)| {
                planar::wound_round(p, outer) && !holes.iter().any(|h| planar::inside_ring(p, h))
            })
            .then_some(p)
    }

    /// Least distance from a point; exact below `limit_m`, and not below `limit_m` otherwise.
    pub(super) fn point_distance(&self, p: Xy, limit_m: f64) -> f64 {
        match &self.shape {
            Shape::Disc { at, radius_m } => (at.distance(p) - radius_m).max(0.0),
            _ => {
                self.distance(
                    &Outline {
                        points: vec![p],
                        low: p,
                        high: p,
                    },
                    limit_m,
                )
                .distance_m
            }
        }
    }
}

fn corners(a: Xy, b: Xy) -> (Xy, Xy) {
    (xy(a.x.min(b.x), a.y.min(b.y)), xy(a.x.max(b.x), a.y.max(b.y)))
}

fn beyond(limit_m: f64) -> Closest {
    let nowhere = xy(f64::NAN, f64::NAN);
    Closest {
        distance_m: limit_m,
        on_first: nowhere,
        on_second: nowhere,
    }
}
