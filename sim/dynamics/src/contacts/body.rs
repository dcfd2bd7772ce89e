//! The parts of an aeroplane, and where a state puts them.

use super::boxes::Bounds;
use crate::{Params, State};
use toeline_model::aircraft::parts::{self, Part};
use toeline_model::{Aircraft, Pose, Xy};

/// One part, and whether it stands on the struts with the body.
#[derive(Clone, Debug, PartialEq)]
struct BodyPart {
    part: Part,
    sprung: bool,
}

/// The parts of an aeroplane, as the planner has them, and the points by which its wheels are on the pavement or off it.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    parts: Vec<BodyPart>,
    wheelbase_m: f64,
    /// In the aeroplane's axes: the middle of the nose wheel, the outsides of the left and the right main tyre.
    wheels: [Xy; 3],
}

/// One part where a state puts it; its room is used again from look to look.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Placed {
    /// Outline, local metres.
    pub(super) outline: Vec<Xy>,
    /// Box around it.
    pub(super) bounds: Bounds,
    /// Lower edge above the ground, metres.
    pub(super) low_m: f64,
    /// Upper edge above the ground, metres.
    pub(super) high_m: f64,
}

/// Names of the three wheels, in the order nose, left, right: the same as those of the parts.
const WHEEL_NAMES: [&str; 3] = ["nose wheel", "left main wheel", "right main wheel"];

impl Body {
    /// The body of an aeroplane.
    pub fn of(aircraft: &Aircraft) -> Body {
        let part = |part: Part| BodyPart {
            sprung: !WHEEL_NAMES.contains(&part.name.as_str()),
            part,
        };
        let half = aircraft.outer_gear_m() / 2.0;
        Body {
            parts: parts::parts(aircraft).into_iter().map(part).collect(),
            wheelbase_m: aircraft.gear.wheelbase_m,
            wheels: [
                Xy {
                    x: aircraft.gear.wheelbase_m,
                    y: 0.0,
                },
                Xy { x: 0.0, y: half },
                Xy { x: 0.0, y: -half },
            ],
        }
    }

    /// Number of parts.
    pub fn part_count(&self) -> usize {
        self.parts.len()
    }

    /// What a pilot calls a part; empty for an index that there is not.
    pub fn part_name(&self, part: usize) -> &str {
        self.parts.get(part).map_or("", |p| p.part.name.as_str())
    }

    /// What a pilot calls a wheel: 0 nose, 1 left, 2 right; empty for any other.
    pub fn wheel_name(&self, wheel: usize) -> &'static str {
        WHEEL_NAMES.get(wheel).copied().unwrap_or("")
    }

    /// Room for all parts.
    pub(super) fn room(&self) -> Vec<Placed> {
        let placed = |p: &BodyPart| Placed {
            outline: p.part.outline.clone(),
            bounds: Bounds::NOTHING,
            low_m: p.part.low_m,
            high_m: p.part.high_m,
        };
        self.parts.iter().map(placed).collect()
    }

    /// The wheels' points in local metres, at a pose.
    pub(super) fn wheels_at(&self, pose: &Pose) -> [Xy; 3] {
        self.wheels.map(|w| pose.place(self.wheelbase_m, w))
    }

    /// Puts every part where a state has it, and gives the box around all of them.
    pub(super) fn place(&self, p: &Params, state: &State, pose: &Pose, room: &mut [Placed]) -> Bounds {
        let (cos, sin) = pose.heading_rad.unit();
        let mut all = Bounds::NOTHING;
        for (own, placed) in self.parts.iter().zip(room) {
            let part = &own.part;
            let (mut lowest, mut highest) = (0.0, 0.0);
            let mut lean = Xy::default();
            if own.sprung {
                (lowest, highest) = (f64::INFINITY, f64::NEG_INFINITY);
                let middle_m = (part.low_m + part.high_m) / 2.0;
                lean = Xy {
                    x: -middle_m * state.pitch_rad,
                    y: -middle_m * state.roll_rad,
                };
            }
            placed.bounds = Bounds::NOTHING;
            for (q, at) in part.outline.iter().zip(&mut placed.outline) {
                let (x, y) = (q.x - self.wheelbase_m + lean.x, q.y + lean.y);
                *at = pose.nose
                    + Xy {
                        x: x * cos - y * sin,
                        y: x * sin + y * cos,
                    };
                placed.bounds = placed.bounds.with(*at, *at);
                if own.sprung {
                    let rise_m = state.heave_m + (q.x - p.axle_behind_m) * state.pitch_rad + q.y * state.roll_rad;
                    lowest = rise_m.min(lowest);
                    highest = rise_m.max(highest);
                }
            }
            placed.low_m = part.low_m + lowest;
            placed.high_m = part.high_m + highest;
            all = all.with(placed.bounds.low, placed.bounds.high);
        }
        all
    }
}
