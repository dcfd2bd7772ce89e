//! Bad input: refused by name, or reported and never called clear.

use super::world::*;
use toeline_engine::clearance::{Clearance, ClearanceError, Margins, Verdict, check, least_gaps, standing};
use toeline_model::Aircraft;
use toeline_model::airfield::{Airfield, Obstacle, ObstacleKind};
use toeline_model::frame::xy;
use toeline_model::path::DrivenPath;
use toeline_model::planar::Shape;

fn refused(change: impl Fn(&mut Aircraft)) -> String {
    let mut a = built_in("trainer-high-2");
    change(&mut a);
    let route = way(straight(&a, 20.0), Vec::new());
    let why = check(&bare_field(), &a, &route, &margins()).expect_err("it cannot be");
    assert_eq!(least_gaps(&bare_field(), &a, &route, &margins()).unwrap_err(), why);
    assert!(matches!(why, ClearanceError::Aircraft { .. }));
    why.to_string()
}

#[test]
fn an_aeroplane_that_cannot_be_is_refused_by_its_figure() {
    for (text, told) in [
        (
            refused(|a| a.gear.wheelbase_m = 0.0),
            "gear.wheelbase_m of 0 m must be above 0 m",
        ),
        (
            refused(|a| a.gear.wheelbase_m = -1.5),
            "gear.wheelbase_m of -1.5 m must be above 0 m",
        ),
        (refused(|a| a.gear.wheelbase_m = f64::NAN), "gear.wheelbase_m of NaN m"),
        (refused(|a| a.wing.span_m = f64::INFINITY), "wing.span_m of inf m"),
        (
            refused(|a| a.gear.track_m = 12.0),
            "gear.track_m of 12 m must be below wing.span_m of 10.1 m",
        ),
        (
            refused(|a| a.wing.root_underside_z_m = -2.0),
            "the left wing reaches from -2 m",
        ),
        (refused(|a| a.fin.top_z_m = 0.1), "the fin reaches from 0.6 m to 0.1 m"),
        (
            refused(|a| a.tailplane.span_m = f64::NAN),
            "the tailplane has no area in plan",
        ),
    ] {
        assert!(text.contains("\"trainer-high-2\"") && text.contains(told), "{text}");
    }
}

#[test]
fn everything_wrong_is_told_at_once() {
    let text = refused(|a| {
        a.gear.wheelbase_m = 0.0;
        a.gear.track_m = 11.0;
    });
    assert!(text.contains("wheelbase_m") && text.contains("track_m"), "{text}");
}

#[test]
fn a_path_or_a_margin_that_cannot_be_is_refused() {
    let a = built_in("trainer-high-2");
    let other = built_in("twin-light-6");
    let why = check(&bare_field(), &a, &way(straight(&other, 20.0), Vec::new()), &margins()).unwrap_err();
    assert!(why.to_string().contains("wheelbase"), "{why}");
    let mut nowhere = straight(&a, 20.0);
    nowhere.pieces[0].length_m = f64::NAN;
    assert!(matches!(
        check(&bare_field(), &a, &way(nowhere, Vec::new()), &margins()),
        Err(ClearanceError::Path(_))
    ));
    for bad in [-1.0, f64::NAN, f64::INFINITY] {
        let asked = Margins {
            margin_m: bad,
            ..margins()
        };
        let why = check(&bare_field(), &a, &way(straight(&a, 20.0), Vec::new()), &asked).unwrap_err();
        assert!(why.to_string().starts_with("margin of "), "{why}");
    }
}

fn with(o: Obstacle) -> Clearance {
    let a = built_in("trainer-high-2");
    let route = way(straight(&a, 60.0), Vec::new());
    let field = Airfield {
        obstacles: vec![o],
        ..bare_field()
    };
    assert!(standing(&field, &a, &route, None).len() <= 1);
    let exact = Margins {
        accuracy_m: Some(0.0),
        ..margins()
    };
    checked(&field, &a, &route, &exact)
}

fn said(c: &Clearance, part: &str) -> bool {
    c.lacks.iter().any(|l| l.contains("feature 7") && l.contains(part))
}

