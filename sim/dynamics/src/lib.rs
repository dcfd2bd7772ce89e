//! The aeroplane on its wheels: one pure function, [`step`], that takes a state and the controls and returns the state
//! one tick later. No clock, no randomness, no allocation, no Bevy; the same bits on every machine.
//!
//! # The model
//! One rigid body on three struts: plane motion, heave, pitch and roll, wheels that push and never pull, so that one can
//! lift and return. Loads come from the struts. Each tyre is a bounded constraint: at small slip it resists in proportion
//! to slip over speed, which becomes pure sticking at rest, and it never gives more than friction times load in any
//! direction. Struts are taken implicitly (see `struts`); the three contacts, the swivel of the nose wheel and its stop are
//! solved together by Newton's method, with sweeps behind it (see `wheels`), implicitly, so that the step is stable from
//! standing still to 60 kt. With both main wheels held, a body at rest stays at rest to the last bit. The air lifts, drags, pushes sideways and works on
//! rudder, elevator and aileron; the brakes warm, fade and cool. A run ends off the ground or tipped over ([`End`]).
//!
//! The engine's speed is the balance of its torque and the propeller's ([`engine`]); once stopped it needs the starter.
//! What is broken is part of [`Params`] ([`faults`]). The panel ([`instruments`]) reads a state and changes nothing.
//!
//! # What it leaves out
//! Friction does not fall with sliding speed. Angles of the body are small: beyond some twenty degrees the run has ended.
//! The wheels have no mass of their own beside the body's. The wing knows no ground effect, and another aeroplane's blast
//! is taken at the centre of gravity alone. The air has the density of the ICAO standard atmosphere at sea level. Every
//! assumption, with its source or the word "ours", is in `docs/dynamics.md`.
//!
//! # Axes and signs
//! Ground: x east, y north, yaw anticlockwise from east. Body: x forward, y left. Pitch is positive nose-up,
//! roll positive to the right. Nose-wheel angle and yaw rate are positive to the left; the rudder pedals are positive to
//! the right. SI units and radians throughout.

pub mod air;
pub mod brakes;
pub mod contacts;
pub mod controls;
pub mod ending;
pub mod engine;
pub mod environment;
pub mod faults;
pub mod instruments;
pub mod params;
pub mod state;
pub mod telemetry;
pub mod tyre;

mod airflow;
mod steering;
mod step;
mod struts;
mod wheels;

pub use air::{Air, Blast, Gust};
pub use controls::{Controls, TowBar};
pub use ending::End;
pub use environment::Ground;
pub use faults::Faults;
pub use params::Params;
pub use state::State;
pub use step::{advance, step};
pub use telemetry::Telemetry;

/// Version of the physics. A stored attempt replays bit for bit only under the version it was driven with.
pub const PHYSICS_VERSION: u32 = 3;

/// Length of one tick, seconds.
pub const TICK_S: f64 = 1.0 / 240.0;

/// Index of the nose wheel in every per-wheel array.
pub const NOSE: usize = 0;
/// Index of the left main wheel in every per-wheel array.
pub const LEFT: usize = 1;
/// Index of the right main wheel in every per-wheel array.
pub const RIGHT: usize = 2;
