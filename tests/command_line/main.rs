//! The program as a black box: what it prints, what it writes, its exit codes. Snapshots freeze the wording of messages;
//! each was read before it was accepted.

#![allow(clippy::print_stdout)] // measured figures and reasons for skipping, shown with --nocapture

mod aixm;
mod bad_input;
mod carried;
mod closed;
mod closing;
mod commands;
mod debrief;
mod exercise;
mod fit;
mod harness;
mod inspect;
mod knee;
mod logbook;
mod model_pilot;
mod notices;
mod pupil;
mod reading;
mod ways;
