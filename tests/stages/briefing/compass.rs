//! The deviation card: what is refused, what is read from it, and where it shows in the briefing.

use super::{sample, way};
use toeline_engine::briefing;
use toeline_model::Bearing;
use toeline_model::aircraft::check::problems;
use toeline_model::aircraft::compass_card::{CardEntry, MOST_DEVIATION_DEG, steer};
use toeline_model::aircraft::{Aircraft, catalog};

fn card(rows: &[(f64, f64)]) -> Vec<CardEntry> {
    let entry = |(for_magnetic_deg, steer_deg): &(f64, f64)| CardEntry {
        for_magnetic_deg: *for_magnetic_deg,
        steer_deg: *steer_deg,
    };
    rows.iter().map(entry).collect()
}

fn with(rows: &[(f64, f64)]) -> Aircraft {
    Aircraft {
        compass_card: Some(card(rows)),
        ..catalog::find("trainer-high-2").expect("built in")
    }
}

#[test]
fn the_card_is_read_round_the_circle_in_straight_lines() {
    let twelve = card(&[
        (0.0, 2.0),
        (30.0, 33.0),
        (60.0, 62.0),
        (90.0, 91.0),
        (120.0, 119.0),
        (150.0, 148.0),
        (180.0, 178.0),
        (210.0, 207.0),
        (240.0, 238.0),
        (270.0, 269.0),
        (300.0, 301.0),
        (330.0, 328.0),
    ]);
    // By hand: the middle of two rows has the mean of their deviations, a third of the way two thirds of the first.
    for (magnetic, shows) in [
        (0.0, 2.0),
        (15.0, 17.5),
        (30.0, 33.0),
        (100.0, 100.0 + 1.0 / 3.0),
        (345.0, 345.0),
        (355.0, 356.0 + 1.0 / 3.0),
        (359.9, 1.886_666_666_7),
        (330.0, 328.0),
        (285.0, 285.0),
    ] {
        let got = steer(&twelve, Bearing::from_deg(magnetic));
        assert!(
            got.to_deg(Bearing::from_deg(shows)).abs() < 1e-9,
            "{magnetic}: {got:?}, not {shows}"
        );
    }
    // Never beyond the rows on either side, and no jump anywhere.
    let at = |deg: f64| Bearing::from_deg(deg).to_deg(steer(&twelve, Bearing::from_deg(deg)));
    for tenth in 0..3600 {
        let deg = f64::from(tenth) / 10.0;
        assert!((-3.0..=3.0).contains(&at(deg)), "{deg}");
        assert!(
            (at(deg) - at(deg + 0.1)).abs() < 0.02,
            "{deg}: {} {}",
            at(deg),
            at(deg + 0.1)
        );
    }
    // North written as 360 at the end is north.
    let last = card(&[(90.0, 90.0), (180.0, 180.0), (270.0, 270.0), (360.0, 4.0)]);
    assert_eq!(steer(&last, Bearing::from_deg(0.0)).deg(), 4.0);
    assert_eq!(steer(&last, Bearing::from_deg(45.0)).deg(), 47.0);
    assert_eq!(steer(&last, Bearing::from_deg(315.0)).deg(), 317.0);
    assert_eq!(steer(&[], Bearing::from_deg(123.0)).deg(), 123.0);
}

