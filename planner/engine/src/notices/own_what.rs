//! What a notice of our own form closes.

use super::MOST_PLACES;
use super::notam::{Kind, Target};
use super::own::Desk;
use crate::clean;
use serde::Deserialize;
use toeline_model::LonLat;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct What {
    #[serde(default)]
    taxiway: Option<String>,
    #[serde(default)]
    between: Option<[String; 2]>,
    #[serde(default)]
    stand: Option<String>,
    #[serde(default)]
    apron: Option<String>,
    #[serde(default)]
    runway: Option<String>,
    #[serde(default)]
    holding_position: Option<String>,
    #[serde(default)]
    area: Option<Vec<[f64; 2]>>,
    #[serde(default)]
    name: Option<String>,
}

impl Desk {
    /// The thing of an entry of `closes`; `None` where it is wrong.
    pub(super) fn target(&mut self, i: usize, what: &What) -> Option<Target> {
        let k = i + 1;
        let named: Vec<(Kind, &String)> = [
            (Kind::Taxiway, &what.taxiway),
            (Kind::Stand, &what.stand),
            (Kind::Apron, &what.apron),
            (Kind::Runway, &what.runway),
            (Kind::HoldingPosition, &what.holding_position),
        ]
        .into_iter()
        .filter_map(|(kind, name)| Some((kind, name.as_ref()?)))
        .collect();
        let count = named.len() + usize::from(what.area.is_some());
        if count != 1 {
            self.wrong(format!(
                "closes, entry {k}: names {count} things; it must have exactly one of taxiway, stand, apron, runway, holding_position, area"
            ));
            return None;
        }
        if what.between.is_some() && what.taxiway.is_none() {
            self.wrong(format!("closes, entry {k}: between goes with taxiway only"));
        }
        if what.name.is_some() && what.area.is_none() {
            self.wrong(format!("closes, entry {k}: name goes with area only"));
        }
        if let Some(ring) = &what.area {
            return self.area(k, ring, what.name.as_deref());
        }
        let (kind, name) = named.first()?;
        if name.trim().is_empty() {
            self.wrong(format!("closes, entry {k}: the name of the {} is empty", kind.word()));
            return None;
        }
        Some(Target {
            name: Some(clean::name(name)),
            between: what.between.as_ref().map(|b| [clean::name(&b[0]), clean::name(&b[1])]),
            ..Target::of(*kind)
        })
    }

    fn area(&mut self, k: usize, ring: &[[f64; 2]], name: Option<&str>) -> Option<Target> {
        let mut places: Vec<LonLat> = Vec::new();
        if ring.len() > MOST_PLACES {
            self.wrong(format!(
                "closes, entry {k}: area of {} places; at most {MOST_PLACES} are read",
                ring.len()
            ));
            return None;
        }
        for [lon_deg, lat_deg] in ring.iter().copied() {
            if !(lon_deg.abs() <= 180.0 && lat_deg.abs() <= 90.0) {
                self.wrong(format!(
                    "closes, entry {k}: [{lon_deg}, {lat_deg}] is no place; longitude first, -180 to 180, then latitude, -90 to 90"
                ));
                return None;
            }
            places.push(LonLat { lon_deg, lat_deg });
        }
        if places.len() > 1 && places.first() == places.last() {
            places.pop();
        }
        if places.len() < 3 {
            self.wrong(format!(
                "closes, entry {k}: area of {} places; at least 3 are needed",
                places.len()
            ));
            return None;
        }
        Some(Target {
            name: name.map(clean::name),
            ring: Some(places),
            ..Target::of(Kind::Area)
        })
    }
}
