//! What it came near: things touched, the end of a run, holding lines, the pavement's edge, the least gap.

use super::course::{Course, Line};
use super::noted::{self, notes_them, sample_at};
use super::radio::{Onto, permitted};
use super::roll;
use super::runways::entries;
use super::{Drive, Kind, LEAST_ROLL_M, MOST_SPOTS, Measure, NO_COURSE, Sample, Source};
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
    exercise: None,
};
const ENDED: Kind = Kind {
    key: "stayed_on_wheels",
    title: "Stayed on its wheels, engine running",
    source: Source::Common,
    reference: "common practice, no source",
    practise: "turns at walking pace, throttle closed before them",
    exercise: Some("ninety-degrees"),
};
const LINES: Kind = Kind {
    key: "hold_lines",
    title: "No part over a holding line",
    source: Source::Published,
    reference: "FAA AIM 2-3-5: to hold short, no part of the aircraft is beyond the marking",
    practise: "stop straight at a holding line: stop early, look how far the propeller is from the line, creep on",
    exercise: Some("stop-at-the-line"),
};
const PAVEMENT: Kind = Kind {
    key: "pavement",
    title: "Main gear on the pavement",
    source: Source::Common,
    reference: "common practice, no source; a wheel counts by the outside of its tyre",
    practise: "ninety-degree turns: lead the nose wheel past the corner before turning, so that the inner wheel stays on",
    exercise: Some("ninety-degrees"),
};
const GAP: Kind = Kind {
    key: "least_gap",
    title: "Gaps as planned",
    source: Source::Ours,
    reference: "the plan's gap along the same way; a metre less and below the margin counts, ours. Parts, things and height bands are \
                the planner's",
    practise: "the narrow places alone: stop before each, look at the tip, go through on the line or not at all",
    exercise: None,
};

/// How long after the last sample of a take-off roll lifting off is its end, seconds (ours).
const LIFTS_WITHIN_S: f64 = 2.0;
/// Why a rolling aeroplane's measure says nothing of one that stood.
pub(super) const HARDLY_ROLLED: &str = "left out: it rolled less than 5 m";

/// Whether contacts and the pavement's edge were noted: older attempts lack the places of events.
fn notes_contacts(drive: &Drive<'_>) -> bool {
    drive.attempt.events.iter().any(|e| e.at.is_some())
}

pub(super) fn touched(drive: &Drive<'_>) -> Measure {
    if !notes_contacts(drive) {
        return TOUCHED.not_recorded("what was touched, or nothing happened in it at all");
    }
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
    // Lifting off at the end of a take-off roll is what it is for.
    let meant = |e: &&Event| {
        let time_s = drive.attempt.time_s(e.tick);
        let ended = |r: &(usize, usize)| (drive.series.samples[r.1].time_s - time_s).abs() < LIFTS_WITHIN_S;
        e.kind == EventKind::LiftedOff && roll::rolls(drive).iter().any(ended)
    };
    let broke = of_kind(drive, EventKind::Broke).map(|e| e.tick).next();
    // After something broke, and at a standstill, stopping the engine is what is right.
    let stopped = of_kind(drive, EventKind::EngineStopped)
        .filter(|e| broke.is_none_or(|tick| e.tick < tick))
        .filter(|e| sample_at(drive, drive.attempt.time_s(e.tick)).is_some_and(Sample::moves));
    let mut found: Vec<&Event> = ends
        .into_iter()
        .flat_map(|k| of_kind(drive, k))
        .filter(|e| !meant(e))
        .chain(stopped)
        .collect();
    found.sort_by_key(|e| e.tick);
    if found.is_empty() && drive.series.rolled_m() < LEAST_ROLL_M {
        return ENDED.left_out(HARDLY_ROLLED);
    }
    let sentence = found.first().map_or("as it should".to_string(), |e| e.words());
    with_events(drive, ENDED.judged(found.is_empty(), sentence), &found)
}

