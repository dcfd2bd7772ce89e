//! A small invented field and a way across it, built by hand, for tests of the sandbox.

use std::sync::Arc;
use toeline_dynamics::Air;
use toeline_dynamics::contacts::Surroundings;
use toeline_model::aircraft::catalog;
use toeline_model::airfield::*;
use toeline_model::frame::{LonLat, xy};
use toeline_model::planar::Shape;
use toeline_model::{Aircraft, Airfield, Bearing, DrivenPath, Pose, Xy};
use toeline_sandbox::scene::{NamedStop, Scene};
use toeline_training::{Environment, surroundings};

fn lane(id: &str, letter: &str, line: &[Xy], surface: Surface, closed: Option<&str>) -> Lane {
    Lane {
        id: id.into(),
        kind: LaneKind::Taxiway,
        letters: vec![letter.into()],
        line: line.to_vec(),
        width_m: Some(10.0),
        surface,
        way: Way::Both,
        closed: closed.map(Into::into),
        span_limit_m: None,
        speed_limit_mps: None,
        level: 0,
        slope_percent: None,
    }
}

fn area(id: &str, outer: &[Xy]) -> NamedArea {
    NamedArea {
        id: id.into(),
        name: Some(id.into()),
        note: None,
        outer: outer.to_vec(),
        surface: Surface::Paved,
        holes: Vec::new(),
    }
}

fn thing(id: &str, kind: ObstacleKind, shape: Shape, top_m: Option<f64>) -> Obstacle {
    Obstacle {
        id: id.into(),
        kind,
        name: None,
        shape,
        bottom_m: 0.0,
        top_m,
        radius_assumed: false,
    }
}

fn block(x: f64, y: f64, w: f64, h: f64) -> Vec<Xy> {
    vec![xy(x, y), xy(x + w, y), xy(x + w, y + h), xy(x, y + h)]
}

fn solid(x: f64, y: f64, w: f64, h: f64) -> Shape {
    Shape::Area {
        outer: block(x, y, w, h),
        holes: vec![],
    }
}

fn pole(x: f64, y: f64, radius_m: f64) -> Shape {
    Shape::Disc { at: xy(x, y), radius_m }
}

