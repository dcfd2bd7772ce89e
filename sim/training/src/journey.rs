//! From a plan to the first tick: where the aeroplane stands, on what, in which wind; and a whole drive by script.

use crate::attempt::{Attempt, Environment};
use crate::script::{Script, ScriptProblem, run_script_among};
use crate::surroundings;
use serde_json::Value;
use std::sync::Arc;
use toeline_dynamics::{Air, Faults, Ground, Gust, State};
use toeline_engine::planning::{Plan, Way};
use toeline_model::Wind;
use toeline_model::airfield::Surface;
use toeline_model::path::{DrivenPath, Motion};

/// Way at which the driving begins, metres: 0, or after what is pushed by hand at the start.
pub fn first_driven_m(path: &DrivenPath) -> f64 {
    let by_hand = |m: &Motion| matches!(m, Motion::PushBack | Motion::PushSwing { .. });
    let pushed = path.pieces.iter().take_while(|p| by_hand(&p.motion)).last();
    pushed.map_or(0.0, |p| p.from_m + p.length_m)
}

/// Length of a gust, seconds, from its beginning to its end (ours). A report gives the highest mean over 3 s (WMO, from
/// memory); with this length the highest 3 s of the gust's shape come to 0.95 of its height.
pub const GUST_LENGTH_S: f64 = 12.0;
/// When the first gust begins, seconds after the first tick (ours: time to settle).
pub const FIRST_GUST_S: f64 = 5.0;

/// Ground and air of a plan, for a sound aeroplane: the wind with its gusts, and the surface of the first lane, dry. A
/// stand's own surface is seldom mapped and counts as pavement. A gust comes from the wind's direction; a wind without one
/// has none. One follows the other, as long as the drive lasts.
pub fn environment(plan: &Plan, way: &Way) -> Environment {
    let wind = plan.request.wind;
    let surface = way
        .route
        .legs
        .iter()
        .map(|l| l.surface)
        .find(|s| *s != Surface::Unknown)
        .unwrap_or(Surface::Paved);
    Environment {
        ground: Ground {
            surface,
            ..Ground::default()
        },
        air: air(&wind, plan.declination.deg),
        ..Environment::default()
    }
}

/// The air of a wind, at a declination of so many degrees east.
pub fn air(wind: &Wind, declination_deg: f64) -> Air {
    let wind_from = wind.from_true(declination_deg);
    let gust = |gust_mps: f64| Gust {
        extra_mps: gust_mps - wind.speed_mps(),
        length_s: GUST_LENGTH_S,
        begins_s: FIRST_GUST_S,
        repeats: true,
    };
    Air {
        wind_from,
        wind_mps: wind.speed_mps(),
        gust: wind_from.and(wind.gust_mps()).map(gust),
        ..Air::default()
    }
}

/// Drives a control script from the start of a plan's way, tick for tick and without a window, with what is broken.
///
/// # Errors
/// Everything wrong in the script.
pub fn drive_by_script(
    plan: &Plan,
    way: &Way,
    script: &str,
    faults: Faults,
    job: Value,
) -> Result<Attempt, Vec<ScriptProblem>> {
    let script = Script::parse(script)?;
    let (aircraft, path) = (&plan.request.aircraft, &way.route.path);
    let environment = Environment {
        faults,
        ..environment(plan, way)
    };
    let start = State::parked(&environment.params(aircraft), path.pose_at(first_driven_m(path)));
    let around = Arc::new(surroundings::of(plan, way));
    let mut attempt = run_script_among(aircraft, environment, Some(around), &start, &script);
    attempt.job = Some(job);
    Ok(attempt)
}

/// Greatest and last distance of the driven nose wheel from the path, metres, and the way at the end. `None` without a
/// track or a path.
pub fn off_the_path(attempt: &Attempt, way: &Way) -> Option<OffPath> {
    let path = &way.route.path;
    let mut result: Option<OffPath> = None;
    for point in &attempt.track {
        // The nearest place is looked for near the last one: ways may come close to themselves.
        let about = result.as_ref().map_or(0.0, |r| r.way_m);
        let (way_m, offset_m) = path.nearest(point.nose, about - 5.0, about + 30.0)?;
        let most = result.as_ref().map_or(0.0, |r| r.most_m).max(offset_m.abs());
        result = Some(OffPath {
            most_m: most,
            last_m: offset_m,
            way_m,
        });
    }
    result
}

/// How far a drive was off the path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OffPath {
    /// Greatest distance of the nose wheel from the path, metres.
    pub most_m: f64,
    /// Last distance, metres, left positive.
    pub last_m: f64,
    /// Way along the path at the end, metres.
    pub way_m: f64,
}
