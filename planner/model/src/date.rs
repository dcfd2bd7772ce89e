//! Calendar days and moments (UTC): the magnetic model needs the day, closures the minute.

use serde::{Deserialize, Serialize};

/// A day of the Gregorian calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Date {
    /// Year, for example 2026.
    pub year: i32,
    /// Day of the year, 1..=366.
    pub day_of_year: u16,
}

const MONTH_DAYS: [u16; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

fn leap(year: i32) -> bool {
    (year % 4 == 0 && year % 100 != 0) || year % 400 == 0
}

fn days_in(year: i32, month0: usize) -> u16 {
    MONTH_DAYS[month0] + u16::from(month0 == 1 && leap(year))
}

impl Date {
    /// Reads `YYYY-MM-DD`.
    ///
    /// # Errors
    /// A sentence that says what is wrong with the text.
    pub fn parse(text: &str) -> Result<Date, String> {
        let wrong = || format!("date \"{text}\" is not a day written as YYYY-MM-DD, for example 2026-07-04");
        let mut parts = text.split('-');
        let (Some(y), Some(m), Some(d), None) = (parts.next(), parts.next(), parts.next(), parts.next()) else {
            return Err(wrong());
        };
        let (Ok(year), Ok(month), Ok(day)) = (y.parse::<i32>(), m.parse::<usize>(), d.parse::<u16>()) else {
            return Err(wrong());
        };
        if !(1900..=2100).contains(&year) || !(1..=12).contains(&month) || day < 1 || day > days_in(year, month - 1) {
            return Err(wrong());
        }
        let before: u16 = (0..month - 1).map(|m| days_in(year, m)).sum();
        Ok(Date {
            year,
            day_of_year: before + day,
        })
    }

    /// The day after.
    #[must_use]
    pub fn next(self) -> Date {
        let last = if leap(self.year) { 366 } else { 365 };
        if self.day_of_year < last {
            Date {
                day_of_year: self.day_of_year + 1,
                ..self
            }
        } else {
            Date {
                year: self.year + 1,
                day_of_year: 1,
            }
        }
    }

    /// Number of the day: 1970-01-01 is 0.
    pub fn number(self) -> i64 {
        const EPOCH: i64 = 719_163;
        let y = i64::from(self.year) - 1;
        y * 365 + y.div_euclid(4) - y.div_euclid(100) + y.div_euclid(400) + i64::from(self.day_of_year) - EPOCH
    }

    /// The day of a number; `None` outside the years 1900 to 2100.
    pub fn from_number(number: i64) -> Option<Date> {
        // No year has more days than this, so the guess is never too late.
        let mut year = 1970 + i32::try_from(number.div_euclid(366)).ok()?;
        let first = |year| Date { year, day_of_year: 1 }.number();
        if !(1850..=2100).contains(&year) {
            return None;
        }
        while first(year + 1) <= number {
            year += 1;
        }
        while first(year) > number {
            year -= 1;
        }
        let day_of_year = u16::try_from(number - first(year) + 1).ok()?;
        (1900..=2100).contains(&year).then_some(Date { year, day_of_year })
    }

    /// Day of the week, 0 for Monday to 6 for Sunday.
    pub fn weekday(self) -> u8 {
        // 1970-01-01 was a Thursday.
        u8::try_from((self.number() + 3).rem_euclid(7)).unwrap_or(0)
    }

    /// The month, 1 to 12, and the day of it.
    pub fn month_and_day(self) -> (u8, u8) {
        let mut left = self.day_of_year;
        let mut month = 0;
        while month < 11 && left > days_in(self.year, month) {
            left -= days_in(self.year, month);
            month += 1;
        }
        (month as u8 + 1, left as u8)
    }

    /// The day that holds a number of seconds since 1970-01-01T00:00Z.
    pub fn from_unix_s(seconds: u64) -> Date {
        let mut days = seconds / 86_400;
        let mut year = 1970;
        loop {
            let length = if leap(year) { 366 } else { 365 };
            if days < length {
                return Date {
                    year,
                    day_of_year: days as u16 + 1,
                };
            }
            days -= length;
            year += 1;
        }
    }
}

impl core::fmt::Display for Date {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let (month, day) = self.month_and_day();
        write!(f, "{:04}-{month:02}-{day:02}", self.year)
    }
}

impl TryFrom<String> for Date {
    type Error = String;
    fn try_from(text: String) -> Result<Date, String> {
        Date::parse(&text)
    }
}

