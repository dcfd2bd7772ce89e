//! The way beside the published design rows: which publication, which class, which rows it does not meet and by how much.

use super::{clean, number};
use crate::clearance::{Clearance, Compared, Row, RowFound, Verdict};
use crate::route::Route;

/// Rows that are not met and are named one by one; the rest is counted.
const ROWS_SHOWN: usize = 4;

fn words(row: Row) -> &'static str {
    match row {
        Row::TaxiwayToObject => "taxiway centreline to object",
        Row::TaxilaneToObject => "taxilane centreline to object",
        Row::TaxiwayTip => "wing tip to object on a taxiway",
        Row::TaxilaneTip => "wing tip to object on a taxilane",
        Row::StandTip => "any part to object on a stand",
        Row::WheelToEdge => "main tyre to pavement edge",
    }
}

fn row_sentence(route: &Route, c: &Clearance, r: &RowFound) -> String {
    let leg = route.legs.get(r.leg).map_or("", |l| l.name.as_str());
    let found = match (r.found_m, r.obstacle.and_then(|k| c.considered.get(k))) {
        (Some(m), Some(o)) => format!("{:.1} m to {}", number::gap(m), clean::name(&o.name)),
        (Some(m), None) => format!("{:.1} m", (m * 10.0 + 1e-9).floor() / 10.0),
        (None, _) => "width not mapped".to_string(),
    };
    let known = if r.verdict == Verdict::NotKnown {
        ", not known"
    } else {
        ""
    };
    let assumed = if r.assumed { ", kind of lane assumed" } else { "" };
    format!(
        "leg {} {}: {} asks {:.1} m, {found}{known}{assumed}",
        r.leg + 1,
        clean::name(leg),
        words(r.row),
        number::metres(r.asked_m)
    )
}

fn one(route: &Route, c: &Clearance, p: &Compared) -> String {
    let source = clean::sentence(&p.source);
    let decides = if p.decides { " (decides)" } else { "" };
    let Some(class) = &p.class else {
        return format!("{source}{decides}: this aeroplane is beyond its classes.");
    };
    let failing: Vec<&RowFound> = p.rows.iter().filter(|r| r.verdict != Verdict::Clear).collect();
    let told = match failing.len() {
        0 => "every row met".to_string(),
        n => {
            let shown: Vec<String> = failing
                .iter()
                .take(ROWS_SHOWN)
                .map(|r| row_sentence(route, c, r))
                .collect();
            let more = match n.saturating_sub(ROWS_SHOWN) {
                0 => String::new(),
                more => format!("; and {more} more"),
            };
            format!(
                "{n} of {} rows not met or not known: {}{more}",
                p.rows.len(),
                shown.join("; ")
            )
        }
    };
    format!("{source}{decides}: {class}: {told}.")
}

/// One sentence a publication. An edition that says the same as the one before it is only named.
pub(crate) fn sentences(route: &Route, c: &Clearance) -> Vec<String> {
    let mut list: Vec<String> = Vec::new();
    let mut before: Option<&Compared> = None;
    for p in &c.compared {
        match before.filter(|b| b.rows == p.rows && b.class == p.class && !p.rows.is_empty()) {
            Some(_) => list.push(format!("{}: the same rows and findings.", clean::sentence(&p.source))),
            None => list.push(one(route, c, p)),
        }
        before = Some(p);
    }
    list
}
