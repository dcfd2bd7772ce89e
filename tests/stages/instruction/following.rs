//! Followed exactly on the demo field: what was said and nothing else.

use super::{Place, names, request};
use toeline_engine::route::StopKind;

#[test]
fn the_way_is_what_was_said_and_nothing_else() {
    let demo = Place::demo();
    for (from, text, wanted) in [
        (
            "4",
            "taxi to holding point D1 runway 26 via L, A, D, hold short of runway 17",
            vec!["stand", "L", "A", "D"],
        ),
        (
            "4",
            "taxi to holding point D1 runway 26 via Lima, Alfa, cross runway 35",
            vec!["stand", "L", "A", "D"],
        ),
        (
            "4",
            "runway 26, taxi via A, D, cross runway 17/35 at A",
            vec!["stand", "L", "A", "D"],
        ),
        // The link at the west end of taxilane L has no letter.
        (
            "1",
            "taxi to holding point B1 runway 08 via L, A, B",
            vec!["stand", "L", "", "A", "B"],
        ),
        (
            "H3",
            "taxi to holding point C1 runway 26 via F, A, C",
            vec!["stand", "M", "F", "A", "C"],
        ),
        (
            "H3",
            "taxi to holding point C1 runway 26 via M, A, C",
            vec!["stand", "M", "A", "C"],
        ),
        ("4", "taxi to holding point A1 via L, A", vec!["stand", "L", "A"]),
        ("4", "taxi to holding point A", vec!["stand", "L", "A"]),
    ] {
        let (route, _, unclear) = demo.way(&request(from, "26"), text);
        assert_eq!(names(&demo, &route), wanted, "{text}");
        assert!(!unclear, "{text}");
    }
}

#[test]
fn each_crossing_needs_its_word() {
    let demo = Place::demo();
    let told = demo.no_way(&request("4", "26"), "taxi to holding point D1 runway 26 via L, A, D");
    assert_eq!(told.blocks.len(), 1, "{told:?}");
    assert!(
        told.blocks[0]
            .text
            .contains("crosses runway 17/35 from taxiway A, and no word allows it"),
        "{told:?}"
    );
    // A word for another runway, or at another place, is no word for this one.
    for (word, wanted) in [
        (
            "cross runway 08",
            "\"cross runway 08\": the way instructed never meets runway 08/26",
        ),
        (
            "cross runway 17 at C",
            "\"cross runway 17 at C\": the way instructed never meets runway 17/35 at C",
        ),
        ("hold short of runway 08 at B", "never meets runway 08/26 at B"),
    ] {
        let text = format!("taxi to holding point D1 runway 26 via L, A, D, {word}");
        let told = demo.no_way(&request("4", "26"), &text);
        assert!(told.blocks.iter().any(|b| b.text.contains(wanted)), "{text}: {told:?}");
        assert!(
            told.blocks.iter().any(|b| b.text.contains("crosses runway 17/35")),
            "{text}: {told:?}"
        );
    }
    // Two words for one crossing: one is left over.
    let twice = "taxi to holding point D1 runway 26 via L, A, D, cross runway 17, cross runway 35";
    let told = demo.no_way(&request("4", "26"), twice);
    assert_eq!(told.blocks.len(), 1);
    assert!(
        told.blocks[0]
            .text
            .contains("\"cross runway 35\": the way instructed meets runway 17/35 once"),
        "{told:?}"
    );
    // To hold short of the runway at the end is done by ending there.
    demo.way(
        &request("4", "26"),
        "runway 26, taxi via L, A, D, cross runway 17, hold short of runway 26",
    );
}

#[test]
fn what_the_map_does_not_have_is_named_with_its_place() {
    let demo = Place::demo();
    let plain = request("4", "26");
    for (text, wanted) in [
        (
            "taxi via L, H, D",
            "word 4 \"H\": no taxiway of that name on the map; the map has A, B, C, D, F, G, L, M, P",
        ),
        (
            "taxi via L, A1, D",
            "\"A1\": no taxiway of that name on the map; A1 is a holding position; near: A",
        ),
        (
            "taxi to runway 27 via L",
            "\"27\": no runway of that name on the map; the map has 08, 26, 17, 35",
        ),
        (
            "taxi to holding point E1 runway 26 via L",
            "\"E1\": no holding position of that name on the map; near: ",
        ),
        (
            "taxi to holding point A1 runway 26 via L",
            "\"A1\": it is before runway 17/35, not before runway 08/26",
        ),
        (
            "taxi to holding point F via A",
            "\"F\": no holding position of that name on the map; F is a taxiway without a holding position",
        ),
        (
            "taxi to runway 26 at F via A",
            "\"F\": no holding position of runway 26 lies on F",
        ),
        ("taxi via L, cross runway 08/35", "\"08/35\": no runway of that name"),
        (
            "taxi via L, hold short of runway 17 at Q",
            "\"Q\": no taxiway of that name",
        ),
    ] {
        let told = demo.message(&plain, text);
        assert!(told.contains(wanted), "{text}: {told}");
        assert!(told.ends_with('^'), "{told}");
    }
}

