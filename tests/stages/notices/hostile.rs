//! Files of notices that are broken, too large or made to harm: a clear error, or "not placed", and never a panic.

use serde_json::json;
use toeline_engine::notices::{self, MOST_NOTICES, NoticesError, TEXT_LIMIT_BYTES};
use toeline_tests::event_message::EventMessage;

fn refused(text: &str) -> String {
    let told = notices::read(text, "n").unwrap_err().to_string();
    assert!(told.chars().all(|c| !c.is_control() || c == '\n'), "{told:?}");
    assert!(told.len() < 6000, "{} bytes", told.len());
    told
}

#[test]
fn what_is_no_file_of_notices_is_told_as_such() {
    for text in ["", "  \n", "TWY B CLSD", "[1, 2]", "\u{0}", "%PDF-1.7"] {
        assert!(
            refused(text).contains("neither JSON that begins with { nor XML"),
            "{text:?}"
        );
    }
    assert!(refused("{\"toeline_notices\": 1,").contains("line 1"));
    assert!(refused("{\"type\": \"FeatureCollection\"}").contains("unknown field `type`"));
    assert!(
        refused("{\"toeline_notices\": 1, \"notices\": [{\"number\": \"A\u{1b}[31m\", \"x\": 1}]}").contains("control")
    );
    let deep = "{\"toeline_notices\": ".to_string() + &"[".repeat(100_000);
    refused(&deep);
    // NaN is none of JSON's numbers; a figure beyond all reason is told.
    let area = "{\"toeline_notices\": 1, \"notices\": [{\"number\": \"A1\", \"closes\": [{\"area\": [[1e999, 0], [1, 1], [2, 2]]}]}]}";
    refused(area);
    let huge = area.replace("1e999", "1e300");
    assert!(refused(&huge).contains("is no place"), "{}", refused(&huge));
}

#[test]
fn too_much_is_told_with_the_limit() {
    let long = " ".repeat(TEXT_LIMIT_BYTES + 1);
    assert!(refused(&long).contains("the limit is 16777216 bytes (16 MiB)"));
    let many: Vec<_> = (0..MOST_NOTICES + 1)
        .map(|i| json!({ "number": format!("A{i}/26") }))
        .collect();
    let told = refused(&json!({ "toeline_notices": 1, "notices": many }).to_string());
    assert!(told.contains("5001 notices; at most 5000"), "{told}");
    let things: Vec<_> = (0..501).map(|i| json!({ "stand": format!("{i}") })).collect();
    let told = refused(&json!({ "toeline_notices": 1, "notices": [{ "number": "A1", "closes": things }] }).to_string());
    assert!(told.contains("closes 501 things; at most 500"), "{told}");
    let ring: Vec<_> = (0..2001).map(|i| json!([f64::from(i) / 1e4, 0])).collect();
    let one = json!({ "toeline_notices": 1, "notices": [{ "number": "A1", "closes": [{ "area": ring }] }] });
    assert!(refused(&one.to_string()).contains("2001 places; at most 2000"));
    // A thousand wrong notices: the first twenty are told, the rest counted.
    let wrong: Vec<_> = (0..1000).map(|_| json!({ "number": "" })).collect();
    let told = refused(&json!({ "toeline_notices": 1, "notices": wrong }).to_string());
    assert!(
        told.starts_with("1000 things wrong") && told.ends_with("and 980 more"),
        "{told}"
    );
}

#[test]
fn texts_are_made_safe_and_cut() {
    let text = format!("TWY\u{1b}[2J B \u{202e}CLSD{}", " AND".repeat(10_000));
    let file = json!({ "toeline_notices": 1, "notices": [{ "number": "A\u{7}1", "text": text }] });
    let n = &notices::read(&file.to_string(), "f\u{1b}").unwrap()[0];
    assert!(
        n.text.starts_with("TWY [2J B CLSD AND") && n.text.chars().count() == 1500,
        "{}",
        n.text.len()
    );
    assert_eq!((n.number.as_str(), n.file.as_str()), ("A 1", "f"));
}

