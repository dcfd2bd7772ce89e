//! The stretches between the stops: leg by leg in short, the instrument checks, hot spots.

use super::super::{CheckedThere, LegBriefing, clean, hot_spots_entered, legs, number, wind};
use super::RunningItem;
use super::list::{List, item};
use crate::route::LegKind;
use toeline_model::aircraft::SteeringKind;

/// Overlap of a leg with a stretch below which it is not told, metres.
const SLIVER_M: f64 = 0.5;
/// Changes of the controls told for a leg; the leg itself tells all (ours).
const CHANGES_TOLD: usize = 2;
/// The way between two stops, and the hot spots on it.
pub(super) fn stretch(list: &mut List<'_>, from_m: f64, to_m: f64) {
    let on_it = |l: &(usize, &LegBriefing)| {
        let leg = &list.route.legs[l.0];
        leg.kind != LegKind::HandPush && leg.to_m.min(to_m) - leg.from_m.max(from_m) > SLIVER_M
    };
    let told: Vec<&LegBriefing> = list.told.legs.iter().enumerate().filter(on_it).map(|l| l.1).collect();
    let (Some(first), Some(last)) = (told.first(), told.last()) else {
        return;
    };
    let (a, b) = (first.number, last.number);
    let title = if a == b {
        format!("Taxi: leg {a}")
    } else {
        format!("Taxi: legs {a} to {b}")
    };
    let mut items = Vec::new();
    if !list.stages.iter().any(|s| s.id == "taxiing") {
        items.extend(general(list));
    }
    for leg in told {
        items.push(leg_line(list, leg, from_m, to_m));
        items.extend(checks(list, leg.number, from_m, to_m));
    }
    list.stage("taxiing", title, Some(from_m), items);
    let spots = hot_spots_entered(list.plan, list.route);
    for (at_m, spot) in spots.into_iter().skip(list.spots_told).take_while(|(m, _)| *m <= to_m) {
        list.spots_told += 1;
        let name = clean::name(spot.name.as_deref().unwrap_or("unnamed"));
        let mut items = vec![item("speed", "slow; nothing else done meanwhile")];
        if let Some(note) = &spot.note {
            items.push(item("mind", clean::sentence(note)));
        }
        items.push(item("look", "left, right and ahead; in doubt: stop and ask"));
        list.stage("hot_spot", format!("Hot spot {name}"), Some(at_m.max(from_m)), items);
    }
}

/// What holds for all taxiing.
fn general(list: &List<'_>) -> Vec<RunningItem> {
    let t = &list.aircraft().taxi;
    let mut items = vec![item(
        "speed",
        format!(
            "by the throttle: {} kt straight, {} kt in turns, {} kt on aprons",
            t.straight_kt, t.turn_kt, t.apron_kt
        ),
    )];
    items.push(item(
        "brakes",
        "only with the throttle closed; slow before a turn, not in it",
    ));
    if list.aircraft().steering.kind == SteeringKind::FreeCaster {
        items.push(item("steering", "short touches of one brake, then roll free"));
    }
    if list
        .told
        .legs
        .iter()
        .all(|l| l.wind.as_ref().is_none_or(|w| w.quarter.is_none()))
    {
        items.push(item("controls for the wind", "no steady wind: neutral, ready to move"));
    }
    items
}

/// A leg in short, from where the stretch enters it to where the stretch ends: heading, speed, controls for the wind.
fn leg_line(list: &List<'_>, leg: &LegBriefing, from_m: f64, to_m: f64) -> RunningItem {
    let (d, route) = (&leg.directions, &list.route.legs[leg.number - 1]);
    // A stop within a winding leg: the figures of its start hold no longer.
    let within = d.winding && from_m - route.from_m > SLIVER_M;
    let ends_within = d.winding && route.to_m - to_m > SLIVER_M;
    let heading_at = |s: f64| list.route.path.pose_at(s).heading_rad.bearing();
    let mut text = if within {
        format!("HI {}", list.heading_of(heading_at(from_m)))
    } else {
        format!("HI {}", list.heading(d.heading_indicator_deg, d.compass_deg))
    };
    if ends_within {
        text += &format!(" to {}", list.heading_of(heading_at(to_m)));
    } else if let Some(last) = d.last_magnetic_deg {
        text += &format!(" to {}", list.heading(last, d.last_compass_deg.unwrap_or(last)));
    }
    text += &format!(", {:.0} kt", leg.speed_kt);
    if let Some(w) = leg.wind.as_ref().filter(|w| w.quarter.is_some()) {
        let (mut yoke, mut elevator) = (w.yoke, w.elevator);
        if within {
            let w = wind::on_heading(&list.plan.request.wind, list.plan.declination.deg, heading_at(from_m));
            (yoke, elevator) = (w.yoke, w.elevator);
        }
        text += &format!(": {}", wind::control_short(yoke, elevator));
        let here = |after_m: f64| (from_m..to_m).contains(&(route.from_m + after_m));
        let changes: Vec<_> = leg.control_changes.iter().filter(|c| here(c.after_m)).collect();
        for change in changes.iter().take(CHANGES_TOLD) {
            text += &format!("; then {}", wind::control_short(change.yoke, change.elevator));
        }
        if changes.len() > CHANGES_TOLD {
            text += "; then as it turns";
        }
    }
    item(format!("leg {}, {}", leg.number, leg.name), text)
}

/// The instrument checks of a leg within a stretch.
fn checks(list: &List<'_>, leg: usize, from_m: f64, to_m: f64) -> Vec<RunningItem> {
    let here = list
        .told
        .check_places
        .iter()
        .filter(|p| p.leg == leg && (from_m..to_m).contains(&p.at_m));
    here.filter_map(|p| match p.kind {
        CheckedThere::Brakes => None,
        CheckedThere::LeftTurn => Some(item(
            "instruments, turn to the left",
            "turn needle left, ball right, heading indicator and compass fall",
        )),
        CheckedThere::RightTurn => Some(item(
            "instruments, turn to the right",
            "turn needle right, ball left, heading indicator and compass grow",
        )),
        CheckedThere::Compass => {
            let heading = list.route.path.pose_at(p.at_m).heading_rad.bearing();
            let magnetic = number::bearing(legs::magnetic(heading, list.plan.declination.deg));
            Some(item(
                "compass",
                format!("steady on the straight; heading indicator {}", number::three(magnetic)),
            ))
        }
    })
    .collect()
}
