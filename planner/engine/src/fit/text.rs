//! The answers for a terminal: plain text, at most 100 columns, no colour.

use super::rows::{self, Notes};
use super::{Cell, Fit, Fits};
use crate::briefing::CAUTION;
use crate::clean::{self, columns};
use crate::layout::{Page, WIDTH, left, right};

/// Least and greatest width of a name before a table, columns.
const NAME: (usize, usize) = (22, 40);
/// Width of an answer, columns: "not 123".
const CELL: usize = 8;

/// Writes the answers as plain text.
pub fn text(fit: &Fit) -> String {
    let mut page = Page::default();
    page.wrapped("", "", CAUTION);
    page.blank();
    page.wrapped("", "  ", &format!("WHO FITS WHERE  {}", rows::title(fit)));
    for sentence in rows::basis(fit) {
        page.wrapped("  ", "  ", &sentence);
    }
    if let Some(credit) = &fit.field.attribution {
        page.wrapped("  ", "    ", &format!("map data: {credit}"));
    }
    page.wrapped(
        "  ",
        "  ",
        "yes: fits; ?: not known; NO: does not fit; the number is that of the note under the table.",
    );
    let names = fit.stands.iter().map(|s| columns(&clean::name(&s.name)));
    let width = names.max().unwrap_or(0).clamp(NAME.0, NAME.1);
    for (a, aircraft) in fit.asked.aircraft.iter().enumerate() {
        let (id, name) = (clean::name(&aircraft.id), clean::name(&aircraft.name));
        page.heading(&format!("{id}: {name}, span {} m", aircraft.wing.span_m));
        table(&mut page, fit, a, width);
        let notes = Notes::new(fit, a);
        for (i, note) in notes.texts().iter().enumerate() {
            page.wrapped(&format!("{:>5}  ", i + 1), "       ", note);
        }
        page.blank();
        page.wrapped("  ", "    ", &format!("Largest span, otherwise like {id}:"));
        for s in &fit.spans[a].stands {
            largest(&mut page, width, &clean::name(&fit.stands[s.stand].name), &s.largest);
        }
        for lane in rows::lanes(&fit.spans[a].segments) {
            let of = if lane.pieces > 1 {
                format!(", {} pieces", lane.pieces)
            } else {
                String::new()
            };
            largest(&mut page, width, &format!("{}{of}", lane.name), &lane.narrowest.largest);
        }
    }
    crate::briefing::notams_text(&mut page, &fit.notams);
    page.blank();
    page.wrapped("", "", &rows::summary(fit));
    page.finish()
}

fn table(page: &mut Page, fit: &Fit, aircraft: usize, width: usize) {
    let notes = Notes::new(fit, aircraft);
    let at_once = (WIDTH - width - 2) / CELL;
    let ends: Vec<usize> = (0..fit.runways.len()).collect();
    for chunk in ends.chunks(at_once) {
        let mut head = format!("  {}", left("", width));
        for r in chunk {
            head += &right(left(&clean::name(&fit.runways[*r]), CELL - 2).trim_end(), CELL);
        }
        page.line(&head);
        for (s, stand) in fit.stands.iter().enumerate() {
            let mut line = format!("  {}", left(&clean::name(&stand.name), width));
            let cells = rows::row(fit, aircraft, s);
            for r in chunk {
                line += &right(&mark(&cells[*r], &notes), CELL);
            }
            page.line(&line);
        }
    }
}

fn mark(cell: &Cell, notes: &Notes<'_>) -> String {
    let number = notes.number(cell).map_or(String::new(), |n| format!(" {n}"));
    match cell.fits {
        Fits::Fits => "yes".to_string(),
        Fits::NotKnown => format!("?{number}"),
        Fits::DoesNot => format!("NO{number}"),
    }
}

fn largest(page: &mut Page, width: usize, name: &str, l: &Result<super::Largest, super::Reason>) {
    let why = rows::span_why(l);
    let why = if why.is_empty() {
        String::new()
    } else {
        format!(": {why}")
    };
    let first = format!("    {} ", left(name, width));
    page.wrapped(&first, &" ".repeat(width + 7), &format!("{}{why}", rows::span_words(l)));
}
