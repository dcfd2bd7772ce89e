//! The first screen: field, aeroplane, wind, time of day, drills, and the caution that never leaves it.

use super::choice::{Choice, Which};
use super::core::Deed;
use super::look::{self, Room, Sizes};
use super::table::{Opening, Trouble};
use super::widgets::{Entry, Mark, OnDesk, button, entry, main_button, scrolling};
use crate::drive::Phase;
use crate::view::hour::TimeOfDay;
use crate::view::palette;
use crate::view::readout::text;
use bevy::input_focus::tab_navigation::TabGroup;
use bevy::prelude::*;
use bevy::text::EditableText;
use toeline_engine::briefing::CAUTION;
use toeline_model::units::FOOT_M;
use toeline_training::DrillKind;

/// The whole screen.
#[derive(Component)]
pub struct Start;

/// The part that scrolls.
#[derive(Component)]
pub struct Body;

/// The line under the wind.
#[derive(Component)]
pub struct WindSays;

/// Facts of the aeroplane.
#[derive(Component)]
pub struct Facts;

/// The line with what is wrong.
#[derive(Component)]
pub struct TroubleLine;

/// Puts the screen up, or up again when the room changes, and takes it down when another is shown.
pub fn keep_up(
    mut commands: Commands,
    phase: Res<Phase>,
    choice: Res<Choice>,
    sizes: Res<Sizes>,
    screen: Query<Entity, With<Start>>,
) {
    let wanted = *phase == Phase::Choosing;
    let there = !screen.is_empty();
    if wanted && there && !sizes.is_changed() || !wanted && !there {
        return;
    }
    for e in &screen {
        commands.entity(e).despawn();
    }
    if wanted {
        put_up(&mut commands, &choice, *sizes);
    }
}

fn put_up(commands: &mut Commands, choice: &Choice, sizes: Sizes) {
    let gap = sizes.gap();
    commands
        .spawn((
            Start,
            OnDesk,
            TabGroup::default(),
            Node {
                position_type: PositionType::Absolute,
                width: percent(100),
                height: percent(100),
                flex_direction: FlexDirection::Column,
                padding: UiRect::axes(px(gap * 1.6), px(gap)),
                row_gap: px(gap),
                ..default()
            },
            BackgroundColor(look::GROUND),
            GlobalZIndex(20),
        ))
        .with_children(|s| {
            if sizes.room != Room::Little {
                s.spawn(text("toeline: choose, draw, drive", sizes.head() * 1.2, palette::TEXT));
            }
            caution(s, sizes);
            scrolling(
                s,
                Body,
                Node {
                    flex_wrap: FlexWrap::Wrap,
                    align_content: AlignContent::FlexStart,
                    align_items: AlignItems::FlexStart,
                    column_gap: px(gap * 1.6),
                    row_gap: px(gap * 1.4),
                    ..default()
                },
                |body| {
                    group(body, sizes, "Field", |g| fields(g, choice, sizes));
                    group(body, sizes, "Aeroplane", |g| aeroplanes(g, choice, sizes));
                    group(body, sizes, "Wind and light", |g| wind(g, choice, sizes));
                    group(body, sizes, "Drills without a route", |g| drills(g, sizes));
                    group_of(body, sizes, "Lessons", percent(98), |g| course(g, choice, sizes));
                },
            );
            s.spawn((text("", sizes.body(), palette::TEXT_WARN), TroubleLine));
            s.spawn(Node {
                column_gap: px(gap * 1.5),
                row_gap: px(gap * 0.5),
                align_items: AlignItems::Center,
                flex_wrap: FlexWrap::Wrap,
                flex_shrink: 0.0,
                ..default()
            })
            .with_children(|foot| {
                main_button(foot, sizes, "Open the map  (Enter)", Deed::OpenMap);
                button(foot, sizes, "Leave (Esc)", Deed::Leave, false);
                if sizes.room == Room::Much {
                    foot.spawn(text(
                        "Tab goes from one to the next. A map file may also be dropped on this window.",
                        sizes.note(),
                        palette::TEXT_QUIET,
                    ));
                }
            });
        });
}

/// The caution in its box.
pub fn caution(parent: &mut ChildSpawnerCommands, sizes: Sizes) {
    parent
        .spawn((
            Node {
                padding: UiRect::axes(px(sizes.gap()), px(sizes.gap() * 0.6)),
                border: UiRect::all(px(1.5)),
                flex_shrink: 0.0,
                ..default()
            },
            BorderColor::all(palette::TEXT_WARN),
        ))
        .with_children(|b| {
            b.spawn(text(CAUTION, sizes.note(), palette::TEXT_WARN));
        });
}

