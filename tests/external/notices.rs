//! Notices against what is not ours: the form of our own by a JSON Schema library, hours by Python's datetime, and the six
//! examples of Digital NOTAM that the standard publishes, from the folder of open data.

use serde_json::{Value, json};
use std::collections::BTreeSet;
use toeline_engine::carrier::{self, At, Message};
use toeline_engine::clearance::Verdict;
use toeline_engine::fit::{self, FitAsked};
use toeline_engine::notices::{self, DayOfYear, Notam, Season, Sheet, Status, Told};
use toeline_engine::planning::Outcome;
use toeline_engine::{briefing, closures, inspection, plan, read};
use toeline_model::Airfield;
use toeline_model::aircraft::catalog;
use toeline_model::airfield::Closed;
use toeline_model::date::Moment;
use toeline_tests::event_message::EventMessage;
use toeline_tests::sketch::Sketch;

fn whole() -> Value {
    json!({
        "toeline_notices": 1,
        "aerodrome": "ZZHD",
        "notices": [
            {
                "number": "A0012/26", "text": "TWY B CLSD", "from": "2026-12-01T06:00Z", "until": "2026-12-04T18:00:00Z", "estimated": true,
                "schedule": [{ "days": ["MON", "fri"], "from": "08:00", "until": "24:00" }, { "from": "22:00", "until": "02:00" }],
                "not_on": ["2026-12-02"],
                "closes": [
                    { "taxiway": "B", "between": ["A", "runway 26"] }, { "stand": "4" }, { "apron": "North" }, { "runway": "08/26" },
                    { "holding_position": "A1" }, { "area": [[11, 47], [11.001, 47], [11, 47.001]], "name": "W1" },
                ],
                "except": [{ "span_up_to_m": 12, "weight_up_to_kg": 2000, "kind": "single_engine" }, { "words": "emergency flights" }],
            },
            { "number": "A0013/26", "replaces": "A0012/26", "closed_to": [{ "span_above_m": 9 }, { "weight_above_kg": 750.5 }], "closes": [{ "stand": "1" }] },
            { "number": "A0014/26", "cancels": "A0013/26", "cancelled": false, "aerodrome": null, "until": null },
        ],
    })
}

/// A file spoilt in one place: what the schema refuses the reader refuses too, and the other way round.
#[test]
fn the_form_of_our_own_is_what_its_schema_says() {
    let Some(python) = crate::python::python() else { return };
    let path = toeline_tests::root().join("docs/notices.schema.json");
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let mut documents = vec![(String::from("whole"), whole())];
    for (pointer, wrong) in [
        ("/toeline_notices", json!(2)),
        ("/note", json!("x")),
        ("/notices/0/number", json!(" ")),
        ("/notices/0/number", json!(7)),
        ("/notices/0/txt", json!("x")),
        ("/notices/0/from", json!("2026-12-01")),
        ("/notices/0/until", json!("9999-12-31T00:00Z")),
        ("/notices/0/estimated", json!("yes")),
        ("/notices/0/schedule/0/days/0", json!("funday")),
        ("/notices/0/schedule/0/until", json!("24:01")),
        ("/notices/0/schedule/0/until", json!("9:00")),
        ("/notices/0/not_on/0", json!("2 Dec")),
        ("/notices/0/closes/0", json!({})),
        ("/notices/0/closes/1", json!({ "stand": "4", "apron": "N" })),
        ("/notices/0/closes/1", json!({ "stand": "4", "between": ["A", "B"] })),
        ("/notices/0/closes/0/between", json!(["A"])),
        ("/notices/0/closes/5/area", json!([[11, 47], [11.001, 47]])),
        ("/notices/0/closes/5/area/0", json!([47, 111])),
        ("/notices/0/closes/5/area/0", json!([11, 47, 3])),
        ("/notices/0/closed_to", json!([{ "kind": "jet" }])),
        ("/notices/0/except", json!([])),
        ("/notices/0/except/0", json!({})),
        ("/notices/0/except/0/kind", json!("zeppelin")),
        ("/notices/0/except/0/span_up_to_m", json!(0)),
        ("/notices/1/closed_to/1/weight_above_kg", json!(2e6)),
        ("/notices/1/cancels", json!("A1")),
    ] {
        let mut document = whole();
        let (parent, key) = pointer.rsplit_once('/').unwrap();
        let place = document.pointer_mut(parent).unwrap();
        match key.parse::<usize>() {
            Ok(i) => place[i] = wrong.clone(),
            Err(_) => place[key] = wrong.clone(),
        }
        documents.push((format!("{pointer} {wrong}"), document));
    }
    let named: Vec<Value> = documents.iter().map(|(name, d)| json!([name, d.to_string()])).collect();
    let answer = crate::python::answer(&python, "schema.py", &json!({ "schema": schema, "maps": named }));
    for ((name, document), errors) in documents.iter().zip(answer.as_array().unwrap()) {
        let sound = name == "whole";
        let errors = errors.as_array().unwrap();
        assert_eq!(errors.is_empty(), sound, "schema, {name}: {errors:?}");
        let read = notices::read(&document.to_string(), "n.json");
        assert_eq!(read.is_ok(), sound, "reader, {name}: {read:?}");
    }
}

