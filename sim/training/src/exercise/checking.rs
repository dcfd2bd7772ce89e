//! What every value of an exercise may be. The limits are ours: lessons with room to spare, so that a slip of a decimal point
//! is caught.

use super::{Breakdown, Exercise, FORMAT, Journey, Limits, Place, Reading, Stage, Start, Until};
use crate::attempt::{ANSWERS, Attempt, CALLS, LOOKS};
use crate::drills::DrillKind;
use crate::measures::{Series, measure};
use crate::script::{Script, run_script};
use std::sync::LazyLock;
use toeline_dynamics::{Air, Ground, Params, State};
use toeline_model::aircraft::catalog;
use toeline_model::date::Date;
use toeline_model::frame::xy;
use toeline_model::{Pose, Yaw};

/// Most characters of a title, of a sentence, and of a name.
const MOST_TITLE: usize = 80;
/// See [`MOST_TITLE`].
const MOST_SENTENCE: usize = 400;
/// See [`MOST_TITLE`].
const MOST_NAME: usize = 60;
/// Most sentences, stages, conditions of a stage, faults.
const MOST_TEACHES: usize = 12;
/// See [`MOST_TEACHES`].
const MOST_STAGES: usize = 40;
/// See [`MOST_TEACHES`].
const MOST_UNTIL: usize = 12;
/// See [`MOST_TEACHES`].
const MOST_FAULTS: usize = 8;
/// Longest way, metres.
const MOST_M: f64 = 20_000.0;
/// Longest time, seconds.
const MOST_S: f64 = 3600.0;
/// Fastest, knots.
const MOST_KT: f64 = 120.0;
/// Measures that need a line to be held against.
const ON_A_LINE: [&str; 3] = ["path", "steady_offset", "weave"];

/// One thing wrong in an exercise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExerciseProblem {
    /// The key, with its path.
    pub key: String,
    /// What is wrong, with value and limit.
    pub text: String,
}

impl ExerciseProblem {
    pub(super) fn new(key: &str, text: impl Into<String>) -> ExerciseProblem {
        ExerciseProblem {
            key: key.to_string(),
            text: text.into(),
        }
    }
}

impl core::fmt::Display for ExerciseProblem {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}: {}", self.key, self.text)
    }
}

/// Keys of the measures that an exercise can name, in the order in which they are worked on. They are asked of the measures
/// themselves, over an aeroplane that stands for one tick, so that the list is never another one.
pub fn measure_keys() -> &'static [&'static str] {
    static KEYS: LazyLock<Vec<&'static str>> = LazyLock::new(|| {
        let Some(aircraft) = catalog::all().into_iter().next() else {
            return Vec::new();
        };
        let pose = Pose {
            nose: xy(0.0, 0.0),
            heading_rad: Yaw::from_rad(0.0),
        };
        let start = State::parked(&Params::from_aircraft(&aircraft), pose);
        let script = Script {
            ticks: 1,
            ..Script::default()
        };
        let still: Attempt = run_script(&aircraft, Ground::default(), Air::default(), &start, &script);
        let series = Series::of(&still, None);
        let measured = measure(&still, None, &series);
        measured.measures.into_iter().map(|m| m.key).collect()
    });
    &KEYS
}

struct Check {
    list: Vec<ExerciseProblem>,
}

