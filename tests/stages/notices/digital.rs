//! Digital NOTAM events: period, hours, conditions, placing by identity and by the names of the event. On invented messages; the
//! standard's own examples are in `tests/external/notices_published.rs`.

use serde_json::json;
use toeline_engine::notices::{self, Force, Notam, Status, Told, Truth};
use toeline_engine::read;
use toeline_model::Airfield;
use toeline_model::aircraft::catalog;
use toeline_model::airfield::Closed;
use toeline_model::date::{Date, Moment};
use toeline_tests::event_message::EventMessage;
use toeline_tests::sketch::Sketch;

const TAXIWAY: &str = "aaaaaaaa-0000-4000-8000-00000000000b";
const ELEMENT: &str = "aaaaaaaa-0000-4000-8000-0000000000e1";
const STAND: &str = "aaaaaaaa-0000-4000-8000-000000000051";

/// Taxiways B and C cross; B has one piece of pavement, over its western half.
fn field(identities: bool) -> Airfield {
    let ids = |list: &str| if identities { json!(list) } else { json!(null) };
    let text = Sketch::default()
        .line(
            "b",
            &[[-100.0, 0.0], [100.0, 0.0]],
            json!({ "aeroway": "taxiway", "ref": "B", "toeline:identities": ids(TAXIWAY) }),
        )
        .taxiway("c", "C", &[[50.0, -100.0], [50.0, 100.0]])
        .taxiway("d", "D", &[[-50.0, -100.0], [-50.0, 100.0]])
        .area(
            "b-west",
            &[&[[-100.0, -6.0], [0.0, -6.0], [0.0, 6.0], [-100.0, 6.0]]],
            json!({ "aeroway": "taxiway", "area": "yes", "toeline:identities": ids(ELEMENT) }),
        )
        .line(
            "s1",
            &[[-100.0, 20.0], [-100.0, 5.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "toeline:identities": ids(STAND) }),
        )
        .text();
    let field = read::read(&text).unwrap().field;
    assert_eq!(field.identities.len(), if identities { 3 } else { 0 });
    field
}

fn closed() -> String {
    EventMessage::availability("CLOSED", "")
}

fn event() -> EventMessage {
    EventMessage::default().event(
        "ZZHD B",
        "TWY B closed.",
        "2026-07-04T08:00:00Z",
        "2026-07-04T12:00:00Z",
        "",
    )
}

fn read_one(message: &EventMessage) -> Notam {
    let list = notices::read(&message.text(), "event.xml").unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(list.len(), 1, "{list:?}");
    list.into_iter().next().unwrap()
}

fn laid_on(field: &Airfield, notams: &[Notam], time: &str) -> (Told, Airfield) {
    let m = Moment::parse(time).unwrap();
    let laid = notices::lay(field, notams, m.date, Some(m.time));
    let own = catalog::find("trainer-high-2").unwrap();
    (laid.told(Some(&own)).remove(0), laid.on(field.clone(), &own))
}

fn b_closed(on: &Airfield) -> bool {
    on.closures.iter().any(|c| c.id == "b" && c.closed == Closed::Itself)
}

fn laid(message: &EventMessage) -> (Told, Airfield) {
    laid_on(&field(true), &[read_one(message)], "2026-07-04T10:00Z")
}

#[test]
fn a_closed_taxiway_is_placed_by_its_identity() {
    let n = read_one(&event().change("Taxiway", TAXIWAY, &closed()));
    assert_eq!((n.number.as_str(), n.text.as_str()), ("A0012/26", "TWY B closed."));
    assert_eq!(n.from.unwrap().to_string(), "2026-07-04T08:00Z");
    let (told, on) = laid(&event().change("Taxiway", TAXIWAY, &closed()));
    assert_eq!(
        (told.status, told.on.as_slice()),
        (Status::Placed, &["taxiway B".to_string()][..])
    );
    assert_eq!(
        on.closures[0].words(),
        "NOTAM A0012/26: TWY B closed., 2026-07-04T08:00Z to 2026-07-04T12:00Z"
    );
    assert_eq!((on.closures.len(), on.unplaced.len()), (1, 0));
    // The lines are joined before the lane bears it.
    assert!(on.lanes[0].closed.is_none());
}

