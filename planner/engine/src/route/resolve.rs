//! Names in a request become places on the map.

use super::Block;
use super::error::RouteError;
use super::limits;
use super::search::Directed;
use crate::graph::{Hold, Source, TaxiGraph};
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::airfield::Airfield;
use toeline_model::frame::Xy;
use toeline_model::{planar, units};

/// How far from an area's edge a lane may run and still lead to it, metres (ours).
pub(super) const AREA_REACH_M: f64 = 15.0;
/// How far past the first entry a runway entry still counts as the full length, metres (ours).
const FULL_LENGTH_M: f64 = 40.0;

/// Whether two names are one, whatever their letter case and the blanks around them.
pub(crate) fn same(a: &str, b: &str) -> bool {
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

/// What a name answers to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Asked {
    /// Index in the airfield's engine-check areas.
    Area(usize),
    /// Index in the airfield's stands.
    Stand(usize),
    /// Index in the graph's holding positions.
    Hold(usize),
}

/// The engine-check area, stand or holding position with a name or a feature id. A name that two kinds have is asked about;
/// "area", "stand" or "holding position" before it says which.
pub(super) fn any_place(field: &Airfield, graph: &TaxiGraph, asked: &str) -> Result<Asked, RouteError> {
    let mut things: Vec<(Option<String>, String, Asked, &str)> = Vec::new();
    for (i, a) in field.check_areas.iter().enumerate() {
        things.push((a.name.clone(), a.id.clone(), Asked::Area(i), "area"));
    }
    for (i, s) in field.stands.iter().enumerate() {
        things.push((s.name.clone(), s.id.clone(), Asked::Stand(i), "stand"));
    }
    for (i, h) in graph.holds.iter().enumerate() {
        if let Some(p) = h.position {
            let id = field.holding_positions[p].id.clone();
            things.push((Some(h.name.clone()), id, Asked::Hold(i), "holding position"));
        }
    }
    let lower = asked.trim().to_lowercase();
    let kind = ["engine-check area", "area", "stand", "holding position"]
        .into_iter()
        .find(|k| lower.strip_prefix(k).is_some_and(|rest| rest.starts_with(' ')));
    // A name that begins with such a word is tried as it stands first.
    let by = |wanted: &str, kind: Option<&str>| -> Result<usize, RouteError> {
        let of_kind = |k: &str| kind.is_none_or(|kind| kind.ends_with(k));
        let list: Vec<usize> = (0..things.len()).filter(|i| of_kind(things[*i].3)).collect();
        let named: Vec<_> = list
            .iter()
            .map(|i| (things[*i].0.as_deref(), things[*i].1.as_str()))
            .collect();
        let what = "engine-check area, stand or holding position";
        pick(what, wanted, &named).map(|k| list[k])
    };
    let found = match (by(asked, None), kind) {
        (Err(RouteError::Unknown { .. }), Some(kind)) => by(&asked.trim()[kind.len()..], Some(kind)),
        (whole, _) => whole,
    };
    found.map(|i| things[i].2)
}

