//! A few words about the control under the mouse: what it is, how it stands, which keys work it.

use crate::feel::Hands;
use crate::keys::{Action, Bindings};
use crate::panel::layout::{Layout, Target};
use crate::panel::mouse::Pointer;
use crate::panel::switches::{Switches, flap_words, trim_words};
use crate::view::palette;
use crate::view::readout::{DuringDrive, text};
use bevy::prelude::*;
use toeline_dynamics::engine::MagnetoSwitch;

/// The box.
#[derive(Component)]
struct Hint;

/// Its words.
#[derive(Component)]
struct Words;

/// Shows the words while the mouse is over a control.
pub fn hint_plugin(app: &mut App) {
    app.add_systems(Startup, put_up)
        .add_systems(Update, say.run_if(resource_exists::<Layout>));
}

fn put_up(mut commands: Commands) {
    let whole = Node {
        position_type: PositionType::Absolute,
        width: percent(100),
        height: percent(100),
        ..default()
    };
    commands.spawn((DuringDrive, whole)).with_children(|all| {
        all.spawn((
            Node {
                position_type: PositionType::Absolute,
                padding: UiRect::axes(px(8), px(4)),
                border_radius: BorderRadius::all(px(3)),
                ..default()
            },
            BackgroundColor(palette::SHADE),
            Visibility::Hidden,
            Hint,
        ))
        .with_children(|b| {
            b.spawn((text("", 15.0, palette::TEXT), Words));
        });
    });
}

fn magneto_words(at: MagnetoSwitch, starter: bool) -> &'static str {
    match (starter, at) {
        (true, _) => "start",
        (_, MagnetoSwitch::Off) => "off",
        (_, MagnetoSwitch::Right) => "right",
        (_, MagnetoSwitch::Left) => "left",
        (_, MagnetoSwitch::Both) => "both",
    }
}

/// What is said about a control.
pub fn words(target: Target, hands: &Hands, switches: &Switches, bindings: &Bindings) -> String {
    let percent = |v: f64| format!("{:.0} %", v * 100.0);
    let on = |v: bool| if v { "on" } else { "off" }.to_string();
    let (name, state, keys): (_, _, &[Action]) = match target {
        Target::Throttle => (
            "Throttle",
            percent(hands.throttle),
            &[Action::ThrottleOpen, Action::ThrottleClose],
        ),
        Target::Mixture => (
            "Mixture",
            percent(hands.mixture),
            &[Action::MixtureRicher, Action::MixtureLeaner],
        ),
        Target::CarburettorHeat => (
            "Carburettor heat",
            percent(hands.carburettor_heat),
            &[Action::HeatMore, Action::HeatLess],
        ),
        Target::Flaps => (
            "Flaps",
            flap_words(switches.flaps),
            &[Action::FlapsUp, Action::FlapsDown],
        ),
        Target::Trim => (
            "Trim",
            trim_words(switches.trim),
            &[Action::TrimNoseDown, Action::TrimNoseUp],
        ),
        Target::Magnetos => (
            "Magnetos",
            magneto_words(hands.magnetos, hands.starter).into(),
            &[Action::Magnetos, Action::MagnetosOff, Action::Starter],
        ),
        Target::TaxiLight => ("Taxi light", on(switches.taxi_light), &[Action::TaxiLight]),
        Target::LandingLight => ("Landing light", on(switches.landing_light), &[Action::LandingLight]),
        Target::NavigationLights => (
            "Navigation lights",
            on(switches.navigation_lights),
            &[Action::NavigationLights],
        ),
        Target::Beacon => ("Beacon", on(switches.beacon), &[Action::Beacon]),
        Target::Transponder => (
            "Transponder",
            switches.transponder.words().into(),
            &[Action::Transponder],
        ),
        Target::HeadingKnob => (
            "Heading indicator: drag to set it to the compass",
            String::new(),
            &[Action::HeadingLess, Action::HeadingMore],
        ),
    };
    let labels: Vec<String> = keys
        .iter()
        .filter_map(|k| bindings.0.iter().find(|b| b.action == *k).map(|b| b.label()))
        .collect();
    let state = if state.is_empty() { state } else { format!(": {state}") };
    format!("{name}{state}   keys {}", labels.join(" "))
}

fn say(
    (layout, pointer, scale): (Res<Layout>, Res<Pointer>, Res<UiScale>),
    (hands, switches, bindings): (Res<Hands>, Res<Switches>, Res<Bindings>),
    hint: Single<(&mut Node, &mut Visibility), With<Hint>>,
    mut line: Single<&mut Text, With<Words>>,
) {
    let (mut node, mut seen) = hint.into_inner();
    let over = pointer.at.and_then(|at| layout.hit(at));
    let want = if over.is_some() {
        Visibility::Inherited
    } else {
        Visibility::Hidden
    };
    seen.set_if_neq(want);
    let Some((target, area)) = over.and_then(|t| Some((t, layout.of(t)?))) else {
        return;
    };
    // Above the control and inside the window on both sides.
    let up = (layout.window.y - area.min.y + 4.0) / scale.0;
    node.bottom = px(up);
    if area.center().x > layout.window.x / 2.0 {
        node.left = auto();
        node.right = px((layout.window.x - area.max.x).max(0.0) / scale.0);
    } else {
        node.right = auto();
        node.left = px(area.min.x.max(0.0) / scale.0);
    }
    let now = words(target, &hands, &switches, &bindings);
    if line.0 != now {
        line.0 = now;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_control_says_its_name_its_state_and_its_keys() {
        let (hands, switches, keys) = (Hands::default(), Switches::default(), Bindings::default());
        let layout = Layout::full(Vec2::new(1280.0, 720.0), Rect::new(400.0, 450.0, 1280.0, 720.0));
        assert_eq!(layout.controls.len(), 12);
        for (target, _) in &layout.controls {
            let said = words(*target, &hands, &switches, &keys);
            let (_, keys) = said.split_once("keys ").expect("keys are named");
            assert!(!keys.is_empty(), "{said}");
        }
        assert_eq!(words(Target::Beacon, &hands, &switches, &keys), "Beacon: on   keys =");
        let magnetos = words(Target::Magnetos, &hands, &switches, &keys);
        assert_eq!(magnetos, "Magnetos: both   keys M , S");
    }
}
