//! Laying notices on a field: where, when, and for whom.

use super::condition::{Condition, Truth};
use super::force::{When, force_of, in_window, part_of_day, period_words};
use super::notam::{Effect, Notam};
use super::place::{Found, Placed, place};
use super::schedule;
use super::stretch;
use super::told::{Force, Status, Told, Use};
use crate::clean;
use crate::plane::LocalPlane;
use crate::read;
use toeline_model::airfield::{Airfield, Closed, Closure};
use toeline_model::date::{Date, TimeOfDay};
use toeline_model::{Aircraft, units};

/// How much of a notice's text stands in the reason of a closure, characters.
const REASON_CHARS: usize = 120;

/// Notices laid on a field at a time, whatever the aeroplane.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid(Vec<One>);

#[derive(Clone, Debug, PartialEq)]
struct One {
    told: Told,
    /// Whether it holds at the time of the plan.
    counts: bool,
    /// What it closes then, and to whom that stays open.
    closes: Vec<(Closure, Option<Condition>)>,
    conditions: Vec<Condition>,
}

/// Lays notices on a field for a time of a day (UTC), or for the whole day.
pub fn lay(field: &Airfield, notams: &[Notam], date: Date, time: Option<TimeOfDay>) -> Laid {
    let plane = LocalPlane::new(field.origin);
    let when = When::new(date, time);
    let one = |n: &Notam| one(field, &plane, n, notams, &when);
    Laid(notams.iter().map(one).collect())
}

impl Laid {
    /// Puts on the field what is closed to an aeroplane, and what could not be placed.
    #[must_use]
    pub fn on(&self, mut field: Airfield, aircraft: &Aircraft) -> Airfield {
        for one in &self.0 {
            for (closure, open_to) in &one.closes {
                let mut c = closure.clone();
                match open_to.as_ref().map(|o| (o, o.of(aircraft))) {
                    Some((o, Truth::Yes)) => {
                        limit(&mut field, &c, o);
                        continue;
                    }
                    Some((o, truth)) => c.reason = format!("{}; {}", c.reason, not_open(o, truth, aircraft)),
                    None => {}
                }
                shut(&mut field, c);
            }
            if one.told.lowers() {
                field.unplaced.push(one.told.lowering());
            }
        }
        field
    }

    /// Whether it differs from aeroplane to aeroplane what is closed.
    pub fn depends_on_aeroplane(&self) -> bool {
        self.0
            .iter()
            .any(|o| o.closes.iter().any(|(_, open_to)| open_to.is_some()))
    }

    /// Puts on the field what is closed to everybody, and what could not be placed.
    #[must_use]
    pub fn on_for_all(&self, mut field: Airfield) -> Airfield {
        for one in &self.0 {
            for (c, _) in one.closes.iter().filter(|(_, open_to)| open_to.is_none()) {
                shut(&mut field, c.clone());
            }
            if one.told.lowers() {
                field.unplaced.push(one.told.lowering());
            }
        }
        field
    }

    /// What became of each, for an aeroplane or for none.
    pub fn told(&self, aircraft: Option<&Aircraft>) -> Vec<Told> {
        let one = |o: &One| {
            let mut told = o.told.clone();
            told.open = match aircraft {
                Some(a) if o.counts && !told.on.is_empty() => Some(open(&o.conditions, o.closes.len(), a)),
                _ => None,
            };
            if let Some(a) = aircraft.filter(|_| o.counts) {
                for c in &o.conditions {
                    let words = not_open(c, c.of(a), a);
                    if c.of(a) == Truth::Unknown && !told.why.contains(&words) {
                        told.why.push(clean::sentence(&words));
                    }
                }
            }
            told
        };
        self.0.iter().map(one).collect()
    }
}

/// Puts a closure on the field. Lanes do not bear it yet: the lines are joined as they are when nothing is closed, so that a
/// way that a notice takes away is told with that notice, and not as a lane that leads nowhere.
fn shut(field: &mut Airfield, c: Closure) {
    let lanes = std::mem::take(&mut field.lanes);
    let before: Vec<bool> = field.stands.iter().map(|s| s.closed.is_some()).collect();
    read::shut(field, &c);
    field.lanes = lanes;
    let now = field
        .stands
        .iter()
        .zip(before)
        .filter(|(s, was)| s.closed.is_some() && !was);
    field.closed_by_notice.extend(now.map(|(s, _)| s.id.clone()));
    field.closures.push(c);
}