fn group(body: &mut ChildSpawnerCommands, sizes: Sizes, title: &str, fill: impl FnOnce(&mut ChildSpawnerCommands)) {
    let share = match sizes.room {
        Room::Little => percent(98),
        Room::Some => percent(49),
        Room::Much => percent(24),
    };
    group_of(body, sizes, title, share, fill);
}

fn group_of(
    body: &mut ChildSpawnerCommands,
    sizes: Sizes,
    title: &str,
    width: Val,
    fill: impl FnOnce(&mut ChildSpawnerCommands),
) {
    body.spawn((
        Node {
            width,
            flex_direction: FlexDirection::Column,
            row_gap: px(sizes.gap() * 0.7),
            padding: UiRect::all(px(sizes.gap())),
            border_radius: BorderRadius::all(px(4)),
            ..default()
        },
        BackgroundColor(look::PANEL),
    ))
    .with_children(|g| {
        g.spawn(text(title, sizes.head(), palette::TEXT_HEAD));
        fill(g);
    });
}

fn fields(g: &mut ChildSpawnerCommands, choice: &Choice, sizes: Sizes) {
    for (i, file) in choice.fields.iter().enumerate().take(12) {
        let name = file.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        button(g, sizes, &name, Deed::TakeField(i), true);
    }
    let words = if choice.fields.is_empty() {
        "No map file lies in a folder \"maps\" here. Path of a map file (GeoJSON):"
    } else {
        "or the path of a map file (GeoJSON):"
    };
    g.spawn(text(words, sizes.note(), palette::TEXT_QUIET));
    entry(g, sizes, Entry::Field, &choice.field);
}

fn aeroplanes(g: &mut ChildSpawnerCommands, choice: &Choice, sizes: Sizes) {
    for (i, a) in choice.built_in.iter().enumerate() {
        button(g, sizes, &a.id, Deed::TakeAeroplane(Which::BuiltIn(i)), true);
    }
    button(g, sizes, "a file of your own:", Deed::TakeAeroplane(Which::File), true);
    entry(g, sizes, Entry::AeroplaneFile, &choice.aeroplane_file);
    g.spawn((text("", sizes.note(), palette::TEXT_QUIET), Facts));
}

fn wind(g: &mut ChildSpawnerCommands, choice: &Choice, sizes: Sizes) {
    g.spawn(text("Surface wind", sizes.note(), palette::TEXT_QUIET));
    entry(g, sizes, Entry::Wind, &choice.wind);
    g.spawn((text("", sizes.note(), palette::TEXT_QUIET), WindSays));
    g.spawn(text("Time of day", sizes.note(), palette::TEXT_QUIET));
    for t in TimeOfDay::ALL {
        button(g, sizes, t.name(), Deed::TakeTime(t), true);
    }
}

fn drills(g: &mut ChildSpawnerCommands, sizes: Sizes) {
    g.spawn(text(
        "On an empty practice apron, with this aeroplane and wind:",
        sizes.note(),
        palette::TEXT_QUIET,
    ));
    for kind in DrillKind::ALL {
        button(g, sizes, kind.name(), Deed::Drill(kind), false);
    }
}

fn course(g: &mut ChildSpawnerCommands, choice: &Choice, sizes: Sizes) {
    g.spawn(text(
        "Pupil, for the logbook: a name or number of your choice. It stays on this computer. Empty: no logbook.",
        sizes.note(),
        palette::TEXT_QUIET,
    ));
    entry(g, sizes, Entry::Pupil, &choice.pupil);
    g.spawn(text(
        "Easiest first, in this aeroplane; each brings its own wind and light:",
        sizes.note(),
        palette::TEXT_QUIET,
    ));
    g.spawn(Node {
        flex_wrap: FlexWrap::Wrap,
        column_gap: px(sizes.gap() * 0.7),
        row_gap: px(sizes.gap() * 0.7),
        ..default()
    })
    .with_children(|row| {
        for (i, exercise) in choice.course.iter().enumerate() {
            let label = format!("{}  {}", i + 1, exercise.title);
            button(row, sizes, &label, Deed::Lesson(i), false);
        }
    });
}

