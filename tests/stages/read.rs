//! Stage read: what a map file may hold, what is said about what is wrong, and what is left out with which words.

mod closures;
mod dirt;
mod lanes;
mod obstacles;
mod outlines;
mod places;
mod runways;
mod tables;
mod text;
mod values;

use serde_json::{Value, json};
use toeline_engine::notice::{Notice, NoticeKind};
use toeline_engine::plane::LocalPlane;
use toeline_engine::read::{self, ReadError, ReadField};
use toeline_model::airfield::{HoldingKind, LaneKind, Nose, ObstacleKind, Surface, Way};
use toeline_model::planar::{Shape, closest_on_line, line_length, signed_area};
use toeline_model::{Airfield, LonLat};
use toeline_tests::sketch::Sketch;

fn base() -> Sketch {
    Sketch::default().taxiway("T", "A", &[[0.0, 0.0], [100.0, 0.0]])
}

fn good(sketch: &Sketch) -> ReadField {
    read::read(&sketch.text()).unwrap_or_else(|e| panic!("{e}"))
}

fn field(sketch: &Sketch) -> Airfield {
    good(sketch).field
}

fn lane(properties: Value) -> ReadField {
    good(&Sketch::default().line("L", &[[0.0, 0.0], [50.0, 0.0]], properties))
}

fn told(notices: &[Notice], kind: NoticeKind, feature: &str, words: &str) {
    assert!(
        notices
            .iter()
            .any(|n| n.kind == kind && n.feature == feature && n.text.contains(words)),
        "no {kind:?} about {feature} with \"{words}\" in {notices:#?}"
    );
}

fn near(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not within {tolerance} of {b}");
}
