//! Real fields have the counts and joins that were measured on the same files by other means: the table and the source
//! pages beside the data (OpenStreetMap contributors, Open Database License).

use super::field::*;
use petgraph::unionfind::UnionFind;
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::planar::{bounds, crossing, line_length};

/// One row of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Row {
    ways: usize,
    /// Kilometres.
    km: f64,
    /// Points that two or more taxi or runway ways hold; points of taxi ways that a runway holds.
    shared: usize,
    with_runway: usize,
    ends_inside: usize,
    crossings: (usize, usize),
    /// Loose ends, all ends.
    ends: (usize, usize),
    /// Loose ends with another taxiway within 0.5 m, within 5 m.
    near: (usize, usize),
    /// Pieces of taxiways alone, with runways.
    pieces: (usize, usize),
}

type Key = (i64, i64);

fn key(p: &Xy) -> Key {
    ((p.x * 1e4).round() as i64, (p.y * 1e4).round() as i64)
}

/// Connected pieces of lines that hold at least one of the first `count` lines.
fn pieces(lines: &[Vec<Key>], count: usize) -> usize {
    let mut number: BTreeMap<Key, usize> = BTreeMap::new();
    for k in lines.iter().flatten() {
        let next = number.len();
        number.entry(*k).or_insert(next);
    }
    let mut sets = UnionFind::new(number.len());
    for l in lines {
        for w in l.windows(2) {
            sets.union(number[&w[0]], number[&w[1]]);
        }
    }
    let heads: BTreeSet<usize> = lines[..count].iter().map(|l| sets.find(number[&l[0]])).collect();
    heads.len()
}

/// Lines of a file by some `aeroway` values, in units of 1e-7 degree.
fn raw(text: &str, kinds: &[&str]) -> Vec<Vec<Key>> {
    let file: serde_json::Value = serde_json::from_str(text).unwrap();
    let seven = |v: &serde_json::Value| (v.as_f64().unwrap() * 1e7).round() as i64;
    let features = file["features"].as_array().unwrap().iter();
    features
        .filter(|f| {
            kinds.contains(&f["properties"]["aeroway"].as_str().unwrap_or_default())
                && f["geometry"]["type"] == "LineString"
                && f["properties"]["area"] != "yes"
        })
        .map(|f| {
            let places = f["geometry"]["coordinates"].as_array().unwrap().iter();
            places.map(|p| (seven(&p[0]), seven(&p[1]))).collect()
        })
        .collect()
}

/// Places where two lines of a level cross without a common point within 5 cm, by every pair: what the graph finds with a
/// tree of boxes.
fn bare_crossings(a: &[Xy], b: &[Xy]) -> Vec<Xy> {
    let boxed = |l: &[Xy]| bounds(l.iter().copied()).unwrap();
    let ((lo, hi), (lo_b, hi_b)) = (boxed(a), boxed(b));
    if lo.x > hi_b.x || hi.x < lo_b.x || lo.y > hi_b.y || hi.y < lo_b.y {
        return Vec::new();
    }
    let near = |l: &[Xy], p: Xy| l.iter().any(|q| q.distance(p) <= 0.05);
    let shared: Vec<Xy> = a
        .iter()
        .copied()
        .filter(|p| b.iter().any(|q| key(p) == key(q)))
        .collect();
    let mut list = Vec::new();
    for v in a.windows(2) {
        for w in b.windows(2) {
            if let Some((t, _)) = crossing(v[0], v[1], w[0], w[1]) {
                let p = v[0].lerp(v[1], t);
                if !near(&shared, p) {
                    list.push(p);
                }
            }
        }
    }
    list
}

