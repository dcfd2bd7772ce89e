//! Which strands come near a point: an R-tree over every piece of every strand asked for.

use super::net::{Foot, Net};
use rstar::RTree;
use rstar::primitives::{GeomWithData, Line};
use toeline_model::Xy;
use toeline_model::planar::closest_on_segment;

/// Finds strands by distance. Good until the net is settled.
pub(super) struct Near(RTree<Piece>);

/// A piece of a line with its strand and its number there.
type Piece = GeomWithData<Line<[f64; 2]>, (usize, usize)>;

impl Near {
    /// Over the strands that pass a test.
    pub(super) fn new(net: &Net<'_>, test: impl Fn(&Net<'_>, usize) -> bool) -> Near {
        let mut list = Vec::new();
        for s in (0..net.strands.len()).filter(|s| test(net, *s)) {
            for (piece, w) in net.points(s).windows(2).enumerate() {
                list.push(GeomWithData::new(Line::new(w[0].into(), w[1].into()), (s, piece)));
            }
        }
        Near(RTree::bulk_load(list))
    }

    /// Feet of a point on the strands within `reach_m`, one per strand, nearest first; equal ones in strand order.
    pub(super) fn feet(&self, net: &Net<'_>, p: Xy, reach_m: f64) -> Vec<Foot> {
        self.feet_where(net, p, reach_m, |_, _| true)
    }

    /// The same over the pieces (strand, piece) that pass a test.
    pub(super) fn feet_where(
        &self,
        net: &Net<'_>,
        p: Xy,
        reach_m: f64,
        test: impl Fn(usize, usize) -> bool,
    ) -> Vec<Foot> {
        // A little more is asked of the tree, whose sums round differently.
        let reach = reach_m * (1.0 + 1e-9) + 1e-6;
        let mut feet: Vec<Foot> = self
            .0
            .locate_within_distance(p.into(), reach * reach)
            .map(|g| g.data)
            .filter(|(strand, piece)| test(*strand, *piece))
            .map(|(strand, piece)| {
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
            .filter(|f| f.distance_m <= reach_m)
            .collect();
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
}
