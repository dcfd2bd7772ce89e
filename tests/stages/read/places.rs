//! Stands, holding positions, areas and the aerodrome.

use super::*;

#[test]
fn stands_and_holding_positions_are_read_with_their_tags() {
    let s = base()
        .point(
            "s",
            [5.0, 20.0],
            json!({ "aeroway": "parking_position", "ref": "4", "direction": "270", "maxspan": "36,0",
            "toeline:nose": "out", "width": "12 m" }),
        )
        .line(
            "l",
            &[[8.0, 0.0], [8.0, 20.0]],
            json!({ "aeroway": "parking_position", "direction": "NW", "toeline:nose": "sideways" }),
        )
        .area(
            "a",
            &[&[[40.0, 10.0], [50.0, 10.0], [50.0, 20.0], [40.0, 20.0]]],
            json!({ "aeroway": "parking_position" }),
        )
        .point(
            "h",
            [30.0, 0.0],
            json!({ "aeroway": "holding_position", "ref": "A1", "holding_position:type": "ILS" }),
        )
        .point(
            "i",
            [40.0, 0.0],
            json!({ "aeroway": "holding_position", "holding_position:type": "intermediate" }),
        )
        .line(
            "bar",
            &[[50.0, -4.0], [50.0, 4.0]],
            json!({ "aeroway": "holding_position", "holding_position:type": "moat" }),
        );
    let r = good(&s);
    let stand = &r.field.stands[0];
    assert_eq!(
        (stand.name.as_deref(), stand.span_limit_m, stand.width_m, stand.nose),
        (Some("4"), Some(36.0), Some(12.0), Some(Nose::Out))
    );
    assert_eq!(stand.heading.map(|h| h.deg()), Some(270.0));
    assert_eq!(r.field.stands[1].heading.map(|h| h.deg()), Some(315.0));
    told(&r.notices, NoticeKind::Doubt, "l", "toeline:nose=\"sideways\"");
    assert_eq!(r.field.stands[2].line.len(), 1);
    near(
        r.field.stands[2].line[0].distance(s.in_field(r.field.origin, [45.0, 15.0])),
        0.0,
        1e-3,
    );
    told(&r.notices, NoticeKind::Doubt, "a", "drawn as an area");
    let kinds: Vec<HoldingKind> = r.field.holding_positions.iter().map(|h| h.kind).collect();
    assert_eq!(
        kinds,
        [HoldingKind::Runway, HoldingKind::Intermediate, HoldingKind::Unknown]
    );
    near(
        r.field.holding_positions[2]
            .at
            .distance(s.in_field(r.field.origin, [50.0, 0.0])),
        0.0,
        1e-3,
    );
    told(&r.notices, NoticeKind::Doubt, "bar", "\"moat\"");
}

#[test]
fn areas_are_read_and_other_shapes_of_them_left_out() {
    let ring: &[[f64; 2]] = &[[0.0, 0.0], [30.0, 0.0], [30.0, 20.0], [0.0, 20.0]];
    let r = good(
        &base()
            .area(
                "p",
                &[ring],
                json!({ "aeroway": "apron", "name": "Main", "surface": "grass" }),
            )
            .area("e", &[ring], json!({ "toeline:area": "engine_check", "ref": "E" }))
            .area(
                "h",
                &[ring],
                json!({ "toeline:area": "hot_spot", "ref": "HS1", "description": "look both ways" }),
            )
            .area("u", &[ring], json!({ "toeline:area": "picnic" }))
            .point("n", [0.0, 0.0], json!({ "aeroway": "apron" })),
    );
    assert_eq!(r.field.aprons[0].surface, Surface::Grass);
    near(signed_area(&r.field.aprons[0].outer).abs(), 600.0, 0.01);
    assert_eq!(r.field.check_areas[0].name.as_deref(), Some("E"));
    assert_eq!(r.field.hot_spots[0].note.as_deref(), Some("look both ways"));
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "u",
        "toeline:area=\"picnic\" is not known",
    );
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "n",
        "an apron must be drawn as an area",
    );
}

#[test]
fn the_aerodrome_gives_name_elevation_accuracy_and_declination() {
    let tags = json!({ "aeroway": "aerodrome", "name": "Nowhere", "ele": "180 ft", "toeline:accuracy_m": 0.5,
        "toeline:invented": "yes", "toeline:declination_deg": -4.5 });
    let f = field(&base().point("ad", [0.0, 0.0], tags));
    assert_eq!(
        (f.name.as_deref(), f.accuracy_m, f.accuracy_stated, f.invented),
        (Some("Nowhere"), 0.5, true, true)
    );
    near(f.elevation_m.unwrap(), 54.864, 1e-9);
    assert_eq!(f.declination_deg, Some(-4.5));
    let plain = field(&base());
    assert_eq!(
        (plain.accuracy_m, plain.accuracy_stated, plain.invented),
        (read::DEFAULT_ACCURACY_M, false, false)
    );
}

#[test]
fn of_two_aerodromes_the_one_around_the_taxiways_counts() {
    let r = good(
        &base()
            .point(
                "heliport",
                [300.0, 0.0],
                json!({ "aeroway": "aerodrome", "name": "Wrong" }),
            )
            .area(
                "ad",
                &[&[[-500.0, -500.0], [500.0, -500.0], [500.0, 500.0], [-500.0, 500.0]]],
                json!({ "aeroway": "aerodrome", "name": "Right" }),
            ),
    );
    assert_eq!(r.field.name.as_deref(), Some("Right"));
    told(&r.notices, NoticeKind::LeftOut, "heliport", "another aerodrome");
}
