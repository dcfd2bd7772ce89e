//! Where everything on the panel is, in logical pixels from the top left of the window. One figure scales it all: the side
//! of the square that a dial stands in.

use bevy::math::{Rect, Vec2, vec2};
use bevy::prelude::Resource;

/// Width of the whole panel with its controls, in dial squares.
const FULL_WIDE: f32 = 6.70;
/// Height of the same.
const FULL_HIGH: f32 = 2.06;
/// Width of the strip, without the feet.
const STRIP_WIDE: f32 = 9.78;
/// Width and height of the place for the feet.
pub const FEET: Vec2 = vec2(0.98, 1.18);
/// Least share of their ordinary size at which the feet go on the board beside the six.
const ON_BOARD: f32 = 0.85;
/// How much larger the feet are where no door limits them.
const FREE_FEET: f32 = 1.3;
/// Height of the strip, share of the window's.
const STRIP_SHARE: f32 = 0.155;
/// Smallest dial square, pixels: a window too small for it gets a panel that runs over its edge, not a panic.
const LEAST_CELL: f32 = 8.0;

/// How much of the panel is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// All of it, across the lower part of the view from the seat.
    Full,
    /// A row of dials along the lower edge.
    Strip,
    /// The feet only.
    Hidden,
}

/// A round dial.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dial {
    /// Airspeed.
    Airspeed,
    /// Attitude.
    Attitude,
    /// Altimeter.
    Altimeter,
    /// Turn and ball.
    Turn,
    /// Heading indicator.
    Heading,
    /// Vertical speed.
    Climb,
    /// Engine speed.
    Rpm,
}

/// The six in the trade's order, row by row, then the engine's.
pub const DIALS: [Dial; 7] = [
    Dial::Airspeed,
    Dial::Attitude,
    Dial::Altimeter,
    Dial::Turn,
    Dial::Heading,
    Dial::Climb,
    Dial::Rpm,
];

/// Something on the panel that a hand can work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Target {
    /// Throttle lever.
    Throttle,
    /// Mixture lever.
    Mixture,
    /// Carburettor heat lever.
    CarburettorHeat,
    /// Flap lever.
    Flaps,
    /// Trim wheel.
    Trim,
    /// Magneto switch with the starter.
    Magnetos,
    /// Taxi light.
    TaxiLight,
    /// Landing light.
    LandingLight,
    /// Navigation lights.
    NavigationLights,
    /// Beacon.
    Beacon,
    /// Transponder.
    Transponder,
    /// The heading indicator's knob.
    HeadingKnob,
}

/// Places of everything that is shown.
#[derive(Resource, Clone, Debug, PartialEq)]
pub struct Layout {
    /// How much is shown.
    pub form: Form,
    /// Size of the window.
    pub window: Vec2,
    /// Side of a dial's square.
    pub cell: f32,
    /// The panel's own area.
    pub board: Rect,
    /// Dials: which, middle, radius.
    pub dials: Vec<(Dial, Vec2, f32)>,
    /// Window of the compass card.
    pub compass: Rect,
    /// Oil temperature, oil pressure, suction.
    pub straight: [Rect; 3],
    /// Controls, each with the area that takes the hand.
    pub controls: Vec<(Target, Rect)>,
    /// Place for the feet.
    pub feet: Rect,
}

fn area(origin: Vec2, cell: f32, x: f32, y: f32, w: f32, h: f32) -> Rect {
    let low = origin + vec2(x, y) * cell;
    Rect::from_corners(low, low + vec2(w, h) * cell)
}

impl Layout {
    /// Nothing but the feet.
    pub fn hidden(window: Vec2) -> Layout {
        let cell = (window.y * 0.15).min(window.x * 0.1).max(LEAST_CELL);
        let size = FEET * FREE_FEET * cell;
        let low = vec2((window.x - size.x) / 2.0, window.y - size.y);
        Layout {
            form: Form::Hidden,
            window,
            cell,
            board: Rect::from_corners(window, window),
            dials: vec![],
            compass: Rect::from_corners(window, window),
            straight: [Rect::from_corners(window, window); 3],
            controls: vec![],
            feet: Rect::from_corners(low, low + size),
        }
    }

