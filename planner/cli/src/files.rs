//! Disk and terminal: the only place of the program that touches either.

use crate::args::Colour;
use std::cell::RefCell;
use std::fs;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use toeline_engine::carrier::{self, Aerodrome, At, CarrierError, Cut, Form, Message};
use toeline_engine::read::Progress;

/// Largest input file that is read, bytes.
const MOST_BYTES: u64 = 256 * 1024 * 1024;

/// A map as GeoJSON text.
pub(crate) struct Map {
    pub(crate) text: String,
    /// Whether it was cut out of a file of another carrier, so that no file holds it yet.
    pub(crate) made: bool,
}

/// Reads a map file: GeoJSON as it is, of OpenStreetMap data and AIXM messages the aerodrome that is asked for, as it is at
/// a time. A folder holds AIXM messages.
pub(crate) fn read_map(path: &Path, aerodrome: Option<&str>, at: At) -> Result<Map, String> {
    let told = |e: CarrierError| format!("{}: {e}", path.display());
    if path.is_dir() {
        let mut line = ReadingLine::new();
        let cut = with_messages(path, |list| {
            carrier::cut_out_of_messages(list, aerodrome, at, &mut |p| line.tell_carrier(p)).map_err(told)
        })?;
        return Ok(Map {
            text: cut.text,
            made: true,
        });
    }
    let mut file = open_map(path)?;
    if carrier::form(&mut file).map_err(told)? == Form::GeoJson {
        if aerodrome.is_some() {
            return Err(format!(
                "{}: is GeoJSON, which holds one airfield; --aerodrome picks one out of OpenStreetMap or AIXM data",
                path.display()
            ));
        }
        return Ok(Map {
            text: read_text(path)?,
            made: false,
        });
    }
    let mut line = ReadingLine::new();
    let cut = carrier::cut_out(&mut file, aerodrome, at, &mut |p| line.tell_carrier(p)).map_err(told)?;
    Ok(Map {
        text: cut.text,
        made: true,
    })
}

/// What is done with each aerodrome of a file: its number from 1 and how many there are, which one, and its map as GeoJSON text
/// or why it cannot be had; no map where there is nothing to taxi on. The answer says whether to go on.
pub(crate) type TakeAerodrome<'t> =
    dyn FnMut((usize, usize), Option<&Aerodrome>, Option<Result<String, String>>) -> bool + 't;

/// Shows every aerodrome of a map file; GeoJSON is one airfield.
pub(crate) fn each_aerodrome(path: &Path, at: At, take: &mut TakeAerodrome<'_>) -> Result<(), String> {
    let told = |e: CarrierError| format!("{}: {e}", path.display());
    let line = RefCell::new(ReadingLine::new());
    let tell = &mut |p| line.borrow_mut().tell_carrier(p);
    let hand_over = &mut |i, of, aerodrome: &Aerodrome, cut: Option<Result<Cut, CarrierError>>| {
        line.borrow_mut().wipe();
        let text = cut.map(|c| c.map(|c| c.text).map_err(|e| e.to_string()));
        take((i + 1, of), Some(aerodrome), text)
    };
    if path.is_dir() {
        return with_messages(path, |list| {
            carrier::cut_each_of_messages(list, at, tell, hand_over).map_err(told)
        });
    }
    let mut file = open_map(path)?;
    if carrier::form(&mut file).map_err(told)? == Form::GeoJson {
        let text = read_text(path)?;
        take((1, 1), None, Some(Ok(text)));
        return Ok(());
    }
    carrier::cut_each(&mut file, at, tell, hand_over).map_err(told)
}

/// The aerodromes of a file of OpenStreetMap data, of an AIXM message or of a folder of such messages.
pub(crate) fn aerodromes_of(path: &Path, at: At) -> Result<Vec<Aerodrome>, String> {
    let told = |e: CarrierError| format!("{}: {e}", path.display());
    let mut line = ReadingLine::new();
    if path.is_dir() {
        return with_messages(path, |list| {
            carrier::aerodromes_of_messages(list, at, &mut |p| line.tell_carrier(p)).map_err(told)
        });
    }
    let mut file = open_map(path)?;
    carrier::aerodromes(&mut file, at, &mut |p| line.tell_carrier(p)).map_err(told)
}

