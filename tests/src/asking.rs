use crate::lanes::built_in;
use toeline_engine::Request;
use toeline_engine::odds::OddsAsked;
use toeline_model::date::Date;
use toeline_model::{Aircraft, Wind};

/// A request by the names of its parts: a built-in aeroplane, the wind as typed (`"240/12T"`, `"calm"`), a fixed day, the
/// margins that the program takes when none is given.
///
/// # Panics
/// Where there is no such aeroplane, or the wind is none.
pub fn request(aircraft: &str, from: &str, via: &[&str], to: &str, wind: &str) -> Request {
    request_of(built_in(aircraft), from, via, to, wind)
}

/// The same with an aeroplane of the test's own.
///
/// # Panics
/// Where the wind is none.
pub fn request_of(aircraft: Aircraft, from: &str, via: &[&str], to: &str, wind: &str) -> Request {
    Request {
        aircraft,
        from: from.to_string(),
        parked_heading: None,
        via: via.iter().map(|v| (*v).to_string()).collect(),
        to: to.to_string(),
        wind: Wind::parse(wind).unwrap_or_else(|e| panic!("wind {wind}: {e}")),
        date: Date::parse("2026-07-04").unwrap_or_else(|e| panic!("{e}")),
        margin_m: 3.0,
        vertical_margin_m: 0.5,
        accuracy_m: None,
        rule: Default::default(),
        instruction: None,
        notams: Vec::new(),
        time_utc: None,
        odds: OddsAsked::default(),
    }
}
