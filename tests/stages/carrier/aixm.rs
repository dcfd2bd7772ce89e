//! AIXM messages: what becomes of each kind of feature, at which time, of which aerodrome.

use super::{cut, good, list};
use serde_json::Value;
use std::collections::BTreeMap;
use std::io::Cursor;
use toeline_engine::carrier::{self, At, CarrierError, Message, NO_CREDIT};
use toeline_engine::{graph, read};
use toeline_model::airfield::{LaneKind, Way};
use toeline_model::date::{Date, TimeOfDay};
use toeline_tests::carried::AT;
use toeline_tests::carried::aixm::{
    beside, box_of, curve, feature, feature_of, field, geodesic, members, message, number as n, parts, point, replaced,
    slice, surface, to, uuid,
};

/// The features of a message by id.
pub(super) fn features(text: &str) -> BTreeMap<String, Value> {
    let made = good(text.as_bytes(), None);
    let whole: Value = serde_json::from_str(&made.text).unwrap();
    let list = whole["features"].as_array().unwrap().iter();
    list.map(|f| (f["id"].as_str().unwrap().to_string(), f.clone()))
        .collect()
}

pub(super) fn id(kind: &str, number: u32) -> String {
    format!("{kind}/{}", uuid(number))
}

/// One property of one feature.
pub(super) fn said(text: &str, kind: &str, number: u32, key: &str) -> Option<String> {
    let all = features(text);
    let f = all
        .get(&id(kind, number))
        .unwrap_or_else(|| panic!("no {kind} {number}"));
    f["properties"][key].as_str().map(str::to_string)
}

fn at(day: &str, time: Option<&str>) -> At {
    At {
        date: Date::parse(day).unwrap(),
        time: time.map(|t| TimeOfDay::parse(t).unwrap()),
    }
}

/// The text at a time.
fn text_at(text: &str, when: At) -> String {
    let made = carrier::cut_out(&mut Cursor::new(text.as_bytes()), None, when, &mut |_| {});
    made.unwrap_or_else(|e| panic!("{e}")).text
}

fn close(text: &str) -> bool {
    text.contains("toeline:closed\":\"operationalStatus CLOSED\"")
}

#[test]
fn every_kind_becomes_what_the_map_format_calls_it() {
    let all = features(&field());
    let tags = |kind: &str, number: u32| all[&id(kind, number)]["properties"].clone();
    let says = |kind: &str, number: u32, pairs: &[(&str, &str)]| {
        let own = tags(kind, number);
        for (key, value) in pairs {
            assert_eq!(own[key], *value, "{kind} {number}: {own}");
        }
    };
    says(
        "AirportHeliport",
        n::AIRPORT,
        &[
            ("aeroway", "aerodrome"),
            ("name", "QUILLMERE"),
            ("icao", "ZZZZ"),
            ("ele", "30.48"),
            ("toeline:accuracy_m", "0.3"),
        ],
    );
    says(
        "Runway",
        n::RUNWAY,
        &[
            ("aeroway", "runway"),
            ("ref", "08/26"),
            ("width", "23"),
            ("surface", "asphalt"),
        ],
    );
    says(
        "GuidanceLine",
        n::LINE,
        &[
            ("aeroway", "taxiway"),
            ("ref", "B"),
            ("width", "10.668"),
            ("surface", "asphalt"),
            ("maxspeed", "10 kt"),
            ("name", "LINE_B"),
        ],
    );
    assert_eq!(tags("GuidanceLine", n::LINE)["oneway"], Value::Null);
    says(
        "GuidanceLine",
        n::LEAD_IN,
        &[("aeroway", "taxilane"), ("oneway", "yes"), ("maxspeed", "8 km/h")],
    );
    says(
        "TaxiHoldingPosition",
        n::HOLD,
        &[
            ("aeroway", "holding_position"),
            ("holding_position:type", "runway"),
            ("name", "B CAT I 08/26"),
        ],
    );
    says(
        "TaxiwayElement",
        n::TAXIWAY_ELEMENT,
        &[("toeline:area", "pavement"), ("surface", "asphalt")],
    );
    says(
        "ApronElement",
        n::APRON_ELEMENT,
        &[("aeroway", "apron"), ("name", "MAIN"), ("surface", "concrete")],
    );
    says(
        "AircraftStand",
        n::STAND,
        &[
            ("aeroway", "parking_position"),
            ("ref", "1"),
            ("maxspan", "15"),
            ("direction", "90.0"),
        ],
    );
    says(
        "VerticalStructure",
        n::HANGAR,
        &[("building", "yes"), ("height", "6.096"), ("name", "HANGAR 1")],
    );
    says(
        "WorkArea",
        n::WORKS,
        &[("toeline:area", "closed"), ("toeline:closed", "surfacework")],
    );
    // A shoulder is not for wheels; that is said once, with the aerodrome.
    assert!(!all.contains_key(&id("RunwayElement", n::RUNWAY_ELEMENT)));
    let notes = tags("AirportHeliport", n::AIRPORT)["toeline:left_out"]
        .as_str()
        .unwrap()
        .to_string();
    assert!(notes.contains("1 RunwayElement of the type SHOULDER"), "{notes}");
    assert_eq!(all.len(), 10, "{:?}", all.keys());
}

