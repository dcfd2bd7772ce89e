//! The running list: stages in the order of the way, values of the aircraft file, and what must be on every list.

use super::sample;
use crate::apron::request;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::collections::BTreeSet;
use toeline_engine::briefing::{self, Answer, FULL_PREPARATION, RUNNING_STAGES, RunningStage};
use toeline_engine::planning::{Outcome, Plan};
use toeline_engine::request::Request;
use toeline_engine::route::{Route, StopKind};
use toeline_engine::{plan, read};
use toeline_model::aircraft::{Aircraft, Light, TakeOff, catalog, check};
use toeline_model::{Bearing, Wind};
use toeline_tests::lanes::built_in;
use toeline_tests::sketch::Sketch;
use toeline_tests::{demo_field, root};

/// From the demo field's stand 4 by area E to runway 26, without drives.
fn asked() -> Request {
    let mut asked = request("4", None);
    asked.via = vec!["E".to_string()];
    asked.to = "26".to_string();
    asked.wind = Wind::parse("240/12T").unwrap();
    asked.without_drives()
}

fn planned(text: &str, asked: &Request) -> Plan {
    plan(text, asked).unwrap_or_else(|e| panic!("{e}"))
}

fn route(plan: &Plan) -> &Route {
    match &plan.outcome {
        Outcome::Way(way) => &way.route,
        Outcome::NoWay(none) => panic!("no way: {none:?}"),
    }
}

fn list(plan: &Plan) -> Vec<RunningStage> {
    match briefing::brief(plan).answer {
        Answer::Way(way) => way.running,
        Answer::NoWay(none) => panic!("no way: {none:?}"),
    }
}

fn demo(asked: &Request) -> Vec<RunningStage> {
    list(&planned(&demo_field(), asked))
}

fn ids(list: &[RunningStage]) -> Vec<&str> {
    list.iter().map(|s| s.id.as_str()).collect()
}

/// The stage of an id; there must be one.
fn stage<'a>(list: &'a [RunningStage], id: &str) -> &'a RunningStage {
    let mut of_id = list.iter().filter(|s| s.id == id);
    let (one, more) = (of_id.next(), of_id.next());
    assert!(more.is_none(), "several {id}");
    one.unwrap_or_else(|| panic!("no {id} in {:?}", ids(list)))
}

/// How a thing should be in a stage.
fn to_be<'a>(list: &'a [RunningStage], id: &str, what: &str) -> &'a str {
    let stage = stage(list, id);
    let item = stage.items.iter().find(|i| i.what == what);
    let item = item.unwrap_or_else(|| panic!("no {what} in {stage:?}"));
    item.to_be.as_deref().unwrap_or_default()
}

