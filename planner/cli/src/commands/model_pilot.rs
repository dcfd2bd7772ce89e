//! `toeline drive --model-pilot`: the model pilot drives without a window; what it did is told and recorded.

use crate::files;
use std::path::Path;
use toeline_engine::Plan;
use toeline_engine::clearance::Verdict;
use toeline_engine::job::Job;
use toeline_engine::planning::Way;
use toeline_engine::route::StopKind;
use toeline_model::units::{DEG, round_to};
use toeline_training::pilot::{PilotReport, drive_by_pilot};
use toeline_training::store;

/// 0 when it arrived with nothing found on a way that is clear, 1 otherwise.
pub(crate) fn run(json: bool, record: &Path, plan: &Plan, way: &Way, job: &Job) -> Result<u8, String> {
    let job = serde_json::to_value(job).map_err(|e| e.to_string())?;
    let drive = drive_by_pilot(plan, way, job);
    store::save(record, &drive.attempt).map_err(|e| e.to_string())?;
    let report = PilotReport::of(&drive, plan, way);
    if json {
        let text = serde_json::to_string_pretty(&report).map_err(|e| e.to_string())?;
        files::say(&(text + "\n"));
    } else {
        files::say(&tell(&report, way, record));
    }
    let sound = report.findings().is_empty() && way.clearance.verdict == Verdict::Clear;
    Ok(u8::from(!sound))
}

fn tell(r: &PilotReport, way: &Way, record: &Path) -> String {
    let mut text = String::from("MODEL PILOT\n");
    let (minutes, seconds) = ((r.time_s / 60.0).floor(), r.time_s % 60.0);
    let how = if r.arrived { "arrived" } else { "did not arrive" };
    text += &format!(
        "  {how}; {} of {} stops made; {minutes:.0} min {seconds:.0} s for {:.0} m\n",
        r.stops.len(),
        r.stops_to_make,
        r.length_m
    );
    if let Some(p) = &r.precision {
        let on = r.most_on.as_deref().unwrap_or("the way");
        text += &format!(
            "  nose wheel off the path: {:.2} m root mean square, 95 per cent of the way within {:.2} m, at most {:.2} m \
             ({:.0} m along, on {on})\n",
            p.rms_m, p.p95_m, p.most_m, p.most_at_m
        );
    }
    if let Some(b) = &r.brake_check {
        text += &format!(
            "  brake check at {:.1} m: slowed by {:.1} m/s2; {}\n",
            b.at_m,
            b.slowed_mps2,
            b.finding.as_deref().unwrap_or("both hold alike")
        );
    }
    for s in &r.stops {
        let what = match s.kind {
            StopKind::EngineCheck => "engine check",
            StopKind::HoldShort | StopKind::End => "holding position",
            StopKind::Start | StopKind::Place => "place",
        };
        let short_m = round_to(s.at_m - s.made_at_m, 2);
        let side = if short_m < 0.0 { "beyond" } else { "before" };
        text += &format!(
            "  stop at {what} {}: {:.2} m {side} the place asked for, {:.2} m beside the path, nose wheel at {:.0} degrees\n",
            s.name,
            short_m.abs(),
            s.offset_m.abs(),
            round_to(s.wheel_rad / DEG, 0)
        );
    }
    for c in &r.engine_checks {
        text += &format!("  {}\n", c.say());
    }
    text += &format!("  hottest brake {:.0} C (looked at every 5 s)\n", r.brakes_c);
    for finding in r.findings() {
        text += &format!("  FINDING: {finding}\n");
    }
    match way.clearance.verdict {
        Verdict::Clear => {}
        Verdict::NotClear => text += "  FINDING: the way itself is not clear; `toeline plan` tells of what\n",
        Verdict::NotKnown => {
            text += "  FINDING: whether the way itself is clear is not known; `toeline plan` tells why\n"
        }
    }
    text + &format!("recorded in {}\n", record.display())
}
