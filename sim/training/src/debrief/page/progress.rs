//! Progress on the page: for every measure its figure over the drives as a small plot, and the same as a table.

use super::super::plot::safe;
use super::super::progress::Row;
use super::super::{Debrief, Judged};
use std::fmt::Write as _;

/// Size of a small plot in its own units, and the room around it.
const WIDE: f64 = 220.0;
const HIGH: f64 = 56.0;
const ROOM: f64 = 6.0;

pub(super) fn progress(out: &mut String, d: &Debrief) {
    let Some(p) = d.progress.as_ref().filter(|p| p.drives.len() > 1) else {
        return;
    };
    let _ = writeln!(
        out,
        "<h2>Progress over {} drives, oldest first</h2>\n<p>Full dots: to work on. Rings: good. Each plot goes from 0 to its \
         greatest figure; what counts as good stands beside every measure below.</p>\n<div class=\"small\">",
        p.drives.len()
    );
    for row in &p.rows {
        small(out, row);
    }
    out.push_str("</div>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Table\"><table>\n<thead><tr><th scope=\"col\">Drive</th>");
    for name in &p.drives {
        let _ = write!(out, "<th scope=\"col\">{}</th>", safe(name));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in &p.rows {
        let _ = write!(out, "<tr><th scope=\"row\">{}</th>", safe(&title(row)));
        for k in 0..p.drives.len() {
            let _ = write!(out, "<td>{}</td>", cell(row, k));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table></div>\n");
}

fn title(row: &Row) -> String {
    let (unit, _) = row.unit();
    if unit.is_empty() {
        row.title.to_string()
    } else {
        format!("{}, {unit}", row.title)
    }
}

fn cell(row: &Row, k: usize) -> String {
    let shown = row.shown(k);
    match row.judged[k] {
        Judged::Good if shown.is_empty() => "good".to_string(),
        Judged::Good => format!("{shown}, good"),
        Judged::WorkOn if shown.is_empty() => "to work on".to_string(),
        Judged::WorkOn => format!("{shown}, to work on"),
        _ => "not judged".to_string(),
    }
}

/// One figure over the drives; nothing where there are not two to compare.
fn small(out: &mut String, row: &Row) {
    let judged = |k: usize| matches!(row.judged[k], Judged::Good | Judged::WorkOn);
    let known: Vec<(usize, f64)> = (0..row.values.len())
        .filter(|k| judged(*k))
        .filter_map(|k| Some((k, row.values[k]?.abs())))
        .collect();
    let most = known.iter().map(|v| v.1).fold(0.0, f64::max);
    // What was never there needs no picture; the table has it.
    if known.len() < 2 || most <= 0.0 {
        return;
    }
    let step = (WIDE - 2.0 * ROOM) / (row.values.len() - 1) as f64;
    let place = |(k, v): &(usize, f64)| (ROOM + *k as f64 * step, HIGH - ROOM - v / most * (HIGH - 2.0 * ROOM));
    let (unit, times) = row.unit();
    let name = safe(&title(row));
    let _ = write!(
        out,
        "<figure><figcaption>{name}</figcaption><svg viewBox=\"0 0 {WIDE} {HIGH}\" role=\"img\" aria-label=\"{name}: from {:.2} to \
         {:.2} {unit}\"><path d=\"M0 {:.1}H{WIDE}\" stroke=\"#999\"/>",
        known[0].1 * times,
        known[known.len() - 1].1 * times,
        HIGH - ROOM
    );
    let corners: Vec<String> = known.iter().map(place).map(|(x, y)| format!("{x:.1},{y:.1}")).collect();
    let _ = write!(
        out,
        "<polyline points=\"{}\" fill=\"none\" stroke=\"#111\"/>",
        corners.join(" ")
    );
    for v in &known {
        let (x, y) = place(v);
        let fill = if row.judged[v.0] == Judged::WorkOn {
            "#111"
        } else {
            "#fff"
        };
        let _ = write!(
            out,
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"4\" fill=\"{fill}\" stroke=\"#111\" stroke-width=\"1.5\"/>"
        );
    }
    out.push_str("</svg></figure>\n");
}
