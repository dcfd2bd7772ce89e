//! Outlines and holes count where wheels are held to the pavement, and facing where a holding position is aimed.

use super::demo::{request, way};
use serde_json::{Value, json};
use toeline_engine::clearance::Verdict;
use toeline_engine::{Plan, graph, plan, read};
use toeline_tests::sketch::Sketch;

fn field() -> Sketch {
    Sketch::default()
        .runway("R", "09/27", &[[0.0, 0.0], [900.0, 0.0]])
        .taxiway("A", "A", &[[100.0, -100.0], [100.0, 0.0]])
        .line(
            "S",
            &[[100.0, -125.0], [100.0, -100.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "toeline:nose": "out" }),
        )
}

fn planned(sketch: &Sketch) -> Plan {
    plan(&sketch.text(), &request("trainer-high-2", "1", &[], "09", "090/5T")).unwrap_or_else(|e| panic!("{e}"))
}

fn edge(plan: &Plan) -> Verdict {
    let w = way(plan);
    let leg = w.route.legs.iter().position(|l| l.letters == ["A"]).expect("taxiway A");
    w.clearance
        .edges
        .iter()
        .find(|e| e.leg == leg)
        .expect("its edge")
        .verdict
}

const AROUND: [[f64; 2]; 4] = [[60.0, -140.0], [140.0, -140.0], [140.0, 10.0], [60.0, 10.0]];

#[test]
fn a_hole_in_an_apron_is_no_pavement() {
    assert_eq!(edge(&planned(&field())), Verdict::NotKnown);
    let apron = json!({ "aeroway": "apron" });
    assert_eq!(
        edge(&planned(&field().area("P", &[&AROUND], apron.clone()))),
        Verdict::Clear
    );
    // An island under the right main wheel.
    let island = [[100.5, -70.0], [108.0, -70.0], [108.0, -60.0], [100.5, -60.0]];
    assert_eq!(
        edge(&planned(&field().area("P", &[&AROUND, &island], apron))),
        Verdict::NotKnown
    );
}

#[test]
fn the_outline_of_a_taxiway_is_pavement_and_gives_its_width() {
    let outline = [[94.0, -126.0], [106.0, -126.0], [106.0, 0.5], [94.0, 0.5]];
    let p = planned(&field().area("O", &[&outline], json!({ "aeroway": "taxiway" })));
    assert_eq!(edge(&p), Verdict::Clear);
    let width = way(&p)
        .route
        .legs
        .iter()
        .find(|l| l.letters == ["A"])
        .unwrap()
        .width_m
        .unwrap();
    assert!((11.9..=12.0).contains(&width), "{width}");
    // One too narrow for the gear is no way: 2 m, and this gear needs more.
    let narrow = [[99.0, -126.0], [101.0, -126.0], [101.0, 0.5], [99.0, 0.5]];
    let p = planned(&field().area("O", &[&narrow], json!({ "aeroway": "taxiway" })));
    let toeline_engine::planning::Outcome::NoWay(why) = &p.outcome else {
        panic!("a way")
    };
    assert!(
        why.blocks
            .iter()
            .any(|b| b.text.contains("pavement 1.9") || b.text.contains("pavement 2 m")),
        "{why:?}"
    );
}

/// A link between two runways with one holding position nearer to the southern one.
fn link(properties: Value) -> (read::ReadField, graph::TaxiGraph, Vec<toeline_engine::notice::Notice>) {
    let mut tags = json!({ "aeroway": "holding_position", "ref": "H" });
    tags.as_object_mut()
        .unwrap()
        .extend(properties.as_object().unwrap().clone());
    let s = Sketch::default()
        .runway("north", "09L/27R", &[[0.0, 200.0], [900.0, 200.0]])
        .runway("south", "09R/27L", &[[0.0, 0.0], [900.0, 0.0]])
        .taxiway("A", "A", &[[100.0, 0.0], [100.0, 200.0]])
        .point("H", [100.0, 80.0], tags);
    let r = read::read(&s.text()).unwrap();
    let (g, notices) = graph::build(&r.field);
    (r, g, notices)
}

#[test]
fn a_holding_position_guards_the_runway_that_it_faces() {
    let guards = |properties: Value| {
        let (r, g, _) = link(properties);
        let h = g.holds.iter().find(|h| h.position.is_some()).unwrap();
        let runway = h.guards.map(|i| r.field.runways[i].id.clone());
        (runway, h.toward.map(|t| t.bearing().deg().round() % 360.0))
    };
    let south = (Some("south".to_string()), Some(180.0));
    let north = (Some("north".to_string()), Some(0.0));
    assert_eq!(guards(json!({})), south, "the nearer one");
    assert_eq!(guards(json!({ "direction": "backward" })), south);
    assert_eq!(guards(json!({ "direction": "forward" })), north);
    assert_eq!(guards(json!({ "direction": "NNE" })), north);
    // A runway in its name goes before its facing; a doubt says that they part.
    let both = json!({ "ref": "09R", "direction": "forward" });
    assert_eq!(guards(both.clone()), south);
    let (_, _, notices) = link(both);
    assert!(
        notices
            .iter()
            .any(|n| n.feature == "H" && n.text.contains("the runway decides")),
        "{notices:?}"
    );
    // One that guards no runway stops the traffic that it faces.
    let intermediate = json!({ "holding_position:type": "intermediate", "direction": "forward" });
    assert_eq!(guards(intermediate), (None, Some(0.0)));
    assert_eq!(guards(json!({ "holding_position:type": "intermediate" })), (None, None));
}
