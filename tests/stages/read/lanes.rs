//! Taxiways and taxilanes: letters, markers, ways, levels, surfaces.

use super::*;

#[test]
fn letters_come_from_ref_then_from_a_short_name() {
    let letters = |tags: Value| {
        let mut all = json!({ "aeroway": "taxiway" });
        all.as_object_mut().unwrap().extend(tags.as_object().unwrap().clone());
        lane(all).field.lanes[0].letters.clone()
    };
    assert_eq!(letters(json!({ "ref": "E6, E5;e6 " })), ["E6", "E5"]);
    assert_eq!(letters(json!({ "ref": "N Orange", "name": "B" })), ["N Orange"]);
    assert_eq!(letters(json!({ "name": "A20" })), ["A20"]);
    assert_eq!(letters(json!({ "name": "Taxiway B" })), ["B"]);
    assert_eq!(letters(json!({ "name": "Taxiway Foxtrot" })), [""; 0]);
    assert_eq!(letters(json!({ "name": "Northern perimeter way" })), [""; 0]);
    assert_eq!(letters(json!({})), [""; 0]);
}

#[test]
fn lanes_marked_out_of_use_are_kept_closed_with_the_reason() {
    for (tags, reason) in [
        (json!({ "toeline:closed": "resurfacing" }), "resurfacing"),
        (json!({ "toeline:closed": true }), "closed"),
        (json!({ "disused": "yes" }), "disused"),
        (json!({ "disused:aeroway": "taxiway" }), "disused"),
        (json!({ "abandoned": "yes" }), "abandoned"),
        (json!({ "construction": "yes" }), "under construction"),
        (json!({ "proposed:aeroway": "taxiway" }), "proposed"),
        (json!({ "razed": "yes" }), "razed"),
        (json!({ "demolished": "yes" }), "demolished"),
        (json!({ "closed": "yes" }), "closed"),
    ] {
        let mut all = json!({ "aeroway": "taxiway" });
        all.as_object_mut().unwrap().extend(tags.as_object().unwrap().clone());
        let s = base().line("C", &[[0.0, 0.0], [0.0, 50.0]], all);
        assert_eq!(field(&s).lanes[1].closed.as_deref(), Some(reason), "{tags}");
    }
    let open = lane(json!({ "aeroway": "taxiway", "disused": "no", "toeline:closed": "no" }));
    assert_eq!(open.field.lanes[0].closed, None);
}

#[test]
fn pure_lifecycle_features_are_left_out_with_a_notice() {
    let r = good(
        &base()
            .line(
                "a",
                &[[0.0, 0.0], [0.0, 9.0]],
                json!({ "abandoned:aeroway": "taxiway" }),
            )
            .line(
                "b",
                &[[0.0, 0.0], [0.0, 9.0]],
                json!({ "aeroway": "construction", "construction": "runway" }),
            ),
    );
    assert_eq!((r.field.lanes.len(), r.field.runways.len()), (1, 0));
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "a",
        "a taxiway marked abandoned; left out",
    );
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "b",
        "a runway marked construction; left out",
    );
}

#[test]
fn ways_levels_surfaces_and_kinds_are_read() {
    for (value, way) in [
        ("yes", Way::Forward),
        ("-1", Way::Backward),
        ("no", Way::Both),
        ("reversible", Way::Both),
    ] {
        let r = lane(json!({ "aeroway": "taxiway", "oneway": value }));
        assert_eq!(r.field.lanes[0].way, way);
        assert_eq!(r.notices.len(), usize::from(value == "reversible"));
    }
    let level = |tags: Value| {
        let mut all = json!({ "aeroway": "taxiway" });
        all.as_object_mut().unwrap().extend(tags.as_object().unwrap().clone());
        lane(all).field.lanes[0].level
    };
    assert_eq!(level(json!({})), 0);
    assert_eq!(level(json!({ "bridge": "yes" })), 1);
    assert_eq!(level(json!({ "tunnel": "yes" })), -1);
    assert_eq!(level(json!({ "layer": "2", "bridge": "yes" })), 2);
    for (value, surface) in [
        ("asphalt", Surface::Paved),
        ("concrete:plates", Surface::Paved),
        ("grass", Surface::Grass),
        ("gravel", Surface::Loose),
        ("ice", Surface::Ice),
        ("water", Surface::Water),
        ("cheese", Surface::Unknown),
    ] {
        let r = lane(json!({ "aeroway": "taxilane", "surface": value }));
        assert_eq!(
            (r.field.lanes[0].surface, r.field.lanes[0].kind),
            (surface, LaneKind::Taxilane)
        );
        assert_eq!(r.notices.len(), usize::from(value == "cheese"));
    }
}

#[test]
fn several_lines_in_one_feature_are_several_lanes() {
    let s = Sketch::default().lines(
        "M",
        &[&[[0.0, 0.0], [9.0, 0.0]], &[[20.0, 0.0], [29.0, 0.0]]],
        json!({ "aeroway": "taxiway" }),
    );
    assert_eq!(
        field(&s).lanes.iter().map(|l| l.id.as_str()).collect::<Vec<_>>(),
        ["M", "M (part 2)"]
    );
}
