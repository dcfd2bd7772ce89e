//! One request made ready: the names resolved and the graph expanded once, then as many ways out of it as are asked for.

use super::assemble::{Trip, assemble};
use super::barred::Barred;
use super::by::{self, By, Gone};
use super::dense::Exact;
use super::departure::Departure;
use super::no_way::{self, no_way};
use super::resolve::{self, Destination};
use super::search::{Avoid, Directed, Place, Query, SearchGraph, World};
use super::{Block, NoWay, Route, RouteError, origin};
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

/// A request with its search graph.
pub struct Prepared<'a> {
    world: World<'a>,
    request: &'a Request,
    declination_deg: f64,
    start: Departure,
    by: Vec<By>,
    destination: Destination,
    /// What is searched.
    pub search: SearchGraph,
    query: Query,
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

/// What making ready gives.
pub enum Preparation<'a> {
    /// It can be searched.
    Ready(Box<Prepared<'a>>),
    /// A place asked for is closed.
    NoWay(NoWay),
}

/// Resolves a request and expands its search graph.
///
/// # Errors
/// Names that the map does not have, and places that nothing leads to.
pub fn prepare<'a>(
    world: World<'a>,
    request: &'a Request,
    declination_deg: f64,
    avoid: &Avoid,
) -> Result<Preparation<'a>, RouteError> {
    let field = world.field;
    let start = origin::origin(world, request)?;
    let no = |unreachable: String, block: Block| {
        Ok(Preparation::NoWay(NoWay {
            unreachable,
            from: start.name.clone(),
            blocks: vec![block],
            proven_fewest: true,
        }))
    };
    let (mut by, mut via) = (Vec::new(), Vec::new());
    for asked in &request.via {
        match by::place(world, asked)? {
            Gone::By(place, how) => {
                by.push(place);
                via.push(how);
            }
            Gone::Closed(place, block) => return no(place, block),
        }
    }
    if let Some(block) = resolve::closed_end(field, world.graph, &request.to) {
        return no(no_way::asked(&request.to), block);
    }
    let destination = resolve::destination(field, world.graph, &request.to)?;
    let query = Query {
        starts: start.starts.clone(),
        via,
        ends: destination.ends.clone(),
    };
    let search = SearchGraph::expand(world, &query, avoid);
    let exact = search.exact();
    Ok(Preparation::Ready(Box::new(Prepared {
        world,
        request,
        declination_deg,
        start,
        by,
        destination,
        search,
        query,
        exact,
    })))
}

impl Prepared<'_> {
    /// The cheapest way that contains no barred sequence.
    pub fn cheapest(&self, barred: &Barred) -> Option<Found> {
        let (price_ms, places) = barred.cheapest(&self.search, &self.exact)?;
        Some(Found { price_ms, places })
    }

    /// Why there is no way.
    pub fn no_way(&self) -> NoWay {
        no_way(self.world, self.request, &self.search, &self.query, &self.start, &self.by)
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
        let trip = Trip {
            start: &self.start,
            on,
            by: &self.by,
            destination: &self.destination,
        };
        let (route, along) = assemble(self.world, self.request, self.declination_deg, &trip, check_stands);
        let end = route.path.length_m();
        let mut spans = vec![(0.0, 0.0)];
        spans.extend(along);
        spans.push((end, end));
        Driven { route, spans }
    }

    /// How many engine-check areas it goes by.
    pub fn check_areas(&self) -> usize {
        self.by.iter().filter(|b| matches!(b, By::Area(_))).count()
    }
}

/// The cheapest way within the limits, whatever the wings say.
///
/// # Errors
/// Names that the map does not have, and places that nothing leads to.
pub fn find(world: World<'_>, request: &Request, declination_deg: f64, avoid: &Avoid) -> Result<Attempted, RouteError> {
    let ready = match prepare(world, request, declination_deg, avoid)? {
        Preparation::NoWay(why) => return Ok(Attempted::NoWay(why)),
        Preparation::Ready(ready) => ready,
    };
    Ok(match ready.cheapest(&Barred::default()) {
        Some(found) => Attempted::Way(Box::new(ready.drive(&found, 0).route)),
        None => Attempted::NoWay(ready.no_way()),
    })
}
