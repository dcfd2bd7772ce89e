//! The learner's feet: two soles on pedals, seen from above. A sole moves forward with its pedal; its toe darkens and tips
//! as the brake is pressed, and a number says how much.

use super::palette;
use super::readout::{DuringDrive, text};
use crate::convert::narrow;
use crate::drive::Drive;
use bevy::prelude::*;

const LEFT: usize = 0;
const RIGHT: usize = 1;

/// How far a pedal moves on the screen, pixels each way.
const TRAVEL_PX: f32 = 20.0;
/// Length of the toe at rest and how much shorter it looks when tipped fully, pixels.
const TOE_PX: f32 = 36.0;
const TIP_PX: f32 = 16.0;
/// Top of the pedals at rest inside the panel, pixels.
const REST_PX: f32 = 27.0;

/// A whole foot with its pedal.
#[derive(Component)]
struct Foot(usize);

/// The part of a sole that tips.
#[derive(Component)]
struct Toe(usize);

/// The figure under a foot.
#[derive(Component)]
struct Figure(usize);

/// Draws the feet at the bottom of the screen.
pub fn soles_plugin(app: &mut App) {
    app.add_systems(Startup, put_up).add_systems(Update, tread);
}

fn put_up(mut commands: Commands) {
    commands
        .spawn((
            Node {
                position_type: PositionType::Absolute,
                bottom: px(8),
                width: percent(100),
                justify_content: JustifyContent::Center,
                ..default()
            },
            DuringDrive,
        ))
        .with_children(|row| {
            row.spawn((
                Node {
                    width: px(344),
                    height: px(152),
                    border_radius: BorderRadius::all(px(4)),
                    ..default()
                },
                BackgroundColor(palette::SHADE),
            ))
            .with_children(|panel| {
                for (which, left) in [(LEFT, 108.0), (RIGHT, 180.0)] {
                    foot(panel, which, left);
                }
                for (which, left) in [(LEFT, 4.0), (RIGHT, 240.0)] {
                    panel.spawn((
                        text("", 15.0, palette::TEXT),
                        TextLayout::justify(Justify::Center),
                        Node {
                            position_type: PositionType::Absolute,
                            left: px(left),
                            top: px(34),
                            width: px(100),
                            ..default()
                        },
                        Figure(which),
                    ));
                }
            });
        });
}

fn foot(panel: &mut ChildSpawnerCommands, which: usize, left: f32) {
    let sole = Color::srgb(0.80, 0.76, 0.68);
    panel
        .spawn((
            Node {
                position_type: PositionType::Absolute,
                left: px(left),
                top: px(REST_PX),
                width: px(56),
                height: px(100),
                flex_direction: FlexDirection::Column,
                align_items: AlignItems::Center,
                row_gap: px(1),
                ..default()
            },
            Foot(which),
        ))
        .with_children(|f| {
            // The pedal's bar, which the ball of the foot rests on.
            f.spawn((
                Node {
                    position_type: PositionType::Absolute,
                    top: px(30),
                    width: px(56),
                    height: px(20),
                    border_radius: BorderRadius::all(px(3)),
                    ..default()
                },
                BackgroundColor(Color::srgb(0.33, 0.40, 0.45)),
            ));
            f.spawn((
                Node {
                    margin: UiRect::top(px(0)),
                    width: px(40),
                    height: px(TOE_PX),
                    border_radius: BorderRadius {
                        top_left: px(18),
                        top_right: px(18),
                        bottom_left: px(4),
                        bottom_right: px(4),
                    },
                    ..default()
                },
                BackgroundColor(sole),
                Toe(which),
            ));
            f.spawn((
                Node {
                    width: px(38),
                    height: px(26),
                    border_radius: BorderRadius {
                        top_left: px(2),
                        top_right: px(2),
                        bottom_left: px(12),
                        bottom_right: px(12),
                    },
                    ..default()
                },
                BackgroundColor(sole),
            ));
            f.spawn((
                Node {
                    width: px(33),
                    height: px(34),
                    margin: UiRect::top(px(-4)),
                    border_radius: BorderRadius {
                        top_left: px(10),
                        top_right: px(10),
                        bottom_left: px(15),
                        bottom_right: px(15),
                    },
                    ..default()
                },
                BackgroundColor(sole),
            ));
        });
}

fn tread(
    drive: Res<Drive>,
    mut feet: Query<(&Foot, &mut Node), Without<Toe>>,
    mut toes: Query<(&Toe, &mut Node, &mut BackgroundColor), Without<Foot>>,
    mut figures: Query<(&Figure, &mut Text)>,
) {
    let gauges = drive.gauges();
    let rudder = narrow(drive.controls.rudder);
    let toes_pressed = [drive.controls.left_brake, drive.controls.right_brake];
    let brake = [gauges.left_brake, gauges.right_brake];
    // The right foot goes forward (up the screen) as the left comes back.
    let forward = [-rudder, rudder];
    for (foot, mut node) in &mut feet {
        node.top = px(REST_PX - TRAVEL_PX * forward[foot.0]);
    }
    for (toe, mut node, mut colour) in &mut toes {
        let pressed = narrow(toes_pressed[toe.0]);
        node.height = px(TOE_PX - TIP_PX * pressed);
        node.margin.top = px(TIP_PX * pressed);
        colour.0 = Color::srgb(0.80, 0.76, 0.68).mix(&Color::srgb(0.38, 0.16, 0.05), pressed);
    }
    for (figure, mut words) in &mut figures {
        let side = if figure.0 == LEFT { "left" } else { "right" };
        let (pedal, pressure) = (forward[figure.0], brake[figure.0]);
        let way = match pedal {
            p if p > 0.02 => format!("{:.0} % fwd", p * 100.0),
            p if p < -0.02 => format!("{:.0} % back", -p * 100.0),
            _ => "level".into(),
        };
        let now = format!("{side}\n{way}\n\nbrake\n{:.0} %", pressure * 100.0);
        if words.0 != now {
            words.0 = now;
        }
    }
}
