//! The screen with the map: its parts put up and kept up to date, the pointer and the keys read.

use super::core::Deed;
use super::ends::Ends;
use super::hand::{Grip, Ground, Hand, Input};
use super::look::{self, Room, Sizes};
use super::pick::Place;
use super::planner::Planner;
use super::sheet::{Sheet, View};
use super::shown::Shown;
use super::side::{self, Chosen, LegLine, List, Lit, State};
use super::table::Table;
use super::widgets::{Does, Entry, OnDesk, button, main_button, scrolling};
use crate::drive::Phase;
use crate::view::field::extent;
use crate::view::palette;
use crate::view::readout::text;
use bevy::input::mouse::{AccumulatedMouseScroll, MouseScrollUnit};
use bevy::input_focus::InputFocus;
use bevy::input_focus::tab_navigation::TabGroup;
use bevy::prelude::*;
use bevy::window::PrimaryWindow;
use toeline_model::Xy;
use toeline_model::frame::xy;

/// The whole screen.
#[derive(Component)]
pub struct Drawing;

/// The part of it that the map is seen through.
#[derive(Component)]
pub struct Hole;

/// Whether the whole field is to be shown as soon as the view is known; so until the user moves the sheet.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Fitted(pub bool);

/// Puts the screen up and takes it down.
pub fn keep_up(
    mut commands: Commands,
    phase: Res<Phase>,
    table: Option<Res<Table>>,
    sizes: Res<Sizes>,
    screen: Query<Entity, With<Drawing>>,
) {
    let fresh = table.as_ref().is_some_and(|t| t.is_changed());
    let table = table.filter(|_| *phase == Phase::Drawing);
    let there = !screen.is_empty();
    if table.is_some() && there && !sizes.is_changed() && !fresh || table.is_none() && !there {
        return;
    }
    for e in &screen {
        commands.entity(e).despawn();
    }
    if let Some(table) = table {
        put_up(&mut commands, &table, *sizes);
    }
}

fn put_up(commands: &mut Commands, table: &Table, sizes: Sizes) {
    let little = sizes.room == Room::Little;
    let (direction, wide, tall) = if little {
        (FlexDirection::Column, percent(100), percent(50))
    } else {
        (FlexDirection::Row, px(sizes.list_px()), percent(100))
    };
    commands
        .spawn((
            Drawing,
            OnDesk,
            TabGroup::default(),
            Node {
                position_type: PositionType::Absolute,
                width: percent(100),
                height: percent(100),
                flex_direction: direction,
                ..default()
            },
            GlobalZIndex(20),
        ))
        .with_children(|s| {
            s.spawn((
                Hole,
                Node {
                    flex_grow: 1.0,
                    flex_basis: px(0),
                    min_width: px(0),
                    min_height: px(0),
                    overflow: Overflow::clip(),
                    ..default()
                },
            ));
            s.spawn((
                Node {
                    width: wide,
                    height: tall,
                    flex_direction: FlexDirection::Column,
                    flex_shrink: 0.0,
                    row_gap: px(sizes.gap() * 0.6),
                    padding: UiRect::all(px(sizes.gap())),
                    ..default()
                },
                BackgroundColor(look::GROUND),
            ))
            .with_children(|p| panel(p, table, sizes));
        });
}

fn panel(p: &mut ChildSpawnerCommands, table: &Table, sizes: Sizes) {
    let name = table.field.name.as_deref().unwrap_or("field without a name");
    let invented = if table.field.invented { " (invented)" } else { "" };
    if sizes.room != Room::Little {
        p.spawn(text(format!("{name}{invented}"), sizes.head(), palette::TEXT_HEAD));
        p.spawn(text(table.aircraft.name.clone(), sizes.note(), palette::TEXT_QUIET));
        p.spawn((text("", sizes.body(), palette::TEXT), Chosen));
    }
    p.spawn((text("", sizes.body(), palette::TEXT_WARN), State));
    scrolling(
        p,
        List,
        Node {
            flex_direction: FlexDirection::Column,
            row_gap: px(sizes.gap() * 0.4),
            ..default()
        },
        |_| {},
    );
    p.spawn(Node {
        column_gap: px(sizes.gap()),
        row_gap: px(sizes.gap() * 0.6),
        flex_wrap: FlexWrap::Wrap,
        align_items: AlignItems::Center,
        flex_shrink: 0.0,
        ..default()
    })
    .with_children(|foot| {
        let much = sizes.room == Room::Much;
        let (drive, back) = if much {
            ("Drive it (Enter)", "First screen (Esc)")
        } else {
            ("Drive (Enter)", "Back (Esc)")
        };
        main_button(foot, sizes, drive, Deed::DriveIt);
        let over = if sizes.room == Room::Little {
            "Anew"
        } else {
            "Start over"
        };
        button(foot, sizes, over, Deed::StartOver, false);
        button(
            foot,
            sizes,
            if much { "Whole field" } else { "Whole" },
            Deed::Fit,
            false,
        );
        button(foot, sizes, "+", Deed::Zoom(1), false);
        button(foot, sizes, "-", Deed::Zoom(-1), false);
        button(foot, sizes, back, Deed::ToDesk, false);
    });
}

