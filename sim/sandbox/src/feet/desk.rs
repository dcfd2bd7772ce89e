//! The desk at which controls are set: where the focus is, what is being waited for, what was said. It hears the keys while a
//! screen is open. What stands in the rows is in `rows.rs`, what they do in `deeds.rs`, how they look in `view/desk.rs`.

use super::axis::{LEAST_MOVE, Watch};
use super::deeds::{self, Deed};
use super::device::{DeviceId, Rack, axis_name};
use super::input::Input;
use super::lead::Lead;
use super::rows::{Row, rows};
use super::settings::Settings;
use super::store::{SettingsFile, save};
use super::{OpenScreen, Screen, key_names};
use crate::feel::Hands;
use crate::keys::{Action, Bindings, Trigger};
use bevy::prelude::*;
use std::collections::BTreeMap;

/// Rows that a page key moves over.
const PAGE: usize = 8;

/// What the desk waits for.
#[derive(Clone, Debug, PartialEq)]
pub enum Waiting {
    /// A key, mouse button or device button for an action.
    Trigger(Action),
    /// An axis to be moved for an input; with the raw values when the waiting began.
    Axis(Input, BTreeMap<(DeviceId, u32), i32>),
    /// An axis to be moved from end to end.
    Ends(DeviceId, u32, Watch),
}

/// The state of the screen of controls.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub struct Desk {
    /// Row and cell that have the focus.
    pub focus: (usize, usize),
    /// What is being waited for, if anything.
    pub waiting: Option<Waiting>,
    /// What was said last.
    pub said: String,
    /// A cell that was clicked and is not yet answered.
    pub clicked: Option<(usize, usize)>,
    /// Rows that the wheel asked to move.
    pub scrolled: i32,
}

impl Desk {
    /// Moves the focus by rows and cells, passing over rows without cells.
    pub fn walk(&mut self, rows: &[Row], down: i32, right: i32) {
        let (mut row, cell) = self.focus;
        for _ in 0..down.unsigned_abs() {
            let next = if down > 0 {
                (row + 1..rows.len()).find(|r| !rows[*r].cells.is_empty())
            } else {
                (0..row.min(rows.len())).rev().find(|r| !rows[*r].cells.is_empty())
            };
            let Some(next) = next else { break };
            row = next;
        }
        let cells = rows.get(row).map_or(0, |r| r.cells.len());
        let last = cells.saturating_sub(1);
        let cell = match right {
            0 => cell,
            r if r > 0 => cell + 1,
            _ => cell.min(last).saturating_sub(1),
        };
        self.focus = (row, cell.min(last));
    }

    /// The deed under the focus. Rows may have gone since; then there is none.
    fn deed(&self, rows: &[Row]) -> Option<Deed> {
        rows.get(self.focus.0)?.cells.get(self.focus.1).map(|c| c.deed)
    }

    /// What the line at the foot of the screen says; `news` is what happened to devices meanwhile.
    pub fn foot(&self, rows: &[Row], news: Option<&str>) -> String {
        match &self.waiting {
            Some(Waiting::Trigger(_)) => {
                "Press a key, a mouse button (not the left) or a device's button. Delete: none. Esc: as it was.".into()
            }
            Some(Waiting::Axis(input, _)) => {
                format!(
                    "Move the axis for {} a good way. Delete: none. Esc: as it was.",
                    input.words()
                )
            }
            Some(Waiting::Ends(_, code, w)) => format!(
                "{}: move it all the way to each end, back to rest, then Enter. Seen {} to {}. Esc: as it was.",
                axis_name(*code),
                w.least,
                w.greatest
            ),
            None if !self.said.is_empty() => self.said.clone(),
            None if news.is_some() => news.unwrap_or_default().into(),
            None => self.deed(rows).map_or_else(String::new, |d| d.help().to_string()),
        }
    }
}

/// Everything that the desk may change or look at.
type Things<'w> = (
    ResMut<'w, Bindings>,
    ResMut<'w, Settings>,
    ResMut<'w, Lead>,
    Res<'w, Hands>,
    Res<'w, SettingsFile>,
);

/// Hears keys, clicks and axes while a screen is open.
pub fn listen(
    mut keys: ResMut<ButtonInput<KeyCode>>,
    mouse: Option<Res<ButtonInput<MouseButton>>>,
    mut screen: ResMut<OpenScreen>,
    mut desk: ResMut<Desk>,
    rack: Res<Rack>,
    things: Things,
) {
    let (mut bindings, mut settings, mut lead, hands, file) = things;
    screen.took_this_frame = screen.now != Screen::None;
    if screen.now == Screen::None {
        desk.waiting = None;
        desk.clicked = None;
        return;
    }
    let pressed: Vec<KeyCode> = keys.get_just_pressed().copied().collect();
    let opens = |action: Action| bindings.key(action).is_some_and(|k| pressed.contains(&k));
    let (controls, check) = (opens(Action::OpenControls), opens(Action::OpenKeyboardCheck));
    if screen.now == Screen::KeyboardCheck || desk.waiting.is_none() {
        let other = match (screen.now, controls, check) {
            (_, true, _) if screen.now != Screen::Controls => Some(Screen::Controls),
            (_, _, true) if screen.now != Screen::KeyboardCheck => Some(Screen::KeyboardCheck),
            (_, false, false) if !pressed.contains(&KeyCode::Escape) => None,
            _ => Some(Screen::None),
        };
        if let Some(other) = other {
            screen.now = other;
            return;
        }
    }
    if screen.now == Screen::KeyboardCheck {
        return;
    }
    let before = (bindings.clone(), settings.clone());
    if desk.waiting.is_some() {
        let button = mouse
            .as_ref()
            .and_then(|m| m.get_just_pressed().find(|b| **b != MouseButton::Left).copied());
        answer_waiting(&mut desk, &pressed, button, &rack, &mut bindings, &mut settings);
        desk.clicked = None;
    } else {
        let page = rows(&bindings, &settings, &rack, &lead, &hands, &desk, false);
        let deed = chosen(&mut desk, &pressed, &page);
        if let Some((deed, forward)) = deed {
            desk.said.clear();
            match deed {
                Deed::Close => screen.now = Screen::None,
                Deed::KeyboardCheck => screen.now = Screen::KeyboardCheck,
                _ => deeds::act(deed, forward, &mut desk, &rack, &mut bindings, &mut settings, &mut lead),
            }
        }
    }
    // A key that was meant for the desk must not be new to anybody else in this frame.
    for key in pressed {
        keys.clear_just_pressed(key);
    }
    if (&before.0, &before.1) != (&*bindings, &*settings)
        && let Err(words) = save(&file, &bindings, &settings)
    {
        desk.said = words;
    }
}