#[test]
fn identities_are_those_that_a_notice_could_name() {
    let names = |kind: &str, number: u32| -> Vec<String> {
        let text = said(&field(), kind, number, "toeline:identities").unwrap();
        text.split(' ').map(str::to_string).collect()
    };
    let all = |list: &[u32]| list.iter().map(|k| uuid(*k)).collect::<Vec<_>>();
    assert_eq!(names("GuidanceLine", n::LINE), all(&[n::LINE, n::TAXIWAY]));
    assert_eq!(names("GuidanceLine", n::LEAD_IN), all(&[n::LEAD_IN, n::APRON]));
    assert_eq!(
        names("AircraftStand", n::STAND),
        all(&[n::STAND, n::APRON_ELEMENT, n::APRON])
    );
    assert_eq!(
        names("TaxiwayElement", n::TAXIWAY_ELEMENT),
        all(&[n::TAXIWAY_ELEMENT, n::TAXIWAY])
    );
    assert_eq!(
        names("ApronElement", n::APRON_ELEMENT),
        all(&[n::APRON_ELEMENT, n::APRON])
    );
    assert_eq!(names("Runway", n::RUNWAY), all(&[n::RUNWAY]));
    assert_eq!(names("WorkArea", n::WORKS), all(&[n::WORKS]));
}

#[test]
fn it_is_read_and_joined_like_any_other_map() {
    let made = good(field().as_bytes(), None);
    assert_eq!(made.aerodrome.feature, id("AirportHeliport", n::AIRPORT));
    let found = read::read(&made.text).unwrap();
    assert_eq!(found.field.attribution.as_deref(), Some(NO_CREDIT));
    assert_eq!(
        found.field.runways[0].designators,
        [Some("08".to_string()), Some("26".to_string())]
    );
    assert!((found.field.accuracy_m - 0.3).abs() < 1e-12 && found.field.accuracy_stated);
    let kinds: Vec<(LaneKind, Way)> = found.field.lanes.iter().map(|l| (l.kind, l.way)).collect();
    assert_eq!(
        kinds,
        [(LaneKind::Taxiway, Way::Both), (LaneKind::Taxilane, Way::Forward)]
    );
    assert_eq!(found.field.outlines.len(), 1, "the taxiway element carries wheels");
    assert_eq!(found.field.closures.len(), 1);
    let (taxi, _) = graph::build(&found.field);
    assert_eq!(taxi.stands.len(), 1);
    assert_eq!(
        taxi.holds.iter().filter(|h| h.guards == Some(0)).count(),
        1,
        "{:?}",
        taxi.holds
    );
}

