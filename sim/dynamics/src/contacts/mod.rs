//! Who touches what: the parts of a driven aeroplane against everything that stands around, and its wheels against the
//! edge of the pavement.
//!
//! | file | what it holds |
//! |---|---|
//! | `boxes` | a fixed tree of boxes, to ask what lies near |
//! | `body` | the parts of an aeroplane and where a state puts them |
//! | `surroundings` | obstacles and pavement made ready once |
//! | `look` | one look: what touches, which wheels are off |
//!
//! A contact is a distance of 0 by `toeline_model::planar`, the kernel that the planner's clearance measures with, between
//! the same convex parts and the same outlines, in plan, where the height bands meet. Nothing here changes a state: the
//! physics knows no obstacle.
//!
//! # What moves with the body
//! Every part but the wheels goes up and down with heave, pitch and roll: its lower edge with its lowest corner, its upper
//! edge with its highest. A part leans sideways and fore and aft by its middle height times roll and pitch. Wheels stay on
//! the ground.
//!
//! # What it leaves out
//! A part keeps one height band over its whole outline, as the planner has it, so that a tilted wing counts as low at the
//! root as it is at the tip. Angles are small: a body point's second-order fall (1.5 cm at 10 degrees, a metre above the
//! centre of gravity) is left out. A wheel that lifts still counts as on the ground. Wings do not bend, tyres do not bulge.

mod body;
mod boxes;
mod look;
mod surroundings;

pub use body::Body;
pub use look::{Look, Touch};
pub use surroundings::{Pavement, Solid, Surroundings, Thing};
