//! How the time grows with the field: run by hand, `cargo test --release -p toeline-tests --test stages load -- --ignored
//! --nocapture`. Prints and asserts the answer, not the time.

#![allow(clippy::print_stdout)] // measured figures, shown with --nocapture

use super::field::*;
use std::time::Instant;

/// A square town of taxiways, 60 m apart, every one a feature of its own, with a stand in every fourth square.
fn town(features: usize) -> String {
    let side = ((features as f64) / 2.25).sqrt() as i32;
    let mut s = Sketch::default().runway("r", "09/27", &[[-9000.0, -9100.0], [9000.0, -9100.0]]);
    let at = |i: i32, j: i32| [f64::from(i) * 60.0 - 9000.0, f64::from(j) * 60.0 - 9000.0];
    for i in 0..side {
        for j in 0..side {
            s = s.taxiway(&format!("e{i}/{j}"), "E", &[at(i, j), at(i + 1, j)]);
            s = s.taxiway(&format!("n{i}/{j}"), "N", &[at(i, j), at(i, j + 1)]);
            if i % 2 == 0 && j % 2 == 0 {
                let [x, y] = at(i, j);
                s = stand(s, &format!("s{i}/{j}"), &[[x + 30.0, y + 30.0], [x + 30.0, y + 2.0]]);
            }
        }
    }
    s.text()
}

#[test]
#[ignore = "prints times; run by hand"]
fn load() {
    for features in [100, 1000, 10_000, 100_000] {
        let text = town(features);
        let started = Instant::now();
        let value: serde_json::Value = serde_json::from_str(&text).unwrap();
        let parsed = started.elapsed();
        drop(value);
        let started = Instant::now();
        let field = read::read(&text).unwrap().field;
        let read = started.elapsed();
        let started = Instant::now();
        let (g, notices) = graph::build(&field);
        let built = started.elapsed();
        assert_eq!(g.stands.len(), field.stands.len());
        println!(
            "{features} features, {:.1} MB: parse {parsed:.2?}, read {read:.2?}, build {built:.2?}, {} segments, {} notices",
            text.len() as f64 / 1e6,
            g.graph.edge_count(),
            notices.len()
        );
    }
}