/// Every JSON form that tells of notices, against its schema.
#[test]
fn the_json_forms_with_notices_obey_their_schemas() {
    let Some(python) = crate::python::python() else { return };
    let mut file = whole();
    file["notices"]
        .as_array_mut()
        .unwrap()
        .push(json!({ "number": "A0099/26", "closes": [{ "taxiway": "Q" }] }));
    file["aerodrome"] = json!("Quillmere");
    let own = notices::read(&file.to_string(), "n.json").unwrap();
    let message = EventMessage::default()
        .event("ZZHD B", "t", "2026-07-04T08:00:00Z", "2026-07-04T12:00:00Z", "")
        .change(
            "Taxiway",
            "aaaaaaaa-0000-4000-8000-00000000000b",
            &EventMessage::limited(&[(
                "FORBID",
                &EventMessage::condition("NONE", &EventMessage::aircraft("<aixm:engine>JET</aixm:engine>")),
            )]),
        );
    let mut list = notices::read(&message.text(), "e.xml").unwrap();
    list.extend(own);
    let field = toeline_tests::demo_field();
    let day = Moment::parse("2026-12-04T09:00Z").unwrap();
    let own = catalog::find("trainer-high-2").unwrap();
    let mut request = toeline_tests::request("trainer-high-2", "4", &[], "26", "calm");
    (request.date, request.time_utc, request.odds.drives, request.notams) = (day.date, Some(day.time), 0, list.clone());
    let found = plan(&field, &request).unwrap();
    let mut asked = FitAsked::new(vec![own.clone()], day.date);
    asked.notams.clone_from(&list);
    let question = closures::Question {
        close: vec![closures::Asked {
            what: closures::What::Lane,
            name: "C".to_string(),
        }],
        aircraft: vec![own],
        date: day.date,
        time_utc: None,
        notams: list.clone(),
    };
    let seen = inspection::inspect_laid(&field, Some((&list, day.date, None)), &mut |_| {}).unwrap();
    for (schema, text) in [
        ("plan", briefing::json(&found, &briefing::brief(&found))),
        ("fit", fit::json(&fit::fit(&field, &asked, &|_| {}).unwrap())),
        (
            "closures",
            closures::json(&closures::broken(&field, &question, &mut |_, _| {}).unwrap()),
        ),
        ("inspect", inspection::json(&seen)),
    ] {
        assert!(
            text.contains("\"notams\"") && text.contains("\"not_placed\""),
            "{schema}"
        );
        let path = toeline_tests::root().join(format!("docs/{schema}.schema.json"));
        let known: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
        let answer = crate::python::answer(&python, "schema.py", &json!({ "schema": known, "maps": [["x", text]] }));
        assert_eq!(answer, json!([[]]), "{schema}");
    }
}

/// A stream of figures, the same each time.
struct Stream(u64);

impl Stream {
    fn below(&mut self, n: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % n
    }

    fn sheet(&mut self) -> Sheet {
        let days = self.below(4);
        let mut weekdays: Vec<u8> = (0..days).map(|_| self.below(7) as u8).collect();
        weekdays.sort_unstable();
        weekdays.dedup();
        let day = |s: &mut Stream| DayOfYear {
            month: 1 + s.below(12) as u8,
            day: 1 + s.below(28) as u8,
        };
        Sheet {
            until_weekday: (self.below(3) == 0 && !weekdays.is_empty()).then(|| self.below(7) as u8),
            weekdays,
            begin_min: (self.below(48) * 30) as u16,
            end_min: (self.below(49) * 30) as u16,
            clock_min: [0, 0, 60, -120, 345, -720, 840][self.below(7) as usize],
            season: (self.below(3) == 0).then(|| Season::Yearly(day(self), day(self))),
            excluded: self.below(4) == 0,
        }
    }
}

