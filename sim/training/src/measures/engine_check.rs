//! The engine check: what was read, and the verdict on it. The verdict has to be right: an engine with something broken is
//! refused, a sound one is accepted.

use super::noted::{notes_them, of_kind, thing};
use super::runways::entries;
use super::{Drive, Kind, Measure, Sample, Source};
use crate::attempt::EventKind;
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_dynamics::{Faults, Params};
use toeline_model::Aircraft;

/// Rpm below the check rpm down to which power counts as check power (ours).
const BELOW_CHECK_RPM: f64 = 150.0;
/// How long each has to be held to be read, seconds (ours).
const READ_S: f64 = 1.0;
/// Throttle that counts as closed, and heat that counts as on (ours).
const CLOSED: f64 = 0.05;
const HEAT_ON: f64 = 0.5;

const READINGS: Kind = Kind {
    key: "readings_judged",
    title: "Readings of the engine check taken and judged",
    source: Source::Published,
    reference: "FAA Airman Certification Standards, II.F Before Takeoff Check, from memory: detect malfunctions. What is read is the \
                aeroplane's own checklist: each magneto, carburettor heat where there is one, idle, a second each (ours); the verdict \
                is held against what is broken",
    practise: "engine check healthy and faulty: one thing at a time, say the figure, say the limit, then say fit or not fit",
    exercise: Some("engine-check-faulty"),
};

/// Throttle from which power counts as check power: what lets the engine, standing, turn the check rpm less some.
pub(crate) fn check_throttle(aircraft: &Aircraft) -> f64 {
    let p = Params::from_aircraft(aircraft);
    let rpm = aircraft.engine_check.check_rpm - BELOW_CHECK_RPM;
    ((rpm - p.idle_rpm) / (p.full_rpm - p.idle_rpm)).clamp(0.1, 1.0)
}

/// What is broken in the engine, in words.
fn broken(f: &Faults) -> Vec<&'static str> {
    let pairs = [
        (
            f.fouled_plug,
            ["fouled plug on the left magneto", "fouled plug on the right magneto"],
        ),
        (f.dead_magneto, ["dead left magneto", "dead right magneto"]),
        (
            f.live_magneto,
            [
                "left magneto that the switch does not silence",
                "right magneto that the switch does not silence",
            ],
        ),
    ];
    let each = pairs.into_iter().flat_map(|(on, names)| on.into_iter().zip(names));
    each.filter(|(on, _)| *on).map(|(_, name)| name).collect()
}

/// What is broken at a tick: as it began, or as it broke since.
fn faults_at(drive: &Drive<'_>, tick: u64) -> Faults {
    let broke = drive
        .attempt
        .events
        .iter()
        .filter(|e| e.kind == EventKind::Broke && e.tick <= tick);
    broke
        .filter_map(|e| e.faults)
        .next_back()
        .unwrap_or(drive.attempt.environment.faults)
}

/// Which readings were taken before a time, standing: name, and whether it was held for long enough.
fn taken(drive: &Drive<'_>, until_s: f64) -> Vec<(&'static str, bool)> {
    let before = |s: &Sample| s.time_s <= until_s && !s.moves();
    let held = |holds: &dyn Fn(&Sample) -> bool| drive.series.seconds(|s| before(s) && holds(s)) >= READ_S;
    let power = check_throttle(&drive.attempt.aircraft);
    let under_power = |s: &Sample, m: MagnetoSwitch| s.controls.throttle >= power && s.controls.magnetos == m;
    let both = |s: &Sample| under_power(s, MagnetoSwitch::Both);
    // Idle counts once the engine has been up.
    let up_s = drive
        .series
        .samples
        .iter()
        .find(|s| before(s) && both(s))
        .map(|s| s.time_s);
    let mut list = vec![
        ("left magneto", held(&|s| under_power(s, MagnetoSwitch::Left))),
        ("right magneto", held(&|s| under_power(s, MagnetoSwitch::Right))),
    ];
    if drive.attempt.aircraft.engine.carburettor_heat {
        list.push((
            "carburettor heat",
            held(&|s| both(s) && s.controls.carburettor_heat > HEAT_ON),
        ));
    }
    let idle = |s: &Sample| up_s.is_some_and(|up| s.time_s > up) && s.controls.throttle < CLOSED;
    list.push(("idle", held(&idle)));
    list
}

pub(super) fn readings(drive: &Drive<'_>) -> Measure {
    if !notes_them(drive.attempt) {
        return READINGS.not_recorded("verdicts on an engine check");
    }
    let verdicts: Vec<_> = of_kind(drive, EventKind::Judged).collect();
    let samples = &drive.series.samples;
    // A sick engine called fit stays called fit, whatever was said of it later.
    let wrongly = verdicts
        .iter()
        .find(|(_, e)| thing(e) == "fit" && !broken(&faults_at(drive, e.tick).clamped()).is_empty());
    let Some((time_s, verdict)) = wrongly.or(verdicts.last()).copied() else {
        let planned_m = drive.course.and_then(|c| c.engine_check_m);
        let past = planned_m.and_then(|m| samples.iter().find(|s| s.way_m > m + 5.0));
        let runway = entries(drive).first().map(|e| &samples[e.from]);
        return match past.or(runway) {
            None => READINGS.left_out("left out: it did not come past an engine check"),
            Some(s) => READINGS
                .judged(false, "the engine was not judged before going on")
                .at(s, "went on without a verdict on the engine"),
        };
    };
    let fit = thing(verdict) == "fit";
    let missing: Vec<&str> = taken(drive, time_s).into_iter().filter(|r| !r.1).map(|r| r.0).collect();
    let f = faults_at(drive, verdict.tick).clamped();
    let faults = broken(&f);
    let ice = f.carburettor_ice > 0.0;
    let went_on = entries(drive)
        .into_iter()
        .find(|e| !fit && samples[e.from].time_s > time_s)
        .map(|e| &samples[e.from]);
    let words = if fit { "fit" } else { "not fit" };
    let (good, sentence) = if !faults.is_empty() && fit {
        (
            false,
            format!("the engine was called fit; it had a {}", faults.join(" and a ")),
        )
    } else if faults.is_empty() && !fit && !ice && f.is_none() {
        (false, "the engine was refused; nothing was broken on it".to_string())
    } else if !missing.is_empty() && (fit || faults.is_empty()) {
        // What was refused at the first bad reading need not be read to the end.
        (false, format!("called {words} without reading {}", missing.join(", ")))
    } else if went_on.is_some() {
        (
            false,
            "the engine was refused, and the drive went onto the runway with it".to_string(),
        )
    } else if faults.is_empty() && fit {
        (true, "every reading taken, engine called fit, and it was".to_string())
    } else if faults.is_empty() {
        (
            true,
            "every reading taken, engine refused; it was sound, something else was broken or its carburettor iced"
                .to_string(),
        )
    } else {
        (true, format!("engine refused: {}", faults.join(" and ")))
    };
    let told = READINGS
        .judged(good, sentence)
        .figure("not_taken", missing.len() as f64)
        .figure("broken", faults.len() as f64);
    let at = super::noted::sample_at(drive, time_s);
    let told = match at {
        Some(s) => told.at(s, format!("called {words}")),
        None => told,
    };
    match went_on {
        Some(s) => told.at(s, "went onto the runway"),
        None => told,
    }
}