/// The row of a field: what its coordinates hold, and what the graph found by itself.
fn row(text: &str, b: &Built) -> Row {
    let lanes = raw(text, &["taxiway", "taxilane"]);
    let runways = raw(text, &["runway"]);
    let both: Vec<Vec<Key>> = lanes.iter().chain(&runways).cloned().collect();
    let mut held: BTreeMap<Key, BTreeSet<usize>> = BTreeMap::new();
    let mut inside: BTreeMap<Key, BTreeSet<usize>> = BTreeMap::new();
    for (i, l) in both.iter().enumerate() {
        for (j, k) in l.iter().enumerate() {
            held.entry(*k).or_default().insert(i);
            if i < lanes.len() && j > 0 && j + 1 < l.len() {
                inside.entry(*k).or_default().insert(i);
            }
        }
    }
    let on_lane: BTreeSet<Key> = lanes.iter().flatten().copied().collect();
    let on_runway: BTreeSet<Key> = runways.iter().flatten().copied().collect();
    let ends: Vec<(usize, Key)> = lanes
        .iter()
        .enumerate()
        .flat_map(|(i, l)| [(i, l[0]), (i, l[l.len() - 1])])
        .collect();
    // An end that lies on an inner point of its own line is not loose.
    let loose = ends
        .iter()
        .filter(|(i, k)| held[k].len() == 1 && !inside.get(k).is_some_and(|s| s.contains(i)))
        .count();
    let ends_inside = ends
        .iter()
        .filter(|(i, k)| inside.get(k).is_some_and(|s| s.iter().any(|other| other != i)))
        .count();
    let nodes: Vec<Xy> = b.graph.graph.node_indices().map(|n| b.graph.at(n)).collect();
    let mut crossings = (0, 0);
    let all = &b.field.lanes;
    for (i, one) in all.iter().enumerate() {
        let others = all[i + 1..].iter().map(|l| (&l.line, l.level, false));
        let runways = b.field.runways.iter().map(|r| (&r.line, r.level, true));
        for (line, level, runway) in others.chain(runways) {
            let found = bare_crossings(&one.line, line);
            if level != one.level || found.is_empty() {
                continue;
            }
            if runway {
                crossings.1 += 1;
            } else {
                crossings.0 += 1;
            }
            // An end that overshoots at a shallow angle goes back to the nearest place on the line, metres before it.
            for p in found {
                let end = |n: &Notice| n.text.starts_with("an end of") && n.text.contains(&one.id);
                let near = nodes.iter().any(|n| n.distance(p) <= graph::SNAP_M);
                assert!(near || b.notices.iter().any(end), "{} crosses at {p:?}", one.id);
            }
        }
    }
    let lane_ends = |kind, words: &str| {
        let told = b.notices.iter().filter(|n| n.kind == kind && n.text.contains(words));
        told.filter(|n| n.text.starts_with("an end of") && !n.text.contains("runway"))
            .count()
    };
    let snapped = lane_ends(NoticeKind::Repair, "joined");
    Row {
        ways: lanes.len(),
        km: b.field.lanes.iter().map(|l| line_length(&l.line)).sum::<f64>() / 1000.0,
        shared: held.values().filter(|s| s.len() > 1).count(),
        with_runway: on_lane.intersection(&on_runway).count(),
        ends_inside,
        crossings,
        ends: (loose, ends.len()),
        near: (snapped, snapped + lane_ends(NoticeKind::Doubt, "without touching")),
        pieces: (pieces(&lanes, lanes.len()), pieces(&both, lanes.len())),
    }
}

fn check(file: &str, wanted: Row) {
    let Some(b) = real(file) else { return };
    let path = toeline_tests::open_data(&format!("airfields/{file}")).unwrap();
    let found = row(&std::fs::read_to_string(path).unwrap(), &b);
    assert!((found.km - wanted.km).abs() < 0.011, "{file}: {} km", found.km);
    assert_eq!(Row { km: wanted.km, ..found }, wanted, "{file}");
}

#[test]
fn schiphol_has_the_measured_counts() {
    check(
        "hubs/eham-schiphol-2023-08.geojson",
        Row {
            ways: 499,
            km: 89.55,
            shared: 642,
            with_runway: 53,
            ends_inside: 493,
            crossings: (33, 4),
            ends: (60, 998),
            near: (0, 5),
            pieces: (12, 10),
        },
    );
}

#[test]
fn frankfurt_has_the_measured_counts() {
    check(
        "hubs/eddf-frankfurt-2023-08.geojson",
        Row {
            ways: 512,
            km: 109.04,
            shared: 844,
            with_runway: 80,
            ends_inside: 677,
            crossings: (48, 1),
            ends: (27, 1024),
            near: (0, 0),
            pieces: (1, 1),
        },
    );
}

#[test]
fn barcelona_has_the_measured_counts() {
    check(
        "hubs/lebl-barcelona-2023-08.geojson",
        Row {
            ways: 494,
            km: 69.56,
            shared: 601,
            with_runway: 47,
            ends_inside: 431,
            crossings: (11, 0),
            ends: (36, 988),
            near: (15, 15),
            pieces: (7, 7),
        },
    );
}

#[test]
fn toulouse_has_the_measured_counts() {
    check(
        "hubs/lfbo-toulouse-2021-01.geojson",
        Row {
            ways: 185,
            km: 34.97,
            shared: 202,
            with_runway: 31,
            ends_inside: 110,
            crossings: (1, 1),
            ends: (28, 370),
            near: (1, 1),
            pieces: (2, 1),
        },
    );
}

