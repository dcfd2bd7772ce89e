//! The answers as JSON; `docs/fit.schema.json` says what may stand in it.

use super::{Fit, Fits, Largest, MOST_SPAN_M, Reason};
use crate::briefing::CAUTION;
use crate::clean;
use serde::Serialize;
use toeline_model::Xy;
use toeline_model::units::{gap_floor, round_to};

/// Version of the form, the value of its key `toeline_fit`.
pub const FORMAT: u32 = 1;

#[derive(Serialize)]
struct Document<'a> {
    toeline_fit: u32,
    made_by: String,
    caution: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    attribution: Option<String>,
    field: FieldOut,
    asked: AskedOut,
    counts: Counts,
    aircraft: Vec<AircraftOut>,
    runways: Vec<String>,
    unnamed_runways: Vec<String>,
    stands: Vec<StandOut>,
    cells: Vec<CellOut>,
    spans: Vec<SpansOut>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    notams: &'a [crate::notices::Shown],
}

#[derive(Serialize)]
struct FieldOut {
    name: Option<String>,
    invented: bool,
    origin_lon_deg: f64,
    origin_lat_deg: f64,
}

/// What was asked, as it is written.
#[derive(Serialize)]
pub(super) struct AskedOut {
    date: String,
    time_utc: Option<String>,
    margin_m: f64,
    vertical_margin_m: f64,
    accuracy_m: f64,
    accuracy_from: String,
    rule: crate::request::MarginRule,
}

/// How many answers are of each kind.
#[derive(Serialize)]
pub(super) struct Counts {
    pub(super) fits: usize,
    pub(super) not_known: usize,
    pub(super) does_not: usize,
}

impl Counts {
    pub(super) fn of(answers: impl IntoIterator<Item = Fits>) -> Counts {
        let mut counts = Counts {
            fits: 0,
            not_known: 0,
            does_not: 0,
        };
        for fits in answers {
            *match fits {
                Fits::Fits => &mut counts.fits,
                Fits::NotKnown => &mut counts.not_known,
                Fits::DoesNot => &mut counts.does_not,
            } += 1;
        }
        counts
    }
}

#[derive(Serialize)]
struct AircraftOut {
    id: String,
    name: String,
    span_m: f64,
}

#[derive(Serialize)]
struct StandOut {
    feature: String,
    name: String,
}

#[derive(Serialize)]
struct ReasonOut {
    kind: super::ReasonKind,
    feature: String,
    name: String,
    value_m: Option<f64>,
    limit_m: Option<f64>,
    at_xy_m: Option<Xy>,
    text: String,
}

#[derive(Serialize)]
struct CellOut {
    aircraft: usize,
    stand: usize,
    runway: usize,
    fits: Fits,
    reasons: Vec<ReasonOut>,
    more_reasons: usize,
    least_gap_m: Option<f64>,
    way_m: Option<f64>,
}

#[derive(Serialize)]
struct LargestOut {
    fits_m: Option<f64>,
    perhaps_m: Option<f64>,
    /// Whether the widest span tried still fits, so that the figure is "at least".
    at_least: bool,
    tried_from_m: Option<f64>,
    limited_by: Option<ReasonOut>,
}

#[derive(Serialize)]
struct SpansOut {
    aircraft: usize,
    segments: Vec<SegmentOut>,
    stands: Vec<StandSpanOut>,
}

#[derive(Serialize)]
struct SegmentOut {
    segment: usize,
    feature: String,
    name: String,
    line_xy_m: Vec<Xy>,
    largest: LargestOut,
}

#[derive(Serialize)]
struct StandSpanOut {
    stand: usize,
    at_xy_m: Option<Xy>,
    largest: LargestOut,
}

pub(super) fn asked(fit: &Fit) -> AskedOut {
    let asked = &fit.asked;
    AskedOut {
        date: asked.date.to_string(),
        time_utc: asked.time_utc.map(|t| t.to_string()),
        margin_m: asked.margin_m,
        vertical_margin_m: asked.vertical_margin_m,
        accuracy_m: fit.accuracy_m,
        accuracy_from: fit.accuracy_from.clone(),
        rule: asked.rule,
    }
}

