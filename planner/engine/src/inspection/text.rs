//! An inspection for a terminal: plain text, at most 100 columns, no colour.

use super::lacks::{parts_said, title};
use super::{Finding, Inspection};
use crate::layout::Page;
use crate::notice::NoticeKind;
use toeline_model::LonLat;

/// The three sorts in the order they are told, with what each means for the map's author.
pub(super) const SORTS: [(NoticeKind, &str, &str); 3] = [
    (
        NoticeKind::Doubt,
        "Doubtful",
        "look at these: the map says something that can hardly be meant",
    ),
    (
        NoticeKind::Repair,
        "Repaired",
        "mended while reading; draw it as told here, and nothing need be mended",
    ),
    (NoticeKind::LeftOut, "Not used", "nothing to do when that is meant"),
];

/// Writes an inspection as plain text.
pub fn text(inspection: &Inspection) -> String {
    let mut page = Page::default();
    let field = &inspection.field;
    let invented = if field.invented { " (invented airfield)" } else { "" };
    page.wrapped("", "  ", &format!("MAP INSPECTION  {}{invented}", title(field)));
    page.wrapped(
        "  ",
        "  ",
        &format!("origin of the local plane: {}", place(field.origin, 6)),
    );
    if let Some(credit) = &field.attribution {
        page.wrapped("  ", "    ", &format!("map data: {credit}"));
    }
    page.heading("What it holds");
    for row in &inspection.content {
        let first = format!("{:>7}  {:<24}", row.count, row.what);
        page.wrapped(&format!("{first} "), &" ".repeat(34), &row.detail);
    }
    page.wrapped("         ", "         ", &parts_said(&inspection.parts));
    page.heading("What it lacks, and what follows for a plan");
    if inspection.lacks.is_empty() {
        page.wrapped("  ", "  ", "nothing that a plan asks for");
    }
    for lack in &inspection.lacks {
        let first = format!("{:>5}  ", lack.number);
        page.wrapped(&first, "       ", &format!("{}: {}", lack.said(), lack.follows));
    }
    for (kind, title, meaning) in SORTS {
        let n = inspection.count(kind);
        if n == 0 {
            continue;
        }
        page.heading(&format!("{title}: {n} ({meaning})"));
        for f in inspection.findings.iter().filter(|f| f.kind == kind) {
            finding(&mut page, f);
        }
    }
    crate::briefing::notams_text(&mut page, &inspection.notams);
    page.blank();
    page.wrapped("", "", &verdict(inspection));
    page.finish()
}

fn finding(page: &mut Page, f: &Finding) {
    let place = f
        .place
        .map_or("no place".to_string(), |p| format!("at {}", place(p, 7)));
    let size = f.size_m.map_or(String::new(), |m| format!("; size {m:.2} m"));
    let what = format!("{}, {place}{size}", f.feature);
    page.wrapped(&format!("{:>5}  ", f.number), "       ", &what);
    page.wrapped("       ", "       ", &f.text);
    if let Some(assumed) = &f.assumed {
        page.wrapped("       assumed: ", "         ", assumed);
    }
    if let Some(mend) = &f.mend {
        page.wrapped("       to mend: ", "         ", mend);
    }
}

/// "47.2002130 N, 20.3999270 W": what the editors of maps take.
pub(super) fn place(p: LonLat, decimals: usize) -> String {
    let (ns, ew) = (
        if p.lat_deg < 0.0 { 'S' } else { 'N' },
        if p.lon_deg < 0.0 { 'W' } else { 'E' },
    );
    format!(
        "{:.decimals$} {ns}, {:.decimals$} {ew}",
        p.lat_deg.abs(),
        p.lon_deg.abs()
    )
}

/// One line that sums it up.
pub(super) fn verdict(inspection: &Inspection) -> String {
    let n = |kind| inspection.count(kind);
    let (doubts, repairs) = (n(NoticeKind::Doubt), n(NoticeKind::Repair));
    let (left_out, lacks) = (n(NoticeKind::LeftOut), inspection.lacks.len());
    let head = if doubts == 0 { "Nothing doubtful." } else { "DOUBTFUL." };
    format!(
        "{head} {doubts} doubtful, {repairs} repaired, {left_out} not used; {}.",
        super::called::count(lacks, "thing lacking", "things lacking")
    )
}
