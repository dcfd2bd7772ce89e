//! A bare field, a way with one path, and shorthand for obstacles.

use toeline_engine::clearance::{self, Clearance, Gap, Margins};
use toeline_engine::route::{Leg, LegKind, Route, Stop, StopKind};
use toeline_model::airfield::{Airfield, Lane, LaneKind, Obstacle, ObstacleKind, Stand, Surface, Way};
use toeline_model::frame::xy;
use toeline_model::path::DrivenPath;
use toeline_model::planar::Shape;
use toeline_model::{Aircraft, LonLat, Pose, Xy, Yaw, aircraft::catalog};

/// East, the direction of most ways here.
pub(super) fn east() -> Yaw {
    Yaw::from_rad(0.0)
}

/// A built-in aeroplane.
pub(super) fn built_in(id: &str) -> Aircraft {
    catalog::find(id).expect("a built-in aeroplane")
}

/// A field with nothing on it, of accuracy 2 m, not stated.
pub(super) fn bare_field() -> Airfield {
    let origin = LonLat {
        lon_deg: 0.0,
        lat_deg: 0.0,
    };
    Airfield {
        invented: true,
        ..Airfield::bare(origin, 2.0)
    }
}

/// An obstacle with a height band.
pub(super) fn obstacle(kind: ObstacleKind, shape: Shape, bottom_m: f64, top_m: Option<f64>) -> Obstacle {
    Obstacle {
        id: "feature 7".to_string(),
        kind,
        name: None,
        shape,
        bottom_m,
        top_m,
        radius_assumed: false,
    }
}

/// A pole without a mapped height.
pub(super) fn pole(at: Xy, radius_m: f64) -> Obstacle {
    obstacle(ObstacleKind::Pole, Shape::Disc { at, radius_m }, 0.0, None)
}

/// A fence of a height.
pub(super) fn fence(points: &[Xy], top_m: f64) -> Obstacle {
    obstacle(
        ObstacleKind::Fence,
        Shape::Line {
            points: points.to_vec(),
        },
        0.0,
        Some(top_m),
    )
}

/// A lane without letters.
pub(super) fn lane(line: &[Xy], width_m: Option<f64>) -> Lane {
    Lane {
        id: "feature 1".to_string(),
        kind: LaneKind::Taxiway,
        letters: Vec::new(),
        line: line.to_vec(),
        width_m,
        surface: Surface::Paved,
        way: Way::Both,
        closed: None,
        span_limit_m: None,
        speed_limit_mps: None,
        level: 0,
        slope_percent: None,
    }
}

/// A stand without anything tagged.
pub(super) fn stand(line: &[Xy]) -> Stand {
    Stand {
        id: "feature 9".to_string(),
        name: Some("5".to_string()),
        line: line.to_vec(),
        heading: None,
        nose: None,
        span_limit_m: None,
        width_m: None,
        closed: None,
    }
}

/// A leg on a mapped line.
pub(super) fn leg(kind: LegKind, from_m: f64, to_m: f64, width_m: Option<f64>, mapped_line: &[Xy]) -> Leg {
    Leg {
        kind,
        name: "unnamed taxiway".to_string(),
        letters: Vec::new(),
        feature: format!("feature {}", 20 + from_m as i64),
        from_m,
        to_m,
        width_m,
        surface: Surface::Paved,
        mapped_line: mapped_line.to_vec(),
        speed_mps: 3.0,
        slope_percent: None,
    }
}

/// A way of one path and some legs.
pub(super) fn way(path: DrivenPath, legs: Vec<Leg>) -> Route {
    let stop = |kind, at_m, pose| Stop {
        kind,
        name: String::new(),
        of: None,
        at_m,
        pose,
        line_at: None,
        derived: false,
    };
    let stops = vec![
        stop(StopKind::Start, 0.0, path.start),
        stop(StopKind::End, path.length_m(), path.end()),
    ];
    Route {
        path,
        legs,
        turns: Vec::new(),
        stops,
        costs: Vec::new(),
        cost_ms: 0,
        check: None,
        segments: Vec::new(),
        doubts: Vec::new(),
    }
}

/// Straight on to the east from the origin.
pub(super) fn straight(aircraft: &Aircraft, length_m: f64) -> DrivenPath {
    let start = Pose {
        nose: xy(0.0, 0.0),
        heading_rad: east(),
    };
    let mut path = DrivenPath::new(aircraft.gear.wheelbase_m, start);
    path.straight(east(), length_m, 0);
    path
}

/// Margins of 3 m sideways and 0.5 m up.
pub(super) fn margins() -> Margins {
    Margins {
        margin_m: 3.0,
        vertical_margin_m: 0.5,
        accuracy_m: None,
        own_stand: None,
    }
}

/// Clearance of a path among obstacles, without legs.
pub(super) fn among(aircraft: &Aircraft, path: &DrivenPath, obstacles: Vec<Obstacle>) -> Clearance {
    let field = Airfield {
        obstacles,
        ..bare_field()
    };
    clearance::check(&field, aircraft, &way(path.clone(), Vec::new()), &margins())
}

/// The only gap.
pub(super) fn only(c: &Clearance) -> &Gap {
    assert_eq!(c.gaps.len(), 1, "{:?}", c.gaps);
    &c.gaps[0]
}

/// Whether a reported gap keeps the promise: never above the true one and within 1 mm of it.
pub(super) fn assert_gap(reported_m: f64, true_m: f64) {
    assert!(
        reported_m <= true_m + 1e-9 && reported_m >= true_m - 1e-3,
        "reported {reported_m} m, true {true_m} m"
    );
}
