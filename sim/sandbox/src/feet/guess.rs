//! A first assignment for a device that was never seen before: a guess by its shape, marked as one until its owner changes
//! something. Kernel numbers of axes and buttons; the shapes are common practice, no source.

use super::axis::Calibration;
use super::device::Description;
use super::input::Input;
use super::settings::{AxisSetting, DeviceSetting};
use crate::keys::Action;

const X: u32 = 0;
const Y: u32 = 1;
const Z: u32 = 2;
const RX: u32 = 3;
const RY: u32 = 4;
const RZ: u32 = 5;
const THROTTLE: u32 = 6;
const RUDDER: u32 = 7;
/// Lower right button of a gamepad; only gamepads have it.
const PAD_SOUTH: u32 = 0x130;
const PAD: [(u32, Action); 5] = [
    (PAD_SOUTH, Action::ParkingBrake),
    (0x136, Action::ThrottleClose),
    (0x137, Action::ThrottleOpen),
    (0x13a, Action::NextView),
    (0x13b, Action::Begin),
];

/// What the axes of a device probably are.
pub fn guess(info: &Description) -> DeviceSetting {
    let has = |code: u32| info.axis(code).is_some();
    let pad = info.buttons.contains(&PAD_SOUTH);
    let mut axes: Vec<(u32, Input)> = Vec::new();
    let mut buttons: Vec<(u32, Action)> = Vec::new();
    if pad {
        axes.extend([(X, Input::Rudder), (RX, Input::Aileron), (RY, Input::Elevator)]);
        // Triggers rest at one end; a second stick on these axes rests in the middle.
        for (code, brake) in [(Z, Input::LeftBrake), (RZ, Input::RightBrake)] {
            if info.axis(code).is_some_and(rests_at_an_end) {
                axes.push((code, brake));
            }
        }
        buttons.extend(PAD.iter().filter(|(code, _)| info.buttons.contains(code)));
    } else if info.buttons.is_empty() && has(X) && has(Y) && [RZ, Z, RUDDER].into_iter().any(has) {
        // Pedals: two toe brakes, and the bar on whichever of these it has.
        let bar = [RUDDER, RZ, Z].into_iter().find(|c| has(*c)).unwrap_or(RZ);
        axes.extend([(X, Input::LeftBrake), (Y, Input::RightBrake), (bar, Input::Rudder)]);
    } else {
        axes.extend([(X, Input::Aileron), (Y, Input::Elevator)]);
        axes.push((if has(THROTTLE) { THROTTLE } else { Z }, Input::Throttle));
        axes.push((if has(RUDDER) { RUDDER } else { RZ }, Input::Rudder));
    }
    let drives = |code: u32| axes.iter().find(|(c, _)| *c == code).map(|(_, i)| *i);
    DeviceSetting {
        name: info.name.clone(),
        guessed: true,
        axes: info
            .axes
            .iter()
            .map(|a| {
                let input = drives(a.code);
                let setting = AxisSetting {
                    drives: input,
                    calibration: Calibration::of_range(a.least, a.greatest, input),
                };
                (a.code, setting)
            })
            .collect(),
        buttons: buttons.into_iter().collect(),
    }
}

fn rests_at_an_end(axis: &super::device::AxisInfo) -> bool {
    let (low, high, now) = (f64::from(axis.least), f64::from(axis.greatest), f64::from(axis.now));
    let share = (now - low) / (high - low);
    !(0.25..=0.75).contains(&share)
}

#[cfg(test)]
mod tests {
    use super::super::device::AxisInfo;
    use super::*;

    fn device(axes: &[(u32, i32)], buttons: &[u32]) -> Description {
        Description {
            name: "made up".into(),
            axes: axes
                .iter()
                .map(|(code, now)| AxisInfo {
                    code: *code,
                    least: 0,
                    greatest: 255,
                    now: *now,
                })
                .collect(),
            buttons: buttons.to_vec(),
            ..Description::default()
        }
    }

    fn drives(d: &DeviceSetting) -> Vec<(u32, Input)> {
        d.axes.iter().filter_map(|(c, a)| a.drives.map(|i| (*c, i))).collect()
    }

    #[test]
    fn pedals_without_a_button_are_two_brakes_and_a_bar() {
        for bar in [RZ, Z, RUDDER] {
            let g = guess(&device(&[(X, 0), (Y, 0), (bar, 128)], &[]));
            assert!(g.guessed);
            assert_eq!(
                drives(&g),
                [(X, Input::LeftBrake), (Y, Input::RightBrake), (bar, Input::Rudder)]
            );
        }
    }

    #[test]
    fn a_stick_with_buttons_keeps_its_own_rudder_axis() {
        let g = guess(&device(
            &[(X, 128), (Y, 128), (RZ, 128), (THROTTLE, 0), (RUDDER, 128)],
            &[0x120, 0x121],
        ));
        let want = [
            (X, Input::Aileron),
            (Y, Input::Elevator),
            (THROTTLE, Input::Throttle),
            (RUDDER, Input::Rudder),
        ];
        assert_eq!(drives(&g), want);
        assert!(g.axes.contains_key(&RZ), "the axis left over can be assigned");
    }

    #[test]
    fn gamepad_triggers_are_brakes_but_a_second_stick_is_not() {
        let with = |now| drives(&guess(&device(&[(X, 128), (Z, now), (RZ, now)], &[PAD_SOUTH])));
        assert_eq!(
            with(0),
            [(X, Input::Rudder), (Z, Input::LeftBrake), (RZ, Input::RightBrake)]
        );
        assert_eq!(with(128), [(X, Input::Rudder)]);
    }

    #[test]
    fn odd_shapes_do_no_harm() {
        assert_eq!(drives(&guess(&device(&[], &[]))), []);
        assert_eq!(drives(&guess(&device(&[(40, 3)], &[1]))), []);
    }
}
