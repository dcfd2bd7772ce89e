//! The picture of an inspection: the field as the briefing's chart draws it, with numbered marks, and under it the list
//! of all numbers. True north up, readable in a grey print: the sorts differ by shape, not by colour.
//!
//! Rules of the marks: a small sign stands on the place of every finding, whatever lies about it. The plate with its
//! number stands beside it where there is room, with a thin line when it is not next to it. Findings of one sort within
//! [`marks::TOGETHER_MM`] mm of each other share one plate. Where there is room for no plate the list says so.

mod list;
mod marks;

use super::lacks::{parts_said, title};
use super::text::verdict;
use super::{Inspection, Topic};
use crate::briefing::CAUTION;
use crate::drawing::labels::{Labels, Name};
use crate::drawing::sheet::{Sheet, Spot, Type, area, bold, escape, fitted, plain, stroke, stroke_with};
use crate::drawing::view::{Rect, View};
use crate::drawing::{field, names, scale, typeface};
use crate::notice::NoticeKind;

/// The sheet of a field with few findings, mm: A4 across with the margins that any printer leaves.
const PAGE: (f64, f64) = (277.0, 190.0);
/// From this many findings with a place the sheet is drawn twice as wide and high (ours).
const MANY: usize = 60;
/// Height above the map, mm.
const HEAD: f64 = 19.0;
/// Height of the strip with the key under the map, mm.
const KEY: f64 = 9.0;
/// Height of the caution at the foot, mm.
const FOOT: f64 = 7.0;

/// Draws an inspection as an SVG document.
pub fn picture(inspection: &Inspection) -> String {
    let placed = inspection.findings.iter().filter(|f| f.at.is_some()).count();
    let times = if placed < MANY { 1.0 } else { 2.0 };
    let width = PAGE.0 * times;
    let map = Rect {
        x: 1.0,
        y: HEAD,
        width: width - 2.0,
        height: PAGE.1 * times - HEAD - KEY - FOOT - 30.0 * times,
    };
    let places = field::places(&inspection.field);
    let marked = inspection.findings.iter().filter_map(|f| f.at);
    let view = View::of(places.into_iter().chain(marked), 30.0, map);
    // The marks are placed first: the list tells which found no room.
    let mut labels = Labels::new(map);
    let mut over = Sheet::default();
    let told = marks::draw(&mut over, &view, inspection, &mut labels);
    // Names take what room is left, and lie under the marks with their thin lines.
    let mut named = Sheet::default();
    part_names(&mut named, &view, inspection, &mut labels);
    names::draw(&mut named, &view, &inspection.field, None, &mut labels);
    let mut under = Sheet::default();
    let list_top = map.y + map.height + KEY;
    let list_height = list::draw(&mut under, (1.0, list_top), width - 2.0, inspection, &told);
    let height = list_top + list_height + FOOT;

    let mut sheet = Sheet::default();
    sheet.raw(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height:.2}mm\" viewBox=\"0 0 {width} {height:.2}\" \
         font-family=\"{}\">",
        typeface::FAMILIES
    ));
    sheet.raw(&format!("<title>{}</title>", escape(&heading_text(inspection))));
    sheet.raw(&format!(
        "<clipPath id=\"map\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>",
        map.x, map.y, map.width, map.height
    ));
    sheet.frame((0.0, 0.0), width, height, &area("#fff", "none", 0.0));
    heading(&mut sheet, inspection, width);
    sheet.raw("<g clip-path=\"url(#map)\">");
    field::draw(&mut sheet, &view, &inspection.field);
    parts(&mut sheet, &view, inspection);
    sheet.raw("</g>");
    sheet.raw(&named.finish());
    sheet.raw(&over.finish());
    sheet.frame((map.x, map.y), map.width, map.height, &stroke("#222", 0.4));
    key(&mut sheet, (map.x, map.y + map.height), &view, inspection);
    sheet.raw(&under.finish());
    sheet.credit(
        (map.x, height - 5.0),
        inspection.field.attribution.as_deref(),
        map.width,
    );
    let look = Type {
        anchor: "middle",
        ..bold(2.5)
    };
    sheet.text(
        (width / 2.0, height - 2.4),
        &look,
        &fitted(CAUTION, 2.5, false, width - 2.0),
    );
    sheet.raw("</svg>");
    sheet.finish()
}

