//! The field as it is at the time of a plan: closures in force put on what they close, the others dropped.

use crate::notice::{Notice, NoticeKind};
use toeline_model::Xy;
use toeline_model::airfield::{Airfield, Closed, Closure};
use toeline_model::date::{Date, Moment, TimeOfDay};
use toeline_model::planar::{length_inside, meets_ring};

/// A closure that begins so soon after the time of the plan is told, minutes. Ours: a long taxi with its checks.
pub const SOON_MIN: i64 = 60;

/// A line leads over closed pavement where at least this much of it lies there, metres; less is a touch at its edge. Ours.
pub const OVER_M: f64 = 2.0;

/// The field at a time of a day (UTC), or on the whole day when no time is given: then what is closed for a part of the day
/// counts as closed, and a notice says so.
pub fn in_force(mut field: Airfield, date: Date, time: Option<TimeOfDay>) -> (Airfield, Vec<Notice>) {
    let mut notices = Vec::new();
    let mut kept = Vec::new();
    for c in std::mem::take(&mut field.closures) {
        if counts(&c, date, time, &mut notices) {
            shut(&mut field, &c);
            kept.push(c);
        }
    }
    field.closures = kept;
    (field, notices)
}

fn counts(c: &Closure, date: Date, time: Option<TimeOfDay>, notices: &mut Vec<Notice>) -> bool {
    let mut tell = |text: String, assumed: &str| {
        notices.push(Notice::new(NoticeKind::Doubt, c.id.clone(), text).with_assumption(assumed));
    };
    match time {
        Some(time) => {
            let now = Moment { date, time };
            if c.until.is_some_and(|u| u <= now) {
                return false;
            }
            match c.from.map(|f| now.minutes_to(f)) {
                Some(minutes) if minutes > SOON_MIN => false,
                Some(minutes) if minutes > 0 => {
                    let text = format!(
                        "{} is closed ({}) from {minutes} min after the time of this plan, {now}; taken as open",
                        c.name,
                        c.words()
                    );
                    tell(text, "open at the time of the plan");
                    false
                }
                _ => true,
            }
        }
        None => {
            let (begin, end) = (Moment::start_of(date), Moment::start_of(date.next()));
            let whole = c.from.is_none_or(|f| f <= begin) && c.until.is_none_or(|u| u >= end);
            let part = c.from.is_none_or(|f| f < end) && c.until.is_none_or(|u| u > begin);
            if part && !whole {
                let text = format!(
                    "{} is closed for a part of {date} ({}); taken as closed, as no time of day is given",
                    c.name,
                    c.words()
                );
                tell(text, "closed for the whole day");
            }
            part
        }
    }
}

/// Puts a closure on the runways, lanes and stands that it closes whole. Lanes that an area cuts are closed piece by piece,
/// by the route.
pub(crate) fn shut(field: &mut Airfield, c: &Closure) {
    let words = c.words();
    let put = |closed: &mut Option<String>| {
        if closed.is_none() {
            *closed = Some(words.clone());
        }
    };
    match &c.closed {
        Closed::Itself => {
            field
                .runways
                .iter_mut()
                .filter(|r| r.id == c.id)
                .for_each(|r| put(&mut r.closed));
            field
                .lanes
                .iter_mut()
                .filter(|l| l.id == c.id)
                .for_each(|l| put(&mut l.closed));
            field
                .stands
                .iter_mut()
                .filter(|s| s.id == c.id)
                .for_each(|s| put(&mut s.closed));
        }
        Closed::Within(ring) => {
            // A runway with a closed piece is not one to take off from.
            for r in field.runways.iter_mut().filter(|r| meets_ring(&r.line, ring)) {
                put(&mut r.closed);
            }
            for s in field.stands.iter_mut().filter(|s| meets_ring(&s.line, ring)) {
                put(&mut s.closed);
            }
        }
        Closed::Pavement(ring) => {
            let over = |line: &[Xy]| length_inside(line, ring) >= OVER_M;
            for r in field.runways.iter_mut().filter(|r| over(&r.line)) {
                put(&mut r.closed);
            }
            for s in field.stands.iter_mut().filter(|s| meets_ring(&s.line, ring)) {
                put(&mut s.closed);
            }
        }
        // Closed by the route, where its segments run along it.
        Closed::Stretch(_) => {}
    }
}
