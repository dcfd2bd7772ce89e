//! The event itself: number, text, period, aerodrome, and the names that it gives to what it is about.

use super::{Change, Period, period};
use crate::carrier::aixm::tree::{Node, Space};
use crate::clean;
use crate::notices::notam::{About, Effect, Ends, Kind, Notam};
use crate::notices::text_of;

/// What one slice of an event says.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Told {
    rank: (u64, u64),
    pub(super) period: Period,
    name: String,
    number: Option<String>,
    location: Option<String>,
    airport: Option<String>,
    text: String,
    estimated: bool,
    /// "N", "R" or "C".
    sort: String,
    referred: Option<String>,
}

impl Told {
    /// Nothing.
    pub(super) fn bare() -> Told {
        Told {
            rank: (0, 0),
            period: Period::default(),
            name: String::new(),
            number: None,
            location: None,
            airport: None,
            text: String::new(),
            estimated: false,
            sort: String::new(),
            referred: None,
        }
    }
}

/// The slices of an event.
pub(super) fn slices(event: &Node) -> Vec<Told> {
    let properties = event.children.iter().filter(|c| c.name == "timeSlice");
    properties.flat_map(|p| &p.children).map(slice).collect()
}

fn slice(slice: &Node) -> Told {
    let number = |key: &str| slice.value(Space::Aixm, key).and_then(|t| t.parse().ok()).unwrap_or(0);
    let value = |key: &str| slice.value(Space::Event, key);
    let mut told = Told {
        rank: (number("sequenceNumber"), number("correctionNumber")),
        period: period(slice),
        name: value("name").map(clean::name).unwrap_or_default(),
        text: value("summary").map(text_of).unwrap_or_default(),
        airport: slice
            .child(Space::Event, "concernedAirportHeliport")
            .and_then(Node::reference),
        ..Told::bare()
    };
    told.estimated = value("estimatedValidity").is_some_and(yes);
    let notifications = slice
        .all(Space::Event, "notification")
        .chain(slice.all(Space::Event, "textNOTAM"));
    // Of several notifications the last is the one that holds.
    if let Some(n) = notifications
        .flat_map(|p| &p.children)
        .filter(|n| n.name == "NOTAM")
        .last()
    {
        notification(n, &mut told);
    }
    told
}

fn yes(text: &str) -> bool {
    matches!(text.to_ascii_uppercase().as_str(), "YES" | "TRUE" | "1")
}

fn notification(n: &Node, told: &mut Told) {
    let value = |key: &str| n.value(Space::Event, key);
    let named = |series: &str, number: &str, year: &str| -> Option<String> {
        let (series, number, year) = (value(series)?, value(number)?, value(year)?);
        let year: String = year
            .chars()
            .rev()
            .take(2)
            .collect::<Vec<_>>()
            .into_iter()
            .rev()
            .collect();
        Some(clean::name(&format!("{series}{number:0>4}/{year}")))
    };
    told.number = named("series", "number", "year");
    told.referred = named("referredSeries", "referredNumber", "referredYear");
    told.sort = value("type").unwrap_or_default().to_ascii_uppercase();
    told.location = value("location").map(clean::name);
    told.estimated |= value("estimatedEnd").is_some_and(yes);
    if let Some(text) = value("text") {
        told.text = text_of(text);
    }
    if let Some(hours) = value("schedule") {
        // What is laid on are the hours of the features; where the text says others, the reader shall see it.
        told.text = text_of(&format!("{} (hours as written: {hours})", told.text));
    }
}

/// The notice of an event and its changes.
pub(super) fn notam(id: &str, mut slices: Vec<Told>, changes: Vec<Change>, file: &str) -> Notam {
    slices.sort_by_key(|s| s.rank);
    let told = slices.pop().unwrap_or_else(Told::bare);
    let mut n = Notam {
        number: told
            .number
            .clone()
            .unwrap_or_else(|| clean::name(&format!("event {id}"))),
        file: clean::name(file),
        about: About {
            code: told.location.clone(),
            identity: told.airport.clone(),
        },
        text: told.text.clone(),
        from: told.period.from,
        until: told.period.until,
        estimated: told.estimated,
        cancelled: told.period.withdrawn || told.sort == "C",
        ends: told.referred.clone().filter(|_| told.sort != "N").map(|number| Ends {
            number,
            replaced: told.sort != "C",
        }),
        effects: Vec::new(),
        nothing_to_lay: false,
        unread: told.period.doubts.clone(),
        assumed: Vec::new(),
    };
    let withdrawn = !changes.is_empty() && changes.iter().all(|c| c.period.withdrawn);
    n.cancelled |= withdrawn;
    if n.cancelled && n.ends.is_some() {
        // A notice that cancels another is in force itself, and closes nothing.
        n.cancelled = false;
        return n;
    }
    let asked = changes.iter().any(|c| super::kind(&c.feature).is_some());
    let only_above = !changes.is_empty() && changes.iter().all(|c| super::NOT_GROUND.contains(&c.feature.as_str()));
    let mut effects = super::effects(changes, &mut n);
    name_them(&mut effects, &told.name, n.about.code.as_deref());
    n.effects = effects;
    if n.effects.is_empty() && n.unread.is_empty() && asked {
        n.assumed
            .push("everything that it changes is open as usual".to_string());
    }
    n.nothing_to_lay = only_above || (asked && n.effects.is_empty() && n.unread.is_empty());
    n
}

/// The names that an event bears, put on what it is about where they fit one to one: "EADD F G H" names three taxiways. Where the
/// terms of all are the same, it does not matter which of them is which.
fn name_them(effects: &mut [Effect], name: &str, code: Option<&str>) {
    let rest = code.and_then(|c| name.strip_prefix(c)).unwrap_or(name).trim();
    let wide = |e: &Effect| !matches!(e.on.kind, Kind::Pavement | Kind::Line | Kind::Area);
    let mut things: Vec<String> = Vec::new();
    for e in effects.iter().filter(|e| wide(e)) {
        let id = e.on.identity.clone().unwrap_or_default();
        if !things.contains(&id) {
            things.push(id);
        }
    }
    let mut words: Vec<&str> = rest.split_whitespace().collect();
    if let Some(first) = words.first()
        && ["APRON", "APN", "TWY", "STAND", "RWY"].contains(&first.to_ascii_uppercase().as_str())
        && words.len() > 1
    {
        words.remove(0);
    }
    if words.is_empty()
        || words.len() != things.len()
        || effects.iter().filter(|e| wide(e)).any(|e| e.on.name.is_some())
    {
        return;
    }
    let first = effects.iter().find(|e| wide(e)).cloned();
    let alike = |e: &Effect| {
        first.as_ref().is_some_and(|f| {
            let bare = |t: &Effect| {
                (
                    t.open_to.clone(),
                    t.schedule.clone(),
                    t.from,
                    t.until,
                    t.on.said.clone(),
                )
            };
            f.on.kind == e.on.kind && bare(f) == bare(e)
        })
    };
    if words.len() > 1 && !effects.iter().filter(|e| wide(e)).all(alike) {
        return;
    }
    for e in effects.iter_mut() {
        if !matches!(e.on.kind, Kind::Pavement | Kind::Line | Kind::Area)
            && let Some(i) = things.iter().position(|t| Some(t) == e.on.identity.as_ref())
        {
            e.on.name = Some(clean::name(words[i]));
        }
    }
}
