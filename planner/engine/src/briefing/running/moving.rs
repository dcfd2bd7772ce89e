//! Before it moves, pushed by hand, the first metres.

use super::super::{clean, hot_spots_entered, wind};
use super::list::{List, item, range_kpa};
use crate::route::Stop;
use toeline_model::aircraft::{Light, SteeringKind};
use toeline_model::units::FOOT_M;

/// From a stand: by hand where it is pushed, the looks before moving, the first metres.
pub(super) fn before(list: &mut List<'_>, stop: &Stop, pushed_to_m: Option<f64>) {
    if let Some(to_m) = pushed_to_m {
        hand_push(list, stop.at_m, to_m);
    }
    let from_m = pushed_to_m.unwrap_or(stop.at_m);
    before_moving(list, stop, from_m);
    first_metres(list, from_m);
}

fn hand_push(list: &mut List<'_>, from_m: f64, to_m: f64) {
    let length_m = to_m - from_m;
    let heading = list.heading_of(list.route.path.pose_at(to_m).heading_rad.bearing());
    let (engine, blades) = if list.several() {
        ("engines", "propellers")
    } else {
        ("engine", "propeller")
    };
    let items = vec![
        item(engine, "off, magnetos off, key out"),
        item(blades, "not touched; nobody in the disc"),
        item("parking brake", "off"),
        item(
            "tow bar",
            format!(
                "on the nose wheel, never beyond {} deg",
                list.aircraft().steering.caster_stop_deg
            ),
        ),
        item("wing tips and tail", "somebody watches each; one gives the word"),
        item("push", format!("{length_m:.0} m; the nose then on {heading}")),
        item(
            "afterwards",
            "brakes held, tow bar off and stowed, before the engine is started",
        ),
    ];
    list.stage("hand_push", format!("By hand, {length_m:.0} m"), Some(from_m), items);
}

fn before_moving(list: &mut List<'_>, start: &Stop, from_m: f64) {
    let (a, route) = (list.aircraft(), list.route);
    let next = route
        .stops
        .iter()
        .find(|s| s.at_m > from_m)
        .map(|s| clean::name(&s.name));
    let parked = route.path.pose_at(from_m).heading_rad.bearing();
    let mut items = vec![
        item("chart, notices, this briefing", "read; today's closures known"),
        item(
            "way",
            format!("known as far as {}", next.as_deref().unwrap_or("the end")),
        ),
    ];
    let spots: Vec<String> = hot_spots_entered(list.plan, route)
        .iter()
        .map(|(_, s)| clean::name(s.name.as_deref().unwrap_or("unnamed")))
        .collect();
    if !spots.is_empty() {
        items.push(item("hot spots", spots.join(", ")));
    }
    let engine = if list.several() { "both running" } else { "running" };
    items.extend([
        item(
            "taxi instruction",
            "heard, written down, read back; without a tower: announced",
        ),
        item("seats and harness", "locked and fastened, everybody's"),
        item("outside", "chocks, ropes and covers gone"),
        item("brakes", "held"),
        item("engine", format!("{engine}, idle about {} rpm", a.engine.idle_rpm)),
        item(
            "oil pressure",
            format!("{}, soon after the start", range_kpa(&a.engine_check.oil_pressure_kpa)),
        ),
        item(
            "heading indicator",
            format!("set by the compass: {}", list.heading_of(parked)),
        ),
        item("altimeter", altimeter(list.plan.field.elevation_m)),
    ]);
    if let Some(lights) = list.lights(&[Light::Beacon]) {
        items.push(item("lights, engine running", format!("{lights} on")));
    }
    if let Some(lights) = list.lights(&[Light::Navigation, Light::Taxi]) {
        items.push(item(
            "lights for taxiing",
            format!("{lights}; by day as local rules say"),
        ));
    }
    let rolls = list
        .told
        .legs
        .iter()
        .zip(&route.legs)
        .find(|(_, l)| l.to_m > from_m + 0.5);
    let first = rolls.map(|(told, _)| told);
    if let Some(w) = first.and_then(|l| l.wind.as_ref()).filter(|w| w.quarter.is_some()) {
        items.push(item("controls for the wind", wind::control_short(w.yoke, w.elevator)));
    }
    items.push(item(
        "look all round",
        "nobody and nothing near propeller, wings and tail; behind too",
    ));
    let title = format!("Before moving, {}", clean::name(&start.name));
    list.stage("before_moving", title, Some(from_m), items);
}

/// The altimeter on the ground, with the field's elevation where it is known. Altimeters read in feet.
fn altimeter(elevation_m: Option<f64>) -> String {
    match elevation_m {
        Some(m) => format!("set to the pressure given (QNH): about {:.0} ft", m / FOOT_M),
        None => "set to the pressure given (QNH): the field's elevation".to_string(),
    }
}

fn first_metres(list: &mut List<'_>, from_m: f64) {
    let steers = match list.aircraft().steering.kind {
        SteeringKind::Linked => "the nose follows the pedals, both ways",
        SteeringKind::FreeCaster => "by the brakes alone: the nose wheel casters freely, pedals turn nothing when slow",
    };
    let items = vec![
        item("throttle", "a little; closed as soon as it rolls"),
        item("both brakes", "firm and even: it slows, straight on"),
        item("left brake alone", "firm: the nose goes left"),
        item("right brake alone", "firm: the nose goes right"),
        item("no firm, even answer", "stop, do not taxi"),
        item("steering", steers),
    ];
    list.stage("first_metres", "First metres".to_string(), Some(from_m), items);
}
