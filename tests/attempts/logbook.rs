//! The logbook in order: what is added is there, listed, renamed, forgotten, backed up. Also what its other tests share.

use crate::help::{aeroplane, air, driven, dry, start};
use serde_json::json;
use std::path::Path;
use toeline_training::logbook::{About, Added, Figure, Logbook, LogbookCause, Reference, Wanted, When, figures_of};
use toeline_training::{Attempt, EventKind, Script, run_script};

/// A drive of a tenth of a second, told apart by `n`.
pub(crate) fn short(n: u64) -> Attempt {
    let aircraft = aeroplane();
    let script = Script::parse("at 0 throttle 0.4\nend 24\n").expect("sound");
    Attempt {
        job: Some(json!({ "field_file": "maps/quillmere.geojson", "n": n })),
        ..run_script(&aircraft, dry(), air(), &start(&aircraft), &script)
    }
}

pub(crate) fn about(pupil: &str, when: &str) -> About {
    About {
        pupil: pupil.to_string(),
        when_unix_s: When::parse(when).expect("a moment").unix_s,
        ..About::default()
    }
}

pub(crate) fn everything() -> Wanted {
    Wanted::default()
}

/// Name of what was added as new.
pub(crate) fn new_id(added: Added) -> String {
    match added {
        Added::New { id, .. } => id,
        other => panic!("{other:?}"),
    }
}

/// A new logbook with three attempts of two pupils: the names of the attempts.
pub(crate) fn three(path: &Path) -> (Logbook, [String; 3]) {
    let mut book = Logbook::open(path).expect("begins");
    let mut own = about("Ann", "2026-07-04T10:00Z");
    own.exercise = Some("straight line".to_string());
    own.figures = vec![Figure {
        key: "steady_offset_m".to_string(),
        value: -0.1 + 1e-17,
        reference: Reference::Published,
        source: "a handbook, \"page\" 3".to_string(),
    }];
    let ids = [
        new_id(book.add(&driven(), &own).expect("adds")),
        new_id(
            book.add(&short(1), &about("7, the other", "2026-07-04T11:00:30Z"))
                .expect("adds"),
        ),
        new_id(book.add(&short(2), &about("Ann", "2026-07-03T09:00Z")).expect("adds")),
    ];
    (book, ids)
}

#[test]
fn what_is_added_is_listed_newest_first_and_comes_back_whole() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("logbook.sqlite");
    let (book, ids) = three(&path);
    drop(book);
    let book = Logbook::open_existing(&path).expect("opens");
    let list = book.list(&everything()).expect("lists");
    let order: Vec<&String> = list.iter().map(|e| &e.id).collect();
    assert_eq!(order, [&ids[1], &ids[0], &ids[2]]);
    assert_eq!(list[0].pupil, "7, the other");
    assert_eq!(list[0].field.as_deref(), Some("quillmere"));
    assert_eq!(list[0].when.to_string(), "2026-07-04T11:00:30Z");
    assert_eq!(list[1].exercise.as_deref(), Some("straight line"));
    assert_eq!(list[1].aircraft, "tourer-high-4");
    assert_eq!(list[1].duration_s, driven().duration_s());
    let wanted = Wanted {
        pupil: Some("Ann".to_string()),
        most: Some(1),
    };
    let anns = book.list(&wanted).expect("lists");
    assert_eq!(anns.iter().map(|e| &e.id).collect::<Vec<_>>(), [&ids[0]]);

    let back = book.attempt(&ids[0][..8]).expect("by the beginning of its name");
    assert_eq!(back, driven());
    back.replay().expect("replays to the same bits");
    let pupils = book.pupils().expect("lists");
    assert_eq!(pupils.len(), 2);
    assert_eq!((pupils[1].name.as_str(), pupils[1].attempts), ("Ann", 2));
    assert_eq!(pupils[1].driven_s, driven().duration_s() + short(2).duration_s());
    let found = book.check().expect("looks");
    assert_eq!((found.attempts, found.whole, found.figures_only), (3, 3, 0));
    assert_eq!(found.problems, Vec::<String>::new());
    // Nothing lies beside the file while nobody writes.
    assert_eq!(std::fs::read_dir(folder.path()).expect("a folder").count(), 1);
}

#[test]
fn the_same_attempt_twice_is_said_and_changes_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("logbook.sqlite");
    let (mut book, ids) = three(&path);
    let before = std::fs::read(&path).expect("reads");
    // Another order of keys and other spaces are the same attempt, whoever is said to have driven it.
    let value: serde_json::Value = serde_json::from_str(&driven().to_json().expect("writes")).expect("JSON");
    let pretty = serde_json::to_string_pretty(&value).expect("writes");
    let again = book.add_text(&pretty, &about("Bo", "2027-01-01")).expect("says so");
    let known = Added::Known {
        id: ids[0].clone(),
        pupil: "Ann".to_string(),
    };
    assert_eq!(again, known);
    assert_eq!(std::fs::read(&path).expect("reads"), before, "not a byte");
}

