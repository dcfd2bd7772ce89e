//! What a drive is measured against: the planned way with its speeds, turns, stops, lines and gaps.

use super::runways::Strip;
use super::sun;
use crate::attempt::Environment;
use crate::drills::Drill;
use crate::pilot::{Task, TaskStop};
use crate::surroundings;
use toeline_dynamics::instruments::Place;
use toeline_engine::clearance::Considered;
use toeline_engine::magnetic;
use toeline_engine::planning::{Plan, Way};
use toeline_engine::route::{StopKind, TurnMeans};
use toeline_model::aircraft::SteeringKind;
use toeline_model::date::Date;
use toeline_model::path::Motion;
use toeline_model::units::DEG;
use toeline_model::{Aircraft, Airfield, Bearing, DrivenPath, Xy};

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
    /// Whether it guards a runway, not a crossing of lanes.
    pub guards_runway: bool,
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

/// A turn of the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Ways at which it begins and ends, metres.
    pub from_m: f64,
    /// The end.
    pub to_m: f64,
    /// Angle turned, radians, left positive.
    pub left_rad: f64,
    /// Whether steering alone does not do.
    pub inside_brake: bool,
}

/// The way that was to be driven.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Path, speeds and stops.
    pub task: Task,
    /// Name and ways of each leg.
    pub legs: Vec<(String, f64, f64)>,
    /// Turns, in order.
    pub turns: Vec<Bend>,
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
    /// Way of the nose wheel at the engine check, metres, whatever the wind.
    pub engine_check_m: Option<f64>,
    /// Runways of the field.
    pub runways: Vec<Strip>,
    /// The field, for pictures.
    pub field: Option<Airfield>,
    /// Where the field is, as its instruments feel it.
    pub place: Option<Place>,
    /// Height of the sun at the hour that was asked for, degrees; `None` where none was.
    pub sun_deg: Option<f64>,
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
                guards_runway: s.of.as_ref().is_some_and(|of| of.starts_with("runway")),
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
        let (field, asked) = (&plan.field, &plan.request);
        let turns = route.turns.iter().map(|t| Bend {
            from_m: t.from_m,
            to_m: t.to_m,
            left_rad: t.left_rad,
            inside_brake: t.means != TurnMeans::Steering,
        });
        Course {
            task: Task::of(plan, way),
            legs: route.legs.iter().map(|l| (l.name.clone(), l.from_m, l.to_m)).collect(),
            turns: turns.collect(),
            lines: route.stops.iter().filter_map(line).collect(),
            standing: surroundings::standing(plan, way),
            vertical_margin_m: plan.request.vertical_margin_m,
            margin_m: plan.request.margin_m,
            planned_gaps: cells.filter_map(|c| Some((c.from_m, c.to_m, c.gap_m?))).collect(),
            check,
            engine_check_m: stop_for_check.map(|s| s.at_m),
            runways: Strip::of(field),
            place: Some(place(field, Some(asked.date), Some(plan.declination.deg))),
            sun_deg: asked.time_utc.map(|t| sun::height_deg(field.origin, asked.date, t)),
            field: Some(field.clone()),
        }
    }

    /// The course of a drill, as it is driven in an environment.
    pub fn of_drill(drill: &Drill, aircraft: &Aircraft, environment: &Environment) -> Course {
        let mut course = Course::along(drill.path.clone(), aircraft);
        let stop = |(at_m, name): &(f64, String)| TaskStop {
            kind: StopKind::End,
            name: name.clone(),
            at_m: *at_m,
        };
        course.task.stops = drill.stops.iter().map(stop).collect();
        course.task.wind_from = environment.air.wind_from;
        course.task.wind_mps = environment.air.wind_mps;
        course.task.ground = environment.ground;
        course.legs = vec![("the practice line".to_string(), 0.0, drill.path.length_m())];
        course.place = Some(place(&drill.field, None, None));
        course.field = Some(drill.field.clone());
        course
    }

    /// A bare path at an aeroplane's taxi speed: nothing stands around it and no line lies on it.
    pub fn along(path: DrivenPath, aircraft: &Aircraft) -> Course {
        let legs = vec![("the way".to_string(), 0.0, path.length_m())];
        Course {
            turns: bends(&path, aircraft),
            task: Task::along(path, aircraft),
            legs,
            lines: Vec::new(),
            standing: Vec::new(),
            vertical_margin_m: 0.0,
            margin_m: 0.0,
            planned_gaps: Vec::new(),
            check: None,
            engine_check_m: None,
            runways: Vec::new(),
            field: None,
            place: None,
            sun_deg: None,
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
            .filter(|t| t.inside_brake)
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

/// Turns of a bare path: arcs that follow one another to the same side.
fn bends(path: &DrivenPath, aircraft: &Aircraft) -> Vec<Bend> {
    const STEP_M: f64 = 0.25;
    let mut list: Vec<Bend> = Vec::new();
    for piece in &path.pieces {
        let Motion::Arc { curvature_per_m: k } = piece.motion else {
            continue;
        };
        if k.abs() <= 1.0 / BEND_RADIUS_M {
            continue;
        }
        let left_rad = k * piece.length_m;
        let steps = (piece.length_m / STEP_M).ceil() as usize;
        let wheel = (0..=steps).map(|i| {
            piece
                .beta(path.wheelbase_m, piece.length_m * i as f64 / steps as f64)
                .abs()
        });
        let most = wheel.fold(0.0, f64::max);
        let steered = aircraft.steering.kind == SteeringKind::Linked;
        let inside_brake = !steered || most > aircraft.steering.pedal_limit_deg * DEG;
        let to_m = piece.from_m + piece.length_m;
        match list.last_mut() {
            Some(last) if (last.to_m - piece.from_m).abs() < 1e-6 && last.left_rad * left_rad > 0.0 => {
                last.to_m = to_m;
                last.left_rad += left_rad;
                last.inside_brake |= inside_brake;
            }
            _ => list.push(Bend {
                from_m: piece.from_m,
                to_m,
                left_rad,
                inside_brake,
            }),
        }
    }
    list
}

/// Where a field is, as its instruments feel it. As in the window: without a declination the magnetic model's, a day that it
/// does not know is taken as the first of 2026, a field without elevation as at the sea.
fn place(field: &Airfield, date: Option<Date>, declination_deg: Option<f64>) -> Place {
    let height_m = field.elevation_m.unwrap_or(0.0);
    let days = [date, Date::parse("2026-01-01").ok()];
    let of_model = |figure: fn(_, f64, Date) -> Result<f64, String>| {
        let mut known = days
            .iter()
            .flatten()
            .filter_map(|d| figure(field.origin, height_m, *d).ok());
        known.next().unwrap_or(0.0)
    };
    let declination_deg = declination_deg.or(field.declination_deg);
    Place {
        latitude_rad: field.origin.lat_deg * DEG,
        dip_rad: of_model(magnetic::dip_deg) * DEG,
        declination_rad: declination_deg.unwrap_or_else(|| of_model(magnetic::declination_deg)) * DEG,
        elevation_m: height_m,
    }
}
