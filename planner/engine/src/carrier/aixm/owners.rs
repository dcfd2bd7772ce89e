//! Which aerodrome a feature belongs to: by what it refers to, else by its place.

use super::crs::{self, Crs};
use super::desk::named;
use super::geodesic::distance_m;
use super::shapes::point_of;
use super::store::{Id, Kind, Live};
use super::tree::{Node, Space};
use crate::carrier::element::Place;
use crate::carrier::listing::{Aerodrome, Found};
use crate::carrier::{AROUND_M, OWN_M};
use rstar::RTree;
use rstar::primitives::GeomWithData;
use std::collections::BTreeMap;
use toeline_model::units::DEG;
use toeline_model::{LonLat, math};

/// A box of longitudes and latitudes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Box2 {
    low: LonLat,
    high: LonLat,
}

impl Box2 {
    pub(super) fn and(self, o: Box2) -> Box2 {
        Box2 {
            low: LonLat {
                lon_deg: self.low.lon_deg.min(o.low.lon_deg),
                lat_deg: self.low.lat_deg.min(o.low.lat_deg),
            },
            high: LonLat {
                lon_deg: self.high.lon_deg.max(o.high.lon_deg),
                lat_deg: self.high.lat_deg.max(o.high.lat_deg),
            },
        }
    }

    /// Whether another one comes within the distance at which things are taken with an aerodrome.
    pub(super) fn is_near(&self, o: Box2) -> bool {
        const METRES_A_DEGREE: f64 = 110_500.0;
        let north = AROUND_M / METRES_A_DEGREE;
        let far = self.low.lat_deg.abs().max(self.high.lat_deg.abs());
        let east = north / math::cos(far.min(89.9) * DEG);
        o.low.lon_deg <= self.high.lon_deg + east
            && o.high.lon_deg >= self.low.lon_deg - east
            && o.low.lat_deg <= self.high.lat_deg + north
            && o.high.lat_deg >= self.low.lat_deg - north
    }

    fn middle(&self) -> LonLat {
        LonLat {
            lon_deg: (self.low.lon_deg + self.high.lon_deg) / 2.0,
            lat_deg: (self.low.lat_deg + self.high.lat_deg) / 2.0,
        }
    }
}

/// The box around all positions of a feature; `None` without any.
pub(super) fn bounds(live: &Live) -> Result<Option<Box2>, String> {
    let mut found = None;
    around(&live.node, live.crs, &mut found)?;
    Ok(found)
}

fn around(node: &Node, crs: Option<Crs>, found: &mut Option<Box2>) -> Result<(), String> {
    let crs = crs::of(node, crs)?;
    if node.space == Space::Gml && matches!(node.name.as_str(), "pos" | "posList") {
        for p in crs::positions(&node.text, crs)? {
            let own = Box2 { low: p, high: p };
            *found = Some(found.map_or(own, |f| f.and(own)));
        }
    }
    node.children.iter().try_for_each(|c| around(c, crs, found))
}

/// What a kind refers to on the way to its aerodrome.
const LINKS: [(Kind, &str, Kind); 18] = [
    (Kind::Runway, "associatedAirportHeliport", Kind::AirportHeliport),
    (Kind::Taxiway, "associatedAirportHeliport", Kind::AirportHeliport),
    (Kind::Apron, "associatedAirportHeliport", Kind::AirportHeliport),
    (Kind::WorkArea, "associatedAirportHeliport", Kind::AirportHeliport),
    (Kind::RunwayDirection, "usedRunway", Kind::Runway),
    (Kind::RunwayElement, "associatedRunway", Kind::Runway),
    (Kind::TaxiwayElement, "associatedTaxiway", Kind::Taxiway),
    (Kind::ApronElement, "associatedApron", Kind::Apron),
    (Kind::RunwayCentrelinePoint, "onRunway", Kind::RunwayDirection),
    (Kind::AircraftStand, "apronLocation", Kind::ApronElement),
    (Kind::GuidanceLine, "connectedTaxiway", Kind::Taxiway),
    (Kind::GuidanceLine, "connectedApron", Kind::Apron),
    (Kind::GuidanceLine, "connectedStand", Kind::AircraftStand),
    (
        Kind::GuidanceLine,
        "connectedRunwayCentrelinePoint",
        Kind::RunwayCentrelinePoint,
    ),
    (Kind::TaxiHoldingPosition, "associatedGuidanceLine", Kind::GuidanceLine),
    (Kind::TaxiHoldingPosition, "protectedRunway", Kind::Runway),
    (Kind::RunwayElement, "associatedAirportHeliport", Kind::AirportHeliport),
    (Kind::TaxiwayElement, "associatedAirportHeliport", Kind::AirportHeliport),
];
/// Longest chain of references that is followed.
const CHAIN: usize = 8;

/// The AirportHeliport that a feature's references lead to.
fn by_reference<'l>(live: &'l BTreeMap<Id, Live>, id: &Id, depth: usize) -> Option<&'l Id> {
    let (own, found) = live.get_key_value(id)?;
    if id.0 == Kind::AirportHeliport {
        return Some(own);
    }
    if depth == CHAIN {
        return None;
    }
    let links = LINKS.iter().filter(|(kind, ..)| *kind == id.0);
    links
        .flat_map(|(_, property, kind)| {
            // Few of many are enough: they are of one aerodrome.
            let named = found
                .node
                .all(Space::Aixm, property)
                .filter_map(Node::reference)
                .take(3);
            named.map(|uuid| (*kind, uuid)).collect::<Vec<Id>>()
        })
        .find_map(|next| by_reference(live, &next, depth + 1))
}

