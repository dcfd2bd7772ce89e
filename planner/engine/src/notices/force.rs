//! Whether a notice holds at the time of a plan.

use super::notam::{Effect, Notam};
use super::schedule::{self, Span};
use super::told::Force;
use crate::clean;
use crate::read::SOON_MIN;
use toeline_model::airfield::Closure;
use toeline_model::date::{Date, Moment, TimeOfDay};

/// How far ahead the next time of a schedule is looked for, minutes (ours: a month has every pattern of a week).
const AHEAD_MIN: i64 = 31 * 1440;
/// The time of the plan.
pub(super) struct When {
    /// What counts: the minute, or the day.
    pub(super) window: Span,
    pub(super) time: Option<Moment>,
}

impl When {
    pub(super) fn new(date: Date, time: Option<TimeOfDay>) -> When {
        let time = time.map(|time| Moment { date, time });
        let window = time.map_or(schedule::day(date), |t| (t.minute(), t.minute() + 1));
        When { window, time }
    }
}

pub(super) fn part_of_day(c: &Closure, when: &When) -> bool {
    c.from.is_some_and(|f| f.minute() > when.window.0) || c.until.is_some_and(|u| u.minute() < when.window.1)
}

/// The period of an effect within that of its notice.
fn period(n: &Notam, e: &Effect) -> (Option<Moment>, Option<Moment>) {
    // An estimated end is none.
    let until = |m: Option<Moment>| m.filter(|_| !n.estimated);
    let later = |a: Option<Moment>, b: Option<Moment>| a.max(b);
    let sooner = |a: Option<Moment>, b: Option<Moment>| match (a, b) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    };
    (later(n.from, e.from), sooner(until(n.until), until(e.until)))
}

/// The first time within the window at which an effect holds; of several on one day the first, which closes the day.
pub(super) fn in_window(n: &Notam, e: &Effect, when: &When) -> Option<Span> {
    let (from, until) = period(n, e);
    schedule::spans(from, until, &e.schedule, when.window)
        .into_iter()
        .next()
}

/// Whether it holds, and with that whether it counts.
pub(super) fn force_of(n: &Notam, all: &[Notam], when: &When, effects: &[&Effect]) -> (Force, bool) {
    if n.cancelled {
        return (Force::Cancelled(None), false);
    }
    let ended = all.iter().find(|o| {
        let names = o
            .ends
            .as_ref()
            .is_some_and(|e| e.number.eq_ignore_ascii_case(&n.number));
        let since = o.from.is_none_or(|f| f.minute() < when.window.1);
        names && since && !o.cancelled && !core::ptr::eq(*o, n)
    });
    if let Some(other) = ended {
        return (Force::Cancelled(Some(other.number.clone())), false);
    }
    if n.ends.as_ref().is_some_and(|e| !e.replaced) && n.effects.is_empty() {
        return (Force::Ends, false);
    }
    let next = |window: Span| {
        let starts = effects.iter().filter_map(|e| {
            let (from, until) = period(n, e);
            schedule::spans(from, until, &e.schedule, window).first().copied()
        });
        starts.min()
    };
    if effects.is_empty() {
        let until = n.until.filter(|_| !n.estimated);
        let any = schedule::spans(n.from, until, &[], when.window);
        return if any.is_empty() {
            (over_or_not_yet(n, when), false)
        } else {
            (Force::InForce, true)
        };
    }
    if next(when.window).is_some() {
        let over = n.estimated && n.until.is_some_and(|u| u.minute() <= when.window.0);
        return (if over { Force::PastEstimate } else { Force::InForce }, true);
    }
    let soon = next((when.window.1, when.window.1 + AHEAD_MIN));
    match (soon, when.time) {
        (Some((at, _)), Some(time)) if at - time.minute() <= SOON_MIN => (Force::Soon(at - time.minute()), false),
        (Some((at, _)), _) => match schedule::moment(at) {
            Some(m) => (Force::NotNow(m), false),
            None => (over_or_not_yet(n, when), false),
        },
        (None, _) => (over_or_not_yet(n, when), false),
    }
}

fn over_or_not_yet(n: &Notam, when: &When) -> Force {
    match n.from {
        Some(from) if from.minute() >= when.window.1 => Force::NotNow(from),
        _ => Force::Over,
    }
}

pub(super) fn period_words(n: &Notam) -> String {
    let estimated = if n.estimated { " (estimated)" } else { "" };
    let mut text = match (n.from, n.until) {
        (None, None) => "no period given".to_string(),
        (Some(a), None) => format!("from {a} until further notice"),
        (None, Some(b)) => format!("until {b}{estimated}"),
        (Some(a), Some(b)) => format!("{a} to {b}{estimated}"),
    };
    let mut hours: Vec<String> = Vec::new();
    for s in n.effects.iter().flat_map(|e| &e.schedule) {
        let words = s.words();
        if !hours.contains(&words) {
            hours.push(words);
        }
    }
    if !hours.is_empty() {
        text += &format!("; {}", hours.join(", "));
    }
    clean::sentence(&text)
}
