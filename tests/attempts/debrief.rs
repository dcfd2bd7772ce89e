//! Whole debriefs: what the model pilot leaves to work on (nothing), what a bad drive shows, and the forms.

use crate::demo::{planned, way};
use crate::python;
use serde_json::{Value, json};
use toeline_dynamics::Faults;
use toeline_engine::Plan;
use toeline_training::debrief::{self, Debrief, Planned};
use toeline_training::journey::drive_by_script;
use toeline_training::measures::Judged;
use toeline_training::pilot::drive_by_pilot;

fn piloted(plan: &Plan) -> Debrief {
    let way = way(plan);
    let drive = drive_by_pilot(plan, way, Value::Null);
    debrief::debrief(&drive.attempt, "pilot.json", Some(Planned { plan, way }), "")
}

/// Off the stand with the feet on both brakes against power, and no look at the line.
const BAD: &str = "
at 0     throttle 0.7
at 480   left_brake 0.15 right_brake 0.15
at 3000  left_brake 0 right_brake 0
end 3600
";

fn badly(plan: &Plan) -> Debrief {
    let way = way(plan);
    let attempt = drive_by_script(plan, way, BAD, Faults::default(), Value::Null).expect("a sound script");
    debrief::debrief(&attempt, "bad.json", Some(Planned { plan, way }), "")
}

#[test]
fn the_model_pilot_leaves_nothing_to_work_on() {
    for (aircraft, from, wind) in [
        ("trainer-high-2", "1", "calm"),
        ("trainer-high-2", "1", "300/10T"),
        ("tourer-low-4", "1", "165/10T"),
        ("caster-low-2", "1", "calm"),
    ] {
        let plan = planned(aircraft, from, wind);
        let d = piloted(&plan);
        println!("{}", debrief::text(&d, &[]));
        let found: Vec<String> = d
            .judged(Judged::WorkOn)
            .map(|m| format!("{}: {}", m.key, m.sentence))
            .collect();
        assert!(found.is_empty(), "{aircraft} from {from}, {wind}: {found:?}");
        assert!(d.judged(Judged::Good).count() >= 10, "{aircraft}");
        assert!(d.left_out.is_empty(), "{:?}", d.left_out);
    }
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
    let d = badly(&plan);
    let csv = debrief::csv(&d);
    assert_eq!(csv.lines().count(), d.series.samples.len() + 1);
    let columns = |l: &str| l.split(',').count();
    assert!(csv.lines().all(|l| columns(l) == columns(csv.lines().next().unwrap())));
    let Some(python) = python::python() else { return };
    let path = toeline_tests::root().join("docs/debrief.schema.json");
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let good = debrief::json(&d, std::slice::from_ref(&d));
    let mut documents = vec![json!(["good", good])];
    // The schema must be able to say no.
    for (pointer, wrong) in [
        ("/toeline_debrief", json!(2)),
        ("/drive/measures/0/judged", json!("best")),
        ("/drive/measures/0/reference", json!("")),
        ("/drive/series/speed_mps/0", json!("fast")),
        ("/drive/more", json!(1)),
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
