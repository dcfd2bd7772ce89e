//! `toeline drive`: starts the sandbox on a plan, or lets a control script or the model pilot drive without a window.

use super::plan::job_of;
use crate::args::DriveArgs;
use crate::{files, wish};
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;
use toeline_engine::job::Job;
use toeline_engine::planning::Outcome;
use toeline_training::faults::{self, Faults};

pub(crate) fn run(args: &DriveArgs) -> Result<u8, String> {
    let wish = wish::wish(&args.journey)?;
    let plan = toeline_engine::plan(&wish.field_text, &wish.request.without_drives())
        .map_err(|e| format!("{}: {e}", args.journey.field.display()))?;
    let Outcome::Way(way) = &plan.outcome else {
        let brief = toeline_engine::briefing::brief(&plan);
        files::say(&toeline_engine::briefing::text(&brief));
        return Ok(1);
    };
    // What was cut out of OpenStreetMap data is kept beside the record, where sandbox and debrief find it.
    let (mut record, mut field) = (args.record.clone(), args.journey.field.clone());
    if wish.field_made {
        let file = record.map_or_else(free_name, Ok)?;
        field = file.with_extension("field.geojson");
        files::write_whole(&field, &wish.field_text)?;
        record = Some(file);
    }
    let mut job = job_of(&field, &wish.request)?;
    let faults = match &args.faults {
        Some(file) => faults_of(file, &mut job)?,
        None => Faults::default(),
    };
    if let (Some(script), Some(record)) = (&args.script, &args.record) {
        return super::script::run(script, record, &plan, way, faults, &job);
    }
    if let (true, Some(record)) = (args.model_pilot, &args.record) {
        return super::model_pilot::run(args.json, record, &plan, way, &job);
    }
    let file = std::env::temp_dir().join(format!("toeline-drive-{}.json", std::process::id()));
    files::write_whole(&file, job.to_json())?;
    let whose = (args.pupil.as_ref(), args.logbook.as_ref());
    let ended = in_sandbox(vec![file.clone().into()], record.as_ref(), whose);
    let _ = std::fs::remove_file(&file);
    ended
}

/// Starts the sandbox window on what is given, for a pupil and his logbook, and waits for its end.
pub(super) fn in_sandbox(
    given: Vec<OsString>,
    record: Option<&PathBuf>,
    (pupil, logbook): (Option<&String>, Option<&PathBuf>),
) -> Result<u8, String> {
    let sandbox = find_sandbox()?;
    let mut command = Command::new(&sandbox);
    let record = record.cloned().map_or_else(free_name, Ok)?;
    command.args(given).arg("--record").arg(&record);
    if let Some(pupil) = pupil {
        command.arg("--pupil").arg(pupil);
    }
    if let Some(logbook) = logbook {
        command.arg("--logbook").arg(logbook);
    }
    let status = command.status().map_err(|e| format!("{}: {e}", sandbox.display()))?;
    Ok(u8::try_from(status.code().unwrap_or(2)).unwrap_or(2))
}

/// Reads what is broken and puts it into the job, for the record and for the sandbox.
fn faults_of(file: &Path, job: &mut Job) -> Result<Faults, String> {
    let faults = faults::from_text(&files::read_text(file)?).map_err(|problems| {
        let list: Vec<String> = problems.iter().map(|p| format!("\n  {p}")).collect();
        format!("faults {} cannot be used:{}", file.display(), list.concat())
    })?;
    job.faults = Some(serde_json::to_value(faults).map_err(|e| e.to_string())?);
    Ok(faults)
}

/// A name in this folder that hides no older attempt.
fn free_name() -> Result<PathBuf, String> {
    (1..10_000)
        .map(|n| PathBuf::from(format!("attempt-{n}.json")))
        .find(|p| !p.exists())
        .ok_or_else(|| "attempt-1.json to attempt-9999.json are all taken; name a file with --record".to_string())
}

/// The sandbox lies beside this program, or on the search path.
fn find_sandbox() -> Result<PathBuf, String> {
    let name = format!("toeline-sandbox{}", std::env::consts::EXE_SUFFIX);
    let here = std::env::current_exe()
        .ok()
        .and_then(|p| p.parent().map(Path::to_path_buf));
    let path = std::env::var_os("PATH").unwrap_or_default();
    here.into_iter()
        .chain(std::env::split_paths(&path))
        .map(|folder| folder.join(&name))
        .find(|p| p.is_file())
        .ok_or_else(|| {
            "the sandbox is not built: run `cargo build -p toeline-sandbox` first (on Debian it needs pkg-config and libudev-dev; \
             README.md tells more)"
                .to_string()
        })
}
