//! The desk in a real window under a virtual screen, with real clicks and a real drag. Everything waits for what the
//! program says about itself. Skipped, in words, where no virtual screen is installed.

#![expect(clippy::print_stdout, reason = "what was found is said")]

use crate::screen::{Screen, Window, demo_field};
use std::collections::BTreeMap;

/// Where the places of the map are in the window, as the program says it while the sheet lies still.
fn places(w: &mut Window) -> BTreeMap<String, (i32, i32)> {
    let mut places = BTreeMap::new();
    w.wait("the places", |line| {
        if let Some((name, at)) = line.strip_prefix("place: ").and_then(|l| l.split_once(" at ")) {
            let (x, y) = at.split_once(' ').expect("two numbers");
            places.insert(name.to_string(), (x.parse().expect("x"), y.parse().expect("y")));
        }
        line == "sheet: lies still"
    });
    places
}

fn wait(w: &mut Window, words: &str) -> String {
    w.wait(words, |l| l.starts_with(words))
}

fn press(w: &mut Window) {
    w.tool(&["mousedown", "1"]);
    wait(w, "pressed");
}

fn go_to(w: &mut Window, places: &BTreeMap<String, (i32, i32)>, place: &str) {
    let (x, y) = places[place];
    w.tool(&["mousemove", &x.to_string(), &y.to_string()]);
    wait(w, &format!("over: {place}"));
}

#[test]
fn a_way_is_clicked_dragged_and_driven_with_the_mouse() {
    let Some(screen) = Screen::start() else { return };
    let map = demo_field().display().to_string();
    let mut w = screen.open(&["--field", &map, "--size", "640x360", "--report"]);
    wait(&mut w, "shown: Choosing, room Some");
    w.key_until("Return", "shown: Drawing");
    let places = places(&mut w);
    for (place, said) in [
        ("stand 4", "state: Click the engine-check area"),
        ("runway 26", "state: CLEAR"),
    ] {
        go_to(&mut w, &places, place);
        press(&mut w);
        w.tool(&["mouseup", "1"]);
        wait(&mut w, said);
    }
    // The start is dragged to another stand; the way follows while it is held there.
    go_to(&mut w, &places, "stand 4");
    press(&mut w);
    go_to(&mut w, &places, "stand H1");
    let held = w.wait("a verdict while it is held", |l| {
        l.starts_with("state: CLEAR") || l.starts_with("state: NOT")
    });
    w.tool(&["mouseup", "1"]);
    println!("from stand H1: {held}");
    w.key_until("Return", "shown: Caution");
    w.key_until("Return", "shown: Driving");
    w.key_until("Home", "shown: Drawing");
    w.key_until("Escape", "shown: Choosing");
    w.tool(&["keydown", "Escape"]);
    w.end_well();
}

#[test]
fn the_smallest_window_and_a_missing_field_give_words_and_no_panic() {
    let Some(screen) = Screen::start() else { return };
    let mut w = screen.open(&["--field", "no such field.geojson", "--size", "320x200", "--report"]);
    wait(&mut w, "shown: Choosing, room Little");
    let said = w.key_until("Return", "trouble: ");
    assert!(said.contains("no such field.geojson: cannot be read"), "{said}");
}
