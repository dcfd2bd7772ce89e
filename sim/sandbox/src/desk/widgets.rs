//! Buttons, entries and boxes that scroll, for mouse and keyboard.

use super::core::Deed;
use super::look::{self, Sizes};
use crate::view::palette;
use crate::view::readout::text;
use bevy::input_focus::InputFocus;
use bevy::input_focus::tab_navigation::TabIndex;
use bevy::prelude::*;
use bevy::text::{EditableText, TextCursorStyle};
use bevy::ui_widgets::{ControlOrientation, ScrollArea, Scrollbar, ScrollbarThumb, SelectAllOnFocus};

/// What a button asks for when it is pressed.
#[derive(Component, Clone, Copy, Debug)]
pub struct Does(pub Deed);

/// A screen of the desk, which the desk's camera draws.
#[derive(Component, Clone, Copy, Debug)]
pub struct OnDesk;

/// A button that goes on; drawn light.
#[derive(Component, Clone, Copy, Debug)]
pub struct Main;

/// The mark of a button that is one of several: filled when it is the chosen one.
#[derive(Component, Clone, Copy, Debug)]
pub struct Mark(pub Deed);

/// An entry for text.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq)]
pub enum Entry {
    /// Path of the field.
    Field,
    /// Path of an aircraft file.
    AeroplaneFile,
    /// Wind.
    Wind,
    /// Name or number of the pupil.
    Pupil,
}

/// Puts a button up. `marked` gives it a mark that shows whether it is the chosen one.
pub fn button(parent: &mut ChildSpawnerCommands, sizes: Sizes, label: &str, deed: Deed, marked: bool) {
    let (gap, body) = (sizes.gap(), sizes.body());
    parent
        .spawn((
            Button,
            Does(deed),
            TabIndex(0),
            Node {
                padding: UiRect::axes(px(gap), px(gap * 0.55)),
                border: UiRect::all(px(1.5)),
                border_radius: BorderRadius::all(px(3)),
                column_gap: px(gap.max(6.0)),
                align_items: AlignItems::Center,
                flex_shrink: 0.0,
                ..default()
            },
            BackgroundColor(look::BUTTON),
            BorderColor::all(look::BORDER),
        ))
        .with_children(|b| {
            if marked {
                b.spawn((
                    Mark(deed),
                    Node {
                        width: px(body * 0.72),
                        height: px(body * 0.72),
                        border: UiRect::all(px(1.5)),
                        border_radius: BorderRadius::all(px(body)),
                        flex_shrink: 0.0,
                        ..default()
                    },
                    BorderColor::all(palette::TEXT),
                    BackgroundColor(Color::NONE),
                ));
            }
            b.spawn(text(label, body, palette::TEXT));
        });
}

/// Puts the button up that goes on.
pub fn main_button(parent: &mut ChildSpawnerCommands, sizes: Sizes, label: &str, deed: Deed) {
    parent
        .spawn((
            Button,
            Does(deed),
            Main,
            TabIndex(0),
            Node {
                padding: UiRect::axes(px(sizes.gap() * 1.4), px(sizes.gap() * 0.7)),
                border: UiRect::all(px(2)),
                border_radius: BorderRadius::all(px(3)),
                flex_shrink: 0.0,
                ..default()
            },
            BackgroundColor(look::MAIN),
            BorderColor::all(look::MAIN),
        ))
        .with_children(|b| {
            b.spawn(text(label, sizes.body() * 1.08, look::GROUND));
        });
}

/// Puts an entry up.
pub fn entry(parent: &mut ChildSpawnerCommands, sizes: Sizes, which: Entry, value: &str) {
    parent.spawn((
        which,
        TabIndex(0),
        // Who comes to an entry mostly wants to put something else in.
        SelectAllOnFocus,
        EditableText::new(value),
        TextCursorStyle {
            color: palette::TEXT,
            selection_color: look::BORDER,
            ..default()
        },
        TextFont::from_font_size(sizes.body()),
        TextColor(palette::TEXT),
        TextLayout::no_wrap(),
        Node {
            padding: UiRect::axes(px(sizes.gap() * 0.8), px(sizes.gap() * 0.5)),
            border: UiRect::all(px(1.5)),
            width: percent(100),
            overflow: Overflow::clip(),
            flex_shrink: 0.0,
            ..default()
        },
        BackgroundColor(look::GROUND),
        BorderColor::all(look::BORDER),
    ));
}

