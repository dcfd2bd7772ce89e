//! Taps: how a pilot steers with a brake that must not be ridden.
//!
//! A freely castering nose wheel in a crosswind asks for a little of the downwind brake all the time. A foot that gives
//! it rides the brake; a pilot taps: nothing for a while, then a short press that makes up for what was owed.

use super::gains;

/// What is owed, and whether a tap is on.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Taps {
    owed_nms: f64,
    on: bool,
}

impl Taps {
    /// The moment to press for now, N·m, when `ask_nm` is wanted on average and `most_nm` is the most there is.
    pub(super) fn press(&mut self, ask_nm: f64, most_nm: f64, dt_s: f64) -> f64 {
        let tap = gains::TAP_SHARE * most_nm;
        if ask_nm.abs() >= tap {
            *self = Taps::default();
            return ask_nm.clamp(-most_nm, most_nm);
        }
        let worth = tap * gains::TAP_S;
        self.owed_nms = (self.owed_nms + ask_nm * dt_s).clamp(-2.0 * worth, 2.0 * worth);
        // Not owed any more when it has changed sides.
        let same = self.owed_nms * ask_nm > 0.0;
        if !same && ask_nm.abs() > gains::TOES_OFF_SHARE * most_nm {
            self.owed_nms = 0.0;
        }
        self.on = if self.on {
            same
        } else {
            same && self.owed_nms.abs() >= worth
        };
        if !self.on {
            return 0.0;
        }
        let press = tap.copysign(self.owed_nms);
        self.owed_nms -= press * dt_s;
        press
    }
}
