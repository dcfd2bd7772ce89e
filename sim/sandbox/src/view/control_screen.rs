//! The screen of controls: the rows of the desk in a fixed set of places, so that live figures cost nothing but their text.

use super::palette;
use super::readout::text;
use crate::convert::narrow;
use crate::feel::Hands;
use crate::feet::desk::Desk;
use crate::feet::device::Rack;
use crate::feet::lead::Lead;
use crate::feet::rows::{Row, rows};
use crate::feet::settings::Settings;
use crate::feet::{Notices, OpenScreen, Screen};
use crate::keys::Bindings;
use bevy::input::mouse::AccumulatedMouseScroll;
use bevy::prelude::*;

/// Places for rows and for cells in a row.
const PLACES: usize = 40;
const CELLS: usize = 5;
/// Height of a row, of everything else on the screen, and of letters, pixels.
const ROW_PX: f32 = 24.0;
const REST_PX: f32 = 88.0;
const LETTER_PX: f32 = 14.0;
/// A screen narrower than this has only short words, pixels.
const NARROW_PX: f32 = 900.0;

/// Width of the titles of inputs and of axes, and of title and figures together, hundredths of the screen.
const INPUT_TITLE: i32 = 23;
const AXIS_TITLE: i32 = 14;
const TITLE_AND_LIVE: i32 = 39;

/// The first row that is shown.
#[derive(Resource, Clone, Copy, Debug, Default)]
struct Top(usize);

/// A box of the screen.
#[derive(Component, Clone, Copy, Debug)]
enum Piece {
    Row(usize),
    Title(usize),
    Live(usize),
    Bar(usize),
    Fill(usize),
    Cell(usize, usize),
}

/// A text of the screen.
#[derive(Component, Clone, Copy, Debug)]
enum Words {
    Title(usize),
    Live(usize),
    Cell(usize, usize),
    Foot,
    Place,
}

/// Shows the screen of controls while it is open.
pub fn desk_plugin(app: &mut App) {
    app.init_resource::<Top>()
        .add_systems(Startup, put_up)
        .add_systems(Update, (show, (scroll, draw).chain().run_if(is_open)));
}

/// The root of a screen of settings: it is there while that one is open.
#[derive(Component)]
pub(super) struct Root(pub(super) Screen);

fn show(screen: Res<OpenScreen>, mut roots: Query<(&Root, &mut Node)>) {
    for (root, mut node) in &mut roots {
        let want = if screen.now == root.0 {
            Display::Flex
        } else {
            Display::None
        };
        if node.display != want {
            node.display = want;
        }
    }
}

fn is_open(screen: Res<OpenScreen>) -> bool {
    screen.now == Screen::Controls
}

fn scroll(wheel: Option<Res<AccumulatedMouseScroll>>, mut desk: ResMut<Desk>) {
    let y = wheel.map_or(0.0, |w| w.delta.y);
    if y != 0.0 {
        desk.scrolled += if y > 0.0 { -2 } else { 2 };
    }
}

fn one_line(size: f32, colour: Color) -> impl Bundle {
    (text("", size, colour), TextLayout::no_wrap(), Pickable::IGNORE)
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
                padding: UiRect::axes(px(12), px(6)),
                ..default()
            },
            BackgroundColor(Color::srgb(0.05, 0.07, 0.09)),
            GlobalZIndex(20),
            Root(Screen::Controls),
        ))
        .with_children(|s| {
            s.spawn(Node {
                height: px(30),
                width: percent(100),
                justify_content: JustifyContent::SpaceBetween,
                align_items: AlignItems::Center,
                ..default()
            })
            .with_children(|head| {
                head.spawn(text("Controls", 20.0, palette::TEXT));
                head.spawn((one_line(LETTER_PX, palette::TEXT_QUIET), Words::Place));
            });
            for place in 0..PLACES {
                s.spawn((
                    Node {
                        height: px(ROW_PX),
                        width: percent(100),
                        flex_shrink: 0.0,
                        align_items: AlignItems::Center,
                        ..default()
                    },
                    Piece::Row(place),
                ))
                .with_children(|row| row_of(row, place));
            }
            s.spawn(Node {
                position_type: PositionType::Absolute,
                left: px(12),
                right: px(12),
                bottom: px(6),
                height: px(38),
                align_items: AlignItems::Center,
                ..default()
            })
            .with_children(|foot| {
                foot.spawn((text("", LETTER_PX, palette::TEXT_WARN), Words::Foot));
            });
        });
}

