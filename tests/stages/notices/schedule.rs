//! Days and hours of notices, edge by edge; by an independent calculation in `tests/external/notices.rs`.

use toeline_engine::notices::{DayOfYear, Season, Sheet, spans};
use toeline_model::date::{Date, Moment};

fn at(text: &str) -> i64 {
    Moment::parse(text).unwrap().minute()
}

fn told(from: Option<&str>, until: Option<&str>, sheets: &[Sheet], window: (&str, &str)) -> Vec<String> {
    let moment = |t: Option<&str>| t.map(|t| Moment::parse(t).unwrap());
    let found = spans(moment(from), moment(until), sheets, (at(window.0), at(window.1)));
    let shown = |m: i64| Moment::of_minute(m).map_or("ever".to_string(), |m| m.to_string());
    found
        .iter()
        .map(|(a, b)| format!("{} to {}", shown(*a), shown(*b)))
        .collect()
}

fn sheet(weekdays: &[u8], begin: u16, end: u16) -> Sheet {
    Sheet {
        begin_min: begin * 60,
        end_min: end * 60,
        ..Sheet::whole_days(weekdays.to_vec())
    }
}

const WEEK: (&str, &str) = ("2026-02-16T00:00Z", "2026-02-23T00:00Z");

#[test]
fn days_are_numbered_and_named_as_the_calendar_has_them() {
    // 2026-02-16 was a Monday.
    let monday = Date::parse("2026-02-16").unwrap();
    assert_eq!((monday.weekday(), monday.number()), (0, 20500));
    for number in [-25567, -1, 0, 59, 365, 11016, 20500, 47846] {
        let d = Date::from_number(number).unwrap();
        assert_eq!((d.number(), Date::parse(&d.to_string()).unwrap()), (number, d));
    }
    assert_eq!(Date::from_number(-25568), None);
    assert_eq!(Date::from_number(47847), None);
    assert_eq!(Date::from_number(i64::MAX), None);
    assert_eq!(Date::from_number(11016).unwrap().to_string(), "2000-02-29");
}

#[test]
fn a_period_without_hours_is_whole_and_hours_cut_it() {
    let (from, until) = (Some("2026-02-17T05:00Z"), Some("2026-02-19T12:00Z"));
    assert_eq!(told(from, until, &[], WEEK), ["2026-02-17T05:00Z to 2026-02-19T12:00Z"]);
    assert_eq!(
        told(from, until, &[sheet(&[], 4, 6)], WEEK),
        [
            "2026-02-17T05:00Z to 2026-02-17T06:00Z",
            "2026-02-18T04:00Z to 2026-02-18T06:00Z",
            "2026-02-19T04:00Z to 2026-02-19T06:00Z"
        ]
    );
    assert_eq!(
        told(from, until, &[sheet(&[2], 11, 24), sheet(&[3], 0, 24)], WEEK),
        ["2026-02-18T11:00Z to 2026-02-19T12:00Z"]
    );
    assert!(told(from, until, &[sheet(&[0], 0, 24)], WEEK).is_empty());
    assert_eq!(told(None, None, &[], WEEK), ["ever to ever"]);
}

#[test]
fn hours_over_midnight_and_blocks_over_days() {
    assert_eq!(
        told(None, None, &[sheet(&[1], 22, 2)], WEEK),
        ["2026-02-17T22:00Z to 2026-02-18T02:00Z"]
    );
    // Begun on the Sunday before the window.
    assert_eq!(
        told(None, None, &[sheet(&[6], 22, 2)], WEEK),
        [
            "2026-02-15T22:00Z to 2026-02-16T02:00Z",
            "2026-02-22T22:00Z to 2026-02-23T02:00Z"
        ]
    );
    let block = Sheet {
        until_weekday: Some(0),
        ..sheet(&[4], 18, 6)
    };
    assert_eq!(
        told(None, None, &[block], WEEK),
        [
            "2026-02-13T18:00Z to 2026-02-16T06:00Z",
            "2026-02-20T18:00Z to 2026-02-23T06:00Z"
        ]
    );
    // To the same day and an hour no later: a week.
    let week = Sheet {
        until_weekday: Some(2),
        ..sheet(&[2], 8, 8)
    };
    assert_eq!(
        told(None, None, &[week], ("2026-02-18T08:00Z", "2026-02-18T09:00Z")),
        ["2026-02-18T08:00Z to 2026-02-25T08:00Z"]
    );
}

#[test]
fn another_clock_and_seasons() {
    // 08:00 by a clock five and a half hours ahead is 02:30 in UTC; by one two hours behind it is 10:00.
    let east = Sheet {
        clock_min: 330,
        ..sheet(&[0], 8, 9)
    };
    assert_eq!(
        told(None, None, &[east], WEEK),
        ["2026-02-16T02:30Z to 2026-02-16T03:30Z"]
    );
    let day = |month, day| DayOfYear { month, day };
    let winter = Sheet {
        season: Some(Season::Yearly(day(11, 1), day(2, 18))),
        ..sheet(&[], 8, 9)
    };
    assert_eq!(
        told(None, None, std::slice::from_ref(&winter), WEEK),
        [
            "2026-02-16T08:00Z to 2026-02-16T09:00Z",
            "2026-02-17T08:00Z to 2026-02-17T09:00Z",
            "2026-02-18T08:00Z to 2026-02-18T09:00Z"
        ]
    );
    assert!(told(None, None, &[winter], ("2026-06-01T00:00Z", "2026-06-08T00:00Z")).is_empty());
    // Taken away: one day by a clock two hours behind.
    let away = Sheet {
        clock_min: -120,
        season: Some(Season::Yearly(day(2, 18), day(2, 19))),
        excluded: true,
        ..sheet(&[], 0, 0)
    };
    assert_eq!(
        told(
            None,
            None,
            &[sheet(&[], 0, 24), away],
            ("2026-02-18T00:00Z", "2026-02-20T00:00Z")
        ),
        [
            "2026-02-18T00:00Z to 2026-02-18T02:00Z",
            "2026-02-19T02:00Z to 2026-02-20T00:00Z"
        ]
    );
}
