//! Plans on the demo field, for drives.

use toeline_engine::planning::{Outcome, Way};
use toeline_engine::{Plan, Request, plan};
use toeline_model::aircraft::catalog;
use toeline_model::date::Date;
use toeline_model::{Aircraft, Wind};

pub(crate) fn request(aircraft: Aircraft, from: &str, via: &[&str], to: &str, wind: &str) -> Request {
    Request {
        aircraft,
        from: from.into(),
        parked_heading: None,
        via: via.iter().map(|v| (*v).to_string()).collect(),
        to: to.into(),
        wind: Wind::parse(wind).expect("a wind"),
        date: Date::parse("2026-07-04").expect("a day"),
        margin_m: 3.0,
        vertical_margin_m: 0.5,
        accuracy_m: None,
        rule: Default::default(),
        instruction: None,
        time_utc: None,
        odds: toeline_engine::odds::OddsAsked::default(),
    }
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
