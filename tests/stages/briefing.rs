//! Stage 5: what the briefing says, and that its forms can be checked from outside.

mod checks;
mod compass;
mod forms;
mod running;
mod lift;
mod sample;
mod wind;

use toeline_engine::briefing::{self, Answer, Briefing, WayBriefing};
use toeline_engine::planning::{Outcome, Plan};
use toeline_engine::route::{Block, NoWay};
use toeline_model::Bearing;
use toeline_model::frame::xy;

/// Greatest width of a line in the terminal, columns (the project's own limit).
const COLUMNS: usize = 100;

fn way(b: &Briefing) -> &WayBriefing {
    match &b.answer {
        Answer::Way(way) => way,
        Answer::NoWay(none) => panic!("no way: {none:?}"),
    }
}

fn no_way(plan: &mut Plan) {
    let block = |text: &str, x: f64| Block {
        feature: "c".into(),
        text: text.into(),
        at: xy(x, 26.0),
    };
    plan.outcome = Outcome::NoWay(NoWay {
        unreachable: "runway 26".into(),
        from: "stand 4".into(),
        blocks: vec![
            block("taxiway C: closed (resurfacing)", 60.0),
            block("taxiway D: 9.0 m span limit, this aeroplane has 10.1 m", 90.0),
        ],
        fewest: None,
    });
}

#[test]
fn legs_hold_bearings_lengths_and_turns() {
    let plan = sample::plan("4", "240/12T");
    let b = briefing::brief(&plan);
    let legs = &way(&b).legs;
    let truth = [0.0, 90.0, 0.0];
    for (leg, expected) in legs.iter().zip(truth) {
        let d = &leg.directions;
        assert!(!d.winding);
        assert_eq!(d.true_deg, expected, "{}", leg.name);
        // 3.27 east is taken off, through north where need be.
        assert!(
            (d.magnetic_deg - Bearing::from_deg(expected - 3.27).deg()).abs() < 0.006,
            "{}",
            leg.name
        );
        assert_eq!(d.heading_indicator_deg, d.magnetic_deg);
    }
    let turn = &legs[0].turns[0];
    assert!(turn.at_end && turn.direction == "right" && turn.turn_deg == 90.0 && turn.radius_m == 6.0);
    assert!(turn.say.contains("inside brake"), "{}", turn.say);
    let turn = &legs[1].turns[0];
    assert!(
        turn.at_end && turn.direction == "left" && turn.say.contains("steering alone"),
        "{}",
        turn.say
    );
    assert!(legs[2].turns.is_empty());
    let sum: f64 = legs.iter().map(|l| l.length_m).sum();
    assert!((sum - way(&b).length_m).abs() < 0.2, "{sum} and {}", way(&b).length_m);
}

#[test]
fn magnetic_is_true_less_declination_and_wraps() {
    // standards.md, case 4: 005 true with 12.29 east is 352.71 magnetic (definition).
    let m = briefing::magnetic(Bearing::from_deg(5.0), 12.29);
    assert!((m.deg() - 352.71).abs() < 1e-9);
    assert!((briefing::magnetic(m, -12.29).deg() - 5.0).abs() < 1e-9);
    for declination in [-179.0, -12.5, 0.0, 7.25, 90.0, 180.0] {
        for deg in 0..360 {
            let m = briefing::magnetic(Bearing::from_deg(f64::from(deg)), declination).deg();
            assert!((0.0..360.0).contains(&m));
            let back = (m + declination - f64::from(deg)) / 360.0;
            assert!((back - back.round()).abs() < 1e-9, "{deg} {declination} {m}");
        }
    }
}

#[test]
fn a_line_is_straight_within_ten_degrees_and_winding_beyond() {
    let bent = |deg: f64| {
        let (s, c) = deg.to_radians().sin_cos();
        briefing::line_directions(&[xy(0.0, 0.0), xy(50.0, 0.0), xy(50.0 + 50.0 * c, 50.0 * s)]).expect("a line")
    };
    // Two equal pieces lie half the bend off their chord each.
    let (winding, first, last) = bent(19.0);
    assert!(
        !winding && first == last && (first.deg() - 80.5).abs() < 1e-9,
        "{first:?}"
    );
    let (winding, first, last) = bent(21.0);
    assert!(winding && (first.deg() - 90.0).abs() < 1e-9 && (last.deg() - 69.0).abs() < 1e-9);
    assert!(briefing::line_directions(&[xy(1.0, 1.0), xy(1.0, 1.0)]).is_none());
    assert!(briefing::line_directions(&[]).is_none());
}

