//! What is remembered: which key does what, how every device that was ever plugged in is read, what the mouse moves. As text
//! (JSON) and back; everything wrong in a text is told at once. The disk is in `store.rs`.

use super::axis::Calibration;
use super::input::Input;
use super::key_names;
use crate::keys::{Action, Bindings};
use bevy::prelude::Resource;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Version of the file.
pub const FORMAT: u32 = 1;

/// What one axis drives and how it is read.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AxisSetting {
    /// What it drives, if anything.
    #[serde(default)]
    pub drives: Option<Input>,
    /// How it is read.
    pub calibration: Calibration,
}

/// Everything about one kind of device.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DeviceSetting {
    /// Its name when it was last seen.
    pub name: String,
    /// Whether all of this is still our guess.
    #[serde(default)]
    pub guessed: bool,
    /// Its axes, by number.
    #[serde(default)]
    pub axes: BTreeMap<u32, AxisSetting>,
    /// What its buttons do, by number.
    #[serde(default)]
    pub buttons: BTreeMap<u32, Action>,
}

/// A movement of the mouse.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MouseAxis {
    /// To the right.
    Right,
    /// Toward its owner.
    Back,
    /// The wheel, away from its owner.
    Wheel,
}

impl MouseAxis {
    /// All of them.
    pub const ALL: [MouseAxis; 3] = [MouseAxis::Right, MouseAxis::Back, MouseAxis::Wheel];

    /// Its name on the screens.
    pub fn words(self) -> &'static str {
        match self {
            MouseAxis::Right => "mouse to the side, held",
            MouseAxis::Back => "mouse along, held",
            MouseAxis::Wheel => "mouse wheel",
        }
    }
}

/// What a movement of the mouse drives.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MouseSetting {
    /// What it drives, if anything.
    pub drives: Option<Input>,
    /// Share of full travel for 1000 pixels, or for 20 clicks of the wheel.
    pub travel: f64,
    /// Whether the direction is turned round.
    #[serde(default)]
    pub inverted: bool,
}

/// Everything that is remembered.
#[derive(Resource, Clone, Debug, PartialEq)]
pub struct Settings {
    /// Devices by their vendor and product numbers.
    pub devices: BTreeMap<String, DeviceSetting>,
    /// The mouse.
    pub mouse: BTreeMap<MouseAxis, MouseSetting>,
}

impl Default for Settings {
    fn default() -> Settings {
        let drives = |axis, input, travel| {
            let setting = MouseSetting {
                drives: Some(input),
                travel,
                inverted: false,
            };
            (axis, setting)
        };
        Settings {
            devices: BTreeMap::new(),
            mouse: BTreeMap::from([
                drives(MouseAxis::Right, Input::Aileron, 3.0),
                drives(MouseAxis::Back, Input::Elevator, 3.0),
                drives(MouseAxis::Wheel, Input::Throttle, 1.0),
            ]),
        }
    }
}

/// The file as it is written.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    toeline_controls: u32,
    #[serde(default)]
    keys: BTreeMap<Action, Option<String>>,
    #[serde(default)]
    mouse: BTreeMap<MouseAxis, MouseSetting>,
    #[serde(default)]
    devices: BTreeMap<String, DeviceSetting>,
}

/// Bindings and settings as text.
pub fn to_text(bindings: &Bindings, settings: &Settings) -> String {
    let file = File {
        toeline_controls: FORMAT,
        keys: bindings
            .0
            .iter()
            .map(|b| (b.action, b.trigger.and_then(key_names::write)))
            .collect(),
        mouse: settings.mouse.clone(),
        devices: settings.devices.clone(),
    };
    // Maps with text, number and enum keys only: it cannot fail.
    serde_json::to_string_pretty(&file).unwrap_or_default()
}

