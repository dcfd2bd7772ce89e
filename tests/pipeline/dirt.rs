//! Dirt that decides a whole plan: an island strip where the only way is along the runway.

use super::demo::{request, way};
use serde_json::json;
use toeline_engine::plan;
use toeline_tests::sketch::Sketch;

/// No taxiway joins the two stubs: from the stand on one to the runway behind the other the way is along the first runway.
/// (That lanes and runways make one network on the real strips is in `tests/stages/graph/dirt/network.rs`.)
#[test]
fn dirt_06_a_strip_with_two_stubs_is_backtracked() {
    let lane = |letter: &str| json!({ "aeroway": "taxiway", "ref": letter, "width": 15 });
    let s = Sketch::default()
        .runway("r", "09/27", &[[-300.0, 0.0], [300.0, 0.0]])
        .runway("q", "18/36", &[[200.0, 200.0], [200.0, 700.0]])
        .line("a", &[[-100.0, 0.0], [-100.0, 90.0]], lane("A"))
        .line("b", &[[200.0, 0.0], [200.0, 120.0], [200.0, 200.0]], lane("B"))
        .line(
            "1",
            &[[-100.0, 110.0], [-100.0, 90.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "toeline:nose": "out" }),
        );
    let p = plan(&s.text(), &request("trainer-high-2", "1", &[], "36", "calm")).unwrap();
    let names: Vec<&str> = way(&p).route.legs.iter().map(|l| l.name.as_str()).collect();
    assert_eq!(names, ["stand 1", "taxiway A", "runway 09/27", "taxiway B"]);
    let on_runway = &way(&p).route.legs[2];
    assert!(
        (on_runway.to_m - on_runway.from_m - 300.0).abs() < 20.0,
        "300 m from stub to stub"
    );
}
