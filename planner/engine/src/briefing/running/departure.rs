//! At the runway: holding position, line-up, take-off roll.

use super::super::{clean, wind};
use super::list::{List, item, range_kpa};
use crate::route::{Stop, StopKind};
use toeline_model::Wind;
use toeline_model::aircraft::Light;
use toeline_model::units::knots;

/// Wind across below which no aileron is asked for, knots (ours).
const NO_CROSS_KT: f64 = 0.5;

/// At the line behind which the runway of the take-off lies.
pub(super) fn at_holding_position(list: &mut List<'_>, stop: &Stop) {
    let runway = runway_words(list);
    let heading = list.heading_of(stop.pose.heading_rad.bearing());
    let mut items = Vec::new();
    // Where the line is met on the way, the stop has been told already.
    if stop.kind == StopKind::End {
        items.push(item(
            "stop",
            "no part of the aeroplane beyond the line, nose wheel straight",
        ));
        if stop.derived {
            items.push(item("line", "not on the map: look for the painted one"));
        }
    }
    items.push(item("before take-off", "all of it done, nothing left open"));
    let lights = list.lights(&[Light::Landing, Light::Strobe]);
    items.push(item(
        "lights for take-off",
        lights.map_or_else(|| "none fitted".to_string(), |l| format!("{l} on")),
    ));
    items.extend([
        item("transponder", "code set, on with height"),
        item(
            "heading indicator",
            format!("by the compass, standing still: {heading}"),
        ),
    ]);
    if let Some(wind) = wind_words(list) {
        items.push(item("wind on the runway", wind));
    }
    items.extend([
        item("time", "noted"),
        item("approach", "nobody on it, nobody on the runway"),
        item("permission", format!("to enter {runway}; without a tower: announced")),
        item("read back", "the runway and what was permitted, before it moves"),
    ]);
    let title = format!("At {}: {runway}", clean::name(&stop.name));
    list.stage("at_holding_position", title, Some(stop.at_m), items);
}

/// What the runway is called: "runway 26".
fn runway_words(list: &List<'_>) -> String {
    let field = &list.plan.field;
    let Some(at) = list.ends_at else {
        return "the runway".to_string();
    };
    match at.end.and_then(|e| field.runways[at.runway].designators[e].as_ref()) {
        Some(d) => clean::name(&format!("runway {d}")),
        None => clean::name(&crate::route::runway_name(field, at.runway)),
    }
}

/// Wind along and across the runway, beside the aeroplane's limits.
fn wind_words(list: &List<'_>) -> Option<String> {
    let at = list.ends_at?;
    let (reported, limits) = (&list.plan.request.wind, &list.aircraft().wind_limits);
    let limit = format!(
        "limits {} kt across, {} kt from behind",
        limits.crosswind_kt, limits.tailwind_kt
    );
    if matches!(reported, Wind::Calm) {
        return Some("calm".to_string());
    }
    let steady_kt = knots(reported.speed_mps());
    let most_kt = reported.gust_mps().map_or(steady_kt, knots);
    let direction = at.end.and_then(|e| list.direction(at.runway, e));
    let (along_kt, right_kt) = match (reported.from_true(list.plan.declination.deg), direction) {
        (Some(_), Some(direction)) if steady_kt > 0.0 => {
            let w = wind::on_heading(reported, list.plan.declination.deg, direction);
            (w.head_kt, w.cross_from_right_kt)
        }
        (Some(_), None) => return Some(format!("as reported; {limit}")),
        _ => return Some(format!("variable, up to {most_kt:.0} kt from anywhere; {limit}")),
    };
    let gusts = if most_kt > steady_kt {
        format!(", in gusts {:.0} kt", right_kt.abs() * most_kt / steady_kt)
    } else {
        String::new()
    };
    let share = most_kt / steady_kt;
    let over = right_kt.abs() * share > limits.crosswind_kt || -along_kt * share > limits.tailwind_kt;
    let over = if over { "; MORE THAN THE LIMIT" } else { "" };
    let (along, side) = (
        if along_kt < 0.0 { "from behind" } else { "from ahead" },
        if right_kt < 0.0 { "the left" } else { "the right" },
    );
    Some(format!(
        "{:.0} kt {along}, {:.0} kt from {side}{gusts}; {limit}{over}",
        along_kt.abs(),
        right_kt.abs()
    ))
}

