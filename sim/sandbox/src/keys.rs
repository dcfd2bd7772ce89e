//! Which key does what, as data. The index fingers rest on the two marked keys: they are the two feet. One row up are the
//! toes. Keys are meant by their place on the keyboard and named as on a US one.

use crate::feet::key_names;
use bevy::prelude::{KeyCode, MouseButton, Resource};
use serde::{Deserialize, Serialize};

/// Something a key or button can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Action {
    /// Left foot forward.
    LeftPedal,
    /// Right foot forward.
    RightPedal,
    /// Left toe brake.
    LeftToe,
    /// Right toe brake.
    RightToe,
    /// Open the throttle.
    ThrottleOpen,
    /// Close the throttle.
    ThrottleClose,
    /// Move the control column forward.
    ColumnForward,
    /// Move the control column back.
    ColumnBack,
    /// Turn the control column to the left.
    ColumnLeft,
    /// Turn the control column to the right.
    ColumnRight,
    /// Bring the control column to the middle.
    ColumnMiddle,
    /// Richer mixture.
    MixtureRicher,
    /// Leaner mixture.
    MixtureLeaner,
    /// Carburettor heat to its other end.
    CarburettorHeat,
    /// Carburettor heat: hotter.
    HeatMore,
    /// Carburettor heat: colder.
    HeatLess,
    /// Magneto switch to its next position.
    Magnetos,
    /// Starter while held.
    Starter,
    /// Parking brake on or off.
    ParkingBrake,
    /// Look to the left while held.
    LookLeft,
    /// Look to the right while held.
    LookRight,
    /// Next view.
    NextView,
    /// Back to the start of the drive.
    Restart,
    /// Time held or running.
    HoldTime,
    /// Time slow or at life's pace.
    SlowTime,
    /// Ten seconds back.
    StepBack,
    /// Who drives beside the learner.
    Company,
    /// Begin from the first screen.
    Begin,
    /// The mouse moves the column while held.
    MouseHand,
    /// Open or close the screen where controls are rebound.
    OpenControls,
    /// Open or close the keyboard check.
    OpenKeyboardCheck,
    /// Leave the program.
    Leave,
    /// Panel shown or hidden.
    PanelShown,
    /// Distance off the path, speed and brake heat shown or hidden.
    FiguresShown,
    /// Magneto switch to off.
    MagnetosOff,
    /// Taxi light on or off.
    TaxiLight,
    /// Landing light on or off.
    LandingLight,
    /// Navigation lights on or off.
    NavigationLights,
    /// Beacon on or off.
    Beacon,
    /// Flaps up by one position.
    FlapsUp,
    /// Flaps down by one position.
    FlapsDown,
    /// Trim toward nose down while held.
    TrimNoseDown,
    /// Trim toward nose up while held.
    TrimNoseUp,
    /// Transponder to its next position.
    Transponder,
    /// Heading indicator's knob toward smaller figures while held.
    HeadingLess,
    /// Heading indicator's knob toward greater figures while held.
    HeadingMore,
    /// Look back over the left shoulder while held.
    LookLeftShoulder,
    /// Look back over the right shoulder while held.
    LookRightShoulder,
    /// Look up the approach of the runway ahead while held.
    LookApproach,
    /// Back to the map, or to the first screen.
    ToMap,
    /// Radio: read back what was heard.
    ReadBack,
    /// Radio: ask whether the runway may be entered or crossed.
    AskToGo,
    /// Radio: ready for departure.
    Ready,
    /// Radio: announce, where nobody permits.
    Announce,
    /// The engine check is good.
    EngineGood,
    /// The engine check is not good.
    EngineBad,
}

/// What sets an action off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trigger {
    /// A key, by its place on the keyboard.
    Key(KeyCode),
    /// A button of the mouse.
    Mouse(MouseButton),
}