#[test]
fn a_card_that_cannot_be_is_refused_with_value_and_limit() {
    let good = [(0.0, 2.0), (90.0, 90.0), (180.0, 181.0), (270.0, 280.0)];
    assert!(problems(&with(&good)).is_empty(), "10 degrees exactly are allowed");
    for (rows, key, said) in [
        (&good[..3], "compass_card", "3 headings given; a card needs 4 or more"),
        (&[], "compass_card", "0 headings given"),
        (
            &[(0.0, 10.5), (90.0, 90.0), (180.0, 181.0), (270.0, 270.0)],
            "compass_card[0].steer_deg",
            "for 0 steer 10.5 is a deviation of 10.5 deg; the limit is 10 deg either way",
        ),
        (
            &[(5.0, 350.0), (90.0, 90.0), (180.0, 181.0), (270.0, 270.0)],
            "compass_card[0].steer_deg",
            "a deviation of -15 deg",
        ),
        (
            &[(0.0, 0.0), (180.0, 180.0), (90.0, 90.0), (270.0, 270.0)],
            "compass_card[2].for_magnetic_deg",
            "90 deg stands after 180 deg; headings must rise",
        ),
        (
            &[(0.0, 0.0), (90.0, 90.0), (90.0, 91.0), (180.0, 180.0), (270.0, 270.0)],
            "compass_card[2].for_magnetic_deg",
            "90 deg stands twice",
        ),
        (
            &[(0.0, 0.0), (90.0, 90.0), (180.0, 180.0), (270.0, 270.0), (360.0, 1.0)],
            "compass_card[4].for_magnetic_deg",
            "both north",
        ),
        (
            &[(0.0, 0.0), (90.0, 90.0), (180.0, 180.0), (200.0, 200.0)],
            "compass_card[3]",
            "160 deg without a heading between 200 and 0 deg; the limit is 90 deg",
        ),
        (
            &[(0.0, f64::NAN), (90.0, 90.0), (180.0, 180.0), (270.0, 270.0)],
            "compass_card[0].steer_deg",
            "NaN deg is outside 0 to 360 deg",
        ),
        (
            &[(-1.0, 0.0), (90.0, 90.0), (180.0, 180.0), (270.0, 361.0)],
            "compass_card[3].steer_deg",
            "361 deg is outside",
        ),
    ] {
        let found = problems(&with(rows));
        assert!(
            found.iter().any(|p| p.key == key && p.text.contains(said)),
            "{rows:?}: {found:?} lacks {key}: {said}"
        );
    }
    assert_eq!(MOST_DEVIATION_DEG, 10.0, "14 CFR 23.1327 before 2017, from memory");
}

#[test]
fn one_built_in_aeroplane_has_a_card_and_files_without_one_stay_as_they_were() {
    let with_card: Vec<String> = catalog::all()
        .into_iter()
        .filter(|a| a.compass_card.is_some())
        .map(|a| a.id)
        .collect();
    assert_eq!(with_card, ["tourer-low-4"]);
    let plain = serde_json::to_string(&catalog::find("trainer-high-2").expect("built in")).expect("writes");
    assert!(!plain.contains("compass_card"));
}

#[test]
fn legs_stops_and_engine_check_show_what_the_compass_reads() {
    let mut plan = sample::plan("4", "240/12T");
    let b = briefing::brief(&plan);
    assert!(b.compass_from.starts_with("no deviation card"), "{}", b.compass_from);
    for leg in &way(&b).legs {
        assert_eq!(leg.directions.compass_deg, leg.directions.magnetic_deg);
    }
    plan.request.aircraft = with(&[(0.0, 4.0), (90.0, 84.0), (180.0, 180.0), (270.0, 272.0)]);
    let b = briefing::brief(&plan);
    assert!(b.compass_from.contains("4 headings"), "{}", b.compass_from);
    // 000 and 090 true with 3.27 east are 356.73 and 86.73 magnetic. By hand: from 2 to 4 degrees over the quarter from 270,
    // from 4 to -6 over the quarter from 0.
    let north = 356.73 + 2.0 + 2.0 * 86.73 / 90.0 - 360.0;
    let east = 86.73 + 4.0 - 10.0 * 86.73 / 90.0;
    for (leg, want) in way(&b).legs.iter().zip([north, east, north]) {
        assert!(
            (leg.directions.compass_deg - want).abs() < 0.006,
            "{:?} {want}",
            leg.directions
        );
    }
    let stops = &way(&b).stops;
    assert!((stops[0].compass_deg - north).abs() < 0.006, "{stops:?}");
    assert!(stops[0].say.contains("compass 001, set 357"), "{}", stops[0].say);
    let check = way(&b).engine_check.as_ref().expect("a check");
    assert!((check.compass_deg - north).abs() < 0.006, "{check:?}");
    let text = briefing::text(&b);
    assert!(
        text.contains("compass 001") && text.contains("deviation card of the aeroplane's file"),
        "{text}"
    );
}
