//! What a drive is measured against: the planned way with its speeds, turns, stops, lines and gaps.

use crate::pilot::Task;
use crate::surroundings;
use toeline_engine::clearance::Considered;
use toeline_engine::planning::{Plan, Way};
use toeline_engine::route::{StopKind, Turn, TurnMeans};
use toeline_model::path::Motion;
use toeline_model::{Aircraft, Bearing, DrivenPath, Xy};

/// Bends wider than this count as straight, metres (ours; the model pilot's figure).
const BEND_RADIUS_M: f64 = 40.0;

/// A holding line on the way.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What the place is called.
    pub name: String,
    /// Where the line crosses the way, local metres.
    pub at: Xy,
    /// Unit vector across the line in the direction of travel.
    pub ahead: Xy,
    /// Way of the nose wheel at the planned stop before it, metres.
    pub stop_at_m: f64,
    /// Whether the way ends there.
    pub is_end: bool,
}

/// The engine check as planned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlannedCheck {
    /// Way of the nose wheel, metres.
    pub at_m: f64,
    /// Direction of the wind, true.
    pub wind_from: Bearing,
    /// Angle between nose and wind as planned, degrees.
    pub off_wind_deg: f64,
}

/// The way that was to be driven.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Path, speeds and stops.
    pub task: Task,
    /// Name and ways of each leg.
    pub legs: Vec<(String, f64, f64)>,
    /// Rounded corners.
    pub turns: Vec<Turn>,
    /// Holding lines.
    pub lines: Vec<Line>,
    /// What stands around.
    pub standing: Vec<Considered>,
    /// Vertical margin, metres: a part whose band misses a thing by more passes over or under it.
    pub vertical_margin_m: f64,
    /// Margin that was asked for, metres.
    pub margin_m: f64,
    /// Least gap of the plan in each stretch of the way: from, to, metres.
    pub planned_gaps: Vec<(f64, f64, f64)>,
    /// The engine check, when the wind gives it a heading.
    pub check: Option<PlannedCheck>,
}

impl Course {
    /// The course of a plan's way.
    pub fn of(plan: &Plan, way: &Way) -> Course {
        let route = &way.route;
        let line = |s: &toeline_engine::route::Stop| {
            let at = s.line_at?;
            let ahead = Xy::unit(route.path.direction_at(s.at_m));
            Some(Line {
                name: s.name.clone(),
                at,
                ahead,
                stop_at_m: s.at_m,
                is_end: s.kind == StopKind::End,
            })
        };
        let stop_for_check = route.stops.iter().find(|s| s.kind == StopKind::EngineCheck);
        let check = route.check.as_ref().zip(stop_for_check).and_then(|(c, s)| {
            Some(PlannedCheck {
                at_m: s.at_m,
                wind_from: c.wind_from?,
                off_wind_deg: c.off_wind_deg?,
            })
        });
        let cells = way.clearance.curve.iter();
        Course {
            task: Task::of(plan, way),
            legs: route.legs.iter().map(|l| (l.name.clone(), l.from_m, l.to_m)).collect(),
            turns: route.turns.clone(),
            lines: route.stops.iter().filter_map(line).collect(),
            standing: surroundings::standing(plan, way),
            vertical_margin_m: plan.request.vertical_margin_m,
            margin_m: plan.request.margin_m,
            planned_gaps: cells.filter_map(|c| Some((c.from_m, c.to_m, c.gap_m?))).collect(),
            check,
        }
    }

    /// A bare path at an aeroplane's taxi speed: nothing stands around it and no line lies on it.
    pub fn along(path: DrivenPath, aircraft: &Aircraft) -> Course {
        let legs = vec![("the way".to_string(), 0.0, path.length_m())];
        Course {
            task: Task::along(path, aircraft),
            legs,
            turns: Vec::new(),
            lines: Vec::new(),
            standing: Vec::new(),
            vertical_margin_m: 0.0,
            margin_m: 0.0,
            planned_gaps: Vec::new(),
            check: None,
        }
    }

    /// Name of the leg at a way.
    pub fn leg_at(&self, way_m: f64) -> &str {
        self.legs
            .iter()
            .find(|l| l.2 >= way_m)
            .or(self.legs.last())
            .map_or("the way", |l| l.0.as_str())
    }

    /// Radius of the nose wheel's way there, metres, with its side (left positive); `None` where it is straight.
    pub fn bend_at(&self, way_m: f64) -> Option<f64> {
        let path = &self.task.path;
        match path.pieces.get(path.piece_at(way_m)?)?.motion {
            Motion::Arc { curvature_per_m: k } if k.abs() > 1.0 / BEND_RADIUS_M => Some(1.0 / k),
            _ => None,
        }
    }

    /// Whether a way lies in a turn that the plan says needs inside brake, or within a few metres of one.
    pub fn needs_inside_brake(&self, way_m: f64) -> bool {
        let near_m = 2.0 * self.task.path.wheelbase_m;
        self.turns
            .iter()
            .filter(|t| t.means != TurnMeans::Steering)
            .any(|t| (t.from_m - near_m..=t.to_m + near_m).contains(&way_m))
    }

    /// The next place to stop at from a way on, metres.
    pub fn next_stop_m(&self, way_m: f64) -> Option<f64> {
        self.task.stops.iter().map(|s| s.at_m).find(|at_m| *at_m >= way_m)
    }

    /// The plan's least gap near a way, metres.
    pub fn planned_gap_m(&self, way_m: f64) -> Option<f64> {
        let near = |c: &&(f64, f64, f64)| c.0 - 1.0 <= way_m && way_m <= c.1 + 1.0;
        let gaps = self.planned_gaps.iter().filter(near).map(|c| c.2);
        gaps.min_by(f64::total_cmp)
    }
}