#[test]
fn figures_are_of_the_record_and_carry_their_reference() {
    let attempt = driven();
    let figures = figures_of(&attempt);
    let value = |key: &str| figures.iter().find(|f| f.key == key).map(|f| f.value).expect("there");
    let locked = attempt
        .events
        .iter()
        .filter(|e| e.kind == EventKind::BrakeLocked)
        .count();
    assert_eq!(value("brake_locked_count"), locked as f64);
    assert_eq!(value("duration_s"), 10.833, "2600 ticks of 1/240 s");
    // The way by another sum: speed over time at the same points, to the trapeze's error.
    let by_speed: f64 = attempt
        .track
        .windows(2)
        .map(|p| (p[0].speed_mps + p[1].speed_mps) / 2.0 * (p[1].tick - p[0].tick) as f64 * attempt.tick_s)
        .sum();
    let far = value("driven_m");
    assert!(
        far > 5.0 && (far - by_speed).abs() < 0.1 * by_speed,
        "{far} m, by speed {by_speed} m"
    );

    let folder = tempfile::tempdir().expect("a folder");
    let (book, ids) = three(&folder.path().join("logbook.sqlite"));
    let (_, kept) = book.entry(&ids[0]).expect("there");
    assert_eq!(kept.len(), figures.len() + 1);
    let own = kept.iter().find(|f| f.key == "steady_offset_m").expect("kept");
    assert_eq!((own.value, own.reference), (-0.1 + 1e-17, Reference::Published));
    assert_eq!(own.source, "a handbook, \"page\" 3");
    let course = book.progress("Ann", "top_speed_mps").expect("reads");
    let whens: Vec<String> = course.iter().map(|c| c.0.to_string()).collect();
    assert_eq!(whens, ["2026-07-03T09:00:00Z", "2026-07-04T10:00:00Z"]);
    assert_eq!(course[1].1.value, value("top_speed_mps"));
}

#[test]
fn a_figure_or_a_name_that_cannot_be_is_refused_and_nothing_is_added() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut book, _) = three(&folder.path().join("logbook.sqlite"));
    let figure = |key: &str, value: f64, source: &str| Figure {
        key: key.to_string(),
        value,
        reference: Reference::Published,
        source: source.to_string(),
    };
    for (bad, says) in [
        (figure("Top Speed", 1.0, "x"), "small letters"),
        (figure("top_mps", f64::NAN, "x"), "finite"),
        (figure("top_mps", 1.0, " "), "no source"),
    ] {
        let mut own = about("Cy", "2026-07-05");
        own.figures = vec![bad];
        let e = book.add(&short(9), &own).expect_err("refused").to_string();
        assert!(e.contains(says), "{e}");
    }
    let long = "x".repeat(81);
    for (name, says) in [("  ", "empty"), ("a\nb", "cannot be printed"), (long.as_str(), "80")] {
        let e = book
            .add(&short(9), &about(name, "2026-07-05"))
            .expect_err("refused")
            .to_string();
        assert!(e.contains(says), "{e}");
    }
    let mut broken = short(9);
    broken.tick_s = 2.0;
    let e = book.add(&broken, &about("Cy", "2026-07-05")).expect_err("refused");
    assert!(e.to_string().contains("tick_s: 2 s"), "{e}");
    assert_eq!(book.list(&everything()).expect("lists").len(), 3);
    assert_eq!(book.pupils().expect("lists").len(), 2, "nor is a pupil left of it");
}

#[test]
fn a_pupil_is_renamed_and_forgotten_without_a_trace_in_the_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("logbook.sqlite");
    let (mut book, ids) = three(&path);
    let e = book.rename("Ann", "7, the other").expect_err("taken");
    assert!(matches!(e.cause, LogbookCause::Taken(_)), "{e}");
    let e = book.rename("Anne", "Bo").expect_err("nobody").to_string();
    assert!(e.contains("\"Anne\"") && e.contains("nearest names are: Ann,"), "{e}");
    book.rename("Ann", "Xanthippe-Quill").expect("renames");
    let holds = |what: &str| {
        let bytes = std::fs::read(&path).expect("reads");
        bytes.windows(what.len()).any(|w| w == what.as_bytes())
    };
    assert!(holds("Xanthippe-Quill") && holds(&ids[0]) && holds("straight line"));
    assert!(!holds("Ann"), "the old name is overwritten");
    assert_eq!(book.forget("Xanthippe-Quill").expect("forgets"), 2);
    assert!(!holds("Xanthippe-Quill") && !holds(&ids[0]) && !holds("straight line"));
    assert_eq!(book.list(&everything()).expect("lists").len(), 1);
    assert!(matches!(
        book.attempt(&ids[0]).expect_err("gone").cause,
        LogbookCause::NoAttempt(_)
    ));
    assert!(book.check().expect("looks").problems.is_empty());
}

