//! One look: which parts touch what, and which wheels are off the pavement.

use super::body::Placed;
use super::{Body, Surroundings};
use crate::{Params, State};
use toeline_model::Xy;

/// A part that touches a thing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Touch {
    /// Index of the part in the [`Body`].
    pub part: usize,
    /// Index of the thing in the [`Surroundings`].
    pub thing: usize,
    /// A place where they touch, local metres.
    pub at: Xy,
}

/// What a look has found; kept from look to look so that its room is used again.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// What touches, each part with each thing at most once, by part and then in an order that is always the same.
    pub touches: Vec<Touch>,
    /// Whether each wheel (nose, left, right) is off the pavement.
    pub off: [bool; 3],
    /// Where each wheel is: the middle of the nose wheel, the outsides of the main tyres, local metres.
    pub wheels: [Xy; 3],
    placed: Vec<Placed>,
}

impl Look {
    /// A look that has seen nothing yet, with room for a body's parts.
    pub fn new(body: &Body) -> Look {
        Look {
            touches: Vec::with_capacity(4 * body.part_count()),
            off: [false; 3],
            wheels: [Xy::default(); 3],
            placed: body.room(),
        }
    }
}

impl Surroundings {
    /// Looks at a state. `inset_m` says how far inside the edge each wheel must be to count as on the pavement, metres: 0
    /// for at all. What is found depends on these arguments alone, whatever `look` held before; nothing is allocated but
    /// when more is touched at once than ever before.
    pub fn look(&self, body: &Body, p: &Params, state: &State, inset_m: [f64; 3], look: &mut Look) {
        let pose = state.pose(p);
        look.wheels = body.wheels_at(&pose);
        look.off = core::array::from_fn(|i| !self.carries(look.wheels[i], inset_m[i]));
        look.touches.clear();
        let all = body.place(p, state, &pose, &mut look.placed);
        if self.tree.meeting(all).next().is_none() {
            return;
        }
        for (part, placed) in look.placed.iter().enumerate() {
            let own = look.touches.len();
            for i in self.tree.meeting(placed.bounds) {
                let piece = &self.pieces[i];
                if look.touches[own..].iter().any(|t| t.thing == piece.thing) {
                    continue;
                }
                if let Some(at) = piece.touched_by(&placed.outline, placed.low_m, placed.high_m) {
                    look.touches.push(Touch {
                        part,
                        thing: piece.thing,
                        at,
                    });
                }
            }
        }
    }
}
