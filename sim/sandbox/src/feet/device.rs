//! What a device is to us, whatever system it hangs on: a name, who made it, axes as raw numbers, buttons. A source reports
//! what comes, moves and goes; the rack holds what is there now.

use super::settings::Settings;
use crate::keys::Action;
use bevy::prelude::Resource;
use std::collections::{BTreeMap, BTreeSet};

/// One device as long as it stays plugged in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DeviceId(pub u32);

/// An axis of a device.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AxisInfo {
    /// Its number in the system's own count.
    pub code: u32,
    /// Least raw value.
    pub least: i32,
    /// Greatest raw value.
    pub greatest: i32,
    /// Raw value when the device was found.
    pub now: i32,
}

/// A device as its source describes it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Description {
    /// Name as the device gives it.
    pub name: String,
    /// Maker's number.
    pub vendor: u16,
    /// Product's number.
    pub product: u16,
    /// Its axes.
    pub axes: Vec<AxisInfo>,
    /// Numbers of its buttons.
    pub buttons: Vec<u32>,
}

impl Description {
    /// Under what name its settings are kept: the two numbers, or the name of a device that has none.
    pub fn key(&self) -> String {
        if self.vendor == 0 && self.product == 0 {
            format!("name:{}", self.name)
        } else {
            format!("{:04x}:{:04x}", self.vendor, self.product)
        }
    }

    /// An axis by its number.
    pub fn axis(&self, code: u32) -> Option<&AxisInfo> {
        self.axes.iter().find(|a| a.code == code)
    }
}

/// Something that a source has noticed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Report {
    /// A device came.
    Here(DeviceId, Description),
    /// An axis moved to a raw value.
    Axis(DeviceId, u32, i32),
    /// A button went down or up.
    Button(DeviceId, u32, bool),
    /// A device went.
    Gone(DeviceId),
    /// A device is there that may not be read; what to do about it, in words.
    Locked(String),
    /// The source itself does not work; in words.
    NoSource(String),
}

/// Where reports come from.
pub trait DeviceSource: Send {
    /// What has happened since the last call. Never waits.
    fn poll(&mut self) -> Vec<Report>;
}

/// A device that is plugged in, with its values now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Attached {
    /// Which one.
    pub id: DeviceId,
    /// What it is.
    pub info: Description,
    /// Raw value of every axis.
    pub raw: BTreeMap<u32, i32>,
    /// Buttons that are down.
    pub down: BTreeSet<u32>,
}

/// The devices that are plugged in.
#[derive(Resource, Clone, Debug, Default, PartialEq, Eq)]
pub struct Rack {
    /// In the order in which they came.
    pub list: Vec<Attached>,
    /// Buttons that went down since the last look, even if they are up again.
    pub tapped: BTreeSet<(DeviceId, u32)>,
}

/// Range given to an axis that its source did not announce.
const UNANNOUNCED: (i32, i32) = (-32767, 32767);

impl Rack {
    /// A device by its number.
    pub fn get(&self, id: DeviceId) -> Option<&Attached> {
        self.list.iter().find(|a| a.id == id)
    }

    /// What the device buttons that are down do, and whether they were pressed since the last look.
    pub fn presses(&self, settings: &Settings) -> Vec<(Action, bool)> {
        let mut list = Vec::new();
        for a in &self.list {
            let Some(setting) = settings.devices.get(&a.info.key()) else {
                continue;
            };
            for (code, action) in &setting.buttons {
                let new = self.tapped.contains(&(a.id, *code));
                if new || a.down.contains(code) {
                    list.push((*action, new));
                }
            }
        }
        list
    }

    /// Takes a report. A report about a device that is not there is passed over.
    pub fn take(&mut self, report: &Report) {
        match report {
            Report::Here(id, info) => {
                self.list.retain(|a| a.id != *id);
                self.list.push(Attached {
                    id: *id,
                    raw: info.axes.iter().map(|a| (a.code, a.now)).collect(),
                    info: info.clone(),
                    down: BTreeSet::new(),
                });
            }
            Report::Gone(id) => {
                self.list.retain(|a| a.id != *id);
                self.tapped.retain(|(d, _)| d != id);
            }
            Report::Axis(id, code, raw) => {
                if let Some(a) = self.list.iter_mut().find(|a| a.id == *id) {
                    if a.info.axis(*code).is_none() {
                        a.info.axes.push(AxisInfo {
                            code: *code,
                            least: UNANNOUNCED.0,
                            greatest: UNANNOUNCED.1,
                            now: *raw,
                        });
                    }
                    a.raw.insert(*code, *raw);
                }
            }
            Report::Button(id, code, down) => {
                if let Some(a) = self.list.iter_mut().find(|a| a.id == *id) {
                    if !a.info.buttons.contains(code) {
                        a.info.buttons.push(*code);
                    }
                    if *down {
                        a.down.insert(*code);
                        self.tapped.insert((*id, *code));
                    } else {
                        a.down.remove(code);
                    }
                }
            }
            Report::Locked(_) | Report::NoSource(_) => {}
        }
    }
}

/// Name of an axis: the letters that the trade prints on the box, where the number is one of the usual ones.
pub fn axis_name(code: u32) -> String {
    const NAMES: [&str; 11] = [
        "X", "Y", "Z", "RX", "RY", "RZ", "throttle", "rudder", "wheel", "gas", "brake",
    ];
    match code {
        0x10..=0x17 => format!(
            "hat {} {}",
            (code - 0x10) / 2 + 1,
            if code.is_multiple_of(2) { "X" } else { "Y" }
        ),
        _ => usize::try_from(code)
            .ok()
            .and_then(|i| NAMES.get(i))
            .map_or_else(|| format!("axis {code}"), |n| (*n).to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reports_about_a_device_that_went_are_passed_over() {
        let mut rack = Rack::default();
        let id = DeviceId(1);
        rack.take(&Report::Axis(id, 0, 5));
        rack.take(&Report::Here(id, Description::default()));
        rack.take(&Report::Button(id, 300, true));
        rack.take(&Report::Axis(id, 40, 5));
        assert_eq!(rack.get(id).map(|a| (a.raw[&40], a.down.len())), Some((5, 1)));
        rack.take(&Report::Gone(id));
        rack.take(&Report::Button(id, 300, false));
        assert_eq!(rack, Rack::default());
    }

    #[test]
    fn usual_axes_have_names_and_odd_ones_numbers() {
        assert_eq!(
            [0, 5, 7, 0x10, 0x13].map(axis_name),
            ["X", "RZ", "rudder", "hat 1 X", "hat 2 Y"]
        );
        assert_eq!(axis_name(40), "axis 40");
    }
}
