//! What an aircraft file may say about lights and take-off, for the running list of a briefing. All of it may be left out:
//! the list then says "as the flight manual says".

use super::Aircraft;
use super::check::AircraftProblem;
use serde::{Deserialize, Serialize};

/// Longest text of a setting, characters (ours: it has to stand on one line of the running list).
pub const LONGEST_SETTING: usize = 40;

/// A light that can be switched.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Light {
    /// Flashing red: the engine runs or is about to.
    Beacon,
    /// Red, green and white.
    Navigation,
    /// White flashes.
    Strobe,
    /// For taxiing.
    Taxi,
    /// For landing and take-off.
    Landing,
}

impl Light {
    /// As a pilot says it.
    pub fn words(self) -> &'static str {
        match self {
            Light::Beacon => "beacon",
            Light::Navigation => "navigation lights",
            Light::Strobe => "strobes",
            Light::Taxi => "taxi light",
            Light::Landing => "landing light",
        }
    }
}

/// Settings for take-off, from the aeroplane's own manual.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TakeOff {
    /// Flaps, in words: "up", "10 deg".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flaps: Option<String>,
    /// Trim, in words: "on the take-off mark".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trim: Option<String>,
    /// Fuel selector, in words: "both", "fuller tank".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel: Option<String>,
    /// Whether there is an electric fuel pump that is on for take-off.
    #[serde(default, skip_serializing_if = "core::ops::Not::not")]
    pub fuel_pump: bool,
    /// Whether there is a propeller lever.
    #[serde(default, skip_serializing_if = "core::ops::Not::not")]
    pub propeller_lever: bool,
    /// Indicated airspeed at which the nose wheel is lifted, knots.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rotate_kt: Option<f64>,
}

/// Everything in these two that cannot be. The limits are ours.
pub(super) fn problems(a: &Aircraft, list: &mut Vec<AircraftProblem>) {
    let mut say = |key: &str, text: String| {
        list.push(AircraftProblem {
            key: key.to_string(),
            text,
        })
    };
    if let Some(lights) = &a.lights {
        for (i, light) in lights.iter().enumerate() {
            if lights[..i].contains(light) {
                say("lights", format!("{} is given twice", light.words()));
            }
        }
    }
    let Some(t) = &a.take_off else { return };
    for (key, text) in [
        ("take_off.flaps", &t.flaps),
        ("take_off.trim", &t.trim),
        ("take_off.fuel", &t.fuel),
    ] {
        let Some(text) = text else { continue };
        let count = text.chars().count();
        if text.trim().is_empty() || count > LONGEST_SETTING {
            say(key, format!("{count} characters; 1 to {LONGEST_SETTING} can be"));
        } else if text.chars().any(char::is_control) {
            say(key, "holds a control character".to_string());
        }
    }
    if let Some(kt) = t.rotate_kt
        && !(20.0..=150.0).contains(&kt)
    {
        say("take_off.rotate_kt", format!("{kt} kt is outside 20 to 150 kt"));
    }
}
