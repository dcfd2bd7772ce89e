//! The type that pages are set in, with its true widths: DejaVu Sans Condensed, regular and bold, carried with the program.
//! Free to carry and to embed: `data/type/LICENCE-DejaVu.txt`. It has Latin with all accents, Greek and Cyrillic, and its small
//! letters are tall, which is what counts at 9 pt.
//!
//! A letter has the same width everywhere: no kerning, no ligatures. So a width can be summed here, and a page set from the
//! same figures (the program's PDF) breaks its lines and fills its boxes as it was measured.

use std::sync::OnceLock;
use ttf_parser::Face;

/// The regular file, TrueType.
pub static REGULAR: &[u8] = include_bytes!("../../data/type/DejaVuSansCondensed.ttf");
/// The bold file, TrueType.
pub static BOLD: &[u8] = include_bytes!("../../data/type/DejaVuSansCondensed-Bold.ttf");

/// Families for a reader that has not got ours: the ones after it are narrower, so that what was measured still holds.
pub(crate) const FAMILIES: &str = "DejaVu Sans Condensed, Liberation Sans, Arial, Helvetica, DejaVu Sans, sans-serif";

/// What stands in for a letter that the type has not got.
pub const LACKING: char = '\u{25a1}';

/// Width taken for a letter that the type has not got, shares of its height: another type's, so a guess (ours).
const UNKNOWN_WIDTH: f64 = 1.0;

/// One letter of the type.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glyph {
    /// Its number in the file.
    pub id: u16,
    /// How far the next letter stands from it, shares of the type's height.
    pub advance: f64,
}

/// Letters looked up once: basic Latin, accents, Greek and Cyrillic.
const KEPT: usize = 0x530;

struct Letters {
    face: Face<'static>,
    kept: Vec<Option<Glyph>>,
}

impl Letters {
    fn new(file: &'static [u8]) -> Option<Letters> {
        let face = Face::parse(file, 0).ok()?;
        let mut letters = Letters { face, kept: Vec::new() };
        letters.kept = (0..KEPT as u32)
            .map(|code| char::from_u32(code).and_then(|c| letters.find(c)))
            .collect();
        Some(letters)
    }

    fn find(&self, c: char) -> Option<Glyph> {
        let id = self.face.glyph_index(c)?;
        let advance = f64::from(self.face.glyph_hor_advance(id)?) / f64::from(self.face.units_per_em());
        Some(Glyph { id: id.0, advance })
    }
}

fn letters(bold: bool) -> Option<&'static Letters> {
    static LETTERS: [OnceLock<Option<Letters>>; 2] = [OnceLock::new(), OnceLock::new()];
    let file = if bold { BOLD } else { REGULAR };
    LETTERS[usize::from(bold)].get_or_init(|| Letters::new(file)).as_ref()
}

/// Scripts that are written from right to left, or whose letters join or reorder: the type may hold their letters, but a page
/// set letter by letter would misspell them.
fn needs_shaping(c: char) -> bool {
    matches!(c as u32, 0x0590..=0x08ff | 0x0900..=0x109f | 0x1780..=0x17ff | 0x1800..=0x18af | 0xfb1d..=0xfdff | 0xfe70..=0xfeff)
}

/// A letter of the type; `None` when a page set letter by letter cannot show it.
pub fn glyph(c: char, bold: bool) -> Option<Glyph> {
    let letters = letters(bold)?;
    match letters.kept.get(c as usize) {
        Some(kept) => *kept,
        None if needs_shaping(c) => None,
        None => letters.find(c),
    }
}

/// Width of a text in the type's unit: `size` is the type's height.
pub fn width(text: &str, size: f64, bold: bool) -> f64 {
    let each = |c: char| glyph(c, bold).map_or(UNKNOWN_WIDTH, |g| g.advance);
    text.chars().map(each).sum::<f64>() * size
}

/// A text with a visible box for each letter that the type cannot show, and those letters in order, each once.
pub(crate) fn settable(text: &str) -> (String, Vec<char>) {
    let mut lacking = Vec::new();
    let shown = text.chars().map(|c| {
        if glyph(c, false).is_some() && glyph(c, true).is_some() {
            return c;
        }
        if !lacking.contains(&c) {
            lacking.push(c);
        }
        LACKING
    });
    (shown.collect(), lacking)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_those_of_the_file() {
        // Read from the file's hmtx table with another program (fontTools), of 2048.
        for (text, bold, units) in [
            ("A", false, 1260.0),
            ("m", false, 1795.0),
            ("0", false, 1172.0),
            ("A", true, 1426.0),
            ("0", true, 1282.0),
        ] {
            let got = width(text, 2048.0, bold);
            assert!((got - units).abs() < 0.5, "{text} {bold}: {got}");
        }
        assert!((width("AmA", 3.0, false) - width("A", 6.0, false) - width("m", 3.0, false)).abs() < 1e-9);
    }

    #[test]
    fn greek_cyrillic_and_accents_are_there_and_what_is_not_is_a_box() {
        for text in ["Žďár Łódź Århus Çanakkale", "Ελληνικό", "Москва", "§ ° ± – … □"] {
            assert_eq!(settable(text), (text.to_string(), Vec::new()));
        }
        assert_eq!(settable("滑 A 滑走"), ("□ A □□".to_string(), vec!['滑', '走']));
        assert_eq!(settable("שדה"), ("□□□".to_string(), vec!['ש', 'ד', 'ה']));
    }
}