/// Everything in an exercise that cannot be; empty when it is sound.
pub(super) fn check(e: &Exercise) -> Vec<ExerciseProblem> {
    let mut c = Check { list: Vec::new() };
    if e.toeline_exercise != FORMAT {
        let text = format!(
            "format {} is not known; this program reads format {FORMAT}",
            e.toeline_exercise
        );
        c.say("toeline_exercise", text);
    }
    c.id("id", &e.id);
    c.text("title", &e.title, MOST_TITLE);
    c.count("teaches", e.teaches.len(), 1, MOST_TEACHES);
    for (k, sentence) in e.teaches.iter().enumerate() {
        c.text(&format!("teaches[{k}]"), sentence, MOST_SENTENCE);
    }
    c.count("after", e.after.len(), 0, MOST_TEACHES);
    for (k, id) in e.after.iter().enumerate() {
        c.id(&format!("after[{k}]"), id);
        if *id == e.id {
            c.say(&format!("after[{k}]"), format!("\"{id}\" is the exercise itself"));
        }
    }
    if let Place::Journey(j) = &e.place {
        c.journey(j);
    }
    if catalog::find(&e.aircraft).is_none() {
        let names: Vec<String> = catalog::all().into_iter().map(|a| a.id).collect();
        let text = format!(
            "\"{}\" is no built-in aeroplane; there are {}",
            e.aircraft,
            names.join(", ")
        );
        c.say("aircraft", text);
    }
    match &e.start {
        Some(Start::AtM(m)) => c.within("start.at_m", *m, 0.0, MOST_M, "m"),
        Some(Start::Before { stop, by_m }) => {
            c.text("start.before.stop", stop, MOST_NAME);
            c.within("start.before.by_m", *by_m, 0.0, MOST_M, "m");
        }
        None => {}
    }
    c.count("stages", e.stages.len(), 1, MOST_STAGES);
    for (k, stage) in e.stages.iter().enumerate() {
        c.stage(&format!("stages[{k}]"), stage);
    }
    c.count("faults", e.faults.len(), 0, MOST_FAULTS);
    for (k, b) in e.faults.iter().enumerate() {
        c.breakdown(&format!("faults[{k}]"), b, e.stages.len());
    }
    let after_fault = |u: &Until| matches!(u, Until::StoppedAfterFault(_));
    if e.faults.is_empty() && e.stages.iter().any(|s| s.until.iter().any(after_fault)) {
        c.say(
            "faults",
            "[] although a stage waits for a stop after a fault; write what breaks",
        );
    }
    c.scored(&e.scored);
    if matches!(
        &e.place,
        Place::Drill {
            drill: DrillKind::FreeApron
        }
    ) {
        for (k, key) in e
            .scored
            .iter()
            .enumerate()
            .filter(|(_, key)| ON_A_LINE.contains(&key.as_str()))
        {
            c.say(
                &format!("scored[{k}]"),
                format!("\"{key}\" needs a line; on free_apron there is none"),
            );
        }
    }
    c.list
}

impl Check {
    fn say(&mut self, key: &str, text: impl Into<String>) {
        self.list.push(ExerciseProblem::new(key, text));
    }

    fn text(&mut self, key: &str, text: &str, most: usize) {
        let count = text.chars().count();
        if text.trim().is_empty() {
            self.say(key, "\"\" says nothing; write at least a word");
        } else if count > most {
            self.say(key, format!("{count} characters; at most {most}"));
        } else if text.chars().any(char::is_control) {
            self.say(key, format!("{text:?} holds a character that cannot be printed"));
        }
    }

    fn id(&mut self, key: &str, id: &str) {
        let fits = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if id.is_empty() || id.len() > MOST_NAME || !id.chars().all(fits) {
            let shown: String = id.chars().take(MOST_NAME).collect();
            let text = format!("\"{shown}\": write 1 to {MOST_NAME} small letters, digits and hyphens");
            self.say(key, text);
        }
    }

    fn count(&mut self, key: &str, count: usize, least: usize, most: usize) {
        if !(least..=most).contains(&count) {
            self.say(key, format!("{count} of them; there can be {least} to {most}"));
        }
    }

    fn within(&mut self, key: &str, value: f64, least: f64, most: f64, unit: &str) {
        if !(least..=most).contains(&value) {
            self.say(key, format!("{value} {unit} is outside {least} to {most} {unit}"));
        }
    }

    fn one_of(&mut self, key: &str, value: &str, all: &[&str]) {
        if !all.contains(&value) {
            let shown: String = value.chars().take(MOST_NAME).collect();
            self.say(key, format!("\"{shown}\": there are {}", all.join(", ")));
        }
    }

    fn journey(&mut self, j: &Journey) {
        for (key, value) in [("where.field", &j.field), ("where.from", &j.from), ("where.to", &j.to)] {
            self.text(key, value, MOST_SENTENCE);
        }
        self.count("where.via", j.via.len(), 0, MOST_TEACHES);
        for (k, via) in j.via.iter().enumerate() {
            self.text(&format!("where.via[{k}]"), via, MOST_NAME);
        }
        if let Some(words) = &j.instruction {
            self.text("where.instruction", words, MOST_SENTENCE);
        }
        if let Some(deg) = j.parked_heading_deg {
            self.within("where.parked_heading_deg", deg, 0.0, 360.0, "degrees");
        }
        if let Err(why) = Date::parse(&j.date) {
            self.say("where.date", why);
        }
        if let Some(m) = j.roll_m {
            self.within("where.roll_m", m, 10.0, 4000.0, "m");
        }
    }

    fn stage(&mut self, at: &str, stage: &Stage) {
        self.text(&format!("{at}.title"), &stage.title, MOST_TITLE);
        self.text(&format!("{at}.prompt"), &stage.prompt, MOST_SENTENCE);
        self.count(&format!("{at}.until"), stage.until.len(), 1, MOST_UNTIL);
        for (k, until) in stage.until.iter().enumerate() {
            self.until(&format!("{at}.until[{k}]"), until);
        }
        if let Some(tower) = &stage.tower {
            let at = format!("{at}.tower");
            self.one_of(&format!("{at}.tells"), &tower.tells, &ANSWERS);
            self.text(&format!("{at}.words"), &tower.words, MOST_SENTENCE);
            self.within(&format!("{at}.after_s"), tower.after_s, 0.0, 60.0, "s");
            if let Some(upon) = &tower.upon {
                self.one_of(&format!("{at}.upon"), upon, &CALLS);
            }
        }
        self.limits(&format!("{at}.limits"), &stage.limits);
    }