#[test]
fn hours_are_those_of_an_independent_calculation() {
    let Some(python) = crate::python::python() else { return };
    let mut s = Stream(7);
    let base = Moment::parse("2026-01-01T00:00Z").unwrap().minute();
    let (mut cases, mut ours) = (Vec::new(), Vec::new());
    for _ in 0..400 {
        let moment = |s: &mut Stream| Moment::of_minute(base + s.below(365 * 48) as i64 * 30).unwrap();
        let from = (s.below(3) == 0).then(|| moment(&mut s));
        let until = (s.below(3) == 0).then(|| moment(&mut s));
        let sheets: Vec<Sheet> = (0..s.below(4)).map(|_| s.sheet()).collect();
        // On the half hours and a minute before and after them: the edges.
        let at: Vec<i64> = (0..100)
            .map(|_| base + s.below(730 * 48) as i64 * 30 + s.below(3) as i64 - 1)
            .collect();
        let holds = |m: &i64| !notices::spans(from, until, &sheets, (*m, *m + 1)).is_empty();
        ours.push(at.iter().map(holds).collect::<Vec<bool>>());
        let told: Vec<Value> = sheets
            .iter()
            .map(|s| {
                let season = match s.season {
                    Some(Season::Yearly(a, b)) => json!([[a.month, a.day], [b.month, b.day]]),
                    _ => Value::Null,
                };
                json!({
                    "weekdays": s.weekdays, "until_weekday": s.until_weekday, "begin_min": s.begin_min, "end_min": s.end_min,
                    "clock_min": s.clock_min, "season": season, "excluded": s.excluded,
                })
            })
            .collect();
        cases.push(json!({
            "from": from.map(|m| m.minute()), "until": until.map(|m| m.minute()), "sheets": told, "at": at,
        }));
    }
    let answer = crate::python::answer(&python, "notice_hours.py", &json!(cases));
    let (mut yes, mut no) = (0, 0);
    for ((case, own), theirs) in cases.iter().zip(&ours).zip(answer.as_array().unwrap()) {
        for ((m, own), theirs) in case["at"]
            .as_array()
            .unwrap()
            .iter()
            .zip(own)
            .zip(theirs.as_array().unwrap())
        {
            assert_eq!(
                json!(own),
                *theirs,
                "at {m} ({}): {case}",
                Moment::of_minute(m.as_i64().unwrap()).unwrap()
            );
            *(if *own { &mut yes } else { &mut no }) += 1;
        }
    }
    // So that neither side can pass by saying always the same.
    assert!(yes > 5_000 && no > 5_000, "{yes} yes, {no} no");
}

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
    let mut names: Vec<_> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "xml"))
        .collect();
    names.sort();
    let mut files: Vec<std::fs::File> = names.iter().map(|n| std::fs::File::open(n).unwrap()).collect();
    let mut list: Vec<Message<'_>> = names
        .iter()
        .zip(&mut files)
        .map(|(n, f)| Message {
            name: n.file_name().unwrap().to_string_lossy().into_owned(),
            bytes: f,
        })
        .collect();
    let at = At {
        date: Moment::parse(&format!("{day}T00:00Z")).unwrap().date,
        time: None,
    };
    let made = carrier::cut_out_of_messages(&mut list, None, at, &mut |_| {}).unwrap_or_else(|e| panic!("{e}"));
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
        // And nothing of another name: no lane, no stand.
        for l in told
            .on
            .iter()
            .filter(|t| t.starts_with("taxi") || t.starts_with("stand"))
        {
            assert!(
                on.iter().any(|what| l.as_str() == *what),
                "{file}: {l} is not in {on:?}"
            );
        }
        // On another day nothing is laid, and nothing lowers the answer.
        let (_, after) = laid(&field, &list, "2026-06-01T07:00Z");
        assert!(
            after.closures.len() == field.closures.len() && after.unplaced.is_empty(),
            "{file}"
        );
    }
}
