//! The fewest limits against every set of limits, the limit of that search itself, and the limits of a stand that an
//! aeroplane is pushed off.

use super::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn of_equally_few_limits_those_of_the_cheapest_way_are_named(
        kinds in prop::collection::vec(prop::sample::select(vec![0_u8, 6, 6, 9]), LANES),
        skewed in prop::collection::vec((-12.0..12.0_f64, -12.0..12.0_f64), 9),
    ) {
        // Closures and one-way lanes alone: lifting one changes no speed, so the price of a way stays what it was.
        let field = |tags: &[Option<Value>]| lattice::with_tags(80.0, &skewed, |k| tags[k].clone(), |s, _| s);
        let tags: Vec<_> = kinds.iter().map(|k| tagged(*k)).collect();
        let asked = request("1", &[], "09", "calm");
        let text = field(&tags);
        if found(&text, &asked).is_none() {
            let why = none(&text, &asked);
            let lanes = |blocks: &[toeline_engine::route::Block]| -> Vec<usize> {
                blocks.iter().map(|b| b.feature.trim_start_matches("lane-").parse().unwrap()).collect()
            };
            let price = |lanes: &[usize]| found(&field(&lift(&tags, lanes)), &asked).map(|r| r.cost_ms);
            let named = lanes(&why.blocks);
            let limited: Vec<usize> = (0..LANES).filter(|k| kinds[*k] > 5).collect();
            let sets = (0..1_u32 << limited.len()).filter(|s| s.count_ones() as usize == named.len());
            let lifted = |set: u32| -> Vec<usize> {
                limited.iter().enumerate().filter(|(i, _)| set >> i & 1 == 1).map(|(_, k)| *k).collect()
            };
            // Every set of that many, each by a search of its own on a map without those limits.
            let best = sets.take(220).filter_map(|s| price(&lifted(s))).min();
            let own = price(&named);
            prop_assert!(own.is_some() && own <= best, "{:?}: {own:?} ms, and {best:?} ms", texts(&why));
        }
    }
}

/// A square of lanes that are each closed by themselves.
fn all_closed(side: usize) -> String {
    let closed = |k: String| json!({ "aeroway": "taxiway", "ref": k, "toeline:closed": "works" });
    let mut sketch = Sketch::default();
    let at = |x: usize, y: usize| [x as f64 * 60.0, y as f64 * 60.0];
    for a in 0..=side {
        for b in 0..side {
            let (east, north) = (format!("E{a}x{b}"), format!("N{a}x{b}"));
            sketch = sketch.line(&east, &[at(b, a), at(b + 1, a)], closed(east.clone()));
            sketch = sketch.line(&north, &[at(a, b), at(a, b + 1)], closed(north.clone()));
        }
    }
    let last = at(side, side);
    sketch
        .line(
            "stand-1",
            &[[0.0, -20.0], [0.0, 0.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "direction": 0 }),
        )
        .taxiway("Z", "Z", &[last, [last[0], last[1] + 150.0]])
        .runway(
            "runway",
            "09/27",
            &[[-300.0, last[1] + 150.0], [last[0] + 300.0, last[1] + 150.0]],
        )
        .text()
}

#[test]
fn beyond_its_limit_the_search_for_the_fewest_says_that_they_are_not_proven() {
    let asked = request("1", &[], "09", "calm");
    let few = none(&all_closed(2), &asked);
    assert_eq!((few.blocks.len(), few.fewest), (4, Some(true)), "{:?}", texts(&few));
    // Some 705 432 ways of twenty-two lanes each: more sets than are looked at.
    let text = all_closed(11);
    let many = none(&text, &asked);
    assert_eq!(many.fewest, Some(false));
    // What is named still opens a way.
    let mut map: Value = serde_json::from_str(&text).unwrap();
    for f in map["features"].as_array_mut().unwrap() {
        if many.blocks.iter().any(|b| f["id"] == b.feature.as_str()) {
            f["properties"].as_object_mut().unwrap().remove("toeline:closed");
        }
    }
    assert!(found(&map.to_string(), &asked).is_some(), "{:?}", texts(&many));
    let whole = plan(&text, &asked.without_drives()).unwrap();
    let told = toeline_engine::briefing::text(&toeline_engine::briefing::brief(&whole));
    assert!(told.contains("not proven"), "{told}");
}

/// A stand with its nose in, off which an aeroplane is pushed onto the lane and never drives over its line.
pub(super) fn nose_in(more: Value) -> String {
    let mut tags = json!({ "aeroway": "parking_position", "ref": "5", "toeline:nose": "in" });
    tags.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
    home().line("stand-5", &[[200.0, 0.0], [200.0, -25.0]], tags).text()
}

#[test]
fn a_stand_that_it_is_pushed_off_has_its_own_limits() {
    let asked = request("5", &[], "27", "calm");
    assert!(found(&nose_in(json!({})), &asked).is_some());
    for (more, said) in [
        (
            json!({ "maxspan": 9 }),
            "stand 5: spans up to 9 m only, this wing has 10.1 m",
        ),
        (json!({ "toeline:closed": "works" }), "stand 5: closed (works)"),
    ] {
        let text = nose_in(more);
        assert_eq!(texts(&none(&text, &asked)), [said]);
        // By the words of the tower too.
        let told = Request {
            instruction: Some("taxi to holding point D1 runway 27 via A, D".to_string()),
            ..asked.clone()
        };
        let answer = plan(&text, &told.without_drives()).unwrap();
        let toeline_engine::planning::Outcome::NoWay(why) = answer.outcome else {
            panic!("a way off a stand that is not to be used")
        };
        assert_eq!(texts(&why), [said]);
    }
}
