//! When a notice holds: its period, and within that the days and hours of its schedule.

use serde::{Deserialize, Serialize};
use toeline_model::date::{Date, Moment, TimeOfDay};

/// A span of time: minutes from 1970-01-01T00:00Z, the last not included.
pub type Span = (i64, i64);

const DAY: i64 = 1440;
/// Farthest that a pattern of the week reaches back from its day, days: it ends within a week, and a time zone moves it by a day.
const BACK: i64 = 9;
/// Long before and after any moment that is read.
const EVER: Span = (i64::MIN / 4, i64::MAX / 4);

/// A day of a year, without the year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct DayOfYear {
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of it, 1 to 31.
    pub day: u8,
}

/// Which days of a year a line of a schedule holds on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Season {
    /// From one day of every year to another, beginning and ending with the hours of the line.
    Yearly(DayOfYear, DayOfYear),
    /// From one day to another, likewise.
    Days(Date, Date),
}

/// One line of a schedule: on these days from this hour to that.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sheet {
    /// Days of the week on which it begins, 0 for Monday to 6 for Sunday; every day where empty.
    pub weekdays: Vec<u8>,
    /// Day of the week on which it ends, counted on from that on which it begins; the same day, or the next where the end is not
    /// later, without one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until_weekday: Option<u8>,
    /// When it begins, minutes after midnight of its clock.
    pub begin_min: u16,
    /// When it ends, minutes after midnight of its clock, up to 1440; no later than the begin means on the next day.
    pub end_min: u16,
    /// Its clock less UTC, minutes.
    #[serde(default)]
    pub clock_min: i16,
    /// Days of the year on which it holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub season: Option<Season>,
    /// Whether it takes hours away instead.
    #[serde(default)]
    pub excluded: bool,
}

impl Sheet {
    /// Whole days: of these days of the week, or of all.
    pub fn whole_days(weekdays: Vec<u8>) -> Sheet {
        Sheet {
            weekdays,
            until_weekday: None,
            begin_min: 0,
            end_min: 1440,
            clock_min: 0,
            season: None,
            excluded: false,
        }
    }

    /// Its spans that reach into a window, not yet put together.
    fn spans(&self, window: Span) -> Vec<Span> {
        let clock = i64::from(self.clock_min);
        let (first, last) = (
            (window.0 + clock).div_euclid(DAY) - BACK,
            (window.1 + clock).div_euclid(DAY) + 1,
        );
        let mut list = Vec::new();
        for number in first..=last {
            let Some(date) = Date::from_number(number) else {
                continue;
            };
            if !self.weekdays.is_empty() && !self.weekdays.contains(&date.weekday()) {
                continue;
            }
            let midnight = number * DAY - clock;
            let begin = midnight + i64::from(self.begin_min);
            let mut end = midnight + i64::from(self.end_min);
            match self.until_weekday {
                Some(day) => {
                    end += (i64::from(day) - i64::from(date.weekday())).rem_euclid(7) * DAY;
                    if end <= begin {
                        end += 7 * DAY;
                    }
                }
                None if end <= begin => end += DAY,
                None => {}
            }
            for season in self.seasons(number) {
                let both = (begin.max(season.0), end.min(season.1));
                if both.0 < both.1 && both.0 < window.1 && both.1 > window.0 {
                    list.push(both);
                }
            }
        }
        list
    }

    /// The seasons around a day: from the hour of begin on their first day to the hour of end on their last.
    fn seasons(&self, number: i64) -> Vec<Span> {
        let bounds = |first: i64, last: i64| {
            let clock = i64::from(self.clock_min);
            let begin = first * DAY + i64::from(self.begin_min) - clock;
            let mut end = last * DAY + i64::from(self.end_min) - clock;
            if end <= begin {
                end += DAY;
            }
            (begin, end)
        };
        match self.season {
            None => vec![EVER],
            Some(Season::Days(a, b)) => vec![bounds(a.number(), b.number())],
            Some(Season::Yearly(a, b)) => {
                let Some(date) = Date::from_number(number) else {
                    return Vec::new();
                };
                let on = |year: i32, d: DayOfYear| {
                    // The 29th of February of a year without one is the 1st of March.
                    let text = |month: u8, day: u8| Date::parse(&format!("{year:04}-{month:02}-{day:02}")).ok();
                    text(d.month, d.day)
                        .or_else(|| text(d.month % 12 + 1, 1))
                        .map(Date::number)
                };
                let years = date.year - 1..=date.year + 1;
                years
                    .filter_map(|year| {
                        let ends = if b < a { year + 1 } else { year };
                        Some(bounds(on(year, a)?, on(ends, b)?))
                    })
                    .collect()
            }
        }
    }