fn heading_text(inspection: &Inspection) -> String {
    format!("{}: inspection of the map", title(&inspection.field))
}

fn heading(sheet: &mut Sheet, inspection: &Inspection, width: f64) {
    let invented = if inspection.field.invented {
        "; invented airfield"
    } else {
        ""
    };
    let width = width - 4.0;
    let text = heading_text(inspection);
    sheet.text((2.0, 5.4), &bold(4.4), &fitted(&text, 4.4, true, width));
    let counted: Vec<String> = inspection
        .content
        .iter()
        .take(6)
        .map(|c| format!("{} {}", c.count, c.what))
        .collect();
    let facts = format!("{}{invented}", counted.join(", "));
    sheet.text((2.0, 10.6), &plain(2.9), &fitted(&facts, 2.9, false, width));
    let said = parts_said(&inspection.parts);
    let said = format!("{} {}{}.", verdict(inspection), said[..1].to_uppercase(), &said[1..]);
    sheet.text((2.0, 16.0), &bold(3.2), &fitted(&said, 3.2, true, width));
}

/// How the line of a part that is not joined is broken; the parts after these take them again.
const DASHES: [&str; 4] = ["2.4 1", "0.8 0.8", "3 0.8 0.8 0.8", "1.6 1.6"];

/// The parts that are not joined to the main one, and where each is nearest to another.
fn parts(sheet: &mut Sheet, view: &View, inspection: &Inspection) {
    for part in inspection.parts.iter().skip(1) {
        let dash = DASHES[part.number % DASHES.len()];
        let more = format!("stroke-dasharray=\"{dash}\" stroke-linejoin=\"round\"");
        for line in &part.lines {
            let spots = view.spots(line);
            sheet.line(&spots, &stroke("#fff", 1.6));
            sheet.line(&spots, &stroke_with("#111", 0.9, &more));
        }
    }
    for f in inspection.findings.iter().filter(|f| f.topic == Topic::Parts) {
        if let Some([a, b]) = f.between {
            let ends = [view.spot(a), view.spot(b)];
            sheet.line(&ends, &stroke("#fff", 1.1));
            sheet.line(&ends, &stroke("#111", 0.35));
        }
    }
}

fn part_names(sheet: &mut Sheet, view: &View, inspection: &Inspection, labels: &mut Labels) {
    for part in inspection.parts.iter().skip(1) {
        let text = format!("part {}", part.number);
        let name = Name {
            text: &text,
            size: 2.4,
            bold: true,
            fill: "#111",
            plate: "#fff",
            leader: true,
        };
        let spots: Vec<Spot> = part
            .lines
            .iter()
            .flat_map(|l| view.along(l, 5.0))
            .map(|(s, _)| s)
            .collect();
        let middle = spots.get(spots.len() / 2).copied();
        if let Some(spot) = middle {
            labels.around(sheet, spot, &name);
        }
    }
}

/// What the signs mean, and the scale.
fn key(sheet: &mut Sheet, (x, y): Spot, view: &View, inspection: &Inspection) {
    let foot = y + 5.2;
    let mut left = x + 3.0;
    let say = |sheet: &mut Sheet, left: &mut f64, words: &str| {
        sheet.text((*left + 2.4, foot), &plain(2.4), words);
        *left += 6.0 + crate::drawing::sheet::text_width(words, 2.4, false);
    };
    for (kind, words) in [
        (NoticeKind::Doubt, "doubtful"),
        (NoticeKind::Repair, "repaired"),
        (NoticeKind::LeftOut, "not used"),
    ] {
        marks::sign(sheet, kind, (left, foot - 0.8));
        say(sheet, &mut left, words);
    }
    if !inspection.derived.is_empty() {
        marks::derived(sheet, (left, foot - 0.8));
        say(sheet, &mut left, "derived holding position");
    }
    if inspection.parts.len() > 1 {
        sheet.line(
            &[(left - 1.5, foot - 0.8), (left + 1.5, foot - 0.8)],
            &stroke("#111", 0.9),
        );
        say(sheet, &mut left, "broken line: part that is not joined");
    }
    let rule = format!(
        "plates within {:.0} mm of one sort are put together; true north is up",
        marks::TOGETHER_MM
    );
    say(sheet, &mut left, &rule);
    scale::scale_bar(sheet, (view.on.x + view.on.width - 42.0, y + 2.4), view.scale, 36.0);
}