/// A box that scrolls, with its bar; `fill` puts the content in.
pub fn scrolling<M: Component>(
    parent: &mut ChildSpawnerCommands,
    mark: M,
    node: Node,
    fill: impl FnOnce(&mut ChildSpawnerCommands),
) {
    parent
        .spawn(Node {
            flex_grow: 1.0,
            flex_basis: px(0),
            min_height: px(0),
            width: percent(100),
            column_gap: px(4),
            ..default()
        })
        .with_children(|row| {
            let target = row
                .spawn((
                    mark,
                    ScrollArea,
                    Node {
                        overflow: Overflow::scroll_y(),
                        flex_grow: 1.0,
                        flex_basis: px(0),
                        min_width: px(0),
                        ..node
                    },
                ))
                .with_children(fill)
                .id();
            row.spawn((
                Scrollbar::new(target, ControlOrientation::Vertical, 16.0),
                Node {
                    width: px(6),
                    height: percent(100),
                    flex_shrink: 0.0,
                    ..default()
                },
                BackgroundColor(look::PANEL),
            ))
            .with_child((
                ScrollbarThumb {
                    border_radius: BorderRadius::all(px(3)),
                    ..default()
                },
                BackgroundColor(look::BORDER),
            ));
        });
}

/// A bar with nothing to scroll is not shown.
pub fn hide_bars(areas: Query<&ComputedNode, With<ScrollArea>>, mut bars: Query<(&Scrollbar, &mut Visibility)>) {
    for (bar, mut shown) in &mut bars {
        let Ok(area) = areas.get(bar.target) else { continue };
        let want = if area.content_size.y > area.size.y + 1.0 {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        };
        if *shown != want {
            *shown = want;
        }
    }
}

type Pressable<'w, 's> = Query<
    'w,
    's,
    (
        Entity,
        &'static Interaction,
        &'static Does,
        Has<Main>,
        &'static mut BackgroundColor,
        &'static mut BorderColor,
    ),
>;

/// Turns presses of the mouse, and Enter or Space on the button with the keyboard, into deeds; lights what can be pressed.
pub fn press(
    mut buttons: Pressable,
    mut fresh: Query<(&Interaction, &Does), Changed<Interaction>>,
    keys: Res<ButtonInput<KeyCode>>,
    focus: Option<Res<InputFocus>>,
    mut deeds: MessageWriter<Deed>,
) {
    for (interaction, does) in &mut fresh {
        if *interaction == Interaction::Pressed {
            deeds.write(does.0);
        }
    }
    let focused = focus.as_ref().and_then(|f| f.get());
    if let Some((_, _, does, ..)) = focused.and_then(|e| buttons.get(e).ok())
        && (keys.just_pressed(KeyCode::Enter) || keys.just_pressed(KeyCode::Space))
    {
        deeds.write(does.0);
    }
    for (entity, interaction, _, main, mut ground, mut border) in &mut buttons {
        let here = focused == Some(entity);
        let lit = here || *interaction != Interaction::None;
        let (want, edge) = match (main, lit) {
            (true, false) => (look::MAIN, look::MAIN),
            (true, true) => (look::MAIN_LIT, look::LIT),
            (false, false) => (look::BUTTON, look::BORDER),
            (false, true) => (look::BUTTON_LIT, palette::TEXT),
        };
        if ground.0 != want {
            ground.0 = want;
            *border = BorderColor::all(edge);
        }
    }
}

/// Entries with the keyboard have a light edge.
pub fn light_entries(focus: Option<Res<InputFocus>>, mut entries: Query<(Entity, &mut BorderColor), With<Entry>>) {
    let focused = focus.as_ref().and_then(|f| f.get());
    for (e, mut border) in &mut entries {
        let want = BorderColor::all(if focused == Some(e) { look::LIT } else { look::BORDER });
        if *border != want {
            *border = want;
        }
    }
}