#[test]
fn what_does_not_meet_and_what_is_closed_is_told() {
    let demo = Place::demo();
    let plain = request("4", "26");
    for (text, wanted) in [
        (
            "runway 26, taxi via A, G, cross runway 17",
            "taxiway G: closed (resurfacing)",
        ),
        (
            "runway 26, taxi via L, D, cross runway 17",
            "\"D\": L and D do not meet; what joins them is taxiway A (",
        ),
        (
            "runway 26, taxi via L, A, cross runway 17",
            "\"A\": A does not lead to runway 26; what joins them is taxiway D (",
        ),
        (
            "taxi to holding point D1 runway 26 via M, A, D, cross runway 17",
            "the stand and M do not meet; what joins them is taxiway A (",
        ),
        (
            "runway 26, taxi via L, A, D, cross runway 17, hold short of B",
            "\"hold short of B\": the way instructed never meets taxiway B",
        ),
        (
            "runway 26, taxi via L, A, D, cross runway 17, hold short of M1",
            "\"hold short of M1\": the way instructed never meets holding position M1",
        ),
        ("runway 08, taxi via L, A, C, backtrack runway 08", ""),
    ] {
        let told = demo.no_way(&plain, text);
        assert!(told.blocks.iter().any(|b| b.text.contains(wanted)), "{text}: {told:?}");
    }
    // A span that a taxiway does not admit: told, not passed.
    let mut wide = request("H1", "26");
    wide.aircraft.wing.span_m = 14.0;
    let told = demo.no_way(&wide, "taxi to holding point C1 runway 26 via M, F, A, C");
    assert!(
        told.blocks
            .iter()
            .any(|b| b.text.contains("taxiway F: spans up to 12 m only, this wing has 14 m")),
        "{told:?}"
    );
}

#[test]
fn no_more_of_the_way_than_was_said() {
    let demo = Place::demo();
    let (route, notes, unclear) = demo.way(&request("4", "26"), "runway 26, taxi via A, hold short of runway 17");
    assert_eq!(names(&demo, &route), ["stand", "L", "A"]);
    assert_eq!(route.stops.last().unwrap().name, "A1");
    assert!(unclear);
    assert!(
        notes.iter().any(|n| n.contains("says no more of the way to runway 26")),
        "{notes:?}"
    );
    assert!(
        notes
            .iter()
            .any(|n| n.contains("taxilane L, which the instruction does not name")),
        "{notes:?}"
    );
    // An end that is not the one that was asked for.
    let (_, notes, _) = demo.way(&request("4", "26"), "taxi to holding point A1 via L, A");
    assert!(
        notes
            .iter()
            .any(|n| n == "the instruction ends at holding position A1, not at 26 as asked"),
        "{notes:?}"
    );
}

#[test]
fn it_stops_short_of_what_was_said() {
    let demo = Place::demo();
    let text = "runway 26, taxi via L, A, D, cross runway 17, hold short of C";
    let (route, ..) = demo.way(&request("4", "26"), text);
    let stops: Vec<&str> = route.stops.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(stops, ["stand 4", "taxiway C", "A1", "D1"]);
    let stop = &route.stops[1];
    assert_eq!((stop.kind, stop.derived), (StopKind::HoldShort, true));
    // C leaves A at a node of the map; the foremost part keeps the distance of ICAO Annex 14 Table 3-1, code A: 15.5 m.
    let c = demo.graph.graph.edge_weights().find(|s| s.letters == ["C"]).unwrap();
    let joint = [c.line[0], c.line[c.line.len() - 1]]
        .into_iter()
        .min_by(|a, b| a.distance(stop.pose.nose).total_cmp(&b.distance(stop.pose.nose)))
        .unwrap();
    let ahead = request("4", "26").aircraft.foremost_ahead_of_nose_m();
    assert!(
        (joint.distance(stop.pose.nose) - ahead - 15.5).abs() < 0.1,
        "{}",
        joint.distance(stop.pose.nose)
    );
    // A mapped intermediate holding position is used where there is one.
    let (route, ..) = demo.way(
        &request("H1", "08"),
        "taxi to holding point B1 runway 08 via M, A, B, hold short of A",
    );
    let stops: Vec<&str> = route.stops.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(stops, ["stand H1", "M1", "B1"]);
}

#[test]
fn the_engine_check_is_gone_by_or_it_is_said_that_it_is_not() {
    let demo = Place::demo();
    let mut with = request("4", "26");
    with.via = vec!["E".into()];
    let (route, ..) = demo.way(
        &with,
        "taxi to holding point D1 runway 26 via L, A, D, hold short of runway 17",
    );
    assert!(route.check.is_some());
    let told = demo.no_way(&with, "taxi to holding point C1 runway 26 via L, A, C");
    assert_eq!(told.blocks.len(), 1);
    assert!(
        told.blocks[0].text.contains("does not pass engine-check area E"),
        "{told:?}"
    );
}
