//! How each measure went over several drives, oldest first. No sums over measures: every skill by itself.

use super::Judged;
use crate::measures::{Measure, Source};
use serde::Serialize;
use toeline_model::units::round_to;

/// An earlier drive, as far as progress needs it.
#[derive(Clone, Debug, PartialEq)]
pub struct Earlier {
    /// What it is called: a day, or a file's name.
    pub name: String,
    /// Its measures.
    pub measures: Vec<Measure>,
}

/// The course of one measure.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// The measure.
    pub key: &'static str,
    /// Its name for people.
    pub title: &'static str,
    /// Whose rule it is.
    pub source: Source,
    /// Its first figure, with the unit at the end of the name; `None` where it has none.
    pub figure: Option<&'static str>,
    /// That figure in each drive; `None` where it has none.
    pub values: Vec<Option<f64>>,
    /// What came of it in each drive.
    pub judged: Vec<Judged>,
}

/// The course of every measure.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Progress {
    /// The drives, oldest first.
    pub drives: Vec<String>,
    /// Measures that could be judged in at least one of them, in their order.
    pub rows: Vec<Row>,
}

/// Lines drives up, oldest first.
pub fn progress(drives: &[Earlier]) -> Progress {
    let Some(newest) = drives.last() else {
        return Progress::default();
    };
    let of = |d: &Earlier, key: &str| d.measures.iter().position(|m| m.key == key);
    let row = |m: &Measure| {
        let each = || drives.iter().map(|d| of(d, m.key).map(|k| &d.measures[k]));
        let figure = each().flatten().find_map(|m| m.figures.first()).map(|f| f.name);
        Row {
            key: m.key,
            title: m.title,
            source: m.source,
            figure,
            values: each().map(|m| figure.and_then(|f| m?.value(f))).collect(),
            judged: each().map(|m| m.map_or(Judged::NotRecorded, |m| m.judged)).collect(),
        }
    };
    let told = |r: &Row| r.judged.iter().any(|j| matches!(j, Judged::Good | Judged::WorkOn));
    Progress {
        drives: drives.iter().map(|d| d.name.clone()).collect(),
        rows: newest.measures.iter().map(row).filter(told).collect(),
    }
}

impl Row {
    /// Unit and factor in which the figure is shown to people.
    pub(super) fn unit(&self) -> (&'static str, f64) {
        match self.figure {
            Some(f) if f.ends_with("_mps") => ("m/s", 1.0),
            Some(f) if f.ends_with("_deg") => ("degrees", 1.0),
            Some(f) if f.ends_with("_m") => ("m", 1.0),
            Some(f) if f.ends_with("_s") => ("s", 1.0),
            Some(f) if f.ends_with("_c") => ("C", 1.0),
            Some("share") => ("per cent", 100.0),
            Some(_) => ("times", 1.0),
            None => ("", 1.0),
        }
    }

    /// A drive's figure as people read it, in its unit; empty where there is none.
    pub(super) fn shown(&self, k: usize) -> String {
        let (unit, times) = self.unit();
        let Some(value) = self.values[k] else {
            return String::new();
        };
        let decimals = match unit {
            "m" | "m/s" => 2,
            "s" => 1,
            _ => 0,
        };
        // A zero bears no sign.
        format!("{:.decimals$}", round_to(value * times, decimals) + 0.0)
    }
}
