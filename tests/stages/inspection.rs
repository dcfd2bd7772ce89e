//! Inspection: every doubt of its own on one small field each, and what must not be doubted; the same numbers in all forms;
//! an author's loop from a dirty field to a clean one; real fields against what was counted in them by other means.

use serde_json::{Value, json};
use std::collections::BTreeSet;
use toeline_engine::inspection::{self, Finding, Inspection, Topic};
use toeline_engine::notice::NoticeKind;
use toeline_tests::sketch::Sketch;

fn inspect(sketch: Sketch) -> Inspection {
    inspection::inspect(&sketch.text()).unwrap_or_else(|e| panic!("{e}"))
}

fn of(i: &Inspection, topic: Topic) -> Vec<&Finding> {
    i.findings.iter().filter(|f| f.topic == topic).collect()
}

/// The only finding of a topic.
fn the(i: &Inspection, topic: Topic) -> &Finding {
    let list = of(i, topic);
    assert_eq!(list.len(), 1, "{topic:?}: {}", inspection::text(i));
    list[0]
}

fn hold(runway: &str) -> Value {
    json!({ "aeroway": "holding_position", "ref": runway, "holding_position:type": "runway" })
}

/// A runway with taxiway A, a stand and a holding position: nothing to doubt.
fn clean() -> Sketch {
    Sketch::default()
        .runway("rwy", "09/27", &[[-450.0, 0.0], [0.0, 0.0], [450.0, 0.0]])
        .taxiway("a", "A", &[[0.0, 0.0], [0.0, -60.0], [0.0, -150.0]])
        .point("a1", [0.0, -60.0], hold("A1"))
        .point(
            "s1",
            [20.0, -150.0],
            json!({ "aeroway": "parking_position", "ref": "1" }),
        )
}

#[test]
fn a_clean_field_has_no_doubt() {
    let i = inspect(clean());
    assert_eq!(i.findings, Vec::new(), "{}", inspection::text(&i));
    assert_eq!(i.parts.len(), 1);
    assert!(!i.is_doubtful(false) && !i.is_doubtful(true));
    assert!(inspection::text(&i).contains("Nothing doubtful"));
}

#[test]
fn a_part_that_is_not_joined_is_told_with_its_gap() {
    // Taxiway B ends 7 m short of taxiway A: too far to be a near miss.
    let i = inspect(clean().taxiway("b", "B", &[[7.0, -100.0], [200.0, -100.0]]).point(
        "s2",
        [200.0, -120.0],
        json!({ "aeroway": "parking_position", "ref": "2" }),
    ));
    let f = the(&i, Topic::Parts);
    assert!((f.size_m.unwrap() - 7.0).abs() < 0.01, "{:?}", f.size_m);
    for said in [
        "part 2 of 2",
        "1 stand, 1 lane",
        "7.00 m away",
        "taxiway B (b)",
        "taxiway A (a)",
    ] {
        assert!(f.text.contains(said), "{said} is not in: {}", f.text);
    }
    let gap = i.parts[1].gap.as_ref().unwrap();
    assert_eq!(gap.to_part, 1);
    assert!((gap.at_xy_m[0].distance(gap.at_xy_m[1]) - gap.distance_m).abs() < 1e-9);
    let f = the(&i, Topic::NoWay);
    assert!(f.text.contains("1 stand") && f.text.contains("stand 2"), "{}", f.text);
    assert_eq!(f.feature, "s2");
}

#[test]
fn a_part_behind_something_closed_says_so() {
    let closed = json!({ "aeroway": "taxiway", "ref": "B", "toeline:closed": "works" });
    let i = inspect(clean().line("b", &[[0.0, -100.0], [50.0, -100.0]], closed).taxiway(
        "c",
        "C",
        &[[50.0, -100.0], [150.0, -100.0]],
    ));
    let f = the(&i, Topic::Parts);
    assert!(f.text.contains("only something closed lies between"), "{}", f.text);
    let f = the(&i, Topic::Closed);
    assert_eq!((f.kind, f.feature.as_str()), (NoticeKind::LeftOut, "b"));
    assert!(f.text.contains("works"), "{}", f.text);
}

