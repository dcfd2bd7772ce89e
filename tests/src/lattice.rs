//! A lattice of lanes between a stand and a runway, to search on: nine nodes, twelve lanes "T0" to "T11".

use crate::sketch::Sketch;
use serde_json::{Value, json};

/// How many lanes the lattice has, apart from the one to the runway.
pub const LANES: usize = 12;

/// The ends of a lane as indices of nodes, three to a row.
pub fn ends(lane: usize) -> (usize, usize) {
    let mut list = Vec::new();
    for n in 0..9 {
        if n % 3 < 2 {
            list.push((n, n + 1));
        }
        if n < 6 {
            list.push((n, n + 3));
        }
    }
    list[lane % LANES]
}

/// The field's text: tags of our own for each lane, on top of its letter (a lane without is left out), and whatever `more`
/// adds, given the place along a lane and beside it, metres.
pub fn with_tags(
    spacing_m: f64,
    skewed: &[(f64, f64)],
    tags: impl Fn(usize) -> Option<Value>,
    more: impl FnOnce(Sketch, &dyn Fn(usize, f64, f64) -> [f64; 2]) -> Sketch,
) -> String {
    let at = |n: usize| {
        let (dx, dy) = skewed[n];
        [(n % 3) as f64 * spacing_m + dx, (n / 3) as f64 * spacing_m + dy]
    };
    let mut sketch = Sketch::default();
    for k in 0..LANES {
        let Some(Value::Object(own)) = tags(k) else { continue };
        let mut all = json!({ "aeroway": "taxiway", "ref": format!("T{k}") });
        if let Some(all) = all.as_object_mut() {
            all.extend(own);
        }
        let (a, b) = ends(k);
        sketch = sketch.line(&format!("lane-{k}"), &[at(a), at(b)], all);
    }
    let (first, last) = (at(0), at(8));
    let beside = |lane: usize, along: f64, off_m: f64| {
        let (a, b) = (at(ends(lane).0), at(ends(lane).1));
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let length = dx.hypot(dy);
        [
            a[0] + along * dx - off_m * dy / length,
            a[1] + along * dy + off_m * dx / length,
        ]
    };
    sketch = sketch
        .line(
            "stand-1",
            &[[first[0], first[1] - 20.0], first],
            json!({ "aeroway": "parking_position", "ref": "1", "direction": 0 }),
        )
        .taxiway("lane-end", "Z", &[last, [last[0], last[1] + 120.0]])
        .runway(
            "runway",
            "09/27",
            &[[last[0] - 400.0, last[1] + 120.0], [last[0] + 400.0, last[1] + 120.0]],
        )
        .point(
            "hold",
            [last[0], last[1] + 60.0],
            json!({ "aeroway": "holding_position", "ref": "Z1" }),
        );
    more(sketch, &beside).text()
}

/// Poles: the lane, how far along it, and how far beside it, metres.
pub fn poles(
    placed: &[(usize, f64, f64)],
) -> impl FnOnce(Sketch, &dyn Fn(usize, f64, f64) -> [f64; 2]) -> Sketch + use<'_> {
    move |mut sketch, beside| {
        for (k, (lane, along, off_m)) in placed.iter().enumerate() {
            sketch = sketch.point(
                &format!("pole-{k}"),
                beside(*lane, *along, *off_m),
                json!({ "power": "pole", "height": "5", "diameter": "0.3" }),
            );
        }
        sketch
    }
}
