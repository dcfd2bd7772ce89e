//! How sure the figures are: pupils with the very figures are drawn on stretches of the same lengths and measured the same way.
//!
//! What is measured on them scatters as what was measured on the pupil does, by all that the method has in it: few
//! independent stretches, the mean taken away, the lags that are fitted. The interval of the offset is by its error in units
//! of its own estimate (as Student's), those of spread and length by the ratio of measured to true.

use super::Tail;
use super::fit::{Expected, Fit};
use super::stretches::{STEP_M, Stretch};
use rayon::prelude::*;
use toeline_engine::odds::{Begin, Deviation, Wobble, WobbleFrom};
use toeline_model::math;

/// Pupils drawn.
const DRAWN: u64 = 400;
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
    let wobble = Wobble {
        offset_m: 0.0,
        spread_m: own.spread_m,
        correlation_m: own.correlation_m,
        from: WobbleFrom::Measured,
    };
    let shapes: Vec<&[f64]> = list.iter().map(|s| s.deviations_m.as_slice()).collect();
    let expected = Expected::of(&shapes);
    let fits: Vec<Fit> = (0..DRAWN)
        .into_par_iter()
        .filter_map(|k| {
            let series: Vec<Vec<f64>> = lengths
                .iter()
                .enumerate()
                .map(|(i, n)| {
                    let drawn = Deviation::draw(
                        &wobble,
                        SEED.wrapping_add(k),
                        i as u64,
                        *n as f64 * STEP_M,
                        Begin::UnderWay,
                    );
                    (0..*n).map(|m| drawn.at(m as f64 * STEP_M).0).collect()
                })
                .collect();
            let series: Vec<&[f64]> = series.iter().map(Vec::as_slice).collect();
            expected.fit(&series)
        })
        .collect();
    let tails = |f: &dyn Fn(&Fit) -> f64| {
        let mut all: Vec<f64> = fits.iter().map(f).collect();
        all.sort_by(f64::total_cmp);
        [quantile(&all, TAIL), quantile(&all, 1.0 - TAIL)]
    };
    let student = tails(&|f| f.offset_m / f.offset_error_m.max(1e-9));
    let ratio = |own: f64, of: &dyn Fn(&Fit) -> f64| {
        if own <= 0.0 {
            return [0.0; 2];
        }
        let [low, high] = tails(&|f| math::ln(of(f).max(1e-9) / own));
        [own * math::exp(-high), own * math::exp(-low)]
    };
    let kurtosis = tails(&|f| f.excess_kurtosis);
    Sureness {
        offset_m: [
            own.offset_m - student[1] * own.offset_error_m,
            own.offset_m - student[0] * own.offset_error_m,
        ],
        spread_m: ratio(own.spread_m, &|f| f.spread_m),
        correlation_m: ratio(own.correlation_m, &|f| f.correlation_m),
        tail: Tail {
            excess_kurtosis: own.excess_kurtosis,
            normal_low: kurtosis[0],
            normal_high: kurtosis[1],
        },
    }
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
