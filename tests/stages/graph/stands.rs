//! Stands joined to lanes.

use super::field::*;

#[test]
fn a_stand_line_joins_by_the_end_on_the_lane_whichever_way_it_is_drawn() {
    let lane: &[[f64; 2]] = &[[0.0, 0.0], [40.0, 0.0], [100.0, 0.0]];
    for line in [[[40.0, 0.0], [40.0, 20.0]], [[40.0, 20.0], [40.0, 0.0]]] {
        let b = build(stand(Sketch::default().taxiway("a", "A", lane), "4", &line));
        assert_eq!(b.graph.stands.len(), 1);
        let s = &b.graph.stands[0];
        assert_eq!(
            (s.stand, s.node, s.lane_node),
            (0, b.node([40.0, 20.0]), b.node([40.0, 0.0]))
        );
        b.silent();
    }
}

#[test]
fn a_stand_line_that_ends_near_the_lane_snaps() {
    for (gap_m, said) in [(0.2, "0.20 m"), (4.5, "4.50 m")] {
        let b = build(stand(
            Sketch::default().taxiway("a", "A", EAST),
            "4",
            &[[40.0, 30.0], [40.0, gap_m]],
        ));
        assert_eq!((b.pieces(), b.of("4").len(), b.graph.stands.len()), (1, 1, 1));
        assert_eq!(b.graph.stands[0].node, b.node([40.0, 30.0]));
        assert_eq!(b.graph.stands[0].lane_node, b.node([40.0, 0.0]));
        b.told(
            NoticeKind::Repair,
            "4",
            &format!("the line of stand 4 (4) ended {said} from taxiway A (a); joined"),
        );
    }
}

#[test]
fn a_stand_line_farther_off_runs_straight_with_a_doubt_and_beyond_60_m_not_at_all() {
    let b = build(stand(
        Sketch::default().taxiway("a", "A", EAST),
        "4",
        &[[40.0, 50.0], [40.0, 20.0]],
    ));
    assert_eq!((b.pieces(), b.graph.stands.len()), (1, 1));
    b.told(
        NoticeKind::Doubt,
        "4",
        "ends 20.0 m from the nearest lane, taxiway A (a); taken to run straight to it",
    );
    let b = build(stand(
        Sketch::default().taxiway("a", "A", EAST),
        "4",
        &[[40.0, 90.0], [40.0, 61.0]],
    ));
    assert_eq!(b.graph.stands.len(), 0);
    b.told(
        NoticeKind::Doubt,
        "4",
        "no open lane within 60 m of stand 4 (4); it cannot be reached",
    );
}

#[test]
fn a_stand_line_that_crosses_the_lane_joins_it_there() {
    let b = build(stand(
        Sketch::default().taxiway("a", "A", EAST),
        "4",
        &[[40.0, -3.0], [40.0, 25.0]],
    ));
    let s = &b.graph.stands[0];
    assert_eq!((s.node, s.lane_node), (b.node([40.0, 25.0]), b.node([40.0, 0.0])));
    b.told(NoticeKind::Repair, "4", "cross without a shared point");
}

#[test]
fn a_stand_line_may_hang_on_another_stands_line() {
    let s = Sketch::default().taxiway("a", "A", &[[0.0, 0.0], [40.0, 0.0], [100.0, 0.0]]);
    let s = stand(s, "5", &[[60.0, 40.0], [40.0, 15.0]]);
    let s = stand(s, "4", &[[40.0, 0.0], [40.0, 15.0], [40.0, 40.0]]);
    let b = build(stand(s, "6", &[[20.0, 40.0], [38.0, 20.0]]));
    assert_eq!((b.pieces(), b.graph.stands.len()), (1, 3));
    for (i, stop) in [(0, [60.0, 40.0]), (1, [40.0, 40.0]), (2, [20.0, 40.0])] {
        let s = b.graph.stands.iter().find(|s| s.stand == i).unwrap();
        assert_eq!((s.node, s.lane_node), (b.node(stop), b.node([40.0, 0.0])));
    }
    b.told(NoticeKind::Repair, "6", "ended 2.00 m from stand 4 (4); joined");
}