/// Takes up what is typed.
pub fn take_typed(entries: Query<(&Entry, &EditableText), Changed<EditableText>>, mut choice: ResMut<Choice>) {
    for (which, typed) in &entries {
        let value = typed.value().to_string();
        let (now, file) = match which {
            Entry::Field => (&choice.field, false),
            Entry::AeroplaneFile => (&choice.aeroplane_file, true),
            Entry::Wind => (&choice.wind, false),
            Entry::Pupil => (&choice.pupil, false),
        };
        if *now == value {
            continue;
        }
        match which {
            Entry::Field => choice.field = value,
            Entry::AeroplaneFile => choice.aeroplane_file = value,
            Entry::Wind => choice.wind = value,
            Entry::Pupil => choice.pupil = value,
        }
        // Who types a path means that file.
        if file {
            choice.aeroplane = Which::File;
        }
    }
}

/// Puts a field that was taken from the list, or dropped on the window, into its entry.
pub fn show_taken(
    mut deeds: MessageReader<Deed>,
    mut dropped: MessageReader<FileDragAndDrop>,
    mut choice: ResMut<Choice>,
    mut entries: Query<(&Entry, &mut EditableText)>,
) {
    let mut value = None;
    for d in dropped.read() {
        if let FileDragAndDrop::DroppedFile { path_buf, .. } = d {
            choice.field = path_buf.display().to_string();
            value = Some(choice.field.clone());
        }
    }
    for deed in deeds.read() {
        if let Deed::TakeField(i) = deed {
            value = choice.fields.get(*i).map(|f| f.display().to_string());
        }
    }
    if let Some(value) = value {
        for (which, mut edit) in &mut entries {
            if *which == Entry::Field {
                edit.editor_mut().set_text(&value);
            }
        }
    }
}

/// Marks what is chosen.
pub fn mark_chosen(choice: Res<Choice>, mut marks: Query<(&Mark, &mut BackgroundColor)>) {
    for (mark, mut ground) in &mut marks {
        let on = match mark.0 {
            Deed::TakeField(i) => choice
                .fields
                .get(i)
                .is_some_and(|f| f.display().to_string() == choice.field.trim()),
            Deed::TakeAeroplane(which) => which == choice.aeroplane,
            Deed::TakeTime(t) => t == choice.time,
            _ => false,
        };
        let want = if on { palette::TEXT } else { Color::NONE };
        if ground.0 != want {
            ground.0 = want;
        }
    }
}

/// What the wind line says: the engine's own sentence when the wind is not read.
pub fn wind_says(choice: &Choice) -> (String, bool) {
    match choice.wind() {
        Ok(_) => (
            "as on a report: 240/12T is true (METAR, TAF), 240/12G20M magnetic (tower, ATIS), VRB/04, calm".into(),
            true,
        ),
        Err(e) => (e, false),
    }
}

/// Facts of the chosen aeroplane in a line.
pub fn facts(choice: &Choice) -> String {
    let Which::BuiltIn(i) = choice.aeroplane else {
        return String::new();
    };
    choice.built_in.get(i).map_or_else(String::new, |a| {
        format!(
            "{}: {:.1} m ({:.0} ft) of wing, {} seats",
            a.name,
            a.wing.span_m,
            a.wing.span_m / FOOT_M,
            a.seats.count
        )
    })
}

type Words<'w, 's, M, N, O> =
    Single<'w, 's, (&'static mut Text, &'static mut TextColor), (With<M>, Without<N>, Without<O>)>;

/// Keeps the lines up to date.
pub fn write_lines(
    choice: Res<Choice>,
    trouble: Res<Trouble>,
    opening: Option<Res<Opening>>,
    wind_line: Option<Words<WindSays, Facts, TroubleLine>>,
    facts_line: Option<Words<Facts, WindSays, TroubleLine>>,
    trouble_line: Option<Words<TroubleLine, WindSays, Facts>>,
) {
    let put = |to: &mut Text, words: String| {
        if to.0 != words {
            to.0 = words;
        }
    };
    if let Some(line) = wind_line {
        let (mut words, mut colour) = line.into_inner();
        let (says, fine) = wind_says(&choice);
        put(&mut words, says);
        let want = if fine { palette::TEXT_QUIET } else { palette::TEXT_WARN };
        if colour.0 != want {
            colour.0 = want;
        }
    }
    if let Some(line) = facts_line {
        put(&mut line.into_inner().0, facts(&choice));
    }
    if let Some(line) = trouble_line {
        let words = match (trouble.0.is_empty(), opening.is_some()) {
            (_, true) => "reading the map ...".to_string(),
            (false, _) => format!("Cannot go on: {}", trouble.0),
            _ => String::new(),
        };
        put(&mut line.into_inner().0, words);
    }
}
