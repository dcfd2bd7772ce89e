//! The engine check with the file's figures, and what is set before take-off.

use super::super::{clean, number};
use super::RunningItem;
use super::list::{List, item, range_kpa};
use crate::route::Stop;

/// Engine check, standing in its area.
pub(super) fn engine(list: &mut List<'_>, stop: &Stop) {
    let Some(check) = &list.told.engine_check else { return };
    let (a, c) = (list.aircraft(), &list.aircraft().engine_check);
    let off = match check.off_wind_deg {
        Some(off) => format!(", {off:.0} deg off the wind"),
        None => ", free of the wind".to_string(),
    };
    let blast_m = list.route.check.as_ref().map_or(0.0, |c| c.blast_m.ceil());
    let mut items = vec![
        item(
            "stand",
            format!("nose on {}{off}", number::three(check.heading_magnetic_deg)),
        ),
        item("nose wheel", "straight: roll the last metre straight on"),
        item("brakes", "held firmly, parking brake on"),
        item(
            "look behind",
            format!("nobody, nothing in the blast, about {blast_m:.0} m"),
        ),
    ];
    if check.controls.is_some() {
        items.push(item(
            "elevator",
            "neutral while the power is up: the wind is from behind",
        ));
    }
    if list.several() {
        items.push(item(
            "engines",
            "one after the other, the other one at idle; all that follows for each",
        ));
    }
    items.extend([
        item(
            "oil temperature",
            format!(
                "{} C or more before high power, never above {} C",
                c.oil_least_c, c.oil_most_c
            ),
        ),
        item("oil pressure", range_kpa(&c.oil_pressure_kpa)),
        item(
            "throttle",
            format!("{} rpm; look outside: it stands still", c.check_rpm),
        ),
        item(
            "left magneto, then both",
            format!("drops at most {} rpm", c.magneto_drop_rpm),
        ),
        item(
            "right magneto, then both",
            format!("drops at most {} rpm", c.magneto_drop_rpm),
        ),
        item(
            "the two drops",
            format!("within {} rpm of each other", c.magneto_difference_rpm),
        ),
        item("no drop at all", "may be a live magneto: stop, hands off the propeller"),
    ]);
    if a.engine.carburettor_heat {
        items.push(item(
            "carburettor heat: hot, cold",
            "a clear drop, then back; a rise first: there was ice",
        ));
    }
    if propeller_lever(list) {
        items.push(item("propeller lever back, forward", "rpm falls, then comes back"));
    }
    items.push(item(
        "mixture leaned, then back",
        "the engine answers, as its manual says",
    ));
    if let Some(suction) = &c.suction_kpa {
        items.push(item("suction", range_kpa(suction)));
    }
    items.extend([
        item("charge", "the battery is charged"),
        item(
            "throttle closed",
            format!("idles at about {} rpm, without stumbling", a.engine.idle_rpm),
        ),
        item("throttle friction", "set: the lever stays where it is put"),
        item("anything out of limits", "do not fly: back to the stand"),
    ]);
    list.stage(
        "engine_check",
        format!("Engine check in {}", check.area),
        Some(stop.at_m),
        items,
    );
}

fn propeller_lever(list: &List<'_>) -> bool {
    list.aircraft().take_off.as_ref().is_some_and(|t| t.propeller_lever)
}

/// Everything that is set before an aeroplane goes to its runway.
pub(super) fn before_take_off(list: &mut List<'_>, stop: &Stop) {
    list.prepared = true;
    let a = list.aircraft();
    let set = a.take_off.clone().unwrap_or_default();
    let or_manual = |text: &Option<String>| match text {
        Some(text) => clean::sentence(text),
        None => "as the flight manual says".to_string(),
    };
    let mut items: Vec<RunningItem> = Vec::new();
    if list.route.check.is_none() {
        items.push(item(
            "engine check",
            "none on this way: find a place for it before you enter the runway",
        ));
    }
    items.extend([
        item(
            "flight controls",
            "full travel both ways, free, each in the right sense",
        ),
        item("trim", or_manual(&set.trim)),
        item("flaps", or_manual(&set.flaps)),
        item("mixture", "rich, or as the flight manual says for this height"),
    ]);
    if a.engine.carburettor_heat {
        items.push(item("carburettor heat", "cold"));
    }
    if set.propeller_lever {
        items.push(item("propeller lever", "fully forward, fine pitch"));
    }
    items.push(item("fuel", format!("{}; enough for the flight", or_manual(&set.fuel))));
    if set.fuel_pump {
        items.push(item("fuel pump", "on"));
    }
    let after = if list.several() {
        "one engine: throttles closed at once if it is not controlled; else as the manual says"
    } else {
        "nose down first, land ahead; no turning back"
    };
    items.extend([
        item(
            "magneto switch",
            if list.several() { "both, each engine" } else { "both" },
        ),
        item("flight instruments", "altimeter set, horizon level, headings agree"),
        item("engine instruments", "oil, fuel, charge in limits"),
        item("doors and harness", "latched and fastened, everybody's"),
        item("engine fails before lift-off", "throttle closed, brakes, straight on"),
        item("engine fails after lift-off", after),
    ]);
    let title = format!("Before take-off, at {}", clean::name(&stop.name));
    list.stage("before_take_off", title, Some(stop.at_m), items);
}
