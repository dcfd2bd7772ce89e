//! How the knee sheet is set: its type, lines broken by true widths, and rows that no page cuts.

use super::sheet::{Sheet, Spot, Type, area, stroke, text_width};

/// Height of the smallest type, mm: 9.07 pt, so that rounding never makes it less than 9 pt.
pub(super) const TYPE: f64 = 3.2;
/// From line to line, mm.
pub(super) const LINE: f64 = 3.9;
/// Thinnest line, mm.
pub(super) const THIN: f64 = 0.3;
/// Colour of all type but what stands on dark.
pub(super) const INK: &str = "#000";
/// Lines of a paragraph that one row holds; a longer one may be cut between lines.
const KEPT_LINES: usize = 8;

/// Something drawn in a row; places from the row's upper left corner, mm.
#[derive(Clone)]
pub(super) enum Part {
    /// A text; its spot is the foot of its first letter, or of its last one when it ends there.
    Text {
        /// Where.
        at: Spot,
        /// Words.
        text: String,
        /// Height of the type, mm.
        size: f64,
        /// Bold.
        bold: bool,
        /// Colour.
        fill: &'static str,
        /// "start", "middle" or "end".
        anchor: &'static str,
    },
    /// A box: upper left corner, width and height, fill, width of its edge.
    Frame(Spot, (f64, f64), &'static str, f64),
    /// A level line: left end, length, width.
    Rule(Spot, f64, f64),
}

/// What stays together.
#[derive(Clone, Default)]
pub(super) struct Row {
    /// Height, mm.
    pub(super) height: f64,
    /// What is drawn.
    pub(super) parts: Vec<Part>,
}

/// Rows under a heading.
pub(super) struct Section {
    /// Heading.
    pub(super) title: String,
    /// Heading of a table's columns, drawn again on every page.
    pub(super) head: Option<Row>,
    /// What it holds.
    pub(super) rows: Vec<Row>,
}

/// A text of the smallest type.
pub(super) fn words(at: Spot, text: impl Into<String>, bold: bool) -> Part {
    Part::Text {
        at,
        text: text.into(),
        size: TYPE,
        bold,
        fill: INK,
        anchor: "start",
    }
}

/// The same, ending at its spot.
pub(super) fn ending(at: Spot, text: impl Into<String>, bold: bool) -> Part {
    Part::Text {
        at,
        text: text.into(),
        size: TYPE,
        bold,
        fill: INK,
        anchor: "end",
    }
}

/// Foot of the first line in a row, mm from its top.
pub(super) fn foot(size: f64) -> f64 {
    size * 0.95
}

/// Breaks a text into lines of a width, between words; a word that is wider by itself is broken where it must be.
pub(super) fn wrap(text: &str, size: f64, bold: bool, width: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    // A no-break space holds a figure and its unit together.
    for word in text.split(' ').filter(|w| !w.is_empty()) {
        let mut word = word.to_string();
        while let Some(line) = lines.last_mut() {
            let longer = if line.is_empty() {
                word.clone()
            } else {
                format!("{line} {word}")
            };
            if text_width(&longer, size, bold) <= width {
                *line = longer;
                break;
            }
            if !line.is_empty() {
                lines.push(String::new());
                continue;
            }
            let mut head = String::new();
            for c in word.chars() {
                head.push(c);
                if text_width(&head, size, bold) > width && head.chars().count() > 1 {
                    head.pop();
                    break;
                }
            }
            word = word[head.len()..].to_string();
            *line = head;
            if word.is_empty() {
                break;
            }
            lines.push(String::new());
        }
    }
    lines
}

impl Row {
    /// Adds wrapped text in a column; the row grows to hold it.
    pub(super) fn column(&mut self, (x, width): (f64, f64), text: &str, bold: bool) {
        if text.is_empty() {
            return;
        }
        let lines = wrap(text, TYPE, bold, width);
        for (i, line) in lines.iter().enumerate() {
            let y = i as f64 * LINE + foot(TYPE);
            self.parts.push(words((x, y), line.as_str(), bold));
        }
        self.height = self.height.max(lines.len() as f64 * LINE);
    }

