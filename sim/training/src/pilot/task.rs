//! What the pilot is to do: the path, the speeds that its legs intend, the stops, the wind he was told.

use crate::attempt::Environment;
use crate::journey::{environment, first_driven_m};
use toeline_dynamics::Ground;
use toeline_engine::planning::{Plan, Way};
use toeline_engine::route::StopKind;
use toeline_model::path::Motion;
use toeline_model::units::KNOT_MPS;
use toeline_model::{Aircraft, Bearing, DrivenPath};

/// A place to stop at.
#[derive(Clone, Debug, PartialEq)]
pub struct TaskStop {
    /// Why.
    pub kind: StopKind,
    /// What it is called.
    pub name: String,
    /// Way of the nose wheel, metres.
    pub at_m: f64,
}

/// A way to drive.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// The path.
    pub path: DrivenPath,
    /// Way at which the driving begins, metres.
    pub from_m: f64,
    /// Ways from which a speed is intended on straights, metres and m/s, in order.
    pub speeds: Vec<(f64, f64)>,
    /// Stops after the start, in order; the way ends at the last one.
    pub stops: Vec<TaskStop>,
    /// Direction that the wind is reported from, true; `None` when calm or variable.
    pub wind_from: Option<Bearing>,
    /// Its speed, m/s.
    pub wind_mps: f64,
    /// The ground as he judges it: how firmly the toes may press.
    pub ground: Ground,
}

impl Task {
    /// The task of a plan's way. Stops nearer than a metre to the start, the start itself and every piece that has to be
    /// pushed by hand in the middle are no places to drive to: the way then ends before the push.
    pub fn of(plan: &Plan, way: &Way) -> Task {
        let route = &way.route;
        let Environment { air, ground, .. } = environment(plan, way);
        let mut task = Task {
            path: route.path.clone(),
            from_m: first_driven_m(&route.path),
            speeds: route.legs.iter().map(|l| (l.from_m, l.speed_mps)).collect(),
            stops: Vec::new(),
            wind_from: air.wind_from,
            wind_mps: air.wind_mps,
            ground,
        };
        let stops = route.stops.iter().filter(|s| s.kind != StopKind::Start);
        task.stops = stops
            .map(|s| TaskStop {
                kind: s.kind,
                name: s.name.clone(),
                at_m: s.at_m,
            })
            .collect();
        task.end_before_a_push();
        task
    }

    /// A bare path driven at an aeroplane's taxi speed, in calm air on dry pavement, with a stop at its end.
    pub fn along(path: DrivenPath, aircraft: &Aircraft) -> Task {
        let end = TaskStop {
            kind: StopKind::End,
            name: "the end".to_string(),
            at_m: path.length_m(),
        };
        let mut task = Task {
            from_m: first_driven_m(&path),
            speeds: vec![(0.0, aircraft.taxi.straight_kt * KNOT_MPS)],
            stops: vec![end],
            wind_from: None,
            wind_mps: 0.0,
            ground: Ground::default(),
            path,
        };
        task.end_before_a_push();
        task
    }

    /// Speed intended at a way, turns apart, m/s.
    pub fn speed_at(&self, way_m: f64) -> f64 {
        let begun = self.speeds.iter().take_while(|s| s.0 <= way_m).last();
        begun.or(self.speeds.first()).map_or(KNOT_MPS, |s| s.1)
    }

    fn end_before_a_push(&mut self) {
        let by_hand = |m: &Motion| matches!(m, Motion::PushBack | Motion::PushSwing { .. });
        let push = self
            .path
            .pieces
            .iter()
            .find(|p| p.from_m >= self.from_m && by_hand(&p.motion));
        self.stops.retain(|s| s.at_m > self.from_m + 1.0);
        if let Some(at_m) = push.map(|p| p.from_m) {
            self.stops.retain(|s| s.at_m < at_m);
            self.stops.push(TaskStop {
                kind: StopKind::Place,
                name: "where it is pushed by hand".to_string(),
                at_m,
            });
        }
    }
}
