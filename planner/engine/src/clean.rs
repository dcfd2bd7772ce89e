//! Words that come from a map file, made safe to show: no control characters, no text-direction tricks, no endless
//! names. What is shown stays text in a terminal; the SVG escapes it once more.

/// Longest name shown, characters.
pub(crate) const NAME_CHARS: usize = 60;
/// Longest sentence shown, characters.
pub(crate) const SENTENCE_CHARS: usize = 400;

/// A name as shown.
pub(crate) fn name(text: &str) -> String {
    shown(text, NAME_CHARS)
}

/// A sentence as shown.
pub(crate) fn sentence(text: &str) -> String {
    shown(text, SENTENCE_CHARS)
}

/// Replaces what must not reach a terminal or a page by a space, joins spaces, and cuts after `most` characters.
pub(crate) fn shown(text: &str, most: usize) -> String {
    let mut out = String::new();
    let mut count = 0;
    // A long name is cut before it is looked at in full, so that a hostile one costs nothing.
    for c in text.chars().take(most.saturating_mul(8)) {
        let c = if harmful(c) { ' ' } else { c };
        if c.is_whitespace() && (out.is_empty() || out.ends_with(' ')) {
            continue;
        }
        if count == most {
            out.pop();
            out.push('…');
            return out;
        }
        out.push(if c.is_whitespace() { ' ' } else { c });
        count += 1;
    }
    let kept = out.trim_end().len();
    out.truncate(kept);
    if out.is_empty() { "(no name)".to_string() } else { out }
}

fn harmful(c: char) -> bool {
    let code = c as u32;
    c.is_control()
        // Zero-width characters, direction marks and overrides, byte order mark, non-characters, private use.
        || matches!(code, 0x200b..=0x200f | 0x2028..=0x202e | 0x2060..=0x206f | 0xfeff | 0xfff9..=0xfffb)
        || matches!(code, 0xe000..=0xf8ff | 0xfdd0..=0xfdef | 0xe0000..=0xe0fff | 0xf0000..)
        || code & 0xfffe == 0xfffe
}

/// Columns that a text takes in a terminal: two for wide East Asian characters and pictures, none for combining marks.
pub(crate) fn columns(text: &str) -> usize {
    text.chars()
        .map(|c| match c as u32 {
            0x0300..=0x036f | 0x1ab0..=0x1aff | 0x20d0..=0x20ff | 0xfe00..=0xfe0f => 0,
            0x1100..=0x115f | 0x2e80..=0xa4cf | 0xac00..=0xd7a3 | 0xf900..=0xfaff | 0xfe30..=0xfe6f => 2,
            0xff00..=0xff60 | 0xffe0..=0xffe6 | 0x1f300..=0x1faff | 0x20000..=0x3fffd => 2,
            _ => 1,
        })
        .sum()
}

/// One field of CSV after RFC 4180, quoted where it must be. A text that a spreadsheet would take for a formula gets an
/// apostrophe before it, so that it stays text.
pub(crate) fn csv_field(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let text = if formula { format!("'{text}") } else { text.to_string() };
    if text.contains([',', '"', '\r', '\n', '\'']) || text.trim() != text {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_and_direction_characters_do_not_pass() {
        let shown = name("A\u{1b}[31mB\r\n\u{202e}C\u{0}\u{200b}D");
        assert_eq!(shown, "A [31mB C D");
    }

    #[test]
    fn long_names_are_cut_and_empty_ones_are_said() {
        let long = name(&"x".repeat(100_000));
        assert_eq!(long.chars().count(), NAME_CHARS);
        assert!(long.ends_with('…'));
        assert_eq!(name(" \t "), "(no name)");
        assert_eq!(name("Hangar 7"), "Hangar 7");
    }

    #[test]
    fn wide_characters_take_two_columns() {
        assert_eq!(columns("A東B"), 4);
        assert_eq!(columns("e\u{301}"), 1);
    }
}
