//! The feet: brakes by side, steering before brake, locked wheels, stops, the brake check.

use super::pace::PRESSED;
use super::room::{HARDLY_ROLLED, of_kind, with_events};
use super::{Drive, Judged, Kind, LEAST_ROLL_M, MOST_SPOTS, Measure, NO_COURSE, Sample, Source, times};
use crate::attempt::{Event, EventKind};
use toeline_dynamics::brakes::FADES_FROM_C;
use toeline_model::aircraft::SteeringKind;
use toeline_model::units::DEG;

/// One toe this much more than the other is a brake that steers (ours).
const MORE: f64 = 0.1;
/// Pedal that counts as full (ours).
pub(super) const FULL_PEDAL: f64 = 0.85;
/// Seconds of steering with the brake before full pedal (ours).
const EARLY_S: f64 = 2.0;
/// Share of the rolling time with a brake on (ours) on a steered aeroplane, and on one that the brakes steer.
const RIDING: [f64; 2] = [0.35, 0.6];
/// Deceleration to a stop, m/s², and metres before it, that give a brake its reason (ours), and seconds of rolling that are
/// left at least to judge by.
const STOPS_MPS2: f64 = 0.3;
const STOPS_IN_M: f64 = 3.0;
const LEAST_ROLLING_S: f64 = 5.0;
/// Nose-wheel angle at a stop that is not straight, radians (ours: 10 degrees), beyond what the way has there.
const NOT_STRAIGHT_RAD: f64 = 10.0 * DEG;
/// Metres in which the brakes are to be tried (ours).
const FIRST_M: f64 = 15.0;
/// Speed that a press has to cost before the brakes count as tried, m/s (ours: 0.4 kt).
const TRIED_MPS: f64 = 0.2;

const LOCKED: Kind = Kind {
    key: "locked_wheel",
    title: "No wheel locked",
    source: Source::Common,
    reference: "a locked wheel costs its tyre, in a turn most of all; common practice, no source. Counted above 0.5 m/s, ours",
    practise: "tightest rolling turn: keep the inner wheel turning, press until it slows and no more",
    exercise: Some("tightest-turn"),
};
const FIRST: Kind = Kind {
    key: "steering_first",
    title: "Steering before brake",
    source: Source::Published,
    reference: "FAA Airplane Flying Handbook, chapter 2: pedal first, inside brake after full pedal is reached. Full is 0.85 and 2 s \
                are left free, ours",
    practise: "ninety-degree turns with the heels on the floor: full pedal first, toe only when the pedal has no more",
    exercise: Some("ninety-degrees"),
};
const USE: Kind = Kind {
    key: "brake_use",
    title: "Brakes off while rolling",
    source: Source::Ours,
    reference: "speed without excessive brake (FAA Airman Certification Standards, II.D Taxiing); ours: a brake on for at most 35 per \
                cent of the rolling time, 60 where the brakes steer; the last metres before a stop and turns planned with inside brake \
                apart",
    practise: "one press and off: set the throttle lower instead, heels on the floor between presses",
    exercise: Some("straight-line"),
};
const HEAT: Kind = Kind {
    key: "brake_heat",
    title: "Brakes cool",
    source: Source::Ours,
    reference: "the lining begins to fade at 200 C (docs/dynamics.md, ours)",
    practise: "less power: a throttle that holds the speed without the brakes",
    exercise: Some("straight-line"),
};
const STRAIGHT: Kind = Kind {
    key: "stopped_straight",
    title: "Stopped straight",
    source: Source::Published,
    reference: "FAA Airplane Flying Handbook, chapter 2: stop with the nose wheel straight ahead. More than 10 degrees counts, ours",
    practise: "stop straight: let it roll the last two metres with the pedals even, then press",
    exercise: Some("stop-at-the-line"),
};
const CHECK: Kind = Kind {
    key: "brake_check",
    title: "Brakes tried in the first metres",
    source: Source::Published,
    reference: "FAA Airman Certification Standards, II.D Taxiing: brake check immediately after the aeroplane begins to move. Both \
                toes, throttle closed, begun within 15 m, 0.2 m/s lost meanwhile, ours; the parking brake is no toe",
    practise: "first roll: throttle up, it rolls, throttle closed, both toes, feel both hold",
    exercise: Some("first-roll"),
};

pub(super) fn steered(drive: &Drive<'_>) -> bool {
    drive.attempt.aircraft.steering.kind == SteeringKind::Linked
}

