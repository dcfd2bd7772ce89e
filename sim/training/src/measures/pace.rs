//! Speed against place and turn, against what can be stopped in, and power held against the brake.

use super::feet::{FULL_PEDAL, steered};
use super::room::HARDLY_ROLLED;
use super::{Drive, Kind, LEAST_ROLL_M, MOST_SPOTS, Measure, NO_COURSE, Sample, Source};
use toeline_dynamics::{Controls, State, step};
use toeline_model::Pose;
use toeline_model::units::knots;

/// What a speed may be above the one intended, m/s (ours: 2 kt), and for how long, seconds.
const OVER_MPS: f64 = 1.03;
const OVER_S: f64 = 1.0;
/// Deceleration of closing the throttle with an easy foot, m/s² (ours: a tenth of gravity, and half of that is
/// comfortable).
const EASY_MPS2: f64 = 0.98;
/// Toe and throttle positions that count as pressed and as power (ours).
pub(super) const PRESSED: f64 = 0.05;
const POWER: f64 = 0.1;
/// Seconds of power against a brake while rolling (ours).
const AGAINST_S: f64 = 2.0;
/// Walking pace, m/s.
const WALK_MPS: f64 = 1.4;

const PLACE: Kind = Kind {
    key: "speed",
    title: "Speed for the place and the turn",
    source: Source::Ours,
    reference: "slow on aprons and in turns (FAA Airplane Flying Handbook, chapter 2); the speeds are those of the plan and of the \
                aircraft file; over by more than 2 kt for a second counts, ours",
    practise: "a walk beside the aeroplane: say the speed aloud before every turn, throttle closed before the turn and not in it",
    exercise: Some("ninety-degrees"),
};
const CLOSING: Kind = Kind {
    key: "can_stop",
    title: "Slow enough to stop where it must",
    source: Source::Published,
    reference: "FAA Airplane Flying Handbook, chapter 2: closing the throttle lets the aeroplane be stopped promptly. The figure is \
                ours: before a stop no faster than a tenth of gravity brings to rest",
    practise: "stop straight at a holding line: throttle closed early, one press, nose wheel straight, before the line",
    exercise: Some("stop-at-the-line"),
};
const AGAINST: Kind = Kind {
    key: "power_against_brake",
    title: "No power against the brake",
    source: Source::Published,
    reference: "FAA Airplane Flying Handbook, chapter 2: throttle to idle before the brakes, except in sharp turns at low speed. \
                Engine check, turns planned with inside brake, a brake that helps a full pedal and, where brakes steer, one brake \
                alone are excepted; the figure is ours: 2 s in a drive",
    practise: "hands and feet in turn: throttle closed, count one, then the toes; toes off before the throttle goes up",
    exercise: Some("first-roll"),
};

pub(super) fn place(drive: &Drive<'_>) -> Measure {
    let Some(course) = drive.course else {
        return PLACE.left_out(NO_COURSE);
    };
    let intended = |s: &Sample| {
        let lane = course.task.speed_at(s.way_m);
        let bend = course.bend_at(s.way_m).map(|r| r.abs());
        bend.map_or(lane, |r| drive.attempt.aircraft.turn_speed_mps(r).min(lane))
    };
    // On a runway there is no taxi speed: backtracking is one thing, a take-off roll another.
    let over = |s: &Sample| {
        if s.on_runway {
            f64::NEG_INFINITY
        } else {
            s.speed_mps - intended(s)
        }
    };
    let fast = drive.series.stretches(OVER_S, |s| over(s) > OVER_MPS);
    let samples = &drive.series.samples;
    let top = samples
        .iter()
        .filter(|s| !s.on_runway)
        .map(|s| s.speed_mps)
        .fold(0.0, f64::max);
    let seconds = drive.series.seconds(|s| over(s) > OVER_MPS);
    let sentence = if fast.is_empty() {
        format!(
            "never more than 2 kt above the speed of the place for a second; fastest {:.0} kt",
            knots(top)
        )
    } else {
        format!(
            "above the speed of the place by more than 2 kt for {seconds:.0} s; fastest {:.0} kt",
            knots(top)
        )
    };
    let mut told = PLACE
        .judged(fast.is_empty(), sentence)
        .figure("too_fast_s", seconds)
        .figure("fastest_mps", top);
    for (a, b) in fast.into_iter().take(MOST_SPOTS) {
        let worst = samples[a..=b].iter().max_by(|x, y| over(x).total_cmp(&over(y)));
        if let Some(s) = worst {
            let what = if course.bend_at(s.way_m).is_some() {
                "the turn on"
            } else {
                ""
            };
            let text = format!(
                "{:.0} kt where {:.0} kt was meant, {what} {}",
                knots(s.speed_mps),
                knots(intended(s)),
                course.leg_at(s.way_m)
            );
            told = told.at(s, text.replace("  ", " "));
        }
    }
    told
}

