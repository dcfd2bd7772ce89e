//! Boxes found by place: a packed tree that is built once and asked often.

use static_aabb2d_index::{StaticAABB2DIndex, StaticAABB2DIndexBuilder};
use std::cell::RefCell;
use toeline_model::Xy;

/// Boxes by number, local metres.
pub(crate) struct Boxes {
    list: Vec<(Xy, Xy)>,
    /// Absent only where the tree could not be built; every box is looked at then.
    tree: Option<StaticAABB2DIndex<f64>>,
    /// What a search works with, kept from one to the next.
    stack: RefCell<Vec<usize>>,
}

impl Boxes {
    /// Of boxes as their lowest and their highest corner; their place in the list is their number.
    pub(crate) fn new(list: Vec<(Xy, Xy)>) -> Boxes {
        let mut builder = StaticAABB2DIndexBuilder::new(list.len());
        for (lo, hi) in &list {
            builder.add(lo.x, lo.y, hi.x, hi.y);
        }
        Boxes {
            tree: builder.build().ok(),
            list,
            stack: RefCell::default(),
        }
    }

    /// The corners of a box.
    pub(crate) fn corners(&self, i: usize) -> (Xy, Xy) {
        self.list[i]
    }

    /// Calls with the number of every box that meets another one made wider by `reach_m` on each side, in no order, until
    /// the answer is false.
    pub(crate) fn meeting(&self, (lo, hi): (Xy, Xy), reach_m: f64, mut take: impl FnMut(usize) -> bool) {
        let (low_x, low_y, high_x, high_y) = (lo.x - reach_m, lo.y - reach_m, hi.x + reach_m, hi.y + reach_m);
        match &self.tree {
            Some(tree) => {
                let mut visit = |i: usize| if take(i) { Ok(()) } else { Err(()) };
                // A search that is begun while another one runs brings its own.
                let mut own = Vec::new();
                let mut kept = self.stack.try_borrow_mut();
                let stack = kept.as_deref_mut().unwrap_or(&mut own);
                let _stopped: Result<(), ()> =
                    tree.visit_query_with_stack(low_x, low_y, high_x, high_y, &mut visit, stack);
            }
            None => {
                let meets = |b: &(Xy, Xy)| b.0.x <= high_x && b.0.y <= high_y && b.1.x >= low_x && b.1.y >= low_y;
                let mut met = (0..self.list.len()).filter(|i| meets(&self.list[*i]));
                let _stopped = met.all(&mut take);
            }
        }
    }

    /// The numbers of every box that meets another one made wider by `reach_m` on each side, ascending.
    pub(crate) fn all_meeting(&self, corners: (Xy, Xy), reach_m: f64) -> Vec<usize> {
        let mut list = Vec::new();
        self.meeting(corners, reach_m, |i| {
            list.push(i);
            true
        });
        list.sort_unstable();
        list
    }
}
