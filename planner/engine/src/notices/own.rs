//! The form of our own: JSON for people who type a NOTAM that they got as text (`docs/notices.md`).

use super::condition::{Condition, Is};
use super::error::{NoticeProblem, NoticesError};
use super::notam::{About, Effect, Ends, Notam};
use super::own_what::What;
use super::schedule::{Season, Sheet};
use super::{MOST_EFFECTS, MOST_NOTICES, text_of};
use crate::clean;
use serde::Deserialize;
use toeline_model::date::{Date, Moment};

/// Version of the form, the value of its key `toeline_notices`.
pub const FORMAT: u32 = 1;
/// Days of the week as the form writes them, Monday first.
const WEEKDAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
/// Sorts of aircraft that the form knows, in words, and whether the aeroplanes of this program are of them: all are landplanes
/// with propellers on piston engines and a nose wheel.
pub const SORTS: [(&str, &str, bool); 10] = [
    ("aeroplane", "an aeroplane", true),
    ("landplane", "a landplane", true),
    ("seaplane", "a seaplane", false),
    ("helicopter", "a helicopter", false),
    ("gyroplane", "a gyroplane", false),
    ("glider", "a glider", false),
    ("balloon", "a balloon", false),
    ("propeller", "a propeller aeroplane", true),
    ("jet", "a jet", false),
    ("light", "a light aeroplane", true),
];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    toeline_notices: u32,
    #[serde(default)]
    aerodrome: Option<String>,
    notices: Vec<One>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct One {
    number: String,
    #[serde(default)]
    text: String,
    #[serde(default)]
    aerodrome: Option<String>,
    #[serde(default)]
    from: Option<String>,
    #[serde(default)]
    until: Option<String>,
    #[serde(default)]
    estimated: bool,
    #[serde(default)]
    schedule: Vec<Hours>,
    #[serde(default)]
    not_on: Vec<String>,
    #[serde(default)]
    cancelled: bool,
    #[serde(default)]
    replaces: Option<String>,
    #[serde(default)]
    cancels: Option<String>,
    #[serde(default)]
    closes: Vec<What>,
    #[serde(default)]
    except: Option<Vec<Who>>,
    #[serde(default)]
    closed_to: Option<Vec<Who>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Hours {
    #[serde(default)]
    days: Vec<String>,
    from: String,
    until: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Who {
    #[serde(default)]
    span_above_m: Option<f64>,
    #[serde(default)]
    span_up_to_m: Option<f64>,
    #[serde(default)]
    weight_above_kg: Option<f64>,
    #[serde(default)]
    weight_up_to_kg: Option<f64>,
    #[serde(default)]
    kind: Option<String>,
    #[serde(default)]
    words: Option<String>,
}

/// Reads a file of the form.
pub(super) fn read(text: &str, file: &str) -> Result<Vec<Notam>, NoticesError> {
    let found: File = serde_json::from_str(text).map_err(|e| NoticesError::Form {
        found: clean::sentence(&e.to_string()),
    })?;
    if found.toeline_notices != FORMAT {
        return Err(NoticesError::Form {
            found: format!(
                "toeline_notices is {}; this program reads {FORMAT}",
                found.toeline_notices
            ),
        });
    }
    if found.notices.len() > MOST_NOTICES {
        return Err(NoticesError::TooLarge {
            found: format!("{} notices; at most {MOST_NOTICES} are read", found.notices.len()),
        });
    }
    let mut desk = Desk::default();
    let mut list = Vec::new();
    for (i, one) in found.notices.into_iter().enumerate() {
        desk.about = format!("notice {} ({})", i + 1, clean::name(&one.number));
        list.push(desk.notam(one, found.aerodrome.as_deref(), file));
    }
    if desk.problems.is_empty() {
        Ok(list)
    } else {
        Err(NoticesError::Notices(desk.problems))
    }
}

#[derive(Default)]
pub(super) struct Desk {
    about: String,
    problems: Vec<NoticeProblem>,
}

impl Desk {
    pub(super) fn wrong(&mut self, text: impl Into<String>) {
        self.problems.push(NoticeProblem {
            notice: self.about.clone(),
            text: clean::sentence(&text.into()),
        });
    }

    fn notam(&mut self, one: One, aerodrome: Option<&str>, file: &str) -> Notam {
        if one.number.trim().is_empty() {
            self.wrong("number is empty; write the number of the notice, for example A0012/26");
        }
        let from = self.moment("from", one.from.as_deref());
        let until = self.moment("until", one.until.as_deref());
        if let (Some(a), Some(b)) = (from, until)
            && a >= b
        {
            self.wrong(format!("from {a} is not before until {b}"));
        }
        if one.estimated && until.is_none() {
            self.wrong("estimated is true, and there is no until to be an estimate");
        }
        if one.replaces.is_some() && one.cancels.is_some() {
            self.wrong("replaces and cancels are both given; a notice does one of them");
        }
        let ends = match (&one.replaces, &one.cancels) {
            (Some(number), _) => Some((number, true)),
            (None, Some(number)) => Some((number, false)),
            (None, None) => None,
        };
        let schedule = self.schedule(&one);
        let open_to = self.open_to(&one);
        if one.closes.len() > MOST_EFFECTS {
            self.wrong(format!(
                "closes {} things; at most {MOST_EFFECTS} are read",
                one.closes.len()
            ));
        }
        let mut effects = Vec::new();
        for (i, what) in one.closes.iter().take(MOST_EFFECTS).enumerate() {
            if let Some(on) = self.target(i, what) {
                effects.push(Effect {
                    on,
                    from: None,
                    until: None,
                    schedule: schedule.clone(),
                    open_to: open_to.clone(),
                });
            }
        }
        Notam {
            number: clean::name(&one.number),
            file: clean::name(file),
            about: About {
                code: one.aerodrome.as_deref().or(aerodrome).map(clean::name),
                identity: None,
            },
            text: text_of(&one.text),
            from,
            until,
            estimated: one.estimated,
            cancelled: one.cancelled,
            ends: ends.map(|(number, replaced)| Ends {
                number: clean::name(number),
                replaced,
            }),
            effects,
            nothing_to_lay: false,
            unread: Vec::new(),
            assumed: Vec::new(),
        }
    }

    fn moment(&mut self, key: &str, text: Option<&str>) -> Option<Moment> {
        Moment::parse(text?)
            .map_err(|e| self.wrong(format!("{key}: {e}, of the years 1900 to 2100")))
            .ok()
    }

    fn schedule(&mut self, one: &One) -> Vec<Sheet> {
        let mut list = Vec::new();
        for (i, hours) in one.schedule.iter().enumerate() {
            let k = i + 1;
            let mut weekdays: Vec<u8> = Vec::new();
            for day in &hours.days {
                match WEEKDAYS.iter().position(|w| day.eq_ignore_ascii_case(w)) {
                    Some(n) if !weekdays.contains(&(n as u8)) => weekdays.push(n as u8),
                    Some(_) => {}
                    None => self.wrong(format!(
                        "schedule {k}: day \"{day}\" is none of {}",
                        WEEKDAYS.join(", ")
                    )),
                }
            }
            weekdays.sort_unstable();
            let begin = self.hour(k, "from", &hours.from);
            let end = self.hour(k, "until", &hours.until);
            if let (Some(begin_min), Some(end_min)) = (begin, end) {
                if begin_min == 1440 {
                    self.wrong(format!(
                        "schedule {k}: from 24:00 is no time to begin; write 00:00 on the day after"
                    ));
                }
                if begin_min == end_min {
                    self.wrong(format!(
                        "schedule {k}: from and until are both {}; write 00:00 to 24:00 for a whole day",
                        hours.from
                    ));
                }
                list.push(Sheet {
                    begin_min,
                    end_min,
                    ..Sheet::whole_days(weekdays)
                });
            }
        }
        for day in &one.not_on {
            match Date::parse(day) {
                Ok(d) => list.push(Sheet {
                    season: Some(Season::Days(d, d)),
                    excluded: true,
                    ..Sheet::whole_days(Vec::new())
                }),
                Err(e) => self.wrong(format!("not_on: {e}")),
            }
        }
        list
    }

    fn hour(&mut self, k: usize, key: &str, text: &str) -> Option<u16> {
        let found = super::clock(text);
        if found.is_none() {
            self.wrong(format!(
                "schedule {k}: {key} \"{text}\" is not a time of day in UTC written as HH:MM, 00:00 to 24:00"
            ));
        }
        found
    }

    fn open_to(&mut self, one: &One) -> Option<Condition> {
        match (&one.except, &one.closed_to) {
            (None, None) => None,
            (Some(_), Some(_)) => {
                self.wrong(
                    "except and closed_to are both given; a notice says to whom it stays open or to whom it is closed",
                );
                None
            }
            (Some(list), None) => Some(self.any("except", list)),
            (None, Some(list)) => Some(Condition::Not(Box::new(self.any("closed_to", list)))),
        }
    }

    fn any(&mut self, key: &str, list: &[Who]) -> Condition {
        if list.is_empty() {
            self.wrong(format!("{key} is empty; leave it out where nobody is meant"));
        }
        Condition::Any(list.iter().map(|w| self.who(key, w)).collect())
    }

    fn who(&mut self, key: &str, who: &Who) -> Condition {
        let mut all = Vec::new();
        for (name, value, most, make) in [
            (
                "span_above_m",
                who.span_above_m,
                100.0,
                Condition::Span as fn(Is, f64) -> Condition,
            ),
            ("span_up_to_m", who.span_up_to_m, 100.0, Condition::Span),
            ("weight_above_kg", who.weight_above_kg, 1e6, Condition::Mass),
            ("weight_up_to_kg", who.weight_up_to_kg, 1e6, Condition::Mass),
        ] {
            let Some(v) = value else { continue };
            if !(v > 0.0 && v <= most) {
                self.wrong(format!("{key}: {name} {v} is outside 0 to {most}"));
            }
            let is = if name.contains("above") { Is::Above } else { Is::AtMost };
            all.push(make(is, v));
        }
        if let Some(kind) = &who.kind {
            match SORTS.iter().find(|(name, ..)| kind.eq_ignore_ascii_case(name)) {
                Some((_, words, ours)) => all.push(Condition::Sort((*words).to_string(), *ours)),
                None if kind.eq_ignore_ascii_case("single_engine") => all.push(Condition::Engines(Is::Same, 1)),
                None if kind.eq_ignore_ascii_case("multi_engine") => all.push(Condition::Engines(Is::Above, 1)),
                None => {
                    let names: Vec<&str> = SORTS.iter().map(|s| s.0).collect();
                    self.wrong(format!(
                        "{key}: kind \"{kind}\" is none of {}, single_engine, multi_engine; say it in words otherwise",
                        names.join(", ")
                    ));
                }
            }
        }
        if let Some(words) = &who.words {
            all.push(Condition::Unknown(clean::name(words)));
        }
        if all.is_empty() {
            self.wrong(format!("{key}: an entry without any of span, weight, kind, words"));
        }
        Condition::All(all)
    }
}