/// A runway 09/27 with one parallel taxiway to its south, an apron with hangars, a check area and a closed lane.
pub(crate) fn field() -> Airfield {
    let stand = |name: &str, x: f64| Stand {
        id: format!("stand {name}"),
        name: Some(name.into()),
        line: vec![xy(x, -138.0), xy(x, -120.0)],
        heading: Some(Bearing::from_deg(0.0)),
        nose: Some(Nose::Out),
        span_limit_m: None,
        width_m: None,
        closed: None,
    };
    Airfield {
        name: Some("Practice field (invented)".into()),
        origin: LonLat {
            lon_deg: 10.0,
            lat_deg: 50.0,
        },
        codes: vec![],
        identities: Default::default(),
        closed_by_notice: Default::default(),
        notice_spans_m: Default::default(),
        unplaced: vec![],
        elevation_m: Some(120.0),
        accuracy_m: 2.0,
        accuracy_stated: false,
        invented: true,
        attribution: None,
        declination_deg: Some(3.0),
        runways: vec![Runway {
            id: "runway".into(),
            designators: [Some("09".into()), Some("27".into())],
            line: vec![xy(-400.0, 0.0), xy(500.0, 0.0)],
            width_m: Some(23.0),
            surface: Surface::Paved,
            closed: None,
            level: 0,
        }],
        lanes: vec![
            lane(
                "taxiway A",
                "A",
                &[xy(-380.0, -75.0), xy(480.0, -75.0)],
                Surface::Paved,
                None,
            ),
            lane(
                "taxiway A1",
                "A1",
                &[xy(480.0, -75.0), xy(480.0, 0.0)],
                Surface::Paved,
                None,
            ),
            lane(
                "taxiway A2",
                "A2",
                &[xy(-380.0, -75.0), xy(-380.0, 0.0)],
                Surface::Paved,
                None,
            ),
            lane("lane B", "B", &[xy(0.0, -120.0), xy(0.0, -75.0)], Surface::Paved, None),
            lane(
                "lane C",
                "C",
                &[xy(-60.0, -120.0), xy(160.0, -120.0)],
                Surface::Paved,
                None,
            ),
            lane(
                "lane D",
                "D",
                &[xy(160.0, -120.0), xy(160.0, -75.0)],
                Surface::Paved,
                Some("repair"),
            ),
            lane(
                "lane E",
                "E",
                &[xy(-380.0, -75.0), xy(-380.0, -180.0)],
                Surface::Grass,
                None,
            ),
        ],
        aprons: vec![area("apron", &block(-70.0, -170.0, 240.0, 58.0))],
        stands: vec![stand("1", -40.0), stand("2", -20.0), stand("3", 20.0), stand("4", 40.0)],
        holding_positions: vec![
            HoldingPosition {
                id: "A1".into(),
                name: Some("A1".into()),
                kind: HoldingKind::Runway,
                at: xy(480.0, -38.0),
                facing: None,
            },
            HoldingPosition {
                id: "A2".into(),
                name: Some("A2".into()),
                kind: HoldingKind::Runway,
                at: xy(-380.0, -38.0),
                facing: None,
            },
            HoldingPosition {
                id: "middle".into(),
                name: None,
                kind: HoldingKind::Intermediate,
                at: xy(120.0, -75.0),
                facing: None,
            },
        ],
        check_areas: vec![area("engine check", &block(420.0, -115.0, 40.0, 36.0))],
        hot_spots: vec![],
        obstacles: vec![
            thing(
                "hangar 1",
                ObstacleKind::Hangar,
                solid(-60.0, -205.0, 40.0, 30.0),
                Some(8.0),
            ),
            thing(
                "hangar 2",
                ObstacleKind::Hangar,
                solid(0.0, -205.0, 30.0, 28.0),
                Some(7.0),
            ),
            thing("shed", ObstacleKind::Building, solid(60.0, -195.0, 18.0, 12.0), None),
            thing(
                "tower",
                ObstacleKind::Building,
                solid(110.0, -200.0, 9.0, 9.0),
                Some(14.0),
            ),
            thing(
                "fence",
                ObstacleKind::Fence,
                Shape::Line {
                    points: vec![
                        xy(-120.0, -172.0),
                        xy(-90.0, -215.0),
                        xy(220.0, -215.0),
                        xy(220.0, -130.0),
                    ],
                },
                Some(1.6),
            ),
            thing("tree 1", ObstacleKind::Tree, pole(200.0, -110.0, 4.0), Some(11.0)),
            thing("tree 2", ObstacleKind::Tree, pole(-140.0, -130.0, 5.0), None),
            thing("lamp", ObstacleKind::Pole, pole(60.0, -172.0, 0.1), Some(9.0)),
            thing("windsock", ObstacleKind::Windsock, pole(60.0, -45.0, 0.1), Some(6.0)),
        ],
        helipads: Vec::new(),
        outlines: Vec::new(),
        closures: Vec::new(),
    }
}

/// From stand 3 by lanes C, B and A to the holding position at A1.
pub(crate) fn way(aircraft: &Aircraft) -> DrivenPath {
    let start = Pose {
        nose: xy(20.0, -136.0),
        heading_rad: Bearing::from_deg(0.0).yaw(),
    };
    let mut path = DrivenPath::new(aircraft.gear.wheelbase_m, start);
    let dir = |deg: f64| Bearing::from_deg(deg).yaw();
    let quarter = std::f64::consts::FRAC_PI_2;
    let r = 9.0;
    path.straight(dir(0.0), 16.0 - r, 0);
    path.arc(dir(0.0), r, quarter, 0);
    path.straight(dir(270.0), 20.0 - 2.0 * r, 1);
    path.arc(dir(270.0), r, -quarter, 1);
    path.straight(dir(0.0), 45.0 - 2.0 * r, 2);
    path.arc(dir(0.0), r, -quarter, 2);
    path.straight(dir(90.0), 480.0 - 2.0 * r, 3);
    path.arc(dir(90.0), r, quarter, 3);
    path.straight(dir(0.0), 35.0 - r, 4);
    path
}

/// The trainer at the start of that way, in a wind of 5 m/s from 240 degrees.
pub(crate) fn scene() -> Scene {
    let aircraft = catalog::find("trainer-high-2").expect("a built-in aeroplane");
    let path = way(&aircraft);
    let field = field();
    Scene {
        stops: vec![NamedStop {
            at_m: path.length_m(),
            name: "A1".into(),
        }],
        path,
        aircraft,
        swept: vec![],
        environment: Environment {
            air: Air {
                wind_from: Some(Bearing::from_deg(240.0)),
                wind_mps: 5.0,
                ..Air::default()
            },
            ..Environment::default()
        },
        surroundings: Arc::new(Surroundings::new(&[], &surroundings::pavement(&field))),
        field,
        task: None,
        title: "practice".into(),
        job: serde_json::Value::Null,
        lesson: None,
    }
}
