//! The hands: yoke and wind, the yoke taken for a wheel, the controls' free travel, the heading at the engine check.

use super::noted::{of_kind, sample_at, thing};
use super::roll;
use super::{Drive, Judged, Kind, MOST_SPOTS, Measure, NO_COURSE, Sample, Source, times};
use crate::attempt::EventKind;
use crate::pilot::held_for;
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_model::math;
use toeline_model::units::{KNOT_MPS, knots};

/// Wind from which the controls are judged, m/s (ours: 5 kt).
const FROM_MPS: f64 = 5.0 * KNOT_MPS;
/// Angle either side of ahead, abeam and behind that is not judged, radians (ours: 15 degrees).
const BETWEEN_RAD: f64 = 0.26;
/// Share of the wanted deflection that counts as held, and share of the time (ours).
const HELD: f64 = 0.4;
const TIME: f64 = 0.6;
/// Pedals that count as neutral, and yoke that counts as turned (ours).
const NEUTRAL: f64 = 0.12;
const TURNED: f64 = 0.3;
/// How long the hand may take from one quarter of the wind to the next, seconds (ours).
const HAND_S: f64 = 2.0;
/// Angle of the engine check to the wind beyond the plan's, degrees (ours).
const OFF_PLAN_DEG: f64 = 20.0;
/// Angle of a plan beyond which its check is not into wind, degrees (ours).
const INTO_WIND_DEG: f64 = 45.0;
/// Distance from the planned place, metres, power, and least time standing, seconds, of an engine check (ours).
const CHECK_WITHIN_M: f64 = 10.0;
const CHECK_POWER: f64 = 0.2;
const CHECK_S: f64 = 3.0;

const YOKE: Kind = Kind {
    key: "yoke_to_steer",
    title: "Steered with the feet, not with the yoke",
    source: Source::Common,
    reference: "common practice, no source: beginners turn the yoke as if it were a wheel. Counted when it is turned toward the bend \
                or back to the line by 0.3 with the pedals neutral for half a second, ours",
    practise: "S turns with the hands in the lap, an instructor's hand on the throttle: feet alone",
    exercise: Some("s-bends"),
};
const WIND: Kind = Kind {
    key: "wind_controls",
    title: "Controls held for the wind",
    source: Source::Published,
    reference: "FAA Airplane Flying Handbook, chapter 2: quartering headwind aileron up on the wind's side, elevator neutral; \
                quartering tailwind aileron down on that side, elevator down. From 5 kt, 60 per cent of the time, ours",
    practise: "crosswind and quartering tailwind: say where the wind is at every turn, climb into it, dive away from it",
    exercise: Some("quartering-tailwind"),
};
const FREE: Kind = Kind {
    key: "controls_free",
    title: "Controls full and free",
    source: Source::Common,
    reference: "before-take-off checklists ask for it; before the first roll it is common practice, no source. To work on when a pilot \
                called ready or began a take-off roll without: before that it may still be due",
    practise: "yoke and pedals to all their stops before the first roll, looking at each surface",
    exercise: Some("first-roll"),
};
const INTO: Kind = Kind {
    key: "into_wind",
    title: "Into wind for the engine check",
    source: Source::Published,
    reference: "FAA Airplane Flying Handbook, chapter 2, Before takeoff check: headed as nearly as possible into the wind; no angle is \
                published. More than 20 degrees beyond the plan's heading counts; a plan 45 degrees off is told, not judged good: ours",
    practise: "look at the windsock before turning in, and turn until it lies along the nose",
    exercise: Some("engine-check"),
};

/// Wind from ahead and from the right, m/s, as the pilot is told it.
fn wind_on(drive: &Drive<'_>, s: &Sample) -> Option<(f64, f64)> {
    let air = &drive.attempt.environment.air;
    let from = air.wind_from?.yaw();
    let off = s.heading_rad.to_rad(from);
    Some((air.wind_mps * math::cos(off), -air.wind_mps * math::sin(off)))
}

/// The least and the most aileron that the wind may ask for, right positive: near abeam, ahead and behind either quarter's.
fn asked_by_wind(drive: &Drive<'_>, s: &Sample) -> [f64; 2] {
    let Some((ahead, right)) = wind_on(drive, s) else {
        return [0.0; 2];
    };
    let (speed, off) = (math::hypot(ahead, right), math::atan2(right, ahead));
    let each = [-BETWEEN_RAD, 0.0, BETWEEN_RAD].map(|by| {
        let (ahead, right) = (speed * math::cos(off + by), speed * math::sin(off + by));
        held_for(ahead, right, ahead < 0.0).0.aileron
    });
    [
        each.into_iter().fold(0.0, f64::min),
        each.into_iter().fold(0.0, f64::max),
    ]
}