/// Most files of one folder that are looked at. Ours: they are open together.
const MOST_FILES: usize = 500;

/// Opens the AIXM messages of a folder, `*.xml` by name, and says which other such files were passed over.
fn with_messages<T>(folder: &Path, then: impl FnOnce(&mut [Message<'_>]) -> Result<T, String>) -> Result<T, String> {
    let told = |e: std::io::Error| format!("{}: {}", folder.display(), plain(&e));
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).map_err(told)? {
        let file = entry.map_err(told)?.path();
        let is_xml = file.extension().is_some_and(|e| e.eq_ignore_ascii_case("xml"));
        if is_xml && file.is_file() {
            names.push(file);
        }
    }
    names.sort();
    if names.len() > MOST_FILES {
        return Err(format!(
            "{}: holds {} files *.xml; at most {MOST_FILES} are read",
            folder.display(),
            names.len()
        ));
    }
    let mut files = Vec::new();
    for path in names {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let mut file = open_map(&path)?;
        match carrier::form(&mut file) {
            Ok(Form::Aixm) => files.push((name, file)),
            Ok(other) => say_error(&format!("passed over {}: {other}, no AIXM message", path.display())),
            Err(e) => say_error(&format!("passed over {}: {e}", path.display())),
        }
    }
    if files.is_empty() {
        return Err(format!(
            "{}: is a folder with no AIXM message (*.xml); a map is a file, or a folder of such messages",
            folder.display()
        ));
    }
    let mut list: Vec<Message<'_>> = files
        .iter_mut()
        .map(|(name, file)| Message {
            name: name.clone(),
            bytes: file,
        })
        .collect();
    then(&mut list)
}

fn open_map(path: &Path) -> Result<fs::File, String> {
    let told = |e: std::io::Error| format!("{}: {}", path.display(), plain(&e));
    about(path)?;
    fs::File::open(path).map_err(told)
}

/// What there is to know of a file that is no folder.
fn about(path: &Path) -> Result<fs::Metadata, String> {
    let shown = path.display();
    let about = fs::metadata(path).map_err(|e| format!("{shown}: {}", plain(&e)))?;
    if about.is_dir() {
        return Err(format!("{shown}: is a folder, not a file"));
    }
    Ok(about)
}

/// Reads a text file.
pub(crate) fn read_text(path: &Path) -> Result<String, String> {
    let shown = path.display();
    let about = about(path)?;
    if about.len() > MOST_BYTES {
        return Err(format!(
            "{shown}: {} MiB; at most {} MiB are read",
            about.len() >> 20,
            MOST_BYTES >> 20
        ));
    }
    let bytes = fs::read(path).map_err(|e| format!("{shown}: {}", plain(&e)))?;
    String::from_utf8(bytes).map_err(|e| {
        format!(
            "{shown}: not UTF-8 text: byte {} is no part of a character",
            e.utf8_error().valid_up_to() + 1
        )
    })
}

/// When a file was last written, seconds since 1970-01-01T00:00Z.
pub(crate) fn written_unix_s(path: &Path) -> Result<i64, String> {
    let told = |e: std::io::Error| format!("{}: {}", path.display(), plain(&e));
    let when = fs::metadata(path).and_then(|m| m.modified()).map_err(told)?;
    let s = when.duration_since(std::time::UNIX_EPOCH).map_or(0, |d| d.as_secs());
    Ok(i64::try_from(s).unwrap_or(i64::MAX))
}

/// Writes a file whole or not at all: beside it first, then in its place.
pub(crate) fn write_whole(path: &Path, content: impl AsRef<[u8]>) -> Result<(), String> {
    let told = |e: std::io::Error| format!("{}: {}", path.display(), plain(&e));
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    let beside = Path::new(&beside);
    fs::write(beside, content).map_err(told)?;
    fs::rename(beside, path).map_err(told)
}

/// Makes a folder and those above it.
pub(crate) fn make_folder(path: &Path) -> Result<(), String> {
    fs::create_dir_all(path).map_err(|e| format!("{}: {}", path.display(), plain(&e)))
}

fn plain(e: &std::io::Error) -> String {
    match e.kind() {
        std::io::ErrorKind::NotFound => "no such file or folder".to_string(),
        std::io::ErrorKind::PermissionDenied => "no permission".to_string(),
        _ => e.to_string(),
    }
}

/// Prints text; a closed pipe (such as `| head`) ends quietly.
pub(crate) fn say(text: &str) {
    let _ = std::io::stdout().lock().write_all(text.as_bytes());
}

/// Prints text at once; whether anyone still reads it.
pub(crate) fn say_on(text: &str) -> bool {
    let mut out = std::io::stdout().lock();
    out.write_all(text.as_bytes()).and_then(|()| out.flush()).is_ok()
}

/// Whether text for standard output is coloured: as asked, else on a terminal that is not a dumb one, unless NO_COLOR holds
/// anything (the convention of no-color.org).
pub(crate) fn in_colour(asked: Colour) -> bool {
    let holds = |name: &str| std::env::var_os(name).is_some_and(|v| !v.is_empty());
    match asked {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => {
            let dumb = std::env::var_os("TERM").is_some_and(|t| t == "dumb");
            std::io::stdout().is_terminal() && !holds("NO_COLOR") && !dumb
        }
    }
}

/// Prints an error.
pub(crate) fn say_error(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "toeline: {text}");
}

