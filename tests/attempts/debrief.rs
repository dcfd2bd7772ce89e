//! Whole debriefs: what the model pilot leaves to work on (nothing), what a bad drive shows, and the forms.

use crate::demo::{planned, way};
use crate::python;
use serde_json::{Value, json};
use toeline_dynamics::Faults;
use toeline_engine::Plan;
use toeline_model::Wind;
use toeline_model::aircraft::catalog;
use toeline_training::debrief::{self, Debrief, Earlier, Held, Planned, drill_by_pilot};
use toeline_training::drills::build;
use toeline_training::journey::{air, drive_by_script, environment};
use toeline_training::measures::{Course, Judged, Sample, Series};
use toeline_training::pilot::{drive_by_pilot, drive_task};
use toeline_training::{Attempt, DrillKind, Environment};

pub(crate) fn piloted(plan: &Plan) -> Debrief {
    let way = way(plan);
    let drive = drive_by_pilot(plan, way, Value::Null);
    assert!(drive.arrived(), "{:?}", drive.ended);
    debrief::debrief(&drive.attempt, "pilot.json", Some(Planned { plan, way }), "")
}

#[test]
fn page_and_json_bear_the_credit_that_the_map_asks_for() {
    let plan = planned("trainer-high-2", "4", "calm");
    let mut d = badly(&plan);
    let forms = |d: &Debrief| (debrief::page(d, &[], &plan.request.aircraft), debrief::json(d, &[]));
    let (page, json) = forms(&d);
    assert!(!page.contains("Map data") && !json.contains("attribution"));
    d.field.as_mut().expect("a field").attribution = Some("© <The> Club".to_string());
    let (page, json) = forms(&d);
    assert!(page.contains("Map data: © &lt;The&gt; Club"));
    let json: Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(json["attribution"], "© <The> Club");
}

/// Everything that is to be worked on, in words.
fn to_work_on(d: &Debrief) -> Vec<String> {
    d.judged(Judged::WorkOn)
        .map(|m| format!("{}: {}; {:?}", m.key, m.sentence, m.spots))
        .collect()
}

/// Off the stand with the feet on both brakes against power, and no look at the line.
const BAD: &str = "
at 0     throttle 0.7
at 480   left_brake 0.15 right_brake 0.15
at 3000  left_brake 0 right_brake 0
end 3600
";

pub(crate) fn badly(plan: &Plan) -> Debrief {
    let way = way(plan);
    let attempt = drive_by_script(plan, way, BAD, Faults::default(), Value::Null).expect("a sound script");
    debrief::debrief(&attempt, "bad.json", Some(Planned { plan, way }), "")
}

#[test]
fn the_model_pilot_leaves_nothing_to_work_on_on_the_demo_field() {
    let mut bad = Vec::new();
    for (aircraft, from, wind) in [
        ("trainer-high-2", "1", "calm"),
        ("trainer-high-2", "4", "240/12T"),
        ("trainer-high-2", "1", "300/10T"),
        ("tourer-low-4", "1", "165/10T"),
        ("tourer-low-4", "4", "calm"),
        ("caster-low-2", "1", "calm"),
        ("caster-low-2", "4", "240/12T"),
        ("caster-low-2", "1", "165/10T"),
    ] {
        let plan = planned(aircraft, from, wind);
        let d = piloted(&plan);
        let told = format!("{aircraft} from {from}, {wind}");
        println!("{told}\n{}", debrief::text(&d, &[]));
        bad.extend(to_work_on(&d).into_iter().map(|w| format!("{told}: {w}")));
        assert!(d.judged(Judged::Good).count() >= 10, "{told}");
        assert!(d.left_out.is_empty(), "{:?}", d.left_out);
    }
    assert!(bad.is_empty(), "{}", bad.join("\n"));
}

#[test]
fn the_model_pilot_leaves_nothing_to_work_on_in_any_drill() {
    let mut bad = Vec::new();
    for aircraft in catalog::all() {
        for kind in DrillKind::ALL.into_iter().filter(|k| *k != DrillKind::FreeApron) {
            for wind in ["calm", "240/10T", "030/12T"] {
                let environment = Environment {
                    air: air(&Wind::parse(wind).expect("a wind"), 0.0),
                    ..Environment::default()
                };
                let drill = build(kind, &aircraft, environment.air.wind_from, environment.air.wind_mps);
                let drive = drill_by_pilot(&drill, &aircraft, environment);
                let told = format!("{} {kind:?}, {wind}", aircraft.id);
                if !drive.arrived() {
                    bad.push(format!("{told}: {:?}", drive.ended));
                    continue;
                }
                // Found again from the job of the attempt, as the program does.
                let held = Held::of(&drive.attempt, &mut |_| panic!("a drill needs no map")).expect("a drill");
                let d = debrief::against(&drive.attempt, "drill.json", Some(&held.course), "");
                bad.extend(to_work_on(&d).into_iter().map(|w| format!("{told}: {w}")));
                assert!(
                    d.judged(Judged::Good).count() >= 8,
                    "{told}: {}",
                    debrief::text(&d, &[])
                );
            }
        }
    }
    assert!(bad.is_empty(), "{}", bad.join("\n"));
}

