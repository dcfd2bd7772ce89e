//! Cases that no real field of the data has: made by hand.

use crate::graph::field::*;

#[test]
fn a_loop_that_does_not_quite_close_is_closed() {
    let ring: &[[f64; 2]] = &[[0.0, 0.3], [0.0, 60.0], [60.0, 60.0], [60.0, 0.0], [0.0, 0.0]];
    let b = build(Sketch::default().taxiway("a", "A", ring));
    assert_eq!(
        (b.pieces(), b.graph.graph.node_count(), b.graph.graph.edge_count()),
        (1, 2, 2)
    );
    b.told(NoticeKind::Repair, "a", "0.30 m from its own line; joined");
}

#[test]
fn a_lollipop_joins_its_own_stem() {
    let line: &[[f64; 2]] = &[[0.0, 0.0], [100.0, 0.0], [100.0, 50.0], [50.0, 50.0], [50.0, 0.2]];
    let b = build(Sketch::default().taxiway("a", "A", line));
    assert_eq!(b.degree([50.0, 0.0]), 3);
}

#[test]
fn lines_of_one_feature_join_like_lines_of_several() {
    let parts: &[&[[f64; 2]]] = &[EAST, &[[100.0, 0.0], [100.0, 80.0]], &[[40.0, -30.0], [40.0, 30.0]]];
    let b = build(Sketch::default().lines("m", parts, json!({ "aeroway": "taxiway", "ref": "M" })));
    assert_eq!((b.pieces(), b.degree([100.0, 0.0]), b.degree([40.0, 0.0])), (1, 2, 4));
}

#[test]
fn the_180th_meridian_parts_nothing() {
    let at = |lon: f64| {
        let s = Sketch::about(lon, 47.0)
            .runway("r", "09/27", &[[-490.0, 0.0], [490.0, 0.0]])
            .taxiway("a", "A", &[[-300.0, -100.0], [300.0, -100.0]])
            .taxiway("b", "B", &[[0.0, -99.8], [0.0, 0.0]]);
        let b = build(stand(s, "4", &[[40.0, -130.0], [40.0, -100.0]]));
        let lengths: Vec<i64> = b
            .graph
            .graph
            .edge_weights()
            .map(|s| (s.length_m * 1000.0).round() as i64)
            .collect();
        (
            lengths,
            b.graph.holds.len(),
            b.graph.stands.len(),
            b.pieces(),
            b.notices.len(),
        )
    };
    assert_eq!(at(180.0), at(11.0));
    assert_eq!(at(-180.0), at(11.0));
}

#[test]
fn a_bar_drawn_across_the_lane_holds_on_it() {
    let bar = json!({ "aeroway": "holding_position", "ref": "B1", "holding_position:type": "runway" });
    let b = build(strip().line("B1", &[[-8.0, -40.0], [8.0, -40.0]], bar));
    assert_eq!(
        (b.graph.holds[0].position, b.graph.holds[0].node),
        (Some(0), b.node([0.0, -40.0]))
    );
    b.silent();
}

#[test]
fn a_point_shared_on_different_levels_joins_ends_only() {
    let bridge = || json!({ "aeroway": "taxiway", "ref": "T", "bridge": "yes" });
    let over: &[[f64; 2]] = &[[40.0, -50.0], [40.0, 0.0], [40.0, 50.0]];
    let lane: &[[f64; 2]] = &[[0.0, 0.0], [40.0, 0.0], [100.0, 0.0]];
    let b = build(Sketch::default().taxiway("a", "A", lane).line("t", over, bridge()));
    assert_eq!((b.pieces(), b.graph.graph.edge_count()), (2, 2));
    b.told(
        NoticeKind::Doubt,
        "t",
        "share a point but are on levels 0 and 1; not joined",
    );
    let b = build(
        Sketch::default()
            .taxiway("a", "A", lane)
            .line("t", &over[1..], bridge()),
    );
    assert_eq!((b.pieces(), b.degree([40.0, 0.0])), (1, 3));
    // An end that only comes near the line of another level is told, and not joined.
    let short: &[[f64; 2]] = &[[40.0, 0.3], [40.0, 50.0]];
    let b = build(Sketch::default().taxiway("a", "A", lane).line("t", short, bridge()));
    assert_eq!(b.pieces(), 2);
    b.told(NoticeKind::Doubt, "t", "which is on level 0 and not 1; not joined");
}

#[test]
fn lines_that_touch_without_a_shared_point_join_there() {
    // The corner of B lies on A, 2 cm beside it: no crossing, no end.
    let b = build(Sketch::default().taxiway("a", "A", EAST).taxiway(
        "b",
        "B",
        &[[20.0, 40.0], [40.0, 0.02], [60.0, 40.0]],
    ));
    assert_eq!((b.pieces(), b.of("a").len(), b.of("b").len()), (1, 2, 2));
    b.told(NoticeKind::Repair, "b", "has a point 0.02 m from taxiway A (a)");
}

#[test]
fn lines_that_run_over_one_another_in_part_share_that_part() {
    for (from, to, shared_m) in [(50.0, 150.0, 50.0), (20.0, 80.0, 60.0), (-40.0, 140.0, 100.0)] {
        let b = build(
            Sketch::default()
                .taxiway("a", "A", EAST)
                .taxiway("b", "B", &[[from, 0.0], [to, 0.0]]),
        );
        let both: f64 = b
            .graph
            .graph
            .edge_weights()
            .filter(|s| s.letters.len() == 2)
            .map(|s| s.length_m)
            .sum();
        assert!((both - shared_m).abs() < 0.01, "{both}");
        assert_eq!(b.pieces(), 1);
    }
}

#[test]
fn a_lane_along_a_runway_is_the_runway_there() {
    let b = build(
        Sketch::default()
            .runway("r", "09/27", &[[-490.0, 0.0], [490.0, 0.0]])
            .taxiway(
                "b",
                "B",
                &[[-100.0, -90.0], [-100.0, 0.0], [100.0, 0.0], [100.0, -90.0]],
            ),
    );
    let between: Vec<&Segment> = b
        .of("r")
        .into_iter()
        .filter(|s| (s.length_m - 200.0).abs() < 0.1)
        .collect();
    assert_eq!((between.len(), b.of("r").len(), b.of("b").len()), (1, 3, 4));
    b.told(
        NoticeKind::Repair,
        "b",
        "taxiway B (b) runs along runway 09/27 for 200.0 m",
    );
    assert_eq!(b.graph.holds.len(), 2, "both stubs are held before the runway");
}

#[test]
fn a_line_drawn_finer_than_the_tolerance_keeps_its_length() {
    // 400 points 2 cm apart, beside 400 points of another line: joining chains of near points must not eat a lane.
    let fine = |y: f64, x: f64| (0..400).map(|i| [x + f64::from(i) * 0.02, y]).collect::<Vec<_>>();
    let b = build(
        Sketch::default()
            .taxiway("a", "A", &fine(0.0, 0.0))
            .taxiway("b", "B", &fine(0.03, 0.01)),
    );
    for id in ["a", "b"] {
        let on: f64 = b.graph.graph.edge_weights().map(|s| s.length_m).sum();
        assert!(on > 7.9, "{id}: {on} m left of 8 m");
    }
    assert!(b.pieces() <= 2);
}
