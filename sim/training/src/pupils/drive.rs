//! One pupil's drive, and thousands of them on all cores.

use super::{Hands, Pupil};
use crate::attempt::Environment;
use crate::pilot::{Pilot, PilotDrive, Task, drive_among};
use rayon::prelude::*;
use std::sync::Arc;
use toeline_dynamics::contacts::Surroundings;
use toeline_model::Aircraft;

/// Drives a task as pupil number `number` of a seed: the same seed and number drive the same drive to the last bit, on any
/// thread.
pub fn drive_pupil(
    aircraft: &Aircraft,
    environment: Environment,
    task: &Task,
    pupil: &Pupil,
    seed: u64,
    number: u64,
) -> PilotDrive {
    drive_pupil_among(aircraft, environment, None, task, pupil, seed, number)
}

/// The same among what stands around: what he touches is noted in the attempt.
pub fn drive_pupil_among(
    aircraft: &Aircraft,
    environment: Environment,
    around: Option<Arc<Surroundings>>,
    task: &Task,
    pupil: &Pupil,
    seed: u64,
    number: u64,
) -> PilotDrive {
    let mut hands = Hands::new(pupil, environment.params(aircraft), task, seed, number);
    let pilot = Pilot::new(aircraft, task.clone()).who_is_late(pupil.reaction_s, pupil.late_feet_s);
    drive_among(
        aircraft,
        environment,
        around,
        pilot,
        |pilot, state| hands.next(pilot, state),
        |_, _| {},
    )
}

/// Lets pupils 0 to `drives` of a seed drive, on all cores; keeps what `keep` makes of each, in their order. The drives
/// themselves are let go at once: thousands of them would not fit in memory.
pub fn drive_pupils<T: Send>(
    aircraft: &Aircraft,
    environment: Environment,
    task: &Task,
    pupil: &Pupil,
    seed: u64,
    drives: u64,
    keep: impl Fn(u64, PilotDrive) -> T + Sync,
) -> Vec<T> {
    (0..drives)
        .into_par_iter()
        .map(|n| keep(n, drive_pupil(aircraft, environment, task, pupil, seed, n)))
        .collect()
}
