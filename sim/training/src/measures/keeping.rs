//! Nose wheel and path: how far off, on which side for good, and how it weaves.

use super::stats::{mean_and_spread, root_mean_square, share_within, turning_points};
use super::{Drive, Kind, MOST_SPOTS, Measure, NO_COURSE, Sample, Source, times};

/// Distance that 95 per cent of the way should be driven within, metres (ours: a third of what a 7.5 m lane leaves beside
/// a 2.5 m gear).
const WITHIN_M: f64 = 0.8;
/// Greatest distance, metres (ours).
const MOST_M: f64 = 1.5;
/// Mean distance on straights above which the place of the eye is the matter, metres (ours).
const STEADY_M: f64 = 0.3;
/// Way after the start and after a bend that does not count as straight, metres (ours).
const SETTLE_M: f64 = 10.0;
/// Least turning back that counts as a swing, metres (ours).
const SWING_M: f64 = 0.1;
/// Size of a weave to work on, metres either side, and swings that make one within so much straight way, metres (ours).
const WEAVE_M: f64 = 0.2;
const WEAVE_SWINGS: usize = 5;
const WEAVE_WITHIN_M: f64 = 100.0;

const PATH: Kind = Kind {
    key: "path",
    title: "Nose wheel on the line",
    source: Source::Ours,
    reference: "control of direction (FAA Airman Certification Standards, II.D Taxiing, without a figure); ours: 95 per cent of the \
                way within 0.8 m, never beyond 1.5 m",
    practise: "straight line at walking pace: pick a point far ahead, keep it where the line appears from your seat",
    exercise: Some("straight-line"),
};
const STEADY: Kind = Kind {
    key: "steady_offset",
    title: "Not beside the line for good",
    source: Source::Ours,
    reference: "a beginner puts himself, not the nose wheel, on the line (common practice); the figure is ours: a mean of at \
                most 0.3 m on straights",
    practise: "where the line appears from the left seat: stop on a line, get out, look where the nose wheel stands, remember \
               the picture",
    exercise: Some("line-from-the-seat"),
};
const WEAVE: Kind = Kind {
    key: "weave",
    title: "No over-correcting",
    source: Source::Ours,
    reference: "small early corrections, then wait (common practice); the figures are ours: five swings of 0.2 m \
                either side and more within 100 m of straight way",
    practise: "straight line with one small pedal correction at a time: press, release, wait three seconds, look again",
    exercise: Some("straight-line"),
};

/// Why nothing is held against a line on the free apron.
const NO_LINE: &str = "left out: there is no line on this ground";

/// Offsets of samples with the way each stands for.
fn offsets(drive: &Drive<'_>, counts: impl Fn(&Sample) -> bool) -> Vec<(f64, f64)> {
    let all = drive.series.samples.iter().filter(|s| s.rolled_m > 0.0 && counts(s));
    all.filter_map(|s| Some((s.offset_m?, s.rolled_m))).collect()
}

pub(super) fn path(drive: &Drive<'_>) -> Measure {
    let Some(course) = drive.course else {
        return PATH.left_out(NO_COURSE);
    };
    if course.task.path.pieces.is_empty() {
        return PATH.left_out(NO_LINE);
    }
    let sized: Vec<(f64, f64)> = offsets(drive, |_| true).iter().map(|(v, w)| (v.abs(), *w)).collect();
    let (Some(rms), Some(within)) = (root_mean_square(&sized), share_within(&sized, 0.95)) else {
        return PATH.left_out("left out: it did not move");
    };
    let moved = drive.series.samples.iter().filter(|s| s.rolled_m > 0.0);
    let Some(most) = moved.max_by(|a, b| off(a).total_cmp(&off(b))) else {
        return PATH.left_out("left out: it did not move");
    };
    let side = side(most.offset_m.unwrap_or(0.0));
    let good = within <= WITHIN_M && off(most) <= MOST_M;
    let sentence = format!(
        "nose wheel {rms:.2} m off the line (root mean square), 95 per cent of the way within {within:.2} m; at most {:.2} m {side}, \
         on {}",
        off(most),
        course.leg_at(most.way_m)
    );
    PATH.judged(good, sentence)
        .figure("rms_m", rms)
        .figure("p95_m", within)
        .figure("most_m", off(most))
        .figure("most_at_m", most.way_m)
        .at(most, format!("{:.2} m {side} of the line", off(most)))
}

fn off(s: &Sample) -> f64 {
    s.offset_m.unwrap_or(0.0).abs()
}

fn side(offset_m: f64) -> &'static str {
    if offset_m < 0.0 { "right" } else { "left" }
}

