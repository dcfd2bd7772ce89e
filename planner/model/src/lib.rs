//! Plain data and small pure geometry that the planner and the simulator share.
//!
//! Conventions: metres, seconds, kilograms, newtons and radians inside; field units (degrees, knots, feet) only where
//! people read or write, and then the name says so. Local plane: x east, y north. Aeroplane: x forward from the middle
//! of the main axle, y to the left, z up from the ground. No file, no clock, no graph, no Bevy.

pub mod air;
pub mod aircraft;
pub mod airfield;
pub mod angle;
pub mod compass;
pub mod date;
pub mod frame;
pub mod math;
pub mod path;
pub mod planar;
pub mod tractrix;
pub mod turning;
pub mod units;
pub mod wind;

pub use aircraft::Aircraft;
pub use airfield::Airfield;
pub use angle::{Bearing, Yaw};
pub use frame::{LonLat, Xy};
pub use path::{DrivenPath, Pose};
pub use wind::Wind;
