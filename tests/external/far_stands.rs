//! Stands of real hubs that lie farther than 60 m from every lane: left over the apron, or told why not, against pavement
//! put together by shapely (GEOS).
//!
//! The maps are OpenStreetMap extracts (Open Database License), read from the folder in `TOELINE_OPEN_DATA`.

use super::python::{answer, python};
use serde_json::{Value, json};
use toeline_engine::graph::{self, Source, TaxiGraph};
use toeline_engine::read;
use toeline_engine::request::Request;
use toeline_engine::route::World;
use toeline_engine::route::apron::{Ground, Off, join_lanes};
use toeline_model::path::Pose;
use toeline_model::planar::{Shape, closest_on_line};
use toeline_model::{Airfield, Xy};
use toeline_tests::lanes::built_in;
use toeline_tests::open_data;

/// Stands tried at most in each hub: the whole list takes minutes.
const TRIED: usize = 10;
/// Half the width of a lane without one, metres: as in the search.
const UNKNOWN_HALF_M: f64 = 3.75;

fn asking(from: &str) -> Request {
    toeline_tests::request("trainer-high-2", from, &[], "27", "calm")
}

fn points(line: &[Xy]) -> Value {
    json!(line.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>())
}

fn question(field: &Airfield, graph: &TaxiGraph, places: &[Xy]) -> Value {
    let areas = field.aprons.iter().chain(&field.check_areas).chain(&field.outlines);
    let areas = areas.map(|a| {
        let holes: Vec<Value> = a.holes.iter().map(|h| points(h)).collect();
        json!({ "outer": points(&a.outer), "holes": holes })
    });
    let buildings = field.obstacles.iter().filter_map(|o| match &o.shape {
        Shape::Area { outer, .. } => Some(points(outer)),
        Shape::Line { .. } | Shape::Disc { .. } => None,
    });
    let lanes = graph
        .graph
        .edge_weights()
        .filter(|s| matches!(s.source, Source::Lane(..)));
    let lanes =
        lanes.map(|s| json!({ "points": points(&s.line), "half_m": s.width_m.map_or(UNKNOWN_HALF_M, |w| w / 2.0) }));
    json!({
        "areas": areas.collect::<Vec<_>>(),
        "buildings": buildings.collect::<Vec<_>>(),
        "lanes": lanes.collect::<Vec<_>>(),
        "places": points(places),
    })
}

#[test]
fn far_stands_of_real_hubs_are_left_over_the_apron_or_told_why_not() {
    let Some(python) = python() else { return };
    let aircraft = built_in("trainer-high-2");
    let (mut joined, mut without) = (0, 0);
    // Counted by hand from the same files: 110 stands at the first are joined to no lane, 45 at the second.
    for (hub, unjoined) in [("eham-schiphol-2023-08", 110), ("lebl-barcelona-2023-08", 45)] {
        let Some(path) = open_data(&format!("airfields/hubs/{hub}.geojson")) else {
            return;
        };
        let field = read::read(&std::fs::read_to_string(path).unwrap()).unwrap().field;
        let (taxi_graph, _) = graph::build(&field);
        let far: Vec<usize> = (0..field.stands.len())
            .filter(|s| taxi_graph.stands.iter().all(|p| p.stand != *s))
            .collect();
        assert_eq!(far.len(), unjoined, "{hub}");
        let tried: Vec<usize> = far.iter().step_by(far.len().div_ceil(TRIED)).copied().collect();
        let places: Vec<Xy> = tried.iter().map(|s| field.stands[*s].line[0]).collect();
        let known = answer(&python, "pavement.py", &question(&field, &taxi_graph, &places));
        let world = World {
            field: &field,
            graph: &taxi_graph,
            aircraft: &aircraft,
        };
        for (k, s) in tried.iter().enumerate() {
            let (at, known) = (places[k], &known[k]);
            let lanes = field.lanes.iter().filter_map(|l| closest_on_line(at, &l.line));
            let nearest = lanes
                .map(|l| l.0)
                .min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)));
            let off = Off {
                name: format!("stand {}", field.stands[*s].id),
                stand: Some(*s),
                pose: Pose {
                    nose: at,
                    // Toward the nearest lane.
                    heading_rad: (nearest.unwrap() - at).direction(),
                },
            };
            match join_lanes(world, &asking(&off.name), &off) {
                Ok(joins) => {
                    joined += 1;
                    assert_eq!(known["gap_m"], json!(0.0), "{hub} {}", off.name);
                    for j in joins {
                        let ground = Ground::new(world, j.room, &off.pose, off.stand);
                        assert!(ground.path_fits(&j.path, 0.0), "{hub} {}", off.name);
                        let end = j.path.end().nose;
                        let line = j.onto.line(&taxi_graph);
                        assert!(closest_on_line(end, &line).unwrap().0.distance(end) < 1e-3);
                    }
                }
                Err(why) => {
                    let told = &why.block.text;
                    println!("{hub}: {told}");
                    assert!(told.starts_with(&off.name), "{told}");
                    if let Some((_, rest)) = told.split_once("lies about ") {
                        without += 1;
                        // Told to a cell, and to the lanes looked at: never less than to the nearest of all.
                        let about: f64 = rest.split(' ').next().unwrap().parse().unwrap();
                        let gap_m = known["gap_m"].as_f64().unwrap();
                        assert!(gap_m > 0.0 && about > gap_m - 2.0, "{told}: {gap_m}");
                    } else if told.contains("does not stand on an apron") {
                        without += 1;
                        // The wheel's own place, to rounding.
                        assert!(known["on"].as_f64().unwrap() > 0.0, "{told}");
                    }
                }
            }
        }
        println!("{hub}: {} of {unjoined} far stands tried", tried.len());
    }
    println!("{joined} are left over the apron, {without} stand where no mapped pavement leads to a lane");
    assert!(joined >= 2 && without >= 2, "{joined} {without}");
}