fn row_of(row: &mut ChildSpawnerCommands, place: usize) {
    let column = |share: i32| Node {
        width: percent(share),
        flex_shrink: 0.0,
        overflow: Overflow::clip(),
        ..default()
    };
    row.spawn((column(INPUT_TITLE), Piece::Title(place)))
        .with_children(|c| {
            c.spawn((one_line(LETTER_PX, palette::TEXT), Words::Title(place)));
        });
    row.spawn((column(TITLE_AND_LIVE - INPUT_TITLE), Piece::Live(place)))
        .with_children(|c| {
            c.spawn((one_line(LETTER_PX, palette::TEXT_HEAD), Words::Live(place)));
        });
    row.spawn((
        Node {
            height: px(10),
            margin: UiRect::right(percent(1)),
            ..column(6)
        },
        BackgroundColor(Color::srgb(0.18, 0.22, 0.25)),
        Piece::Bar(place),
    ))
    .with_children(|b| {
        b.spawn((
            Node {
                position_type: PositionType::Absolute,
                height: percent(100),
                ..default()
            },
            BackgroundColor(palette::TEXT_HEAD),
            Piece::Fill(place),
        ));
    });
    for cell in 0..CELLS {
        row.spawn((
            Node {
                height: px(ROW_PX - 3.0),
                padding: UiRect::horizontal(px(4)),
                margin: UiRect::right(px(3)),
                border: UiRect::all(px(2)),
                border_radius: BorderRadius::all(px(3)),
                min_width: px(40),
                justify_content: JustifyContent::Center,
                align_items: AlignItems::Center,
                ..default()
            },
            BackgroundColor(Color::srgb(0.14, 0.18, 0.21)),
            BorderColor::all(Color::NONE),
            Piece::Cell(place, cell),
        ))
        .with_children(|c| {
            c.spawn((one_line(LETTER_PX, palette::TEXT), Words::Cell(place, cell)));
        })
        .observe(move |_: On<Pointer<Click>>, mut desk: ResMut<Desk>, top: Res<Top>| {
            desk.clicked = Some((top.0 + place, cell));
        });
    }
}

/// Rows that the window has room for.
fn room(window: &Window, scale: &UiScale) -> usize {
    let height = (window.height() / scale.0.max(0.1) - REST_PX) / ROW_PX;
    // A cast of a float is clamped.
    (height.max(3.0) as usize).min(PLACES)
}

/// The first row to show, so that the focus stays in sight with its heading.
fn top_for(focus: usize, top: usize, room: usize, count: usize) -> usize {
    let least = (focus + 2).saturating_sub(room);
    let most = focus.saturating_sub(2);
    top.max(least).min(most.max(least)).min(count.saturating_sub(room))
}

type Held<'w> = (
    Res<'w, Bindings>,
    Res<'w, Settings>,
    Res<'w, Rack>,
    Res<'w, Lead>,
    Res<'w, Hands>,
    Res<'w, Desk>,
    Res<'w, Notices>,
);

