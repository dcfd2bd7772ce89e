//! A taxi instruction's text as words with their places, and how letters and figures are spelled on the radio.

use core::ops::Range;

/// What kind of word it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Letters and figures.
    Word,
    /// A comma, semicolon, colon or full stop.
    Break,
    /// A slash between figures, as in 17/35.
    Slash,
    /// "(callsign)".
    Callsign,
    /// Anything else.
    Odd,
}

/// A word, with the bytes of the text that it takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Word {
    pub(super) kind: Kind,
    /// In lower case.
    pub(super) text: String,
    pub(super) at: Range<usize>,
}

/// The placeholder for the aeroplane's own callsign.
pub(super) const CALLSIGN: &str = "(callsign)";

/// Cuts a text into words. Quotes and hyphens only part words, except in "x-ray" and in a pair of figures (17-35).
pub(super) fn words(text: &str) -> Vec<Word> {
    let chars: Vec<(usize, char)> = text.char_indices().collect();
    let end_of = |i: usize| chars.get(i).map_or(text.len(), |c| c.0);
    let mut list: Vec<Word> = Vec::new();
    let mut i = 0;
    while i < chars.len() {
        let (at, c) = chars[i];
        let mut next = i + 1;
        let kind = if text[at..]
            .get(..CALLSIGN.len())
            .is_some_and(|t| t.eq_ignore_ascii_case(CALLSIGN))
        {
            next = i + CALLSIGN.len();
            Kind::Callsign
        } else if c.is_alphanumeric() {
            // A point between figures is part of the word: a frequency in a remark.
            let point = |k: usize| {
                let digit = |k: usize| chars.get(k).is_some_and(|c| c.1.is_ascii_digit());
                chars[k].1 == '.' && digit(k - 1) && digit(k + 1)
            };
            while next < chars.len() && (chars[next].1.is_alphanumeric() || point(next)) {
                next += 1;
            }
            // "x-ray" is one word.
            if c.eq_ignore_ascii_case(&'x')
                && next == i + 1
                && text[at..].get(..5).is_some_and(|t| t.eq_ignore_ascii_case("x-ray"))
                && !chars.get(i + 5).is_some_and(|c| c.1.is_alphanumeric())
            {
                next = i + 5;
            }
            Kind::Word
        } else if matches!(c, ',' | ';' | ':' | '.' | '!' | '?') {
            Kind::Break
        } else if matches!(c, '/' | '-' | '\u{2010}'..='\u{2014}') {
            let digit = |k: Option<usize>| k.and_then(|k| chars.get(k)).is_some_and(|c| c.1.is_ascii_digit());
            let pair = list.last().is_some_and(|w| {
                w.kind == Kind::Word && w.at.end == at && w.text.starts_with(|c: char| c.is_ascii_digit())
            }) && digit(Some(i + 1));
            if pair {
                Kind::Slash
            } else if c == '/' {
                Kind::Odd
            } else {
                i = next;
                continue;
            }
        } else if c.is_whitespace() || matches!(c, '"' | '\'' | '\u{2018}'..='\u{201f}') {
            i = next;
            continue;
        } else {
            Kind::Odd
        };
        let at = at..end_of(next);
        list.push(Word {
            kind,
            text: text[at.clone()].to_lowercase(),
            at,
        });
        i = next;
    }
    list
}

/// The letters as spelled on the radio: ICAO Annex 10 Volume II, 5.2.1.3 (from memory), with the usual other spellings.
const ALPHABET: [(&str, char); 31] = [
    ("alfa", 'A'),
    ("alpha", 'A'),
    ("bravo", 'B'),
    ("charlie", 'C'),
    ("delta", 'D'),
    ("echo", 'E'),
    ("foxtrot", 'F'),
    ("golf", 'G'),
    ("hotel", 'H'),
    ("india", 'I'),
    ("juliett", 'J'),
    ("juliet", 'J'),
    ("juliette", 'J'),
    ("kilo", 'K'),
    ("lima", 'L'),
    ("mike", 'M'),
    ("november", 'N'),
    ("oscar", 'O'),
    ("papa", 'P'),
    ("quebec", 'Q'),
    ("romeo", 'R'),
    ("sierra", 'S'),
    ("tango", 'T'),
    ("uniform", 'U'),
    ("victor", 'V'),
    ("whiskey", 'W'),
    ("whisky", 'W'),
    ("x-ray", 'X'),
    ("xray", 'X'),
    ("yankee", 'Y'),
    ("zulu", 'Z'),
];

