//! The first screen: what this is not for, and the keys. The drive begins only from here.

use super::palette;
use super::readout::{credit, text};
use crate::desk::look::{Room, Sizes};
use crate::desk::start::caution;
use crate::desk::widgets::scrolling;
use crate::drive::Phase;
use crate::feet::{OpenScreen, Screen};
use crate::keys::{Action, Bindings};
use crate::scene::{Raise, Scene};
use bevy::prelude::*;

/// The whole screen.
#[derive(Component)]
struct FirstScreen;

/// The part of it that scrolls.
#[derive(Component)]
struct KeyList;

/// Shows the first screen until the drive begins.
pub fn first_screen_plugin(app: &mut App) {
    app.add_systems(Raise, put_up)
        .add_systems(Update, (renew, take_down).chain());
}

/// Writes the screen anew when a key was given another task.
fn renew(
    mut commands: Commands,
    bindings: Res<Bindings>,
    scene: Res<Scene>,
    sizes: Option<Res<Sizes>>,
    old: Query<Entity, With<FirstScreen>>,
) {
    if bindings.is_changed() && !bindings.is_added() {
        old.iter().for_each(|e| commands.entity(e).despawn());
        put_up(commands, bindings, scene, sizes);
    }
}

/// How to lay the hands, with the keys as they are bound now.
fn how_to(bindings: &Bindings) -> String {
    let k = |action| bindings.label(action);
    format!(
        "Rest your index fingers on {} and {}: they are your two feet. Their toes are {} and {}. Press longer to press more; let \
         go and it eases off. Keys are named as on a US keyboard. All keys, pedals and sticks: {}.",
        k(Action::LeftPedal),
        k(Action::RightPedal),
        k(Action::LeftToe),
        k(Action::RightToe),
        k(Action::OpenControls)
    )
}

fn put_up(mut commands: Commands, bindings: Res<Bindings>, scene: Res<Scene>, sizes: Option<Res<Sizes>>) {
    let sizes = sizes.map_or_else(Sizes::default, |s| *s);
    let gap = sizes.gap();
    commands
        .spawn((
            Node {
                position_type: PositionType::Absolute,
                width: percent(100),
                height: percent(100),
                flex_direction: FlexDirection::Column,
                align_items: AlignItems::Center,
                row_gap: px(gap),
                padding: UiRect::all(px(gap * 1.5)),
                ..default()
            },
            BackgroundColor(Color::srgba(0.05, 0.07, 0.09, 0.97)),
            GlobalZIndex(10),
            FirstScreen,
        ))
        .with_children(|s| {
            if sizes.room == Room::Much {
                s.spawn(text("toeline", 34.0, palette::TEXT));
            }
            s.spawn((
                text(scene.title.clone(), sizes.head(), palette::TEXT_HEAD),
                TextLayout::justify(Justify::Center),
            ));
            let teaches = scene.lesson.as_ref().map(|l| l.exercise.teaches.join(" "));
            let task = teaches.or_else(|| scene.drill_task().map(str::to_string));
            if let Some(task) = task {
                s.spawn((
                    text(task, sizes.body(), palette::TEXT),
                    TextLayout::justify(Justify::Center),
                ));
            }
            s.spawn(Node {
                width: percent(100),
                max_width: px(sizes.note() * 66.0),
                flex_direction: FlexDirection::Column,
                flex_shrink: 0.0,
                ..default()
            })
            .with_children(|b| caution(b, sizes));
            if let Some(words) = credit(&scene.field) {
                s.spawn((
                    text(words, sizes.note(), palette::TEXT),
                    TextLayout::justify(Justify::Center),
                ));
            }
            // What does not fit is reached by the wheel; the way on stays in sight.
            scrolling(
                s,
                KeyList,
                Node {
                    flex_direction: FlexDirection::Column,
                    align_items: AlignItems::Center,
                    row_gap: px(gap),
                    ..default()
                },
                |body| {
                    body.spawn((
                        text(how_to(&bindings), sizes.body(), palette::TEXT),
                        TextLayout::justify(Justify::Center),
                    ));
                    body.spawn(Node {
                        column_gap: px(gap * 4.0),
                        row_gap: px(gap * 0.5),
                        flex_wrap: FlexWrap::Wrap,
                        justify_content: JustifyContent::Center,
                        ..default()
                    })
                    .with_children(|columns| key_list(columns, &bindings, sizes));
                },
            );
            let back = if scene.lesson.is_some() {
                "to the lessons"
            } else {
                "to the map"
            };
            let start = format!(
                "Press {} to start; {} goes back {back}",
                bindings.label(Action::Begin),
                bindings.label(Action::ToMap)
            );
            s.spawn((
                text(start, sizes.head(), palette::TEXT),
                TextLayout::justify(Justify::Center),
            ));
            s.spawn(Node {
                column_gap: px(gap * 2.0),
                row_gap: px(gap * 0.5),
                flex_wrap: FlexWrap::Wrap,
                justify_content: JustifyContent::Center,
                flex_shrink: 0.0,
                ..default()
            })
            .with_children(|foot| screens(foot, &bindings, sizes));
        });
}

/// The two screens of settings, by mouse.
fn screens(foot: &mut ChildSpawnerCommands, bindings: &Bindings, sizes: Sizes) {
    for (action, screen, words) in [
        (Action::OpenControls, Screen::Controls, "controls"),
        (Action::OpenKeyboardCheck, Screen::KeyboardCheck, "keyboard check"),
    ] {
        foot.spawn((
            Node {
                padding: UiRect::axes(px(10), px(4)),
                border_radius: BorderRadius::all(px(3)),
                ..default()
            },
            BackgroundColor(Color::srgb(0.14, 0.18, 0.21)),
        ))
        .with_children(|b| {
            let words = format!("{}  {words}", bindings.label(action));
            b.spawn((text(words, sizes.body(), palette::TEXT_HEAD), Pickable::IGNORE));
        })
        .observe(move |_: On<Pointer<Click>>, mut open: ResMut<OpenScreen>| open.now = screen);
    }
}

fn key_list(columns: &mut ChildSpawnerCommands, bindings: &Bindings, sizes: Sizes) {
    let listed: Vec<_> = bindings
        .0
        .iter()
        .filter(|b| b.trigger.is_some() && b.action != Action::Begin)
        .collect();
    for part in listed.chunks(listed.len().div_ceil(3)) {
        columns
            .spawn(Node {
                flex_direction: FlexDirection::Column,
                row_gap: px(sizes.gap() * 0.5),
                ..default()
            })
            .with_children(|column| {
                for b in part {
                    column
                        .spawn(Node {
                            column_gap: px(sizes.gap()),
                            ..default()
                        })
                        .with_children(|line| {
                            line.spawn(Node {
                                width: px(sizes.body() * 6.0),
                                justify_content: JustifyContent::End,
                                ..default()
                            })
                            .with_children(|k| {
                                k.spawn((text(b.label(), sizes.body(), palette::TEXT_HEAD), TextLayout::no_wrap()));
                            });
                            line.spawn(text(b.words, sizes.body(), palette::TEXT));
                        });
                }
            });
    }
}

fn take_down(phase: Res<Phase>, mut screen: Single<&mut Visibility, With<FirstScreen>>) {
    let want = if *phase == Phase::Caution {
        Visibility::Inherited
    } else {
        Visibility::Hidden
    };
    if **screen != want {
        **screen = want;
    }
}
