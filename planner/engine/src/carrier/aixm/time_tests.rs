use super::super::tree::{Broken, Member, each};
use super::*;
use std::io::Cursor;

/// Slices of one feature, each as (interpretation, sequence, correction, begin, end, what is in it). A begin of "" cancels.
type Given<'g> = (&'g str, u32, u32, &'g str, &'g str, &'g str);

fn slices(list: &[Given<'_>]) -> Result<Vec<Slice>, String> {
    let inside: String = list
        .iter()
        .map(|(what, sequence, correction, begin, end, inside)| {
            let valid = match *begin {
                "" => "<gml:validTime nilReason=\"inapplicable\"/>".to_string(),
                begin => format!(
                    "<gml:validTime><gml:TimePeriod><gml:beginPosition>{begin}</gml:beginPosition>{}</gml:TimePeriod></gml:validTime>",
                    match *end {
                        "" => "<gml:endPosition indeterminatePosition=\"unknown\"/>".to_string(),
                        end => format!("<gml:endPosition>{end}</gml:endPosition>"),
                    }
                ),
            };
            format!(
                "<TaxiwayTimeSlice>{valid}<interpretation>{what}</interpretation><sequenceNumber>{sequence}</sequenceNumber>\
                 <correctionNumber>{correction}</correctionNumber>{inside}</TaxiwayTimeSlice>"
            )
        })
        .collect();
    let text = format!(
        "<m:AIXMBasicMessage xmlns:m=\"http://www.aixm.aero/schema/5.1.1/message\" xmlns=\"http://www.aixm.aero/schema/5.1.1\" \
         xmlns:gml=\"http://www.opengis.net/gml/3.2\"><m:hasMember><Taxiway>{inside}</Taxiway></m:hasMember></m:AIXMBasicMessage>"
    );
    let mut found = Vec::new();
    each(&mut Cursor::new(text.as_bytes()), &mut |_| {}, &mut |m| {
        if let Member::Feature(f) = m {
            found = f.children;
        }
        Ok::<(), Broken>(())
    })
    .map_err(|e| e.found)?;
    found.into_iter().map(Slice::of).collect()
}

fn at(text: &str) -> At {
    match text.split_once('T') {
        Some((day, time)) => At {
            date: Date::parse(day).unwrap(),
            time: Some(TimeOfDay::parse(time).unwrap()),
        },
        None => At {
            date: Date::parse(text).unwrap(),
            time: None,
        },
    }
}

/// The designator at a time, and what is doubted.
fn letter(list: &[Given<'_>], when: &str) -> Result<(String, usize), String> {
    let found = state(&slices(list)?, at(when))?;
    let letter = found.node.value(Space::Aixm, "designator").unwrap_or("-").to_string();
    Ok((letter, found.doubts.len()))
}

const A: &str = "<designator>A</designator>";
const B: &str = "<designator>B</designator>";
const C: &str = "<designator>C</designator>";

#[test]
fn the_baseline_of_the_time_counts() {
    let list = [
        ("BASELINE", 1, 0, "2026-01-01T00:00:00Z", "2026-03-01T12:00:00Z", A),
        ("BASELINE", 2, 0, "2026-03-01T12:00:00Z", "", B),
    ];
    assert_eq!(letter(&list, "2026-02-01").unwrap(), ("A".to_string(), 0));
    assert_eq!(letter(&list, "2026-03-01T11:59").unwrap(), ("A".to_string(), 0));
    assert_eq!(letter(&list, "2026-03-01T12:00").unwrap(), ("B".to_string(), 0));
    assert_eq!(letter(&list, "2030-01-01").unwrap(), ("B".to_string(), 0));
    assert_eq!(
        letter(&list, "2025-12-31").unwrap_err(),
        "no time slice of it is valid on 2025-12-31"
    );
}

#[test]
fn changes_for_good_are_put_on_it_and_those_in_a_later_baseline_are_not() {
    let list = [
        (
            "BASELINE",
            1,
            0,
            "2026-01-01T00:00:00Z",
            "",
            "<designator>A</designator><type>GND</type>",
        ),
        ("PERMDELTA", 2, 0, "2026-02-01T00:00:00Z", "", B),
        ("BASELINE", 2, 0, "2026-02-01T00:00:00Z", "", C),
    ];
    assert_eq!(letter(&list[..2], "2026-01-15").unwrap().0, "A");
    let changed = state(&slices(&list[..2]).unwrap(), at("2026-02-02")).unwrap();
    assert_eq!(changed.node.value(Space::Aixm, "designator"), Some("B"));
    assert_eq!(
        changed.node.value(Space::Aixm, "type"),
        Some("GND"),
        "what the delta does not name stays"
    );
    assert_eq!(
        letter(&list, "2026-02-02").unwrap().0,
        "C",
        "the baseline holds the delta already"
    );
    // A property given as nil is gone.
    let nil = (
        "PERMDELTA",
        2,
        0,
        "2026-02-01T00:00:00Z",
        "",
        "<designator nilReason=\"unknown\"/>",
    );
    assert_eq!(letter(&[list[0], nil], "2026-02-02").unwrap().0, "-");
    // The baseline ended where the delta begins, and the next one is not in the file.
    let ended = ("BASELINE", 1, 0, "2026-01-01T00:00:00Z", "2026-02-01T00:00:00Z", A);
    assert_eq!(letter(&[ended, list[1]], "2026-02-02").unwrap().0, "B");
    assert!(letter(&[ended], "2026-02-02").is_err());
    // A feature that begins with a delta.
    assert_eq!(letter(&[list[1]], "2026-02-02").unwrap().0, "B");
    assert!(letter(&[list[1]], "2026-01-02").is_err());
}

#[test]
fn what_is_so_for_a_time_counts_in_that_time_only() {
    let list = [
        ("BASELINE", 1, 0, "2026-01-01T00:00:00Z", "", A),
        (
            "TEMPDELTA",
            2,
            0,
            "2026-02-10T06:30:00Z",
            "2026-02-10T12:00:00+02:00",
            B,
        ),
    ];
    for (when, letter_then) in [
        ("2026-02-10T06:29", "A"),
        ("2026-02-10T06:30", "B"),
        ("2026-02-10T09:59", "B"),
        ("2026-02-10T10:00", "A"),
        ("2026-02-09", "A"),
        ("2026-02-11", "A"),
    ] {
        assert_eq!(letter(&list, when).unwrap(), (letter_then.to_string(), 0), "{when}");
    }
    // Without a time of day it counts for the whole day, with a doubt.
    assert_eq!(letter(&list, "2026-02-10").unwrap(), ("B".to_string(), 1));
    // Until further notice.
    let open = ("TEMPDELTA", 2, 0, "2026-02-10T06:30:00Z", "", B);
    assert_eq!(letter(&[list[0], open], "2029-01-01").unwrap().0, "B");
}

#[test]
fn corrections_replace_and_cancel() {
    let base = ("BASELINE", 1, 0, "2026-01-01T00:00:00Z", "", A);
    let corrected = ("BASELINE", 1, 1, "2026-01-01T00:00:00Z", "", B);
    assert_eq!(letter(&[corrected, base], "2026-02-01").unwrap().0, "B");
    let closing = ("TEMPDELTA", 2, 0, "2026-02-01T00:00:00Z", "2026-02-03T00:00:00Z", C);
    assert_eq!(letter(&[base, closing], "2026-02-02").unwrap().0, "C");
    let cancelled = ("TEMPDELTA", 2, 1, "", "", "");
    assert_eq!(letter(&[base, closing, cancelled], "2026-02-02").unwrap().0, "A");
    let gone = ("BASELINE", 1, 1, "", "", "");
    assert!(
        letter(&[base, gone], "2026-02-02").is_err(),
        "a cancelled feature is not there"
    );
    // The same slice twice is harmless; two unlike ones are doubted.
    assert_eq!(letter(&[base, base], "2026-02-02").unwrap(), ("A".to_string(), 0));
    let other = ("BASELINE", 1, 0, "2026-01-01T00:00:00Z", "", B);
    assert_eq!(letter(&[base, other], "2026-02-02").unwrap(), ("A".to_string(), 1));
}

#[test]
fn a_life_that_ended_or_has_not_begun_is_none() {
    let life = |begin: &str, end: &str| {
        format!(
            "<featureLifetime><gml:TimePeriod><gml:beginPosition>{begin}</gml:beginPosition><gml:endPosition>{end}</gml:endPosition>\
             </gml:TimePeriod></featureLifetime>"
        )
    };
    let alive = life("2020-01-01T00:00:00Z", "2026-02-01T00:00:00Z");
    let list = [("BASELINE", 1, 0, "2020-01-01T00:00:00Z", "", alive.as_str())];
    assert!(letter(&list, "2026-01-31").is_ok());
    assert_eq!(
        letter(&list, "2026-02-01").unwrap_err(),
        "its life ended before 2026-02-01"
    );
    let base = ("BASELINE", 1, 0, "2020-01-01T00:00:00Z", "", A);
    let end = ("PERMDELTA", 2, 0, "2026-01-01T00:00:00Z", "", alive.as_str());
    assert!(letter(&[base, end], "2026-02-01").is_err());
    let later = life("2027-01-01T00:00:00Z", "9999-12-31T00:00:00Z");
    let list = [("BASELINE", 1, 0, "2020-01-01T00:00:00Z", "", later.as_str())];
    assert_eq!(
        letter(&list, "2026-02-01").unwrap_err(),
        "its life begins after 2026-02-01"
    );
    assert!(letter(&list, "2027-02-01").is_ok());
}

#[test]
fn a_snapshot_alone_is_taken_with_a_doubt() {
    let list = [("SNAPSHOT", 1, 0, "2026-01-01T00:00:00Z", "", A)];
    assert_eq!(letter(&list, "2026-02-01").unwrap(), ("A".to_string(), 1));
    assert!(letter(&list, "2025-02-01").is_err());
}

#[test]
fn absurd_times_are_refused() {
    for text in [
        "2026-13-01T00:00:00Z",
        "2026-02-30",
        "26-02-03T00:00:00Z",
        "2026-02-03T25:00:00Z",
        "2026-02-03T00:00:00+99:00",
        "-2026-02-03T00:00Z",
        "yesterday",
        "0000-01-01T00:00:00Z",
        "2026-02-03T0é:00",
        "99999-01-01T00:00:00Z",
    ] {
        let e = letter(&[("BASELINE", 1, 0, text, "", A)], "2026-02-02").unwrap_err();
        assert!(e.contains(text) && e.contains("ISO 8601"), "{text}: {e}");
    }
    let e = letter(
        &[("BASELINE", 1, 0, "2026-02-02T00:00:00Z", "2026-02-01T00:00:00Z", A)],
        "2026-02-02",
    )
    .unwrap_err();
    assert!(e.contains("ends") && e.contains("before it begins"), "{e}");
    let e = letter(&[("WISH", 1, 0, "2026-02-02T00:00:00Z", "", A)], "2026-02-02").unwrap_err();
    assert!(e.contains("the interpretation \"WISH\""), "{e}");
    // Far years mean no end; fractions of a second and days alone are times.
    for (begin, end) in [
        ("2026-01-01", "9999-12-31T23:59:59Z"),
        ("2026-01-01T00:00:00.000Z", "2999-01-01"),
    ] {
        assert!(letter(&[("BASELINE", 1, 0, begin, end, A)], "2099-02-02").is_ok());
    }
}