#[test]
fn the_gap_between_parts_is_the_least_of_all_pairs() {
    // Forty little lanes at places of a fixed sequence; the answer by looking at every pair of pieces.
    let mut seed = 12345_u64;
    let mut next = || {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((seed >> 33) % 3000) as f64 - 1500.0
    };
    let mut sketch = clean();
    for k in 0..40 {
        let (x, y) = (next(), next());
        let points = [
            [x, y],
            [x + next() / 20.0, y + next() / 20.0],
            [x + next() / 10.0, y + 40.0],
        ];
        sketch = sketch.taxiway(&format!("l{k}"), &format!("L{k}"), &points);
    }
    let i = inspect(sketch);
    let (graph, _) = toeline_engine::graph::build(&i.field);
    let mut checked = 0;
    for part in i.parts.iter().skip(1) {
        let own = |s: &toeline_engine::graph::Segment| part.lines.contains(&s.line);
        let mut least_m = f64::INFINITY;
        for a in graph.graph.edge_weights().filter(|s| own(s)) {
            for b in graph.graph.edge_weights().filter(|s| !own(s)) {
                for p in a.line.windows(2) {
                    for q in b.line.windows(2) {
                        let c = toeline_model::planar::between_segments(p[0], p[1], q[0], q[1]);
                        least_m = least_m.min(c.distance_m);
                    }
                }
            }
        }
        let told = part.gap.as_ref().unwrap().distance_m;
        assert!(
            (told - least_m).abs() < 1e-9,
            "part {}: {told} and {least_m}",
            part.number
        );
        checked += 1;
    }
    assert!(checked > 10, "only {checked} parts");
}

#[test]
fn a_stand_behind_a_one_way_lane_has_no_way_out() {
    let in_only = json!({ "aeroway": "taxiway", "ref": "B", "oneway": "yes" });
    let field = || {
        clean().point(
            "s2",
            [150.0, -120.0],
            json!({ "aeroway": "parking_position", "ref": "2" }),
        )
    };
    let i = inspect(field().line("b", &[[0.0, -100.0], [150.0, -100.0]], in_only));
    let f = the(&i, Topic::NoWay);
    assert!(f.text.contains("no way from it to any runway"), "{}", f.text);
    assert_eq!(f.feature, "s2");
    let out_only = json!({ "aeroway": "taxiway", "ref": "B", "oneway": "-1" });
    let i = inspect(field().line("b", &[[0.0, -100.0], [150.0, -100.0]], out_only));
    assert!(the(&i, Topic::NoWay).text.contains("no way from any runway to it"));
    let i = inspect(field().taxiway("b", "B", &[[0.0, -100.0], [150.0, -100.0]]));
    assert!(of(&i, Topic::NoWay).is_empty());
}

#[test]
fn a_runway_without_a_holding_position_is_doubted_and_the_derived_ones_are_marked() {
    let i = inspect(
        Sketch::default()
            .runway("rwy", "09/27", &[[-450.0, 0.0], [0.0, 0.0], [450.0, 0.0]])
            .taxiway("a", "A", &[[0.0, 0.0], [0.0, -150.0]]),
    );
    let f = the(&i, Topic::HoldingPosition);
    assert!(
        f.text.contains("before runway 09/27") && f.text.contains("1 is derived"),
        "{}",
        f.text
    );
    assert_eq!(f.assumed.as_deref(), Some("derived holding positions"));
    assert_eq!(i.derived.len(), 1);
    assert!(inspection::picture(&i).contains("derived holding position"));
    assert!(!inspection::picture(&inspect(clean())).contains("derived holding position"));
}

#[test]
fn a_holding_position_that_guards_nothing_is_doubted_unless_it_is_intermediate() {
    let far = |properties: Value| {
        // 600 m of lane from the runway: farther than one is followed.
        clean()
            .taxiway("b", "B", &[[0.0, -150.0], [0.0, -700.0]])
            .point("h", [0.0, -690.0], properties)
    };
    let i = inspect(far(json!({ "aeroway": "holding_position", "ref": "X" })));
    let f = the(&i, Topic::HoldingPosition);
    assert!(
        f.text.contains("holding position X") && f.text.contains("guards nothing"),
        "{}",
        f.text
    );
    let i = inspect(far(
        json!({ "aeroway": "holding_position", "holding_position:type": "intermediate" }),
    ));
    assert!(of(&i, Topic::HoldingPosition).is_empty());
}

fn wide(width_m: f64) -> Value {
    json!({ "aeroway": "taxiway", "ref": "B", "width": width_m })
}

