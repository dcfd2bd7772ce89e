//! What a closure breaks: little fields with a known answer, the demo field, and what holds of any field.

use proptest::prelude::*;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use toeline_engine::closures::{self, Asked, Broken, Change, ClosuresError, Question, Row, What, broken};
use toeline_model::aircraft::catalog;
use toeline_model::date::Date;
use toeline_tests::sketch::Sketch;

fn ask(text: &str, close: &[(What, &str)], aircraft: &[&str]) -> Result<Broken, ClosuresError> {
    let question = Question {
        close: close
            .iter()
            .map(|(what, name)| Asked {
                what: *what,
                name: name.to_string(),
            })
            .collect(),
        aircraft: aircraft
            .iter()
            .map(|a| catalog::find(a).expect("an aeroplane"))
            .collect(),
        date: Date::parse("2026-07-04").unwrap(),
        time_utc: None,
        notams: Vec::new(),
    };
    broken(text, &question, &mut |_, _| {})
}

const ONE: [&str; 1] = ["trainer-high-2"];

/// Runway 09/27 north of a lane B that leads to it by A in the west and by C in the east; stand 1 in the middle of B, stand
/// 2 on a spur E of C, an engine-check area at the end of a lane D of its own, and a closed area about C on one day of August.
fn two_ways() -> String {
    let stand = |name: &str| json!({ "aeroway": "parking_position", "ref": name });
    let hold = |name: &str| json!({ "aeroway": "holding_position", "ref": name, "holding_position:type": "runway" });
    let square = |x: f64, y: f64| {
        [
            [x - 10.0, y - 10.0],
            [x + 10.0, y - 10.0],
            [x + 10.0, y + 10.0],
            [x - 10.0, y + 10.0],
        ]
    };
    Sketch::default()
        .runway("rwy", "09/27", &[[-400.0, 0.0], [400.0, 0.0]])
        .taxiway("a", "A", &[[-400.0, 0.0], [-400.0, -60.0], [-400.0, -150.0]])
        .taxiway("b", "B", &[[-400.0, -150.0], [0.0, -150.0], [100.0, -150.0], [400.0, -150.0]])
        .taxiway("c", "C", &[[400.0, -150.0], [400.0, -100.0], [400.0, -60.0], [400.0, 0.0]])
        .taxiway("d", "D", &[[100.0, -150.0], [100.0, -250.0]])
        .taxiway("e", "E", &[[400.0, -150.0], [500.0, -150.0]])
        .point("a1", [-400.0, -60.0], hold("A1"))
        .point("c1", [400.0, -60.0], hold("C1"))
        .point("s1", [0.0, -170.0], stand("1"))
        .point("s2", [500.0, -170.0], stand("2"))
        .area("w", &[&square(100.0, -255.0)], json!({ "toeline:area": "engine_check", "ref": "W" }))
        .area(
            "works",
            &[&square(400.0, -110.0)],
            json!({ "toeline:area": "closed", "ref": "K", "toeline:closed": "works", "toeline:closed_from": "2026-08-01", "toeline:closed_to": "2026-08-01" }),
        )
        .text()
}

fn row<'a>(b: &'a Broken, stand: &str, runway: &str) -> &'a Row {
    b.rows
        .iter()
        .find(|r| r.stand == stand && r.runway == runway)
        .unwrap_or_else(|| panic!("no row {stand} {runway} in {:?}", b.rows))
}

fn places(b: &Broken) -> Vec<&str> {
    b.places.iter().map(|p| p.place.as_str()).collect()
}

#[test]
fn a_lane_that_is_the_only_way_loses_what_lies_behind_it_and_nothing_else() {
    let b = ask(&two_ways(), &[(What::Lane, "d")], &ONE).unwrap();
    assert_eq!(places(&b), ["engine-check area W"]);
    assert!(b.rows.iter().all(|r| r.change() == Change::Same), "{:?}", b.rows);
    assert!(b.loses());
    let b = ask(&two_ways(), &[(What::Lane, "E")], &ONE).unwrap();
    let lost: Vec<_> = b
        .of(Change::Lost)
        .map(|r| (r.stand.as_str(), r.runway.as_str()))
        .collect();
    assert_eq!(lost, [("stand 2", "09"), ("stand 2", "27")]);
    assert_eq!(places(&b), Vec::<&str>::new());
}

