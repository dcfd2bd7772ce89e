//! Names of keys and mouse buttons: one for the settings file, one for the screens. Keys are meant by their place and named
//! as on a US keyboard.

use crate::keys::Trigger;
use bevy::prelude::{KeyCode, MouseButton};

macro_rules! keys {
    ($($key:ident)*) => {
        /// Every key that can be bound, with the name that the settings file uses (that of the web standard for key places).
        pub const KEYS: &[(KeyCode, &str)] = &[$((KeyCode::$key, stringify!($key)),)*];
    };
}

keys! {
    Backquote Backslash BracketLeft BracketRight Comma Digit0 Digit1 Digit2 Digit3 Digit4 Digit5 Digit6 Digit7
    Digit8 Digit9 Equal IntlBackslash IntlRo IntlYen KeyA KeyB KeyC KeyD KeyE KeyF KeyG KeyH KeyI KeyJ KeyK
    KeyL KeyM KeyN KeyO KeyP KeyQ KeyR KeyS KeyT KeyU KeyV KeyW KeyX KeyY KeyZ Minus Period Quote Semicolon
    Slash AltLeft AltRight Backspace CapsLock ContextMenu ControlLeft ControlRight Enter SuperLeft SuperRight
    ShiftLeft ShiftRight Space Tab Convert KanaMode Lang1 Lang2 NonConvert Delete End Help Home Insert
    PageDown PageUp ArrowDown ArrowLeft ArrowRight ArrowUp NumLock Numpad0 Numpad1 Numpad2 Numpad3 Numpad4
    Numpad5 Numpad6 Numpad7 Numpad8 Numpad9 NumpadAdd NumpadComma NumpadDecimal NumpadDivide NumpadEnter
    NumpadEqual NumpadMultiply NumpadSubtract Escape PrintScreen ScrollLock Pause F1 F2 F3 F4 F5 F6 F7 F8 F9
    F10 F11 F12 F13 F14 F15 F16 F17 F18 F19 F20 F21 F22 F23 F24
}

/// Name of a key in the settings file; `None` for keys that cannot be bound.
pub fn name(key: KeyCode) -> Option<&'static str> {
    KEYS.iter().find(|(k, _)| *k == key).map(|(_, n)| *n)
}

/// Name of a key on the screens.
pub fn label(key: KeyCode) -> String {
    let Some(name) = name(key) else {
        return "a key without a name".into();
    };
    let sign = match name {
        "Backquote" => "`",
        "Backslash" => "\\",
        "BracketLeft" => "[",
        "BracketRight" => "]",
        "Comma" => ",",
        "Equal" => "=",
        "Minus" => "-",
        "Period" => ".",
        "Quote" => "'",
        "Semicolon" => ";",
        "Slash" => "/",
        "Escape" => "Esc",
        _ => "",
    };
    if !sign.is_empty() {
        return sign.into();
    }
    if let Some(letter) = name.strip_prefix("Key").or_else(|| name.strip_prefix("Digit")) {
        return letter.into();
    }
    if let Some(rest) = name.strip_prefix("Numpad") {
        return format!("keypad {}", rest.to_lowercase());
    }
    if let Some(way) = name.strip_prefix("Arrow") {
        return format!("arrow {}", way.to_lowercase());
    }
    for side in ["Left", "Right"] {
        if let Some(what) = name.strip_suffix(side) {
            return format!("{} {}", side.to_lowercase(), what.to_lowercase());
        }
    }
    name.into()
}

/// Name of a mouse button, on the screens and in the settings file.
pub fn mouse_label(button: MouseButton) -> String {
    match button {
        MouseButton::Left => "left".into(),
        MouseButton::Right => "right".into(),
        MouseButton::Middle => "middle".into(),
        MouseButton::Back => "back".into(),
        MouseButton::Forward => "forward".into(),
        MouseButton::Other(n) => format!("button {n}"),
    }
}

/// A trigger as the settings file writes it.
pub fn write(trigger: Trigger) -> Option<String> {
    match trigger {
        Trigger::Key(key) => name(key).map(Into::into),
        Trigger::Mouse(button) => Some(format!("mouse {}", mouse_label(button))),
    }
}

/// A trigger from the settings file.
///
/// # Errors
/// When no key or mouse button has that name.
pub fn read(text: &str) -> Result<Trigger, String> {
    if let Some(button) = text.strip_prefix("mouse ") {
        let known = [
            MouseButton::Left,
            MouseButton::Right,
            MouseButton::Middle,
            MouseButton::Back,
            MouseButton::Forward,
        ];
        if let Some(b) = known.into_iter().find(|b| mouse_label(*b) == button) {
            return Ok(Trigger::Mouse(b));
        }
        if let Some(n) = button.strip_prefix("button ").and_then(|n| n.parse().ok()) {
            return Ok(Trigger::Mouse(MouseButton::Other(n)));
        }
        return Err(format!(
            "\"{text}\" is no mouse button: left, right, middle, back, forward, button N"
        ));
    }
    KEYS.iter()
        .find(|(_, n)| *n == text)
        .map(|(k, _)| Trigger::Key(*k))
        .ok_or_else(|| format!("\"{text}\" is no key: names are such as KeyF, Digit3, ArrowUp, F2, mouse right"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_reads_back_and_no_two_look_alike() {
        let mut labels = std::collections::BTreeSet::new();
        for (key, name) in KEYS {
            assert_eq!(read(name), Ok(Trigger::Key(*key)));
            assert!(labels.insert(label(*key)), "{} is the label of two keys", label(*key));
        }
        for b in [MouseButton::Left, MouseButton::Forward, MouseButton::Other(9)] {
            let t = Trigger::Mouse(b);
            assert_eq!(read(&write(t).expect("a name")), Ok(t));
        }
        assert!(read("KeyÄ").is_err() && read("mouse wheel").is_err());
    }
}
