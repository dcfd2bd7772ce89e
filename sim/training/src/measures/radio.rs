//! The radio: onto a runway only with permission or after announcing; what was told is read back.

use super::noted::{notes_them, of_kind, sample_at, thing};
use super::roll;
use super::runways::{Entry, entries};
use super::{Drive, Kind, MOST_SPOTS, Measure, NO_COURSE, Source, times};
use crate::attempt::{Event, EventKind};
use toeline_model::units::DEG;

/// How soon after it was told it has to be read back, seconds (ours).
const READ_BACK_S: f64 = 20.0;
/// How long before a runway an announcement counts, seconds (ours).
const ANNOUNCED_S: f64 = 60.0;
/// How far from the runway's direction counts as along it, radians (ours: 20 degrees).
const ALONG_RAD: f64 = 20.0 * DEG;

const PERMISSION: Kind = Kind {
    key: "permission",
    title: "Onto the runway with permission or after announcing",
    source: Source::Published,
    reference: "FAA AIM 4-3-18: enter or cross a runway only when told to; each time anew. Where nobody permits, announce before (AIM \
                4-1-9, from memory; in the 60 s before, ours)",
    practise: "crossing a runway with permission: stop at the line, ask, listen, read back, look, then go",
    exercise: Some("cross-the-runway"),
};
const READ_BACK: Kind = Kind {
    key: "read_back",
    title: "What was told was read back",
    source: Source::Published,
    reference: "FAA Airman Certification Standards, II.D Taxiing: read back correctly; AIM 4-3-18, hold-short instructions above all. \
                Within 20 s, ours",
    practise: "hold short and read-back: say the runway and hold short or cross, before the hands do anything else",
    exercise: Some("hold-short"),
};

/// What a time on a runway was for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Onto {
    /// Across it.
    Across,
    /// To take off: with a take-off roll, or it ended there along the strip.
    TakeOff,
}

impl Onto {
    /// What an entry was for.
    pub(super) fn of(drive: &Drive<'_>, entry: &Entry) -> Onto {
        let samples = &drive.series.samples;
        let inside = entry.from..=entry.to;
        let rolled = roll::rolls(drive).iter().any(|r| inside.contains(&r.0));
        let strip = drive.course.and_then(|c| c.runways.get(entry.runway));
        let last = samples.last().filter(|_| entry.to + 1 == samples.len());
        let along = last
            .zip(strip)
            .and_then(|(s, strip)| Some((s, strip.beside(s.nose, s.heading_rad)?)))
            .is_some_and(|(s, (along, _))| along.to_rad(s.heading_rad).abs() < ALONG_RAD);
        if rolled || along { Onto::TakeOff } else { Onto::Across }
    }
}

/// Whether going onto a runway was permitted or announced at a time; what was told before `since_s` no longer counts. Leave
/// to cross is none to take off.
pub(super) fn permitted(drive: &Drive<'_>, onto: Onto, since_s: f64, time_s: f64) -> bool {
    let mut may = false;
    for (_, e) in of_kind(drive, EventKind::Told).filter(|(t, _)| (since_s..=time_s).contains(t)) {
        match thing(e) {
            "enter" => may = true,
            "cross" => may = onto == Onto::Across,
            "hold short" => may = false,
            _ => {}
        }
    }
    let from_s = since_s.max(time_s - ANNOUNCED_S);
    let announced =
        of_kind(drive, EventKind::Said).any(|(t, e)| (from_s..=time_s).contains(&t) && thing(e) == "announce");
    // Where somebody permits, announcing is no permission.
    let somebody = of_kind(drive, EventKind::Told).next().is_some();
    may || (announced && !somebody)
}

pub(super) fn permission(drive: &Drive<'_>) -> Measure {
    if !notes_them(drive.attempt) {
        return PERMISSION.not_recorded("what was said and told on the radio");
    }
    let Some(course) = drive.course else {
        return PERMISSION.left_out(NO_COURSE);
    };
    let samples = &drive.series.samples;
    let all = entries(drive);
    let held = of_kind(drive, EventKind::Told)
        .filter(|(_, e)| thing(e) == "hold short")
        .count();
    if all.is_empty() && held == 0 {
        return PERMISSION.left_out("left out: it did not come onto a runway");
    }
    let mut since_s = f64::NEG_INFINITY;
    let mut without = Vec::new();
    for entry in &all {
        let at = &samples[entry.from];
        if !permitted(drive, Onto::of(drive, entry), since_s, at.time_s) {
            without.push((at, &course.runways[entry.runway].name));
        }
        since_s = samples[entry.to].time_s;
    }
    let sentence = match (all.len(), without.len()) {
        (0, _) => "told to hold short, and did not come onto a runway".to_string(),
        (n, 0) => format!("came onto a runway {}, each time permitted or announced", times(n)),
        (n, w) => format!(
            "came onto a runway {}, {} neither permitted nor announced",
            times(n),
            times(w)
        ),
    };
    let told = PERMISSION
        .judged(without.is_empty(), sentence)
        .figure("without", without.len() as f64)
        .figure("entered", all.len() as f64);
    without.into_iter().take(MOST_SPOTS).fold(told, |told, (s, name)| {
        told.at(s, format!("onto {name}, neither permitted nor announced"))
    })
}

/// What was told, each with its time and whether it was read back. One read-back answers one telling; where it says of what,
/// it has to be that.
fn answered<'a>(drive: &Drive<'a>) -> Vec<(f64, &'a Event, bool)> {
    let said: Vec<_> = of_kind(drive, EventKind::Said)
        .filter(|(_, e)| thing(e) == "read back")
        .collect();
    let mut used = vec![false; said.len()];
    let mut one = |t: f64, what: &str| {
        let fits = |k: &usize| {
            let (s, e) = said[*k];
            !used[*k] && (t..=t + READ_BACK_S).contains(&s) && e.part.as_deref().is_none_or(|p| p == what)
        };
        let found = (0..said.len()).find(fits);
        if let Some(k) = found {
            used[k] = true;
        }
        found.is_some()
    };
    of_kind(drive, EventKind::Told)
        .map(|(t, e)| (t, e, one(t, thing(e))))
        .collect()
}

pub(super) fn read_back(drive: &Drive<'_>) -> Measure {
    if !notes_them(drive.attempt) {
        return READ_BACK.not_recorded("what was said and told on the radio");
    }
    let told = answered(drive);
    if told.is_empty() {
        return READ_BACK.left_out("left out: nothing was told on the radio");
    }
    // What came in the last moments could not be answered any more.
    let end_s = drive.series.samples.last().map_or(0.0, |s| s.time_s);
    let due: Vec<_> = told
        .into_iter()
        .filter(|(t, _, answered)| *answered || t + READ_BACK_S <= end_s)
        .collect();
    if due.is_empty() {
        return READ_BACK.left_out("left out: the drive ended within 20 s of what was told");
    }
    let missed: Vec<_> = due.iter().filter(|d| !d.2).collect();
    let sentence = match missed.len() {
        0 => format!("read back what was told, {}", times(due.len())),
        n => format!("not read back: {n} of {} things told", due.len()),
    };
    let found = READ_BACK
        .judged(missed.is_empty(), sentence)
        .figure("missed", missed.len() as f64);
    missed
        .into_iter()
        .take(MOST_SPOTS)
        .fold(found, |found, (t, e, _)| match sample_at(drive, *t) {
            Some(s) => found.at(s, format!("told \"{}\", not read back", thing(e))),
            None => found,
        })
}
