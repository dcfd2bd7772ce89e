//! Ways other than from a stand to a runway, and other ways than the planned one, as a user asks for them.

use crate::harness::*;
use serde_json::Value;

fn json(changes: &[(&str, &str)]) -> (i32, Value) {
    let mut args = journey("plan", changes);
    args.extend(["--drives", "0", "--json"].map(String::from));
    let ran = run(&args);
    let out = serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{e}: {}{}", ran.out, ran.err));
    (ran.code, out)
}

fn stops(plan: &Value) -> Vec<String> {
    let list = plan["outcome"]["stops"].as_array().unwrap_or_else(|| panic!("no way"));
    list.iter().map(|s| s["name"].as_str().unwrap().to_string()).collect()
}

#[test]
fn other_ways_are_told_with_what_is_better_or_worse() {
    let asked = [("--others", "3"), ("--drives", "0")];
    let text = run(&journey("plan", &asked)).out;
    let told = text
        .split("OTHER WAYS")
        .nth(1)
        .unwrap_or_else(|| panic!("none told: {text}"));
    let (_, plan) = json(&[("--others", "3")]);
    let others = plan["briefing"]["others"].as_array().unwrap();
    assert!((1..=3).contains(&others.len()), "{others:?}");
    assert!(
        told.starts_with(&format!(" ({}), cheapest first", others.len())),
        "{told}"
    );
    let mut last = plan["outcome"]["cost_ms"].as_f64().unwrap() / 1000.0;
    for other in others {
        let (cost_s, words) = (other["cost_s"].as_f64().unwrap(), other["words"].as_str().unwrap());
        assert!(cost_s + 0.05 >= last, "{cost_s} after {last}");
        last = cost_s;
        assert!(words.contains(" m longer") || words.contains(" m shorter"), "{words}");
        assert_ne!(other["verdict"], "not_clear");
    }
    // The same again, and none where none was asked for.
    assert_eq!(
        json(&[("--others", "3")]).1["briefing"]["others"],
        plan["briefing"]["others"]
    );
    let (_, plain) = json(&[]);
    assert!(plain["briefing"]["others"].as_array().is_none_or(Vec::is_empty));
    assert_eq!(plain["outcome"], plan["outcome"]);
}

#[test]
fn into_wind_chooses_the_runway_and_says_why() {
    for (wind, runway) in [("240/12T", "26"), ("090/12T", "08"), ("170/10T", "17")] {
        let (_, plan) = json(&[("--to", "into-wind"), ("--via", "ABSENT"), ("--wind", wind)]);
        let doubts = plan["outcome"]["doubts"].to_string();
        assert!(
            doubts.contains(&format!("runway {runway} was chosen for the wind")),
            "{wind}: {doubts}"
        );
        assert!(doubts.contains("the tower's and the field's own choice comes first"));
    }
    // In no wind the cheapest; in a gale none, with every direction's own figure.
    assert!(json(&[("--to", "into-wind"), ("--wind", "calm")]).0 < 2);
    let (code, plan) = json(&[("--to", "into-wind"), ("--wind", "VRB/40")]);
    assert_eq!((code, &plan["outcome"]["outcome"]), (1, &Value::from("no_way")));
    assert_eq!(plan["outcome"]["blocks"].as_array().unwrap().len(), 4);
}

#[test]
fn after_a_landing_it_leads_from_the_runway_to_the_stand() {
    let (_, plan) = json(&[("--from", "26"), ("--to", "4"), ("--via", "ABSENT")]);
    let list = stops(&plan);
    assert_eq!(
        (list[0].as_str(), list[list.len() - 1].as_str()),
        ("runway 26", "stand 4")
    );
    // The stand that it comes home to is not taken.
    assert_ne!(plan["outcome"]["verdict"], "not_clear", "{}", plan["briefing"]);
    // By the exit that was taken, past another stand for fuel.
    let (_, plan) = json(&[("--from", "D1"), ("--to", "4"), ("--via", "7")]);
    let list = stops(&plan);
    assert_eq!(list[0], "holding position D1");
    assert_ne!(plan["outcome"]["verdict"], "not_clear", "{}", plan["briefing"]);
    let at = |name: &str| list.iter().position(|s| s == name);
    assert!(at("stand 7").is_some() && at("stand 7") < at("stand 4"), "{list:?}");
    let pushed = plan["outcome"]["legs"].to_string();
    assert!(pushed.contains("stand 7, pushed back by hand"), "{pushed}");
}

#[test]
fn stops_are_made_in_the_order_in_which_they_were_asked_for() {
    let mut args = journey("plan", &[("--drives", "0"), ("--via", "7")]);
    args.extend(["--via", "E", "--json"].map(String::from));
    let plan: Value = serde_json::from_str(&run(&args).out).unwrap();
    let list = stops(&plan);
    let at = |name: &str| {
        list.iter()
            .position(|s| s == name)
            .unwrap_or_else(|| panic!("{name}: {list:?}"))
    };
    assert!(at("stand 7") < at("E") && at("E") < at("D1"), "{list:?}");
}

#[test]
fn an_intersection_is_named_by_its_holding_position_and_full_length_by_the_runway() {
    let (_, whole) = json(&[("--from", "H1"), ("--to", "08"), ("--via", "ABSENT")]);
    let (_, short) = json(&[("--from", "H1"), ("--to", "C1"), ("--via", "ABSENT")]);
    let doubts = |p: &Value| p["outcome"]["doubts"].to_string();
    let end = |p: &Value| stops(p).pop().unwrap();
    assert_eq!((end(&whole), end(&short)), ("B1".to_string(), "C1".to_string()));
    assert!(!doubts(&whole).contains("left behind"), "{}", doubts(&whole));
}

#[test]
fn help_names_every_place_that_can_be_asked_for() {
    let help = toeline(&["plan", "--help"]).out;
    for word in [
        "into-wind",
        "--others",
        "STAND|RUNWAY|HOLDING POSITION",
        "AREA|STAND|HOLDING POSITION",
    ] {
        assert!(help.contains(word), "{word}: {help}");
    }
}
