//! Ways along a runway where no lane leads: a small field of our own and a real island strip.

use super::apron::request;
use serde_json::json;
use toeline_engine::planning::{Outcome, Way};
use toeline_engine::route::{LegKind, StopKind};
use toeline_engine::{briefing, plan};
use toeline_model::{Bearing, Xy};
use toeline_tests::open_data;
use toeline_tests::sketch::Sketch;

fn way(text: &str, request: &toeline_engine::Request) -> Box<Way> {
    match plan(text, request).unwrap().outcome {
        Outcome::Way(way) => way,
        Outcome::NoWay(why) => panic!("no way: {why:?}"),
    }
}

/// Metres of the way on the runway, and how far the path gets from the runway's line there.
fn along_runway(way: &Way, line: &[Xy]) -> (f64, f64) {
    let (mut length_m, mut off_m): (f64, f64) = (0.0, 0.0);
    for leg in way.route.legs.iter().filter(|l| l.kind == LegKind::Runway) {
        length_m += leg.to_m - leg.from_m;
        // From where the turn onto it is done.
        let from = leg.from_m + 20.0;
        for k in 0..=20 {
            let p = way
                .route
                .path
                .pose_at(from + (leg.to_m - from) * f64::from(k) / 20.0)
                .nose;
            let (q, _, _) = toeline_model::planar::closest_on_line(p, line).unwrap();
            off_m = off_m.max(q.distance(p));
        }
    }
    (length_m, off_m)
}

/// A strip of 900 m with one stub to an apron 300 m from its west end.
pub(crate) fn strip() -> Sketch {
    Sketch::default()
        .line(
            "runway",
            &[[0.0, 0.0], [900.0, 0.0]],
            json!({ "aeroway": "runway", "ref": "09/27", "surface": "asphalt", "width": 30 }),
        )
        .line(
            "stub",
            &[[300.0, 0.0], [300.0, 90.0]],
            json!({ "aeroway": "taxiway", "ref": "A", "surface": "asphalt", "width": 15 }),
        )
        .area(
            "apron",
            &[&[[240.0, 80.0], [360.0, 80.0], [360.0, 150.0], [240.0, 150.0]]],
            json!({ "aeroway": "apron", "surface": "asphalt" }),
        )
}

#[test]
fn from_a_bare_point_the_way_backtracks_along_the_runway_to_the_threshold() {
    let sketch = strip();
    let [lon, lat] = sketch.position([330.0, 120.0]);
    let text = sketch.text();
    let mut asked = request(&format!("{lon},{lat}"), Some(270.0));
    // To the runway: it ends before it, and says what is left behind.
    asked.to = "09".to_string();
    let short = way(&text, &asked);
    assert!(short.route.legs.iter().all(|l| l.kind != LegKind::Runway));
    assert!(
        short
            .route
            .doubts
            .iter()
            .any(|d| d.contains("300 m past the threshold")),
        "{:?}",
        short.route.doubts
    );
    // To the threshold: on along the runway.
    asked.to = "threshold 09".to_string();
    let plan = plan(&text, &asked).unwrap();
    let Outcome::Way(way) = &plan.outcome else { panic!() };
    let kinds: Vec<LegKind> = way.route.legs.iter().map(|l| l.kind).collect();
    assert_eq!(kinds, [LegKind::Apron, LegKind::Taxiway, LegKind::Runway]);
    let field = toeline_engine::read::read(&text).unwrap().field;
    let (length_m, off_m) = along_runway(way, &field.runways[0].line);
    // 300 m less the turn onto it and what stands ahead of the nose wheel at the end.
    assert!((280.0..300.0).contains(&length_m) && off_m < 0.01, "{length_m} {off_m}");
    let end = way.route.path.end();
    assert!((end.heading_rad.bearing().deg() - 270.0).abs() < 0.1);
    let threshold = sketch.in_field(field.origin, [0.0, 0.0]);
    let left_m = end.nose.distance(threshold) - asked.aircraft.foremost_ahead_of_nose_m();
    assert!((left_m - 1.0).abs() < 1e-3, "{left_m}");
    // It holds short of the runway first, and the price says what was done.
    let stops: Vec<StopKind> = way.route.stops.iter().map(|s| s.kind).collect();
    assert_eq!(stops, [StopKind::Start, StopKind::HoldShort, StopKind::End]);
    assert_eq!(way.route.stops[2].name, "threshold 09");
    assert!(way.route.costs.iter().any(|c| c.what.starts_with("along runway")));
    assert!(way.route.costs.iter().any(|c| c.what.starts_with("enter runway")));
    assert!(way.route.doubts.iter().any(|d| d.contains("ends on the runway")));
    let told = briefing::text(&briefing::brief(&plan));
    assert!(told.contains("threshold 09: stop. The way ends here."), "{told}");
}

