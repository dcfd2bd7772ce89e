//! The real program under a virtual screen, worked with a real mouse: a click on the magneto switch, a drag of the throttle,
//! a light. Skipped, in words, where no virtual screen is installed. Nothing is waited for by the clock alone: the program
//! reports its ticks, and each step waits for the report that shows it.

#![expect(clippy::print_stdout, reason = "a skipped or measured check says so")]

use bevy::math::Vec2;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_engine::Request;
use toeline_engine::job::{FORMAT, Job};
use toeline_model::Wind;
use toeline_model::aircraft::catalog;
use toeline_model::date::Date;
use toeline_sandbox::panel::layout::{MAGNETO_DEG, Target, slot};
use toeline_sandbox::panel::mouse::magneto_middle;
use toeline_sandbox::view::panel::seat_frame::seat_frame;
use toeline_training::EventKind;

const WINDOW: Vec2 = Vec2::new(640.0, 360.0);
/// A step that has not shown by then has failed.
const LIMIT: Duration = Duration::from_secs(90);

/// A child that is ended when the test ends, however it ends.
struct Ended(Child);

impl Drop for Ended {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

struct Folder(PathBuf);

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn screen() -> Option<(Ended, String)> {
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
    let mut child = Command::new("Xvfb")
        .args(["-displayfd", "1", "-screen", "0", "640x400x24", "-nolisten", "tcp"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("Xvfb starts");
    let mut line = String::new();
    BufReader::new(child.stdout.take().expect("a pipe"))
        .read_line(&mut line)
        .expect("Xvfb says which screen it is");
    Some((Ended(child), format!(":{}", line.trim())))
}

fn job(folder: &Path) -> PathBuf {
    let map = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../maps/quillmere.geojson");
    let job = Job {
        toeline_job: FORMAT,
        field_file: map.display().to_string(),
        request: Request {
            aircraft: catalog::find("trainer-high-2").expect("a built-in aeroplane"),
            from: "4".into(),
            parked_heading: None,
            via: vec!["E".into()],
            to: "26".into(),
            wind: Wind::parse("240/12T").expect("a wind"),
            date: Date::parse("2026-07-04").expect("a day"),
            margin_m: 3.0,
            vertical_margin_m: 0.5,
            accuracy_m: None,
        },
        faults: None,
    };
    let file = folder.join("job.json");
    std::fs::write(&file, job.to_json()).expect("the job is written");
    file
}

/// The program's own lines as they come.
struct Reports(Receiver<String>);

impl Reports {
    /// Waits for a line that fits; fails when none comes in time.
    fn wait(&self, what: &str, fits: impl Fn(&str) -> bool) -> String {
        let begun = Instant::now();
        let mut last = String::new();
        while let Some(left) = LIMIT.checked_sub(begun.elapsed()) {
            match self.0.recv_timeout(left) {
                Ok(line) if fits(&line) => return line,
                Ok(line) => last = line,
                Err(_) => break,
            }
        }
        panic!("{what}: no such report within {LIMIT:?}; the last was \"{last}\"");
    }

    fn throttle(line: &str) -> Option<f64> {
        line.split("throttle ").nth(1)?.split(' ').next()?.parse().ok()
    }
}

#[test]
fn a_real_mouse_works_magnetos_throttle_and_lights() {
    let Some((_screen, display)) = screen() else { return };
    let folder = Folder(std::env::temp_dir().join(format!("toeline-panel-window-{}", std::process::id())));
    std::fs::create_dir_all(&folder.0).expect("a folder to work in");
    let (job, record) = (job(&folder.0), folder.0.join("attempt.json"));
    let child = Command::new(env!("CARGO_BIN_EXE_toeline-sandbox"))
        .args([
            &job.display().to_string(),
            "--straight-in",
            "--view",
            "seat",
            "--size",
            "640x360",
        ])
        .args([
            "--edges",
            "rough",
            "--report-every",
            "24",
            "--record",
            &record.display().to_string(),
        ])
        .env("DISPLAY", &display)
        .env_remove("WAYLAND_DISPLAY")
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    let mut program = Ended(child);
    let (say, hear) = channel();
    let out = BufReader::new(program.0.stdout.take().expect("a pipe"));
    std::thread::spawn(move || {
        for line in out.lines().map_while(Result::ok) {
            if say.send(line).is_err() {
                break;
            }
        }
    });
    let reports = Reports(hear);
    let tool = |args: &[&str]| {
        let out = Command::new("xdotool")
            .args(args)
            .env("DISPLAY", &display)
            .output()
            .expect("xdotool runs");
        String::from_utf8_lossy(&out.stdout).trim().to_string()
    };
    reports.wait("the drive begins", |l| l.starts_with("tick "));
    let window = tool(&["search", "--name", "toeline sandbox"]);
    let window = window.lines().next().expect("a window").to_string();
    let go = |at: Vec2| {
        let [x, y] = [at.x, at.y].map(|v| (v.round() as i32).to_string());
        tool(&["mousemove", "--window", &window, &x, &y]);
    };

    // The places are worked out as the program does it.
    let trainer = catalog::find("trainer-high-2").expect("a built-in aeroplane");
    let layout = seat_frame(&trainer, WINDOW).layout();
    let area = |t| layout.of(t).expect("it is on the panel");
    let rad = MAGNETO_DEG[1].to_radians();
    go(magneto_middle(area(Target::Magnetos)) + Vec2::new(rad.sin(), -rad.cos()) * 0.2 * layout.cell);
    tool(&["mousedown", "1"]);
    reports.wait("a click on R", |l| l.contains("magnetos Right"));
    tool(&["mouseup", "1"]);
    let lever = slot(area(Target::Throttle));
    // The grip stands at the foot of its slot; the drag goes up half the travel.
    let foot = Vec2::new(lever.center().x, lever.max.y);
    go(foot);
    tool(&["mousedown", "1"]);
    let taken = reports.wait("the throttle taken hold of", |l| l.contains("hand Some(Throttle)"));
    assert_eq!(Reports::throttle(&taken), Some(0.0), "it does not jump: {taken}");
    let mut most = 0.0;
    for part in 1..=5 {
        go(foot - Vec2::new(0.0, lever.height() * 0.1 * part as f32));
        let wanted = 0.1 * f64::from(part) - 0.06;
        let line = reports.wait("the throttle follows", |l| {
            Reports::throttle(l).is_some_and(|t| t > wanted)
        });
        most = Reports::throttle(&line).unwrap_or(0.0);
    }
    assert!((most - 0.5).abs() < 0.06, "half of the travel gave {most}");
    tool(&["mouseup", "1"]);
    go(area(Target::TaxiLight).center());
    tool(&["mousedown", "1"]);
    reports.wait("the taxi light", |l| l.contains("taxi light true"));
    tool(&["mouseup", "1"]);
    tool(&["windowfocus", &window]);
    tool(&["keydown", "Escape"]);
    reports.wait("the end", |l| l.starts_with("attempt written"));
    let attempt = toeline_training::store::load(&record).expect("the attempt was written");
    assert!(attempt.inputs.iter().any(|c| c.magnetos == MagnetoSwitch::Right));
    let greatest = attempt.inputs.iter().map(|c| c.throttle).fold(0.0, f64::max);
    assert!((greatest - 0.5).abs() < 0.06, "{greatest}");
    assert!(
        attempt
            .events
            .iter()
            .any(|e| e.kind == EventKind::Note && e.text == "taxi light on"),
        "{:?}",
        attempt.events
    );
}
