//! Straights of the way on which the speed is steady for long enough.

use crate::route::{LegKind, Route};
use toeline_model::Bearing;

/// Time for the card to come to rest, seconds. It swings at 1.2 rad/s with 0.45 of critical damping (`docs/instruments.md`),
/// so a swing of 60 degrees is down to one in ln 60 / (0.45 · 1.2) = 7.6 s (ours).
pub(super) const SETTLES_S: f64 = 8.0;
/// Time to read it, seconds (ours).
pub(super) const READS_S: f64 = 2.0;
/// Speeding up and braking, m/s² (ours: gently, in about a dozen seconds to taxi speed).
pub(super) const GENTLE_MPS2: f64 = 0.5;
/// A heading counts as held while it stays this near to that at the beginning, degrees (ours).
const HELD_DEG: f64 = 2.0;
/// Step along the way, metres.
const STEP_M: f64 = 1.0;

/// A stretch with one heading and one intended speed, without a stop.
#[derive(Clone, Copy, Debug)]
pub(super) struct Straight {
    pub(super) from_m: f64,
    pub(super) to_m: f64,
    pub(super) speed_mps: f64,
    pub(super) heading: Bearing,
}

impl Straight {
    /// Way at which the speed has been reached from a standstill and the card has come to rest.
    pub(super) fn settled_m(&self) -> f64 {
        self.from_m + self.changes_m() + SETTLES_S * self.speed_mps
    }

    /// Seconds from there to where braking to a stop would begin; negative when it never settles.
    pub(super) fn reads_s(&self) -> f64 {
        (self.to_m - self.changes_m() - self.settled_m()) / self.speed_mps
    }

    fn changes_m(&self) -> f64 {
        self.speed_mps * self.speed_mps / (2.0 * GENTLE_MPS2)
    }
}

/// All of them, in order.
pub(super) fn of(route: &Route) -> Vec<Straight> {
    let mut list: Vec<Straight> = Vec::new();
    let mut open: Option<Straight> = None;
    for leg in &route.legs {
        let moves = leg.kind != LegKind::HandPush && leg.speed_mps > 0.0;
        let steps = ((leg.to_m - leg.from_m) / STEP_M).floor().max(0.0) as usize;
        for i in 0..=steps {
            let s = leg.from_m + i as f64 * STEP_M;
            let heading = route.path.pose_at(s).heading_rad.bearing();
            let goes_on = |o: &Straight| {
                moves
                    && o.speed_mps == leg.speed_mps
                    && o.heading.to_deg(heading).abs() <= HELD_DEG
                    && !route.stops.iter().any(|stop| stop.at_m > o.to_m && stop.at_m <= s)
            };
            match &mut open {
                Some(o) if goes_on(o) => o.to_m = s,
                _ => {
                    list.extend(open.take());
                    open = moves.then_some(Straight {
                        from_m: s,
                        to_m: s,
                        speed_mps: leg.speed_mps,
                        heading,
                    });
                }
            }
        }
    }
    list.extend(open);
    list
}
