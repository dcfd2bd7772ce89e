//! Broken files are errors with a reason, never a panic.

use crate::help::driven;
use proptest::prelude::*;
use serde_json::{Value, json};
use std::sync::OnceLock;
use toeline_training::{Attempt, AttemptError};

fn text() -> &'static str {
    static TEXT: OnceLock<String> = OnceLock::new();
    TEXT.get_or_init(|| driven().to_json().expect("writes"))
}

fn refused(change: impl FnOnce(&mut Value)) -> String {
    let mut value: Value = serde_json::from_str(text()).expect("reads");
    change(&mut value);
    Attempt::from_json(&value.to_string()).expect_err("refused").to_string()
}

#[test]
fn a_file_broken_off_anywhere_is_refused() {
    let text = text();
    for end in (0..text.len()).step_by(97).chain(text.len() - 40..text.len()) {
        let error = Attempt::from_json(&text[..end]).expect_err("broken off");
        assert!(matches!(error, AttemptError::Shape(_)), "{error}");
    }
}

#[test]
fn other_formats_and_other_files_are_named() {
    assert_eq!(
        refused(|v| v["toeline_attempt"] = json!(7)),
        "attempt format 7 is not known; this program reads format 1"
    );
    let error = Attempt::from_json("{\"type\": \"FeatureCollection\"}").expect_err("a map");
    assert!(error.to_string().contains("toeline_attempt"), "{error}");
    assert!(Attempt::from_json("").is_err());
    assert!(refused(|v| v["colour"] = json!("red")).contains("colour"));
}

#[test]
fn what_does_not_fit_together_is_named_with_its_numbers() {
    let error = refused(|v| v["inputs"]["ticks"] = json!(2599));
    assert!(
        error.contains("inputs.rudder") && error.contains("2600") && error.contains("2599"),
        "{error}"
    );
    let error = refused(|v| v["inputs"]["throttle"][0][0] = json!(0));
    assert!(
        error.contains("inputs.throttle") && error.contains("0 ticks"),
        "{error}"
    );
    let error = refused(|v| v["inputs"]["throttle"][0][0] = json!(u64::MAX));
    assert!(error.contains("inputs.throttle"), "{error}");
    let error = refused(|v| {
        let last = v["checkpoints"].as_array_mut().and_then(Vec::pop);
        assert!(last.is_some());
    });
    assert!(error.contains("none for the last tick, 2600"), "{error}");
    let error = refused(|v| v["track"][3][0] = json!(0));
    assert!(error.contains("track: tick 0 is out of order"), "{error}");
    let error = refused(|v| v["events"][0]["tick"] = json!(99_999));
    assert!(error.contains("events: tick 99999 is outside 0 to 2600"), "{error}");
    let error = refused(|v| v["aircraft"]["mass"]["taxi_kg"] = json!(-5.0));
    assert!(
        error.contains("aircraft.mass.taxi_kg") && error.contains("-5 kg"),
        "{error}"
    );
    let error = refused(|v| v["start"]["tick"] = json!(u64::MAX));
    assert!(error.contains("start.tick"), "{error}");
}

/// Attempts from before the magneto switch and the starter had keys: both magnetos all the way, starter never.
#[test]
fn an_attempt_without_magnetos_and_starter_is_read_as_both_and_off() {
    let mut value: Value = serde_json::from_str(text()).expect("reads");
    for key in ["magnetos", "starter"] {
        assert!(
            value["inputs"].as_object_mut().expect("inputs").remove(key).is_some(),
            "{key}"
        );
    }
    let old = Attempt::from_json(&value.to_string()).expect("reads");
    assert_eq!(old.replay().expect("replays").final_state.tick, 2600);
    assert!(old.inputs.iter().eq(driven().inputs.iter()));
    assert!(refused(|v| v["inputs"]["magnetos"][0][0] = json!(7)).contains("inputs.magnetos"));
    assert!(refused(|v| v["inputs"]["magnetos"][0][1] = json!("third")).contains("third"));
}

#[test]
fn a_claim_of_a_million_years_is_refused_at_once() {
    let error = refused(|v| {
        let ticks = 10_000_000_000_000_000_u64;
        v["inputs"]["ticks"] = json!(ticks);
        for (name, runs) in v["inputs"]
            .as_object_mut()
            .expect("inputs")
            .iter_mut()
            .filter(|(n, _)| *n != "ticks")
        {
            *runs = match name.as_str() {
                "parking_brake" | "starter" => json!([[ticks, true]]),
                "magnetos" => json!([[ticks, "both"]]),
                _ => json!([[ticks, 0.0]]),
            };
        }
        let state = v["checkpoints"][0].clone();
        v["checkpoints"] = json!([state]);
        v["checkpoints"][0]["tick"] = json!(ticks);
    });
    assert!(error.contains("24 h"), "{error}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever bytes are changed: an error or a sound attempt, never a panic; and a replay never accepts a changed drive.
    #[test]
    fn changed_bytes_never_panic(places in prop::collection::vec((any::<prop::sample::Index>(), 32_u8..127), 1..4)) {
        let mut bytes = text().as_bytes().to_vec();
        for (at, byte) in &places {
            let at = at.index(bytes.len());
            bytes[at] = *byte;
        }
        let changed = String::from_utf8(bytes).expect("plain letters");
        if let Ok(attempt) = Attempt::from_json(&changed) {
            let original = Attempt::from_json(text()).expect("reads");
            if attempt.replay().is_ok() {
                prop_assert_eq!(&attempt.checkpoints, &original.checkpoints);
                prop_assert_eq!(&attempt.track, &original.track);
            }
        }
    }

    #[test]
    fn any_text_is_an_error(junk in "\\PC{0,200}") {
        prop_assert!(Attempt::from_json(&junk).is_err());
    }
}
