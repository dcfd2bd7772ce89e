//! Crossings, touches and levels.

use super::field::*;

#[test]
fn crossings_without_a_shared_point_are_split_and_told() {
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .taxiway("b", "B", &[[40.0, -50.0], [40.0, 50.0]]),
    );
    assert_eq!((b.of("a").len(), b.of("b").len(), b.degree([40.0, 0.0])), (2, 2, 4));
    let n = b.told(
        NoticeKind::Repair,
        "b",
        "taxiway A (a) and taxiway B (b) cross without a shared point; joined there",
    );
    assert!(n.at.unwrap().distance(b.place([40.0, 0.0])) < 0.01);
    assert_eq!(b.notices.len(), 1);
}

#[test]
fn crossings_on_different_levels_stay_apart() {
    for tags in [
        json!({ "layer": 1 }),
        json!({ "bridge": "yes" }),
        json!({ "tunnel": "yes" }),
    ] {
        let mut all = json!({ "aeroway": "taxiway" });
        all.as_object_mut().unwrap().extend(tags.as_object().unwrap().clone());
        let b = build(
            Sketch::default()
                .taxiway("a", "A", EAST)
                .line("b", &[[40.0, -50.0], [40.0, 50.0]], all),
        );
        assert_eq!((b.graph.graph.edge_count(), b.pieces()), (2, 2), "{tags}");
        b.silent();
    }
}

#[test]
fn a_bridge_still_joins_the_lane_it_shares_an_end_with() {
    let bridge = json!({ "aeroway": "taxiway", "bridge": "yes" });
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .line("b", &[[100.0, 0.0], [150.0, 0.0]], bridge),
    );
    assert_eq!(b.pieces(), 1);
}

#[test]
fn a_vertex_near_the_crossing_is_used_and_makes_no_crumbs() {
    let b = build(
        Sketch::default()
            .taxiway("a", "A", &[[0.0, 0.0], [40.02, 0.0], [100.0, 0.0]])
            .taxiway("b", "B", &[[40.0, -50.0], [40.0, 50.0]]),
    );
    assert_eq!((b.of("a").len(), b.of("b").len(), b.pieces()), (2, 2, 1));
    assert!(b.graph.graph.edge_weights().all(|s| s.length_m > 1.0));
}

#[test]
fn a_line_that_crosses_itself_is_split_there() {
    let b = build(Sketch::default().taxiway(
        "a",
        "A",
        &[[0.0, 0.0], [100.0, 0.0], [100.0, 50.0], [50.0, 50.0], [50.0, -50.0]],
    ));
    assert_eq!(b.degree([50.0, 0.0]), 4);
    b.told(NoticeKind::Repair, "a", "crosses itself");
}

#[test]
fn a_runway_is_a_segment_and_a_lane_across_it_a_node() {
    let b = build(
        Sketch::default()
            .runway("r", "09/27", &[[-500.0, 0.0], [500.0, 0.0]])
            .taxiway("a", "A", &[[0.0, -120.0], [0.0, 120.0]]),
    );
    assert_eq!((b.of("r").len(), b.degree([0.0, 0.0]), b.pieces()), (2, 4, 1));
    assert!(b.of("r").iter().all(|s| s.source == Source::Runway(0)));
    b.told(NoticeKind::Repair, "a", "runway 09/27 and taxiway A (a) cross");
}
