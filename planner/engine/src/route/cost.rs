//! The price of a way: time at this aeroplane's taxi speeds, plus stated penalties. Whole milliseconds, so that equal
//! ways tie the same on every machine.

use crate::graph::{Segment, Source};
use toeline_model::airfield::{LaneKind, NamedArea};
use toeline_model::units::{DEG, KNOT_MPS};
use toeline_model::{Aircraft, Xy, planar};

/// Crossing or entering a runway, seconds (ours): stopping, looking, asking.
pub(crate) const RUNWAY_CROSSING_S: f64 = 60.0;
/// Rolling along a runway, seconds for each segment on top of its time (ours).
pub(crate) const ALONG_RUNWAY_S: f64 = 90.0;
/// Passing a hot spot, seconds (ours).
pub(crate) const HOT_SPOT_S: f64 = 20.0;
/// Passing a helipad within half a wing span, seconds (ours): stopping, looking up, asking.
pub(crate) const HELIPAD_S: f64 = 60.0;
/// A turn sharper than [`SHARP_TURN_DEG`], seconds (ours).
pub(crate) const SHARP_TURN_S: f64 = 15.0;
/// Beyond this a turn is called sharp, degrees (ours).
pub(crate) const SHARP_TURN_DEG: f64 = 100.0;
/// Sharper than this no turn is made at all, degrees (ours): it would be turning back on the spot.
pub(crate) const GREATEST_TURN_DEG: f64 = 150.0;
/// Below this a bend is no turn, degrees (ours).
pub(crate) const BEND_DEG: f64 = 5.0;
/// Speed of pushing by hand, metres per second (ours: a slow walk).
pub(crate) const PUSH_MPS: f64 = 0.5;
/// Free width beyond the wing tip under which a lane is taken at apron speed, metres (ours).
pub(crate) const CLOSE_BESIDE_M: f64 = 5.0;

/// Pavement beyond the outer main tyres under which a lane is taken at apron speed, metres: the wheel-to-edge clearance
/// that ICAO Annex 14 gives outer gear spans below 4.5 m.
pub(crate) const NARROW_BESIDE_M: f64 = 1.5;

/// Radius of the nose wheel's way that a pilot takes where there is room, metres: a third more than full steering asks,
/// and never below 8 m (ours).
pub(crate) fn easy_radius_m(aircraft: &Aircraft) -> f64 {
    let steering = aircraft.steering_radius_m();
    if steering.is_finite() {
        (1.3 * steering).max(8.0)
    } else {
        8.0
    }
}

/// Speed intended on a segment, metres per second. A taxiway without a letter is taken at apron speed (ours): no taxi
/// instruction can name it, and it is most often a link across an apron.
pub(crate) fn segment_speed_mps(aircraft: &Aircraft, s: &Segment) -> f64 {
    let open = match s.source {
        Source::Lane(_, LaneKind::Taxiway) if !s.letters.is_empty() => aircraft.taxi.straight_kt,
        Source::Runway(_) => aircraft.taxi.straight_kt,
        Source::Lane(..) | Source::Stand(_) => aircraft.taxi.apron_kt,
    } * KNOT_MPS;
    let close = s
        .nearest_obstacle_m
        .is_some_and(|d| d < aircraft.wing.span_m / 2.0 + CLOSE_BESIDE_M);
    let narrow = s
        .width_m
        .is_some_and(|w| w < aircraft.outer_gear_m() + 2.0 * NARROW_BESIDE_M);
    let open = if close || narrow {
        open.min(aircraft.taxi.apron_kt * KNOT_MPS)
    } else {
        open
    };
    s.speed_limit_mps.map_or(open, |limit| open.min(limit))
}

/// Rounded up, so that the straight-line time at top speed never overestimates.
fn ms(seconds: f64) -> u64 {
    (seconds * 1000.0).ceil().max(0.0) as u64
}