#[test]
fn a_threshold_that_the_map_does_not_have_or_that_is_closed_is_said() {
    let sketch = strip();
    let [lon, lat] = sketch.position([330.0, 120.0]);
    let mut asked = request(&format!("{lon},{lat}"), Some(270.0));
    asked.to = "threshold 18".to_string();
    let error = plan(&sketch.text(), &asked).unwrap_err().to_string();
    assert!(error.contains("threshold 18"), "{error}");
    asked.to = "threshold 09".to_string();
    let closed = sketch.text().replace(
        "\"ref\":\"09/27\"",
        "\"ref\":\"09/27\",\"toeline:closed\":\"resurfacing\"",
    );
    match plan(&closed, &asked).unwrap().outcome {
        Outcome::NoWay(why) => {
            assert!(why.unreachable.contains("threshold 09"), "{why:?}");
            assert!(why.blocks[0].text.contains("closed"), "{why:?}");
        }
        Outcome::Way(way) => panic!("{:?}", way.route.legs),
    }
}

#[test]
fn a_real_island_strip_is_backtracked_from_a_bare_point() {
    // Kadhdhoo, Maldives, 2023 (OpenStreetMap, Open Database License): the northern apron has one stub, which
    // meets the runway some 490 m from one end and 730 m from the other; no taxiway leads to either.
    let Some(path) = open_data("airfields/maldives/by-airfield/vrmk-kadhdhoo-airport.geojson") else {
        return;
    };
    let text = std::fs::read_to_string(path).unwrap();
    let field = toeline_engine::read::read(&text).unwrap().field;
    let line = &field.runways[0].line;
    for (to, designator, backtrack_deg) in [("threshold 03", "03", 205.0), ("threshold 21", "21", 25.0)] {
        let of = |k: usize| field.runways[0].designators[k].as_deref() == Some(designator);
        let end = if of(0) { 0 } else { line.len() - 1 };
        assert!(of(0) || of(1));
        // Ten metres behind the stub's apron end, nose along it.
        let mut asked = request("73.5207971,1.8614921", None);
        asked.parked_heading = Some(Bearing::from_deg(114.0));
        asked.margin_m = 2.0;
        asked.to = to.to_string();
        let way = way(&text, &asked);
        assert_eq!(way.route.legs[0].kind, LegKind::Apron);
        let last = way.route.legs.last().unwrap();
        assert_eq!(last.kind, LegKind::Runway);
        let (length_m, off_m) = along_runway(&way, line);
        let stub = way.route.legs[way.route.legs.len() - 2].to_m;
        let turned_on = way.route.path.pose_at(stub).nose;
        let straight_m = line[end].distance(turned_on);
        assert!((length_m - straight_m).abs() < 25.0, "{to}: {length_m} {straight_m}");
        assert!(off_m < 1.0, "{to}: {off_m} m off the runway's line");
        let heading = way.route.path.end().heading_rad.bearing().deg();
        assert!((heading - backtrack_deg).abs() < 3.0, "{to}: {heading}");
        assert!(way.route.stops.iter().any(|s| s.kind == StopKind::HoldShort));
    }
}