impl From<Date> for String {
    fn from(date: Date) -> String {
        date.to_string()
    }
}

/// A time of day, UTC, to the minute.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct TimeOfDay {
    /// Minutes since midnight, 0..1440.
    pub minute: u16,
}

impl TimeOfDay {
    /// Reads `HH:MM`, with or without a `Z` for UTC.
    ///
    /// # Errors
    /// A sentence that says what is wrong with the text.
    pub fn parse(text: &str) -> Result<TimeOfDay, String> {
        let wrong = || format!("time \"{text}\" is not a time of day in UTC written as HH:MM, for example 14:30");
        let plain = text.trim();
        let plain = plain.strip_suffix('Z').unwrap_or(plain);
        let (h, m) = plain.split_once(':').ok_or_else(wrong)?;
        let two = |t: &str, below: u16| {
            (t.len() == 2 && t.bytes().all(|b| b.is_ascii_digit()))
                .then(|| t.parse::<u16>().ok())
                .flatten()
                .filter(|n| *n < below)
        };
        let (Some(h), Some(m)) = (two(h, 24), two(m, 60)) else {
            return Err(wrong());
        };
        Ok(TimeOfDay { minute: h * 60 + m })
    }
}

impl core::fmt::Display for TimeOfDay {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{:02}:{:02}Z", self.minute / 60, self.minute % 60)
    }
}

impl TryFrom<String> for TimeOfDay {
    type Error = String;
    fn try_from(text: String) -> Result<TimeOfDay, String> {
        TimeOfDay::parse(&text)
    }
}

impl From<TimeOfDay> for String {
    fn from(time: TimeOfDay) -> String {
        time.to_string()
    }
}

/// A moment in UTC, to the minute. Moments compare in the order of time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Moment {
    /// Day.
    pub date: Date,
    /// Time of that day.
    pub time: TimeOfDay,
}

impl Moment {
    /// Midnight at the start of a day.
    pub fn start_of(date: Date) -> Moment {
        Moment {
            date,
            time: TimeOfDay { minute: 0 },
        }
    }

    /// Reads `YYYY-MM-DDTHH:MMZ` (ISO 8601, UTC); seconds may follow the minutes and are dropped.
    ///
    /// # Errors
    /// A sentence that says what is wrong with the text.
    pub fn parse(text: &str) -> Result<Moment, String> {
        let wrong = || {
            format!(
                "\"{text}\" is not a moment in UTC written as YYYY-MM-DDTHH:MMZ (ISO 8601), for example 2026-12-01T06:00Z"
            )
        };
        let plain = text.trim().strip_suffix('Z').ok_or_else(wrong)?;
        let (date, time) = plain.split_once('T').ok_or_else(wrong)?;
        let (time, seconds) = match time.match_indices(':').nth(1) {
            Some((at, _)) => (&time[..at], &time[at + 1..]),
            None => (time, "00"),
        };
        if date.len() != 10 || seconds.len() != 2 || !seconds.parse::<u16>().is_ok_and(|s| s < 60) {
            return Err(wrong());
        }
        Ok(Moment {
            date: Date::parse(date).map_err(|_| wrong())?,
            time: TimeOfDay::parse(time).map_err(|_| wrong())?,
        })
    }

    /// Minutes from this moment to another, negative when that is earlier.
    pub fn minutes_to(self, other: Moment) -> i64 {
        other.minute() - self.minute()
    }

    /// Minutes from 1970-01-01T00:00Z on.
    pub fn minute(self) -> i64 {
        self.date.number() * 1440 + i64::from(self.time.minute)
    }

    /// The moment of a minute counted from 1970-01-01T00:00Z; `None` outside the years 1900 to 2100.
    pub fn of_minute(minute: i64) -> Option<Moment> {
        Some(Moment {
            date: Date::from_number(minute.div_euclid(1440))?,
            time: TimeOfDay {
                minute: u16::try_from(minute.rem_euclid(1440)).ok()?,
            },
        })
    }
}

impl core::fmt::Display for Moment {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}T{}", self.date, self.time)
    }
}

impl TryFrom<String> for Moment {
    type Error = String;
    fn try_from(text: String) -> Result<Moment, String> {
        Moment::parse(&text)
    }
}

impl From<Moment> for String {
    fn from(moment: Moment) -> String {
        moment.to_string()
    }
}