/// Tells on a terminal how far the reading of a long map is, in one line that is wiped when it is done; says nothing where
/// standard error is no terminal.
pub(crate) struct ReadingLine {
    terminal: bool,
    shown: bool,
}

impl ReadingLine {
    pub(crate) fn new() -> ReadingLine {
        ReadingLine {
            terminal: std::io::stderr().is_terminal(),
            shown: false,
        }
    }

    pub(crate) fn tell(&mut self, progress: Progress) {
        let (what, done, of) = match progress {
            Progress::Text { done_bytes, of_bytes } => ("reading the map", done_bytes, of_bytes),
            Progress::Features { done, of } => ("making out its features", done, of),
        };
        self.share(what, done, of);
    }

    /// The same for a file of another carrier, which is read several times.
    pub(crate) fn tell_carrier(&mut self, p: carrier::Progress) {
        let kib = |bytes: u64| usize::try_from(bytes >> 10).unwrap_or(usize::MAX);
        let what = format!("reading the map, time {}", p.reading);
        self.share(&what, kib(p.done_bytes), kib(p.of_bytes));
    }

    /// How much of something is done.
    pub(crate) fn share(&mut self, what: &str, done: usize, of: usize) {
        if !self.terminal {
            return;
        }
        let percent = 100 * done / of.max(1);
        let _ = write!(std::io::stderr().lock(), "\r\x1b[K{what}: {percent} %");
        self.shown = true;
    }
}

impl ReadingLine {
    /// Leaves the line empty.
    fn wipe(&mut self) {
        if self.shown {
            let _ = write!(std::io::stderr().lock(), "\r\x1b[K");
            self.shown = false;
        }
    }
}

impl Drop for ReadingLine {
    fn drop(&mut self) {
        self.wipe();
    }
}

/// The attempt itself when it is a file; every `*.json` of a folder by name.
pub(crate) fn attempts_in(path: &Path) -> Result<Vec<PathBuf>, String> {
    let told = |e: std::io::Error| format!("{}: {}", path.display(), plain(&e));
    if !fs::metadata(path).map_err(told)?.is_dir() {
        return Ok(vec![path.to_path_buf()]);
    }
    let mut list = Vec::new();
    for entry in fs::read_dir(path).map_err(told)? {
        let file = entry.map_err(told)?.path();
        if file.extension().is_some_and(|e| e == "json") && file.is_file() {
            list.push(file);
        }
    }
    list.sort();
    if list.is_empty() {
        return Err(format!("{}: holds no attempt (*.json)", path.display()));
    }
    Ok(list)
}
