//! What it came near: things touched, the end of a run, holding lines, the pavement's edge, the least gap.

use super::{Drive, Kind, MOST_SPOTS, Measure, NO_COURSE, Sample, Source};
use crate::attempt::{Event, EventKind};
use toeline_model::aircraft::parts::{Part, parts};
use toeline_model::planar::outline_to_shape;
use toeline_model::units::gap_floor;
use toeline_model::{Pose, Xy};

/// Gap below the plan's that is worth work, metres (ours).
const BELOW_PLAN_M: f64 = 1.0;
/// Farthest that a gap is looked for, metres: as the plan looks.
const LOOK_M: f64 = 20.0;
/// Way before and behind a line in which its crossing is looked for, metres (ours).
const ABOUT_LINE_M: f64 = 30.0;
/// How near before a line it must have stood to have held there, metres of the nose wheel (ours).
const HELD_WITHIN_M: f64 = 8.0;

const TOUCHED: Kind = Kind {
    key: "touched",
    title: "Nothing touched",
    source: Source::Common,
    reference: "common practice, no source",
    practise: "the same way again at walking pace; stop before whatever comes near and look at both tips before going on",
};
const ENDED: Kind = Kind {
    key: "stayed_on_wheels",
    title: "Stayed on its wheels, engine running",
    source: Source::Common,
    reference: "common practice, no source",
    practise: "turns at walking pace, throttle closed before them",
};
const LINES: Kind = Kind {
    key: "hold_lines",
    title: "No part over a holding line",
    source: Source::Published,
    reference: "FAA AIM 2-3-5: to hold short, no part of the aircraft is beyond the marking",
    practise: "stop straight at a holding line: stop early, look how far the propeller is from the line, creep on",
};
const PAVEMENT: Kind = Kind {
    key: "pavement",
    title: "Main gear on the pavement",
    source: Source::Common,
    reference: "common practice, no source; a wheel counts by the outside of its tyre",
    practise: "ninety-degree turns: lead the nose wheel past the corner before turning, so that the inner wheel stays on",
};
const GAP: Kind = Kind {
    key: "least_gap",
    title: "Gaps as planned",
    source: Source::Ours,
    reference: "the plan's gap along the same way; a metre less and below the margin counts, ours. Parts, things and height bands are \
                the planner's",
    practise: "the narrow places alone: stop before each, look at the tip, go through on the line or not at all",
};

pub(super) fn touched(drive: &Drive<'_>) -> Measure {
    let found: Vec<&Event> = of_kind(drive, EventKind::TouchedObstacle).collect();
    let sentence = match found.len() {
        0 => "no part touched anything".to_string(),
        1 => format!("one touch: {}", found[0].text),
        n => format!("{n} touches, the first: {}", found[0].text),
    };
    let told = TOUCHED
        .judged(found.is_empty(), sentence)
        .figure("touches", found.len() as f64);
    with_events(drive, told, &found)
}

pub(super) fn ended(drive: &Drive<'_>) -> Measure {
    let ends = [EventKind::TippedOver, EventKind::LiftedOff];
    let found: Vec<&Event> = ends.into_iter().flat_map(|k| of_kind(drive, k)).collect();
    let sentence = found.first().map_or("as it should".to_string(), |e| e.words());
    with_events(drive, ENDED.judged(found.is_empty(), sentence), &found)
}

pub(super) fn pavement(drive: &Drive<'_>) -> Measure {
    let main = |e: &&Event| e.part.as_deref().is_some_and(|p| p.contains("main"));
    let found: Vec<&Event> = of_kind(drive, EventKind::LeftPavement).filter(main).collect();
    if drive.course.is_none() && found.is_empty() {
        return PAVEMENT.left_out(NO_COURSE);
    }
    let sentence = match found.len() {
        0 => "both main wheels on the pavement all the way".to_string(),
        1 => "a main wheel left the pavement once".to_string(),
        n => format!("main wheels left the pavement {n} times"),
    };
    let told = PAVEMENT
        .judged(found.is_empty(), sentence)
        .figure("times", found.len() as f64);
    with_events(drive, told, &found)
}

pub(super) fn of_kind<'a>(drive: &Drive<'a>, kind: EventKind) -> impl Iterator<Item = &'a Event> {
    drive.attempt.events.iter().filter(move |e| e.kind == kind)
}

/// The same measure with the places of events.
pub(super) fn with_events(drive: &Drive<'_>, told: Measure, events: &[&Event]) -> Measure {
    events.iter().take(MOST_SPOTS).fold(told, |told, e| {
        let time_s = drive.attempt.time_s(e.tick);
        let sample = drive.series.samples.iter().find(|s| s.time_s >= time_s - 1e-6);
        match sample {
            Some(s) => told.at(s, e.words()),
            None => told,
        }
    })
}

pub(super) fn pose(s: &Sample) -> Pose {
    Pose {
        nose: s.nose,
        heading_rad: s.heading_rad,
    }
}

fn placed(drive: &Drive<'_>, part: &Part, s: &Sample) -> Vec<Xy> {
    let wheelbase_m = drive.attempt.aircraft.gear.wheelbase_m;
    let pose = pose(s);
    part.outline.iter().map(|q| pose.place(wheelbase_m, *q)).collect()
}

