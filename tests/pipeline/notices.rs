//! Notices laid over a field: what a plan goes around, what stops it, and what it says of each.

use super::demo::way;
use serde_json::{Value, json};
use toeline_engine::clearance::Verdict;
use toeline_engine::job::Job;
use toeline_engine::notices::{self, Notam, Status, Use};
use toeline_engine::planning::Outcome;
use toeline_engine::{Plan, Request, briefing, plan};
use toeline_model::date::{Date, TimeOfDay};
use toeline_tests::sketch::Sketch;

/// From stand 1 by B to a junction; C straight on, or D around it, and F to the runway. G branches off C halfway and leads to
/// stand 2.
fn field() -> Sketch {
    let wide = |letter: &str| json!({ "aeroway": "taxiway", "ref": letter, "width": 12 });
    Sketch::default()
        .area(
            "home",
            &[&[[-400.0, -100.0], [700.0, -100.0], [700.0, 400.0], [-400.0, 400.0]]],
            json!({ "aeroway": "aerodrome", "name": "Harrowdene", "icao": "ZZHD", "toeline:accuracy_m": 0.1 }),
        )
        .runway("runway", "09/27", &[[-300.0, 300.0], [600.0, 300.0]])
        .line(
            "stand-1",
            &[[0.0, -20.0], [0.0, 0.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "direction": 0 }),
        )
        .line(
            "stand-2",
            &[[-60.0, 100.0], [-40.0, 100.0]],
            json!({ "aeroway": "parking_position", "ref": "2", "direction": 90 }),
        )
        .line("B", &[[0.0, 0.0], [0.0, 40.0]], wide("B"))
        .line("C", &[[0.0, 40.0], [0.0, 160.0]], wide("C"))
        .line("G", &[[-40.0, 100.0], [0.0, 100.0]], wide("G"))
        .line(
            "D",
            &[[0.0, 40.0], [90.0, 40.0], [90.0, 160.0], [0.0, 160.0]],
            wide("D"),
        )
        .line("F", &[[0.0, 160.0], [0.0, 300.0]], wide("F"))
}

/// One notice of the form of our own, with some keys more.
fn one(closes: Value, more: Value) -> Vec<Notam> {
    let mut notice = json!({
        "number": "A0012/26",
        "text": "TWY WORKS",
        "from": "2026-07-04T08:00Z",
        "until": "2026-07-04T12:00Z",
        "closes": closes,
    });
    notice
        .as_object_mut()
        .unwrap()
        .extend(more.as_object().unwrap().clone());
    let file = json!({ "toeline_notices": 1, "notices": [notice] });
    notices::read(&file.to_string(), "today.json").unwrap_or_else(|e| panic!("{e}"))
}

fn asked(from: &str, time: Option<&str>, notams: Vec<Notam>) -> Request {
    let mut asked = toeline_tests::request("trainer-high-2", from, &[], "27", "calm");
    asked.date = Date::parse("2026-07-04").unwrap();
    asked.time_utc = time.map(|t| TimeOfDay::parse(t).unwrap());
    asked.odds.drives = 0;
    asked.notams = notams;
    asked
}

fn planned(from: &str, time: Option<&str>, notams: Vec<Notam>) -> Plan {
    plan(&field().text(), &asked(from, time, notams)).unwrap_or_else(|e| panic!("{e}"))
}

fn letters(plan: &Plan) -> String {
    way(plan).route.legs.iter().flat_map(|l| l.letters.clone()).collect()
}

fn blocks(plan: &Plan) -> Vec<String> {
    match &plan.outcome {
        Outcome::NoWay(why) => why.blocks.iter().map(|b| b.text.clone()).collect(),
        Outcome::Way(w) => panic!(
            "a way by {:?}",
            w.route.legs.iter().map(|l| &l.name).collect::<Vec<_>>()
        ),
    }
}