#[test]
fn one_message_and_a_folder_of_them_are_the_same_in_any_order() {
    let whole = good(field().as_bytes(), None).text;
    let mut files: Vec<Vec<u8>> = members(&parts())
        .into_iter()
        .map(|m| message(&[m]).into_bytes())
        .collect();
    for _ in 0..2 {
        let mut cursors: Vec<Cursor<&[u8]>> = files.iter().map(|f| Cursor::new(f.as_slice())).collect();
        let mut list: Vec<Message<'_>> = cursors
            .iter_mut()
            .enumerate()
            .map(|(i, c)| Message {
                name: format!("{i}.xml"),
                bytes: c,
            })
            .collect();
        let made = carrier::cut_out_of_messages(&mut list, None, AT, &mut |_| {}).unwrap();
        assert_eq!(made.text, whole);
        files.reverse();
    }
    // Read again in the reversed order, an error names the file.
    let broken = Cursor::new(b"<x".as_slice());
    let mut broken = broken;
    let mut list = [Message {
        name: "late.xml".to_string(),
        bytes: &mut broken,
    }];
    let e = carrier::cut_out_of_messages(&mut list, None, AT, &mut |_| {})
        .unwrap_err()
        .to_string();
    assert!(e.contains("late.xml, line 1"), "{e}");
}

#[test]
fn what_is_closed_for_a_time_is_closed_in_that_time_only() {
    let closed = "<availability><ManoeuvringAreaAvailability><operationalStatus>CLOSED</operationalStatus></ManoeuvringAreaAvailability>\
                  </availability>";
    let mut all = parts();
    let taxiway = all.iter().position(|p| p.1 == n::TAXIWAY).unwrap();
    let (kind, number, inside) = all.remove(taxiway);
    let slices = [
        slice("BASELINE", 1, "2026-01-01T00:00:00Z", "", &inside),
        slice("TEMPDELTA", 2, "2026-03-01T06:00:00Z", "2026-03-01T09:00:00Z", closed),
    ];
    let mut list = members(&all);
    list.push(feature_of(kind, number, &slices));
    let text = message(&list);
    assert!(!close(&text_at(&text, at("2026-03-01", Some("05:59")))));
    assert!(close(&text_at(&text, at("2026-03-01", Some("06:00")))));
    assert!(!close(&text_at(&text, at("2026-03-01", Some("09:00")))));
    assert!(!close(&text_at(&text, at("2026-03-02", None))));
    assert!(
        close(&text_at(&text, at("2026-03-01", None))),
        "without a time of day the whole day counts"
    );
    let found = read::read(&text_at(&text, at("2026-03-01", Some("07:00")))).unwrap();
    let lane = found.field.lanes.iter().find(|l| l.letters == ["B"]).unwrap();
    assert_eq!(lane.closed.as_deref(), Some("operationalStatus CLOSED"));
    // The two slices may stand in two members, as messages of changes have them.
    list.pop();
    list.extend(slices.map(|s| feature_of(kind, number, &[s])));
    assert!(close(&text_at(&message(&list), at("2026-03-01", Some("07:00")))));
    // A doubt of a slice goes to what it is told with.
    let e = carrier::cut_out(
        &mut Cursor::new(text.as_bytes()),
        None,
        at("2025-12-31", None),
        &mut |_| {},
    )
    .unwrap_err()
    .to_string();
    assert!(e.contains("no time slice of it is valid on 2025-12-31"), "{e}");
}

#[test]
fn features_that_are_not_there_yet_are_said() {
    let mut list = members(&parts());
    let later = slice(
        "BASELINE",
        1,
        "2026-06-01T00:00:00Z",
        "",
        &format!(
            "<type>TWY</type>{}",
            curve("extent", &geodesic("47.2 -20.4 47.21 -20.4"))
        ),
    );
    list.push(feature_of("GuidanceLine", 99, &[later]));
    let text = message(&list);
    let notes = said(&text, "AirportHeliport", n::AIRPORT, "toeline:left_out").unwrap();
    let told = format!(
        "not there: GuidanceLine/{}: no time slice of it is valid on 2026-03-01",
        uuid(99)
    );
    assert!(notes.contains(&told), "{notes}");
    assert!(text_at(&text, at("2026-06-01", None)).contains(&id("GuidanceLine", 99)));
    let found = read::read(&good(text.as_bytes(), None).text).unwrap();
    assert!(found.notices.iter().any(|n| n.text == told), "{:?}", found.notices);
}

