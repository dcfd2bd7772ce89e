//! The aeroplane on its wheels against geometry, statics and published formulas.

#![allow(clippy::print_stdout)] // measured figures, shown with --nocapture

mod air;
mod bicycle;
mod compass;
mod contacts;
mod convergence;
mod engine;
mod engine_run;
mod faults;
mod forces;
mod golden;
mod golden_drive;
mod gyros;
mod help;
mod instruments;
mod lift;
mod panel;
mod power;
mod rest;
mod soundness;
mod sprung;
mod steering;
mod stopping;
mod towing;
mod turning;
