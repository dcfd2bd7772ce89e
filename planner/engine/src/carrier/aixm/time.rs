//! Times and time slices: what a feature is like at the time of the plan.
//!
//! AIXM's temporality: a BASELINE holds all properties for a time, a PERMDELTA what changes for good at a moment, a TEMPDELTA
//! what is otherwise for a time, a SNAPSHOT what was so at a moment. A correction with a higher number stands in for the
//! slice of the same kind and sequence number; one without a valid time cancels it.

use super::tree::{Node, Space};
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::date::{Date, Moment, TimeOfDay};

/// The time of a plan: a minute, or a whole day where no time of day is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct At {
    /// Day, UTC.
    pub date: Date,
    /// Time of that day, UTC.
    pub time: Option<TimeOfDay>,
}

impl core::fmt::Display for At {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self.time {
            Some(time) => write!(f, "{}", Moment { date: self.date, time }),
            None => write!(f, "{}", self.date),
        }
    }
}

impl At {
    /// From and until, minutes.
    fn span(self) -> (i64, i64) {
        let begin = minute(self.date, self.time.map_or(0, |t| i64::from(t.minute)));
        (begin, begin + if self.time.is_some() { 1 } else { 24 * 60 })
    }
}

/// Minutes since the beginning of 1900.
fn minute(date: Date, of_day: i64) -> i64 {
    let begin = Moment::start_of(Date {
        year: 1900,
        day_of_year: 1,
    });
    begin.minutes_to(Moment::start_of(date)) + of_day
}

/// A time without end.
const EVER: i64 = i64::MAX;

/// Reads `2026-03-01T06:00:00Z` (an offset in place of the Z too) or a day; seconds are dropped. Years from 2101 on count as
/// without end, which is what they are written for.
fn instant(text: &str) -> Result<i64, String> {
    let wrong =
        || format!("the time \"{text}\" is not one written as YYYY-MM-DDTHH:MM:SSZ (ISO 8601) in a year from 1900 on");
    let text = text.trim();
    let (day, rest) = match text.split_once('T') {
        Some((day, rest)) => (day, Some(rest)),
        None => (text.trim_end_matches('Z'), None),
    };
    if day.len() != 10 || !day.is_ascii() {
        return Err(wrong());
    }
    let far = day[..4].parse::<u16>().is_ok_and(|y| y > 2100);
    // The calendar of the years that are told apart says whether a far one has such a day.
    let near = if far {
        format!("2096{}", &day[4..])
    } else {
        day.to_string()
    };
    let date = Date::parse(&near).map_err(|_| wrong())?;
    let Some(rest) = rest else {
        return Ok(if far { EVER } else { minute(date, 0) });
    };
    let (clock, offset) = match rest.find(['Z', '+', '-']) {
        Some(at) => rest.split_at(at),
        // AIXM's times are UTC, with the letter left out by some writers.
        None => (rest, "Z"),
    };
    let time = |text: &str| TimeOfDay::parse(text).map(|t| i64::from(t.minute)).map_err(|_| wrong());
    let (hour_minute, seconds) = (clock.get(..5).ok_or_else(wrong)?, clock.get(5..).unwrap_or_default());
    let sound = match seconds.strip_prefix(':') {
        Some(s) => s.parse::<f64>().is_ok_and(|s| (0.0..61.0).contains(&s)),
        None => seconds.is_empty(),
    };
    if !sound {
        return Err(wrong());
    }
    // 24:00 ends a day.
    let of_day = if hour_minute == "24:00" {
        1440
    } else {
        time(hour_minute)?
    };
    let east = match offset.split_at(1) {
        ("Z", "") => 0,
        ("+", t) => time(t)?,
        ("-", t) => -time(t)?,
        _ => return Err(wrong()),
    };
    Ok(if far { EVER } else { minute(date, of_day - east) })
}

/// A time from a minute on until before another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Period {
    pub(super) from: i64,
    pub(super) until: i64,
}

/// The period in an element that holds a `gml:TimePeriod` or a `gml:TimeInstant`; `None` where it says nothing.
pub(super) fn period(node: &Node) -> Result<Option<Period>, String> {
    if node.is_nil() {
        return Ok(None);
    }
    if let Some(moment) = node.child(Space::Gml, "TimeInstant") {
        let from = end_of(moment, "timePosition")?;
        return Ok(from.map(|from| Period { from, until: EVER }));
    }
    let Some(period) = node.child(Space::Gml, "TimePeriod") else {
        return Ok(None);
    };
    let from = bound(period, "beginPosition", "begin")?.unwrap_or(i64::MIN);
    let until = bound(period, "endPosition", "end")?.unwrap_or(EVER);
    if until <= from && until != EVER {
        let (a, b) = (shown(period, "beginPosition"), shown(period, "endPosition"));
        return Err(format!("its time ends (\"{b}\") before it begins (\"{a}\")"));
    }
    Ok(Some(Period { from, until }))
}

