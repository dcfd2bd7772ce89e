//! The six examples of Digital NOTAM that the standard publishes, from the folder of open data: on a field that the test invents, and on
//! the aerodrome that they are for.

use serde_json::json;
use std::collections::BTreeSet;
use toeline_engine::clearance::Verdict;
use toeline_engine::notices::{self, Notam, Status, Told};
use toeline_engine::planning::Outcome;
use toeline_engine::{plan, read};
use toeline_model::Airfield;
use toeline_model::aircraft::catalog;
use toeline_model::airfield::Closed;
use toeline_model::date::{Date, Moment};
use toeline_tests::sketch::Sketch;

/// The notices of a published example; `None` without the folder.
fn example(file: &str) -> Option<(String, Vec<Notam>)> {
    let path = toeline_tests::open_data(&format!("airfields/donlon-aixm/notices/{file}"))?;
    let text = std::fs::read_to_string(path).unwrap();
    let list = notices::read(&text, file).unwrap_or_else(|e| panic!("{file}: {e}"));
    Some((text, list))
}

/// The features that a message changes: kind and identity, each once, in order; found by looking for tags, not by our reader.
fn changed(text: &str) -> Vec<(String, String)> {
    let mut list: Vec<(String, String)> = Vec::new();
    for part in text.split("<aixm:").skip(1) {
        let Some((kind, rest)) = part.split_once(" gml:id=\"uuid.") else {
            continue;
        };
        let Some((identity, _)) = rest.split_once('"') else {
            continue;
        };
        if kind.bytes().all(|b| b.is_ascii_alphabetic()) {
            list.push((kind.to_string(), identity.to_string()));
        }
    }
    list
}

/// An invented field on which each feature that a message changes lies apart from the others, with its identity.
fn field_of(text: &str) -> (Airfield, String) {
    let mut sketch = Sketch::default()
        .area(
            "home",
            &[&[[-500.0, -100.0], [500.0, -100.0], [500.0, 5000.0], [-500.0, 5000.0]]],
            json!({ "aeroway": "aerodrome", "icao": "EADD", "toeline:accuracy_m": 0.1 }),
        )
        .runway("runway", "09/27", &[[-450.0, -60.0], [450.0, -60.0]])
        .line(
            "own",
            &[[0.0, 0.0], [0.0, -60.0]],
            json!({ "aeroway": "taxiway", "ref": "Z", "width": 12 }),
        )
        .line(
            "start",
            &[[0.0, 20.0], [0.0, 0.0]],
            json!({ "aeroway": "parking_position", "ref": "own", "direction": 180 }),
        );
    for (i, (kind, id)) in changed(text).iter().enumerate() {
        let y = 100.0 + 40.0 * i as f64;
        let lane = [[100.0, y], [300.0, y]];
        let ring = [[150.0, y - 8.0], [250.0, y - 8.0], [250.0, y + 8.0], [150.0, y + 8.0]];
        let (lane_id, area_id) = (format!("lane-{i}"), format!("area-{i}"));
        sketch = match kind.as_str() {
            "Taxiway" => sketch.line(
                &lane_id,
                &lane,
                json!({ "aeroway": "taxiway", "ref": format!("T{i}"), "toeline:identities": id }),
            ),
            "TaxiwayElement" => sketch.taxiway(&lane_id, &format!("E{i}"), &lane).area(
                &area_id,
                &[&ring],
                json!({ "aeroway": "taxiway", "area": "yes", "toeline:identities": id }),
            ),
            "Apron" => sketch.taxiway(&lane_id, &format!("A{i}"), &lane).area(
                &area_id,
                &[&ring],
                json!({ "aeroway": "apron", "ref": format!("P{i}"), "toeline:identities": format!("0000 {id}") }),
            ),
            "AircraftStand" => sketch.line(
                &lane_id,
                &lane,
                json!({ "aeroway": "parking_position", "ref": format!("S{i}"), "toeline:identities": id }),
            ),
            other => panic!("{other} in an example"),
        };
    }
    let text = sketch.text();
    (read::read(&text).unwrap().field, text)
}

fn laid(field: &Airfield, list: &[Notam], time: &str) -> (Told, Airfield) {
    let m = Moment::parse(time).unwrap();
    let own = catalog::find("trainer-high-2").unwrap();
    let laid = notices::lay(field, list, m.date, Some(m.time));
    (laid.told(Some(&own)).remove(0), laid.on(field.clone(), &own))
}

/// What a field has closed: lanes and stands by feature, and rings.
fn shut(field: &Airfield) -> (BTreeSet<String>, usize) {
    let itself = field
        .closures
        .iter()
        .filter(|c| c.closed == Closed::Itself)
        .map(|c| c.id.clone());
    let rings = field.closures.iter().filter(|c| c.closed.ring().is_some()).count();
    (itself.collect(), rings)
}

