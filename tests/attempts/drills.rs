//! Drills without a route: every built-in aeroplane can make them, on the apron, and they end as they say.

use toeline_model::aircraft::catalog;
use toeline_model::units::DEG;
use toeline_model::{Bearing, Xy};
use toeline_training::DrillKind;
use toeline_training::drills::{APRON_HALF_X_M, APRON_HALF_Y_M, build, easy_radius_m};

const WIND_MPS: f64 = 6.0;

fn wind() -> Option<Bearing> {
    Some(Bearing::from_deg(240.0))
}

/// Greatest angle between the aeroplane's axis and the way of the nose wheel, which is the nose-wheel angle, degrees.
fn greatest_nose_wheel_deg(path: &toeline_model::DrivenPath) -> f64 {
    let mut most: f64 = 0.0;
    for p in &path.pieces {
        for i in 0..=200 {
            most = most.max(p.beta(path.wheelbase_m, p.length_m * f64::from(i) / 200.0).abs());
        }
    }
    most / DEG
}

#[test]
fn every_aeroplane_stays_on_the_apron_with_all_its_parts() {
    for a in catalog::all() {
        for kind in DrillKind::ALL {
            let d = build(kind, &a, wind(), WIND_MPS);
            let steps = d.path.length_m().ceil() as usize;
            for i in 0..=steps {
                let Xy { x, y } = d.path.pose_at(i as f64).nose;
                let room = (APRON_HALF_X_M - x.abs()).min(APRON_HALF_Y_M - y.abs());
                assert!(
                    room > a.reach_m(),
                    "{} {kind:?}: {room:.1} m of room at {i} m, reach {:.1} m",
                    a.id,
                    a.reach_m()
                );
            }
        }
    }
}

#[test]
fn easy_drills_need_steering_alone_and_the_pivot_stays_inside_the_caster_stop() {
    for a in catalog::all() {
        for kind in DrillKind::ALL {
            let d = build(kind, &a, wind(), WIND_MPS);
            let most = greatest_nose_wheel_deg(&d.path);
            let steers = a.steering_radius_m().is_finite();
            let limit = if kind == DrillKind::RollingPivot || !steers {
                a.steering.caster_stop_deg
            } else {
                a.steering.pedal_limit_deg
            };
            assert!(
                most < limit,
                "{} {kind:?}: nose wheel {most:.1} deg, limit {limit:.1} deg",
                a.id
            );
            if kind == DrillKind::RollingPivot && steers {
                assert!(
                    most > a.steering.pedal_limit_deg,
                    "{}: the pivot at {most:.1} deg needs no brake",
                    a.id
                );
                assert!(easy_radius_m(&a) > a.tightest_radius_m());
            }
        }
    }
}

#[test]
fn pieces_join_without_a_jump_or_a_corner() {
    for a in catalog::all() {
        for kind in DrillKind::ALL {
            let path = build(kind, &a, wind(), WIND_MPS).path;
            for w in path.pieces.windows(2) {
                let end = w[0].pose(path.wheelbase_m, w[0].length_m);
                assert!(end.nose.distance(w[1].start.nose) < 1e-9);
                assert!(w[0].direction(w[0].length_m).to_rad(w[1].direction_rad).abs() < 1e-9);
            }
        }
    }
}

#[test]
fn the_free_apron_has_no_path_and_no_line() {
    let a = catalog::find("trainer-high-2").expect("built in");
    let d = build(DrillKind::FreeApron, &a, wind(), WIND_MPS);
    assert!(d.path.pieces.is_empty() && d.stops.is_empty() && d.field.lanes.is_empty());
    assert_eq!(d.path.length_m(), 0.0);
    assert_eq!(d.path.pose_at(5.0), d.path.start);
    for kind in DrillKind::ALL.into_iter().filter(|k| *k != DrillKind::FreeApron) {
        let d = build(kind, &a, wind(), WIND_MPS);
        assert_eq!(d.field.lanes.len(), 1, "{kind:?} has its painted line");
        assert!((d.stops[0].0 - d.path.length_m()).abs() < 1e-9);
    }
}

#[test]
fn the_into_wind_stop_ends_with_the_nose_in_the_wind_and_begins_across_it() {
    for a in catalog::all() {
        for deg in [0.0, 75.0, 240.0, 355.0] {
            let from = Bearing::from_deg(deg);
            let d = build(DrillKind::IntoWindStop, &a, Some(from), WIND_MPS);
            let off = from.to_deg(d.path.end().heading_rad.bearing()).abs();
            assert!(off < 0.5, "{}: {off:.2} deg off a wind from {deg}", a.id);
            let across = from.to_deg(d.path.start.heading_rad.bearing()).abs();
            assert!((across - 90.0).abs() < 1e-6);
            assert!(d.stops[0].1.contains("in the wind"));
        }
    }
}

#[test]
fn without_wind_the_stop_says_that_no_heading_is_asked_for() {
    let a = catalog::find("trainer-high-2").expect("built in");
    for (from, mps) in [(None, 6.0), (wind(), 1.0)] {
        let d = build(DrillKind::IntoWindStop, &a, from, mps);
        assert!(d.stops[0].1.contains("too little wind"), "{}", d.stops[0].1);
        assert!(Bearing::from_deg(0.0).to_deg(d.path.end().heading_rad.bearing()).abs() < 0.5);
    }
}
