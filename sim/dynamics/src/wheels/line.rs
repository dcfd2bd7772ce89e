//! A tyre's curve of impulse against slip, taken for a round as the straight line that touches it.
//!
//! A tyre that gives way far less than the body (any tyre at a walking pace) turns a little slip into its whole force, so
//! that a line at a wrong slip says nothing. Its line is therefore taken where it gives the impulse of the last round, up to
//! near its limit. A wheel that stands has no slip to give way with at all: dry friction, for which a little softness is
//! lent in a round and taken back in the next.

use super::block::WheelTask;
use crate::tyre::FULL_SLIDE;

/// Slip per normalised slip, m/s, below which a tyre counts as dry friction without any yielding: a wheel that stands.
const DRY_MPS: f64 = 1e-9;
/// Softness that dry friction is given in a round over that of the body's mass; what it yields is taken back in the
/// next round.
const GRIPS: f64 = 1e-8;
/// Greatest stiffness of a tyre, over the body's mass, at which its curve is followed by its slip.
const HARD: f64 = 1.0;
/// Greatest share of the friction limit up to which a hard tyre's curve is followed by its impulse.
const FOLLOWS: f64 = 0.95;

/// A tyre with what is fixed for the tick.
#[derive(Clone, Copy)]
pub(super) struct Tyre {
    pub(super) limit: f64,
    /// 1 over the slip per normalised slip, s/m; for dry friction the impulse per slip lent, kg.
    pub(super) stiff: f64,
    pub(super) dry: bool,
    /// The tyre gives way far less than the body: its curve is followed by its impulse, not by its slip.
    hard: bool,
}

/// The tyre's curve as a straight line: impulse at a slip, how it falls with slip (along-along, along-across,
/// across-across), and the slip in which the curve bends.
#[derive(Clone, Copy)]
pub(super) struct Line {
    pub(super) at: [f64; 2],
    pub(super) impulse: [f64; 2],
    pub(super) falls: [f64; 3],
    pub(super) bends: f64,
    pub(super) sliding: bool,
}

impl Tyre {
    pub(super) fn new(wheel: &WheelTask, slip_unit: f64, mass_kg: f64) -> Tyre {
        let dry = slip_unit < DRY_MPS;
        let stiff = if dry { mass_kg / GRIPS } else { 1.0 / slip_unit };
        Tyre {
            limit: wheel.limit,
            stiff,
            dry,
            hard: wheel.limit * stiff > HARD * mass_kg,
        }
    }

    /// The line near an impulse, where the tyre is hard, or else near a slip.
    #[inline(always)]
    pub(super) fn line(&self, slip: [f64; 2], impulse: [f64; 2], sliding: bool) -> Line {
        let limit = self.limit;
        if limit <= 0.0 {
            return Line {
                at: slip,
                impulse: [0.0; 2],
                falls: [0.0; 3],
                bends: f64::INFINITY,
                sliding: false,
            };
        }
        if self.dry {
            return self.dry(slip, impulse, sliding);
        }
        let mut at = slip;
        if self.hard {
            let size = (impulse[0] * impulse[0] + impulse[1] * impulse[1]).sqrt();
            let share = size / limit;
            if share < FOLLOWS && size > 0.0 {
                let back = -slip_at(share) / (self.stiff * size);
                at = [impulse[0] * back, impulse[1] * back];
            }
        }
        let size = (at[0] * at[0] + at[1] * at[1]).sqrt();
        let x = size * self.stiff;
        if x >= FULL_SLIDE {
            return slides(limit, at, at, size);
        }
        // The impulse is -q·slip; q changes along the slip by `bend` a unit of slip, over the slip.
        let k = limit * self.stiff;
        let q = k * (1.0 - x * (1.0 / 3.0 - x * (1.0 / 27.0)));
        let bend = if size > 0.0 {
            k * self.stiff * (x * (2.0 / 27.0) - 1.0 / 3.0) / size
        } else {
            0.0
        };
        Line {
            at,
            impulse: [-q * at[0], -q * at[1]],
            falls: [q + bend * at[0] * at[0], bend * at[0] * at[1], q + bend * at[1] * at[1]],
            bends: FULL_SLIDE / self.stiff,
            sliding: false,
        }
    }

    /// Dry friction: it sticks where it is, with the impulse it had, or slides.
    #[inline(always)]
    fn dry(&self, slip: [f64; 2], impulse: [f64; 2], sliding: bool) -> Line {
        if sliding {
            let from = [slip[0] - impulse[0] / self.stiff, slip[1] - impulse[1] / self.stiff];
            let size = (from[0] * from[0] + from[1] * from[1]).sqrt();
            if size * self.stiff > self.limit {
                return slides(self.limit, slip, from, size);
            }
        }
        Line {
            at: [0.0; 2],
            impulse,
            falls: [self.stiff, 0.0, self.stiff],
            bends: f64::INFINITY,
            sliding: false,
        }
    }
}

/// The line of a tyre at its limit, straight against a slip of some size.
#[inline(always)]
fn slides(limit: f64, at: [f64; 2], [x, y]: [f64; 2], size: f64) -> Line {
    let per = 1.0 / size;
    let (q, x, y) = (limit * per, x * per, y * per);
    Line {
        at,
        impulse: [-limit * x, -limit * y],
        falls: [q * y * y, -q * x * y, q * x * x],
        bends: size,
        sliding: true,
    }
}

/// Normalised slip at a share of the friction limit up to [`FOLLOWS`]: the brush curve backward. Two rounds of Halley's
/// method for the cube root from a straight line leave 1e-7.
#[inline(always)]
fn slip_at(share: f64) -> f64 {
    let rest = 1.0 - share;
    let mut root = 0.4 + 0.62 * rest;
    for _ in 0..2 {
        let cube = root * root * root;
        root = root * (cube + 2.0 * rest) / (2.0 * cube + rest);
    }
    FULL_SLIDE * (1.0 - root)
}