#[test]
fn a_backup_is_the_logbook_at_one_moment() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut book, _) = three(&folder.path().join("logbook.sqlite"));
    let to = folder.path().join("backup.sqlite");
    book.backup(&to).expect("copies");
    book.add(&short(3), &about("Ann", "2026-07-06")).expect("adds");
    let copy = Logbook::open_existing(&to).expect("opens");
    assert_eq!(copy.list(&everything()).expect("lists").len(), 3);
    assert_eq!(copy.check().expect("looks").whole, 3);
    let before = std::fs::read(&to).expect("reads");
    let e = book.backup(&to).expect_err("there already").to_string();
    assert!(e.contains("backup.sqlite") && e.contains("another name"), "{e}");
    assert_eq!(std::fs::read(&to).expect("reads"), before);
    let e = book
        .backup(&folder.path().join("none/backup.sqlite"))
        .expect_err("no folder");
    assert!(e.to_string().contains("folder is missing"), "{e}");
    assert_eq!(std::fs::read_dir(folder.path()).expect("a folder").count(), 2);
}

#[test]
fn ten_thousand_attempts_are_listed_by_reading_short_rows_only() {
    // Filled past the program: what is asked here is how the list is read, not how it came to be.
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("logbook.sqlite");
    Logbook::open(&path).expect("begins");
    let base = rusqlite::Connection::open(&path).expect("opens");
    base.execute_batch(
        "INSERT INTO pupils (name) VALUES ('a'), ('b');
         WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 10000)
         INSERT INTO attempts (id, pupil, when_unix_s, aircraft, physics_version, duration_s)
         SELECT printf('%032x', i * 7919), 1 + i % 2, i * 60, 'x', 1, 1.0 FROM n;
         INSERT INTO drives (attempt, bytes, packed) SELECT attempt, 9000, randomblob(9000) FROM attempts;",
    )
    .expect("fills");
    drop(base);
    let book = Logbook::open_existing(&path).expect("opens");
    let list = book.list(&everything()).expect("lists");
    assert_eq!(list.len(), 10_000);
    assert!(list.windows(2).all(|e| e[0].when > e[1].when));
    let wanted = Wanted {
        pupil: Some("b".to_string()),
        most: Some(20),
    };
    let few = book.list(&wanted).expect("lists");
    assert!(few.len() == 20 && few.iter().all(|e| e.pupil == "b"));
    assert_eq!(few[0].when.unix_s, 9999 * 60);
    // How the database goes about it: by the index, without sorting, and without the table of the drives.
    let base = rusqlite::Connection::open(&path).expect("opens");
    let plan = |sql: &str| -> String {
        let mut q = base.prepare(&format!("EXPLAIN QUERY PLAN {sql}")).expect("a query");
        let lines = q.query_map([], |r| r.get::<_, String>(3)).expect("a plan");
        lines.map(|l| l.expect("text") + "\n").collect()
    };
    for (which, index) in [("1", "attempts_by_time"), ("a.pupil = 2", "attempts_of_pupil")] {
        let told = plan(&format!(
            "SELECT a.id, p.name FROM attempts a JOIN pupils p ON p.pupil = a.pupil WHERE {which}
             ORDER BY a.when_unix_s DESC, a.attempt DESC"
        ));
        assert!(told.contains(index) && !told.contains("TEMP B-TREE"), "{told}");
    }
}

#[test]
fn moments_are_read_and_written() {
    for (text, unix_s) in [
        ("1970-01-01T00:00Z", 0),
        // The seconds by GNU date.
        ("2000-02-29T00:00:00Z", 951_782_400),
        ("2026-07-04T14:30:05", 1_783_175_405),
        ("2100-12-31T23:59:59Z", 4_133_980_799),
    ] {
        let when = When::parse(text).expect(text);
        assert_eq!(when.unix_s, unix_s, "{text}");
        assert_eq!(When::parse(&when.to_string()), Ok(when));
    }
    assert_eq!(When::parse("2026-07-04"), When::parse("2026-07-04T12:00:00Z"));
    for text in [
        "",
        "yesterday",
        "1969-12-31",
        "2026-02-30",
        "2026-07-04T25:00Z",
        "2026-07-04T14:30:61Z",
        "2026-07-04T1é:30:0",
    ] {
        let e = When::parse(text).expect_err(text);
        assert!(e.contains(text) && e.contains("2026-07-04T14:30Z"), "{e}");
    }
}