pub(super) fn pavement(drive: &Drive<'_>) -> Measure {
    if !notes_contacts(drive) {
        return PAVEMENT.not_recorded("where the wheels were, or nothing happened in it at all");
    }
    let main = |e: &&Event| e.part.as_deref().is_some_and(|p| p.contains("main"));
    let found: Vec<&Event> = of_kind(drive, EventKind::LeftPavement).filter(main).collect();
    if drive.course.is_none() && found.is_empty() {
        return PAVEMENT.left_out(NO_COURSE);
    }
    let sentence = match found.len() {
        0 => "both main wheels on the pavement all the way".to_string(),
        1 => "a main wheel left the pavement once".to_string(),
        n => format!("main wheels left the pavement {}", super::times(n)),
    };
    let told = PAVEMENT
        .judged(found.is_empty(), sentence)
        .figure("times", found.len() as f64);
    with_events(drive, told, &found)
}

/// Events of a kind up to the drive's first reset, in order.
pub(super) fn of_kind<'a>(drive: &Drive<'a>, kind: EventKind) -> impl Iterator<Item = &'a Event> {
    noted::of_kind(drive, kind).map(|(_, e)| e)
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

/// What came of one holding line.
#[derive(Default)]
struct AtLine {
    came: bool,
    /// Nearest that any part came before it, metres behind the line.
    least_m: Option<f64>,
    over: Option<(usize, String)>,
}

/// Whether it may go onto the runway ahead of a sample: permitted for that one since it left the last one.
fn may_pass(drive: &Drive<'_>, i: usize) -> bool {
    let samples = &drive.series.samples;
    let all = entries(drive);
    let left = all.iter().filter(|e| e.to < i).map(|e| samples[e.to].time_s);
    let since_s = left.fold(f64::NEG_INFINITY, f64::max);
    // A line passed without coming onto the runway asks for no more than crossing it would.
    let onto = all
        .iter()
        .find(|e| e.to >= i)
        .map_or(Onto::Across, |e| Onto::of(drive, e));
    permitted(drive, onto, since_s, samples[i].time_s)
}

fn at_line(drive: &Drive<'_>, parts: &[Part], line: &Line) -> AtLine {
    let mut found = AtLine::default();
    let mut held = false;
    for (i, s) in drive.series.samples.iter().enumerate() {
        if (s.way_m - line.stop_at_m).abs() > ABOUT_LINE_M {
            continue;
        }
        let (mut most, mut which) = (f64::NEG_INFINITY, "");
        for part in parts {
            for q in placed(drive, part, s) {
                let beyond = (q - line.at).dot(line.ahead);
                if beyond > most {
                    (most, which) = (beyond, part.name.as_str());
                }
            }
        }
        if most > 0.0 && i == 0 {
            // It began there: nobody drove it over this line.
            return AtLine::default();
        }
        found.came |= most > -HELD_WITHIN_M;
        if most > 0.0 {
            let told = notes_them(drive.attempt);
            // Where the radio is not in the attempt, and where lanes cross, having held is all that can be asked; the end of
            // the way is the end.
            let may = if told && line.guards_runway {
                may_pass(drive, i)
            } else {
                held && !line.is_end
            };
            if !may {
                found.over = Some((i, format!("{which} {most:.1} m over the line of {}", line.name)));
            }
            break;
        }
        found.least_m = Some(found.least_m.map_or(-most, |m: f64| m.min(-most)));
        held |= s.speed_mps < 0.05 && -most < HELD_WITHIN_M;
    }
    found
}

pub(super) fn hold_lines(drive: &Drive<'_>) -> Measure {
    let Some(course) = drive.course else {
        return LINES.left_out(NO_COURSE);
    };
    if course.lines.is_empty() {
        return LINES.left_out("left out: there is no holding line on this way");
    }
    let parts = parts(&drive.attempt.aircraft);
    let all: Vec<AtLine> = course.lines.iter().map(|l| at_line(drive, &parts, l)).collect();
    let came = all.iter().filter(|a| a.came).count();
    if came == 0 {
        return LINES.left_out("left out: it came to no holding line");
    }
    let least = all
        .iter()
        .filter(|a| a.came)
        .filter_map(|a| a.least_m)
        .min_by(f64::total_cmp);
    let over: Vec<&(usize, String)> = all.iter().filter_map(|a| a.over.as_ref()).collect();
    let lines = if came == 1 {
        "one holding line".to_string()
    } else {
        format!("{came} holding lines")
    };
    let sentence = match over.first() {
        None => format!("no part over {lines} before it might go on"),
        Some((_, text)) => format!("{text} before it might go on"),
    };
    let mut told = LINES
        .judged(over.is_empty(), sentence)
        .figure("lines_crossed", over.len() as f64);
    if let Some(m) = least {
        told = told.figure("least_behind_m", m);
    }
    over.into_iter()
        .fold(told, |told, (i, text)| told.at(&drive.series.samples[*i], text.clone()))
}

