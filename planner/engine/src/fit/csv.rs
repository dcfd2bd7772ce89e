//! The answers as CSV after RFC 4180: a header line, CRLF, quotes where needed. UTF-8.

use super::json::word;
use super::{Fit, Reason};
use crate::clean::{self, csv_field as field};
use toeline_model::units::gap_floor;

fn line(out: &mut String, fields: &[String]) {
    out.push_str(&fields.join(","));
    out.push_str("\r\n");
}

fn number(value: Option<f64>, decimals: usize) -> String {
    value.map_or(String::new(), |v| format!("{v:.decimals$}"))
}

fn reason_fields(r: Option<&Reason>) -> [String; 4] {
    [
        field(r.map_or("", |r| &r.feature)),
        field(r.map_or("", |r| &r.text)),
        number(r.and_then(|r| r.value_m), 2),
        number(r.and_then(|r| r.limit_m), 2),
    ]
}

/// The table as CSV, and the largest spans as a second one.
pub fn csv(fit: &Fit) -> (String, String) {
    let mut table = String::new();
    let head = |names: &str| names.split(' ').map(str::to_string).collect::<Vec<_>>();
    line(
        &mut table,
        &head("aircraft span_m stand stand_feature runway fits blocked_by why value_m limit_m least_gap_m way_m"),
    );
    for c in &fit.cells {
        let (a, row) = (&fit.asked.aircraft[c.aircraft], &fit.stands[c.stand]);
        let mut fields = vec![
            field(&clean::name(&a.id)),
            number(Some(a.wing.span_m), 2),
            field(&clean::name(&row.name)),
            field(&clean::name(&fit.field.stands[row.stand].id)),
            field(&clean::name(&fit.runways[c.runway])),
            word(c.fits).to_string(),
        ];
        fields.extend(reason_fields(c.reasons.first()));
        fields.extend([number(c.least_gap_m.map(gap_floor), 1), number(c.way_m, 1)]);
        line(&mut table, &fields);
    }
    let mut spans = String::new();
    line(
        &mut spans,
        &head("aircraft what segment feature name fits_m perhaps_m limited_by why value_m limit_m"),
    );
    for (a, s) in fit.asked.aircraft.iter().zip(&fit.spans) {
        let segments = s.segments.iter().map(|s| {
            (
                "segment",
                s.segment.to_string(),
                s.feature.clone(),
                s.name.clone(),
                &s.largest,
            )
        });
        let stands = s.stands.iter().map(|s| {
            let row = &fit.stands[s.stand];
            let feature = clean::name(&fit.field.stands[row.stand].id);
            ("stand", String::new(), feature, clean::name(&row.name), &s.largest)
        });
        for (what, segment, feature, name, largest) in segments.chain(stands) {
            let (fits, perhaps, reason) = match largest {
                Ok(l) => (l.fits_m, l.perhaps_m, l.limited_by.as_ref()),
                Err(r) => (None, None, Some(r)),
            };
            let mut fields = vec![
                field(&clean::name(&a.id)),
                what.to_string(),
                segment,
                field(&feature),
                field(&name),
                number(fits, 2),
                number(perhaps, 2),
            ];
            fields.extend(reason_fields(reason));
            line(&mut spans, &fields);
        }
    }
    (table, spans)
}
