//! Small fields on which an instruction can be meant in several ways.

use super::{Place, names, request};
use serde_json::json;
use toeline_tests::sketch::Sketch;

/// A ladder: A and B run side by side, 300 m apart from each other's ends, joined by two rungs without a letter, and a
/// runway beyond B.
///
/// ```text
///  runway 09/27 ------------------------------
///                                   | C
///  B      -----o--------------------o---------
///              | (rung)             |
///  A  1 -------o--------------------o (second rung)
/// ```
fn ladder(second_rung: bool) -> Place {
    let mut s = Sketch::default()
        .runway("r", "09/27", &[[-200.0, 300.0], [900.0, 300.0]])
        .taxiway(
            "b",
            "B",
            &[[0.0, 100.0], [100.0, 100.0], [400.0, 100.0], [700.0, 100.0]],
        )
        .taxiway("c", "C", &[[700.0, 100.0], [700.0, 300.0]])
        .taxiway("a", "A", &[[-100.0, 0.0], [100.0, 0.0], [400.0, 0.0], [500.0, 0.0]])
        .line("rung", &[[100.0, 0.0], [100.0, 100.0]], json!({ "aeroway": "taxiway" }))
        .line(
            "stand",
            &[[-100.0, 0.0], [-130.0, 0.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "toeline:nose": "out" }),
        );
    if second_rung {
        s = s.line(
            "rung-2",
            &[[400.0, 0.0], [400.0, 100.0]],
            json!({ "aeroway": "taxiway" }),
        );
    }
    Place::of(&s.text())
}

#[test]
fn two_ways_of_joining_are_both_told_with_their_lengths() {
    let text = "runway 27, taxi via A, B, C";
    let (route, notes, unclear) = ladder(true).way(&request("1", "27"), text);
    assert!(unclear);
    let told = notes
        .iter()
        .find(|n| n.contains("in two ways"))
        .unwrap_or_else(|| panic!("{notes:?}"));
    assert!(told.starts_with("B can be joined from A in two ways: after "), "{told}");
    // Stand to the first rung and up it: 30 + 200 + 100 m; by the second: 300 m farther along A, and as much less on B.
    assert!(
        told.contains("after 330 m, where B meet") && told.contains("or after 630 m, where B meet"),
        "{told}"
    );
    // From the stand 30, A 200, rung 100, B 600, C up to its holding position.
    let whole: f64 = route
        .segments
        .iter()
        .map(|(e, _)| ladder(true).graph.segment(*e).length_m)
        .sum();
    assert_eq!(
        told.matches(&format!("({whole:.0} m in all)")).count(),
        2,
        "{whole}: {told}"
    );
    let (_, notes, unclear) = ladder(false).way(&request("1", "27"), text);
    assert!(!unclear && notes.is_empty(), "{notes:?}");
}

#[test]
fn a_long_link_without_a_letter_is_refused_with_its_length() {
    // The rung is 250 m long: more than the 200 m that a link may be.
    let s = Sketch::default()
        .runway("r", "09/27", &[[-200.0, 500.0], [900.0, 500.0]])
        .taxiway("b", "B", &[[100.0, 250.0], [700.0, 250.0], [700.0, 500.0]])
        .taxiway("a", "A", &[[-100.0, 0.0], [100.0, 0.0]])
        .line("link", &[[100.0, 0.0], [100.0, 250.0]], json!({ "aeroway": "taxiway" }))
        .line(
            "stand",
            &[[-100.0, 0.0], [-130.0, 0.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "toeline:nose": "out" }),
        );
    let told = Place::of(&s.text()).no_way(&request("1", "27"), "runway 27, taxi via A, B");
    assert_eq!(told.blocks.len(), 1);
    assert!(
        told.blocks[0]
            .text
            .contains("A and B do not meet; what joins them is 250 m without a letter (limit 200 m)"),
        "{told:?}"
    );
}

