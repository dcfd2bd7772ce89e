//! One try: resolve the names, search, and hand the segments found to be assembled into a route.

use super::apron::{self, Off};
use super::assemble::{Trip, assemble};
use super::departure::{Departure, departure, over_apron};
use super::no_way::{self, no_way};
use super::resolve::Destination;
use super::search::{Avoid, Directed, Place, Query, SearchGraph, World};
use super::{Block, NoWay, Route, RouteError, limits, resolve};
use crate::graph::StandPlace;
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

/// A request looked up on the map, ready to be searched.
pub(crate) struct Prepared<'a> {
    name: String,
    place: Option<&'a StandPlace>,
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

/// Where a request begins.
enum Begin<'a> {
    /// On a stand that a line leads from, with its name.
    Stand(&'a StandPlace, String),
    /// On unpainted apron.
    Off(Off),
}

impl Begin<'_> {
    fn name(&self) -> String {
        match self {
            Begin::Stand(_, name) => name.clone(),
            Begin::Off(off) => off.name.clone(),
        }
    }
}

fn begin<'a>(world: World<'a>, request: &Request) -> Result<Begin<'a>, RouteError> {
    if let Some(off) = apron::place(world, request)? {
        return Ok(Begin::Off(off));
    }
    let stand = resolve::stand(world.field, &request.from)?;
    let name = limits::stand_name(world.field, stand);
    match world.graph.stands.iter().find(|p| p.stand == stand) {
        Some(place) => Ok(Begin::Stand(place, name)),
        None => Err(RouteError::NotJoined { place: name }),
    }
}

/// The cheapest way with the way over the apron onto its first lane in the price: the lanes are tried one by one.
fn over_lanes(world: World<'_>, prepared: &Prepared<'_>, avoid: &Avoid) -> Option<(u64, Vec<Place>)> {
    let mut best: Option<(u64, Vec<Place>)> = None;
    for join in &prepared.start.over {
        let query = Query {
            starts: vec![join.onto],
            ..prepared.query.clone()
        };
        let found = SearchGraph::expand(world, &query, avoid).cheapest(world, &query);
        let Some((price, places)) = found else { continue };
        let price = (price + join.cost_ms).saturating_sub(join.skipped_ms(world));
        if best.as_ref().is_none_or(|b| price < b.0) {
            best = Some((price, places));
        }
    }
    best
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
    let begin = begin(world, request)?;
    let name = begin.name();
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
            return Ok(Err(closed_place(name, format!("engine-check area {asked}"), block)));
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
    let (start, place) = match &begin {
        Begin::Stand(place, _) => (departure(world, request, place)?, Some(*place)),
        Begin::Off(off) => match apron::join_lanes(world, request, off) {
            Ok(over) => (over_apron(off, over), None),
            Err(refused) => return Ok(Err(closed_place(name, "any lane".to_string(), refused.block))),
        },
    };
    let query = Query {
        starts: start.starts.clone(),
        via,
        ends: destination.ends.clone(),
    };
    Ok(Ok(Prepared {
        name,
        place,
        areas,
        start,
        destination,
        query,
    }))
}

/// No way, because a place that was asked for is closed.
fn closed_place(from: String, unreachable: String, block: Block) -> NoWay {
    NoWay {
        unreachable,
        from,
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
        name: prepared.name,
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
    // The start is looked up first: its message comes before that of the end.
    let name = begin(world, request)?.name();
    if let Some(block) = resolve::closed_end(world.field, world.graph, &request.to) {
        let why = closed_place(name, no_way::asked(&request.to), block);
        return Ok(Attempted::NoWay(why));
    }
    let destination = resolve::destination(world.field, world.graph, &request.to)?;
    let prepared = match prepare(world, request, destination)? {
        Ok(prepared) => prepared,
        Err(why) => return Ok(Attempted::NoWay(why)),
    };
    let query = &prepared.query;
    let search = SearchGraph::expand(world, query, avoid);
    let cheapest = if prepared.start.over.is_empty() {
        search.cheapest(world, query)
    } else {
        over_lanes(world, &prepared, avoid)
    };
    let Some((_, places)) = cheapest else {
        let from = (prepared.name.as_str(), prepared.place, prepared.start.pose.nose);
        return Ok(Attempted::NoWay(no_way(world, request, &search, from, &prepared.areas)));
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