#[test]
fn impossible_widths_are_doubted() {
    let b = [[0.0, -150.0], [150.0, -150.0]];
    // The runway of the sketch is 23 m wide.
    for (width_m, said) in [(1.5, "below 3 m"), (40.0, "the widest runway 23 m")] {
        let i = inspect(clean().line("b", &b, wide(width_m)));
        let f = the(&i, Topic::Width);
        assert!(f.text.contains(said), "{}", f.text);
        assert_eq!(f.size_m, Some(width_m));
    }
    for width_m in [3.0, 10.5, 34.0] {
        let i = inspect(clean().line("b", &b, wide(width_m)));
        assert!(of(&i, Topic::Width).is_empty(), "{width_m}");
    }
}

#[test]
fn a_width_that_reaches_the_lane_beside_is_doubted() {
    let beside = |away: f64, length: f64| {
        clean()
            .line("b", &[[0.0, -150.0], [200.0, -150.0]], wide(30.0))
            .taxiway("c", "C", &[[50.0, -150.0 - away], [50.0 + length, -150.0 - away]])
    };
    let i = inspect(beside(12.0, 80.0));
    let f = the(&i, Topic::Width);
    assert!(
        f.text.contains("taxiway C (c)") && f.text.contains("12.0 m beside"),
        "{}",
        f.text
    );
    // Outside its half width, or only for a short stretch.
    assert!(of(&inspect(beside(16.0, 80.0)), Topic::Width).is_empty());
    assert!(of(&inspect(beside(12.0, 30.0)), Topic::Width).is_empty());
}

#[test]
fn a_letter_of_chains_that_do_not_meet_is_doubted() {
    let i = inspect(clean().taxiway("b", "B", &[[0.0, -150.0], [150.0, -150.0]]).taxiway(
        "a2",
        "a",
        &[[150.0, -150.0], [150.0, -250.0]],
    ));
    let f = the(&i, Topic::Letters);
    assert!(f.text.contains("letter A is borne by 2 chains"), "{}", f.text);
    assert!((f.size_m.unwrap() - 150.0).abs() < 0.1);
    // One name over two ways that meet, also across a runway, is one chain.
    let i = inspect(
        clean()
            .taxiway("a2", "A", &[[0.0, 0.0], [0.0, 150.0]])
            .point("a3", [0.0, 60.0], hold("A2")),
    );
    assert!(of(&i, Topic::Letters).is_empty(), "{}", inspection::text(&i));
}

#[test]
fn stands_of_one_name_are_doubted() {
    let i = inspect(clean().point(
        "s2",
        [-20.0, -150.0],
        json!({ "aeroway": "parking_position", "ref": "1" }),
    ));
    let f = the(&i, Topic::StandName);
    assert!(
        f.text.contains("2 stands are called 1") && f.text.contains("s1, s2"),
        "{}",
        f.text
    );
    assert!(!f.text.contains("drawn more than once"));
    let i = inspect(clean().point(
        "s2",
        [22.0, -148.0],
        json!({ "aeroway": "parking_position", "ref": "1" }),
    ));
    assert!(the(&i, Topic::StandName).text.contains("drawn more than once"));
}

#[test]
fn a_lane_through_a_building_is_doubted_with_the_length_inside() {
    let b = |more: Value| {
        let mut properties = json!({ "building": "yes", "name": "Barn" });
        properties
            .as_object_mut()
            .unwrap()
            .extend(more.as_object().unwrap().clone());
        clean().area(
            "barn",
            &[&[[-10.0, -110.0], [10.0, -110.0], [10.0, -90.0], [-10.0, -90.0]]],
            properties,
        )
    };
    let i = inspect(b(json!({})));
    let f = the(&i, Topic::Building);
    assert!((f.size_m.unwrap() - 20.0).abs() < 0.01, "{:?}", f.size_m);
    assert!(
        f.text.contains("taxiway A (a)") && f.text.contains("building Barn (barn)"),
        "{}",
        f.text
    );
    // A passage under it.
    assert!(of(&inspect(b(json!({ "height": 9, "min_height": 5 }))), Topic::Building).is_empty());
}