#[test]
fn displaced_thresholds_are_pieces_of_the_runway() {
    let mut all = parts();
    let inside = format!(
        "<role>DISTHR</role>{}{}",
        point("location", &beside(-300.0, 25.0)),
        to("onRunway", n::RUNWAY_08)
    );
    all.push(("RunwayCentrelinePoint", 60, inside));
    let text = message(&members(&all));
    assert_eq!(
        said(&text, "RunwayCentrelinePoint", 60, "runway").as_deref(),
        Some("displaced_threshold")
    );
    let found = read::read(&good(text.as_bytes(), None).text).unwrap();
    assert_eq!(found.field.runways.len(), 1);
    let whole = read::read(&good(field().as_bytes(), None).text).unwrap();
    let ends = |f: &toeline_model::Airfield| {
        let line = &f.runways[0].line;
        line[0].distance(line[line.len() - 1])
    };
    assert!((ends(&found.field) - ends(&whole.field)).abs() < 0.05);
    // A point beside the line is told.
    let beside_it = text.replace(&beside(-300.0, 25.0), &beside(-300.0, 40.0));
    let doubt = said(&beside_it, "Runway", n::RUNWAY, "toeline:doubt").unwrap();
    assert!(
        doubt.contains("(DISTHR) lies 14.") && doubt.contains("m beside the line"),
        "{doubt}"
    );
}

#[test]
fn helicopters_and_the_ground_are_left_out() {
    let air = replaced(n::LEAD_IN, "LI_TLANE", "AIR_TLANE");
    assert!(!features(&air).contains_key(&id("GuidanceLine", n::LEAD_IN)));
    let notes = said(&air, "AirportHeliport", n::AIRPORT, "toeline:left_out").unwrap();
    assert!(notes.contains("1 GuidanceLine of the type AIR_TLANE"), "{notes}");
    let ground = replaced(n::HANGAR, "<type>BUILDING</type>", "<type>OTHER:TERRAIN_CONTOUR</type>");
    assert!(!features(&ground).contains_key(&id("VerticalStructure", n::HANGAR)));
    let odd = replaced(n::LINE, "<type>TWY</type>", "<type>OTHER:LOOP</type>");
    let doubt = said(&odd, "GuidanceLine", n::LINE, "toeline:doubt").unwrap();
    assert!(doubt.contains("OTHER:LOOP"), "{doubt}");
    let quiet = replaced(n::WORKS, "YES", "NO");
    assert!(
        !features(&quiet).contains_key(&id("WorkArea", n::WORKS)),
        "works that are not active close nothing"
    );
}

