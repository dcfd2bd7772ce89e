//! The aeroplane on its wheels: one pure function, [`step`], that takes a state and the controls and returns the state
//! one tick later. No clock, no randomness, no allocation, no Bevy; the same bits on every machine.
//!
//! # The model
//! One rigid body in the plane on a nose wheel and two main wheels. Wheel loads follow from statics (three wheels: the
//! loads are determinate) with the ground forces of the last tenth of a second; they are never negative. Each tyre is a
//! bounded constraint: at small slip it resists in proportion to slip over speed, which becomes pure sticking at rest,
//! and it never gives more than friction times load in any direction. The three contacts, the swivel of the nose wheel
//! and its stop are solved together by fixed sweeps (see `wheels`), implicitly, so that the step is stable from standing
//! still to 60 kt. With both main wheels held, a body at rest stays at rest to the last bit.
//!
//! # What has no effect yet
//! Aileron, elevator and carburettor heat are taken and recorded but change nothing in this physics version. Mixture
//! only cuts (below [`engine::MIXTURE_CUT`]) or runs; an engine that was cut runs again when mixture is restored, since
//! there is no starter yet. A propeller's torque does not load the left wheel. The body neither heaves, pitches nor rolls: a
//! wheel whose load falls to nothing slides freely, but the aeroplane does not tip over. Friction does not fall with
//! sliding speed, and brakes neither warm nor fade. The air has the density of the ICAO standard atmosphere at sea level.
//!
//! # Axes and signs
//! Ground: x east, y north, yaw anticlockwise from east. Body: x forward, y left. Nose-wheel angle and yaw rate are
//! positive to the left; the rudder pedals are positive to the right. SI units and radians throughout.

pub mod controls;
pub mod engine;
pub mod environment;
pub mod params;
pub mod state;
pub mod telemetry;
pub mod tyre;

mod airflow;
mod loads;
mod steering;
mod step;
mod wheels;

pub use controls::Controls;
pub use environment::{Air, Ground};
pub use params::Params;
pub use state::State;
pub use step::{advance, step};
pub use telemetry::Telemetry;

/// Version of the physics. A stored attempt replays bit for bit only under the version it was driven with.
pub const PHYSICS_VERSION: u32 = 1;

/// Length of one tick, seconds.
pub const TICK_S: f64 = 1.0 / 240.0;

/// Index of the nose wheel in every per-wheel array.
pub const NOSE: usize = 0;
/// Index of the left main wheel in every per-wheel array.
pub const LEFT: usize = 1;
/// Index of the right main wheel in every per-wheel array.
pub const RIGHT: usize = 2;
