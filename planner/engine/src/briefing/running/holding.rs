//! Holding short, going across a runway or along it, and other stops.

use super::super::clean;
use super::list::{List, holds_short, item};
use crate::route::{LegKind, Stop, StopKind};
use toeline_model::aircraft::Light;
use toeline_model::planar;

/// Way on a runway from which it counts as along it, not across, metres (ours: more than the jog between two lanes).
const ALONG_M: f64 = 60.0;
/// Step along the way in which a crossing is looked for, metres.
const STEP_M: f64 = 1.0;

/// At a holding line on the way.
pub(super) fn short(list: &mut List<'_>, stop: &Stop) {
    let name = clean::name(&stop.name);
    let of = stop.of.as_deref().map(clean::name);
    let mut items = vec![item(
        "stop",
        "no part of the aeroplane beyond the line, nose wheel straight",
    )];
    if stop.derived {
        items.push(item("line", "not on the map: look for the painted one"));
    }
    let title = match of {
        Some(of) => {
            items.extend([
                item(
                    "permission",
                    format!("to cross or enter {of}; without a tower: announced"),
                ),
                item("read back", "the runway, and cross or hold short, word for word"),
                item("look", "left and right, and up the approach on both sides"),
            ]);
            if let Some(lights) = list.lights(&[Light::Landing, Light::Strobe]) {
                items.push(item("lights for the runway", format!("{lights} on")));
            }
            items.push(item("in doubt", "stay, ask"));
            format!("Hold short at {name}: {of}")
        }
        None => {
            items.push(item("go on", "when told, or when nobody comes"));
            format!("Hold at {name}")
        }
    };
    list.stage("hold_short", title, Some(stop.at_m), items);
}

/// Another place where the way stops.
pub(super) fn place(list: &mut List<'_>, stop: &Stop) {
    let mut items = vec![item("stop", "nose wheel straight, brakes held")];
    if stop.kind == StopKind::Place {
        items.push(item("go on", "when told, or when the way is free; look first"));
    } else {
        items.push(item("then", "the way ends here"));
    }
    list.stage(
        "stop",
        format!("Stop at {}", clean::name(&stop.name)),
        Some(stop.at_m),
        items,
    );
}

/// What follows a holding line: the runway across or along; nothing where another line of the same runway comes first.
pub(super) fn across(list: &mut List<'_>, index: usize) {
    let route = list.route;
    let stop = &route.stops[index];
    let Some(of) = &stop.of else { return };
    let Some(runway) = list.runway(of).map(|r| r.runway) else {
        return;
    };
    let mut later = route.stops[index + 1..].iter();
    let until_m = later
        .find(|s| holds_short(s) && s.of == stop.of)
        .map_or(route.path.length_m(), |s| s.at_m);
    let name = clean::name(of);
    let ends_here = list.ends_at.is_some_and(|e| e.runway == runway) && list.on_runway_at_end();
    let on_it = |l: &&crate::route::Leg| {
        l.kind == LegKind::Runway
            && l.name == *of
            && l.from_m < until_m
            && l.to_m > stop.at_m
            && l.to_m - l.from_m > ALONG_M
    };
    if let Some(leg) = route.legs.iter().find(on_it) {
        let mut items = vec![item("onto the runway", "without stopping on the line")];
        items.push(item(
            "along it",
            format!("{:.0} m, on its middle line, without delay", leg.to_m - leg.from_m),
        ));
        if !ends_here {
            items.push(item("off it", "the whole aeroplane past the holding line, then say so"));
            items.push(item("lights after the runway", "as for taxiing"));
        }
        list.stage("along_runway", format!("Along {name}"), Some(stop.at_m), items);
    } else if crosses(list, runway, stop.at_m, until_m) {
        let items = vec![
            item("across", "straight on, without stopping, nothing else done meanwhile"),
            item("clear of it", "the whole aeroplane past the far line, then say so"),
            item("lights after the runway", "as for taxiing"),
        ];
        list.stage("crossing", format!("Cross {name}"), Some(stop.at_m), items);
    }
}

/// Whether the nose wheel meets the middle line of a runway between two ways.
fn crosses(list: &List<'_>, runway: usize, from_m: f64, to_m: f64) -> bool {
    let line = &list.plan.field.runways[runway].line;
    let path = &list.route.path;
    let steps = ((to_m - from_m).max(0.0) / STEP_M).ceil() as usize;
    let nose = |i: usize| path.pose_at((from_m + i as f64 * STEP_M).min(to_m)).nose;
    (0..steps).any(|i| {
        let (a, b) = (nose(i), nose(i + 1));
        line.windows(2).any(|w| planar::crossing(a, b, w[0], w[1]).is_some())
    })
}
