//! Which strands come near a point: an R-tree over every piece of every strand asked for.

use super::net::{Foot, Net};
use rstar::RTree;
use rstar::primitives::{GeomWithData, Line};
use toeline_model::Xy;

/// Places may move by up to this much while ends are joined, metres; the tree is asked for that much more.
const SLACK_M: f64 = 1.0;

/// Finds strands by distance.
pub(super) struct Near(RTree<GeomWithData<Line<[f64; 2]>, usize>>);

impl Near {
    /// Over the strands that pass a test.
    pub(super) fn new(net: &Net<'_>, test: impl Fn(&Net<'_>, usize) -> bool) -> Near {
        let mut list = Vec::new();
        for s in (0..net.strands.len()).filter(|s| test(net, *s)) {
            for w in net.points(s).windows(2) {
                list.push(GeomWithData::new(Line::new(w[0].into(), w[1].into()), s));
            }
        }
        Near(RTree::bulk_load(list))
    }

    /// Feet of a point on the strands within `reach_m`, one per strand, nearest first; equal ones in strand order.
    pub(super) fn feet(&self, net: &Net<'_>, p: Xy, reach_m: f64) -> Vec<Foot> {
        let reach = reach_m + SLACK_M;
        let mut strands: Vec<usize> = self
            .0
            .locate_within_distance(p.into(), reach * reach)
            .map(|g| g.data)
            .collect();
        strands.sort_unstable();
        strands.dedup();
        let mut feet: Vec<Foot> = strands
            .into_iter()
            .filter_map(|s| net.foot(s, p))
            .filter(|f| f.distance_m <= reach_m)
            .collect();
        feet.sort_by(|a, b| a.distance_m.total_cmp(&b.distance_m).then(a.strand.cmp(&b.strand)));
        feet
    }
}