#[test]
fn a_piece_of_pavement_closes_what_leads_over_it_and_not_what_touches_it() {
    let (told, on) = laid(&event().change("TaxiwayElement", ELEMENT, &closed()));
    assert_eq!(told.status, Status::Placed);
    let Closed::Pavement(ring) = &on.closures[0].closed else {
        panic!("{:?}", on.closures)
    };
    // Long edges are bent as they are straight in longitude and latitude.
    assert!(ring.len() >= 4);
    // C lies east of it, B half on it, D across it; none is closed whole.
    assert!(on.lanes.iter().all(|l| l.closed.is_none()));
    let graph = toeline_engine::graph::build(&on).0;
    let own = catalog::find("trainer-high-2").unwrap();
    let mut shut: Vec<(String, f64)> = graph
        .graph
        .edge_indices()
        .filter(|e| toeline_engine::route::blocked(&on, &graph, &own, *e).is_some_and(|w| w.contains("A0012/26")))
        .map(|e| (graph.segment(e).letters.concat(), graph.segment(e).length_m.round()))
        .collect();
    shut.sort_by(|a, b| a.partial_cmp(b).unwrap());
    // The stand's own line, which comes out over it; B from its end to D and from D to C (it begins on the closed piece); both halves of D.
    assert_eq!(
        shut,
        [
            (String::new(), 20.0),
            ("B".to_string(), 50.0),
            ("B".to_string(), 100.0),
            ("D".to_string(), 100.0),
            ("D".to_string(), 100.0)
        ]
    );
}

#[test]
fn over_a_map_without_identities_the_names_of_the_event_count() {
    let plain = field(false);
    let place = |m: &EventMessage| laid_on(&plain, &[read_one(m)], "2026-07-04T10:00Z").0;
    let told = place(
        &event()
            .change("Taxiway", TAXIWAY, &closed())
            .change("TaxiwayElement", ELEMENT, &closed()),
    );
    assert_eq!(
        (told.status, told.on.as_slice()),
        (Status::Placed, &["taxiway B".to_string()][..])
    );
    assert_eq!(
        told.why,
        ["1 piece of its pavement that the map does not tell apart: taken as part of what is closed whole"]
    );
    // Two names for two things, whose terms are the same.
    let two = EventMessage::default().event("ZZHD B C", "t", "2026-07-04T08:00:00Z", "2026-07-04T12:00:00Z", "");
    let told = place(
        &two.change("Taxiway", TAXIWAY, &closed())
            .change("Taxiway", ELEMENT, &closed()),
    );
    assert_eq!((told.status, told.on.len()), (Status::Placed, 2));
    // Two names for one thing say nothing; nor does a piece of pavement without its taxiway.
    let two = EventMessage::default().event("ZZHD B C", "t", "2026-07-04T08:00:00Z", "2026-07-04T12:00:00Z", "");
    assert_eq!(
        place(&two.change("Taxiway", TAXIWAY, &closed())).status,
        Status::NotPlaced
    );
    let told = place(&event().change("TaxiwayElement", ELEMENT, &closed()));
    assert_eq!(told.status, Status::NotPlaced);
    assert!(told.why[0].contains(ELEMENT), "{:?}", told.why);
}

#[test]
fn the_usual_state_is_the_maps_to_say() {
    let usual = EventMessage::availability("NORMAL", "");
    let (told, on) = laid(&event().change("Taxiway", TAXIWAY, &usual));
    assert_eq!((told.status, on.closures.len()), (Status::Placed, 0));
    assert_eq!(told.why, ["everything that it changes is open as usual"]);
    let (told, on) = laid(&event().change("Taxiway", TAXIWAY, &(usual + &closed())));
    assert_eq!((told.status, on.closures.len()), (Status::Placed, 1));
}

