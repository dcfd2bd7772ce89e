//! The order of a taxi instruction and what of it is read back, against the published rules.
//!
//! - FAA AIM 4-3-18 a (read): the instruction states the runway, then the taxi route, then hold-short instructions or
//!   runway-crossing clearances; "cleared" is not used for taxiing; every runway crossing needs an explicit clearance.
//! - FAA AIM 4-3-18 a 9 (read): read back the runway assignment, a clearance to enter a specific runway, an instruction to
//!   hold short of a specific runway; a 10: the controller must obtain the read-back of every hold-short instruction.
//! - ICAO Doc 4444 7.6.3.1.1 (read in a secondary text): a taxi limit beyond a runway needs an explicit crossing clearance or
//!   a hold-short instruction for it.
//! - ICAO Doc 4444 12.3.4.7 (from memory): TAXI TO HOLDING POINT [number] [RUNWAY nn] [HOLD SHORT OF RUNWAY nn (or CROSS
//!   RUNWAY nn)].
//! - ICAO Doc 4444 4.5.7.5 (from memory): read back clearances to enter, land on, take off from, hold short of, cross, taxi
//!   and backtrack on any runway.
//! - FAA AIM 4-1-9 (from memory): at a field without a tower the place is said first and last.

use toeline_engine::briefing;
use toeline_engine::instruction::Said;
use toeline_engine::planning::{Outcome, Plan};
use toeline_engine::{Request, plan};

fn planned(from: &str, to: &str, instruction: Option<&str>) -> Plan {
    let request = Request {
        instruction: instruction.map(String::from),
        ..toeline_tests::request("trainer-high-2", from, &[], to, "calm")
    };
    plan(&toeline_tests::demo_field(), &request).unwrap_or_else(|e| panic!("{e}"))
}

fn said(plan: &Plan) -> Said {
    plan.radio
        .as_ref()
        .and_then(|r| r.said.clone())
        .expect("words for a way")
}

/// Places of these words in a text; all must be there.
fn order(text: &str, words: &[&str]) -> Vec<usize> {
    words
        .iter()
        .map(|w| text.find(w).unwrap_or_else(|| panic!("no \"{w}\" in \"{text}\"")))
        .collect()
}

const STANDS: [&str; 3] = ["4", "9", "H4"];
const RUNWAYS: [&str; 4] = ["08", "26", "17", "35"];

#[test]
fn runway_then_route_then_hold_short() {
    let mut with_words = 0;
    for from in STANDS {
        for to in RUNWAYS {
            let plan = planned(from, to, None);
            let Outcome::Way(_) = &plan.outcome else { continue };
            let said = said(&plan);
            let runway = format!("runway {to}");
            for (text, first) in [
                (&said.runway_first, runway.as_str()),
                (&said.instruction, "taxi to holding point "),
            ] {
                assert!(text.starts_with(first), "{text}");
                let mut words = vec![runway.as_str(), " via "];
                if text.contains("hold short") {
                    with_words += 1;
                    words.push("hold short of runway");
                }
                let places = order(text, &words);
                assert!(places.is_sorted(), "{text}");
                // The order is not only kept by accident of a short text: nothing of the route follows the words on runways.
                let tail = text.find("hold short").map_or("", |i| &text[i..]);
                assert!(!tail.contains(" via "), "{text}");
                assert!(!text.contains("clear"), "the word is not used for taxiing: {text}");
            }
            // "Taxi to" with the holding point's number before the runway.
            order(&said.instruction, &["holding point", &runway, " via "])
                .is_sorted()
                .then_some(())
                .expect("ICAO order");
        }
    }
    assert!(with_words >= 6, "{with_words}");
}

