//! Whether a feature is in use: markers in key or value, and closures with dates.

use super::properties::{CLOSED, CLOSED_FROM, CLOSED_TO};
use super::tags::Tags;
use super::working::{Desk, Item};
use crate::notice::NoticeKind::Doubt;
use toeline_model::airfield::{Closed, Closure};
use toeline_model::date::{Date, Moment};

/// Words that mark something as not in use, and whether what bears one is gone (or not there yet) rather than shut.
pub const MARKERS: [(&str, bool); 13] = [
    ("disused", false),
    ("abandoned", false),
    ("construction", false),
    ("closed", false),
    ("proposed", true),
    ("planned", true),
    ("razed", true),
    ("demolished", true),
    ("removed", true),
    ("destroyed", true),
    ("dismantled", true),
    ("was", false),
    ("historic", false),
];
/// Keys whose value may be a marker, besides `aeroway` itself.
pub const STATUS_KEYS: [&str; 4] = ["status", "operational_status", "runway", "taxiway"];
/// Markers that stand as a prefix only: `historic=yes` says that something is old, not that it is gone.
const PREFIX_ONLY: [&str; 2] = ["was", "historic"];

/// What a prefix marks, behind the word.
const MARKED: &str = ":aeroway";

fn marked(tags: &Tags<'_>, word: &str) -> bool {
    let own_key = !PREFIX_ONLY.contains(&word) && tags.says(word);
    own_key
        || tags.says(&format!("{word}{MARKED}"))
        || tags.word("aeroway") == word
        || STATUS_KEYS.iter().any(|key| tags.word(key) == word)
}

/// Whether a feature can bear a marker at all; nearly none can, and asking for each marker takes long.
fn may_be_marked(tags: &Tags<'_>) -> bool {
    let known = |word: &str| MARKERS.iter().any(|(w, _)| *w == word);
    tags.keys().any(|key| {
        known(key)
            || key.ends_with(MARKED)
            || ((key == "aeroway" || STATUS_KEYS.contains(&key)) && known(&tags.word(key)))
    })
}

fn phrase(word: &str) -> String {
    match word {
        "construction" => "under construction".to_string(),
        "was" | "historic" => "of the past".to_string(),
        other => other.to_string(),
    }
}

/// Whether the reason of a closure is a lifecycle marker: the thing is out of use, not shut for a time.
pub(crate) fn is_marker(reason: &str) -> bool {
    MARKERS.iter().any(|(w, _)| *w != UNSAID && phrase(w) == reason)
}

/// The marker that a feature bears, in words.
pub(super) fn marker(tags: &Tags<'_>) -> Option<String> {
    if !may_be_marked(tags) {
        return None;
    }
    MARKERS.iter().find(|(w, _)| marked(tags, w)).map(|(w, _)| phrase(w))
}

/// The marker that says a standing thing is gone or not there yet, in words. A prefix speaks of its own key only:
/// `was:aeroway=hangar` beside `building=yes` is a building still.
pub(super) fn gone(tags: &Tags<'_>) -> Option<String> {
    if !may_be_marked(tags) {
        return None;
    }
    MARKERS
        .iter()
        .find(|(w, gone)| *gone && (tags.says(w) || STATUS_KEYS.iter().any(|key| tags.word(key) == *w)))
        .map(|(w, _)| phrase(w))
}

/// What a lifecycle marker says the thing was or will be: the word, and the `aeroway` value behind it.
pub(super) fn former(tags: &Tags<'_>) -> Option<(&'static str, String)> {
    if !may_be_marked(tags) {
        return None;
    }
    let aeroway = tags.word("aeroway");
    MARKERS.iter().find_map(|(w, _)| {
        let key = format!("{w}{MARKED}");
        if aeroway.is_empty() && tags.says(&key) {
            return Some((*w, tags.word(&key).into_owned()));
        }
        (aeroway == *w).then(|| (*w, tags.word(w).into_owned()))
    })
}

