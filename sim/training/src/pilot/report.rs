//! How precisely an attempt followed its path.

use super::Place;
use crate::attempt::Attempt;
use serde::{Deserialize, Serialize};
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