#[test]
fn corrections_withdrawals_and_cancellations() {
    let time = ("2026-07-04T08:00:00Z", "2026-07-04T12:00:00Z");
    let open = EventMessage::availability("NORMAL", "");
    // The correction counts, whatever the order.
    let m = event()
        .slice("Taxiway", TAXIWAY, time, (1, 1), &open)
        .slice("Taxiway", TAXIWAY, time, (1, 0), &closed());
    // Two features of one identity in one message are two: both count.
    assert_eq!(read_one(&m).effects.len(), 1);
    let gone = event().slice("Taxiway", TAXIWAY, ("", ""), (1, 1), &closed());
    let (told, on) = laid(&gone);
    assert_eq!((told.force, on.closures.len()), (Force::Cancelled(None), 0));
    let c = EventMessage::default().event(
        "ZZHD B",
        "TWY B open.",
        "2026-07-04T08:00:00Z",
        "",
        "<event:type>C</event:type><event:referredSeries>A</event:referredSeries><event:referredNumber>11</event:referredNumber>\
         <event:referredYear>2026</event:referredYear>",
    );
    let n = read_one(&c);
    assert!(!n.cancelled && n.effects.is_empty());
    assert_eq!(
        n.ends.as_ref().map(|e| (e.number.as_str(), e.replaced)),
        Some(("A0011/26", false))
    );
    let (told, on) = laid_on(&field(true), &[n], "2026-07-04T10:00Z");
    assert_eq!(
        (told.status, told.force, on.unplaced.len()),
        (Status::Placed, Force::Ends, 0)
    );
}

fn sheet(inside: &str) -> String {
    format!(
        "<aixm:timeInterval><aixm:Timesheet><aixm:timeReference>UTC</aixm:timeReference>{inside}</aixm:Timesheet></aixm:timeInterval>"
    )
}

