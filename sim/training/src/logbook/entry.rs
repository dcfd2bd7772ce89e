//! What a logbook knows of a drive without opening it, as plain data.

use crate::attempt::{Attempt, EventKind};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use toeline_model::date::{Date, TimeOfDay};
use toeline_model::math;
use toeline_model::units::round_to;

/// By whose practice a figure is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Reference {
    /// A published one.
    #[serde(rename = "published")]
    Published,
    /// Common in the trade, without a source to name.
    #[serde(rename = "common practice")]
    CommonPractice,
    /// Our own.
    #[serde(rename = "ours")]
    Ours,
}

impl Reference {
    /// The word that is written.
    pub fn word(self) -> &'static str {
        match self {
            Reference::Published => "published",
            Reference::CommonPractice => "common practice",
            Reference::Ours => "ours",
        }
    }

    /// The reference of a word.
    pub fn of_word(word: &str) -> Option<Reference> {
        [Reference::Published, Reference::CommonPractice, Reference::Ours]
            .into_iter()
            .find(|r| r.word() == word)
    }
}

/// One figure of a drive.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Figure {
    /// What it is, with its unit, for example `top_speed_mps`.
    pub key: String,
    /// The value, finite.
    pub value: f64,
    /// By whose practice it is read.
    pub reference: Reference,
    /// The publication, or how it was found.
    pub source: String,
}

/// What is said of an attempt when it is added.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct About {
    /// Name or number that the pupil chose.
    pub pupil: String,
    /// When it was driven, seconds since 1970-01-01T00:00Z.
    pub when_unix_s: i64,
    /// Name of the field; `None`: the name of the map file that the attempt tells, if it does.
    pub field: Option<String>,
    /// Exercise; `None`: the drill that the attempt tells, if it does.
    pub exercise: Option<String>,
    /// Figures beside those of [`figures_of`].
    pub figures: Vec<Figure>,
}

/// One line of the list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// The attempt's own name, made from its content: 32 hexadecimal digits.
    pub id: String,
    /// When it was driven, UTC.
    pub when: When,
    /// Who drove it.
    pub pupil: String,
    /// Field, where it is known.
    pub field: Option<String>,
    /// Aeroplane: the id of its file.
    pub aircraft: String,
    /// Exercise, where there was one.
    pub exercise: Option<String>,
    /// The way that was asked for, where there was one.
    pub plan: Option<String>,
    /// Version of the physics.
    pub physics_version: u32,
    /// How long it lasted, seconds.
    pub duration_s: f64,
}

impl Entry {
    /// The same with nothing where an empty text was given.
    pub(super) fn tidy(self) -> Entry {
        let known = |text: Option<String>| text.map(|t| t.trim().to_string()).filter(|t| !t.is_empty());
        Entry {
            pupil: self.pupil.trim().to_string(),
            field: known(self.field),
            exercise: known(self.exercise),
            plan: known(self.plan),
            ..self
        }
    }
}

/// A pupil and how much he has driven.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pupil {
    /// Name or number he chose.
    pub name: String,
    /// Attempts of his.
    pub attempts: u64,
    /// Their time together, seconds.
    pub driven_s: f64,
    /// When the last one was.
    pub last: Option<When>,
}

/// A moment, to the second; written `YYYY-MM-DDTHH:MM:SSZ` (UTC).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct When {
    /// Seconds since 1970-01-01T00:00Z, 0 to [`LATEST_UNIX_S`].
    pub unix_s: i64,
}

/// The end of the year 2100, the last that a day is read of.
pub const LATEST_UNIX_S: i64 = 4_133_980_799;

impl When {
    /// A moment by its seconds; brought into range.
    pub fn at(unix_s: i64) -> When {
        When {
            unix_s: unix_s.clamp(0, LATEST_UNIX_S),
        }
    }

    /// Reads `YYYY-MM-DDTHH:MM`, with or without seconds and `Z`; or a day alone, which is its noon.
    ///
    /// # Errors
    /// A sentence that says what is wrong.
    pub fn parse(text: &str) -> Result<When, String> {
        let wrong = || format!("\"{text}\" is no moment in UTC written as 2026-07-04T14:30Z, nor a day as 2026-07-04");
        let (day, time) = match text.split_once('T') {
            Some((day, time)) => (day, time.strip_suffix('Z').unwrap_or(time)),
            None => (text, "12:00"),
        };
        let date = Date::parse(day).map_err(|_| wrong())?;
        if date.year < 1970 || !time.is_ascii() {
            return Err(wrong());
        }
        let (minutes, seconds) = match time.len() {
            5 => (time, "00"),
            8 if time.as_bytes()[5] == b':' => (&time[..5], &time[6..]),
            _ => return Err(wrong()),
        };
        let minute = TimeOfDay::parse(minutes).map_err(|_| wrong())?.minute;
        let both = seconds.bytes().all(|b| b.is_ascii_digit());
        let second: i64 = seconds.parse().ok().filter(|s| both && *s < 60).ok_or_else(wrong)?;
        let leap = |y: i32| y % 4 == 0 && (y % 100 != 0 || y % 400 == 0);
        let days: i64 = (1970..date.year).map(|y| if leap(y) { 366 } else { 365 }).sum();
        let days = days + i64::from(date.day_of_year) - 1;
        Ok(When {
            unix_s: days * 86_400 + i64::from(minute) * 60 + second,
        })
    }
}

