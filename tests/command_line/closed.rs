//! Closures by day and time, as the program tells them.

use crate::harness::*;

fn sallowfen(to: &str, day: &str, time: &str) -> Ran {
    let field = toeline_tests::root()
        .join("maps/sallowfen.geojson")
        .display()
        .to_string();
    run(&journey(
        "plan",
        &[
            ("FIELD", &field),
            ("--from", "1"),
            ("--via", "ABSENT"),
            ("--to", to),
            ("--date", day),
            ("--time", time),
        ],
    ))
}

#[test]
fn a_closure_in_force_is_an_answer_with_its_reason_and_its_time() {
    let shut = sallowfen("D1", "2026-12-01", "06:00");
    assert_eq!(shut.code, 1, "{}", shut.err);
    let text = shut.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("taxiway D: closed (resurfacing, 2026-12-01T06:00Z to 2026-12-05T00:00Z)"),
        "{text}"
    );
    // Half an hour before it begins the way is open, and the coming closure is told.
    let soon = sallowfen("D1", "2026-12-01", "05:30");
    let text = soon.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        !text.contains("NO WAY") && text.contains("from 30 min after the time of this plan"),
        "{text}"
    );
    let day = sallowfen("D1", "2026-12-01", "ABSENT");
    assert!(day.out.contains("NO WAY"), "{}", day.out);
}

#[test]
fn a_time_that_is_none_is_told_with_its_form() {
    let wrong = sallowfen("D1", "2026-12-01", "6 o'clock");
    assert_eq!(wrong.code, 2);
    assert!(
        wrong.err.contains("\"6 o'clock\"") && wrong.err.contains("HH:MM"),
        "{}",
        wrong.err
    );
}
