//! Colours, in one place. Aeroplane and buildings are greys and earth colours of our own; paint on the ground has the colours
//! that aerodromes use. Anything that must be told apart also differs in lightness or in words.

use bevy::prelude::Color;

const fn grey(v: f32) -> Color {
    Color::srgb(v, v, v)
}

/// Rough grass.
pub const GRASS: Color = Color::srgb(0.40, 0.50, 0.28);
/// Mown grass strips and lanes.
pub const MOWN: Color = Color::srgb(0.47, 0.58, 0.34);
/// Taxiway asphalt.
pub const ASPHALT: Color = Color::srgb(0.42, 0.42, 0.43);
/// Runway asphalt.
pub const RUNWAY: Color = Color::srgb(0.34, 0.34, 0.35);
/// Apron concrete.
pub const CONCRETE: Color = Color::srgb(0.62, 0.61, 0.58);
/// Engine-check area.
pub const CHECK_AREA: Color = Color::srgb(0.54, 0.53, 0.51);
/// Loose ground.
pub const LOOSE: Color = Color::srgb(0.60, 0.53, 0.42);
/// Taxiway paint.
pub const YELLOW: Color = Color::srgb(0.96, 0.77, 0.12);
/// Runway paint.
pub const WHITE: Color = Color::srgb(0.94, 0.94, 0.92);
/// The outline of what the wings sweep, from above only.
pub const SWEPT: Color = Color::srgb(0.80, 0.92, 0.98);
/// Backing of paint and signs.
pub const BLACK: Color = Color::srgb(0.08, 0.08, 0.09);
/// Mandatory signs.
pub const RED: Color = Color::srgb(0.72, 0.10, 0.10);
/// Windsock.
pub const ORANGE: Color = Color::srgb(0.93, 0.45, 0.13);

/// Walls of buildings.
pub const BUILDING: Color = Color::srgb(0.70, 0.65, 0.57);
/// Walls of hangars.
pub const HANGAR: Color = Color::srgb(0.60, 0.65, 0.68);
/// Roofs.
pub const ROOF: Color = Color::srgb(0.42, 0.40, 0.40);
/// Tops of things whose height the map does not give.
pub const UNKNOWN_TOP: Color = Color::srgb(0.90, 0.86, 0.94);
/// Fences.
pub const FENCE: Color = Color::srgb(0.50, 0.51, 0.50);
/// Walls.
pub const WALL: Color = Color::srgb(0.66, 0.60, 0.55);
/// Crowns of trees and hedges.
pub const LEAVES: Color = Color::srgb(0.22, 0.36, 0.18);
/// Trunks.
pub const TRUNK: Color = Color::srgb(0.36, 0.28, 0.20);
/// Poles and masts.
pub const POLE: Color = Color::srgb(0.74, 0.74, 0.74);
/// Parked aeroplanes.
pub const PARKED: Color = Color::srgb(0.84, 0.84, 0.80);

/// Skin of the aeroplane.
pub const SKIN: Color = Color::srgb(0.88, 0.87, 0.82);
/// Its lower half and moving surfaces.
pub const SKIN_LOW: Color = Color::srgb(0.36, 0.45, 0.50);
/// Windows.
pub const GLASS: Color = Color::srgb(0.16, 0.20, 0.24);
/// Tyres.
pub const TYRE: Color = grey(0.11);
/// Legs, hubs, propeller.
pub const METAL: Color = grey(0.45);
/// The sliding part of the nose leg.
pub const CHROME: Color = grey(0.72);
/// Glare shield and panel.
pub const PANEL: Color = Color::srgb(0.15, 0.15, 0.16);
/// Door, posts and roof edge as seen from the seat.
pub const CABIN: Color = Color::srgb(0.52, 0.51, 0.48);

/// Sky overhead.
pub const ZENITH: Color = Color::srgb(0.33, 0.53, 0.80);
/// Sky at the horizon, and the haze.
pub const HORIZON: Color = Color::srgb(0.80, 0.87, 0.92);

/// The same two at dusk.
pub const ZENITH_DUSK: Color = Color::srgb(0.13, 0.20, 0.38);
/// Horizon at dusk.
pub const HORIZON_DUSK: Color = Color::srgb(0.58, 0.50, 0.45);
/// The same two at night.
pub const ZENITH_NIGHT: Color = Color::srgb(0.020, 0.028, 0.060);
/// Horizon at night.
pub const HORIZON_NIGHT: Color = Color::srgb(0.075, 0.085, 0.115);

/// Taxiway edge lights.
pub const LAMP_BLUE: Color = Color::srgb(0.16, 0.34, 1.0);
/// Runway edge lights.
pub const LAMP_WHITE: Color = Color::srgb(1.0, 0.95, 0.84);
/// Runway threshold lights, and the right wing tip.
pub const LAMP_GREEN: Color = Color::srgb(0.10, 0.92, 0.42);
/// Runway end lights, the left wing tip and the beacon.
pub const LAMP_RED: Color = Color::srgb(1.0, 0.12, 0.10);

/// Background of on-screen text.
pub const SHADE: Color = Color::srgba(0.05, 0.07, 0.09, 0.88);
/// On-screen text.
pub const TEXT: Color = Color::srgb(0.96, 0.96, 0.94);
/// Less important on-screen text.
pub const TEXT_QUIET: Color = Color::srgb(0.74, 0.77, 0.79);
/// Headings on screen.
pub const TEXT_HEAD: Color = Color::srgb(0.62, 0.83, 0.95);
/// Warnings on screen; always with words.
pub const TEXT_WARN: Color = Color::srgb(1.0, 0.80, 0.35);

/// Board that the instruments stand on.
pub const BOARD: Color = Color::srgb(0.17, 0.18, 0.19);
/// Its upper edge.
pub const BOARD_EDGE: Color = Color::srgb(0.34, 0.35, 0.36);
/// Faces of the instruments.
pub const FACE: Color = Color::srgb(0.045, 0.055, 0.065);
/// Rims of the instruments and outlines of controls.
pub const RIM: Color = Color::srgb(0.42, 0.44, 0.45);
/// Marks, figures and needles.
pub const MARK: Color = Color::srgb(0.95, 0.95, 0.92);
/// Names of instruments and controls.
pub const NAME: Color = Color::srgb(0.74, 0.77, 0.79);
/// The range that an aircraft file allows: a broad band.
pub const RANGE: Color = Color::srgb(0.22, 0.66, 0.56);
/// A limit: a long mark across the scale with a wedge, never a band.
pub const LIMIT: Color = Color::srgb(0.96, 0.38, 0.22);
/// What was set by hand.
pub const SET: Color = Color::srgb(1.0, 0.80, 0.35);
/// Upper half of the attitude indicator.
pub const ABOVE: Color = Color::srgb(0.30, 0.53, 0.78);
/// Lower half of the attitude indicator.
pub const BELOW: Color = Color::srgb(0.42, 0.30, 0.17);
/// The learner's soles, and their toes when pressed.
pub const SOLE: Color = Color::srgb(0.80, 0.76, 0.68);
/// The toes when pressed fully.
pub const SOLE_PRESSED: Color = Color::srgb(0.55, 0.24, 0.08);
/// Pedals.
pub const PEDAL: Color = Color::srgb(0.33, 0.40, 0.45);
/// The other pair of feet: an outline only.
pub const OTHER_SOLE: Color = Color::srgb(0.45, 0.75, 0.98);
