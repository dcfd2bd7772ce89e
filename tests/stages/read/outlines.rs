//! Areas of runways and taxiways, helipads, parked aeroplanes, slopes, facing.

use super::*;
use toeline_model::airfield::Facing;
use toeline_model::planar::inside_ring;

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Vec<[f64; 2]> {
    vec![[x0, y0], [x1, y0], [x1, y1], [x0, y1]]
}

#[test]
fn a_runway_drawn_as_an_area_only_runs_along_its_long_axis() {
    // Turned by 30 degrees, with a bevelled corner.
    let (c, s) = (30.0_f64.to_radians().cos(), 30.0_f64.to_radians().sin());
    let ring: Vec<[f64; 2]> = [
        [-300.0, -9.0],
        [300.0, -9.0],
        [300.0, 9.0],
        [-296.0, 9.0],
        [-300.0, 5.0],
    ]
    .map(|[x, y]: [f64; 2]| [x * c - y * s, x * s + y * c])
    .to_vec();
    let sketch = base().area(
        "R",
        &[&ring],
        json!({ "aeroway": "runway", "ref": "24/06", "surface": "grass" }),
    );
    let r = good(&sketch);
    let runway = &r.field.runways[0];
    near(line_length(&runway.line), 600.0, 0.02);
    assert_eq!((runway.width_m, runway.surface), (Some(18.0), Surface::Grass));
    for (end, at) in runway.line.iter().zip([[-300.0, 0.0], [300.0, 0.0]]) {
        let wanted = sketch.in_field(r.field.origin, [at[0] * c, at[0] * s]);
        let other = sketch.in_field(r.field.origin, [-at[0] * c, -at[0] * s]);
        assert!(end.distance(wanted).min(end.distance(other)) < 0.02);
    }
    let names: Vec<&str> = runway.designators.iter().flatten().map(String::as_str).collect();
    let along = *runway.line.last().unwrap() - runway.line[0];
    assert_eq!(names, if along.x > 0.0 { ["06", "24"] } else { ["24", "06"] });
    told(&r.notices, NoticeKind::Repair, "R", "600 m long and 18 m wide");
    assert!(r.notices.iter().any(|n| n.size_m == Some(18.0) && n.assumed.is_some()));
    let square = rectangle(0.0, 50.0, 100.0, 150.0);
    let r = good(&base().area("Q", &[&square], json!({ "aeroway": "runway" })));
    assert_eq!((r.field.runways.len(), r.field.outlines.len()), (0, 1));
    told(&r.notices, NoticeKind::Doubt, "Q", "no direction to roll in");
}

#[test]
fn an_outline_lends_its_width_to_the_line_in_it_and_makes_no_edge() {
    let ring = rectangle(-405.0, 41.0, 405.0, 60.0);
    let taxi = rectangle(-2.0, -5.0, 102.0, 4.0);
    let r = good(
        &base()
            .line(
                "R",
                &[[-400.0, 50.0], [400.0, 50.0]],
                json!({ "aeroway": "runway", "ref": "09/27" }),
            )
            .area("Ra", &[&ring], json!({ "aeroway": "runway", "surface": "asphalt" }))
            .area("Ta", &[&taxi], json!({ "aeroway": "taxiway", "surface": "concrete" })),
    );
    assert_eq!(
        (r.field.runways.len(), r.field.lanes.len(), r.field.outlines.len()),
        (1, 1, 2)
    );
    // Twice the lesser side: 9 m south of the runway's line and 4 m north of the taxiway's.
    let (runway, lane) = (&r.field.runways[0], &r.field.lanes[0]);
    near(runway.width_m.unwrap(), 18.0, 0.02);
    near(lane.width_m.unwrap(), 8.0, 0.02);
    assert_eq!((runway.surface, lane.surface), (Surface::Paved, Surface::Paved));
    told(&r.notices, NoticeKind::Repair, "Ta", "to T, which has none");
    // A width that is tagged stays.
    let tagged = good(
        &Sketch::default()
            .line(
                "T",
                &[[0.0, 0.0], [100.0, 0.0]],
                json!({ "aeroway": "taxiway", "width": 6 }),
            )
            .area("Ta", &[&taxi], json!({ "aeroway": "taxiway" })),
    );
    assert_eq!((tagged.field.lanes[0].width_m, tagged.notices.len()), (Some(6.0), 0));
    // An outline that a line only crosses lends it nothing.
    let across = rectangle(40.0, -50.0, 52.0, 50.0);
    let crossed = good(&base().area("X", &[&across], json!({ "aeroway": "taxiway" })));
    assert_eq!(crossed.field.lanes[0].width_m, None);
}

