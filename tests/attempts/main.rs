//! Attempts: recorded, stored, replayed to the last bit, and refused when something was changed.

#![allow(clippy::print_stdout)] // measured figures, shown with --nocapture

mod agreement;
mod contacts;
mod debrief;
mod debrief_page;
mod demo;
mod drills;
mod exercise;
mod exercise_conductor;
mod exercise_course;
mod exercise_docs;
mod faults;
mod gusts;
mod help;
mod inputs;
mod journal;
mod logbook;
mod logbook_exchange;
mod logbook_killed;
mod logbook_power;
mod logbook_schema;
mod logbook_trouble;
mod made;
mod measures;
mod measures_findings;
mod measures_noted;
mod pilot;
mod pilot_drills;
mod pilot_findings;
mod pilot_looks;
mod pilot_watch;
mod pupils;
#[path = "../external/python.rs"]
#[allow(dead_code)] // the numbers of an aeroplane are not asked for here
mod python;
mod reading;
mod recording;
mod replay;
mod script;
mod store;
mod wobble;