#[test]
fn every_runway_on_the_way_has_its_word() {
    for from in STANDS {
        for to in RUNWAYS {
            let plan = planned(from, to, None);
            let Outcome::Way(way) = &plan.outcome else { continue };
            let said = said(&plan);
            // The price counts the crossings by itself; the words must be as many.
            let crossed = way
                .route
                .costs
                .iter()
                .filter(|c| c.what.starts_with("cross runway"))
                .count();
            assert_eq!(
                said.instruction.matches("hold short of runway").count(),
                crossed,
                "{}",
                said.instruction
            );
            assert_eq!(said.later.len(), crossed);
            for (told, back) in &said.later {
                assert!(
                    told.starts_with("cross runway ") && *back == format!("{told}, (callsign)"),
                    "{told}: {back}"
                );
            }
        }
    }
}

#[test]
fn what_must_be_read_back_is_read_back() {
    for (instruction, must) in [
        (
            "taxi to holding point D1 runway 26 via L, A, D, hold short of runway 17",
            vec!["runway 26", "hold short of runway 17"],
        ),
        (
            "runway 26, taxi via A, D, cross runway 35 at A",
            vec!["runway 26", "cross runway 35 at A"],
        ),
        ("taxi to holding point A1 via L, A", vec![]),
        (
            "taxi to holding point A2 via L, A, C, runway 08, D, A, cross runway 17",
            vec!["via runway 08", "cross runway 17"],
        ),
    ] {
        let plan = planned("4", "26", Some(instruction));
        let said = said(&plan);
        assert_eq!(said.must, must, "{instruction}");
        for item in &said.must {
            assert!(
                said.read_back.contains(item.trim_start_matches("via ")),
                "{item}: {}",
                said.read_back
            );
        }
        assert!(said.read_back.ends_with("(callsign)") && said.spoken.ends_with("(callsign)"));
    }
    // Rolling along 08/26 meets 17/35 too.
    let less = planned("4", "26", Some("taxi to holding point A2 via L, A, C, runway 08, D, A"));
    let Outcome::NoWay(why) = &less.outcome else {
        panic!("crossed without a word")
    };
    assert!(
        why.blocks.iter().any(|b| b.text.contains("crosses runway 17/35")),
        "{why:?}"
    );
}

#[test]
fn letters_and_figures_are_spelled_as_icao_does() {
    let said = said(&planned("4", "26", None));
    // ICAO Annex 10 Volume II 5.2.1.3 and 5.2.1.4 (from memory).
    assert_eq!(
        said.spoken,
        "holding point Delta one, runway two six, via Lima, Alfa, Delta, hold short of runway one seven, three five, (callsign)"
    );
}

#[test]
fn without_a_tower_the_place_is_said_first_and_last() {
    let plan = planned("4", "26", None);
    let calls = said(&plan).without_tower;
    assert_eq!(
        calls,
        [
            "Quillmere traffic, (callsign), stand 4, taxiing to runway 26 via L, A, D, Quillmere",
            "Quillmere traffic, (callsign), crossing runway 17/35 at A, Quillmere",
            "Quillmere traffic, (callsign), clear of runway 17/35, Quillmere",
        ]
    );
    let text = briefing::text(&briefing::brief(&plan));
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for call in &calls {
        assert!(flat.contains(call.as_str()), "{call}");
    }
}

#[test]
fn the_way_instructed_is_compared_with_our_own_choice() {
    let compared = |from: &str, to: &str, text: &str| {
        let plan = planned(from, to, Some(text));
        plan.radio.and_then(|r| r.compared).expect("a comparison")
    };
    assert_eq!(
        compared(
            "4",
            "26",
            "taxi to holding point D1 runway 26 via L, A, D, cross runway 17"
        ),
        "the same way as our own choice"
    );
    // To C1 the runway is joined in its middle: shorter, and no crossing of 17/35.
    let other = compared("4", "26", "runway 26 at C, taxi via L, A, C");
    assert!(
        other.contains("by taxiway C") && other.contains("m shorter") && other.contains("0 runway crossings, not 1"),
        "{other}"
    );
}
