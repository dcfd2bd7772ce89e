//! The take-off roll: kept straight on the centreline from line-up to lift-off speed.

use super::stats::{mean_and_spread, share_within};
use super::{Drive, Kind, Measure, NO_COURSE, Sample, Source};
use toeline_model::units::knots;

/// Throttle of a take-off (ours).
const TAKE_OFF: f64 = 0.6;
/// Speed that makes it a roll, m/s (ours: 30 kt).
const ROLL_MPS: f64 = 15.4;
/// Distance from the centreline, metres (ours: the nose wheel stays within one main wheel's place).
const WITHIN_M: f64 = 1.5;
const MOST_M: f64 = 2.0;

const ROLL: Kind = Kind {
    key: "take_off_roll",
    title: "Take-off roll kept straight",
    source: Source::Published,
    reference: "FAA Airman Certification Standards, IV.A, from memory: directional control and proper runway centreline alignment, \
                without a figure; ours: 95 per cent of the roll within 1.5 m, never beyond 2 m, and begun within 2 m",
    practise: "line-up and take-off roll: roll on two metres to straighten the nose wheel, power up slowly, feet early and small",
    exercise: Some("take-off-roll"),
};

/// The samples of every take-off roll on a strip, first and last, in order: from power up to power off, or the end. Where there
/// are several the last one is held against the centreline: it is the one that took off.
pub(super) fn rolls(drive: &Drive<'_>) -> Vec<(usize, usize)> {
    let samples = &drive.series.samples;
    let all = drive
        .series
        .stretches(1.0, |s| s.on_runway && s.controls.throttle > TAKE_OFF);
    let fast = |r: &(usize, usize)| samples[r.0..=r.1].iter().any(|s| s.speed_mps >= ROLL_MPS);
    all.into_iter().filter(fast).collect()
}

pub(super) fn roll(drive: &Drive<'_>) -> Measure {
    let Some(course) = drive.course else {
        return ROLL.left_out(NO_COURSE);
    };
    let samples = &drive.series.samples;
    let Some((from, to)) = rolls(drive).pop() else {
        return ROLL.left_out("left out: no take-off roll in it");
    };
    let strip = course.runways.iter().find(|r| r.holds(samples[from].nose));
    let beside = |s: &Sample| strip.and_then(|r| r.beside(s.nose, s.heading_rad)).map(|b| b.1);
    let off: Vec<(&Sample, f64)> = samples[from..=to]
        .iter()
        .filter_map(|s| Some((s, beside(s)?)))
        .collect();
    let Some(most) = off.iter().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())) else {
        return ROLL.left_out("left out: no take-off roll in it");
    };
    let signed: Vec<(f64, f64)> = off.iter().map(|(s, m)| (*m, s.rolled_m)).collect();
    let sized: Vec<(f64, f64)> = signed.iter().map(|v| (v.0.abs(), v.1)).collect();
    let within = share_within(&sized, 0.95).unwrap_or(0.0);
    let (mean, spread) = mean_and_spread(&signed).unwrap_or_default();
    let begun = off.first().map_or(0.0, |v| v.1);
    let fastest = samples[from..=to].iter().map(|s| s.speed_mps).fold(0.0, f64::max);
    let side = if most.1 < 0.0 { "right" } else { "left" };
    let sentence = format!(
        "to {:.0} kt: begun {:.1} m off the centreline, 95 per cent of the roll within {within:.1} m, at most {:.1} m {side}",
        knots(fastest),
        begun.abs(),
        most.1.abs()
    );
    ROLL.judged(within <= WITHIN_M && most.1.abs() <= MOST_M, sentence)
        .figure("p95_m", within)
        .figure("most_m", most.1.abs())
        .figure("begun_m", begun)
        .figure("mean_m", mean)
        .figure("wander_m", spread)
        .figure("fastest_mps", fastest)
        .at(most.0, format!("{:.1} m {side} of the centreline", most.1.abs()))
}
