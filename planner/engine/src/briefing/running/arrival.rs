//! From the runway to the stand.

use super::super::clean;
use super::list::{List, item};
use crate::route::Stop;
use toeline_model::aircraft::Light;

/// Behind the holding line of the runway that it landed on.
pub(super) fn vacated(list: &mut List<'_>, start: &Stop) {
    let name = clean::name(&start.name);
    let items = vec![
        item("stop", "only with the whole aeroplane past the holding line"),
        item("say", "clear of the runway, where you are and where to"),
        item("taxi instruction", "heard, read back; without a tower: announced"),
        item("way", "known as far as the next stop"),
    ];
    list.stage("vacated", format!("Off the runway, {name}"), Some(start.at_m), items);
    let a = list.aircraft();
    let mut items = vec![item("when", "standing, or later: not while it rolls off the runway")];
    items.push(item("flaps", "up; look at the lever first"));
    if a.engine.carburettor_heat {
        items.push(item("carburettor heat", "cold"));
    }
    if a.take_off.as_ref().is_some_and(|t| t.fuel_pump) {
        items.push(item("fuel pump", "off"));
    }
    items.push(item("trim", "back to the middle"));
    if let Some(lights) = list.lights(&[Light::Landing, Light::Strobe]) {
        items.push(item("lights of the runway", format!("{lights} off")));
    }
    if let Some(lights) = list.lights(&[Light::Navigation, Light::Taxi]) {
        items.push(item(
            "lights for taxiing",
            format!("{lights}; by day as local rules say"),
        ));
    }
    items.push(item("transponder", "as local rules say"));
    items.push(item("time", "noted"));
    list.stage("after_landing", "After landing".to_string(), Some(start.at_m), items);
}

/// Onto the stand and to the end of the engine's run.
pub(super) fn parking(list: &mut List<'_>, stop: &Stop) {
    let name = clean::name(&stop.name);
    let items = vec![
        item("marshaller", "has the last word; not seen: stop"),
        item("wing tips", "both looked at; in doubt: stop, engine off, push"),
        item("speed", "a slow walk"),
        item("nose wheel", "on the mark, straight"),
        item("brakes", "held"),
    ];
    list.stage("parking", format!("Onto {name}"), Some(stop.at_m), items);
    let each = if list.several() { ", each engine" } else { "" };
    let items = vec![
        item("throttle", format!("idle; cooled as the flight manual says{each}")),
        item("radio and avionics", "off"),
        item("mixture", format!("cut off{each}")),
        item("magneto switch", format!("off, key out{each}")),
        item("lights", "off once the propeller stands still"),
        item("master switch, fuel", "off, as the flight manual says"),
        item("control lock, chocks, ropes", "in place; brakes as local rules say"),
        item("time and faults", "written down"),
    ];
    list.stage("shutdown", format!("Shutting down, {name}"), Some(stop.at_m), items);
}
