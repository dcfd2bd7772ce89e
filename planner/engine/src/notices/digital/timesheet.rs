//! One line of an AIXM schedule. What cannot be known here (the sun, holidays, a change of clocks) makes the closed hours longer and
//! the excepted ones shorter, and is said.

use crate::carrier::aixm::tree::{Node, Space};
use crate::notices::clock;
use crate::notices::schedule::{DayOfYear, Season, Sheet};

/// By how much clocks change, minutes.
const HOUR: u16 = 60;
const WEEKDAYS: [&str; 7] = ["MON", "TUE", "WED", "THU", "FRI", "SAT", "SUN"];

/// Reads a timesheet; `None` where it takes hours away that cannot be known, so that nothing is taken away.
pub(super) fn sheet(t: &Node) -> (Option<Sheet>, Vec<String>) {
    let mut assumed = Vec::new();
    let value = |key: &str| t.value(Space::Aixm, key).unwrap_or_default();
    let excluded = value("excluded").eq_ignore_ascii_case("YES");
    let mut sheet = Sheet::whole_days(Vec::new());
    sheet.excluded = excluded;
    // Whether something of it is not known: then closed hours are taken whole, and excepted ones not at all.
    let mut unknown = |what: String| {
        let then = if excluded {
            "nothing is excepted for it"
        } else {
            "taken as closed all the while"
        };
        assumed.push(format!("{what}: {then}"));
    };
    let mut sure = true;
    match zone(value("timeReference")) {
        Some(min) => sheet.clock_min = min,
        None => {
            sure = false;
            unknown(format!(
                "its time reference \"{}\" is not known",
                value("timeReference")
            ));
        }
    }
    match day(value("day")) {
        Some(list) => sheet.weekdays = list,
        None => {
            sure = false;
            unknown(format!("which days are {} is not known here", value("day")));
        }
    }
    match (value("dayTil"), day(value("dayTil"))) {
        ("", _) => {}
        (_, Some(list)) if list.is_empty() => {}
        (_, Some(list)) if !sheet.weekdays.is_empty() => sheet.until_weekday = list.first().copied(),
        (text, _) => {
            sure = false;
            unknown(format!("until which day {text} means is not known here"));
        }
    }
    for (key, at) in [("startEvent", "startTime"), ("endEvent", "endTime")] {
        let event = value(key);
        if !event.is_empty() && value(at).is_empty() {
            sure = false;
            unknown(format!("the hour of {event} is not worked out here"));
        } else if !event.is_empty() {
            sure = false;
            unknown(format!(
                "which of {event} and {} comes first is not worked out here",
                value(at)
            ));
        }
    }
    let (begin, end) = (value("startTime"), value("endTime"));
    match (begin, end) {
        ("", "") => {}
        _ => match (clock(begin), clock(end)) {
            (Some(a), Some(b)) if a < 1440 => (sheet.begin_min, sheet.end_min) = (a, b),
            _ if sure => {
                sure = false;
                unknown(format!("its hours \"{begin}\" to \"{end}\" cannot be read"));
            }
            _ => {}
        },
    }
    match (value("startDate"), value("endDate")) {
        ("", "") => {}
        (a, b) => match (day_of_year(a), day_of_year(b)) {
            (Some(a), Some(b)) => sheet.season = Some(Season::Yearly(a, b)),
            _ => {
                sure = false;
                unknown(format!("its dates \"{a}\" to \"{b}\" cannot be told from here"));
            }
        },
    }
    if !sure {
        let mut whole = Sheet::whole_days(Vec::new());
        whole.excluded = false;
        return ((!excluded).then_some(whole), assumed);
    }
    if value("daylightSavingAdjust").eq_ignore_ascii_case("YES") && (sheet.begin_min, sheet.end_min) != (0, 1440) {
        // In summer the same hours by the clock are an hour earlier in UTC.
        if excluded {
            assumed.push("its hours change with the clocks: nothing is excepted for them".to_string());
            return (None, assumed);
        }
        if sheet.begin_min < HOUR {
            // It would begin on the day before: every day counts whole.
            assumed.push("its hours change with the clocks, over midnight: taken as closed all the while".to_string());
            return (Some(Sheet::whole_days(Vec::new())), assumed);
        }
        sheet.begin_min -= HOUR;
        assumed.push("its hours change with the clocks: an hour more before them is taken as closed".to_string());
    }
    (Some(sheet), assumed)
}

/// A clock less UTC, minutes: "UTC", "UTC-2", "UTC+5:30".
fn zone(text: &str) -> Option<i16> {
    let rest = text.trim().strip_prefix("UTC")?;
    if rest.is_empty() {
        return Some(0);
    }
    let (sign, rest) = match rest.split_at_checked(1)? {
        ("+", r) => (1, r),
        ("-", r) => (-1, r),
        _ => return None,
    };
    let (h, m) = rest.split_once(':').unwrap_or((rest, "0"));
    let digits = |t: &str| {
        (!t.is_empty() && t.len() <= 2 && t.bytes().all(|b| b.is_ascii_digit())).then(|| t.parse::<i16>().ok())?
    };
    let (h, m) = (digits(h)?, digits(m)?);
    (h <= 14 && m < 60).then_some(sign * (h * 60 + m))
}

/// Days of the week; empty for any day.
fn day(text: &str) -> Option<Vec<u8>> {
    match text {
        "" | "ANY" => Some(Vec::new()),
        name => Some(vec![WEEKDAYS.iter().position(|w| *w == name)? as u8]),
    }
}

/// "26-02": day and month.
fn day_of_year(text: &str) -> Option<DayOfYear> {
    let (d, m) = text.split_once('-')?;
    let two = |t: &str| (t.len() == 2 && t.bytes().all(|b| b.is_ascii_digit())).then(|| t.parse::<u8>().ok())?;
    let (day, month) = (two(d)?, two(m)?);
    const MOST: [u8; 12] = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let most = *MOST.get(usize::from(month).checked_sub(1)?)?;
    (day >= 1 && day <= most).then_some(DayOfYear { month, day })
}