/// The holding position with a name or feature id, `None` when there is none.
///
/// # Errors
/// Several of that name.
pub(super) fn hold_named(field: &Airfield, graph: &TaxiGraph, asked: &str) -> Result<Option<usize>, RouteError> {
    let by_name: Vec<usize> = (0..graph.holds.len())
        .filter(|i| {
            let h = &graph.holds[*i];
            same(&h.name, asked) || h.position.is_some_and(|p| same(&field.holding_positions[p].id, asked))
        })
        .collect();
    match by_name.as_slice() {
        [] => Ok(None),
        [one] => Ok(Some(*one)),
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

/// Directed segments that arrive at a holding position from the side where one holds.
pub(super) fn arriving(graph: &TaxiGraph, hold: &Hold) -> BTreeSet<Directed> {
    let mut list = BTreeSet::new();
    for e in graph.graph.edges(hold.node) {
        let edge = e.id();
        let s = graph.segment(edge);
        for forward in [true, false] {
            let d = Directed { edge, forward };
            let arrives_here = if forward { s.to } else { s.from } == hold.node;
            // Only from the side away from the runway: that is where one holds.
            let right_side = hold.toward.is_none_or(|t| d.arrives(graph).to_rad(t).abs() < 1.6);
            if arrives_here && right_side && !matches!(s.source, Source::Runway(_)) {
                list.insert(d);
            }
        }
    }
    list
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
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Destination {
    /// Directed segments that arrive there, with the extra price, milliseconds.
    pub(crate) ends: BTreeMap<Directed, u64>,
    /// The runway that is meant, with its designator.
    pub(crate) runway: Option<(usize, String)>,
    /// Index in the graph's holds for each node.
    pub(crate) holds: BTreeMap<NodeIndex, usize>,
    /// Metres of runway lost before each node's entry, where known.
    pub(crate) past_threshold_m: BTreeMap<NodeIndex, f64>,
    /// The stand that is meant, index in the airfield.
    pub(crate) stand: Option<usize>,
    /// The runway direction at whose threshold it ends, on the runway: "03".
    pub(crate) threshold: Option<String>,
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
    if let Some(one) = hold_named(field, graph, asked)? {
        let mut out = Destination::default();
        add_hold(field, graph, one, 0, &mut out);
        if out.ends.is_empty() {
            return Err(RouteError::NoEntry {
                place: format!("holding position {asked}"),
            });
        }
        return Ok(out);
    }
    match stand(field, asked) {
        Ok(stand) => stand_end(field, graph, stand),
        Err(RouteError::Unknown { .. }) => {
            if let Some((i, k)) = threshold(field, asked) {
                return threshold_end(field, graph, i, k, asked);
            }
            names.extend(graph.holds.iter().map(|h| h.name.clone()));
            names.extend(field.stands.iter().filter_map(|s| s.name.clone()));
            Err(RouteError::Unknown {
                what: "runway, holding position or stand",
                asked: asked.to_string(),
                near: near(asked, names.iter().map(String::as_str)),
                count: names.len(),
            })
        }
        Err(e) => Err(e),
    }
}

/// The runway and its end that "threshold 03" asks for.
fn threshold(field: &Airfield, asked: &str) -> Option<(usize, usize)> {
    let lower = asked.trim().to_lowercase();
    let wanted = lower.strip_prefix("threshold ")?;
    let ends = field.runways.iter().enumerate();
    let mut all = ends.flat_map(|(i, r)| (0..2).filter_map(move |k| Some((i, k, r.designators[k].as_ref()?))));
    all.find(|(_, _, d)| same(d, wanted)).map(|(i, k, _)| (i, k))
}

/// On the runway at a threshold: where no lane leads there, the way backtracks along the runway.
fn threshold_end(
    field: &Airfield,
    graph: &TaxiGraph,
    runway: usize,
    end: usize,
    asked: &str,
) -> Result<Destination, RouteError> {
    let line = &field.runways[runway].line;
    let at = if end == 0 { line[0] } else { line[line.len() - 1] };
    let pieces = graph.graph.edge_indices();
    let pieces = pieces.filter(|e| graph.segment(*e).source == Source::Runway(runway));
    let both = pieces.flat_map(|edge| [true, false].map(|forward| Directed { edge, forward }));
    let away = |d: &Directed| units::round_to(graph.at(d.end(graph)).distance(at), 3);
    let nearest = both.min_by(|a, b| away(a).total_cmp(&away(b)).then(a.cmp(b)));
    let Some(last) = nearest.filter(|d| away(d) < 1.0) else {
        return Err(RouteError::NoEntry {
            place: asked.to_string(),
        });
    };
    let node = last.end(graph);
    let arriving = super::departure::leading(graph, node)
        .into_iter()
        .map(Directed::reversed);
    let ends = arriving.filter(|d| !matches!(graph.segment(d.edge).source, Source::Stand(_)));
    Ok(Destination {
        ends: ends.map(|d| (d, 0)).collect(),
        threshold: field.runways[runway].designators[end].clone(),
        ..Destination::default()
    })
}

/// On a stand, nose wheel on its mark.
fn stand_end(field: &Airfield, graph: &TaxiGraph, stand: usize) -> Result<Destination, RouteError> {
    let place = graph.stands.iter().find(|p| p.stand == stand);
    let place = place.ok_or_else(|| RouteError::NotJoined {
        place: limits::stand_name(field, stand),
    })?;
    let ends = super::by::into_stand(graph, place)
        .into_iter()
        .map(|d| (d, 0))
        .collect();
    Ok(Destination {
        ends,
        stand: Some(stand),
        ..Destination::default()
    })
}

/// These holding positions, whichever is cheapest, for a runway when one is meant.
pub(crate) fn at_holds(
    field: &Airfield,
    graph: &TaxiGraph,
    holds: &[usize],
    runway: Option<(usize, String)>,
) -> Destination {
    let mut out = Destination {
        runway,
        ..Destination::default()
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
        let named = |d: &String| {
            ["", "runway ", "threshold "]
                .iter()
                .any(|w| same(&format!("{w}{d}"), asked))
        };
        if r.designators.iter().flatten().any(named) {
            return match &r.closed {
                Some(why) => Some(Block {
                    feature: r.id.clone(),
                    text: format!("{}: closed ({why})", limits::runway_name(field, i)),
                    at: r.line[0],
                }),
                None => all_entries_closed(field, graph, i),
            };
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

/// The first of a runway's holding positions, where every one of them is closed.
fn all_entries_closed(field: &Airfield, graph: &TaxiGraph, runway: usize) -> Option<Block> {
    let guards = |h: &&crate::graph::Hold| h.guards == Some(runway) && h.runway_node.is_some();
    let closed = |h: &crate::graph::Hold| {
        let at = &field.holding_positions[h.position?];
        limits::hold_closed(field, h.position?).map(|text| Block {
            feature: at.id.clone(),
            text,
            at: at.at,
        })
    };
    let all: Option<Vec<Block>> = graph.holds.iter().filter(guards).map(closed).collect();
    all?.into_iter().next()
}

fn add_hold(field: &Airfield, graph: &TaxiGraph, index: usize, extra_ms: u64, out: &mut Destination) {
    let hold = &graph.holds[index];
    if hold.position.is_some_and(|p| limits::hold_closed(field, p).is_some()) {
        return;
    }
    for d in arriving(graph, hold) {
        let price = out.ends.entry(d).or_insert(extra_ms);
        *price = extra_ms.min(*price);
        out.holds.insert(hold.node, index);
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
        runway: Some((runway, designator.to_string())),
        ..Destination::default()
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
