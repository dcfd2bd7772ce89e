//! A calendar day (UTC), which the magnetic model needs.

use serde::{Deserialize, Serialize};

/// A day of the Gregorian calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
        let mut left = self.day_of_year;
        let mut month = 0;
        while month < 11 && left > days_in(self.year, month) {
            left -= days_in(self.year, month);
            month += 1;
        }
        write!(f, "{:04}-{:02}-{:02}", self.year, month + 1, left)
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