/// The aerodromes, those with most lanes first, and the feature of the one that each feature belongs to.
pub(super) fn owners(live: &BTreeMap<Id, Live>, credit: &str) -> (Vec<Found>, BTreeMap<Id, String>) {
    let airports: Vec<(&Id, &Live)> = live.iter().filter(|(id, _)| id.0 == Kind::AirportHeliport).collect();
    let called = |id: &Id| format!("{}/{}", id.0.word(), id.1);
    let places: Vec<Option<LonLat>> = airports.iter().map(|(_, a)| reference_point(a)).collect();
    let mut owner: BTreeMap<Id, String> = BTreeMap::new();
    let drawn = live.iter().filter(|(id, _)| id.0 != Kind::VerticalStructure);
    // What is all there is needs no reference.
    let lonely = match airports.as_slice() {
        [] => live
            .keys()
            .find(|id| matches!(id.0, Kind::GuidanceLine | Kind::Runway))
            .map(called),
        [(only, _)] => Some(called(only)),
        _ => None,
    };
    let around = places.iter().enumerate();
    let around = around.filter_map(|(i, p)| Some(GeomWithData::new(on_sphere((*p)?), i)));
    let around = RTree::bulk_load(around.collect());
    for (id, feature) in drawn {
        let found = match &lonely {
            Some(one) => Some(one.clone()),
            None => by_reference(live, id, 0).map(called).or_else(|| {
                let at = bounds(feature).ok().flatten()?.middle();
                let near = around.nearest_neighbor(on_sphere(at))?.data;
                let (id, place) = (airports[near].0, places[near]?);
                (distance_m(at, place) <= OWN_M).then(|| called(id))
            }),
        };
        if let Some(found) = found {
            owner.insert(id.clone(), found);
        }
    }
    let mut of: BTreeMap<&str, Vec<(Kind, &Live)>> = BTreeMap::new();
    for (id, feature) in live {
        if let Some(o) = owner.get(id) {
            of.entry(o).or_default().push((id.0, feature));
        }
    }
    let own = |feature: &str| of.get(feature).map_or(&[][..], Vec::as_slice);
    let mut found: Vec<Found> = airports
        .iter()
        .zip(&places)
        .map(|((id, a), place)| listed(own(&called(id)), &called(id), Some(&a.node), *place, credit))
        .collect();
    if airports.is_empty()
        && let Some(one) = &lonely
    {
        found.push(listed(own(one), one, None, None, credit));
    }
    let rank = |f: &Found| (f.aerodrome.lanes, f.aerodrome.runways, f.aerodrome.stands);
    found.sort_by(|a, b| {
        rank(b)
            .cmp(&rank(a))
            .then(a.aerodrome.feature.cmp(&b.aerodrome.feature))
    });
    (found, owner)
}

/// A place on the sphere of radius 1, where what is nearest is so on the ground too.
fn on_sphere(p: LonLat) -> [f64; 3] {
    let (sin_lat, cos_lat) = math::sin_cos(p.lat_deg * DEG);
    let (sin_lon, cos_lon) = math::sin_cos(p.lon_deg * DEG);
    [cos_lat * cos_lon, cos_lat * sin_lon, sin_lat]
}

fn reference_point(airport: &Live) -> Option<LonLat> {
    let arp = airport.node.child(Space::Aixm, "ARP")?;
    let crs = crs::of(arp, airport.crs).ok()?;
    arp.children.first().and_then(|p| point_of(p, crs).ok())
}

/// An aerodrome as it is listed.
fn listed(own: &[(Kind, &Live)], feature: &str, node: Option<&Node>, place: Option<LonLat>, credit: &str) -> Found {
    let count = |kind: Kind| own.iter().filter(|(k, _)| *k == kind).count();
    let boxes = own.iter().filter_map(|(_, l)| bounds(l).ok().flatten());
    let all: Vec<Box2> = boxes.collect();
    let middle = all.iter().copied().reduce(Box2::and).map(|b| b.middle());
    let text = |property: &str| node.and_then(|n| named(n, property));
    let lonlat = place.or(middle).unwrap_or(LonLat {
        lon_deg: 0.0,
        lat_deg: 0.0,
    });
    let rounded = |p: LonLat| Place::from_deg(p.lon_deg, p.lat_deg).ok();
    Found {
        aerodrome: Aerodrome {
            feature: feature.to_string(),
            tagged: node.is_some(),
            name: text("name"),
            english: None,
            icao: text("locationIndicatorICAO"),
            iata: text("designatorIATA"),
            local: text("designator"),
            kind: text("type"),
            place: lonlat,
            runways: count(Kind::Runway),
            lanes: count(Kind::GuidanceLine),
            stands: count(Kind::AircraftStand),
            credit: credit.to_string(),
        },
        id: None,
        place: rounded(lonlat).unwrap_or(Place {
            lon_nano: 0,
            lat_nano: 0,
        }),
        area: Vec::new(),
        lines: all
            .iter()
            .filter_map(|b| rounded(b.middle()))
            .map(|p| vec![p])
            .collect(),
    }
}
