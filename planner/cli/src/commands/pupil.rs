//! `toeline plan --pupil`: a pupil's own wobble from his attempts, and what it does to the odds.

use crate::files;
use std::path::{Path, PathBuf};
use toeline_engine::briefing::{Answer, Briefing};
use toeline_engine::odds::{Begin, Wobble};
use toeline_engine::planning::Outcome;
use toeline_engine::{Plan, Request};
use toeline_training::attempt::Attempt;
use toeline_training::store;
use toeline_training::wobble::{Change, Measured, measure, sentences};

/// A pupil's wobble, and files that could not be used, each with the reason.
pub(crate) struct OfPupil {
    measured: Measured,
    remarks: Vec<String>,
}

/// Measures the attempts in a file or folder; their wobble goes into the request.
pub(crate) fn measured(path: &Path, request: &mut Request) -> Result<OfPupil, String> {
    let names = files::attempts_in(path)?;
    let mut remarks = Vec::new();
    let mut list: Vec<(PathBuf, Attempt)> = Vec::new();
    for name in names {
        match store::load(&name) {
            Ok(attempt) => list.push((name, attempt)),
            // One file is what was asked for; among many a broken one is told and left out.
            Err(why) if path == name => return Err(why.to_string()),
            Err(why) => remarks.push(format!("Left out: {why}.")),
        }
    }
    let attempts: Vec<Attempt> = list.iter().map(|(_, a)| a.clone()).collect();
    let default = Wobble::beginner(&request.aircraft);
    let measured = measure(&attempts, default, &mut super::exercise::map_text);
    for (k, why) in &measured.left_out {
        remarks.push(format!("Left out: {}: {why}.", list[*k].0.display()));
    }
    if measured.attempts == 0 {
        let reasons: Vec<String> = remarks.iter().map(|r| format!("\n  {r}")).collect();
        return Err(format!(
            "{}: holds no attempt that a wobble can be measured from{}",
            path.display(),
            reasons.concat()
        ));
    }
    let mut others: Vec<&str> = attempts.iter().map(|a| a.aircraft.name.as_str()).collect();
    others.retain(|name| *name != request.aircraft.name);
    others.sort_unstable();
    others.dedup();
    if !others.is_empty() {
        remarks.push(format!(
            "Some attempts were driven with another aeroplane ({}): where he sits differs, and with it his offset.",
            others.join(", ")
        ));
    }
    request.odds.wobble = Some(measured.wobble);
    Ok(OfPupil { measured, remarks })
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
