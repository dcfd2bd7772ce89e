//! Conditions on who may use something, in three values: what cannot be known of this aeroplane or this flight is neither true
//! nor false, and closes.

use serde::{Deserialize, Serialize};
use toeline_model::Aircraft;
use toeline_model::units::round_to;

/// Deepest nesting of conditions that is read (ours).
pub const DEEPEST: usize = 16;

/// Three values: the logic of Kleene, in which an unknown stays one unless the other side decides alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Truth {
    /// Holds.
    Yes,
    /// Does not hold.
    No,
    /// Cannot be known.
    Unknown,
}

impl Truth {
    fn of(known: bool) -> Truth {
        if known { Truth::Yes } else { Truth::No }
    }
}

impl core::ops::Not for Truth {
    type Output = Truth;
    fn not(self) -> Truth {
        match self {
            Truth::Yes => Truth::No,
            Truth::No => Truth::Yes,
            Truth::Unknown => Truth::Unknown,
        }
    }
}

/// How a figure of the aeroplane stands to that of a condition.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Is {
    /// Greater.
    Above,
    /// Greater or the same.
    AtLeast,
    /// The same.
    Same,
    /// Smaller or the same.
    AtMost,
    /// Smaller.
    Below,
}

impl Is {
    fn holds(self, own: f64, asked: f64) -> bool {
        match self {
            Is::Above => own > asked,
            Is::AtLeast => own >= asked,
            Is::Same => own == asked,
            Is::AtMost => own <= asked,
            Is::Below => own < asked,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Is::Above => "above",
            Is::AtLeast => "of at least",
            Is::Same => "of exactly",
            Is::AtMost => "of at most",
            Is::Below => "below",
        }
    }
}

/// A condition on the aeroplane and its flight.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Condition {
    /// Every one of them; holds where there is none.
    All(Vec<Condition>),
    /// One of them at least; does not hold where there is none.
    Any(Vec<Condition>),
    /// Not this one.
    Not(Box<Condition>),
    /// Wing span, metres.
    Span(Is, f64),
    /// Mass, kilograms: the greatest permitted one of the aeroplane.
    Mass(Is, f64),
    /// How many engines.
    Engines(Is, u32),
    /// A sort of aircraft that every aeroplane of this program is of (`true`) or none is (`false`), in words.
    Sort(String, bool),
    /// What nobody here can know, in words: "an emergency flight".
    Unknown(String),
}

impl Condition {
    /// Whether an aeroplane meets it.
    pub fn of(&self, aircraft: &Aircraft) -> Truth {
        match self {
            Condition::All(list) => {
                let all: Vec<Truth> = list.iter().map(|c| c.of(aircraft)).collect();
                match (all.contains(&Truth::No), all.contains(&Truth::Unknown)) {
                    (true, _) => Truth::No,
                    (false, true) => Truth::Unknown,
                    (false, false) => Truth::Yes,
                }
            }
            Condition::Any(list) => {
                let all: Vec<Truth> = list.iter().map(|c| c.of(aircraft)).collect();
                match (all.contains(&Truth::Yes), all.contains(&Truth::Unknown)) {
                    (true, _) => Truth::Yes,
                    (false, true) => Truth::Unknown,
                    (false, false) => Truth::No,
                }
            }
            Condition::Not(other) => !other.of(aircraft),
            Condition::Span(is, m) => Truth::of(is.holds(aircraft.wing.span_m, *m)),
            Condition::Mass(is, kg) => Truth::of(is.holds(aircraft.mass.greatest_kg, *kg)),
            Condition::Engines(is, n) => Truth::of(is.holds(aircraft.propellers.len() as f64, f64::from(*n))),
            Condition::Sort(_, ours) => Truth::of(*ours),
            Condition::Unknown(_) => Truth::Unknown,
        }
    }

    /// In words: "a wing span above 36 m".
    pub fn words(&self) -> String {
        let joined = |list: &[Condition], word: &str| {
            let inner: Vec<String> = list
                .iter()
                .map(|c| match c {
                    Condition::All(l) | Condition::Any(l) if l.len() > 1 => format!("({})", c.words()),
                    other => other.words(),
                })
                .collect();
            inner.join(word)
        };
        match self {
            Condition::All(list) if list.is_empty() => "anything".to_string(),
            Condition::Any(list) if list.is_empty() => "nothing".to_string(),
            Condition::All(list) => joined(list, " and "),
            Condition::Any(list) => joined(list, " or "),
            Condition::Not(other) => match other.as_ref() {
                Condition::All(l) | Condition::Any(l) if l.len() > 1 => format!("not ({})", other.words()),
                one => format!("not {}", one.words()),
            },
            Condition::Span(is, m) => format!("a wing span {} {} m", is.words(), round_to(*m, 2)),
            Condition::Mass(is, kg) => format!("a mass {} {} kg", is.words(), round_to(*kg, 0)),
            Condition::Engines(Is::Same, 1) => "one engine".to_string(),
            Condition::Engines(Is::Same, n) => format!("{n} engines"),
            Condition::Engines(is, n) => format!("a number of engines {} {n}", is.words()),
            Condition::Sort(words, _) | Condition::Unknown(words) => words.clone(),
        }
    }

    /// What of it cannot be known, in words, each once.
    pub fn unknowns(&self) -> Vec<String> {
        let mut list = Vec::new();
        self.gather(&mut list);
        list
    }

    fn gather(&self, list: &mut Vec<String>) {
        match self {
            Condition::All(inner) | Condition::Any(inner) => inner.iter().for_each(|c| c.gather(list)),
            Condition::Not(inner) => inner.gather(list),
            Condition::Unknown(words) if !list.contains(words) => list.push(words.clone()),
            _ => {}
        }
    }

    /// The widest span that it admits where it asks for nothing but that, metres.
    pub fn span_limit_m(&self) -> Option<f64> {
        match self {
            Condition::Span(Is::AtMost, m) => Some(*m),
            Condition::Not(inner) => match inner.as_ref() {
                Condition::Span(Is::Above, m) => Some(*m),
                Condition::All(l) | Condition::Any(l) if l.len() == 1 => {
                    Condition::Not(Box::new(l[0].clone())).span_limit_m()
                }
                _ => None,
            },
            Condition::All(l) | Condition::Any(l) if l.len() == 1 => l[0].span_limit_m(),
            _ => None,
        }
    }
}
