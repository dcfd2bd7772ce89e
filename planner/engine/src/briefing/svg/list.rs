//! The list beside the chart: legs with heading and length, controls, stops; or what blocks.

use super::sheet::{Sheet, Type, bold, fitted, plain, text_width};
use super::view::Rect;
use super::way::WAY;
use crate::briefing::{Answer, Briefing, StopBriefing, Units, WayBriefing, number, wind};
use crate::route::StopKind;

const ROW: f64 = 3.6;
/// Height of small type, mm.
const SMALL: f64 = 2.2;

/// Lines of the list, each with what stands left, its number in the colour of the way, and what stands right.
struct Row {
    number: String,
    text: String,
    right: [String; 2],
    small: bool,
}

fn way_rows(way: &WayBriefing, units: Units, controls: bool, changes: bool) -> Vec<Row> {
    let mut rows = Vec::new();
    let small = |text: String| Row {
        number: String::new(),
        text,
        right: Default::default(),
        small: true,
    };
    for leg in &way.legs {
        let d = &leg.directions;
        let hi = number::from_to(d.heading_indicator_deg, d.last_magnetic_deg, '-');
        rows.push(Row {
            number: leg.number.to_string(),
            text: leg.name.clone(),
            right: [hi, units.bare(leg.length_m, 0)],
            small: false,
        });
        if let Some(w) = leg.wind.as_ref().filter(|_| controls) {
            rows.push(small(wind::control_short(w.yoke, w.elevator)));
        }
        for c in leg.control_changes.iter().filter(|_| changes) {
            let from = units.length(c.after_m, 0);
            let text = format!("from {from}: {}", wind::control_short(c.yoke, c.elevator));
            rows.push(small(text));
        }
    }
    rows.extend(way.stops.iter().filter_map(|s| stop_row(s, units)));
    rows
}

fn stop_row(stop: &StopBriefing, units: Units) -> Option<Row> {
    let (head, text) = match (stop.kind, &stop.of) {
        (StopKind::EngineCheck, _) => ("engine check", stop.name.clone()),
        (StopKind::HoldShort, Some(of)) => ("STOP", format!("{}, {of}", stop.name)),
        (StopKind::HoldShort, None) => ("STOP", stop.name.clone()),
        (StopKind::End, Some(of)) => ("END", format!("{}, {of}", stop.name)),
        (StopKind::End, None) => ("END", stop.name.clone()),
        (StopKind::Start | StopKind::Place, _) => return None,
    };
    Some(Row {
        number: String::new(),
        text: format!("{head} {text}, at {}", units.length(stop.at_m, 0)),
        right: [number::three(stop.heading_magnetic_deg), String::new()],
        small: true,
    })
}

/// A text broken into lines of a width, mm, between words.
fn broken(text: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split_whitespace() {
        let longer = lines
            .last()
            .map_or(String::new(), |l| format!("{l} {word}").trim_start().to_string());
        match lines.last_mut() {
            Some(line) if line.is_empty() || text_width(&longer, size, false) <= width => *line = longer,
            _ => lines.push(word.to_string()),
        }
    }
    lines
}

/// Draws the list between two heights of the panel, mm.
pub(crate) fn draw(sheet: &mut Sheet, on: &Rect, top: f64, bottom: f64, told: &Briefing) {
    let most = ((bottom - top) / ROW).floor().max(2.0) as usize - 1;
    let (title, rows) = match &told.answer {
        Answer::Way(way) => {
            // The fullest list that has room.
            let fuller = [(true, true), (true, false)].map(|(c, m)| way_rows(way, told.units, c, m));
            let rows = fuller.into_iter().find(|rows| rows.len() <= most);
            ("leg", rows.unwrap_or_else(|| way_rows(way, told.units, false, false)))
        }
        Answer::NoWay(none) => {
            let rows = |(i, text): (usize, &String)| {
                let lines = broken(text, SMALL, on.width - 4.5).into_iter().enumerate();
                lines.map(move |(n, text)| Row {
                    number: if n == 0 { (i + 1).to_string() } else { String::new() },
                    text,
                    right: Default::default(),
                    small: true,
                })
            };
            (
                "what blocks it",
                none.blocks.iter().enumerate().flat_map(rows).collect(),
            )
        }
    };
    let (right, mut y) = (on.x + on.width, top);
    let end = |bold| Type {
        anchor: "end",
        bold,
        ..plain(2.5)
    };
    sheet.text((on.x, y), &bold(2.5), title);
    if matches!(told.answer, Answer::Way(_)) {
        sheet.text((right - 9.0, y), &end(true), "HI");
        sheet.text((right, y), &end(true), told.units.length_unit());
    }
    let shown = if rows.len() > most { most - 1 } else { rows.len() };
    for row in &rows[..shown] {
        y += ROW;
        let size = if row.small { SMALL } else { 2.5 };
        // What stands left and right of the text takes its own room.
        let left = (text_width(&row.number, 2.5, true) + 1.2).max(4.5);
        let beside = if row.right[0].is_empty() {
            0.0
        } else {
            10.0 + text_width(&row.right[0], 2.5, true)
        };
        let width = on.width - left - beside;
        sheet.text((on.x, y), &Type { fill: WAY, ..bold(2.5) }, &row.number);
        sheet.text((on.x + left, y), &plain(size), &fitted(&row.text, size, false, width));
        sheet.text((right - 9.0, y), &end(true), &row.right[0]);
        sheet.text((right, y), &end(false), &row.right[1]);
    }
    if rows.len() > shown {
        sheet.text((on.x, y + ROW), &plain(2.5), "and more, see the text");
    }
}
