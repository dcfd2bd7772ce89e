//! What the cells of the screen of controls do. Each returns what it did, in words.

use super::axis::{Calibration, Watch};
use super::desk::{Desk, Waiting};
use super::device::{DeviceId, Rack, axis_name};
use super::guess::guess;
use super::input::Input;
use super::lead::Lead;
use super::settings::{AxisSetting, MouseAxis, Settings};
use crate::keys::{Action, Bindings, Trigger};

/// Steps of the dead zone and the curve.
const DEAD_ZONES: [f64; 9] = [0.0, 0.01, 0.02, 0.03, 0.05, 0.08, 0.12, 0.2, 0.3];
const CURVES: [f64; 6] = [0.0, 0.2, 0.4, 0.6, 0.8, 1.0];
const TRAVELS: [f64; 8] = [0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 10.0];

/// Something that a cell does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deed {
    /// Leave the screen.
    Close,
    /// Go to the keyboard check.
    KeyboardCheck,
    /// Everything back to default.
    Defaults,
    /// Give an action another key or button.
    Rebind(Action),
    /// Give an input an axis.
    FindAxis(Input),
    /// Give an axis the next input.
    Drives(DeviceId, u32),
    /// Watch an axis go from end to end.
    Calibrate(DeviceId, u32),
    /// Turn an axis round.
    Invert(DeviceId, u32),
    /// Next dead zone of an axis.
    DeadZone(DeviceId, u32),
    /// Next curve of an axis.
    Curve(DeviceId, u32),
    /// Give the mouse the next input.
    MouseDrives(MouseAxis),
    /// Turn the mouse round.
    MouseInvert(MouseAxis),
    /// Next travel of the mouse.
    MouseTravel(MouseAxis),
}

impl Deed {
    /// What it does and how, for the line at the foot.
    pub fn help(self) -> &'static str {
        match self {
            Deed::Close => "Arrows move, Enter or a click does it, Esc closes. Everything is saved at once.",
            Deed::KeyboardCheck => "See which keys and combinations this keyboard really delivers.",
            Deed::Defaults => "All keys, the mouse and the plugged-in devices back to default. Other devices are kept.",
            Deed::Rebind(_) => "Enter: give it another key, mouse button or device button.",
            Deed::FindAxis(_) => "Enter, then move the pedal, lever or stick that is to do this.",
            Deed::Drives(..) | Deed::MouseDrives(_) => "What it drives. Enter: the next, minus: the one before.",
            Deed::Calibrate(..) => "Enter, move it all the way to each end, back to rest, Enter.",
            Deed::Invert(..) | Deed::MouseInvert(_) => "Enter: turn the direction round.",
            Deed::DeadZone(..) => "Share of the travel from rest where nothing happens. Enter: more, minus: less.",
            Deed::Curve(..) => "How soft it begins; 0 is a straight line. Enter: more, minus: less.",
            Deed::MouseTravel(_) => "Share of full travel for 1000 pixels or 20 clicks. Enter: more, minus: less.",
        }
    }
}

/// The one after (or before) `now` in a list of steps, going round.
fn step(steps: &[f64], now: f64, forward: bool) -> f64 {
    let next = if forward {
        steps.iter().find(|s| **s > now + 1e-9).or(steps.first())
    } else {
        steps.iter().rev().find(|s| **s < now - 1e-9).or(steps.last())
    };
    next.copied().unwrap_or(now)
}

fn step_input(now: Option<Input>, forward: bool) -> Option<Input> {
    let at = now.map_or(0, |i| i as usize + 1);
    let count = Input::ALL.len() + 1;
    let next = (at + if forward { 1 } else { count - 1 }) % count;
    next.checked_sub(1).map(|i| Input::ALL[i])
}

/// Does a deed of a cell.
pub fn act(
    deed: Deed,
    forward: bool,
    desk: &mut Desk,
    rack: &Rack,
    bindings: &mut Bindings,
    settings: &mut Settings,
    lead: &mut Lead,
) {
    match deed {
        Deed::Close | Deed::KeyboardCheck => {}
        Deed::Defaults => {
            *bindings = Bindings::default();
            settings.mouse = Settings::default().mouse;
            for a in &rack.list {
                settings.devices.insert(a.info.key(), guess(&a.info));
            }
            *lead = Lead::default();
            desk.said = "Everything is back to default; devices that are not plugged in are kept as they were.".into();
        }
        Deed::Rebind(action) => desk.waiting = Some(Waiting::Trigger(action)),
        Deed::FindAxis(input) => {
            if rack.list.is_empty() {
                desk.said = "No pedals, stick or gamepad is plugged in.".into();
                return;
            }
            let from = rack
                .list
                .iter()
                .flat_map(|a| a.raw.iter().map(|(code, raw)| ((a.id, *code), *raw)))
                .collect();
            desk.waiting = Some(Waiting::Axis(input, from));
        }
        Deed::Calibrate(id, code) => {
            if let Some(raw) = rack.get(id).and_then(|a| a.raw.get(&code)) {
                desk.waiting = Some(Waiting::Ends(id, code, Watch::start(*raw)));
            }
        }
        Deed::Drives(id, code) => {
            change(id, code, rack, settings, |a| a.drives = step_input(a.drives, forward));
        }
        Deed::Invert(id, code) => {
            change(id, code, rack, settings, |a| {
                a.calibration.inverted = !a.calibration.inverted
            });
        }
        Deed::DeadZone(id, code) => change(id, code, rack, settings, |a| {
            a.calibration.dead_zone = step(&DEAD_ZONES, a.calibration.dead_zone, forward);
        }),
        Deed::Curve(id, code) => change(id, code, rack, settings, |a| {
            a.calibration.curve = step(&CURVES, a.calibration.curve, forward);
        }),
        Deed::MouseDrives(axis) => {
            if let Some(m) = settings.mouse.get_mut(&axis) {
                m.drives = step_input(m.drives, forward);
            }
        }
        Deed::MouseInvert(axis) => {
            if let Some(m) = settings.mouse.get_mut(&axis) {
                m.inverted = !m.inverted;
            }
        }
        Deed::MouseTravel(axis) => {
            if let Some(m) = settings.mouse.get_mut(&axis) {
                m.travel = step(&TRAVELS, m.travel, forward);
            }
        }
    }
}