/// From the line to the middle of the runway.
pub(super) fn line_up(list: &mut List<'_>, last: &Stop) {
    let runway = runway_words(list);
    let mut items = Vec::new();
    let on_it = last.of.is_none();
    if on_it {
        items.push(item(
            "turn about",
            "with the room there is, nose wheel then on the middle line",
        ));
    } else {
        items.push(item("look", "both ways once more, as the nose crosses the line"));
    }
    let ends: Vec<String> = list.ends_at.map_or_else(Vec::new, |at| {
        let designators = &list.plan.field.runways[at.runway].designators;
        let one = |end: usize| {
            let heading = list.heading_of(list.direction(at.runway, end)?);
            let painted = designators[end].as_ref().map(|d| clean::name(d));
            Some(format!(
                "{} on {heading}",
                painted.unwrap_or_else(|| "no figures".into())
            ))
        };
        match at.end {
            Some(end) => one(end).into_iter().collect(),
            None => (0..2).filter_map(one).collect(),
        }
    });
    if !ends.is_empty() {
        items.push(item(
            "figures on the runway, heading",
            format!("{}: heading indicator and compass agree", ends.join(" or ")),
        ));
    }
    let sock = match list.plan.request.wind.from_true(list.plan.declination.deg) {
        Some(from) => format!("wind from {} as planned", list.heading_of(from)),
        None => "the wind as planned".to_string(),
    };
    items.extend([
        item("windsock", sock),
        item(
            "nose wheel",
            "on the middle line, straight: roll the last metre straight on",
        ),
    ]);
    let at_m = on_it.then_some(last.at_m);
    list.stage("line_up", format!("Line up on {runway}"), at_m, items);
}

/// Along the runway, up to lift-off or to a stop.
pub(super) fn roll(list: &mut List<'_>) {
    let (a, c) = (list.aircraft(), &list.aircraft().engine_check);
    let each = if list.several() { ", each engine" } else { "" };
    let direction = list.ends_at.and_then(|at| list.direction(at.runway, at.end?));
    let cross_kt =
        direction.map(|d| wind::on_heading(&list.plan.request.wind, list.plan.declination.deg, d).cross_from_right_kt);
    let ailerons = match cross_kt {
        Some(kt) if kt > NO_CROSS_KT => "yoke right, into the wind; less of it as the speed grows",
        Some(kt) if kt < -NO_CROSS_KT => "yoke left, into the wind; less of it as the speed grows",
        Some(_) => "ailerons neutral",
        None => "ailerons into the wind; less of it as the speed grows",
    };
    let rotate = match a.take_off.as_ref().and_then(|t| t.rotate_kt) {
        Some(kt) => format!("at {kt} kt"),
        None => "at the speed of the flight manual".to_string(),
    };
    let items = vec![
        item("controls for the wind", ailerons),
        item("feet", "heels down, off the brakes; straight with small pedal"),
        item("throttle", "smoothly to full"),
        item("rpm", format!("{} rpm or more{each}", a.engine.static_rpm)),
        item(
            "oil",
            format!("{}, not above {} C{each}", range_kpa(&c.oil_pressure_kpa), c.oil_most_c),
        ),
        item("airspeed", "alive, growing"),
        item("nose wheel up", rotate),
        item(
            "anything wrong before that",
            "throttle closed, straight on, brakes gently",
        ),
    ];
    list.stage("take_off_roll", "Take-off roll".to_string(), None, items);
}