#[test]
fn every_published_example_is_placed_or_said() {
    // File, number, a time in force and one not, things changed, lanes and stands closed, areas closed, status.
    let all = [
        (
            "DN_APN.CLS_1_apron_closed.xml",
            "A0073/26",
            "2026-02-16T04:50Z",
            "2026-02-16T10:00Z",
            1,
            0,
            1,
            Status::Placed,
        ),
        (
            "DN_APN.CLS_2_apron_closed_weekday_schedule.xml",
            "A0079/26",
            "2026-02-18T06:00Z",
            "2026-02-18T11:00Z",
            1,
            0,
            1,
            Status::Placed,
        ),
        (
            "DN_STAND.CLS_4_stand_closure.xml",
            "A0086/26",
            "2026-02-21T11:59Z",
            "2026-02-21T12:00Z",
            3,
            3,
            0,
            Status::Placed,
        ),
        (
            "DN_TWY.CLS_1_single_twy_closure.xml",
            "A0012/26",
            "2026-01-05T06:00Z",
            "2026-01-05T05:59Z",
            7,
            1,
            6,
            Status::Placed,
        ),
        (
            "DN_TWY.LIM_1_closed_except_for.xml",
            "A0037/26",
            "2026-01-17T12:00Z",
            "2026-01-17T18:00Z",
            13,
            3,
            10,
            Status::Placed,
        ),
        (
            "DN_TWY.LIM_2_conditional_for.xml",
            "A0038/26",
            "2026-01-20T10:00Z",
            "2026-01-20T18:00Z",
            1,
            0,
            0,
            Status::NotPlaced,
        ),
    ];
    for (file, number, in_force, not, changes, closed, rings, status) in all {
        let Some((text, list)) = example(file) else { return };
        assert_eq!(list.len(), 1, "{file}");
        assert_eq!(changed(&text).len(), changes, "{file}");
        let (field, _) = field_of(&text);
        let (told, on) = laid(&field, &list, in_force);
        assert_eq!(
            (told.number.as_str(), told.status),
            (number, status),
            "{file}: {told:?}"
        );
        assert!(told.force.counts(), "{file}: {:?}", told.force);
        assert!(!told.text.is_empty());
        let (found, areas) = shut(&on);
        assert_eq!((found.len(), areas), (closed, rings), "{file}: {found:?}");
        assert_eq!(on.unplaced.is_empty(), status == Status::Placed, "{file}");
        let (told, on) = laid(&field, &list, not);
        assert!(
            !told.force.counts() && shut(&on) == (BTreeSet::new(), 0) && on.unplaced.is_empty(),
            "{file}: {told:?}"
        );
    }
}

#[test]
fn the_examples_weekly_hours_and_the_day_that_they_except() {
    let Some((text, list)) = example("DN_APN.CLS_2_apron_closed_weekday_schedule.xml") else {
        return;
    };
    let (field, _) = field_of(&text);
    // "Wed-Fri 0600-1100 Sat 0800-1200 exc Feb 26", 18 to 27 February; the exception by a clock two hours behind.
    for (time, closed) in [
        ("2026-02-18T05:59Z", false),
        ("2026-02-18T06:00Z", true),
        ("2026-02-19T10:59Z", true),
        ("2026-02-20T11:00Z", false),
        ("2026-02-21T07:59Z", false),
        ("2026-02-21T08:00Z", true),
        ("2026-02-21T11:59Z", true),
        ("2026-02-22T09:00Z", false),
        ("2026-02-25T09:00Z", true),
        ("2026-02-26T09:00Z", false),
        ("2026-02-27T10:59Z", true),
        ("2026-02-27T11:00Z", false),
        ("2026-03-04T09:00Z", false),
        ("2026-02-11T09:00Z", false),
    ] {
        let (told, _) = laid(&field, &list, time);
        assert_eq!(told.force.counts(), closed, "{time}: {:?}", told.force);
    }
}

#[test]
fn closed_except_for_flights_that_are_not_known_is_closed_and_says_so() {
    let Some((text, list)) = example("DN_TWY.LIM_1_closed_except_for.xml") else {
        return;
    };
    let (field, _) = field_of(&text);
    let (told, _) = laid(&field, &list, "2026-01-18T14:00Z");
    assert_eq!(told.open, Some(notices::Use::Closed));
    for words in [
        "status EMERGENCY",
        "status HOSP",
        "purpose PARTICIPANT",
        "the operation AIRSHOW",
    ] {
        assert!(told.to.iter().any(|t| t.contains(words)), "no {words} in {:?}", told.to);
        assert!(
            told.why.iter().any(|w| w.contains(words)),
            "no {words} in {:?}",
            told.why
        );
    }
    // Its text gives other hours than its features do; the reader sees both.
    assert!(
        told.text.contains("(hours as written: Daily 1400-1800)") && told.when.contains("daily 12:00 to 18:00 UTC")
    );
}

