//! The few figures that a learner needs, as words on the screen.

use super::palette;
use super::panel::PanelShown;
use crate::clock::Pace;
use crate::controls::asked;
use crate::drive::{Drive, Phase};
use crate::feel::Hands;
use crate::flow::Flow;
use crate::keys::{Action, Bindings};
use crate::lesson::Lessons;
use crate::radio::Radio;
use crate::scene::{Raise, Scene};
use bevy::prelude::*;
use bevy::window::PrimaryWindow;
use toeline_dynamics::End;
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_model::Airfield;
use toeline_model::airfield::Surface;
use toeline_model::units::knots;

/// The text block at the top left.
#[derive(Component)]
struct Figures;

/// What the lesson says.
#[derive(Component)]
struct Running;

/// The lines of warning under the figures.
#[derive(Component)]
struct Warning;

/// Whether distance off the path, speed and brake heat are shown. A test hides them for good.
#[derive(Resource, Clone, Copy, Debug, PartialEq, Eq)]
pub struct FiguresShown {
    /// Asked for.
    pub asked: bool,
    /// Whether they may be asked for at all.
    pub allowed: bool,
}

impl Default for FiguresShown {
    fn default() -> FiguresShown {
        FiguresShown {
            asked: true,
            allowed: true,
        }
    }
}

impl FiguresShown {
    /// Hidden, and staying so.
    pub fn unaided() -> FiguresShown {
        FiguresShown {
            asked: false,
            allowed: false,
        }
    }

    /// Whether to show them.
    pub fn shown(&self) -> bool {
        self.asked && self.allowed
    }
}

/// Size of all text as it was asked for, a share of the ordinary size; the window's own size comes on top.
#[derive(Resource, Clone, Copy, Debug)]
pub struct TextScale(pub f32);

impl Default for TextScale {
    fn default() -> TextScale {
        TextScale(1.0)
    }
}

/// The keys at the top right.
#[derive(Component)]
struct Hints;

/// Everything that is hidden behind the first screen.
#[derive(Component)]
pub struct DuringDrive;

/// Writes the figures.
pub fn readout_plugin(app: &mut App) {
    app.init_resource::<FiguresShown>()
        .init_resource::<TextScale>()
        .add_systems(Raise, put_up)
        .add_systems(
            Update,
            (
                scale,
                ask.run_if(asked(Action::FiguresShown)),
                (run_list, write, warn),
                hint,
                show,
            ),
        );
}

/// What the map's data must be credited to, in letters that the window's typeface has: it lacks the sign ©.
pub fn credit(field: &Airfield) -> Option<String> {
    let words = field.attribution.as_ref()?;
    Some(format!("map data: {}", words.replace('©', "(c)")))
}

/// A text of a size and colour.
pub fn text(words: impl Into<String>, size: f32, colour: Color) -> impl Bundle {
    (Text::new(words), TextFont::from_font_size(size), TextColor(colour))
}

/// Text grows and shrinks with the window: its ordinary size belongs to 1280 by 720.
pub fn text_scale(asked: f32, window: Vec2) -> f32 {
    (asked * (window.x / 1280.0).min(window.y / 720.0)).clamp(0.35, 4.0)
}

fn scale(window: Query<&Window, With<PrimaryWindow>>, asked: Res<TextScale>, mut ui: ResMut<UiScale>) {
    if let Some(window) = window.iter().next() {
        let want = text_scale(asked.0, window.size());
        if ui.0 != want {
            ui.0 = want;
        }
    }
}

fn ask(mut figures: ResMut<FiguresShown>) {
    figures.asked = !figures.asked;
}