/// Changes one axis of a plugged-in device; from then on its settings are no longer our guess.
fn change(id: DeviceId, code: u32, rack: &Rack, settings: &mut Settings, how: impl FnOnce(&mut AxisSetting)) {
    let Some(a) = rack.get(id) else { return };
    let (least, greatest) = a.info.axis(code).map_or((-32767, 32767), |i| (i.least, i.greatest));
    let device = settings.devices.entry(a.info.key()).or_insert_with(|| guess(&a.info));
    device.guessed = false;
    let axis = device.axes.entry(code).or_insert(AxisSetting {
        drives: None,
        calibration: Calibration::of_range(least, greatest, None),
    });
    how(axis);
}

fn action_words(action: Action, bindings: &Bindings) -> &'static str {
    bindings.of(action).map_or("that", |b| b.words)
}

/// Gives an action a key or mouse button.
pub fn bind(action: Action, trigger: Trigger, bindings: &mut Bindings) -> String {
    let lost = bindings.bind(action, Some(trigger));
    let words = action_words(action, bindings);
    match lost {
        Some(lost) => format!(
            "{} now does \"{words}\"; \"{}\" has no key any more.",
            trigger.label(),
            action_words(lost, bindings)
        ),
        None => format!("{} now does \"{words}\".", trigger.label()),
    }
}

/// Takes key and device buttons from an action.
pub fn unbind(action: Action, bindings: &mut Bindings, settings: &mut Settings) -> String {
    bindings.bind(action, None);
    for d in settings.devices.values_mut() {
        d.buttons.retain(|_, a| *a != action);
    }
    format!("\"{}\" has no key or button any more.", action_words(action, bindings))
}

/// Gives an action a button of a device, beside its key.
pub fn bind_button(action: Action, id: DeviceId, code: u32, rack: &Rack, settings: &mut Settings) -> String {
    let Some(a) = rack.get(id) else {
        return "The device was pulled out: nothing was changed.".into();
    };
    let device = settings.devices.entry(a.info.key()).or_insert_with(|| guess(&a.info));
    device.guessed = false;
    device.buttons.insert(code, action);
    format!("Button {code} of {} does it now, beside the key.", a.info.name)
}

/// Gives an input an axis; other axes of the same device that drove it let go of it.
pub fn give_axis(input: Input, id: DeviceId, code: u32, rack: &Rack, settings: &mut Settings) -> String {
    let Some(a) = rack.get(id) else {
        return "The device was pulled out: nothing was changed.".into();
    };
    if let Some(d) = settings.devices.get_mut(&a.info.key()) {
        for axis in d.axes.values_mut().filter(|x| x.drives == Some(input)) {
            axis.drives = None;
        }
    }
    change(id, code, rack, settings, |x| x.drives = Some(input));
    format!(
        "{} of {} now drives {}. If it goes the wrong way, invert it below.",
        axis_name(code),
        a.info.name,
        input.words()
    )
}

/// Takes an input from every axis of the plugged-in devices.
pub fn free_input(input: Input, rack: &Rack, settings: &mut Settings) -> String {
    for a in &rack.list {
        if let Some(d) = settings.devices.get_mut(&a.info.key()) {
            for axis in d.axes.values_mut().filter(|x| x.drives == Some(input)) {
                axis.drives = None;
                d.guessed = false;
            }
        }
    }
    format!("No axis drives {} any more.", input.words())
}

/// Ends the watching of an axis.
pub fn finish_ends(id: DeviceId, code: u32, watch: &Watch, rack: &Rack, settings: &mut Settings) -> String {
    let Some(axis) = rack.get(id).and_then(|a| a.info.axis(code)) else {
        return "The device was pulled out: nothing was changed.".into();
    };
    let range = (axis.least, axis.greatest);
    let mut said = String::new();
    change(id, code, rack, settings, |x| {
        said = match watch.finish(&x.calibration, range, x.drives) {
            Ok(new) => {
                x.calibration = new;
                let middle = new.centre.map_or_else(String::new, |c| format!(", middle {c}"));
                format!("{}: from {} to {}{middle}.", axis_name(code), new.low, new.high)
            }
            Err(words) => format!("{}: {words}.", axis_name(code)),
        };
    });
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_go_round_both_ways_and_from_values_between() {
        assert_eq!(step(&CURVES, 1.0, true), 0.0);
        assert_eq!(step(&CURVES, 0.0, false), 1.0);
        assert_eq!((step(&CURVES, 0.5, true), step(&CURVES, 0.5, false)), (0.6, 0.4));
        let mut seen = Vec::new();
        let mut at = None;
        for _ in 0..9 {
            seen.push(at);
            assert_eq!(step_input(step_input(at, true), false), at);
            at = step_input(at, true);
        }
        assert!(at.is_none() && seen.len() == 9 && Input::ALL.iter().all(|i| seen.contains(&Some(*i))));
    }
}