fn draw(
    held: Held,
    window: (Single<&Window>, Res<UiScale>),
    mut top: ResMut<Top>,
    mut pieces: Query<(&Piece, &mut Node, Option<&mut BorderColor>)>,
    mut texts: Query<(&Words, &mut Text, &mut TextColor)>,
) {
    let (bindings, settings, rack, lead, hands, desk, notices) = held;
    let narrow_screen = window.0.width() / window.1.0.max(0.1) < NARROW_PX;
    let list = rows(&bindings, &settings, &rack, &lead, &hands, &desk, narrow_screen);
    let room = room(&window.0, &window.1);
    top.0 = top_for(desk.focus.0, top.0, room, list.len());
    let row = |place: usize| list.get(top.0 + place).filter(|_| place < room);
    for (piece, mut node, border) in &mut pieces {
        let mut want = node.clone();
        want.display = display(*piece, &row);
        match *piece {
            Piece::Title(p) => {
                want.width = percent(match row(p) {
                    Some(r) if r.cells.is_empty() => 100,
                    // Room of a title, figures and a bar together.
                    Some(r) if r.bar.is_none() => 46,
                    Some(r) if r.cells.len() == CELLS => AXIS_TITLE,
                    _ => INPUT_TITLE,
                });
            }
            Piece::Fill(p) => {
                if let Some(bar) = row(p).and_then(|r| r.bar) {
                    want.left = percent(narrow(bar.from) * 100.0);
                    // A bar of no length still shows where the value is.
                    want.width = percent(narrow((bar.to - bar.from).max(0.03)) * 100.0);
                }
            }
            Piece::Cell(p, c) => {
                let waiting = row(p).and_then(|r| r.cells.get(c)).is_some_and(|x| x.waiting);
                let colour = match (waiting, desk.focus == (top.0 + p, c)) {
                    (true, _) => palette::TEXT_WARN,
                    (false, true) => palette::TEXT_HEAD,
                    (false, false) => Color::NONE,
                };
                if let Some(mut border) = border
                    && border.top != colour
                {
                    *border = BorderColor::all(colour);
                }
            }
            Piece::Live(p) => {
                let axis = row(p).is_some_and(|r| r.cells.len() == CELLS);
                want.width = percent(TITLE_AND_LIVE - if axis { AXIS_TITLE } else { INPUT_TITLE });
            }
            Piece::Row(_) | Piece::Bar(_) => {}
        }
        if *node != want {
            *node = want;
        }
    }
    for (which, mut words, mut colour) in &mut texts {
        let (want, shade) = match *which {
            Words::Title(p) => row(p).map_or_else(
                || (String::new(), palette::TEXT),
                |r| {
                    let shade = if r.heading { palette::TEXT_QUIET } else { palette::TEXT };
                    (r.title.clone(), shade)
                },
            ),
            Words::Live(p) => (row(p).map(|r| r.live.clone()).unwrap_or_default(), palette::TEXT_HEAD),
            Words::Cell(p, c) => {
                let cell = row(p).and_then(|r| r.cells.get(c));
                (cell.map(|x| x.words.clone()).unwrap_or_default(), palette::TEXT)
            }
            Words::Foot => (
                desk.foot(&list, notices.0.last().map(|(words, _)| words.as_str())),
                palette::TEXT_WARN,
            ),
            Words::Place => {
                let last = (top.0 + room).min(list.len());
                (
                    format!("rows {} to {last} of {}, arrows or wheel", top.0 + 1, list.len()),
                    palette::TEXT_QUIET,
                )
            }
        };
        if words.0 != want {
            words.0 = want;
        }
        if colour.0 != shade {
            colour.0 = shade;
        }
    }
}

/// Whether a box is shown: a remark has only its title, a row without a value has no bar.
fn display<'a>(piece: Piece, row: &impl Fn(usize) -> Option<&'a Row>) -> Display {
    let there = match piece {
        Piece::Row(p) | Piece::Title(p) => row(p).is_some(),
        Piece::Live(p) | Piece::Bar(p) | Piece::Fill(p) => row(p).is_some_and(|r| r.bar.is_some()),
        Piece::Cell(p, c) => row(p).is_some_and(|r| c < r.cells.len()),
    };
    if there { Display::Flex } else { Display::None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_focus_is_always_in_sight() {
        for room in [3, 11, 26] {
            let mut top = 0;
            for focus in (0..50).chain((0..50).rev()).chain([49, 0, 30, 2]) {
                top = top_for(focus, top, room, 50);
                assert!(
                    top <= focus && focus < top + room,
                    "focus {focus}, top {top}, room {room}"
                );
                assert!(top + room <= 50);
            }
        }
        assert_eq!(top_for(3, 9, 26, 10), 0, "a short list begins at its beginning");
    }
}
