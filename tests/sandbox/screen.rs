//! The real program in a real window under a virtual screen: what every such test needs. Nothing here waits by the clock
//! alone: a step waits for the line in which the program says that it is done, and fails with everything the program said on
//! its error output. Tests are skipped, in words, where no virtual screen is installed.

#![allow(dead_code, reason = "each test file uses its own part of this")]
#![allow(clippy::print_stdout, reason = "a skipped check says so")]

#[path = "demo.rs"]
mod demo;

use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};
use toeline_engine::Request;
use toeline_engine::job::{FORMAT, Job};

/// A step that has not shown by then has failed. Software drawing on a busy machine is slow.
pub(crate) const LIMIT: Duration = Duration::from_secs(180);

/// How often something is asked that cannot be waited for.
const ASK_EVERY: Duration = Duration::from_millis(50);

/// A child that is ended when the test ends, however it ends.
struct Ended(Child);

impl Drop for Ended {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// A folder of the test's own, removed afterwards.
pub(crate) struct Folder(PathBuf);

impl Folder {
    pub(crate) fn new(name: &str) -> Folder {
        let path = std::env::temp_dir().join(format!("toeline-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("a folder to work in");
        Folder(path)
    }

    pub(crate) fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    /// Writes a job on the project's own invented field.
    pub(crate) fn job(&self) -> PathBuf {
        self.job_on(&demo_field())
    }

    /// Writes a job on any map file, whether it is there or not.
    pub(crate) fn job_on(&self, map: &Path) -> PathBuf {
        self.job_for(map, demo::request())
    }

    /// Writes a job on a map file from a stand of it to a runway of it, and otherwise as on the project's own field.
    pub(crate) fn job_between(&self, map: &Path, from: &str, to: &str) -> PathBuf {
        let mut request = demo::request();
        (request.from, request.via, request.to) = (from.into(), Vec::new(), to.into());
        self.job_for(map, request)
    }

    fn job_for(&self, map: &Path, request: Request) -> PathBuf {
        let job = Job {
            toeline_job: FORMAT,
            field_file: map.display().to_string(),
            request,
            faults: None,
            exercise: None,
        };
        let file = self.file("job.json");
        std::fs::write(&file, job.to_json()).expect("the job is written");
        file
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// The map file of the project's own invented field.
pub(crate) use demo::map_file as demo_field;

/// The program, not yet started. Nobody's own settings may decide what the keys do here.
pub(crate) fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_toeline-sandbox"));
    command
        .current_dir(std::env::temp_dir())
        .env_remove("WAYLAND_DISPLAY")
        .env("TOELINE_CONFIG", std::env::temp_dir().join("toeline-no-settings"))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

fn lines_of(from: impl Read + Send + 'static) -> Receiver<String> {
    let (send, lines) = channel();
    std::thread::spawn(move || {
        for line in BufReader::new(from).lines().map_while(Result::ok) {
            if send.send(line).is_err() {
                return;
            }
        }
    });
    lines
}

/// A virtual screen. It picks a number that is free, so that tests beside each other never meet.
pub(crate) struct Screen {
    name: String,
    _child: Ended,
}

impl Screen {
    /// Starts a screen of 640 by 400 pixels, or says why the test is skipped.
    pub(crate) fn start() -> Option<Screen> {
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
        let said = lines_of(child.stdout.take().expect("a pipe"))
            .recv_timeout(LIMIT)
            .expect("Xvfb says which screen it is");
        Some(Screen {
            name: format!(":{}", said.trim()),
            _child: Ended(child),
        })
    }

    /// Opens the program on this screen.
    pub(crate) fn open(&self, args: &[&str]) -> Window<'_> {
        self.open_with(args, &[])
    }

    /// Opens the program on this screen in an environment with something more or other in it.
    pub(crate) fn open_with(&self, args: &[&str], environment: &[(&str, &str)]) -> Window<'_> {
        let mut child = program()
            .args(args)
            .env("DISPLAY", &self.name)
            .envs(environment.iter().copied())
            .spawn()
            .expect("the program starts");
        let lines = lines_of(child.stdout.take().expect("a pipe"));
        let mut errors = child.stderr.take().expect("a pipe");
        let errors = std::thread::spawn(move || {
            let mut said = Vec::new();
            let _ = errors.read_to_end(&mut said);
            String::from_utf8_lossy(&said).into_owned()
        });
        Window {
            screen: self,
            program: Ended(child),
            lines,
            errors: Some(errors),
        }
    }
}

/// How the program ended.
pub(crate) struct End {
    pub(crate) status: ExitStatus,
    /// What it said on its output and nobody had waited for.
    pub(crate) said: String,
    /// What it said on its error output.
    pub(crate) errors: String,
}

/// The program in its window.
pub(crate) struct Window<'a> {
    screen: &'a Screen,
    program: Ended,
    lines: Receiver<String>,
    errors: Option<JoinHandle<String>>,
}

impl Window<'_> {
    /// The next line that fits, or `None` after `limit`. Lines before it are gone.
    ///
    /// # Panics
    /// With what it said on its error output, when the program has ended.
    pub(crate) fn heard(&mut self, what: &str, limit: Duration, mut fits: impl FnMut(&str) -> bool) -> Option<String> {
        let begun = Instant::now();
        while let Some(left) = limit.checked_sub(begun.elapsed()) {
            match self.lines.recv_timeout(left) {
                Ok(line) if fits(&line) => return Some(line),
                Ok(_) => {}
                Err(RecvTimeoutError::Timeout) => break,
                Err(RecvTimeoutError::Disconnected) => self.ended_early(what),
            }
        }
        None
    }