    fn until(&mut self, at: &str, until: &Until) {
        match until {
            Until::PassedM(m) => self.within(&format!("{at}.passed_m"), *m, 0.0, MOST_M, "m"),
            Until::Passed(stop) => self.text(&format!("{at}.passed"), stop, MOST_NAME),
            Until::Stood(s) => {
                if let Some(stop) = &s.at {
                    self.text(&format!("{at}.stood.at"), stop, MOST_NAME);
                }
                self.within(&format!("{at}.stood.for_s"), s.for_s, 0.1, MOST_S, "s");
                self.within(&format!("{at}.stood.within_m"), s.within_m, 0.1, 100.0, "m");
            }
            Until::TurnedDeg(deg) => self.within(&format!("{at}.turned_deg"), *deg, 1.0, 360.0, "degrees"),
            Until::SlowedKt(kt) => self.within(&format!("{at}.slowed_kt"), *kt, 0.1, MOST_KT, "kt"),
            Until::FullAndFree(list) => {
                self.count(&format!("{at}.full_and_free"), list.len(), 1, 3);
            }
            Until::Looked(to) => self.one_of(&format!("{at}.looked"), to, &LOOKS),
            Until::Said(what) => self.one_of(&format!("{at}.said"), what, &CALLS),
            Until::Told(what) => self.one_of(&format!("{at}.told"), what, &ANSWERS),
            Until::Judged(what) => self.one_of(&format!("{at}.judged"), what, &["fit", "unfit"]),
            Until::Switched(s) => {
                self.text(&format!("{at}.switched.switch"), &s.switch, MOST_NAME);
                self.text(&format!("{at}.switched.to"), &s.to, MOST_NAME);
            }
            Until::ReachedKt(kt) => self.within(&format!("{at}.reached_kt"), *kt, 0.1, MOST_KT, "kt"),
            Until::LiftOffShare(share) => self.within(&format!("{at}.lift_off_share"), *share, 0.05, 1.2, "of it"),
            Until::StoppedAfterFault(s) => {
                if let Some(within_s) = s.throttle_closed_within_s {
                    let key = format!("{at}.stopped_after_fault.throttle_closed_within_s");
                    self.within(&key, within_s, 0.1, MOST_S, "s");
                }
            }
            Until::Reading(Reading::CheckRpm | Reading::LeftMagneto | Reading::RightMagneto)
            | Until::Reading(Reading::CarburettorHeat | Reading::Idle)
            | Until::Power(_) => {}
        }
    }

    fn limits(&mut self, at: &str, l: &Limits) {
        for (name, value, least, most, unit) in [
            ("most_kt", l.most_kt, 0.5, MOST_KT, "kt"),
            ("off_line_m", l.off_line_m, 0.05, 50.0, "m"),
            ("heading_deg", l.heading_deg, 0.5, 180.0, "degrees"),
            ("within_s", l.within_s, 0.5, MOST_S, "s"),
            ("by_m", l.by_m, 0.5, MOST_M, "m"),
        ] {
            if let Some(value) = value {
                self.within(&format!("{at}.{name}"), value, least, most, unit);
            }
        }
        if let Some(stop) = &l.by_stop {
            self.text(&format!("{at}.by_stop"), stop, MOST_NAME);
        }
    }

    fn breakdown(&mut self, at: &str, b: &Breakdown, stages: usize) {
        if let Some(stage) = b.from.stage
            && !(1..=stages).contains(&stage)
        {
            let text = format!("stage {stage}; there are stages 1 to {stages}");
            self.say(&format!("{at}.from.stage"), text);
        }
        if let Some(m) = b.from.way_m {
            self.within(&format!("{at}.from.way_m"), m, 0.0, MOST_M, "m");
        }
        if let Some(kt) = b.from.kt {
            self.within(&format!("{at}.from.kt"), kt, 0.1, MOST_KT, "kt");
        }
    }

    fn scored(&mut self, scored: &[String]) {
        let known = measure_keys();
        self.count("scored", scored.len(), 1, known.len());
        for (k, key) in scored.iter().enumerate() {
            self.one_of(&format!("scored[{k}]"), key, known);
            if scored[..k].contains(key) {
                self.say(&format!("scored[{k}]"), format!("\"{key}\" is there twice"));
            }
        }
    }
}
