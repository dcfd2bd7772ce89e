//! Checks against the world outside: published values, closed formulas re-derived by other means, general-purpose
//! libraries. Each file names its sources beside the checks.

#![allow(clippy::print_stdout)] // measured figures and reasons for skipping, shown with --nocapture

mod aixm;
mod apron;
mod bearings;
mod briefing_page;
mod carried;
mod clearance;
mod closures_schema;
mod dubins;
mod far_stands;
mod fit_schema;
mod geodesy;
mod independent_dynamics;
mod inspect_schema;
mod kinematics;
mod magnetism;
mod manoeuvres;
mod map_schema;
mod noding;
mod noding_dense;
mod notices;
mod notices_published;
mod odds;
mod phraseology;
mod plan_forms;
mod pupil;
mod python;
mod route_search;
mod separations;
mod single_track;
mod tractrix;