pub(super) fn yoke_to_steer(drive: &Drive<'_>) -> Measure {
    let Some(course) = drive.course else {
        return YOKE.left_out(NO_COURSE);
    };
    // Positive: to the right.
    let wanted = |s: &Sample| {
        let bend = course.bend_at(s.way_m + 2.0).map(|r| -r.signum());
        let back = s.offset_m.filter(|o| o.abs() > 0.3).map(f64::signum);
        bend.or(back)
    };
    let samples = &drive.series.samples;
    let asked: Vec<[f64; 2]> = samples.iter().map(|s| asked_by_wind(drive, s)).collect();
    let as_if = |s: &Sample| {
        // The hand takes its time from one quarter to the next.
        let (from, to) = (
            samples.partition_point(|p| p.time_s < s.time_s - HAND_S),
            samples.partition_point(|p| p.time_s <= s.time_s),
        );
        let beyond = |w: f64| {
            let window = asked[from..to].iter();
            // How far it is turned toward `w` beyond the most that the wind asked for in that time.
            let most = window.map(|a| if w > 0.0 { a[1] } else { -a[0] }).fold(0.0, f64::max);
            s.controls.aileron * w - most
        };
        let toward = wanted(s).is_some_and(|w| beyond(w) > TURNED);
        s.moves() && s.controls.rudder.abs() < NEUTRAL && toward
    };
    let found = drive.series.stretches(0.5, as_if);
    let seconds = drive.series.seconds(as_if);
    let sentence = match found.len() {
        0 => "never turned the yoke to steer".to_string(),
        n => format!(
            "the yoke was turned to steer with the pedals neutral, {}, {seconds:.1} s",
            times(n)
        ),
    };
    let told = YOKE
        .judged(found.is_empty(), sentence)
        .figure("times", found.len() as f64);
    found.into_iter().take(MOST_SPOTS).fold(told, |told, (a, _)| {
        let s = &drive.series.samples[a];
        let side = if s.controls.aileron < 0.0 { "left" } else { "right" };
        told.at(
            s,
            format!(
                "yoke {:.0} per cent {side}, pedals neutral",
                100.0 * s.controls.aileron.abs()
            ),
        )
    })
}

pub(super) fn wind(drive: &Drive<'_>) -> Measure {
    let air = &drive.attempt.environment.air;
    if air.wind_from.is_none() || air.wind_mps < FROM_MPS {
        return WIND.left_out("left out: less than 5 kt of wind");
    }
    // Whether the controls are right: `None` between the quarters.
    let right = |s: &Sample| {
        let (ahead, side) = wind_on(drive, s)?;
        let off = math::atan2(side, ahead).abs();
        let between = [0.0, core::f64::consts::FRAC_PI_2, core::f64::consts::PI];
        if !s.moves() || between.iter().any(|b| (off - b).abs() < BETWEEN_RAD) {
            return None;
        }
        let (asked, _) = held_for(ahead, side, ahead < 0.0);
        let aileron = s.controls.aileron * asked.aileron.signum() >= HELD * asked.aileron.abs();
        let elevator = if asked.elevator > 0.0 {
            s.controls.elevator >= HELD * asked.elevator
        } else {
            s.controls.elevator.abs() < 0.5
        };
        Some(aileron && elevator)
    };
    let judged = drive.series.seconds(|s| right(s).is_some());
    if judged < 5.0 {
        return WIND.left_out("left out: it hardly rolled with the wind in a quarter");
    }
    let held = drive.series.seconds(|s| right(s) == Some(true));
    let share = held / judged;
    let sentence = format!(
        "wind of {:.0} kt in a quarter for {judged:.0} s of rolling; controls right for it for {held:.0} s",
        knots(air.wind_mps)
    );
    let mut told = WIND.judged(share >= TIME, sentence).figure("share", share);
    if share < TIME {
        for (a, _) in drive
            .series
            .stretches(3.0, |s| right(s) == Some(false))
            .into_iter()
            .take(MOST_SPOTS)
        {
            let s = &drive.series.samples[a];
            let (ahead, side) = wind_on(drive, s).unwrap_or_default();
            let place = format!(
                "wind from the {} {}",
                if side > 0.0 { "right" } else { "left" },
                if ahead > 0.0 { "ahead" } else { "behind" }
            );
            told = told.at(s, place);
        }
    }
    told
}

