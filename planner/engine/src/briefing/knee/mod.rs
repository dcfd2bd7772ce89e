//! The knee sheet: A5 pages that are printed and strapped to a knee. The first has all that is needed under way; the rest is
//! on the pages after it. Nothing is smaller than 9 pt or thinner than 0.3 mm, and nothing needs colour.

mod front;
mod further;
mod ground;
mod legs;
mod merge;
mod picture;
mod setting;

use super::{Answer, Briefing};
use crate::drawing::field::places as field_places;
use crate::drawing::{labels, names, scale, sheet, typeface, view};
use crate::planning::{Outcome, Plan};
use front::Front;
use setting::{LINE, Part, Row, Section, TYPE, large, paragraph};
use sheet::{Sheet, area};
use view::Rect;

/// A5 upright, mm.
const PAGE: (f64, f64) = (148.0, 210.0);
/// Where everything lies on it, mm: what a printer leaves free, and a clip at the head.
const ON: Rect = Rect {
    x: 6.0,
    y: 8.0,
    width: 136.0,
    height: 196.5,
};
/// Height of a section's heading, mm.
const HEADING: f64 = 3.8;
/// Letters named that the type lacks.
const LACKING_NAMED: usize = 24;

/// Draws a plan as A5 pages, each an SVG document; the first is the knee sheet itself.
pub fn knee_sheet(plan: &Plan, briefing: &Briefing) -> Vec<String> {
    // The last line of the first page is kept for the letters that the type lacks.
    let credit = credit(briefing);
    let credit_mm: f64 = credit.iter().map(|r| r.height).sum();
    let size = (ON.width, ON.height - LINE - credit_mm);
    let (front, picture) = match (&plan.outcome, &briefing.answer) {
        (Outcome::Way(way), Answer::Way(told)) => {
            let (groups, short) = merge::groups(way, told);
            let front = front::lay(plan, briefing, (way, told), (&groups, short), size);
            let shown = picture::Told {
                way,
                words: told,
                groups: &groups,
            };
            let drawn = drawn(&front, plan, briefing, Some(&shown));
            (front, drawn)
        }
        _ => {
            let front = front::lay_no_way(briefing, size);
            let drawn = drawn(&front, plan, briefing, None);
            (front, drawn)
        }
    };
    let (picture, mut lacking) = picture;
    let mut sections = front.over;
    sections.extend(further::sections(briefing, ON.width, front.verdict_from));
    let all_rows = front
        .top
        .iter()
        .chain(&front.bottom)
        .chain(&credit)
        .chain(sections.iter().flat_map(|s| &s.rows));
    for part in all_rows.flat_map(|r| &r.parts) {
        if let Part::Text { text, .. } = part {
            let more = typeface::settable(text).1;
            lacking.extend(more);
        }
    }
    lacking.sort_unstable();
    lacking.dedup();
    let boxed = boxed_letters(&lacking);
    let no_way = matches!(briefing.answer, Answer::NoWay(_));
    if let Some(text) = boxed.as_ref().filter(|_| !no_way) {
        sections.push(Section {
            title: "Letters shown as a box".to_string(),
            head: None,
            rows: paragraph("", 0.0, text, false, ON.width),
        });
    }
    let title = front::title(briefing);
    let further = pages(sections, briefing, &title);
    let of = 1 + further.len();

    let mut first = begin(&title, 1, of);
    let mut y = ON.y;
    for (i, mut row) in front.top.into_iter().enumerate() {
        if i == 1 {
            row.parts.push(front::page_number(1, of, ON.width));
        }
        let height = row.height;
        row.draw(&mut first, (ON.x, y));
        y += height;
    }
    first.raw(&picture);
    y += front.picture + 1.5;
    for row in front.bottom {
        let height = row.height;
        row.draw(&mut first, (ON.x, y));
        y += height;
    }
    let mut foot = ON.y + ON.height - LINE - credit_mm;
    for row in credit {
        let height = row.height;
        row.draw(&mut first, (ON.x, foot));
        foot += height;
    }
    if boxed.is_some() {
        let text = if no_way {
            "□: a letter that this type lacks; the other forms of this plan have it".to_string()
        } else {
            format!("□: a letter that this type lacks, see page {of}")
        };
        let mut row = Row::default();
        row.column((0.0, ON.width), &text, false);
        row.draw(&mut first, (ON.x, ON.y + ON.height - LINE));
    }
    let mut list = vec![end(first)];
    for (i, rows) in further.into_iter().enumerate() {
        let mut sheet = begin(&title, i + 2, of);
        for (k, (y, mut row)) in rows.into_iter().enumerate() {
            if k == 1 {
                row.parts.push(front::page_number(i + 2, of, ON.width));
            }
            row.draw(&mut sheet, (ON.x, y));
        }
        list.push(end(sheet));
    }
    list
}