#[test]
fn the_heading_instruments_are_those_of_the_replay() {
    let plan = planned("trainer-high-2", "4", "calm");
    let way = way(&plan);
    let mut drive = drive_by_pilot(&plan, way, Value::Null).attempt;
    let course = Course::of(&plan, way);
    let shown = |attempt: &Attempt| {
        let series = Series::of(attempt, Some(&course));
        assert_eq!(series.no_replay, None);
        series.samples
    };
    let samples = shown(&drive);
    let of = |s: &Sample| s.felt.and_then(|f| f.headings).expect("a field and a replay");
    let magnetic = |s: &Sample| s.heading_rad.bearing().deg() - plan.declination.deg;
    let off = |deg: f64| (deg + 540.0).rem_euclid(360.0) - 180.0;
    for s in &samples {
        // Set to the compass at the start; a sound gyro leaves it by at most 3 degrees in a quarter of an hour and what the
        // earth turns, 15 degrees an hour.
        let away = off(of(s).indicator_rad.to_degrees() - magnetic(s));
        assert!(away.abs() < 5.0, "{:.1} s: indicator {away:.1} degrees off", s.time_s);
        if s.speed_mps == 0.0 && s.time_s > 60.0 && s.controls.throttle == 0.0 {
            let away = off(of(s).compass_rad.to_degrees() - magnetic(s));
            assert!(away.abs() < 12.0, "{:.1} s: compass {away:.1} degrees off", s.time_s);
        }
    }
    // The compass swings in turns as the gyro does not: they are two instruments.
    let apart = samples
        .iter()
        .map(|s| off((of(s).compass_rad - of(s).indicator_rad).to_degrees()).abs());
    assert!(apart.fold(0.0, f64::max) > 5.0);
    // The knob, as the window notes it.
    let at = drive.track.len() / 2;
    let tick = drive.track[at].tick;
    let mut set = drive.clone();
    set.events.push(toeline_training::Event {
        tick,
        kind: toeline_training::EventKind::Note,
        text: "heading indicator set to 100, compass 257".into(),
        at: None,
        speed_mps: None,
        part: None,
        thing: None,
        faults: None,
    });
    let again = shown(&set);
    assert!((of(&again[at]).indicator_rad.to_degrees() - 100.0).abs() < 0.01);
    assert_eq!(of(&again[at - 1]), of(&samples[at - 1]));
    // Without its physics there is no replay, and no instruments.
    drive.physics_version = 0;
    let series = Series::of(&drive, Some(&course));
    assert!(series.no_replay.is_some() && series.samples.iter().all(|s| s.felt.is_none()));
}

#[test]
fn a_stuck_compass_is_told_of_and_plotted() {
    let plan = planned("trainer-high-2", "4", "calm");
    let way = way(&plan);
    let course = Course::of(&plan, way);
    let stuck = Environment {
        faults: Faults {
            stuck_compass: true,
            ..Faults::default()
        },
        ..environment(&plan, way)
    };
    let drive = drive_task(&plan.request.aircraft, stuck, course.task.clone(), |_, _| {});
    let d = debrief::against(&drive.attempt, "stuck.json", Some(&course), "");
    let m = d
        .measures
        .iter()
        .find(|m| m.key == "headings_in_turns")
        .expect("measured");
    assert!(m.sentence.contains("the compass did not go with a turn"), "{m:?}");
    assert!(!m.sentence.contains("heading indicator did not"), "{m:?}");
    let page = debrief::page(&d, &[], &plan.request.aircraft);
    assert!(page.contains("Heading instruments"));
}