#[test]
fn what_it_lacks_is_counted() {
    let i = inspect(clean().line("b", &[[0.0, -150.0], [150.0, -150.0]], wide(10.0)));
    let said: Vec<String> = i.lacks.iter().map(|l| l.said()).collect();
    for lack in [
        "width on 1 of 2 taxiways and taxilanes",
        "surface on 0 of 2 taxiways and taxilanes",
        "heading on 0 of 1 stands",
        "no engine-check area",
        "no windsock",
        "no apron",
    ] {
        assert!(said.iter().any(|s| s == lack), "{lack} is not in {said:?}");
    }
    assert!(
        !said
            .iter()
            .any(|s| s.starts_with("letter") || s.contains("stand in use")),
        "{said:?}"
    );
    let numbers: Vec<String> = i.lacks.iter().map(|l| l.number.clone()).collect();
    assert_eq!(
        numbers,
        (1..=numbers.len()).map(|n| format!("L{n}")).collect::<Vec<_>>()
    );
}

#[test]
fn an_author_mends_a_dirty_field_until_it_is_clean() {
    // Dirty: an end 0.3 m short (repair), an end 3 m short (doubt, and so a part that is not joined with a stand without a
    // way), a letter borne twice, a stand named twice, a width of 90 m, no holding position.
    let dirty = Sketch::default()
        .runway("rwy", "09/27", &[[-450.0, 0.0], [0.0, 0.0], [450.0, 0.0]])
        .taxiway("a", "A", &[[0.0, -0.3], [0.0, -150.0]])
        .line("b", &[[0.0, -153.0], [150.0, -153.0]], wide(90.0))
        .taxiway("a2", "A", &[[150.0, -153.0], [150.0, -250.0]])
        .point(
            "s1",
            [20.0, -130.0],
            json!({ "aeroway": "parking_position", "ref": "1" }),
        )
        .point(
            "s2",
            [170.0, -200.0],
            json!({ "aeroway": "parking_position", "ref": "1" }),
        );
    let dirty = dirty.text();
    let i = inspection::inspect(&dirty).unwrap();
    let topics: BTreeSet<Topic> = i.findings.iter().map(|f| f.topic).collect();
    for topic in [
        Topic::Parts,
        Topic::NoWay,
        Topic::HoldingPosition,
        Topic::Width,
        Topic::Letters,
        Topic::StandName,
        Topic::Joining,
    ] {
        assert!(
            topics.contains(&topic),
            "{topic:?} is not told:\n{}",
            inspection::text(&i)
        );
    }
    assert!(i.is_doubtful(false));
    // Strict reading refuses what reading and joining repair or doubt: the two ends and the derived holding position.
    assert!(inspection::refused(&dirty).unwrap().len() >= 3);
    // Each told end is moved by what was told, and each hint followed.
    let gap = the(&i, Topic::Parts).between.unwrap();
    assert!((gap[0].distance(gap[1]) - 3.0).abs() < 0.01);
    let mended = Sketch::default()
        .runway("rwy", "09/27", &[[-450.0, 0.0], [0.0, 0.0], [450.0, 0.0]])
        .taxiway("a", "A", &[[0.0, 0.0], [0.0, -60.0], [0.0, -153.0]])
        .point("h", [0.0, -60.0], hold("A1"))
        .line("b", &[[0.0, -153.0], [150.0, -153.0]], wide(9.0))
        .taxiway("a2", "C", &[[150.0, -153.0], [150.0, -250.0]])
        .area(
            "apron",
            &[&[[140.0, -270.0], [160.0, -270.0], [160.0, -245.0], [140.0, -245.0]]],
            json!({ "aeroway": "apron" }),
        )
        .point(
            "s1",
            [20.0, -130.0],
            json!({ "aeroway": "parking_position", "ref": "1" }),
        )
        .point(
            "s2",
            [170.0, -200.0],
            json!({ "aeroway": "parking_position", "ref": "2" }),
        );
    let text = mended.text();
    assert_eq!(inspection::refused(&text).unwrap(), Vec::<String>::new());
    let i = inspection::inspect(&text).unwrap();
    assert_eq!(i.findings, Vec::new(), "{}", inspection::text(&i));
}