    /// The whole panel in the room below the glare shield; the feet go to the left of it.
    pub fn full(window: Vec2, room: Rect) -> Layout {
        let room = Rect::from_corners(room.min.max(Vec2::ZERO), room.max.min(window));
        let cell_in = |left: f32| ((room.max.x - left) / FULL_WIDE).min(room.height() / FULL_HIGH);
        let mut left = room.min.x;
        let mut cell = cell_in(left);
        // Where there is no room beside the panel for the feet, the panel makes room.
        if left < FEET.x * cell {
            left = window.x * FEET.x / (FULL_WIDE + FEET.x);
            cell = cell_in(left).min(left / FEET.x);
        }
        let cell = cell.max(LEAST_CELL);
        // The six stand before the pilot, who looks along the middle of the window, as far as the room lets them.
        let x = (window.x / 2.0 - 1.5 * cell).clamp(left, (room.max.x - FULL_WIDE * cell).max(left));
        let origin = vec2(x + 0.06 * cell, window.y - (FULL_HIGH - 0.04) * cell);
        let at = |x, y, w, h| area(origin, cell, x, y, w, h);
        let mut dials: Vec<(Dial, Vec2, f32)> = DIALS[..6]
            .iter()
            .enumerate()
            .map(|(i, d)| {
                let middle = vec2((i % 3) as f32 + 0.5, (i / 3) as f32 + 0.5);
                (*d, origin + middle * cell, 0.465 * cell)
            })
            .collect();
        dials.push((Dial::Rpm, origin + vec2(3.5, 0.5) * cell, 0.465 * cell));
        let lever = |i: u8| at(4.93 + 0.325 * f32::from(i), 0.93, 0.30, 1.05);
        let light = |i: u8, j: u8| at(5.93 + 0.31 * f32::from(i), 0.04 + 0.42 * f32::from(j), 0.30, 0.39);
        let knob = origin + vec2(1.0 + 0.07, 1.0 + 0.90) * cell;
        Layout {
            form: Form::Full,
            window,
            cell,
            board: Rect::from_corners(vec2(left, origin.y - 0.04 * cell), vec2(room.max.x, window.y)),
            compass: at(3.06, 1.05, 0.88, 0.42),
            straight: [0.03, 0.70, 1.37].map(|y| at(4.05, y, 0.78, 0.60)),
            controls: vec![
                (Target::Throttle, lever(0)),
                (Target::Mixture, lever(1)),
                (Target::CarburettorHeat, lever(2)),
                (Target::Flaps, lever(3)),
                (Target::Trim, lever(4)),
                (Target::Magnetos, at(4.91, 0.04, 0.98, 0.82)),
                (Target::TaxiLight, light(0, 0)),
                (Target::LandingLight, light(1, 0)),
                (Target::NavigationLights, light(0, 1)),
                (Target::Beacon, light(1, 1)),
                (Target::Transponder, at(3.06, 1.56, 0.88, 0.42)),
                (
                    Target::HeadingKnob,
                    Rect::from_center_size(knob, Vec2::splat(0.17 * cell)),
                ),
            ],
            dials,
            feet: {
                // On the board where there is room beside the six, else to the left of it.
                let share = ((x - left) / (FEET.x * cell)).min(1.0);
                let (right, share) = if share > ON_BOARD { (x, share) } else { (left, 1.0) };
                let size = FEET * cell * share;
                Rect::from_corners(vec2(right - size.x, window.y - size.y), vec2(right, window.y))
            },
        }
    }

    /// A row of dials along the lower edge, with the feet at its left.
    pub fn strip(window: Vec2) -> Layout {
        let cell = (window.y * STRIP_SHARE)
            .min(window.x / (STRIP_WIDE + FEET.x * FREE_FEET))
            .max(LEAST_CELL);
        let left = (window.x - (STRIP_WIDE + FEET.x * FREE_FEET) * cell) / 2.0 + FEET.x * FREE_FEET * cell;
        let origin = vec2(left + 0.04 * cell, window.y - 1.02 * cell);
        let at = |x, y, w, h| area(origin, cell, x, y, w, h);
        let size = FEET * FREE_FEET * cell;
        let low = vec2(left - size.x, window.y - size.y);
        let lever = |i: u8| at(8.74 + 0.33 * f32::from(i), 0.02, 0.31, 0.97);
        Layout {
            form: Form::Strip,
            window,
            cell,
            board: Rect::from_corners(
                vec2(left, origin.y - 0.04 * cell),
                vec2(left + STRIP_WIDE * cell, window.y),
            ),
            dials: DIALS
                .iter()
                .enumerate()
                .map(|(i, d)| (*d, origin + vec2(i as f32 + 0.5, 0.5) * cell, 0.465 * cell))
                .collect(),
            compass: at(7.04, 0.02, 0.80, 0.42),
            straight: [
                at(7.04, 0.51, 0.80, 0.48),
                at(7.90, 0.01, 0.80, 0.48),
                at(7.90, 0.51, 0.80, 0.48),
            ],
            controls: vec![
                (Target::Throttle, lever(0)),
                (Target::Mixture, lever(1)),
                (Target::CarburettorHeat, lever(2)),
            ],
            feet: Rect::from_corners(low, low + size),
        }
    }

    /// The same moved sideways, as when the head turns.
    pub fn moved(mut self, by_px: f32) -> Layout {
        let by = vec2(by_px, 0.0);
        let shift = |r: &mut Rect| *r = Rect::from_corners(r.min + by, r.max + by);
        shift(&mut self.board);
        shift(&mut self.compass);
        self.straight.iter_mut().for_each(shift);
        self.controls.iter_mut().for_each(|(_, r)| shift(r));
        self.dials.iter_mut().for_each(|(_, at, _)| *at += by);
        self
    }

    /// The same without a control, for an aeroplane that has none.
    pub fn without(mut self, target: Target) -> Layout {
        self.controls.retain(|(t, _)| *t != target);
        self
    }

    /// The control under a point.
    pub fn hit(&self, point: Vec2) -> Option<Target> {
        let under = |(_, r): &&(Target, Rect)| r.contains(point);
        self.controls.iter().find(under).map(|(t, _)| *t)
    }

    /// The area of a control, if it is shown.
    pub fn of(&self, target: Target) -> Option<Rect> {
        self.controls.iter().find(|(t, _)| *t == target).map(|(_, r)| *r)
    }

    /// Middle and radius of a dial, if it is shown.
    pub fn dial(&self, dial: Dial) -> Option<(Vec2, f32)> {
        self.dials
            .iter()
            .find(|(d, _, _)| *d == dial)
            .map(|(_, at, r)| (*at, *r))
    }
}

/// The slot that a lever runs in: the part of its area below the label and above the foot.
pub fn slot(lever: Rect) -> Rect {
    let high = lever.height();
    Rect::from_corners(
        vec2(lever.min.x, lever.min.y + 0.20 * high),
        vec2(lever.max.x, lever.max.y - 0.14 * high),
    )
}

/// Angles at which the magneto switch stands, degrees clockwise from the top: off, right, left, both, start.
pub const MAGNETO_DEG: [f32; 5] = [-80.0, -40.0, 0.0, 40.0, 80.0];
