//! The first screen: what this is not for, and the keys. The drive begins only from here.

use super::palette;
use super::readout::text;
use crate::desk::look::{Room, Sizes};
use crate::desk::start::caution;
use crate::desk::widgets::scrolling;
use crate::drive::Phase;
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
    app.add_systems(Raise, put_up).add_systems(Update, take_down);
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
            if let Some(task) = scene.task() {
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
                        text(
                            "Rest your index fingers on F and J: they are your two feet. One row up, R and U, are the toes. Press \
                             longer to press more; let go and it eases off. Keys are named as on a US keyboard.",
                            sizes.body(),
                            palette::TEXT,
                        ),
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
            s.spawn((
                text(
                    "Press Enter to start; Home goes back to the map",
                    sizes.head(),
                    palette::TEXT,
                ),
                TextLayout::justify(Justify::Center),
            ));
        });
}

fn key_list(columns: &mut ChildSpawnerCommands, bindings: &Bindings, sizes: Sizes) {
    let listed: Vec<_> = bindings.0.iter().filter(|b| b.action != Action::Begin).collect();
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
                                k.spawn(text(b.label, sizes.body(), palette::TEXT_HEAD));
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
