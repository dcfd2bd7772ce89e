//! After clearance: the odds that a part of the aeroplane touches something when a pupil wobbles.
//!
//! The gap says how near the aeroplane comes when it is led exactly along the driven path. A beginner does not lead it
//! so. Here thousands of pupils drive the same path, each with a nose wheel that wanders; what is counted is how many
//! touch. Beside it stands a bound by calculation that needs no simulation. `docs/odds.md` says what this is and is not.
//!
//! | file | what it holds |
//! |---|---|
//! | `wobble` | how a pupil wobbles, and what is asked: plain data |
//! | `seed`, `wander` | random numbers by counter; the wandering of the nose wheel along the way |
//! | `stations`, `bodies` | the path in steps; the obstacles within reach, and by which part in which step |
//! | `deviation` | one pupil's wandering as a value, for simulated pupils and for statistics |
//! | `drive` | one pupil's drive, and all of them on all cores |
//! | `moments`, `barrier`, `bound` | the same by calculation: what the odds cannot exceed |
//! | `chance` | a count with its interval and words |

use crate::clearance::Clearance;
use serde::{Deserialize, Serialize};
use toeline_model::Aircraft;
use toeline_model::aircraft::parts;
use toeline_model::path::DrivenPath;

mod barrier;
mod bodies;
mod bound;
mod chance;
mod deviation;
mod drive;
mod moments;
mod seed;
mod stations;
#[cfg(test)]
mod tests;
mod wander;
mod wobble;

pub use chance::{Chance, LEAST_SAID, interval};
pub use deviation::Deviation;
pub use wobble::{
    DEFAULT_CORRELATION_M, DEFAULT_DRIVES, DEFAULT_SEED, DEFAULT_SPREAD_M, OddsAsked, Wobble, WobbleFrom,
};

use bodies::Body;

/// The odds of touching one obstacle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ObstacleOdds {
    /// Index in the clearance's `considered`: the first outline of that name within reach.
    pub obstacle: usize,
    /// Its name; an aeroplane on a stand has several outlines and one name.
    pub name: String,
    /// The part that touched it first in most drives; `None` when none did.
    pub part: Option<String>,
    /// Odds with everything where the map has it.
    pub as_mapped: Chance,
    /// Odds of coming nearer than the map's accuracy: of touching, were the map off by it toward the aeroplane.
    pub map_off: Chance,
}

/// The whole answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Odds {
    /// Wobble used.
    pub wobble: Wobble,
    /// Seed used.
    pub seed: u64,
    /// Drives simulated.
    pub drives: u32,
    /// Map accuracy used for `map_off`, metres.
    pub accuracy_m: f64,
    /// Odds of touching anything on the whole way, everything where the map has it.
    pub as_mapped: Chance,
    /// Odds of coming nearer to anything than the map's accuracy.
    pub map_off: Chance,
    /// Obstacles within six spreads and the map's accuracy, most often touched first.
    pub obstacles: Vec<ObstacleOdds>,
}

/// From where a way is driven.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Begin {
    /// From a stand, exactly on the path and along it; the wobble grows from there.
    Parked,
    /// Under way already, the wobble as it is in the long run.
    UnderWay,
}

/// The odds along a path whose clearance is known; `None` when no drives are asked for.
pub fn odds(
    aircraft: &Aircraft,
    path: &DrivenPath,
    clearance: &Clearance,
    asked: &OddsAsked,
    begin: Begin,
) -> Option<Odds> {
    if asked.drives == 0 {
        return None;
    }
    let wobble = asked.wobble.unwrap_or_else(|| Wobble::beginner(aircraft));
    let parked = begin == Begin::Parked;
    let list = parts::parts(aircraft);
    let stations = stations::stations(path, wobble.offset_m, wobble.correlation_m, parked);
    let moments = moments::moments(&stations, wobble.spread_m, parked);
    let bodies = bodies::bodies(&stations, &moments, &list, clearance);
    let course = drive::Course::new(&stations, &list, &bodies, wobble.spread_m, clearance.accuracy_m, parked);
    let (names, groups) = groups(&bodies, clearance);
    let tally = course.drive_all(asked.seed, asked.drives, &groups);
    let mut sum = 0.0;
    let mut obstacles: Vec<ObstacleOdds> = Vec::with_capacity(names.len());
    for (g, name) in names.iter().enumerate() {
        let of_group: Vec<usize> = (0..bodies.len()).filter(|k| groups[*k] == g).collect();
        let same: Vec<&Body> = of_group.iter().map(|k| &bodies[*k]).collect();
        let at_most = bound::bound(&course, &moments, &same);
        sum += at_most;
        let firsts = |part: usize| of_group.iter().map(|k| tally.parts[*k][part]).sum::<u32>();
        // Of equal ones the first in the order of the parts.
        let part = (0..list.len())
            .rev()
            .max_by_key(|p| firsts(*p))
            .filter(|p| firsts(*p) > 0);
        let [touched, off] = tally.groups[g];
        obstacles.push(ObstacleOdds {
            obstacle: same[0].obstacle,
            name: name.clone(),
            part: part.map(|p| list[p].name.clone()),
            as_mapped: Chance::of(asked.drives, touched, Some(at_most)),
            map_off: Chance::of(asked.drives, off, None),
        });
    }
    obstacles.sort_by_key(|o| {
        let key = |c: &Chance| core::cmp::Reverse(c.touched);
        (key(&o.as_mapped), key(&o.map_off), o.obstacle)
    });
    // Obstacles in a row are touched by the same drives: one barrier before all of them says more than the sum.
    if names.len() > 1 {
        let all: Vec<&Body> = bodies.iter().collect();
        sum = sum.min(bound::bound(&course, &moments, &all));
    }
    let [touched, off] = tally.any;
    Some(Odds {
        wobble,
        seed: asked.seed,
        drives: asked.drives,
        accuracy_m: clearance.accuracy_m,
        as_mapped: Chance::of(asked.drives, touched, Some(sum.min(1.0))),
        // With nothing within six spreads and the accuracy there is nothing to touch.
        map_off: Chance::of(asked.drives, off, bodies.is_empty().then_some(0.0)),
        obstacles,
    })
}

/// The names of the bodies, each once, and which one each body has.
fn groups(bodies: &[Body], clearance: &Clearance) -> (Vec<String>, Vec<usize>) {
    let mut names: Vec<String> = Vec::new();
    let mut of = Vec::with_capacity(bodies.len());
    for b in bodies {
        let name = &clearance.considered[b.obstacle].name;
        of.push(names.iter().position(|n| n == name).unwrap_or_else(|| {
            names.push(name.clone());
            names.len() - 1
        }));
    }
    (names, of)
}