pub(super) fn locked(drive: &Drive<'_>) -> Measure {
    let found: Vec<&Event> = of_kind(drive, EventKind::BrakeLocked).collect();
    let turning = |e: &&&Event| {
        let time_s = drive.attempt.time_s(e.tick);
        let i = drive.series.samples.partition_point(|s| s.time_s < time_s);
        let at = |k: usize| drive.series.samples.get(k);
        let around = at(i.saturating_sub(4)).zip(at(i + 4));
        around.is_some_and(|(a, b)| a.heading_rad.to_rad(b.heading_rad).abs() > 0.1 * (b.time_s - a.time_s))
    };
    if found.is_empty() && drive.series.rolled_m() < LEAST_ROLL_M {
        return LOCKED.left_out(HARDLY_ROLLED);
    }
    let in_turn = found.iter().filter(turning).count();
    let sentence = match found.len() {
        0 => "no braked wheel stood while it rolled".to_string(),
        1 if in_turn == 1 => "a braked wheel locked once, in a turn".to_string(),
        n => format!("a braked wheel locked {}, {in_turn} of them in a turn", times(n)),
    };
    let told = LOCKED
        .judged(found.is_empty(), sentence)
        .figure("times", found.len() as f64)
        .figure("in_turns", in_turn as f64);
    with_events(drive, told, &found)
}

pub(super) fn steering_first(drive: &Drive<'_>) -> Measure {
    if !steered(drive) {
        return FIRST.left_out("left out: this nose wheel casters, its brakes do the steering");
    }
    let early = |s: &Sample| {
        let [left, right] = s.controls.brakes();
        let side = right - left;
        s.moves() && side.abs() > MORE && s.controls.rudder * side.signum() < FULL_PEDAL
    };
    let seconds = drive.series.seconds(early);
    let good = seconds <= EARLY_S;
    let sentence = if seconds < 0.05 {
        "no brake used to steer before full pedal".to_string()
    } else {
        format!("a brake steered for {seconds:.1} s while the pedal had more to give")
    };
    let mut told = FIRST.judged(good, sentence).figure("early_s", seconds);
    if !good {
        for (a, _) in drive.series.stretches(0.5, early).into_iter().take(MOST_SPOTS) {
            let s = &drive.series.samples[a];
            let [left, right] = s.controls.brakes();
            let side = if left > right { "left" } else { "right" };
            told = told.at(
                s,
                format!(
                    "{side} brake with the pedals at {:.0} per cent",
                    100.0 * s.controls.rudder.abs()
                ),
            );
        }
    }
    told
}

/// Whether a brake has its reason: a turn that is planned with one, or a stop that is near.
fn has_reason(drive: &Drive<'_>, s: &Sample) -> bool {
    let Some(course) = drive.course else { return false };
    let stops_within_m = s.speed_mps * s.speed_mps / (2.0 * STOPS_MPS2) + STOPS_IN_M;
    let near = |at_m: f64| at_m - s.way_m <= stops_within_m;
    steered(drive) && course.needs_inside_brake(s.way_m) || course.next_stop_m(s.way_m).is_some_and(near)
}

pub(super) fn brake_use(drive: &Drive<'_>) -> Measure {
    let series = drive.series;
    let counts = |s: &Sample| s.moves() && !has_reason(drive, s);
    let rolling = series.seconds(counts);
    if rolling < LEAST_ROLLING_S {
        return USE.left_out("left out: it hardly rolled apart from stops and turns with inside brake");
    }
    let on = |side: usize| series.seconds(|s| s.moves() && s.controls.brakes()[side] > PRESSED);
    let pressed = |s: &Sample| s.controls.brakes().iter().any(|b| *b > PRESSED);
    let any = series.seconds(|s| counts(s) && pressed(s));
    let presses = series.stretches(0.1, |s| counts(s) && pressed(s));
    let share = any / rolling;
    let (left, right) = (on(0), on(1));
    let limit = RIDING[usize::from(!steered(drive))];
    let sentence = format!(
        "a brake on for {any:.0} of {rolling:.0} s of rolling, stops and turns with inside brake apart; in all left {left:.0} s, right \
         {right:.0} s"
    );
    let mut told = USE
        .judged(share <= limit, sentence)
        .figure("share", share)
        .figure("left_s", left)
        .figure("right_s", right)
        .figure("presses", presses.len() as f64);
    if share > limit {
        let long = |p: &(usize, usize)| series.samples[p.1].time_s - series.samples[p.0].time_s;
        if let Some(p) = presses.iter().max_by(|a, b| long(a).total_cmp(&long(b))) {
            told = told.at(&series.samples[p.0], format!("the longest press, {:.0} s", long(p)));
        }
    }
    told
}

