//! One try: resolve the names, search, and hand the segments found to be assembled into a route.

use super::assemble::{Trip, assemble};
use super::departure::departure;
use super::no_way::{self, no_way};
use super::search::{Avoid, Directed, Place, Priced, Query, SearchGraph, World};
use super::{Block, NoWay, Route, RouteError, limits, resolve};
use crate::request::Request;
use std::collections::BTreeSet;

/// What one try gives.
#[derive(Clone, Debug, PartialEq)]
pub enum Attempted {
    /// A way.
    Way(Box<Route>),
    /// No way.
    NoWay(NoWay),
}

/// Tries to find a way.
///
/// # Errors
/// Names that the map does not have, and places that nothing leads to.
pub fn find(world: World<'_>, request: &Request, declination_deg: f64, avoid: &Avoid) -> Result<Attempted, RouteError> {
    find_priced(world, &Priced::new(world), request, declination_deg, avoid)
}

/// The same with the prices of the world worked out before.
///
/// # Errors
/// As [`find`].
pub fn find_priced(
    world: World<'_>,
    priced: &Priced,
    request: &Request,
    declination_deg: f64,
    avoid: &Avoid,
) -> Result<Attempted, RouteError> {
    let field = world.field;
    let stand = resolve::stand(field, &request.from)?;
    let place = world
        .graph
        .stands
        .iter()
        .find(|p| p.stand == stand)
        .ok_or_else(|| RouteError::NotJoined {
            place: limits::stand_name(field, stand),
        })?;
    let no = |unreachable: String, block: Block| {
        Ok(Attempted::NoWay(NoWay {
            unreachable,
            from: limits::stand_name(field, stand),
            blocks: vec![block],
        }))
    };
    let mut areas = Vec::new();
    let mut via = Vec::new();
    for asked in &request.via {
        let area = resolve::check_area(field, asked)?;
        if let Some(text) = limits::area_closed(field, area) {
            let closed = &field.check_areas[area];
            let block = Block {
                feature: closed.id.clone(),
                text,
                at: closed.outer[0],
            };
            return no(format!("engine-check area {asked}"), block);
        }
        let passes: BTreeSet<Directed> = resolve::segments_at(world.graph, &field.check_areas[area].outer)
            .into_iter()
            .collect();
        if passes.is_empty() {
            return Err(RouteError::NoEntry {
                place: format!("engine-check area {asked}"),
            });
        }
        areas.push(area);
        via.push(passes);
    }
    if let Some(block) = resolve::closed_end(field, world.graph, &request.to) {
        return no(no_way::asked(&request.to), block);
    }
    let destination = resolve::destination(field, world.graph, &request.to)?;
    let start = departure(world, request, place)?;
    let query = Query {
        starts: start.starts.clone(),
        via,
        ends: destination.ends.clone(),
    };
    let search = SearchGraph::expand_priced(priced, &query, avoid);
    let Some((_, places)) = search.cheapest(world, &query) else {
        return Ok(Attempted::NoWay(no_way(world, request, &search, place, &areas)));
    };
    let on: Vec<(usize, Directed)> = places
        .iter()
        .filter_map(|p| match p {
            Place::On(layer, d) => Some((*layer, *d)),
            Place::Source | Place::Sink => None,
        })
        .collect();
    let trip = Trip {
        start,
        place,
        on,
        areas,
        destination,
    };
    Ok(Attempted::Way(Box::new(assemble(
        world,
        request,
        declination_deg,
        &trip,
        avoid.check_stands,
    ))))
}
