//! How precisely an attempt followed its path, and a drive by the model pilot in a form to print.

use super::{BrakeReading, CheckReadings, Doing, PilotDrive, Place, StopMade, Task};
use crate::attempt::Attempt;
use serde::{Deserialize, Serialize};
use toeline_engine::planning::{Plan, Way};
use toeline_model::DrivenPath;

/// How far the nose wheel was off the path, over the points of the driven track, each weighed by the way it stands for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Precision {
    /// Root of the mean square, metres.
    pub rms_m: f64,
    /// Distance that 95 per cent of the way was driven within, metres.
    pub p95_m: f64,
    /// Greatest distance, metres.
    pub most_m: f64,
    /// Way at which it was greatest, metres.
    pub most_at_m: f64,
    /// Way at the end, metres.
    pub way_m: f64,
}

/// Measures an attempt against a path that it began on at a way of so many metres. An attempt that does not move has
/// nothing to measure.
pub fn precision(attempt: &Attempt, path: &DrivenPath, from_m: f64) -> Option<Precision> {
    let mut place = Place::at(from_m);
    let mut parts: Vec<(f64, f64, f64)> = Vec::new();
    let mut last = None;
    for point in &attempt.track {
        place = place.moved(path, point.nose);
        if let Some(before) = last.replace(point.nose) {
            let rolled = point.nose.distance(before);
            if rolled > 0.0 {
                parts.push((place.offset_m.abs(), rolled, place.way_m));
            }
        }
    }
    let whole: f64 = parts.iter().map(|p| p.1).sum();
    if whole <= 0.0 {
        return None;
    }
    let square: f64 = parts.iter().map(|p| p.0 * p.0 * p.1).sum();
    parts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut driven = 0.0;
    let mut p95_m = 0.0;
    for part in &parts {
        driven += part.1;
        p95_m = part.0;
        if driven >= 0.95 * whole {
            break;
        }
    }
    let most = parts.last()?;
    Some(Precision {
        rms_m: (square / whole).sqrt(),
        p95_m,
        most_m: most.0,
        most_at_m: most.2,
        way_m: place.way_m,
    })
}

/// A drive by the model pilot, told.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PilotReport {
    /// Whether it got to the end of the way.
    pub arrived: bool,
    /// Why not; absent when it did.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why_not: Option<String>,
    /// Length of the drive, seconds.
    pub time_s: f64,
    /// Length of the whole way, metres.
    pub length_m: f64,
    /// How far the nose wheel was off the path; absent when it did not move.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub precision: Option<Precision>,
    /// Name of the leg on which it was farthest off.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_on: Option<String>,
    /// Hottest that a brake was in the stored states (every 5 s), degrees Celsius.
    pub brakes_c: f64,
    /// Stops made, in order, and how many there were to make.
    pub stops: Vec<StopMade>,
    /// How many stops there were to make.
    pub stops_to_make: usize,
    /// What the brake check showed; absent when it did not come to one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub brake_check: Option<BrakeReading>,
    /// Readings of the engine checks, in order.
    pub engine_checks: Vec<CheckReadings>,
}

impl PilotReport {
    /// The report of a drive on a plan's way.
    pub fn of(drive: &PilotDrive, plan: &Plan, way: &Way) -> PilotReport {
        let task = Task::of(plan, way);
        let precision = precision(&drive.attempt, &task.path, task.from_m);
        let leg_at = |way_m: f64| way.route.legs.iter().find(|l| l.to_m >= way_m).map(|l| l.name.clone());
        let states = drive.attempt.checkpoints.iter().filter_map(|c| c.read().ok());
        PilotReport {
            arrived: drive.arrived(),
            why_not: match &drive.ended {
                Doing::GaveUp(why) => Some(why.clone()),
                _ => None,
            },
            time_s: drive.attempt.duration_s(),
            length_m: task.path.length_m() - task.from_m,
            most_on: precision.and_then(|p| leg_at(p.most_at_m)),
            precision,
            brakes_c: states.flat_map(|s| s.brake_c).fold(f64::NEG_INFINITY, f64::max),
            stops: drive.stops.clone(),
            stops_to_make: task.stops.len(),
            brake_check: drive.brakes.clone(),
            engine_checks: drive.checks.clone(),
        }
    }

    /// Everything that was not as it should be, in words; empty when all was.
    pub fn findings(&self) -> Vec<String> {
        let mut list: Vec<String> = self
            .why_not
            .iter()
            .map(|why| format!("did not arrive: {why}"))
            .collect();
        list.extend(self.brake_check.iter().filter_map(|b| b.finding.clone()));
        list.extend(self.engine_checks.iter().flat_map(|c| c.findings.clone()));
        list
    }
}
