//! Devices where there are no event nodes (Windows, macOS), by way of the gilrs library. Raw there means before any dead zone
//! or mapping of its own. Built on Linux too, so that it is checked there.

use super::device::{AxisInfo, Description, DeviceId, DeviceSource, Report};
use gilrs::{Axis, Button, EventType, GamepadId, Gilrs, GilrsBuilder};
use std::collections::BTreeMap;

/// Raw numbers that the library's shares are turned into.
const FULL: f32 = 32767.0;
const STICKS: [Axis; 8] = [
    Axis::LeftStickX,
    Axis::LeftStickY,
    Axis::LeftZ,
    Axis::RightStickX,
    Axis::RightStickY,
    Axis::RightZ,
    Axis::DPadX,
    Axis::DPadY,
];
/// Buttons that are axes on many gamepads.
const TRIGGERS: [Button; 2] = [Button::LeftTrigger2, Button::RightTrigger2];

/// The gamepads, sticks and pedals that the library sees.
pub struct Pads {
    pads: Option<Gilrs>,
    trouble: Option<String>,
    known: BTreeMap<usize, DeviceId>,
    next_id: u32,
}

impl Default for Pads {
    fn default() -> Pads {
        let pads = GilrsBuilder::new()
            .with_default_filters(false)
            .add_included_mappings(true)
            .build();
        let (pads, trouble) = match pads {
            Ok(l) => (Some(l), None),
            Err(e) => (None, Some(format!("Gamepads and pedals cannot be read: {e}"))),
        };
        Pads {
            pads,
            trouble,
            known: BTreeMap::new(),
            next_id: 1,
        }
    }
}

/// Shares are at most 1, and a cast of NaN is 0.
fn raw(share: f32) -> i32 {
    (share.clamp(-1.0, 1.0) * FULL) as i32
}

impl Pads {
    fn announce(&mut self, pad: GamepadId, reports: &mut Vec<Report>) -> DeviceId {
        let number: usize = pad.into();
        if let Some(id) = self.known.get(&number) {
            return *id;
        }
        let id = DeviceId(self.next_id);
        self.next_id += 1;
        self.known.insert(number, id);
        if let Some(library) = &self.pads {
            reports.push(Report::Here(id, describe(library, pad)));
        }
        id
    }
}

fn describe(library: &Gilrs, pad: GamepadId) -> Description {
    let pad = library.gamepad(pad);
    let mut axes: Vec<AxisInfo> = Vec::new();
    let mut add = |code: u32, least: f32, now: f32| {
        if axes.iter().all(|a| a.code != code) {
            axes.push(AxisInfo {
                code,
                least: raw(least),
                greatest: raw(1.0),
                now: raw(now),
            });
        }
    };
    for axis in STICKS {
        if let Some(code) = pad.axis_code(axis) {
            add(code.into_u32(), -1.0, pad.value(axis));
        }
    }
    for trigger in TRIGGERS {
        if let Some(code) = pad.button_code(trigger) {
            add(
                code.into_u32(),
                0.0,
                pad.button_data(trigger).map_or(0.0, |d| d.value()),
            );
        }
    }
    Description {
        name: pad.os_name().to_string(),
        vendor: pad.vendor_id().unwrap_or(0),
        product: pad.product_id().unwrap_or(0),
        axes,
        buttons: Vec::new(),
    }
}

impl DeviceSource for Pads {
    fn poll(&mut self) -> Vec<Report> {
        let mut reports = Vec::new();
        if let Some(words) = self.trouble.take() {
            reports.push(Report::NoSource(words));
        }
        // The library announces by itself only what comes later.
        let there: Vec<GamepadId> = self.pads.iter().flat_map(|l| l.gamepads().map(|(id, _)| id)).collect();
        for pad in there {
            self.announce(pad, &mut reports);
        }
        while let Some(event) = self.pads.as_mut().and_then(Gilrs::next_event) {
            if event.event == EventType::Disconnected {
                if let Some(id) = self.known.remove(&event.id.into()) {
                    reports.push(Report::Gone(id));
                }
                continue;
            }
            let id = self.announce(event.id, &mut reports);
            match event.event {
                EventType::AxisChanged(_, share, code) => reports.push(Report::Axis(id, code.into_u32(), raw(share))),
                EventType::ButtonChanged(b, share, code) if TRIGGERS.contains(&b) => {
                    reports.push(Report::Axis(id, code.into_u32(), raw(share)));
                }
                EventType::ButtonPressed(b, code) if !TRIGGERS.contains(&b) => {
                    reports.push(Report::Button(id, code.into_u32(), true));
                }
                EventType::ButtonReleased(b, code) if !TRIGGERS.contains(&b) => {
                    reports.push(Report::Button(id, code.into_u32(), false));
                }
                _ => {}
            }
        }
        reports
    }
}
