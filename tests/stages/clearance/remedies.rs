//! What would make it clear: worked out by hand for a wall beside a straight way.

use super::world::*;
use toeline_engine::clearance::{Margins, Remedy, RemedyKind, remedies};
use toeline_engine::request::MarginRule;
use toeline_model::airfield::Airfield;
use toeline_model::frame::xy;

/// A wall 7 m beside the way from 40 m to 60 m, or another distance; the map is exact.
fn beside(wall_m: f64, id: &str, rule: MarginRule) -> Vec<Remedy> {
    let a = built_in(id);
    let field = Airfield {
        obstacles: vec![fence(&[xy(40.0, wall_m), xy(60.0, wall_m)], 9.0)],
        ..bare_field()
    };
    let exact = Margins {
        accuracy_m: Some(0.0),
        rule,
        ..margins()
    };
    let route = way(straight(&a, 100.0), Vec::new());
    let found = checked(&field, &a, &route, &exact);
    remedies(&field, &a, &route, &exact, &found, 2)
}

fn of(list: &[Remedy], kind: RemedyKind) -> &Remedy {
    list.iter()
        .find(|r| r.kind == kind)
        .unwrap_or_else(|| panic!("{list:?}"))
}

#[test]
fn a_clear_way_needs_none() {
    assert!(beside(9.0, "trainer-high-2", MarginRule::Pilot).is_empty());
}

#[test]
fn the_span_that_would_clear_is_found_to_a_centimetre() {
    // 7 m less the margin of 3 m is 4 m a side.
    let list = beside(7.0, "trainer-high-2", MarginRule::Pilot);
    let span = of(&list, RemedyKind::LessSpan);
    assert!(
        span.helps && span.text.contains("would clear with 7.99 m, it has 10.1 m"),
        "{span:?}"
    );
    assert!(!of(&list, RemedyKind::AnotherWay).helps);
    assert!(of(&list, RemedyKind::AnotherWay).text.contains("2 others were tried"));
}

#[test]
fn the_aeroplanes_that_fit_are_named_with_their_spans() {
    // 9 m from the line: half spans up to 6 m keep 3 m.
    let list = beside(9.0, "motorglider-15", MarginRule::Pilot);
    let another = of(&list, RemedyKind::AnotherAeroplane);
    assert!(another.helps);
    for a in toeline_model::aircraft::catalog::all() {
        let fits = a.wing.span_m / 2.0 + 3.0 <= 9.0 && a.id != "motorglider-15";
        assert_eq!(
            another.text.contains(&format!("({}, span", a.id)),
            fits,
            "{}: {}",
            a.id,
            another.text
        );
    }
    // Nothing built in is as narrow as 3 m from a wall at 4 m.
    assert!(
        !of(
            &beside(4.0, "motorglider-15", MarginRule::Pilot),
            RemedyKind::AnotherAeroplane
        )
        .helps
    );
}

#[test]
fn where_to_stop_and_how_far_to_push_covers_the_whole_tight_stretch() {
    let list = beside(7.0, "trainer-high-2", MarginRule::Pilot);
    let push = of(&list, RemedyKind::HandPush);
    let figures: Vec<f64> = push
        .text
        .split_whitespace()
        .filter_map(|w| w.parse::<f64>().ok())
        .collect();
    let [stop_m, push_m, end_m] = figures[..] else {
        panic!("{}", push.text)
    };
    // The gap falls below 3 m when the tip, 1.95 m from the wall's line, is √(3² − 1.95²) = 2.28 m short of its end: its
    // leading edge is 0.77 m behind the nose wheel, its trailing edge 1.87 m.
    let along_m = (9.0_f64 - 1.95 * 1.95).sqrt();
    let (first_m, last_m) = (40.0 - along_m + 0.77, 60.0 + along_m + 1.87);
    assert!(stop_m <= first_m + 0.5 && stop_m > first_m - 2.0, "{stop_m} {first_m}");
    assert!(end_m >= last_m - 0.5 && end_m < last_m + 2.0, "{end_m} {last_m}");
    assert!((push_m - (end_m - stop_m)).abs() <= 1.0);
    let walker = of(&list, RemedyKind::WingWalker);
    assert!(
        walker.helps && walker.text.contains("left wing") && walker.text.contains("1.9 m is left"),
        "{walker:?}"
    );
}

#[test]
fn where_it_touches_walking_at_the_tip_is_no_help() {
    let list = beside(5.0, "trainer-high-2", MarginRule::Pilot);
    assert!(!of(&list, RemedyKind::WingWalker).helps);
    assert!(of(&list, RemedyKind::HandPush).text.contains("moved aside by hand"));
}
