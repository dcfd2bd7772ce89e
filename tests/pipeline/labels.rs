//! Names on the chart and on the knee sheet: none over another, over the way or off the frame; what must be named is.

use super::demo::{planned, request, way};
use super::drawn::{self, Page, is_leg_number};
use std::collections::BTreeSet;
use toeline_engine::{Plan, briefing, plan};
use toeline_model::planar::closest_on_line;

/// A lane this near to the way ought to be named, metres.
const NEAR_M: f64 = 40.0;

fn chart(plan: &Plan) -> Page {
    drawn::page(&briefing::svg(plan, &briefing::brief(plan)), "0.85")
}

fn knee(plan: &Plan) -> Page {
    drawn::page(&briefing::knee_sheet(plan, &briefing::brief(plan))[0], "1.00")
}

fn numbers(page: &Page) -> BTreeSet<String> {
    let texts = page.in_picture().into_iter().filter(|t| is_leg_number(&t.text));
    texts.map(|t| t.text.clone()).collect()
}

/// Stops named in a picture, by the words that begin their names.
fn stops(page: &Page, words: &[&str]) -> usize {
    let begins = |t: &str| words.iter().any(|w| t.starts_with(w));
    page.in_picture().iter().filter(|t| begins(&t.text)).count()
}

/// Share of the lanes' names near the way that a picture has, and how many there are.
fn lanes_named(plan: &Plan, page: &Page) -> (f64, usize) {
    let path = &way(plan).route.path;
    let steps = (path.length_m() / 20.0).ceil() as usize;
    let along: Vec<_> = (0..=steps).map(|i| path.pose_at(i as f64 * 20.0).nose).collect();
    let near = |line: &[toeline_model::Xy]| {
        let from = |p| closest_on_line(p, line).is_some_and(|(q, _, _)| q.distance(p) < NEAR_M);
        along.iter().any(|p| from(*p))
    };
    let lanes = plan
        .field
        .lanes
        .iter()
        .filter(|l| !l.letters.is_empty() && near(&l.line));
    let names: BTreeSet<String> = lanes.map(|l| l.letters.join("/")).collect();
    let told: BTreeSet<&str> = page.in_picture().iter().map(|t| t.text.as_str()).collect();
    let there = names.iter().filter(|n| told.contains(n.as_str())).count();
    (there as f64 / names.len().max(1) as f64, names.len())
}

/// Checks chart and knee sheet of one plan; `share` of the lanes near the way must be named on the chart and on the knee.
fn check(what: &str, plan: &Plan, share: (f64, f64)) {
    let (route, told) = (&way(plan).route, briefing::brief(plan));
    let briefing::Answer::Way(words) = &told.answer else {
        panic!("no way")
    };
    let chart = chart(plan);
    assert_eq!(chart.faults(), Vec::<String>::new(), "{what}, chart");
    let wanted: BTreeSet<String> = (1..=words.legs.len()).map(|n| n.to_string()).collect();
    assert!(
        numbers(&chart).is_superset(&wanted),
        "{what}, chart: {:?} of {wanted:?}",
        numbers(&chart)
    );
    let named = stops(&chart, &["start ", "ENGINE CHECK ", "STOP ", "stop ", "END "]);
    assert_eq!(named, route.stops.len(), "{what}, chart: stops");

    let knee = knee(plan);
    assert_eq!(knee.faults(), Vec::<String>::new(), "{what}, knee sheet");
    // Every row of the table has its number on the picture: the same texts stand in both.
    let frame = knee.picture.expect("a picture");
    let rows = knee
        .texts
        .iter()
        .filter(|t| t.on.y0 > frame.y1 && t.on.x0 < 8.0 && is_leg_number(&t.text));
    let rows: BTreeSet<String> = rows.map(|t| t.text.clone()).collect();
    assert!(
        !rows.is_empty() && numbers(&knee).is_superset(&rows),
        "{what}, knee: {:?} of {rows:?}",
        numbers(&knee)
    );
    let named = stops(&knee, &["start ", "CHECK ", "STOP ", "stop ", "END "]);
    assert_eq!(named, route.stops.len(), "{what}, knee: stops");

    for (page, least, form) in [(&chart, share.0, "chart"), (&knee, share.1, "knee")] {
        let (found, of) = lanes_named(plan, page);
        println!("{what}, {form}: {:.0} % of {of} lane names near the way", found * 100.0);
        assert!(
            found >= least,
            "{what}, {form}: {found:.2} of {of} lane names near the way"
        );
    }
}

#[test]
fn on_the_demo_field() {
    for (aircraft, from, via, to) in [
        ("trainer-high-2", "4", &["E"][..], "26"),
        ("trainer-high-2", "H1", &["W"], "08"),
        ("motorglider-15", "2", &["E"], "26"),
        ("twin-light-6", "5", &["W"], "26"),
        ("caster-low-2", "7", &[], "35"),
    ] {
        let plan = planned(aircraft, from, via, to, "240/12T");
        check(&format!("{aircraft} from {from} to {to}"), &plan, (0.8, 0.6));
    }
}

#[test]
fn on_the_other_demo_field() {
    let text = std::fs::read_to_string(toeline_tests::root().join("maps/sallowfen.geojson")).unwrap();
    let field = toeline_engine::read::read(&text).unwrap().field;
    let mut drawn = 0;
    for runway in &field.runways {
        for to in runway.designators.iter().flatten() {
            let stand = field.stands.iter().find_map(|s| s.name.as_deref()).unwrap();
            let plan = plan(&text, &request("trainer-high-2", stand, &[], to, "VRB/03")).unwrap();
            if matches!(plan.outcome, toeline_engine::planning::Outcome::Way(_)) {
                check(&format!("sallowfen, {stand} to {to}"), &plan, (0.6, 0.5));
                drawn += 1;
            }
        }
    }
    assert!(drawn > 0);
}

#[test]
fn on_the_largest_real_field() {
    let Some(path) = toeline_tests::open_data("airfields/hubs/eddf-frankfurt-2023-08.geojson") else {
        return;
    };
    let text = std::fs::read_to_string(path).unwrap();
    for (from, to) in [("V 117", "25C"), ("V 117", "18"), ("V 117", "25R")] {
        let plan = plan(&text, &request("trainer-high-2", from, &[], to, "240/12T")).unwrap();
        check(&format!("the largest field, {from} to {to}"), &plan, (0.6, 0.3));
    }
}
