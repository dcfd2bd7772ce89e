//! How much more wind a leg bears before a wheel lifts, with the controls held right and held wrong.
//!
//! By the statics of `toeline_model::air`: rough, because the air's coefficients are ours (`docs/dynamics.md`), so whole
//! knots are told, rounded down, with the word "about". The wind blows from the same direction and grows; controls are held
//! at full travel, the rudder in the middle. Looked at is every heading that the aeroplane takes on the leg as driven, turns
//! at its ends included (one in two degrees), standing and at the leg's intended speed; the least wind of all is told, with its heading. A gust
//! counts as if it stayed. What a turn, a bump or a brake adds comes on top.

use super::wind::{self, Elevator, Quarter, Yoke};
use super::{legs, number};
use crate::planning::Plan;
use crate::route::{Leg, LegKind, Route};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use toeline_model::Bearing;
use toeline_model::air::{self, Lifted, OnWheels, Surfaces, first_lift};
use toeline_model::units::{DEG, KNOT_MPS, knots};

/// Wind up to which a wheel that lifts is looked for, knots (ours: nobody taxis a light aeroplane in more).
pub const LIFT_LOOKED_TO_KT: f64 = 60.0;
/// Step along the way at which the heading is looked at, metres.
const STEP_M: f64 = 1.0;
/// Headings nearer to each other than this count as one, degrees (ours: a wind two degrees round changes the figure by less
/// than its rounding).
const APART_DEG: f64 = 2.0;

/// The margin on one leg, for its headings, its wind and its intended speed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LiftBriefing {
    /// Controls held as the rule says.
    pub held_right: LiftMargin,
    /// Controls held the other way round: [`held_wrong`].
    pub held_wrong: LiftMargin,
    /// One line for the pilot.
    pub say: String,
}

/// What the wind must grow to, from the same direction, before a wheel carries nothing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LiftMargin {
    /// Wheel that lifts first: "nose wheel", "left main wheel", "right main wheel"; absent when none does below the limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wheel: Option<String>,
    /// Wind at which it lifts, knots, rounded down; absent when none lifts below the limit that was looked at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lifts_at_kt: Option<f64>,
    /// That less the steady wind, knots; negative when it lifts already.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub above_steady_kt: Option<f64>,
    /// That less the gust, knots; absent without gusts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub above_gust_kt: Option<f64>,
    /// Heading on which it lifts first, degrees magnetic.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heading_magnetic_deg: Option<f64>,
    /// Speed at which it does: 0 or the leg's intended speed, knots.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub speed_kt: Option<f64>,
}

/// The surfaces as the rule has them, at full travel.
pub fn held_right(quarter: Quarter) -> Surfaces {
    let (yoke, elevator) = wind::controls(quarter);
    Surfaces {
        rudder: 0.0,
        elevator: match elevator {
            Elevator::Neutral => 0.0,
            Elevator::Down => 1.0,
        },
        aileron: match yoke {
            Yoke::Left => -1.0,
            Yoke::Neutral => 0.0,
            Yoke::Right => 1.0,
        },
    }
}

/// The surfaces held wrong, at full travel. The yoke is on the other side. The elevator: with the wind from ahead or abeam
/// down instead of neutral, which with the yoke away from the wind is what was right before the aeroplane turned its nose
/// into it; with the wind from behind up instead of down, the pull that is right on soft ground and in a headwind's gust.
pub fn held_wrong(quarter: Quarter) -> Surfaces {
    let right = held_right(quarter);
    Surfaces {
        rudder: 0.0,
        elevator: if right.elevator > 0.0 { -1.0 } else { 1.0 },
        aileron: -right.aileron,
    }
}

/// The first wheel that lifts, and where.
#[derive(Clone, Copy)]
struct Worst {
    lifted: Lifted,
    heading: Bearing,
    speed_mps: f64,
}

/// Headings taken on a leg, one in each [`APART_DEG`].
fn headings(route: &Route, leg: &Leg) -> Vec<Bearing> {
    let length = (leg.to_m - leg.from_m).max(0.0);
    let mut found = BTreeMap::new();
    for i in 0..=(length / STEP_M) as usize {
        let pose = route.path.pose_at(leg.from_m + i as f64 * STEP_M);
        let heading = pose.heading_rad.bearing();
        found.entry((heading.deg() / APART_DEG) as u32).or_insert(heading);
    }
    found.into_values().collect()
}

