//! How long the way takes, stops apart.

use crate::route::{Leg, Route, Turn};
use toeline_model::Aircraft;

/// Seconds under way between two ways, turns at the lower of the leg's speed and the aeroplane's turning speed.
pub(crate) fn leg_s(aircraft: &Aircraft, route: &Route, leg: &Leg) -> f64 {
    let speed = leg.speed_mps;
    if speed <= 0.0 {
        return 0.0;
    }
    let whole = (leg.to_m - leg.from_m).max(0.0) / speed;
    let slower = |t: &Turn| {
        let shared = (t.to_m.min(leg.to_m) - t.from_m.max(leg.from_m)).max(0.0);
        let turning = aircraft.turn_speed_mps(t.radius_m).min(speed);
        if turning > 0.0 {
            shared / turning - shared / speed
        } else {
            0.0
        }
    };
    whole + route.turns.iter().map(slower).sum::<f64>()
}

/// Unrounded seconds under way on the whole path.
pub(crate) fn total_s(aircraft: &Aircraft, route: &Route) -> f64 {
    route.legs.iter().map(|l| leg_s(aircraft, route, l)).sum()
}
