//! The few figures that a learner needs, as words on the screen.

use super::palette;
use crate::clock::Pace;
use crate::drive::{Drive, Phase};
use crate::feel::Hands;
use crate::scene::{Raise, Scene};
use bevy::prelude::*;
use toeline_dynamics::End;
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_model::airfield::Surface;
use toeline_model::units::knots;

/// The text block at the top left.
#[derive(Component)]
struct Figures;

/// The lines of warning under the figures.
#[derive(Component)]
struct Warning;

/// Everything that is hidden behind the first screen.
#[derive(Component)]
pub struct DuringDrive;

/// Writes the figures.
pub fn readout_plugin(app: &mut App) {
    app.add_systems(Raise, put_up).add_systems(Update, (write, warn, show));
}

/// A text of a size and colour.
pub fn text(words: impl Into<String>, size: f32, colour: Color) -> impl Bundle {
    (Text::new(words), TextFont::from_font_size(size), TextColor(colour))
}

fn put_up(mut commands: Commands, scene: Res<Scene>) {
    let box_at = |node: Node| {
        (
            Node {
                position_type: PositionType::Absolute,
                padding: UiRect::axes(px(14), px(10)),
                flex_direction: FlexDirection::Column,
                row_gap: px(4),
                border_radius: BorderRadius::all(px(4)),
                ..node
            },
            BackgroundColor(palette::SHADE),
            DuringDrive,
        )
    };
    commands
        .spawn(box_at(Node {
            top: px(12),
            left: px(12),
            max_width: px(420),
            ..default()
        }))
        .with_children(|b| {
            b.spawn(text(scene.title.clone(), 15.0, palette::TEXT_HEAD));
            b.spawn((text("", 18.0, palette::TEXT), Figures));
            b.spawn((text("", 17.0, palette::TEXT_WARN), Warning));
        });
    commands
        .spawn(box_at(Node {
            top: px(12),
            right: px(12),
            ..default()
        }))
        .with_children(|b| {
            b.spawn(text(
                "Tab  view\n3 8  look aside\nBackspace  restart\nHome  map\nEsc  leave",
                14.0,
                palette::TEXT_QUIET,
            ));
        });
}

/// The distance off the path in words.
pub fn off_words(off_m: Option<f64>) -> String {
    match off_m {
        None => "Nose wheel: away from the route".into(),
        Some(off) if off.abs() < 0.05 => "Nose wheel: on the line".into(),
        Some(off) => format!(
            "Nose wheel: {:.1} m {}",
            off.abs(),
            if off > 0.0 { "left" } else { "right" }
        ),
    }
}

fn percent_word(share: f64) -> String {
    format!("{:3.0} %", share * 100.0)
}

fn column_words(hands: &Hands) -> String {
    let part = |value: f64, minus: &str, plus: &str| match value {
        v if v.abs() < 0.005 => None,
        v => Some(format!(
            "{} {:.0} %",
            if v < 0.0 { minus } else { plus },
            v.abs() * 100.0
        )),
    };
    let parts: Vec<String> = [
        part(hands.column_back, "forward", "back"),
        part(hands.column_right, "left", "right"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if parts.is_empty() {
        "in the middle".into()
    } else {
        parts.join(", ")
    }
}

/// All figures as the screen shows them.
pub fn figures(drive: &Drive, hands: &Hands, scene: &Scene) -> String {
    let g = drive.gauges();
    let free = scene.path.pieces.is_empty();
    let mut lines = vec![
        if free {
            "Free apron: no line to follow".into()
        } else {
            off_words(drive.off_m)
        },
        format!("Speed {:4.1} kt    Engine {:4.0} rpm", knots(g.speed_mps), g.rpm),
        format!(
            "Throttle {}   Mixture {}",
            percent_word(hands.throttle),
            percent_word(hands.mixture)
        ),
        format!("Column {}", column_words(hands)),
    ];
    if !free {
        lines.push(format!("Way {:.0} of {:.0} m", drive.way_m, scene.path.length_m()));
    }
    if let Some((name, ahead_m)) = scene.next_stop(drive.way_m) {
        lines.push(format!("Next stop: {name}, {ahead_m:.0} m"));
    }
    if drive.under == Surface::Grass {
        lines.push("Nose wheel on GRASS".into());
    }
    if hands.carburettor_heat {
        lines.push("Carburettor heat ON".into());
    }
    match hands.magnetos {
        MagnetoSwitch::Both => {}
        MagnetoSwitch::Right => lines.push("Magnetos: RIGHT only".into()),
        MagnetoSwitch::Left => lines.push("Magnetos: LEFT only".into()),
        MagnetoSwitch::Off => lines.push("Magnetos: OFF".into()),
    }
    lines.join("\n")
}

fn write(drive: Res<Drive>, hands: Res<Hands>, scene: Res<Scene>, mut block: Single<&mut Text, With<Figures>>) {
    let words = figures(&drive, &hands, &scene);
    if block.0 != words {
        block.0 = words;
    }
}

fn warn(pace: Res<Pace>, hands: Res<Hands>, drive: Res<Drive>, mut line: Single<&mut Text, With<Warning>>) {
    let mut words = Vec::new();
    if hands.parking_brake {
        words.push("PARKING BRAKE ON (key P)".to_string());
    }
    match drive.now.end {
        End::No if drive.gauges().rpm < 1.0 => words.push("ENGINE STOPPED: mixture rich, hold S".to_string()),
        End::No => {}
        End::Airborne => words.push("AIRBORNE: the drive ends here.\nBackspace takes you back".to_string()),
        End::TippedOver => words.push("TIPPED OVER: the drive ends here.\nBackspace takes you back".to_string()),
    }
    if pace.slower_than_life() {
        words.push("SLOWER THAN LIFE: this computer\ndoes not keep up".to_string());
    }
    let words = words.join("\n");
    if line.0 != words {
        line.0 = words;
    }
}

fn show(phase: Res<Phase>, mut things: Query<&mut Visibility, With<DuringDrive>>) {
    let want = if *phase == Phase::Driving {
        Visibility::Inherited
    } else {
        Visibility::Hidden
    };
    for mut v in &mut things {
        if *v != want {
            *v = want;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_side_is_said_in_words() {
        assert_eq!(off_words(Some(0.42)), "Nose wheel: 0.4 m left");
        assert_eq!(off_words(Some(-1.26)), "Nose wheel: 1.3 m right");
        assert_eq!(off_words(Some(0.02)), "Nose wheel: on the line");
        assert!(off_words(None).contains("away"));
    }
}
