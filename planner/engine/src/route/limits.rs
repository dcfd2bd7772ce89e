//! Hard limits: what this aeroplane may not use at all, with the reason in words.

use crate::graph::{Segment, Source, TaxiGraph};
use petgraph::graph::EdgeIndex;
use toeline_model::Aircraft;
use toeline_model::airfield::{Airfield, LaneKind, Surface};

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

/// Why this aeroplane may not use a segment; `None` when it may.
pub fn blocked(field: &Airfield, graph: &TaxiGraph, aircraft: &Aircraft, edge: EdgeIndex) -> Option<String> {
    let s = graph.segment(edge);
    let name = name_of(field, s);
    if let Some(why) = &s.closed {
        return Some(format!("{name}: closed ({why})"));
    }
    if let Some(limit) = s.span_limit_m
        && aircraft.wing.span_m > limit
    {
        return Some(format!(
            "{name}: spans up to {limit} m only, this wing has {} m",
            aircraft.wing.span_m
        ));
    }
    if let Some(width) = s.width_m {
        let needed = aircraft.outer_gear_m() + 2.0 * EDGE_LEFT_M;
        if width < needed && !matches!(s.source, Source::Stand(_)) {
            return Some(format!(
                "{name}: pavement {width} m wide, this gear needs {needed:.1} m"
            ));
        }
    }
    match s.surface {
        Surface::Water => Some(format!("{name}: water")),
        Surface::Grass if !aircraft.taxi.grass => Some(format!("{name}: grass, which this aeroplane may not taxi on")),
        Surface::Loose if !aircraft.taxi.loose => {
            Some(format!("{name}: loose surface, which this aeroplane may not taxi on"))
        }
        _ => None,
    }
}
