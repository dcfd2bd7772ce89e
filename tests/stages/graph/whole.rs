//! What every segment knows, and that the same file gives the same graph.

use super::field::*;
use petgraph::graph::EdgeIndex;
use toeline_model::airfield::LaneKind;

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