/// Learns where the map is seen, and shows the whole field when that is asked for or nothing else was.
pub fn measure(
    hole: Option<Single<(&ComputedNode, &UiGlobalTransform), With<Hole>>>,
    table: Option<Res<Table>>,
    mut deeds: MessageReader<Deed>,
    mut sheet: ResMut<Sheet>,
    mut fitted: ResMut<Fitted>,
) {
    for deed in deeds.read() {
        match *deed {
            Deed::Fit => fitted.0 = false,
            Deed::Zoom(by) => {
                let v = sheet.view;
                let middle = xy(v.left + v.width / 2.0, v.top + v.height / 2.0);
                sheet.zoom(middle, 1.5_f64.powi(i32::from(by)));
                fitted.0 = true;
            }
            _ => {}
        }
    }
    let (Some(hole), Some(table)) = (hole, table) else {
        return;
    };
    let (node, at) = *hole;
    let k = f64::from(node.inverse_scale_factor);
    let (w, h) = (f64::from(node.size.x) * k, f64::from(node.size.y) * k);
    let view = View {
        left: f64::from(at.translation.x) * k - w / 2.0,
        top: f64::from(at.translation.y) * k - h / 2.0,
        width: w,
        height: h,
    };
    if view.width < 1.0 {
        return;
    }
    let mut next = Sheet { view, ..*sheet };
    if !fitted.0 {
        let (low, high) = extent(&table.field);
        next.fit(low, high);
    }
    if next != *sheet {
        *sheet = next;
    }
}

/// Reads the pointer.
pub fn point(
    window: Single<&Window, With<PrimaryWindow>>,
    input: (Res<ButtonInput<MouseButton>>, Res<AccumulatedMouseScroll>),
    ui_scale: Res<UiScale>,
    on: (Option<Res<Table>>, Res<Ends>, Res<Planner>),
    moved: (ResMut<Hand>, ResMut<Sheet>, ResMut<Fitted>),
    mut deeds: MessageWriter<Deed>,
) {
    let (mut hand, mut sheet, mut fitted) = moved;
    let (buttons, scroll) = input;
    let (table, ends, planner) = on;
    let Some(table) = table else { return };
    // The view is measured in pixels of the user interface, which the text scale enlarges.
    let k = f64::from(ui_scale.0);
    let input = Input {
        at: window
            .cursor_position()
            .map(|c| xy(f64::from(c.x) / k, f64::from(c.y) / k)),
        down: buttons.just_pressed(MouseButton::Left),
        up: buttons.just_released(MouseButton::Left),
        wheel: match scroll.unit {
            MouseScrollUnit::Line => f64::from(scroll.delta.y),
            MouseScrollUnit::Pixel => f64::from(scroll.delta.y) / 40.0,
        },
    };
    let ground = Ground {
        field: &table.field,
        ends: &ends,
        lines: planner.shown().map_or(&[], |s| s.2),
    };
    let (mut h, mut s) = (*hand, *sheet);
    let wish = h.step(input, &mut s, ground);
    if h != *hand {
        *hand = h;
    }
    if s != *sheet {
        *sheet = s;
        fitted.0 = true;
    }
    if let Some(wish) = wish {
        deeds.write(Deed::OnMap(wish));
    }
}

