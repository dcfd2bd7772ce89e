//! How far the nose wheel was off the driven path, metre by metre.

use super::Turns;
use crate::attempt::{Attempt, EventKind};
use crate::pilot::Place;
use toeline_model::DrivenPath;
use toeline_model::path::Motion;

/// Way after the start of a drive, or after a push by hand, that does not count, metres. Ours: two correlation lengths of the
/// default. From the stand the nose wheel is on the line, whoever drives.
pub const SETTLES_M: f64 = 40.0;
/// Way from one reading to the next, metres.
pub(super) const STEP_M: f64 = 1.0;
/// Distance from the path at which it is another way that is driven, metres: that of the model pilot.
const LOST_M: f64 = 4.0;
/// Longest way between two points of the track that is one stretch, metres.
const GAP_M: f64 = 5.0;
/// Shortest stretch that is kept, readings.
const LEAST_READINGS: usize = 10;

/// Readings without a break.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stretch {
    /// Distance of the nose wheel from the path at every metre, left positive, metres.
    pub deviations_m: Vec<f64>,
    /// 0 where the path is straight, 1 where it is an arc to the left, -1 to the right.
    pub bends: Vec<i8>,
}

impl Stretch {
    /// A stretch on a straight path.
    pub fn straight(deviations_m: Vec<f64>) -> Stretch {
        Stretch {
            bends: vec![0; deviations_m.len()],
            deviations_m,
        }
    }

    /// Its way, metres.
    pub fn way_m(&self) -> f64 {
        self.deviations_m.len() as f64 * STEP_M
    }
}

/// The stretches of an attempt that began on a path at a way of so many metres.
///
/// # Errors
/// A sentence that says why there is none.
pub fn stretches(attempt: &Attempt, path: &DrivenPath, from_m: f64) -> Result<Vec<Stretch>, String> {
    if !attempt.environment.faults.is_none() {
        return Err("it was driven with a fault of the aeroplane".to_string());
    }
    // With something broken it is no longer his wobble alone.
    let ends = [EventKind::Reset, EventKind::Broke];
    let over = attempt.events.iter().find(|e| ends.contains(&e.kind));
    let until = over.map_or(u64::MAX, |e| e.tick);
    let mut list = vec![Stretch::default()];
    let mut place = Place::at(from_m);
    let mut last = place;
    let mut next_m = from_m + SETTLES_M;
    let mut lost = None;
    for point in attempt.track.iter().take_while(|p| p.tick <= until) {
        place = place.moved(path, point.nose);
        if place.offset_m.abs() > LOST_M {
            lost = Some(place);
            break;
        }
        if by_hand(path, place.way_m) || place.way_m - last.way_m > GAP_M {
            list.push(Stretch::default());
            next_m = next_m.max(place.way_m + SETTLES_M);
        }
        while next_m <= place.way_m && next_m >= last.way_m {
            let share = (next_m - last.way_m) / (place.way_m - last.way_m).max(1e-9);
            let now = list.len() - 1;
            list[now]
                .deviations_m
                .push(last.offset_m + share * (place.offset_m - last.offset_m));
            list[now].bends.push(bend(path, next_m));
            next_m += STEP_M;
        }
        // Only what is ahead counts: rolling back over what was read says nothing new.
        if place.way_m > last.way_m {
            last = place;
        } else {
            last.offset_m = if place.way_m == last.way_m {
                place.offset_m
            } else {
                last.offset_m
            };
        }
    }
    list.retain(|s| s.deviations_m.len() >= LEAST_READINGS);
    if list.is_empty() {
        return Err(match lost {
            Some(at) => format!(
                "{:.0} m along it is more than {LOST_M} m off the path: another way was driven",
                at.way_m
            ),
            None => format!(
                "it goes {:.0} m along its way; what counts begins after {SETTLES_M} m and is at least {LEAST_READINGS} m long",
                place.way_m - from_m
            ),
        });
    }
    Ok(list)
}

fn by_hand(path: &DrivenPath, way_m: f64) -> bool {
    let piece = path.piece_at(way_m).map(|i| path.pieces[i].motion);
    matches!(piece, Some(Motion::PushBack | Motion::PushSwing { .. }))
}

fn bend(path: &DrivenPath, way_m: f64) -> i8 {
    match path.piece_at(way_m).map(|i| path.pieces[i].motion) {
        Some(Motion::Arc { curvature_per_m }) if curvature_per_m > 0.0 => 1,
        Some(Motion::Arc { .. }) => -1,
        _ => 0,
    }
}

/// How the turns were driven, beside the straights.
pub(super) fn turns(list: &[Stretch], offset_m: f64) -> Option<Turns> {
    let (mut on_arcs, mut inside, mut square, mut straight, mut straight_square) = (0_usize, 0.0, 0.0, 0_usize, 0.0);
    for s in list {
        for (d, bend) in s.deviations_m.iter().zip(&s.bends) {
            let off = d - offset_m;
            if *bend == 0 {
                straight += 1;
                straight_square += off * off;
            } else {
                on_arcs += 1;
                inside += d * f64::from(*bend);
                square += off * off;
            }
        }
    }
    let root = |sum: f64, n: usize| (sum / n.max(1) as f64).sqrt();
    (on_arcs > 0).then(|| Turns {
        way_m: on_arcs as f64 * STEP_M,
        inside_m: inside / on_arcs as f64,
        spread_m: root(square, on_arcs),
        straight_spread_m: root(straight_square, straight),
    })
}
