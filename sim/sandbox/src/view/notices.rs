//! Short notices about devices and settings, above everything else, each for a while.

use super::palette;
use super::readout::text;
use crate::feet::{Notices, OpenScreen, Screen};
use bevy::prelude::*;

/// The box of the notices.
#[derive(Component)]
struct NoticeBox;

/// Their text.
#[derive(Component)]
struct NoticeWords;

/// Shows the notices.
pub fn notices_plugin(app: &mut App) {
    app.add_systems(Startup, put_up).add_systems(Update, write);
}

fn put_up(mut commands: Commands) {
    commands
        .spawn((
            Node {
                position_type: PositionType::Absolute,
                display: Display::None,
                width: percent(100),
                bottom: px(168),
                justify_content: JustifyContent::Center,
                ..default()
            },
            GlobalZIndex(30),
            Pickable::IGNORE,
            NoticeBox,
        ))
        .with_children(|row| {
            row.spawn((
                Node {
                    max_width: percent(70),
                    padding: UiRect::axes(px(12), px(8)),
                    border: UiRect::all(px(2)),
                    border_radius: BorderRadius::all(px(4)),
                    ..default()
                },
                BackgroundColor(Color::srgb(0.05, 0.07, 0.09)),
                BorderColor::all(palette::TEXT_WARN),
                Pickable::IGNORE,
            ))
            .with_children(|b| {
                b.spawn((text("", 15.0, palette::TEXT_WARN), NoticeWords, Pickable::IGNORE));
            });
        });
}

fn write(
    notices: Res<Notices>,
    screen: Res<OpenScreen>,
    mut node: Single<&mut Node, With<NoticeBox>>,
    mut words: Single<&mut Text, With<NoticeWords>>,
) {
    // The screen of controls has a line of its own for them.
    let want = match screen.now {
        Screen::None => notices.words(),
        Screen::Controls | Screen::KeyboardCheck => String::new(),
    };
    if words.0 != want {
        node.display = if want.is_empty() { Display::None } else { Display::Flex };
        words.0 = want;
    }
}
