//! `toeline plan --pupil`: a pupil's own wobble from his attempts, and what it does to the odds.

use super::logbook::{minute, usual_place};
use crate::files;
use std::path::{Path, PathBuf};
use toeline_engine::briefing::{Answer, Briefing};
use toeline_engine::odds::{Begin, Wobble};
use toeline_engine::planning::Outcome;
use toeline_engine::{Plan, Request};
use toeline_training::attempt::Attempt;
use toeline_training::logbook::{Logbook, LogbookCause, Wanted};
use toeline_training::store;
use toeline_training::wobble::{Change, Measured, measure, measure_newest, sentences, too_old};

/// A pupil's wobble, and attempts that could not be used, each with the reason.
pub(crate) struct OfPupil {
    measured: Measured,
    remarks: Vec<String>,
}

/// Measures the attempts of a file, a folder or a pupil of the logbook; their wobble goes into the request. What is there
/// as a file or folder is taken as that, anything else as a name.
pub(crate) fn measured(who: &Path, logbook: Option<&Path>, request: &mut Request) -> Result<OfPupil, String> {
    let default = Wobble::beginner(&request.aircraft);
    let mut seen = Seen::default();
    let measured = if who.exists() {
        of_files(who, default, &mut seen)?
    } else {
        of_logbook(who, logbook, default, &mut seen)?
    };
    // Nothing that can be read is a slip; who has driven too little gets the default, and it is said.
    if measured.attempts == 0 && seen.aircraft.is_empty() {
        let reasons: Vec<String> = seen.remarks.iter().map(|r| format!("\n  {r}")).collect();
        return Err(format!(
            "{}: holds no attempt that a wobble can be measured from{}",
            seen.place,
            reasons.concat()
        ));
    }
    let mut others = seen.aircraft;
    others.retain(|name| *name != request.aircraft.name);
    others.sort_unstable();
    others.dedup();
    if !others.is_empty() {
        seen.remarks.push(format!(
            "Some attempts were driven with another aeroplane ({}): where he sits differs, and with it his offset.",
            others.join(", ")
        ));
    }
    request.odds.wobble = Some(measured.wobble);
    Ok(OfPupil {
        measured,
        remarks: seen.remarks,
    })
}

/// What came up while attempts were read.
#[derive(Default)]
struct Seen {
    /// Where they are from, as it is told.
    place: String,
    remarks: Vec<String>,
    /// Names of the aeroplanes.
    aircraft: Vec<String>,
}

impl Seen {
    fn left_out(&mut self, what: &str, why: &str) {
        self.remarks.push(format!("Left out: {what}: {why}."));
    }
}

fn map(file: &str) -> Result<String, String> {
    super::exercise::map_text(file)
}

fn of_files(path: &Path, default: Wobble, seen: &mut Seen) -> Result<Measured, String> {
    seen.place = path.display().to_string();
    let mut list: Vec<(PathBuf, Attempt)> = Vec::new();
    for name in files::attempts_in(path)? {
        match store::load(&name) {
            Ok(attempt) => list.push((name, attempt)),
            // One file is what was asked for; among many a broken one is told and left out.
            Err(why) if path == name => return Err(why.to_string()),
            Err(why) => seen.remarks.push(format!("Left out: {why}.")),
        }
    }
    let attempts: Vec<Attempt> = list.iter().map(|(_, a)| a.clone()).collect();
    let measured = measure(&attempts, default, &mut map);
    for (k, why) in &measured.left_out {
        seen.left_out(&list[*k].0.display().to_string(), why);
    }
    seen.aircraft = attempts.into_iter().map(|a| a.aircraft.name).collect();
    Ok(measured)
}

/// The attempts of a pupil of the logbook, newest first and no more than count: a drive is large.
fn of_logbook(who: &Path, logbook: Option<&Path>, default: Wobble, seen: &mut Seen) -> Result<Measured, String> {
    let name = who.display().to_string();
    let file = logbook.map_or_else(usual_place, |f| Ok(f.to_path_buf()))?;
    let nothing = |why: String| format!("--pupil {name}: no such file or folder, and no pupil of the logbook: {why}");
    if !file.exists() {
        return Err(nothing(format!("there is no logbook {}", file.display())));
    }
    let book = Logbook::open_existing(&file).map_err(|e| e.to_string())?;
    let wanted = Wanted {
        pupil: Some(name.clone()),
        most: None,
    };
    let entries = book.list(&wanted).map_err(|e| match e.cause {
        LogbookCause::NoPupil(..) => nothing(e.to_string()),
        _ => e.to_string(),
    })?;
    seen.place = format!("\"{}\" in {}", name.trim(), file.display());
    let told: Vec<String> = entries
        .iter()
        .map(|e| format!("{} of {}", &e.id[..12], minute(e.when)))
        .collect();
    // Which of the list each measured attempt is, and what could not be read at all.
    let (mut which, mut unread, mut aircraft, mut asked) = (Vec::new(), Vec::new(), Vec::new(), 0);
    let mut newest = entries.iter().enumerate().filter_map(|(k, entry)| {
        asked = k + 1;
        match book.attempt(&entry.id) {
            Ok(attempt) => {
                which.push(k);
                aircraft.push(attempt.aircraft.name.clone());
                Some(attempt)
            }
            Err(why) => {
                unread.push((k, why.to_string()));
                None
            }
        }
    });
    let measured = measure_newest(&mut newest, default, &mut map);
    drop(newest);
    unread.extend(measured.left_out.iter().map(|(k, why)| (which[*k], why.clone())));
    unread.sort();
    for (k, why) in &unread {
        seen.left_out(&told[*k], why);
    }
    match entries.len() - asked {
        0 => {}
        1 => seen.left_out("1 attempt", &too_old()),
        n => seen.left_out(&format!("{n} attempts"), &too_old()),
    }
    seen.aircraft = aircraft;
    Ok(measured)
}

/// Adds to a briefing whose figures the odds are from and how they change.
pub(crate) fn tell(plan: &Plan, of: &OfPupil, brief: &mut Briefing) {
    let (Outcome::Way(way), Answer::Way(told)) = (&plan.outcome, &mut brief.answer) else {
        return;
    };
    let (aircraft, odds) = (&plan.request.aircraft, &plan.request.odds);
    let change = Change::of(
        aircraft,
        &way.route.path,
        &way.clearance,
        odds,
        Begin::Parked,
        &of.measured,
    );
    told.odds.extend(sentences(&of.measured, change.as_ref()));
    told.odds.extend(of.remarks.iter().cloned());
}
