//! `toeline plan`: the way, its clearance and the briefing in every form.

use super::pupil;
use crate::args::{PlanArgs, UnitsTyped};
use crate::{files, pdf, wish};
use std::path::Path;
use toeline_engine::briefing::{self, Units};
use toeline_engine::clearance::Verdict;
use toeline_engine::job::{self, Job};
use toeline_engine::planning::Outcome;
use toeline_engine::{Plan, Request};

pub(crate) fn run(args: &PlanArgs) -> Result<u8, String> {
    let mut wish = wish::wish(&args.journey)?;
    let measured = args
        .pupil
        .as_deref()
        .map(|who| pupil::measured(who, args.logbook.as_deref(), &mut wish.request))
        .transpose()?;
    let mut line = files::ReadingLine::new();
    let plan = toeline_engine::planning::plan_with(&wish.field_text, &wish.request, &mut |p| line.tell(p))
        .map_err(|e| format!("{}: {e}", args.journey.field.display()))?;
    drop(line);
    let mut brief = briefing::brief(&plan);
    if args.others > 0 {
        let others = toeline_engine::planning::alternatives(&plan, args.others);
        brief.others = briefing::others(&others);
    }
    if let Some(measured) = &measured {
        pupil::tell(&plan, measured, &mut brief);
    }
    if wish.time_told.is_some() {
        brief.time = wish.time_told;
    }
    let json = briefing::json(&plan, &brief);
    let read = briefing::in_units(&brief, units(args.units), &plan.field);
    let text = briefing::text(&read);
    if args.json {
        files::say(&json);
    } else if files::in_colour(args.colour) {
        files::say(&briefing::text_in_colour(&read));
    } else {
        files::say(&text);
    }
    if let Some(folder) = &args.out {
        files::make_folder(folder)?;
        // The sandbox reads GeoJSON: what was cut out is put where the job finds it.
        let cut = folder.join(CUT_OUT);
        if wish.field_made {
            files::write_whole(&cut, &wish.field_text)?;
        }
        let field = if wish.field_made { &cut } else { &args.journey.field };
        let job = job_of(field, &wish.request)?;
        let all = [
            ("briefing.txt", text),
            ("plan.json", json),
            ("plan.geojson", briefing::geojson(&plan, &brief)),
            ("chart.svg", briefing::svg(&plan, &read)),
            ("briefing.html", briefing::page(&plan, &read)),
            ("drive.json", job.to_json()),
        ];
        for (name, content) in &all {
            files::write_whole(&folder.join(name), content)?;
        }
        files::write_whole(&folder.join("knee.pdf"), pdf::of(&briefing::knee_sheet(&plan, &read))?)?;
        if !args.json {
            files::say(&where_they_are(folder, &plan, wish.field_made));
        }
    }
    Ok(code(&plan))
}

fn units(typed: UnitsTyped) -> Units {
    match typed {
        UnitsTyped::Metric => Units::Metric,
        UnitsTyped::Imperial => Units::Imperial,
    }
}

/// 0 clear, 1 with a finding.
fn code(plan: &Plan) -> u8 {
    match &plan.outcome {
        // An instruction that has to be asked about.
        Outcome::Way(_) if plan.radio.as_ref().is_some_and(|r| r.unclear) => 1,
        Outcome::Way(way) if way.clearance.verdict == Verdict::Clear => 0,
        Outcome::Way(_) | Outcome::NoWay(_) => 1,
    }
}

/// Name of the aerodrome that was cut out of OpenStreetMap data.
const CUT_OUT: &str = "field.geojson";

fn where_they_are(folder: &Path, plan: &Plan, made: bool) -> String {
    let at = folder.display();
    let mut text = format!(
        "
Files in {at}:
  briefing.txt  this text
  briefing.html the page with everything: open it in a browser, or print it
  \
         knee.pdf      A5 pages for the knee: print them in grey at full size
  chart.svg     the picture: open it in a browser
  \
         plan.json     everything, to be checked by other programs
  plan.geojson  the way and what the wings sweep, for a map
  \
         drive.json    the job for the sandbox
"
    );
    if made {
        text += "  field.geojson the aerodrome as it was cut out\n";
    }
    if matches!(plan.outcome, Outcome::Way(_)) {
        text += &format!("To drive it:  cargo run -p toeline-sandbox -- {at}/drive.json\n");
    }
    text
}

/// The job that the sandbox opens: the map by its whole path, so that it is found from anywhere.
pub(crate) fn job_of(field: &Path, request: &Request) -> Result<Job, String> {
    let shown = field.display();
    let field = field.canonicalize().map_err(|e| format!("{shown}: {e}"))?;
    let field_file = field
        .to_str()
        .ok_or_else(|| format!("{shown}: its path is not UTF-8"))?
        .to_string();
    Ok(Job {
        toeline_job: job::FORMAT,
        field_file,
        request: request.clone(),
        faults: None,
        exercise: None,
    })
}