#[test]
fn a_faulty_engine_that_the_model_pilot_refuses_is_well_judged_and_called_fit_it_is_not() {
    let plan = planned("trainer-high-2", "4", "calm");
    let way = way(&plan);
    let course = Course::of(&plan, way);
    for faults in [
        Faults {
            fouled_plug: [true, false],
            ..Faults::default()
        },
        Faults {
            dead_magneto: [false, true],
            ..Faults::default()
        },
        Faults {
            live_magneto: [true, false],
            ..Faults::default()
        },
    ] {
        let environment = Environment {
            faults,
            ..environment(&plan, way)
        };
        let mut drive = drive_task(&plan.request.aircraft, environment, course.task.clone(), |_, _| {}).attempt;
        let judged = |attempt: &Attempt| {
            let d = debrief::against(attempt, "faulty.json", Some(&course), "");
            let m = d
                .measures
                .iter()
                .find(|m| m.key == "readings_judged")
                .expect("measured");
            (m.judged, m.sentence.clone())
        };
        let (refused, sentence) = judged(&drive);
        assert_eq!(refused, Judged::Good, "{faults:?}: {sentence}");
        let verdict = drive
            .events
            .iter_mut()
            .find(|e| e.kind == toeline_training::EventKind::Judged);
        verdict.expect("he judges").thing = Some("fit".to_string());
        let (accepted, sentence) = judged(&drive);
        assert_eq!(accepted, Judged::WorkOn, "{faults:?}: {sentence}");
    }
}

#[test]
fn progress_lines_up_every_measure_and_an_exercise_judges_only_its_own() {
    let plan = planned("trainer-high-2", "1", "calm");
    let (bad, good) = (badly(&plan), piloted(&plan));
    let earlier = |d: &Debrief, name: &str| Earlier {
        name: name.to_string(),
        measures: d.measures.clone(),
    };
    let went = debrief::progress(&[earlier(&bad, "first"), earlier(&good, "second")]);
    assert_eq!(went.drives, ["first", "second"]);
    let row = went
        .rows
        .iter()
        .find(|r| r.key == "power_against_brake")
        .expect("judged");
    assert_eq!(row.judged, [Judged::WorkOn, Judged::Good]);
    assert_eq!(row.figure, Some("against_s"));
    assert!(row.values[0] > Some(2.0) && row.values[1] < Some(2.0), "{row:?}");
    // What neither could be judged by is not in it.
    assert!(went.rows.iter().all(|r| r.key != "lights"));
    let text = debrief::progress_text(&went);
    println!("{text}");
    assert!(
        text.contains('*') && text.lines().all(|l| l.chars().count() <= 100),
        "{text}"
    );
    let many: Vec<Earlier> = (0..30).map(|k| earlier(&bad, &format!("drive {k}"))).collect();
    let text = debrief::progress_text(&debrief::progress(&many));
    assert!(
        text.contains("of 30 drives") && text.lines().all(|l| l.chars().count() <= 100),
        "{text}"
    );

    let told = bad.measures.len();
    let keys = ["path"];
    let only = bad.judging_only(&keys);
    assert_eq!(only.measures.len(), told);
    let judged = |d: &Debrief| {
        d.judged(Judged::WorkOn)
            .chain(d.judged(Judged::Good))
            .map(|m| m.key)
            .collect::<Vec<_>>()
    };
    assert!(judged(&only).iter().all(|k| keys.contains(k)), "{:?}", judged(&only));
}

#[test]
fn a_bad_drive_shows_its_fault_and_one_thing_to_work_on() {
    let plan = planned("trainer-high-2", "1", "calm");
    let d = badly(&plan);
    let text = debrief::text(&d, &[]);
    println!("{text}");
    let against = d
        .measures
        .iter()
        .find(|m| m.key == "power_against_brake")
        .expect("measured");
    assert_eq!(against.judged, Judged::WorkOn, "{against:?}");
    let next = d.work_on().expect("something to work on");
    assert!(text.contains(next.practise.split(':').next().unwrap()), "{text}");
    let exercise = format!("toeline exercise drive {}", next.exercise.expect("one for this"));
    let page = debrief::page(&d, &[], &plan.request.aircraft);
    assert!(text.contains(&exercise) && page.contains(&exercise), "{text}");
    let json: Value = serde_json::from_str(&debrief::json(&d, &[])).expect("JSON");
    assert_eq!(json["drive"]["practise_exercise"], json!(next.exercise));
    assert!(text.lines().all(|l| l.chars().count() <= 100), "{text}");
    for word in ["stars", "grade", "points", "total", "level"] {
        assert!(!text.contains(word), "{word} in {text}");
    }
}

