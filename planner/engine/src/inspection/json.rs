//! An inspection as JSON; `docs/inspect.schema.json` says what may stand in it.

use super::lacks::title;
use super::{Content, Finding, Inspection, Lack, Part, PartGap, Topic};
use crate::briefing::CAUTION;
use crate::clean;
use crate::notice::NoticeKind;
use serde::Serialize;
use toeline_model::units::round_to;
use toeline_model::{LonLat, Xy};

/// Version of the form, the value of its key `toeline_inspect`. 1 was the airfield as read, without numbers.
pub const FORMAT: u32 = 2;

#[derive(Serialize)]
struct Document<'a> {
    toeline_inspect: u32,
    made_by: String,
    caution: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    attribution: Option<&'a str>,
    field: FieldOut,
    frame: Frame,
    content: &'a [Content],
    parts: Vec<PartOut>,
    lacks: Vec<LackOut<'a>>,
    findings: Vec<FindingOut<'a>>,
    counts: Counts,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    notams: &'a [crate::notices::Shown],
}

#[derive(Serialize)]
struct FieldOut {
    name: Option<String>,
    title: String,
    invented: bool,
    elevation_m: Option<f64>,
    accuracy_m: f64,
    accuracy_stated: bool,
}

#[derive(Serialize)]
struct Frame {
    kind: &'static str,
    axes: &'static str,
    origin_lon_deg: f64,
    origin_lat_deg: f64,
}

#[derive(Serialize)]
struct PartOut {
    number: usize,
    runways: Vec<String>,
    lanes: usize,
    stands: Vec<String>,
    length_m: f64,
    by_closure: bool,
    gap: Option<PartGap>,
}

#[derive(Serialize)]
struct LackOut<'a> {
    number: &'a str,
    what: String,
    known: usize,
    of: usize,
    follows: &'a str,
}

#[derive(Serialize)]
struct FindingOut<'a> {
    number: usize,
    kind: NoticeKind,
    topic: Topic,
    feature: &'a str,
    at_xy_m: Option<Xy>,
    at_lon_lat_deg: Option<LonLat>,
    between_xy_m: Option<[Xy; 2]>,
    size_m: Option<f64>,
    assumed: Option<&'a str>,
    text: &'a str,
    mend: Option<&'a str>,
}

#[derive(Serialize)]
struct Counts {
    doubt: usize,
    repair: usize,
    left_out: usize,
    lacks: usize,
}

/// To the millimetre.
fn mm(p: Xy) -> Xy {
    Xy {
        x: round_to(p.x, 3),
        y: round_to(p.y, 3),
    }
}

fn finding(f: &Finding) -> FindingOut<'_> {
    FindingOut {
        number: f.number,
        kind: f.kind,
        topic: f.topic,
        feature: &f.feature,
        at_xy_m: f.at.map(mm),
        at_lon_lat_deg: f.place,
        between_xy_m: f.between.map(|b| b.map(mm)),
        size_m: f.size_m.map(|m| round_to(m, 3)),
        assumed: f.assumed.as_deref(),
        text: &f.text,
        mend: f.mend.as_deref(),
    }
}

fn part(p: &Part) -> PartOut {
    let names = |list: &[String]| list.iter().map(|n| clean::name(n)).collect();
    PartOut {
        number: p.number,
        runways: names(&p.runways),
        lanes: p.lanes.len(),
        stands: names(&p.stands),
        length_m: round_to(p.length_m, 3),
        by_closure: p.by_closure,
        gap: p.gap.as_ref().map(|g| PartGap {
            distance_m: round_to(g.distance_m, 3),
            to_part: g.to_part,
            between: g.between.clone().map(|b| clean::name(&b)),
            at_xy_m: g.at_xy_m.map(mm),
        }),
    }
}

fn lack(l: &Lack) -> LackOut<'_> {
    LackOut {
        number: &l.number,
        what: l.said(),
        known: l.known,
        of: l.of,
        follows: l.follows,
    }
}

/// Writes an inspection as JSON, with a line end.
pub fn json(inspection: &Inspection) -> String {
    let field = &inspection.field;
    let document = Document {
        toeline_inspect: FORMAT,
        made_by: format!("toeline {}", env!("CARGO_PKG_VERSION")),
        caution: CAUTION,
        attribution: field.attribution.as_deref(),
        field: FieldOut {
            name: field.name.as_deref().map(clean::name),
            title: title(field),
            invented: field.invented,
            elevation_m: field.elevation_m,
            accuracy_m: field.accuracy_m,
            accuracy_stated: field.accuracy_stated,
        },
        frame: Frame {
            kind: "azimuthal equidistant about the origin, from the geodesic on WGS 84",
            axes: "x metres east, y metres north",
            origin_lon_deg: field.origin.lon_deg,
            origin_lat_deg: field.origin.lat_deg,
        },
        content: &inspection.content,
        parts: inspection.parts.iter().map(part).collect(),
        lacks: inspection.lacks.iter().map(lack).collect(),
        findings: inspection.findings.iter().map(finding).collect(),
        counts: Counts {
            doubt: inspection.count(NoticeKind::Doubt),
            repair: inspection.count(NoticeKind::Repair),
            left_out: inspection.count(NoticeKind::LeftOut),
            lacks: inspection.lacks.len(),
        },
        notams: &inspection.notams,
    };
    // Plain data with text keys and finite numbers: writing it cannot fail.
    let mut text = serde_json::to_string_pretty(&document).unwrap_or_default();
    text.push('\n');
    text
}
