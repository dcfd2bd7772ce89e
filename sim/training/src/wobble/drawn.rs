//! How sure the figures are: pupils are drawn on stretches of the same lengths and measured the same way.
//!
//! What is measured on them scatters as what was measured on the pupil does, by all that the method has in it: few
//! independent stretches, the mean taken away, the lags that are fitted. How it scatters depends on the true correlation
//! length alone (offset and spread move and scale everything), and that is not known. So pupils of many lengths are drawn. The
//! interval of the length holds those of which what was found is nothing unusual: no more than one in forty find less, or
//! more. The intervals of offset (its error in units of its own estimate, as Student's) and spread (measured to true) are the widest
//! over the lengths of which what was found lies in the middle 80 in 100; that these hold the truth as often as they say was
//! found by counting.

use super::Tail;
use super::fit::{CORRELATIONS_M, Expected, Fit};
use super::stretches::{STEP_M, Stretch};
use rayon::prelude::*;
use toeline_engine::odds::{Begin, Deviation, Wobble, WobbleFrom};
use toeline_model::math;

/// Pupils drawn of each length.
const DRAWN: u64 = 200;
/// Lengths either side of the one found, and how far apart, in standard deviations of the logarithm of what is found.
const EITHER_SIDE: i32 = 6;
const APART: f64 = 0.6;
/// What lies in the middle of a length's pupils: 80 in 100.
const MIDDLE: [f64; 2] = [0.1, 0.9];
/// Their seed: any will do, and always the same.
const SEED: u64 = 0x70_75_70_69_6c;
/// What each tail of an interval leaves out.
const TAIL: f64 = 0.025;

/// 95 % intervals, low and high.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Sureness {
    pub(super) offset_m: [f64; 2],
    pub(super) spread_m: [f64; 2],
    pub(super) correlation_m: [f64; 2],
    pub(super) tail: Tail,
}

pub(super) fn sureness(list: &[Stretch], own: &Fit) -> Sureness {
    let lengths: Vec<usize> = list.iter().map(|s| s.deviations_m.len()).collect();
    let shapes: Vec<&[f64]> = list.iter().map(|s| s.deviations_m.as_slice()).collect();
    let expected = Expected::of(&shapes);
    let draw = |k: u64, correlation_m: f64| {
        let wobble = Wobble {
            offset_m: 0.0,
            spread_m: own.spread_m,
            correlation_m,
            from: WobbleFrom::Measured,
        };
        let series: Vec<Vec<f64>> = lengths
            .iter()
            .enumerate()
            .map(|(i, n)| {
                let (seed, way_m) = (SEED.wrapping_add(k), *n as f64 * STEP_M);
                let drawn = Deviation::draw(&wobble, seed, i as u64, way_m, Begin::UnderWay);
                (0..*n).map(|m| drawn.at(m as f64 * STEP_M).0).collect()
            })
            .collect();
        let series: Vec<&[f64]> = series.iter().map(Vec::as_slice).collect();
        expected.fit(&series)
    };
    let pupils = |correlation_m: f64| Pupils::of(correlation_m, own.correlation_m, &|k| draw(k, correlation_m));
    let found = pupils(own.correlation_m);
    let apart = APART * found.scatter();
    let [least, most] = CORRELATIONS_M;
    let mut all: Vec<Pupils> = vec![found];
    for side in [-1, 1] {
        let mut last_m = own.correlation_m;
        for k in 1..=EITHER_SIDE {
            let correlation_m = (own.correlation_m * math::exp(f64::from(side * k) * apart)).clamp(least, most);
            // At the end of what is looked for.
            if (correlation_m - last_m).abs() < 1e-9 {
                break;
            }
            last_m = correlation_m;
            all.push(pupils(correlation_m));
        }
    }
    all.sort_by(|a, b| a.correlation_m.total_cmp(&b.correlation_m));
    let middle = |p: &Pupils| (MIDDLE[0]..=MIDDLE[1]).contains(&p.below) || p.correlation_m == own.correlation_m;
    let near: Vec<&Pupils> = all.iter().filter(|p| middle(p)).collect();
    let widest = |f: &dyn Fn(&Fit) -> f64| {
        let each: Vec<[f64; 2]> = near.iter().map(|p| p.tails(f)).collect();
        let low = each.iter().map(|t| t[0]).fold(f64::INFINITY, f64::min);
        [low, each.iter().map(|t| t[1]).fold(f64::NEG_INFINITY, f64::max)]
    };
    let student = widest(&|f| f.offset_m / f.offset_error_m.max(1e-9));
    let spread_m = if own.spread_m > 0.0 {
        let [low, high] = widest(&|f| math::ln(f.spread_m.max(1e-9) / own.spread_m));
        [own.spread_m * math::exp(-high), own.spread_m * math::exp(-low)]
    } else {
        [0.0; 2]
    };
    let kurtosis = widest(&|f| f.excess_kurtosis);
    Sureness {
        offset_m: [
            own.offset_m - student[1] * own.offset_error_m,
            own.offset_m - student[0] * own.offset_error_m,
        ],
        spread_m,
        correlation_m: lengths_that_may_be(&all),
        tail: Tail {
            excess_kurtosis: own.excess_kurtosis,
            normal_low: kurtosis[0],
            normal_high: kurtosis[1],
        },
    }
}

