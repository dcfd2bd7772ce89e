//! A feature's properties and what they say apart from numbers.

use super::number;
use serde_json::Number;
use std::borrow::Cow;
use toeline_model::airfield::{Surface, Way};

/// Longest name kept, characters.
pub(super) const NAME_LIMIT: usize = 80;

/// Most sentences of one property that are shown.
const MOST_SENTENCES: usize = 100;

/// A property's value; its text is borrowed from the file where nothing in it is escaped.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Value<'t> {
    /// Null.
    Null,
    /// A truth value.
    Bool(bool),
    /// A number.
    Number(Number),
    /// A text.
    String(Cow<'t, str>),
    /// A list or an object: no property that is read is one.
    Other,
}

/// The properties of a feature, sorted by key.
#[derive(Default)]
pub(super) struct Tags<'t>(Vec<(Cow<'t, str>, Value<'t>)>);

/// Text without control characters, trimmed, and never longer than [`NAME_LIMIT`] characters.
pub(super) fn clean(text: &str) -> Cow<'_, str> {
    // Nearly every text of a file is clean as it stands.
    if text.len() <= NAME_LIMIT && text.bytes().all(|b| (b' '..=b'~').contains(&b)) {
        return Cow::Borrowed(text.trim());
    }
    // Direction marks would let a name from a file reorder the words around it on a terminal.
    let harmful = |c: char| {
        c.is_control()
            || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
    };
    let spaced: String = text
        .chars()
        .take(4 * NAME_LIMIT)
        .map(|c| if harmful(c) { ' ' } else { c })
        .collect();
    let cut: String = spaced.trim().chars().take(NAME_LIMIT).collect();
    Cow::Owned(cut.trim_end().to_string())
}

impl<'t> Tags<'t> {
    /// Of a key that is there twice the last value counts, as with most readers of JSON (RFC 8259 leaves it open).
    pub(super) fn new(mut list: Vec<(Cow<'t, str>, Value<'t>)>) -> Tags<'t> {
        list.reverse();
        list.sort_by(|a, b| a.0.cmp(&b.0));
        list.dedup_by(|next, kept| next.0 == kept.0);
        Tags(list)
    }

    /// The value as it is in the file.
    pub(super) fn raw(&self, key: &str) -> Option<&Value<'t>> {
        // Few keys are sooner looked through than halved: most differ in length already.
        const FEW: usize = 12;
        let (_, value) = if self.0.len() <= FEW {
            self.0.iter().find(|(k, _)| k.as_ref() == key)?
        } else {
            let i = self.0.binary_search_by(|(k, _)| k.as_ref().cmp(key)).ok()?;
            self.0.get(i)?
        };
        (*value != Value::Null).then_some(value)
    }

    /// The keys, in order.
    pub(super) fn keys(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(|(k, _)| k.as_ref())
    }

    /// The value as clean text; truth values read as yes and no. `None` when empty.
    pub(super) fn text(&self, key: &str) -> Option<String> {
        self.shown(key).map(Cow::into_owned)
    }

    /// A text as sentences that are shown, one a line, each longer than a name may be. None for what is no text.
    pub(super) fn sentences(&self, key: &str) -> Vec<String> {
        match self.raw(key) {
            Some(Value::String(s)) => s.split('\n').take(MOST_SENTENCES).map(crate::clean::sentence).collect(),
            _ => Vec::new(),
        }
    }

    /// The same as [`Tags::text`], borrowed where it can be.
    fn shown(&self, key: &str) -> Option<Cow<'_, str>> {
        let text = match self.raw(key)? {
            Value::String(s) => clean(s),
            Value::Bool(true) => Cow::Borrowed("yes"),
            Value::Bool(false) => Cow::Borrowed("no"),
            Value::Number(n) => Cow::Owned(n.to_string()),
            _ => return None,
        };
        (!text.is_empty()).then_some(text)
    }

    /// The value in lower case, for comparing with tag values.
    pub(super) fn word(&self, key: &str) -> Cow<'_, str> {
        match self.shown(key) {
            None => Cow::Borrowed(""),
            Some(text) if text.bytes().all(|b| b.is_ascii() && !b.is_ascii_uppercase()) => text,
            Some(text) => Cow::Owned(text.to_lowercase()),
        }
    }

    /// Whether the key says yes in any way but "no".
    pub(super) fn says(&self, key: &str) -> bool {
        !matches!(self.word(key).as_ref(), "" | "no" | "false" | "0")
    }

    /// Name: `ref`, else `name`.
    pub(super) fn called(&self) -> Option<String> {
        self.text("ref").or_else(|| self.text("name"))
    }

    /// Name of a thing that stands there: `name`, else `ref`.
    pub(super) fn called_thing(&self) -> Option<String> {
        self.text("name").or_else(|| self.text("ref"))
    }

    /// Level: `layer`, or 1 on a bridge and -1 in a tunnel.
    pub(super) fn level(&self) -> i32 {
        match self.raw("layer").and_then(number::whole) {
            Some(n) => n,
            None if self.says("bridge") => 1,
            None if self.says("tunnel") => -1,
            None => 0,
        }
    }

    /// Letters of a taxiway: `ref` as a list, else a short `name` or the short last word of "Taxiway B".
    pub(super) fn letters(&self) -> Vec<String> {
        let mut list: Vec<String> = Vec::new();
        let mut add = |text: &str| {
            let t = text.trim();
            if !t.is_empty() && !list.iter().any(|have| have.to_lowercase() == t.to_lowercase()) {
                list.push(t.to_string());
            }
        };
        if let Some(r) = self.text("ref") {
            r.split([';', ',']).for_each(&mut add);
        } else if let Some(name) = self.text("name") {
            let short = |t: &str| t.chars().count() <= 3;
            let mut words = name.split_whitespace();
            let first = words.next().unwrap_or_default().to_lowercase();
            match words.next_back() {
                _ if short(&name) => add(&name),
                Some(last) if matches!(first.as_str(), "taxiway" | "taxilane" | "twy" | "txl") && short(last) => {
                    add(last)
                }
                _ => {}
            }
        }
        list
    }

    /// Surface; `Err` with the value when it is not known.
    pub(super) fn surface(&self) -> Result<Surface, String> {
        let word = self.word("surface");
        let base = word.split([':', ';']).next().unwrap_or_default().trim();
        Ok(match base {
            "" | "unknown" => Surface::Unknown,
            "asphalt" | "concrete" | "paved" | "paving_stones" | "sett" | "tarmac" | "bitumen" | "bituminous"
            | "metal" | "chipseal" | "asphalt/concrete" | "concrete/asphalt" | "cobblestone" => Surface::Paved,
            "grass" | "turf" | "grass_paver" => Surface::Grass,
            "unpaved" | "gravel" | "fine_gravel" | "dirt" | "earth" | "ground" | "sand" | "compacted" | "clay"
            | "mud" | "coral" | "laterite" | "pebblestone" | "soil" | "rock" | "shells" => Surface::Loose,
            "ice" => Surface::Ice,
            "water" => Surface::Water,
            _ => return Err(self.text("surface").unwrap_or_default()),
        })
    }

    /// Permitted sense; `Err` with the value when it is not known.
    pub(super) fn way(&self) -> Result<Way, String> {
        match self.word("oneway").as_ref() {
            "" | "no" | "false" | "0" => Ok(Way::Both),
            "yes" | "true" | "1" => Ok(Way::Forward),
            "-1" | "reverse" => Ok(Way::Backward),
            _ => Err(self.text("oneway").unwrap_or_default()),
        }
    }
}
