//! The built-in course: exercises of ours, in rising difficulty.

use super::Exercise;

/// The files, easiest first.
const FILES: [&str; 22] = [
    include_str!("../../exercises/first-roll.json"),
    include_str!("../../exercises/straight-line.json"),
    include_str!("../../exercises/line-from-the-seat.json"),
    include_str!("../../exercises/s-bends.json"),
    include_str!("../../exercises/ninety-degrees.json"),
    include_str!("../../exercises/tightest-turn.json"),
    include_str!("../../exercises/stop-at-the-line.json"),
    include_str!("../../exercises/crosswind.json"),
    include_str!("../../exercises/quartering-tailwind.json"),
    include_str!("../../exercises/instruments-in-turns.json"),
    include_str!("../../exercises/hold-short.json"),
    include_str!("../../exercises/cross-the-runway.json"),
    include_str!("../../exercises/engine-check.json"),
    include_str!("../../exercises/engine-check-faulty.json"),
    include_str!("../../exercises/failed-brake.json"),
    include_str!("../../exercises/night-taxi.json"),
    include_str!("../../exercises/full-taxi.json"),
    include_str!("../../exercises/take-off-roll.json"),
    include_str!("../../exercises/rejected-low-rpm.json"),
    include_str!("../../exercises/rejected-dead-airspeed.json"),
    include_str!("../../exercises/rejected-swing.json"),
    include_str!("../../exercises/whole-departure.json"),
];

/// Every exercise of the course, in the order in which it is flown through.
pub fn all() -> Vec<Exercise> {
    // A test reads every file; one that could not be read would be missed there.
    FILES.iter().filter_map(|text| Exercise::from_json(text).ok()).collect()
}

/// The texts of the files, for the test that they can all be read.
pub fn texts() -> &'static [&'static str] {
    &FILES
}

/// Ids of the course, in order.
pub fn ids() -> Vec<String> {
    all().into_iter().map(|e| e.id).collect()
}

/// An exercise of the course by its id.
pub fn find(id: &str) -> Option<Exercise> {
    all().into_iter().find(|e| e.id == id)
}