#[test]
fn obstacles_have_heights_and_shapes() {
    let structure = |inside: String| {
        let mut all = parts();
        all.push(("VerticalStructure", 70, inside));
        message(&members(&all))
    };
    let part = |inside: &str| format!("<part><VerticalStructurePart>{inside}</VerticalStructurePart></part>");
    let place = point("horizontalProjection_location", &beside(100.0, -100.0));
    let high = place.replace("</gml:pos>", "</gml:pos><elevation uom=\"M\">50.48</elevation>");
    // Height by elevation, and told.
    let mast = structure(part(&format!("<type>ANTENNA</type>{high}")));
    assert_eq!(said(&mast, "VerticalStructure", 70, "height").as_deref(), Some("20"));
    assert!(
        said(&mast, "VerticalStructure", 70, "toeline:doubt")
            .unwrap()
            .contains("elevation above that of the aerodrome")
    );
    assert_eq!(
        said(&mast, "VerticalStructure", 70, "man_made").as_deref(),
        Some("mast")
    );
    // A radius makes a circle of it.
    let round = structure(format!(
        "<radius uom=\"M\">6</radius>{}",
        part(&format!("<type>TANK</type>{place}"))
    ));
    assert_eq!(
        said(&round, "VerticalStructure", 70, "building").as_deref(),
        Some("yes")
    );
    assert_eq!(
        features(&round)[&id("VerticalStructure", 70)]["geometry"]["type"],
        "Polygon"
    );
    // Parts are features of their own; lines are walls or fences.
    let line = curve(
        "horizontalProjection_linearExtent",
        &geodesic(&format!("{} {}", beside(0.0, -300.0), beside(50.0, -300.0))),
    );
    let two = structure(part(&format!("<type>FENCE</type>{line}")) + &part(&format!("<type>TREE</type>{place}")));
    assert_eq!(said(&two, "VerticalStructure", 70, "barrier").as_deref(), Some("fence"));
    assert_eq!(
        features(&two)[&format!("{}/2", id("VerticalStructure", 70))]["properties"]["natural"],
        "tree"
    );
    // Far away it is counted only.
    let far = structure(part(&format!(
        "<type>ANTENNA</type>{}",
        point("horizontalProjection_location", "48 -20.4")
    )));
    assert!(
        said(&far, "AirportHeliport", n::AIRPORT, "toeline:left_out")
            .unwrap()
            .contains("1 VerticalStructure more than 500 m")
    );
}

/// The field, and the same one fifty kilometres to the north under other numbers.
fn two() -> String {
    let mut list = members(&parts());
    for (kind, number, inside) in parts() {
        let mut inside = inside
            .replace("QUILLMERE", "UPPER QUILLMERE")
            .replace("ZZZZ", "ZZZY")
            .replace(" 47.2", " 47.7");
        inside = inside.replace(">47.", ">48.").replace(" 47.", " 48.");
        for other in 1..60 {
            inside = inside.replace(&uuid(other), &uuid(1000 + other));
        }
        list.push(feature(kind, 1000 + number, &inside));
    }
    message(&list)
}

#[test]
fn of_several_aerodromes_one_is_picked_with_what_is_its_own() {
    let text = two();
    let found = list(text.as_bytes());
    assert_eq!(found.len(), 2);
    let told: Vec<_> = found
        .iter()
        .map(|a| (a.icao.clone().unwrap(), a.runways, a.lanes, a.stands))
        .collect();
    assert_eq!(told, [("ZZZZ".to_string(), 1, 2, 1), ("ZZZY".to_string(), 1, 2, 1)]);
    assert!(matches!(cut(text.as_bytes(), None), Err(CarrierError::Several { .. })));
    let one = good(text.as_bytes(), Some("ZZZY"));
    assert_eq!(one.aerodrome.name.as_deref(), Some("UPPER QUILLMERE"));
    assert!(!one.text.contains(&uuid(n::LINE)) && one.text.contains(&uuid(1000 + n::LINE)));
    assert!(
        one.text.contains(&uuid(1000 + n::HANGAR))
            && !one.text.contains(&format!("VerticalStructure/{}", uuid(n::HANGAR)))
    );
    let by_place = good(text.as_bytes(), Some("-20.4,47.2"));
    assert_eq!(by_place.aerodrome.icao.as_deref(), Some("ZZZZ"));
    // What refers to nothing belongs to the nearest within 3 km, else to none.
    let stray = |place: &str| {
        let line = curve("extent", &geodesic(&format!("{place} {}", beside(100.0, -300.0))));
        text.replace(
            "</message:AIXMBasicMessage>",
            &format!(
                "<message:hasMember>{}</message:hasMember></message:AIXMBasicMessage>",
                feature("GuidanceLine", 90, &format!("<type>TWY</type>{line}"))
            ),
        )
    };
    assert!(
        good(stray(&beside(80.0, -300.0)).as_bytes(), Some("ZZZZ"))
            .text
            .contains(&uuid(90))
    );
    let nobodys = good(stray("47.4 -20.4").as_bytes(), Some("ZZZZ")).text;
    assert!(!nobodys.contains(&uuid(90)) && nobodys.contains("1 feature that belongs to no aerodrome"));
}