/// The reason of what is closed without one.
const UNSAID: &str = "closed";

/// Whether a feature may be used.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Shut {
    /// It may.
    Open,
    /// Closed for good, with the reason.
    ForGood(String),
    /// Closed for a time: reason, begin and end.
    Dated(String, Option<Moment>, Option<Moment>),
}

impl Shut {
    /// The reason, where it is closed for good.
    pub(super) fn for_good(&self) -> Option<String> {
        match self {
            Shut::ForGood(reason) => Some(reason.clone()),
            Shut::Open | Shut::Dated(..) => None,
        }
    }

    /// With another reason where none was given.
    pub(super) fn because(self, reason: Option<String>) -> Shut {
        let better = |own: String| match &reason {
            Some(text) if own == UNSAID => text.clone(),
            _ => own,
        };
        match self {
            Shut::Open => Shut::Open,
            Shut::ForGood(own) => Shut::ForGood(better(own)),
            Shut::Dated(own, from, until) => Shut::Dated(better(own), from, until),
        }
    }

    /// The closure of a feature that cannot bear it itself, or that is closed for a time only.
    pub(super) fn closure(&self, id: &str, name: String, closed: Closed) -> Option<Closure> {
        let (reason, from, until) = match self {
            Shut::Open => return None,
            Shut::ForGood(reason) => (reason.clone(), None, None),
            Shut::Dated(reason, from, until) => (reason.clone(), *from, *until),
        };
        Some(Closure {
            id: id.to_string(),
            name,
            closed,
            reason,
            from,
            until,
        })
    }

    /// The same for one that bears closing for good itself.
    pub(super) fn dated(&self, id: &str, name: String) -> Option<Closure> {
        match self {
            Shut::Dated(..) => self.closure(id, name, Closed::Itself),
            Shut::Open | Shut::ForGood(_) => None,
        }
    }
}

/// Reads whether a feature may be used. Whatever cannot be read leaves it closed.
pub(super) fn shut(desk: &mut Desk, item: &Item<'_>) -> Shut {
    let said = item.tags.text(CLOSED.key).filter(|_| item.tags.says(CLOSED.key));
    let from = moment(desk, item, CLOSED_FROM.key, false);
    let until = moment(desk, item, CLOSED_TO.key, true);
    let dated = item.tags.raw(CLOSED_FROM.key).is_some() || item.tags.raw(CLOSED_TO.key).is_some();
    let refused = item.tags.raw(CLOSED.key).is_some() && said.is_none();
    let reason = match said {
        Some(text) if !text.eq_ignore_ascii_case("yes") => text,
        _ => UNSAID.to_string(),
    };
    if let Some(word) = marker(&item.tags) {
        return Shut::ForGood(word);
    }
    if refused || (!dated && item.tags.raw(CLOSED.key).is_none()) {
        return Shut::Open;
    }
    match (from, until) {
        (None, None) => Shut::ForGood(reason),
        (Some(a), Some(b)) if a >= b => {
            let text = format!(
                "{}=\"{a}\" is not before {}=\"{b}\"; taken as closed for good",
                CLOSED_FROM.key, CLOSED_TO.key
            );
            desk.tell(Doubt, item, text);
            Shut::ForGood(reason)
        }
        (from, until) => Shut::Dated(reason, from, until),
    }
}

/// A moment, or the begin or end of a whole day.
fn moment(desk: &mut Desk, item: &Item<'_>, key: &str, end_of_day: bool) -> Option<Moment> {
    item.tags.raw(key)?;
    let text = item.tags.text(key).unwrap_or_default();
    if let Ok(day) = Date::parse(&text) {
        return Some(Moment::start_of(if end_of_day { day.next() } else { day }));
    }
    Moment::parse(&text)
        .map_err(|e| {
            desk.tell(
                Doubt,
                item,
                format!("{key}={e}, or as YYYY-MM-DD; taken as closed without it"),
            )
        })
        .ok()
}
