//! Random numbers by counter: the n-th number of pupil k of a seed is a function of (seed, k, n) and of nothing else, so
//! that every pupil drives the same drive on any thread, in any order, past any obstacles.
//!
//! The mixing is the finaliser of SplitMix64 (Steele, Lea and Flood 2014, variant 13 of Stafford; from memory), used as
//! its authors do: over a counter that runs in steps of the golden ratio.

use toeline_model::math;

const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;

fn mix(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// One pupil's numbers.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stream(u64);

impl Stream {
    /// The numbers of a pupil of a seed.
    pub(super) fn of(seed: u64, pupil: u64) -> Stream {
        let seed = mix(seed.wrapping_add(GOLDEN));
        Stream(mix(seed.wrapping_add(GOLDEN.wrapping_mul(pupil.wrapping_add(1)))))
    }

    /// The n-th number, uniform in (0, 1].
    fn uniform(self, n: u64) -> f64 {
        let bits = mix(self.0.wrapping_add(GOLDEN.wrapping_mul(n))) >> 11;
        (bits + 1) as f64 / (1_u64 << 53) as f64
    }

    /// Three independent standard normal numbers, the n-th three of the stream (Box and Muller's way).
    pub(super) fn normals(self, n: u64) -> [f64; 3] {
        let pair = |at: u64| {
            let radius = (-2.0 * math::ln(self.uniform(at))).sqrt();
            let (sin, cos) = math::sin_cos(core::f64::consts::TAU * self.uniform(at + 1));
            (radius * cos, radius * sin)
        };
        let ((a, b), (c, _)) = (pair(4 * n), pair(4 * n + 2));
        [a, b, c]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_numbers_are_normal_and_independent_of_each_other_and_between_pupils() {
        let n = 60_000_u64;
        let all: Vec<[f64; 3]> = (0..n).map(|k| Stream::of(7, k / 100).normals(k % 100)).collect();
        let flat: Vec<f64> = all.iter().flatten().copied().collect();
        let mean = |f: &dyn Fn(f64) -> f64| flat.iter().map(|x| f(*x)).sum::<f64>() / flat.len() as f64;
        // Five standard errors of each moment's estimate.
        let error = 5.0 / (flat.len() as f64).sqrt();
        assert!(mean(&|x| x).abs() < error);
        assert!((mean(&|x| x * x) - 1.0).abs() < 1.5 * error);
        assert!((mean(&|x| x.powi(4)) - 3.0).abs() < 10.0 * error);
        // One in 741 lies beyond three spreads on either side.
        let beyond = mean(&|x| f64::from(u8::from(x > 3.0)));
        assert!((beyond - 0.001_349_9).abs() < 0.037 * error, "{beyond}");
        let lagged = |lag: usize| {
            let sum: f64 = flat.iter().zip(&flat[lag..]).map(|(a, b)| a * b).sum();
            sum / flat.len() as f64
        };
        // Next number, next three, next pupil.
        for lag in [1, 2, 3, 300] {
            assert!(lagged(lag).abs() < error, "lag {lag}: {}", lagged(lag));
        }
    }
}
