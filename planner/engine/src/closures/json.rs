//! The answer as JSON; `docs/closures.schema.json` says what may stand in it.

use super::csv::{seconds, word};
use super::{Broken, Change, Cost, Row};
use crate::briefing::CAUTION;
use crate::clean;
use serde_json::{Value, json};

/// Version of the form, the value of its key `toeline_closing`.
pub const FORMAT: u32 = 1;

fn cost(c: &Cost) -> Value {
    json!({
        "cost_s": seconds(c.cost_ms),
        "length_m": c.length_m,
        "by": c.by.iter().map(|n| clean::name(n)).collect::<Vec<_>>(),
    })
}

fn row(r: &Row) -> Value {
    json!({
        "aircraft": r.aircraft,
        "stand": clean::name(&r.stand),
        "stand_feature": clean::name(&r.feature),
        "runway": clean::name(&r.runway),
        "change": word(r.change()),
        "before": r.before.as_ref().map(cost),
        "after": r.after.as_ref().map(cost),
    })
}

/// Writes the answer as JSON, with a line end.
pub fn json(broken: &Broken) -> String {
    let count = |change| broken.of(change).count();
    let mut document = json!({
        "toeline_closing": FORMAT,
        "made_by": format!("toeline {}", env!("CARGO_PKG_VERSION")),
        "caution": CAUTION,
        "scope": super::text::SCOPE,
        "field": broken.field.as_deref().map(clean::name),
        "date": broken.date.to_string(),
        "time_utc": broken.time_utc.map(|t| t.to_string()),
        "closed": broken.closed.iter().map(|(name, features)| json!({
            "name": clean::name(name),
            "features": features.iter().map(|f| clean::name(f)).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "also_closed": broken.also_closed.iter().map(|w| clean::sentence(w)).collect::<Vec<_>>(),
        "notes": broken.notes.iter().map(|w| clean::sentence(w)).collect::<Vec<_>>(),
        "aircraft": broken.aircraft,
        "counts": {
            "lost": count(Change::Lost),
            "dearer": count(Change::Dearer),
            "same": count(Change::Same),
            "no_way_before": count(Change::NeverHad),
            "places_lost": broken.places.len(),
        },
        "ways": broken.rows.iter().map(row).collect::<Vec<_>>(),
        "places_lost": broken.places.iter().map(|p| json!({
            "aircraft": p.aircraft,
            "place": clean::name(&p.place),
            "feature": clean::name(&p.feature),
        })).collect::<Vec<_>>(),
    });
    if !broken.notams.is_empty() {
        document["notams"] = json!(broken.notams);
    }
    if let Some(credit) = &broken.attribution {
        document["attribution"] = json!(credit);
    }
    // Plain data with text keys and finite numbers: writing it cannot fail.
    let mut text = serde_json::to_string_pretty(&document).unwrap_or_default();
    text.push('\n');
    text
}
