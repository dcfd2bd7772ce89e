//! Attempts: recorded, stored, replayed to the last bit, and refused when something was changed.

#![allow(clippy::print_stdout)] // measured figures, shown with --nocapture

mod drills;
mod help;
mod inputs;
mod reading;
mod recording;
mod replay;
mod script;
mod store;
