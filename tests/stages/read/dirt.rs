//! The kinds of dirt in real fields that concern tags, by their numbers in the list of findings beside the open data: each on
//! a small field of our own, and on the real field where the data is there. The figures of the real fields were counted
//! beforehand from the same files with other means (a few lines of Python over the JSON).

use super::*;
use toeline_tests::open_data;

fn real(file: &str) -> Option<ReadField> {
    let path = open_data(&format!("airfields/{file}"))?;
    Some(read::read(&std::fs::read_to_string(path).unwrap()).unwrap_or_else(|e| panic!("{file}: {e}")))
}

const FRANKFURT: &str = "hubs/eddf-frankfurt-2023-08.geojson";
const SCHIPHOL: &str = "hubs/eham-schiphol-2023-08.geojson";
const BARCELONA: &str = "hubs/lebl-barcelona-2023-08.geojson";
const TOULOUSE: &str = "hubs/lfbo-toulouse-2021-01.geojson";
const MALTA: &str = "malta/malta-airfield.geojson";
const BANGOR: &str = "bangor/bangor-airfield.geojson";
const MAN: &str = "isle-of-man/by-airfield/egns-isle-of-man-airport.geojson";
const VELANA: &str = "maldives/by-airfield/vrmm-velana-international-airport.geojson";
const KUDDOO: &str = "maldives/by-airfield/vrmo-kuddoo.geojson";

fn count(notices: &[Notice], kind: NoticeKind, words: &str) -> usize {
    notices
        .iter()
        .filter(|n| n.kind == kind && n.text.contains(words))
        .count()
}

fn pairs(field: &Airfield) -> Vec<String> {
    let pair = |d: &[Option<String>; 2]| {
        let mut list: Vec<&str> = d.iter().flatten().map(String::as_str).collect();
        list.sort_unstable();
        list.join("/")
    };
    let mut list: Vec<String> = field.runways.iter().map(|r| pair(&r.designators)).collect();
    list.sort_unstable();
    list
}

#[test]
fn dirt_08_designators_come_in_many_shapes() {
    let line = |deg: f64| {
        let (x, y) = (deg.to_radians().sin() * 500.0, deg.to_radians().cos() * 500.0);
        [[-x, -y], [x, y]]
    };
    for (text, deg, wanted) in [
        ("09/27", 90.0, "09/27"),
        ("23/05", 50.0, "05/23"),
        ("36C/18C", 0.0, "18C/36C"),
        ("04-22", 40.0, "04/22"),
        ("18", 180.0, "18"),
        ("14H/32H", 140.0, "14H/32H"),
        ("", 70.0, ""),
        ("E/W", 90.0, "E/W"),
    ] {
        let r = good(&base().runway("R", text, &line(deg)));
        assert_eq!(pairs(&r.field), [wanted], "{text}");
        assert_eq!(
            count(&r.notices, NoticeKind::Doubt, "no pair of runway designators"),
            usize::from(text == "E/W")
        );
    }
    let r = lane(json!({ "aeroway": "taxiway", "ref": "18L/36R" }));
    assert_eq!(r.field.lanes[0].letters, ["18L/36R"]);
    told(&r.notices, NoticeKind::Doubt, "L", "reads like a runway's designators");
}

#[test]
fn dirt_08_designators_of_real_fields() {
    for (file, wanted) in [
        (FRANKFURT, &["07C/25C", "07L/25R", "07R/25L", "18"][..]),
        (SCHIPHOL, &["04/22", "06/24", "09/27", "18C/36C", "18L/36R", "18R/36L"]),
        (TOULOUSE, &["14H/32H", "14L/32R", "14R/32L"]),
        (MAN, &["03/21", "08/26"]),
        (BANGOR, &["", ""]),
        (VELANA, &["18L/36R", "E/W", "NC/SC", "NL/SR", "NR/SL"]),
    ] {
        let Some(r) = real(file) else { continue };
        assert_eq!(pairs(&r.field), wanted, "{file}");
        for runway in r
            .field
            .runways
            .iter()
            .filter(|r| r.designators.iter().flatten().any(|d| d.contains('S')))
        {
            assert_eq!(runway.surface, Surface::Water);
        }
    }
}

