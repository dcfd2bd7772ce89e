//! Hard limits: what this aeroplane may not use at all, with the reason in words.

use super::Block;
use super::search::World;
use crate::graph::{Segment, Source, TaxiGraph};
use crate::read::OVER_M;
use petgraph::graph::EdgeIndex;
use toeline_model::airfield::{Airfield, Closed, Closure, LaneKind, Surface};
use toeline_model::planar::{closest_on_line, length_inside, line_length, meets_ring};
use toeline_model::{Aircraft, Xy};

/// Pavement that must be left beside each outer main tyre, metres. Ours: half a metre is what a beginner needs at least
/// on a straight; the published designs ask 1.5 m of new taxiways (ICAO Annex 14, outer gear below 4.5 m).
pub(crate) const EDGE_LEFT_M: f64 = 0.5;

/// What a segment is called: "taxiway B", "unnamed taxilane", "runway 08/26", "stand 4".
pub(crate) fn name_of(field: &Airfield, segment: &Segment) -> String {
    match segment.source {
        Source::Lane(_, kind) => {
            let word = if kind == LaneKind::Taxiway {
                "taxiway"
            } else {
                "taxilane"
            };
            if segment.letters.is_empty() {
                format!("unnamed {word}")
            } else {
                format!("{word} {}", segment.letters.join("/"))
            }
        }
        Source::Runway(i) => runway_name(field, i),
        Source::Stand(i) => stand_name(field, i),
    }
}

/// "runway 08/26", or its feature when it has no designator.
pub(crate) fn runway_name(field: &Airfield, index: usize) -> String {
    let runway = &field.runways[index];
    match &runway.designators {
        [Some(a), Some(b)] => {
            let (low, high) = if a <= b { (a, b) } else { (b, a) };
            format!("runway {low}/{high}")
        }
        [Some(a), None] | [None, Some(a)] => format!("runway {a}"),
        [None, None] => format!("runway without designator ({})", runway.id),
    }
}

/// "stand 4", or its feature when it has no name.
pub(crate) fn stand_name(field: &Airfield, index: usize) -> String {
    let stand = &field.stands[index];
    match &stand.name {
        Some(name) => format!("stand {name}"),
        None => format!("stand without name ({})", stand.id),
    }
}

/// The feature a segment is a piece of.
pub(crate) fn feature_of(field: &Airfield, segment: &Segment) -> String {
    match segment.source {
        Source::Lane(i, _) => field.lanes[i].id.clone(),
        Source::Runway(i) => field.runways[i].id.clone(),
        Source::Stand(i) => field.stands[i].id.clone(),
    }
}

/// "taxiway B: closed by closed area W (works, until 2026-12-04T18:00Z)"; what closes itself is not named twice.
fn closed_by(name: &str, c: &Closure) -> String {
    if c.name == name {
        format!("{name}: closed ({})", c.words())
    } else {
        format!("{name}: closed by {} ({})", c.name, c.words())
    }
}

/// Whether a closure closes a segment: its own feature, a segment that an area holds or cuts, or one that leads on past a
/// closed holding position.
fn closes(field: &Airfield, graph: &TaxiGraph, c: &Closure, edge: EdgeIndex) -> bool {
    let s = graph.segment(edge);
    match &c.closed {
        Closed::Within(ring) => meets_ring(&s.line, ring),
        Closed::Pavement(ring) => length_inside(&s.line, ring) >= OVER_M,
        Closed::Stretch(line) => {
            matches!(s.source, Source::Lane(..)) && (runs_along(&s.line, line) || runs_along(line, &s.line))
        }
        Closed::Itself if feature_of(field, s) == c.id => true,
        Closed::Itself => graph.holds.iter().any(|h| {
            let own = h.position.is_some_and(|p| field.holding_positions[p].id == c.id);
            own && [true, false].into_iter().any(|forward| {
                let d = super::Directed { edge, forward };
                // Without a direction it stops traffic both ways.
                let beyond = h
                    .toward
                    .is_none_or(|t| d.sets_off(graph).to_rad(t).abs() < core::f64::consts::FRAC_PI_2);
                d.start(graph) == h.node && beyond
            })
        }),
    }
}

/// How near a segment runs beside a stretch to be a piece of it, metres: joining moves a line by less. Ours.
const BESIDE_M: f64 = 0.5;

/// Whether a line runs along another for the better part of its length; one that crosses it or begins on it does not.
fn runs_along(line: &[Xy], other: &[Xy]) -> bool {
    const PLACES: usize = 5;
    let length_m = line_length(line);
    let on = |k: &usize| {
        let p = along(line, length_m * (*k as f64 + 0.5) / PLACES as f64);
        closest_on_line(p, other).is_some_and(|(q, _, _)| q.distance(p) <= BESIDE_M)
    };
    (0..PLACES).filter(on).count() * 2 > PLACES
}