#[test]
fn a_closed_lane_is_gone_around_and_the_notice_is_named() {
    let open = planned("1", Some("10:00"), Vec::new());
    assert_eq!(
        (letters(&open).as_str(), way(&open).clearance.verdict),
        ("BCF", Verdict::Clear)
    );
    let plan = planned("1", Some("10:00"), one(json!([{ "taxiway": "c" }]), json!({})));
    assert_eq!(
        (letters(&plan).as_str(), way(&plan).clearance.verdict),
        ("BDF", Verdict::Clear)
    );
    let told = &plan.notams[0];
    assert_eq!((told.status, told.open), (Status::Placed, Some(Use::Closed)));
    assert_eq!(told.on, ["taxiway C"]);
    let around = &way(&plan).gone_around;
    assert_eq!(around.len(), 1, "{around:?}");
    assert!(
        around[0].starts_with(
            "taxiway C: closed (NOTAM A0012/26: TWY WORKS, 2026-07-04T08:00Z to 2026-07-04T12:00Z): the cheapest"
        ),
        "{around:?}"
    );
}

#[test]
fn the_only_lane_closed_leaves_no_way_and_names_the_notice() {
    let plan = planned("1", Some("10:00"), one(json!([{ "taxiway": "F" }]), json!({})));
    assert_eq!(
        blocks(&plan),
        ["taxiway F: closed (NOTAM A0012/26: TWY WORKS, 2026-07-04T08:00Z to 2026-07-04T12:00Z)"]
    );
    let brief = briefing::brief(&plan);
    for form in [
        briefing::text(&brief),
        briefing::json(&plan, &brief),
        briefing::page(&plan, &brief),
        briefing::geojson(&plan, &brief),
        briefing::knee_sheet(&plan, &brief).join(" "),
    ] {
        assert!(form.contains("A0012/26") && form.contains("TWY WORKS"), "{form}");
    }
}

#[test]
fn stands_runways_aprons_holding_positions_and_areas_close_too() {
    let closed = |closes: Value| blocks(&planned("1", Some("10:00"), one(closes, json!({}))));
    assert!(closed(json!([{ "stand": "1" }]))[0].starts_with("stand 1: closed (NOTAM A0012/26"));
    for name in ["27", "09/27", "RWY 27"] {
        let why = closed(json!([{ "runway": name }]));
        assert!(
            why[0].starts_with("runway 09/27: closed (NOTAM A0012/26"),
            "{name}: {why:?}"
        );
    }
    let sketch = field();
    let ring: Vec<[f64; 2]> = [[-5.0, 200.0], [5.0, 200.0], [5.0, 220.0], [-5.0, 220.0]]
        .iter()
        .map(|p| sketch.position(*p))
        .collect();
    let why = closed(json!([{ "area": ring, "name": "W3" }]));
    assert!(
        why[0].starts_with("taxiway F: closed by area W3 (NOTAM A0012/26"),
        "{why:?}"
    );
    // An area far from the field is drawn for another place, or wrongly.
    let far: Vec<[f64; 2]> = ring.iter().map(|[lon, lat]| [lon + 1.0, *lat]).collect();
    let away = planned("1", Some("10:00"), one(json!([{ "area": far }]), json!({})));
    assert_eq!(away.notams[0].status, Status::NotPlaced, "{:?}", away.notams[0]);
    let apron = sketch
        .area(
            "north",
            &[&[[-30.0, -40.0], [30.0, -40.0], [30.0, 10.0], [-30.0, 10.0]]],
            json!({ "aeroway": "apron", "name": "Apron North" }),
        )
        .point(
            "hold",
            [0.0, 250.0],
            json!({ "aeroway": "holding_position", "ref": "F1", "holding_position:type": "runway" }),
        )
        .text();
    for (what, said) in [("apron", "north"), ("holding_position", "F1")] {
        let notams = one(json!([{ what: said }]), json!({}));
        let plan = plan(&apron, &asked("1", Some("10:00"), notams)).unwrap();
        assert_eq!(plan.notams[0].status, Status::Placed, "{:?}", plan.notams[0]);
        assert!(blocks(&plan)[0].contains("NOTAM A0012/26"), "{:?}", blocks(&plan));
    }
}

