//! Mean, spread and correlation length of stretches of a wandering nose wheel.
//!
//! The mean is that of all readings. The autocovariance about it is taken over all pairs of readings of one stretch that lie a
//! whole number of metres apart. Taking the mean away makes it too small by what the mean itself wavers; so it is not the
//! kernel that is laid through it but what such stretches are expected to show of the kernel, mean taken away. Least squares
//! over lags from 0 to one and a half times the lag at which it has fallen to one half, each weighed by its pairs: beyond,
//! chance has more to say than the pupil.

use super::stretches::{STEP_M, Stretch};
use toeline_model::math;

/// Shortest and longest correlation length that is looked for, metres. The shorter one is the least that the odds take; the
/// longer one is ours: beyond it a drive shows an offset, not a wandering.
pub(super) const CORRELATIONS_M: [f64; 2] = [5.0, 100.0];
/// Lengths tried between them, evenly by their logarithm.
const TRIED: usize = 50;
/// Longest lag looked at, metres.
const MOST_LAG: usize = 150;
/// Lag up to which is fitted, as a multiple of that at which one half is left.
const LAGS_A_HALF: f64 = 1.5;
/// Least lag up to which is fitted.
const LEAST_LAG: usize = 6;
/// Spread below which nothing wanders, metres: less than the track is stored to.
const NOTHING_M: f64 = 1e-4;
const SQRT_5: f64 = 2.236_067_977_499_79;

/// What stretches show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// Mean, metres, left positive.
    pub offset_m: f64,
    /// Spread about it, metres.
    pub spread_m: f64,
    /// Correlation length, metres.
    pub correlation_m: f64,
    /// Standard error of the mean, metres.
    pub offset_error_m: f64,
    /// Independent readings with the same error of the mean.
    pub independent: f64,
    /// Excess kurtosis of the readings.
    pub excess_kurtosis: f64,
}

/// Correlation of readings `lag` apart: Matérn's kernel, ν = 5/2.
pub(super) fn correlation(lag_m: f64, correlation_m: f64) -> f64 {
    let t = SQRT_5 * lag_m / correlation_m;
    (1.0 + t + t * t / 3.0) * math::exp(-t)
}

/// Fits stretches; `None` without two readings.
pub fn fit(list: &[Stretch]) -> Option<Fit> {
    let series: Vec<&[f64]> = list.iter().map(|s| s.deviations_m.as_slice()).collect();
    Expected::of(&series).fit(&series)
}

/// Mean of all readings.
fn mean(series: &[&[f64]]) -> f64 {
    let n: usize = series.iter().map(|s| s.len()).sum();
    series.iter().flat_map(|s| s.iter()).sum::<f64>() / n.max(1) as f64
}

/// Autocovariance about a mean at lags 0 to `lags` metres, each over its own pairs, and the number of these.
pub fn autocovariance(series: &[&[f64]], mean: f64, lags: usize) -> (Vec<f64>, Vec<f64>) {
    let (mut sums, mut pairs) = (vec![0.0; lags + 1], vec![0.0; lags + 1]);
    for s in series {
        let off: Vec<f64> = s.iter().map(|d| d - mean).collect();
        for lag in 0..=lags.min(off.len().saturating_sub(1)) {
            sums[lag] += off.iter().zip(&off[lag..]).map(|(a, b)| a * b).sum::<f64>();
            pairs[lag] += (off.len() - lag) as f64;
        }
    }
    for (sum, n) in sums.iter_mut().zip(&pairs) {
        *sum /= n.max(1.0);
    }
    (sums, pairs)
}

/// What stretches of some lengths are expected to show of a spread of 1, for every correlation length tried.
#[derive(Clone, Debug)]
pub(super) struct Expected {
    lags: usize,
    rows: Vec<Row>,
}

#[derive(Clone, Debug)]
struct Row {
    correlation_m: f64,
    /// Expected autocovariance about the measured mean.
    shown: Vec<f64>,
    /// Variance of the mean.
    of_mean: f64,
}

impl Expected {
    pub(super) fn of(series: &[&[f64]]) -> Expected {
        let mut lengths: Vec<(usize, f64)> = Vec::new();
        for s in series {
            match lengths.iter_mut().find(|l| l.0 == s.len()) {
                Some(l) => l.1 += 1.0,
                None => lengths.push((s.len(), 1.0)),
            }
        }
        let longest = lengths.iter().map(|l| l.0).max().unwrap_or(0);
        let lags = MOST_LAG.min(longest / 2);
        let [low, high] = CORRELATIONS_M;
        let rows = (0..TRIED)
            .map(|i| {
                let share = i as f64 / (TRIED - 1) as f64;
                row(&lengths, longest, lags, low * math::exp(share * math::ln(high / low)))
            })
            .collect();
        Expected { lags, rows }
    }

