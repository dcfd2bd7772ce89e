//! Holding positions, mapped and derived.

use super::field::*;

#[test]
fn a_hold_on_the_lane_splits_it_and_is_aimed_at_its_runway() {
    let b = build(hold(strip(), "B1", [0.0, -40.0], "runway"));
    assert_eq!(b.graph.holds.len(), 1);
    let h = &b.graph.holds[0];
    assert_eq!((h.position, h.name.as_str(), h.guards), (Some(0), "B1", Some(0)));
    assert_eq!(
        (h.node, h.runway_node),
        (b.node([0.0, -40.0]), Some(b.node([0.0, 0.0])))
    );
    assert!(
        h.toward
            .unwrap()
            .bearing()
            .to_deg(toeline_model::Bearing::from_deg(0.0))
            .abs()
            < 0.1
    );
    assert_eq!(b.of("b").len(), 2);
    b.silent();
}

#[test]
fn a_hold_beside_the_lane_is_put_on_it_or_left_out() {
    let b = build(hold(strip(), "B1", [0.8, -40.0], "runway"));
    assert_eq!(b.graph.holds[0].node, b.node([0.0, -40.0]));
    b.silent();
    let b = build(hold(strip(), "B1", [24.0, -40.0], "runway"));
    assert_eq!(b.graph.holds[0].node, b.node([0.0, -40.0]));
    b.told(NoticeKind::Repair, "B1", "is 24.0 m beside taxiway B (b); put on it");
    let b = build(hold(strip(), "B1", [26.0, -40.0], "runway"));
    assert!(b.graph.holds.iter().all(|h| h.position.is_none()));
    b.told(NoticeKind::LeftOut, "B1", "more than 25 m from every lane");
    let b = build(hold(strip(), "B1", [0.0, -2.0], "runway"));
    b.told(NoticeKind::LeftOut, "B1", "lies on runway 09/27");
}

#[test]
fn an_intermediate_hold_guards_nothing_and_one_of_no_type_what_it_leads_to() {
    let b = build(hold(
        hold(strip(), "A1", [-20.0, -100.0], "intermediate"),
        "B1",
        [0.0, -40.0],
        "",
    ));
    let (a1, b1) = (&b.graph.holds[0], &b.graph.holds[1]);
    assert_eq!((a1.guards, a1.runway_node, a1.toward), (None, None, None));
    assert_eq!(b1.guards, Some(0));
}

#[test]
fn the_first_hold_hides_the_runway_from_one_without_type_behind_it() {
    let s = hold(hold(strip(), "B1", [0.0, -40.0], "runway"), "B2", [0.0, -90.0], "");
    let b = build(s);
    assert_eq!(
        b.graph.holds.iter().map(|h| h.guards).collect::<Vec<_>>(),
        [Some(0), None]
    );
    // A second bar that says it is for the runway guards it all the same.
    let b = build(hold(
        hold(strip(), "B1", [0.0, -40.0], "runway"),
        "B2",
        [0.0, -90.0],
        "ILS",
    ));
    assert_eq!(
        b.graph.holds.iter().map(|h| h.guards).collect::<Vec<_>>(),
        [Some(0), Some(0)]
    );
}

#[test]
fn between_two_runways_each_hold_guards_its_own() {
    let s = Sketch::default()
        .runway("r", "09L/27R", &[[-490.0, 0.0], [0.0, 0.0], [490.0, 0.0]])
        .runway("q", "09R/27L", &[[-490.0, -300.0], [0.0, -300.0], [490.0, -300.0]])
        .taxiway("b", "B", &[[0.0, -300.0], [0.0, 0.0]]);
    let b = build(hold(
        hold(s, "N", [0.0, -140.0], "runway"),
        "S",
        [0.0, -220.0],
        "runway",
    ));
    assert_eq!(
        b.graph.holds.iter().map(|h| h.guards).collect::<Vec<_>>(),
        [Some(0), Some(1)]
    );
}

#[test]
fn a_hold_far_from_every_runway_is_doubted() {
    let s = strip().taxiway("far", "F", &[[-300.0, -100.0], [-300.0, -700.0]]);
    let b = build(hold(
        hold(s, "B1", [0.0, -40.0], "runway"),
        "F1",
        [-300.0, -600.0],
        "runway",
    ));
    assert_eq!(b.graph.holds[1].guards, None);
    b.told(NoticeKind::Doubt, "F1", "none is within 400 m along the lanes");
}