#[test]
fn a_stretch_between_two_things_is_closed_and_nothing_beside_it() {
    // C between G and D: north of G, so stand 2 comes out southward and goes around by D, and stand 1 too.
    let stretch = |ends: [&str; 2]| one(json!([{ "taxiway": "C", "between": ends }]), json!({}));
    let north = planned("2", Some("10:00"), stretch(["G", "F"]));
    assert_eq!(
        (north.notams[0].status, letters(&north).as_str()),
        (Status::Placed, "GCDF")
    );
    assert_eq!(north.notams[0].on, ["taxiway C between G and F"]);
    assert_eq!(letters(&planned("1", Some("10:00"), stretch(["G", "F"]))), "BDF");
    // The southern piece leaves stand 2 its way north.
    let south = planned("2", Some("10:00"), stretch(["B", "G"]));
    assert_eq!(letters(&south), "GCF");
    assert_eq!(letters(&planned("1", Some("10:00"), stretch(["B", "G"]))), "BDF");
    // By a stand and a runway.
    let f = one(json!([{ "taxiway": "F", "between": ["C", "runway 27"] }]), json!({}));
    assert!(
        blocks(&planned("1", Some("10:00"), f))[0]
            .starts_with("taxiway F: closed by taxiway F between C and runway 27")
    );
    // What is not there, and what does not meet it.
    let odd = planned("1", Some("10:00"), stretch(["G", "Q"]));
    assert_eq!(odd.notams[0].status, Status::NotPlaced);
    assert!(
        odd.notams[0].why[0].contains("nothing called Q"),
        "{:?}",
        odd.notams[0].why
    );
    assert_eq!(way(&odd).clearance.verdict, Verdict::NotKnown);
}

#[test]
fn limits_are_held_against_the_aeroplane_and_told_with_its_figures() {
    let limited = |more: Value| planned("1", Some("10:00"), one(json!([{ "taxiway": "F" }]), more));
    // This wing has 10.2 m or so, and 757 kg: read, not known by heart.
    let own = toeline_tests::request("trainer-high-2", "1", &[], "27", "calm").aircraft;
    let (span, mass) = (own.wing.span_m, own.mass.greatest_kg);
    for (more, open) in [
        (json!({ "closed_to": [{ "span_above_m": span - 0.1 }] }), false),
        (json!({ "closed_to": [{ "span_above_m": span }] }), true),
        (json!({ "except": [{ "span_up_to_m": span }] }), true),
        (json!({ "except": [{ "span_up_to_m": span - 0.1 }] }), false),
        (json!({ "closed_to": [{ "weight_above_kg": mass - 1.0 }] }), false),
        (json!({ "closed_to": [{ "weight_above_kg": mass }] }), true),
        (json!({ "except": [{ "kind": "helicopter" }] }), false),
        (
            json!({ "closed_to": [{ "kind": "helicopter" }, { "kind": "jet" }] }),
            true,
        ),
        (
            json!({ "except": [{ "kind": "single_engine", "weight_up_to_kg": mass }] }),
            true,
        ),
        (json!({ "except": [{ "kind": "multi_engine" }] }), false),
        // What nobody here can know closes.
        (json!({ "except": [{ "words": "emergency flights" }] }), false),
        (json!({ "closed_to": [{ "words": "visitors" }] }), false),
        (
            json!({ "except": [{ "words": "emergency flights" }, { "kind": "aeroplane" }] }),
            true,
        ),
    ] {
        let plan = limited(more.clone());
        assert_eq!(plan.notams[0].status, Status::Placed);
        let seen = if open { Use::Open } else { Use::Closed };
        assert_eq!(plan.notams[0].open, Some(seen), "{more}");
        if open {
            assert_eq!(letters(&plan), "BCF", "{more}");
        } else {
            let why = blocks(&plan);
            assert!(
                why[0].starts_with("taxiway F: closed (NOTAM A0012/26: TWY WORKS; open to "),
                "{why:?}"
            );
        }
    }
    let why = blocks(&limited(json!({ "except": [{ "span_up_to_m": 9 }] })));
    let figures = format!(
        "open to a wing span of at most 9 m only; this aeroplane has a wing span of {span} m and a greatest mass of {mass} kg"
    );
    assert!(why[0].contains(&figures), "{why:?}");
    let unknown = limited(json!({ "except": [{ "words": "emergency flights" }] }));
    let said = &unknown.notams[0].why;
    assert!(
        said[0].contains("whether this is emergency flights is not known, so taken as closed"),
        "{said:?}"
    );
}

