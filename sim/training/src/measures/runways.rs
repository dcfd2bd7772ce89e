//! Runways as a drive meets them: where they lie, when one was entered and when it was left.

use super::{Drive, Sample};
use crate::surroundings::RUNWAY_WIDTH_M;
use toeline_model::airfield::Runway;
use toeline_model::planar::closest_on_line;
use toeline_model::{Airfield, Xy, Yaw};

/// How far from the place of entering its holding line is looked for, metres (ours).
const LINE_WITHIN_M: f64 = 150.0;
/// Half the breadth of a lane in which its holding line counts as passed, metres (ours).
const ACROSS_LINE_M: f64 = 15.0;

/// How far beyond the end of its centreline a runway still counts, metres (ours).
const BEYOND_END_M: f64 = 1.0;

/// A runway's pavement.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// What it is called.
    pub name: String,
    /// Centreline, local metres.
    pub line: Vec<Xy>,
    /// Half its width, metres; where the map gives none, half of what a drive takes it to be.
    pub half_m: f64,
}

impl Strip {
    /// The strips of a field.
    pub(super) fn of(field: &Airfield) -> Vec<Strip> {
        let one = |r: &Runway| Strip {
            name: match &r.designators {
                [Some(a), Some(b)] => format!("runway {a}/{b}"),
                [Some(a), None] | [None, Some(a)] => format!("runway {a}"),
                [None, None] => "the runway".to_string(),
            },
            line: r.line.clone(),
            half_m: r.width_m.unwrap_or(RUNWAY_WIDTH_M) / 2.0,
        };
        field.runways.iter().map(one).collect()
    }

    /// Whether a place lies on it.
    pub fn holds(&self, at: Xy) -> bool {
        // Not beyond its ends: a lane may pass there.
        let Some((near, segment, _)) = closest_on_line(at, &self.line) else {
            return false;
        };
        let (a, b) = (self.line[segment], self.line[segment + 1]);
        let from = at - near;
        let beyond_m = Xy::unit((b - a).direction()).dot(from).abs();
        from.norm() <= self.half_m && beyond_m < BEYOND_END_M
    }

    /// Direction of the centreline at a place, along a heading, and how far the place lies left of it, metres.
    pub fn beside(&self, at: Xy, heading: Yaw) -> Option<(Yaw, f64)> {
        let (near, segment, _) = closest_on_line(at, &self.line)?;
        let (a, b) = (self.line.get(segment)?, self.line.get(segment + 1)?);
        let along = (*b - *a).direction();
        let along = if along.to_rad(heading).abs() > core::f64::consts::FRAC_PI_2 {
            (*a - *b).direction()
        } else {
            along
        };
        Some((along, Xy::unit(along).cross(at - near)))
    }
}

/// One time on a runway.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Entry {
    /// Which.
    pub(super) runway: usize,
    /// Sample at which the nose wheel passed the holding line, or where there is none on the way, the runway's edge.
    pub(super) from: usize,
    /// Last sample with the nose wheel on it.
    pub(super) to: usize,
}

/// Every time that the nose wheel came onto a runway; where the drive began on one, that is no entry.
pub(super) fn entries(drive: &Drive<'_>) -> Vec<Entry> {
    let Some(course) = drive.course else { return Vec::new() };
    let samples = &drive.series.samples;
    let mut found = Vec::new();
    for (runway, strip) in course.runways.iter().enumerate() {
        let mut on: Option<usize> = None;
        for i in 0..=samples.len() {
            let holds = samples.get(i).is_some_and(|s| strip.holds(s.nose));
            match (holds, on) {
                (true, None) => on = Some(i),
                (false, Some(edge)) => {
                    // Where two runways cross, rolling along one is no entry onto the other.
                    let from_another = |before: &Sample| {
                        let others = course.runways.iter().enumerate().filter(|(k, _)| *k != runway);
                        others.into_iter().any(|(_, other)| other.holds(before.nose))
                    };
                    if edge > 0 && !from_another(&samples[edge - 1]) {
                        found.push(Entry {
                            runway,
                            from: at_the_line(drive, edge),
                            to: i - 1,
                        });
                    }
                    on = None;
                }
                _ => {}
            }
        }
    }
    found.sort_by_key(|e| e.from);
    found
}

/// The first sample beyond a holding line on the way to the runway's edge; the edge itself where there is no line.
fn at_the_line(drive: &Drive<'_>, edge: usize) -> usize {
    let samples = &drive.series.samples;
    let lines = drive.course.map_or(&[][..], |c| &c.lines);
    let here = samples[edge].nose;
    let near = lines.iter().filter(|l| l.at.distance(here) < LINE_WITHIN_M);
    let passed = near.filter_map(|line| {
        let beyond = |s: &Sample| {
            let from = s.nose - line.at;
            from.dot(line.ahead) > 0.0 && line.ahead.cross(from).abs() < ACROSS_LINE_M
        };
        let before = |s: &Sample| (s.nose - line.at).dot(line.ahead) <= 0.0;
        let last_before = samples[..edge].iter().rposition(before)?;
        let first = last_before + 1;
        (first <= edge && beyond(&samples[first])).then_some(first)
    });
    passed.max().unwrap_or(edge)
}
