//! What the odds cannot exceed, by calculation: no drive is simulated here.
//!
//! A drive touches a body only where the deviation y and the heading's difference δ are beyond the barrier: y + λδ ≥ c
//! for any one λ, c the least of (deviation that touches at δ) + λδ over δ. X = y + λδ is Gaussian with moments known at
//! every station. A smooth process that is above a level somewhere began above it or crossed it upward, so
//!
//!   P(X ≥ c somewhere) ≤ P(X ≥ c at the start) + expected upcrossings,
//!
//! and the upcrossings of a level in a step are counted by Rice's formula, E[X'⁺ | X = c]·p(c) a metre (Rice 1944;
//! Leadbetter, Lindgren and Rootzén 1983, chapter 7; from memory). Where the level falls between two steps, the odds of
//! being between the two levels are added. Left and right, and the odds that δ leaves the range looked at, are summed:
//! that counts some drives twice, never leaves one out. The least bound over some λ is taken; each of them is one.

use super::barrier::{self, Barrier, TURNED_SPREADS};
use super::bodies::Body;
use super::drive::Course;
use super::moments::{Moment, Vector};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use toeline_model::math;

/// The lever arms tried, in wheelbases: a point that far behind the nose wheel goes aside by y − λδ.
const LEVERS: [f64; 6] = [0.0, 0.5, 1.0, 1.5, 3.0, -0.5];

/// Share of a standard normal above x.
pub(super) fn tail(x: f64) -> f64 {
    math::erfc(x / core::f64::consts::SQRT_2) / 2.0
}

fn density(x: f64) -> f64 {
    math::exp(-x * x / 2.0) / core::f64::consts::TAU.sqrt()
}

/// A combination of the moments at a station with its derivative.
struct Seen {
    mean: f64,
    spread: f64,
    /// Mean, variance and covariance with the value, of the derivative.
    slope: (f64, f64, f64),
}

impl Seen {
    /// sign·(y + λδ).
    fn of(m: &Moment, lever: f64, sign: f64) -> Seen {
        let value: Vector = [sign, 0.0, 0.0, sign * lever];
        let mut slope: Vector = m.turning.map(|t| sign * lever * t);
        slope[1] += sign;
        Seen {
            mean: m.mean_of(&value),
            spread: m.covariance_of(&value, &value).max(0.0).sqrt(),
            slope: (
                m.mean_of(&slope),
                m.covariance_of(&slope, &slope).max(0.0),
                m.covariance_of(&value, &slope),
            ),
        }
    }

    /// Odds of being at or above a level.
    fn above(&self, level: f64) -> f64 {
        if level == f64::INFINITY {
            return 0.0;
        }
        if self.spread < 1e-9 {
            return f64::from(u8::from(self.mean >= level - 1e-9));
        }
        tail((level - self.mean) / self.spread)
    }

    /// Upcrossings of a level a metre.
    fn upcrossings(&self, level: f64) -> f64 {
        if level == f64::INFINITY || self.spread < 1e-9 {
            return 0.0;
        }
        let x = (level - self.mean) / self.spread;
        let (mean, variance, with) = self.slope;
        let along = mean + with / self.spread * x;
        let across = (variance - with * with / (self.spread * self.spread)).max(0.0).sqrt();
        let rising = if across < 1e-12 {
            along.max(0.0)
        } else {
            across * density(along / across) + along * tail(-along / across)
        };
        density(x) / self.spread * rising
    }
}

/// What the odds of touching any of some bodies cannot exceed, 0 to 1.
pub(super) fn bound(course: &Course<'_>, moments: &[Moment], bodies: &[&Body]) -> f64 {
    let barriers = together(bodies.iter().flat_map(|b| barrier::barriers(course, moments, b)));
    let d = course.stations.wheelbase_m;
    let side = |side: usize| {
        let one = |lever: f64| reaches(course, moments, &barriers, side, -lever * d);
        LEVERS.into_iter().map(one).fold(f64::INFINITY, f64::min)
    };
    let sides = side(0) + side(1);
    (sides + beyond(course, moments, &barriers)).clamp(0.0, 1.0)
}

/// One barrier a step: the nearest of all. The slices of a step are the same for every body.
fn together(all: impl Iterator<Item = Barrier>) -> Vec<Barrier> {
    let mut by_step: BTreeMap<usize, Barrier> = BTreeMap::new();
    for b in all {
        match by_step.entry(b.step) {
            Entry::Vacant(free) => {
                free.insert(b);
            }
            Entry::Occupied(mut kept) => {
                for (mine, other) in kept.get_mut().slices.iter_mut().zip(&b.slices) {
                    for (m, o) in mine.2.iter_mut().zip(&other.2) {
                        *m = m.min(*o);
                    }
                }
            }
        }
    }
    by_step.into_values().collect()
}

/// Odds that sign·(y + λδ) reaches the barrier on a side anywhere.
fn reaches(course: &Course<'_>, moments: &[Moment], barriers: &[Barrier], side: usize, lever: f64) -> f64 {
    let sign = if side == 0 { 1.0 } else { -1.0 };
    let mut sum = 0.0;
    let mut last: Option<(usize, f64)> = None;
    for b in barriers {
        let level = b
            .slices
            .iter()
            .map(|(from, to, least)| least[side] + (sign * lever * from).min(sign * lever * to))
            .fold(f64::INFINITY, f64::min)
            - lever.abs() * b.loose_rad;
        let before = last
            .filter(|(step, _)| step + 1 == b.step)
            .map_or(f64::INFINITY, |l| l.1);
        last = Some((b.step, level));
        let end = (b.step + 1).min(moments.len() - 1);
        let (here, there) = (
            Seen::of(&moments[b.step], lever, sign),
            Seen::of(&moments[end], lever, sign),
        );
        if level < before {
            sum += here.above(level) - here.above(before);
        }
        let (p, q) = course.stations.step(b.step);
        let step_m = q.at_m - p.at_m;
        if here.spread < 1e-9 && there.spread < 1e-9 {
            // Without spread nothing is left to chance: it is there at the end of the step or it is not.
            sum += (there.above(level) - here.above(level)).max(0.0);
        } else {
            sum += step_m * (here.upcrossings(level) + there.upcrossings(level)) / 2.0;
        }
    }
    sum
}

/// Odds that the heading's difference, or the deviation on which its looseness rests, is beyond the spreads looked at
/// anywhere near the body.
fn beyond(course: &Course<'_>, moments: &[Moment], barriers: &[Barrier]) -> f64 {
    let mut sum = 0.0;
    let mut last: Option<usize> = None;
    for b in barriers {
        let m = &moments[b.step];
        let (p, q) = course.stations.step(b.step);
        for (value, slope) in [
            ([1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0]),
            ([0.0, 0.0, 0.0, 1.0], m.turning),
        ] {
            let spread = m.covariance_of(&value, &value).max(0.0).sqrt();
            if spread < 1e-9 {
                continue;
            }
            let rate = (m.covariance_of(&slope, &slope).max(0.0)).sqrt() / spread / core::f64::consts::TAU;
            let crossing = rate * math::exp(-TURNED_SPREADS * TURNED_SPREADS / 2.0) * (q.at_m - p.at_m);
            let begins = last.is_none_or(|s| s + 1 != b.step);
            sum += 2.0 * (crossing + if begins { tail(TURNED_SPREADS) } else { 0.0 });
        }
        last = Some(b.step);
    }
    sum
}
