//! One request made ready: the names resolved and the graph expanded once, then as many ways out of it as are asked for.

use super::assemble::{Trip, assemble};
use super::barred::{Barred, GaveUp};
use super::by::{self, By, Gone};
use super::dense::Exact;
use super::departure::Departure;
use super::no_way::{self, no_way};
use super::resolve::{self, Destination};
use super::search::{Avoid, Directed, Place, Priced, Query, SearchGraph, World};
use super::{Block, NoWay, Route, RouteError, limits, origin};
use crate::request::Request;
use petgraph::graph::NodeIndex;

/// What one try gives.
#[derive(Clone, Debug, PartialEq)]
pub enum Attempted {
    /// A way.
    Way(Box<Route>),
    /// No way.
    NoWay(NoWay),
}

/// A request looked up on the map, ready to be searched.
pub(crate) struct Prepared {
    start: Departure,
    by: Vec<By>,
    destination: Destination,
    /// What the search is asked.
    pub(crate) query: Query,
}

impl Prepared {
    /// Ends elsewhere than prepared for.
    pub(crate) fn end_at(&mut self, destination: Destination) {
        self.query.ends = destination.ends.clone();
        self.destination = destination;
    }
}

/// A request with its search graph.
pub struct Searching<'a> {
    world: World<'a>,
    request: &'a Request,
    declination_deg: f64,
    prepared: Prepared,
    /// What is searched.
    pub search: SearchGraph,
    exact: Exact,
}

/// A way as the search sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Its price, milliseconds: what the detour into an engine-check area costs is not in it.
    pub price_ms: u64,
    /// Its places in the search graph, from the source to the sink.
    pub places: Vec<NodeIndex>,
}

/// A way as it is driven.
#[derive(Clone, Debug, PartialEq)]
pub struct Driven {
    /// The route.
    pub route: Route,
    /// For each place of [`Found::places`] the stretch of the path along it, metres; source and sink are its ends.
    pub spans: Vec<(f64, f64)>,
}

/// No way, because a place that was asked for is closed.
fn closed_place(from: &Departure, unreachable: String, blocks: Vec<Block>) -> NoWay {
    NoWay {
        unreachable,
        from: from.name.clone(),
        blocks,
        fewest: None,
    }
}

/// Looks a request up: where it begins, the places to go by; or why one of them is closed.
///
/// # Errors
/// Names that the map does not have, and places that nothing leads to.
pub(crate) fn prepare(
    world: World<'_>,
    request: &Request,
    destination: Destination,
) -> Result<Result<Prepared, NoWay>, RouteError> {
    let start = origin::origin(world, request)?;
    if let Some(why) = not_on_its_stand(world, request, &start) {
        return Ok(Err(why));
    }
    prepare_from(world, request, start, destination)
}

/// Pushed off by hand it uses no segment of its stand, and may still not be there.
fn not_on_its_stand(world: World<'_>, request: &Request, start: &Departure) -> Option<NoWay> {
    let blocks = limits::on_stand(world, start.pushed.as_ref()?.stand);
    (!blocks.is_empty()).then(|| closed_place(start, no_way::asked(&request.to), blocks))
}

fn prepare_from(
    world: World<'_>,
    request: &Request,
    start: Departure,
    destination: Destination,
) -> Result<Result<Prepared, NoWay>, RouteError> {
    if let Some(block) = start.over.as_ref().and_then(|o| o.refused.clone()) {
        return Ok(Err(closed_place(&start, "a lane".to_string(), vec![block])));
    }
    let (mut by, mut via) = (Vec::new(), Vec::new());
    for asked in &request.via {
        match by::place(world, asked)? {
            Gone::By(place, how) => {
                by.push(place);
                via.push(how);
            }
            Gone::Closed(place, block) => return Ok(Err(closed_place(&start, place, vec![block]))),
        }
    }
    let query = Query {
        starts: start.starts.clone(),
        via,
        ends: destination.ends.clone(),
    };
    Ok(Ok(Prepared {
        start,
        by,
        destination,
        query,
    }))
}

/// Builds the route along segments found: in order, each with the number of places gone by before it.
pub(crate) fn finish(
    world: World<'_>,
    request: &Request,
    declination_deg: f64,
    prepared: &Prepared,
    on: Vec<(usize, Directed)>,
    check_stands: usize,
) -> Route {
    driven(world, request, declination_deg, prepared, on, check_stands).0
}

fn driven(
    world: World<'_>,
    request: &Request,
    declination_deg: f64,
    prepared: &Prepared,
    on: Vec<(usize, Directed)>,
    check_stands: usize,
) -> (Route, Vec<(f64, f64)>) {
    let trip = Trip {
        start: &prepared.start,
        on,
        by: &prepared.by,
        destination: &prepared.destination,
    };
    assemble(world, request, declination_deg, &trip, check_stands)
}

