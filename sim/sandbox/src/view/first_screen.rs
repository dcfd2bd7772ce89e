//! The first screen: what this is not for, and the keys. The drive begins only from here.

use super::palette;
use super::readout::text;
use crate::drive::Phase;
use crate::keys::{Action, Bindings};
use crate::scene::Scene;
use bevy::prelude::*;
use toeline_engine::briefing::CAUTION;

/// The whole screen.
#[derive(Component)]
struct FirstScreen;

/// Shows the first screen until the drive begins.
pub fn first_screen_plugin(app: &mut App) {
    app.add_systems(Startup, put_up).add_systems(Update, take_down);
}

fn put_up(mut commands: Commands, bindings: Res<Bindings>, scene: Res<Scene>) {
    commands
        .spawn((
            Node {
                position_type: PositionType::Absolute,
                width: percent(100),
                height: percent(100),
                flex_direction: FlexDirection::Column,
                align_items: AlignItems::Center,
                justify_content: JustifyContent::Center,
                row_gap: px(16),
                ..default()
            },
            BackgroundColor(Color::srgba(0.05, 0.07, 0.09, 0.97)),
            GlobalZIndex(10),
            FirstScreen,
        ))
        .with_children(|s| {
            s.spawn(text("toeline", 34.0, palette::TEXT));
            s.spawn(text(scene.title.clone(), 18.0, palette::TEXT_HEAD));
            s.spawn((
                Node {
                    width: px(860),
                    padding: UiRect::all(px(14)),
                    border: UiRect::all(px(2)),
                    ..default()
                },
                BorderColor::all(palette::TEXT_WARN),
            ))
            .with_children(|b| {
                b.spawn((
                    text(CAUTION, 18.0, palette::TEXT_WARN),
                    TextLayout::justify(Justify::Center),
                ));
            });
            s.spawn((
                text(
                    "Rest your index fingers on F and J: they are your two feet. One row up, R and U, are the toes.\nPress longer to press \
                     more; let go and it eases off. Keys are named as on a US keyboard.",
                    16.0,
                    palette::TEXT,
                ),
                TextLayout::justify(Justify::Center),
            ));
            s.spawn(Node {
                column_gap: px(44),
                ..default()
            })
            .with_children(|columns| key_list(columns, &bindings));
            s.spawn(text("Press Enter to start", 24.0, palette::TEXT));
        });
}

fn key_list(columns: &mut ChildSpawnerCommands, bindings: &Bindings) {
    let listed: Vec<_> = bindings.0.iter().filter(|b| b.action != Action::Begin).collect();
    for part in listed.chunks(listed.len().div_ceil(3)) {
        columns
            .spawn(Node {
                flex_direction: FlexDirection::Column,
                row_gap: px(6),
                ..default()
            })
            .with_children(|column| {
                for b in part {
                    column
                        .spawn(Node {
                            column_gap: px(12),
                            ..default()
                        })
                        .with_children(|line| {
                            line.spawn(Node {
                                width: px(96),
                                justify_content: JustifyContent::End,
                                ..default()
                            })
                            .with_children(|k| {
                                k.spawn(text(b.label, 16.0, palette::TEXT_HEAD));
                            });
                            line.spawn(text(b.words, 16.0, palette::TEXT));
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