/// The deed that a key or click asks for, and whether forward; moves the focus on the way.
fn chosen(desk: &mut Desk, pressed: &[KeyCode], page: &[Row]) -> Option<(Deed, bool)> {
    if let Some(place) = desk.clicked.take() {
        desk.focus = place;
        return desk.deed(page).map(|d| (d, true));
    }
    // The rows may be others than a moment ago.
    desk.walk(page, 0, 0);
    if page.get(desk.focus.0).is_none_or(|r| r.cells.is_empty()) {
        desk.focus = (0, 0);
    }
    let wheel = std::mem::take(&mut desk.scrolled);
    if wheel != 0 {
        desk.walk(page, wheel, 0);
    }
    let page_rows = i32::try_from(PAGE).unwrap_or(1);
    for key in pressed {
        let (down, right) = match key {
            KeyCode::ArrowDown => (1, 0),
            KeyCode::ArrowUp => (-1, 0),
            KeyCode::PageDown => (page_rows, 0),
            KeyCode::PageUp => (-page_rows, 0),
            KeyCode::Home => (i32::MIN / 2, 0),
            KeyCode::End => (i32::MAX / 2, 0),
            KeyCode::ArrowRight | KeyCode::Tab => (0, 1),
            KeyCode::ArrowLeft => (0, -1),
            KeyCode::Enter | KeyCode::NumpadEnter | KeyCode::Space => return desk.deed(page).map(|d| (d, true)),
            KeyCode::Minus | KeyCode::NumpadSubtract => return desk.deed(page).map(|d| (d, false)),
            _ => continue,
        };
        desk.said.clear();
        desk.walk(page, down, right);
    }
    None
}

/// Goes on with what the desk waits for.
fn answer_waiting(
    desk: &mut Desk,
    pressed: &[KeyCode],
    button: Option<MouseButton>,
    rack: &Rack,
    bindings: &mut Bindings,
    settings: &mut Settings,
) {
    if pressed.contains(&KeyCode::Escape) {
        desk.waiting = None;
        desk.said = "It stays as it was.".into();
        return;
    }
    let delete = pressed.contains(&KeyCode::Delete);
    match desk.waiting.take() {
        Some(Waiting::Trigger(action)) => {
            if delete {
                desk.said = deeds::unbind(action, bindings, settings);
            } else if let Some((id, code)) = rack.tapped.first() {
                desk.said = deeds::bind_button(action, *id, *code, rack, settings);
            } else if let Some(key) = pressed.first() {
                desk.said = if key_names::name(*key).is_some() {
                    deeds::bind(action, Trigger::Key(*key), bindings)
                } else {
                    "That key has no name on this system and cannot be used.".into()
                };
            } else if let Some(button) = button {
                desk.said = deeds::bind(action, Trigger::Mouse(button), bindings);
            } else {
                desk.waiting = Some(Waiting::Trigger(action));
            }
        }
        Some(Waiting::Axis(input, mut from)) => {
            if delete {
                desk.said = deeds::free_input(input, rack, settings);
                return;
            }
            match moved_axis(&mut from, rack) {
                Some((id, code)) => desk.said = deeds::give_axis(input, id, code, rack, settings),
                None => desk.waiting = Some(Waiting::Axis(input, from)),
            }
        }
        Some(Waiting::Ends(id, code, mut watch)) => match rack.get(id).and_then(|a| a.raw.get(&code)) {
            None => desk.said = "The device was pulled out: nothing was changed.".into(),
            Some(raw) => {
                watch.see(*raw);
                if pressed
                    .iter()
                    .any(|k| matches!(k, KeyCode::Enter | KeyCode::NumpadEnter | KeyCode::Space))
                {
                    desk.said = deeds::finish_ends(id, code, &watch, rack, settings);
                } else {
                    desk.waiting = Some(Waiting::Ends(id, code, watch));
                }
            }
        },
        None => {}
    }
}

/// The axis that has moved furthest since the waiting began, if it moved enough. A device that came since begins now.
fn moved_axis(from: &mut BTreeMap<(DeviceId, u32), i32>, rack: &Rack) -> Option<(DeviceId, u32)> {
    let mut best: Option<((DeviceId, u32), f64)> = None;
    for a in &rack.list {
        for (code, raw) in &a.raw {
            let began = *from.entry((a.id, *code)).or_insert(*raw);
            let Some(axis) = a.info.axis(*code) else { continue };
            let full = f64::from(axis.greatest) - f64::from(axis.least);
            let share = (f64::from(*raw) - f64::from(began)).abs() / full;
            if share >= LEAST_MOVE && best.is_none_or(|(_, b)| share > b) {
                best = Some(((a.id, *code), share));
            }
        }
    }
    best.map(|(place, _)| place)
}