#[test]
fn gaps_are_rounded_down_everywhere() {
    let mut plan = sample::plan("4", "240/12T");
    let Outcome::Way(way_plan) = &mut plan.outcome else {
        unreachable!("the sample has a way")
    };
    way_plan.clearance.gaps[0].gap_m = 2.999_99;
    let b = briefing::brief(&plan);
    assert_eq!(way(&b).gaps[0].gap_m, 2.9);
    let text = briefing::text(&b);
    assert!(
        text.contains("2.9 m  left wing") && !text.contains("3.0 m  left wing"),
        "{text}"
    );
    assert!(briefing::svg(&plan, &b).contains(">2.9 m"));
    let json: serde_json::Value = serde_json::from_str(&briefing::json(&plan, &b)).expect("JSON");
    assert_eq!(json["outcome"]["gaps"][0]["gap_shown_m"], 2.9);
    assert!(json["outcome"]["gaps"][0]["gap_m"].as_f64().expect("a number") <= 2.999_99);
}

#[test]
fn text_stays_within_a_hundred_columns_and_says_what_must_be_said() {
    for name in [
        "4",
        "a name that goes on ".repeat(40).as_str(),
        "x".repeat(5000).as_str(),
        "\u{1b}[2J\r\nB\u{202e}",
    ] {
        let mut plan = sample::plan(name, "240/12G20M");
        for with_way in [true, false] {
            if !with_way {
                no_way(&mut plan);
            }
            let text = briefing::text(&briefing::brief(&plan));
            for line in text.lines() {
                assert!(
                    line.chars().count() <= COLUMNS,
                    "{} columns: {line}",
                    line.chars().count()
                );
                assert!(!line.chars().any(|c| c.is_control() || c == '\u{202e}'), "{line:?}");
            }
            let first = text
                .split("\n\n")
                .next()
                .expect("a paragraph")
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ");
            assert_eq!(first, briefing::CAUTION, "the caution comes first");
        }
    }
    let b = briefing::brief(&sample::plan("4", "240/12T"));
    let text = briefing::text(&b).split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "CLEAR of everything the map shows",
        "permission needed to enter runway 08/26",
        "as the aeroplane begins to move",
        "check at 1700 rpm",
        "drop at most 125 rpm, the two drops within 50 rpm",
        "WHAT THE MAP LACKS - height of the fence",
        "by way of C: 0.4 m to the fence",
        "REPAIRS TO THE MAP (1)",
        "hot spot HS1: narrow",
        "right aileron down",
    ] {
        assert!(text.contains(said), "not said: {said}\n{text}");
    }
}

#[test]
fn no_way_names_the_stop_and_what_blocks() {
    let mut plan = sample::plan("4", "calm");
    no_way(&mut plan);
    let b = briefing::brief(&plan);
    let text = briefing::text(&b);
    assert!(text.contains("runway 26 cannot be reached from stand 4"), "{text}");
    let (c, d) = (
        text.find("taxiway C: closed (resurfacing)"),
        text.find("taxiway D: 9.0 m span limit"),
    );
    assert!(c.is_some() && c < d, "nearest first: {text}");
    let svg = briefing::svg(&plan, &b);
    assert!(svg.contains("block 1") && svg.contains("taxiway C: closed (resurfacing)"));
    let json: serde_json::Value = serde_json::from_str(&briefing::json(&plan, &b)).expect("JSON");
    assert_eq!(json["outcome"]["outcome"], "no_way");
    assert_eq!(json["outcome"]["blocks"][0]["at_xy_m"][0], 60.0);
}

#[test]
fn same_plan_same_bytes() {
    let forms = || {
        let plan = sample::plan("4", "VRB/04G15");
        let b = briefing::brief(&plan);
        [
            briefing::text(&b),
            briefing::json(&plan, &b),
            briefing::geojson(&plan, &b),
            briefing::svg(&plan, &b),
        ]
    };
    assert!(forms() == forms());
}