#[test]
fn a_way_round_has_the_length_that_the_drawing_has() {
    // With A closed stand 1 gets to 09 only by C: the length is the one to C1, from the stand.
    let b = ask(&two_ways(), &[(What::Lane, "A")], &ONE).unwrap();
    let r = row(&b, "stand 1", "09");
    assert_eq!(r.change(), Change::Dearer);
    let (before, after) = (r.before.as_ref().unwrap(), r.after.as_ref().unwrap());
    // 20 m off the stand, along B, and 90 m of A or C to the bar.
    assert!((before.length_m - (20.0 + 400.0 + 90.0)).abs() < 0.5, "{before:?}");
    assert!((after.length_m - (20.0 + 400.0 + 90.0)).abs() < 0.5, "{after:?}");
    assert_eq!(before.by, ["taxiway B", "taxiway A"]);
    assert_eq!(after.by, ["taxiway B", "taxiway C"]);
    assert_eq!(row(&b, "stand 1", "27").change(), Change::Same);
    assert_eq!(places(&b), ["holding position A1"]);
}

#[test]
fn several_at_once_break_more_than_each_alone() {
    let each: Vec<Broken> = ["A", "C"]
        .iter()
        .map(|l| ask(&two_ways(), &[(What::Lane, l)], &ONE).unwrap())
        .collect();
    assert!(each.iter().all(|b| b.of(Change::Lost).next().is_none()));
    let both = ask(&two_ways(), &[(What::Lane, "A"), (What::Lane, "C")], &ONE).unwrap();
    assert_eq!(both.of(Change::Lost).count(), 4);
    assert_eq!(places(&both), ["holding position A1", "holding position C1"]);
}

#[test]
fn runway_stand_holding_position_and_a_dated_area_on_another_day() {
    let b = ask(&two_ways(), &[(What::Runway, "27/09")], &ONE).unwrap();
    assert_eq!(b.of(Change::Lost).count(), 4);
    let b = ask(&two_ways(), &[(What::Stand, "1")], &ONE).unwrap();
    let lost: BTreeSet<_> = b.of(Change::Lost).map(|r| r.stand.as_str()).collect();
    assert_eq!(lost, BTreeSet::from(["stand 1"]));
    let b = ask(&two_ways(), &[(What::HoldingPosition, "c1")], &ONE).unwrap();
    assert_eq!(places(&b), ["holding position C1"]);
    assert_eq!(
        row(&b, "stand 1", "27").after.as_ref().unwrap().by,
        ["taxiway B", "taxiway A"]
    );
    for name in ["K", "works", "closed area K"] {
        let b = ask(&two_ways(), &[(What::Area, name)], &ONE).unwrap();
        assert_eq!(row(&b, "stand 1", "27").change(), Change::Dearer, "{name}");
        assert_eq!(places(&b), ["holding position C1"]);
    }
}

#[test]
fn a_stand_pushed_back_by_hand_is_lost_when_it_is_closed() {
    // Nose in: it is pushed onto the lane and uses no segment of the stand.
    let text = two_ways().replace("\"ref\":\"1\"", "\"ref\":\"1\",\"direction\":180");
    assert_ne!(text, two_ways());
    let b = ask(&text, &[(What::Stand, "1")], &ONE).unwrap();
    assert_eq!(row(&b, "stand 1", "09").change(), Change::Lost);
}

#[test]
fn unknown_and_ambiguous_names_are_told() {
    let err = |what, name| ask(&two_ways(), &[(what, name)], &ONE).unwrap_err().to_string();
    assert!(err(What::Lane, "taxi").contains("no taxiway or taxilane \"taxi\" on the map"));
    let near = err(What::HoldingPosition, "C2");
    assert!(
        near.contains("no holding position \"C2\"") && near.contains("C1"),
        "{near}"
    );
    let twice = two_ways().replace("\"ref\":\"2\"", "\"ref\":\"1\"");
    let e = ask(&twice, &[(What::Stand, "1")], &ONE).unwrap_err().to_string();
    assert!(e.contains("s1") && e.contains("s2"), "{e}");
    assert!(ask(&two_ways(), &[], &ONE).is_err());
    assert!(ask(&two_ways(), &[(What::Lane, "A")], &[]).is_err());
}

#[test]
fn what_is_closed_already_changes_nothing_and_is_noted() {
    let demo = toeline_tests::demo_field();
    let b = ask(&demo, &[(What::Lane, "G")], &ONE).unwrap();
    assert!(!b.loses() && b.of(Change::Dearer).next().is_none());
    assert!(
        b.notes
            .iter()
            .any(|n| n.contains("taxiway G") && n.contains("closed already")),
        "{:?}",
        b.notes
    );
}