/// Pupils of one length, measured.
struct Pupils {
    correlation_m: f64,
    fits: Vec<Fit>,
    /// Share of them that find a shorter length than the pupil's own attempts show; one who finds the same counts half.
    below: f64,
}

impl Pupils {
    fn of(correlation_m: f64, found_m: f64, draw: &(dyn Fn(u64) -> Option<Fit> + Sync)) -> Pupils {
        let fits: Vec<Fit> = (0..DRAWN).into_par_iter().filter_map(draw).collect();
        let count = |f: &dyn Fn(f64) -> bool| fits.iter().filter(|x| f(x.correlation_m)).count() as f64;
        let (less, same) = (count(&|x| x < found_m), count(&|x| x == found_m));
        Pupils {
            correlation_m,
            below: (less + 0.5 * same) / fits.len().max(1) as f64,
            fits,
        }
    }

    /// Standard deviation of the logarithm of the length found.
    fn scatter(&self) -> f64 {
        let (mut sum, mut square) = (0.0, 0.0);
        for f in &self.fits {
            let ln = math::ln(f.correlation_m);
            sum += ln;
            square += ln * ln;
        }
        let n = self.fits.len().max(1) as f64;
        (square / n - (sum / n) * (sum / n)).max(0.0).sqrt()
    }

    fn tails(&self, f: &dyn Fn(&Fit) -> f64) -> [f64; 2] {
        let mut all: Vec<f64> = self.fits.iter().map(f).collect();
        all.sort_by(f64::total_cmp);
        [quantile(&all, TAIL), quantile(&all, 1.0 - TAIL)]
    }
}

/// The lengths, of those drawn in order, of which what was found is nothing unusual: the longer the true one, the smaller the
/// share that finds less.
fn lengths_that_may_be(all: &[Pupils]) -> [f64; 2] {
    let between = |a: &Pupils, b: &Pupils, share: f64| {
        let t = (a.below - share) / (a.below - b.below);
        a.correlation_m * math::exp(t * math::ln(b.correlation_m / a.correlation_m))
    };
    let (first, last) = (&all[0], &all[all.len() - 1]);
    // From below: the last length of which too many find less; from above the first of which too few do.
    let low = all
        .windows(2)
        .rev()
        .find(|w| w[0].below > 1.0 - TAIL && w[1].below <= 1.0 - TAIL);
    let high = all.windows(2).find(|w| w[0].below >= TAIL && w[1].below < TAIL);
    [
        low.map_or(first.correlation_m, |w| between(&w[0], &w[1], 1.0 - TAIL)),
        high.map_or(last.correlation_m, |w| between(&w[0], &w[1], TAIL)),
    ]
}

/// Quantile of sorted numbers, between neighbours.
fn quantile(sorted: &[f64], p: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else {
        return 0.0;
    };
    let at = p * last as f64;
    let (low, share) = (at.floor() as usize, at - at.floor());
    let (a, b) = (sorted[low], sorted[(low + 1).min(last)]);
    a + share * (b - a)
}
