//! Stage `clearance`: cases whose answers follow by hand from the figures of the aeroplane files.

mod bad;
mod edges;
mod holds;
mod parked;
mod properties;
mod remedies;
mod rows;
mod world;

use toeline_engine::clearance::Verdict;
use toeline_engine::request::MarginRule;
use toeline_engine::route::TurnMeans;
use toeline_model::airfield::{Airfield, ObstacleKind};
use toeline_model::frame::xy;
use toeline_model::path::DrivenPath;
use toeline_model::planar::{self, Shape};
use toeline_model::units::DEG;
use toeline_model::{Pose, Xy, aircraft::parts};
use world::*;

#[test]
fn wing_passing_a_pole_on_a_straight_keeps_offset_less_half_span() {
    let a = built_in("trainer-high-2");
    let c = among(&a, &straight(&a, 100.0), vec![pole(xy(50.0, 9.0), 0.1)]);
    // Half of 10.1 m and the radius of the pole.
    assert_gap(only(&c).gap_m, 9.0 - 5.05 - 0.1);
    assert_eq!(only(&c).part, "left wing");
    assert_eq!(only(&c).contact_m, None);
    let g = only(&c);
    assert!(
        (g.on_aircraft.y - 5.05).abs() < 1e-9 && (g.on_obstacle.y - 8.9).abs() < 1e-3,
        "{g:?}"
    );
    assert!((g.heading.deg() - 90.0).abs() < 1e-9);
}

#[test]
fn tip_in_a_steady_turn_runs_on_the_published_radius() {
    // standards.md D1, row L = 1.65 m, T = 2.53 m, b = 11.0 m, δ = 30°: nose wheel 3.3000 m, main axle 2.8579 m, and
    // the tip on √((R + b/2)² + x_t²).
    let mut a = built_in("trainer-high-2");
    a.gear.wheelbase_m = 1.65;
    a.wing.span_m = 11.0;
    let (x_t, r_main): (f64, f64) = (a.wing.tip_leading_edge_x_m, 2.8579);
    let tip_m = ((r_main + 5.5) * (r_main + 5.5) + x_t * x_t).sqrt();
    let start = Pose {
        nose: xy(0.0, -3.3),
        heading_rad: east().turned(-30.0 * DEG),
    };
    let mut path = DrivenPath::new(1.65, start);
    path.arc(east(), 3.3, 350.0 * DEG, 0);
    let c = among(&a, &path, vec![pole(Xy::unit(east().turned(0.7)) * 12.0, 0.05)]);
    // The table's radius is rounded to 0.1 mm.
    assert!(
        (only(&c).gap_m - (12.0 - 0.05 - tip_m)).abs() < 1e-3 + 1e-4,
        "{:?}",
        only(&c)
    );
    assert_eq!(only(&c).part, "right wing");
}

#[test]
fn pole_in_the_swept_area_is_a_contact_with_its_interval() {
    let a = built_in("trainer-high-2");
    let c = among(&a, &straight(&a, 100.0), vec![pole(xy(50.0, 3.0), 0.0)]);
    let g = only(&c);
    assert_eq!(
        (g.gap_m, g.verdict, c.verdict),
        (0.0, Verdict::NotClear, Verdict::NotClear)
    );
    // The wing 3 m out: leading edge 0.95 - 0.20·3/5.05 m, trailing edge -0.60 + 0.25·3/5.05 m from the main axle, which
    // is 1.52 m behind the nose wheel.
    let t = 3.0 / 5.05;
    let [first, last] = g.contact_m.expect("a contact");
    assert!((first - (50.0 + 1.52 - (0.95 - 0.20 * t))).abs() < 0.01, "{first}");
    assert!((last - (50.0 + 1.52 + 0.60 - 0.25 * t)).abs() < 0.01, "{last}");
    assert!((first..=last).contains(&g.at_m));
}

#[test]
fn building_that_the_aeroplane_is_inside_of_is_a_contact_all_along() {
    let a = built_in("trainer-high-2");
    let outer = vec![xy(-50.0, -50.0), xy(150.0, -50.0), xy(150.0, 50.0), xy(-50.0, 50.0)];
    let hangar = obstacle(
        ObstacleKind::Hangar,
        Shape::Area {
            outer,
            holes: Vec::new(),
        },
        0.0,
        Some(8.0),
    );
    let c = among(&a, &straight(&a, 30.0), vec![hangar]);
    assert_eq!((only(&c).gap_m, only(&c).contact_m), (0.0, Some([0.0, 30.0])));
}