#[test]
fn the_demo_before_is_every_stand_to_every_runway_and_the_forms_agree() {
    let b = ask(&toeline_tests::demo_field(), &[(What::Lane, "B")], &ONE).unwrap();
    let json: Value = serde_json::from_str(&closures::json(&b)).unwrap();
    assert_eq!(json["toeline_closing"], closures::FORMAT);
    assert_eq!(json["ways"].as_array().unwrap().len(), b.rows.len());
    let csv = closures::csv(&b);
    assert_eq!(csv.lines().count(), b.rows.len() + 1);
    let columns = csv.lines().next().unwrap().split(',').count();
    assert!(
        csv.lines()
            .all(|l| l.split('"').step_by(2).map(|s| s.matches(',').count()).sum::<usize>() + 1 == columns)
    );
    let lost = b.of(Change::Lost).count();
    assert_eq!(json["counts"]["lost"], lost);
    assert!(closures::text(&b).contains(&format!("{lost} lost")));
}

/// Never cheaper, never newly reached: what is closed only takes away.
fn only_takes_away(b: &Broken) {
    for r in &b.rows {
        match (&r.before, &r.after) {
            (Some(before), Some(after)) => assert!(after.cost_ms >= before.cost_ms, "{r:?}"),
            (None, after) => assert!(after.is_none(), "{r:?}"),
            (Some(_), None) => {}
        }
    }
}

/// A field of a few lanes on a grid, which meet where they cross, under a runway.
fn grid(lanes: &[(u8, u8, bool)], stands: &[(u8, u8)]) -> String {
    let at = |k: u8| f64::from(k) * 60.0;
    let mut s = Sketch::default().runway("rwy", "09/27", &[[-50.0, 0.0], [350.0, 0.0]]);
    s = s.taxiway("in-west", "W", &[[0.0, 0.0], [0.0, -100.0]]).taxiway(
        "in-east",
        "X",
        &[[300.0, 0.0], [300.0, -100.0]],
    );
    for (i, (k, reach, across)) in lanes.iter().enumerate() {
        let (from, to) = (0.0, at(2 + reach % 4));
        let points = match across {
            true => [[from, -100.0 - at(*k)], [to, -100.0 - at(*k)]],
            false => [[at(*k), -100.0 - from], [at(*k), -100.0 - to]],
        };
        s = s.taxiway(&format!("lane-{i}"), &format!("L{i}"), &points);
    }
    for (i, (x, y)) in stands.iter().enumerate() {
        let name = (i + 1).to_string();
        s = s.point(
            &format!("stand-{i}"),
            [at(*x) + 30.0, -115.0 - at(*y)],
            json!({ "aeroway": "parking_position", "ref": name }),
        );
    }
    s.text()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_closure_never_opens_a_way_nor_makes_one_cheaper(
        lanes in prop::collection::vec((0..6_u8, 0..4_u8, any::<bool>()), 2..7),
        stands in prop::collection::vec((0..5_u8, 0..4_u8), 1..4),
        first in any::<prop::sample::Index>(),
        second in any::<prop::sample::Index>(),
    ) {
        let text = grid(&lanes, &stands);
        let name = |i: &prop::sample::Index| format!("lane-{}", i.index(lanes.len()));
        let (one, two) = (name(&first), name(&second));
        let a = ask(&text, &[(What::Lane, &one)], &ONE).unwrap();
        only_takes_away(&a);
        // A second one on top takes away more or nothing.
        let both = ask(&text, &[(What::Lane, &one), (What::Lane, &two)], &ONE).unwrap();
        only_takes_away(&both);
        for (x, y) in a.rows.iter().zip(&both.rows) {
            let (x, y) = (x.after.as_ref().map(|c| c.cost_ms), y.after.as_ref().map(|c| c.cost_ms));
            prop_assert!(x.map_or(y.is_none(), |x| y.is_none_or(|y| y >= x)), "{x:?} {y:?}");
        }
    }
}

#[test]
fn on_the_demo_field_no_closure_opens_a_way_nor_makes_one_cheaper() {
    let text = toeline_tests::demo_field();
    let (mut lost, mut dearer) = (0, 0);
    for what in [
        (What::Lane, "A"),
        (What::Lane, "B"),
        (What::Lane, "C"),
        (What::Lane, "D"),
        (What::Lane, "L"),
        (What::Lane, "link-west"),
        (What::Runway, "17"),
        (What::HoldingPosition, "A1"),
        (What::Area, "Main apron"),
        (What::Area, "E"),
    ] {
        let b = ask(&text, &[what], &ONE).unwrap();
        only_takes_away(&b);
        lost += b.of(Change::Lost).count();
        dearer += b.of(Change::Dearer).count();
    }
    // So that this cannot pass by nothing being closed.
    assert!(lost > 20 && dearer > 5, "{lost} {dearer}");
}
