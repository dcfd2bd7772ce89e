//! Lights: those that the hour asks for while it moves, and those for a runway.

use super::noted::{of_kind, thing};
use super::runways::entries;
use super::{Drive, Kind, MOST_SPOTS, Measure, Sample, Source, sun};
use crate::attempt::EventKind;

const LIGHTS: Kind = Kind {
    key: "lights",
    title: "Lights for the hour and for the runway",
    source: Source::Published,
    reference: "14 CFR 91.209, from memory: position lights from sunset to sunrise; beacon while the engine runs. FAA AIM 4-3-23, from \
                memory: taxi light while taxiing (by night counted, ours), and every outside light but the landing light before \
                entering a runway (by night counted; by day taxi or landing light, ours)",
    practise: "night taxi: beacon, navigation lights, taxi light before the brakes come off; one more look at the switches at every \
               holding line",
    exercise: Some("night-taxi"),
};

/// The lights, by the names of their switches.
const NAMES: [&str; 4] = ["beacon", "navigation lights", "taxi light", "landing light"];
const BEACON: usize = 0;
const NAVIGATION: usize = 1;
const TAXI: usize = 2;
const LANDING: usize = 3;

/// How they are handed over until a switch is noted: with the beacon on, as the window does.
const HANDED_OVER: [bool; 4] = [true, false, false, false];

/// Which lights are on at a time.
fn lit(drive: &Drive<'_>, time_s: f64) -> [bool; 4] {
    let mut on = HANDED_OVER;
    for (_, e) in of_kind(drive, EventKind::Switched).filter(|(t, _)| *t <= time_s) {
        let which = NAMES.iter().position(|n| Some(*n) == e.part.as_deref());
        if let Some(k) = which {
            on[k] = thing(e) == "on";
        }
    }
    on
}

/// Whether the sun is down: as the window notes its time of day, otherwise by the hour of the plan; `None` without either.
fn is_dark(drive: &Drive<'_>) -> Option<bool> {
    let noted = of_kind(drive, EventKind::Note).find(|(_, e)| e.part.as_deref() == Some("time of day"));
    match noted.map(|(_, e)| thing(e)) {
        Some("day") => Some(false),
        Some("dusk" | "night") => Some(true),
        _ => drive.course.and_then(|c| c.sun_deg).map(|deg| deg < sun::SETS_AT_DEG),
    }
}

/// The names of lights that were due at a moment and not on.
fn lacking(on: [bool; 4], dark: Option<bool>, onto_runway: bool) -> Vec<&'static str> {
    let mut list = Vec::new();
    if !on[BEACON] {
        list.push(NAMES[BEACON]);
    }
    if dark == Some(true) {
        list.extend([NAVIGATION, TAXI].into_iter().filter(|k| !on[*k]).map(|k| NAMES[k]));
    } else if onto_runway && !on[TAXI] && !on[LANDING] {
        list.push("taxi or landing light");
    }
    list
}

pub(super) fn lights(drive: &Drive<'_>) -> Measure {
    let light = |part: &str| NAMES.contains(&part);
    let known = of_kind(drive, EventKind::Switched).any(|(_, e)| e.part.as_deref().is_some_and(light));
    if !known {
        return LIGHTS.not_recorded("light switches");
    }
    let dark = is_dark(drive);
    let samples = &drive.series.samples;
    let mut missed: Vec<(&Sample, Vec<&str>, &str)> = Vec::new();
    // Once for each change of what is missing.
    let mut last: Vec<&str> = Vec::new();
    for s in samples.iter().filter(|s| s.moves()) {
        let not = lacking(lit(drive, s.time_s), dark, false);
        if not != last && !not.is_empty() {
            missed.push((s, not.clone(), "moved"));
        }
        last = not;
    }
    for entry in entries(drive) {
        let s = &samples[entry.from];
        let not = lacking(lit(drive, s.time_s), dark, true);
        if !not.is_empty() {
            missed.push((s, not, "came onto the runway"));
        }
    }
    missed.sort_by(|a, b| a.0.time_s.total_cmp(&b.0.time_s));
    let hour = match dark {
        Some(true) => "between sunset and sunrise",
        Some(false) => "by day",
        None => "the hour is not known, so that what the dark asks for is left out",
    };
    let sentence = match missed.first() {
        None => format!("the lights that were due were on; {hour}"),
        Some((_, not, when)) => format!("{when} without {}; {hour}", not.join(" and ")),
    };
    let told = LIGHTS
        .judged(missed.is_empty(), sentence)
        .figure("missed", missed.len() as f64);
    missed.into_iter().take(MOST_SPOTS).fold(told, |told, (s, not, when)| {
        told.at(s, format!("{when} without {}", not.join(" and ")))
    })
}
