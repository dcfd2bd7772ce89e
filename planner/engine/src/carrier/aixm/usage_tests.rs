use super::super::tree::{Broken, Member, each};
use super::*;
use std::io::Cursor;

/// The usage of a taxiway with these availabilities.
fn of(inside: &str) -> Usage {
    let text = format!(
        "<m:AIXMBasicMessage xmlns:m=\"http://www.aixm.aero/schema/5.1.1/message\" xmlns=\"http://www.aixm.aero/schema/5.1.1\" \
         xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\"><m:hasMember><Taxiway>{inside}</Taxiway></m:hasMember></m:AIXMBasicMessage>"
    );
    let mut found = None;
    let read = each(&mut Cursor::new(text.as_bytes()), &mut |_| {}, &mut |m| {
        if let Member::Feature(f) = m {
            found = Some(f);
        }
        Ok::<(), Broken>(())
    });
    assert_eq!(read, Ok(()));
    usage(&found.expect("a taxiway"))
}

fn available(status: &str, usages: &str) -> String {
    format!(
        "<availability><ManoeuvringAreaAvailability><timeInterval xsi:nil=\"true\"/><operationalStatus>{status}</operationalStatus>{usages}\
         </ManoeuvringAreaAvailability></availability>"
    )
}

/// A usage under a condition.
fn when(what: &str, condition: &str) -> String {
    format!(
        "<usage><ManoeuvringAreaUsage><type>{what}</type><selection><ConditionCombination>{condition}</ConditionCombination></selection>\
         <operation>TAXIING</operation></ManoeuvringAreaUsage></usage>"
    )
}

fn craft(inside: &str) -> String {
    format!("<aircraft><AircraftCharacteristic>{inside}</AircraftCharacteristic></aircraft>")
}

fn span(m: &str, how: &str) -> String {
    craft(&format!(
        "<wingSpan uom=\"M\">{m}</wingSpan><wingSpanInterpretation>{how}</wingSpanInterpretation>"
    ))
}

#[test]
fn spans_limit_by_every_spelling() {
    let limit = |usages: &str| {
        let u = of(&available("NORMAL", usages));
        assert_eq!((u.closed, u.doubts), (None, Vec::new()), "{usages}");
        u.span_m
    };
    assert_eq!(limit(""), None);
    assert_eq!(limit(&when("FORBID", &span("36", "ABOVE"))), Some(36.0));
    assert_eq!(limit(&when("FORBID", &span("36", "AT_OR_ABOVE"))), Some(35.99));
    assert_eq!(limit(&when("PERMIT", &span("24", "AT_OR_BELOW"))), Some(24.0));
    assert_eq!(
        limit(&when("FORBID", &craft("<classWingSpan>VI</classWingSpan>"))),
        // The last whole centimetre below 214 ft.
        Some(65.22)
    );
    let both = craft("<classWingSpan>V</classWingSpan>") + &craft("<classWingSpan>VI</classWingSpan>");
    let either = format!("<logicalOperator>OR</logicalOperator>{both}");
    // And below 171 ft.
    assert_eq!(limit(&when("FORBID", &either)), Some(52.12));
    let feet = craft("<wingSpan uom=\"FT\">100</wingSpan><wingSpanInterpretation>ABOVE</wingSpanInterpretation>");
    assert_eq!(limit(&when("FORBID", &feet)), Some(30.48));
    // The stricter of several.
    let several = when("FORBID", &span("36", "ABOVE")) + &when("FORBID", &span("20", "ABOVE"));
    assert_eq!(limit(&several), Some(20.0));
}

#[test]
fn closed_and_for_whom() {
    let closed = |usages: &str| of(&available("NORMAL", usages)).closed;
    assert_eq!(
        of(&available("CLOSED", "")).closed.as_deref(),
        Some("operationalStatus CLOSED")
    );
    let helicopter = craft("<type>HELICOPTER</type>");
    let plane = craft("<type>LANDPLANE</type>");
    assert!(
        closed(&when("PERMIT", &helicopter)).is_some(),
        "permitted to others only"
    );
    assert!(closed(&when("FORBID", &helicopter)).is_none());
    assert!(closed(&when("FORBID", &plane)).is_some());
    let either = format!("<logicalOperator>OR</logicalOperator>{plane}{helicopter}");
    assert!(closed(&when("PERMIT", &either)).is_none());
    let none_but = |inside: &str| {
        format!(
            "<subCondition><ConditionCombination><logicalOperator>NOT</logicalOperator>{inside}</ConditionCombination></subCondition>"
        )
    };
    assert!(
        closed(&when("FORBID", &none_but(&helicopter))).is_some(),
        "all but helicopters"
    );
    assert!(closed(&when("FORBID", &none_but(&plane))).is_none());
    assert!(closed("<usage><ManoeuvringAreaUsage><type>FORBID</type></ManoeuvringAreaUsage></usage>").is_some());
    let landing = when("FORBID", &plane).replace("TAXIING", "LANDING");
    assert!(closed(&landing).is_none(), "landing is not taxiing");
}

#[test]
fn what_is_not_known_is_told_and_forbids_nothing() {
    let doubts = |usages: &str| {
        let u = of(&available("NORMAL", usages));
        assert_eq!((u.closed, u.span_m), (None, None), "{usages}");
        u.doubts
    };
    let timetable = "<timeInterval><Timesheet><day>ANY</day></Timesheet></timeInterval>";
    assert_eq!(doubts(&when("FORBID", timetable)).len(), 1);
    assert!(doubts(&when("FORBID", "<weather><Meteorology/></weather>"))[0].contains("weather"));
    let helicopters_by_night = timetable.to_string() + &craft("<type>HELICOPTER</type>");
    assert_eq!(
        doubts(&when("FORBID", &helicopters_by_night)),
        Vec::<String>::new(),
        "false whatever the time"
    );
    let weight = |t: &str, how: &str| {
        craft(&format!(
            "<weight uom=\"T\">{t}</weight><weightInterpretation>{how}</weightInterpretation>"
        ))
    };
    assert_eq!(
        doubts(&when("FORBID", &weight("20", "ABOVE"))),
        Vec::<String>::new(),
        "no light aeroplane"
    );
    assert!(doubts(&when("FORBID", &weight("0.9", "ABOVE")))[0].contains("weight 0.9"));
    assert!(doubts(&when("FORBID", &craft("<engine>JET</engine>")))[0].contains("engine JET"));
    assert!(doubts(&when("CONDITIONAL", ""))[0].contains("ask the operator"));
    assert!(of(&available("OTHER:ODD", "")).doubts[0].contains("OTHER:ODD"));
    let timed = available("CLOSED", "").replace("<timeInterval xsi:nil=\"true\"/>", timetable);
    let u = of(&timed);
    assert!(u.closed.is_some() && u.doubts[0].contains("timetable"));
}
