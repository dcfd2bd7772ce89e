//! The whole plan, and its forms checked from outside: everything here reads the plan's JSON as a stranger would, with none
//! of our geometry.

#![allow(clippy::print_stdout)] // measured figures and reasons for skipping, shown with --nocapture

mod alternatives;
mod cheapest;
mod closed;
mod credit;
mod demo;
mod dirt;
mod drawn;
mod from_outside;
mod gone_around;
mod hostile_names;
mod knee;
mod labels;
mod notices;
mod page;
mod pavement;
mod real_field;