#[test]
fn hours_that_cannot_be_known_close_and_are_said() {
    let whole = ("2026-07-01T00:00:00Z", "2026-07-31T00:00:00Z");
    let hours = |inside: &str| {
        let m = EventMessage::default().event("ZZHD B", "t", whole.0, whole.1, "");
        let m = m.slice(
            "Taxiway",
            TAXIWAY,
            whole,
            (1, 0),
            &EventMessage::availability("CLOSED", &sheet(inside)),
        );
        let (told, on) = laid_on(&field(true), &[read_one(&m)], "2026-07-04T10:00Z");
        (b_closed(&on), told.why)
    };
    let times = |a: &str, b: &str| format!("<aixm:startTime>{a}</aixm:startTime><aixm:endTime>{b}</aixm:endTime>");
    // 2026-07-04 was a Saturday.
    for (inside, closed, said) in [
        (format!("<aixm:day>SAT</aixm:day>{}", times("10:00", "11:00")), true, ""),
        (
            format!("<aixm:day>SAT</aixm:day>{}", times("10:01", "11:00")),
            false,
            "",
        ),
        (
            format!("<aixm:day>SUN</aixm:day>{}", times("10:00", "11:00")),
            false,
            "",
        ),
        (format!("<aixm:day>ANY</aixm:day>{}", times("22:00", "10:01")), true, ""),
        (
            format!("<aixm:day>ANY</aixm:day>{}", times("22:00", "10:00")),
            false,
            "",
        ),
        (
            format!(
                "<aixm:day>THU</aixm:day><aixm:dayTil>SAT</aixm:dayTil>{}",
                times("22:00", "10:01")
            ),
            true,
            "",
        ),
        (
            format!("<aixm:day>WORK_DAY</aixm:day>{}", times("01:00", "02:00")),
            true,
            "which days are WORK_DAY is not known here",
        ),
        (
            "<aixm:day>ANY</aixm:day><aixm:startTime>20:00</aixm:startTime><aixm:endEvent>SR</aixm:endEvent>"
                .to_string(),
            true,
            "the hour of SR is not worked out here",
        ),
        (
            format!("<aixm:day>ANY</aixm:day>{}", times("25:00", "26:00")),
            true,
            "cannot be read",
        ),
        (
            format!(
                "<aixm:startDate>01-08</aixm:startDate><aixm:endDate>31-08</aixm:endDate><aixm:day>ANY</aixm:day>{}",
                times("00:00", "24:00")
            ),
            false,
            "",
        ),
        (
            format!(
                "<aixm:startDate>SDLST</aixm:startDate><aixm:endDate>EDLST</aixm:endDate><aixm:day>ANY</aixm:day>{}",
                times("00:00", "01:00")
            ),
            true,
            "its dates",
        ),
        (
            format!(
                "<aixm:day>ANY</aixm:day>{}<aixm:daylightSavingAdjust>YES</aixm:daylightSavingAdjust>",
                times("10:30", "11:00")
            ),
            true,
            "change with the clocks",
        ),
        (
            format!(
                "<aixm:day>ANY</aixm:day>{}<aixm:daylightSavingAdjust>YES</aixm:daylightSavingAdjust>",
                times("11:01", "12:00")
            ),
            false,
            "change with the clocks",
        ),
    ] {
        let (was, why) = hours(&inside);
        assert_eq!(was, closed, "{inside}: {why:?}");
        assert!(
            said.is_empty() || why.iter().any(|w| w.contains(said)),
            "{inside}: {why:?}"
        );
        assert_eq!(said.is_empty(), why.is_empty(), "{inside}: {why:?}");
    }
    // What is excepted and cannot be known is not excepted.
    let all = format!("<aixm:day>ANY</aixm:day>{}", times("00:00", "24:00"));
    for (day, closed) in [("SAT", false), ("SUN", true), ("HOL", true)] {
        let but = format!(
            "<aixm:day>{day}</aixm:day>{}<aixm:excluded>YES</aixm:excluded>",
            times("00:00", "24:00")
        );
        let m = EventMessage::default().event("ZZHD B", "t", whole.0, whole.1, "");
        let two = sheet(&all) + &sheet(&but);
        let m = m.slice(
            "Taxiway",
            TAXIWAY,
            whole,
            (1, 0),
            &EventMessage::availability("CLOSED", &two),
        );
        let (_, on) = laid_on(&field(true), &[read_one(&m)], "2026-07-04T10:00Z");
        assert_eq!(b_closed(&on), closed, "{day}");
    }
}

fn span(m: f64, how: &str) -> String {
    EventMessage::aircraft(&format!(
        "<aixm:wingSpan uom=\"M\">{m}</aixm:wingSpan><aixm:wingSpanInterpretation>{how}</aixm:wingSpanInterpretation>"
    ))
}

fn sort(name: &str) -> String {
    EventMessage::aircraft(&format!("<aixm:type>{name}</aixm:type>"))
}

