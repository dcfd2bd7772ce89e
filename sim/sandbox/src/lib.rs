//! The window in which a taxi route is driven. It is a list of plugins: the core ones work without any picture, the view
//! ones draw what the core holds and change nothing in it.

pub mod beside;
pub mod clock;
pub mod controls;
pub mod convert;
pub mod desk;
pub mod drive;
pub mod feel;
pub mod feet;
pub mod flow;
pub mod keys;
pub mod lesson;
pub mod looks;
pub mod opening;
pub mod panel;
pub mod radio;
pub mod recorder;
pub mod scene;
pub mod scripted;
pub mod sound;
pub mod surface;
pub mod view;

use bevy::prelude::*;

/// Clock, controls, drive and recorder: everything that must work without a window. Needs a [`scene::Scene`] in the app.
pub fn core_plugins(app: &mut App) {
    app.add_plugins((
        scene::scene_plugin,
        clock::clock_plugin,
        controls::controls_plugin,
        drive::drive_plugin,
        flow::flow_plugin,
        beside::beside_plugin,
        recorder::recorder_plugin,
        panel::panel_plugin,
        radio::radio_plugin,
        looks::looks_plugin,
        lesson::lesson_plugin,
        desk::desk_core_plugin,
    ));
}
