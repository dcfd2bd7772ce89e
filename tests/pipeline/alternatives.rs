//! Other ways than the planned one.

use crate::demo;
use toeline_engine::clearance::Verdict;
use toeline_engine::plan;
use toeline_engine::planning::{Alternative, Outcome, Plan, Way, alternatives};

fn planned(from: &str, via: &[&str], to: &str) -> Plan {
    let asked = demo::request("trainer-high-2", from, via, to, "calm");
    plan(&toeline_tests::demo_field(), &asked.without_drives()).unwrap()
}

fn lanes(way: &Way) -> Vec<&str> {
    way.route.legs.iter().map(|l| l.name.as_str()).collect()
}

fn stops(way: &Way) -> Vec<&str> {
    way.route.stops.iter().map(|s| s.name.as_str()).collect()
}

#[test]
fn other_ways_differ_clear_and_come_cheapest_first() {
    let mut offered = 0;
    for (from, via, to) in [
        ("4", vec!["E"], "26"),
        ("H1", vec![], "08"),
        ("1", vec!["W"], "17"),
        ("7", vec![], "26"),
    ] {
        let answer = planned(from, &via, to);
        let Outcome::Way(first) = &answer.outcome else {
            panic!("{from} to {to}: no way")
        };
        let others: Vec<Alternative> = alternatives(&answer, 5);
        offered += others.len();
        let mut seen = vec![(lanes(first), stops(first))];
        let mut cost = first.route.cost_ms;
        for other in &others {
            assert_ne!(other.way.clearance.verdict, Verdict::NotClear, "{}", other.words);
            let character = (lanes(&other.way), stops(&other.way));
            assert!(!seen.contains(&character), "twice the same: {character:?}");
            seen.push(character);
            assert!(
                other.way.route.cost_ms >= cost,
                "{from} to {to}: {} ms after {cost} ms",
                other.way.route.cost_ms
            );
            cost = other.way.route.cost_ms;
            assert_eq!(stops(&other.way)[0], stops(first)[0]);
            let metres = other.way.route.path.length_m() - first.route.path.length_m();
            assert!(
                other.words.contains(&format!(
                    "{:.0} m {}",
                    metres.abs(),
                    if metres < 0.0 { "shorter" } else { "longer" }
                )),
                "{}",
                other.words
            );
        }
        assert_eq!(alternatives(&answer, 5), others, "the same again");
        assert_eq!(alternatives(&answer, 1).len(), others.len().min(1));
    }
    assert!(offered >= 3, "{offered} in all");
}

#[test]
fn where_there_is_no_way_there_is_no_other() {
    let mut answer = planned("4", &["E"], "26");
    let Outcome::Way(_) = &answer.outcome else {
        panic!("a way")
    };
    answer.outcome = Outcome::NoWay(toeline_engine::route::NoWay {
        unreachable: "runway 26".into(),
        from: "stand 4".into(),
        blocks: vec![],
        fewest: None,
    });
    assert!(alternatives(&answer, 5).is_empty());
}
