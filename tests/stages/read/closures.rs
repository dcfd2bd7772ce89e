//! Closures: with and without dates, of features and of areas, and the field at the time of a plan.

use super::*;
use toeline_model::airfield::{Closed, Closure};
use toeline_model::date::{Date, Moment, TimeOfDay};

fn on(field: Airfield, day: &str, time: Option<&str>) -> (Airfield, Vec<Notice>) {
    let time = time.map(|t| TimeOfDay::parse(t).unwrap());
    read::in_force(field, Date::parse(day).unwrap(), time)
}

fn closed_lane(more: Value) -> ReadField {
    let mut tags = json!({ "aeroway": "taxiway", "ref": "B" });
    tags.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
    good(&base().line("X", &[[50.0, 0.0], [50.0, 80.0]], tags))
}

#[test]
fn moments_are_read_compared_and_counted_by_the_calendar() {
    let m = |t: &str| Moment::parse(t).unwrap();
    assert_eq!(m("2026-12-01T06:00:30Z").to_string(), "2026-12-01T06:00Z");
    assert!(m("2026-12-31T23:59Z") < m("2027-01-01T00:00Z"));
    // By hand: 2024 has a 29th of February, 2026 has none.
    assert_eq!(m("2024-02-28T23:30Z").minutes_to(m("2024-03-01T00:30Z")), 25 * 60);
    assert_eq!(m("2026-02-28T23:30Z").minutes_to(m("2026-03-01T00:30Z")), 60);
    assert_eq!(m("2027-01-01T00:10Z").minutes_to(m("2026-12-31T23:50Z")), -20);
    assert_eq!(m("1999-12-31T00:00Z").minutes_to(m("2001-01-01T00:00Z")), 367 * 1440);
    for wrong in [
        "2026-12-01T06:00",
        "2026-12-01 06:00Z",
        "2026-12-01T24:00Z",
        "2026-13-01T06:00Z",
        "2026-12-01T06:00+01:00",
        "2026-2-01T06:00Z",
        "2026-12-01T6:00Z",
        "2026-12-01T06:00:61Z",
        "tomorrow",
        "",
    ] {
        let e = Moment::parse(wrong).unwrap_err();
        assert!(e.contains(wrong) && e.contains("2026-12-01T06:00Z"), "{e}");
    }
    assert!(TimeOfDay::parse("14:30").unwrap() == TimeOfDay::parse("14:30Z").unwrap());
    assert!(TimeOfDay::parse("1430").unwrap_err().contains("HH:MM"));
}

#[test]
fn a_closure_with_dates_counts_in_its_time_only() {
    let r = closed_lane(
        json!({ "toeline:closed": "resurfacing", "toeline:closed_from": "2026-12-01T06:00Z",
        "toeline:closed_to": "2026-12-04" }),
    );
    assert_eq!(r.notices, []);
    assert_eq!(r.field.lanes[1].closed, None);
    let wanted = Closure {
        id: "X".into(),
        name: "taxiway B".into(),
        closed: Closed::Itself,
        reason: "resurfacing".into(),
        from: Some(Moment::parse("2026-12-01T06:00Z").unwrap()),
        until: Some(Moment::parse("2026-12-05T00:00Z").unwrap()),
    };
    assert_eq!(r.field.closures, [wanted]);
    for (day, time, closed) in [
        ("2026-11-30", None, false),
        ("2026-12-01", Some("04:00"), false),
        ("2026-12-01", Some("06:00"), true),
        ("2026-12-01", None, true),
        ("2026-12-02", None, true),
        ("2026-12-04", Some("23:59"), true),
        ("2026-12-05", Some("00:00"), false),
        ("2026-12-05", None, false),
    ] {
        let (field, _) = on(r.field.clone(), day, time);
        assert_eq!(field.lanes[1].closed.is_some(), closed, "{day} {time:?}");
        assert_eq!(field.closures.len(), usize::from(closed), "{day} {time:?}");
    }
    let (field, _) = on(r.field.clone(), "2026-12-02", None);
    assert_eq!(
        field.lanes[1].closed.as_deref(),
        Some("resurfacing, 2026-12-01T06:00Z to 2026-12-05T00:00Z")
    );
}