fn put_up(mut commands: Commands, scene: Res<Scene>) {
    let box_at = |node: Node| {
        (
            Node {
                position_type: PositionType::Absolute,
                padding: UiRect::axes(px(12), px(7)),
                flex_direction: FlexDirection::Column,
                row_gap: px(2),
                border_radius: BorderRadius::all(px(4)),
                ..node
            },
            BackgroundColor(palette::SHADE),
            DuringDrive,
        )
    };
    commands
        .spawn(box_at(Node {
            top: px(8),
            left: px(8),
            max_width: px(900),
            ..default()
        }))
        .with_children(|b| {
            // Each line wraps by itself, so that the box grows with what was wrapped.
            let line = || Node {
                max_width: px(876),
                ..default()
            };
            b.spawn((text(scene.title.clone(), 14.0, palette::TEXT_HEAD), line()));
            b.spawn((text("", 16.0, palette::TEXT_HEAD), line(), Running));
            b.spawn((text("", 16.0, palette::TEXT), line(), Figures));
            b.spawn((text("", 16.0, palette::TEXT_WARN), line(), Warning));
        });
    commands
        .spawn(box_at(Node {
            top: px(8),
            right: px(8),
            ..default()
        }))
        .with_children(|b| {
            b.spawn((text("", 14.0, palette::TEXT_QUIET), Hints));
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

/// All figures as the screen shows them. What the panel shows is left to it.
pub fn figures(drive: &Drive, hands: &Hands, scene: &Scene, shown: bool) -> String {
    // Few and long lines: the box stays in the sky, above what there is to see of the field.
    let free = scene.path.pieces.is_empty();
    let mut first = vec![];
    if shown {
        first.push(if free {
            "Free apron: no line to follow".into()
        } else {
            off_words(drive.off_m)
        });
        first.push(format!("Speed {:.1} kt", knots(drive.gauges().speed_mps)));
    }
    if !free {
        first.push(format!("Way {:.0} of {:.0} m", drive.way_m, scene.path.length_m()));
    }
    let mut second = vec![];
    if let Some((name, ahead_m)) = scene.next_stop(drive.way_m) {
        second.push(format!("Next stop: {name}, {ahead_m:.0} m"));
    }
    second.push(format!("Column {}", column_words(hands)));
    if drive.under == Surface::Grass {
        second.push("Nose wheel on GRASS".into());
    }
    [first.join("    "), second.join("    ")].join("\n")
}

/// What the panel would show, in words, for when it is hidden.
pub fn in_place_of_panel(drive: &Drive, hands: &Hands) -> String {
    let magnetos = match hands.magnetos {
        MagnetoSwitch::Both => "both",
        MagnetoSwitch::Right => "RIGHT only",
        MagnetoSwitch::Left => "LEFT only",
        MagnetoSwitch::Off => "OFF",
    };
    format!(
        "Engine {:.0} rpm    Throttle {:.0} %    Mixture {:.0} %    Carb heat {}    Magnetos {magnetos}",
        drive.gauges().rpm,
        hands.throttle * 100.0,
        hands.mixture * 100.0,
        if hands.carburettor_heat > 0.0 { "ON" } else { "off" },
    )
}

fn write(
    drive: Res<Drive>,
    hands: Res<Hands>,
    scene: Res<Scene>,
    shown: Res<FiguresShown>,
    panel: Res<PanelShown>,
    radio: Res<Radio>,
    mut block: Single<&mut Text, With<Figures>>,
) {
    let mut words = figures(&drive, &hands, &scene, shown.shown());
    if !panel.0 {
        words = format!("{words}\n{}", in_place_of_panel(&drive, &hands));
    }
    if !radio.words.is_empty() {
        words = format!("{words}\n{}", radio.words);
    }
    if block.0 != words {
        block.0 = words;
    }
}

/// Puts up what the lesson says, which is nothing without one.
fn run_list(lessons: Res<Lessons>, bindings: Res<Bindings>, mut block: Single<(&mut Text, &mut Node), With<Running>>) {
    let mut words = lessons.words();
    let keys = lessons.actions();
    if !keys.is_empty() {
        // The judgement has two keys, and which of them is right is the pupil's to say.
        let both = keys.iter().flat_map(|a| match a {
            Action::EngineGood => vec![Action::EngineGood, Action::EngineBad],
            other => vec![*other],
        });
        let list: Vec<String> = both
            .filter_map(|a| bindings.of(a))
            .map(|b| format!("{}  {}", b.label(), b.words))
            .collect();
        words = format!("{words}\nKeys: {}", list.join("    "));
    } else if lessons.over().is_some() || lessons.ended() {
        words = format!(
            "{words}\n{}  again    {}  to the lessons    {}  leave",
            bindings.label(Action::Restart),
            bindings.label(Action::ToMap),
            bindings.label(Action::Leave)
        );
    }
    let (text, node) = &mut *block;
    let want = if words.is_empty() { Display::None } else { Display::Flex };
    if node.display != want {
        node.display = want;
    }
    if text.0 != words {
        text.0 = words;
    }
}

fn hint(bindings: Res<Bindings>, mut block: Single<&mut Text, With<Hints>>) {
    if bindings.is_changed() {
        let k = |action| bindings.label(action);
        block.0 = format!(
            "{}  view\n{} {}  look aside\n{}  restart\n{}  controls\n{}  leave",
            k(Action::NextView),
            k(Action::LookLeft),
            k(Action::LookRight),
            k(Action::Restart),
            k(Action::OpenControls),
            k(Action::Leave)
        );
    }
}

fn warn(
    pace: Res<Pace>,
    hands: Res<Hands>,
    drive: Res<Drive>,
    (bindings, flow): (Res<Bindings>, Res<Flow>),
    mut line: Single<&mut Text, With<Warning>>,
) {
    let mut words = Vec::new();
    if hands.parking_brake {
        words.push(format!(
            "PARKING BRAKE ON (key {})",
            bindings.label(Action::ParkingBrake)
        ));
    }
    match drive.now.end {
        End::No if drive.gauges().rpm < 1.0 => words.push(format!(
            "ENGINE STOPPED: mixture rich, hold {}",
            bindings.label(Action::Starter)
        )),
        End::No => {}
        End::Airborne => words.push(format!(
            "AIRBORNE: the drive ends here. {} takes you back",
            bindings.label(Action::Restart)
        )),
        End::TippedOver => words.push(format!(
            "TIPPED OVER: the drive ends here. {} takes you back",
            bindings.label(Action::Restart)
        )),
    }
    if flow.held {
        words.push(format!("TIME HELD (key {})", bindings.label(Action::HoldTime)));
    } else if flow.slow {
        words.push(format!("SLOW TIME (key {})", bindings.label(Action::SlowTime)));
    }
    if pace.slower_than_life() {
        words.push("SLOWER THAN LIFE: this computer does not keep up".to_string());
    }
    let words = words.join("    ");
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
