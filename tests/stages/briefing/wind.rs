//! Wind and controls against the published table.

use toeline_engine::briefing::wind::{Elevator, Quarter, Yoke, on_heading};
use toeline_model::{Bearing, Wind};

fn wind(from: f64, kt: f64) -> Wind {
    Wind::parse(&format!("{from:03.0}/{kt:02.0}T")).expect("a wind")
}

/// standards.md C1: every row of the component table and the four quarters (FAA Airplane Flying Handbook, chapter 2, by
/// way of training texts that restate it).
#[test]
fn published_quarters() {
    use Elevator::{Down, Neutral};
    use Quarter::*;
    let rows = [
        (90.0, 45.0, 15.0, 10.607, -10.607, LeftHeadwind, Yoke::Left, Neutral),
        (90.0, 135.0, 15.0, 10.607, 10.607, RightHeadwind, Yoke::Right, Neutral),
        // From the right and behind: right aileron down, which is the yoke to the left.
        (90.0, 225.0, 15.0, -10.607, 10.607, RightTailwind, Yoke::Left, Down),
        (90.0, 315.0, 15.0, -10.607, -10.607, LeftTailwind, Yoke::Right, Down),
        (360.0, 30.0, 20.0, 17.321, 10.0, RightHeadwind, Yoke::Right, Neutral),
    ];
    for (heading, from, kt, head, cross, quarter, yoke, elevator) in rows {
        let w = on_heading(&wind(from, kt), 0.0, Bearing::from_deg(heading));
        assert!((w.head_kt - head).abs() < 1e-3, "{heading} {from}: head {}", w.head_kt);
        assert!(
            (w.cross_from_right_kt - cross).abs() < 1e-3,
            "{heading} {from}: cross {}",
            w.cross_from_right_kt
        );
        assert_eq!(
            (w.quarter, w.yoke, w.elevator),
            (Some(quarter), yoke, elevator),
            "{heading} {from}"
        );
    }
}

/// Ours, written in the module: the directions that the published figure leaves open.
#[test]
fn directions_between_the_quarters() {
    let on = |from: f64| on_heading(&wind(from, 10.0), 0.0, Bearing::from_deg(90.0));
    let controls = |from: f64| (on(from).quarter, on(from).yoke, on(from).elevator);
    assert_eq!(controls(90.0), (Some(Quarter::Ahead), Yoke::Neutral, Elevator::Neutral));
    assert_eq!(controls(270.0), (Some(Quarter::Behind), Yoke::Neutral, Elevator::Down));
    assert_eq!(controls(0.0), (Some(Quarter::LeftAbeam), Yoke::Left, Elevator::Neutral));
    assert_eq!(
        controls(180.0),
        (Some(Quarter::RightAbeam), Yoke::Right, Elevator::Neutral)
    );
    for text in ["calm", "VRB/08", "VRB/04G15", "120/00T"] {
        let w = on_heading(&Wind::parse(text).expect("a wind"), 5.0, Bearing::from_deg(123.0));
        assert_eq!(
            (w.quarter, w.yoke, w.elevator),
            (None, Yoke::Neutral, Elevator::Neutral),
            "{text}"
        );
        assert_eq!((w.head_kt, w.cross_from_right_kt), (0.0, 0.0), "{text}");
    }
}

#[test]
fn left_and_right_mirror_and_all_round_is_one_rule() {
    for angle in 1..180 {
        let on = |a: i32| on_heading(&wind(f64::from((a + 360) % 360), 10.0), 0.0, Bearing::from_deg(0.0));
        let (right, left) = (on(angle), on(-angle));
        assert_eq!(right.elevator, left.elevator);
        let mirrored = match right.yoke {
            Yoke::Left => Yoke::Right,
            Yoke::Right => Yoke::Left,
            Yoke::Neutral => Yoke::Neutral,
        };
        assert_eq!(left.yoke, mirrored, "{angle}");
        assert!((left.cross_from_right_kt + right.cross_from_right_kt).abs() < 1e-9);
        // The published rule, stated once more: ahead of abeam toward the wind, behind it away and elevator down.
        if angle != 90 {
            let expected = if angle < 90 {
                (Yoke::Right, Elevator::Neutral)
            } else {
                (Yoke::Left, Elevator::Down)
            };
            assert_eq!((right.yoke, right.elevator), expected, "{angle}");
        }
    }
}

#[test]
fn magnetic_wind_is_turned_by_the_declination() {
    let magnetic = Wind::parse("240/10M").expect("a wind");
    let w = on_heading(&magnetic, 12.0, Bearing::from_deg(252.0));
    assert_eq!(w.quarter, Some(Quarter::Ahead));
    assert!((w.head_kt - 10.0).abs() < 1e-9);
}