/// Puts the closures of notices on the lanes of a field whose lines are joined: those that draw it, and what looks for pavement
/// in use, read it there.
pub(crate) fn mark_lanes(field: &mut Airfield) {
    let whole: Vec<(String, String)> = field
        .closures
        .iter()
        .filter(|c| c.closed == Closed::Itself)
        .map(|c| (c.id.clone(), c.words()))
        .collect();
    for (id, words) in whole {
        for lane in field.lanes.iter_mut().filter(|l| l.id == id && l.closed.is_none()) {
            lane.closed = Some(words.clone());
        }
    }
}

/// Whether all that a notice lays on the field is closed to an aeroplane.
fn open(conditions: &[Condition], closes: usize, aircraft: &Aircraft) -> Use {
    let open = conditions.iter().filter(|c| c.of(aircraft) == Truth::Yes).count();
    match (open, closes) {
        (0, 0) => Use::Open,
        (0, _) => Use::Closed,
        (n, all) if n >= all => Use::Open,
        _ => Use::Partly,
    }
}

/// A limit of the wing span that this aeroplane keeps still bounds wider ones: the survey of spans asks for them.
fn limit(field: &mut Airfield, c: &Closure, open_to: &Condition) {
    let Some(m) = open_to.span_limit_m().filter(|_| c.closed == Closed::Itself) else {
        return;
    };
    let least = field.notice_spans_m.entry(c.id.clone()).or_insert(m);
    *least = least.min(m);
}

/// Why something with a condition is closed to this aeroplane.
fn not_open(open_to: &Condition, truth: Truth, aircraft: &Aircraft) -> String {
    let words = open_to.words();
    match truth {
        Truth::Unknown => {
            let unknown = open_to.unknowns().join(" or ");
            format!("open to {words} only, and whether this is {unknown} is not known, so taken as closed")
        }
        _ => format!(
            "open to {words} only; this aeroplane has a wing span of {} m and a greatest mass of {} kg",
            units::round_to(aircraft.wing.span_m, 2),
            units::round_to(aircraft.mass.greatest_kg, 0)
        ),
    }
}