#[test]
fn courtyard_is_free_up_to_its_walls() {
    let a = built_in("trainer-high-2");
    let outer = vec![xy(-80.0, -50.0), xy(150.0, -50.0), xy(150.0, 50.0), xy(-80.0, 50.0)];
    let yard = vec![xy(-60.0, -18.0), xy(130.0, -18.0), xy(130.0, 20.0), xy(-60.0, 20.0)];
    let building = obstacle(
        ObstacleKind::Building,
        Shape::Area {
            outer,
            holes: vec![yard],
        },
        0.0,
        Some(8.0),
    );
    let c = among(&a, &straight(&a, 100.0), vec![building]);
    assert_gap(only(&c).gap_m, 18.0 - 5.05);
    assert_eq!(only(&c).part, "right wing");
}

#[test]
fn high_wing_passes_over_a_low_fence_and_a_low_wing_does_not() {
    let posts = [xy(-20.0, 4.0), xy(120.0, 4.0)];
    let high = built_in("trainer-high-2");
    let c = among(&high, &straight(&high, 100.0), vec![fence(&posts, 1.2)]);
    // Wing 2.05 m up passes over; the tailplane, 1.05 m up and 3.1 m wide, is next.
    assert_gap(only(&c).gap_m, 4.0 - 1.55);
    assert_eq!(only(&c).part, "tailplane");
    let low = built_in("tourer-low-4");
    let c = among(&low, &straight(&low, 100.0), vec![fence(&posts, 1.2)]);
    assert_eq!((only(&c).gap_m, only(&c).part.as_str()), (0.0, "left wing"));
}

#[test]
fn vertical_margin_decides_what_passes_over() {
    let posts = [xy(-20.0, 4.0), xy(120.0, 4.0)];
    let a = built_in("trainer-high-2");
    let with_top = |top_m| only(&among(&a, &straight(&a, 100.0), vec![fence(&posts, top_m)])).gap_m;
    // Underside 2.05 m, margin 0.5 m.
    assert_gap(with_top(1.55), 4.0 - 1.55);
    assert_eq!(with_top(1.56), 0.0);
}

#[test]
fn dihedral_lifts_the_tip_into_what_hangs_low() {
    let under = |dihedral_deg| {
        let mut a = built_in("tourer-low-4");
        a.wing.dihedral_deg = dihedral_deg;
        let beam = Shape::Disc {
            at: xy(50.0, 4.0),
            radius_m: 0.2,
        };
        let c = among(
            &a,
            &straight(&a, 100.0),
            vec![obstacle(ObstacleKind::Mast, beam, 2.0, Some(9.0))],
        );
        (only(&c).gap_m, only(&c).part.clone())
    };
    // Tip at 0.85 + 5.35·tan 6.5° + 0.24 = 1.70 m, within 0.5 m of 2.0 m; flat, the wing ends at 1.09 m, and the widest
    // part near enough is the propeller: hub 1.25 m up, 0.95 m to each side, up to 2.2 m.
    assert_eq!(under(6.5), (0.0, "left wing".to_string()));
    let (gap_m, part) = under(0.0);
    assert_gap(gap_m, 4.0 - 0.2 - 0.95);
    assert_eq!(part, "propeller");
}

#[test]
fn verdict_has_three_values() {
    let a = built_in("trainer-high-2");
    let at = |gap_m: f64| among(&a, &straight(&a, 100.0), vec![pole(xy(50.0, 5.05 + gap_m), 0.0)]).verdict;
    // Margin 3 m, accuracy 2 m: the map decides only outside 3..5 m.
    assert_eq!(
        [at(2.99), at(3.01), at(4.99), at(5.01)],
        [Verdict::NotClear, Verdict::NotKnown, Verdict::NotKnown, Verdict::Clear]
    );
    let mut field = bare_field();
    field.obstacles.push(pole(xy(50.0, 5.05 + 3.01), 0.0));
    let exact = toeline_engine::clearance::Margins {
        accuracy_m: Some(0.0),
        ..margins()
    };
    let c = checked(&field, &a, &way(straight(&a, 100.0), Vec::new()), &exact);
    assert_eq!((c.verdict, c.accuracy_from.as_str()), (Verdict::Clear, "given"));
}