#[test]
fn dirt_09_areas_make_no_edges() {
    // The own fields are in `outlines.rs`; here the real ones.
    if let Some(r) = real(TOULOUSE) {
        assert_eq!(r.field.lanes.len(), 185, "way/381381626 is an outline");
        assert_eq!(r.field.runways.len(), 3, "14H/32H is there as a line and as an area");
        let outlines: Vec<&str> = r.field.outlines.iter().map(|o| o.id.as_str()).collect();
        assert!(
            outlines.contains(&"way/381381626") && outlines.contains(&"way/161682271"),
            "{outlines:?}"
        );
    }
    if let Some(r) = real(KUDDOO) {
        // The line has no width; the area is tagged 30.
        assert_eq!((r.field.runways.len(), r.field.runways[0].width_m), (1, Some(30.0)));
        told(
            &r.notices,
            NoticeKind::Repair,
            "way/865652855",
            "lends its width of 30 m",
        );
    }
    if let Some(r) = real(VELANA) {
        assert!(r.field.outlines.iter().any(|o| o.id == "way/176214523"));
        assert_eq!(r.field.lanes.len(), 37);
    }
}

#[test]
fn dirt_10_a_lane_without_ref_may_have_its_letter_as_name() {
    let named = |name: &str| {
        lane(json!({ "aeroway": "taxiway", "name": name })).field.lanes[0]
            .letters
            .clone()
    };
    assert_eq!(
        (named("A5"), named("Taxiway C")),
        (vec!["A5".to_string()], vec!["C".to_string()])
    );
    assert!(named("Quebec apron link").is_empty());
    for (file, lanes, without_ref, by_name) in
        [(SCHIPHOL, 499, 303, 125), (FRANKFURT, 512, 134, 1), (BANGOR, 25, 25, 0)]
    {
        let Some(r) = real(file) else { continue };
        let unnamed = r.field.lanes.iter().filter(|l| l.letters.is_empty()).count();
        assert_eq!(r.field.lanes.len(), lanes, "{file}");
        assert!(
            unnamed >= without_ref - by_name && unnamed <= without_ref,
            "{file}: {unnamed}"
        );
        if file == SCHIPHOL {
            assert!(unnamed < without_ref, "most of its 125 names are letters");
        }
    }
}

#[test]
fn dirt_11_refs_are_lists_and_keep_their_spelling() {
    let letters = |r: &str| {
        lane(json!({ "aeroway": "taxiway", "ref": r })).field.lanes[0]
            .letters
            .clone()
    };
    assert_eq!(letters("E6,E5"), ["E6", "E5"]);
    assert_eq!(letters(" N Orange ; n orange"), ["N Orange"]);
    assert_eq!(letters("W47Holding Bay"), ["W47Holding Bay"]);
    let Some(r) = real(BARCELONA) else { return };
    let with = |list: &[&str]| r.field.lanes.iter().filter(|l| l.letters == list).count();
    assert!(with(&["E6", "E5"]) >= 1 && with(&["T14", "N16"]) >= 1);
}

#[test]
fn dirt_13_types_of_holding_positions() {
    let kind = |t: &str| {
        let tags = json!({ "aeroway": "holding_position", "holding_position:type": t });
        let r = good(&base().point("H", [50.0, 0.0], tags));
        (r.field.holding_positions[0].kind, r.notices.len())
    };
    assert_eq!(kind("ils"), (HoldingKind::Runway, 0));
    assert_eq!(kind("ILS"), (HoldingKind::Runway, 0));
    assert_eq!(kind("LAHSO"), (HoldingKind::Unknown, 0));
    assert_eq!(kind("intermediate"), (HoldingKind::Intermediate, 0));
    assert_eq!(kind("gate"), (HoldingKind::Unknown, 1));
    for (file, runway, intermediate, unknown, facing) in [
        (FRANKFURT, 109 + 59, 165, 15, 0),
        (SCHIPHOL, 56 + 12, 6, 16 + 3, 11),
        (BARCELONA, 4, 0, 1, 0),
        (MAN, 0, 0, 27, 0),
        (VELANA, 6, 0, 0, 0),
    ] {
        let Some(r) = real(file) else { continue };
        let of = |kind| r.field.holding_positions.iter().filter(|h| h.kind == kind).count();
        assert_eq!(
            (
                of(HoldingKind::Runway),
                of(HoldingKind::Intermediate),
                of(HoldingKind::Unknown)
            ),
            (runway, intermediate, unknown),
            "{file}"
        );
        assert_eq!(
            r.field.holding_positions.iter().filter(|h| h.facing.is_some()).count(),
            facing,
            "{file}"
        );
    }
}

