//! Guidance lines, taxi holding positions and stands.

use super::desk::{Desk, Draft, named};
use super::geodesic;
use super::store::{Kind, Live};
use super::tree::{Node, Space};
use super::units;
use super::usage::usage;
use crate::carrier::write::Shape;
use crate::clean;
use geographiclib_rs::{Geodesic, InverseGeodesic};
use std::collections::BTreeMap;
use toeline_model::LonLat;

/// A lead-in line that ends so near to a stand gives the heading on it, metres. Ours.
const LEADS_M: f64 = 1.0;

pub(super) fn guidance(desk: &mut Desk<'_>) {
    for (id, live) in desk.each(Kind::GuidanceLine) {
        let node = &live.node;
        let mut draft = Draft::of(id, live);
        let of_type = node.value(Space::Aixm, "type").unwrap_or_default();
        let aeroway = match of_type {
            "RWY" | "TWY" => "taxiway",
            "APRON" | "GATE_TLANE" | "LI_TLANE" | "LO_TLANE" => "taxilane",
            "AIR_TLANE" => {
                desk.leave_out("GuidanceLine of the type AIR_TLANE, for helicopters in the air");
                continue;
            }
            other => {
                draft.doubt(format!(
                    "its type \"{}\" is not known; taken as a taxiway",
                    clean::name(other)
                ));
                "taxiway"
            }
        };
        draft.tag("aeroway", aeroway);
        let taxiways = desk.linked(&mut draft, node, "connectedTaxiway", Kind::Taxiway);
        let mut letters: Vec<String> = Vec::new();
        let mut allowed = usage(node);
        let mut narrowest: Option<(f64, &Node)> = None;
        for (taxiway, twy) in &taxiways {
            draft.also(&taxiway.1);
            let letter = named(&twy.node, "designator");
            letters.extend(letter.filter(|l| !letters.contains(l)));
            allowed = allowed.and(desk.usage(taxiway, twy));
            if let Some(width) = twy.node.child(Space::Aixm, "width")
                && let Ok(m) = units::length_m(width)
                && narrowest.is_none_or(|(n, _)| m < n)
            {
                narrowest = Some((m, width));
            }
        }
        if aeroway == "taxilane" {
            for (apron, a) in desk.linked(&mut draft, node, "connectedApron", Kind::Apron) {
                draft.also(&apron.1);
                allowed = allowed.and(desk.usage(apron, a));
            }
        }
        if !letters.is_empty() {
            draft.tag("ref", letters.join(";"));
        }
        draft.tag_some("name", named(node, "designator"));
        draft.length("width", narrowest.map(|(_, n)| n).or(first_width(&taxiways)));
        if let [(_, only)] = taxiways.as_slice() {
            draft.surface(&only.node);
        }
        match node.value(Space::Aixm, "usageDirection") {
            Some("FORWARD") => draft.tag("oneway", "yes"),
            Some("BACKWARD") => draft.tag("oneway", "-1"),
            None | Some("BOTH") => {}
            Some(other) => draft.doubt(format!(
                "its usageDirection \"{}\" is not known; taken as both ways",
                clean::name(other)
            )),
        }
        if let Some(speed) = node.child(Space::Aixm, "maxSpeed") {
            match units::speed_kmh(speed) {
                Ok(_) if speed.attribute(Space::None, "uom") == Some("KT") => {
                    draft.tag("maxspeed", format!("{} kt", speed.text));
                }
                Ok(kmh) => draft.tag("maxspeed", format!("{} km/h", units::shown(kmh))),
                Err(e) => draft.doubt(format!("{e}; no speed limit taken")),
            }
        }
        draft.usage(allowed);
        let Some(extent) = node.child(Space::Aixm, "extent") else {
            desk.leave_out("GuidanceLine without an extent");
            continue;
        };
        let mut doubts = Vec::new();
        let line = desk.shapes.line(extent, live.crs, &mut doubts);
        doubts.into_iter().for_each(|d| draft.doubt(d));
        let line = line.map(|l| Shape::Lines(vec![l])).map_err(|e| format!("extent: {e}"));
        desk.put(draft, live, line);
    }
}

/// A width that has no unit is told once.
fn first_width<'n>(taxiways: &[(&super::store::Id, &'n Live)]) -> Option<&'n Node> {
    taxiways.iter().find_map(|(_, t)| t.node.child(Space::Aixm, "width"))
}