/// Bindings and settings from text. What the text does not mention is as it is by default.
///
/// # Errors
/// Everything that is wrong with it.
pub fn from_text(text: &str) -> Result<(Bindings, Settings), Vec<String>> {
    let version: serde_json::Value = serde_json::from_str(text).map_err(|e| vec![format!("it is not JSON: {e}")])?;
    match version.get("toeline_controls").and_then(serde_json::Value::as_u64) {
        Some(n) if n == u64::from(FORMAT) => {}
        Some(n) => {
            return Err(vec![format!(
                "toeline_controls is {n}, and this program reads {FORMAT}"
            )]);
        }
        None => return Err(vec![format!("toeline_controls is missing; it should be {FORMAT}")]),
    }
    let file: File = serde_json::from_str(text).map_err(|e| vec![e.to_string()])?;
    let mut wrong = Vec::new();
    let mut bindings = Bindings::default();
    // First everything that is named loses its default, so that an exchange of two keys is no clash.
    for action in file.keys.keys() {
        bindings.bind(*action, None);
    }
    let mut taken: BTreeMap<String, Action> = BTreeMap::new();
    for (action, trigger) in &file.keys {
        let Some(text) = trigger else { continue };
        match key_names::read(text) {
            Ok(t) => {
                if let Some(other) = taken.insert(text.clone(), *action) {
                    wrong.push(format!("keys: {text} is given to both {other:?} and {action:?}"));
                }
                bindings.bind(*action, Some(t));
            }
            Err(e) => wrong.push(format!("keys: {action:?}: {e}")),
        }
    }
    for (key, d) in &file.devices {
        for (code, a) in &d.axes {
            if let Some(fault) = a.calibration.fault() {
                wrong.push(format!("device {key} ({}): axis {code}: {fault}", d.name));
            }
        }
    }
    let mut settings = Settings::default();
    for (axis, m) in &file.mouse {
        if !(0.05..=50.0).contains(&m.travel) {
            wrong.push(format!("mouse {axis:?}: travel {} is not from 0.05 to 50", m.travel));
        }
        settings.mouse.insert(*axis, *m);
    }
    settings.devices = file.devices;
    if wrong.is_empty() {
        Ok((bindings, settings))
    } else {
        Err(wrong)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keys::Trigger;
    use bevy::prelude::{KeyCode, MouseButton};

    fn full() -> (Bindings, Settings) {
        let mut bindings = Bindings::default();
        bindings.bind(Action::Starter, Some(Trigger::Mouse(MouseButton::Middle)));
        bindings.bind(Action::LeftPedal, Some(Trigger::Key(KeyCode::KeyD)));
        bindings.bind(Action::Magnetos, None);
        let mut settings = Settings::default();
        let axis = |drives, centre| AxisSetting {
            drives,
            calibration: Calibration {
                low: -12.0,
                centre,
                high: 1022.5,
                dead_zone: 0.08,
                curve: 0.3,
                inverted: true,
            },
        };
        let device = |name: &str| DeviceSetting {
            name: name.into(),
            guessed: false,
            axes: BTreeMap::from([(5, axis(Some(Input::Rudder), Some(500.25))), (40, axis(None, None))]),
            buttons: BTreeMap::from([(288, Action::Starter)]),
        };
        settings.devices.insert("1209:0001".into(), device("one"));
        settings.devices.insert("1209:0002".into(), device("two"));
        if let Some(m) = settings.mouse.get_mut(&MouseAxis::Wheel) {
            m.drives = None;
        }
        (bindings, settings)
    }

    #[test]
    fn everything_comes_back_as_it_was() {
        for (b, s) in [full(), (Bindings::default(), Settings::default())] {
            let text = to_text(&b, &s);
            assert_eq!(from_text(&text), Ok((b, s)), "{text}");
        }
    }

    #[test]
    fn what_is_not_mentioned_is_as_by_default() {
        let (b, s) = from_text(r#"{"toeline_controls": 1, "keys": {"starter": "KeyF"}}"#).expect("a short file");
        assert_eq!(b.key(Action::Starter), Some(KeyCode::KeyF));
        assert_eq!(b.key(Action::LeftPedal), None, "its key was given away");
        assert_eq!(b.key(Action::RightPedal), Some(KeyCode::KeyJ));
        assert_eq!(s, Settings::default());
    }

    #[test]
    fn every_fault_is_named_with_value_and_limit() {
        let text = to_text(&full().0, &full().1)
            .replacen("0.08", "0.7", 1)
            .replace("1022.5", "-13.0")
            .replace("\"KeyD\"", "\"KeyJ\"")
            .replace("mouse middle", "mouse tail");
        let said = from_text(&text).expect_err("it is broken").join("\n");
        for part in [
            "device 1209:0001 (one): axis 5",
            "low -12 is not below high -13",
            "1209:0002",
            "KeyJ is given to both",
            "mouse tail",
        ] {
            assert!(said.contains(part), "\"{part}\" is missing in: {said}");
        }
        for (text, part) in [
            ("", "not JSON"),
            ("[1]", "toeline_controls is missing"),
            (r#"{"toeline_controls": 2}"#, "reads 1"),
            (r#"{"toeline_controls": 1, "keys": {"fly": null}}"#, "fly"),
            (r#"{"toeline_controls": 1, "more": 1}"#, "more"),
            (
                r#"{"toeline_controls": 1, "mouse": {"wheel": {"drives": null, "travel": 0.0}}}"#,
                "travel 0 is not from",
            ),
        ] {
            let said = from_text(text).expect_err(text).join("\n");
            assert!(said.contains(part), "{text}: {said}");
        }
    }
}
