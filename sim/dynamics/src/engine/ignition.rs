//! Magnetos, plugs and cylinders: which of them spark, and what that is worth.

use super::MagnetoSwitch;
use crate::faults::{Faults, LEFT_SIDE, RIGHT_SIDE};

/// Cylinders (ours: four for every engine; each has one plug on each magneto).
pub const CYLINDERS: u8 = 4;
/// Burning in a cylinder with the left, and with the right plug alone, over both: the flame starts from one side and takes
/// longer. Chosen so that a sound trainer drops 25 to 75 rpm on each (ours); no two magnetos are quite alike.
const ONE_PLUG: [f64; 2] = [0.935, 0.93];
/// Cylinder in which the plug of the left, and of the right magneto fouls.
const FOULED: [u8; 2] = [0, 2];

/// What the ignition gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spark {
    /// Share of the burning that both plugs in every cylinder would give, 0 to 1.
    pub(crate) share: f64,
    /// Cylinders with at least one spark.
    pub(crate) cylinders: u8,
}

/// The sparks of a switch position.
pub(crate) fn spark(switch: MagnetoSwitch, faults: &Faults) -> Spark {
    let selected = switch.selects();
    let alive: [bool; 2] =
        core::array::from_fn(|side| (selected[side] || faults.live_magneto[side]) && !faults.dead_magneto[side]);
    if alive == [true; 2] && faults.fouled_plug == [false; 2] {
        return Spark {
            share: 1.0,
            cylinders: CYLINDERS,
        };
    }
    let (mut sum, mut cylinders) = (0.0, 0);
    for cylinder in 0..CYLINDERS {
        let fires = |side: usize| alive[side] && !(faults.fouled_plug[side] && FOULED[side] == cylinder);
        sum += match (fires(LEFT_SIDE), fires(RIGHT_SIDE)) {
            (true, true) => 1.0,
            (true, false) => ONE_PLUG[LEFT_SIDE],
            (false, true) => ONE_PLUG[RIGHT_SIDE],
            (false, false) => continue,
        };
        cylinders += 1;
    }
    Spark {
        share: sum / f64::from(CYLINDERS),
        cylinders,
    }
}
