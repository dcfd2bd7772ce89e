//! A notice as data, whatever form it was read from.

use super::condition::Condition;
use super::schedule::Sheet;
use serde::{Deserialize, Serialize};
use toeline_model::LonLat;
use toeline_model::date::Moment;

/// The aerodrome that a notice is about, as far as it says so.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct About {
    /// Location indicator or another code.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub code: Option<String>,
    /// Identity (UUID).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub identity: Option<String>,
}

/// Another notice that one puts an end to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ends {
    /// Its number.
    pub number: String,
    /// Whether it is replaced; else cancelled.
    pub replaced: bool,
}

/// A notice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Notam {
    /// Its number, "A0012/26", or what else tells it from others.
    pub number: String,
    /// The file it was read from.
    pub file: String,
    /// The aerodrome that it is about.
    #[serde(default)]
    pub about: About,
    /// Its own text.
    pub text: String,
    /// From when on, UTC; `None`: since ever.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Moment>,
    /// Until when, UTC, that minute not included; `None`: until further notice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<Moment>,
    /// Whether that end is an estimate: it holds on until another notice ends it.
    #[serde(default)]
    pub estimated: bool,
    /// Whether it is cancelled.
    #[serde(default)]
    pub cancelled: bool,
    /// What it puts an end to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ends: Option<Ends>,
    /// What it does, to one thing after another.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub effects: Vec<Effect>,
    /// Whether it needs no place: it is about nothing that one taxies on, or it closes nothing.
    #[serde(default)]
    pub nothing_to_lay: bool,
    /// What it says and cannot be used, in sentences: then it is never more than placed in part.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unread: Vec<String>,
    /// What was assumed on the safe side, in sentences.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub assumed: Vec<String>,
}

/// What a notice does to one thing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Effect {
    /// The thing.
    pub on: Target,
    /// From when on, within the period of the notice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Moment>,
    /// Until when, within the period of the notice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<Moment>,
    /// Days and hours within the period; the whole of it where there are none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub schedule: Vec<Sheet>,
    /// To whom it stays open; closed to everybody without it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub open_to: Option<Condition>,
}

/// What sort of thing a notice closes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// A taxiway or taxilane.
    Taxiway,
    /// A piece of pavement of a taxiway, apron or runway, by its identity.
    Pavement,
    /// A stand.
    Stand,
    /// An apron.
    Apron,
    /// A runway.
    Runway,
    /// A holding position.
    HoldingPosition,
    /// A line painted to be followed.
    Line,
    /// An area that the notice itself draws.
    Area,
}

impl Kind {
    /// What it is called.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Taxiway => "taxiway",
            Kind::Pavement => "piece of pavement",
            Kind::Stand => "stand",
            Kind::Apron => "apron",
            Kind::Runway => "runway",
            Kind::HoldingPosition => "holding position",
            Kind::Line => "guidance line",
            Kind::Area => "area",
        }
    }
}

/// The thing that a notice means.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Target {
    /// Its sort.
    pub kind: Kind,
    /// Its identity (UUID), where the notice gives one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub identity: Option<String>,
    /// Its letter, name or designator.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The two things between which it is meant: letters of lanes, or "runway 26", "stand 4", "holding position A1".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub between: Option<[String; 2]>,
    /// The ring of the part that is meant, open.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ring: Option<Vec<LonLat>>,
    /// Which part is meant, where the notice says so in words only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub said: Option<String>,
}

impl Target {
    /// Of a sort, with nothing else known.
    pub fn of(kind: Kind) -> Target {
        Target {
            kind,
            identity: None,
            name: None,
            between: None,
            ring: None,
            said: None,
        }
    }

    /// "taxiway B between A and C", "stand 4", "piece of pavement 9a537294-…".
    pub fn words(&self) -> String {
        let name = match (&self.name, &self.identity) {
            (Some(name), _) => format!(" {name}"),
            (None, Some(id)) => format!(" with identity {id}"),
            (None, None) => String::new(),
        };
        let between = self
            .between
            .as_ref()
            .map_or(String::new(), |[a, b]| format!(" between {a} and {b}"));
        format!("{}{name}{between}", self.kind.word())
    }
}
