//! The field that lies on the table: opened in the background, with its text kept for the planner.

use super::choice::{Choice, read_text};
use super::ends::Ends;
use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task, block_on, poll_once};
use std::path::PathBuf;
use std::sync::Arc;
use toeline_engine::job::{self, Job};
use toeline_engine::{Request, read};
use toeline_model::{Aircraft, Airfield, Wind};

/// A field with the aeroplane and the wind that were chosen for it.
#[derive(Resource, Clone, Debug)]
pub struct Table {
    /// Path of the map file.
    pub file: PathBuf,
    /// Its text.
    pub text: Arc<str>,
    /// The field as the engine reads it.
    pub field: Airfield,
    /// The aeroplane.
    pub aircraft: Aircraft,
    /// The wind.
    pub wind: Wind,
    /// The job that the map was opened with: ways drawn on it keep its time, margins and notices.
    pub asked: Option<Request>,
}

impl Table {
    /// A request for a way drawn on the map, with what the job that the map was opened with asks of every way. Its taxi
    /// instruction is for its own way only.
    pub fn like_its_job(&self, request: Request) -> Request {
        match &self.asked {
            None => request,
            Some(job) => Request {
                date: job.date,
                time_utc: job.time_utc,
                margin_m: job.margin_m,
                vertical_margin_m: job.vertical_margin_m,
                accuracy_m: job.accuracy_m,
                rule: job.rule,
                notams: job.notams.clone(),
                ..request
            },
        }
    }

    /// The job that a request on this field makes, as the record of a drive keeps it.
    pub fn job(&self, request: &Request) -> serde_json::Value {
        let file = self.file.canonicalize().unwrap_or_else(|_| self.file.clone());
        let job = Job {
            toeline_job: job::FORMAT,
            field_file: file.display().to_string(),
            request: request.clone(),
            faults: None,
            exercise: None,
        };
        serde_json::to_value(&job).unwrap_or_default()
    }

    /// Whether the field has what a way needs, and if not, what it lacks.
    pub fn lacks(&self) -> Option<&'static str> {
        if self.field.stands.is_empty() {
            return Some("This map shows no stand to start from.");
        }
        if self.field.runways.is_empty() && self.field.holding_positions.is_empty() {
            return Some("This map shows no runway and no holding position to end at.");
        }
        None
    }
}

/// A map file that is being read.
#[derive(Resource)]
pub struct Opening {
    task: Task<Result<Box<Table>, String>>,
    /// The request whose points are to be chosen when it is read.
    points: Option<Request>,
}

/// What is wrong with what was asked for, in words; empty when nothing is.
#[derive(Resource, Clone, Debug, Default, PartialEq, Eq)]
pub struct Trouble(pub String);

/// Reads what is chosen, in the background.
///
/// # Errors
/// What is wrong with wind or aeroplane; the field's own trouble comes later, from [`opened`].
pub fn open(choice: &Choice) -> Result<Opening, String> {
    let (wind, aircraft) = (choice.wind()?, choice.aircraft()?);
    let file = PathBuf::from(choice.field.trim());
    if file.as_os_str().is_empty() {
        return Err("no field is chosen: take one of the list or type the path of a map file".into());
    }
    Ok(Opening {
        task: reading(file, aircraft, wind, None),
        points: None,
    })
}

/// Reads the field of a job, to show its points on the map.
pub fn open_job(job: Job) -> Opening {
    let r = &job.request;
    Opening {
        task: reading(
            PathBuf::from(job.field_file),
            r.aircraft.clone(),
            r.wind,
            Some(r.clone()),
        ),
        points: Some(job.request),
    }
}

fn reading(file: PathBuf, aircraft: Aircraft, wind: Wind, asked: Option<Request>) -> Task<Result<Box<Table>, String>> {
    AsyncComputeTaskPool::get().spawn(async move {
        let text = read_text(&file)?;
        let read = read::read(&text).map_err(|e| format!("{}: {e}", file.display()))?;
        Ok(Box::new(Table {
            text: text.into(),
            field: read.field,
            file,
            aircraft,
            wind,
            asked,
        }))
    })
}

/// Puts the field on the table when it is read, with no point chosen unless it is the field that was there before.
pub fn opened(
    mut commands: Commands,
    opening: Option<ResMut<Opening>>,
    old: Option<Res<Table>>,
    mut trouble: ResMut<Trouble>,
) {
    let Some(mut opening) = opening else { return };
    let Some(result) = block_on(poll_once(&mut opening.task)) else {
        return;
    };
    let points = opening.points.take();
    commands.remove_resource::<Opening>();
    match result {
        Ok(table) => {
            trouble.0.clear();
            match points {
                Some(request) => commands.insert_resource(Ends::of(&table.field, &request)),
                None if old.is_none_or(|o| o.text != table.text) => commands.insert_resource(Ends::default()),
                None => {}
            }
            commands.insert_resource(*table);
        }
        Err(e) => trouble.0 = e,
    }
}
