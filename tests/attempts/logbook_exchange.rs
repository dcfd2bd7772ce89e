//! The logbook out of the program and in again.

use crate::help::driven;
use crate::logbook::{about, everything, new_id, short, three};
use std::fs;
use toeline_training::logbook::{Added, Imported, Logbook, LogbookCause};

#[test]
fn an_export_taken_into_an_empty_logbook_exports_to_the_same_bytes() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    let (book, ids) = three(&at("a.sqlite"));
    assert_eq!(book.export_json(&at("a.json")).expect("writes"), 3);
    let mut other = Logbook::open(&at("b.sqlite")).expect("begins");
    let found = other.import_json(&at("a.json")).expect("reads");
    let all_new = Imported {
        new: 3,
        new_pupils: 2,
        ..Imported::default()
    };
    assert_eq!(found, all_new);
    other.export_json(&at("b.json")).expect("writes");
    assert_eq!(
        fs::read(at("a.json")).expect("reads"),
        fs::read(at("b.json")).expect("reads")
    );
    assert_eq!(
        other.list(&everything()).expect("lists"),
        book.list(&everything()).expect("lists")
    );
    assert_eq!(other.attempt(&ids[0]).expect("there"), driven());
    // Once more changes nothing.
    let before = fs::read(at("b.sqlite")).expect("reads");
    let again = other.import_json(&at("a.json")).expect("reads");
    assert_eq!((again.new, again.known, again.new_pupils), (0, 3, 0));
    assert_eq!(fs::read(at("b.sqlite")).expect("reads"), before);
    // The export is plain JSON that other programs read, and the attempt in it is the attempt's own format.
    let value: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(at("a.json")).expect("reads")).expect("JSON");
    assert_eq!(value["pupils"], serde_json::json!(["7, the other", "Ann"]));
    assert_eq!(value["attempts"][1]["attempt"]["toeline_attempt"], 1);
    let e = book.export_json(&at("a.json")).expect_err("there already").to_string();
    assert!(e.contains("a.json") && e.contains("another name"), "{e}");
}

#[test]
fn the_table_of_figures_comes_back_the_same_and_is_completed_by_the_drives() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    let (book, ids) = three(&at("a.sqlite"));
    book.export_csv(&at("a.csv")).expect("writes");
    let mut other = Logbook::open(&at("b.sqlite")).expect("begins");
    let found = other.import_csv(&at("a.csv")).expect("reads");
    assert_eq!((found.new, found.new_pupils), (3, 2));
    other.export_csv(&at("b.csv")).expect("writes");
    assert_eq!(
        fs::read(at("a.csv")).expect("reads"),
        fs::read(at("b.csv")).expect("reads")
    );
    assert_eq!(
        other.list(&everything()).expect("lists"),
        book.list(&everything()).expect("lists")
    );
    assert_eq!(
        other.entry(&ids[0]).expect("there"),
        book.entry(&ids[0]).expect("there")
    );
    let e = other.attempt(&ids[0]).expect_err("figures only").to_string();
    assert!(e.contains(&ids[0]) && e.contains("table of figures"), "{e}");
    assert_eq!(other.check().expect("looks").figures_only, 3);
    // An export says what is not there, and is taken in again.
    other.export_json(&at("b.json")).expect("writes");
    let mut third = Logbook::open(&at("c.sqlite")).expect("begins");
    assert_eq!(third.import_json(&at("b.json")).expect("reads").new, 3);
    // The drives come later: the entries stay as they are and are whole.
    book.export_json(&at("a.json")).expect("writes");
    assert_eq!(other.import_json(&at("a.json")).expect("reads").completed, 3);
    assert_eq!(other.attempt(&ids[0]).expect("whole"), driven());
    let completed = Added::Completed {
        id: ids[0].clone(),
        pupil: "Ann".to_string(),
    };
    assert_eq!(
        third.add(&driven(), &about("Bo", "2027-01-01")).expect("adds"),
        completed
    );
}