#[test]
fn without_the_map_the_debrief_says_what_it_leaves_out() {
    let plan = planned("trainer-high-2", "1", "calm");
    let whole = badly(&plan);
    let attempt = drive_by_script(&plan, way(&plan), BAD, Faults::default(), Value::Null).expect("a sound script");
    let bare = debrief::debrief(&attempt, "bad.json", None, "no such file or folder");
    assert!(
        bare.left_out[0].contains("no such file or folder"),
        "{:?}",
        bare.left_out
    );
    assert!(bare.judged(Judged::LeftOut).count() > whole.judged(Judged::LeftOut).count());
    let heat = |d: &Debrief| {
        d.measures
            .iter()
            .find(|m| m.key == "brake_heat")
            .expect("measured")
            .clone()
    };
    assert_eq!(heat(&bare).figures, heat(&whole).figures);
}

#[test]
fn the_json_obeys_its_schema_and_the_csv_has_every_sample() {
    let plan = planned("trainer-high-2", "1", "calm");
    let mut d = badly(&plan);
    let csv = debrief::csv(&d);
    assert_eq!(csv.lines().count(), d.series.samples.len() + 1);
    let columns = |l: &str| l.split(',').count();
    assert!(csv.lines().all(|l| columns(l) == columns(csv.lines().next().unwrap())));
    let Some(python) = python::python() else { return };
    let path = toeline_tests::root().join("docs/debrief.schema.json");
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let other = d.clone();
    let earlier = Earlier {
        name: "earlier".to_string(),
        measures: d.measures.clone(),
    };
    d.progress = Some(debrief::progress(&[earlier.clone(), earlier]));
    let good = debrief::json(&d, &[other]);
    let mut documents = vec![json!(["good", good])];
    // The schema must be able to say no.
    for (pointer, wrong) in [
        ("/toeline_debrief", json!(2)),
        ("/drive/measures/0/judged", json!("best")),
        ("/drive/measures/0/reference", json!("")),
        ("/drive/measures/0/exercise", json!(7)),
        ("/drive/series/speed_mps/0", json!("fast")),
        ("/drive/more", json!(1)),
        ("/progress/rows/0/judged/0", json!("best")),
    ] {
        let mut document: Value = serde_json::from_str(&good).unwrap();
        let (parent, key) = pointer.rsplit_once('/').unwrap();
        let parent = document.pointer_mut(parent).unwrap();
        match key.parse::<usize>() {
            Ok(i) => parent[i] = wrong,
            Err(_) => parent[key] = wrong,
        }
        documents.push(json!([pointer, document.to_string()]));
    }
    let answer = python::answer(&python, "schema.py", &json!({ "schema": schema, "maps": documents }));
    for (k, errors) in answer.as_array().unwrap().iter().enumerate() {
        let errors = errors.as_array().unwrap();
        assert_eq!(errors.is_empty(), k == 0, "document {k}: {errors:?}");
    }
}

#[test]
fn the_page_holds_all_of_it_and_fetches_nothing() {
    let plan = planned("trainer-high-2", "1", "calm");
    let d = badly(&plan);
    let page = debrief::page(&d, &[piloted(&plan)], &plan.request.aircraft);
    for part in [
        "Work on next",
        "Soles",
        "Gap",
        "type=\"range\"",
        "pilot.json",
        "id=\"plane\"",
    ] {
        assert!(page.contains(part), "{part}");
    }
    for away in ["http://", "https://", "src=", "@import", "url("] {
        assert!(!page.contains(away), "{away}");
    }
}

/// The table of docs/debrief.md: every measure with its reference, and no other.
#[test]
fn the_documentation_lists_every_measure_and_whose_rule_it_is() {
    let plan = planned("trainer-high-2", "1", "calm");
    let d = badly(&plan);
    let page = std::fs::read_to_string(toeline_tests::root().join("docs/debrief.md")).expect("the page");
    let rows: Vec<(String, String)> = page
        .lines()
        .filter_map(|l| l.strip_prefix("| `"))
        .filter_map(|l| {
            let mut cells = l.split('|').map(str::trim);
            let key = cells.next()?.trim_end_matches('`').to_string();
            let whose = cells.nth(1)?.split(' ').next()?.to_string();
            Some((key, whose))
        })
        .filter(|(key, _)| !key.contains('`'))
        .collect();
    let own: Vec<(String, String)> = d
        .measures
        .iter()
        .map(|m| {
            let whose = serde_json::to_value(m.source).expect("a word");
            (m.key.to_string(), whose.as_str().expect("a word").to_string())
        })
        .collect();
    assert_eq!(rows, own);
}