/// Resolves a request and expands its search graph; or why a place of it is closed.
///
/// # Errors
/// Names that the map does not have, and places that nothing leads to.
pub fn searching<'a>(
    world: World<'a>,
    request: &'a Request,
    declination_deg: f64,
    avoid: &Avoid,
) -> Result<Result<Searching<'a>, NoWay>, RouteError> {
    let expand = |query: &Query| SearchGraph::expand(world, query, avoid);
    searching_in(world, request, declination_deg, &expand)
}

/// The same with the prices of the world worked out before.
///
/// # Errors
/// As [`searching`].
pub(crate) fn searching_priced<'a>(
    world: World<'a>,
    priced: &Priced,
    request: &'a Request,
    declination_deg: f64,
) -> Result<Result<Searching<'a>, NoWay>, RouteError> {
    let expand = |query: &Query| SearchGraph::expand_priced(priced, query);
    searching_in(world, request, declination_deg, &expand)
}

fn searching_in<'a>(
    world: World<'a>,
    request: &'a Request,
    declination_deg: f64,
    expand: &dyn Fn(&Query) -> SearchGraph,
) -> Result<Result<Searching<'a>, NoWay>, RouteError> {
    // Where it begins is looked up first: its message comes before that of the end.
    let start = origin::origin(world, request)?;
    if let Some(why) = not_on_its_stand(world, request, &start) {
        return Ok(Err(why));
    }
    if let Some(block) = resolve::closed_end(world.field, world.graph, &request.to) {
        return Ok(Err(closed_place(&start, no_way::asked(&request.to), vec![block])));
    }
    let destination = resolve::destination(world.field, world.graph, &request.to)?;
    let prepared = match prepare_from(world, request, start, destination)? {
        Ok(prepared) => prepared,
        Err(why) => return Ok(Err(why)),
    };
    let search = expand(&prepared.query);
    let exact = search.exact();
    Ok(Ok(Searching {
        world,
        request,
        declination_deg,
        prepared,
        search,
        exact,
    }))
}

impl Searching<'_> {
    /// The cheapest way that contains no barred sequence. `looks` limits the search, as in [`Barred::cheapest`].
    pub fn cheapest(&self, barred: &Barred, looks: &mut usize) -> Result<Option<Found>, GaveUp> {
        let found = barred.cheapest(&self.search, &self.exact, looks)?;
        let credit_ms = self.prepared.start.over.as_ref().map_or(0, |o| o.credit_ms);
        Ok(found.map(|(price_ms, places)| Found {
            price_ms: price_ms.saturating_sub(credit_ms),
            places,
        }))
    }

    /// The cheapest way.
    pub fn first(&self) -> Option<Found> {
        // Where nothing is barred the first walk is a way.
        let mut no_limit = usize::MAX;
        self.cheapest(&Barred::default(), &mut no_limit).ok().flatten()
    }

    /// Why there is no way.
    pub fn no_way(&self) -> NoWay {
        let p = &self.prepared;
        no_way(self.world, self.request, &self.search, &p.query, &p.start, &p.by)
    }

    /// Drives a way found. `check_stands` is how many of the best ways to stand for the engine check to pass over.
    pub fn drive(&self, found: &Found, check_stands: usize) -> Driven {
        let on: Vec<(usize, Directed)> = found
            .places
            .iter()
            .filter_map(|n| match self.search.graph[*n] {
                Place::On(layer, d) => Some((layer, d)),
                Place::Source | Place::Sink => None,
            })
            .collect();
        let (route, along) = driven(
            self.world,
            self.request,
            self.declination_deg,
            &self.prepared,
            on,
            check_stands,
        );
        let end = route.path.length_m();
        // The way over the apron comes before the first segment: what fails on it is a fact about beginning so.
        let over_m = along.first().map_or(0.0, |s| s.0);
        let mut spans = vec![(0.0, over_m)];
        spans.extend(along);
        spans.push((end, end));
        Driven { route, spans }
    }

    /// How many engine-check areas it goes by.
    pub fn check_areas(&self) -> usize {
        self.prepared.by.iter().filter(|b| matches!(b, By::Area(_))).count()
    }
}

/// The cheapest way within the limits, whatever the wings say.
///
/// # Errors
/// Names that the map does not have, and places that nothing leads to.
pub fn find(world: World<'_>, request: &Request, declination_deg: f64, avoid: &Avoid) -> Result<Attempted, RouteError> {
    let ready = searching(world, request, declination_deg, avoid)?;
    Ok(first_of(ready, avoid.check_stands))
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
) -> Result<Attempted, RouteError> {
    let ready = searching_priced(world, priced, request, declination_deg)?;
    Ok(first_of(ready, 0))
}

fn first_of(ready: Result<Searching<'_>, NoWay>, check_stands: usize) -> Attempted {
    let ready = match ready {
        Ok(ready) => ready,
        Err(why) => return Attempted::NoWay(why),
    };
    match ready.first() {
        Some(found) => Attempted::Way(Box::new(ready.drive(&found, check_stands).route)),
        None => Attempted::NoWay(ready.no_way()),
    }
}
