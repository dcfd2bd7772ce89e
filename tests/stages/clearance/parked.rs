//! Aeroplanes taken to stand on other stands. The trainer reaches 6.07 m behind its nose wheel (tail 4.55 m behind the
//! main axle, wheelbase 1.52 m) and 0.88 m ahead of it (propeller 2.40 m ahead of the main axle).

use super::world::*;
use toeline_engine::clearance::{Against, Clearance, Margins, Verdict};
use toeline_model::Bearing;
use toeline_model::airfield::{Airfield, Nose, Stand};
use toeline_model::frame::xy;
use toeline_model::planar::Shape;

fn beside(stands: Vec<Stand>, own_stand: Option<usize>) -> Clearance {
    let a = built_in("trainer-high-2");
    let lanes = vec![lane(&[xy(0.0, 0.0), xy(100.0, 0.0)], Some(10.0))];
    let field = Airfield {
        stands,
        lanes,
        ..bare_field()
    };
    checked(
        &field,
        &a,
        &way(straight(&a, 100.0), Vec::new()),
        &Margins { own_stand, ..margins() },
    )
}

#[test]
fn stand_line_untagged_is_parked_nose_in() {
    let c = beside(vec![stand(&[xy(50.0, 5.0), xy(50.0, 25.0)])], None);
    assert_gap(c.gaps[0].gap_m, 25.0 - 6.07 - 5.05);
    assert_eq!(c.considered[c.gaps[0].obstacle].against, Against::OccupiedStand);
    assert_eq!(
        c.considered[c.gaps[0].obstacle].name,
        "aeroplane on stand 5 (feature 9)"
    );
    // Drawn the other way it is the same stand.
    let c = beside(vec![stand(&[xy(50.0, 25.0), xy(50.0, 5.0)])], None);
    assert_gap(c.gaps[0].gap_m, 25.0 - 6.07 - 5.05);
}

#[test]
fn stand_line_nose_out_points_at_the_lane() {
    let mut s = stand(&[xy(50.0, 5.0), xy(50.0, 25.0)]);
    s.nose = Some(Nose::Out);
    assert_gap(beside(vec![s], None).gaps[0].gap_m, 25.0 - 0.88 - 5.05);
}

#[test]
fn span_limit_makes_the_neighbour_as_wide_as_it_admits() {
    let mut s = stand(&[xy(50.0, 20.0)]);
    s.heading = Some(Bearing::from_deg(90.0));
    assert_gap(beside(vec![s.clone()], None).gaps[0].gap_m, 20.0 - 5.05 - 5.05);
    s.span_limit_m = Some(20.0);
    assert_gap(beside(vec![s], None).gaps[0].gap_m, 20.0 - 10.0 - 5.05);
}

#[test]
fn point_without_a_heading_is_a_circle_and_never_more_than_not_known() {
    let c = beside(vec![stand(&[xy(50.0, 8.0)])], None);
    let g = only(&c);
    assert!(matches!(c.considered[g.obstacle].shape, Shape::Disc { .. }) && !c.considered[g.obstacle].sure);
    assert_eq!(
        (g.gap_m, g.verdict, c.verdict),
        (0.0, Verdict::NotKnown, Verdict::NotKnown)
    );
    assert!(
        c.lacks
            .iter()
            .any(|l| l.starts_with("no heading on stand 5 (feature 9): ")),
        "{:?}",
        c.lacks
    );
}

#[test]
fn stand_drawn_across_the_way_is_a_finding() {
    let c = beside(vec![stand(&[xy(50.0, 20.0), xy(50.0, 1.0)])], None);
    assert_eq!(
        c.verdict,
        Verdict::Clear,
        "nose at the far end, 20 m away: {:?}",
        c.gaps.first()
    );
    let mut s = stand(&[xy(50.0, 1.0)]);
    s.heading = Some(Bearing::from_deg(0.0));
    assert_eq!(beside(vec![s], None).verdict, Verdict::NotClear);
}

#[test]
fn stands_that_share_our_ground_are_closed_or_are_our_own_count_as_empty() {
    let mut own = stand(&[xy(0.0, 0.0)]);
    own.heading = Some(Bearing::from_deg(90.0));
    let mut other = stand(&[xy(2.0, 1.0)]);
    other.heading = Some(Bearing::from_deg(60.0));
    other.id = "feature 10".to_string();
    let mut closed = stand(&[xy(40.0, 3.0)]);
    closed.heading = Some(Bearing::from_deg(60.0));
    closed.id = "feature 11".to_string();
    closed.closed = Some("resurfacing".to_string());
    let c = beside(vec![own, other, closed], Some(0));
    assert!(c.gaps.is_empty(), "{:?}", c.gaps);
    let said = |text: &str| c.lacks.iter().any(|l| l == text);
    assert!(
        said("stand 5 (feature 10) shares its ground with the start of this way: taken as empty"),
        "{:?}",
        c.lacks
    );
    assert!(
        said("stand 5 (feature 11) is closed (resurfacing): taken as empty"),
        "{:?}",
        c.lacks
    );
}
