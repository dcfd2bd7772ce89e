//! Everything that is seen. Each file is one plugin function or one drawing tool; none changes what the core holds.

pub mod aeroplane;
pub mod airframe;
pub mod cameras;
pub mod cockpit;
pub mod daylight;
pub mod field;
pub mod first_screen;
pub mod glyphs;
pub mod ground_grain;
pub mod markings;
pub mod obstacles;
pub mod palette;
pub mod photo;
pub mod readout;
pub mod signs;
pub mod sketch;
pub mod sky;
pub mod soles;
pub mod swept;
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

/// Field, aeroplane, cameras and text. Needs the core plugins and Bevy's default ones.
pub fn view_plugins(app: &mut App) {
    app.init_resource::<View>().add_plugins((
        daylight::daylight_plugin,
        sky::sky_plugin,
        field::field_plugin,
        aeroplane::aeroplane_plugin,
        cockpit::cockpit_plugin,
        windsock::windsock_plugin,
        swept::swept_plugin,
        cameras::cameras_plugin,
        readout::readout_plugin,
        soles::soles_plugin,
        first_screen::first_screen_plugin,
        crate::desk::desk_view_plugin,
        photo::photo_plugin,
    ));
}