#[test]
fn an_import_that_is_not_in_order_says_where_and_brings_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    let (book, ids) = three(&at("a.sqlite"));
    book.export_json(&at("a.json")).expect("writes");
    book.export_csv(&at("a.csv")).expect("writes");
    let json = fs::read_to_string(at("a.json")).expect("reads");
    let table = fs::read_to_string(at("a.csv")).expect("reads");
    let mut other = Logbook::open(&at("b.sqlite")).expect("begins");
    let before = fs::read(at("b.sqlite")).expect("reads");
    let cut = json.rfind("\"track\"").expect("a track");
    let cases: Vec<(String, Vec<&str>)> = vec![
        (String::new(), vec!["EOF"]),
        ("[]".into(), vec!["an export of a logbook"]),
        ("{\"pupils\":[]}".into(), vec!["does not begin with toeline_logbook"]),
        ("{\"toeline_logbook\":9}".into(), vec!["format 9", "format 1"]),
        ("{\"toeline_logbook\":1,\"pupils\":[]}".into(), vec!["both"]),
        (json[..cut].to_string(), vec!["EOF"]),
        (json.clone() + "x", vec!["trailing"]),
        // The last attempt of the list, changed after it was written.
        (
            json.replacen("\"n\":1", "\"n\":5", 1),
            vec!["attempt 3 of the list", &ids[1], "it was changed"],
        ),
        (
            json.replacen("\"physics_version\":", "\"physics_version\":1", 1),
            vec!["attempt 1 of the list", "the attempt itself says"],
        ),
        (
            json.replacen(&ids[2], "xyz", 1),
            vec!["attempt 1 of the list", "32 hexadecimal digits"],
        ),
        (json.replacen("2026-07-04T10:00:00Z", "noon", 1), vec!["\"noon\""]),
        (json.replacen("\"ours\"", "\"mine\"", 1), vec!["mine"]),
        (
            json.replacen("\"top_speed_mps\"", "\"driven_m\"", 1),
            vec!["attempt 1", "given twice"],
        ),
    ];
    for (text, says) in cases {
        fs::write(at("bad.json"), &text).expect("writes");
        let e = other.import_json(&at("bad.json")).expect_err("refused").to_string();
        for part in says.iter().chain(&["bad.json", "nothing was imported"]) {
            assert!(e.contains(part), "{part}: {e}");
        }
        assert_eq!(fs::read(at("b.sqlite")).expect("reads"), before, "{e}");
    }
    let second = table.lines().nth(1).expect("a line").to_string();
    let cases = vec![
        (String::new(), vec!["row 1", "attempt,when,pupil"]),
        (
            table.replacen("driven_m,", "driven_m,x", 1),
            vec!["row ", "value \"x", "not a number"],
        ),
        (
            table.replacen(",ours,", ",mine,", 1),
            vec!["row ", "\"mine\"", "common practice"],
        ),
        (
            table.clone() + &second.replacen("Ann", "Bo", 1),
            vec!["differs from row 2"],
        ),
        (table.clone() + &second, vec!["row 2", "given twice"]),
        (table.clone() + "a,b\r\n", vec!["the table"]),
    ];
    for (text, says) in cases {
        fs::write(at("bad.csv"), &text).expect("writes");
        let e = other.import_csv(&at("bad.csv")).expect_err("refused").to_string();
        for part in says.iter().chain(&["bad.csv", "nothing was imported"]) {
            assert!(e.contains(part), "{part}: {e}");
        }
        assert_eq!(fs::read(at("b.sqlite")).expect("reads"), before, "{e}");
    }
    assert!(
        other
            .import_json(&at("none.json"))
            .expect_err("missing")
            .to_string()
            .contains("none.json")
    );
}

#[test]
fn a_drive_that_was_changed_in_the_file_is_found_by_name() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.sqlite");
    let (mut book, _) = three(&path);
    let (one, two) = (
        new_id(book.add(&short(5), &about("Ann", "2026-07-05")).expect("adds")),
        new_id(book.add(&short(6), &about("Ann", "2026-07-06")).expect("adds")),
    );
    // A whole drive in the place of another, and one with a changed byte: the database itself sees nothing wrong.
    let base = rusqlite::Connection::open(&path).expect("opens");
    let of = |id: &str| format!("(SELECT attempt FROM attempts WHERE id = '{id}')");
    base.execute_batch(&format!(
        "UPDATE drives SET (bytes, packed) = (SELECT bytes, packed FROM drives WHERE attempt = {}) WHERE attempt = {};
         UPDATE drives SET packed = CAST(substr(packed, 1, 90) || x'ff' || substr(packed, 92) AS BLOB) WHERE attempt = {};",
        of(&one),
        of(&two),
        of(&one)
    ))
    .expect("changes");
    drop(base);
    let found = book.check().expect("looks");
    assert_eq!((found.attempts, found.whole), (5, 3));
    assert_eq!(found.problems.len(), 2, "{:?}", found.problems);
    let swapped = found.problems.iter().find(|p| p.contains(&two)).expect("named");
    assert!(swapped.contains(&one) && swapped.contains("damaged"), "{swapped}");
    assert!(matches!(
        book.attempt(&one).expect_err("damaged").cause,
        LogbookCause::Damaged(..)
    ));
    assert!(book.export_json(&folder.path().join("x.json")).is_err());
    assert!(!folder.path().join("x.json").exists());
}
