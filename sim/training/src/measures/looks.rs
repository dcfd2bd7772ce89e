//! Looking out: both ways before it moves, into turns, along runways, toward the approach.

use super::noted::{notes_them, of_kind, thing};
use super::runways::entries;
use super::{Drive, Judged, Kind, MOST_SPOTS, Measure, NO_COURSE, Sample, Source, times};
use crate::attempt::EventKind;
use toeline_model::units::DEG;

/// How long before it moves off a look counts, seconds (ours).
const BEFORE_MOVING_S: f64 = 15.0;
/// How long before a turn a look counts, seconds (ours), and how late into it.
const BEFORE_TURN_S: f64 = 10.0;
const INTO_TURN_S: f64 = 1.0;
/// How long before a runway a look counts, seconds (ours).
const BEFORE_RUNWAY_S: f64 = 20.0;
/// Least turn that a look is asked for, radians (ours: 45 degrees).
const TURN_RAD: f64 = 45.0 * DEG;
/// Standstill after which looks are asked for again, seconds (ours).
const STOOD_S: f64 = 5.0;
/// Way that makes it a roll, metres (ours).
const ROLLS_M: f64 = 1.0;

const BOTH: Kind = Kind {
    key: "looked_both_ways",
    title: "Looked both ways before moving, at turns and at runways",
    source: Source::Published,
    reference: "FAA Airplane Flying Handbook, chapter 2, from memory: look outside while taxiing, for other traffic and obstacles. When is \
                ours: left and right in the 15 s before it moves off and the 20 s before a runway, to the inside in the 10 s before a turn of 45 \
                degrees",
    practise: "say it aloud: clear left, clear right, before the brakes come off, before every turn and before every runway",
    exercise: Some("cross-the-runway"),
};
const APPROACH: Kind = Kind {
    key: "looked_at_approach",
    title: "Looked toward the approach before a runway",
    source: Source::Published,
    reference: "FAA AC 91-73B, from memory: look both ways along a runway, the approach too, before entering or crossing it. In the 20 s \
                before, ours",
    practise: "hold short and read-back: stop where the approach can be seen, look along it, say clear or not, then go",
    exercise: Some("cross-the-runway"),
};

/// One place where looks were due.
struct Due<'a> {
    at: &'a Sample,
    what: String,
    sides: &'static [&'static str],
    from_s: f64,
    to_s: f64,
}

fn looked(drive: &Drive<'_>, side: &str, from_s: f64, to_s: f64) -> bool {
    of_kind(drive, EventKind::Looked).any(|(t, e)| (from_s..=to_s).contains(&t) && thing(e).starts_with(side))
}

const SIDES: &[&str] = &["left", "right"];

fn due<'a>(drive: &Drive<'a>) -> Vec<Due<'a>> {
    let samples = &drive.series.samples;
    let mut list = Vec::new();
    let mut stood_s = STOOD_S;
    // A body that rocks on its held wheels has not moved off: it counts once it has rolled a metre.
    let mut begun: Option<(&Sample, f64)> = None;
    for s in samples {
        if !s.moves() {
            begun = None;
            stood_s += s.lasts_s;
            continue;
        }
        let (from, rolled_m) = begun.map_or((s, 0.0), |(from, m)| (from, m + s.rolled_m));
        begun = Some((from, rolled_m));
        if rolled_m < ROLLS_M {
            continue;
        }
        if stood_s >= STOOD_S {
            list.push(Due {
                at: from,
                what: "moved off".to_string(),
                sides: SIDES,
                from_s: from.time_s - BEFORE_MOVING_S,
                to_s: from.time_s,
            });
        }
        stood_s = 0.0;
    }
    for turn in drive.course.map_or(&[][..], |c| &c.turns) {
        let entered = samples
            .windows(2)
            .find(|w| w[0].way_m < turn.from_m && turn.from_m <= w[1].way_m);
        let (Some(w), true) = (entered, turn.left_rad.abs() >= TURN_RAD) else {
            continue;
        };
        let side: &'static [&'static str] = if turn.left_rad > 0.0 { &SIDES[..1] } else { &SIDES[1..] };
        list.push(Due {
            at: &w[1],
            what: format!("turned {}", side[0]),
            sides: side,
            from_s: w[1].time_s - BEFORE_TURN_S,
            to_s: w[1].time_s + INTO_TURN_S,
        });
    }
    for entry in entries(drive) {
        let at = &samples[entry.from];
        let name = drive
            .course
            .and_then(|c| c.runways.get(entry.runway))
            .map_or("", |r| &r.name);
        list.push(Due {
            at,
            what: format!("came onto {name}"),
            sides: SIDES,
            from_s: at.time_s - BEFORE_RUNWAY_S,
            to_s: at.time_s,
        });
    }
    list.sort_by(|a, b| a.at.time_s.total_cmp(&b.at.time_s));
    list
}

fn places(n: usize) -> String {
    if n == 1 {
        "one place".to_string()
    } else {
        format!("{n} places")
    }
}

pub(super) fn both_ways(drive: &Drive<'_>) -> Measure {
    if !notes_them(drive.attempt) {
        return BOTH.not_recorded("where the pilot looked");
    }
    let all = due(drive);
    if all.is_empty() {
        return BOTH.left_out("left out: it did not move");
    }
    let missed: Vec<(&Due<'_>, Vec<&str>)> = all
        .iter()
        .map(|d| {
            let not = d.sides.iter().filter(|side| !looked(drive, side, d.from_s, d.to_s));
            (d, not.copied().collect::<Vec<_>>())
        })
        .filter(|(_, not)| !not.is_empty())
        .collect();
    let turns = if drive.course.is_some() {
        ""
    } else {
        "; turns and runways are left out, the planned way is not at hand"
    };
    let sentence = match missed.len() {
        0 => format!("looked where it was due, {}{turns}", times(all.len())),
        n => format!("did not look at {n} of {} where it was due{turns}", places(all.len())),
    };
    let told = BOTH
        .judged(missed.is_empty(), sentence)
        .figure("missed", missed.len() as f64)
        .figure("due", all.len() as f64);
    missed.into_iter().take(MOST_SPOTS).fold(told, |told, (d, not)| {
        told.at(d.at, format!("{} without a look {}", d.what, not.join(" and ")))
    })
}

pub(super) fn approach(drive: &Drive<'_>) -> Measure {
    if !notes_them(drive.attempt) {
        return APPROACH.not_recorded("where the pilot looked");
    }
    let Some(course) = drive.course else {
        return APPROACH.left_out(NO_COURSE);
    };
    let all = entries(drive);
    if all.is_empty() {
        return APPROACH.found(Judged::LeftOut, "left out: it did not come onto a runway");
    }
    let samples = &drive.series.samples;
    let missed: Vec<_> = all
        .iter()
        .map(|e| (&samples[e.from], &course.runways[e.runway].name))
        .filter(|(s, _)| !looked(drive, "approach", s.time_s - BEFORE_RUNWAY_S, s.time_s))
        .collect();
    let sentence = match missed.len() {
        0 => format!(
            "came onto a runway {}, each after a look toward the approach",
            times(all.len())
        ),
        n => format!(
            "came onto a runway {}, {} without a look toward the approach before",
            times(all.len()),
            times(n)
        ),
    };
    let told = APPROACH
        .judged(missed.is_empty(), sentence)
        .figure("missed", missed.len() as f64);
    missed.into_iter().take(MOST_SPOTS).fold(told, |told, (s, name)| {
        told.at(s, format!("onto {name} without a look toward the approach"))
    })
}
