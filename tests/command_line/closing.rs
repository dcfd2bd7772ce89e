//! `toeline closing`: what is printed, exit codes, names that are none.

use crate::harness::*;

fn closing(more: &[&str]) -> Ran {
    let field = demo();
    let mut args = vec!["closing", &field, "--date", "2026-07-04"];
    args.extend(more);
    toeline(&args)
}

#[test]
fn what_is_lost_is_told_as_text_and_exits_1() {
    let ran = closing(&["--lane", "B", "--aircraft", "trainer-high-2"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    let at = |words: &str| {
        ran.out
            .find(words)
            .unwrap_or_else(|| panic!("no \"{words}\" in {}", ran.out))
    };
    // What is lost stands first, and there is a sum at the end.
    assert!(at("\nLOST\n") < at("\nSTILL REACHED, DEARER\n") && at("STILL REACHED") < at(" without a way before."));
    assert!(ran.out.contains("not looked at"), "{}", ran.out);
}

#[test]
fn what_loses_nothing_exits_0() {
    // Taxiway G of the demo field is closed for good.
    let ran = closing(&["--lane", "G", "--aircraft", "trainer-high-2"]);
    assert_eq!(ran.code, 0, "{} {}", ran.out, ran.err);
    assert!(ran.out.contains("closed already"), "{}", ran.out);
}

#[test]
fn json_and_csv_have_every_built_in_aeroplane() {
    let json = closing(&["--lane", "B", "--json"]);
    let value: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    let aeroplanes = toeline_model::aircraft::catalog::all().len();
    assert_eq!(value["aircraft"].as_array().unwrap().len(), aeroplanes);
    let csv = closing(&["--lane", "B", "--csv"]);
    assert_eq!(csv.out.lines().count(), value["ways"].as_array().unwrap().len() + 1);
}

#[test]
fn what_cannot_be_answered_exits_2_with_near_names() {
    for (args, words) in [
        (&["--lane", "Bb"][..], "near: B"),
        (&["--runway", "27"][..], "no runway \"27\""),
        (&["--aircraft", "trainer-high-2"][..], "nothing is asked to be closed"),
        (&["--lane", "B", "--aircraft", "trainer-hi"][..], "trainer-high-2"),
        (&["--lane", "B", "--time", "6"][..], "HH:MM"),
    ] {
        let ran = closing(args);
        assert_eq!(ran.code, 2, "{args:?} {}", ran.out);
        assert!(ran.err.contains(words), "{args:?}: {}", ran.err);
    }
}