    pub(super) fn fit(&self, series: &[&[f64]]) -> Option<Fit> {
        let n: usize = series.iter().map(|s| s.len()).sum();
        if n < 2 || self.lags < 1 {
            return None;
        }
        let offset_m = mean(series);
        let (shown, pairs) = autocovariance(series, offset_m, self.lags);
        let nothing = shown[0].sqrt() < NOTHING_M;
        let (at, variance) = if nothing { (0.0, 0.0) } else { self.best(&shown, &pairs) };
        let (k, share) = (
            (at.floor() as usize).min(TRIED - 2),
            at - (at.floor()).min((TRIED - 2) as f64),
        );
        let (a, b) = (&self.rows[k], &self.rows[k + 1]);
        let of_mean = a.of_mean + share * (b.of_mean - a.of_mean);
        Some(Fit {
            offset_m,
            spread_m: variance.max(0.0).sqrt(),
            correlation_m: a.correlation_m * math::exp(share * math::ln(b.correlation_m / a.correlation_m)),
            offset_error_m: (variance.max(0.0) * of_mean).sqrt(),
            independent: 1.0 / of_mean,
            excess_kurtosis: excess_kurtosis(series, offset_m),
        })
    }

    /// Index of the best length, with its share to the next one, and the variance that goes with it.
    fn best(&self, shown: &[f64], pairs: &[f64]) -> (f64, f64) {
        let half = shown.iter().position(|c| *c < 0.5 * shown[0]).unwrap_or(self.lags);
        let most = ((LAGS_A_HALF * half as f64).ceil() as usize)
            .max(LEAST_LAG)
            .min(self.lags);
        let tried: Vec<(f64, f64)> = self
            .rows
            .iter()
            .map(|row| {
                let (mut cm, mut mm, mut cc) = (0.0, 0.0, 0.0);
                for lag in 0..=most {
                    let (c, m, w) = (shown[lag], row.shown[lag], pairs[lag]);
                    cm += w * c * m;
                    mm += w * m * m;
                    cc += w * c * c;
                }
                let variance = (cm / mm.max(1e-12)).max(0.0);
                (cc - variance * cm, variance)
            })
            .collect();
        let best = (0..tried.len())
            .min_by(|a, b| tried[*a].0.total_cmp(&tried[*b].0))
            .unwrap_or(0);
        // A parabola through the best and its neighbours.
        let at = if best == 0 || best + 1 == tried.len() {
            best as f64
        } else {
            let (l, m, r) = (tried[best - 1].0, tried[best].0, tried[best + 1].0);
            let bend = l - 2.0 * m + r;
            let shift = if bend > 0.0 { (l - r) / (2.0 * bend) } else { 0.0 };
            best as f64 + shift.clamp(-0.5, 0.5)
        };
        let k = (at.floor() as usize).min(tried.len() - 2);
        let share = at - k as f64;
        (at, tried[k].1 + share * (tried[k + 1].1 - tried[k].1))
    }
}

/// The expected autocovariance: Cov(yᵢ − ȳ, yⱼ − ȳ) = ρᵢⱼ − gᵢ − gⱼ + v, with gᵢ the covariance of yᵢ and the mean ȳ of all
/// stretches together and v the variance of ȳ; stretches know nothing of each other.
fn row(lengths: &[(usize, f64)], longest: usize, lags: usize, correlation_m: f64) -> Row {
    let rho: Vec<f64> = (0..longest.max(1))
        .map(|k| correlation(k as f64 * STEP_M, correlation_m))
        .collect();
    let mut upto = Vec::with_capacity(rho.len());
    let mut sum = 0.0;
    for r in &rho {
        sum += r;
        upto.push(sum);
    }
    let all: f64 = lengths.iter().map(|(n, times)| *n as f64 * times).sum();
    // gᵢ times the number of all readings.
    let with_sum = |n: usize, i: usize| upto[i] + upto[n - 1 - i] - 1.0;
    let of_mean = lengths
        .iter()
        .map(|(n, times)| times * (0..*n).map(|i| with_sum(*n, i)).sum::<f64>())
        .sum::<f64>()
        / (all * all);
    let (mut sums, mut pairs) = (vec![0.0; lags + 1], vec![0.0; lags + 1]);
    for (n, times) in lengths {
        let g: Vec<f64> = (0..*n).map(|i| with_sum(*n, i) / all).collect();
        let mut before = vec![0.0];
        for x in &g {
            before.push(before[before.len() - 1] + x);
        }
        for lag in 0..=lags.min(n.saturating_sub(1)) {
            let count = (n - lag) as f64;
            let (first, last) = (before[n - lag], before[*n] - before[lag]);
            sums[lag] += times * (count * (rho[lag] + of_mean) - first - last);
            pairs[lag] += times * count;
        }
    }
    Row {
        correlation_m,
        shown: sums.iter().zip(&pairs).map(|(s, n)| s / f64::max(*n, 1.0)).collect(),
        of_mean,
    }
}

fn excess_kurtosis(series: &[&[f64]], mean: f64) -> f64 {
    let (mut n, mut two, mut four) = (0.0, 0.0, 0.0);
    for d in series.iter().flat_map(|s| s.iter()) {
        let square = (d - mean) * (d - mean);
        n += 1.0;
        two += square;
        four += square * square;
    }
    if two <= 0.0 { 0.0 } else { n * four / (two * two) - 3.0 }
}