fn shown<'n>(period: &'n Node, name: &'n str) -> &'n str {
    period.value(Space::Gml, name).unwrap_or_default()
}

fn bound(period: &Node, position: &str, within: &str) -> Result<Option<i64>, String> {
    if period.child(Space::Gml, position).is_some() {
        return end_of(period, position);
    }
    match period.at(Space::Gml, &[within, "TimeInstant"]) {
        Some(moment) => end_of(moment, "timePosition"),
        None => Ok(None),
    }
}

/// A position in time; `None` for one that is unknown.
fn end_of(node: &Node, name: &str) -> Result<Option<i64>, String> {
    node.value(Space::Gml, name).map(instant).transpose()
}

/// What a time slice is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Interpretation {
    Baseline,
    Snapshot,
    PermDelta,
    TempDelta,
}

/// A time slice.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Slice {
    pub(super) interpretation: Interpretation,
    pub(super) sequence: u32,
    pub(super) correction: u32,
    /// `None` when it is cancelled.
    pub(super) valid: Option<Period>,
    /// Its properties.
    pub(super) node: Node,
}

impl Slice {
    /// From an element such as `GuidanceLineTimeSlice`.
    pub(super) fn of(node: Node) -> Result<Slice, String> {
        let word = node.value(Space::Aixm, "interpretation").unwrap_or_default();
        let interpretation = match word {
            "BASELINE" => Interpretation::Baseline,
            "SNAPSHOT" => Interpretation::Snapshot,
            "PERMDELTA" => Interpretation::PermDelta,
            "TEMPDELTA" => Interpretation::TempDelta,
            other => {
                return Err(format!(
                    "a time slice has the interpretation \"{other}\"; BASELINE, SNAPSHOT, PERMDELTA and TEMPDELTA are known"
                ));
            }
        };
        let number = |name: &str| match node.value(Space::Aixm, name) {
            None => Ok(0),
            Some(text) => text
                .parse::<u32>()
                .map_err(|_| format!("its {name} \"{text}\" is not a whole number")),
        };
        let (sequence, correction) = (number("sequenceNumber")?, number("correctionNumber")?);
        let valid = node
            .child(Space::Gml, "validTime")
            .ok_or("a time slice has no validTime")
            .map(period)??;
        // Checked here, so that a broken one is told whether the slice counts or not.
        if let Some(life) = node.child(Space::Aixm, "featureLifetime") {
            period(life)?;
        }
        Ok(Slice {
            interpretation,
            sequence,
            correction,
            valid,
            node,
        })
    }
}

/// The properties of a feature at a time.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct State {
    /// All that is given and not nil.
    pub(super) node: Node,
    /// What had to be taken.
    pub(super) doubts: Vec<String>,
}

