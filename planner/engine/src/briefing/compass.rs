//! What a steady compass reads, and what that rests on.

use super::{legs, number};
use crate::planning::Plan;
use toeline_model::Bearing;

/// Steady reading with the nose on a true bearing.
pub(crate) fn reading(plan: &Plan, true_bearing: Bearing) -> Bearing {
    let magnetic = legs::magnetic(true_bearing, plan.declination.deg);
    plan.request.aircraft.compass(magnetic)
}

/// What the readings rest on, in a sentence.
pub(crate) fn rests_on(plan: &Plan) -> String {
    match &plan.request.aircraft.compass_card {
        Some(card) => format!(
            "deviation card of the aeroplane's file, {} headings, straight lines in between",
            card.len()
        ),
        None => "no deviation card: steady compass readings are the magnetic bearings".to_string(),
    }
}

/// How the heading indicator is set where the aeroplane stands with its nose on a true bearing.
pub(crate) fn to_set(plan: &Plan, true_bearing: Bearing) -> String {
    if plan.request.aircraft.compass_card.is_none() {
        return "set the heading indicator to the compass".to_string();
    }
    let three = |b| number::three(number::bearing(b));
    let magnetic = legs::magnetic(true_bearing, plan.declination.deg);
    format!(
        "set the heading indicator by the compass and its card: compass {}, set {}",
        three(reading(plan, true_bearing)),
        three(magnetic)
    )
}
