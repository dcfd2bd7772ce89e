//! The published example of the AIXM 5.1.1 standard, read whole and held against an independent reading of the same files
//! (`python/aixm_peer.py`: ElementTree and pyproj).

use crate::python::{answer, python};
use serde_json::{Value, json};
use std::fs::File;
use toeline_engine::carrier::{self, At, Message};
use toeline_engine::notice::NoticeKind;
use toeline_engine::planning::{Outcome, plan};
use toeline_engine::{graph, inspection, read};
use toeline_model::Bearing;
use toeline_model::date::Date;
use toeline_tests::{open_data, request};

/// The aerodrome as it is on a day in the time that the example is for.
fn cut(folder: &std::path::Path) -> carrier::Cut {
    cut_on(folder, Date::parse("2026-03-01").unwrap())
}

/// The aerodrome of a folder of messages as it is on a day.
pub(crate) fn cut_on(folder: &std::path::Path, date: Date) -> carrier::Cut {
    let mut names: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "xml"))
        .collect();
    names.sort();
    let mut files: Vec<File> = names.iter().map(|n| File::open(n).unwrap()).collect();
    let mut list: Vec<Message<'_>> = names
        .iter()
        .zip(&mut files)
        .map(|(n, f)| Message {
            name: n.file_name().unwrap().to_string_lossy().into_owned(),
            bytes: f,
        })
        .collect();
    let at = At { date, time: None };
    carrier::cut_out_of_messages(&mut list, None, at, &mut |_| {}).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn the_example_is_read_whole_and_every_position_is_that_of_an_independent_reading() {
    let Some(folder) = open_data("airfields/donlon-aixm") else {
        return;
    };
    let Some(python) = python() else { return };
    let made = cut(&folder);
    let theirs = answer(
        &python,
        "aixm_peer.py",
        &json!({"folder": folder.to_str().unwrap(), "text": made.text}),
    );
    let number = |of: &Value, kind: &str| of[kind].as_u64().unwrap_or(0);
    // What the example is known to hold.
    for (kind, count) in [
        ("GuidanceLine", 106),
        ("TaxiwayElement", 60),
        ("TaxiHoldingPosition", 32),
    ] {
        assert_eq!(number(&theirs["counts"], kind), count, "{kind}");
    }
    // Everything that they find is a feature of ours or counted as not used.
    let notes: Value = serde_json::from_str(&made.text).unwrap();
    let notes = notes["features"][0]["properties"]["toeline:left_out"]
        .as_str()
        .unwrap()
        .to_string();
    let left_out = |words: &str| -> u64 {
        let line = notes
            .lines()
            .filter_map(|l| l.strip_prefix("not used: "))
            .find(|l| l.contains(words));
        line.and_then(|l| l.split(' ').next()?.parse().ok()).unwrap_or(0)
    };
    assert_eq!(
        number(&theirs["seen"], "GuidanceLine") + left_out("AIR_TLANE"),
        106,
        "{notes}"
    );
    assert_eq!(
        number(&theirs["seen"], "TaxiwayElement") + left_out("TaxiwayElement of the type SHOULDER"),
        60
    );
    assert_eq!(
        number(&theirs["seen"], "RunwayElement") + left_out("RunwayElement of the type SHOULDER"),
        22
    );
    assert_eq!(number(&theirs["seen"], "TaxiHoldingPosition"), 32);
    // Fourteen of the sixteen stands have an area too.
    assert_eq!(number(&theirs["counts"], "AircraftStand"), 16);
    assert_eq!(number(&theirs["seen"], "AircraftStand"), 30);
    for (kind, count) in [("ApronElement", 4), ("WorkArea", 2), ("AirportHeliport", 1)] {
        assert_eq!(number(&theirs["counts"], kind), count, "{kind}");
        assert_eq!(number(&theirs["seen"], kind), count, "{kind}");
    }
    assert_eq!(number(&theirs["counts"], "Taxiway"), 10);
    assert_eq!(number(&theirs["counts"], "RunwayCentrelinePoint"), 25);
    assert_eq!(number(&theirs["counts"], "VerticalStructure"), 27);
    // 27 structures: 12 far away, one of ground only (42 parts), one high point; 13 with one part each.
    assert_eq!(number(&theirs["seen"], "VerticalStructure"), 13);
    assert_eq!(left_out("VerticalStructure more than"), 12);
    assert_eq!(left_out("TERRAIN_CONTOUR"), 42);
    assert_eq!(
        theirs["missing"],
        json!([]),
        "positions that are not where they should be"
    );
    assert!(theirs["compared"].as_u64().unwrap() > 6000, "{}", theirs["compared"]);
    let (worst_mm, circle_mm) = (
        theirs["worst_mm"].as_f64().unwrap(),
        theirs["circle_mm"].as_f64().unwrap(),
    );
    println!(
        "{} positions; off the geodesic by {worst_mm} mm at most, off the circle by {circle_mm} mm",
        theirs["compared"]
    );
    // Half of what design truth 2 allows; the other half is the reader's.
    assert!(worst_mm <= 0.0501, "{worst_mm} mm");
    assert!(worst_mm > 0.001, "{worst_mm} mm: nothing was measured");
    assert!(circle_mm < 1e-3, "{circle_mm} mm");
    for (id, said) in theirs["lines"].as_object().unwrap() {
        for pair in said.as_array().unwrap().chunks(2) {
            assert_eq!(pair[0], pair[1], "{id}");
        }
    }
}

