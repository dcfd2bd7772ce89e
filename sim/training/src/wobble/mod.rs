//! A pupil's own wobble, measured from his attempts: what the planner's odds take in place of the default.
//!
//! | file | what it holds |
//! |---|---|
//! | `way` | the driven path that an attempt was to follow |
//! | `stretches` | how far the nose wheel was off it, metre by metre |
//! | `fit` | mean, spread and correlation length of such stretches |
//! | `drawn` | how sure they are: the same measured on drawn pupils |
//! | `blend` | with little way the default counts, with much way the pupil |
//! | `change` | what it does to the odds of a plan |
//! | `words` | all that in sentences |
//!
//! Only the stored track is read, so that attempts of any physics version count. `docs/pupils.md` tells how and why.

mod blend;
mod change;
mod drawn;
mod fit;
mod stretches;
mod way;
mod words;

pub use change::Change;
pub use fit::{Fit, autocovariance, fit};
pub use stretches::{SETTLES_M, Stretch, stretches};
pub use way::{Ways, WhichWay};
pub use words::sentences;

use crate::attempt::Attempt;
use serde::Serialize;
use toeline_engine::odds::Wobble;

/// Way below which the default counts alone, metres. Ours: less than three stretches that know nothing of each other.
pub const LEAST_WAY_M: f64 = 150.0;
/// Most way that counts, metres; the newest is taken. Ours: a learner changes.
pub const MOST_WAY_M: f64 = 5000.0;

/// One measured figure, in metres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// As his attempts show it.
    pub own: f64,
    /// Lower end of its 95 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The default's.
    pub default: f64,
    /// What the odds take: the two blended by what is uncertain in each.
    pub taken: f64,
    /// Lower end of the 95 % interval of that.
    pub taken_low: f64,
    /// Upper end.
    pub taken_high: f64,
    /// Share of his own figure in it, 0 to 1.
    pub weight: f64,
}

/// Whether the tail is heavier than the model's.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Tail {
    /// Excess kurtosis of his deviations; 0 for the model's, the normal distribution.
    pub excess_kurtosis: f64,
    /// What 95 % of pupils without a heavy tail show on as much way: lower end.
    pub normal_low: f64,
    /// Upper end.
    pub normal_high: f64,
}

impl Tail {
    /// Whether it is heavier than chance would have it.
    pub fn heavy(&self) -> bool {
        self.excess_kurtosis > self.normal_high
    }
}

/// How he drives turns, beside the rest: told, not taken apart in the odds.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Turns {
    /// Way on arcs, metres.
    pub way_m: f64,
    /// Mean distance toward the inside of the turn, metres; negative runs wide.
    pub inside_m: f64,
    /// Root of the mean square off his own mean on arcs, metres.
    pub spread_m: f64,
    /// The same on straights, metres.
    pub straight_spread_m: f64,
}

/// A pupil's wobble with all that is known about it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// What the odds take.
    pub wobble: Wobble,
    /// Attempts that count.
    pub attempts: usize,
    /// Way that counts, metres.
    pub way_m: f64,
    /// Stretches of it that know nothing of each other: as many independent readings have the same uncertainty of the mean.
    pub independent: f64,
    /// The figures; `None` with too little way, where the default counts alone.
    pub figures: Option<Figures>,
    /// What was left out, by the number of the attempt in the list, with the reason.
    pub left_out: Vec<(usize, String)>,
}

/// What was measured.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Figures {
    /// Steady offset, left positive.
    pub offset_m: Figure,
    /// Spread of the wandering about it.
    pub spread_m: Figure,
    /// Correlation length of that along the way.
    pub correlation_m: Figure,
    /// The tail.
    pub tail: Tail,
    /// Turns; `None` without any.
    pub turns: Option<Turns>,
}

/// Measures attempts, oldest first. `map` gives the text of a map file that a job names; `default` is the wobble that
/// counts for what they do not show.
pub fn measure(attempts: &[Attempt], default: Wobble, map: &mut dyn FnMut(&str) -> Result<String, String>) -> Measured {
    let mut measured = measure_newest(&mut attempts.iter().rev().cloned(), default, map);
    // Told by the place in the list as it came.
    for (k, _) in &mut measured.left_out {
        *k = attempts.len() - 1 - *k;
    }
    let older = 0..attempts.len() - measured.attempts - measured.left_out.len();
    measured.left_out.reverse();
    measured.left_out.splice(0..0, older.map(|k| (k, too_old())));
    measured
}

/// Why an attempt that was not looked at does not count.
pub fn too_old() -> String {
    format!("older than the last {MOST_WAY_M:.0} m of way")
}

/// The same of attempts that come newest first: no more are asked for than count. What was left out is told by its place in
/// that order.
pub fn measure_newest(
    attempts: &mut dyn Iterator<Item = Attempt>,
    default: Wobble,
    map: &mut dyn FnMut(&str) -> Result<String, String>,
) -> Measured {
    let mut ways = Ways::default();
    let mut left_out = Vec::new();
    let mut kept: Vec<Vec<Stretch>> = Vec::new();
    let (mut way_m, mut k) = (0.0, 0);
    while way_m < MOST_WAY_M {
        let Some(attempt) = attempts.next() else { break };
        let found = ways.of(&attempt, map);
        match found.and_then(|w| stretches(&attempt, &w.path, w.from_m)) {
            Ok(list) => {
                way_m += list.iter().map(Stretch::way_m).sum::<f64>();
                kept.push(list);
            }
            Err(why) => left_out.push((k, why)),
        }
        k += 1;
    }
    kept.reverse();
    let count = kept.len();
    let list: Vec<Stretch> = kept.into_iter().flatten().collect();
    Measured {
        attempts: count,
        left_out,
        ..of_stretches(&list, default)
    }
}

/// Measures stretches that are already there.
pub fn of_stretches(list: &[Stretch], default: Wobble) -> Measured {
    let way_m = list.iter().map(Stretch::way_m).sum();
    let mut measured = Measured {
        wobble: default,
        attempts: list.len(),
        way_m,
        independent: 0.0,
        figures: None,
        left_out: Vec::new(),
    };
    if way_m < LEAST_WAY_M {
        return measured;
    }
    let Some(own) = fit(list) else {
        return measured;
    };
    let sure = drawn::sureness(list, &own);
    let figures = Figures {
        tail: sure.tail,
        turns: stretches::turns(list, own.offset_m),
        ..blend::blend(&own, &sure, &default)
    };
    measured.independent = own.independent;
    measured.wobble = blend::wobble(&figures);
    measured.figures = Some(figures);
    measured
}