/// The figures as spelled on the radio, with the pronunciations that Annex 10 gives (from memory).
const FIGURES: [(&str, char); 14] = [
    ("zero", '0'),
    ("one", '1'),
    ("two", '2'),
    ("three", '3'),
    ("tree", '3'),
    ("four", '4'),
    ("fower", '4'),
    ("five", '5'),
    ("fife", '5'),
    ("six", '6'),
    ("seven", '7'),
    ("eight", '8'),
    ("nine", '9'),
    ("niner", '9'),
];

/// The letter that a word spells.
pub(super) fn letter(word: &str) -> Option<char> {
    ALPHABET.iter().find(|a| a.0 == word).map(|a| a.1)
}

/// The figure that a word spells.
pub(super) fn figure(word: &str) -> Option<char> {
    FIGURES.iter().find(|a| a.0 == word).map(|a| a.1)
}

/// How a letter or a figure is spelled; anything else stays.
pub(super) fn spelled(c: char) -> String {
    let c = c.to_ascii_uppercase();
    let found = ALPHABET.iter().chain(&FIGURES).find(|a| a.1 == c);
    found.map_or_else(|| c.to_string(), |a| a.0.to_string())
}

/// One word of a name: its letter or figure when it spells one, else itself in capitals.
pub(super) fn piece(word: &str) -> String {
    match letter(word).or_else(|| figure(word)) {
        Some(c) => c.to_string(),
        None => word.to_uppercase(),
    }
}

/// A name of the map in the form in which names are compared: words that spell a letter or a figure are that letter or
/// figure; capitals; no blanks or marks. "Foxtrot" is F, "L-North" is LNORTH.
pub(super) fn canonical(name: &str) -> String {
    let parts = words(name);
    parts
        .iter()
        .filter(|w| w.kind == Kind::Word)
        .map(|w| piece(&w.text))
        .collect()
}

/// A runway designator as it is compared: no leading noughts, capitals.
pub(super) fn designator(text: &str) -> String {
    text.trim().trim_start_matches('0').to_uppercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_know_their_place() {
        let text = "(Callsign), taxi—via “X-ray” 2; cross 17/35 ñ @";
        let list = words(text);
        let shown: Vec<(Kind, &str)> = list.iter().map(|w| (w.kind, &text[w.at.clone()])).collect();
        assert_eq!(
            shown,
            [
                (Kind::Callsign, "(Callsign)"),
                (Kind::Break, ","),
                (Kind::Word, "taxi"),
                (Kind::Word, "via"),
                (Kind::Word, "X-ray"),
                (Kind::Word, "2"),
                (Kind::Break, ";"),
                (Kind::Word, "cross"),
                (Kind::Word, "17"),
                (Kind::Slash, "/"),
                (Kind::Word, "35"),
                (Kind::Word, "ñ"),
                (Kind::Odd, "@"),
            ]
        );
    }

    #[test]
    fn names_are_compared_as_they_are_said() {
        for (name, same) in [
            ("Foxtrot", "F"),
            ("L-North", "LNORTH"),
            ("n orange", "NORANGE"),
            ("B2", "B2"),
            ("Bravo two", "B2"),
        ] {
            assert_eq!(canonical(name), same);
        }
        assert_eq!(designator("08"), "8");
        assert_eq!(designator("27l"), "27L");
    }

    #[test]
    fn every_letter_and_figure_can_be_spelled_and_read_back() {
        for c in ('A'..='Z').chain('0'..='9') {
            let word = spelled(c);
            assert_eq!(letter(&word).or_else(|| figure(&word)), Some(c), "{word}");
        }
    }
}
