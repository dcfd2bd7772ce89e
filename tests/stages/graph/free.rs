//! Free apron area, by hand on small fields. Against another library on real ones: `tests/external/noding.rs`.

use super::field::*;
use toeline_engine::graph::{FreeArea, LINE_HALF_WIDTH_M, ROUND_CORNERS};

fn apron(s: Sketch, id: &str, ring: &[[f64; 2]]) -> Sketch {
    s.area(id, &[ring], json!({ "aeroway": "apron" }))
}

fn free(s: Sketch) -> Vec<FreeArea> {
    build(s.taxiway("a", "A", EAST)).graph.free
}

fn area(list: &[FreeArea]) -> f64 {
    list.iter().map(FreeArea::area_m2).sum()
}

/// Positions have 7 decimals nowhere here, but the plane turns a little over the field: 1 in 100 000.
fn close(found: f64, wanted: f64) {
    assert!((found / wanted - 1.0).abs() < 1e-5, "{found} m2, wanted {wanted}");
}

const WIDE: &[[f64; 2]] = &[[0.0, 10.0], [100.0, 10.0], [100.0, 60.0], [0.0, 60.0]];

#[test]
fn an_apron_is_free_whole_in_either_turning_sense() {
    let mut turned = WIDE.to_vec();
    turned.reverse();
    for ring in [WIDE, &turned] {
        let list = free(apron(Sketch::default(), "p", ring));
        assert_eq!((list.len(), list[0].holes.len()), (1, 0));
        close(area(&list), 5000.0);
    }
}

#[test]
fn a_building_inside_is_a_hole_and_one_across_the_edge_a_notch() {
    let inside: &[[f64; 2]] = &[[40.0, 30.0], [60.0, 30.0], [60.0, 40.0], [40.0, 40.0]];
    let across: &[[f64; 2]] = &[[90.0, 50.0], [110.0, 50.0], [110.0, 70.0], [90.0, 70.0]];
    let s = apron(Sketch::default(), "p", WIDE)
        .area("b", &[inside], json!({ "building": "yes" }))
        .area("c", &[across], json!({ "building": "yes" }));
    let list = free(s);
    assert_eq!((list.len(), list[0].holes.len()), (1, 1));
    close(area(&list), 5000.0 - 200.0 - 100.0);
}

#[test]
fn aprons_that_overlap_or_touch_are_one_and_others_stay_apart() {
    let s = apron(Sketch::default(), "p", WIDE);
    let s = apron(s, "q", &[[90.0, 10.0], [150.0, 10.0], [150.0, 60.0], [90.0, 60.0]]);
    let s = apron(s, "r", &[[150.0, 10.0], [170.0, 10.0], [170.0, 60.0], [150.0, 60.0]]);
    let s = apron(s, "t", &[[200.0, 10.0], [210.0, 10.0], [210.0, 20.0], [200.0, 20.0]]);
    let list = free(s);
    assert_eq!(list.len(), 2);
    close(list[0].area_m2(), 170.0 * 50.0);
    close(list[1].area_m2(), 100.0);
}

#[test]
fn a_fence_parts_an_apron_and_a_pole_takes_its_circle() {
    let s = apron(Sketch::default(), "p", WIDE).line("f", &[[50.0, 0.0], [50.0, 70.0]], json!({ "barrier": "fence" }));
    let list = free(s);
    assert_eq!(list.len(), 2);
    close(area(&list), 5000.0 - 50.0 * 2.0 * LINE_HALF_WIDTH_M);
    let tree = json!({ "natural": "tree", "diameter_crown": 8 });
    let list = free(apron(Sketch::default(), "p", WIDE).point("t", [50.0, 30.0], tree));
    let n = ROUND_CORNERS as f64;
    let polygon = n * 16.0 * (std::f64::consts::PI / n).tan();
    close(area(&list), 5000.0 - polygon);
    assert_eq!(list[0].holes.len(), 1);
}

#[test]
fn an_apron_that_crosses_itself_keeps_both_its_halves() {
    let bow: &[[f64; 2]] = &[[0.0, 10.0], [100.0, 60.0], [100.0, 10.0], [0.0, 60.0]];
    let list = free(apron(Sketch::default(), "p", bow));
    close(area(&list), 2500.0);
}

#[test]
fn a_building_over_the_whole_apron_leaves_nothing() {
    let s = apron(Sketch::default(), "p", WIDE).area("b", &[WIDE], json!({ "building": "yes" }));
    assert_eq!(free(s), []);
}
