//! Text in, text out: a map file becomes an airfield, a taxi graph, a route, its clearance and a briefing.
//!
//! | stage | in | out |
//! |---|---|---|
//! | [`carrier`] | OpenStreetMap XML, JSON or PBF, a whole country too, or AIXM messages | GeoJSON text of one aerodrome |
//! | [`read`] | GeoJSON text | [`toeline_model::Airfield`] and notices, or everything wrong with the file |
//! | [`notices`] | the airfield, NOTAMs, a time | what they close for an aeroplane, and what became of each |
//! | [`graph`] | the airfield | [`graph::TaxiGraph`] and the repairs made |
//! | [`route`] | graph, aeroplane, request | [`route::Route`] with the one driven path, or why there is none |
//! | [`instruction`] | graph, aeroplane, request, a taxi instruction | the route that follows it exactly, or why not; the words for a route |
//! | [`clearance`] | route, aeroplane, airfield | [`clearance::Clearance`]: gaps, verdict, swept outline |
//! | [`odds`] | path, aeroplane, clearance, a pupil's wobble | [`odds::Odds`]: how often a part touches |
//! | [`briefing`] | the plan | terminal text, JSON, GeoJSON, SVG |
//!
//! A stage uses only earlier ones; [`plan()`] calls them in order and owns the loop that tries another way when the
//! wings do not clear. No file, no clock, no printing, no Bevy.

mod boxes;
pub mod briefing;
pub mod carrier;
mod clean;
pub mod clearance;
pub mod closures;
mod drawing;
pub mod fit;
pub mod graph;
pub mod inspection;
pub mod instruction;
pub mod job;
mod layout;
pub mod magnetic;
pub mod notice;
pub mod notices;
pub mod odds;
pub mod plane;
pub mod planning;
pub mod read;
pub mod request;
pub mod route;
mod standing;

pub use drawing::{ground, typeface};
pub use planning::{Plan, PlanError, plan};
pub use request::Request;