#[test]
fn malta_has_the_measured_counts() {
    check(
        "malta/malta-airfield.geojson",
        Row {
            ways: 81,
            km: 17.16,
            shared: 118,
            with_runway: 30,
            ends_inside: 68,
            crossings: (2, 1),
            ends: (13, 162),
            near: (0, 0),
            pieces: (3, 1),
        },
    );
}

#[test]
fn the_isle_of_man_has_the_measured_counts() {
    check(
        "isle-of-man/by-airfield/egns-isle-of-man-airport.geojson",
        Row {
            ways: 57,
            km: 9.96,
            shared: 86,
            with_runway: 20,
            ends_inside: 48,
            crossings: (0, 0),
            ends: (11, 114),
            near: (0, 0),
            pieces: (1, 1),
        },
    );
}

#[test]
fn velana_and_gan_have_the_measured_counts() {
    check(
        "maldives/by-airfield/vrmm-velana-international-airport.geojson",
        Row {
            ways: 37,
            km: 8.97,
            shared: 61,
            with_runway: 8,
            ends_inside: 40,
            crossings: (0, 0),
            ends: (7, 74),
            near: (0, 0),
            pieces: (3, 1),
        },
    );
    check(
        "maldives/by-airfield/vrmg-gan-international-airport.geojson",
        Row {
            ways: 10,
            km: 1.54,
            shared: 16,
            with_runway: 12,
            ends_inside: 0,
            crossings: (0, 0),
            ends: (4, 20),
            near: (0, 0),
            pieces: (6, 2),
        },
    );
}

#[test]
fn bangor_and_la_paloma_have_the_measured_counts() {
    check(
        "bangor/bangor-airfield.geojson",
        Row {
            ways: 25,
            km: 12.24,
            shared: 33,
            with_runway: 8,
            ends_inside: 21,
            crossings: (0, 0),
            ends: (21, 50),
            near: (0, 0),
            pieces: (3, 2),
        },
    );
    check(
        "puerto-montt/scpf-la-paloma-2017-09.geojson",
        Row {
            ways: 8,
            km: 0.91,
            shared: 11,
            with_runway: 4,
            ends_inside: 5,
            crossings: (0, 0),
            ends: (3, 16),
            near: (0, 0),
            pieces: (1, 1),
        },
    );
}

/// The tables of the source pages: taxi ways, holding positions, stands, aprons, kilometres.
#[test]
fn the_islands_have_the_counts_of_their_source_page() {
    for (name, ways, holds, stands, aprons, km) in [
        ("faresmaathoda-airport", 2, 0, 0, 0, 0.36),
        ("unnamed-5.456n-73.370e", 2, 0, 0, 0, 0.46),
        ("vrbk-kulhudhuffushi-airport", 4, 0, 0, 0, 0.31),
        ("vrcf-funadhoo-airport", 5, 0, 0, 0, 0.44),
        ("vrda-maafaru-international-airport", 5, 0, 0, 1, 0.67),
        ("vrei-ifuru", 1, 0, 0, 1, 0.25),
        ("vrmd-dharavandhoo-airport", 1, 0, 0, 1, 0.22),
        ("vrmg-gan-international-airport", 10, 2, 0, 1, 1.54),
        ("vrmh-hanimaadhoo-airport", 1, 0, 0, 1, 0.22),
        ("vrmk-kadhdhoo-airport", 3, 2, 0, 2, 0.19),
        ("vrmo-kuddoo", 7, 2, 0, 1, 0.51),
        ("vrmr-fuvahmulah-island", 2, 2, 0, 1, 0.22),
        ("vrmt-kaadedhdhoo-domestic-airport", 2, 2, 0, 1, 0.12),
        ("vrmv-villa-international-airport-maamigili", 3, 0, 2, 1, 1.6),
        ("vrnt-thimarafushi", 2, 0, 0, 1, 0.25),
        ("vrqm-maavarulu-airport", 2, 2, 0, 1, 0.15),
        ("wrmu-dhaalu-airport", 2, 0, 0, 1, 0.3),
    ] {
        let Some(b) = real(&format!("maldives/by-airfield/{name}.geojson")) else {
            return;
        };
        let f = &b.field;
        assert_eq!(
            (f.lanes.len(), f.holding_positions.len(), f.stands.len(), f.aprons.len()),
            (ways, holds, stands, aprons),
            "{name}"
        );
        let found_km: f64 = f.lanes.iter().map(|l| line_length(&l.line)).sum::<f64>() / 1000.0;
        assert!((found_km - km).abs() < 0.011, "{name}: {found_km} km");
    }
}