impl Trigger {
    /// As the screens name it.
    pub fn label(self) -> String {
        match self {
            Trigger::Key(key) => key_names::label(key),
            Trigger::Mouse(button) => format!("mouse {}", key_names::mouse_label(button)),
        }
    }
}

/// One line of the key list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Binding {
    /// What it does.
    pub action: Action,
    /// The key or mouse button; `None` when nothing but a device button does it.
    pub trigger: Option<Trigger>,
    /// What it does, as the list says it.
    pub words: &'static str,
}

impl Binding {
    /// The key or mouse button as the list names it.
    pub fn label(&self) -> String {
        self.trigger.map_or_else(|| "none".into(), Trigger::label)
    }
}

/// All bindings, in the order of the list.
#[derive(Resource, Clone, Debug, PartialEq, Eq)]
pub struct Bindings(pub Vec<Binding>);

impl Default for Bindings {
    fn default() -> Bindings {
        use Action::*;
        let list = [
            (LeftPedal, Some(KeyCode::KeyF), "left foot forward"),
            (RightPedal, Some(KeyCode::KeyJ), "right foot forward"),
            (LeftToe, Some(KeyCode::KeyR), "left toe: left brake"),
            (RightToe, Some(KeyCode::KeyU), "right toe: right brake"),
            (ThrottleOpen, Some(KeyCode::KeyI), "throttle: more"),
            (ThrottleClose, Some(KeyCode::KeyK), "throttle: less"),
            (ParkingBrake, Some(KeyCode::KeyP), "parking brake on / off"),
            (ColumnForward, Some(KeyCode::KeyQ), "column forward (stays)"),
            (ColumnBack, Some(KeyCode::KeyA), "column back (stays)"),
            (ColumnLeft, Some(KeyCode::KeyZ), "column left (stays)"),
            (ColumnRight, Some(KeyCode::KeyX), "column right (stays)"),
            (ColumnMiddle, Some(KeyCode::KeyC), "column to the middle"),
            (MixtureRicher, Some(KeyCode::KeyO), "mixture: richer"),
            (MixtureLeaner, Some(KeyCode::KeyL), "mixture: leaner"),
            (HeatMore, Some(KeyCode::KeyH), "carburettor heat: hot"),
            (HeatLess, Some(KeyCode::KeyG), "carburettor heat: cold"),
            (Magnetos, Some(KeyCode::KeyM), "magnetos: both, right, left"),
            (Starter, Some(KeyCode::KeyS), "starter while held"),
            (LookLeft, Some(KeyCode::Digit3), "look left while held"),
            (LookRight, Some(KeyCode::Digit8), "look right while held"),
            (NextView, Some(KeyCode::Tab), "seat, behind, above"),
            (HoldTime, Some(KeyCode::Space), "hold time / let it run"),
            (SlowTime, Some(KeyCode::KeyW), "slow time / life's pace"),
            (StepBack, Some(KeyCode::KeyB), "ten seconds back"),
            (Company, Some(KeyCode::Digit1), "beside you: model pilot, last try"),
            (Restart, Some(KeyCode::Backspace), "back to the start"),
            (OpenControls, Some(KeyCode::F2), "controls: set them up"),
            (OpenKeyboardCheck, Some(KeyCode::F3), "keyboard check"),
            (ToMap, Some(KeyCode::Home), "back to the map"),
            (Leave, Some(KeyCode::Escape), "leave"),
            (Begin, Some(KeyCode::Enter), "start"),
            (CarburettorHeat, None, "carburettor heat on / off"),
            (PanelShown, Some(KeyCode::KeyN), "panel shown / hidden"),
            (FiguresShown, Some(KeyCode::KeyV), "off line, speed, brake heat"),
            (MagnetosOff, Some(KeyCode::Comma), "magnetos off"),
            (TaxiLight, Some(KeyCode::Semicolon), "taxi light"),
            (LandingLight, Some(KeyCode::Quote), "landing light"),
            (NavigationLights, Some(KeyCode::Minus), "navigation lights"),
            (Beacon, Some(KeyCode::Equal), "beacon"),
            (FlapsUp, Some(KeyCode::KeyE), "flaps: one up"),
            (FlapsDown, Some(KeyCode::KeyD), "flaps: one down"),
            (TrimNoseDown, Some(KeyCode::Digit5), "trim: nose down"),
            (TrimNoseUp, Some(KeyCode::Digit6), "trim: nose up"),
            (Transponder, Some(KeyCode::KeyY), "transponder: off, standby, on"),
            (HeadingLess, Some(KeyCode::BracketLeft), "heading indicator: less"),
            (HeadingMore, Some(KeyCode::BracketRight), "heading indicator: more"),
            (
                LookLeftShoulder,
                Some(KeyCode::Digit2),
                "over the left shoulder while held",
            ),
            (
                LookRightShoulder,
                Some(KeyCode::Digit9),
                "over the right shoulder while held",
            ),
            (LookApproach, Some(KeyCode::Digit0), "up the approach while held"),
            (ReadBack, Some(KeyCode::KeyT), "radio: read back"),
            (AskToGo, Some(KeyCode::Slash), "radio: ask for the runway"),
            (Ready, Some(KeyCode::Backslash), "radio: ready for departure"),
            (Announce, Some(KeyCode::Period), "radio: announce"),
            (EngineGood, Some(KeyCode::Digit4), "engine check: good"),
            (EngineBad, Some(KeyCode::Digit7), "engine check: not good"),
        ];
        let mut list: Vec<Binding> = list
            .into_iter()
            .map(|(action, key, words)| Binding {
                action,
                trigger: key.map(Trigger::Key),
                words,
            })
            .collect();
        list.push(Binding {
            action: MouseHand,
            trigger: Some(Trigger::Mouse(MouseButton::Right)),
            words: "mouse moves column (held)",
        });
        Bindings(list)
    }
}

