//! The answer as CSV (RFC 4180), one line for each stand, runway and aeroplane.

use super::{Broken, Change, Cost};
use crate::clean::{self, csv_field};
use toeline_model::units::round_to;

/// What a change is called in JSON and CSV.
pub(super) fn word(change: Change) -> &'static str {
    match change {
        Change::NeverHad => "no_way_before",
        Change::Same => "same",
        Change::Dearer => "dearer",
        Change::Lost => "lost",
    }
}

/// Seconds of a price.
pub(super) fn seconds(ms: u64) -> f64 {
    round_to(ms as f64 / 1000.0, 3)
}

/// Writes the rows, with a header. Prices in seconds, lengths in metres; empty where there is no way.
pub fn csv(broken: &Broken) -> String {
    let mut text = "aircraft,stand,stand_feature,runway,change,before_s,after_s,before_m,after_m,by\r\n".to_string();
    for r in &broken.rows {
        let pair = |f: &dyn Fn(&Cost) -> String| [&r.before, &r.after].map(|c| c.as_ref().map_or(String::new(), f));
        let [before_s, after_s] = pair(&|c| format!("{:.3}", seconds(c.cost_ms)));
        let [before_m, after_m] = pair(&|c| format!("{:.3}", c.length_m));
        let by = r.after.as_ref().map_or(String::new(), |c| c.by.join("; "));
        let cells = [
            cell(&r.aircraft),
            cell(&r.stand),
            cell(&r.feature),
            cell(&r.runway),
            word(r.change()).to_string(),
            before_s,
            after_s,
            before_m,
            after_m,
            if by.is_empty() { by } else { cell(&by) },
        ];
        text += &cells.join(",");
        text += "\r\n";
    }
    text
}

/// A cell of words from a map, made safe.
fn cell(words: &str) -> String {
    csv_field(&clean::sentence(words))
}