/// The least gap at a moment: metres, and between which part and which thing (indices).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Gap {
    pub(super) gap_m: f64,
    part: usize,
    thing: usize,
}

pub(super) fn gap(drive: &Drive<'_>, gaps: &[Option<Gap>]) -> Measure {
    let Some(course) = drive.course else {
        return GAP.left_out(NO_COURSE);
    };
    let mut best: Option<(Gap, &Sample)> = None;
    let mut worst: Option<(f64, f64, &Sample)> = None;
    for (s, gap) in drive.series.samples.iter().zip(gaps) {
        let Some(gap) = gap else { continue };
        if best.is_none_or(|b| gap.gap_m < b.0.gap_m) {
            best = Some((*gap, s));
        }
        if let Some(plan) = course.planned_gap_m(s.way_m)
            && worst.is_none_or(|w| gap.gap_m - plan < w.0)
        {
            worst = Some((gap.gap_m - plan, gap.gap_m, s));
        }
    }
    let Some((closest, at)) = best else {
        return GAP.left_out("left out: nothing stands within 20 m of the way");
    };
    let parts = parts(&drive.attempt.aircraft);
    let words = format!(
        "{} to {}",
        parts[closest.part].name, course.standing[closest.thing].name
    );
    let least = closest.gap_m;
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
        told = told.at(
            s,
            format!("{:.1} m, {lost:.1} m less than planned there", gap_floor(gap)),
        );
    }
    told
}

/// Least gap at a moment; `None` beyond 20 m.
fn gap_at(drive: &Drive<'_>, course: &Course, parts: &[Part], s: &Sample) -> Option<Gap> {
    let reach_m = drive.attempt.aircraft.reach_m();
    let mut best: Option<Gap> = None;
    let mut outlines: Vec<Option<Vec<Xy>>> = vec![None; parts.len()];
    for (k, thing) in course.standing.iter().enumerate() {
        let (low, high) = thing.shape.bounds();
        let apart = Xy {
            x: (low.x - s.nose.x).max(s.nose.x - high.x).max(0.0),
            y: (low.y - s.nose.y).max(s.nose.y - high.y).max(0.0),
        };
        // Farther than this it cannot be nearer than what is known.
        if apart.norm() > reach_m + best.map_or(LOOK_M, |b| b.gap_m) {
            continue;
        }
        for (i, (part, outline)) in parts.iter().zip(&mut outlines).enumerate() {
            let over = course.vertical_margin_m;
            let meet = part.low_m - over < thing.top_m.unwrap_or(f64::INFINITY) && thing.bottom_m < part.high_m + over;
            if meet {
                let outline = outline.get_or_insert_with(|| placed(drive, part, s));
                let gap_m = outline_to_shape(outline, &thing.shape).distance_m;
                if gap_m < best.map_or(LOOK_M, |b| b.gap_m) {
                    best = Some(Gap {
                        gap_m,
                        part: i,
                        thing: k,
                    });
                }
            }
        }
    }
    best
}

/// Least gap at every sample; `None` beyond 20 m and without a course.
pub(super) fn gaps(drive: &Drive<'_>) -> Vec<Option<Gap>> {
    let Some(course) = drive.course else {
        return vec![None; drive.series.samples.len()];
    };
    let parts = parts(&drive.attempt.aircraft);
    let mut last = None;
    let samples = drive.series.samples.iter().enumerate();
    samples
        .map(|(k, s)| {
            // What stands still stands where it stood.
            if k == 0 || s.rolled_m > 0.0 {
                last = gap_at(drive, course, &parts, s);
            }
            last
        })
        .collect()
}
