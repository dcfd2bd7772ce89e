//! From keys, mouse buttons and device buttons to what is held, gathered once a frame before the fixed steps.

use crate::drive::{Drive, Phase, Span, park};
use crate::feel::{Feel, Hands, Held};
use crate::feet::desk::listen;
use crate::feet::device::Rack;
use crate::feet::key_check::watch;
use crate::feet::settings::Settings;
use crate::feet::{OpenScreen, Screen, feet_plugin, hear, lead};
use crate::keys::{Action, Bindings, Trigger};
use bevy::prelude::*;
use toeline_dynamics::engine::MagnetoSwitch;

/// An action asked for once, by the press of its key.
#[derive(Message, Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked(pub Action);

/// Reads the keys, and with [`feet_plugin`] everything else that hands and feet may move.
pub fn controls_plugin(app: &mut App) {
    app.init_resource::<Bindings>()
        .init_resource::<Feel>()
        .init_resource::<Held>()
        .add_message::<Asked>()
        .add_plugins(feet_plugin)
        .add_systems(
            RunFixedMainLoop,
            (
                hear,
                watch,
                listen,
                read_keys.run_if(not(crate::desk::at_desk)),
                lead,
                answer,
            )
                .chain()
                .in_set(RunFixedMainLoopSystems::BeforeFixedMainLoop),
        )
        .add_systems(
            Update,
            (
                park.run_if(asked(Action::Restart)),
                leave.run_if(asked(Action::Leave).or_else(at_end)),
            ),
        );
}

/// A run condition: whether an action was asked for since it was last looked at.
pub fn asked(action: Action) -> impl FnMut(MessageReader<Asked>) -> bool {
    // Every message is read, not only up to the first that fits, so that none is left for a later frame.
    move |mut messages| messages.read().filter(|m| m.0 == action).count() > 0
}

fn read_keys(
    keys: Res<ButtonInput<KeyCode>>,
    mouse: Option<Res<ButtonInput<MouseButton>>>,
    devices: (Res<Settings>, ResMut<Rack>),
    bindings: Res<Bindings>,
    screen: Res<OpenScreen>,
    mut held: ResMut<Held>,
    mut ask: MessageWriter<Asked>,
) {
    let (settings, mut rack) = devices;
    let presses = rack.presses(&settings);
    rack.tapped.clear();
    held.let_go();
    if screen.took_this_frame {
        return;
    }
    for (action, new) in presses {
        held.set(action, true);
        if new {
            ask.write(Asked(action));
        }
    }
    for b in &bindings.0 {
        let (down, new) = match (b.trigger, &mouse) {
            (Some(Trigger::Key(key)), _) => (keys.pressed(key), keys.just_pressed(key)),
            (Some(Trigger::Mouse(button)), Some(m)) => (m.pressed(button), m.just_pressed(button)),
            _ => (false, false),
        };
        // A tap that goes down and up inside one slow frame still counts as held for that frame.
        if down || new {
            held.set(b.action, true);
        }
        if new {
            ask.write(Asked(b.action));
        }
    }
}

fn answer(
    mut asked: MessageReader<Asked>,
    mut phase: ResMut<Phase>,
    mut hands: ResMut<Hands>,
    mut screen: ResMut<OpenScreen>,
) {
    for Asked(action) in asked.read() {
        match (action, *phase) {
            (Action::Begin, Phase::Caution) => *phase = Phase::Driving,
            (Action::OpenControls, _) => screen.now = Screen::Controls,
            (Action::OpenKeyboardCheck, _) => screen.now = Screen::KeyboardCheck,
            (Action::ParkingBrake, Phase::Driving) => hands.parking_brake = !hands.parking_brake,
            (Action::Magnetos, Phase::Driving) => hands.magnetos = next_magnetos(hands.magnetos),
            (Action::CarburettorHeat, Phase::Driving) => {
                hands.carburettor_heat = if hands.carburettor_heat < 0.5 { 1.0 } else { 0.0 };
            }
            _ => {}
        }
    }
}

/// The order of the engine check: both, right, both again by way of left. Off is left to the mixture.
fn next_magnetos(now: MagnetoSwitch) -> MagnetoSwitch {
    match now {
        MagnetoSwitch::Both => MagnetoSwitch::Right,
        MagnetoSwitch::Right => MagnetoSwitch::Left,
        MagnetoSwitch::Left | MagnetoSwitch::Off => MagnetoSwitch::Both,
    }
}

fn at_end(span: Res<Span>, drive: Res<Drive>) -> bool {
    span.ticks.is_some_and(|end| drive.tick >= end)
}

fn leave(mut exit: MessageWriter<AppExit>) {
    exit.write(AppExit::Success);
}