/// The place on a line so far from its beginning.
fn along(line: &[Xy], at_m: f64) -> Xy {
    let mut left_m = at_m;
    for w in line.windows(2) {
        let length_m = w[0].distance(w[1]);
        if left_m <= length_m && length_m > 0.0 {
            return w[0].lerp(w[1], left_m / length_m);
        }
        left_m -= length_m;
    }
    line[line.len() - 1]
}

/// The closure in force on a holding position, in a sentence.
pub(crate) fn hold_closed(field: &Airfield, position: usize) -> Option<String> {
    let h = &field.holding_positions[position];
    let name = format!("holding position {}", h.name.as_ref().unwrap_or(&h.id));
    let by = field.closures.iter().find(|c| match &c.closed {
        Closed::Itself => c.id == h.id,
        Closed::Within(ring) | Closed::Pavement(ring) => meets_ring(&[h.at], ring),
        Closed::Stretch(_) => false,
    });
    by.map(|c| closed_by(&name, c))
}

/// The closure in force on an engine-check area, in a sentence: its own, or one that reaches into it.
pub(crate) fn area_closed(field: &Airfield, index: usize) -> Option<String> {
    let area = &field.check_areas[index];
    let name = format!("engine-check area {}", area.name.as_ref().unwrap_or(&area.id));
    let ring: Vec<_> = area.outer.iter().chain(area.outer.first()).copied().collect();
    let by = field.closures.iter().find(|c| match &c.closed {
        Closed::Itself | Closed::Stretch(_) => false,
        Closed::Within(closed) | Closed::Pavement(closed) => {
            meets_ring(&ring, closed) || meets_ring(closed, &area.outer)
        }
    });
    by.map(|c| closed_by(&name, c))
}

/// Why this aeroplane may not use a segment; `None` when it may.
pub fn blocked(field: &Airfield, graph: &TaxiGraph, aircraft: &Aircraft, edge: EdgeIndex) -> Option<String> {
    all_limits(field, graph, aircraft, edge).into_iter().next()
}

/// Every limit that keeps this aeroplane off a segment, each in a sentence; empty when it may use it.
pub fn all_limits(field: &Airfield, graph: &TaxiGraph, aircraft: &Aircraft, edge: EdgeIndex) -> Vec<String> {
    let s = graph.segment(edge);
    let mut list = closures_on(field, graph, edge);
    let mut say = |why: String| list.push(format!("{}: {why}", name_of(field, s)));
    if let Some(limit) = s.span_limit_m
        && aircraft.wing.span_m > limit
    {
        let span = aircraft.wing.span_m;
        say(format!("spans up to {limit} m only, this wing has {span} m"));
    }
    if let Some(width) = s.width_m {
        let needed = aircraft.outer_gear_m() + 2.0 * EDGE_LEFT_M;
        if width < needed && !matches!(s.source, Source::Stand(_)) {
            say(format!("pavement {width} m wide, this gear needs {needed:.1} m"));
        }
    }
    match s.surface {
        Surface::Water => say("water".to_string()),
        Surface::Grass if !aircraft.taxi.grass => say("grass, which this aeroplane may not taxi on".to_string()),
        Surface::Loose if !aircraft.taxi.loose => {
            say("loose surface, which this aeroplane may not taxi on".to_string());
        }
        _ => {}
    }
    list
}

/// Every closure of a segment, each in a sentence: its own mark first, then the dated ones.
pub(crate) fn closures_on(field: &Airfield, graph: &TaxiGraph, edge: EdgeIndex) -> Vec<String> {
    let s = graph.segment(edge);
    let name = name_of(field, s);
    let own = s.closed.as_ref().map(|why| format!("{name}: closed ({why})"));
    let dated = field.closures.iter().filter(|c| closes(field, graph, c, edge));
    own.into_iter().chain(dated.map(|c| closed_by(&name, c))).collect()
}

/// Every limit on a stand's own segments: its span, its closure.
pub(super) fn on_stand(world: World<'_>, stand: usize) -> Vec<Block> {
    let World { field, graph, aircraft } = world;
    let mut list: Vec<Block> = Vec::new();
    for edge in graph
        .graph
        .edge_indices()
        .filter(|e| graph.segment(*e).source == Source::Stand(stand))
    {
        for text in all_limits(field, graph, aircraft, edge) {
            if list.iter().all(|b| b.text != text) {
                let s = graph.segment(edge);
                list.push(Block {
                    feature: feature_of(field, s),
                    text,
                    at: s.line[s.line.len() / 2],
                });
            }
        }
    }
    list
}
