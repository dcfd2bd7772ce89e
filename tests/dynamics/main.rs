//! The aeroplane on its wheels against geometry, statics and published formulas.

#![allow(clippy::print_stdout)] // measured figures, shown with --nocapture

mod convergence;
mod forces;
mod golden;
mod golden_drive;
mod help;
mod rest;
mod soundness;
mod steering;
mod stopping;
mod turning;