pub(super) fn hold_lines(drive: &Drive<'_>) -> Measure {
    let Some(course) = drive.course else {
        return LINES.left_out(NO_COURSE);
    };
    if course.lines.is_empty() {
        return LINES.left_out("left out: there is no holding line on this way");
    }
    let parts = parts(&drive.attempt.aircraft);
    let samples = &drive.series.samples;
    let (mut over, mut reached, mut least) = (Vec::new(), 0, f64::INFINITY);
    for line in &course.lines {
        let near = |s: &&(usize, &Sample)| (s.1.way_m - line.stop_at_m).abs() < ABOUT_LINE_M;
        let mut held = false;
        let mut came = false;
        for (i, s) in samples.iter().enumerate().collect::<Vec<_>>().iter().filter(near) {
            let (mut most, mut which) = (f64::NEG_INFINITY, "");
            for part in &parts {
                for q in placed(drive, part, s) {
                    let beyond = (q - line.at).dot(line.ahead);
                    if beyond > most {
                        (most, which) = (beyond, part.name.as_str());
                    }
                }
            }
            came |= most > -HELD_WITHIN_M;
            if held && !line.is_end {
                // It has held; whether it was told to go on is not in the attempt.
                break;
            }
            if most > 0.0 {
                over.push((*i, format!("{which} {most:.1} m over the line of {}", line.name)));
                break;
            }
            least = least.min(-most);
            held |= s.speed_mps < 0.05 && -most < HELD_WITHIN_M;
        }
        reached += usize::from(came);
    }
    if reached == 0 && over.is_empty() {
        return LINES.left_out("left out: it came to no holding line");
    }
    let sentence = match over.first() {
        None => format!("{reached} held before, nearest part {least:.1} m behind the line"),
        Some((_, text)) => format!("{text} without having held there"),
    };
    let mut told = LINES
        .judged(over.is_empty(), sentence)
        .figure("lines_crossed", over.len() as f64);
    if least.is_finite() {
        told = told.figure("least_behind_m", least);
    }
    over.into_iter()
        .fold(told, |told, (i, text)| told.at(&samples[i], text))
}

pub(super) fn gap(drive: &Drive<'_>) -> Measure {
    let Some(course) = drive.course else {
        return GAP.left_out(NO_COURSE);
    };
    let parts = parts(&drive.attempt.aircraft);
    let mut best: Option<(f64, &Sample, String)> = None;
    let mut worst: Option<(f64, f64, &Sample)> = None;
    for (k, s) in drive.series.samples.iter().enumerate() {
        // What stands still stands where it stood; a wing tip moves less than 0.5 m between two of these looks.
        if (k > 0 && s.rolled_m == 0.0) || k % 2 == 1 {
            continue;
        }
        let Some((gap, words)) = gap_at(drive, &parts, s) else {
            continue;
        };
        if best.as_ref().is_none_or(|b| gap < b.0) {
            best = Some((gap, s, words));
        }
        if let Some(plan) = course.planned_gap_m(s.way_m) {
            if worst.is_none_or(|w| gap - plan < w.0) {
                worst = Some((gap - plan, gap, s));
            }
        }
    }
    let Some((least, at, words)) = best else {
        return GAP.left_out("left out: nothing stands within 20 m of the way");
    };
    let lost = worst.map_or(0.0, |w| -w.0);
    let good = !worst.is_some_and(|w| -w.0 > BELOW_PLAN_M && w.1 < course.margin_m) && least > 0.0;
    let planned = course.planned_gaps.iter().map(|c| c.2).min_by(f64::total_cmp);
    let plan_says = planned.map_or(String::new(), |m| {
        format!("; the plan's least is {:.1} m", gap_floor(m))
    });
    let sentence = format!(
        "least gap {:.1} m, {words}, on {}{plan_says}",
        gap_floor(least),
        course.leg_at(at.way_m)
    );
    let mut told = GAP
        .judged(good, sentence)
        .figure("least_m", least)
        .figure("most_below_plan_m", lost)
        .at(at, format!("{:.1} m, {words}", gap_floor(least)));
    if let Some(m) = planned {
        told = told.figure("planned_least_m", m);
    }
    if let (false, Some((_, gap, s))) = (good, worst) {
        told = told.at(s, format!("{gap:.1} m, {lost:.1} m less than planned there"));
    }
    told
}

/// Least gap at a moment, metres, and between what; `None` beyond 20 m.
fn gap_at(drive: &Drive<'_>, parts: &[Part], s: &Sample) -> Option<(f64, String)> {
    let course = drive.course?;
    let reach_m = drive.attempt.aircraft.reach_m() + LOOK_M;
    let mut best: Option<(f64, &str, &str)> = None;
    for thing in &course.standing {
        let (low, high) = thing.shape.bounds();
        let apart = Xy {
            x: (low.x - s.nose.x).max(s.nose.x - high.x).max(0.0),
            y: (low.y - s.nose.y).max(s.nose.y - high.y).max(0.0),
        };
        if apart.norm() > reach_m.min(best.map_or(reach_m, |b| b.0 + reach_m - LOOK_M)) {
            continue;
        }
        for part in parts {
            let over = course.vertical_margin_m;
            let meet = part.low_m - over < thing.top_m.unwrap_or(f64::INFINITY) && thing.bottom_m < part.high_m + over;
            if meet {
                let gap = outline_to_shape(&placed(drive, part, s), &thing.shape).distance_m;
                if gap < LOOK_M && best.is_none_or(|b| gap < b.0) {
                    best = Some((gap, &part.name, &thing.name));
                }
            }
        }
    }
    best.map(|(gap, part, thing)| (gap, format!("{part} to {thing}")))
}

/// Least gap at every sample, metres; `None` beyond 20 m and without a course.
pub(super) fn gaps(drive: &Drive<'_>) -> Vec<Option<f64>> {
    let parts = parts(&drive.attempt.aircraft);
    let mut last = None;
    let samples = drive.series.samples.iter().enumerate();
    samples
        .map(|(k, s)| {
            if k == 0 || s.rolled_m > 0.0 {
                last = gap_at(drive, &parts, s).map(|g| g.0);
            }
            last
        })
        .collect()
}