#[test]
fn a_name_may_be_in_pieces() {
    // B in two pieces with a link between: real maps have many ("one name, several pieces").
    let s = Sketch::default()
        .runway("r", "09/27", &[[-200.0, 200.0], [900.0, 200.0]])
        .taxiway("b1", "B", &[[-100.0, 0.0], [100.0, 0.0]])
        .line("link", &[[100.0, 0.0], [160.0, 0.0]], json!({ "aeroway": "taxiway" }))
        .taxiway("b2", "B", &[[160.0, 0.0], [400.0, 0.0], [400.0, 200.0]])
        .line(
            "stand",
            &[[-100.0, 0.0], [-130.0, 0.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "toeline:nose": "out" }),
        );
    let place = Place::of(&s.text());
    let (route, ..) = place.way(&request("1", "27"), "taxi via B to runway 27");
    assert_eq!(names(&place, &route), ["stand", "B", "", "B"]);
}

#[test]
fn one_way_is_told() {
    let s = Sketch::default()
        .runway("r", "09/27", &[[-200.0, 200.0], [900.0, 200.0]])
        .line(
            "b",
            &[[400.0, 200.0], [400.0, 0.0]],
            json!({ "aeroway": "taxiway", "ref": "B", "oneway": "yes" }),
        )
        .taxiway("a", "A", &[[-100.0, 0.0], [400.0, 0.0], [600.0, 0.0], [600.0, 200.0]])
        .line(
            "stand",
            &[[-100.0, 0.0], [-130.0, 0.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "toeline:nose": "out" }),
        );
    let told = Place::of(&s.text()).no_way(&request("1", "27"), "taxi via A, B to runway 27");
    assert!(
        told.blocks
            .iter()
            .any(|b| b.text == "taxiway B: one way, against the way instructed"),
        "{told:?}"
    );
}

#[test]
fn words_without_commas_are_names_only_when_one_reading_fits() {
    let field = |third: &str| {
        let s = Sketch::default()
            .runway("r", "09/27", &[[-200.0, 200.0], [900.0, 200.0]])
            .taxiway("a", "A", &[[-100.0, 0.0], [100.0, 0.0]])
            .taxiway("b", "B", &[[100.0, 0.0], [400.0, 0.0], [400.0, 200.0]])
            .taxiway("x", third, &[[100.0, 0.0], [100.0, -100.0]])
            .line(
                "stand",
                &[[-100.0, 0.0], [-130.0, 0.0]],
                json!({ "aeroway": "parking_position", "ref": "1", "toeline:nose": "out" }),
            );
        Place::of(&s.text())
    };
    let text = "runway 27, taxi via Alfa Bravo";
    let (clear, two) = (field("X"), field("AB"));
    let (route, ..) = clear.way(&request("1", "27"), text);
    assert_eq!(names(&clear, &route), ["stand", "A", "B"]);
    let told = two.message(&request("1", "27"), text);
    assert!(
        told.contains("\"Alfa Bravo\": can be read in 2 ways: A, B or AB; put commas between the names"),
        "{told}"
    );
    two.way(&request("1", "27"), "runway 27, taxi via Alfa, Bravo");
}

#[test]
fn sides_of_runways_are_asked_for() {
    let s = Sketch::default()
        .runway("r", "09L/27R", &[[-200.0, 200.0], [900.0, 200.0]])
        .runway("q", "09R/27L", &[[-200.0, 600.0], [900.0, 600.0]])
        .taxiway("a", "A", &[[-100.0, 0.0], [100.0, 0.0], [100.0, 600.0]])
        .line(
            "stand",
            &[[-100.0, 0.0], [-130.0, 0.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "toeline:nose": "out" }),
        );
    let place = Place::of(&s.text());
    let told = place.message(&request("1", "27R"), "taxi to runway 27 via A");
    assert!(told.contains("\"27\": the map has 27R and 27L: say which"), "{told}");
    place.way(&request("1", "27R"), "taxi to runway 27 right via A");
    place.way(
        &request("1", "27R"),
        "taxi to runway two seven left via A, cross runway 27 right",
    );
}
