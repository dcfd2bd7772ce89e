//! Everything that stands on a field.

use super::*;

#[test]
fn obstacles_of_every_kind_are_read() {
    let ring: &[[f64; 2]] = &[[0.0, 30.0], [30.0, 30.0], [30.0, 60.0], [0.0, 60.0]];
    let hole: &[[f64; 2]] = &[[10.0, 40.0], [20.0, 40.0], [20.0, 50.0], [10.0, 50.0]];
    let closed: Vec<[f64; 2]> = ring.iter().chain(&ring[..1]).copied().collect();
    let r = good(
        &base()
            .areas(
                "b",
                &[&[ring, hole], &[hole]],
                json!({ "building": "yes", "height": "12 m", "min_height": 3, "name": "Shed" }),
            )
            .area("h", &[ring], json!({ "aeroway": "hangar" }))
            .area(
                "t",
                &[ring],
                json!({ "building": "terminal", "height": 5, "min_height": 9 }),
            )
            .line(
                "f",
                &[[0.0, 70.0], [90.0, 70.0]],
                json!({ "barrier": "fence", "height": "2.4" }),
            )
            .line("round", &closed, json!({ "barrier": "wall" }))
            .area("ring", &[ring], json!({ "barrier": "fence" }))
            .area("hedge", &[ring], json!({ "barrier": "hedge" }))
            .point(
                "tree",
                [50.0, 50.0],
                json!({ "natural": "tree", "diameter_crown": "8" }),
            )
            .point("tree2", [60.0, 50.0], json!({ "natural": "tree" }))
            .line("row", &[[0.0, 80.0], [9.0, 80.0]], json!({ "natural": "tree_row" }))
            .point("pole", [0.0, 90.0], json!({ "power": "pole" }))
            .point("lamp", [0.0, 91.0], json!({ "highway": "street_lamp", "height": 6 }))
            .point("mast", [0.0, 92.0], json!({ "man_made": "mast" }))
            .point("sock", [0.0, 93.0], json!({ "aeroway": "windsock" }))
            .area(
                "parked",
                &[ring],
                json!({ "toeline:obstacle": "parked_aeroplane", "height": 2.5 }),
            )
            .point("kiosk", [0.0, 94.0], json!({ "building": "kiosk" }))
            .area("gone", &[ring], json!({ "building": "yes", "razed": "yes" })),
    );
    use ObstacleKind as K;
    let kinds: Vec<(&str, K)> = r.field.obstacles.iter().map(|o| (o.id.as_str(), o.kind)).collect();
    assert_eq!(
        kinds,
        [
            ("b", K::Building),
            ("b (part 2)", K::Building),
            ("h", K::Hangar),
            ("t", K::Terminal),
            ("f", K::Fence),
            ("round", K::Wall),
            ("ring", K::Fence),
            ("hedge", K::Hedge),
            ("tree", K::Tree),
            ("tree2", K::Tree),
            ("row", K::TreeRow),
            ("pole", K::Pole),
            ("lamp", K::Pole),
            ("mast", K::Mast),
            ("sock", K::Windsock),
            ("parked", K::ParkedAeroplane),
        ]
    );
    let o = |id: &str| r.field.obstacles.iter().find(|o| o.id == id).unwrap();
    assert_eq!(
        (o("b").top_m, o("b").bottom_m, o("b").name.as_deref()),
        (Some(12.0), 3.0, Some("Shed"))
    );
    let Shape::Area { outer, holes } = &o("b").shape else {
        panic!()
    };
    assert_eq!((outer.len(), holes.len()), (4, 1));
    assert_eq!(o("t").bottom_m, 0.0);
    told(
        &r.notices,
        NoticeKind::Doubt,
        "t",
        "min_height 9 m is not below height 5 m",
    );
    assert!(matches!(&o("round").shape, Shape::Line { points } if points.first() == points.last()));
    assert!(matches!(&o("ring").shape, Shape::Line { points } if points.len() == 5 && points.first() == points.last()));
    assert!(matches!(o("hedge").shape, Shape::Area { .. }));
    let radius = |id: &str| match o(id).shape {
        Shape::Disc { radius_m, .. } => (radius_m, o(id).radius_assumed),
        _ => panic!("{id}"),
    };
    assert_eq!(radius("tree"), (4.0, false));
    assert_eq!(radius("tree2"), (read::CROWN_DIAMETER_M / 2.0, true));
    assert_eq!(radius("pole"), (read::POLE_RADIUS_M, true));
    assert_eq!(radius("mast"), (read::MAST_RADIUS_M, true));
    assert_eq!(radius("sock"), (read::WINDSOCK_RADIUS_M, true));
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "kiosk",
        "a building cannot be drawn as a point",
    );
    told(&r.notices, NoticeKind::LeftOut, "gone", "a building marked razed");
}
