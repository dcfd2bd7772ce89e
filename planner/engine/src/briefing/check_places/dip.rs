//! How the dip of the earth's field makes a compass lie, at one place and on one heading: by the same formula as the
//! simulated compass (`toeline_model::compass`), so hemisphere and heading are right by themselves.

use super::straights::GENTLE_MPS2;
use crate::briefing::legs;
use crate::planning::Plan;
use crate::route::{Route, Turn};
use toeline_model::compass::settled_compass_rad;
use toeline_model::units::DEG;
use toeline_model::{Bearing, angle, math};

/// An error smaller than this is not told, degrees (ours: half a mark of a compass card).
const TOLD_DEG: f64 = 2.5;

/// What a card at rest would read too much, degrees, with an acceleration forward and to the left.
fn error_deg(plan: &Plan, heading: Bearing, dip_rad: f64, accel_mps2: [f64; 2]) -> f64 {
    let magnetic_rad = legs::magnetic(heading, plan.declination.deg).deg() * DEG;
    angle::wrap(settled_compass_rad(magnetic_rad, dip_rad, accel_mps2, 0.0) - magnetic_rad) / DEG
}

#[derive(Clone, Copy, PartialEq)]
enum Lie {
    Follows,
    Lags,
    Ahead,
}

fn lie(plan: &Plan, heading: Bearing, dip_rad: f64, left_mps2: f64) -> Lie {
    // Turning left the heading falls: a reading that is too high lags.
    let late = error_deg(plan, heading, dip_rad, [0.0, left_mps2]) * left_mps2.signum();
    if late > TOLD_DEG {
        Lie::Lags
    } else if late < -TOLD_DEG {
        Lie::Ahead
    } else {
        Lie::Follows
    }
}

/// What the compass does in a turn, at the aeroplane's turning speed; `None` when it follows.
pub(super) fn in_turn(plan: &Plan, route: &Route, t: &Turn, dip_rad: f64) -> Option<String> {
    let speed_mps = plan.request.aircraft.turn_speed_mps(t.radius_m);
    let side_mps2 = speed_mps * speed_mps / t.radius_m.max(0.1) * t.left_rad.signum();
    let at = |s: f64| lie(plan, route.path.pose_at(s).heading_rad.bearing(), dip_rad, side_mps2);
    let text = match (at(t.from_m), at(t.to_m)) {
        (Lie::Follows, Lie::Follows) => return None,
        (Lie::Lags, Lie::Ahead) => "here the compass lags at first, perhaps the wrong way, and then runs ahead",
        (Lie::Ahead, Lie::Lags) => "here the compass runs ahead at first and then lags",
        (Lie::Lags, _) => "here the compass lags at first, perhaps the wrong way",
        (_, Lie::Lags) => "here the compass lags toward the end",
        (Lie::Ahead, _) => "here the compass runs ahead at first",
        (_, Lie::Ahead) => "here the compass runs ahead toward the end",
    };
    Some(text.to_string())
}

/// What it does on a heading while speeding up, braking and turning off.
pub(super) fn on_straight(plan: &Plan, heading: Bearing, dip_rad: f64) -> String {
    let magnetic_rad = legs::magnetic(heading, plan.declination.deg).deg() * DEG;
    let error = error_deg(plan, heading, dip_rad, [GENTLE_MPS2, 0.0]);
    let speeding = if error.abs() < TOLD_DEG {
        "speeding up or braking hardly moves it on this heading".to_string()
    } else {
        // Whether the reading goes to the north or to the south of the heading.
        let northward = math::cos(magnetic_rad + error * DEG) > math::cos(magnetic_rad);
        let (up, brake) = if northward {
            ("north", "south")
        } else {
            ("south", "north")
        };
        format!(
            "speeding up swings it toward {up}, braking toward {brake} (about {:.0} deg)",
            error.abs()
        )
    };
    let turning = match lie(plan, heading, dip_rad, GENTLE_MPS2) {
        Lie::Follows => "turning off it follows",
        Lie::Lags => "turning off it lags",
        Lie::Ahead => "turning off it runs ahead",
    };
    format!("{speeding}; {turning}")
}
