//! The first screen: what this is not for, and the keys. The drive begins only from here.

use super::palette;
use super::readout::text;
use crate::drive::Phase;
use crate::feet::{OpenScreen, Screen};
use crate::keys::{Action, Bindings};
use crate::scene::Scene;
use bevy::prelude::*;
use toeline_engine::briefing::CAUTION;

/// The whole screen.
#[derive(Component)]
struct FirstScreen;

/// The list of keys, for which a small window has no room: the screen of controls shows it there.
#[derive(Component)]
struct KeyList;

/// The box of the caution.
#[derive(Component)]
struct Caution;

/// Width of the caution where there is room, pixels.
const CAUTION_PX: f32 = 860.0;

/// Least window for the list of keys, pixels.
const LIST_NEEDS: Vec2 = Vec2::new(1180.0, 600.0);

/// Shows the first screen until the drive begins.
pub fn first_screen_plugin(app: &mut App) {
    app.add_systems(Startup, put_up)
        .add_systems(Update, (renew, fit, take_down).chain());
}

/// Writes the screen anew when a key was given another task.
fn renew(commands: Commands, bindings: Res<Bindings>, scene: Res<Scene>, old: Query<Entity, With<FirstScreen>>) {
    if bindings.is_changed() && !bindings.is_added() {
        let mut commands = commands;
        old.iter().for_each(|e| commands.entity(e).despawn());
        put_up(commands, bindings, scene);
    }
}

/// The parts of the screen that depend on the room there is.
type Fitted<'w, 's> = Query<
    'w,
    's,
    (&'static mut Node, Has<KeyList>, Has<Caution>),
    Or<(With<FirstScreen>, With<KeyList>, With<Caution>)>,
>;

fn fit(window: Query<&Window>, scale: Res<UiScale>, mut parts: Fitted) {
    let Ok(window) = window.single() else { return };
    let room = window.size() / scale.0.max(0.1);
    let roomy = room.cmpge(LIST_NEEDS).all();
    for (mut node, list, caution) in &mut parts {
        let mut want = node.clone();
        if list {
            want.display = if roomy { Display::Flex } else { Display::None };
        } else if caution {
            want.width = px(CAUTION_PX.min(room.x - 40.0));
        } else {
            want.row_gap = px(if roomy { 16 } else { 5 });
        }
        if *node != want {
            *node = want;
        }
    }
}

/// How to lay the hands, with the keys as they are bound now.
fn how_to(bindings: &Bindings) -> String {
    let k = |action| bindings.label(action);
    format!(
        "Rest your index fingers on {} and {}: they are your two feet. Their toes are {} and {}.\nPress longer to press more; \
         let go and it eases off. Keys are named as on a US keyboard. All keys, pedals and sticks: {}.",
        k(Action::LeftPedal),
        k(Action::RightPedal),
        k(Action::LeftToe),
        k(Action::RightToe),
        k(Action::OpenControls)
    )
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
                padding: UiRect::horizontal(px(10)),
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
                    width: px(CAUTION_PX),
                    padding: UiRect::all(px(14)),
                    border: UiRect::all(px(2)),
                    ..default()
                },
                BorderColor::all(palette::TEXT_WARN),
                Caution,
            ))
            .with_children(|b| {
                b.spawn((
                    text(CAUTION, 18.0, palette::TEXT_WARN),
                    TextLayout::justify(Justify::Center),
                ));
            });
            s.spawn((
                text(how_to(&bindings), 16.0, palette::TEXT),
                TextLayout::justify(Justify::Center),
            ));
            s.spawn((
                Node {
                    column_gap: px(44),
                    ..default()
                },
                KeyList,
            ))
            .with_children(|columns| key_list(columns, &bindings));
            s.spawn(Node {
                column_gap: px(24),
                row_gap: px(5),
                flex_wrap: FlexWrap::Wrap,
                align_items: AlignItems::Center,
                justify_content: JustifyContent::Center,
                ..default()
            })
            .with_children(|foot| {
                let start = format!("Press {} to start", bindings.label(Action::Begin));
                foot.spawn(text(start, 24.0, palette::TEXT));
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
                        b.spawn((text(words, 16.0, palette::TEXT_HEAD), Pickable::IGNORE));
                    })
                    .observe(move |_: On<Pointer<Click>>, mut open: ResMut<OpenScreen>| open.now = screen);
                }
            });
        });
}

fn key_list(columns: &mut ChildSpawnerCommands, bindings: &Bindings) {
    let listed: Vec<_> = bindings
        .0
        .iter()
        .filter(|b| b.trigger.is_some() && b.action != Action::Begin)
        .collect();
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
                                width: px(104),
                                justify_content: JustifyContent::End,
                                ..default()
                            })
                            .with_children(|k| {
                                k.spawn((text(b.label(), 16.0, palette::TEXT_HEAD), TextLayout::no_wrap()));
                            });
                            line.spawn(text(b.words, 16.0, palette::TEXT));
                        });
                }
            });
    }
}

fn take_down(phase: Res<Phase>, mut screen: Query<&mut Visibility, With<FirstScreen>>) {
    let want = if *phase == Phase::Caution {
        Visibility::Inherited
    } else {
        Visibility::Hidden
    };
    for mut seen in &mut screen {
        if *seen != want {
            *seen = want;
        }
    }
}
