//! Names in a request become places on the map.

use super::Block;
use super::error::RouteError;
use super::limits;
use super::search::Directed;
use crate::graph::{Source, TaxiGraph};
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use std::collections::BTreeMap;
use toeline_model::airfield::Airfield;
use toeline_model::frame::Xy;
use toeline_model::planar;

/// How far from an area's edge a lane may run and still lead to it, metres (ours).
pub(super) const AREA_REACH_M: f64 = 15.0;
/// How far past the first entry a runway entry still counts as the full length, metres (ours).
const FULL_LENGTH_M: f64 = 40.0;

fn same(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// Near names for a slip of the keyboard, best first, at most five.
pub(crate) fn near<'a>(asked: &str, names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let asked = asked.trim().to_lowercase();
    let mut list: Vec<(i64, String)> = names
        .map(|n| {
            let likeness = strsim::jaro_winkler(&asked, &n.to_lowercase());
            ((likeness * 1000.0).round() as i64, n.to_string())
        })
        .filter(|(likeness, n)| *likeness >= 600 || n.to_lowercase().starts_with(&asked))
        .collect();
    list.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    list.dedup();
    list.into_iter().take(5).map(|(_, n)| n).collect()
}

/// Picks the one thing that answers to a name or a feature id.
fn pick(what: &'static str, asked: &str, things: &[(Option<&str>, &str)]) -> Result<usize, RouteError> {
    let by_id: Vec<usize> = (0..things.len()).filter(|i| same(things[*i].1, asked)).collect();
    let by_name: Vec<usize> = (0..things.len())
        .filter(|i| things[*i].0.is_some_and(|n| same(n, asked)))
        .collect();
    let found = if by_name.is_empty() { by_id } else { by_name };
    match found.as_slice() {
        [one] => Ok(*one),
        [] => Err(RouteError::Unknown {
            what,
            asked: asked.to_string(),
            near: near(asked, things.iter().map(|(n, id)| n.unwrap_or(id))),
            count: things.len(),
        }),
        several => Err(RouteError::Ambiguous {
            what,
            asked: asked.to_string(),
            choices: several.iter().map(|i| things[*i].1.to_string()).collect(),
        }),
    }
}

/// The stand that answers to a name or a feature id, whatever its letter case: its index in the airfield.
///
/// # Errors
/// No such stand, with near names, or several of that name.
pub fn stand(field: &Airfield, asked: &str) -> Result<usize, RouteError> {
    let things: Vec<_> = field
        .stands
        .iter()
        .map(|s| (s.name.as_deref(), s.id.as_str()))
        .collect();
    pick("stand", asked, &things)
}

/// The engine-check area with a name: its index in the airfield.
pub(super) fn check_area(field: &Airfield, asked: &str) -> Result<usize, RouteError> {
    let things: Vec<_> = field
        .check_areas
        .iter()
        .map(|s| (s.name.as_deref(), s.id.as_str()))
        .collect();
    pick("engine-check area", asked, &things)
}

/// Directed segments that pass an area.
pub(super) fn segments_at(graph: &TaxiGraph, outer: &[Xy]) -> Vec<Directed> {
    let mut list = Vec::new();
    for edge in graph.graph.edge_indices() {
        let s = graph.segment(edge);
        if !matches!(s.source, Source::Lane(..)) {
            continue;
        }
        let shape = planar::Shape::Line { points: s.line.clone() };
        if planar::outline_to_shape(outer, &shape).distance_m <= AREA_REACH_M {
            list.push(Directed { edge, forward: true });
            list.push(Directed { edge, forward: false });
        }
    }
    list
}

/// Where a request ends.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Destination {
    /// Directed segments that arrive there, with the extra price, milliseconds.
    pub(crate) ends: BTreeMap<Directed, u64>,
    /// The runway that is meant, with its designator.
    pub(crate) runway: Option<(usize, String)>,
    /// Index in the graph's holds for each node.
    pub(crate) holds: BTreeMap<NodeIndex, usize>,
    /// Metres of runway lost before each node's entry, where known.
    pub(crate) past_threshold_m: BTreeMap<NodeIndex, f64>,
}

/// Price of each metre of runway left behind by joining past the threshold, milliseconds (ours).
const LOST_RUNWAY_MS_PER_M: f64 = 600.0;