#[test]
fn a_notice_counts_at_the_time_of_the_plan_alone_to_the_minute() {
    let daily = json!({ "until": "2026-07-08T12:00Z", "schedule": [{ "days": ["sat", "mon"], "from": "09:00", "until": "10:30" }] });
    let at = |time: Option<&str>| planned("1", time, one(json!([{ "taxiway": "C" }]), daily.clone()));
    for (time, closed, words) in [
        ("07:59", false, "begins 61 min"),
        ("08:00", false, "begins 60 min after the time of this plan"),
        ("08:59", false, "begins 1 min after the time of this plan"),
        ("09:00", true, "in force"),
        ("10:29", true, "in force"),
        (
            "10:30",
            false,
            "not in force at the time of this plan; from 2026-07-06T09:00Z",
        ),
    ] {
        let plan = at(Some(time));
        assert_eq!(letters(&plan) == "BDF", closed, "{time}");
        let told = plan.notams[0].force.words();
        if time == "07:59" {
            assert_eq!(told, "not in force at the time of this plan; from 2026-07-04T09:00Z");
        } else {
            assert!(told.starts_with(words), "{time}: {told}");
        }
        assert_eq!(plan.notams[0].open.is_some(), closed);
    }
    // The whole day counts without a time, and it says so.
    let day = at(None);
    assert_eq!(letters(&day), "BDF");
    assert!(
        day.notams[0].force.words().contains("part of the day"),
        "{:?}",
        day.notams[0].force
    );
    // The period itself, on a day and after it.
    let plain = |time| planned("1", Some(time), one(json!([{ "taxiway": "C" }]), json!({})));
    for (time, closed) in [("07:59", false), ("08:00", true), ("11:59", true), ("12:00", false)] {
        assert_eq!(letters(&plain(time)) == "BDF", closed, "{time}");
    }
    assert_eq!(plain("12:00").notams[0].force.words(), "over at the time of this plan");
}

#[test]
fn estimated_ends_cancelled_and_replaced_notices_are_told() {
    let force = |more: Value| {
        let plan = planned("1", Some("13:00"), one(json!([{ "taxiway": "C" }]), more));
        (letters(&plan) == "BDF", plan.notams[0].force.words())
    };
    let (closed, words) = force(json!({ "estimated": true }));
    assert!(closed && words.contains("its estimated end is past"), "{words}");
    assert_eq!(force(json!({ "until": null })), (true, "in force".to_string()));
    assert_eq!(
        force(json!({ "until": null, "cancelled": true })),
        (false, "cancelled".to_string())
    );
    let two = |key: &str| {
        let file = json!({ "toeline_notices": 1, "notices": [
            { "number": "A0001/26", "text": "TWY F CLSD", "closes": [{ "taxiway": "F" }] },
            { "number": "A0002/26", "text": "TWY C CLSD", key: "a0001/26", "from": "2026-07-04T12:30Z",
              "closes": if key == "replaces" { json!([{ "taxiway": "C" }]) } else { json!([]) } },
        ]});
        notices::read(&file.to_string(), "two.json").unwrap()
    };
    let later = planned("1", Some("13:00"), two("replaces"));
    assert_eq!(letters(&later), "BDF");
    assert_eq!(later.notams[0].force.words(), "cancelled or replaced by A0002/26");
    let before = planned("1", Some("12:00"), two("replaces"));
    assert!(blocks(&before)[0].contains("NOTAM A0001/26"));
    let cancelled = planned("1", Some("13:00"), two("cancels"));
    assert_eq!(
        (letters(&cancelled).as_str(), cancelled.notams[1].status),
        ("BCF", Status::Placed)
    );
    assert_eq!(way(&cancelled).clearance.verdict, Verdict::Clear);
}

