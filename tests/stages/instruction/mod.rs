//! Taxi instructions: read, found on the map, followed exactly, written out and read again.

mod following;
mod reading;
mod round_trip;
mod unclear;

use toeline_engine::Request;
use toeline_engine::graph::{self, TaxiGraph};
use toeline_engine::instruction::{FollowError, Followed, follow, read};
use toeline_engine::route::{Avoid, NoWay, Route, World};
use toeline_model::Airfield;

/// A field with its graph.
pub(crate) struct Place {
    pub(crate) field: Airfield,
    pub(crate) graph: TaxiGraph,
}

impl Place {
    pub(crate) fn of(text: &str) -> Place {
        let field = toeline_engine::read::read(text).unwrap_or_else(|e| panic!("{e}")).field;
        let graph = graph::build(&field).0;
        Place { field, graph }
    }

    pub(crate) fn demo() -> Place {
        Place::of(&toeline_tests::demo_field())
    }

    pub(crate) fn world<'a>(&'a self, request: &'a Request) -> World<'a> {
        World {
            field: &self.field,
            graph: &self.graph,
            aircraft: &request.aircraft,
        }
    }

    pub(crate) fn follow(&self, request: &Request, text: &str) -> Result<Followed, FollowError> {
        let said = read(text).map_err(FollowError::Instruction)?;
        follow(self.world(request), request, 0.0, &said, &Avoid::default())
    }

    /// The way of an instruction that can be followed, and what was noted.
    pub(crate) fn way(&self, request: &Request, text: &str) -> (Route, Vec<String>, bool) {
        match self.follow(request, text) {
            Ok(Followed::Way {
                route, notes, unclear, ..
            }) => (*route, notes, unclear),
            other => panic!("{text}: {other:?}"),
        }
    }

    /// Why an instruction cannot be followed.
    pub(crate) fn no_way(&self, request: &Request, text: &str) -> NoWay {
        match self.follow(request, text) {
            Ok(Followed::NoWay(why)) => why,
            other => panic!("{text}: {other:?}"),
        }
    }

    /// The message for an instruction that names what is not there.
    pub(crate) fn message(&self, request: &Request, text: &str) -> String {
        match self.follow(request, text) {
            Err(FollowError::Instruction(e)) => e.to_string(),
            other => panic!("{text}: {other:?}"),
        }
    }
}

pub(crate) fn request(from: &str, to: &str) -> Request {
    toeline_tests::request("trainer-high-2", from, &[], to, "calm")
}

/// Names of the lanes and runways of a way in order, each once where it goes on.
pub(crate) fn names(place: &Place, route: &Route) -> Vec<String> {
    let mut list: Vec<String> = Vec::new();
    for (edge, _) in &route.segments {
        let s = place.graph.segment(*edge);
        let name = match s.source {
            graph::Source::Lane(..) => s.letters.join("/"),
            graph::Source::Runway(_) => "runway".to_string(),
            graph::Source::Stand(_) => "stand".to_string(),
        };
        if list.last() != Some(&name) {
            list.push(name);
        }
    }
    list
}
