//! The list under the map: every number with what it says, in columns, and what the map lacks.

use super::marks;
use crate::drawing::sheet::{Sheet, Spot, bold, plain, stroke, text_width};
use crate::inspection::text::SORTS;
use crate::inspection::{Finding, Inspection};
use crate::notice::NoticeKind;

/// Most findings in the list; the text form has them all (ours: beyond that no sheet is read).
const LISTED: usize = 600;
/// Height of the type, mm.
const SIZE: f64 = 2.3;
/// From line to line, mm.
const ROW: f64 = 3.1;
/// Least width of a column, mm.
const COLUMN: f64 = 88.0;
/// Between columns, mm.
const GUTTER: f64 = 4.0;
/// Where the text begins right of the column's edge, mm.
const INDENT: f64 = 10.0;

/// Some readers' type is this much wider than the guess of `text_width`; a list must not run over its column.
const WIDE_TYPE: f64 = 1.12;

/// What stays together in one column.
struct Block {
    /// The plate before it: sort and number; or a bold word; or nothing.
    head: Head,
    lines: Vec<String>,
}

enum Head {
    Title,
    Plate(NoticeKind, usize),
    Word(String),
}

/// Draws the list; gives its height, mm.
pub(super) fn draw(
    sheet: &mut Sheet,
    (x, y): Spot,
    width: f64,
    inspection: &Inspection,
    marks: &[Option<usize>],
) -> f64 {
    let columns = ((width + GUTTER) / (COLUMN + GUTTER)).floor().max(1.0);
    let column = (width + GUTTER) / columns - GUTTER;
    let blocks = blocks(inspection, marks, column);
    let height = |b: &Block| b.lines.len() as f64 * ROW + if matches!(b.head, Head::Title) { 2.2 } else { 0.9 };
    let total: f64 = blocks.iter().map(height).sum();
    // Columns of about one height: a block that would pass the mark begins the next one.
    let tall = blocks.iter().map(height).fold(total / columns, f64::max);
    let (mut at, mut top, mut deepest) = (0.0, 0.0, 0.0_f64);
    for block in &blocks {
        let h = height(block);
        // A title does not stay alone at the foot.
        let needs = if matches!(block.head, Head::Title) {
            h + 2.0 * ROW
        } else {
            h
        };
        if top > 0.0 && top + needs > tall + ROW && at + 1.0 < columns {
            (at, top) = (at + 1.0, 0.0);
        }
        one(sheet, (x + at * (column + GUTTER), y + top), block);
        top += h;
        deepest = deepest.max(top);
    }
    for k in 1..columns as usize {
        let line_x = x + k as f64 * (column + GUTTER) - GUTTER / 2.0;
        sheet.line(&[(line_x, y + 1.0), (line_x, y + deepest)], &stroke("#bbb", 0.15));
    }
    deepest
}

fn one(sheet: &mut Sheet, (x, y): Spot, block: &Block) {
    let (left, looks) = match &block.head {
        Head::Title => (x, bold(SIZE + 0.3)),
        Head::Plate(kind, number) => {
            marks::plate(sheet, *kind, (x + INDENT / 2.0 - 0.6, y + 1.9), &number.to_string());
            (x + INDENT, plain(SIZE))
        }
        Head::Word(word) => {
            sheet.text((x + 1.0, y + 2.7), &bold(SIZE), word);
            (x + INDENT, plain(SIZE))
        }
    };
    let first = if matches!(block.head, Head::Title) { 4.0 } else { 2.7 };
    for (i, line) in block.lines.iter().enumerate() {
        sheet.text((left, y + first + i as f64 * ROW), &looks, line);
    }
}

fn blocks(inspection: &Inspection, marks: &[Option<usize>], column: f64) -> Vec<Block> {
    let width = column - INDENT - 1.0;
    let title = |text: String| Block {
        lines: wrapped(&text, column - 1.0, SIZE + 0.3, true),
        head: Head::Title,
    };
    let mut list = Vec::new();
    let mut left = LISTED;
    for (kind, name, meaning) in SORTS {
        let of_kind: Vec<&Finding> = inspection.findings.iter().filter(|f| f.kind == kind).collect();
        if of_kind.is_empty() {
            continue;
        }
        list.push(title(format!("{name}: {} ({meaning})", of_kind.len())));
        for f in of_kind.iter().take(left) {
            list.push(Block {
                head: Head::Plate(kind, f.number),
                lines: wrapped(&said(f, marks[f.number - 1]), width, SIZE, false),
            });
        }
        if of_kind.len() > left {
            let text = format!("and {} more: the text form has them all", of_kind.len() - left);
            list.push(Block {
                head: Head::Word(String::new()),
                lines: vec![text],
            });
        }
        left = left.saturating_sub(of_kind.len());
    }
    if !inspection.lacks.is_empty() {
        list.push(title("What it lacks, and what follows for a plan".to_string()));
        for lack in &inspection.lacks {
            list.push(Block {
                head: Head::Word(lack.number.clone()),
                lines: wrapped(&format!("{}: {}", lack.said(), lack.follows), width, SIZE, false),
            });
        }
    }
    list
}

fn said(f: &Finding, mark: Option<usize>) -> String {
    let place = match (f.at, mark) {
        (None, _) => " (no place)".to_string(),
        (Some(_), None) => " (no room for its number on the map)".to_string(),
        (Some(_), Some(number)) if number != f.number => format!(" (at mark {number})"),
        _ => String::new(),
    };
    format!("{}{place}: {}", f.feature, f.text)
}

/// Lines of at most a width; a word wider than that is cut by characters.
fn wrapped(text: &str, width: f64, size: f64, bold: bool) -> Vec<String> {
    let fits = |t: &str| text_width(t, size, bold) * WIDE_TYPE <= width;
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let joined = if line.is_empty() {
            word.to_string()
        } else {
            format!("{line} {word}")
        };
        if fits(&joined) {
            line = joined;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            line.push(c);
            if !fits(&line) && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::replace(&mut line, c.to_string()));
            }
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}
