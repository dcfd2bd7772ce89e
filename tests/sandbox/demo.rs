//! A job on the project's own invented field, for tests of the sandbox.

use std::path::{Path, PathBuf};
use toeline_engine::Request;
use toeline_model::Wind;
use toeline_model::aircraft::catalog;
use toeline_model::date::Date;

/// The map file.
pub(crate) fn map_file() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../maps/quillmere.geojson")
}

/// The trainer from stand 4 by area E to runway 26.
pub(crate) fn request() -> Request {
    Request {
        aircraft: catalog::find("trainer-high-2").expect("a built-in aeroplane"),
        from: "4".into(),
        parked_heading: None,
        via: vec!["E".into()],
        to: "26".into(),
        wind: Wind::parse("240/12T").expect("a wind"),
        date: Date::parse("2026-07-04").expect("a day"),
        margin_m: 3.0,
        vertical_margin_m: 0.5,
        accuracy_m: None,
        rule: Default::default(),
        instruction: None,
        notams: Vec::new(),
        time_utc: None,
        odds: toeline_engine::odds::OddsAsked::default(),
    }
}

/// The way that is planned for it.
pub(crate) fn plan() -> toeline_engine::Plan {
    let text = std::fs::read_to_string(map_file()).expect("the demo field");
    toeline_engine::plan(&text, &request()).expect("a plan")
}
