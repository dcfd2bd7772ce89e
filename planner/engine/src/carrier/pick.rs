//! Which aerodrome is meant.

use super::PICK_M;
use super::element::Place;
use super::error::CarrierError;
use super::flat::Flat;
use super::listing::{Aerodrome, Found};
use toeline_model::planar::inside_ring;

/// The one that is asked for: by feature, by code, by its whole name, by a part of its name, by a place in it or near it.
/// Without a word, and among several that answer, only those with a runway or a lane count.
pub(super) fn pick<'f>(found: &'f [Found], asked: Option<&str>) -> Result<&'f Found, CarrierError> {
    let list = |them: &[&Found]| them.iter().map(|f| f.aerodrome.clone()).collect::<Vec<Aerodrome>>();
    let Some(asked) = asked else {
        let all: Vec<&Found> = found.iter().collect();
        return only(&all).ok_or_else(|| CarrierError::Several {
            asked: None,
            list: list(&all),
        });
    };
    let word = asked.trim().to_lowercase();
    let ways: [&dyn Fn(&Found) -> bool; 4] = [
        &|f| f.aerodrome.feature.to_lowercase() == word,
        &|f| codes(&f.aerodrome).any(|c| c.to_lowercase() == word),
        &|f| names(&f.aerodrome).any(|n| n.to_lowercase() == word),
        &|f| !word.is_empty() && names(&f.aerodrome).any(|n| n.to_lowercase().contains(&word)),
    ];
    let mut them: Vec<&Found> = ways
        .iter()
        .map(|way| found.iter().filter(|f| way(f)).collect::<Vec<_>>())
        .find(|them| !them.is_empty())
        .unwrap_or_default();
    if them.is_empty()
        && let Some(place) = place(&word)
    {
        them = at(found, place);
    }
    if them.is_empty() {
        return Err(CarrierError::NotFound {
            asked: asked.to_string(),
            list: list(&found.iter().collect::<Vec<_>>()),
        });
    }
    only(&them).ok_or_else(|| CarrierError::Several {
        asked: Some(asked.to_string()),
        list: list(&them),
    })
}

fn only<'f>(them: &[&'f Found]) -> Option<&'f Found> {
    if let [one] = them {
        return Some(one);
    }
    let mut ground = them.iter().filter(|f| f.aerodrome.has_ground());
    match (ground.next(), ground.next()) {
        (Some(one), None) => Some(one),
        _ => None,
    }
}

fn codes(a: &Aerodrome) -> impl Iterator<Item = &String> {
    [&a.icao, &a.iata, &a.local].into_iter().flatten()
}

fn names(a: &Aerodrome) -> impl Iterator<Item = &String> {
    [&a.name, &a.english].into_iter().flatten()
}

/// "longitude,latitude".
fn place(word: &str) -> Option<Place> {
    let (lon, lat) = word.split_once(',')?;
    Place::from_deg(lon.trim().parse().ok()?, lat.trim().parse().ok()?).ok()
}

/// Those whose area holds the place; else the nearest by its point or by a runway, lane or stand.
fn at(found: &[Found], place: Place) -> Vec<&Found> {
    let flat = Flat::about(place);
    let within = |f: &&Found| {
        let rings = f.area.iter().map(|r| flat.line(r));
        rings.into_iter().any(|r| inside_ring(flat.to_xy(place), &r))
    };
    let them: Vec<&Found> = found.iter().filter(within).collect();
    if !them.is_empty() {
        return them;
    }
    let away = |f: &Found| {
        let places = f.lines.iter().flatten().copied().chain([f.place]);
        places.map(|p| Flat::between(place, p)).fold(f64::MAX, f64::min)
    };
    let nearest = found.iter().map(|f| (away(f), f)).min_by(|a, b| a.0.total_cmp(&b.0));
    nearest
        .filter(|(m, _)| *m <= PICK_M)
        .map(|(_, f)| f)
        .into_iter()
        .collect()
}
