//! Which strands come near a point: an R-tree over every piece of every strand, and who of them is asked for.

use super::net::{Foot, Net};
use rstar::primitives::{GeomWithData, Line};
use rstar::{RStarInsertionStrategy, RTree, RTreeParams};
use std::cell::OnceCell;
use std::rc::Rc;
use toeline_model::Xy;
use toeline_model::planar::closest_on_segment;

/// A piece of a line with its strand and its number there.
type Piece = GeomWithData<Line<[f64; 2]>, (usize, usize)>;

/// Trees of wide nodes: they are built once and asked a few times, and building is what takes long. The size is ours.
pub(super) struct Wide;

impl RTreeParams for Wide {
    const MIN_SIZE: usize = 8;
    const MAX_SIZE: usize = 16;
    const REINSERTION_COUNT: usize = 4;
    type DefaultInsertionStrategy = RStarInsertionStrategy;
}

/// Every piece of every strand.
pub(super) type Pieces = RTree<Piece, Wide>;

/// Takes the pieces of a net as it stands; [`Net::pieces`] keeps them until it changes.
pub(super) fn pieces(net: &Net<'_>) -> Pieces {
    let mut list = Vec::with_capacity(net.strands.iter().map(|s| s.v.len()).sum());
    for (s, strand) in net.strands.iter().enumerate() {
        for (piece, w) in strand.v.windows(2).enumerate() {
            let line = Line::new(net.at(w[0]).into(), net.at(w[1]).into());
            list.push(GeomWithData::new(line, (s, piece)));
        }
    }
    RTree::bulk_load_with_params(list)
}

/// Finds strands by distance. Good until the net is settled or grows.
pub(super) struct Near {
    /// Taken from the net when first asked.
    pieces: OnceCell<Rc<Pieces>>,
    /// By strand: whether it is asked for.
    asked: Vec<bool>,
}

impl Near {
    /// Over the strands that pass a test.
    pub(super) fn new(net: &Net<'_>, test: impl Fn(&Net<'_>, usize) -> bool) -> Near {
        Near {
            pieces: OnceCell::new(),
            asked: (0..net.strands.len()).map(|s| test(net, s)).collect(),
        }
    }

    /// Feet of a point on the strands within `reach_m`, one per strand, nearest first; equal ones in strand order.
    pub(super) fn feet(&self, net: &Net<'_>, p: Xy, reach_m: f64) -> Vec<Foot> {
        self.feet_where(net, p, reach_m, |_, _| true)
    }

    /// The first of those feet.
    pub(super) fn foot(&self, net: &Net<'_>, p: Xy, reach_m: f64) -> Option<Foot> {
        // Most are near: a small circle holds few pieces to measure.
        let within = |reach_m: f64| {
            self.all(net, p, reach_m, |_, _| true).min_by(|a, b| {
                let by_distance = a.distance_m.total_cmp(&b.distance_m);
                by_distance.then(a.strand.cmp(&b.strand)).then(a.piece.cmp(&b.piece))
            })
        };
        within(reach_m / 2.0).or_else(|| within(reach_m))
    }

    /// The feet over the pieces (strand, piece) that pass a test.
    pub(super) fn feet_where(
        &self,
        net: &Net<'_>,
        p: Xy,
        reach_m: f64,
        test: impl Fn(usize, usize) -> bool,
    ) -> Vec<Foot> {
        let mut feet: Vec<Foot> = self.all(net, p, reach_m, test).collect();
        let by_distance = |a: &Foot, b: &Foot| a.distance_m.total_cmp(&b.distance_m);
        feet.sort_by(|a, b| {
            a.strand
                .cmp(&b.strand)
                .then(by_distance(a, b))
                .then(a.piece.cmp(&b.piece))
        });
        feet.dedup_by_key(|f| f.strand);
        feet.sort_by(|a, b| by_distance(a, b).then(a.strand.cmp(&b.strand)));
        feet
    }

    /// Feet on all pieces that pass a test, in no order.
    fn all<'a>(
        &'a self,
        net: &'a Net<'_>,
        p: Xy,
        reach_m: f64,
        test: impl Fn(usize, usize) -> bool + 'a,
    ) -> impl Iterator<Item = Foot> + 'a {
        // A little more is asked of the tree, whose sums round differently.
        let reach = reach_m * (1.0 + 1e-9) + 1e-6;
        // Strands added since are not asked for.
        let asked = |strand: usize| self.asked.get(strand).copied().unwrap_or(false);
        self.pieces
            .get_or_init(|| net.pieces())
            .locate_within_distance(p.into(), reach * reach)
            .map(|g| g.data)
            .filter(move |(strand, piece)| asked(*strand) && test(*strand, *piece))
            .map(move |(strand, piece)| {
                let v = &net.strands[strand].v;
                let (at, _) = closest_on_segment(p, net.at(v[piece]), net.at(v[piece + 1]));
                let distance_m = at.distance(p);
                Foot {
                    strand,
                    piece,
                    at,
                    distance_m,
                }
            })
            .filter(move |f| f.distance_m <= reach_m)
    }
}
