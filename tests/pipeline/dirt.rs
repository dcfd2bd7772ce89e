//! Dirt that decides a whole plan: island strips where the only way is along the runway.

use super::demo::{request, way};
use serde_json::{Value, json};
use toeline_engine::graph::{self, Source};
use toeline_engine::{Plan, plan, read};
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
    let p = plan(&s.text(), &request("trainer-high-2", "1", &["2"], "27", "calm")).unwrap();
    assert_eq!(
        along_runway(&p),
        1,
        "{:?}",
        way(&p).route.legs.iter().map(|l| &l.name).collect::<Vec<_>>()
    );
}

/// A real strip with a stand put at the end of one stub and a second at the end of another.
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
    // Ends of lanes that meet nothing, by the lane they are of.
    let plane = toeline_engine::plane::LocalPlane::new(field.origin);
    let mut ends = Vec::new();
    for n in g.graph.node_indices().filter(|n| g.graph.edges(*n).count() == 1) {
        let Some(e) = g.graph.edges(n).next() else { continue };
        if matches!(e.weight().source, Source::Lane(..)) {
            let at: [f64; 2] = plane.to_lonlat(g.at(n)).into();
            ends.push((g.at(n), at));
        }
    }
    ends.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
    let (first, last) = (ends[0].1, ends[ends.len() - 1].1);
    for (id, at) in [("west", first), ("east", last)] {
        file["features"].as_array_mut().unwrap().push(json!({
            "type": "Feature", "id": id,
            "properties": { "aeroway": "parking_position", "ref": id },
            "geometry": { "type": "Point", "coordinates": at },
        }));
    }
    let mut asked = request("trainer-high-2", "west", &["east"], "06", "calm");
    asked.parked_heading = Some(toeline_model::Bearing::from_deg(150.0));
    let p = plan(&file.to_string(), &asked).unwrap();
    assert!(
        along_runway(&p) >= 1,
        "{:?}",
        way(&p).route.legs.iter().map(|l| &l.name).collect::<Vec<_>>()
    );
}
