//! Notices against what is not ours: the forms by a JSON Schema library, hours by Python's datetime. The standard's own examples
//! are in `notices_published.rs`.

use serde_json::{Value, json};
use toeline_engine::fit::{self, FitAsked};
use toeline_engine::notices::{self, DayOfYear, Season, Sheet};
use toeline_engine::{briefing, closures, inspection, plan};
use toeline_model::aircraft::catalog;
use toeline_model::date::Moment;
use toeline_tests::event_message::EventMessage;

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