#[test]
fn dirt_14_names_of_stands_that_several_bear_are_told() {
    let stand = json!({ "aeroway": "parking_position", "ref": "V 117" });
    let r = good(
        &base()
            .point("a", [20.0, 20.0], stand.clone())
            .point("b", [60.0, 20.0], stand),
    );
    told(
        &r.notices,
        NoticeKind::Doubt,
        "a",
        "2 stands are called \"V 117\" (a, b)",
    );
    // Barcelona 69, Frankfurt 39 by `ref`, and one more there by `name`.
    for (file, shared) in [
        (BARCELONA, 69),
        (FRANKFURT, 40),
        (MALTA, 14),
        (TOULOUSE, 4),
        (VELANA, 0),
    ] {
        let Some(r) = real(file) else { continue };
        assert_eq!(
            count(&r.notices, NoticeKind::Doubt, "stands are called"),
            shared,
            "{file}"
        );
    }
}

#[test]
fn dirt_15_spans_widths_and_surfaces() {
    let r = lane(json!({ "aeroway": "taxiway", "maxspan": "36,0", "width": "Narrow", "surface": "concrete:plates" }));
    let l = &r.field.lanes[0];
    assert_eq!(
        (l.span_limit_m, l.width_m, l.surface),
        (Some(36.0), None, Surface::Paved)
    );
    told(&r.notices, NoticeKind::Doubt, "L", "width=\"Narrow\" is not a length");
    if let Some(r) = real(FRANKFURT) {
        let spans: Vec<f64> = r
            .field
            .stands
            .iter()
            .filter_map(|s| s.span_limit_m)
            .chain(r.field.lanes.iter().filter_map(|l| l.span_limit_m))
            .collect();
        assert_eq!(spans.len(), 22 + 7, "36.0 and 36,0");
        assert!(spans.iter().all(|s| *s == 36.0));
        assert_eq!(
            count(&r.notices, NoticeKind::Doubt, "maxspan=\"650\" is outside 2 to 120 m"),
            9
        );
        assert_eq!(r.field.lanes.iter().filter(|l| l.width_m.is_some()).count(), 16);
    }
    if let Some(r) = real(SCHIPHOL) {
        assert!(r.field.lanes.iter().filter(|l| l.surface != Surface::Unknown).count() >= 463);
    }
}

#[test]
fn dirt_16_one_way() {
    for (value, way) in [
        ("yes", Way::Forward),
        ("-1", Way::Backward),
        ("no", Way::Both),
        ("reversible", Way::Both),
    ] {
        let r = lane(json!({ "aeroway": "taxiway", "oneway": value }));
        assert_eq!(
            (r.field.lanes[0].way, r.notices.len()),
            (way, usize::from(value == "reversible"))
        );
    }
    for (file, forward) in [(FRANKFURT, 65), (BARCELONA, 16), (SCHIPHOL, 14), (TOULOUSE, 0)] {
        let Some(r) = real(file) else { continue };
        assert_eq!(
            r.field.lanes.iter().filter(|l| l.way == Way::Forward).count(),
            forward,
            "{file}"
        );
    }
}

#[test]
fn dirt_17_what_is_closed_or_planned_is_not_used() {
    // Every marker, in every place it may stand.
    for (word, _) in read::MARKERS {
        let mut places = vec![
            json!({ "aeroway": "taxiway", format!("{word}:aeroway"): "taxiway" }),
            json!({ "aeroway": "taxiway", "operational_status": word }),
            json!({ "aeroway": "taxiway", "taxiway": word }),
        ];
        if !["was", "historic"].contains(&word) {
            places.push(json!({ "aeroway": "taxiway", word: "yes" }));
        }
        for tags in places {
            let s = base().line("X", &[[0.0, 0.0], [0.0, 50.0]], tags.clone());
            assert!(field(&s).lanes[1].closed.is_some(), "{tags}");
        }
        for tags in [
            json!({ format!("{word}:aeroway"): "taxiway" }),
            json!({ "aeroway": word, word: "taxiway" }),
        ] {
            let r = good(&base().line("X", &[[0.0, 0.0], [0.0, 50.0]], tags.clone()));
            assert_eq!(r.field.lanes.len(), 1, "{tags}");
            told(
                &r.notices,
                NoticeKind::LeftOut,
                "X",
                &format!("a taxiway marked {word}"),
            );
        }
    }
    if let Some(r) = real(FRANKFURT) {
        assert_eq!(r.field.lanes.iter().filter(|l| l.closed.is_some()).count(), 8);
        assert_eq!(r.field.stands.iter().filter(|s| s.closed.is_some()).count(), 1);
    }
    if let Some(r) = real(TOULOUSE) {
        assert_eq!(
            r.field
                .lanes
                .iter()
                .filter(|l| l.closed.as_deref() == Some("disused"))
                .count(),
            2
        );
    }
}

