//! The keyboard check: which keys are down, and which combinations of the feet keys and the throttle came through.

use super::control_screen::Root;
use super::palette;
use super::readout::text;
use crate::feet::key_check::KeyCheck;
use crate::feet::{OpenScreen, Screen};
use bevy::prelude::*;

/// Combinations of two to five out of five keys.
const COMBINATIONS: usize = 26;

const INTRO: &str = "Hold the keys of your feet together, as in a turn: both pedals, both toes and the throttle. Many \
                     keyboards drop the third or fourth key of some combinations. What came through is marked \"yes\" and \
                     stays marked. If one never comes, give a foot another key on the controls screen.";

/// A text of the screen.
#[derive(Component, Clone, Copy, Debug)]
enum Words {
    Down,
    Most,
    Combination(usize),
}

/// The box of a combination.
#[derive(Component)]
struct Tile(usize);

/// Shows the keyboard check while it is open.
pub fn key_check_plugin(app: &mut App) {
    app.add_systems(Startup, put_up)
        .add_systems(Update, write.run_if(is_open));
}

fn is_open(screen: Res<OpenScreen>) -> bool {
    screen.now == Screen::KeyboardCheck
}

fn put_up(mut commands: Commands) {
    commands
        .spawn((
            Node {
                position_type: PositionType::Absolute,
                display: Display::None,
                width: percent(100),
                height: percent(100),
                flex_direction: FlexDirection::Column,
                padding: UiRect::axes(px(14), px(8)),
                row_gap: px(5),
                ..default()
            },
            BackgroundColor(Color::srgb(0.05, 0.07, 0.09)),
            GlobalZIndex(20),
            Root(Screen::KeyboardCheck),
        ))
        .with_children(|s| {
            s.spawn(text("Keyboard check", 20.0, palette::TEXT));
            s.spawn(text(INTRO, 14.0, palette::TEXT));
            s.spawn((text("", 16.0, palette::TEXT_HEAD), Words::Down));
            s.spawn((text("", 14.0, palette::TEXT_QUIET), Words::Most));
            s.spawn(Node {
                width: percent(100),
                flex_wrap: FlexWrap::Wrap,
                column_gap: px(6),
                row_gap: px(4),
                ..default()
            })
            .with_children(|grid| {
                for i in 0..COMBINATIONS {
                    grid.spawn((
                        Node {
                            min_width: px(114),
                            padding: UiRect::axes(px(6), px(2)),
                            border_radius: BorderRadius::all(px(3)),
                            ..default()
                        },
                        BackgroundColor(Color::srgb(0.14, 0.18, 0.21)),
                        Tile(i),
                    ))
                    .with_children(|t| {
                        t.spawn((
                            text("", 14.0, palette::TEXT),
                            TextLayout::no_wrap(),
                            Words::Combination(i),
                        ));
                    });
                }
            });
            s.spawn(text(
                "Delete: forget what came through. Esc: close.",
                14.0,
                palette::TEXT_WARN,
            ));
        });
}

fn write(check: Res<KeyCheck>, mut texts: Query<(&Words, &mut Text)>, mut tiles: Query<(&Tile, &mut BackgroundColor)>) {
    let all = check.combinations();
    for (which, mut words) in &mut texts {
        let want = match *which {
            Words::Down if check.down.is_empty() => "Down now: no key".into(),
            Words::Down => format!("Down now: {}", check.down.join("  ")),
            Words::Most => format!(
                "Most keys at once: {}. Came through: {} of {} combinations.",
                check.most,
                all.iter().filter(|c| c.delivered).count(),
                all.len()
            ),
            Words::Combination(i) => all.get(i).map_or_else(String::new, |c| {
                format!("{}: {}", c.words, if c.delivered { "yes" } else { "not yet" })
            }),
        };
        if words.0 != want {
            words.0 = want;
        }
    }
    for (tile, mut colour) in &mut tiles {
        let came = all.get(tile.0).is_some_and(|c| c.delivered);
        let want = if came {
            Color::srgb(0.20, 0.42, 0.52)
        } else {
            Color::srgb(0.14, 0.18, 0.21)
        };
        if colour.0 != want {
            colour.0 = want;
        }
    }
}
