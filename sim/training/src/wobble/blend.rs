//! With little way the default counts, with much way the pupil: both weighed by what is uncertain in them.
//!
//! How far pupils lie from the default is ours, no source: offset by 0.3 m, spread and correlation length by a factor of
//! e^0.5 = 1.65 (one standard deviation each).

use super::drawn::Sureness;
use super::fit::Fit;
use super::{Figure, Figures};
use toeline_engine::odds::{Wobble, WobbleFrom};
use toeline_model::math;

/// Standard deviation of pupils' offsets about the default, metres. Ours, no source.
const OFFSETS_DIFFER_M: f64 = 0.3;
/// Standard deviation of the logarithm of pupils' spreads and lengths about the default's. Ours, no source.
const FACTORS_DIFFER: f64 = 0.5;
/// Half a 95 % interval in standard deviations.
const HALF: f64 = 1.96;

/// The figures; the tail is put in by the caller.
pub(super) fn blend(own: &Fit, sure: &Sureness, default: &Wobble) -> Figures {
    Figures {
        offset_m: one(own.offset_m, sure.offset_m, default.offset_m, OFFSETS_DIFFER_M),
        spread_m: by_factor(own.spread_m, sure.spread_m, default.spread_m),
        correlation_m: by_factor(own.correlation_m, sure.correlation_m, default.correlation_m),
        tail: sure.tail,
        turns: None,
    }
}

/// Two readings of one thing weighed by the inverse of their variances.
fn one(own: f64, [low, high]: [f64; 2], default: f64, differ: f64) -> Figure {
    let error = ((high - low) / (2.0 * HALF)).max(1e-9);
    let weight = differ * differ / (differ * differ + error * error);
    let taken = default + weight * (own - default);
    let rest = HALF * error * weight.sqrt();
    Figure {
        own,
        low,
        high,
        default,
        taken,
        taken_low: taken - rest,
        taken_high: taken + rest,
        weight,
    }
}

/// The same of the logarithm.
fn by_factor(own: f64, [low, high]: [f64; 2], default: f64) -> Figure {
    // A pupil who does not wander at all still has a logarithm: a tenth of a millimetre.
    let ln = |x: f64| math::ln(x.max(1e-4));
    let f = one(ln(own), [ln(low), ln(high)], ln(default), FACTORS_DIFFER);
    Figure {
        own,
        low,
        high,
        default,
        taken: math::exp(f.taken),
        taken_low: math::exp(f.taken_low),
        taken_high: math::exp(f.taken_high),
        weight: f.weight,
    }
}

/// What the odds take, within what they can.
pub(super) fn wobble(f: &Figures) -> Wobble {
    Wobble {
        offset_m: f.offset_m.taken.clamp(-10.0, 10.0),
        spread_m: f.spread_m.taken.clamp(0.0, 10.0),
        correlation_m: f.correlation_m.taken.clamp(5.0, 1000.0),
        from: WobbleFrom::Measured,
    }
}
