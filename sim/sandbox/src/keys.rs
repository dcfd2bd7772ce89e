//! Which key does what, as data. The index fingers rest on the two marked keys: they are the two feet. One row up are the
//! toes. Keys are meant by their place on the keyboard and named as on a US one.

use bevy::prelude::{KeyCode, Resource};

/// Something a key can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
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
    /// Carburettor heat on or off.
    CarburettorHeat,
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
    /// Begin from the first screen.
    Begin,
    /// Leave the program.
    Leave,
    /// Back to the map, or to the first screen.
    ToMap,
}

/// One line of the key list.
#[derive(Clone, Copy, Debug)]
pub struct Binding {
    /// What it does.
    pub action: Action,
    /// The key.
    pub key: KeyCode,
    /// The key as the list names it.
    pub label: &'static str,
    /// What it does, as the list says it.
    pub words: &'static str,
}

/// All bindings, in the order of the list.
#[derive(Resource, Clone, Debug)]
pub struct Bindings(pub Vec<Binding>);

impl Default for Bindings {
    fn default() -> Bindings {
        use Action::*;
        let list = [
            (LeftPedal, KeyCode::KeyF, "F", "left foot forward"),
            (RightPedal, KeyCode::KeyJ, "J", "right foot forward"),
            (LeftToe, KeyCode::KeyR, "R", "left toe: left brake"),
            (RightToe, KeyCode::KeyU, "U", "right toe: right brake"),
            (ThrottleOpen, KeyCode::KeyI, "I", "throttle: more"),
            (ThrottleClose, KeyCode::KeyK, "K", "throttle: less"),
            (ParkingBrake, KeyCode::KeyP, "P", "parking brake on / off"),
            (ColumnForward, KeyCode::KeyQ, "Q", "column forward (stays)"),
            (ColumnBack, KeyCode::KeyA, "A", "column back (stays)"),
            (ColumnLeft, KeyCode::KeyZ, "Z", "column left (stays)"),
            (ColumnRight, KeyCode::KeyX, "X", "column right (stays)"),
            (ColumnMiddle, KeyCode::KeyC, "C", "column to the middle"),
            (MixtureRicher, KeyCode::KeyO, "O", "mixture: richer"),
            (MixtureLeaner, KeyCode::KeyL, "L", "mixture: leaner"),
            (CarburettorHeat, KeyCode::KeyH, "H", "carburettor heat on / off"),
            (Magnetos, KeyCode::KeyM, "M", "magnetos: both, right, left"),
            (Starter, KeyCode::KeyS, "S", "starter while held"),
            (LookLeft, KeyCode::Digit3, "3", "look left while held"),
            (LookRight, KeyCode::Digit8, "8", "look right while held"),
            (NextView, KeyCode::Tab, "Tab", "seat, behind, above"),
            (Restart, KeyCode::Backspace, "Backspace", "back to the start"),
            (ToMap, KeyCode::Home, "Home", "back to the map"),
            (Leave, KeyCode::Escape, "Esc", "leave"),
            (Begin, KeyCode::Enter, "Enter", "start"),
        ];
        Bindings(
            list.into_iter()
                .map(|(action, key, label, words)| Binding {
                    action,
                    key,
                    label,
                    words,
                })
                .collect(),
        )
    }
}

impl Bindings {
    /// The key bound to an action.
    pub fn key(&self, action: Action) -> Option<KeyCode> {
        self.0.iter().find(|b| b.action == action).map(|b| b.key)
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
                list[i + 1..].iter().all(|b| b.key != a.key),
                "{} is bound twice",
                a.label
            );
            assert!(
                list[i + 1..].iter().all(|b| b.action != a.action),
                "{:?} has two keys",
                a.action
            );
        }
    }
}
