//! Who leads an input when keys, mouse and axes could all do it: the one moved last. A key leads when it is pressed; an axis
//! when it has moved noticeably since something else took the lead, so that a trembling axis takes nothing over.

use super::device::{Description, DeviceId};
use super::input::Input;
use super::settings::DeviceSetting;
use bevy::prelude::Resource;
use std::collections::BTreeMap;

/// How far an axis must move to take the lead, share of its travel. Ours.
pub const TAKES_OVER: f64 = 0.04;

/// Who leads an input.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Who {
    /// The keys.
    #[default]
    Keys,
    /// The mouse.
    Mouse,
    /// An axis of a device.
    Axis(DeviceId, u32),
}

#[derive(Clone, Copy, Debug)]
struct Seen {
    input: Input,
    /// Value when something else took the lead, or when it was first seen.
    settled: f64,
    now: f64,
}

/// Who leads what.
#[derive(Resource, Clone, Debug, Default)]
pub struct Lead {
    who: [Who; 8],
    seen: BTreeMap<(DeviceId, u32), Seen>,
}

impl Lead {
    /// Who leads an input.
    pub fn who(&self, input: Input) -> Who {
        self.who[input as usize]
    }

    /// The value of the axis that leads an input, if one does.
    pub fn value(&self, input: Input) -> Option<f64> {
        match self.who(input) {
            Who::Axis(id, code) => self.seen.get(&(id, code)).map(|s| s.now),
            Who::Keys | Who::Mouse => None,
        }
    }

    /// Keys or mouse take the lead.
    pub fn take(&mut self, input: Input, who: Who) {
        self.who[input as usize] = who;
        for s in self.seen.values_mut().filter(|s| s.input == input) {
            s.settled = s.now;
        }
    }

    /// An axis stands at a value of an input.
    pub fn axis(&mut self, input: Input, id: DeviceId, code: u32, value: f64) {
        let me = Who::Axis(id, code);
        let s = self.seen.entry((id, code)).or_insert(Seen {
            input,
            settled: value,
            now: value,
        });
        if s.input != input {
            // It was assigned to something else until now.
            *s = Seen {
                input,
                settled: value,
                now: value,
            };
        }
        s.now = value;
        let travel = 1.0 - input.least();
        if self.who[input as usize] != me && (value - s.settled).abs() > TAKES_OVER * travel {
            self.take(input, me);
        }
        // An axis leads only the input that it is assigned to now.
        for other in Input::ALL.into_iter().filter(|i| *i != input) {
            if self.who(other) == me {
                self.take(other, Who::Keys);
            }
        }
    }

    /// A device came: where its axes stand is where they start from, and takes nothing over.
    pub fn meet(&mut self, id: DeviceId, info: &Description, setting: &DeviceSetting) {
        for (code, axis) in &setting.axes {
            if let (Some(input), Some(a)) = (axis.drives, info.axis(*code)) {
                self.axis(input, id, *code, axis.calibration.value(f64::from(a.now), input));
            }
        }
    }

    /// A device or one of its assignments is gone: the keys take what it led. Returns what that was.
    pub fn gone(&mut self, id: DeviceId, code: Option<u32>) -> Vec<Input> {
        let hit = |d: DeviceId, c: u32| d == id && code.is_none_or(|only| only == c);
        self.seen.retain(|(d, c), _| !hit(*d, *c));
        let mut lost = Vec::new();
        for input in Input::ALL {
            if let Who::Axis(d, c) = self.who(input)
                && hit(d, c)
            {
                self.who[input as usize] = Who::Keys;
                lost.push(input);
            }
        }
        lost
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PEDALS: DeviceId = DeviceId(1);

    #[test]
    fn the_one_moved_last_leads() {
        let mut lead = Lead::default();
        lead.axis(Input::Rudder, PEDALS, 5, 0.30);
        assert_eq!(lead.who(Input::Rudder), Who::Keys, "standing somewhere is not moving");
        lead.axis(Input::Rudder, PEDALS, 5, 0.37);
        assert_eq!(lead.value(Input::Rudder), None, "a tremble takes nothing over");
        lead.axis(Input::Rudder, PEDALS, 5, 0.40);
        assert_eq!(lead.value(Input::Rudder), Some(0.40));
        lead.take(Input::Rudder, Who::Keys);
        lead.axis(Input::Rudder, PEDALS, 5, 0.43);
        assert_eq!(lead.value(Input::Rudder), None);
        lead.axis(Input::Rudder, PEDALS, 5, 0.49);
        assert_eq!(lead.value(Input::Rudder), Some(0.49));
        lead.axis(Input::Rudder, DeviceId(2), 0, 0.0);
        lead.axis(Input::Rudder, DeviceId(2), 0, -0.5);
        assert_eq!(lead.value(Input::Rudder), Some(-0.5), "a second device moved last");
    }

    #[test]
    fn what_a_lost_device_led_goes_back_to_the_keys() {
        let mut lead = Lead::default();
        for (input, code) in [(Input::Rudder, 5), (Input::LeftBrake, 0)] {
            lead.axis(input, PEDALS, code, 0.0);
            lead.axis(input, PEDALS, code, 0.5);
        }
        assert_eq!(lead.gone(PEDALS, None), [Input::Rudder, Input::LeftBrake]);
        assert_eq!(lead.gone(PEDALS, None), []);
        lead.axis(Input::Rudder, PEDALS, 5, 0.9);
        assert_eq!(
            lead.value(Input::Rudder),
            None,
            "back again, it leads only when it moves"
        );
    }

    #[test]
    fn an_axis_given_another_input_lets_go_of_the_first() {
        let mut lead = Lead::default();
        lead.axis(Input::Throttle, PEDALS, 2, 0.0);
        lead.axis(Input::Throttle, PEDALS, 2, 1.0);
        lead.axis(Input::Mixture, PEDALS, 2, 1.0);
        assert_eq!(
            (lead.who(Input::Throttle), lead.who(Input::Mixture)),
            (Who::Keys, Who::Keys)
        );
    }
}
