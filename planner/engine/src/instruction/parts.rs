//! The parts of an instruction as they are written, read back and spoken.

use super::names::Names;
use super::words::{canonical, spelled};
use super::{Instruction, SaidName, SaidRunway, Short, Step};

/// A word about a runway or a taxiway, ready to be written.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Word {
    pub(super) crosses: bool,
    /// "runway 17/35" or "B".
    pub(super) what: String,
    pub(super) runway: bool,
    pub(super) on: Option<String>,
}

impl Word {
    pub(super) fn written(&self, with_place: bool) -> String {
        let verb = if self.crosses { "cross" } else { "hold short of" };
        let on = self.on.as_ref().filter(|_| with_place);
        let on = on.map(|l| format!(" at {l}")).unwrap_or_default();
        format!("{verb} {}{on}", self.what)
    }
}

/// The parts of an instruction, in the map's writing.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Parts {
    pub(super) hold: Option<String>,
    /// Designator.
    pub(super) runway: Option<String>,
    pub(super) runway_on: Option<String>,
    pub(super) via: Vec<String>,
    pub(super) words: Vec<Word>,
    /// Whether the places of the words are needed to tell them apart.
    pub(super) places: bool,
}

impl Parts {
    pub(super) fn icao(&self) -> String {
        let mut text = "taxi".to_string();
        match (&self.hold, &self.runway) {
            (Some(h), Some(r)) => text += &format!(" to holding point {h} runway {r}"),
            (Some(h), None) => text += &format!(" to holding point {h}"),
            (None, Some(r)) => text += &format!(" to runway {r}"),
            (None, None) => {}
        }
        if let Some(on) = self
            .runway_on
            .as_ref()
            .filter(|_| self.hold.is_none() && self.runway.is_some())
        {
            text += &format!(" at {on}");
        }
        text + &self.rest()
    }

    pub(super) fn faa(&self) -> String {
        let Some(runway) = &self.runway else { return self.icao() };
        let on = self.runway_on.as_ref().map(|l| format!(" at {l}")).unwrap_or_default();
        format!("runway {runway}{on}, taxi{}", self.rest())
    }

    fn rest(&self) -> String {
        let mut text = String::new();
        if !self.via.is_empty() {
            text += &format!(" via {}", self.via.join(", "));
        }
        for w in &self.words {
            text += &format!(", {}", w.written(self.places));
        }
        text
    }

    pub(super) fn read_back(&self) -> String {
        let mut list = Vec::new();
        list.extend(self.hold.as_ref().map(|h| format!("holding point {h}")));
        let on = self.runway_on.as_ref().filter(|_| self.hold.is_none());
        let on = on.map(|l| format!(" at {l}")).unwrap_or_default();
        list.extend(self.runway.as_ref().map(|r| format!("runway {r}{on}")));
        if !self.via.is_empty() {
            list.push(format!("via {}", self.via.join(", ")));
        }
        list.extend(self.words.iter().map(|w| w.written(self.places)));
        list.push(super::words::CALLSIGN.to_string());
        list.join(", ")
    }

    /// The read-back as it is spoken.
    pub(super) fn spoken(&self) -> String {
        let name = |n: &String| match n.strip_prefix("runway ") {
            Some(r) => format!("runway {}", spoken_runway(r)),
            None => spoken_name(n),
        };
        let spoken = Parts {
            hold: self.hold.as_ref().map(name),
            runway: self.runway.as_ref().map(|r| spoken_runway(r)),
            runway_on: self.runway_on.as_ref().map(name),
            via: self.via.iter().map(name).collect(),
            words: self
                .words
                .iter()
                .map(|w| Word {
                    what: name(&w.what),
                    on: w.on.as_ref().map(name),
                    ..w.clone()
                })
                .collect(),
            places: self.places,
        };
        spoken.read_back()
    }

    /// What must be read back: FAA AIM 4-3-18 a 9 (runway assignment, clearance to enter a runway, hold short of a runway);
    /// ICAO Doc 4444 4.5.7.5 (to enter, cross, hold short of, taxi and backtrack on any runway).
    pub(super) fn must(&self) -> Vec<String> {
        let mut list = Vec::new();
        list.extend(self.runway.as_ref().map(|r| format!("runway {r}")));
        let along = self
            .via
            .iter()
            .filter(|v| v.starts_with("runway ") || v.starts_with("backtrack "));
        list.extend(along.map(|v| format!("via {v}")));
        list.extend(self.words.iter().filter(|w| w.runway).map(|w| w.written(self.places)));
        list
    }
}

/// "B2" as "Bravo two"; longer names stay.
fn spoken_name(name: &str) -> String {
    let c = canonical(name);
    if c.chars().count() > 4 || !c.is_ascii() {
        return name.to_string();
    }
    let mut words: Vec<String> = c.chars().map(spelled).collect();
    if let Some(first) = words.first_mut() {
        *first = first[..1].to_uppercase() + &first[1..];
    }
    words.join(" ")
}

/// "27L" as "two seven left".
fn spoken_runway(designators: &str) -> String {
    let one = |d: &str| {
        let words = d.chars().map(|c| match c.to_ascii_uppercase() {
            'L' => "left".to_string(),
            'R' => "right".to_string(),
            'C' => "centre".to_string(),
            c => spelled(c),
        });
        words.collect::<Vec<_>>().join(" ")
    };
    designators.split('/').map(one).collect::<Vec<_>>().join(", ")
}

/// The parts of an instruction that was given, in the map's writing.
pub(super) fn of_instruction(names: &Names<'_>, said: &Instruction) -> Option<Parts> {
    let text = said.text.as_str();
    let runway = |r: &SaidRunway| -> Option<String> {
        let (_, first) = names.runway(text, r).ok()?;
        // The other end as it was said; both are on the map, or the name had not been found.
        Some(
            core::iter::once(first)
                .chain(r.designators.iter().skip(1).cloned())
                .collect::<Vec<_>>()
                .join("/"),
        )
    };
    let lane = |n: &SaidName| -> Option<String> { names.taxiway(text, n).ok().map(|l| names.shown(&l).to_string()) };
    let mut parts = Parts {
        hold: said.holding_point.as_ref().map(|h| h.pieces.concat()),
        runway: said.runway.as_ref().and_then(runway),
        runway_on: said.runway_on.as_ref().and_then(lane),
        places: true,
        ..Parts::default()
    };
    for step in &said.steps {
        match step {
            Step::Via(name) => {
                let list = names.taxiways(text, name).ok()?;
                parts.via.extend(list.iter().map(|(l, _)| names.shown(l).to_string()));
            }
            Step::Along { runway: r, .. } => parts.via.push(format!("runway {}", runway(r)?)),
            Step::Cross { runway: r, on, .. } => parts.words.push(Word {
                crosses: true,
                what: format!("runway {}", runway(r)?),
                runway: true,
                on: on.as_ref().and_then(lane),
            }),
            Step::HoldShort { of, on, .. } => {
                let (what, is_runway) = match of {
                    Short::Runway(r) => (format!("runway {}", runway(r)?), true),
                    Short::Named(n) => (lane(n).unwrap_or_else(|| n.pieces.concat()), false),
                };
                parts.words.push(Word {
                    crosses: false,
                    what,
                    runway: is_runway,
                    on: on.as_ref().and_then(lane),
                });
            }
        }
    }
    Some(parts)
}
