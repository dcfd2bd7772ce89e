//! Dirt that decides a whole plan: island strips where the only way is along the runway.

use super::demo::{request, way};
use serde_json::{Value, json};
use toeline_engine::graph::{self, Source};
use toeline_engine::{Plan, plan, read};
use toeline_model::Xy;
use toeline_tests::sketch::Sketch;

/// Legs of the way that roll along a runway.
fn along_runway(p: &Plan) -> usize {
    let names: Vec<String> = way(p).route.legs.iter().map(|l| l.name.clone()).collect();
    names.iter().filter(|n| n.starts_with("runway")).count()
}

#[test]
fn dirt_06_a_strip_with_two_stubs_is_backtracked() {
    let ring: &[[f64; 2]] = &[[-130.0, 60.0], [-70.0, 60.0], [-70.0, 120.0], [-130.0, 120.0]];
    let s = Sketch::default()
        .runway("r", "09/27", &[[-300.0, 0.0], [300.0, 0.0]])
        .line(
            "a",
            &[[-100.0, 0.0], [-100.0, 90.0]],
            json!({ "aeroway": "taxiway", "ref": "A", "width": 15 }),
        )
        .line(
            "b",
            &[[200.0, 0.0], [200.0, 90.0]],
            json!({ "aeroway": "taxiway", "ref": "B", "width": 15 }),
        )
        .area("p", &[ring], json!({ "aeroway": "apron" }))
        .line(
            "1",
            &[[-100.0, 110.0], [-100.0, 90.0]],
            json!({ "aeroway": "parking_position", "ref": "1" }),
        )
        .line(
            "2",
            &[[200.0, 110.0], [200.0, 90.0]],
            json!({ "aeroway": "parking_position", "ref": "2" }),
        );
    let to = "holding point of taxiway B for runway 09/27 (derived)";
    let p = plan(&s.text(), &request("trainer-high-2", "1", &[], to, "calm")).unwrap();
    assert_eq!(
        along_runway(&p),
        1,
        "{:?}",
        way(&p).route.legs.iter().map(|l| &l.name).collect::<Vec<_>>()
    );
}

/// A real strip with a stand put beyond the end of its westernmost stub.
#[test]
fn dirt_06_a_real_island_strip_is_backtracked() {
    let Some(path) =
        toeline_tests::open_data("airfields/maldives/by-airfield/vrda-maafaru-international-airport.geojson")
    else {
        return;
    };
    let mut file: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let field = read::read(&file.to_string()).unwrap().field;
    let (g, _) = graph::build(&field);
    // The westernmost end of a lane that meets nothing, and the easternmost holding position.
    let plane = toeline_engine::plane::LocalPlane::new(field.origin);
    let mut ends: Vec<Xy> = Vec::new();
    for n in g.graph.node_indices() {
        let mut edges = g.graph.edges(n);
        if let (Some(e), None) = (edges.next(), edges.next())
            && matches!(e.weight().source, Source::Lane(..))
        {
            let mut line = e.weight().line.clone();
            if e.weight().from != n {
                line.reverse();
            }
            // The stand is 15 m beyond the end.
            ends.push(line[0] + (line[0] - line[1]) * (15.0 / line[0].distance(line[1])));
        }
    }
    let west = ends.iter().min_by(|a, b| a.x.total_cmp(&b.x)).unwrap();
    let hold = g
        .holds
        .iter()
        .max_by(|a, b| g.at(a.node).x.total_cmp(&g.at(b.node).x))
        .unwrap();
    let at: [f64; 2] = plane.to_lonlat(*west).into();
    file["features"].as_array_mut().unwrap().push(json!({
        "type": "Feature", "id": "west",
        "properties": { "aeroway": "parking_position", "ref": "west", "direction": 150 },
        "geometry": { "type": "Point", "coordinates": at },
    }));
    let p = plan(
        &file.to_string(),
        &request("trainer-high-2", "west", &[], &hold.name, "calm"),
    )
    .unwrap();
    assert!(
        along_runway(&p) >= 1,
        "{:?}",
        way(&p).route.legs.iter().map(|l| &l.name).collect::<Vec<_>>()
    );
}
