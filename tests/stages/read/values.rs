//! Numbers with units, nonsense and absurd values, names.

use super::*;

#[test]
fn numbers_with_units_are_read() {
    for (text, metres) in [
        (json!("23 m"), 23.0),
        (json!("23"), 23.0),
        (json!(23), 23.0),
        (json!("75 ft"), 75.0 * 0.3048),
        (json!("75'"), 75.0 * 0.3048),
        (json!("5'6\""), 5.5 * 0.3048),
        (json!("36,0"), 36.0),
        (json!("18 meters"), 18.0),
        (json!("10 metre"), 10.0),
        (json!("98m"), 98.0),
        (json!(" 7.5 m "), 7.5),
    ] {
        let r = lane(json!({ "aeroway": "taxiway", "width": text }));
        near(
            r.field.lanes[0].width_m.unwrap_or_else(|| panic!("{text}")),
            metres,
            1e-9,
        );
        assert_eq!(r.notices, []);
    }
}

#[test]
fn nonsense_is_a_doubt_with_the_value_and_the_value_is_left_out() {
    for text in [
        "Narrow",
        "default",
        "1,200",
        "20-25",
        "~20",
        "inf",
        "NaN",
        "1e3",
        "-",
        "12 parsecs",
        "5'13\"",
        "",
    ] {
        let r = lane(json!({ "aeroway": "taxiway", "width": text }));
        assert_eq!(r.field.lanes[0].width_m, None, "{text}");
        if !text.is_empty() {
            told(
                &r.notices,
                NoticeKind::Doubt,
                "L",
                &format!("width=\"{text}\" is not a length"),
            );
        }
    }
}

#[test]
fn absurd_values_are_doubted_with_the_range() {
    let r = lane(json!({ "aeroway": "taxiway", "maxspan": "650", "width": "0", "maxspeed": "900" }));
    told(
        &r.notices,
        NoticeKind::Doubt,
        "L",
        "maxspan=\"650\" is outside 2 to 120 m; left out",
    );
    told(
        &r.notices,
        NoticeKind::Doubt,
        "L",
        "width=\"0\" is outside 1 to 200 m; left out",
    );
    told(
        &r.notices,
        NoticeKind::Doubt,
        "L",
        "maxspeed=\"900\" is outside 1 to 150 km/h; left out",
    );
    let l = &r.field.lanes[0];
    assert_eq!((l.span_limit_m, l.width_m, l.speed_limit_mps), (None, None, None));
    assert!(r.notices.iter().all(|n| n.at.is_some()));
}

#[test]
fn speeds_are_kilometres_an_hour_unless_said_otherwise() {
    for (text, mps) in [
        ("36", 10.0),
        ("36 km/h", 10.0),
        ("10 kt", 10.0 * 1852.0 / 3600.0),
        ("10 mph", 4.4704),
        ("5 m/s", 5.0),
    ] {
        near(
            lane(json!({ "aeroway": "taxiway", "maxspeed": text })).field.lanes[0]
                .speed_limit_mps
                .unwrap(),
            mps,
            1e-9,
        );
    }
}

#[test]
fn names_are_clean_trimmed_and_short() {
    let r = lane(json!({ "aeroway": "taxiway", "ref": " B\u{1b}[31m\u{7}\u{202e} " }));
    assert_eq!(r.field.lanes[0].letters, ["B [31m"]);
    let stand = base().point(
        "S",
        [5.0, 5.0],
        json!({ "aeroway": "parking_position", "ref": "x".repeat(500) }),
    );
    assert_eq!(field(&stand).stands[0].name.as_deref().map(str::len), Some(80));
}
