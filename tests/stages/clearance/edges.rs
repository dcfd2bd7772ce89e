//! Main wheels against the pavement edge.

use super::world::*;
use toeline_engine::clearance::{Clearance, EdgeRoom, Verdict, check};
use toeline_engine::route::{Leg, LegKind};
use toeline_model::airfield::{Airfield, NamedArea, Surface};
use toeline_model::frame::xy;
use toeline_model::path::DrivenPath;
use toeline_model::units::DEG;
use toeline_model::{Aircraft, Pose, Xy};

fn on(a: &Aircraft, path: &DrivenPath, legs: Vec<Leg>, field: &Airfield) -> Clearance {
    check(field, a, &way(path.clone(), legs), &margins())
}

fn first(c: &Clearance) -> &EdgeRoom {
    c.edges.first().expect("an edge")
}

fn area(outer: &[Xy]) -> NamedArea {
    NamedArea {
        id: "feature 3".to_string(),
        name: None,
        note: None,
        outer: outer.to_vec(),
        surface: Surface::Paved,
        holes: Vec::new(),
    }
}

#[test]
fn room_on_a_straight_is_half_the_width_less_half_the_gear() {
    let a = built_in("trainer-high-2");
    let path = straight(&a, 80.0);
    // Outsides of the main tyres 2.25 + 0.15 = 2.40 m apart; the mapped line 1 m beside the driven one.
    let line = [xy(-10.0, 1.0), xy(90.0, 1.0)];
    let c = on(
        &a,
        &path,
        vec![leg(LegKind::Taxiway, 0.0, 80.0, Some(8.0), &line)],
        &bare_field(),
    );
    assert_gap(first(&c).room_m.expect("a width"), 4.0 - 1.0 - 1.2);
    assert_eq!((first(&c).verdict, c.edge_verdict), (Verdict::Clear, Verdict::Clear));
    let c = on(
        &a,
        &path,
        vec![leg(LegKind::Taxiway, 0.0, 80.0, Some(4.0), &line)],
        &bare_field(),
    );
    assert_gap(first(&c).room_m.expect("a width"), 2.0 - 1.0 - 1.2);
    assert_eq!((first(&c).verdict, c.verdict), (Verdict::NotClear, Verdict::NotClear));
}

#[test]
fn width_that_is_not_mapped_is_not_known_unless_an_apron_carries_the_wheels() {
    let a = built_in("trainer-high-2");
    let path = straight(&a, 80.0);
    let legs = vec![leg(
        LegKind::Taxilane,
        0.0,
        80.0,
        None,
        &[xy(-10.0, 0.0), xy(90.0, 0.0)],
    )];
    let c = on(&a, &path, legs.clone(), &bare_field());
    assert_eq!((first(&c).room_m, first(&c).verdict), (None, Verdict::NotKnown));
    let mut field = bare_field();
    field.aprons.push(area(&[
        xy(-20.0, -6.0),
        xy(120.0, -6.0),
        xy(120.0, 30.0),
        xy(-20.0, 30.0),
    ]));
    let c = on(&a, &path, legs.clone(), &field);
    assert_gap(first(&c).room_m.expect("inside an apron"), 6.0 - 1.2);
    assert_eq!(first(&c).verdict, Verdict::Clear);
    // An apron that ends half way does not.
    field.aprons[0] = area(&[xy(-20.0, -6.0), xy(40.0, -6.0), xy(40.0, 30.0), xy(-20.0, 30.0)]);
    assert_eq!(first(&on(&a, &path, legs, &field)).verdict, Verdict::NotKnown);
}

#[test]
fn steered_round_a_curve_the_axle_cuts_in_by_the_published_off_tracking() {
    // standards.md B6: R = 22.86 m, d = 4.572 m, after 90° the middle of the axle is 0.46145 m inside the guide line.
    let mut a = built_in("trainer-high-2");
    a.gear.wheelbase_m = 4.572;
    let centre = xy(0.0, 22.86);
    let mut path = DrivenPath::new(
        4.572,
        Pose {
            nose: xy(0.0, 0.0),
            heading_rad: east(),
        },
    );
    path.arc(east(), 22.86, 90.0 * DEG, 0);
    // Mapped along the arc in steps of 0.1°: sagitta 9 µm. Drawn on at both ends, as a lane is.
    let on_arc = |i: i32| centre + xy(0.0, -22.86).rotated(f64::from(i) * 0.1 * DEG);
    let line: Vec<Xy> = (-200..=1000).map(on_arc).collect();
    let c = on(
        &a,
        &path,
        vec![leg(LegKind::Taxiway, 0.0, path.length_m(), Some(9.0), &line)],
        &bare_field(),
    );
    let room_m = first(&c).room_m.expect("a width");
    // The inner tyre is half the gear nearer to the centre still.
    let expected_m = 4.5 - 0.46145 - 1.2;
    assert!((room_m - expected_m).abs() < 2e-3, "{room_m} {expected_m}");
    assert!((first(&c).at_m - path.length_m()).abs() < 0.5);
}

