//! Where a way begins: a stand, a holding position, a bare point on the apron, or where an aeroplane that has landed leaves its runway.

use super::departure::{self, Departure, leading};
use super::error::RouteError;
use super::limits;
use super::resolve::{self, same};
use super::search::World;
use super::{apron, over_apron};
use crate::graph::{Hold, TaxiGraph};
use crate::request::Request;
use std::collections::BTreeMap;
use toeline_model::units::KNOT_MPS;

/// Runway from the threshold that is not left before, because the aeroplane is still rolling, metres (ours).
pub(super) const LANDING_ROLL_M: f64 = 300.0;

/// Finds where a request begins.
///
/// # Errors
/// A name that the map does not have, or a place that nothing leads away from.
pub(super) fn origin(world: World<'_>, request: &Request) -> Result<Departure, RouteError> {
    if let Some(off) = apron::place(world, request)? {
        return Ok(over_apron::leaving(world, request, &off));
    }
    let World { field, graph, .. } = world;
    let asked = request.from.as_str();
    let no_stand = match resolve::stand(field, asked) {
        Ok(stand) => {
            let place = graph.stands.iter().find(|p| p.stand == stand);
            let place = place.ok_or_else(|| RouteError::NotJoined {
                place: limits::stand_name(field, stand),
            })?;
            return departure::of_stand(world, request.parked_heading, place, false);
        }
        Err(e @ RouteError::Unknown { .. }) => e,
        Err(e) => return Err(e),
    };
    for (i, runway) in field.runways.iter().enumerate() {
        for (k, designator) in runway.designators.iter().enumerate() {
            if let Some(d) = designator
                && (same(d, asked) || same(&format!("runway {d}"), asked))
            {
                return off_runway(world, i, k, d);
            }
        }
    }
    match resolve::hold_named(field, graph, asked)? {
        Some(index) => {
            let hold = &graph.holds[index];
            let starts = away(world, hold).map(|d| (d, 0)).collect();
            begin(graph, format!("holding position {}", hold.name), hold, starts)
        }
        None => Err(no_stand),
    }
}

/// Segments that lead away from what a holding position guards; all where it guards nothing.
fn away<'a>(world: World<'a>, hold: &'a Hold) -> impl Iterator<Item = super::Directed> + 'a {
    let graph = world.graph;
    let off = move |d: &super::Directed| hold.toward.is_none_or(|t| d.sets_off(graph).to_rad(t).abs() > 1.6);
    leading(graph, hold.node).into_iter().filter(off)
}

/// After a landing: by any exit that lies beyond the landing roll, or by any where none does. The time along the runway to
/// each is in the price.
fn off_runway(world: World<'_>, runway: usize, end: usize, designator: &str) -> Result<Departure, RouteError> {
    let graph = world.graph;
    let line = &world.field.runways[runway].line;
    let threshold = if end == 0 { line[0] } else { line[line.len() - 1] };
    let speed_mps = world.aircraft.taxi.straight_kt * KNOT_MPS;
    let exits: Vec<(f64, &Hold)> = graph
        .holds
        .iter()
        .filter(|h| h.guards == Some(runway))
        .filter_map(|h| Some((graph.at(h.runway_node?).distance(threshold), h)))
        .collect();
    let beyond = exits.iter().any(|e| e.0 >= LANDING_ROLL_M);
    let mut starts = BTreeMap::new();
    let mut first: Option<&Hold> = None;
    for (roll_m, hold) in exits.into_iter().filter(|e| !beyond || e.0 >= LANDING_ROLL_M) {
        for d in away(world, hold) {
            let extra = (roll_m / speed_mps * 1000.0).ceil() as u64;
            let price = starts.entry(d).or_insert(extra);
            *price = extra.min(*price);
            first = first.or(Some(hold));
        }
    }
    let name = format!("runway {designator}");
    match first {
        Some(hold) => begin(graph, name, hold, starts),
        None => Err(RouteError::NoEntry { place: name }),
    }
}

fn begin(
    graph: &TaxiGraph,
    name: String,
    hold: &Hold,
    starts: BTreeMap<super::Directed, u64>,
) -> Result<Departure, RouteError> {
    if starts.is_empty() {
        return Err(RouteError::NoEntry { place: name });
    }
    Ok(Departure {
        name,
        pose: None,
        starts,
        at: graph.at(hold.node),
        pushed: None,
        over: None,
        doubts: Vec::new(),
    })
}
