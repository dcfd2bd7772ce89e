//! Plans on the demo field, for drives.

use toeline_engine::planning::{Outcome, Way};
use toeline_engine::{Plan, Request, plan};
use toeline_model::Aircraft;
use toeline_model::aircraft::catalog;

pub(crate) fn request(aircraft: Aircraft, from: &str, via: &[&str], to: &str, wind: &str) -> Request {
    toeline_tests::request_of(aircraft, from, via, to, wind)
}

/// From a stand by way of E to runway 26.
pub(crate) fn planned(aircraft: &str, from: &str, wind: &str) -> Plan {
    let aircraft = catalog::find(aircraft).expect("built in");
    plan(
        &toeline_tests::demo_field(),
        &request(aircraft, from, &["E"], "26", wind),
    )
    .expect("a plan")
}

pub(crate) fn way(plan: &Plan) -> &Way {
    match &plan.outcome {
        Outcome::Way(way) => way,
        Outcome::NoWay(why) => panic!("no way: {why:?}"),
    }
}