/// Every word of a list.
fn words(list: &[RunningStage]) -> String {
    let lines = list.iter().flat_map(|s| {
        let items = s.items.iter();
        let told = items.map(|i| format!("{} | {}", i.what, i.to_be.as_deref().unwrap_or_default()));
        core::iter::once(s.title.clone()).chain(told)
    });
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn the_stages_come_in_the_order_of_the_way() {
    let plan = planned(&demo_field(), &asked());
    let (list, stops) = (list(&plan), &route(&plan).stops);
    assert_eq!(
        ids(&list),
        [
            "before_moving",
            "first_metres",
            "taxiing",
            "hot_spot",
            "hold_short",
            "crossing",
            "taxiing",
            "engine_check",
            "before_take_off",
            "taxiing",
            "at_holding_position",
            "line_up",
            "take_off_roll"
        ]
    );
    // Where it stops is where the way stops.
    for (id, stop) in [
        ("hold_short", 1),
        ("engine_check", 2),
        ("before_take_off", 2),
        ("at_holding_position", 3),
    ] {
        let at_m = stage(&list, id).at_m.unwrap();
        assert!((at_m - stops[stop].at_m).abs() <= 0.05, "{id} at {at_m}");
    }
    assert_eq!(stage(&list, "hold_short").title, "Hold short at A1: runway 17/35");
    assert_eq!(stage(&list, "crossing").title, "Cross runway 17/35");
    assert_eq!(stage(&list, "line_up").at_m, None);
    // Headings: what the briefing itself says of the same places.
    let b = briefing::brief(&plan);
    let way = super::way(&b);
    let three = |deg: f64| format!("{:03}", Bearing::from_deg(deg).spoken());
    let first = three(way.stops[0].heading_magnetic_deg);
    assert!(to_be(&list, "before_moving", "heading indicator").contains(&first));
    let check = three(way.engine_check.as_ref().unwrap().heading_magnetic_deg);
    assert!(to_be(&list, "engine_check", "stand").starts_with(&format!("nose on {check}")));
    // Runway 26 of the demo field lies on 255 true, 5.6 west: 261 magnetic.
    let on = to_be(&list, "line_up", "figures on the runway, heading");
    assert!(on.starts_with("26 on 261"), "{on}");
    // Every leg is told, and the text form has every line.
    let all = words(&list);
    for leg in &way.legs {
        assert!(
            all.contains(&format!("leg {}, {}", leg.number, leg.name)),
            "{}",
            leg.name
        );
    }
    let squeezed = |t: &str| t.split_whitespace().collect::<Vec<_>>().join(" ");
    let text = squeezed(&briefing::text(&b));
    for item in list.iter().flat_map(|s| &s.items) {
        assert!(text.contains(&squeezed(&item.what)), "{}", item.what);
        assert!(text.contains(&squeezed(item.to_be.as_ref().unwrap())), "{item:?}");
    }
}

#[test]
fn a_winding_leg_is_told_for_the_part_before_the_stop_and_the_part_behind_it() {
    let list = demo(&asked());
    // The leg into the check area and out of it again: in until the nose is in the wind, out from there.
    let of_leg = |s: &RunningStage| s.items.iter().find(|i| i.what.starts_with("leg 4,")).cloned();
    let told: Vec<_> = list.iter().filter_map(of_leg).map(|i| i.to_be.unwrap()).collect();
    let check = to_be(&list, "engine_check", "stand")[8..11].to_string();
    assert_eq!(told.len(), 2);
    assert!(
        told[0].starts_with("HI 078 to ") && told[0].contains(&format!(" to {check}")),
        "{}",
        told[0]
    );
    assert!(told[1].starts_with(&format!("HI {check} to 078")), "{}", told[1]);
}

#[test]
fn values_are_those_of_the_aircraft_file() {
    let mut asked = asked();
    let a = &mut asked.aircraft;
    a.engine.idle_rpm = 641.0;
    a.engine.static_rpm = 2222.0;
    let c = &mut a.engine_check;
    (c.check_rpm, c.magneto_drop_rpm, c.magneto_difference_rpm) = (1751.0, 121.0, 43.0);
    (c.oil_least_c, c.oil_most_c, c.oil_pressure_kpa) = (31.0, 111.0, [222.0, 555.0]);
    c.suction_kpa = Some([14.5, 17.5]);
    a.wind_limits.crosswind_kt = 13.5;
    a.taxi.straight_kt = 11.5;
    a.take_off = Some(TakeOff {
        flaps: Some("two notches".to_string()),
        trim: Some("a finger behind the mark".to_string()),
        fuel: Some("left tank".to_string()),
        fuel_pump: true,
        propeller_lever: true,
        rotate_kt: Some(47.5),
    });
    a.lights = Some(vec![Light::Landing, Light::Navigation]);
    let list = demo(&asked);
    for (id, what, value) in [
        ("before_moving", "engine", "641 rpm"),
        ("before_moving", "oil pressure", "222 to 555 kPa"),
        ("before_moving", "lights for taxiing", "navigation lights;"),
        (
            "engine_check",
            "oil temperature",
            "31 C or more before high power, never above 111 C",
        ),
        ("engine_check", "throttle", "1751 rpm"),
        ("engine_check", "left magneto, then both", "121 rpm"),
        ("engine_check", "right magneto, then both", "121 rpm"),
        ("engine_check", "the two drops", "43 rpm"),
        ("engine_check", "suction", "14.5 to 17.5 kPa"),
        ("engine_check", "throttle closed", "641 rpm"),
        ("engine_check", "propeller lever back, forward", "rpm falls"),
        ("before_take_off", "flaps", "two notches"),
        ("before_take_off", "trim", "a finger behind the mark"),
        ("before_take_off", "fuel", "left tank"),
        ("before_take_off", "fuel pump", "on"),
        ("before_take_off", "propeller lever", "fully forward"),
        ("at_holding_position", "lights for take-off", "landing light on"),
        ("at_holding_position", "wind on the runway", "13.5 kt across"),
        ("take_off_roll", "rpm", "2222 rpm or more"),
        ("take_off_roll", "oil", "222 to 555 kPa, not above 111 C"),
        ("take_off_roll", "nose wheel up", "at 47.5 kt"),
    ] {
        let said = to_be(&list, id, what);
        assert!(said.contains(value), "{id}, {what}: {said}");
    }
    let all = words(&list);
    assert!(
        all.contains("11.5 kt straight") && !all.contains("strobe") && !all.contains("beacon"),
        "{all}"
    );
}

#[test]
fn what_the_file_leaves_out_is_as_the_flight_manual_says() {
    let mut asked = asked();
    (asked.aircraft.lights, asked.aircraft.take_off) = (None, None);
    asked.aircraft.engine_check.suction_kpa = None;
    let list = demo(&asked);
    for what in ["trim", "flaps", "fuel"] {
        assert!(to_be(&list, "before_take_off", what).starts_with("as the flight manual says"));
    }
    assert_eq!(
        to_be(&list, "take_off_roll", "nose wheel up"),
        "at the speed of the flight manual"
    );
    assert!(to_be(&list, "at_holding_position", "lights for take-off").contains("as fitted"));
    let all = words(&list);
    for absent in ["propeller lever", "fuel pump", "suction"] {
        assert!(!all.contains(absent), "{absent}");
    }
    // A file that says there are no lights: a line that says so, and none that asks for one.
    asked.aircraft.lights = Some(Vec::new());
    let list = demo(&asked);
    assert_eq!(
        to_be(&list, "at_holding_position", "lights for take-off"),
        "none fitted"
    );
    assert!(!words(&list).contains("landing light"));
}

#[test]
fn the_wind_on_the_runway_stands_beside_the_limits() {
    let said = |wind: &str| {
        let mut asked = asked();
        asked.wind = Wind::parse(wind).unwrap();
        let list = demo(&asked);
        let wind = to_be(&list, "at_holding_position", "wind on the runway").to_string();
        (wind, to_be(&list, "take_off_roll", "controls for the wind").to_string())
    };
    // Runway 26 lies on 255: 15 degrees off 12 kt are 11.6 ahead and 3.1 across, from the left (by hand).
    let (wind, yoke) = said("240/12T");
    assert!(
        wind.starts_with("12 kt from ahead, 3 kt from the left; limits 14 kt across"),
        "{wind}"
    );
    assert!(yoke.starts_with("yoke left"), "{yoke}");
    // 90 degrees off: all of it across; the gust is above the limit of 14 kt.
    let (wind, yoke) = said("345/10G18T");
    assert!(
        wind.contains("10 kt from the right, in gusts 18 kt") && wind.contains("MORE THAN THE LIMIT"),
        "{wind}"
    );
    assert!(yoke.starts_with("yoke right"), "{yoke}");
    let (wind, _) = said("345/10G13T");
    assert!(!wind.contains("MORE THAN"), "{wind}");
    // From behind, above 5 kt.
    let (wind, yoke) = said("075/08T");
    assert!(
        wind.contains("8 kt from behind") && wind.contains("MORE THAN THE LIMIT"),
        "{wind}"
    );
    assert_eq!(yoke, "ailerons neutral");
    assert!(said("VRB/04").0.starts_with("variable, up to 4 kt"));
    let (wind, yoke) = said("calm");
    assert_eq!((wind.as_str(), yoke.as_str()), ("calm", "ailerons neutral"));
}

#[test]
fn in_calm_no_control_position_is_asked_for() {
    let mut asked = asked();
    asked.wind = Wind::Calm;
    let list = demo(&asked);
    let all = words(&list);
    assert!(!all.contains("yoke"), "{all}");
    assert!(all.contains("no steady wind"), "{all}");
}

#[test]
fn without_carburettor_heat_nothing_is_said_of_it() {
    let with = demo(&asked());
    assert!(words(&with).contains("carburettor heat"));
    let mut asked = asked();
    asked.aircraft.engine.carburettor_heat = false;
    let all = words(&demo(&asked));
    assert!(!all.contains("carburettor"), "{all}");
    asked.via.clear();
    (asked.from, asked.to) = ("26".to_string(), "4".to_string());
    assert!(!words(&demo(&asked)).contains("carburettor"));
}

#[test]
fn with_two_engines_each_is_checked() {
    let mut asked = asked();
    asked.aircraft = built_in("twin-light-6");
    let list = demo(&asked);
    assert!(to_be(&list, "engine_check", "engines").contains("one after the other"));
    assert!(to_be(&list, "take_off_roll", "rpm").ends_with("each engine"));
    assert!(to_be(&list, "before_take_off", "magneto switch").contains("each engine"));
    assert!(!words(&list).contains("land ahead"));
    assert!(!words(&demo(&self::asked())).contains("each engine"));
}

#[test]
fn a_free_caster_is_steered_by_the_brakes() {
    let mut asked = asked();
    asked.aircraft = built_in("caster-low-2");
    assert!(to_be(&demo(&asked), "first_metres", "steering").contains("by the brakes alone"));
    assert!(!words(&demo(&self::asked())).contains("by the brakes alone"));
}

#[test]
fn from_the_runway_it_is_the_list_of_an_arrival() {
    let mut asked = asked();
    asked.via.clear();
    (asked.from, asked.to) = ("26".to_string(), "4".to_string());
    let list = demo(&asked);
    let ids = ids(&list);
    assert_eq!(ids[..3], ["vacated", "after_landing", "taxiing"]);
    assert_eq!(ids[ids.len() - 2..], ["parking", "shutdown"]);
    for absent in [
        "before_moving",
        "first_metres",
        "before_take_off",
        "line_up",
        "take_off_roll",
    ] {
        assert!(!ids.contains(&absent), "{ids:?}");
    }
    assert_eq!(stage(&list, "parking").title, "Onto stand 4");
    // From stand to stand: the brakes are checked, and no runway is prepared for.
    (asked.from, asked.to) = ("1".to_string(), "H2".to_string());
    let list = demo(&asked);
    let ids = self::ids(&list);
    assert!(
        ids.contains(&"first_metres") && ids.contains(&"shutdown") && !ids.contains(&"before_take_off"),
        "{ids:?}"
    );
}

#[test]
fn pushed_by_hand_the_engine_is_off_first() {
    let mut asked = asked();
    asked.from = "7".to_string();
    asked.via.clear();
    asked.to = "08".to_string();
    asked.wind = Wind::parse("160/15T").unwrap();
    let plan = planned(&demo_field(), &asked);
    let list = list(&plan);
    assert_eq!(ids(&list)[..3], ["hand_push", "before_moving", "first_metres"]);
    let pushed_m = route(&plan).legs[0].to_m;
    assert_eq!(list[0].at_m, Some(0.0));
    assert!((list[1].at_m.unwrap() - pushed_m).abs() <= 0.05 && pushed_m > 5.0);
    assert!(to_be(&list, "hand_push", "engine").starts_with("off"));
    assert!(to_be(&list, "hand_push", "tow bar").contains("30 deg"));
    // The heading indicator is set on the heading after the push.
    let heading = route(&plan).path.pose_at(pushed_m).heading_rad.bearing();
    let magnetic = briefing::magnetic(heading, plan.declination.deg).spoken();
    assert!(to_be(&list, "before_moving", "heading indicator").contains(&format!("{magnetic:03}")));
    // Without an engine check on the way the list says so, and the preparation is done at the line.
    assert!(!ids(&list).contains(&"engine_check"));
    assert!(to_be(&list, "before_take_off", "engine check").contains("none on this way"));
    assert_eq!(
        stage(&list, "before_take_off").at_m,
        stage(&list, "at_holding_position").at_m
    );
}

#[test]
fn a_stand_on_the_way_is_left_like_the_first_one() {
    let mut asked = asked();
    asked.via = vec!["stand 7".to_string()];
    let list = demo(&asked);
    let ids = ids(&list);
    let at = ids.iter().position(|i| *i == "stop").expect("a stop");
    assert_eq!(
        ids[at..at + 4],
        ["stop", "hand_push", "before_moving", "first_metres"],
        "{ids:?}"
    );
}

/// A lane from a stand across two runways to a third, with the holding lines of `also`.
fn three_runways(also: &[(&str, f64)]) -> String {
    let runway = |s: Sketch, id: &str, d: &str, y: f64| s.runway(id, d, &[[-600.0, y], [0.0, y], [600.0, y]]);
    let mut sketch = Sketch::default();
    for (id, designators, y) in [
        ("r1", "09R/27L", 300.0),
        ("r2", "09L/27R", 700.0),
        ("r3", "08/26", 1100.0),
    ] {
        sketch = runway(sketch, id, designators, y);
    }
    sketch = sketch.taxiway("a", "A", &[[0.0, 0.0], [0.0, 300.0], [0.0, 700.0], [0.0, 1100.0]]);
    for (name, y) in also {
        let properties = serde_json::json!({ "aeroway": "holding_position", "ref": name });
        sketch = sketch.point(name, [0.0, *y], properties);
    }
    let stand = serde_json::json!({ "aeroway": "parking_position", "ref": "1", "toeline:heading": 0 });
    sketch.line("s", &[[0.0, 0.0], [0.0, 60.0]], stand).text()
}

#[test]
fn each_crossing_has_its_hold_and_its_stage() {
    let mut asked = asked();
    asked.from = "1".to_string();
    asked.via.clear();
    let plan = planned(&three_runways(&[]), &asked);
    let list = list(&plan);
    let of = |id: &str| {
        list.iter()
            .filter(|s| s.id == id)
            .map(|s| s.title.as_str())
            .collect::<Vec<_>>()
    };
    assert_eq!(of("crossing"), ["Cross runway 09R/27L", "Cross runway 09L/27R"]);
    assert_eq!(of("hold_short").len(), 2);
    let order: Vec<&str> = ids(&list)
        .into_iter()
        .filter(|i| *i == "hold_short" || *i == "crossing")
        .collect();
    assert_eq!(order, ["hold_short", "crossing", "hold_short", "crossing"]);
    // Not painted on the map: said.
    assert!(words(&list).contains("not on the map"));
}

#[test]
fn two_lines_before_one_runway_are_one_crossing() {
    let mut asked = asked();
    asked.from = "1".to_string();
    asked.via.clear();
    let plan = planned(&three_runways(&[("A1", 150.0), ("A2", 240.0)]), &asked);
    let stops = &route(&plan).stops;
    let first = stops
        .iter()
        .filter(|s| s.of.as_deref() == Some("runway 09R/27L"))
        .count();
    let list = list(&plan);
    let crossings = list.iter().filter(|s| s.title == "Cross runway 09R/27L").count();
    assert_eq!((first, crossings), (2, 1), "{stops:?}");
}

#[test]
fn a_way_that_ends_on_the_runway_is_prepared_before_its_line() {
    let text = crate::backtrack::strip().text();
    let [lon, lat] = crate::backtrack::strip().position([330.0, 120.0]);
    let mut asked = request(&format!("{lon},{lat}"), Some(270.0)).without_drives();
    asked.to = "threshold 09".to_string();
    let list = list(&planned(&text, &asked));
    let after: Vec<&str> = ids(&list).into_iter().skip_while(|i| *i != "hold_short").collect();
    assert_eq!(
        after,
        [
            "hold_short",
            "before_take_off",
            "at_holding_position",
            "along_runway",
            "taxiing",
            "line_up",
            "take_off_roll"
        ]
    );
    let line = stage(&list, "line_up");
    assert!(line.at_m.is_some() && line.items[0].what == "turn about", "{line:?}");
    // The sketch's runway runs from west to east.
    assert!(to_be(&list, "line_up", "figures on the runway, heading").starts_with("09 on 08"));
}

#[test]
fn hostile_names_stay_harmless_and_short() {
    for name in [
        "<script>alert(1)</script>",
        "bad\u{0}\u{1b}[31m\u{7f}\u{202e}name",
        "x".repeat(5000).as_str(),
        "\r\n  9. Take-off roll",
    ] {
        let mut plan = sample::plan(name, "240/12T");
        plan.request.aircraft.take_off = Some(TakeOff {
            flaps: Some(name.to_string()),
            ..TakeOff::default()
        });
        for stage in list(&plan) {
            let items = stage.items.iter();
            let texts = items.flat_map(|i| [Some(&i.what), i.to_be.as_ref()]).flatten();
            for text in texts.chain([&stage.title]) {
                assert!(!text.chars().any(|c| c.is_control() || c == '\u{202e}'), "{text:?}");
                assert!(text.chars().count() <= 450, "{} characters", text.chars().count());
            }
        }
    }
}

/// What is wrong with a way's list; `None` when it keeps every rule.
fn fault(plan: &Plan) -> Option<String> {
    let Outcome::Way(way) = &plan.outcome else { return None };
    let (list, route, aircraft) = (list(plan), &way.route, &plan.request.aircraft);
    let mut last = 0.0;
    for (i, s) in list.iter().enumerate() {
        if !RUNNING_STAGES.contains(&s.id.as_str()) || s.items.is_empty() {
            return Some(format!("stage {s:?}"));
        }
        match s.at_m {
            Some(at_m) if at_m < last => return Some(format!("{} at {at_m}, after {last}", s.id)),
            Some(at_m) => last = at_m,
            None if list[i..].iter().any(|s| s.at_m.is_some()) => return Some(format!("{} without a place", s.id)),
            None => {}
        }
    }
    let count = |f: &dyn Fn(&RunningStage) -> bool| list.iter().filter(|s| f(s)).count();
    for stop in route.stops.iter().filter(|s| s.kind == StopKind::HoldShort) {
        let at_m = (stop.at_m * 10.0).round() / 10.0;
        let here = |s: &RunningStage| s.id == "hold_short" && s.at_m == Some(at_m) && s.title.contains(&stop.name);
        if count(&here) != 1 {
            return Some(format!("{} stages for {stop:?}", count(&here)));
        }
    }
    let checks = count(&|s| s.id == "engine_check");
    if (checks > 0) != route.check.is_some() {
        return Some(format!("{checks} engine checks"));
    }
    let departs = list.iter().position(|s| s.id == "line_up");
    let set = aircraft.take_off.clone().unwrap_or_default();
    for what in FULL_PREPARATION {
        let asked = departs.is_some()
            && match what {
                "carburettor heat" => aircraft.engine.carburettor_heat,
                "propeller lever" => set.propeller_lever,
                "fuel pump" => set.fuel_pump,
                _ => true,
            };
        // The list of an arrival has lines of the same names.
        let stages = list.iter().filter(|s| departs.is_some() && s.id != "after_landing");
        let (before, after): (Vec<_>, Vec<_>) = stages.partition(|s| s.at_m.is_some() && s.id != "line_up");
        let lines = |stages: &[&RunningStage]| stages.iter().flat_map(|s| &s.items).filter(|i| i.what == what).count();
        if lines(&before) != usize::from(asked) || lines(&after) != 0 {
            return Some(format!("{what}: {} before and {} after", lines(&before), lines(&after)));
        }
    }
    let ends_at_runway = route.stops.last().is_some_and(|s| s.of.is_some());
    (ends_at_runway != departs.is_some()).then(|| format!("{:?}", ids(&list)))
}

#[test]
fn random_ways_on_the_demo_keep_every_rule() {
    let text = demo_field();
    let field = read::read(&text).unwrap().field;
    let stands: Vec<String> = field.stands.iter().filter_map(|s| s.name.clone()).collect();
    let runways: Vec<String> = field
        .runways
        .iter()
        .flat_map(|r| r.designators.iter().flatten().cloned())
        .collect();
    let holds: Vec<String> = field.holding_positions.iter().filter_map(|h| h.name.clone()).collect();
    let from = [stands.clone(), runways.clone(), holds.clone()].concat();
    let to = [stands.clone(), runways, holds.clone()].concat();
    let via = [vec!["E".to_string(), "W".to_string(), "stand 8".to_string()], holds].concat();
    let aircraft = catalog::all();
    let cases = (
        0..from.len(),
        proptest::collection::vec(0..via.len(), 0..3),
        0..to.len(),
        0..aircraft.len(),
        proptest::sample::select(vec!["calm", "240/12T", "VRB/04G15", "075/20G30M"]),
    );
    let config = Config {
        cases: 120,
        failure_persistence: None,
        ..Config::default()
    };
    let mut runner = TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let seen = std::cell::RefCell::new((BTreeSet::new(), 0));
    let result = runner.run(&cases, |(f, v, t, a, wind)| {
        let asked = Request {
            aircraft: aircraft[a].clone(),
            from: from[f].clone(),
            via: v.iter().map(|k| via[*k].clone()).collect(),
            to: to[t].clone(),
            wind: Wind::parse(wind).unwrap(),
            ..self::asked()
        };
        // A place that two kinds share or that nothing leads to is refused, and that is an answer too.
        let Ok(plan) = plan(&text, &asked) else { return Ok(()) };
        if let Some(fault) = fault(&plan) {
            return Err(TestCaseError::fail(format!(
                "{} {:?} {}: {fault}",
                asked.from, asked.via, asked.to
            )));
        }
        if let Outcome::Way(_) = plan.outcome {
            let mut seen = seen.borrow_mut();
            seen.0.extend(list(&plan).into_iter().map(|s| s.id));
            seen.1 += 1;
        }
        Ok(())
    });
    result.unwrap_or_else(|e| panic!("{e}"));
    let (ids, ways) = seen.into_inner();
    assert!(ways >= 60, "only {ways} ways");
    // Nothing on the demo is driven along a runway.
    let missing: Vec<_> = RUNNING_STAGES
        .iter()
        .filter(|i| **i != "along_runway" && !ids.contains(**i))
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn the_page_names_every_stage_and_the_full_preparation() {
    let page = std::fs::read_to_string(root().join("docs/briefing.md")).unwrap();
    let section = page.split("## The running list").nth(1).expect("the section");
    let section = section.split("\n## ").next().unwrap();
    let rows = section.lines().filter_map(|l| l.strip_prefix("| `")?.split('`').next());
    let mut rows: Vec<&str> = rows.collect();
    rows.sort_unstable();
    let mut ids = RUNNING_STAGES.to_vec();
    ids.sort_unstable();
    assert_eq!(rows, ids);
    let squeezed = section.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        squeezed.contains(&FULL_PREPARATION.join(", ")),
        "{}",
        FULL_PREPARATION.join(", ")
    );
}

#[test]
fn settings_in_an_aircraft_file_are_checked() {
    let keys = |change: &dyn Fn(&mut Aircraft)| {
        let mut a = built_in("trainer-high-2");
        change(&mut a);
        check::problems(&a)
            .into_iter()
            .map(|p| p.to_string())
            .collect::<Vec<_>>()
    };
    assert!(keys(&|_| {}).is_empty());
    let set = |t: TakeOff| move |a: &mut Aircraft| a.take_off = Some(t.clone());
    for kt in [f64::NAN, f64::INFINITY, 19.9, 150.1, -50.0] {
        let found = keys(&set(TakeOff {
            rotate_kt: Some(kt),
            ..TakeOff::default()
        }));
        assert!(
            found.len() == 1 && found[0].contains("take_off.rotate_kt") && found[0].contains("20 to 150 kt"),
            "{found:?}"
        );
    }
    for text in ["", "  ", "up\n2", &"x".repeat(41)] {
        let found = keys(&set(TakeOff {
            flaps: Some(text.to_string()),
            ..TakeOff::default()
        }));
        assert!(
            found.len() == 1 && found[0].starts_with("take_off.flaps:"),
            "{text:?}: {found:?}"
        );
    }
    let found = keys(&|a| a.lights = Some(vec![Light::Taxi, Light::Beacon, Light::Taxi]));
    assert_eq!(found, ["lights: taxi light is given twice"]);
    // An unknown light or key is refused with the file; one without any of this is read.
    let file = |change: &dyn Fn(&mut serde_json::Value)| {
        let mut v = serde_json::to_value(built_in("trainer-high-2")).unwrap();
        change(&mut v);
        check::read(&v.to_string())
    };
    assert!(file(&|v| v["lights"] = serde_json::json!(["searchlight"])).is_err());
    assert!(file(&|v| v["take_off"]["rotate_kts"] = serde_json::json!(50)).is_err());
    let bare = file(&|v| {
        v.as_object_mut().unwrap().remove("lights");
        v.as_object_mut().unwrap().remove("take_off");
    });
    assert!(bare.is_ok_and(|a| a.lights.is_none() && a.take_off.is_none()));
}

/// The stage of the list that a condition of an exercise belongs to, where both name the same thing: by id, and by the stop's name.
fn same_thing(until: &serde_json::Value, end: &str) -> Option<(&'static str, Option<String>)> {
    let (kind, value) = until.as_object()?.iter().next()?;
    let id = match (kind.as_str(), value["at"].as_str().or(value.as_str())) {
        ("slowed_kt", _) => "first_metres",
        ("stood", Some("check")) | ("reading" | "judged", _) => "engine_check",
        ("stood", Some("lined up")) => "line_up",
        ("stood", Some("end")) => "at_holding_position",
        ("stood", Some(at)) if at == end => "at_holding_position",
        ("stood", Some(at)) => return Some(("hold_short", Some(at.to_string()))),
        ("told", Some("enter")) | ("said", Some("ready")) => "at_holding_position",
        ("lift_off_share", _) | ("power", Some("full")) => "take_off_roll",
        // Looks and read-backs are asked for at every line; the exercises move the controls before the first metres.
        _ => return None,
    };
    Some((id, None))
}

#[test]
fn the_exercises_of_the_whole_way_keep_the_order_of_the_list() {
    for name in ["full-taxi", "whole-departure"] {
        let path = root().join(format!("sim/training/exercises/{name}.json"));
        let exercise: serde_json::Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
        let mut asked = asked();
        asked.wind = Wind::parse(exercise["wind"].as_str().unwrap()).unwrap();
        assert_eq!(exercise["where"]["to"], asked.to);
        let plan = planned(&demo_field(), &asked);
        let (list, end) = (list(&plan), &route(&plan).stops.last().unwrap().name);
        let mut at = 0;
        let mut named = 0;
        for stage in exercise["stages"].as_array().unwrap() {
            for until in stage["until"].as_array().unwrap() {
                let Some((id, stop)) = same_thing(until, end) else {
                    continue;
                };
                let is = |s: &RunningStage| s.id == id && stop.as_ref().is_none_or(|n| s.title.contains(n));
                let place = list
                    .iter()
                    .position(is)
                    .unwrap_or_else(|| panic!("{name}: no {id} for {stage}"));
                assert!(place >= at, "{name}: {} comes after {}", list[place].id, list[at].id);
                (at, named) = (place, named + 1);
            }
        }
        assert!(named >= 8, "{name}: only {named}");
    }
}