impl core::fmt::Display for When {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let s = self.unix_s.clamp(0, LATEST_UNIX_S) as u64;
        let date = Date::from_unix_s(s);
        let of_day = s % 86_400;
        write!(
            f,
            "{date}T{:02}:{:02}:{:02}Z",
            of_day / 3600,
            of_day / 60 % 60,
            of_day % 60
        )
    }
}

impl TryFrom<String> for When {
    type Error = String;
    fn try_from(text: String) -> Result<When, String> {
        When::parse(&text)
    }
}

impl From<When> for String {
    fn from(when: When) -> String {
        when.to_string()
    }
}

/// Longest name of a pupil, characters (ours).
const MOST_NAME: usize = 80;

/// A pupil's name as it is kept: without spaces around it.
///
/// # Errors
/// Why it cannot be one.
pub fn name(typed: &str) -> Result<String, &'static str> {
    let name = typed.trim();
    if name.is_empty() {
        return Err("it is empty");
    }
    if name.chars().count() > MOST_NAME {
        return Err("it is longer than 80 characters");
    }
    if name.chars().any(char::is_control) {
        return Err("it holds a character that cannot be printed");
    }
    Ok(name.to_string())
}

/// The figures that every record tells by itself: how long, how far, how fast, and how often something happened.
pub fn figures_of(attempt: &Attempt) -> Vec<Figure> {
    let far: f64 = attempt
        .track
        .windows(2)
        .map(|p| math::hypot(p[1].nose.x - p[0].nose.x, p[1].nose.y - p[0].nose.y))
        .sum();
    let fast = attempt.track.iter().map(|p| p.speed_mps).fold(0.0, f64::max);
    let ours = |key: &str, value: f64, source: &str| Figure {
        key: key.to_string(),
        value,
        reference: Reference::Ours,
        source: source.to_string(),
    };
    let mut list = vec![
        ours("driven_m", round_to(far, 1), "along the stored track of the nose wheel"),
        ours("duration_s", round_to(attempt.duration_s(), 3), "ticks of the record"),
        ours("top_speed_mps", fast, "largest of the stored track"),
    ];
    for (kind, key) in [
        (EventKind::BrakeLocked, "brake_locked_count"),
        (EventKind::EngineStopped, "engine_stopped_count"),
        (EventKind::LeftPavement, "left_pavement_count"),
        (EventKind::LiftedOff, "lifted_off_count"),
        (EventKind::Stopped, "stopped_count"),
        (EventKind::TippedOver, "tipped_over_count"),
        (EventKind::TouchedObstacle, "touched_obstacle_count"),
    ] {
        let count = attempt.events.iter().filter(|e| e.kind == kind).count();
        list.push(ours(key, count as f64, "events of the record"));
    }
    list
}

/// The name of the map file that an attempt was driven on, without folder and ending.
pub(super) fn field_of(job: Option<&Value>) -> Option<String> {
    let file = job?.get("field_file")?.as_str()?;
    let last = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let stem = last.rsplit_once('.').map_or(last, |(stem, _)| stem);
    (!stem.is_empty()).then(|| stem.to_string())
}

/// The exercise or drill that an attempt was driven for.
pub(super) fn drill_of(job: Option<&Value>) -> Option<String> {
    let exercise = job?.get("exercise").and_then(|e| e.get("id"));
    if let Some(id) = exercise.and_then(Value::as_str) {
        return Some(id.to_string());
    }
    match job?.get("toeline_drill")? {
        Value::String(s) => Some(s.clone()),
        other => Some(other.to_string()),
    }
}

/// The way that was asked for, in words.
pub(super) fn plan_of(job: Option<&Value>) -> Option<String> {
    let request = job?.get("request")?;
    let text = |key: &str| request.get(key).and_then(Value::as_str);
    let mut words = format!("from {}", text("from")?);
    for place in request.get("via").and_then(Value::as_array).into_iter().flatten() {
        words += &format!(" via {}", place.as_str()?);
    }
    words += &format!(" to {}", text("to")?);
    if let Some(wind) = text("wind") {
        words += &format!(", wind {wind}");
    }
    Some(words)
}