/// The word for an answer in data.
pub(super) fn word(fits: Fits) -> &'static str {
    match fits {
        Fits::Fits => "fits",
        Fits::NotKnown => "not_known",
        Fits::DoesNot => "does_not",
    }
}

/// To the millimetre.
fn mm(p: Xy) -> Xy {
    Xy {
        x: round_to(p.x, 3),
        y: round_to(p.y, 3),
    }
}

fn reason(r: &Reason) -> ReasonOut {
    ReasonOut {
        kind: r.kind,
        feature: r.feature.clone(),
        name: r.name.clone(),
        value_m: r.value_m.map(|v| round_to(v, 3)),
        limit_m: r.limit_m.map(|v| round_to(v, 3)),
        at_xy_m: r.at.filter(|p| p.x.is_finite() && p.y.is_finite()).map(mm),
        text: r.text.clone(),
    }
}

fn largest(l: &Result<Largest, Reason>) -> LargestOut {
    match l {
        Ok(l) => LargestOut {
            fits_m: l.fits_m.map(|v| round_to(v, 3)),
            perhaps_m: l.perhaps_m.map(|v| round_to(v, 3)),
            at_least: l.fits_m == Some(MOST_SPAN_M),
            tried_from_m: Some(l.tried_from_m),
            limited_by: l.limited_by.as_ref().map(reason),
        },
        Err(r) => LargestOut {
            fits_m: None,
            perhaps_m: None,
            at_least: false,
            tried_from_m: None,
            limited_by: Some(reason(r)),
        },
    }
}

/// Writes the answers as JSON, with a line end.
pub fn json(fit: &Fit) -> String {
    let document = Document {
        toeline_fit: FORMAT,
        notams: &fit.notams,
        made_by: format!("toeline {}", env!("CARGO_PKG_VERSION")),
        caution: CAUTION,
        attribution: fit.field.attribution.clone(),
        field: FieldOut {
            name: fit.field.name.as_deref().map(clean::name),
            invented: fit.field.invented,
            origin_lon_deg: fit.field.origin.lon_deg,
            origin_lat_deg: fit.field.origin.lat_deg,
        },
        asked: asked(fit),
        counts: Counts::of(fit.cells.iter().map(|c| c.fits)),
        aircraft: fit
            .asked
            .aircraft
            .iter()
            .map(|a| AircraftOut {
                id: clean::name(&a.id),
                name: clean::name(&a.name),
                span_m: a.wing.span_m,
            })
            .collect(),
        runways: fit.runways.iter().map(|r| clean::name(r)).collect(),
        unnamed_runways: fit.unnamed_runways.iter().map(|r| clean::name(r)).collect(),
        stands: fit
            .stands
            .iter()
            .map(|s| StandOut {
                feature: clean::name(&fit.field.stands[s.stand].id),
                name: clean::name(&s.name),
            })
            .collect(),
        cells: fit
            .cells
            .iter()
            .map(|c| CellOut {
                aircraft: c.aircraft,
                stand: c.stand,
                runway: c.runway,
                fits: c.fits,
                reasons: c.reasons.iter().map(reason).collect(),
                more_reasons: c.more,
                least_gap_m: c.least_gap_m.map(gap_floor),
                way_m: c.way_m,
            })
            .collect(),
        spans: fit
            .spans
            .iter()
            .enumerate()
            .map(|(aircraft, s)| SpansOut {
                aircraft,
                segments: s
                    .segments
                    .iter()
                    .map(|s| SegmentOut {
                        segment: s.segment,
                        feature: s.feature.clone(),
                        name: s.name.clone(),
                        line_xy_m: s.line.iter().map(|p| mm(*p)).collect(),
                        largest: largest(&s.largest),
                    })
                    .collect(),
                stands: s
                    .stands
                    .iter()
                    .map(|s| StandSpanOut {
                        stand: s.stand,
                        at_xy_m: s.at.map(mm),
                        largest: largest(&s.largest),
                    })
                    .collect(),
            })
            .collect(),
    };
    // Plain data with text keys and finite numbers: writing it cannot fail.
    let mut text = serde_json::to_string_pretty(&document).unwrap_or_default();
    text.push('\n');
    text
}
