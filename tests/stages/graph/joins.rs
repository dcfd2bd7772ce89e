//! Ends, shared points, loops, doubles.

use super::field::*;
use toeline_model::airfield::Way;

#[test]
fn lines_that_share_an_end_join() {
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .taxiway("b", "B", &[[100.0, 0.0], [100.0, 80.0]]),
    );
    assert_eq!(
        (b.graph.graph.node_count(), b.graph.graph.edge_count(), b.pieces()),
        (3, 2, 1)
    );
    assert_eq!(b.degree([100.0, 0.0]), 2);
    b.silent();
}

#[test]
fn a_shared_inner_vertex_splits_both_lines() {
    let b = build(
        Sketch::default()
            .taxiway("a", "A", &[[0.0, 0.0], [40.0, 0.0], [100.0, 0.0]])
            .taxiway("b", "B", &[[40.0, -50.0], [40.0, 0.0], [40.0, 50.0]]),
    );
    assert_eq!((b.of("a").len(), b.of("b").len(), b.degree([40.0, 0.0])), (2, 2, 4));
    b.silent();
}

#[test]
fn an_end_on_an_inner_vertex_makes_a_junction() {
    let b = build(
        Sketch::default()
            .taxiway("a", "A", &[[0.0, 0.0], [40.0, 0.0], [100.0, 0.0]])
            .taxiway("b", "B", &[[40.0, 0.0], [40.0, 50.0]]),
    );
    assert_eq!((b.of("a").len(), b.degree([40.0, 0.0])), (2, 3));
    b.silent();
}

#[test]
fn inner_points_alone_split_nothing() {
    let b = build(Sketch::default().taxiway("a", "A", &[[0.0, 0.0], [500.0, 0.0], [500.0, 900.0]]));
    assert_eq!((b.graph.graph.node_count(), b.graph.graph.edge_count()), (2, 1));
    assert!(b.of("a")[0].line.len() > 3, "densified");
}

#[test]
fn ends_within_half_a_metre_snap_and_say_how_far() {
    for (gap_m, said) in [(0.02, "0.02 m"), (0.3, "0.30 m"), (0.49, "0.49 m"), (-0.3, "0.30 m")] {
        let b = build(
            Sketch::default()
                .taxiway("a", "A", EAST)
                .taxiway("b", "B", &[[40.0, 50.0], [40.0, gap_m]]),
        );
        assert_eq!(
            (b.of("a").len(), b.pieces(), b.degree([40.0, 0.0])),
            (2, 1, 3),
            "{gap_m}"
        );
        let n = b.told(NoticeKind::Repair, "b", said);
        assert_eq!(
            n.text,
            format!("an end of taxiway B (b) was {said} from taxiway A (a); joined")
        );
        assert_eq!(
            b.notices.len(),
            1,
            "an end past the line is snapped, not crossed: {:?}",
            b.notices
        );
    }
}

#[test]
fn ends_that_only_come_near_are_doubted_and_not_joined() {
    for (gap_m, said) in [(0.52, "0.5 m"), (3.0, "3.0 m"), (4.9, "4.9 m")] {
        let b = build(
            Sketch::default()
                .taxiway("a", "A", EAST)
                .taxiway("b", "B", &[[40.0, 50.0], [40.0, gap_m]]),
        );
        assert_eq!((b.of("a").len(), b.pieces()), (1, 2), "{gap_m}");
        b.told(
            NoticeKind::Doubt,
            "b",
            &format!("is {said} from taxiway A (a) without touching it; not joined"),
        );
    }
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .taxiway("b", "B", &[[40.0, 50.0], [40.0, 5.1]]),
    );
    assert_eq!(b.pieces(), 2);
    b.silent();
}

#[test]
fn two_loose_ends_face_to_face_become_one_node() {
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .taxiway("b", "B", &[[100.3, 0.1], [180.0, 0.0]]),
    );
    assert_eq!(
        (b.graph.graph.node_count(), b.graph.graph.edge_count(), b.notices.len()),
        (3, 2, 1)
    );
}

#[test]
fn an_end_that_already_joins_something_is_left_alone() {
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .taxiway("b", "B", &[[40.0, 50.0], [40.0, 0.3]])
            .taxiway("c", "C", &[[40.0, 0.3], [70.0, 0.3]]),
    );
    // b and c hold one another; c's other end is loose and snaps.
    assert_eq!(b.pieces(), 1);
    assert!(b.try_node([40.0, 0.3]).is_some() && b.try_node([40.0, 0.0]).is_none());
}