/// Stretches of straight way with a line to be off: indices of samples, first and last.
fn straights(drive: &Drive<'_>) -> Vec<(usize, usize)> {
    let Some(course) = drive.course else { return Vec::new() };
    let samples = &drive.series.samples;
    let mut bend_ended_m = course.task.from_m;
    let mut straight = vec![false; samples.len()];
    for (s, on) in samples.iter().zip(&mut straight) {
        if course.bend_at(s.way_m).is_some() {
            bend_ended_m = s.way_m;
        }
        *on = s.way_m - bend_ended_m >= SETTLE_M && s.offset_m.is_some();
    }
    let mut found = Vec::new();
    let mut from = None;
    for i in 0..=samples.len() {
        match (straight.get(i).copied().unwrap_or(false), from) {
            (true, None) => from = Some(i),
            (false, Some(a)) => {
                found.push((a, i - 1));
                from = None;
            }
            _ => {}
        }
    }
    found
}

pub(super) fn steady(drive: &Drive<'_>) -> Measure {
    if drive.course.is_none() {
        return STEADY.left_out(NO_COURSE);
    }
    let mut values = Vec::new();
    for (a, b) in straights(drive) {
        let rolled = drive.series.samples[a..=b].iter().filter(|s| s.rolled_m > 0.0);
        values.extend(rolled.filter_map(|s| Some((s.offset_m?, s.rolled_m))));
    }
    let Some((mean, spread)) = mean_and_spread(&values) else {
        return STEADY.left_out("left out: there is no straight way in it");
    };
    let whole: f64 = values.iter().map(|v| v.1).sum();
    let sentence = format!(
        "on {whole:.0} m of straight way the nose wheel ran {:.2} m {} of the line on the mean, and wandered by {spread:.2} m \
         about that",
        mean.abs(),
        side(mean)
    );
    STEADY
        .judged(mean.abs() <= STEADY_M, sentence)
        .figure("mean_m", mean)
        .figure("wander_m", spread)
        .figure("straight_m", whole)
}

pub(super) fn weave(drive: &Drive<'_>) -> Measure {
    if drive.course.is_none() {
        return WEAVE.left_out(NO_COURSE);
    }
    let samples = &drive.series.samples;
    let all = straights(drive);
    if all.is_empty() {
        return WEAVE.left_out("left out: there is no straight way in it");
    }
    let (mut sizes, mut halves, mut spots) = (Vec::new(), Vec::new(), Vec::new());
    // Large swings: the sample, and the straight way up to it, bends left out.
    let (mut large, mut straight_m): (Vec<(usize, f64)>, f64) = (Vec::new(), 0.0);
    for (a, b) in all {
        let values: Vec<f64> = samples[a..=b].iter().filter_map(|s| s.offset_m).collect();
        let turned = turning_points(&values, SWING_M);
        spots.extend(turned.iter().map(|i| a + i));
        for pair in turned.windows(2) {
            sizes.push((values[pair[1]] - values[pair[0]]).abs() / 2.0);
            halves.push(samples[a + pair[1]].way_m - samples[a + pair[0]].way_m);
        }
        for (k, i) in turned.iter().enumerate() {
            let to = |other: Option<&usize>| other.map_or(0.0, |o| (values[*o] - values[*i]).abs() / 2.0);
            let before = to(k.checked_sub(1).and_then(|k| turned.get(k)));
            if before.max(to(turned.get(k + 1))) >= WEAVE_M {
                large.push((a + i, straight_m + samples[a + i].way_m - samples[a].way_m));
            }
        }
        straight_m += samples[b].way_m - samples[a].way_m;
    }
    if sizes.is_empty() {
        let told =
            format!("no swings: the way back to the line was never more than {SWING_M} m too far, twice in turn");
        return WEAVE.judged(true, told).figure("swings", spots.len() as f64);
    }
    let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
    let (size, length) = (mean(&sizes), 2.0 * mean(&halves));
    // The most in any 100 m: neither a long drive nor a short one makes a weave, or hides one.
    let within = |k: usize| {
        large[k..]
            .iter()
            .take_while(|l| l.1 - large[k].1 <= WEAVE_WITHIN_M)
            .count()
    };
    let (begins, most) = (0..large.len())
        .map(|k| (k, within(k)))
        .max_by_key(|k| (k.1, core::cmp::Reverse(k.0)))
        .unwrap_or_default();
    let good = most < WEAVE_SWINGS;
    let sentence = format!(
        "swung across straight way {}, {size:.2} m either side, one there and back in {length:.0} m; at most {most} of {WEAVE_M} m \
         and more within {WEAVE_WITHIN_M:.0} m",
        times(spots.len())
    );
    let mut told = WEAVE
        .judged(good, sentence)
        .figure("swings", spots.len() as f64)
        .figure("size_m", size)
        .figure("length_m", length)
        .figure("large_within_100_m", most as f64);
    if !good {
        for (i, _) in large.iter().skip(begins).take(most.min(MOST_SPOTS)) {
            let s = &samples[*i];
            told = told.at(
                s,
                format!("swing to {:.2} m {}", off(s), side(s.offset_m.unwrap_or(0.0))),
            );
        }
    }
    told
}
