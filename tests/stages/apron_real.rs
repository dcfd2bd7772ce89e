//! Stands of real hubs that lie farther than 60 m from every lane: left over the apron, or told why not.
//!
//! Figures: counted from the same files (OpenStreetMap extracts, Open Database License). Needs the data's folder in
//! `TOELINE_OPEN_DATA`.

use super::apron::request;
use toeline_engine::route::World;
use toeline_engine::route::apron::{Ground, join_lanes, place};
use toeline_engine::{graph, read};
use toeline_model::planar::closest_on_line;
use toeline_tests::open_data;

/// Stands tried at most in each hub: the whole list takes minutes.
const TRIED: usize = 6;

#[test]
#[allow(clippy::print_stdout)]
fn far_stands_of_real_hubs_are_left_over_the_apron_or_told_why_not() {
    let hubs = [
        "eham-schiphol-2023-08",
        "lebl-barcelona-2023-08",
        "eddf-frankfurt-2023-08",
    ];
    let (mut joined, mut refused) = (0, 0);
    for hub in hubs {
        let Some(path) = open_data(&format!("airfields/hubs/{hub}.geojson")) else {
            return;
        };
        let field = read::read(&std::fs::read_to_string(path).unwrap()).unwrap().field;
        let (taxi_graph, _) = graph::build(&field);
        let mut asked = request("", None);
        let far: Vec<usize> = (0..field.stands.len())
            .filter(|s| field.stands[*s].closed.is_none() && taxi_graph.stands.iter().all(|p| p.stand != *s))
            .collect();
        let every = far.len().div_ceil(TRIED).max(1);
        let mut here = (0, 0);
        for s in far.iter().step_by(every) {
            let stand = &field.stands[*s];
            let at = stand.line[0];
            let nearest = field
                .lanes
                .iter()
                .filter_map(|l| closest_on_line(at, &l.line))
                .min_by(|a, b| a.0.distance(at).total_cmp(&b.0.distance(at)))
                .unwrap()
                .0;
            asked.from.clone_from(&stand.id);
            // Nose toward the nearest lane.
            asked.parked_heading = Some((nearest - at).direction().bearing());
            let world = World {
                field: &field,
                graph: &taxi_graph,
                aircraft: &asked.aircraft,
            };
            let off = place(world, &asked).unwrap().unwrap();
            match join_lanes(world, &asked, &off) {
                Ok(joins) => {
                    here.0 += 1;
                    for j in joins {
                        let ground = Ground::new(world, j.room, &off.pose, off.stand);
                        assert!(ground.path_fits(&j.path, 0.0), "{hub} {}", stand.id);
                        // It arrives on the lane where it says, and in its direction.
                        let line = j.onto.line(&taxi_graph);
                        let end = j.path.end().nose;
                        assert!(closest_on_line(end, &line).unwrap().0.distance(end) < 1e-3);
                        assert!(j.cost_ms >= 30_000);
                    }
                }
                Err(why) => {
                    here.1 += 1;
                    let told = &why.block.text;
                    assert!(told.starts_with(&off.name), "{told}");
                    assert!(why.block.at.x.is_finite() && why.block.at.y.is_finite());
                    println!("{hub}: {told}");
                }
            }
        }
        println!(
            "{hub}: {} stands without a lane, of {} tried {} are left over the apron, {} refused",
            far.len(),
            here.0 + here.1,
            here.0,
            here.1
        );
        joined += here.0;
        refused += here.1;
    }
    assert!(joined > refused, "{joined} {refused}");
}