#[test]
fn broken_xml_and_bombs_are_errors_with_their_line() {
    let whole = EventMessage::default()
        .event("B", "t", "2026-07-04T08:00:00Z", "", "")
        .text();
    for end in [20, whole.len() / 2, whole.len() - 4] {
        let mut end = end;
        while !whole.is_char_boundary(end) {
            end -= 1;
        }
        assert!(refused(&whole[..end]).contains("line "), "{end}");
    }
    let bomb = whole.replacen(
        "<message:AIXMBasicMessage",
        "<!DOCTYPE b [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\">]>\n<message:AIXMBasicMessage",
        1,
    );
    let bomb = bomb.replace("<event:text>t</event:text>", "<event:text>&b;</event:text>");
    assert!(refused(&bomb).contains("none is expanded"), "{}", refused(&bomb));
    let deep = whole.replace("<event:text>t", &("<event:x>".repeat(200) + "<event:text>t"));
    assert!(refused(&deep).contains("nested more than 64 deep"));
    for other in ["<osm version=\"0.6\"/>", "<html/>", "<a><b></a>"] {
        refused(other);
    }
    // Data of an aerodrome is no notice.
    let data = whole
        .replace("event:Event>", "aixm:Other>")
        .replace("event:Event ", "aixm:Other ");
    assert!(refused(&data).contains("data of an aerodrome"), "{}", refused(&data));
    let error = notices::read(&whole[..50], "n").unwrap_err();
    assert!(matches!(error, NoticesError::Xml { .. }));
}

#[test]
fn absurd_dates_of_a_sound_message_are_said_and_not_believed() {
    for (from, until, said) in [
        ("2026-07-04T08:00:00Z", "2026-07-04T07:00:00Z", "is not after its begin"),
        (
            "2026-07-04T08:00:00Z",
            "99999-12-31T23:59:59Z",
            "is not a moment in UTC of the years 1900 to 2100",
        ),
        ("yesterday", "2026-07-04T12:00:00Z", "\"yesterday\" is not a moment"),
        ("2026-02-30T08:00:00Z", "", "\"2026-02-30T08:00:00Z\" is not a moment"),
    ] {
        let m = EventMessage::default().event("B", "t", from, until, "");
        let n = &notices::read(&m.text(), "n").unwrap()[0];
        assert!(
            n.unread.iter().any(|u| u.contains(said)),
            "no \"{said}\" in {:?}",
            n.unread
        );
    }
    // The year 9999 says "for good".
    let m = EventMessage::default().event("B", "t", "2026-07-04T08:00:00Z", "9999-12-31T23:59:59Z", "");
    let n = &notices::read(&m.text(), "n").unwrap()[0];
    assert!(n.until.is_none() && n.unread.is_empty(), "{:?}", n.unread);
}

#[test]
fn deep_conditions_are_unknown_and_not_a_full_stack() {
    let mut c = EventMessage::condition("NONE", &EventMessage::aircraft("<aixm:type>HELICOPTER</aixm:type>"));
    for _ in 0..20 {
        c = EventMessage::condition("NOT", &format!("<aixm:subCondition>{c}</aixm:subCondition>"));
    }
    let m = EventMessage::default()
        .event("B", "t", "2026-07-04T08:00:00Z", "", "")
        .change(
            "Taxiway",
            "aaaaaaaa-0000-4000-8000-00000000000b",
            &EventMessage::limited(&[("FORBID", &c)]),
        );
    let n = &notices::read(&m.text(), "n").unwrap()[0];
    let open_to = n.effects[0].open_to.as_ref().unwrap();
    assert!(
        open_to.words().contains("nested more than 16 deep"),
        "{}",
        open_to.words()
    );
}

#[test]
fn the_kept_corpus_of_the_fuzzer_keeps_every_promise() {
    let folder = toeline_tests::root().join("tests/fuzz/corpus/notice");
    let (mut files, mut read) = (0, 0);
    for entry in std::fs::read_dir(folder).unwrap() {
        let bytes = std::fs::read(entry.unwrap().path()).unwrap();
        files += 1;
        read += usize::from(toeline_tests::fuzzed::check_notams(&bytes));
    }
    assert!(
        files >= 4 && read >= 4,
        "only {read} of {files} are notices: the corpus tests little"
    );
}
