//! Attempts as files.

use crate::help::driven;
use std::fs;
use toeline_training::store::{load, save};

#[test]
fn what_is_saved_is_loaded_and_nothing_is_left_beside_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a drive.json");
    let attempt = driven();
    save(&path, &attempt).expect("saves");
    save(&path, &attempt).expect("and again over it");
    let back = load(&path).expect("loads");
    assert_eq!(back, attempt);
    back.replay().expect("replays");
    let names: Vec<_> = fs::read_dir(folder.path())
        .expect("a folder")
        .map(|e| e.expect("an entry").file_name())
        .collect();
    assert_eq!(names, ["a drive.json"]);
}

#[test]
fn a_failed_save_leaves_the_old_file_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("drive.json");
    let attempt = driven();
    save(&path, &attempt).expect("saves");
    let before = fs::read(&path).expect("bytes");
    let mut broken = attempt.clone();
    broken.start.state["x_m"] = serde_json::Value::Null;
    let error = save(&path, &broken).expect_err("not finite").to_string();
    assert!(error.contains("drive.json") && error.contains("not finite"), "{error}");
    assert_eq!(fs::read(&path).expect("bytes"), before);
    // A folder stands where the file should go: the rename fails and the leftover is cleared away.
    let blocked = folder.path().join("blocked");
    fs::create_dir_all(blocked.join("full")).expect("a folder");
    let error = save(&blocked, &attempt).expect_err("blocked").to_string();
    assert!(error.contains("blocked") && error.contains("renaming"), "{error}");
    assert_eq!(fs::read_dir(folder.path()).expect("a folder").count(), 2);
}

#[test]
fn errors_name_the_file_and_the_cause() {
    let folder = tempfile::tempdir().expect("a folder");
    let missing = folder.path().join("none.json");
    let error = load(&missing).expect_err("missing").to_string();
    assert!(error.contains("none.json") && error.contains("reading"), "{error}");
    let error = save(&folder.path().join("no/such/folder.json"), &driven())
        .expect_err("no folder")
        .to_string();
    assert!(error.contains("folder.json") && error.contains("creating"), "{error}");
    let half = folder.path().join("half.json");
    let text = driven().to_json().expect("writes");
    // Broken off between two values: inside a number it would be the number that is wrong.
    let end = text[..text.len() / 2].rfind(',').expect("a comma");
    fs::write(&half, &text[..end]).expect("writes");
    let error = load(&half).expect_err("broken off").to_string();
    assert!(error.contains("half.json") && error.contains("EOF"), "{error}");
    fs::write(&half, [0xff, 0xfe, 0x00]).expect("writes");
    assert!(load(&half).expect_err("not text").to_string().contains("half.json"));
    assert!(load(folder.path()).is_err());
}