pub(super) fn heat(drive: &Drive<'_>) -> Measure {
    let felt = drive.series.samples.iter().filter_map(|s| s.felt.map(|f| (s, f)));
    let side = |k: usize| {
        felt.clone()
            .max_by(move |a, b| a.1.brake_c[k].total_cmp(&b.1.brake_c[k]))
    };
    let (Some(left), Some(right)) = (side(0), side(1)) else {
        let why = drive.series.no_replay.clone().unwrap_or_default();
        return HEAT.left_out(format!("left out: {why}"));
    };
    let (l, r) = (left.1.brake_c[0], right.1.brake_c[1]);
    let told = HEAT
        .judged(
            l.max(r) < FADES_FROM_C,
            format!("hottest: left {l:.0} C, right {r:.0} C"),
        )
        .figure("left_c", l)
        .figure("right_c", r);
    let hottest = if l > r { left.0 } else { right.0 };
    told.at(hottest, format!("hottest, {:.0} C", l.max(r)))
}

pub(super) fn straight_stops(drive: &Drive<'_>) -> Measure {
    let Some(course) = drive.course else {
        return STRAIGHT.left_out(NO_COURSE);
    };
    if let Some(why) = &drive.series.no_replay {
        return STRAIGHT.left_out(format!("left out: {why}"));
    }
    let samples = &drive.series.samples;
    let stops = drive.series.stretches(1.0, |s| s.speed_mps < 0.05);
    // The standstill before the first roll is no stop.
    let made = stops.iter().filter(|s| s.0 > 0 && samples[s.0].time_s > 1.0);
    let (mut all, mut crooked) = (0, Vec::new());
    for (a, _) in made {
        let s = &samples[*a];
        let Some(felt) = s.felt else { continue };
        let path = &course.task.path;
        let on_the_way = path.pose_at(s.way_m).heading_rad.to_rad(path.direction_at(s.way_m));
        all += 1;
        if (felt.nose_wheel_rad - on_the_way).abs() > NOT_STRAIGHT_RAD && felt.nose_wheel_rad.abs() > NOT_STRAIGHT_RAD {
            crooked.push((s, felt.nose_wheel_rad));
        }
    }
    if all == 0 {
        return STRAIGHT.left_out("left out: it made no stop");
    }
    let sentence = match crooked.len() {
        0 if all == 1 => "nose wheel straight at the one stop".to_string(),
        0 => format!("nose wheel straight at all {all} stops"),
        _ if all == 1 => "nose wheel turned at the one stop".to_string(),
        n => format!("nose wheel turned at {n} of {all} stops"),
    };
    let told = STRAIGHT
        .judged(crooked.is_empty(), sentence)
        .figure("crooked", crooked.len() as f64);
    crooked.into_iter().take(MOST_SPOTS).fold(told, |told, (s, rad)| {
        let side = if rad < 0.0 { "right" } else { "left" };
        told.at(
            s,
            format!("stopped with the nose wheel {:.0} degrees {side}", rad.abs() / DEG),
        )
    })
}

pub(super) fn brake_check(drive: &Drive<'_>) -> Measure {
    let samples = &drive.series.samples;
    let Some(first) = samples.iter().position(Sample::moves) else {
        return CHECK.left_out("left out: it did not roll");
    };
    let mut rolled = 0.0;
    // The press under way: after how much rolling it began, from which speed.
    let mut press: Option<(f64, &Sample)> = None;
    for s in &samples[first..] {
        rolled += s.rolled_m;
        let c = &s.controls;
        if !(c.throttle < PRESSED && c.left_brake > PRESSED && c.right_brake > PRESSED) {
            press = None;
        } else if rolled <= FIRST_M {
            press = press.or(Some((rolled, s)));
        }
        match press {
            Some((after_m, from)) if from.speed_mps - s.speed_mps >= TRIED_MPS => {
                return CHECK
                    .judged(true, format!("both brakes tried after {after_m:.1} m"))
                    .figure("after_m", after_m)
                    .at(from, "brakes tried");
            }
            None if rolled > FIRST_M => break,
            _ => {}
        }
    }
    if rolled < FIRST_M {
        return CHECK.found(Judged::LeftOut, "left out: it rolled less than 15 m");
    }
    CHECK
        .judged(false, "both brakes were not tried in the first 15 m")
        .at(&samples[first], "began to roll")
}
