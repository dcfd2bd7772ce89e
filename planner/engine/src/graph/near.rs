//! Which strands come near a point: a tree over every piece of every strand, and who of them is asked for.

use super::net::{Foot, Net};
use crate::boxes::Boxes;
use std::cell::OnceCell;
use std::rc::Rc;
use toeline_model::Xy;
use toeline_model::frame::xy;
use toeline_model::planar::closest_on_segment;

/// Every piece of every strand.
pub(super) struct Pieces {
    boxes: Boxes,
    /// Strand and piece of each box.
    of: Vec<(usize, usize)>,
}

impl Pieces {
    /// Calls with strand and piece of all whose boxes meet that of a straight piece made wider by `reach_m`, in no order.
    pub(super) fn meeting(&self, a: Xy, b: Xy, reach_m: f64, mut take: impl FnMut((usize, usize))) {
        self.boxes.meeting(around(a, b), reach_m, |i| {
            take(self.of[i]);
            true
        });
    }
}

/// The box of a straight piece.
pub(super) fn around(a: Xy, b: Xy) -> (Xy, Xy) {
    (xy(a.x.min(b.x), a.y.min(b.y)), xy(a.x.max(b.x), a.y.max(b.y)))
}

/// Takes the pieces of a net as it stands; [`Net::pieces`] keeps them until it changes.
pub(super) fn pieces(net: &Net<'_>) -> Pieces {
    let count = net.strands.iter().map(|s| s.v.len()).sum();
    let (mut list, mut of) = (Vec::with_capacity(count), Vec::with_capacity(count));
    for (s, strand) in net.strands.iter().enumerate() {
        for (piece, w) in strand.v.windows(2).enumerate() {
            list.push(around(net.at(w[0]), net.at(w[1])));
            of.push((s, piece));
        }
    }
    Pieces {
        boxes: Boxes::new(list),
        of,
    }
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
        self.feet_where(net, p, (reach_m, -1.0), |_, _| true)
    }

    /// The first of those feet.
    pub(super) fn foot(&self, net: &Net<'_>, p: Xy, reach_m: f64) -> Option<Foot> {
        // Most are near: a small circle holds few pieces to measure.
        let within = |reach_m: f64| {
            let mut best: Option<Foot> = None;
            self.all(net, p, reach_m, |_, _| true, &mut |a| {
                let sooner = |b: &Foot| {
                    let by_distance = a.distance_m.total_cmp(&b.distance_m);
                    by_distance
                        .then(a.strand.cmp(&b.strand))
                        .then(a.piece.cmp(&b.piece))
                        .is_lt()
                };
                if best.as_ref().is_none_or(sooner) {
                    best = Some(a);
                }
            });
            best
        };
        within(reach_m / 2.0).or_else(|| within(reach_m))
    }

    /// The feet over the pieces (strand, piece) that pass a test; of one strand not the nearest alone but all within `on_m`:
    /// a line may pass a point more than once.
    pub(super) fn feet_where(
        &self,
        net: &Net<'_>,
        p: Xy,
        (reach_m, on_m): (f64, f64),
        test: impl Fn(usize, usize) -> bool,
    ) -> Vec<Foot> {
        let mut feet: Vec<Foot> = Vec::new();
        self.all(net, p, reach_m, test, &mut |f| feet.push(f));
        if feet.len() < 2 {
            return feet;
        }
        let by_distance = |a: &Foot, b: &Foot| a.distance_m.total_cmp(&b.distance_m);
        feet.sort_by(|a, b| {
            a.strand
                .cmp(&b.strand)
                .then(by_distance(a, b))
                .then(a.piece.cmp(&b.piece))
        });
        feet.dedup_by(|b, a| b.strand == a.strand && b.distance_m > on_m);
        feet.sort_by(|a, b| by_distance(a, b).then(a.strand.cmp(&b.strand)));
        feet
    }

    /// Calls with the feet on all pieces that pass a test, in no order.
    fn all(&self, net: &Net<'_>, p: Xy, reach_m: f64, test: impl Fn(usize, usize) -> bool, take: &mut dyn FnMut(Foot)) {
        // A little more is asked of the tree, whose sums round differently.
        let reach = reach_m * (1.0 + 1e-9) + 1e-6;
        // Strands added since are not asked for.
        let asked = |strand: usize| self.asked.get(strand).copied().unwrap_or(false);
        let pieces = self.pieces.get_or_init(|| net.pieces());
        pieces.meeting(p, p, reach, |(strand, piece)| {
            if !asked(strand) || !test(strand, piece) {
                return;
            }
            let v = &net.strands[strand].v;
            let (at, _) = closest_on_segment(p, net.at(v[piece]), net.at(v[piece + 1]));
            let distance_m = at.distance(p);
            if distance_m <= reach_m {
                take(Foot {
                    strand,
                    piece,
                    at,
                    distance_m,
                });
            }
        });
    }
}
