//! Parts over holding lines.

use super::world::*;
use toeline_engine::clearance::{Clearance, Verdict};
use toeline_engine::route::{LegKind, Route};
use toeline_model::frame::xy;
use toeline_model::path::DrivenPath;
use toeline_model::units::DEG;
use toeline_model::{Aircraft, Pose};

fn at_line(a: &Aircraft, path: DrivenPath, line_x_m: f64) -> Clearance {
    let length_m = path.length_m();
    let lane = [xy(-10.0, 0.0), xy(80.0, 0.0)];
    let legs = vec![leg(LegKind::Taxiway, 0.0, length_m, Some(10.0), &lane)];
    let mut route: Route = way(path, legs);
    let end = route.stops.last_mut().expect("an end");
    end.line_at = Some(xy(line_x_m, 0.0));
    checked(&bare_field(), a, &route, &margins())
}

#[test]
fn the_propeller_is_the_foremost_part_and_its_room_is_measured() {
    // The propeller's disc reaches 2.30 + 0.10 m ahead of the main axle, 0.88 m ahead of the nose wheel at 50 m.
    let a = built_in("trainer-high-2");
    let c = at_line(&a, straight(&a, 50.0), 51.88);
    assert_eq!(c.holds.len(), 1);
    assert_eq!((c.holds[0].part.as_str(), c.holds[0].stop), ("propeller", 1));
    assert!((c.holds[0].behind_m - 1.0).abs() < 1e-9, "{:?}", c.holds[0]);
    assert_eq!((c.hold_verdict, c.verdict), (Verdict::Clear, Verdict::Clear));
}

#[test]
fn a_part_over_the_line_is_not_clear() {
    let a = built_in("trainer-high-2");
    // The nose wheel is behind the line, the propeller is not.
    let c = at_line(&a, straight(&a, 50.0), 50.5);
    assert!((c.holds[0].behind_m + 0.38).abs() < 1e-9, "{:?}", c.holds[0]);
    assert_eq!((c.hold_verdict, c.verdict), (Verdict::NotClear, Verdict::NotClear));
    // Exactly on it is not over it.
    assert_eq!(at_line(&a, straight(&a, 50.0), 50.88).hold_verdict, Verdict::Clear);
}

#[test]
fn standing_askew_the_wing_tip_may_be_the_foremost_part() {
    // Turned 70 degrees to the lane, one tip reaches farther over the line than the propeller.
    let a = built_in("trainer-high-2");
    let heading_rad = east().turned(70.0 * DEG);
    let path = DrivenPath::new(
        a.gear.wheelbase_m,
        Pose {
            nose: xy(0.0, 0.0),
            heading_rad,
        },
    );
    let mut route = way(
        path,
        vec![leg(
            LegKind::Taxiway,
            0.0,
            0.0,
            Some(10.0),
            &[xy(-10.0, 0.0), xy(80.0, 0.0)],
        )],
    );
    let end = route.stops.last_mut().expect("an end");
    end.line_at = Some(xy(3.0, 0.0));
    let c = checked(&bare_field(), &a, &route, &margins());
    assert_eq!(c.holds[0].part, "right wing");
    // Tip leading edge: 0.75 m ahead of the axle, 5.05 m to the right; the axle 1.52 m behind the nose wheel.
    let reach_m = (0.75 - 1.52) * (70.0 * DEG).cos() + 5.05 * (70.0 * DEG).sin();
    assert!((c.holds[0].behind_m - (3.0 - reach_m)).abs() < 1e-9, "{:?}", c.holds[0]);
    assert_eq!(c.verdict, Verdict::NotClear);
}