    /// Waits for a line that fits; fails when none comes in time.
    pub(crate) fn wait(&mut self, what: &str, mut fits: impl FnMut(&str) -> bool) -> String {
        let mut last = String::new();
        let heard = self.heard(what, LIMIT, |line| {
            last = line.into();
            fits(line)
        });
        match heard {
            Some(line) => line,
            None => {
                // Its error output ends only with the program.
                let _ = self.program.0.kill();
                let errors = self.errors();
                panic!("{what}: not said within {LIMIT:?}; the last line was \"{last}\"\n{errors}")
            }
        }
    }

    fn errors(&mut self) -> String {
        self.errors
            .take()
            .map_or_else(String::new, |said| said.join().expect("no panic"))
    }

    fn ended_early(&mut self, what: &str) -> ! {
        let status = self.program.0.wait().expect("the program can be asked");
        panic!(
            "{what}: the program ended before that with {status}:\n{}",
            self.errors()
        )
    }

    /// Waits for the end of the program.
    pub(crate) fn end(mut self) -> End {
        let begun = Instant::now();
        let mut said = String::new();
        // Its output ends with the program; a full pipe would keep it from ending.
        while let Some(left) = LIMIT.checked_sub(begun.elapsed()) {
            match self.lines.recv_timeout(left) {
                Ok(line) => said += &(line + "\n"),
                Err(RecvTimeoutError::Timeout) => break,
                Err(RecvTimeoutError::Disconnected) => {
                    let status = self.program.0.wait().expect("the program can be asked");
                    let errors = self.errors();
                    return End { status, said, errors };
                }
            }
        }
        let _ = self.program.0.kill();
        panic!("the program did not end within {LIMIT:?}\n{said}\n{}", self.errors())
    }

    /// Waits for an end without trouble and returns what was said before it.
    pub(crate) fn end_well(self) -> String {
        let end = self.end();
        assert!(end.status.success(), "{}\n{}\n{}", end.status, end.said, end.errors);
        end.said
    }

    /// Ends the program as a crash of the computer would, with no time to save anything.
    pub(crate) fn kill(mut self) {
        self.program.0.kill().expect("it can be killed");
        self.program.0.wait().expect("and is gone");
    }

    /// Works the screen with xdotool and returns what that says.
    pub(crate) fn tool(&self, args: &[&str]) -> String {
        let out = Command::new("xdotool")
            .args(args)
            .env("DISPLAY", &self.screen.name)
            .output()
            .expect("xdotool runs");
        String::from_utf8_lossy(&out.stdout).trim().to_string()
    }

    /// Bytes of the computer's memory that the program fills now, pages of its file included; `None` where the system does not
    /// tell it as Linux does.
    pub(crate) fn resident_bytes(&self) -> Option<u64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.program.0.id())).ok()?;
        let line = status.lines().find_map(|l| l.strip_prefix("VmRSS:"))?;
        let kib: u64 = line.trim().strip_suffix(" kB")?.parse().ok()?;
        Some(kib * 1024)
    }

    /// The window's number, waited for.
    pub(crate) fn id(&mut self) -> String {
        let begun = Instant::now();
        loop {
            if let Some(id) = self.tool(&["search", "--name", "toeline sandbox"]).lines().next() {
                return id.to_string();
            }
            if self.program.0.try_wait().expect("the program can be asked").is_some() {
                self.ended_early("its window");
            }
            assert!(begun.elapsed() < LIMIT, "no window within {LIMIT:?}");
            std::thread::sleep(ASK_EVERY);
        }
    }

    /// Holds a key again and again until the program says that it has understood: for a first key, which is lost while the
    /// window has no keyboard yet, and which may do its work twice.
    pub(crate) fn key_until(&mut self, key: &str, words: &str) -> String {
        let begun = Instant::now();
        while begun.elapsed() < LIMIT {
            let id = self.id();
            self.tool(&["windowfocus", &id]);
            self.tool(&["keydown", key]);
            let line = self.heard(words, Duration::from_secs(6), |l| l.starts_with(words));
            self.tool(&["keyup", key]);
            if let Some(line) = line {
                return line;
            }
        }
        panic!("key {key}: \"{words}\" was not said within {LIMIT:?}")
    }

    /// Holds a key until a line fits, and lets it go.
    pub(crate) fn hold_until(&mut self, key: &str, fits: impl FnMut(&str) -> bool) -> String {
        self.tool(&["keydown", key]);
        let line = self.wait(&format!("key {key}"), fits);
        self.tool(&["keyup", key]);
        line
    }
}

/// Whether a line of the program is one about a tick.
pub(crate) fn is_report(line: &str) -> bool {
    line.starts_with("tick ")
}

/// The word after a name in a line about a tick.
///
/// # Panics
/// When the line has no such name.
pub(crate) fn word<'a>(line: &'a str, name: &str) -> &'a str {
    line.split_once(&format!("{name} "))
        .and_then(|(_, rest)| rest.split(' ').next())
        .unwrap_or_else(|| panic!("no {name} in \"{line}\""))
}

/// The number after a name in a line about a tick.
///
/// # Panics
/// When the line has no such name or no number there.
pub(crate) fn number(line: &str, name: &str) -> f64 {
    let word = word(line, name);
    word.parse()
        .unwrap_or_else(|_| panic!("{name} is no number in \"{line}\""))
}