#[test]
fn hostile_names_stay_text_in_all_three_forms() {
    let evil = "</text><script>alert(1)</script>\u{1b}[31m\u{202e}&amp;\"'";
    let i = inspect(
        clean()
            .line(
                "<b onload=x>",
                &[[7.0, -100.0], [200.0, -100.0]],
                json!({ "aeroway": "taxiway", "ref": evil }),
            )
            .point(
                "]]>",
                [60.0, -150.0],
                json!({ "aeroway": "parking_position", "ref": evil }),
            )
            .point(
                "\u{1b}[2J",
                [40.0, -150.0],
                json!({ "aeroway": "parking_position", "ref": evil }),
            )
            .point("d", [1000.0, 1000.0], json!({ "aeroway": "aerodrome", "name": evil })),
    );
    assert!(!of(&i, Topic::StandName).is_empty());
    let (text, json, svg) = (inspection::text(&i), inspection::json(&i), inspection::picture(&i));
    for form in [&text, &svg] {
        let harmful = |c: char| c == '\u{202e}' || (c.is_control() && c != '\n');
        assert!(!form.contains(harmful));
    }
    let document = roxmltree::Document::parse(&svg).unwrap_or_else(|e| panic!("{e}"));
    assert!(document.descendants().all(|n| n.tag_name().name() != "script"));
    assert!(
        document
            .descendants()
            .all(|n| n.attributes().all(|a| !a.name().starts_with("on")))
    );
    assert!(document.root_element().text().is_some());
    let value: Value = serde_json::from_str(&json).unwrap();
    assert!(!value.to_string().contains("\\u001b"));
}

/// Numbers on the map of a picture by its plates: the box of each, and the findings it stands for.
fn plates(svg: &str) -> Vec<([f64; 4], Vec<usize>)> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let mut list = Vec::new();
    for g in document
        .descendants()
        .filter(|n| n.attribute("id").is_some_and(|i| i.starts_with("mark-")))
    {
        let shape = g.children().find(|n| n.is_element()).unwrap();
        let number = |name: &str| shape.attribute(name).unwrap().parse::<f64>().unwrap();
        let bounds = if shape.tag_name().name() == "rect" {
            [
                number("x"),
                number("y"),
                number("x") + number("width"),
                number("y") + number("height"),
            ]
        } else {
            let d = shape.attribute("d").unwrap().replace(['M', 'L', 'Z'], " ");
            let all: Vec<f64> = d.split_whitespace().map(|t| t.parse().unwrap()).collect();
            let fold =
                |i: usize, f: fn(f64, f64) -> f64, z: f64| all.iter().skip(i).step_by(2).fold(z, |a, b| f(a, *b));
            [
                fold(0, f64::min, f64::INFINITY),
                fold(1, f64::min, f64::INFINITY),
                fold(0, f64::max, f64::NEG_INFINITY),
                fold(1, f64::max, f64::NEG_INFINITY),
            ]
        };
        let shown = g
            .descendants()
            .find(|n| n.tag_name().name() == "text")
            .unwrap()
            .text()
            .unwrap();
        let mut numbers = Vec::new();
        for word in shown.split(' ').filter(|w| !w.starts_with('+')) {
            match word.split_once('-') {
                Some((a, b)) => numbers.extend(a.parse::<usize>().unwrap()..=b.parse().unwrap()),
                None => numbers.push(word.parse().unwrap()),
            }
        }
        list.push((bounds, numbers));
    }
    list
}

/// What holds for every inspection: one numbering in all forms, and no plate over another.
fn sound(i: &Inspection, all_shown: bool) {
    for (k, f) in i.findings.iter().enumerate() {
        assert_eq!(f.number, k + 1);
        assert_eq!(f.at.is_some(), f.place.is_some());
    }
    let value: Value = serde_json::from_str(&inspection::json(i)).unwrap();
    let text = inspection::text(i);
    assert!(text.lines().all(|l| l.chars().count() <= 100));
    for (f, told) in i.findings.iter().zip(value["findings"].as_array().unwrap()) {
        assert_eq!(told["number"], f.number);
        assert_eq!(told["text"], f.text);
        let line = format!("\n{:>5}  {}", f.number, f.feature.split_whitespace().next().unwrap());
        assert!(text.contains(&line), "{line}");
    }
    let svg = inspection::picture(i);
    let plates = plates(&svg);
    for (k, (a, _)) in plates.iter().enumerate() {
        for (b, _) in &plates[k + 1..] {
            let apart = a[2] <= b[0] + 0.011 || b[2] <= a[0] + 0.011 || a[3] <= b[1] + 0.011 || b[3] <= a[1] + 0.011;
            assert!(apart, "plates {a:?} and {b:?} overlap");
        }
    }
    // A number that is on no plate is told in the list with the mark it is at, or that there was no room.
    let shown: BTreeSet<usize> = plates.iter().flat_map(|p| p.1.clone()).collect();
    let document = roxmltree::Document::parse(&svg).unwrap();
    let words: String = document
        .descendants()
        .filter_map(|n| n.text())
        .collect::<Vec<_>>()
        .join(" ");
    let missing = i
        .findings
        .iter()
        .filter(|f| f.at.is_some() && !shown.contains(&f.number))
        .count();
    let told = words.matches("(at mark ").count() + words.matches("(no room for").count();
    assert!(
        missing <= told,
        "{missing} numbers are not on the map, {told} told in the list"
    );
    assert!(
        !all_shown || missing == 0,
        "{missing} of {} numbers are not on the map",
        i.findings.len()
    );
}

