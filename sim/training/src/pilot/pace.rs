//! Throttle and both brakes together: how fast.
//!
//! FAA Airplane Flying Handbook, chapter 2: the throttle at idle before any brake, except in sharp turns at low speed;
//! never power against brake, brakes only now and then. So too much speed is taken off in a firm short press, and the feet
//! come off again.

use super::gains;
use super::plane::Plane;
use super::seen::Seen;
use toeline_model::units::G_MPS2;

/// What the hand and the two feet together ask for.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct PaceAsk {
    /// Throttle, 0 to 1.
    pub(super) throttle: f64,
    /// Force that each main wheel is to hold back with, N.
    pub(super) each_n: f64,
}

/// What is wanted of the speed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted {
    /// Speed, m/s.
    pub(super) mps: f64,
    /// How it changes along the way ahead, m/s².
    pub(super) mps2: f64,
    /// Whether it falls: toward a stop or a turn.
    pub(super) slowing: bool,
    /// Force that the inside brake costs, N.
    pub(super) turn_brake_n: f64,
}

/// What the hand has learnt, and whether the brakes are on.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Pace {
    learnt_n: f64,
    braking: bool,
    last_mps: Option<f64>,
    felt_mps2: f64,
}

impl Pace {
    /// What to do now; `throttle` is where the lever stands.
    pub(super) fn decide(&mut self, plane: &Plane, seen: &Seen, wanted: &Wanted, throttle: f64, dt_s: f64) -> PaceAsk {
        let change = self.last_mps.map_or(0.0, |last| (seen.nose_mps - last) / dt_s);
        self.last_mps = Some(seen.nose_mps);
        self.felt_mps2 += (change - self.felt_mps2) * (dt_s / (gains::FEELS_S + dt_s));

        let mass = plane.mass_kg;
        let rolls_n = gains::ROLLS_AT * mass * G_MPS2;
        // The engine follows the lever late: the speed is looked at as it will be by then.
        let soon_mps = seen.nose_mps + gains::ENGINE_AHEAD_S * (self.felt_mps2 - wanted.mps2);
        let short = wanted.mps - soon_mps;
        let speeds = (gains::SPEED_GAIN * short + wanted.mps2).min(gains::SPEEDS_UP_MPS2);
        let ask = plane.throttle(mass * speeds + rolls_n + wanted.turn_brake_n + self.learnt_n);
        self.learn(mass, wanted, seen, ask, dt_s);

        let excess = seen.nose_mps - wanted.mps;
        if self.braking {
            self.braking = excess > -gains::BRAKES_TO_STOP_MPS;
        } else {
            // The throttle first: brakes come on when it is closed and does not do.
            let slows_enough = self.felt_mps2 < wanted.mps2 - gains::SLOWS_BY_ITSELF_MPS2;
            let begins = if wanted.slowing {
                gains::BRAKES_TO_STOP_MPS
            } else {
                gains::BRAKES_FROM_MPS.min(gains::BRAKES_FROM_SHARE * wanted.mps)
            };
            self.braking = throttle <= 0.0 && excess > begins && !slows_enough;
        }
        if !self.braking {
            return PaceAsk {
                throttle: ask,
                each_n: 0.0,
            };
        }
        let slows = if wanted.slowing {
            2.0 * gains::SPEED_GAIN * excess - wanted.mps2
        } else {
            gains::SNUB_MPS2
        };
        let slows = slows.clamp(0.0, gains::MOST_BRAKING_MPS2);
        let back_n = mass * slows + seen.thrust_n - rolls_n - wanted.turn_brake_n;
        let each_n = if throttle > 0.0 { 0.0 } else { (back_n / 2.0).max(0.0) };
        PaceAsk { throttle: 0.0, each_n }
    }

    /// Learns what the ground takes, and only near the wanted speed with the throttle open: a start, a stop and a snub
    /// teach nothing.
    fn learn(&mut self, mass: f64, wanted: &Wanted, seen: &Seen, ask: f64, dt_s: f64) {
        let short = wanted.mps - seen.nose_mps;
        let says = ask > 0.0 && ask < 1.0 || ask <= 0.0 && short > 0.0;
        let stuck = seen.nose_mps < gains::CRAWL_MPS;
        if self.braking || !says || wanted.slowing && !stuck {
            return;
        }
        let near = short.clamp(-gains::LEARNS_WITHIN_MPS, gains::LEARNS_WITHIN_MPS);
        let steady = self.felt_mps2.abs() < gains::LEARNS_BELOW_MPS2;
        if steady {
            let most_n = mass * G_MPS2;
            self.learnt_n += mass * gains::SPEED_LEARNT * near * dt_s;
            self.learnt_n = self.learnt_n.clamp(-0.1 * most_n, 0.3 * most_n);
        }
    }
}
