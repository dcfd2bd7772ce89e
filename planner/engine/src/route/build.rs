//! One try: resolve the names, search, and hand the segments found to be assembled into a route.

use super::assemble::{Trip, assemble};
use super::departure::{Departure, departure};
use super::no_way::{self, no_way};
use super::resolve::Destination;
use super::search::{Avoid, Directed, Place, Priced, Query, SearchGraph, World};
use super::{Block, NoWay, Route, RouteError, limits, resolve};
use crate::graph::StandPlace;
use crate::request::Request;
use std::collections::BTreeSet;
use toeline_model::Airfield;

/// What one try gives.
#[derive(Clone, Debug, PartialEq)]
pub enum Attempted {
    /// A way.
    Way(Box<Route>),
    /// No way.
    NoWay(NoWay),
}

/// A request looked up on the map, ready to be searched.
pub(crate) struct Prepared<'a> {
    place: &'a StandPlace,
    areas: Vec<usize>,
    start: Departure,
    destination: Destination,
    /// What the search is asked.
    pub(crate) query: Query,
}

impl Prepared<'_> {
    /// Ends elsewhere than prepared for.
    pub(crate) fn end_at(&mut self, destination: Destination) {
        self.query.ends = destination.ends.clone();
        self.destination = destination;
    }
}

/// Looks a request up: its stand, the areas to go by, how the stand is left; or why one of them is closed.
///
/// # Errors
/// Names that the map does not have, and places that nothing leads to.
pub(crate) fn prepare<'a>(
    world: World<'a>,
    request: &Request,
    destination: Destination,
) -> Result<Result<Prepared<'a>, NoWay>, RouteError> {
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
            return Ok(Err(closed_place(
                field,
                stand,
                format!("engine-check area {asked}"),
                block,
            )));
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
    let start = departure(world, request, place)?;
    let query = Query {
        starts: start.starts.clone(),
        via,
        ends: destination.ends.clone(),
    };
    Ok(Ok(Prepared {
        place,
        areas,
        start,
        destination,
        query,
    }))
}

/// No way, because a place that was asked for is closed.
fn closed_place(field: &Airfield, stand: usize, unreachable: String, block: Block) -> NoWay {
    NoWay {
        unreachable,
        from: limits::stand_name(field, stand),
        blocks: vec![block],
    }
}

/// Builds the route along segments found: in order, each with the number of places gone by before it.
pub(crate) fn finish(
    world: World<'_>,
    request: &Request,
    declination_deg: f64,
    prepared: Prepared<'_>,
    on: Vec<(usize, Directed)>,
    check_stands: usize,
) -> Route {
    let trip = Trip {
        start: prepared.start,
        place: prepared.place,
        on,
        areas: prepared.areas,
        destination: prepared.destination,
    };
    assemble(world, request, declination_deg, &trip, check_stands)
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
    // The stand is looked up first: its message comes before that of the end.
    let stand = resolve::stand(world.field, &request.from)?;
    if let Some(block) = resolve::closed_end(world.field, world.graph, &request.to) {
        let why = closed_place(world.field, stand, no_way::asked(&request.to), block);
        return Ok(Attempted::NoWay(why));
    }
    let destination = resolve::destination(world.field, world.graph, &request.to)?;
    let prepared = match prepare(world, request, destination)? {
        Ok(prepared) => prepared,
        Err(why) => return Ok(Attempted::NoWay(why)),
    };
    let query = &prepared.query;
    let search = SearchGraph::expand_priced(priced, query, avoid);
    let Some((_, places)) = search.cheapest(world, query) else {
        let (place, areas) = (prepared.place, &prepared.areas);
        return Ok(Attempted::NoWay(no_way(world, request, &search, place, areas)));
    };
    let on = places
        .iter()
        .filter_map(|p| match p {
            Place::On(layer, d) => Some((*layer, *d)),
            Place::Source | Place::Sink => None,
        })
        .collect();
    let route = finish(world, request, declination_deg, prepared, on, avoid.check_stands);
    Ok(Attempted::Way(Box::new(route)))
}