    /// Another row under this one, kept with it.
    pub(super) fn then(mut self, below: Row) -> Row {
        let down = self.height;
        self.height += below.height;
        self.parts.extend(below.parts.into_iter().map(|p| p.moved(0.0, down)));
        self
    }

    /// A gap under it.
    pub(super) fn and_gap(mut self, mm: f64) -> Row {
        self.height += mm;
        self
    }

    /// Draws it.
    pub(super) fn draw(self, sheet: &mut Sheet, (x, y): Spot) {
        for part in self.parts {
            match part.moved(x, y) {
                Part::Text {
                    at,
                    text,
                    size,
                    bold,
                    fill,
                    anchor,
                } => {
                    let look = Type {
                        size,
                        fill,
                        anchor,
                        bold,
                        rim: false,
                    };
                    sheet.text(at, &look, &crate::drawing::typeface::settable(&text).0);
                }
                Part::Frame(at, (width, height), fill, edge) => {
                    sheet.frame(
                        at,
                        width,
                        height,
                        &area(fill, if edge > 0.0 { INK } else { "none" }, edge),
                    );
                }
                Part::Rule((x, y), length, width) => sheet.line(&[(x, y), (x + length, y)], &stroke(INK, width)),
            }
        }
    }
}

impl Part {
    fn moved(mut self, dx: f64, dy: f64) -> Part {
        let (Part::Text { at, .. } | Part::Frame(at, ..) | Part::Rule(at, ..)) = &mut self;
        *at = (at.0 + dx, at.1 + dy);
        self
    }
}

/// A paragraph with what stands before it (a dash, a number) in a hanging column.
pub(super) fn paragraph(mark: &str, hang: f64, text: &str, bold: bool, width: f64) -> Vec<Row> {
    let lines = wrap(text, TYPE, bold, width - hang);
    let long = lines.len() > KEPT_LINES;
    let mut rows = Vec::new();
    let mut row = Row::default();
    if !mark.is_empty() {
        row.parts.push(words((0.0, foot(TYPE)), mark, bold));
    }
    for line in lines {
        row.parts.push(words((hang, row.height + foot(TYPE)), line, bold));
        row.height += LINE;
        if long {
            rows.push(std::mem::take(&mut row));
        }
    }
    if !long {
        rows.push(row);
    }
    if let Some(last) = rows.last_mut() {
        last.height += 0.4;
    }
    rows
}

/// Larger type in lines of a width, as one row; a box behind it when `edge` is given.
pub(super) fn large(text: &str, size: f64, width: f64, most_lines: usize) -> Row {
    let mut lines = wrap(text, size, true, width);
    if lines.len() > most_lines {
        lines.truncate(most_lines);
        if let Some(last) = lines.last_mut() {
            *last = super::sheet::fitted(&format!("{last} …"), size, true, width);
        }
    }
    let pitch = size * 1.2;
    let parts = lines.iter().enumerate().map(|(i, line)| Part::Text {
        at: (0.0, i as f64 * pitch + foot(size)),
        text: line.clone(),
        size,
        bold: true,
        fill: INK,
        anchor: "start",
    });
    Row {
        height: lines.len() as f64 * pitch,
        parts: parts.collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_broken_between_words_and_nothing_is_lost() {
        let text = "stop, look both ways; permission needed to cross or enter runway 17/35";
        let lines = wrap(text, TYPE, false, 40.0);
        assert_eq!(lines.join(" "), text);
        assert!(
            lines.len() > 2 && lines.iter().all(|l| text_width(l, TYPE, false) <= 40.0),
            "{lines:?}"
        );
        let one = "W".repeat(60);
        let lines = wrap(&format!("a {one} b"), TYPE, true, 40.0);
        assert_eq!(lines.concat(), format!("a{one}b"));
        assert!(lines.iter().all(|l| text_width(l, TYPE, true) <= 40.0), "{lines:?}");
        assert_eq!(wrap("", TYPE, false, 40.0), [""]);
    }
}
