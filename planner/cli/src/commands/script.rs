//! `toeline drive --script`: a drive without a window, tick for tick, written as an attempt.

use crate::files;
use std::path::Path;
use toeline_engine::Plan;
use toeline_engine::job::Job;
use toeline_engine::planning::Way;
use toeline_training::faults::Faults;
use toeline_training::{Event, EventKind, journey, store};

pub(crate) fn run(
    script: &Path,
    record: &Path,
    plan: &Plan,
    way: &Way,
    faults: Faults,
    job: &Job,
) -> Result<u8, String> {
    let text = files::read_text(script)?;
    let job = serde_json::to_value(job).map_err(|e| e.to_string())?;
    let attempt = journey::drive_by_script(plan, way, &text, faults, job).map_err(|problems| {
        let list: Vec<String> = problems.iter().map(|p| format!("\n  {p}")).collect();
        format!("script {} cannot be driven:{}", script.display(), list.concat())
    })?;
    store::save(record, &attempt).map_err(|e| e.to_string())?;
    let ticks = attempt.inputs.ticks();
    files::say(&format!(
        "drove {ticks} ticks, {:.1} s; recorded in {}\n",
        attempt.time_s(ticks),
        record.display()
    ));
    if let Some(off) = journey::off_the_path(&attempt, way) {
        let side = if off.last_m < 0.0 { "right" } else { "left" };
        files::say(&format!(
            "nose wheel: at most {:.2} m off the path; at the end {:.2} m {side} of it, {:.1} m along\n",
            off.most_m,
            off.last_m.abs(),
            off.way_m
        ));
    }
    let told = attempt.events.iter().filter(|e| worth_telling(e));
    for event in told {
        let place = event
            .at
            .map_or(String::new(), |p| format!(", x {:.1} m y {:.1} m", p.x, p.y));
        files::say(&format!(
            "{:.1} s: {}{place}\n",
            attempt.time_s(event.tick),
            event.words()
        ));
    }
    Ok(0)
}

/// What a pilot would be told after the drive; stops and starts are not.
fn worth_telling(event: &Event) -> bool {
    matches!(
        event.kind,
        EventKind::TouchedObstacle
            | EventKind::LeftPavement
            | EventKind::BackOnPavement
            | EventKind::TippedOver
            | EventKind::LiftedOff
    )
}