/// Whether yoke and pedals went to all their stops while it stood, at times that count.
fn went_to_all_stops(drive: &Drive<'_>, counts: impl Fn(&Sample) -> bool) -> bool {
    let mut seen = [[false; 2]; 3];
    for s in drive.series.samples.iter().filter(|s| !s.moves() && counts(s)) {
        let c = &s.controls;
        for (seen, v) in seen.iter_mut().zip([c.aileron, c.elevator, c.rudder]) {
            seen[0] |= v < -0.9;
            seen[1] |= v > 0.9;
        }
    }
    seen.iter().flatten().all(|s| *s)
}

pub(super) fn free(drive: &Drive<'_>) -> Measure {
    let samples = &drive.series.samples;
    let first_roll_s = samples.iter().find(|s| s.moves()).map_or(f64::INFINITY, |s| s.time_s);
    if went_to_all_stops(drive, |s| s.time_s < first_roll_s) {
        return FREE.found(Judged::Good, "yoke and pedals went to all their stops before it moved");
    }
    let rolled = roll::rolls(drive).first().map(|r| &samples[r.0]);
    // Ready for departure: all that is to be done before it has been done.
    let ready = of_kind(drive, EventKind::Said)
        .find(|(_, e)| thing(e) == "ready")
        .and_then(|(t, _)| sample_at(drive, t));
    let due = [
        (ready, "called ready", "called ready"),
        (rolled, "began a take-off roll", "began the take-off roll"),
    ]
    .into_iter()
    .filter_map(|(s, what, at)| Some((s?, what, at)))
    .min_by(|a, b| a.0.time_s.total_cmp(&b.0.time_s));
    let until_s = due.map_or(f64::INFINITY, |d| d.0.time_s);
    if went_to_all_stops(drive, |s| s.time_s < until_s) {
        return FREE.found(Judged::Good, "yoke and pedals went to all their stops, standing");
    }
    match due {
        Some((s, what, at)) => FREE
            .found(
                Judged::WorkOn,
                format!("{what} before yoke and pedals had gone to all their stops"),
            )
            .at(s, at),
        None => FREE.found(Judged::Told, "yoke and pedals did not go to all their stops"),
    }
}

pub(super) fn into_wind(drive: &Drive<'_>) -> Measure {
    let Some(course) = drive.course else {
        return INTO.left_out(NO_COURSE);
    };
    let Some(check) = course.check else {
        return INTO.left_out("left out: no engine check with a wind that gives it a heading");
    };
    let samples = &drive.series.samples;
    let standing = |s: &Sample| {
        (s.way_m - check.at_m).abs() < CHECK_WITHIN_M && s.speed_mps < 0.05 && s.controls.throttle > CHECK_POWER
    };
    let stood = drive.series.stretches(CHECK_S, standing);
    // The check itself is where magnetos are read; without that, where it stood longest.
    let one_magneto = |s: &Sample| matches!(s.controls.magnetos, MagnetoSwitch::Left | MagnetoSwitch::Right);
    let read = stood.iter().find(|r| samples[r.0..=r.1].iter().any(one_magneto));
    let lasted = |r: &(usize, usize)| samples[r.1].time_s - samples[r.0].time_s;
    let longest = stood.iter().max_by(|a, b| lasted(a).total_cmp(&lasted(b)));
    let Some(s) = read.or(longest).map(|r| &samples[r.0]) else {
        return INTO.left_out("left out: no power for 3 s while standing at the engine check");
    };
    let off = s.heading_rad.bearing().to_deg(check.wind_from).abs();
    let planned = check.off_wind_deg.abs();
    let plan_is_off = planned > INTO_WIND_DEG;
    let judged = match (off <= planned + OFF_PLAN_DEG, plan_is_off) {
        (false, _) => Judged::WorkOn,
        (true, true) => Judged::Told,
        (true, false) => Judged::Good,
    };
    let plan_says = if plan_is_off {
        format!("the plan itself is {planned:.0} degrees off")
    } else {
        format!("planned {planned:.0} degrees")
    };
    INTO.found(
        judged,
        format!("engine checked {off:.0} degrees off the wind; {plan_says}"),
    )
    .figure("off_wind_deg", off)
    .at(s, "engine check")
}