#[test]
fn usages_and_conditions_are_held_against_the_aeroplane() {
    let own = catalog::find("trainer-high-2").unwrap();
    let wing = own.wing.span_m;
    let c = EventMessage::condition;
    let flight = "<aixm:flight><aixm:FlightCharacteristic><aixm:status>EMERGENCY</aixm:status></aixm:FlightCharacteristic></aixm:flight>";
    let sub = |inside: &str| format!("<aixm:subCondition>{inside}</aixm:subCondition>");
    use Truth::{No, Unknown, Yes};
    for (usages, truth) in [
        (vec![("FORBID", c("NONE", &span(wing, "ABOVE")))], Yes),
        (vec![("FORBID", c("NONE", &span(wing, "AT_OR_ABOVE")))], No),
        (vec![("FORBID", c("NONE", &span(wing, "AT")))], No),
        (vec![("FORBID", c("NONE", &span(wing, "BELOW")))], Yes),
        (vec![("FORBID", c("NONE", &span(wing, "OTHER")))], Unknown),
        (vec![("PERMIT", c("NONE", &span(wing, "AT_OR_BELOW")))], Yes),
        (vec![("RESERV", c("NONE", &sort("HELICOPTER")))], No),
        (vec![("RESERV", c("NONE", flight))], Unknown),
        (
            vec![("RESERV", c("NONE", flight)), ("RESERV", c("NONE", &sort("LANDPLANE")))],
            Yes,
        ),
        (
            vec![("FORBID", c("OR", &(sort("HELICOPTER") + &sort("LANDPLANE"))))],
            No,
        ),
        (
            vec![("FORBID", c("AND", &(sort("HELICOPTER") + &sort("LANDPLANE"))))],
            Yes,
        ),
        (vec![("FORBID", c("AND", &(sort("LANDPLANE") + flight)))], Unknown),
        (vec![("FORBID", c("AND", &(sort("HELICOPTER") + flight)))], Yes),
        (vec![("FORBID", c("NOT", &sort("HELICOPTER")))], No),
        (
            vec![(
                "FORBID",
                c(
                    "OR",
                    &(sub(&c("NOT", &sort("HELICOPTER"))) + &sub(&c("NOT", &sort("LANDPLANE")))),
                ),
            )],
            No,
        ),
        (
            vec![(
                "FORBID",
                c(
                    "AND",
                    &(sub(&c("NOT", &sort("HELICOPTER"))) + &sub(&c("NOT", &sort("LANDPLANE")))),
                ),
            )],
            Yes,
        ),
        (
            vec![("FORBID", c("NONE", &(sort("HELICOPTER") + &sort("GLIDER"))))],
            Unknown,
        ),
        (
            vec![("FORBID", c("NOT", &(sort("HELICOPTER") + &sort("GLIDER"))))],
            Unknown,
        ),
        (vec![("FORBID", c("NONE", ""))], Unknown),
        (vec![("RESERV", String::new())], Unknown),
        (
            vec![
                ("PERMIT", c("NONE", &sort("LANDPLANE"))),
                ("FORBID", c("NONE", &span(wing - 1.0, "ABOVE"))),
            ],
            No,
        ),
        (
            vec![(
                "FORBID",
                c(
                    "NONE",
                    &EventMessage::aircraft("<aixm:classWingSpan>I</aixm:classWingSpan>"),
                ),
            )],
            No,
        ),
        (
            vec![(
                "FORBID",
                c(
                    "NONE",
                    &EventMessage::aircraft("<aixm:classWingSpan>VI</aixm:classWingSpan>"),
                ),
            )],
            Yes,
        ),
        (
            vec![(
                "FORBID",
                c(
                    "NONE",
                    &EventMessage::aircraft(
                        "<aixm:weight uom=\"LB\">12500</aixm:weight><aixm:weightInterpretation>ABOVE</aixm:weightInterpretation>",
                    ),
                ),
            )],
            Yes,
        ),
        (
            vec![(
                "FORBID",
                c(
                    "NONE",
                    &EventMessage::aircraft(
                        "<aixm:weight uom=\"STONE\">9</aixm:weight><aixm:weightInterpretation>ABOVE</aixm:weightInterpretation>",
                    ),
                ),
            )],
            Unknown,
        ),
        (
            vec![(
                "FORBID",
                c(
                    "NONE",
                    &EventMessage::aircraft("<aixm:wakeTurbulence>LOW</aixm:wakeTurbulence>"),
                ),
            )],
            No,
        ),
        (
            vec![(
                "FORBID",
                c(
                    "NONE",
                    &EventMessage::aircraft(
                        "<aixm:numberEngine>1</aixm:numberEngine><aixm:engine>PISTON</aixm:engine>",
                    ),
                ),
            )],
            No,
        ),
        (
            vec![(
                "FORBID",
                c(
                    "NONE",
                    &EventMessage::aircraft("<aixm:aircraftLandingCategory>A</aixm:aircraftLandingCategory>"),
                ),
            )],
            Unknown,
        ),
    ] {
        let list: Vec<(&str, &str)> = usages.iter().map(|(a, b)| (*a, b.as_str())).collect();
        let m = event().change("Taxiway", TAXIWAY, &EventMessage::limited(&list));
        let n = read_one(&m);
        let open_to = n.effects[0].open_to.as_ref().expect("a condition");
        assert_eq!(open_to.of(&own), truth, "{usages:?}: {}", open_to.words());
        let (told, on) = laid(&m);
        assert_eq!(told.status, Status::Placed);
        assert_eq!(b_closed(&on), truth != Yes, "{usages:?}");
        if truth == Unknown {
            assert!(
                told.why.iter().any(|w| w.contains("is not known, so taken as closed")),
                "{:?}",
                told.why
            );
        }
    }
}