#[test]
fn holes_of_aprons_are_kept() {
    let (outer, hole) = (rectangle(0.0, 10.0, 60.0, 60.0), rectangle(20.0, 20.0, 30.0, 30.0));
    let s = base().area("P", &[&outer, &hole], json!({ "aeroway": "apron" }));
    let f = field(&s);
    let (in_hole, on_apron) = (s.in_field(f.origin, [25.0, 25.0]), s.in_field(f.origin, [40.0, 40.0]));
    assert!(!f.aprons[0].holds(in_hole) && f.aprons[0].holds(on_apron));
    assert!(inside_ring(in_hole, &f.aprons[0].outer));
}

#[test]
fn helipads_are_areas_or_circles_and_parked_aeroplanes_may_be_points() {
    let s = base()
        .point("H1", [50.0, 30.0], json!({ "aeroway": "helipad", "ref": "H1" }))
        .point("H2", [90.0, 30.0], json!({ "aeroway": "helipad", "width": "9 m" }))
        .area(
            "H3",
            &[&rectangle(0.0, 30.0, 12.0, 42.0)],
            json!({ "aeroway": "helipad" }),
        )
        .point("H4", [0.0, 60.0], json!({ "aeroway": "helipad", "disused": "yes" }))
        .point(
            "P1",
            [0.0, 90.0],
            json!({ "toeline:obstacle": "parked_aeroplane", "toeline:wingspan_m": 10, "toeline:length_m": 11 }),
        )
        .point("P2", [30.0, 90.0], json!({ "toeline:obstacle": "parked_aeroplane" }));
    let r = good(&s);
    let ids: Vec<&str> = r.field.helipads.iter().map(|h| h.id.as_str()).collect();
    assert_eq!(ids, ["H1", "H2", "H3"]);
    told(&r.notices, NoticeKind::LeftOut, "H4", "a helipad marked disused");
    // The ring holds the circle, and no more than 1 % of its radius beyond it.
    let middle = s.in_field(r.field.origin, [90.0, 30.0]);
    for p in &r.field.helipads[1].outer {
        let d = p.distance(middle);
        assert!((4.5..4.55).contains(&d), "{d}");
    }
    near(signed_area(&r.field.helipads[2].outer).abs(), 144.0, 0.05);
    let radius = |i: usize| match r.field.obstacles[i].shape {
        Shape::Disc { radius_m, .. } => (radius_m, r.field.obstacles[i].radius_assumed),
        _ => panic!(),
    };
    assert_eq!(radius(0), (5.5, false));
    assert_eq!(radius(1), (read::PARKED_SPAN_M / 2.0, true));
}

#[test]
fn slopes_and_facing_are_read() {
    for (text, slope) in [
        (json!("1.5%"), Some(1.5)),
        (json!("-2 %"), Some(-2.0)),
        (json!(0.8), Some(0.8)),
        (json!("up"), None),
    ] {
        let r = lane(json!({ "aeroway": "taxiway", "incline": text }));
        assert_eq!(r.field.lanes[0].slope_percent, slope);
        assert_eq!(r.notices.len(), usize::from(slope.is_none()));
    }
    let facing = |value: &str| {
        let tags = json!({ "aeroway": "holding_position", "direction": value });
        field(&base().point("H", [50.0, 0.0], tags)).holding_positions[0].facing
    };
    assert_eq!(
        (facing("forward"), facing("Backward")),
        (Some(Facing::Forward), Some(Facing::Backward))
    );
    assert!(matches!(facing("NE"), Some(Facing::Toward(b)) if b.deg() == 45.0));
    assert_eq!((facing("both"), facing("that way")), (None, None));
}

#[test]
fn buildings_out_of_use_stand_and_those_that_are_gone_do_not() {
    let ring = rectangle(0.0, 30.0, 30.0, 60.0);
    let kinds = |tags: Value| {
        let r = good(&base().area("B", &[&ring], tags));
        r.field.obstacles.iter().map(|o| o.kind).collect::<Vec<_>>()
    };
    for tags in [
        json!({ "aeroway": "hangar", "disused": "yes" }),
        json!({ "disused:aeroway": "hangar" }),
        json!({ "building": "hangar", "abandoned": "yes" }),
    ] {
        assert_eq!(kinds(tags.clone()), [ObstacleKind::Hangar], "{tags}");
    }
    assert_eq!(kinds(json!({ "disused:building": "yes" })), [ObstacleKind::Building]);
    assert_eq!(
        kinds(json!({ "building": "yes", "was:aeroway": "hangar" })),
        [ObstacleKind::Building]
    );
    for tags in [
        json!({ "building": "yes", "demolished": "yes" }),
        json!({ "aeroway": "terminal", "removed": "yes" }),
        json!({ "building": "yes", "proposed": "yes" }),
        json!({ "building": "yes", "location": "underground" }),
    ] {
        assert_eq!(kinds(tags.clone()), [], "{tags}");
    }
}
