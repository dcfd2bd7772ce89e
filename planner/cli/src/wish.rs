//! What the typed words mean: files read, names resolved, defaults filled in.

use crate::args::{Journey, MarginBy};
use crate::files;
use crate::when::{self, When};
use std::path::{Path, PathBuf};
use toeline_engine::Request;
use toeline_engine::carrier::At;
use toeline_engine::notices::{self, Notam};
use toeline_engine::odds::{DEFAULT_DRIVES, DEFAULT_SEED, OddsAsked, Wobble};
use toeline_engine::request::{DEFAULT_MARGIN_M, DEFAULT_VERTICAL_MARGIN_M, MarginRule};
use toeline_model::aircraft::{Aircraft, catalog, check};
use toeline_model::date::{Date, TimeOfDay};
use toeline_model::{Bearing, Wind};

/// A journey with its map text.
pub(crate) struct Wish {
    pub(crate) field_text: String,
    /// Whether no file holds that text: it was cut out of OpenStreetMap or AIXM data.
    pub(crate) field_made: bool,
    pub(crate) request: Request,
    /// The time as people read it, where they named a time zone.
    pub(crate) time_told: Option<String>,
}

/// Works out a journey.
pub(crate) fn wish(journey: &Journey) -> Result<Wish, String> {
    let wind = Wind::parse(&journey.wind)?;
    let typed = (
        journey.date.as_deref(),
        journey.time.as_deref(),
        journey.time_zone.as_deref(),
    );
    let When { date, time_utc, told } = when::when(typed.0, typed.1, typed.2, today()?)?;
    let parked_heading = match journey.parked_heading {
        Some(deg) if !(0.0..=360.0).contains(&deg) => {
            return Err(format!("parked heading {deg} is outside 0 to 360 degrees"));
        }
        other => other.map(Bearing::from_deg),
    };
    let aircraft = aircraft(&journey.aircraft)?;
    let map = files::read_map(
        &journey.field,
        journey.aerodrome.as_deref(),
        At { date, time: time_utc },
    )?;
    if journey.strict {
        strict(&journey.field, &map.text)?;
    }
    let request = Request {
        aircraft,
        from: journey.from.clone(),
        parked_heading,
        via: journey.via.clone(),
        to: end(journey)?,
        wind,
        date,
        margin_m: journey.margin.unwrap_or(DEFAULT_MARGIN_M),
        vertical_margin_m: journey.vertical_margin.unwrap_or(DEFAULT_VERTICAL_MARGIN_M),
        accuracy_m: journey.accuracy,
        rule: rule(journey.margin_by),
        instruction: journey.instruction.clone(),
        notams: notices(&journey.notice)?,
        time_utc,
        odds: OddsAsked {
            wobble: journey.wobble.as_deref().map(Wobble::parse).transpose()?,
            drives: journey.drives.unwrap_or(DEFAULT_DRIVES),
            seed: journey.seed.unwrap_or(DEFAULT_SEED),
        },
    };
    Ok(Wish {
        field_text: map.text,
        field_made: map.made,
        request,
        time_told: told,
    })
}

/// Where the way ends: as asked, else where the taxi instruction ends.
fn end(journey: &Journey) -> Result<String, String> {
    if let Some(to) = &journey.to {
        return Ok(to.clone());
    }
    let text = journey.instruction.as_deref().unwrap_or_default();
    let said = toeline_engine::instruction::read(text).map_err(|e| e.to_string())?;
    said.ends_at().ok_or_else(|| {
        "the taxi instruction names neither a holding position nor a runway to taxi to; give --to".to_string()
    })
}

/// Refuses a map that would be read with repairs or doubts, telling each. One that cannot be read at all is refused by the
/// plan, with its own words.
fn strict(path: &Path, field_text: &str) -> Result<(), String> {
    let refused = toeline_engine::inspection::refused(field_text).unwrap_or_default();
    if refused.is_empty() {
        return Ok(());
    }
    let list: Vec<String> = refused.iter().map(|r| format!("\n  {r}")).collect();
    Err(format!(
        "{}: --strict refuses this map, because {} of it would be mended or guessed (toeline inspect tells more):{}",
        path.display(),
        if refused.len() == 1 {
            "1 thing".to_string()
        } else {
            format!("{} things", refused.len())
        },
        list.concat()
    ))
}

/// The rule that decides.
pub(crate) fn rule(by: MarginBy) -> MarginRule {
    match by {
        MarginBy::Pilot => MarginRule::Pilot,
        MarginBy::Faa => MarginRule::Faa,
        MarginBy::Icao => MarginRule::Icao,
    }
}

/// The notices of some files, in the order they were named.
pub(crate) fn notices(named: &[PathBuf]) -> Result<Vec<Notam>, String> {
    let mut list = Vec::new();
    for file in named {
        let text = files::read_text(file)?;
        let name = file
            .file_name()
            .map_or_else(|| file.display().to_string(), |n| n.to_string_lossy().to_string());
        list.extend(notices::read(&text, &name).map_err(|e| format!("{}: {e}", file.display()))?);
    }
    Ok(list)
}

/// The day typed, or today.
pub(crate) fn day(typed: Option<&str>) -> Result<Date, String> {
    typed.map_or_else(today, Date::parse)
}

/// The day typed, or today, with the time of day in UTC where one is typed.
pub(crate) fn at(date: Option<&str>, time: Option<&str>) -> Result<At, String> {
    Ok(At {
        date: day(date)?,
        time: time.map(TimeOfDay::parse).transpose()?,
    })
}

fn today() -> Result<Date, String> {
    let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    now.map(|d| Date::from_unix_s(d.as_secs()))
        .map_err(|_| "the clock is before 1970; give --date YYYY-MM-DD".to_string())
}

/// The aeroplanes named, or all built-in ones; each once.
pub(crate) fn aeroplanes(names: &[String]) -> Result<Vec<Aircraft>, String> {
    if names.is_empty() {
        return Ok(catalog::all());
    }
    let mut list: Vec<Aircraft> = Vec::new();
    for name in names {
        let found = aircraft(name.trim())?;
        if list.iter().any(|a| a.id == found.id) {
            return Err(format!(
                "--aircraft names \"{}\" twice; each must have its own id",
                found.id
            ));
        }
        list.push(found);
    }
    Ok(list)
}

/// A built-in aeroplane by name, or a file.
pub(crate) fn aircraft(name: &str) -> Result<Aircraft, String> {
    if let Some(found) = catalog::find(name) {
        return Ok(found);
    }
    let path = Path::new(name);
    if path.exists() || name.contains(['/', '\\', '.']) {
        return from_file(path);
    }
    let mut names: Vec<(i64, String)> = catalog::all()
        .into_iter()
        .map(|a| ((strsim::jaro_winkler(name, &a.id) * 1000.0).round() as i64, a.id))
        .collect();
    names.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    let list: Vec<String> = names.into_iter().map(|n| n.1).collect();
    Err(format!(
        "no aircraft \"{name}\": no file of that name, and the built-in ones are, nearest first: {}",
        list.join(", ")
    ))
}

/// Reads an aircraft file.
pub(crate) fn from_file(path: &Path) -> Result<Aircraft, String> {
    let text = files::read_text(path)?;
    check::read(&text).map_err(|problems| {
        let list: Vec<String> = problems.iter().map(|p| format!("\n  {p}")).collect();
        format!("aircraft file {} cannot be used:{}", path.display(), list.concat())
    })
}
