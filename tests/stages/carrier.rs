//! Stage carrier: OpenStreetMap XML, JSON and PBF give the airfield that GeoJSON gives; AIXM gives what it says.

mod aixm;
mod aixm_hostile;
mod aixm_shapes;
mod hostile;
mod real;
mod region;
mod rings;
mod same;

use std::io::Cursor;
use toeline_engine::carrier::{self, Aerodrome, CarrierError, Cut};
use toeline_tests::carried::AT;

pub(crate) fn cut(bytes: &[u8], asked: Option<&str>) -> Result<Cut, CarrierError> {
    carrier::cut_out(&mut Cursor::new(bytes), asked, AT, &mut |_| {})
}

pub(crate) fn good(bytes: &[u8], asked: Option<&str>) -> Cut {
    cut(bytes, asked).unwrap_or_else(|e| panic!("{e}"))
}

pub(crate) fn list(bytes: &[u8]) -> Vec<Aerodrome> {
    carrier::aerodromes(&mut Cursor::new(bytes), AT, &mut |_| {}).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn limits_are_those_of_the_reader_that_comes_next() {
    assert_eq!(carrier::POSITION_LIMIT, toeline_engine::read::POSITION_LIMIT);
    assert_eq!(carrier::FEATURE_LIMIT, toeline_engine::read::FEATURE_LIMIT);
}
