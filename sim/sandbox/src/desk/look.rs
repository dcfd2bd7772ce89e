//! Colours and sizes of the desk. Nothing is told by colour alone: a chosen thing has a filled mark and a thick border, a
//! verdict is a word, points carry their word.

use bevy::prelude::*;

/// Paper under the map.
pub const PAPER: Color = Color::srgb(0.925, 0.915, 0.875);
/// Aprons.
pub const APRON: Color = Color::srgb(0.83, 0.82, 0.78);
/// Taxi lanes and stands.
pub const LANE: Color = Color::srgb(0.70, 0.70, 0.69);
/// The same on grass or loose ground.
pub const SOFT: Color = Color::srgb(0.78, 0.80, 0.66);
/// Paved runways.
pub const RUNWAY: Color = Color::srgb(0.46, 0.46, 0.47);
/// Grass runways.
pub const SOFT_RUNWAY: Color = Color::srgb(0.66, 0.70, 0.52);
/// Engine-check areas.
pub const CHECK: Color = Color::srgb(0.80, 0.76, 0.66);
/// Buildings and other solid things.
pub const SOLID: Color = Color::srgb(0.36, 0.30, 0.27);
/// Trees and hedges.
pub const GREEN: Color = Color::srgb(0.45, 0.52, 0.38);
/// Fine lines on the paper.
pub const INK: Color = Color::srgb(0.16, 0.17, 0.19);
/// Lane centrelines.
pub const CENTRELINE: Color = Color::srgb(0.90, 0.88, 0.80);
/// The way.
pub const WAY: Color = Color::srgb(0.05, 0.23, 0.50);
/// The leg that is pointed at, over a dark edge.
pub const LIT: Color = Color::srgb(1.0, 0.72, 0.10);
/// The swept outline.
pub const SWEPT: Color = Color::srgb(0.42, 0.10, 0.38);
/// Edge around the way.
pub const EDGE: Color = Color::srgb(0.98, 0.98, 0.96);

/// Ground of the screens.
pub const GROUND: Color = Color::srgb(0.075, 0.095, 0.115);
/// A panel on it.
pub const PANEL: Color = Color::srgb(0.115, 0.140, 0.165);
/// A button.
pub const BUTTON: Color = Color::srgb(0.185, 0.225, 0.260);
/// A button under the pointer or with the keyboard.
pub const BUTTON_LIT: Color = Color::srgb(0.30, 0.37, 0.43);
/// The button that goes on.
pub const MAIN: Color = Color::srgb(0.80, 0.85, 0.88);
/// The same under the pointer.
pub const MAIN_LIT: Color = Color::srgb(1.0, 1.0, 0.98);
/// Border of a button.
pub const BORDER: Color = Color::srgb(0.48, 0.55, 0.60);

/// How much room there is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Room {
    /// Below about 480 by 300 pixels: one column, the smallest type.
    Little,
    /// Below about 1000 by 560 pixels.
    Some,
    /// More.
    #[default]
    Much,
}

/// Sizes that follow from the room.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct Sizes {
    /// The room.
    pub room: Room,
}

impl Sizes {
    /// Sizes for a window of so many pixels, text scale taken out.
    pub fn of(width: f32, height: f32) -> Sizes {
        let room = if width >= 1000.0 && height >= 560.0 {
            Room::Much
        } else if width >= 480.0 && height >= 300.0 {
            Room::Some
        } else {
            Room::Little
        };
        Sizes { room }
    }

    fn pick(self, little: f32, some: f32, much: f32) -> f32 {
        match self.room {
            Room::Little => little,
            Room::Some => some,
            Room::Much => much,
        }
    }

    /// Height of headings, pixels.
    pub fn head(self) -> f32 {
        self.pick(11.0, 14.0, 19.0)
    }

    /// Height of ordinary text, pixels.
    pub fn body(self) -> f32 {
        self.pick(10.0, 12.0, 15.0)
    }

    /// Height of notes, pixels.
    pub fn note(self) -> f32 {
        self.pick(9.5, 11.0, 13.0)
    }

    /// A gap between things, pixels.
    pub fn gap(self) -> f32 {
        self.pick(3.0, 5.0, 9.0)
    }

    /// Width of the list beside the map, pixels; below it when there is little room.
    pub fn list_px(self) -> f32 {
        self.pick(0.0, 244.0, 380.0)
    }
}