/// TWY.LIM_2 says which part of taxiway R it means in words only ("between TWY I and stands 1 and 2").
#[test]
fn dn_twy_lim_2_is_not_placed_its_text_is_shown_and_the_answer_is_not_known() {
    let Some((text, list)) = example("DN_TWY.LIM_2_conditional_for.xml") else {
        return;
    };
    let (field, map) = field_of(&text);
    let (told, on) = laid(&field, &list, "2026-01-20T12:00Z");
    assert_eq!(told.status, Status::NotPlaced);
    assert!(
        told.text
            .starts_with("TWY R between TWY I and stands 1 and 2 available for not scheduled hel crossing")
    );
    assert!(
        told.why
            .iter()
            .any(|w| w.contains("only in words: \"between TWY I and stands 1 and 2\"")),
        "{:?}",
        told.why
    );
    assert_eq!(shut(&on), (BTreeSet::new(), 0));
    let mut request = toeline_tests::request("trainer-high-2", "own", &[], "27", "calm");
    let m = Moment::parse("2026-01-20T12:00Z").unwrap();
    (request.date, request.time_utc, request.odds.drives) = (m.date, Some(m.time), 0);
    let verdict = |request: &toeline_engine::Request| {
        let found = plan(&map, request).unwrap();
        let Outcome::Way(way) = &found.outcome else {
            panic!("{:?}", found.outcome)
        };
        let brief = toeline_engine::briefing::brief(&found);
        (way.clearance.verdict, toeline_engine::briefing::text(&brief))
    };
    let (before, _) = verdict(&request);
    request.notams = list;
    let (after, text) = verdict(&request);
    assert_eq!((before, after), (Verdict::Clear, Verdict::NotKnown));
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("NOT KNOWN: a notice in force") && flat.contains("TWY R between TWY I and stands 1 and 2"),
        "{flat}"
    );
}

/// The standard's own aerodrome as it is on a day, by the carrier.
fn aerodrome(day: &str) -> Option<Airfield> {
    let folder = toeline_tests::open_data("airfields/donlon-aixm")?;
    let made = crate::aixm::cut_on(&folder, Date::parse(day).unwrap());
    Some(read::read(&made.text).unwrap().field)
}

/// The examples on the aerodrome that they are for: by identity alone, so whatever a feature is called.
#[test]
fn the_published_examples_lie_on_the_published_aerodrome() {
    for (file, time, on) in [
        (
            "DN_APN.CLS_1_apron_closed.xml",
            "2026-02-16T05:00Z",
            // The apron, and the stands that say they are on it.
            &["apron B", "stand H1", "stand H2"][..],
        ),
        (
            "DN_APN.CLS_2_apron_closed_weekday_schedule.xml",
            "2026-02-18T07:00Z",
            &["apron B", "stand H1", "stand H2"],
        ),
        (
            "DN_STAND.CLS_4_stand_closure.xml",
            "2026-02-21T07:00Z",
            &["stand 1", "stand 4", "stand 5"],
        ),
        (
            "DN_TWY.CLS_1_single_twy_closure.xml",
            "2026-01-05T07:00Z",
            &["taxiway B", "pavement"],
        ),
        (
            "DN_TWY.LIM_1_closed_except_for.xml",
            "2026-01-17T13:00Z",
            &["taxiway F", "taxiway G", "taxiway H", "pavement"],
        ),
        ("DN_TWY.LIM_2_conditional_for.xml", "2026-01-20T12:00Z", &[]),
    ] {
        let Some(field) = aerodrome(time.split('T').next().unwrap()) else {
            return;
        };
        let Some((_, list)) = example(file) else { return };
        let (told, laid_on) = laid(&field, &list, time);
        println!("{file}: {}", told.outcome());
        let placed = !on.is_empty();
        assert_eq!(told.status == Status::Placed, placed, "{file}: {told:?}");
        assert_eq!(laid_on.unplaced.len(), usize::from(!placed), "{file}: {told:?}");
        for what in on {
            assert!(
                told.on.iter().any(|t| t.starts_with(what)),
                "{file}: no {what} in {:?}",
                told.on
            );
        }
        // And nothing of another name; a curve between two taxiways bears the letters of both.
        for l in &told.on {
            let (sort, names) = l.split_once(' ').unwrap();
            let one = names.split('/').any(|n| on.contains(&format!("{sort} {n}").as_str()));
            assert!(one || sort == "pavement", "{file}: {l} is not in {on:?}");
        }
        // On another day nothing is laid, and nothing lowers the answer.
        let (_, after) = laid(&field, &list, "2026-06-01T07:00Z");
        assert!(
            after.closures.len() == field.closures.len() && after.unplaced.is_empty(),
            "{file}"
        );
    }
}
