//! Obstacles and pavement, made ready once for a look at every tick: outlines cut into runs of a few edges with a box
//! around each, so that an apron's fence of a thousand corners costs no more than the corner that is near.

use super::boxes::{Bounds, Boxes};
use toeline_model::Xy;
use toeline_model::planar::{self, Shape};

/// Most edges in one run.
const RUN: usize = 8;

/// One outline that stands at a height.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    /// Plan view, local metres.
    pub shape: Shape,
    /// Lower edge above the ground, metres.
    pub bottom_m: f64,
    /// Upper edge above the ground, metres; `None` when it is not known: then it has no upper end, as for the planner.
    pub top_m: Option<f64>,
}

/// Something that can be touched: one or more outlines under one name.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    /// What to call it: "hangar H2 (feature 31)".
    pub name: String,
    /// Its outlines.
    pub solids: Vec<Solid>,
}

/// A piece of ground that wheels may be on.
#[derive(Clone, Debug, PartialEq)]
pub enum Pavement {
    /// Along a line: a lane, a runway.
    Strip {
        /// Middle line, local metres.
        line: Vec<Xy>,
        /// Width, metres.
        width_m: f64,
    },
    /// Inside an outline: an apron.
    Area {
        /// Open ring, local metres.
        outer: Vec<Xy>,
    },
}

/// What of a solid a piece stands for.
#[derive(Clone, Debug, PartialEq)]
enum Form {
    /// A disc, or a run of edges as a line.
    Edge(Shape),
    /// The inside of an area: the outer ring and the holes.
    Inside { outer: Vec<Xy>, holes: Vec<Vec<Xy>> },
}

/// One piece of a solid.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Piece {
    /// Index of the thing.
    pub(super) thing: usize,
    bottom_m: f64,
    top_m: f64,
    form: Form,
}

/// One piece of pavement.
#[derive(Clone, Debug, PartialEq)]
enum Paved {
    Strip { a: Xy, b: Xy, half_m: f64 },
    Area { outer: Vec<Xy> },
}

/// Everything that stands around, and the pavement.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Surroundings {
    names: Vec<String>,
    pub(super) pieces: Vec<Piece>,
    pub(super) tree: Boxes,
    paved: Vec<Paved>,
    paved_tree: Boxes,
}

impl Piece {
    /// Where an outline between two heights touches this piece, local metres; `None` when it does not. Touching from
    /// above or below counts.
    pub(super) fn touched_by(&self, outline: &[Xy], low_m: f64, high_m: f64) -> Option<Xy> {
        if low_m > self.top_m || self.bottom_m > high_m {
            return None;
        }
        match &self.form {
            Form::Edge(shape) => {
                let nearest = planar::outline_to_shape(outline, shape);
                (nearest.distance_m == 0.0).then_some(nearest.on_first)
            }
            Form::Inside { outer, holes } => {
                let p = *outline.first()?;
                let inside = planar::inside_ring(p, outer) && !holes.iter().any(|h| planar::inside_ring(p, h));
                inside.then_some(p)
            }
        }
    }
}

impl Paved {
    fn carries(&self, at: Xy, inset_m: f64) -> bool {
        match self {
            Paved::Strip { a, b, half_m } => planar::closest_on_segment(at, *a, *b).0.distance(at) <= half_m - inset_m,
            Paved::Area { outer } => {
                let far = |(a, b): (Xy, Xy)| planar::closest_on_segment(at, a, b).0.distance(at) >= inset_m;
                planar::inside_ring(at, outer) && (inset_m <= 0.0 || planar::ring_edges(outer).all(far))
            }
        }
    }
}

/// Runs of at most [`RUN`] edges, each a line that begins where the last one ends.
fn runs(points: &[Xy]) -> impl Iterator<Item = Vec<Xy>> + '_ {
    (0..points.len().saturating_sub(1))
        .step_by(RUN)
        .map(|i| points[i..points.len().min(i + RUN + 1)].to_vec())
}

impl Surroundings {
    /// Makes things and pavement ready. Outlines without points are passed over.
    pub fn new(things: &[Thing], pavement: &[Pavement]) -> Surroundings {
        let mut all = Surroundings {
            names: things.iter().map(|t| t.name.clone()).collect(),
            ..Surroundings::default()
        };
        let mut boxes = Vec::new();
        for (thing, t) in things.iter().enumerate() {
            for solid in &t.solids {
                all.cut(thing, solid, &mut boxes);
            }
        }
        all.tree = Boxes::new(&boxes);
        boxes.clear();
        for piece in pavement {
            all.pave(piece, &mut boxes);
        }
        all.paved_tree = Boxes::new(&boxes);
        all
    }

    fn cut(&mut self, thing: usize, solid: &Solid, boxes: &mut Vec<Bounds>) {
        let mut add = |bounds: Bounds, form: Form| {
            boxes.push(bounds);
            self.pieces.push(Piece {
                thing,
                bottom_m: solid.bottom_m,
                top_m: solid.top_m.unwrap_or(f64::INFINITY),
                form,
            });
        };
        let mut edges = |points: &[Xy]| {
            for points in runs(points) {
                add(
                    Bounds::around(points.iter().copied()),
                    Form::Edge(Shape::Line { points }),
                );
            }
        };
        match &solid.shape {
            Shape::Disc { .. } => {
                let (low, high) = solid.shape.bounds();
                add(Bounds { low, high }, Form::Edge(solid.shape.clone()));
            }
            Shape::Line { points } => edges(points),
            Shape::Area { outer, holes } => {
                for ring in core::iter::once(outer).chain(holes) {
                    let mut closed = ring.clone();
                    closed.extend(ring.first().copied());
                    edges(&closed);
                }
                add(
                    Bounds::around(outer.iter().copied()),
                    Form::Inside {
                        outer: outer.clone(),
                        holes: holes.clone(),
                    },
                );
            }
        }
    }

    fn pave(&mut self, piece: &Pavement, boxes: &mut Vec<Bounds>) {
        match piece {
            Pavement::Strip { line, width_m } => {
                let half_m = width_m / 2.0;
                let wide = Xy { x: half_m, y: half_m };
                for w in line.windows(2) {
                    let [a, b] = [w[0], w[1]];
                    boxes.push(Bounds::around([a - wide, a + wide, b - wide, b + wide]));
                    self.paved.push(Paved::Strip { a, b, half_m });
                }
            }
            Pavement::Area { outer } => {
                boxes.push(Bounds::around(outer.iter().copied()));
                self.paved.push(Paved::Area { outer: outer.clone() });
            }
        }
    }

    /// What a thing is called; empty for an index that there is not.
    pub fn thing_name(&self, thing: usize) -> &str {
        self.names.get(thing).map_or("", String::as_str)
    }

    /// Number of things.
    pub fn thing_count(&self) -> usize {
        self.names.len()
    }

    /// Whether a point of the ground is pavement and at least `inset_m` metres inside the edge of one piece of it.
    pub fn carries(&self, at: Xy, inset_m: f64) -> bool {
        self.paved_tree
            .meeting(Bounds { low: at, high: at })
            .any(|i| self.paved[i].carries(at, inset_m))
    }
}
