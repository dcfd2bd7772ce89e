//! The least gap between two sets of pieces of line, exact: no box of pieces that could be nearer is passed over.

use rstar::primitives::{GeomWithData, Line};
use rstar::{AABB, RTree};
use toeline_model::Xy;
use toeline_model::frame::xy;
use toeline_model::planar::{Closest, between_segments};

/// Up to this many pieces are asked one by one for what is near; each must pass over all of its own.
const FEW: usize = 1000;

/// A straight piece with a number of the caller's.
pub(super) type Piece = GeomWithData<Line<[f64; 2]>, usize>;

/// A straight piece.
pub(super) fn piece(a: Xy, b: Xy, data: usize) -> Piece {
    GeomWithData::new(Line::new(a.into(), b.into()), data)
}

fn ends(p: &Piece) -> (Xy, Xy) {
    (p.geom().from.into(), p.geom().to.into())
}

/// The least gap from the pieces of a tree to other pieces, with the numbers of the two; `None` when either has none.
/// Of several that are equal to a micrometre, the one of the lowest numbers.
pub(super) fn least<'a>(
    tree: &RTree<Piece>,
    others: impl Iterator<Item = &'a Piece> + Clone,
) -> Option<(Closest, usize, usize)> {
    // From the ends of the others first: that is nearly the answer, and bounds what must still be looked at.
    let mut bound_m = f64::INFINITY;
    for other in others.clone() {
        for p in [other.geom().from, other.geom().to] {
            let near = tree.nearest_neighbor(p)?;
            let (a, b) = ends(near);
            bound_m = bound_m.min(between_segments(a, b, p.into(), p.into()).distance_m);
        }
    }
    if !bound_m.is_finite() {
        return None;
    }
    let reach_m = bound_m + 1e-6;
    let mut best: Option<(Closest, usize, usize)> = None;
    for other in others {
        let (c, d) = ends(other);
        let lo = xy(c.x.min(d.x) - reach_m, c.y.min(d.y) - reach_m);
        let hi = xy(c.x.max(d.x) + reach_m, c.y.max(d.y) + reach_m);
        for own in tree.locate_in_envelope_intersecting(AABB::from_corners(lo.into(), hi.into())) {
            let (a, b) = ends(own);
            let found = between_segments(a, b, c, d);
            // Rounded, and then the lower numbers, so that the order of the tree does not matter.
            let key = |c: &Closest, m: usize, n: usize| ((c.distance_m * 1e6).round(), m, n);
            let better = best
                .as_ref()
                .is_none_or(|(b, m, n)| key(&found, own.data, other.data) < key(b, *m, *n));
            if better {
                best = Some((found, own.data, other.data));
            }
        }
    }
    best
}

/// Pieces of a whole that can hold the least gap to some of its own: all of them, or those around a few.
pub(super) fn around<'a>(whole: &'a RTree<Piece>, own: &[Piece], is_own: impl Fn(usize) -> bool) -> Vec<&'a Piece> {
    if own.len() > FEW {
        return whole.iter().filter(|p| !is_own(p.data)).collect();
    }
    let mut bound_m = f64::INFINITY;
    for p in own {
        for at in [p.geom().from, p.geom().to] {
            if let Some(near) = whole.nearest_neighbor_iter(at).find(|q| !is_own(q.data)) {
                let (a, b) = ends(near);
                bound_m = bound_m.min(between_segments(a, b, at.into(), at.into()).distance_m);
            }
        }
    }
    let corners = own.iter().flat_map(|p| [p.geom().from, p.geom().to]).map(Xy::from);
    let Some((lo, hi)) = toeline_model::planar::bounds(corners).filter(|_| bound_m.is_finite()) else {
        return Vec::new();
    };
    let reach = xy(bound_m + 1e-6, bound_m + 1e-6);
    let envelope = AABB::from_corners((lo - reach).into(), (hi + reach).into());
    let near = whole.locate_in_envelope_intersecting(envelope);
    near.filter(|p| !is_own(p.data)).collect()
}
