//! What things over the apron are made of: edges and discs, found by boxes; and how they come from the map.

use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use toeline_model::aircraft::parts::{Part, parts};
use toeline_model::airfield::{Nose, ObstacleKind, Stand};
use toeline_model::frame::xy;
use toeline_model::planar::{self, Shape};
use toeline_model::{Aircraft, Xy};

/// A straight edge or a disc of a thing.
#[derive(Clone, Copy, Debug)]
pub(super) enum Bit {
    Edge(Xy, Xy),
    Disc(Xy, f64),
}

impl Bit {
    /// Its point nearest to a place.
    pub(super) fn nearest(&self, p: Xy) -> Xy {
        match self {
            Bit::Edge(a, b) => planar::closest_on_segment(p, *a, *b).0,
            Bit::Disc(at, r) => {
                let d = p.distance(*at);
                if d <= *r { p } else { *at + (p - *at) * (r / d) }
            }
        }
    }

    /// Least distance between two bits, metres.
    pub(super) fn gap_m(&self, other: &Bit) -> f64 {
        match (self, other) {
            (Bit::Edge(a, b), Bit::Edge(c, d)) => planar::between_segments(*a, *b, *c, *d).distance_m,
            (Bit::Edge(..), Bit::Disc(at, r)) => (self.nearest(*at).distance(*at) - r).max(0.0),
            (Bit::Disc(at, r), _) => (other.nearest(*at).distance(*at) - r).max(0.0),
        }
    }

    pub(super) fn bounds(&self) -> (Xy, Xy) {
        match self {
            Bit::Edge(a, b) => (xy(a.x.min(b.x), a.y.min(b.y)), xy(a.x.max(b.x), a.y.max(b.y))),
            Bit::Disc(at, r) => (*at - xy(*r, *r), *at + xy(*r, *r)),
        }
    }
}

pub(super) type Boxes<T> = RTree<GeomWithData<Rectangle<[f64; 2]>, T>>;

pub(super) fn boxes<T: Copy>(list: &[((Xy, Xy), T)]) -> Boxes<T> {
    let boxed =
        |((lo, hi), t): &((Xy, Xy), T)| GeomWithData::new(Rectangle::from_corners((*lo).into(), (*hi).into()), *t);
    RTree::bulk_load(list.iter().map(boxed).collect())
}

pub(super) fn around(p: Xy, reach_m: f64) -> AABB<[f64; 2]> {
    AABB::from_corners([p.x - reach_m, p.y - reach_m], [p.x + reach_m, p.y + reach_m])
}

/// Whether the height band of a part and of a thing come nearer than the vertical margin.
pub(super) fn bands_meet(part: &Part, bottom_m: f64, top_m: Option<f64>, vertical_margin_m: f64) -> bool {
    let over = top_m.map_or(f64::NEG_INFINITY, |top| part.low_m - top);
    over.max(bottom_m - part.high_m) < vertical_margin_m - 1e-9
}

/// The disc that an aeroplane like ours on another stand needs: about its main axle where its heading is mapped, about
/// the stand's point otherwise.
pub(super) fn parked(aircraft: &Aircraft, stand: &Stand) -> Option<(Xy, f64)> {
    let at = *stand.line.first()?;
    let scale = stand.span_limit_m.map_or(1.0, |s| s / aircraft.wing.span_m);
    match (stand.heading, stand.nose) {
        (Some(heading), None | Some(Nose::In | Nose::Out)) if stand.line.len() == 1 => {
            let axle = at - Xy::unit(heading.yaw()) * aircraft.gear.wheelbase_m;
            let reach = parts(aircraft)
                .iter()
                .flat_map(|p| p.outline.clone())
                .map(|q| q.norm())
                .fold(0.0, f64::max);
            Some((axle, reach * scale.max(0.5)))
        }
        _ => Some((at, aircraft.reach_m() * scale.max(0.5))),
    }
}

pub(super) fn bits_of(shape: &Shape) -> Vec<Bit> {
    match shape {
        Shape::Disc { at, radius_m } => vec![Bit::Disc(*at, *radius_m)],
        Shape::Line { points } => points.windows(2).map(|w| Bit::Edge(w[0], w[1])).collect(),
        Shape::Area { outer, holes } => core::iter::once(outer)
            .chain(holes)
            .flat_map(|r| planar::ring_edges(r))
            .map(|(a, b)| Bit::Edge(a, b))
            .collect(),
    }
}

pub(super) fn word(kind: ObstacleKind) -> &'static str {
    match kind {
        ObstacleKind::Building => "building",
        ObstacleKind::Hangar => "hangar",
        ObstacleKind::Terminal => "terminal",
        ObstacleKind::Fence => "fence",
        ObstacleKind::Wall => "wall",
        ObstacleKind::Tree => "tree",
        ObstacleKind::TreeRow => "tree row",
        ObstacleKind::Hedge => "hedge",
        ObstacleKind::Pole => "pole",
        ObstacleKind::Mast => "mast",
        ObstacleKind::Windsock => "windsock",
        ObstacleKind::ParkedAeroplane => "parked aeroplane",
    }
}