/// Terms for running along a segment in one sense: what, and milliseconds. The first is its time. A hot spot is charged
/// where it is entered, so that a lane cut into many segments does not pay for it twice.
pub fn segment_cost(
    aircraft: &Aircraft,
    s: &Segment,
    forward: bool,
    hot_spots: &[NamedArea],
    name: &str,
) -> Vec<(String, u64)> {
    let speed = segment_speed_mps(aircraft, s);
    let mut terms = vec![(
        format!("{name}, {:.1} m at {:.1} kt", s.length_m, speed / KNOT_MPS),
        ms(s.length_m / speed),
    )];
    if matches!(s.source, Source::Runway(_)) {
        terms.push((format!("along {name}"), ms(ALONG_RUNWAY_S)));
    }
    let first = if forward { s.line[0] } else { s.line[s.line.len() - 1] };
    for h in hot_spots.iter().filter(|h| !planar::inside_ring(first, &h.outer)) {
        let touches = s.line.iter().any(|p| planar::inside_ring(*p, &h.outer))
            || s.line
                .windows(2)
                .any(|w| planar::ring_edges(&h.outer).any(|(a, b)| planar::crossing(w[0], w[1], a, b).is_some()));
        if touches {
            let called = h.name.as_deref().unwrap_or("without name");
            terms.push((format!("hot spot {called}"), ms(HOT_SPOT_S)));
        }
    }
    terms
}

/// Terms for the helipads that a wing would pass over along a segment, charged where each is come to.
pub(crate) fn helipad_cost(
    aircraft: &Aircraft,
    s: &Segment,
    forward: bool,
    helipads: &[NamedArea],
) -> Vec<(String, u64)> {
    let first = if forward { s.line[0] } else { s.line[s.line.len() - 1] };
    let reach_m = aircraft.wing.span_m / 2.0;
    let off_m = |pad: &NamedArea, line: &[Xy]| {
        let points = line.to_vec();
        let inside = planar::meets_ring(line, &pad.outer);
        let shape = planar::Shape::Line { points };
        if inside {
            0.0
        } else {
            planar::outline_to_shape(&pad.outer, &shape).distance_m
        }
    };
    let passed = helipads
        .iter()
        .filter(|pad| off_m(pad, &s.line) <= reach_m && off_m(pad, &[first, first]) > reach_m);
    passed.map(|pad| (helipad_words(pad), ms(HELIPAD_S))).collect()
}

/// "pass helipad H1 (way/7)".
pub(crate) fn helipad_words(pad: &NamedArea) -> String {
    match &pad.name {
        Some(name) => format!("pass helipad {name} ({})", pad.id),
        None => format!("pass helipad without name ({})", pad.id),
    }
}

/// Terms for turning by an angle (radians, left positive) from one segment to the next; `None` when the turn is sharper
/// than any that is made.
pub fn turn_cost(aircraft: &Aircraft, from: &Segment, to: &Segment, left_rad: f64) -> Option<Vec<(String, u64)>> {
    let mut terms = Vec::new();
    let deg = left_rad.abs() / DEG;
    if deg > GREATEST_TURN_DEG {
        return None;
    }
    if deg > BEND_DEG {
        let radius = easy_radius_m(aircraft);
        let slow = aircraft.turn_speed_mps(radius);
        let speed = segment_speed_mps(aircraft, from).min(segment_speed_mps(aircraft, to));
        let arc = radius * left_rad.abs();
        let lost = if slow < speed { arc / slow - arc / speed } else { 0.0 };
        let side = if left_rad > 0.0 { "left" } else { "right" };
        let sharp = if deg > SHARP_TURN_DEG { SHARP_TURN_S } else { 0.0 };
        terms.push((format!("turn {side} {deg:.0} deg"), ms(lost + sharp)));
    }
    Some(terms)
}

/// Terms for what happens at a runway node between two segments.
pub(crate) fn runway_cost(from: &Segment, to: &Segment, at_runway: Option<&str>) -> Vec<(String, u64)> {
    let on = |s: &Segment| matches!(s.source, Source::Runway(_));
    match at_runway {
        Some(name) if !on(from) && !on(to) => vec![(format!("cross {name}"), ms(RUNWAY_CROSSING_S))],
        Some(name) if !on(from) => vec![(format!("enter {name}"), ms(RUNWAY_CROSSING_S))],
        _ => Vec::new(),
    }
}