#[test]
fn a_part_of_the_day_and_a_closure_about_to_begin_are_told() {
    let r = closed_lane(json!({ "toeline:closed_from": "2026-12-01T06:00Z" }));
    let (_, notices) = on(r.field.clone(), "2026-12-01", None);
    told(
        &notices,
        NoticeKind::Doubt,
        "X",
        "taxiway B is closed for a part of 2026-12-01",
    );
    let (field, notices) = on(r.field.clone(), "2026-12-01", Some("05:40"));
    assert_eq!(field.lanes[1].closed, None);
    told(
        &notices,
        NoticeKind::Doubt,
        "X",
        "from 20 min after the time of this plan",
    );
    assert_eq!(on(r.field.clone(), "2026-12-01", Some("04:59")).1, []);
    assert_eq!(on(r.field, "2026-12-02", None).1, []);
}

#[test]
fn dates_that_cannot_be_read_leave_it_closed() {
    let r = closed_lane(json!({ "toeline:closed": "works", "toeline:closed_to": "next week" }));
    told(
        &r.notices,
        NoticeKind::Doubt,
        "X",
        "toeline:closed_to=\"next week\" is not a moment",
    );
    assert_eq!(r.field.lanes[1].closed.as_deref(), Some("works"));
    let r = closed_lane(json!({ "toeline:closed_from": "2026-12-04", "toeline:closed_to": "2026-12-01" }));
    told(&r.notices, NoticeKind::Doubt, "X", "is not before");
    assert_eq!(r.field.lanes[1].closed.as_deref(), Some("closed"));
    let r = closed_lane(json!({ "toeline:closed": "no", "toeline:closed_from": "2026-12-01" }));
    assert!(r.field.lanes[1].closed.is_none() && r.field.closures.is_empty());
    // A marker of its own is not lifted by a date.
    let r = closed_lane(json!({ "disused": "yes", "toeline:closed_to": "2020-01-01" }));
    assert_eq!(r.field.lanes[1].closed.as_deref(), Some("disused"));
}

#[test]
fn areas_runways_stands_and_holding_positions_can_be_closed_for_a_time() {
    let square: &[[f64; 2]] = &[[0.0, 10.0], [30.0, 10.0], [30.0, 40.0], [0.0, 40.0]];
    let dates = |own: Value| {
        let mut all = own;
        let more = json!({ "toeline:closed": "works", "toeline:closed_from": "2026-12-01", "toeline:closed_to": "2026-12-01" });
        all.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        all
    };
    let s = base()
        .line(
            "R1",
            &[[-400.0, 90.0], [0.0, 90.0]],
            dates(json!({ "aeroway": "runway", "ref": "09/27" })),
        )
        .line(
            "R2",
            &[[0.0, 90.0], [400.0, 90.0]],
            dates(json!({ "aeroway": "runway" })),
        )
        .point("S", [20.0, 20.0], json!({ "aeroway": "parking_position", "ref": "1" }))
        .point(
            "S2",
            [70.0, 20.0],
            dates(json!({ "aeroway": "parking_position", "ref": "2" })),
        )
        .point(
            "H",
            [90.0, 0.0],
            dates(json!({ "aeroway": "holding_position", "ref": "A1" })),
        )
        .area("W", &[square], dates(json!({ "toeline:area": "closed", "ref": "W1" })));
    let r = good(&s);
    assert_eq!(r.field.runways.len(), 1, "two pieces closed alike are one runway");
    let (field, notices) = on(r.field.clone(), "2026-12-01", None);
    assert_eq!(notices, []);
    assert!(field.runways[0].closed.is_some());
    let stand = |name: &str| field.stands.iter().find(|s| s.name.as_deref() == Some(name)).unwrap();
    assert!(stand("1").closed.is_some(), "it lies in the closed area");
    assert!(stand("2").closed.is_some());
    assert!(field.closures.iter().any(|c| c.id == "H" && c.closed == Closed::Itself));
    let (field, _) = on(r.field, "2026-12-02", None);
    assert!(field.closures.is_empty() && field.runways[0].closed.is_none());
    assert!(field.stands.iter().all(|s| s.closed.is_none()));
    let undated = good(&base().area(
        "W",
        &[square],
        json!({ "toeline:area": "closed", "description": "bog" }),
    ));
    assert_eq!(
        (
            undated.field.closures[0].reason.as_str(),
            undated.field.closures[0].from
        ),
        ("bog", None)
    );
}