    /// In words: "mon to wed 08:00 to 16:00 UTC".
    pub fn words(&self) -> String {
        const NAMES: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
        let name = |d: &u8| NAMES.get(usize::from(*d)).copied().unwrap_or("?");
        let days = match self.weekdays.as_slice() {
            [] => "daily".to_string(),
            list => list.iter().map(name).collect::<Vec<_>>().join(" "),
        };
        let clock = |min: u16| format!("{:02}:{:02}", min / 60, min % 60);
        let until = self.until_weekday.map_or(String::new(), |d| format!("{} ", name(&d)));
        let zone = match self.clock_min {
            0 => "UTC".to_string(),
            m => {
                let sign = if m < 0 { '-' } else { '+' };
                format!("UTC{sign}{:02}:{:02}", m.unsigned_abs() / 60, m.unsigned_abs() % 60)
            }
        };
        let season = match self.season {
            None => String::new(),
            Some(Season::Days(a, b)) if a == b => format!(" on {a}"),
            Some(Season::Days(a, b)) => format!(" from {a} to {b}"),
            Some(Season::Yearly(a, b)) => {
                format!(
                    " from {:02}-{:02} to {:02}-{:02} of each year",
                    a.month, a.day, b.month, b.day
                )
            }
        };
        let but = if self.excluded { "except " } else { "" };
        format!(
            "{but}{days} {} to {until}{} {zone}{season}",
            clock(self.begin_min),
            clock(self.end_min)
        )
    }
}

/// When a period with a schedule holds within a window, in order and put together. Without a line that gives hours the whole
/// period counts, less those that take hours away.
pub fn spans(from: Option<Moment>, until: Option<Moment>, schedule: &[Sheet], window: Span) -> Vec<Span> {
    let period = (
        from.map_or(EVER.0, Moment::minute),
        until.map_or(EVER.1, Moment::minute),
    );
    let gives = schedule.iter().filter(|s| !s.excluded);
    let mut list: Vec<Span> = if schedule.iter().all(|s| s.excluded) {
        vec![period]
    } else {
        gives.flat_map(|s| s.spans(window)).collect()
    };
    for l in &mut list {
        *l = (l.0.max(period.0), l.1.min(period.1));
    }
    let mut list = joined(list);
    for hole in schedule.iter().filter(|s| s.excluded).flat_map(|s| s.spans(window)) {
        list = list
            .into_iter()
            .flat_map(|(a, b)| [(a, b.min(hole.0)), (a.max(hole.1), b)])
            .filter(|(a, b)| a < b)
            .collect();
    }
    list.retain(|(a, b)| *a < window.1 && *b > window.0);
    list
}

fn joined(mut list: Vec<Span>) -> Vec<Span> {
    list.retain(|(a, b)| a < b);
    list.sort_unstable();
    let mut out: Vec<Span> = Vec::new();
    for (a, b) in list {
        match out.last_mut() {
            Some(last) if a <= last.1 => last.1 = last.1.max(b),
            _ => out.push((a, b)),
        }
    }
    out
}

/// The moment of a minute, where it is a year that is read.
pub(super) fn moment(minute: i64) -> Option<Moment> {
    Moment::of_minute(minute)
}

/// The day of a plan as a window.
pub(super) fn day(date: Date) -> Span {
    let begin = Moment {
        date,
        time: TimeOfDay { minute: 0 },
    }
    .minute();
    (begin, begin + DAY)
}
