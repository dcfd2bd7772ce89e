//! What the pointer does on the map: click, hold and pan, drag a chosen point, wheel to zoom, point at a leg. Worked out
//! from plain input once a frame, so that it can be tried without a window.

use super::ends::{Ends, Role};
use super::legs;
use super::pick::{Place, hit, spot};
use super::sheet::Sheet;
use bevy::prelude::Resource;
use toeline_model::{Airfield, Xy};

/// How far from a thing one may point and still mean it, pixels (ours).
pub const REACH_PX: f64 = 14.0;
/// How far from a leg one may point, pixels (ours).
const LEG_REACH_PX: f64 = 9.0;
/// How far the pointer moves before a press is a drag, pixels (ours).
const DRAG_PX: f64 = 5.0;
/// How much one click of the wheel enlarges (ours).
const WHEEL: f64 = 1.2;

/// What the pointer did in one frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Input {
    /// Where it is, pixels of the window; `None` outside.
    pub at: Option<Xy>,
    /// The button went down in this frame.
    pub down: bool,
    /// The button went up in this frame.
    pub up: bool,
    /// Clicks of the wheel, away from the user positive.
    pub wheel: f64,
}

/// What the pointer holds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Grip {
    /// Nothing.
    #[default]
    Open,
    /// Pressed and not moved yet: where, and the chosen point that lies there.
    Pressed(Xy, Option<Role>),
    /// The sheet, last at a pixel.
    Sheet(Xy),
    /// A chosen point.
    Point(Role),
}

/// The pointer on the map.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct Hand {
    /// What it holds.
    pub grip: Grip,
    /// Where it is, pixels of the window, while over the map.
    pub at: Option<Xy>,
    /// The place under it.
    pub over: Option<Place>,
    /// The leg under it.
    pub leg: Option<usize>,
}

/// What follows from what the pointer did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// A place was clicked.
    Click(Place),
    /// A chosen point is held over a place that it could move to.
    Try(Role, Place),
    /// A chosen point was let go over a place.
    Move(Role, Place),
    /// A chosen point is held, or was let go, over nothing that it could move to.
    Leave,
}

/// The map as the hand knows it.
#[derive(Clone, Copy)]
pub struct Ground<'a> {
    /// The field.
    pub field: &'a Airfield,
    /// The chosen points.
    pub ends: &'a Ends,
    /// The legs of the shown way.
    pub lines: &'a [Vec<Xy>],
}

impl Hand {
    /// Takes one frame of input.
    pub fn step(&mut self, input: Input, sheet: &mut Sheet, ground: Ground<'_>) -> Option<Wish> {
        let inside = input.at.filter(|px| sheet.view.holds(*px));
        if let Some(px) = inside.filter(|_| input.wheel != 0.0) {
            sheet.zoom(px, WHEEL.powf(input.wheel.clamp(-10.0, 10.0)));
        }
        if let Some(px) = inside.filter(|_| input.down) {
            self.grip = Grip::Pressed(px, self.chosen_under(px, sheet, ground));
        }
        if let Some(px) = input.at {
            self.grip = match self.grip {
                Grip::Pressed(from, role) if from.distance(px) > DRAG_PX => match role {
                    Some(role) => Grip::Point(role),
                    None => {
                        sheet.pan(px - from);
                        Grip::Sheet(px)
                    }
                },
                Grip::Sheet(last) => {
                    sheet.pan(px - last);
                    Grip::Sheet(px)
                }
                grip => grip,
            };
        }
        self.at = inside;
        let was = self.over;
        self.over = inside.and_then(|px| hit(ground.field, sheet.point(px), REACH_PX * sheet.m_per_px));
        self.leg = inside
            .filter(|_| {
                self.grip == Grip::Open
                    && self
                        .over
                        .is_none_or(|p| matches!(p, Place::CheckArea(_) | Place::RunwayEnd(..)))
            })
            .and_then(|px| legs::nearest(ground.lines, sheet.point(px), LEG_REACH_PX * sheet.m_per_px));
        let held = self.grip;
        if input.up {
            self.grip = Grip::Open;
        }
        match held {
            Grip::Pressed(..) if input.up => self.over.map(Wish::Click),
            Grip::Point(role) => {
                let target = self.over.filter(|p| role.admits(*p));
                match target {
                    Some(place) if input.up => Some(Wish::Move(role, place)),
                    Some(place) if was != self.over => Some(Wish::Try(role, place)),
                    Some(_) => None,
                    None if input.up || was != self.over => Some(Wish::Leave),
                    None => None,
                }
            }
            _ => None,
        }
    }

    fn chosen_under(&self, px: Xy, sheet: &Sheet, ground: Ground<'_>) -> Option<Role> {
        let near = |place: Place| spot(ground.field, place).map(|s| sheet.px(s).distance(px));
        ground
            .ends
            .all()
            .into_iter()
            .filter_map(|(role, place)| Some((near(place)?, role)))
            .filter(|(d, _)| *d <= REACH_PX)
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, role)| role)
    }
}
