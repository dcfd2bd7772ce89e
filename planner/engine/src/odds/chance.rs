//! A count of drives as people read it: a share, its interval, and the words.

use serde::{Deserialize, Serialize};
use toeline_model::math;
use toeline_model::units::round_to;

/// Odds smaller than this are not printed as a figure: the model cannot say them.
pub const LEAST_SAID: f64 = 1e-4;
/// Chance that the interval misses on either side.
const MISSED: f64 = 0.025;

/// How many of the simulated drives touched, and what follows.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Chance {
    /// Drives.
    pub drives: u32,
    /// Drives in which something touched.
    pub touched: u32,
    /// Lower end of the 95 % interval of Clopper and Pearson for the model's odds, 0 to 1.
    pub low: f64,
    /// Upper end, 0 to 1.
    pub high: f64,
    /// What the odds cannot exceed by calculation, 0 to 1; `None` where none was made.
    pub at_most: Option<f64>,
}

impl Chance {
    /// From counts.
    pub fn of(drives: u32, touched: u32, at_most: Option<f64>) -> Chance {
        let (low, high) = interval(drives, touched);
        // Rounded to the safe side, so that the last digits of one machine's logarithm are not printed.
        let (down, up) = (|p: f64| (p * 1e9).floor() / 1e9, |p: f64| (p * 1e9).ceil() / 1e9);
        Chance {
            drives,
            touched,
            low: down(low),
            high: up(high),
            at_most: at_most.map(up),
        }
    }

    /// Share of the drives that touched, 0 to 1.
    pub fn share(&self) -> f64 {
        f64::from(self.touched) / f64::from(self.drives.max(1))
    }

    /// The least figure that the odds are known to stay below, 0 to 1.
    pub fn surely_below(&self) -> f64 {
        self.at_most.unwrap_or(1.0).min(self.high)
    }

    /// "about 1 in 400 drives (95 %: 1 in 330 to 1 in 490)".
    pub fn words(&self) -> String {
        if self.surely_below() < LEAST_SAID || self.touched > 0 && self.share() < LEAST_SAID {
            return "below what this model can say (1 in 10 000)".to_string();
        }
        if self.touched == 0 {
            return format!("fewer than {} drives", one_in(self.surely_below()));
        }
        let all = if self.touched == self.drives {
            "every simulated drive".to_string()
        } else {
            format!("about {} drives", one_in(self.share()))
        };
        format!("{all} (95 %: {} to {})", one_in(self.high), one_in(self.low))
    }
}

/// "1 in 400", to two figures; from one in five on "23 in 100", to the whole.
fn one_in(p: f64) -> String {
    if p <= 0.0 {
        return "none".to_string();
    }
    if p >= 0.2 {
        return format!("{:.0} in 100", round_to(p * 100.0, 0));
    }
    let n = 1.0 / p;
    let step = math::pow(10.0, (n.max(1.0).log10() + 1e-9).floor() - 1.0).max(1.0);
    let whole = format!("{:.0}", (n / step).round() * step);
    // A thin space of the international form: 10 000.
    let cut = whole.len().saturating_sub(3);
    match whole.len() {
        0..=4 => format!("1 in {whole}"),
        _ => format!("1 in {} {}", &whole[..cut], &whole[cut..]),
    }
}

/// The 95 % interval of Clopper and Pearson (1934) for a share: it holds the true one at least that often, whatever it is.
pub fn interval(drives: u32, touched: u32) -> (f64, f64) {
    let (n, k) = (f64::from(drives), f64::from(touched));
    if drives == 0 {
        return (0.0, 1.0);
    }
    let low = if touched == 0 {
        0.0
    } else {
        solve(|p| at_least(p, k, n) - MISSED)
    };
    let high = if touched >= drives {
        1.0
    } else {
        solve(|p| at_least(p, k + 1.0, n) - (1.0 - MISSED))
    };
    (low, high)
}

/// Chance of at least `k` of `n`, each with `p`: the regularised incomplete beta function I_p(k, n − k + 1).
fn at_least(p: f64, k: f64, n: f64) -> f64 {
    incomplete_beta(p, k, n - k + 1.0)
}

/// Where a rising function on 0..1 passes 0.
fn solve(f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let p = (low + high) / 2.0;
        if f(p) < 0.0 {
            low = p;
        } else {
            high = p;
        }
    }
    (low + high) / 2.0
}

/// I_x(a, b) by its continued fraction (Abramowitz and Stegun 26.5.8, from memory; held against scipy in the tests).
fn incomplete_beta(x: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    // The fraction runs fast below the mean; beyond it the other tail is taken.
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - incomplete_beta(1.0 - x, b, a);
    }
    let ln_front = math::ln_gamma(a + b) - math::ln_gamma(a) - math::ln_gamma(b) + a * math::ln(x) + b * (-x).ln_1p();
    let tiny = 1e-300;
    let (mut c, mut d) = (1.0, 1.0 - (a + b) * x / (a + 1.0));
    d = 1.0 / if d.abs() < tiny { tiny } else { d };
    let mut value = d;
    for m in 1..=10_000 {
        let m = f64::from(m);
        for term in [
            m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0)),
        ] {
            d = 1.0 + term * d;
            d = 1.0 / if d.abs() < tiny { tiny } else { d };
            c = 1.0 + term / c;
            c = if c.abs() < tiny { tiny } else { c };
            value *= c * d;
        }
        if (c * d - 1.0).abs() < 1e-14 {
            break;
        }
    }
    math::exp(ln_front) * value / a
}