#[test]
fn without_an_airport_all_that_is_there_counts() {
    let all: Vec<_> = parts().into_iter().filter(|p| p.1 != n::AIRPORT).collect();
    let text = message(&members(&all));
    let found = list(text.as_bytes());
    assert_eq!((found.len(), found[0].tagged, found[0].lanes), (1, false, 2));
    let read = read::read(&good(text.as_bytes(), None).text).unwrap();
    assert_eq!(read.field.lanes.len(), 2);
    assert!(read.notices.iter().any(|n| n.text.contains("has no AirportHeliport")));
}

#[test]
fn the_credit_is_what_the_message_says() {
    let credit = |text: &str| {
        let whole: Value = serde_json::from_str(&good(text.as_bytes(), None).text).unwrap();
        whole["attribution"].as_str().unwrap().to_string()
    };
    assert_eq!(credit(&field()), NO_CREDIT);
    let by_comment = field().replacen(
        "<message:AIXM",
        "<!-- By hand.\n  Copyright 2026 the Quillmere club\n  and so on -->\n<message:AIXM",
        1,
    );
    assert_eq!(credit(&by_comment), "Copyright 2026 the Quillmere club");
    let metadata = "gml:id=\"M\">\n<aixm:messageMetadata><gmd:MD_Metadata xmlns:gmd=\"u\" xmlns:gco=\"v\"><gmd:x><gmd:credit>\
                    <gco:CharacterString>Survey of the club</gco:CharacterString></gmd:credit></gmd:x></gmd:MD_Metadata></aixm:messageMetadata>";
    let by_metadata = by_comment.replacen("gml:id=\"M\">", metadata, 1);
    assert_eq!(
        credit(&by_metadata),
        "Copyright 2026 the Quillmere club; Survey of the club"
    );
    assert_eq!(
        list(by_metadata.as_bytes())[0].credit,
        "Copyright 2026 the Quillmere club; Survey of the club"
    );
    assert!(carrier::aerodromes_text(&list(field().as_bytes())).ends_with(&format!("map data: {NO_CREDIT}\n")));
}

#[test]
fn other_members_are_counted() {
    let mut all = members(&parts());
    all.push(feature("Airspace", 80, "<type>CTR</type>"));
    all.push(feature("Airspace", 81, "<type>CTR</type>"));
    let notes = said(&message(&all), "AirportHeliport", n::AIRPORT, "toeline:left_out").unwrap();
    assert!(
        notes.contains("kinds of members that are not read: 2 Airspace"),
        "{notes}"
    );
}

#[test]
fn a_runway_without_points_is_its_only_element() {
    let all: Vec<_> = parts()
        .into_iter()
        .filter(|p| p.0 != "RunwayCentrelinePoint")
        .map(|(kind, number, inside)| {
            let inside = if number == n::RUNWAY_ELEMENT {
                format!(
                    "<type>NORMAL</type>{}{}",
                    to("associatedRunway", n::RUNWAY),
                    surface("extent", &box_of((-450.0, 70.0), (450.0, 93.0)))
                )
            } else {
                inside
            };
            (kind, number, inside)
        })
        .collect();
    let text = message(&members(&all));
    let found = read::read(&good(text.as_bytes(), None).text).unwrap();
    assert_eq!(found.field.runways.len(), 1);
    assert!(found.notices.iter().any(|n| n.text.contains("drawn as an area only")));
    let none: Vec<_> = all.into_iter().filter(|p| p.1 != n::RUNWAY_ELEMENT).collect();
    let notes = said(
        &message(&members(&none)),
        "AirportHeliport",
        n::AIRPORT,
        "toeline:left_out",
    )
    .unwrap();
    assert!(
        notes.contains("Runway without two centreline points (08/26)"),
        "{notes}"
    );
}
