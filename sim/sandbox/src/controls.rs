//! From the keyboard to what is held, gathered once a frame before the fixed steps.

use crate::drive::{Drive, Phase, Span, park};
use crate::feel::{Feel, Hands, Held};
use crate::keys::{Action, Bindings};
use bevy::prelude::*;
use toeline_dynamics::engine::MagnetoSwitch;

/// An action asked for once, by the press of its key.
#[derive(Message, Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked(pub Action);

/// Reads the keys.
pub fn controls_plugin(app: &mut App) {
    app.init_resource::<Bindings>()
        .init_resource::<Feel>()
        .init_resource::<Held>()
        .add_message::<Asked>()
        .add_systems(
            RunFixedMainLoop,
            (read_keys.run_if(not(crate::desk::at_desk)), answer)
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
    bindings: Res<Bindings>,
    mut held: ResMut<Held>,
    mut ask: MessageWriter<Asked>,
) {
    for b in &bindings.0 {
        // A tap that goes down and up inside one slow frame still counts as held for that frame.
        held.set(b.action, keys.pressed(b.key) || keys.just_pressed(b.key));
        if keys.just_pressed(b.key) {
            ask.write(Asked(b.action));
        }
    }
}

fn answer(mut asked: MessageReader<Asked>, mut phase: ResMut<Phase>, mut hands: ResMut<Hands>) {
    for Asked(action) in asked.read() {
        match (action, *phase) {
            (Action::Begin, Phase::Caution) => *phase = Phase::Driving,
            (Action::ParkingBrake, Phase::Driving) => hands.parking_brake = !hands.parking_brake,
            (Action::Magnetos, Phase::Driving) => hands.magnetos = next_magnetos(hands.magnetos),
            (Action::CarburettorHeat, Phase::Driving) => hands.carburettor_heat = !hands.carburettor_heat,
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