#[test]
fn what_is_not_read_is_said_and_never_passed_over() {
    let part = "<aixm:annotation><aixm:Note><aixm:purpose>DESCRIPTION</aixm:purpose><aixm:translatedNote><aixm:LinguisticNote>\
                <aixm:note>between the hangars and the ditch</aixm:note></aixm:LinguisticNote></aixm:translatedNote></aixm:Note></aixm:annotation>";
    for (message, status, said) in [
        (
            event().change("Taxiway", TAXIWAY, &EventMessage::availability("CLOSED", part)),
            Status::NotPlaced,
            "stands only in words: \"between the hangars and the ditch\"",
        ),
        (
            event().change("Taxiway", TAXIWAY, ""),
            Status::NotPlaced,
            "it says nothing of whether that is open",
        ),
        (
            event().change("WorkArea", TAXIWAY, &closed()),
            Status::NotPlaced,
            "changes a WorkArea",
        ),
        (
            event().change("Taxiway", TAXIWAY, &(closed() + "<aixm:width uom=\"M\">7</aixm:width>")),
            Status::PlacedInPart,
            "it changes width too, which is not read",
        ),
        (event(), Status::NotPlaced, "nothing that can be laid on a map"),
        (
            event().change("Navaid", TAXIWAY, ""),
            Status::Placed,
            "about a Navaid, which nobody taxies on",
        ),
        (
            event()
                .change("Taxiway", "bbbbbbbb-0000-4000-8000-000000000000", &closed())
                .change("AircraftStand", STAND, &closed()),
            Status::PlacedInPart,
            "the map has nothing of the identity",
        ),
    ] {
        let (told, on) = laid(&message);
        assert_eq!(told.status, status, "{told:?}");
        assert!(
            told.why.iter().any(|w| w.contains(said)),
            "no \"{said}\" in {:?}",
            told.why
        );
        assert_eq!(on.unplaced.is_empty(), status == Status::Placed, "{told:?}");
    }
    // A status beyond those of the standard closes.
    let (told, on) = laid(&event().change("Taxiway", TAXIWAY, &EventMessage::availability("OTHER", "")));
    assert!(b_closed(&on) && told.status == Status::Placed);
}

#[test]
fn another_aerodrome_is_told_by_its_identity_first() {
    let n = read_one(&event().change("Taxiway", TAXIWAY, &closed()));
    let mut elsewhere = field(false);
    elsewhere.codes = vec!["ZZAB".to_string()];
    assert_eq!(
        laid_on(&elsewhere, std::slice::from_ref(&n), "2026-07-04T10:00Z")
            .0
            .status,
        Status::OtherAerodrome
    );
    // What it names is on this map, whatever the codes say.
    let mut here = field(true);
    here.codes = vec!["ZZAB".to_string()];
    assert_eq!(laid_on(&here, &[n], "2026-07-04T10:00Z").0.status, Status::Placed);
}

#[test]
fn the_whole_day_counts_without_a_time() {
    let n = [read_one(&event().change("Taxiway", TAXIWAY, &closed()))];
    for (day, force) in [
        ("2026-07-04", Some(Force::PartOfDay)),
        ("2026-07-05", Some(Force::Over)),
        ("2026-07-03", None),
    ] {
        let told = notices::lay(&field(true), &n, Date::parse(day).unwrap(), None)
            .told(None)
            .remove(0);
        match force {
            Some(f) => assert_eq!(told.force, f, "{day}"),
            None => assert!(matches!(told.force, Force::NotNow(_)), "{:?}", told.force),
        }
    }
}