#[test]
fn the_example_is_one_graph() {
    let Some(folder) = open_data("airfields/donlon-aixm") else {
        return;
    };
    let made = cut(&folder);
    let found = read::read(&made.text).unwrap();
    let field = &found.field;
    assert_eq!(
        (field.runways.len(), field.lanes.len(), field.stands.len()),
        (2, 103, 16)
    );
    let lengths: Vec<f64> = field
        .runways
        .iter()
        .map(|r| toeline_model::planar::line_length(&r.line))
        .collect();
    // The published lengths, 3200 and 2700 m, to what the positions say.
    assert!(
        (lengths[0] - 2700.0).abs() < 5.0 && (lengths[1] - 3200.0).abs() < 5.0,
        "{lengths:?}"
    );
    assert!((field.accuracy_m - 0.5).abs() < 1e-12);
    let (taxi, _) = graph::build(field);
    assert_eq!(taxi.stands.len(), 14, "the two for helicopters have no lane");
    let guarding = taxi.holds.iter().filter(|h| h.guards.is_some()).count();
    assert_eq!((taxi.holds.len(), guarding), (32, 16));
    let inspected = inspection::inspect(&made.text).unwrap();
    let told = inspection::text(&inspected);
    assert!(told.contains("all that is in use is joined"), "{told}");
    // 14 stands whose lead-in lines are one way; letters B, C and H in several chains; the two stands for helicopters;
    // two turn pads and a timetable.
    assert_eq!(inspected.count(NoticeKind::Doubt), 22, "{told}");
    // The stands' limit, and helicopters only.
    let spans: Vec<Option<f64>> = field.stands.iter().map(|s| s.span_limit_m).collect();
    assert_eq!(spans.iter().filter(|s| **s == Some(36.0)).count(), 14, "{spans:?}");
    assert_eq!(field.stands.iter().filter(|s| s.closed.is_some()).count(), 2);
    // Taxiway B is for spans below group V (171 ft), the others for those below group VI (214 ft): FAA AC 150/5300-13B, table 1-2.
    let of = |letter: &str| {
        field
            .lanes
            .iter()
            .find(|l| l.letters == [letter])
            .and_then(|l| l.span_limit_m)
    };
    assert_eq!((of("B"), of("A")), (Some(52.12), Some(65.22)));
}

#[test]
fn ways_on_the_example() {
    let Some(folder) = open_data("airfields/donlon-aixm") else {
        return;
    };
    let made = cut(&folder);
    let on = |from: &str, to: &str| {
        let mut asked = request("trainer-high-2", from, &[], to, "calm");
        asked.date = Date::parse("2026-03-01").unwrap();
        asked.parked_heading = from.contains(',').then(|| Bearing::from_deg(354.0));
        asked
    };
    // From a runway to a stand.
    let arrival = plan(&made.text, &on("27R", "1")).unwrap();
    assert!(matches!(arrival.outcome, Outcome::Way(_)));
    // The lead-in lines are for use toward the stands only: nobody taxis out, and that is said.
    let out = plan(&made.text, &on("1", "E CAT I 09L/27R")).unwrap();
    let Outcome::NoWay(no) = &out.outcome else {
        panic!("there is a way against the direction of use")
    };
    let told = toeline_engine::briefing::text(&toeline_engine::briefing::brief(&out));
    assert!(told.contains("one way, and this way goes against it"), "{told} {no:?}");
    // Pushed back onto the apron's centreline, the way to the holding position is found.
    let pushed = plan(&made.text, &on("-31.94663,52.37330", "E CAT I 09L/27R")).unwrap();
    let Outcome::Way(way) = &pushed.outcome else {
        panic!("no way from the apron")
    };
    let letters: Vec<&str> = way
        .route
        .legs
        .iter()
        .filter_map(|l| l.letters.first().map(String::as_str))
        .collect();
    println!("legs by {letters:?}");
    assert!(letters.contains(&"E"), "{letters:?}");
}