#[test]
fn an_outline_that_crosses_itself_is_named_and_never_clear() {
    // A ring that winds twice round its middle: by the even-odd rule the middle would be open ground.
    let star: Vec<_> = (0..5)
        .map(|i| xy(0.0, 40.0).rotated(f64::from(i) * 2.0 * core::f64::consts::TAU / 5.0) + xy(30.0, 0.0))
        .collect();
    let area = |outer: Vec<_>| Shape::Area {
        outer,
        holes: Vec::new(),
    };
    let c = with(obstacle(ObstacleKind::Building, area(star), 0.0, Some(6.0)));
    assert_eq!(c.gaps[0].gap_m, 0.0, "the middle of the star is solid");
    assert_eq!(c.verdict, Verdict::NotClear);
    assert!(said(&c, "crosses itself at"), "{:?}", c.lacks);
    // A bow tie well beside the way, 10 m from the tip: nobody knows its shape, so not clear either.
    let tie = vec![xy(20.0, 15.05), xy(40.0, 25.0), xy(40.0, 15.05), xy(20.0, 25.0)];
    let c = with(obstacle(ObstacleKind::Hangar, area(tie), 0.0, Some(6.0)));
    assert_gap(c.gaps[0].gap_m, 10.0);
    assert_eq!((c.gaps[0].verdict, c.verdict), (Verdict::NotKnown, Verdict::NotKnown));
    assert!(said(&c, "crosses itself at 30, 20 m"), "{:?}", c.lacks);
    // The same corners in order are a plain hangar.
    let plain = vec![xy(20.0, 15.05), xy(40.0, 15.05), xy(40.0, 25.0), xy(20.0, 25.0)];
    assert_eq!(
        with(obstacle(ObstacleKind::Hangar, area(plain), 0.0, Some(6.0))).verdict,
        Verdict::Clear
    );
}

#[test]
fn heights_that_cannot_be_are_named_and_taken_as_all_heights() {
    let at = |bottom_m, top_m, y| {
        let disc = Shape::Disc {
            at: xy(30.0, y),
            radius_m: 0.1,
        };
        with(obstacle(ObstacleKind::Mast, disc, bottom_m, top_m))
    };
    for (bottom_m, top_m) in [
        (-3.0, Some(4.0)),
        (0.0, Some(-2.0)),
        (5.0, Some(2.0)),
        (0.0, Some(0.0)),
        (f64::NAN, None),
        (0.0, Some(f64::NAN)),
    ] {
        // In the way of the wing, wherever the figures say it is.
        let c = at(bottom_m, top_m, 3.0);
        assert_eq!(
            (c.gaps[0].gap_m, c.verdict),
            (0.0, Verdict::NotClear),
            "{bottom_m} {top_m:?}"
        );
        assert!(said(&c, "which cannot be"), "{:?}", c.lacks);
        assert_eq!(at(bottom_m, top_m, 12.0).verdict, Verdict::NotKnown);
    }
    assert_eq!(at(0.0, Some(4.0), 12.0).verdict, Verdict::Clear);
}

#[test]
fn what_has_no_place_is_named_and_nothing_is_called_clear() {
    for shape in [
        Shape::Disc {
            at: xy(f64::NAN, 3.0),
            radius_m: 1.0,
        },
        Shape::Disc {
            at: xy(30.0, 3000.0),
            radius_m: -1.0,
        },
        Shape::Line { points: Vec::new() },
        Shape::Line {
            points: vec![xy(1.0, f64::INFINITY), xy(0.0, 0.0)],
        },
        Shape::Area {
            outer: vec![xy(0.0, 0.0), xy(1.0, 0.0)],
            holes: Vec::new(),
        },
    ] {
        let c = with(obstacle(ObstacleKind::Building, shape.clone(), 0.0, None));
        assert_eq!((c.gaps.len(), c.verdict), (0, Verdict::NotKnown), "{shape:?}");
        assert!(said(&c, "has no place"), "{:?}", c.lacks);
    }
}

#[test]
fn an_obstacle_on_the_starting_pose_is_a_contact_from_the_start() {
    // On the tailplane, where only the start touches it; on the nose wheel; and a way that does not move at all.
    let c = with(pole(xy(-1.52 - 3.8, 1.0), 0.1));
    let g = &c.gaps[0];
    assert_eq!(
        (g.gap_m, g.verdict, c.verdict),
        (0.0, Verdict::NotClear, Verdict::NotClear)
    );
    assert_eq!(g.contact_m.expect("a contact")[0], 0.0);
    assert_eq!(
        with(pole(xy(0.0, 0.0), 0.0)).gaps[0].contact_m.expect("a contact")[0],
        0.0
    );
    let a = built_in("trainer-high-2");
    let path = DrivenPath::new(a.gear.wheelbase_m, straight(&a, 1.0).start);
    let c = among(&a, &path, vec![pole(xy(0.0, 0.0), 0.0)]);
    assert_eq!(
        (only(&c).gap_m, only(&c).contact_m, c.verdict),
        (0.0, Some([0.0, 0.0]), Verdict::NotClear)
    );
}
