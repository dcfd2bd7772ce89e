//! Digital NOTAM: events of AIXM 5.1.1 with the features that they change for a time.
//!
//! An event tells number, text and period; the features of the message that refer to it tell what is closed, when within that
//! period and to whom (`TEMPDELTA` slices, their `availability`). An availability `NORMAL` repeats the usual state of the
//! feature, because a temporary slice replaces the whole property: that is the map's to say, and it is not laid on.

mod availability;
mod event;
mod timesheet;
mod usage;

use super::error::NoticesError;
use super::notam::{Effect, Kind, Notam, Target};
use super::{MOST_EFFECTS, MOST_NOTICES};
use crate::carrier::aixm::tree::{self, Broken, Member, Node, Space};
use crate::clean;
use event::Told;
use std::collections::BTreeMap;
use toeline_model::date::Moment;

/// Features of an event that are nothing to taxi on: what happens to them closes no ground.
const NOT_GROUND: [&str; 22] = [
    "Airspace",
    "Navaid",
    "VOR",
    "DME",
    "NDB",
    "TACAN",
    "Localizer",
    "Glidepath",
    "MarkerBeacon",
    "SDF",
    "Elevation",
    "Azimuth",
    "Route",
    "RouteSegment",
    "DesignatedPoint",
    "StandardInstrumentDeparture",
    "StandardInstrumentArrival",
    "InstrumentApproachProcedure",
    "RadioCommunicationChannel",
    "AirTrafficControlService",
    "InformationService",
    "RadioFrequencyArea",
];

/// The sort of ground that a feature is; `None` where it is not read.
fn kind(name: &str) -> Option<Kind> {
    Some(match name {
        "Taxiway" => Kind::Taxiway,
        "TaxiwayElement" | "ApronElement" | "RunwayElement" => Kind::Pavement,
        "Apron" => Kind::Apron,
        "AircraftStand" => Kind::Stand,
        "Runway" | "RunwayDirection" => Kind::Runway,
        "TaxiHoldingPosition" => Kind::HoldingPosition,
        "GuidanceLine" => Kind::Line,
        _ => return None,
    })
}

/// The identity of a feature.
fn identity(feature: &Node) -> Option<String> {
    feature.value(Space::Gml, "identifier").and_then(tree::uuid)
}

/// Period of a slice; a text for what of it cannot be read.
#[derive(Clone, Debug, Default, PartialEq)]
struct Period {
    from: Option<Moment>,
    until: Option<Moment>,
    /// Whether the slice says that it has none: it is withdrawn.
    withdrawn: bool,
    doubts: Vec<String>,
}

fn period(slice: &Node) -> Period {
    let mut found = Period::default();
    let Some(valid) = slice.child(Space::Gml, "validTime") else {
        return found;
    };
    if let Some(instant) = valid.child(Space::Gml, "TimeInstant") {
        found.from = moment(instant, "timePosition", &mut found.doubts);
        return found;
    }
    let Some(p) = valid.child(Space::Gml, "TimePeriod") else {
        found.withdrawn = true;
        return found;
    };
    found.from = moment(p, "beginPosition", &mut found.doubts);
    found.until = moment(p, "endPosition", &mut found.doubts);
    if let (Some(a), Some(b)) = (found.from, found.until)
        && a >= b
    {
        found
            .doubts
            .push(format!("its end {b} is not after its begin {a}; taken to have no end"));
        found.until = None;
    }
    found
}

/// A position in time; without one, or where it is not known, `None`: since ever, or without end.
fn moment(of: &Node, name: &str, doubts: &mut Vec<String>) -> Option<Moment> {
    let node = of.child(Space::Gml, name)?;
    if node.attribute(Space::None, "indeterminatePosition").is_some() || node.is_nil() || node.text.is_empty() {
        return None;
    }
    let text = node.text.as_str();
    // An end in a year that nobody plans for is none: the standard's way to say "permanent" in some systems.
    let year = text.split('-').next().and_then(|y| y.parse::<u32>().ok());
    if name == "endPosition" && year.is_some_and(|y| (2101..=9999).contains(&y)) {
        return None;
    }
    // A fraction of a second says nothing here.
    let plain = match text.split_once('.') {
        Some((head, tail)) if tail.trim_end_matches('Z').bytes().all(|b| b.is_ascii_digit()) => format!("{head}Z"),
        _ => text.to_string(),
    };
    match Moment::parse(&plain) {
        Ok(m) => Some(m),
        Err(_) => {
            let shown = clean::name(text);
            doubts.push(format!(
                "{name} \"{shown}\" is not a moment in UTC of the years 1900 to 2100; taken as without {}",
                if name == "endPosition" { "end" } else { "begin" }
            ));
            None
        }
    }
}

/// One temporary change of one feature.
struct Change {
    feature: String,
    identity: Option<String>,
    event: Option<String>,
    sequence: (u64, u64),
    period: Period,
    slice: Node,
}