#[test]
fn a_wide_margin_is_looked_for_as_far_as_it_reaches() {
    let a = built_in("trainer-high-2");
    let at = |gap_m: f64, margin_m: f64| {
        let mut field = bare_field();
        field.obstacles.push(pole(xy(50.0, 5.05 + gap_m), 0.0));
        let wide = toeline_engine::clearance::Margins { margin_m, ..margins() };
        checked(&field, &a, &way(straight(&a, 100.0), Vec::new()), &wide).verdict
    };
    // Accuracy 2 m: the map decides only within it of the margin, far beyond what is looked at for a small one.
    assert_eq!(
        [at(29.9, 30.0), at(30.1, 30.0), at(31.9, 30.0), at(32.1, 30.0)],
        [Verdict::NotClear, Verdict::NotKnown, Verdict::NotKnown, Verdict::Clear]
    );
    assert_eq!([at(19.5, 19.0), at(21.1, 19.0)], [Verdict::NotKnown, Verdict::Clear]);
}

#[test]
fn a_turn_that_cannot_be_made_is_not_clear_however_far_everything_is() {
    let a = built_in("trainer-high-2");
    let mut route = way(straight(&a, 100.0), Vec::new());
    let turn = |means| toeline_engine::route::Turn {
        from_m: 20.0,
        to_m: 25.0,
        left_rad: 2.0,
        radius_m: 2.5,
        nose_wheel_rad: 1.0,
        means,
        off_line_m: 0.0,
        off_tracking_m: 0.0,
        edge_room_m: None,
    };
    route.turns = vec![turn(TurnMeans::InsideBrake)];
    assert_eq!(checked(&bare_field(), &a, &route, &margins()).verdict, Verdict::Clear);
    route.turns.push(turn(TurnMeans::NotPossible));
    let c = checked(&bare_field(), &a, &route, &margins());
    assert_eq!((c.verdict, c.parts_verdict), (Verdict::NotClear, Verdict::Clear));
}

#[test]
fn what_judges_a_way_is_what_checks_it() {
    let a = built_in("trainer-high-2");
    for offset_m in [7.0, 9.0, 11.0, 14.0] {
        let mut field = bare_field();
        field.obstacles.push(pole(xy(50.0, offset_m), 0.1));
        let route = way(straight(&a, 100.0), Vec::new());
        for rule in [MarginRule::Pilot, MarginRule::Faa, MarginRule::Icao] {
            let margins = toeline_engine::clearance::Margins { rule, ..margins() };
            let whole = checked(&field, &a, &route, &margins);
            let judged = toeline_engine::clearance::judge(&field, &a, &route, &margins).unwrap();
            assert_eq!(
                (judged.verdict, &judged.gaps, &judged.edges),
                (whole.verdict, &whole.gaps, &whole.edges)
            );
            assert!(judged.swept.is_empty() && !whole.swept.is_empty());
        }
    }
}

#[test]
fn radius_that_is_ours_never_makes_more_than_not_known() {
    let a = built_in("trainer-high-2");
    let mut tree = obstacle(
        ObstacleKind::Tree,
        Shape::Disc {
            at: xy(50.0, 10.0),
            radius_m: 3.0,
        },
        0.0,
        Some(9.0),
    );
    tree.radius_assumed = true;
    // 1.95 m to the crown that is ours, 4.95 m to the mapped point.
    assert_eq!(
        only(&among(&a, &straight(&a, 100.0), vec![tree.clone()])).verdict,
        Verdict::NotKnown
    );
    tree.radius_assumed = false;
    assert_eq!(
        only(&among(&a, &straight(&a, 100.0), vec![tree.clone()])).verdict,
        Verdict::NotClear
    );
    // A point 1 m from the tip is too near whatever the crown.
    tree = obstacle(
        ObstacleKind::Tree,
        Shape::Disc {
            at: xy(50.0, 6.05),
            radius_m: 0.5,
        },
        0.0,
        Some(9.0),
    );
    tree.radius_assumed = true;
    assert_eq!(
        only(&among(&a, &straight(&a, 100.0), vec![tree])).verdict,
        Verdict::NotClear
    );
}

