//! Real open data: every field is read, and its graph has the pieces that were measured.
//!
//! Figures: counted beforehand from the same files with other means (OpenStreetMap extracts, Open Database License; the
//! list of findings beside the data). Needs the data's folder in `TOELINE_OPEN_DATA`.

use petgraph::unionfind::UnionFind;
use std::collections::BTreeSet;
use std::path::PathBuf;
use toeline_engine::graph::{self, Source, TaxiGraph};
use toeline_engine::notice::{Notice, NoticeKind};
use toeline_engine::read;
use toeline_model::Airfield;
use toeline_model::airfield::Surface;
use toeline_model::planar::line_length;
use toeline_tests::{demo_field, open_data};

struct Built {
    field: Airfield,
    read_notices: Vec<Notice>,
    graph: TaxiGraph,
    notices: Vec<Notice>,
}

fn build(text: &str) -> Built {
    let r = read::read(text).unwrap_or_else(|e| panic!("{e}"));
    let (graph, notices) = graph::build(&r.field);
    Built {
        field: r.field,
        read_notices: r.notices,
        graph,
        notices,
    }
}

fn real(file: &str) -> Option<Built> {
    let path = open_data(&format!("airfields/{file}"))?;
    Some(build(&std::fs::read_to_string(path).unwrap()))
}

/// Connected pieces of what a wheel can roll on: lanes alone, or with the runways that are not on water.
fn pieces(b: &Built, runways: bool) -> usize {
    let g = &b.graph.graph;
    let mut sets = UnionFind::new(g.node_count());
    let mut used = BTreeSet::new();
    for s in g.edge_weights() {
        let counts = match s.source {
            Source::Lane(..) => true,
            Source::Runway(i) => runways && b.field.runways[i].surface != Surface::Water,
            Source::Stand(_) => false,
        };
        if counts {
            sets.union(s.from.index(), s.to.index());
            used.extend([s.from.index(), s.to.index()]);
        }
    }
    used.iter().map(|n| sets.find(*n)).collect::<BTreeSet<_>>().len()
}

fn lane_km(b: &Built) -> f64 {
    b.field.lanes.iter().map(|l| line_length(&l.line)).sum::<f64>() / 1000.0
}

fn count(notices: &[Notice], kind: NoticeKind, words: &str) -> usize {
    notices
        .iter()
        .filter(|n| n.kind == kind && n.text.contains(words))
        .count()
}

fn derived(b: &Built) -> usize {
    b.graph.holds.iter().filter(|h| h.position.is_none()).count()
}

#[test]
fn every_single_field_is_read_and_built() {
    let Some(folder) = open_data("airfields") else { return };
    let mut files: Vec<PathBuf> = Vec::new();
    for part in [
        "hubs",
        "malta",
        "bangor",
        "puerto-montt",
        "isle-of-man/by-airfield",
        "maldives/by-airfield",
    ] {
        let list = std::fs::read_dir(folder.join(part)).unwrap().map(|e| e.unwrap().path());
        files.extend(list.filter(|p| p.extension().is_some_and(|e| e == "geojson")));
    }
    files.sort();
    assert!(files.len() >= 27, "{} files", files.len());
    for f in files {
        let b = build(&std::fs::read_to_string(&f).unwrap());
        assert!(
            !b.field.lanes.is_empty() && b.graph.graph.edge_count() > 0,
            "{}",
            f.display()
        );
        for s in b.graph.graph.edge_weights() {
            assert!(s.length_m > 0.0 && s.from != s.to && s.line.iter().all(|p| p.x.is_finite() && p.y.is_finite()));
        }
        // Every runway that wheels use and a lane meets can be held before.
        for (i, r) in b
            .field
            .runways
            .iter()
            .enumerate()
            .filter(|(_, r)| r.surface != Surface::Water && r.closed.is_none())
        {
            let met = b.graph.graph.node_indices().any(|n| {
                let sources: Vec<Source> = b.graph.graph.edges(n).map(|e| e.weight().source).collect();
                sources.contains(&Source::Runway(i)) && sources.iter().any(|s| matches!(s, Source::Lane(..)))
            });
            let held = b.graph.holds.iter().any(|h| h.guards == Some(i));
            assert!(
                !met || held,
                "{}: runway {} is met but never held before",
                f.display(),
                r.id
            );
        }
    }
}

#[test]
fn a_whole_country_is_too_wide_for_one_field() {
    let Some(path) = open_data("airfields/maldives/maldives-2023-05.geojson") else {
        return;
    };
    let e = read::read(&std::fs::read_to_string(path).unwrap()).unwrap_err();
    assert!(e.to_string().contains("the limit is 30 km"), "{e}");
}

#[test]
fn frankfurt_is_one_piece_with_all_its_holding_positions() {
    let Some(b) = real("hubs/eddf-frankfurt-2023-08.geojson") else {
        return;
    };
    assert_eq!(
        (
            b.field.lanes.len(),
            b.field.stands.len(),
            b.field.holding_positions.len()
        ),
        (512, 449, 348)
    );
    assert!((lane_km(&b) - 109.04).abs() < 0.02, "{} km", lane_km(&b));
    assert_eq!((pieces(&b, false), pieces(&b, true)), (1, 1));
    assert_eq!(b.graph.holds.iter().filter(|h| h.position.is_some()).count(), 348);
    assert_eq!(
        count(&b.notices, NoticeKind::Repair, "beside"),
        0,
        "all 348 are vertices of a taxiway"
    );
    // 8 lanes are marked disused and nine stands bear a span of 650.
    assert_eq!(b.field.lanes.iter().filter(|l| l.closed.is_some()).count(), 8);
    assert_eq!(count(&b.read_notices, NoticeKind::Doubt, "maxspan=\"650\""), 9);
    // 48 crossings of two lanes, one of a lane and a runway, 20 of stand lines, and stand lines over runways or second
    // crossings of the same pair: at least the lane ones.
    assert!(count(&b.notices, NoticeKind::Repair, "cross") >= 49);
    assert_eq!(b.graph.stands.len(), 449);
}

