//! The order of the features in a file decides nothing but the numbering.

use super::field::*;
use serde_json::Value;
use std::collections::BTreeSet;

/// A graph without its numbers: places to the tenth of a millimetre, features by identity.
fn bare(text: &str) -> (BTreeSet<String>, BTreeSet<String>, BTreeSet<String>) {
    let field = read::read(text).unwrap_or_else(|e| panic!("{e}")).field;
    let b = built(field, Sketch::default());
    let place = |p: Xy| format!("{:.3} {:.3}", p.x + 0.0, p.y + 0.0).replace("-0.000", "0.000");
    let mut segments = BTreeSet::new();
    for s in b.graph.graph.edge_weights() {
        let id = match s.source {
            Source::Lane(i, _) => &b.field.lanes[i].id,
            Source::Runway(i) => &b.field.runways[i].id,
            Source::Stand(i) => &b.field.stands[i].id,
        };
        let mut ends = [place(s.line[0]), place(s.line[s.line.len() - 1])];
        ends.sort();
        segments.insert(format!(
            "{id} {ends:?} {:.3} {:?} {:?} {:?}",
            s.length_m, s.letters, s.width_m, s.closed
        ));
    }
    let holds = b.graph.holds.iter().map(|h| {
        let guards = h.guards.map(|r| b.field.runways[r].id.clone());
        format!("{} {} {guards:?}", h.name, place(b.graph.at(h.node)))
    });
    let stands = b.graph.stands.iter().map(|s| {
        let id = &b.field.stands[s.stand].id;
        format!("{id} {} {}", place(b.graph.at(s.node)), place(b.graph.at(s.lane_node)))
    });
    (segments, holds.collect(), stands.collect())
}

/// The features in another order that depends on `seed` alone.
fn shuffled(text: &str, seed: u64) -> String {
    let mut file: Value = serde_json::from_str(text).unwrap();
    let list = file["features"].as_array_mut().unwrap();
    let mut state = seed;
    for i in (1..list.len()).rev() {
        // A linear congruential generator (Knuth's constants).
        state = state
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        list.swap(i, (state >> 33) as usize % (i + 1));
    }
    file.to_string()
}

fn same_whatever_the_order(what: &str, text: &str) {
    let wanted = bare(text);
    for seed in [1, 2] {
        let found = bare(&shuffled(text, seed));
        for (w, f, part) in [
            (&wanted.0, &found.0, "segments"),
            (&wanted.1, &found.1, "holding positions"),
            (&wanted.2, &found.2, "stands"),
        ] {
            let only: Vec<_> = w.difference(f).take(5).collect();
            let instead: Vec<_> = f.difference(w).take(5).collect();
            assert!(
                only.is_empty() && instead.is_empty(),
                "{what}, {part}: {only:#?} became {instead:#?}"
            );
        }
    }
}

#[test]
fn the_demo_field_shuffled_is_the_same_field() {
    same_whatever_the_order("demo", &toeline_tests::demo_field());
}

#[test]
fn a_dirty_field_shuffled_is_the_same_field() {
    let s = strip()
        .taxiway("c", "C", &[[-300.0, -100.2], [-300.0, -160.0]])
        .taxiway("d", "D", &[[-299.8, -160.1], [-200.0, -160.0], [-200.0, -40.0]])
        .taxiway("e", "E", &[[-250.0, -100.0], [-150.0, -100.0]])
        .taxiway("f", "F", &[[100.0, -100.0], [300.0, -100.0], [300.0, -50.0]])
        .taxiway("g", "G", &[[200.0, -150.0], [200.0, 60.0]]);
    let s = stand(s, "1", &[[250.0, -140.0], [250.0, -103.0]]);
    let s = stand(s, "2", &[[270.0, -140.0], [251.0, -130.0]]);
    same_whatever_the_order("dirty", &hold(s, "B1", [4.0, -40.0], "runway").text());
}

#[test]
fn real_fields_shuffled_are_the_same_fields() {
    for file in [
        "isle-of-man/by-airfield/egns-isle-of-man-airport.geojson",
        "hubs/lebl-barcelona-2023-08.geojson",
        "hubs/lfbo-toulouse-2021-01.geojson",
        "malta/malta-airfield.geojson",
    ] {
        if let Some(path) = toeline_tests::open_data(&format!("airfields/{file}")) {
            same_whatever_the_order(file, &std::fs::read_to_string(path).unwrap());
        }
    }
}