#[test]
fn a_stand_point_connects_straight_to_the_nearest_open_lane() {
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .line(
                "c",
                &[[0.0, 30.0], [100.0, 30.0]],
                json!({ "aeroway": "taxiway", "toeline:closed": "works" }),
            )
            .point(
                "4",
                [40.0, 25.0],
                json!({ "aeroway": "parking_position", "ref": "4", "maxspan": 11 }),
            ),
    );
    let s = &b.graph.stands[0];
    assert_eq!((s.node, s.lane_node), (b.node([40.0, 25.0]), b.node([40.0, 0.0])));
    assert_eq!((b.of("4").len(), b.of("4")[0].span_limit_m), (1, Some(11.0)));
    b.silent();
    let far = json!({ "aeroway": "parking_position", "ref": "9" });
    let b = build(Sketch::default().taxiway("a", "A", EAST).point("9", [40.0, 61.0], far));
    b.told(NoticeKind::Doubt, "9", "no open lane within 60 m");
}

#[test]
fn the_straight_way_of_a_stand_over_a_runway_is_a_crossing_of_it() {
    let tags = json!({ "aeroway": "parking_position", "ref": "4" });
    let field = || {
        Sketch::default()
            .runway("r", "09/27", &[[-500.0, 0.0], [500.0, 0.0]])
            .taxiway("a", "A", &[[-400.0, 20.0], [400.0, 20.0]])
    };
    let line: &[[f64; 2]] = &[[40.0, -25.0], [40.0, -15.0]];
    for field in [field().point("4", [40.0, -25.0], tags), stand(field(), "4", line)] {
        let b = build(field);
        assert_eq!((b.degree([40.0, 0.0]), b.of("r").len(), b.of("4").len()), (4, 2, 2));
        let s = &b.graph.stands[0];
        assert_eq!((s.node, s.lane_node), (b.node([40.0, -25.0]), b.node([40.0, 20.0])));
        b.told(
            NoticeKind::Repair,
            "4",
            "runway 09/27 and stand 4 (4) cross without a shared point",
        );
    }
}

#[test]
fn a_connection_through_a_building_is_doubted() {
    let wall: &[[f64; 2]] = &[[30.0, 8.0], [50.0, 8.0], [50.0, 12.0], [30.0, 12.0]];
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .area("w", &[wall], json!({ "building": "yes", "name": "Store" }))
            .point("4", [40.0, 25.0], json!({ "aeroway": "parking_position", "ref": "4" }))
            .point("5", [70.0, 25.0], json!({ "aeroway": "parking_position", "ref": "5" })),
    );
    b.told(
        NoticeKind::Doubt,
        "4",
        "stand 4 (4) to its lane passes through a building, Store (w)",
    );
    assert_eq!(b.notices.len(), 1);
}

/// Found by fuzzing: the bridge's point under the stand is united with the end of the lane on the ground, so that place and
/// stand lay at one spot under two numbers, a segment without length between them.
#[test]
fn a_stand_on_a_bridges_point_that_became_the_lanes_is_on_the_lane() {
    let bridge = json!({ "aeroway": "taxiway", "bridge": "yes", "ref": "B" });
    let spot = [-0.0076, -0.0111];
    let b = build(
        Sketch::default()
            .taxiway("a", "A", &[[0.0, 0.0], [0.0, 60.0]])
            .line("b", &[[-30.0, 0.2], spot, [-0.29, -0.111], [0.0, 0.0]], bridge)
            .point("4", spot, json!({ "aeroway": "parking_position", "ref": "4" })),
    );
    assert!(b.graph.graph.edge_weights().all(|s| s.length_m > 0.0));
    assert_eq!(b.graph.stands.len(), 1);
    let s = &b.graph.stands[0];
    assert_eq!(s.node, s.lane_node, "the stand lies on the lane's end");
}