#[test]
fn equal_pieces_collapse_and_keep_both_names() {
    let width = |id: &'static str, letter: &'static str, w: f64, points: &'static [[f64; 2]]| {
        move |s: Sketch| {
            s.line(
                id,
                points,
                json!({ "aeroway": "taxiway", "ref": letter, "width": w, "oneway": "yes" }),
            )
        }
    };
    let s = width("a", "A", 15.0, &[[0.0, 0.0], [50.0, 0.0], [100.0, 0.0]])(Sketch::default());
    let s = width("b", "B", 12.0, &[[100.0, 0.0], [50.0, 0.0], [0.0, 0.0]])(s);
    let b = build(s);
    assert_eq!(b.graph.graph.edge_count(), 1);
    let kept = b.of("a")[0];
    assert_eq!(
        (kept.letters.join(" "), kept.width_m, kept.way),
        ("A B".to_string(), Some(12.0), Way::Both)
    );
}

#[test]
fn of_two_equal_pieces_one_that_is_closed_closes_both_but_a_runway_given_up_leaves_its_pavement_to_a_lane() {
    let ends: &[[f64; 2]] = &[[0.0, 0.0], [100.0, 0.0]];
    let back: &[[f64; 2]] = &[[100.0, 0.0], [0.0, 0.0]];
    let closed = json!({ "aeroway": "taxiway", "toeline:closed": "works" });
    for s in [
        Sketch::default()
            .line("x", ends, closed.clone())
            .taxiway("o", "O", back),
        Sketch::default().taxiway("o", "O", back).line("x", ends, closed),
    ] {
        let b = build(s);
        let all: Vec<_> = b.graph.graph.edge_weights().collect();
        assert_eq!((all.len(), all[0].closed.as_deref()), (1, Some("works")));
    }
    let lane = json!({ "aeroway": "taxiway", "ref": "O", "oneway": "yes" });
    let b = build(
        Sketch::default()
            .line(
                "r",
                ends,
                json!({ "aeroway": "runway", "ref": "09/27", "disused": "yes" }),
            )
            .line("o", back, lane),
    );
    let all: Vec<_> = b.graph.graph.edge_weights().collect();
    assert_eq!((all.len(), all[0].closed.as_deref()), (1, None));
    assert!(matches!(all[0].source, Source::Lane(..)), "{:?}", all[0].source);
    // The line is the runway's, so that the lane's one sense runs against it.
    let along = all[0].line[1].x > all[0].line[0].x;
    assert_eq!(all[0].way, if along { Way::Backward } else { Way::Forward });
}

#[test]
fn a_stretch_that_two_lanes_share_is_one_segment() {
    let b = build(
        Sketch::default()
            .taxiway("a", "A", &[[0.0, 0.0], [40.0, 0.0], [400.0, 0.0], [460.0, 0.0]])
            .taxiway("b", "B", &[[40.0, -50.0], [40.0, 0.0], [400.0, 0.0], [400.0, 50.0]]),
    );
    assert_eq!(
        b.graph.graph.edge_count(),
        5,
        "densified points of the shared stretch split nothing"
    );
    let both = b.graph.graph.edge_weights().filter(|s| s.letters == ["A", "B"]).count();
    assert_eq!(both, 1);
}

#[test]
fn a_closed_loop_works_alone_and_with_a_spur() {
    let ring = [[0.0, 0.0], [60.0, 0.0], [60.0, 60.0], [0.0, 60.0], [0.0, 0.0]];
    let b = build(Sketch::default().taxiway("a", "A", &ring));
    assert_eq!((b.graph.graph.node_count(), b.graph.graph.edge_count()), (2, 2));
    b.silent();
    let b = build(
        Sketch::default()
            .taxiway("a", "A", &ring)
            .taxiway("b", "B", &[[60.0, 60.0], [90.0, 90.0]]),
    );
    assert_eq!((b.pieces(), b.degree([60.0, 60.0])), (1, 3));
    let length_m: f64 = b.of("a").iter().map(|s| s.length_m).sum();
    assert!((length_m - 240.0).abs() < 0.01);
}

#[test]
fn pieces_without_length_vanish() {
    let b = build(
        Sketch::default()
            .taxiway("a", "A", &[[0.0, 0.0], [0.0, 0.0], [100.0, 0.0]])
            .taxiway("z", "Z", &[[50.0, 9.0], [50.0, 9.0]]),
    );
    assert_eq!((b.graph.graph.edge_count(), b.of("z").len()), (1, 0));
}
