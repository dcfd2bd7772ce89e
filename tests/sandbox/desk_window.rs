//! The desk in a real window under a virtual screen, with real clicks and a real drag. Everything waits for what the
//! program says about itself. Skipped, in words, where no virtual screen is installed.

#![expect(clippy::print_stdout, reason = "a skipped check says so")]

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

/// How long anything may take before the test fails. Software drawing on a busy machine is slow.
const LIMIT: Duration = Duration::from_secs(180);

/// A child that is ended when the test ends, however it ends.
struct Ended(Child);

impl Drop for Ended {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// The program in its window.
struct Window {
    program: Ended,
    display: String,
    lines: Receiver<String>,
    places: BTreeMap<String, (i32, i32)>,
    _screen: Ended,
}

fn lines_of(child: &mut Child) -> Receiver<String> {
    let (send, lines) = channel();
    let out = child.stdout.take().expect("a pipe");
    std::thread::spawn(move || {
        for line in BufReader::new(out).lines().map_while(Result::ok) {
            if send.send(line).is_err() {
                return;
            }
        }
    });
    lines
}

impl Window {
    fn open(args: &[&str]) -> Option<Window> {
        for tool in ["Xvfb", "xdotool"] {
            let there = Command::new(tool)
                .arg("-version")
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .status();
            if there.is_err() {
                println!("skipped: {tool} is not installed");
                return None;
            }
        }
        let mut screen = Command::new("Xvfb")
            .args(["-displayfd", "1", "-screen", "0", "640x360x24", "-nolisten", "tcp"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("Xvfb starts");
        let said = lines_of(&mut screen)
            .recv_timeout(LIMIT)
            .expect("Xvfb says which screen it is");
        let display = format!(":{}", said.trim());
        let mut child = Command::new(env!("CARGO_BIN_EXE_toeline-sandbox"))
            .args(args)
            .current_dir(std::env::temp_dir())
            .env("DISPLAY", &display)
            .env_remove("WAYLAND_DISPLAY")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let lines = lines_of(&mut child);
        Some(Window {
            program: Ended(child),
            display,
            lines,
            places: BTreeMap::new(),
            _screen: Ended(screen),
        })
    }

    fn tool(&self, args: &[&str]) -> String {
        let out = Command::new("xdotool")
            .args(args)
            .env("DISPLAY", &self.display)
            .output()
            .expect("xdotool runs");
        String::from_utf8_lossy(&out.stdout).trim().to_string()
    }

    /// The next line that begins with one of the words, or `None` after `limit`.
    fn heard(&mut self, words: &[&str], limit: Duration) -> Option<String> {
        let begun = Instant::now();
        while let Some(left) = limit.checked_sub(begun.elapsed()) {
            let Ok(line) = self.lines.recv_timeout(left) else {
                return None;
            };
            if let Some((name, at)) = line.strip_prefix("place: ").and_then(|l| l.split_once(" at ")) {
                let (x, y) = at.split_once(' ').expect("two numbers");
                self.places
                    .insert(name.into(), (x.parse().expect("x"), y.parse().expect("y")));
            }
            if words.iter().any(|w| line.starts_with(w)) {
                return Some(line);
            }
        }
        None
    }

    fn wait(&mut self, words: &[&str]) -> String {
        self.heard(words, LIMIT)
            .unwrap_or_else(|| panic!("none of {words:?} within {LIMIT:?}"))
    }

    /// Holds a key again and again until the program says that it has understood.
    fn key_until(&mut self, key: &str, words: &str) -> String {
        let begun = Instant::now();
        while begun.elapsed() < LIMIT {
            let window = self.tool(&["search", "--name", "toeline sandbox"]);
            if let Some(id) = window.lines().next() {
                self.tool(&["windowfocus", id]);
            }
            self.tool(&["keydown", key]);
            let line = self.heard(&[words], Duration::from_secs(6));
            self.tool(&["keyup", key]);
            if let Some(line) = line {
                return line;
            }
        }
        panic!("key {key}: \"{words}\" was not said within {LIMIT:?}")
    }

    fn go_to(&mut self, place: &str) {
        let (x, y) = self.places[place];
        self.tool(&["mousemove", &x.to_string(), &y.to_string()]);
        self.wait(&[&format!("over: {place}")]);
    }

    fn press(&mut self) {
        self.tool(&["mousedown", "1"]);
        self.wait(&["pressed"]);
    }
}

#[test]
fn a_way_is_clicked_dragged_and_driven_with_the_mouse() {
    let map = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../maps/quillmere.geojson");
    let map = map.canonicalize().expect("the demo field").display().to_string();
    let Some(mut w) = Window::open(&["--field", &map, "--size", "640x360", "--report"]) else {
        return;
    };
    w.wait(&["shown: Choosing, room Some"]);
    w.key_until("Return", "shown: Drawing");
    w.wait(&["sheet: lies still"]);
    for (place, said) in [
        ("stand 4", "state: Click the engine-check area"),
        ("runway 26", "state: CLEAR"),
    ] {
        w.go_to(place);
        w.press();
        w.tool(&["mouseup", "1"]);
        w.wait(&[said]);
    }
    // The start is dragged to another stand; the way follows while it is held there.
    w.go_to("stand 4");
    w.press();
    w.go_to("stand H1");
    let held = w.wait(&["state: CLEAR", "state: NOT"]);
    w.tool(&["mouseup", "1"]);
    println!("from stand H1: {held}");
    w.key_until("Return", "shown: Caution");
    w.key_until("Return", "shown: Driving");
    w.key_until("Home", "shown: Drawing");
    w.key_until("Escape", "shown: Choosing");
    w.tool(&["keydown", "Escape"]);
    let begun = Instant::now();
    let status = loop {
        if let Some(status) = w.program.0.try_wait().expect("the program can be asked") {
            break status;
        }
        assert!(begun.elapsed() < LIMIT, "Esc on the first screen leaves");
        std::thread::sleep(Duration::from_millis(50));
    };
    assert!(status.success(), "{status}");
}

#[test]
fn the_smallest_window_and_a_missing_field_give_words_and_no_panic() {
    let Some(mut w) = Window::open(&["--field", "no such field.geojson", "--size", "320x200", "--report"]) else {
        return;
    };
    w.wait(&["shown: Choosing, room Little"]);
    let said = w.key_until("Return", "trouble: ");
    assert!(said.contains("no such field.geojson: cannot be read"), "{said}");
}