#[test]
fn dirt_20_polygons_of_every_make() {
    // Clockwise and anticlockwise, with a courtyard, in several parts, and one whose parts touch.
    let ring = [[0.0, 30.0], [30.0, 30.0], [30.0, 60.0], [0.0, 60.0]];
    let turned: Vec<[f64; 2]> = ring.iter().rev().copied().collect();
    let yard = [[10.0, 40.0], [20.0, 40.0], [20.0, 50.0], [10.0, 50.0]];
    let beside = [[30.0, 30.0], [60.0, 30.0], [60.0, 60.0], [30.0, 60.0]];
    let r = good(
        &base()
            .area("a", &[&ring, &yard], json!({ "building": "yes" }))
            .area("b", &[&turned], json!({ "building": "yes" }))
            .areas("c", &[&[&ring], &[&beside]], json!({ "building": "yes" }))
            .line("open", &ring, json!({ "aeroway": "apron" }))
            .point("node", [0.0, 0.0], json!({ "aeroway": "apron" })),
    );
    assert_eq!(r.field.obstacles.len(), 4);
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "open",
        "an apron must be drawn as an area",
    );
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "node",
        "an apron must be drawn as an area",
    );
    if let Some(r) = real(BARCELONA) {
        assert_eq!(r.field.aprons.len(), 69, "one of its 70 is an open line");
        told(
            &r.notices,
            NoticeKind::LeftOut,
            "way/399046261",
            "an apron must be drawn as an area",
        );
        assert!(
            r.field.obstacles.iter().any(|o| o.id.starts_with("relation/8472002")),
            "parts touch"
        );
    }
    if let Some(r) = real(MAN) {
        assert_eq!(
            (
                r.field.aprons.len(),
                count(&r.notices, NoticeKind::LeftOut, "an apron must be")
            ),
            (11, 2)
        );
    }
}

#[test]
fn dirt_21_other_values_are_passed_over_quietly() {
    let mut s = base();
    for (i, value) in [
        "navigationaid",
        "tower",
        "control_tower",
        "control_center",
        "threshold",
        "jet_bridge",
        "landing_light",
        "fuel",
        "heliport",
        "gate",
        "holding_position_line",
    ]
    .iter()
    .enumerate()
    {
        s = s.point(value, [10.0 * i as f64, 30.0], json!({ "aeroway": value }));
    }
    let r = good(&s);
    assert_eq!(
        (r.notices.len(), r.field.obstacles.len(), r.field.helipads.len()),
        (0, 0, 0)
    );
    if let Some(r) = real(FRANKFURT) {
        // 3968 navigation aids and 128 gates, without a word.
        assert!(r.notices.len() < 120, "{}", r.notices.len());
        assert_eq!(r.field.helipads.len(), 2);
        assert_eq!(
            r.field
                .obstacles
                .iter()
                .filter(|o| o.kind == ObstacleKind::Windsock)
                .count(),
            9
        );
    }
    if let Some(r) = real(MALTA) {
        assert_eq!(r.field.helipads.len(), 4);
    }
}

#[test]
fn dirt_22_names_codes_and_missing_aerodromes() {
    let name = "ވެލާނާ";
    let local = json!({ "aeroway": "aerodrome", "name": name, "name:en": "Elsewhere", "icao": "ZZZZ" });
    assert_eq!(
        field(&base().point("ad", [0.0, 0.0], local)).name.as_deref(),
        Some(name)
    );
    let two = base()
        .point("land", [10.0, 10.0], json!({ "aeroway": "aerodrome", "icao": "ZZZZ" }))
        .point(
            "water",
            [4000.0, 0.0],
            json!({ "aeroway": "aerodrome", "icao": "ZZZZ", "name": "Lagoon" }),
        );
    let r = good(&two);
    assert_eq!(r.field.name.as_deref(), Some("ZZZZ"));
    told(&r.notices, NoticeKind::LeftOut, "water", "another aerodrome");
    assert_eq!(field(&base()).name, None);
    if let Some(r) = real(VELANA) {
        assert!(r.field.name.is_some());
        assert_eq!(count(&r.notices, NoticeKind::LeftOut, "another aerodrome"), 1);
    }
    if let Some(r) = real("isle-of-man/by-airfield/jurby.geojson") {
        assert_eq!(r.field.name, None);
    }
}