fn one(field: &Airfield, plane: &LocalPlane, n: &Notam, all: &[Notam], when: &When) -> One {
    let mut told = Told {
        number: n.number.clone(),
        file: n.file.clone(),
        text: n.text.clone(),
        status: Status::NotPlaced,
        force: Force::InForce,
        when: period_words(n),
        on: Vec::new(),
        to: Vec::new(),
        open: None,
        why: n.assumed.clone(),
    };
    if let Some(other) = elsewhere(field, n) {
        told.status = Status::OtherAerodrome;
        told.force = force_of(n, all, when, &[]).0;
        told.why.push(other);
        return One {
            told,
            counts: false,
            closes: Vec::new(),
            conditions: Vec::new(),
        };
    }
    let mut closes: Vec<(Effect, Placed)> = Vec::new();
    let (mut placed, mut nowhere) = (0, Vec::new());
    for e in &n.effects {
        match place(field, plane, &e.on) {
            Found::On(list) => {
                placed += 1;
                for p in list {
                    if !told.on.contains(&p.called) {
                        told.on.push(p.called.clone());
                    }
                    closes.push((e.clone(), p));
                }
            }
            Found::Nowhere(why) => nowhere.push((e, why)),
        }
    }
    // A piece of pavement that the map does not tell apart is closed with the whole of its taxiway or apron.
    let whole = |e: &Effect| {
        n.effects.iter().any(|o| {
            let wide = !matches!(o.on.kind, super::notam::Kind::Pavement) && o.on.said.is_none() && o.on.ring.is_none();
            wide && same_terms(o, e) && closes.iter().any(|(c, _)| c == o)
        })
    };
    let before = nowhere.len();
    nowhere.retain(|(e, _)| !(e.on.kind == super::notam::Kind::Pavement && e.on.said.is_none() && whole(e)));
    if nowhere.len() < before {
        told.why.push(format!(
            "{} of its pavement that the map does not tell apart: taken as part of what is closed whole",
            if before - nowhere.len() == 1 {
                "1 piece".to_string()
            } else {
                format!("{} pieces", before - nowhere.len())
            }
        ));
    }
    let unread = n
        .unread
        .iter()
        .cloned()
        .chain(nowhere.iter().map(|(_, why)| why.clone()));
    for why in unread {
        if !told.why.contains(&why) {
            told.why.push(why);
        }
    }
    let whole = nowhere.is_empty() && n.unread.is_empty();
    if n.effects.is_empty() && n.ends.is_none() && n.unread.is_empty() && !n.cancelled && !n.nothing_to_lay {
        told.why
            .push("it says nothing that can be laid on a map: read its text".to_string());
    }
    told.status = match (placed, whole) {
        (0, true) if n.effects.is_empty() && (n.ends.is_some() || n.cancelled || n.nothing_to_lay) => Status::Placed,
        (0, _) => Status::NotPlaced,
        (_, true) => Status::Placed,
        (_, false) => Status::PlacedInPart,
    };
    // What could not be placed holds when its own hours do.
    let mut effects: Vec<&Effect> = n.effects.iter().collect();
    let bare = Effect {
        on: super::notam::Target::of(super::notam::Kind::Area),
        from: None,
        until: None,
        schedule: Vec::new(),
        open_to: None,
    };
    if effects.is_empty() || !n.unread.is_empty() {
        effects.push(&bare);
    }
    let (force, counts) = force_of(n, all, when, &effects);
    told.force = force;
    let mut list: Vec<(Closure, Option<Condition>)> = Vec::new();
    let mut conditions = Vec::new();
    for (e, p) in &closes {
        let words = e.open_to.as_ref().map(|c| format!("open to {} only", c.words()));
        if let Some(words) = words.map(|w| clean::sentence(&w))
            && !told.to.contains(&words)
        {
            told.to.push(words);
        }
        if let Some((from, until)) = in_window(n, e, when) {
            let c = Closure {
                id: p.feature.clone(),
                name: p.called.clone(),
                closed: p.closed.clone(),
                reason: reason(n),
                from: schedule::moment(from),
                until: schedule::moment(until),
            };
            if counts && !list.iter().any(|(o, to)| *o == c && *to == e.open_to) {
                // What is drawn twice is one piece after joining, under either name.
                if let Some(line) = stretch::drawn_twice(field, &c) {
                    let twin = Closure {
                        closed: Closed::Stretch(line),
                        ..c.clone()
                    };
                    list.push((twin, e.open_to.clone()));
                    conditions.extend(e.open_to.clone());
                }
                list.push((c, e.open_to.clone()));
                conditions.extend(e.open_to.clone());
            }
        }
    }
    if let Force::InForce = told.force
        && when.time.is_none()
        && list.iter().any(|(c, _)| part_of_day(c, when))
    {
        told.force = Force::PartOfDay;
    }
    One {
        told,
        counts,
        closes: list,
        conditions,
    }
}

/// "NOTAM A0012/26: TWY B CLSD".
fn reason(n: &Notam) -> String {
    let text = clean::shown(&n.text, REASON_CHARS);
    match n.text.trim() {
        "" => format!("NOTAM {}", n.number),
        _ => format!("NOTAM {}: {text}", n.number),
    }
}

fn same_terms(a: &Effect, b: &Effect) -> bool {
    a.open_to == b.open_to && a.schedule == b.schedule && a.from == b.from && a.until == b.until
}

/// Why a notice is certainly about another aerodrome; `None` where it is about this one, or may be.
fn elsewhere(field: &Airfield, n: &Notam) -> Option<String> {
    // A thing of this map by its identity is here, whatever the notice calls the place.
    let has = |id: &String| field.identities.values().any(|l| l.contains(&id.to_lowercase()));
    if n.effects.iter().filter_map(|e| e.on.identity.as_ref()).any(has) || n.about.identity.as_ref().is_some_and(has) {
        return None;
    }
    let code = n.about.code.as_ref()?;
    let same = |a: &str| a.eq_ignore_ascii_case(code);
    let indicator = |t: &str| t.len() == 4 && t.bytes().all(|b| b.is_ascii_alphanumeric());
    if field.codes.iter().any(|c| same(c)) || field.name.as_deref().is_some_and(same) {
        return None;
    }
    // Codes of different sorts cannot be held against one another.
    let own = field.codes.iter().find(|c| indicator(c))?;
    indicator(code).then(|| format!("it is about {code}, and this is {own}"))
}