#[test]
fn schiphol_has_the_measured_pieces_and_near_misses() {
    let Some(b) = real("hubs/eham-schiphol-2023-08.geojson") else {
        return;
    };
    assert_eq!(
        (
            b.field.lanes.len(),
            b.field.stands.len(),
            b.field.holding_positions.len()
        ),
        (499, 245, 93)
    );
    assert!((lane_km(&b) - 89.55).abs() < 0.02);
    assert_eq!(b.field.runways.len(), 6, "11 lines are 6 runways");
    assert_eq!((pieces(&b, false), pieces(&b, true)), (12, 10));
    assert_eq!(count(&b.notices, NoticeKind::Doubt, "without touching it"), 5);
    assert_eq!(count(&b.notices, NoticeKind::Repair, "beside"), 10);
}

#[test]
fn barcelona_becomes_one_piece_by_joining_near_ends() {
    let Some(b) = real("hubs/lebl-barcelona-2023-08.geojson") else {
        return;
    };
    assert_eq!(b.field.lanes.len(), 494);
    assert_eq!(count(&b.notices, NoticeKind::Repair, "an end of"), 15);
    // Seven pieces by shared points alone; one when ends within 0.5 m are joined.
    assert_eq!((pieces(&b, false), pieces(&b, true)), (1, 1));
}

#[test]
fn the_isle_of_man_is_one_piece_on_two_runways() {
    let Some(b) = real("isle-of-man/by-airfield/egns-isle-of-man-airport.geojson") else {
        return;
    };
    assert_eq!(
        (
            b.field.lanes.len(),
            b.field.holding_positions.len(),
            b.field.runways.len()
        ),
        (57, 27, 2)
    );
    assert!((lane_km(&b) - 9.96).abs() < 0.01);
    assert_eq!((pieces(&b, false), pieces(&b, true)), (1, 1));
    assert_eq!(b.graph.holds.iter().filter(|h| h.position.is_some()).count(), 27);
}

#[test]
fn malta_gets_derived_holding_positions() {
    let Some(b) = real("malta/malta-airfield.geojson") else {
        return;
    };
    assert_eq!(
        (
            b.field.lanes.len(),
            b.field.stands.len(),
            b.field.holding_positions.len()
        ),
        (81, 100, 0)
    );
    assert!((lane_km(&b) - 17.16).abs() < 0.01);
    // Measured: 3 and 1. The third runway line is a heliport's, with no lane: one more.
    assert_eq!((pieces(&b, false), pieces(&b, true)), (3, 2));
    assert!(derived(&b) >= 10, "{}", derived(&b));
    assert_eq!(b.graph.stands.len(), 100);
    assert!(
        b.field.name.as_deref().is_some_and(|n| n.contains("Malta")),
        "{:?}",
        b.field.name
    );
    for h in &b.graph.holds {
        assert!(
            h.guards.is_some() && h.toward.is_some() && h.runway_node.is_some(),
            "{}",
            h.name
        );
    }
}

#[test]
fn velana_is_one_piece_with_its_runway_and_no_wheel_goes_on_water() {
    let Some(b) = real("maldives/by-airfield/vrmm-velana-international-airport.geojson") else {
        return;
    };
    assert_eq!(
        (
            b.field.lanes.len(),
            b.field.stands.len(),
            b.field.holding_positions.len()
        ),
        (37, 70, 6)
    );
    assert!((lane_km(&b) - 8.97).abs() < 0.01);
    assert_eq!(
        b.field.runways.iter().filter(|r| r.surface == Surface::Water).count(),
        4
    );
    assert_eq!((pieces(&b, false), pieces(&b, true)), (3, 1));
    assert!(
        b.graph
            .holds
            .iter()
            .all(|h| h.guards.is_none_or(|r| b.field.runways[r].surface != Surface::Water))
    );
}

#[test]
fn the_demo_field_reads_cleanly_and_is_one_piece() {
    let b = build(&demo_field());
    assert_eq!(b.read_notices, []);
    assert_eq!(pieces(&b, true), 1);
    assert_eq!(derived(&b), 0, "it has all its holding positions");
    assert_eq!(b.graph.stands.len(), b.field.stands.len());
    // Its page names one dirty place: a link that stops 0.2 m short of taxiway A.
    let texts: Vec<&str> = b.notices.iter().map(|n| n.text.as_str()).collect();
    assert_eq!(texts.len(), 1, "{texts:?}");
    assert!(
        b.notices[0].kind == NoticeKind::Repair && texts[0].contains("0.20 m"),
        "{texts:?}"
    );
    for h in &b.graph.holds {
        let name = h
            .position
            .and_then(|p| b.field.holding_positions[p].name.clone())
            .unwrap();
        assert_eq!(h.guards.is_none(), name == "M1", "{name}");
    }
}
