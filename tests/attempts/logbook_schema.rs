//! Versions of the logbook's tables.

use crate::logbook::{about, everything, short};
use toeline_training::logbook::{APPLICATION_ID, Logbook, LogbookCause, NEWEST, Reference, Wanted};

/// The tables of version 1, as they went out. Written by hand here, so that the program's own text cannot change unseen.
const VERSION_1: &str = "
PRAGMA application_id = 1953457516;
CREATE TABLE pupils (pupil INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE) STRICT;
CREATE TABLE attempts (
    attempt INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE,
    pupil INTEGER NOT NULL REFERENCES pupils ON DELETE CASCADE,
    when_unix_s INTEGER NOT NULL, field TEXT, aircraft TEXT NOT NULL, exercise TEXT, plan TEXT,
    physics_version INTEGER NOT NULL, duration_s REAL NOT NULL) STRICT;
CREATE INDEX attempts_of_pupil ON attempts (pupil, when_unix_s);
CREATE TABLE drives (attempt INTEGER PRIMARY KEY REFERENCES attempts ON DELETE CASCADE,
    bytes INTEGER NOT NULL, packed BLOB NOT NULL) STRICT;
CREATE TABLE figures (attempt INTEGER NOT NULL REFERENCES attempts ON DELETE CASCADE,
    key TEXT NOT NULL, value REAL NOT NULL, PRIMARY KEY (attempt, key)) STRICT, WITHOUT ROWID;
INSERT INTO pupils VALUES (1, 'Ann');
INSERT INTO attempts VALUES (1, '0123456789abcdef0123456789abcdef', 1, 1000, 'quillmere', 'x', NULL, 'from 4 to 26', 1, 9.5);
INSERT INTO figures VALUES (1, 'driven_m', 12.5);
PRAGMA user_version = 1;
";

#[test]
fn a_logbook_of_version_1_comes_to_the_newest_with_all_it_held() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("old.sqlite");
    rusqlite::Connection::open(&path)
        .and_then(|c| c.execute_batch(VERSION_1))
        .expect("made by hand");
    let mut book = Logbook::open_existing(&path).expect("opens");
    let (entry, figures) = book.entry("0123").expect("there");
    assert_eq!(
        (entry.pupil.as_str(), entry.plan.as_deref()),
        ("Ann", Some("from 4 to 26"))
    );
    assert_eq!((figures[0].value, figures[0].reference), (12.5, Reference::Ours));
    book.add(&short(1), &about("Ann", "2026-07-04")).expect("takes more");
    let wanted = Wanted {
        pupil: Some("Ann".to_string()),
        most: None,
    };
    assert_eq!(book.list(&wanted).expect("lists").len(), 2);
    drop(book);
    // The tables are now the same as those of a new logbook, to the letter.
    let fresh = folder.path().join("fresh.sqlite");
    Logbook::open(&fresh).expect("begins");
    let tables = |path| -> (i64, Vec<String>) {
        let c = rusqlite::Connection::open(path).expect("opens");
        let version = c
            .pragma_query_value(None, "user_version", |r| r.get(0))
            .expect("a number");
        let mut q = c
            .prepare("SELECT name || ': ' || sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name")
            .expect("a query");
        let list = q.query_map([], |r| r.get::<_, String>(0)).expect("rows");
        let plain = |text: String| text.split_whitespace().collect::<String>();
        (version, list.map(|l| plain(l.expect("text"))).collect())
    };
    assert_eq!(tables(&path), tables(&fresh));
    assert_eq!(tables(&fresh).0, NEWEST);
}

#[test]
fn a_newer_logbook_is_refused_by_its_version_and_left_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("newer.sqlite");
    Logbook::open(&path).expect("begins");
    let base = rusqlite::Connection::open(&path).expect("opens");
    base.pragma_update(None, "user_version", NEWEST + 5)
        .expect("a later one");
    drop(base);
    let before = std::fs::read(&path).expect("reads");
    for opened in [Logbook::open(&path), Logbook::open_existing(&path)] {
        let e = opened.expect_err("newer");
        assert!(matches!(e.cause, LogbookCause::Newer(v) if v == NEWEST + 5), "{e}");
        let text = e.to_string();
        assert!(
            text.contains("newer.sqlite") && text.contains(&format!("version {}", NEWEST + 5)),
            "{text}"
        );
    }
    assert_eq!(std::fs::read(&path).expect("reads"), before);
}

#[test]
fn what_is_no_logbook_is_refused_and_left_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let other = folder.path().join("other.sqlite");
    rusqlite::Connection::open(&other)
        .and_then(|c| c.execute_batch("CREATE TABLE shopping (what TEXT); PRAGMA user_version = 1;"))
        .expect("somebody else's");
    let text = folder.path().join("text.sqlite");
    std::fs::write(
        &text,
        "not a database at all, but long enough to have a head of one hundred bytes or more, as they do have\n"
            .repeat(20),
    )
    .expect("writes");
    for (path, says) in [(&other, "no logbook of toeline"), (&text, "not a database at all")] {
        let before = std::fs::read(path).expect("reads");
        let e = Logbook::open(path).expect_err("refused").to_string();
        assert!(
            e.contains(says) && e.contains(path.file_name().unwrap().to_str().unwrap()),
            "{e}"
        );
        assert_eq!(std::fs::read(path).expect("reads"), before);
    }
    assert!(
        Logbook::open(folder.path())
            .expect_err("a folder")
            .to_string()
            .contains("cannot be opened")
    );
    let missing = Logbook::open_existing(&folder.path().join("none.sqlite")).expect_err("missing");
    assert!(matches!(missing.cause, LogbookCause::Missing));
    // An empty file is a logbook that has not begun.
    let empty = folder.path().join("empty.sqlite");
    std::fs::write(&empty, "").expect("writes");
    assert_eq!(
        Logbook::open(&empty)
            .expect("begins")
            .list(&everything())
            .expect("lists"),
        []
    );
    let base = rusqlite::Connection::open(&empty).expect("opens");
    let id: i64 = base
        .pragma_query_value(None, "application_id", |r| r.get(0))
        .expect("a number");
    assert_eq!(id, APPLICATION_ID);
}
