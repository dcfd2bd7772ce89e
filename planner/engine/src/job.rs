//! A plan to drive, handed from the program to the sandbox: where the map is and what was asked.

use crate::request::Request;
use serde::{Deserialize, Serialize};

/// Version of the job file.
pub const FORMAT: u32 = 1;

/// A job file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Job {
    /// Version of the format: 1.
    pub toeline_job: u32,
    /// Path of the map file.
    pub field_file: String,
    /// What was asked.
    pub request: Request,
    /// What is broken on the aeroplane that is driven, as `docs/attempts.md` writes it. The planner does not read it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub faults: Option<serde_json::Value>,
    /// The exercise that is driven, whole, as `docs/exercises.md` writes it. The planner does not read it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exercise: Option<serde_json::Value>,
}

impl Job {
    /// Reads a job file.
    ///
    /// # Errors
    /// A sentence that says what is wrong.
    pub fn from_json(text: &str) -> Result<Job, String> {
        let job: Job = serde_json::from_str(text).map_err(|e| format!("not a job file: {e}"))?;
        if job.toeline_job != FORMAT {
            return Err(format!(
                "job file of format {}; this program reads format {FORMAT}",
                job.toeline_job
            ));
        }
        Ok(job)
    }

    /// Writes the job file's text.
    pub fn to_json(&self) -> String {
        // A struct of strings and numbers always serialises.
        serde_json::to_string_pretty(self).unwrap_or_default() + "\n"
    }
}