#[test]
fn curve_has_cells_of_a_metre_at_most_and_no_gap_where_nothing_is_near() {
    let a = built_in("trainer-high-2");
    let c = among(&a, &straight(&a, 100.5), vec![pole(xy(50.0, 9.0), 0.0)]);
    assert!(c.curve.iter().all(|x| x.to_m - x.from_m <= 1.0 + 1e-9));
    assert!(c.curve.windows(2).all(|w| (w[0].to_m - w[1].from_m).abs() < 1e-9));
    assert_eq!((c.curve[0].from_m, c.curve[0].gap_m), (0.0, None));
    let least = c.curve.iter().filter_map(|x| x.gap_m).fold(f64::INFINITY, f64::min);
    assert!((least - 3.95).abs() <= 0.01, "{least}");
    // Beyond the look-around there is nothing to report at all.
    let far = among(&a, &straight(&a, 100.0), vec![pole(xy(50.0, 5.05 + 20.1), 0.0)]);
    assert!(far.gaps.is_empty() && far.verdict == Verdict::Clear);
}

#[test]
fn way_without_a_movement_is_checked_where_it_stands() {
    let a = built_in("trainer-high-2");
    let path = DrivenPath::new(
        a.gear.wheelbase_m,
        Pose {
            nose: xy(0.0, 0.0),
            heading_rad: east(),
        },
    );
    let c = among(&a, &path, vec![pole(xy(-1.52, -8.0), 0.0)]);
    assert_gap(only(&c).gap_m, 8.0 - 5.05);
    assert!(!c.swept.is_empty());
}

#[test]
fn swept_outline_of_a_straight_has_the_area_of_its_strips() {
    let a = built_in("trainer-high-2");
    let c = among(&a, &straight(&a, 100.0), Vec::new());
    assert_eq!(c.swept.len(), 1);
    // Every strip along x covers what the aeroplane covers there, from its foremost to its rearmost point, and 100 m.
    let list = parts::parts(&a);
    let n = 20_000;
    let mut silhouette_m2 = 0.0;
    for i in 0..n {
        let y = -5.05 + 10.1 * (i as f64 + 0.5) / n as f64;
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for (p, q) in list.iter().flat_map(|p| planar::ring_edges(&p.outline)) {
            if (p.y > y) != (q.y > y) {
                let x = p.x + (q.x - p.x) * (y - p.y) / (q.y - p.y);
                (low, high) = (low.min(x), high.max(x));
            }
        }
        silhouette_m2 += (high - low) * 10.1 / n as f64;
    }
    let area_m2 = planar::signed_area(&c.swept[0]);
    assert!(
        (area_m2 - silhouette_m2 - 1010.0).abs() < 0.2,
        "{area_m2} {silhouette_m2}"
    );
}

#[test]
fn full_circle_leaves_a_hole_in_the_swept_outline() {
    let a = built_in("trainer-high-2");
    let mut path = straight(&a, 1.0);
    path.arc(east(), 30.0, 360.0 * DEG, 0);
    let c = among(&a, &path, Vec::new());
    let areas: Vec<f64> = c.swept.iter().map(|r| planar::signed_area(r)).collect();
    assert_eq!(areas.iter().filter(|x| **x > 0.0).count(), 1, "{areas:?}");
    // The inner tip runs at √(30² - 1.52²) - 5.05 m or a little more from the middle.
    let hole: f64 = areas.iter().copied().filter(|x| *x < 0.0).sum();
    let inner_m = (900.0_f64 - 1.52 * 1.52).sqrt() - 5.05;
    let disc_m2 = core::f64::consts::PI * inner_m * inner_m;
    assert!((-hole - disc_m2).abs() < 0.03 * disc_m2, "{hole} {disc_m2}");
}

#[test]
fn lacks_are_said_once_in_order_and_by_name() {
    let a = built_in("trainer-high-2");
    let line = [xy(0.0, 0.0), xy(100.0, 0.0)];
    let legs = vec![
        leg(toeline_engine::route::LegKind::Taxiway, 0.0, 50.0, None, &line),
        leg(toeline_engine::route::LegKind::Taxiway, 50.0, 100.0, Some(9.0), &line),
    ];
    let field = Airfield {
        obstacles: vec![pole(xy(50.0, 9.0), 0.1)],
        ..bare_field()
    };
    let c = checked(&field, &a, &way(straight(&a, 100.0), legs), &margins());
    assert_eq!(
        c.lacks,
        [
            "horizontal accuracy is ours: 2 m for an open map",
            "no fence on the map",
            "no height on pole (feature 7): taken to have no upper end",
            "no width on 1 of 2 lanes of this way: unnamed taxiway (feature 20)",
            "the map shows no parked aeroplanes",
        ]
    );
    assert_eq!(c.accuracy_from, "ours, for open maps");
}