/// ICAO Annex 14 Volume I, Table 3-2, non-instrument runways: 30, 40, 75 and 75 m for code numbers 1 to 4 (from memory).
/// The lengths at which the code number changes, 800 and 1200 m, are Table 1-1 (from memory).
#[test]
fn a_missing_hold_is_derived_at_the_published_distance() {
    for (length_m, published_m) in [
        (600.0, 30.0),
        (790.0, 30.0),
        (810.0, 40.0),
        (1190.0, 40.0),
        (1210.0, 75.0),
        (2400.0, 75.0),
    ] {
        let b = build(
            Sketch::default()
                .runway(
                    "r",
                    "09/27",
                    &[[-length_m / 2.0, 0.0], [0.0, 0.0], [length_m / 2.0, 0.0]],
                )
                .taxiway("b", "B", &[[0.0, -200.0], [0.0, 0.0]]),
        );
        assert_eq!(b.graph.holds.len(), 1);
        let h = &b.graph.holds[0];
        assert_eq!(h.name, "holding point of taxiway B for runway 09/27 (derived)");
        assert_eq!(
            (h.position, h.guards, h.runway_node),
            (None, Some(0), Some(b.node([0.0, 0.0])))
        );
        assert!((b.off_runway(0, h.node) - published_m).abs() < 0.01, "{length_m}");
        let n = b.told(
            NoticeKind::Repair,
            "b",
            "no holding position is mapped on taxiway B before runway 09/27",
        );
        assert!(
            n.text
                .contains(&format!("taken to be {published_m:.0} m from its centreline")),
            "{}",
            n.text
        );
        assert!(n.text.contains("ICAO Annex 14, Table 3-2"), "{}", n.text);
    }
}

#[test]
fn the_distance_is_measured_across_the_runway_and_not_along_the_lane() {
    let b = build(
        Sketch::default()
            .runway("r", "09/27", &[[-490.0, 0.0], [0.0, 0.0], [490.0, 0.0]])
            .taxiway("b", "B", &[[-150.0, -150.0], [0.0, 0.0]]),
    );
    assert!((b.off_runway(0, b.graph.holds[0].node) - 40.0).abs() < 0.01);
}

#[test]
fn a_lane_too_short_for_the_distance_is_held_at_its_far_end() {
    let b = build(
        Sketch::default()
            .runway("r", "09/27", &[[-490.0, 0.0], [0.0, 0.0], [490.0, 0.0]])
            .taxiway("b", "B", &[[0.0, -25.0], [0.0, 0.0]]),
    );
    let h = &b.graph.holds[0];
    assert!((b.off_runway(0, h.node) - 25.0).abs() <= 0.6);
    assert!(
        b.told(NoticeKind::Repair, "b", "and not at 40 m")
            .text
            .contains("the lane gets only")
    );
}

#[test]
fn a_parallel_lane_nearer_than_the_distance_is_held_before_the_junction() {
    let b = build(
        Sketch::default()
            .runway("r", "09/27", &[[-490.0, 0.0], [0.0, 0.0], [490.0, 0.0]])
            .taxiway("a", "A", &[[-400.0, -35.0], [0.0, -35.0], [400.0, -35.0]])
            .taxiway("b", "B", &[[0.0, -35.0], [0.0, 0.0]]),
    );
    assert_eq!(b.graph.holds.len(), 1, "{:?}", b.graph.holds);
    let off = b.off_runway(0, b.graph.holds[0].node);
    assert!((29.0..=31.0).contains(&off), "{off}");
    assert_eq!(b.of("b").len(), 2);
}

#[test]
fn a_lane_with_a_mapped_hold_gets_no_derived_one_and_its_bare_branch_does() {
    let b = build(hold(strip(), "B1", [0.0, -60.0], "runway"));
    assert_eq!(b.graph.holds.len(), 1);
    let s = hold(strip(), "B1", [0.0, -60.0], "runway").taxiway("c", "C", &[[200.0, -100.0], [200.0, 0.0]]);
    let b = build(s);
    assert_eq!(b.graph.holds.len(), 2);
    assert!(b.graph.holds[1].name.contains("taxiway C"));
}

#[test]
fn both_sides_of_a_crossed_runway_are_held_under_different_names() {
    let b = build(
        Sketch::default()
            .runway("r", "09/27", &[[-490.0, 0.0], [0.0, 0.0], [490.0, 0.0]])
            .taxiway("b", "B", &[[0.0, -200.0], [0.0, 0.0], [0.0, 200.0]]),
    );
    let mut names: Vec<&str> = b.graph.holds.iter().map(|h| h.name.as_str()).collect();
    names.sort_unstable();
    assert_eq!(
        names,
        [
            "holding point of taxiway B for runway 09/27, north side (derived)",
            "holding point of taxiway B for runway 09/27, south side (derived)"
        ]
    );
    for h in &b.graph.holds {
        assert_eq!(h.runway_node, Some(b.node([0.0, 0.0])));
    }
}

#[test]
fn water_and_closed_runways_get_no_derived_holds() {
    for tags in [json!({ "surface": "water" }), json!({ "toeline:closed": "ploughed" })] {
        let mut all = json!({ "aeroway": "runway", "ref": "09/27" });
        all.as_object_mut().unwrap().extend(tags.as_object().unwrap().clone());
        let b = build(
            Sketch::default()
                .line("r", &[[-490.0, 0.0], [0.0, 0.0], [490.0, 0.0]], all)
                .taxiway("b", "B", &[[0.0, -200.0], [0.0, 0.0]]),
        );
        assert_eq!(b.graph.holds, []);
    }
}
