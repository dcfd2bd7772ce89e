//! The air on an aeroplane that stands or rolls on its wheels: its shape as the air sees it, the loads of a flow, and what
//! is left on each wheel. The simulator's step and the briefing's margins in wind use these and no others.

mod lift;
mod loads;
mod shape;
mod statics;

pub use lift::{Lifted, first_lift};
pub use loads::{AirFlow, AirLoad, Surfaces, air_load};
pub use shape::AirShape;
pub use statics::{LEFT, MAIN_SINKS_M, NOSE, NOSE_SINKS_M, OnWheels, RIGHT};