#[test]
fn the_numbers_are_the_same_in_text_json_and_picture() {
    sound(&inspection::inspect(&toeline_tests::demo_field()).unwrap(), true);
    // Many near each other: 40 stands of one name, 3 m apart.
    let mut sketch = clean();
    for k in 0..40 {
        let at = [f64::from(k) * 3.0, -170.0];
        sketch = sketch.point(
            &format!("t{k}"),
            at,
            json!({ "aeroway": "parking_position", "ref": k / 2 }),
        );
    }
    let i = inspect(sketch);
    assert!(of(&i, Topic::StandName).len() >= 20);
    sound(&i, false);
}

fn real(file: &str) -> Option<Inspection> {
    let path = toeline_tests::open_data(file)?;
    let i = inspection::inspect(&std::fs::read_to_string(path).unwrap()).unwrap_or_else(|e| panic!("{file}: {e}"));
    sound(&i, false);
    Some(i)
}

/// Pieces with at least one lane, as counted by coordinates with the runways (QUALITY.md, last column of the first table).
/// Barcelona has 7 there and 1 after ends within 0.5 m are joined (its finding 4).
#[test]
fn parts_of_real_fields_are_as_counted() {
    for (file, pieces) in [
        ("hubs/eham-schiphol-2023-08.geojson", 10),
        ("hubs/eddf-frankfurt-2023-08.geojson", 1),
        ("hubs/lebl-barcelona-2023-08.geojson", 1),
        ("hubs/lfbo-toulouse-2021-01.geojson", 1),
        ("malta/malta-airfield.geojson", 1),
        ("bangor/bangor-airfield.geojson", 2),
        ("isle-of-man/by-airfield/egns-isle-of-man-airport.geojson", 1),
        ("maldives/by-airfield/vrmm-velana-international-airport.geojson", 1),
        ("maldives/by-airfield/vrmg-gan-international-airport.geojson", 2),
        ("puerto-montt/scpf-la-paloma-2017-09.geojson", 1),
    ] {
        let Some(i) = real(file) else { continue };
        let found = i.parts.iter().filter(|p| !p.lanes.is_empty()).count();
        assert_eq!(found, pieces, "{file}");
    }
}

#[test]
fn letters_and_names_of_real_fields_are_as_counted() {
    // QUALITY.md, finding 12: M, S, L and Y at Frankfurt, B and W in three pieces at Schiphol, are not one chain.
    let letters = |i: &Inspection| -> Vec<String> { of(i, Topic::Letters).iter().map(|f| f.text.clone()).collect() };
    if let Some(i) = real("hubs/eddf-frankfurt-2023-08.geojson") {
        for letter in ["M", "S", "L", "Y"] {
            let start = format!("letter {letter} is borne by");
            assert!(letters(&i).iter().any(|t| t.starts_with(&start)), "{letter}");
        }
    }
    if let Some(i) = real("hubs/eham-schiphol-2023-08.geojson") {
        for letter in ["B", "W"] {
            let start = format!("letter {letter} is borne by 3 chains");
            assert!(letters(&i).iter().any(|t| t.starts_with(&start)), "{letter}");
        }
    }
    // Finding 14: refs of stands used more than once, Barcelona 69.
    if let Some(i) = real("hubs/lebl-barcelona-2023-08.geojson") {
        assert_eq!(of(&i, Topic::StandName).len(), 69);
    }
    // Finding 20: a taxiway of Bangor runs into the outline of a hangar.
    if let Some(i) = real("bangor/bangor-airfield.geojson") {
        let f = the(&i, Topic::Building);
        assert_eq!(f.feature, "way/43123545");
        assert!(f.text.contains("way/92615028"), "{}", f.text);
    }
}