pub(super) fn stopping_distance(drive: &Drive<'_>) -> Measure {
    let Some(course) = drive.course else {
        return CLOSING.left_out(NO_COURSE);
    };
    let samples = &drive.series.samples;
    let needs = |s: &Sample| s.speed_mps * s.speed_mps / (2.0 * EASY_MPS2);
    // Half a metre is what stopping a hand's breadth late comes to.
    let late = |s: &Sample| {
        s.speed_mps > WALK_MPS
            && !s.on_runway
            && course
                .next_stop_m(s.way_m)
                .is_some_and(|at| at - s.way_m + 0.5 < needs(s))
    };
    let found = drive.series.stretches(0.2, late);
    let top = samples
        .iter()
        .filter(|s| !s.on_runway)
        .map(|s| s.speed_mps)
        .fold(0.0, f64::max);
    let coast = coast_m(drive, top);
    let alone = match coast {
        Some(m) if top > WALK_MPS => format!(
            "; from the highest speed, {:.0} kt, closing the throttle alone brings it to walking pace in {m:.0} m",
            knots(top)
        ),
        None if top > WALK_MPS => {
            "; closing the throttle alone does not bring it to walking pace within a minute".to_string()
        }
        _ => String::new(),
    };
    let mut stops: Vec<f64> = found
        .iter()
        .filter_map(|r| course.next_stop_m(samples[r.0].way_m))
        .collect();
    stops.dedup();
    let sentence = match stops.len() {
        0 => format!("slow enough before every stop{alone}"),
        1 => format!("too fast to stop without hard braking before one stop{alone}"),
        n => format!("too fast to stop without hard braking before {n} of the stops{alone}"),
    };
    let mut told = CLOSING
        .judged(found.is_empty(), sentence)
        .figure("too_late", stops.len() as f64);
    if let Some(m) = coast {
        told = told.figure("closed_throttle_to_walking_m", m);
    }
    for (a, _) in found.into_iter().take(MOST_SPOTS) {
        let s = &samples[a];
        let left = course.next_stop_m(s.way_m).map_or(0.0, |at| at - s.way_m);
        told = told.at(s, format!("{:.0} kt with {left:.0} m to the stop", knots(s.speed_mps)));
    }
    told
}

/// Metres that this aeroplane rolls on the drive's ground, level and in calm air, from a speed to walking pace with the
/// throttle closed; `None` when it takes more than a minute.
fn coast_m(drive: &Drive<'_>, from_mps: f64) -> Option<f64> {
    let a = drive.attempt;
    let p = a.environment.params(&a.aircraft);
    let pose = Pose {
        nose: toeline_model::Xy::default(),
        heading_rad: toeline_model::Yaw::from_rad(0.0),
    };
    let ground = toeline_dynamics::Ground {
        rise: [0.0; 2],
        ..a.environment.ground
    };
    let mut state = State::rolling(&p, pose, from_mps);
    let start = state.x_m;
    for _ in 0..60 * 240 {
        if state.speed_mps() <= WALK_MPS {
            return Some(state.x_m - start);
        }
        state = step(
            &p,
            &ground,
            &toeline_dynamics::Air::default(),
            &state,
            &Controls::default(),
        );
    }
    None
}

pub(super) fn power_against_brake(drive: &Drive<'_>) -> Measure {
    let excepted = |s: &Sample| drive.course.is_some_and(|c| c.needs_inside_brake(s.way_m));
    // Pedal to the right positive: a toe that helps a full pedal on its own side steers.
    let steers = |c: &Controls, side: f64| c.rudder * side >= FULL_PEDAL;
    let braked = |c: &Controls| {
        let [left, right] = c.brakes().map(|b| b > PRESSED);
        if steered(drive) {
            left && !steers(c, -1.0) || right && !steers(c, 1.0)
        } else {
            left && right
        }
    };
    let against = |s: &Sample| s.moves() && s.controls.throttle > POWER && braked(&s.controls) && !excepted(s);
    let seconds = drive.series.seconds(against);
    let sentence = if seconds < 0.05 {
        "never power and brake at once while it rolled".to_string()
    } else {
        format!("power and brake at once for {seconds:.1} s while it rolled")
    };
    let good = seconds <= AGAINST_S;
    if good && drive.series.rolled_m() < LEAST_ROLL_M {
        return AGAINST.left_out(HARDLY_ROLLED);
    }
    let mut told = AGAINST.judged(good, sentence).figure("against_s", seconds);
    if !good {
        for (a, _) in drive.series.stretches(0.5, against).into_iter().take(MOST_SPOTS) {
            let s = &drive.series.samples[a];
            told = told.at(
                s,
                format!(
                    "throttle at {:.0} per cent against the brake",
                    100.0 * s.controls.throttle
                ),
            );
        }
    }
    told
}