/// The slices of a feature that change it for a time or for good, the newest correction of each alone.
fn changes(feature: Node) -> Vec<Change> {
    let (name, identity) = (feature.name.clone(), identity(&feature));
    let mut newest: BTreeMap<(String, u64), Change> = BTreeMap::new();
    for property in feature.children.into_iter().filter(|c| c.is(Space::Aixm, "timeSlice")) {
        for slice in property.children {
            let said = slice
                .value(Space::Aixm, "interpretation")
                .unwrap_or_default()
                .to_string();
            if said != "TEMPDELTA" && said != "PERMDELTA" {
                continue;
            }
            let number = |key: &str| slice.value(Space::Aixm, key).and_then(|t| t.parse().ok()).unwrap_or(0);
            let sequence: (u64, u64) = (number("sequenceNumber"), number("correctionNumber"));
            let event = slice
                .all(Space::Aixm, "extension")
                .flat_map(|e| &e.children)
                .find_map(|e| e.child(Space::Event, "theEvent"))
                .and_then(Node::reference);
            let change = Change {
                feature: name.clone(),
                identity: identity.clone(),
                event,
                sequence,
                period: period(&slice),
                slice,
            };
            let key = (said, sequence.0);
            if newest.get(&key).is_none_or(|c| c.sequence.1 <= sequence.1) {
                newest.insert(key, change);
            }
        }
    }
    newest.into_values().collect()
}

/// What a message holds.
#[derive(Default)]
struct Message {
    events: BTreeMap<String, Vec<Told>>,
    order: Vec<String>,
    changes: Vec<Change>,
    features: usize,
}

enum Stop {
    Broken(Broken),
    TooMany(String),
}

impl From<Broken> for Stop {
    fn from(b: Broken) -> Stop {
        Stop::Broken(b)
    }
}

/// Reads a message of events.
pub(super) fn read(text: &str, file: &str) -> Result<Vec<Notam>, NoticesError> {
    let mut message = Message::default();
    let mut bytes = text.as_bytes();
    let taken = tree::each(&mut bytes, &mut |_| {}, &mut |member| message.take(member));
    match taken {
        Ok(()) => {}
        Err(Stop::TooMany(found)) => return Err(NoticesError::TooLarge { found }),
        Err(Stop::Broken(b)) => {
            return Err(NoticesError::Xml {
                found: clean::sentence(&format!("{}: {}", b.place, b.found)),
            });
        }
    }
    if message.events.is_empty() && message.changes.is_empty() {
        return Err(NoticesError::Xml {
            found: format!(
                "the message holds {} features, and neither an event nor a change for a time: data of an aerodrome, perhaps, to be \
                 given as FIELD",
                message.features
            ),
        });
    }
    Ok(message.notams(file))
}

impl Message {
    fn take(&mut self, member: Member) -> Result<(), Stop> {
        let Member::Feature(feature) = member else {
            return Ok(());
        };
        self.features += 1;
        if feature.is(Space::Event, "Event") {
            let id = identity(&feature).unwrap_or_else(|| format!("event of line {}", feature.line));
            if !self.events.contains_key(&id) {
                self.order.push(id.clone());
            }
            self.events.entry(id).or_default().extend(event::slices(&feature));
        } else if feature.space == Space::Aixm {
            self.changes.extend(changes(feature));
        }
        if self.events.len() > MOST_NOTICES {
            return Err(Stop::TooMany(format!("more than {MOST_NOTICES} events in one message")));
        }
        if self.changes.len() > MOST_NOTICES * 4 {
            return Err(Stop::TooMany(format!(
                "more than {} changes in one message",
                MOST_NOTICES * 4
            )));
        }
        Ok(())
    }

    fn notams(mut self, file: &str) -> Vec<Notam> {
        let mut by_event: BTreeMap<String, Vec<Change>> = BTreeMap::new();
        let mut alone: Vec<Change> = Vec::new();
        for c in std::mem::take(&mut self.changes) {
            match c.event.clone().filter(|id| self.events.contains_key(id)) {
                Some(id) => by_event.entry(id).or_default().push(c),
                None => alone.push(c),
            }
        }
        let mut list: Vec<Notam> = Vec::new();
        for id in &self.order {
            let slices = self.events.remove(id).unwrap_or_default();
            list.push(event::notam(id, slices, by_event.remove(id).unwrap_or_default(), file));
        }
        // A change without its event: the notice is the change itself.
        for c in alone {
            let number = format!("{} {}", c.feature, c.identity.as_deref().unwrap_or("without identity"));
            let mut told = Told::bare();
            told.period = c.period.clone();
            let id = number.clone();
            let mut n = event::notam(&id, vec![told], vec![c], file);
            n.number = clean::name(&number);
            n.assumed
                .push("the message holds a change without the event that tells of it".to_string());
            list.push(n);
        }
        list
    }
}

/// What the changes of an event do; what cannot be used goes to `unread`.
fn effects(changes: Vec<Change>, notam: &mut Notam) -> Vec<Effect> {
    let mut list = Vec::new();
    for c in changes {
        if c.period.withdrawn {
            continue;
        }
        for d in &c.period.doubts {
            notam.unread.push(format!("{}: {d}", c.feature));
        }
        let Some(kind) = kind(&c.feature) else {
            if NOT_GROUND.contains(&c.feature.as_str()) {
                let text = format!("about a {}, which nobody taxies on", c.feature);
                if !notam.assumed.contains(&text) {
                    notam.assumed.push(text);
                }
            } else {
                notam.unread.push(format!(
                    "changes a {}, a sort of thing whose changes are not read",
                    clean::name(&c.feature)
                ));
            }
            continue;
        };
        let on = Target {
            identity: c.identity.clone(),
            name: c.slice.value(Space::Aixm, "designator").map(clean::name),
            ..Target::of(kind)
        };
        if list.len() + 1 > MOST_EFFECTS {
            notam.unread.push(format!(
                "it changes more than {MOST_EFFECTS} things; the rest is not read"
            ));
            break;
        }
        availability::effects(&c, &on, notam, &mut list);
    }
    list
}