#[test]
fn what_cannot_be_placed_is_told_and_makes_the_answer_not_known() {
    let plan = planned("1", Some("10:00"), one(json!([{ "taxiway": "Q" }]), json!({})));
    let told = &plan.notams[0];
    assert_eq!((told.status, told.open), (Status::NotPlaced, None));
    assert_eq!(way(&plan).clearance.verdict, Verdict::NotKnown);
    let brief = briefing::brief(&plan);
    let text = briefing::text(&brief);
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "NOT KNOWN: a notice in force could not be laid on this map",
        "NOTAM A0012/26 is not placed: the map has no taxiway Q",
        "NOTICES (1)",
        "NOTAM A0012/26: TWY WORKS",
    ] {
        assert!(flat.contains(part), "no \"{part}\" in {flat}");
    }
    // Out of its hours it lowers nothing, and is told all the same.
    let later = planned("1", Some("13:00"), one(json!([{ "taxiway": "Q" }]), json!({})));
    assert_eq!(
        (later.notams[0].status, way(&later).clearance.verdict),
        (Status::NotPlaced, Verdict::Clear)
    );
    // In part.
    let half = planned(
        "1",
        Some("10:00"),
        one(json!([{ "taxiway": "Q" }, { "taxiway": "C" }]), json!({})),
    );
    assert_eq!(
        (half.notams[0].status, letters(&half).as_str()),
        (Status::PlacedInPart, "BDF")
    );
    assert_eq!(way(&half).clearance.verdict, Verdict::NotKnown);
    // A text alone.
    let bare = planned("1", Some("10:00"), one(json!([]), json!({})));
    assert_eq!(bare.notams[0].status, Status::NotPlaced);
    assert_eq!(way(&bare).clearance.verdict, Verdict::NotKnown);
}

#[test]
fn a_name_that_several_things_bear_is_not_placed() {
    let two = field()
        .line(
            "stand-1b",
            &[[200.0, -20.0], [200.0, 0.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "direction": 0 }),
        )
        .taxiway("C-far", "C", &[[500.0, 40.0], [500.0, 200.0]])
        .text();
    for closes in [json!([{ "stand": "1" }]), json!([{ "taxiway": "C" }])] {
        let plan = plan(&two, &asked("stand-1", Some("10:00"), one(closes, json!({})))).unwrap();
        let told = &plan.notams[0];
        assert_eq!(told.status, Status::NotPlaced, "{told:?}");
        assert!(told.why[0].contains("which is meant is not known"), "{:?}", told.why);
        assert_eq!(way(&plan).clearance.verdict, Verdict::NotKnown);
    }
}

#[test]
fn a_notice_of_another_aerodrome_lowers_nothing_and_one_of_an_unknown_code_is_laid() {
    let of = |code: &str| {
        planned(
            "1",
            Some("10:00"),
            one(json!([{ "taxiway": "F" }]), json!({ "aerodrome": code })),
        )
    };
    let other = of("ZZAB");
    assert_eq!(
        (other.notams[0].status, letters(&other).as_str()),
        (Status::OtherAerodrome, "BCF")
    );
    assert_eq!(other.notams[0].why, ["it is about ZZAB, and this is ZZHD"]);
    assert_eq!(way(&other).clearance.verdict, Verdict::Clear);
    for here in ["zzhd", "Harrowdene", "HRD"] {
        assert!(blocks(&of(here))[0].contains("NOTAM A0012/26"), "{here}");
    }
}

#[test]
fn whoever_plans_the_job_again_has_the_same_notices() {
    let request = asked(
        "1",
        Some("10:00"),
        one(
            json!([{ "taxiway": "C" }]),
            json!({ "except": [{ "span_up_to_m": 9 }] }),
        ),
    );
    let job = Job {
        toeline_job: toeline_engine::job::FORMAT,
        field_file: "field.geojson".to_string(),
        request: request.clone(),
        faults: None,
        exercise: None,
    };
    let again = Job::from_json(&job.to_json()).unwrap();
    assert_eq!(again.request, request);
    let (first, second) = (
        plan(&field().text(), &request).unwrap(),
        plan(&field().text(), &again.request).unwrap(),
    );
    assert_eq!(first, second);
    assert_eq!(letters(&second), "BDF");
    // A job without any is written as it was before there were notices.
    let plain = Job {
        request: asked("1", None, Vec::new()),
        ..job
    };
    assert!(!plain.to_json().contains("notams"));
}
