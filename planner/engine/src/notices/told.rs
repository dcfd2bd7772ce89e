//! What became of a notice, in words and figures for every form.

use crate::clean;
use serde::{Deserialize, Serialize};
use toeline_model::date::Moment;

/// Whether a notice could be laid on the field.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// Whole.
    Placed,
    /// Something of it, and something not.
    PlacedInPart,
    /// Nothing of it.
    NotPlaced,
    /// It is certainly about another aerodrome.
    OtherAerodrome,
}

impl Status {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Status::Placed => "placed",
            Status::PlacedInPart => "placed in part",
            Status::NotPlaced => "not placed",
            Status::OtherAerodrome => "about another aerodrome",
        }
    }
}

/// Whether it holds at the time of the plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Force {
    /// It does.
    InForce,
    /// For a part of the day, and no time of day is given: taken as closed.
    PartOfDay,
    /// Its end was an estimate and is past: it holds on until another notice ends it.
    PastEstimate,
    /// It begins so many minutes after the time of the plan.
    Soon(i64),
    /// It does not, and begins then or holds again then.
    NotNow(Moment),
    /// It has ended.
    Over,
    /// It is cancelled, or replaced, by the notice of that number where one says so.
    Cancelled(Option<String>),
    /// It closes nothing: it only puts an end to another.
    Ends,
}

impl Force {
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Force::InForce => "in force".to_string(),
            Force::PartOfDay => {
                "in force for a part of the day; taken as closed, as no time of day is given".to_string()
            }
            Force::PastEstimate => {
                "in force: its estimated end is past, and it holds until another notice ends it".to_string()
            }
            Force::Soon(minutes) => {
                format!("begins {minutes} min after the time of this plan; taken as open")
            }
            Force::NotNow(m) => format!("not in force at the time of this plan; from {m}"),
            Force::Over => "over at the time of this plan".to_string(),
            Force::Cancelled(None) => "cancelled".to_string(),
            Force::Cancelled(Some(by)) => format!("cancelled or replaced by {by}"),
            Force::Ends => "closes nothing: it ends another notice".to_string(),
        }
    }

    /// Whether it counts.
    pub fn counts(&self) -> bool {
        matches!(self, Force::InForce | Force::PartOfDay | Force::PastEstimate)
    }
}

/// Whether what it was laid on is closed to this aeroplane.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Use {
    /// Closed to it.
    Closed,
    /// Some of it closed, some open.
    Partly,
    /// Open to it.
    Open,
}

impl Use {
    fn words(self) -> &'static str {
        match self {
            Use::Closed => "closed to this aeroplane",
            Use::Partly => "partly closed to this aeroplane",
            Use::Open => "open to this aeroplane",
        }
    }
}

/// One notice as the forms tell it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Told {
    /// Its number.
    pub number: String,
    /// The file it was read from.
    pub file: String,
    /// Its own text.
    pub text: String,
    /// Whether it could be laid on the field.
    pub status: Status,
    /// Whether it holds.
    pub force: Force,
    /// Its period and hours, in words.
    pub when: String,
    /// What it was laid on.
    pub on: Vec<String>,
    /// To whom that stays open, in words; to nobody where there are none.
    pub to: Vec<String>,
    /// Whether that is closed to this aeroplane; absent where it does not count or there is no aeroplane.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub open: Option<Use>,
    /// What could not be placed and why, and what was assumed.
    pub why: Vec<String>,
}

/// A notice as the JSON forms have it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shown {
    /// Its number.
    pub number: String,
    /// The file it was read from.
    pub file: String,
    /// Its own text.
    pub text: String,
    /// Whether it could be laid on the field.
    pub status: Status,
    /// Whether it counts at the time of the plan.
    pub counts: bool,
    /// Whether it holds, in words.
    pub force: String,
    /// Its period and hours, in words.
    pub when: String,
    /// What it was laid on.
    pub on: Vec<String>,
    /// To whom that stays open, in words.
    pub to: Vec<String>,
    /// Whether that is closed to this aeroplane.
    #[serde(default, rename = "use", skip_serializing_if = "Option::is_none")]
    pub open: Option<Use>,
    /// What could not be placed and why, and what was assumed.
    pub why: Vec<String>,
    /// What became of it, in a sentence.
    pub outcome: String,
}

impl Shown {
    /// Number and text, what became of it, its period, what could not be done.
    pub fn sentences(&self) -> Vec<String> {
        let text = if self.text.is_empty() {
            "(no text)"
        } else {
            self.text.as_str()
        };
        let mut list = vec![
            format!("NOTAM {}: {text}", self.number),
            self.outcome.clone(),
            self.when.clone(),
        ];
        list.extend(self.why.iter().cloned());
        list
    }

    /// The same on one line.
    pub fn line(&self) -> String {
        let mut list = self.sentences();
        let first = list.remove(0);
        let dot = if first.ends_with(['.', '!', '?']) { "" } else { "." };
        format!("{first}{dot} [{}]", list.join("; "))
    }

    /// Rank among others: what keeps the verdict down first, then what counts, what begins soon, and the rest.
    fn rank(&self) -> usize {
        match (self.status, self.counts) {
            (Status::OtherAerodrome, _) => 3,
            (Status::NotPlaced | Status::PlacedInPart, true) => 0,
            (Status::Placed, true) => 1,
            (_, false) => 2,
        }
    }
}

/// Notices as the forms tell them: those that decide first, otherwise in the order they were given.
pub fn shown(all: &[Told]) -> Vec<Shown> {
    let mut list: Vec<Shown> = all.iter().map(Told::shown).collect();
    list.sort_by_key(Shown::rank);
    list
}

/// Features named in a sentence; the rest is counted.
const NAMED: usize = 8;

impl Told {
    /// Whether it keeps the verdict from being better than "not known".
    pub fn lowers(&self) -> bool {
        self.force.counts() && matches!(self.status, Status::NotPlaced | Status::PlacedInPart)
    }

    /// Why it does.
    pub fn lowering(&self) -> String {
        let why = self.why.last().map_or(String::new(), |w| format!(": {w}"));
        clean::sentence(&format!("NOTAM {} is {}{why}", self.number, self.status.words()))
    }

    /// What became of it, in one sentence.
    pub fn outcome(&self) -> String {
        let mut text = format!("{}, {}", self.status.words(), self.force.words());
        if !self.on.is_empty() {
            let shown: Vec<&str> = self.on.iter().take(NAMED).map(String::as_str).collect();
            let more = match self.on.len().saturating_sub(NAMED) {
                0 => String::new(),
                n => format!(" and {n} more"),
            };
            text += &format!("; laid on {}{more}", shown.join(", "));
        }
        for to in &self.to {
            text += &format!("; {to}");
        }
        if let Some(open) = self.open {
            text += &format!("; {}", open.words());
        }
        clean::shown(&text, 600)
    }

    /// As the JSON forms have it, every text safe to show.
    pub fn shown(&self) -> Shown {
        let clean_list = |l: &[String]| l.iter().map(|t| clean::sentence(t)).collect();
        Shown {
            number: clean::name(&self.number),
            file: clean::name(&self.file),
            text: self.text.clone(),
            status: self.status,
            counts: self.force.counts() && self.status != Status::OtherAerodrome,
            force: self.force.words(),
            when: clean::sentence(&self.when),
            on: clean_list(&self.on),
            to: clean_list(&self.to),
            open: self.open,
            why: clean_list(&self.why),
            outcome: self.outcome(),
        }
    }
}