fn worst(
    on: &OnWheels,
    from: Bearing,
    over: &[Bearing],
    speeds: [f64; 2],
    held: fn(Quarter) -> Surfaces,
) -> Option<Worst> {
    let mut found: Option<Worst> = None;
    for heading in over {
        let angle_deg = heading.to_deg(from);
        let surfaces = held(wind::quarter(angle_deg));
        for speed_mps in speeds {
            // No need to look beyond what is found already.
            let most = found.map_or(LIFT_LOOKED_TO_KT * KNOT_MPS, |w| w.lifted.wind_mps);
            if let Some(lifted) = first_lift(on, angle_deg * DEG, speed_mps, &surfaces, most)
                && found.is_none_or(|w| lifted.wind_mps < w.lifted.wind_mps)
            {
                found = Some(Worst {
                    lifted,
                    heading: *heading,
                    speed_mps,
                });
            }
        }
    }
    found
}

fn margin(plan: &Plan, worst: Option<Worst>) -> LiftMargin {
    let wind = &plan.request.wind;
    let lifts_at_kt = worst.map(|w| (knots(w.lifted.wind_mps) + 1e-9).floor());
    let above = |kt: f64| lifts_at_kt.map(|at| number::kt(at - kt));
    let name = |w: Worst| match w.lifted.wheel {
        air::NOSE => "nose wheel",
        air::LEFT => "left main wheel",
        _ => "right main wheel",
    };
    LiftMargin {
        wheel: worst.map(|w| name(w).to_string()),
        lifts_at_kt,
        above_steady_kt: above(knots(wind.speed_mps())),
        above_gust_kt: wind.gust_mps().and_then(|g| above(knots(g))),
        heading_magnetic_deg: worst.map(|w| number::bearing(legs::magnetic(w.heading, plan.declination.deg))),
        speed_kt: worst.map(|w| number::speed_kt(w.speed_mps)),
    }
}

/// Tells the margin of a leg; nothing in calm or variable wind and while pushed by hand.
pub(crate) fn tell(plan: &Plan, route: &Route, leg: &Leg) -> Option<LiftBriefing> {
    let from = plan.request.wind.from_true(plan.declination.deg)?;
    if leg.kind == LegKind::HandPush || plan.request.wind.speed_mps() <= 0.0 {
        return None;
    }
    let on = OnWheels::of(&plan.request.aircraft);
    let (over, speeds) = (headings(route, leg), [0.0, leg.speed_mps]);
    let held_right = margin(plan, worst(&on, from, &over, speeds, held_right));
    let held_wrong = margin(plan, worst(&on, from, &over, speeds, held_wrong));
    let say = say(&held_right, &held_wrong);
    Some(LiftBriefing {
        held_right,
        held_wrong,
        say,
    })
}

/// "22 kt more than the wind, 14 more than the gust".
fn above(m: &LiftMargin) -> String {
    let more = |kt: f64, unit: &str, what: &str| match kt {
        k if k > 0.0 => format!("{k:.0}{unit} more than the {what}"),
        k if k < 0.0 => format!("{:.0}{unit} LESS than the {what}", -k),
        _ => format!("no more than the {what}"),
    };
    let steady = m.above_steady_kt.map(|k| more(k, " kt", "wind"));
    let gust = m.above_gust_kt.map(|k| more(k, "", "gust"));
    steady.into_iter().chain(gust).collect::<Vec<_>>().join(", ")
}

fn say(right: &LiftMargin, wrong: &LiftMargin) -> String {
    let limit = LIFT_LOOKED_TO_KT;
    let at = |m: &LiftMargin| {
        let wheel = m.wheel.as_deref()?;
        let heading = number::three(m.heading_magnetic_deg?);
        Some((wheel.to_string(), m.lifts_at_kt?, heading))
    };
    let exceeded = |m: &LiftMargin| m.above_gust_kt.or(m.above_steady_kt).is_some_and(|kt| kt <= 0.0);
    let mut text = match (at(right), at(wrong)) {
        (None, None) => format!("no wheel lifts below {limit:.0} kt of this wind, controls right or wrong"),
        (None, Some((wheel, kt, heading))) => format!(
            "no wheel lifts below {limit:.0} kt of this wind with the controls right; held wrong the {wheel} at about \
             {kt:.0} kt, on {heading}: {}",
            above(wrong)
        ),
        (Some((wheel, kt, heading)), other) => {
            let other = match other {
                Some((w, k, _)) if k < kt && w == wheel => format!("held wrong at about {k:.0} kt"),
                Some((w, k, _)) if k < kt => format!("held wrong the {w} at about {k:.0} kt"),
                _ => "held wrong no sooner".to_string(),
            };
            format!(
                "the {wheel} lifts at about {kt:.0} kt of this wind with the controls right, on {heading}: {}; {other}",
                above(right)
            )
        }
    };
    if exceeded(right) {
        text.push_str(". TOO MUCH WIND: do not taxi");
    } else if exceeded(wrong) {
        text.push_str(". Hold the controls right all the way");
    }
    text
}