impl Bindings {
    /// The binding of an action.
    pub fn of(&self, action: Action) -> Option<&Binding> {
        self.0.iter().find(|b| b.action == action)
    }

    /// The key bound to an action.
    pub fn key(&self, action: Action) -> Option<KeyCode> {
        match self.of(action)?.trigger? {
            Trigger::Key(key) => Some(key),
            Trigger::Mouse(_) => None,
        }
    }

    /// The key or button of an action as the screens name it.
    pub fn label(&self, action: Action) -> String {
        self.of(action).map_or_else(|| "none".into(), Binding::label)
    }

    /// Gives an action a trigger, or none. A trigger does one thing only: the action that had it before loses it and is
    /// returned.
    pub fn bind(&mut self, action: Action, trigger: Option<Trigger>) -> Option<Action> {
        let mut lost = None;
        for b in &mut self.0 {
            if b.action == action {
                b.trigger = trigger;
            } else if trigger.is_some() && b.trigger == trigger {
                b.trigger = None;
                lost = Some(b.action);
            }
        }
        lost
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_key_does_two_things() {
        let list = Bindings::default().0;
        for (i, a) in list.iter().enumerate() {
            assert!(
                list[i + 1..]
                    .iter()
                    .all(|b| b.trigger.is_none() || b.trigger != a.trigger),
                "{} is bound twice",
                a.label()
            );
            assert!(
                list[i + 1..].iter().all(|b| b.action != a.action),
                "{:?} has two keys",
                a.action
            );
        }
    }

    #[test]
    fn a_key_given_to_another_action_leaves_the_first() {
        let mut b = Bindings::default();
        let r = Some(Trigger::Key(KeyCode::KeyR));
        assert_eq!(b.bind(Action::Starter, r), Some(Action::LeftToe));
        assert_eq!(
            (b.label(Action::Starter), b.label(Action::LeftToe)),
            ("R".into(), "none".into())
        );
        assert_eq!(b.bind(Action::Starter, None), None);
        assert_eq!(b.key(Action::Starter), None);
    }
}
