//! The real program in a real window under a virtual screen: is anything sensible drawn, and do keys from the keyboard move
//! the aeroplane? Skipped, in words, where no virtual screen is installed.

#![expect(clippy::print_stdout, reason = "a skipped or measured check says so")]

use bevy::asset::RenderAssetUsages;
use bevy::image::{CompressedImageFormats, Image, ImageSampler, ImageType};
use bevy::prelude::*;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use toeline_engine::Request;
use toeline_engine::job::{FORMAT, Job};
use toeline_model::aircraft::catalog;
use toeline_model::date::Date;
use toeline_model::{Wind, Xy};

/// A child that is ended when the test ends, however it ends.
struct Ended(Child);

impl Drop for Ended {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// A folder of the test's own, removed afterwards.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Folder {
        let path = std::env::temp_dir().join(format!("toeline-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("a folder to work in");
        Folder(path)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Starts a virtual screen and returns its name, or says why the test is skipped.
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

/// Writes a job on the project's own invented field.
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
    };
    let file = folder.join("job.json");
    std::fs::write(&file, job.to_json()).expect("the job is written");
    file
}

fn start(display: &str, args: &[&str]) -> Ended {
    let child = Command::new(env!("CARGO_BIN_EXE_toeline-sandbox"))
        .args(args)
        .env("DISPLAY", display)
        .env_remove("WAYLAND_DISPLAY")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    Ended(child)
}

/// Waits for the end and returns what was printed; fails after `limit`.
fn finish(program: &mut Ended, limit: Duration) -> String {
    let begun = Instant::now();
    let status = loop {
        if let Some(status) = program.0.try_wait().expect("the program can be asked") {
            break status;
        }
        assert!(begun.elapsed() < limit, "the program did not end within {limit:?}");
        std::thread::sleep(Duration::from_millis(50));
    };
    let (mut out, mut err) = (String::new(), String::new());
    let _ = program.0.stdout.take().expect("a pipe").read_to_string(&mut out);
    let _ = program.0.stderr.take().expect("a pipe").read_to_string(&mut err);
    assert!(status.success(), "the program ended with {status}\n{out}\n{err}");
    out
}

/// Shares of the picture that look like sky, grass, pavement and yellow paint.
#[derive(Debug, Default)]
struct Shares {
    sky: f64,
    grass: f64,
    pavement: f64,
    yellow: f64,
}

fn shares(picture: &Image, rows: std::ops::Range<u32>) -> Shares {
    let mut s = Shares::default();
    let one = 1.0 / f64::from(picture.width() * (rows.end - rows.start));
    for y in rows {
        for x in 0..picture.width() {
            let c = picture.get_color_at(x, y).expect("a pixel").to_srgba();
            let (r, g, b) = (c.red, c.green, c.blue);
            let grey = (r - g).abs() < 0.03 && (g - b).abs() < 0.03;
            if b > r + 0.05 && b > 0.75 {
                s.sky += one;
            } else if g > r + 0.03 && g > b + 0.10 {
                s.grass += one;
            } else if grey && (0.28..0.72).contains(&g) {
                s.pavement += one;
            } else if r > 0.80 && g > 0.60 && b < 0.35 {
                s.yellow += one;
            }
        }
    }
    s
}

fn read_picture(file: &Path) -> Image {
    let bytes = std::fs::read(file).expect("the picture was written");
    Image::from_buffer(
        &bytes,
        ImageType::Extension("png"),
        CompressedImageFormats::NONE,
        true,
        ImageSampler::Default,
        RenderAssetUsages::MAIN_WORLD,
    )
    .expect("a PNG picture")
}

#[test]
fn every_view_shows_a_field_and_not_a_blank() {
    let Some((_screen, display)) = screen() else { return };
    let folder = Folder::new("views");
    let job = job(&folder.0);
    for view in ["seat", "behind", "above"] {
        let file = folder.0.join(format!("{view}.png"));
        let mut program = start(
            &display,
            &[
                &job.display().to_string(),
                "--straight-in",
                "--view",
                view,
                "--size",
                "480x270",
                "--text-scale",
                "0.4",
                "--from-way",
                "150",
                "--screenshot",
                &file.display().to_string(),
                "--after-frames",
                "5",
            ],
        );
        let said = finish(&mut program, Duration::from_secs(60));
        assert!(said.contains("Not for navigation"), "the caution is printed: {said}");
        let picture = read_picture(&file);
        assert_eq!((picture.width(), picture.height()), (480, 270));
        let whole = shares(&picture, 0..270);
        println!("{view}: {whole:?}");
        assert!(whole.grass > 0.05, "{view}: grass {whole:?}");
        assert!(whole.pavement > 0.02, "{view}: pavement {whole:?}");
        assert!(whole.yellow > 0.0002, "{view}: paint {whole:?}");
        match view {
            "above" => assert!(whole.sky < 0.02, "straight down there is no sky: {whole:?}"),
            // The panel takes the lower part of the window, so that the horizon lies higher than in the other views.
            "seat" => {
                let above = shares(&picture, 0..40);
                assert!(above.sky > 0.30, "sky ahead: {above:?}");
            }
            _ => assert!(whole.sky > 0.08, "sky ahead: {whole:?}"),
        }
    }
}

#[test]
fn keys_on_the_keyboard_drive_and_the_attempt_is_kept() {
    let Some((_screen, display)) = screen() else { return };
    let folder = Folder::new("keys");
    let (job, record) = (job(&folder.0), folder.0.join("attempt.json"));
    let mut program = start(
        &display,
        &[
            &job.display().to_string(),
            "--size",
            "320x180",
            "--record",
            &record.display().to_string(),
        ],
    );
    let tool = |args: &[&str]| {
        let out = Command::new("xdotool")
            .args(args)
            .env("DISPLAY", &display)
            .output()
            .expect("xdotool runs");
        String::from_utf8_lossy(&out.stdout).trim().to_string()
    };
    let begun = Instant::now();
    let window = loop {
        let found = tool(&["search", "--name", "toeline sandbox"]);
        if let Some(id) = found.lines().next() {
            break id.to_string();
        }
        assert!(
            program.0.try_wait().expect("alive").is_none(),
            "the program ended before its window came"
        );
        assert!(begun.elapsed() < Duration::from_secs(60), "no window within 60 s");
        std::thread::sleep(Duration::from_millis(100));
    };
    // Pipelines are made before the first picture; keys pressed before that would be lost.
    std::thread::sleep(Duration::from_secs(3));
    tool(&["windowfocus", &window]);
    let hold = |key: &str, seconds: f64| {
        tool(&["keydown", key]);
        std::thread::sleep(Duration::from_secs_f64(seconds));
        tool(&["keyup", key]);
        std::thread::sleep(Duration::from_millis(300));
    };
    hold("Return", 0.6);
    hold("p", 0.4);
    hold("i", 5.0);
    hold("f", 1.0);
    tool(&["keydown", "Escape"]);
    let said = finish(&mut program, Duration::from_secs(30));
    assert!(said.contains("end of the drive"), "{said}");
    let attempt = toeline_training::store::load(&record).expect("the attempt was written");
    let (first, last) = (attempt.track[0], attempt.track[attempt.track.len() - 1]);
    let moved = Xy::distance(first.nose, last.nose);
    println!("moved {moved:.2} m in {:.1} s", attempt.duration_s());
    assert!(moved > 0.5, "moved only {moved:.2} m in {:.1} s", attempt.duration_s());
    let most = |f: fn(&toeline_dynamics::Controls) -> f64| attempt.inputs.iter().map(|c| f(&c)).fold(0.0, f64::max);
    assert!(most(|c| c.throttle) > 0.5, "key I opens the throttle");
    assert!(most(|c| -c.rudder) > 0.5, "key F is the left foot");
    assert_eq!(
        most(|c| c.rudder.max(c.left_brake).max(c.right_brake)),
        0.0,
        "and nothing else was touched"
    );
    assert!(attempt.job.is_some(), "the attempt names its job");
    attempt.replay().expect("the attempt replays bit for bit");
}