pub(super) fn holds(desk: &mut Desk<'_>) {
    for (id, live) in desk.each(Kind::TaxiHoldingPosition) {
        let node = &live.node;
        let mut draft = Draft::of(id, live);
        draft.tag("aeroway", "holding_position");
        let runways: Vec<String> = desk
            .linked(&mut draft, node, "protectedRunway", Kind::Runway)
            .into_iter()
            .filter_map(|(_, r)| named(&r.node, "designator"))
            .collect();
        let lines = desk.linked(&mut draft, node, "associatedGuidanceLine", Kind::GuidanceLine);
        let mut letters: Vec<String> = Vec::new();
        for (_, line) in lines {
            for (_, t) in desk.linked(&mut draft, &line.node, "connectedTaxiway", Kind::Taxiway) {
                letters.extend(named(&t.node, "designator").filter(|l| !letters.contains(l)));
            }
        }
        let category = node.value(Space::Aixm, "landingCategory").unwrap_or_default();
        // The position of the lower category is the nearer one to the runway; the farther one holds for precision approaches.
        let sort = match (runways.is_empty(), category) {
            (true, _) => "intermediate",
            (false, "CAT_II" | "CAT_III" | "CAT_II_III" | "CAT_IIIA" | "CAT_IIIB" | "CAT_IIIC") => "ILS",
            (false, _) => "runway",
        };
        draft.tag("holding_position:type", sort);
        let mut words = vec![letters.join("/")];
        match category {
            "CAT_I" | "CAT_II" | "CAT_III" | "CAT_II_III" => {
                words.push(category.replacen('_', " ", 1).replace('_', "/"))
            }
            _ if runways.is_empty() => words.push("intermediate".to_string()),
            _ => {}
        }
        words.extend(runways);
        words.retain(|w| !w.is_empty());
        draft.tag("name", words.join(" "));
        match node.value(Space::Aixm, "status") {
            None | Some("NORMAL" | "OPERATIONAL" | "IN_USE") => {}
            Some("CLOSED") => draft.tag("toeline:closed", "status CLOSED"),
            Some(other) => draft.doubt(format!("its status is \"{}\"; taken as in use", clean::name(other))),
        }
        match desk.point(live, "location") {
            Some(place) => desk.put(draft, live, place.map(Shape::Point)),
            None => desk.leave_out("TaxiHoldingPosition without a location"),
        }
    }
}

pub(super) fn stands(desk: &mut Desk<'_>) {
    let leads = leads(desk);
    for (id, live) in desk.each(Kind::AircraftStand) {
        let node = &live.node;
        let mut draft = Draft::of(id, live);
        draft.tag("aeroway", "parking_position");
        draft.tag_some("ref", named(node, "designator"));
        let mut allowed = usage(node);
        for (element, e) in desk.linked(&mut draft, node, "apronLocation", Kind::ApronElement) {
            draft.also(&element.1);
            allowed = allowed.and(desk.usage(element, e));
            for (apron, a) in desk.linked(&mut draft, &e.node, "associatedApron", Kind::Apron) {
                draft.also(&apron.1);
                allowed = allowed.and(desk.usage(apron, a));
            }
        }
        draft.usage(allowed);
        let mut pavement = Draft::of(id, live);
        pavement.id += "/extent";
        pavement.doubts.clear();
        pavement.tag("toeline:area", "pavement");
        pavement.surface(node);
        let area = desk.areas(live, "extent", &mut pavement);
        match (desk.point(live, "location"), area) {
            (Some(place), area) => {
                if let Ok(p) = place {
                    let ends = leads.get(&id.1).map_or(&[][..], Vec::as_slice);
                    let near = ends.iter().find(|(end, _)| geodesic::distance_m(*end, p) <= LEADS_M);
                    draft.tag_some("direction", near.map(|(_, deg)| format!("{deg:.1}")));
                }
                desk.put(draft, live, place.map(Shape::Point));
                if let Some(area) = area {
                    desk.put(pavement, live, area);
                }
            }
            // The reader takes the middle, and says so.
            (None, Some(area)) => desk.put(draft, live, area),
            (None, None) => desk.leave_out("AircraftStand without a location"),
        }
    }
}

/// The ends of one-way lines that lead to a stand, by stand: place and direction of travel there, degrees.
fn leads(desk: &Desk<'_>) -> BTreeMap<String, Vec<(LonLat, f64)>> {
    let mut list: BTreeMap<String, Vec<(LonLat, f64)>> = BTreeMap::new();
    for (_, live) in desk.each(Kind::GuidanceLine) {
        let stands: Vec<String> = live
            .node
            .all(Space::Aixm, "connectedStand")
            .filter_map(Node::reference)
            .collect();
        let forward = match live.node.value(Space::Aixm, "usageDirection") {
            Some("FORWARD") => true,
            Some("BACKWARD") => false,
            _ => continue,
        };
        let extent = live.node.child(Space::Aixm, "extent").filter(|_| !stands.is_empty());
        // What is wrong with it is told where the line is made.
        let Some(Ok(mut line)) = extent.map(|e| desk.shapes.line(e, live.crs, &mut Vec::new())) else {
            continue;
        };
        if !forward {
            line.reverse();
        }
        if let [.., a, b] = line.as_slice() {
            let (_, _, azimuth_deg, _): (f64, f64, f64, f64) =
                Geodesic::wgs84().inverse(a.lat_deg, a.lon_deg, b.lat_deg, b.lon_deg);
            for stand in stands {
                list.entry(stand).or_default().push((*b, azimuth_deg.rem_euclid(360.0)));
            }
        }
    }
    list
}