/// A runway designator or a holding position.
pub(crate) fn destination(field: &Airfield, graph: &TaxiGraph, asked: &str) -> Result<Destination, RouteError> {
    let mut names: Vec<String> = Vec::new();
    for (i, runway) in field.runways.iter().enumerate() {
        for (k, designator) in runway.designators.iter().enumerate() {
            let Some(d) = designator else { continue };
            if same(d, asked) || same(&format!("runway {d}"), asked) {
                return runway_end(field, graph, i, k, d);
            }
            names.push(d.clone());
        }
    }
    let by_name: Vec<usize> = (0..graph.holds.len())
        .filter(|i| {
            let h = &graph.holds[*i];
            same(&h.name, asked) || h.position.is_some_and(|p| same(&field.holding_positions[p].id, asked))
        })
        .collect();
    match by_name.as_slice() {
        [one] => {
            let mut out = Destination {
                ends: BTreeMap::new(),
                runway: None,
                holds: BTreeMap::new(),
                past_threshold_m: BTreeMap::new(),
            };
            add_hold(field, graph, *one, 0, &mut out);
            if out.ends.is_empty() {
                return Err(RouteError::NoEntry {
                    place: format!("holding position {asked}"),
                });
            }
            Ok(out)
        }
        [] => {
            names.extend(graph.holds.iter().map(|h| h.name.clone()));
            Err(RouteError::Unknown {
                what: "runway or holding position",
                asked: asked.to_string(),
                near: near(asked, names.iter().map(String::as_str)),
                count: names.len(),
            })
        }
        several => Err(RouteError::Ambiguous {
            what: "holding position",
            asked: asked.to_string(),
            choices: several
                .iter()
                .map(|i| match graph.holds[*i].position {
                    Some(p) => field.holding_positions[p].id.clone(),
                    None => graph.holds[*i].name.clone(),
                })
                .collect(),
        }),
    }
}

/// These holding positions, whichever is cheapest, for a runway when one is meant.
pub(crate) fn at_holds(
    field: &Airfield,
    graph: &TaxiGraph,
    holds: &[usize],
    runway: Option<(usize, String)>,
) -> Destination {
    let mut out = Destination {
        ends: BTreeMap::new(),
        runway,
        holds: BTreeMap::new(),
        past_threshold_m: BTreeMap::new(),
    };
    for hold in holds {
        add_hold(field, graph, *hold, 0, &mut out);
    }
    out
}

/// A place asked for that is closed: its feature and the sentence. Names are those of [`destination`]; what is not on the map
/// is left to it.
pub(crate) fn closed_end(field: &Airfield, graph: &TaxiGraph, asked: &str) -> Option<Block> {
    for (i, r) in field.runways.iter().enumerate() {
        let named = |d: &String| same(d, asked) || same(&format!("runway {d}"), asked);
        if r.designators.iter().flatten().any(named) {
            let why = r.closed.as_ref()?;
            return Some(Block {
                feature: r.id.clone(),
                text: format!("{}: closed ({why})", limits::runway_name(field, i)),
                at: r.line[0],
            });
        }
    }
    let mut named = graph.holds.iter().filter_map(|h| {
        let p = h.position?;
        (same(&h.name, asked) || same(&field.holding_positions[p].id, asked)).then_some(p)
    });
    let (Some(p), None) = (named.next(), named.next()) else {
        return None;
    };
    let h = &field.holding_positions[p];
    limits::hold_closed(field, p).map(|text| Block {
        feature: h.id.clone(),
        text,
        at: h.at,
    })
}

fn add_hold(field: &Airfield, graph: &TaxiGraph, index: usize, extra_ms: u64, out: &mut Destination) {
    let hold = &graph.holds[index];
    if hold.position.is_some_and(|p| limits::hold_closed(field, p).is_some()) {
        return;
    }
    for e in graph.graph.edges(hold.node) {
        let edge = e.id();
        let s = graph.segment(edge);
        for forward in [true, false] {
            let d = Directed { edge, forward };
            let arrives_here = if forward { s.to } else { s.from } == hold.node;
            // Only from the side away from the runway: that is where one holds.
            let right_side = hold.toward.is_none_or(|t| d.arrives(graph).to_rad(t).abs() < 1.6);
            if arrives_here && right_side && !matches!(s.source, Source::Runway(_)) {
                out.ends.insert(d, extra_ms);
                out.holds.insert(hold.node, index);
            }
        }
    }
}

fn runway_end(
    field: &Airfield,
    graph: &TaxiGraph,
    runway: usize,
    end: usize,
    designator: &str,
) -> Result<Destination, RouteError> {
    let line = &field.runways[runway].line;
    let threshold = if end == 0 { line[0] } else { line[line.len() - 1] };
    let mut out = Destination {
        ends: BTreeMap::new(),
        runway: Some((runway, designator.to_string())),
        holds: BTreeMap::new(),
        past_threshold_m: BTreeMap::new(),
    };
    for (i, hold) in graph.holds.iter().enumerate() {
        if hold.guards != Some(runway) {
            continue;
        }
        let Some(entry) = hold.runway_node else { continue };
        let past = graph.at(entry).distance(threshold);
        let lost = if past <= FULL_LENGTH_M { 0.0 } else { past };
        add_hold(field, graph, i, (lost * LOST_RUNWAY_MS_PER_M).round() as u64, &mut out);
        out.past_threshold_m.insert(hold.node, past);
    }
    if out.ends.is_empty() {
        return Err(RouteError::NoEntry {
            place: format!("runway {designator}"),
        });
    }
    Ok(out)
}