/// Puts the slices of a feature together. `Err` says why there is nothing.
pub(super) fn state(slices: &[Slice], at: At) -> Result<State, String> {
    let (from, until) = at.span();
    let mut doubts = Vec::new();
    let live = latest(slices, &mut doubts);
    let of = |what: Interpretation| {
        let mut list: Vec<(Period, &Slice)> = live
            .iter()
            .filter(|s| s.interpretation == what)
            .filter_map(|s| Some((s.valid?, *s)))
            .collect();
        list.sort_by_key(|(p, s)| (p.from, s.sequence));
        list
    };
    let (baselines, perms) = (of(Interpretation::Baseline), of(Interpretation::PermDelta));
    let snapshots = of(Interpretation::Snapshot);
    let holds = |p: &Period| p.from <= from && from < p.until;
    let within_day = |p: &Period| p.from > from && p.from < until;
    let newest = baselines
        .iter()
        .filter(|(p, _)| holds(p))
        .max_by_key(|(p, s)| (s.sequence, p.from));
    let base = newest
        .or_else(|| {
            let first = baselines.iter().find(|(p, _)| within_day(p));
            if first.is_some() {
                doubts.push(format!(
                    "it begins during {at}; taken as there all day, as no time of day is given"
                ));
            }
            first
        })
        // A BASELINE that ended where a PERMDELTA begins, and the BASELINE after it is not in the file.
        .or_else(|| {
            let ended = |p: &Period| p.until <= from && perms.iter().any(|(d, _)| d.from == p.until);
            baselines.iter().rfind(|(p, _)| ended(p))
        })
        .or_else(|| {
            let known = snapshots.iter().rfind(|(p, _)| p.from <= from);
            if known.is_some() {
                doubts.push("only a SNAPSHOT says what it is like; taken as still so".to_string());
            }
            known
        })
        .copied();
    let (mut node, begun) = match base {
        Some((p, s)) => (s.node.clone(), (p.from, s.sequence)),
        // A feature may begin with a PERMDELTA that holds all of it.
        None => match perms.first().filter(|(p, _)| p.from < until) {
            Some((p, s)) => (s.node.clone(), (p.from, s.sequence)),
            None => return Err(format!("no time slice of it is valid on {at}")),
        },
    };
    for (p, s) in perms
        .iter()
        .filter(|(p, s)| (p.from, s.sequence) > begun && p.from < until)
    {
        if within_day(p) {
            doubts.push(format!(
                "it changes for good during {at}; taken as changed all day, as no time of day is given"
            ));
        }
        change(&mut node, &s.node);
    }
    let mut temps = of(Interpretation::TempDelta);
    temps.sort_by_key(|(p, s)| (s.sequence, p.from));
    for (p, s) in temps.iter().filter(|(p, _)| p.from < until && p.until > from) {
        if p.from > from || p.until < until {
            doubts.push(format!(
                "it is otherwise for a part of {at} (TEMPDELTA {}); taken as so all day, as no time of day is given",
                s.sequence
            ));
        }
        change(&mut node, &s.node);
    }
    if let Some(life) = node
        .child(Space::Aixm, "featureLifetime")
        .map(period)
        .transpose()?
        .flatten()
    {
        if life.until <= from {
            return Err(format!("its life ended before {at}"));
        }
        if life.from >= until {
            return Err(format!("its life begins after {at}"));
        }
    }
    node.children.retain(|c| !c.is_nil());
    Ok(State { node, doubts })
}

/// Of each interpretation and sequence number the slice with the highest correction.
fn latest<'s>(slices: &'s [Slice], doubts: &mut Vec<String>) -> Vec<&'s Slice> {
    let mut found: BTreeMap<(Interpretation, u32), &Slice> = BTreeMap::new();
    for s in slices {
        match found.entry((s.interpretation, s.sequence)) {
            std::collections::btree_map::Entry::Vacant(place) => {
                place.insert(s);
            }
            std::collections::btree_map::Entry::Occupied(mut place) => {
                let have = *place.get();
                if s.correction > have.correction {
                    place.insert(s);
                } else if s.correction == have.correction && !alike(&s.node, &have.node) {
                    doubts.push(format!(
                        "it has two unlike time slices {:?} with sequence {} and correction {}; the first counts",
                        s.interpretation, s.sequence, s.correction
                    ));
                }
            }
        }
    }
    found.into_values().collect()
}

/// Whether two elements say the same, wherever they stand and whatever their `gml:id`.
fn alike(a: &Node, b: &Node) -> bool {
    let said = |n: &Node| -> Vec<(Space, String, String)> {
        n.attributes
            .iter()
            .filter(|(s, n, _)| !(*s == Space::Gml && n == "id"))
            .cloned()
            .collect()
    };
    (a.space, &a.name, &a.text) == (b.space, &b.name, &b.text)
        && said(a) == said(b)
        && a.children.len() == b.children.len()
        && a.children.iter().zip(&b.children).all(|(a, b)| alike(a, b))
}

/// Replaces all of each property that a delta gives; one that it gives as nil is gone.
fn change(node: &mut Node, delta: &Node) {
    let own = ["validTime", "interpretation", "sequenceNumber", "correctionNumber"];
    let given = |c: &Node| !own.contains(&c.name.as_str());
    let names: BTreeSet<&str> = delta
        .children
        .iter()
        .filter(|d| given(d))
        .map(|d| d.name.as_str())
        .collect();
    node.children.retain(|c| !names.contains(c.name.as_str()));
    node.children
        .extend(delta.children.iter().filter(|d| given(d)).cloned());
}

#[cfg(test)]
#[path = "time_tests.rs"]
mod tests;
