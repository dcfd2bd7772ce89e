//! The contacts of the three wheels with the ground, solved together with the swivel of the nose wheel.

mod block;
mod contact;
mod equations;
mod line;
mod newton;
mod solve;
mod sweeps;

pub(crate) use contact::Contact;
pub(crate) use solve::{Task, solve};

/// Forward, left (m/s, body axes, centre of gravity), yaw rate and swivel rate of the nose wheel (rad/s).
pub(crate) type Velocity = [f64; 4];
