//! The model pilot drives every drill within limits and stops where it is told, in every built-in aeroplane.

use crate::pilot_watch::{Limits, Seen};
use toeline_dynamics::Air;
use toeline_engine::route::StopKind;
use toeline_model::aircraft::catalog;
use toeline_model::angle::wrap;
use toeline_model::units::{DEG, KNOT_MPS};
use toeline_model::{Aircraft, Bearing};
use toeline_training::drills::{Drill, build};
use toeline_training::pilot::{PilotDrive, Task, TaskStop, drive_task};
use toeline_training::{DrillKind, Environment};

/// A drill's task: its line, its stops, the wind that the pilot is told.
fn task(drill: &Drill, aircraft: &Aircraft, air: &Air) -> Task {
    let last = drill.stops.len().saturating_sub(1);
    let stops = drill.stops.iter().enumerate().map(|(k, (at_m, name))| TaskStop {
        kind: if k == last { StopKind::End } else { StopKind::Place },
        name: name.clone(),
        at_m: *at_m,
    });
    Task {
        stops: stops.collect(),
        wind_from: air.wind_from,
        wind_mps: air.wind_mps,
        ..Task::along(drill.path.clone(), aircraft)
    }
}

fn drilled(kind: DrillKind, aircraft: &Aircraft, air: Air) -> (Drill, PilotDrive, Seen) {
    let drill = build(kind, aircraft, air.wind_from, air.wind_mps);
    let task = task(&drill, aircraft, &air);
    let environment = Environment {
        air,
        ..Environment::default()
    };
    let mut seen = Seen::new(aircraft, &task);
    let drive = drive_task(aircraft, environment, task, |c, s| seen.look(c, s));
    (drill, drive, seen)
}

fn every_drill(air: Air, wind: &str) {
    for aircraft in catalog::all() {
        for kind in DrillKind::ALL.into_iter().filter(|k| *k != DrillKind::FreeApron) {
            let (drill, drive, seen) = drilled(kind, &aircraft, air);
            let told = format!("{}, {}, {wind}", aircraft.id, kind.name());
            println!("{told}: {}", seen.say());
            assert!(drive.arrived(), "{told}: {:?}", drive.ended);
            seen.hold_to(&told, &Limits::default());
            assert_eq!(drive.stops.len(), drill.stops.len(), "{told}");
            for (made, (at_m, name)) in drive.stops.iter().zip(&drill.stops) {
                assert_eq!(made.name, *name, "{told}");
                assert!((made.made_at_m - at_m).abs() < 0.5, "{told}: {made:?}");
            }
            let check = drive.brakes.as_ref().unwrap();
            assert!(check.at_m < 5.0 && check.finding.is_none(), "{told}: {check:?}");
            if let (DrillKind::IntoWindStop, Some(from)) = (kind, air.wind_from) {
                let stands = drive.attempt.track.last().unwrap().heading_rad.rad();
                let off = wrap(stands - from.yaw().rad()).abs() / DEG;
                // The axle still follows the nose wheel where the line ends: the line itself ends as far off.
                let line = wrap(drill.path.end().heading_rad.rad() - from.yaw().rad()).abs() / DEG;
                assert!(
                    off < 5.0 && (off - line).abs() < 2.0,
                    "{told}: {off} {line} degrees off the wind"
                );
            }
        }
    }
}

#[test]
fn every_drill_in_calm_air() {
    every_drill(Air::default(), "calm");
}

#[test]
fn every_drill_in_ten_knots() {
    let air = Air {
        wind_from: Some(Bearing::from_deg(210.0)),
        wind_mps: 10.0 * KNOT_MPS,
        ..Air::default()
    };
    every_drill(air, "210/10");
}

/// Where there is no line there is nothing to drive: he stands.
#[test]
fn on_the_free_apron_he_stands() {
    let aircraft = catalog::all().remove(0);
    let drill = build(DrillKind::FreeApron, &aircraft, None, 0.0);
    let task = task(&drill, &aircraft, &Air::default());
    let drive = drive_task(&aircraft, Environment::default(), task, |_, _| {});
    assert!(drive.arrived() && drive.stops.is_empty());
    let (first, last) = (drive.attempt.track[0], drive.attempt.track.last().unwrap());
    assert!(first.nose.distance(last.nose) < 0.05);
}
