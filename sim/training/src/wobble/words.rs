//! A measured wobble in sentences.

use super::{Change, Figure, LEAST_WAY_M, Measured};

/// Weight of his own figure above which the default is not worth a word.
const NEARLY_ALL: f64 = 0.95;

fn side(m: f64) -> String {
    match m {
        m if m.abs() < 0.005 => "0.00 m".to_string(),
        m if m > 0.0 => format!("{m:.2} m left"),
        m => format!("{:.2} m right", -m),
    }
}

fn where_it_runs(m: f64) -> String {
    if m.abs() < 0.005 {
        "on the line".to_string()
    } else {
        format!("{} of the line", side(m))
    }
}

fn taken(f: &Figure, tell: &dyn Fn(f64) -> String) -> String {
    if f.weight > NEARLY_ALL {
        String::new()
    } else {
        format!(
            "; {} is taken, {:.0} % of it his own and the rest the default's {}",
            tell(f.taken),
            100.0 * f.weight,
            tell(f.default)
        )
    }
}

/// Whose figures they are, the figures, and what they do to the odds.
pub fn sentences(m: &Measured, change: Option<&Change>) -> Vec<String> {
    let from = match m.attempts {
        1 => "1 attempt".to_string(),
        n => format!("{n} attempts"),
    };
    let mut list = Vec::new();
    let Some(f) = &m.figures else {
        list.push(format!(
            "{from} of this pupil show{} {:.0} m of way; below {LEAST_WAY_M:.0} m (ours) the default wobble is used.",
            if m.attempts == 1 { "s" } else { "" },
            m.way_m + 0.0 // the sum of nothing has a minus
        ));
        return list;
    };
    list.push(format!(
        "Measured from {from} of this pupil, {:.0} m of way, straights and turns together: as sure as {:.0} independent readings.",
        m.way_m, m.independent
    ));
    let metres = |x: f64| format!("{x:.2} m");
    let whole = |x: f64| format!("{x:.0} m");
    list.push(format!(
        "His nose wheel runs {} on the whole (95 %: {} to {}){}.",
        where_it_runs(f.offset_m.own),
        side(f.offset_m.low),
        side(f.offset_m.high),
        taken(&f.offset_m, &side)
    ));
    list.push(format!(
        "It wanders about that by {} (95 %: {} to {}){}.",
        metres(f.spread_m.own),
        metres(f.spread_m.low),
        metres(f.spread_m.high),
        taken(&f.spread_m, &metres)
    ));
    list.push(format!(
        "Its wandering is correlated over {} (95 %: {} to {}){}.",
        whole(f.correlation_m.own),
        whole(f.correlation_m.low),
        whole(f.correlation_m.high),
        taken(&f.correlation_m, &whole)
    ));
    if f.tail.heavy() {
        list.push(format!(
            "Large deviations come more often than the model has it (excess kurtosis {:.1}; without a heavy tail {:.1} to {:.1}): the odds \
             of things far from the way are higher than said.",
            f.tail.excess_kurtosis, f.tail.normal_low, f.tail.normal_high
        ));
    }
    if let Some(t) = &f.turns {
        let where_to = if t.inside_m >= 0.0 { "inside" } else { "outside" };
        list.push(format!(
            "In turns ({:.0} m) he is {:.2} m to the {where_to} of the line on the whole.",
            t.way_m,
            t.inside_m.abs()
        ));
    }
    if let Some(c) = change {
        list.push(format!(
            "A part touches something with the default wobble: {}; with his: {}.",
            c.by_default.words(),
            c.by_own.words()
        ));
        if let Some([least, most]) = &c.between {
            list.push(format!(
                "With his offset and spread at the ends of what is likely: from {} to {}.",
                least.words(),
                most.words()
            ));
        }
    }
    list
}