/// Keys of both screens of the desk. What has the keyboard, an entry or a button, comes first.
pub fn keys(
    keys: Res<ButtonInput<KeyCode>>,
    phase: Res<Phase>,
    focus: Option<Res<InputFocus>>,
    entries: Query<&Entry>,
    buttons: Query<(), With<Does>>,
    moved: (ResMut<Sheet>, ResMut<Fitted>),
    mut deeds: MessageWriter<Deed>,
) {
    let (mut sheet, mut fitted) = moved;
    let entry = focus.as_ref().and_then(|f| f.get()).and_then(|e| entries.get(e).ok());
    let in_entry = entry.is_some();
    let on_button = focus
        .as_ref()
        .and_then(|f| f.get())
        .is_some_and(|e| buttons.contains(e));
    let drawing = *phase == Phase::Drawing;
    if keys.just_pressed(KeyCode::Escape) {
        deeds.write(if drawing { Deed::ToDesk } else { Deed::Leave });
    }
    // A name that was typed is typed; it opens no map.
    if keys.just_pressed(KeyCode::Enter) && !on_button && entry != Some(&Entry::Pupil) {
        deeds.write(if drawing { Deed::DriveIt } else { Deed::OpenMap });
    }
    if !drawing || in_entry {
        return;
    }
    for (key, by) in [
        (KeyCode::ArrowLeft, xy(40.0, 0.0)),
        (KeyCode::ArrowRight, xy(-40.0, 0.0)),
        (KeyCode::ArrowUp, xy(0.0, 40.0)),
        (KeyCode::ArrowDown, xy(0.0, -40.0)),
    ] {
        if keys.just_pressed(key) {
            sheet.pan(by);
            fitted.0 = true;
        }
    }
    for (key, deed) in [
        (KeyCode::Equal, Deed::Zoom(1)),
        (KeyCode::NumpadAdd, Deed::Zoom(1)),
        (KeyCode::Minus, Deed::Zoom(-1)),
        (KeyCode::NumpadSubtract, Deed::Zoom(-1)),
        (KeyCode::Digit0, Deed::Fit),
    ] {
        if keys.just_pressed(key) {
            deeds.write(deed);
        }
    }
}

/// The leg under the pointer, on the map or in the list.
pub fn light_leg(hand: Res<Hand>, lines: Query<(&LegLine, &Interaction)>, mut lit: ResMut<Lit>) {
    let listed = lines.iter().find(|(_, i)| **i != Interaction::None).map(|(l, _)| l.0);
    let want = listed.or(hand.leg);
    if lit.0 != want {
        lit.0 = want;
    }
}

/// Shows the lit leg in the list: another ground and an edge.
pub fn show_lit(lit: Res<Lit>, mut lines: Query<(&LegLine, &mut BackgroundColor, &mut BorderColor)>) {
    for (line, mut ground, mut border) in &mut lines {
        let on = lit.0 == Some(line.0);
        let want = if on { look::BUTTON_LIT } else { look::PANEL };
        if ground.0 != want {
            ground.0 = want;
            *border = BorderColor::all(if on { look::LIT } else { look::PANEL });
        }
    }
}

type Line<'w, 's, M, N> = Single<'w, 's, &'static mut Text, (With<M>, Without<N>)>;

/// Writes the lines over the list.
pub fn write_lines(
    on: Shown,
    chosen: Option<Line<Chosen, State>>,
    state: Option<Line<State, Chosen>>,
    mut colour: Query<&mut TextColor, With<State>>,
) {
    let Some(table) = &on.table else { return };
    let shown = match on.trial.held {
        Some((role, place)) => on.ends.moved(role, place),
        None => on.ends.clone(),
    };
    let put = |to: &mut Text, words: String| {
        if to.0 != words {
            to.0 = words;
        }
    };
    let ink = match side::state_is_good(&on.planner, &on.trouble) {
        true => palette::TEXT,
        false => palette::TEXT_WARN,
    };
    for mut c in &mut colour {
        if c.0 != ink {
            c.0 = ink;
        }
    }
    if let Some(mut line) = chosen {
        put(&mut line, side::chosen_words(table, &shown));
    }
    if let Some(mut line) = state {
        put(&mut line, side::state_words(table, &shown, &on.planner, &on.trouble));
    }
}

/// Fills the list whenever the answer is another one.
pub fn refill(
    mut commands: Commands,
    planner: Res<Planner>,
    sizes: Res<Sizes>,
    list: Option<Single<(Entity, Ref<List>, &mut ScrollPosition)>>,
    mut shown: Local<Option<u64>>,
) {
    let Some(list) = list else {
        *shown = None;
        return;
    };
    let (entity, mark, mut scroll) = list.into_inner();
    if *shown == Some(planner.serial()) && !mark.is_added() {
        return;
    }
    *shown = Some(planner.serial());
    scroll.0 = Vec2::ZERO;
    commands
        .entity(entity)
        .despawn_related::<Children>()
        .with_children(|l| side::fill(l, *sizes, &planner));
}

/// Where a held point is drawn: at the place under it, or under the pointer.
pub fn held(hand: &Hand, sheet: &Sheet, field: &toeline_model::Airfield) -> Option<(super::ends::Role, Xy)> {
    let Grip::Point(role) = hand.grip else { return None };
    let snapped = hand
        .over
        .filter(|p: &Place| role.admits(*p))
        .and_then(|p| super::pick::spot(field, p));
    snapped
        .or_else(|| hand.at.map(|px| sheet.point(px)))
        .map(|at| (role, at))
}
