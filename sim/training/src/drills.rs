//! Drills without a route: a flat practice apron of our own invention and one painted line to follow on it, made for the
//! aeroplane that is to drive it. Pure: the same aeroplane and the same wind give the same drill.

use serde::{Deserialize, Serialize};
use toeline_engine::route::FREE_HEADING_BELOW_MPS;
use toeline_model::airfield::{Lane, LaneKind, NamedArea, Obstacle, ObstacleKind, Surface, Way};
use toeline_model::frame::{LonLat, xy};
use toeline_model::planar::{Shape, bounds};
use toeline_model::units::DEG;
use toeline_model::{Aircraft, Airfield, Bearing, DrivenPath, Pose, Xy, Yaw};

/// Half the length of the practice apron east to west, metres (ours).
pub const APRON_HALF_X_M: f64 = 160.0;
/// Half its length south to north, metres (ours).
pub const APRON_HALF_Y_M: f64 = 120.0;
/// Width of the taxi lane that the painted line lies on, metres (ours; as wide as the lanes of the demo field).
const LANE_WIDTH_M: f64 = 10.5;
/// Radius of an easy bend as a multiple of the tightest that steering alone makes (ours).
const EASY: f64 = 1.4;
/// Radius of a tight bend as a multiple of the tightest of all: a beginner does not hit a stop exactly (ours).
const NEARLY: f64 = 1.04;

/// Which drill.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DrillKind {
    /// No line at all: an empty apron.
    FreeApron,
    /// One long straight line.
    StraightLine,
    /// A bend to the left, one to the right and back onto the line.
    SBends,
    /// A quarter turn to the left and one to the right, by steering alone.
    RightAngles,
    /// Round in the tightest turn that rolls the inside wheel, half a turn and back.
    RollingPivot,
    /// Off a crosswind line and to a stop with the nose in the wind.
    IntoWindStop,
}

impl DrillKind {
    /// All drills, easiest first.
    pub const ALL: [DrillKind; 6] = [
        DrillKind::FreeApron,
        DrillKind::StraightLine,
        DrillKind::SBends,
        DrillKind::RightAngles,
        DrillKind::RollingPivot,
        DrillKind::IntoWindStop,
    ];

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            DrillKind::FreeApron => "Free apron",
            DrillKind::StraightLine => "Straight line",
            DrillKind::SBends => "S",
            DrillKind::RightAngles => "90 degrees",
            DrillKind::RollingPivot => "Rolling pivot",
            DrillKind::IntoWindStop => "Into-wind stop",
        }
    }

    /// What is to be done, in a sentence.
    pub fn task(self) -> &'static str {
        match self {
            DrillKind::FreeApron => "No line: try the pedals, the toes and the throttle on an empty apron.",
            DrillKind::StraightLine => "Keep the nose wheel on the line and stop at its end.",
            DrillKind::SBends => "Left, right and left again by steering alone, without losing the line.",
            DrillKind::RightAngles => "A quarter turn to the left and one to the right by steering alone.",
            DrillKind::RollingPivot => "Half a turn with full pedal and inside brake; the inside wheel keeps rolling.",
            DrillKind::IntoWindStop => "Leave the crosswind line and stop straight with the nose in the wind.",
        }
    }
}

/// A drill made for one aeroplane.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Drill {
    /// Which.
    pub kind: DrillKind,
    /// The practice apron with the painted line.
    pub field: Airfield,
    /// The way of the nose wheel; without pieces on the free apron.
    pub path: DrivenPath,
    /// Where to stop: way of the nose wheel in metres, and what the place is called.
    pub stops: Vec<(f64, String)>,
}

/// Makes a drill for an aeroplane and a wind (from true north; `None` when calm or variable).
pub fn build(kind: DrillKind, aircraft: &Aircraft, wind_from: Option<Bearing>, wind_mps: f64) -> Drill {
    // Too light a wind sets no heading, as in the engine check: then north will do.
    let wind = wind_from.filter(|_| wind_mps >= FREE_HEADING_BELOW_MPS);
    let heading = match kind {
        DrillKind::IntoWindStop => wind.unwrap_or(Bearing::from_deg(0.0)).yaw().turned(-90.0 * DEG),
        _ => Bearing::from_deg(90.0).yaw(),
    };
    // Once from the origin to learn how far it reaches, and then about the middle of the apron.
    let rough = lay(kind, aircraft, heading, xy(0.0, 0.0));
    let middle = bounds(line_of(&rough)).map_or(rough.start.nose, |(low, high)| low.lerp(high, 0.5));
    let path = lay(kind, aircraft, heading, xy(0.0, 0.0) - middle);
    let stops = match kind {
        DrillKind::FreeApron => Vec::new(),
        DrillKind::IntoWindStop if wind.is_none() => {
            vec![(path.length_m(), "too little wind: any heading".into())]
        }
        DrillKind::IntoWindStop => vec![(path.length_m(), "nose in the wind".into())],
        _ => vec![(path.length_m(), "end of the line".into())],
    };
    Drill {
        kind,
        field: apron(&path),
        path,
        stops,
    }
}

