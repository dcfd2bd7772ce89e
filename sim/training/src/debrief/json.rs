//! A debrief as JSON; its form is `docs/debrief.schema.json`. SI units, radians nowhere: headings are degrees true.

use super::Debrief;
use crate::measures::Judged;
use serde_json::{Value, json};
use toeline_engine::briefing::CAUTION;
use toeline_model::units::round_to;

fn one(d: &Debrief) -> Value {
    let next = d.work_on();
    let good: Vec<&str> = d.judged(Judged::Good).map(|m| m.key).collect();
    let also: Vec<&str> = d.judged(Judged::WorkOn).skip(1).map(|m| m.key).collect();
    let column = |of: &dyn Fn(usize) -> Option<f64>, decimals: usize| -> Vec<Value> {
        (0..d.series.samples.len())
            .map(|k| of(k).map_or(Value::Null, |v| json!(round_to(v, decimals))))
            .collect()
    };
    let s = &d.series.samples;
    json!({
        "attempt": d.name,
        "aircraft": d.aircraft,
        "time_s": round_to(d.time_s, 3),
        "rolled_m": round_to(d.rolled_m, 2),
        "left_out": d.left_out,
        "good": good,
        "work_on": next.map(|m| m.key),
        "practise": next.map(|m| m.practise),
        "practise_exercise": next.and_then(|m| m.exercise),
        "also": also,
        "measures": d.measures,
        "series": {
            "time_s": column(&|k| Some(s[k].time_s), 3),
            "way_m": column(&|k| Some(s[k].way_m), 2),
            "x_m": column(&|k| Some(s[k].nose.x), 3),
            "y_m": column(&|k| Some(s[k].nose.y), 3),
            "heading_deg": column(&|k| Some(s[k].heading_rad.bearing().deg()), 2),
            "speed_mps": column(&|k| Some(s[k].speed_mps), 3),
            "offset_m": column(&|k| s[k].offset_m, 3),
            "gap_m": column(&|k| d.gaps.get(k).copied().flatten(), 2),
            "rudder": column(&|k| Some(s[k].controls.rudder), 3),
            "left_brake": column(&|k| Some(s[k].controls.brakes()[0]), 3),
            "right_brake": column(&|k| Some(s[k].controls.brakes()[1]), 3),
            "throttle": column(&|k| Some(s[k].controls.throttle), 3),
            "heading_indicator_deg": column(&|k| Some(s[k].felt?.headings?.indicator_rad.to_degrees()), 1),
            "compass_deg": column(&|k| Some(s[k].felt?.headings?.compass_rad.to_degrees()), 1),
        },
    })
}

/// Writes a debrief, and those it is compared with, as JSON.
pub fn json(d: &Debrief, others: &[Debrief]) -> String {
    let mut all = json!({
        "toeline_debrief": 1,
        "made_by": format!("toeline {}", env!("CARGO_PKG_VERSION")),
        "caution": CAUTION,
        "drive": one(d),
        "against": others.iter().map(one).collect::<Vec<_>>(),
    });
    if let Some(credit) = d.attribution() {
        all["attribution"] = json!(credit);
    }
    if let Some(progress) = &d.progress {
        all["progress"] = json!(progress);
    }
    // Strings and finite numbers always serialise.
    serde_json::to_string_pretty(&all).unwrap_or_default() + "\n"
}
