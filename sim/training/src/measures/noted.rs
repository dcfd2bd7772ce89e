//! What the program noted of looks, switches, the radio and the pilot's verdict.

use super::{Drive, Sample};
use crate::attempt::{Attempt, Event, EventKind};

/// Kinds of events that older programs, and drives by script, do not note.
const KINDS: [EventKind; 5] = [
    EventKind::Looked,
    EventKind::Switched,
    EventKind::Said,
    EventKind::Told,
    EventKind::Judged,
];

/// Whether the attempt was recorded by something that notes looks, calls and verdicts: it holds at least one event of
/// those kinds. Without any, nothing can be said of what is not in it.
pub(super) fn notes_them(attempt: &Attempt) -> bool {
    attempt.events.iter().any(|e| KINDS.contains(&e.kind))
}

/// Events of a kind with their time, seconds, in order.
pub(super) fn of_kind<'a>(drive: &Drive<'a>, kind: EventKind) -> impl Iterator<Item = (f64, &'a Event)> {
    let attempt = drive.attempt;
    let until_s = drive.series.samples.last().map_or(0.0, |s| s.time_s);
    let all = attempt.events.iter().filter(move |e| e.kind == kind);
    all.map(move |e| (attempt.time_s(e.tick), e))
        .filter(move |e| e.0 <= until_s + 0.05)
}

/// What an event says of a thing.
pub(super) fn thing(e: &Event) -> &str {
    e.thing.as_deref().unwrap_or("")
}

/// The last sample up to a time.
pub(super) fn sample_at<'a>(drive: &Drive<'a>, time_s: f64) -> Option<&'a Sample> {
    let samples = &drive.series.samples;
    let after = samples.partition_point(|s| s.time_s <= time_s + 1e-9);
    samples.get(after.saturating_sub(1))
}