/// Radius of an easy bend of the nose wheel, metres: by steering alone, with some pedal to spare. A free caster has no
/// steering: there it is a wide bend by inside brake.
pub fn easy_radius_m(aircraft: &Aircraft) -> f64 {
    let steering = aircraft.steering_radius_m();
    if steering.is_finite() {
        steering * EASY
    } else {
        aircraft.tightest_radius_m() * EASY * EASY
    }
}

fn lay(kind: DrillKind, a: &Aircraft, heading: Yaw, nose: Xy) -> DrivenPath {
    let start = Pose {
        nose,
        heading_rad: heading,
    };
    let easy = easy_radius_m(a);
    let mut pen = Pen {
        direction: heading,
        path: DrivenPath::new(a.gear.wheelbase_m, start),
    };
    match kind {
        DrillKind::FreeApron => {}
        DrillKind::StraightLine => pen.on(180.0),
        DrillKind::SBends => {
            pen.on(25.0);
            pen.bend(easy, 60.0);
            pen.on(4.0);
            pen.bend(easy, -120.0);
            pen.on(4.0);
            pen.bend(easy, 60.0);
            pen.on(25.0);
        }
        DrillKind::RightAngles => {
            pen.on(30.0);
            pen.bend(easy, 90.0);
            pen.on(30.0);
            pen.bend(easy, -90.0);
            pen.on(30.0);
        }
        DrillKind::RollingPivot => {
            let tight = a.tightest_radius_m() * NEARLY;
            pen.on(30.0);
            pen.bend(tight, 180.0);
            pen.on(30.0);
            pen.bend(tight, -180.0);
            pen.on(30.0);
        }
        DrillKind::IntoWindStop => {
            pen.on(40.0);
            pen.bend(easy, 90.0);
            pen.on(25.0);
        }
    }
    pen.path
}

/// Draws a path and remembers which way the nose wheel goes.
struct Pen {
    path: DrivenPath,
    direction: Yaw,
}

impl Pen {
    fn on(&mut self, length_m: f64) {
        self.path.straight(self.direction, length_m, 0);
    }

    fn bend(&mut self, radius_m: f64, left_deg: f64) {
        self.path.arc(self.direction, radius_m, left_deg * DEG, 0);
        self.direction = self.direction.turned(left_deg * DEG);
    }
}

/// The way of the nose wheel every half metre.
fn line_of(path: &DrivenPath) -> Vec<Xy> {
    let steps = (path.length_m() * 2.0).ceil() as usize;
    if steps == 0 {
        return Vec::new();
    }
    let share = path.length_m() / steps as f64;
    (0..=steps).map(|i| path.pose_at(i as f64 * share).nose).collect()
}

fn apron(path: &DrivenPath) -> Airfield {
    let (x, y) = (APRON_HALF_X_M, APRON_HALF_Y_M);
    // The accuracy says nothing here: there is no map.
    let origin = LonLat {
        lon_deg: -20.0,
        lat_deg: 46.0,
    };
    let mut field = Airfield::bare(origin, 0.1);
    field.name = Some("Practice apron".into());
    field.invented = true;
    field.aprons.push(NamedArea {
        id: "practice apron".into(),
        name: Some("practice apron".into()),
        note: None,
        outer: vec![xy(-x, -y), xy(x, -y), xy(x, y), xy(-x, y)],
        surface: Surface::Paved,
        holes: Vec::new(),
    });
    field.obstacles.push(Obstacle {
        id: "windsock".into(),
        kind: ObstacleKind::Windsock,
        name: Some("windsock".into()),
        shape: Shape::Disc {
            at: xy(x + 12.0, y + 12.0),
            radius_m: 0.1,
        },
        bottom_m: 0.0,
        top_m: Some(6.0),
        radius_assumed: false,
    });
    let line = line_of(path);
    if line.len() > 1 {
        field.lanes.push(Lane {
            id: "practice line".into(),
            kind: LaneKind::Taxilane,
            letters: Vec::new(),
            line,
            width_m: Some(LANE_WIDTH_M),
            surface: Surface::Paved,
            way: Way::Forward,
            closed: None,
            span_limit_m: None,
            speed_limit_mps: None,
            level: 0,
            slope_percent: None,
        });
    }
    field
}
