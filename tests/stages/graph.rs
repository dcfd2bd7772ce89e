//! Stage graph: every repair on one small field each, with what is said about it, and what must not be joined.

use petgraph::graph::{EdgeIndex, NodeIndex};
use petgraph::visit::EdgeRef;
use serde_json::json;
use std::collections::BTreeSet;
use toeline_engine::graph::{self, Segment, Source, TaxiGraph};
use toeline_engine::notice::{Notice, NoticeKind};
use toeline_engine::read;
use toeline_model::airfield::{LaneKind, Way};
use toeline_model::planar::closest_on_line;
use toeline_model::{Airfield, Xy};
use toeline_tests::sketch::Sketch;

struct Built {
    field: Airfield,
    graph: TaxiGraph,
    notices: Vec<Notice>,
    sketch: Sketch,
}

fn build(sketch: Sketch) -> Built {
    let field = read::read(&sketch.text()).unwrap_or_else(|e| panic!("{e}")).field;
    let (graph, notices) = graph::build(&field);
    let b = Built {
        field,
        graph,
        notices,
        sketch,
    };
    sound(&b);
    b
}

/// What holds for every graph.
fn sound(b: &Built) {
    for s in b.graph.graph.edge_weights() {
        assert!(s.line.len() >= 2 && s.length_m > 0.0);
        assert_ne!(s.from, s.to, "no segment begins and ends at one node");
        assert_eq!(s.line[0], b.graph.at(s.from));
        assert_eq!(*s.line.last().unwrap(), b.graph.at(s.to));
        let length_m: f64 = s.line.windows(2).map(|w| w[0].distance(w[1])).sum();
        assert!((length_m - s.length_m).abs() < 1e-9);
    }
    for e in b.graph.graph.edge_indices() {
        let s = b.graph.segment(e);
        assert_eq!(b.graph.graph.edge_endpoints(e), Some((s.from, s.to)));
    }
}

impl Built {
    fn place(&self, at: [f64; 2]) -> Xy {
        self.sketch.in_field(self.field.origin, at)
    }

    /// The node at a place of the sketch, within 3 cm: a line of 1 km that is straight in longitude and latitude lies 2 cm
    /// beside the chord here.
    fn node(&self, at: [f64; 2]) -> NodeIndex {
        self.try_node(at).unwrap_or_else(|| panic!("no node at {at:?}"))
    }

    fn try_node(&self, at: [f64; 2]) -> Option<NodeIndex> {
        let p = self.place(at);
        self.graph
            .graph
            .node_indices()
            .find(|n| self.graph.at(*n).distance(p) < 0.03)
    }

    fn degree(&self, at: [f64; 2]) -> usize {
        self.graph.graph.edges(self.node(at)).count()
    }

    fn pieces(&self) -> usize {
        let mut left: BTreeSet<NodeIndex> = self.graph.graph.node_indices().collect();
        let mut count = 0;
        while let Some(start) = left.pop_first() {
            count += 1;
            let mut open = vec![start];
            while let Some(n) = open.pop() {
                for e in self.graph.graph.edges(n) {
                    if left.remove(&e.target()) {
                        open.push(e.target());
                    }
                }
            }
        }
        count
    }

    fn of(&self, id: &str) -> Vec<&Segment> {
        self.graph
            .graph
            .edge_weights()
            .filter(|s| match s.source {
                Source::Lane(i, _) => self.field.lanes[i].id == id,
                Source::Runway(i) => self.field.runways[i].id == id,
                Source::Stand(i) => self.field.stands[i].id == id,
            })
            .collect()
    }

    fn told(&self, kind: NoticeKind, feature: &str, words: &str) -> &Notice {
        self.notices
            .iter()
            .find(|n| n.kind == kind && n.feature == feature && n.text.contains(words))
            .unwrap_or_else(|| panic!("no {kind:?} about {feature} with \"{words}\" in {:#?}", self.notices))
    }

    fn silent(&self) {
        assert_eq!(self.notices, []);
    }

    fn off_runway(&self, i: usize, n: NodeIndex) -> f64 {
        closest_on_line(self.graph.at(n), &self.field.runways[i].line)
            .unwrap()
            .0
            .distance(self.graph.at(n))
    }
}

const EAST: &[[f64; 2]] = &[[0.0, 0.0], [100.0, 0.0]];

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

#[test]
fn closed_lanes_are_kept_with_their_reason() {
    let closed = json!({ "aeroway": "taxilane", "toeline:closed": "works" });
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .line("b", &[[100.0, 0.0], [150.0, 0.0]], closed),
    );
    assert_eq!(b.of("b")[0].closed.as_deref(), Some("works"));
    assert_eq!(
        (b.of("b")[0].source, b.of("a")[0].closed.as_deref()),
        (Source::Lane(1, LaneKind::Taxilane), None)
    );
}

fn stand(s: Sketch, id: &str, points: &[[f64; 2]]) -> Sketch {
    s.line(id, points, json!({ "aeroway": "parking_position", "ref": id }))
}

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

fn hold(s: Sketch, id: &str, at: [f64; 2], kind: &str) -> Sketch {
    s.point(
        id,
        at,
        json!({ "aeroway": "holding_position", "ref": id, "holding_position:type": kind }),
    )
}

/// A 980 m runway along the x axis, a parallel taxiway A 100 m south of it, and B between them at x = 0.
fn strip() -> Sketch {
    Sketch::default()
        .runway("r", "09/27", &[[-490.0, 0.0], [0.0, 0.0], [490.0, 0.0]])
        .taxiway("a", "A", &[[-300.0, -100.0], [0.0, -100.0], [300.0, -100.0]])
        .taxiway("b", "B", &[[0.0, -100.0], [0.0, 0.0]])
}

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

#[test]
fn every_segment_knows_its_nearest_obstacle() {
    let shed: &[[f64; 2]] = &[[10.0, 20.0], [30.0, 20.0], [30.0, 40.0], [10.0, 40.0]];
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .taxiway("b", "B", &[[100.0, 0.0], [200.0, 0.0]])
            .taxiway("c", "C", &[[200.0, 0.0], [200.0, -200.0]])
            .area("shed", &[shed], json!({ "building": "yes" }))
            .point("tree", [170.0, 12.0], json!({ "natural": "tree", "diameter_crown": 4 })),
    );
    let of = |id: &str| b.of(id)[0].nearest_obstacle_m;
    assert!((of("a").unwrap() - 20.0).abs() < 0.01);
    assert!((of("b").unwrap() - 10.0).abs() < 0.01);
    assert!((of("c").unwrap() - (900.0_f64 + 144.0).sqrt() + 2.0).abs() < 0.01);
    let lone = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .point("t", [50.0, 70.0], json!({ "natural": "tree" })),
    );
    assert_eq!(lone.of("a")[0].nearest_obstacle_m, None);
}

#[test]
fn the_same_file_gives_the_same_graph() {
    let text = hold(strip(), "B1", [3.0, -40.0], "runway").text();
    let one = || {
        let (g, n) = graph::build(&read::read(&text).unwrap().field);
        (
            format!("{:?}", g.graph.edge_weights().collect::<Vec<_>>()),
            g.holds,
            g.stands,
            n,
        )
    };
    assert_eq!(one(), one());
    let field = read::read(&text).unwrap().field;
    let (g, _) = graph::build(&field);
    assert_eq!(
        g.segment(EdgeIndex::new(0)).source,
        Source::Runway(0),
        "runways come first"
    );
}
