//! Bare lanes with obstacles beside them, and their clearance: for what follows clearance.

use toeline_engine::clearance::{self, Clearance, Margins};
use toeline_engine::route::{Route, Stop, StopKind};
use toeline_model::airfield::{Airfield, Obstacle, ObstacleKind};
use toeline_model::frame::xy;
use toeline_model::path::DrivenPath;
use toeline_model::planar::Shape;
use toeline_model::{Aircraft, LonLat, Pose, Xy, Yaw, aircraft::catalog};

/// A built-in aeroplane.
///
/// # Panics
/// When there is none of that name.
pub fn built_in(id: &str) -> Aircraft {
    catalog::find(id).unwrap_or_else(|| panic!("no built-in aeroplane {id}"))
}

/// The start of a way to the east from the origin.
pub fn eastward(aircraft: &Aircraft) -> DrivenPath {
    let start = Pose {
        nose: xy(0.0, 0.0),
        heading_rad: Yaw::from_rad(0.0),
    };
    DrivenPath::new(aircraft.gear.wheelbase_m, start)
}

/// Leads the nose wheel on along an arc, left positive, without a corner.
pub fn bend(path: &mut DrivenPath, radius_m: f64, left_rad: f64) {
    let direction = path.direction_at(path.length_m());
    path.arc(direction, radius_m, left_rad, 0);
}

/// Leads the nose wheel straight on, without a corner.
pub fn on(path: &mut DrivenPath, length_m: f64) {
    let direction = path.direction_at(path.length_m());
    path.straight(direction, length_m, 0);
}

/// A thing of a shape with a name of its own; `top_m` of `None` is a height that the map does not give.
pub fn thing(name: &str, shape: Shape, top_m: Option<f64>) -> Obstacle {
    Obstacle {
        id: name.to_string(),
        kind: ObstacleKind::Wall,
        name: None,
        shape,
        bottom_m: 0.0,
        top_m,
        radius_assumed: false,
    }
}

/// A wall between two points.
pub fn wall(name: &str, a: Xy, b: Xy) -> Obstacle {
    thing(name, Shape::Line { points: vec![a, b] }, None)
}

/// A post.
pub fn post(name: &str, at: Xy, radius_m: f64) -> Obstacle {
    thing(name, Shape::Disc { at, radius_m }, None)
}

/// The clearance of a path among obstacles, of a map of an accuracy.
pub fn clearance_of(aircraft: &Aircraft, path: &DrivenPath, obstacles: Vec<Obstacle>, accuracy_m: f64) -> Clearance {
    let origin = LonLat {
        lon_deg: 0.0,
        lat_deg: 0.0,
    };
    let field = Airfield {
        invented: true,
        obstacles,
        ..Airfield::bare(origin, accuracy_m)
    };
    let stop = |kind, at_m, pose| Stop {
        kind,
        name: String::new(),
        of: None,
        at_m,
        pose,
        line_at: None,
        derived: false,
    };
    let route = Route {
        stops: vec![
            stop(StopKind::Start, 0.0, path.start),
            stop(StopKind::End, path.length_m(), path.end()),
        ],
        path: path.clone(),
        legs: Vec::new(),
        turns: Vec::new(),
        costs: Vec::new(),
        cost_ms: 0,
        check: None,
        segments: Vec::new(),
        doubts: Vec::new(),
    };
    let margins = Margins {
        margin_m: 3.0,
        vertical_margin_m: 0.5,
        accuracy_m: Some(accuracy_m),
        own_stand: None,
    };
    clearance::check(&field, aircraft, &route, &margins)
}
