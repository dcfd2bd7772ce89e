//! What a person asks for.

use crate::notices::Notam;
use crate::odds::OddsAsked;
use serde::{Deserialize, Serialize};
use toeline_model::date::{Date, TimeOfDay};
use toeline_model::{Aircraft, Bearing, Wind};

/// The pilot's own wing-tip margin when none is given, metres. Ours; it happens to equal the stand clearance that ICAO
/// Annex 14 asks for the smallest aeroplanes.
pub const DEFAULT_MARGIN_M: f64 = 3.0;
/// The vertical margin between height bands, metres. Ours: wings rock and tyres give.
pub const DEFAULT_VERTICAL_MARGIN_M: f64 = 0.5;

/// Which figures decide about the gap beside the aeroplane, and with them the exit code.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MarginRule {
    /// The pilot's own margin, [`Request::margin_m`].
    #[default]
    Pilot,
    /// The rows of FAA AC 150/5300-13B; the pilot's margin where it has none.
    Faa,
    /// The rows of ICAO Annex 14; the pilot's margin where it has none.
    Icao,
}

/// A planning request: which aeroplane, from where, by way of what, to where, in what wind, on what day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Request {
    /// The aeroplane.
    pub aircraft: Aircraft,
    /// Stand to start from, by the name or feature id on the map; or a point on the apron as "longitude,latitude", degrees.
    pub from: String,
    /// Heading of the parked aeroplane from true north, when the map does not give it or it is parked otherwise.
    pub parked_heading: Option<Bearing>,
    /// Engine-check areas (or stands, or holding positions) to go by, in order, by name.
    pub via: Vec<String>,
    /// Runway designator, holding position or stand to end at; "threshold 26" is on the runway.
    pub to: String,
    /// Surface wind.
    pub wind: Wind,
    /// Day (UTC), for the magnetic model and for closures.
    pub date: Date,
    /// Time of that day (UTC), for closures; without it a closure counts when it is in force at any time of the day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time_utc: Option<TimeOfDay>,
    /// Wing-tip margin, metres.
    pub margin_m: f64,
    /// Vertical margin, metres.
    pub vertical_margin_m: f64,
    /// Horizontal accuracy of the map, metres, when the user states it.
    pub accuracy_m: Option<f64>,
    /// Which figures decide; the others are shown beside them.
    #[serde(default)]
    pub rule: MarginRule,
    /// Taxi instruction to follow exactly, in plain words (`docs/taxi-instruction.md`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instruction: Option<String>,
    /// Notices laid over the field, as they were read.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notams: Vec<Notam>,
    /// How the pupil wobbles, and how many drives are simulated with it.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub odds: OddsAsked,
}

impl Request {
    /// The same request without simulated drives: for a plan that is driven, not briefed, and need not wait for the odds.
    #[must_use]
    pub fn without_drives(&self) -> Request {
        let mut request = self.clone();
        request.odds.drives = 0;
        request
    }
}

fn is_usual(odds: &OddsAsked) -> bool {
    *odds == OddsAsked::default()
}
