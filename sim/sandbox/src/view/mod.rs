//! Everything that is seen. Each file is one plugin function or one drawing tool; none changes what the core holds.

pub mod aeroplane;
pub mod airframe;
pub mod beside;
pub mod cameras;
pub mod cockpit;
pub mod control_screen;
pub mod daylight;
pub mod distant;
pub mod edge_lights;
pub mod field;
pub mod first_screen;
pub mod free_ground;
pub mod gaze;
pub mod glow;
pub mod glyphs;
pub mod ground_grain;
pub mod hour;
pub mod junctions;
pub mod key_check;
pub mod lamps;
pub mod lifting;
pub mod markings;
pub mod moving;
pub mod notices;
pub mod obstacles;
pub mod palette;
pub mod panel;
pub mod parked;
pub mod photo;
pub mod quality;
pub mod readout;
pub mod signs;
pub mod sketch;
pub mod sky;
pub mod stance;
pub mod swept;
pub mod wheels;
pub mod windsock;

use bevy::prelude::*;

/// Which way the drive is looked at.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum View {
    /// From the pilot's own eye.
    #[default]
    Seat,
    /// From behind and above the tail.
    Behind,
    /// Straight down, north up.
    Above,
}

impl View {
    /// The view that the next press shows.
    pub fn next(self) -> View {
        match self {
            View::Seat => View::Behind,
            View::Behind => View::Above,
            View::Above => View::Seat,
        }
    }
}

/// Which views a thing is drawn in.
#[derive(Component, Clone, Copy, Debug)]
pub struct SeenFrom(pub &'static [View]);

/// Everything that stands or moves in the picture: what of it needs no graphics card, so that tests can count it.
pub fn scenery_plugins(app: &mut App) {
    app.init_resource::<View>().add_plugins((
        daylight::finishes_plugin,
        glow::glowing_plugin,
        sky::sky_plugin,
        field::field_plugin,
        edge_lights::edge_lights_plugin,
        parked::parked_plugin,
        stance::stance_plugin,
        aeroplane::aeroplane_plugin,
        moving::moving_plugin,
        lamps::lamps_plugin,
        cockpit::cockpit_plugin,
        windsock::windsock_plugin,
        swept::swept_plugin,
    ));
}

/// Field, aeroplane, cameras and text. Needs the core plugins and Bevy's default ones.
pub fn view_plugins(app: &mut App) {
    app.add_plugins((
        daylight::daylight_plugin,
        glow::glow_plugin,
        scenery_plugins,
        cameras::cameras_plugin,
        readout::readout_plugin,
        beside::beside_view_plugin,
        panel::panel_view_plugin,
        first_screen::first_screen_plugin,
        (
            control_screen::desk_plugin,
            key_check::key_check_plugin,
            notices::notices_plugin,
        ),
        crate::desk::desk_view_plugin,
        photo::photo_plugin,
    ));
}
