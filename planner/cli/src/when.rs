//! The day and the time that were typed: UTC, or local by the reader's time zone.

use jiff::civil::DateTime;
use jiff::tz::{AmbiguousOffset, Offset, TimeZone};
use toeline_model::date::{Date, TimeOfDay};

/// When the plan is for.
pub(crate) struct When {
    /// Day, UTC.
    pub(crate) date: Date,
    /// Time of that day, UTC.
    pub(crate) time_utc: Option<TimeOfDay>,
    /// That time as people read it, in UTC and by their own clock, where they named their time zone.
    pub(crate) told: Option<String>,
}

/// Works out `--date`, `--time` and `--time-zone`; `today` is the day in UTC.
pub(crate) fn when(date: Option<&str>, time: Option<&str>, zone: Option<&str>, today: Date) -> Result<When, String> {
    let zone = zone.map(|name| time_zone(name).map(|z| (name, z))).transpose()?;
    let Some(typed) = time else {
        return Ok(When {
            date: date.map_or(Ok(today), Date::parse)?,
            time_utc: None,
            told: None,
        });
    };
    let utc = |date: Date, time: TimeOfDay| {
        civil(date, time).and_then(|dt| TimeZone::UTC.to_timestamp(dt).map_err(|e| e.to_string()))
    };
    let at = match (typed.trim().strip_suffix('L'), &zone) {
        (None, _) => utc(date.map_or(Ok(today), Date::parse)?, TimeOfDay::parse(typed)?)?,
        (Some(_), None) => {
            return Err(format!(
                "time \"{typed}\" is local time, and no place says where: give --time-zone, for example Europe/Lisbon or +01:00"
            ));
        }
        (Some(local), Some((name, zone))) => {
            let Some(date) = date else {
                return Err(format!(
                    "time \"{typed}\" is local time: give its day as well, --date YYYY-MM-DD"
                ));
            };
            let dt = civil(Date::parse(date)?, TimeOfDay::parse(local)?)?;
            let found = zone.to_ambiguous_timestamp(dt);
            match found.offset() {
                AmbiguousOffset::Unambiguous { .. } => found.unambiguous().map_err(|e| e.to_string())?,
                AmbiguousOffset::Gap { before, after } => {
                    return Err(format!(
                        "{local} on {date} does not exist in {name}: the clocks go from UTC{} to UTC{} over it; give the time in UTC, \
                         as HH:MMZ",
                        signed(before),
                        signed(after)
                    ));
                }
                AmbiguousOffset::Fold { before, after } => {
                    return Err(format!(
                        "{local} on {date} comes twice in {name}: at UTC{} and again at UTC{}; give the time in UTC, as HH:MMZ",
                        signed(before),
                        signed(after)
                    ));
                }
            }
        }
    };
    let (day, time_utc) = split(TimeZone::UTC.to_datetime(at))?;
    let told = match &zone {
        None => None,
        Some((name, zone)) => {
            let (local_day, local) = split(zone.to_datetime(at))?;
            let offset = signed(zone.to_offset(at));
            let place = if TimeZone::get(name).is_ok() {
                format!("{name}, UTC{offset}")
            } else {
                format!("UTC{offset}")
            };
            let day_told = if local_day == day {
                String::new()
            } else {
                format!("{local_day} ")
            };
            let (h, m) = (local.minute / 60, local.minute % 60);
            Some(format!("{time_utc}, {day_told}{h:02}:{m:02} local ({place})"))
        }
    };
    Ok(When {
        date: day,
        time_utc: Some(time_utc),
        told,
    })
}

/// A zone of the IANA time zone database by its name, or an offset from UTC.
fn time_zone(name: &str) -> Result<TimeZone, String> {
    if let Ok(zone) = TimeZone::get(name) {
        return Ok(zone);
    }
    let wrong = || {
        format!(
            "time zone \"{name}\" is neither a name of the IANA time zone database, such as Europe/Lisbon, nor an offset such as +01:00"
        )
    };
    let (sign, rest) = match name.split_at_checked(1) {
        Some(("+", rest)) => (1, rest),
        Some(("-", rest)) => (-1, rest),
        _ => return Err(wrong()),
    };
    let time = TimeOfDay::parse(rest).map_err(|_| wrong())?;
    if rest.ends_with('Z') || time.minute > 14 * 60 {
        return Err(wrong());
    }
    let seconds = sign * i32::from(time.minute) * 60;
    Offset::from_seconds(seconds).map(TimeZone::fixed).map_err(|_| wrong())
}

fn signed(offset: Offset) -> String {
    let s = offset.seconds();
    let (sign, minutes) = (if s < 0 { '-' } else { '+' }, s.unsigned_abs() / 60);
    format!("{sign}{:02}:{:02}", minutes / 60, minutes % 60)
}

fn civil(date: Date, time: TimeOfDay) -> Result<DateTime, String> {
    format!("{date}T{:02}:{:02}:00", time.minute / 60, time.minute % 60)
        .parse()
        .map_err(|e: jiff::Error| e.to_string())
}

fn split(at: DateTime) -> Result<(Date, TimeOfDay), String> {
    let date = Date::parse(&format!("{:04}-{:02}-{:02}", at.year(), at.month(), at.day()))?;
    let time = TimeOfDay::parse(&format!("{:02}:{:02}", at.hour(), at.minute()))?;
    Ok((date, time))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(date: &str, time: &str, zone: &str) -> Result<(String, String, String), String> {
        let today = Date::parse("2026-01-15")?;
        let w = when(Some(date), Some(time), Some(zone), today)?;
        Ok((w.date.to_string(), w.time_utc.unwrap().to_string(), w.told.unwrap()))
    }

    #[test]
    fn local_and_utc_say_the_same_moment() {
        let winter = told("2026-11-29", "15:30L", "Europe/Berlin").unwrap();
        assert_eq!(winter, told("2026-11-29", "14:30", "Europe/Berlin").unwrap());
        assert_eq!(winter.2, "14:30Z, 15:30 local (Europe/Berlin, UTC+01:00)");
        // Summer time, and a day that is another one in UTC.
        let summer = told("2026-07-04", "00:30L", "Europe/Berlin").unwrap();
        assert_eq!((summer.0.as_str(), summer.1.as_str()), ("2026-07-03", "22:30Z"));
        assert_eq!(summer.2, "22:30Z, 2026-07-04 00:30 local (Europe/Berlin, UTC+02:00)");
        assert_eq!(
            told("2026-07-04", "12:00Z", "-03:30").unwrap().2,
            "12:00Z, 08:30 local (UTC-03:30)"
        );
    }

    #[test]
    fn hours_that_are_none_or_two_are_refused() {
        // The last Sundays of March and October 2026 in the European Union.
        assert!(
            told("2026-03-29", "02:30L", "Europe/Berlin")
                .unwrap_err()
                .contains("does not exist")
        );
        assert!(
            told("2026-10-25", "02:30L", "Europe/Berlin")
                .unwrap_err()
                .contains("comes twice")
        );
        assert!(
            told("2026-10-25", "02:30L", "Nowhere/Here")
                .unwrap_err()
                .contains("time zone")
        );
        assert!(
            told("2026-10-25", "02:30L", "+99:00")
                .unwrap_err()
                .contains("time zone")
        );
        let today = Date::parse("2026-01-15").unwrap();
        assert!(when(Some("2026-10-25"), Some("02:30L"), None, today).is_err());
        assert!(when(None, Some("02:30L"), Some("Europe/Berlin"), today).is_err());
        assert!(when(None, Some("25:30"), None, today).is_err());
    }
}
