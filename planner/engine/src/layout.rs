//! Lines for a terminal: wrapped at a width, with a hanging indent, and cells of a table.

use crate::clean::columns;

/// Greatest width of a line, columns.
pub(crate) const WIDTH: usize = 100;

/// How a line is told apart where the terminal has colours. The words say the same without.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Tone {
    /// As it is.
    #[default]
    Plain,
    /// A heading.
    Heading,
    /// Good: clear.
    Good,
    /// Look twice: not known, hold short.
    Mind,
    /// Bad: not clear, no way.
    Bad,
}

impl Tone {
    /// Select Graphic Rendition of ECMA-48, the eight colours that every terminal has, bold so that it is seen without them.
    fn code(self) -> Option<&'static str> {
        match self {
            Tone::Plain => None,
            Tone::Heading => Some("1"),
            Tone::Good => Some("1;32"),
            Tone::Mind => Some("1;33"),
            Tone::Bad => Some("1;31"),
        }
    }
}

/// A page of lines.
#[derive(Default)]
pub(crate) struct Page {
    lines: Vec<String>,
    tones: Vec<(usize, Tone)>,
}

impl Page {
    /// A heading over what follows, with an empty line before it.
    pub(crate) fn heading(&mut self, text: &str) {
        self.blank();
        self.toned(Tone::Heading, "", "  ", text);
    }

    /// An empty line.
    pub(crate) fn blank(&mut self) {
        self.lines.push(String::new());
    }

    /// Text after `first`, its further lines after `rest`.
    pub(crate) fn wrapped(&mut self, first: &str, rest: &str, text: &str) {
        let mut line = first.to_string();
        let mut empty = true;
        for word in text.split_whitespace() {
            let mut word = word;
            loop {
                let space = usize::from(!empty);
                if columns(&line) + space + columns(word) <= WIDTH {
                    if !empty {
                        line.push(' ');
                    }
                    line.push_str(word);
                    empty = false;
                    break;
                }
                if empty {
                    // One word wider than a line: cut it.
                    let (head, tail) = cut(word, WIDTH - columns(&line));
                    line.push_str(head);
                    word = tail;
                }
                self.lines.push(std::mem::replace(&mut line, rest.to_string()));
                empty = true;
                if word.is_empty() {
                    break;
                }
            }
        }
        if !empty || line == first {
            self.lines.push(line.trim_end().to_string());
        }
    }

    /// The same in a tone.
    pub(crate) fn toned(&mut self, tone: Tone, first: &str, rest: &str, text: &str) {
        let from = self.lines.len();
        self.wrapped(first, rest, text);
        self.tones.extend((from..self.lines.len()).map(|line| (line, tone)));
    }

    /// A list, one item after each dash; nothing when it is empty.
    pub(crate) fn list(&mut self, items: &[String]) {
        for item in items {
            self.wrapped("  - ", "    ", item);
        }
    }

    /// One ready line, cut at the width.
    pub(crate) fn line(&mut self, text: &str) {
        self.lines.push(cut(text.trim_end(), WIDTH).0.to_string());
    }

    /// The text with its tones, for a terminal that has colours: the same characters with rendition codes around them.
    pub(crate) fn finish_in_colour(mut self) -> String {
        for (line, tone) in std::mem::take(&mut self.tones) {
            if let (Some(text), Some(code)) = (self.lines.get_mut(line), tone.code())
                && !text.trim().is_empty()
            {
                let indent = text.len() - text.trim_start().len();
                *text = format!("{}\u{1b}[{code}m{}\u{1b}[0m", &text[..indent], &text[indent..]);
            }
        }
        self.finish()
    }

    /// The text, with a line end after every line.
    pub(crate) fn finish(self) -> String {
        let mut out = self.lines.join("\n");
        out.push('\n');
        out
    }
}

/// Splits a text so that the first part takes at most `width` columns, and at least one character.
fn cut(text: &str, width: usize) -> (&str, &str) {
    let mut end = 0;
    for (i, c) in text.char_indices() {
        let next = i + c.len_utf8();
        if columns(&text[..next]) > width && end > 0 {
            break;
        }
        end = next;
    }
    text.split_at(end)
}

/// A cell filled up with spaces on the right, cut when it is too wide.
pub(crate) fn left(text: &str, width: usize) -> String {
    let kept = if columns(text) > width {
        let (head, _) = cut(text, width.saturating_sub(1));
        format!("{head}…")
    } else {
        text.to_string()
    };
    let fill = width.saturating_sub(columns(&kept));
    kept + &" ".repeat(fill)
}

/// A cell filled up with spaces on the left.
pub(crate) fn right(text: &str, width: usize) -> String {
    " ".repeat(width.saturating_sub(columns(text))) + text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_the_page_and_no_word_is_lost() {
        let text = format!("one {} two 東東東 {}", "x".repeat(350), "東".repeat(120));
        let mut page = Page::default();
        page.wrapped("  - ", "    ", &text);
        let out = page.finish();
        assert!(out.lines().all(|l| columns(l) <= WIDTH), "{out}");
        assert_eq!(out.matches('x').count(), 350);
        assert_eq!(out.matches('東').count(), 123);
    }

    #[test]
    fn cells_have_their_width() {
        assert_eq!(columns(&left("a very long name", 8)), 8);
        assert_eq!(left("ab", 4), "ab  ");
        assert_eq!(right("7", 3), "  7");
    }
}