/// Most lines that the credit of the map's data takes.
const CREDIT_LINES: usize = 3;

/// The credit of the map's data, for the foot of the first page, where the picture is.
fn credit(briefing: &Briefing) -> Vec<Row> {
    let Some(text) = &briefing.attribution else {
        return Vec::new();
    };
    let lines = setting::wrap(&format!("Map data: {text}"), TYPE, false, ON.width);
    let more = lines.len() > CREDIT_LINES;
    let kept = lines.into_iter().take(CREDIT_LINES).enumerate();
    kept.map(|(i, mut line)| {
        if more && i + 1 == CREDIT_LINES {
            line = sheet::fitted(&format!("{line} …"), TYPE, false, ON.width);
        }
        let mut row = Row::default();
        row.column((0.0, ON.width), &line, false);
        row
    })
    .collect()
}

/// The picture as it lies on the first page, and the letters that its names lack.
fn drawn(front: &Front, plan: &Plan, briefing: &Briefing, told: Option<&picture::Told<'_>>) -> (String, Vec<char>) {
    let top: f64 = front.top.iter().map(|r| r.height).sum();
    let on = Rect {
        x: ON.x,
        y: ON.y + top + 0.5,
        width: ON.width,
        height: front.picture - 0.5,
    };
    let mut sheet = Sheet::default();
    let lacking = picture::draw(&mut sheet, &on, plan, briefing, told);
    (sheet.finish(), lacking)
}

fn boxed_letters(lacking: &[char]) -> Option<String> {
    if lacking.is_empty() {
        return None;
    }
    let named = lacking
        .iter()
        .take(LACKING_NAMED)
        .map(|c| format!("U+{:04X}", *c as u32));
    let mut text = format!(
        "The type of this sheet lacks these letters of the map's names; each is shown as □ here, and as itself in the text and \
         JSON forms: {}",
        named.collect::<Vec<_>>().join(", ")
    );
    if lacking.len() > LACKING_NAMED {
        text += &format!(" and {} more", lacking.len() - LACKING_NAMED);
    }
    Some(text)
}

fn begin(title: &str, page: usize, of: usize) -> Sheet {
    let (w, h) = PAGE;
    let mut sheet = Sheet::default();
    sheet.raw(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" \
         font-family=\"{}\">",
        typeface::FAMILIES
    ));
    sheet.raw(&format!("<title>{}, page {page} of {of}</title>", sheet::escape(title)));
    sheet.frame((0.0, 0.0), w, h, &area("#fff", "none", 0.0));
    sheet
}

fn end(mut sheet: Sheet) -> String {
    sheet.raw("</svg>");
    sheet.finish()
}

/// Rows of the further pages with where each begins, mm from the top of the page; the caution and the heading come first.
fn pages(sections: Vec<Section>, briefing: &Briefing, title: &str) -> Vec<Vec<(f64, Row)>> {
    let mut list: Vec<Vec<(f64, Row)>> = Vec::new();
    let bottom = ON.y + ON.height;
    let mut y = f64::INFINITY;
    let open = |list: &mut Vec<Vec<(f64, Row)>>| {
        let caution = front::caution(briefing, ON.width);
        let mut heading = large(title, HEADING, ON.width - 24.0, 1);
        heading
            .parts
            .push(Part::Rule((0.0, heading.height + 0.3), ON.width, 0.4));
        let heading = heading.and_gap(1.2);
        let (first, second) = (caution.height, heading.height);
        list.push(vec![(ON.y, caution), (ON.y + first, heading)]);
        ON.y + first + second
    };
    for section in sections {
        let head = section.head.as_ref().map_or(0.0, |h| h.height);
        let mut continued = false;
        let mut titled = false;
        for row in section.rows {
            let wanted = row.height + if titled { 0.0 } else { HEADING * 1.2 + 2.0 + head };
            if y + wanted > bottom {
                y = open(&mut list);
                titled = false;
            }
            let Some(page) = list.last_mut() else { break };
            if !titled {
                let text = if continued {
                    format!("{} (continued)", section.title)
                } else {
                    section.title.clone()
                };
                let heading = large(&text, HEADING, ON.width, 1);
                y += 1.2;
                page.push((y, heading));
                y += HEADING * 1.2 + 0.8;
                if let Some(h) = &section.head {
                    page.push((y, h.clone()));
                    y += head;
                }
                titled = true;
                continued = true;
            }
            let height = row.height;
            page.push((y, row));
            y += height;
        }
    }
    list
}
