//! What is written for a way, read and followed again, is that way: every stand to every runway.

use super::{Place, request};
use toeline_engine::instruction::{Followed, say};
use toeline_engine::route::{Attempted, Avoid, Directed, Route, find};
use toeline_model::Bearing;

struct Count {
    ways: usize,
    /// Written in words that the writer itself says are not enough.
    doubted: usize,
    /// Doubted although it is the cheapest way there is.
    own_doubted: usize,
    /// Whether every doubt must be for another way of the same words: so where everything has a name.
    must_tell_apart: bool,
}

/// Writes and reads again the ways from these stands to every runway, and those by which each named lane is avoided.
fn pairs(place: &Place, stands: &[String], others: usize, must_tell_apart: bool) -> Count {
    let mut count = Count {
        ways: 0,
        doubted: 0,
        own_doubted: 0,
        must_tell_apart,
    };
    let runways = place.field.runways.iter().flat_map(|r| r.designators.iter().flatten());
    let ends: Vec<String> = runways.cloned().collect();
    for from in stands {
        for to in &ends {
            let mut asked = request(from, to);
            let own = match find(place.world(&asked), &asked, 0.0, &Avoid::default()) {
                Ok(found) => Ok(found),
                // A point without a heading: any will do.
                Err(toeline_engine::route::RouteError::NeedsHeading { out_deg, .. }) => {
                    asked.parked_heading = Some(Bearing::from_deg(f64::from(out_deg)));
                    find(place.world(&asked), &asked, 0.0, &Avoid::default())
                }
                Err(e) => Err(e),
            };
            let Ok(Attempted::Way(own)) = own else { continue };
            let before = count.doubted;
            again(place, &asked, &own, &mut count);
            count.own_doubted += usize::from(count.doubted > before);
            // Ways that are not the cheapest: one of the segments must not be used.
            let n = own.segments.len();
            for k in 1..=others {
                let (edge, forward) = own.segments[k * n / (others + 1)];
                let mut avoid = Avoid::default();
                avoid.segments.insert(Directed { edge, forward });
                if let Ok(Attempted::Way(other)) = find(place.world(&asked), &asked, 0.0, &avoid) {
                    again(place, &asked, &other, &mut count);
                }
            }
        }
    }
    count
}

fn again(place: &Place, asked: &toeline_engine::Request, route: &Route, count: &mut Count) {
    count.ways += 1;
    let said = say(place.world(asked), asked, route, None);
    if said.doubt.is_some() {
        count.doubted += 1;
        // Only rightly so: the same words lead along another way, which is not dearer.
        if count.must_tell_apart {
            let Ok(Followed::Way { route: other, .. }) = place.follow(asked, &said.instruction) else {
                panic!("{} to {}: {}: not even read", asked.from, asked.to, said.instruction)
            };
            assert!(
                other.segments != route.segments && other.cost_ms <= route.cost_ms,
                "{}",
                said.instruction
            );
        }
        return;
    }
    for text in [&said.instruction, &said.runway_first] {
        let followed = place
            .follow(asked, text)
            .unwrap_or_else(|e| panic!("{} to {}: {text}: {e:?}", asked.from, asked.to));
        let Followed::Way { route: same, .. } = followed else {
            panic!("{} to {}: {text}: {followed:?}", asked.from, asked.to)
        };
        assert_eq!(same.segments, route.segments, "{} to {}: {text}", asked.from, asked.to);
        assert_eq!(same.path, route.path, "{} to {}: {text}", asked.from, asked.to);
    }
}

#[test]
fn every_stand_to_every_runway_on_the_demo_field() {
    let demo = Place::demo();
    let stands: Vec<String> = demo.field.stands.iter().filter_map(|s| s.name.clone()).collect();
    let count = pairs(&demo, &stands, 3, true);
    assert!(count.ways >= 13 * 4 * 3, "{} ways", count.ways);
    assert_eq!(count.own_doubted, 0);
    assert!(count.doubted < count.ways / 4, "{} of {}", count.doubted, count.ways);
}

#[test]
#[allow(clippy::print_stdout)] // how many ways have no words, shown with --nocapture
fn stands_to_runways_on_real_fields() {
    // How many could not be said: as measured, from a third to nearly all of the length of these fields has no letter. More
    // would mean that the writer has become worse, or that other ways are chosen. Malta had 28 before the search took the
    // cheapest clear way; one of the two more is a way that the price of the push changed, the other was not traced.
    for (file, least, most_doubted) in [
        ("malta/malta-airfield.geojson", 50, 30),
        ("hubs/lfbo-toulouse-2021-01.geojson", 50, 15),
        ("maldives/by-airfield/vrmm-velana-international-airport.geojson", 25, 22),
    ] {
        let Some(path) = toeline_tests::open_data(&format!("airfields/{file}")) else {
            return;
        };
        let place = Place::of(&std::fs::read_to_string(path).unwrap());
        let places = place.graph.stands.iter();
        let ids: Vec<String> = places.map(|s| place.field.stands[s.stand].id.clone()).collect();
        let stands: Vec<String> = ids.iter().step_by(ids.len().div_ceil(8).max(1)).cloned().collect();
        let count = pairs(&place, &stands, 1, false);
        println!(
            "{file}: {} ways, {} of them not to be said in names alone, {} of those our own choice",
            count.ways, count.doubted, count.own_doubted
        );
        assert!(count.ways >= least, "{file}: {} ways", count.ways);
        assert!(count.doubted <= most_doubted, "{file}: {} doubted", count.doubted);
    }
}