/// A right-angled corner of two lanes 7 m wide, cut with a radius. Room by sampling: the better of the two lanes.
fn corner(radius_m: f64, second_width_m: Option<f64>) -> (Clearance, f64) {
    let a = built_in("trainer-high-2");
    let in_m = 40.0 - radius_m;
    let mut path = straight(&a, in_m);
    path.arc(east(), radius_m, 90.0 * DEG, 1);
    path.straight(east().turned(90.0 * DEG), in_m, 1);
    let (one, two) = ([xy(-10.0, 0.0), xy(40.0, 0.0)], [xy(40.0, 0.0), xy(40.0, 60.0)]);
    let half_way = in_m + radius_m * 45.0 * DEG;
    let legs = vec![
        leg(LegKind::Taxiway, 0.0, half_way, Some(7.0), &one),
        leg(LegKind::Taxiway, half_way, path.length_m(), second_width_m, &two),
    ];
    let mut least: f64 = f64::INFINITY;
    for i in 0..=200_000 {
        let pose = path.pose_at(path.length_m() * f64::from(i) / 200_000.0);
        for y in [1.2, -1.2] {
            let p = pose.place(path.wheelbase_m, xy(0.0, y));
            let beyond = |over: f64| over.max(0.0);
            let to_one = (beyond(p.x - 40.0).powi(2) + p.y.powi(2)).sqrt();
            let to_two = (beyond(-p.y).powi(2) + (p.x - 40.0).powi(2)).sqrt();
            least = least.min(3.5 - to_one.min(to_two));
        }
    }
    (on(&a, &path, legs, &bare_field()), least)
}

#[test]
fn cutting_a_corner_counts_the_pavement_of_both_legs() {
    for radius_m in [6.0, 9.0, 14.0, 20.0] {
        let (c, sampled_m) = corner(radius_m, Some(7.0));
        let least_m = c.edges.iter().filter_map(|e| e.room_m).fold(f64::INFINITY, f64::min);
        // 0.4 mm between samples.
        assert!(
            least_m <= sampled_m && least_m >= sampled_m - 1e-3 - 4e-4,
            "{radius_m}: {least_m} {sampled_m}"
        );
        let expected = if sampled_m < 0.0 {
            Verdict::NotClear
        } else {
            Verdict::Clear
        };
        assert_eq!(c.edge_verdict, expected, "{radius_m}");
    }
}

#[test]
fn corner_into_a_lane_of_unknown_width_is_not_known_rather_than_off_the_pavement() {
    let (c, sampled_m) = corner(20.0, None);
    assert!(sampled_m < 0.0, "the case must leave the known pavement: {sampled_m}");
    assert_eq!(
        c.edges.iter().map(|e| e.verdict).collect::<Vec<_>>(),
        [Verdict::NotClear, Verdict::NotKnown]
    );
    let (c, _) = corner(9.0, None);
    assert_eq!(c.edge_verdict, Verdict::NotKnown);
}

#[test]
fn pushed_by_hand_the_wheels_do_not_count() {
    let a = built_in("trainer-high-2");
    let mut path = DrivenPath::new(
        a.gear.wheelbase_m,
        Pose {
            nose: xy(0.0, 0.0),
            heading_rad: east(),
        },
    );
    path.push_back(10.0, 0);
    let legs = vec![leg(LegKind::HandPush, 0.0, 10.0, None, &[xy(0.0, 0.0), xy(-10.0, 0.0)])];
    let c = on(&a, &path, legs, &bare_field());
    assert!(c.edges.is_empty() && c.edge_verdict == Verdict::Clear);
}
