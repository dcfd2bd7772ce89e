//! Gaps on random scenes against the distance queries of `parry2d`, and swept areas and gaps against `shapely` with poses
//! integrated numerically there. A reported gap is never above what either finds at any pose, and within a millimetre of
//! what is found at the pose it names.
//!
//! A thousand scenes; `TOELINE_SCENES` asks for another number, `TOELINE_SEED` for others.

use super::python;
use parry2d_f64::math::{Pose as Place, Vector};
use parry2d_f64::query;
use parry2d_f64::shape::{Ball, ConvexPolygon, Segment, Shape as Solid};
use serde_json::{Value, json};
use toeline_engine::Request;
use toeline_engine::clearance::{LOOK_AROUND_M, Margins, RemedyKind, Verdict, check, least_gaps};
use toeline_engine::planning::Outcome;
use toeline_engine::route::{Route, Stop, StopKind};
use toeline_model::aircraft::{catalog, parts};
use toeline_model::airfield::{Airfield, Obstacle, ObstacleKind};
use toeline_model::frame::xy;
use toeline_model::path::{DrivenPath, Motion};
use toeline_model::planar::{self, Shape};
use toeline_model::{Aircraft, LonLat, Pose, Xy, Yaw};

/// Poses looked at by brute force in a scene.
const POSES: usize = 40;
/// How far the other library's own distance may be off, metres: its convex solver stops at a tolerance.
const THEIRS_M: f64 = 1e-6;

/// SplitMix64 (Steele, Lea and Flood 2014, from memory): a seed gives the same scenes everywhere.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn below(&mut self, n: u64) -> u64 {
        self.next() % n
    }
}

/// One aeroplane, one way, one obstacle.
struct Scene {
    aircraft: Aircraft,
    path: DrivenPath,
    obstacle: Obstacle,
    vertical_margin_m: f64,
}

fn a_path(r: &mut Random, a: &Aircraft) -> DrivenPath {
    let mut direction = Yaw::from_rad(r.within(-3.0, 3.0));
    let start = Pose {
        nose: xy(r.within(-5.0, 5.0), r.within(-5.0, 5.0)),
        // Not always in line with the way: an aeroplane may stand across it.
        heading_rad: direction.turned(r.within(-0.5, 0.5)),
    };
    let mut path = DrivenPath::new(a.gear.wheelbase_m, start);
    for _ in 0..=r.below(3) {
        match r.below(8) {
            0..=2 => path.straight(direction, r.within(0.5, 15.0), 0),
            3..=5 => {
                // From tighter than the wheelbase, round a braked wheel, to wide.
                let radius_m = r.within(0.8, 20.0);
                let left_rad = r.within(0.1, 1.8) * if r.below(2) == 0 { 1.0 } else { -1.0 };
                path.arc(direction, radius_m, left_rad, 0);
                direction = direction.turned(left_rad);
            }
            6 => {
                path.push_back(r.within(0.5, 6.0), 0);
                direction = path.end().heading_rad;
            }
            _ => {
                let left_rad = r.within(0.1, 1.5) * if r.below(2) == 0 { 1.0 } else { -1.0 };
                path.push_swing(left_rad, 0);
                direction = path.end().heading_rad;
            }
        }
    }
    path
}

fn a_scene(r: &mut Random) -> Scene {
    let all = catalog::all();
    let aircraft = all[r.below(all.len() as u64) as usize].clone();
    let path = a_path(r, &aircraft);
    let beside = path.pose_at(path.length_m() * r.within(0.0, 1.0)).nose
        + Xy::unit(Yaw::from_rad(r.within(-3.2, 3.2))) * r.within(0.0, 22.0);
    let shape = match r.below(3) {
        0 => Shape::Disc {
            at: beside,
            radius_m: r.within(0.0, 3.0),
        },
        1 => Shape::Line {
            points: vec![beside, beside + xy(r.within(-12.0, 12.0), r.within(-12.0, 12.0))],
        },
        _ => {
            let corners: Vec<Xy> = (0..3 + r.below(9))
                .map(|_| beside + xy(r.within(-8.0, 8.0), r.within(-8.0, 8.0)))
                .collect();
            Shape::Area {
                outer: planar::convex_hull(&corners),
                holes: Vec::new(),
            }
        }
    };
    let bottom_m = if r.below(3) == 0 { r.within(0.0, 2.5) } else { 0.0 };
    let obstacle = Obstacle {
        id: "thing".to_string(),
        kind: ObstacleKind::Building,
        name: None,
        shape,
        bottom_m,
        top_m: (r.below(3) != 0).then(|| bottom_m + r.within(0.1, 3.0)),
        radius_assumed: false,
    };
    Scene {
        aircraft,
        path,
        obstacle,
        vertical_margin_m: r.within(0.0, 0.8),
    }
}

impl Scene {
    fn field(&self) -> Airfield {
        let origin = LonLat {
            lon_deg: 0.0,
            lat_deg: 0.0,
        };
        Airfield {
            obstacles: vec![self.obstacle.clone()],
            ..Airfield::bare(origin, 2.0)
        }
    }

    fn route(&self) -> Route {
        let stop = |kind, at_m, pose| Stop {
            kind,
            name: String::new(),
            of: None,
            at_m,
            pose,
            line_at: None,
            derived: false,
        };
        Route {
            stops: vec![
                stop(StopKind::Start, 0.0, self.path.start),
                stop(StopKind::End, self.path.length_m(), self.path.end()),
            ],
            path: self.path.clone(),
            legs: Vec::new(),
            turns: Vec::new(),
            costs: Vec::new(),
            cost_ms: 0,
            check: None,
            segments: Vec::new(),
            doubts: Vec::new(),
        }
    }

    fn margins(&self) -> Margins {
        Margins {
            margin_m: 3.0,
            vertical_margin_m: self.vertical_margin_m,
            accuracy_m: None,
            rule: Default::default(),
            own_stand: None,
        }
    }

    /// The parts that meet the obstacle's heights, in the aeroplane's axes.
    fn meeting(&self) -> Vec<parts::Part> {
        let mut list = parts::parts(&self.aircraft);
        list.retain(|p| {
            let over = self
                .obstacle
                .top_m
                .is_some_and(|top| p.low_m - top >= self.vertical_margin_m);
            !over && self.obstacle.bottom_m - p.high_m < self.vertical_margin_m
        });
        list
    }
}

fn vector(p: &Xy) -> Vector {
    Vector::new(p.x, p.y)
}

/// The obstacle and where it stands, for the other library.
fn theirs(shape: &Shape) -> (Box<dyn Solid>, Place) {
    let here = Place::IDENTITY;
    match shape {
        Shape::Disc { at, radius_m } => (Box::new(Ball::new(*radius_m)), Place::new(vector(at), 0.0)),
        Shape::Line { points } => (Box::new(Segment::new(vector(&points[0]), vector(&points[1]))), here),
        Shape::Area { outer, .. } => (polygon(outer), here),
    }
}

fn polygon(ring: &[Xy]) -> Box<dyn Solid> {
    let points: Vec<Vector> = ring.iter().map(vector).collect();
    Box::new(ConvexPolygon::from_convex_polyline_unmodified(points).expect("a convex ring"))
}

/// Least distance at one pose, by the other library.
fn at_pose(scene: &Scene, list: &[Box<dyn Solid>], other: &(Box<dyn Solid>, Place), pose: &Pose) -> f64 {
    // The parts' axes start at the main axle.
    let axle = pose.nose - Xy::unit(pose.heading_rad) * scene.path.wheelbase_m;
    let place = Place::new(vector(&axle), pose.heading_rad.rad());
    let gap = |p: &dyn Solid| {
        query::distance(&place, p, &other.1, other.0.as_ref())
            .expect("two convex shapes")
            .distance
    };
    list.iter().map(|p| gap(p.as_ref())).fold(f64::INFINITY, f64::min)
}

/// Checks a scene; gives how far the reported gap is below the least sample, when both are near.
fn hold(scene: &Scene, number: u64, r: &mut Random) -> Option<f64> {
    let list: Vec<Box<dyn Solid>> = scene.meeting().iter().map(|p| polygon(&p.outline)).collect();
    let other = theirs(&scene.obstacle.shape);
    let (_, gaps) = least_gaps(&scene.field(), &scene.aircraft, &scene.route(), &scene.margins()).expect("sound");
    let mut least = f64::INFINITY;
    for _ in 0..POSES {
        let pose = scene.path.pose_at(r.within(0.0, scene.path.length_m()));
        least = least.min(at_pose(scene, &list, &other, &pose));
    }
    for pose in [scene.path.start, scene.path.end()] {
        least = least.min(at_pose(scene, &list, &other, &pose));
    }
    let Some(g) = gaps.first() else {
        assert!(
            least > LOOK_AROUND_M - THEIRS_M,
            "scene {number}: not reported, {least} m by brute force"
        );
        return None;
    };
    assert!(
        g.gap_m <= least + THEIRS_M,
        "scene {number}: reported {} m, {least} m by brute force",
        g.gap_m
    );
    let named = at_pose(scene, &list, &other, &scene.path.pose_at(g.at_m));
    assert!(
        (g.gap_m - THEIRS_M..=g.gap_m + 1e-3 + THEIRS_M).contains(&named),
        "scene {number}: reported {} m, {named} m at the pose it names",
        g.gap_m
    );
    Some(least - g.gap_m)
}

fn asked(name: &str, or: u64) -> u64 {
    std::env::var(name).ok().and_then(|v| v.parse().ok()).unwrap_or(or)
}

#[test]
fn a_gap_is_never_above_what_another_library_finds_at_any_pose() {
    let (scenes, seed) = (asked("TOELINE_SCENES", 1000), asked("TOELINE_SEED", 1));
    let (mut near, mut touching) = (0_u64, 0_u64);
    for number in 0..scenes {
        // Each scene has a seed of its own, so that one alone can be looked at again.
        let mut r = Random(seed.wrapping_mul(0x1_0000_0001).wrapping_add(number));
        let scene = a_scene(&mut r);
        if let Some(over) = hold(&scene, number, &mut r) {
            near += 1;
            touching += u64::from(over == 0.0);
        }
    }
    println!("{scenes} scenes of seed {seed}: {near} near enough to report, {touching} in contact at a sampled pose");
    assert!(
        near > scenes / 2 && touching > scenes / 20,
        "the scenes must come near: {near} of {scenes}, {touching}"
    );
}

/// The demo field with taxiway F closed, so that the lane past hangar 5 is the only way off the hangars.
fn demo_without_f() -> String {
    let mut field: Value = serde_json::from_str(&toeline_tests::demo_field()).expect("JSON");
    for f in field["features"].as_array_mut().expect("features") {
        if f["properties"]["aeroway"] == "taxiway" && f["properties"]["ref"] == "F" {
            f["properties"]["toeline:closed"] = "yes".into();
        }
    }
    field.to_string()
}

#[test]
fn the_one_tight_place_of_the_demo_field_is_found_and_named() {
    // By another library alone: of all lanes and all hangars the nearest are lane M and hangar 5.
    let field = toeline_engine::read::read(&demo_without_f()).expect("a field").field;
    let mut nearest: Vec<(f64, String, String)> = Vec::new();
    for lane in &field.lanes {
        for o in field.obstacles.iter().filter(|o| o.kind == ObstacleKind::Hangar) {
            let Shape::Area { outer, .. } = &o.shape else { continue };
            let (other, at) = (polygon(&planar::convex_hull(outer)), Place::IDENTITY);
            for w in lane.line.windows(2) {
                let stroke = Segment::new(vector(&w[0]), vector(&w[1]));
                let d = query::distance(&at, &stroke, &at, other.as_ref())
                    .expect("convex")
                    .distance;
                nearest.push((d, lane.letters.join("/"), o.id.clone()));
            }
        }
    }
    nearest.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (beside_m, lane, hangar) = nearest[0].clone();
    assert_eq!((lane.as_str(), hangar.as_str()), ("M", "hangar-5"));
    assert!((beside_m - 7.45).abs() < 0.01, "{beside_m}");
    // By the plan: the same place, named, with half the span less room and what would help.
    let mut request = toeline_tests::request("trainer-high-2", "H4", &[], "26", "240/12T");
    let way_of = |request: &Request| match toeline_engine::plan(&demo_without_f(), request)
        .expect("a plan")
        .outcome
    {
        Outcome::Way(way) => *way,
        Outcome::NoWay(why) => panic!("{why:?}"),
    };
    let way = way_of(&request);
    let g = &way.clearance.gaps[0];
    assert_eq!(way.clearance.considered[g.obstacle].feature, "hangar-5");
    assert!((g.gap_m - (beside_m - 5.05)).abs() < 0.02, "{} m", g.gap_m);
    assert!(g.part.ends_with("wing") && g.verdict == Verdict::NotClear);
    assert!(
        way.route
            .legs
            .iter()
            .any(|l| l.letters == ["M"] && (l.from_m..=l.to_m).contains(&g.at_m))
    );
    let helps = |kind| way.clearance.remedies.iter().find(|r| r.kind == kind).expect("told");
    // Twice what is left beside the lane's centreline after the margin and the map's 0.1 m.
    let span = helps(RemedyKind::LessSpan);
    let told: f64 = span
        .text
        .split("with ")
        .nth(1)
        .and_then(|t| t.split(' ').next())
        .and_then(|t| t.parse().ok())
        .expect("a span");
    assert!((told - 2.0 * (beside_m - 3.0 - 0.1)).abs() < 0.05, "{}", span.text);
    assert!(helps(RemedyKind::WingWalker).helps && helps(RemedyKind::WingWalker).text.contains("hangar-5"));
    // With a margin of 2 m it is clear by the map's own accuracy.
    request.margin_m = 2.0;
    assert_eq!(way_of(&request).clearance.parts_verdict, Verdict::Clear);
}

#[test]
fn swept_areas_and_gaps_are_those_of_shapely_on_integrated_poses() {
    let Some(python) = python::python() else { return };
    let mut scenes = Vec::new();
    let mut ours = Vec::new();
    for number in 0..16 {
        let mut r = Random(7_000 + number);
        let mut scene = a_scene(&mut r);
        scene.obstacle.bottom_m = 0.0;
        scene.obstacle.top_m = None;
        let all: Vec<Vec<[f64; 2]>> = parts::parts(&scene.aircraft)
            .iter()
            .map(|p| p.outline.iter().map(|q| [q.x, q.y]).collect())
            .collect();
        let pieces: Vec<_> = scene
            .path
            .pieces
            .iter()
            .map(|p| match p.motion {
                Motion::Straight => {
                    json!({"how": "led", "bend": 0.0, "length": p.length_m, "along": p.direction_rad.rad()})
                }
                Motion::Arc { curvature_per_m } => {
                    json!({"how": "led", "bend": curvature_per_m, "length": p.length_m, "along": p.direction_rad.rad()})
                }
                Motion::PushBack => json!({"how": "back", "length": p.length_m}),
                Motion::PushSwing { left_rad } => json!({"how": "swing", "left": left_rad}),
            })
            .collect();
        let shape = match &scene.obstacle.shape {
            Shape::Disc { at, radius_m } => json!({"points": [[at.x, at.y]], "radius": radius_m}),
            Shape::Line { points } | Shape::Area { outer: points, .. } => {
                json!({"points": points.iter().map(|q| [q.x, q.y]).collect::<Vec<_>>(), "radius": 0.0})
            }
        };
        scenes.push(json!({
            "wheelbase": scene.path.wheelbase_m,
            "nose": [scene.path.start.nose.x, scene.path.start.nose.y],
            "heading": scene.path.start.heading_rad.rad(),
            "pieces": pieces, "parts": all, "shape": shape,
        }));
        let c = check(&scene.field(), &scene.aircraft, &scene.route(), &scene.margins()).expect("sound");
        let area_m2: f64 = c.swept.iter().map(|ring| planar::signed_area(ring)).sum();
        let around_m: f64 = c
            .swept
            .iter()
            .map(|ring| planar::ring_edges(ring).map(|(a, b)| a.distance(b)).sum::<f64>())
            .sum();
        ours.push((c.gaps.first().map(|g| g.gap_m), area_m2, around_m));
    }
    let told = python::answer(&python, "swept.py", &json!(scenes));
    for (number, (found, (gap_m, area_m2, around_m))) in told.as_array().expect("a list").iter().zip(&ours).enumerate()
    {
        let number_of = |key: &str| found[key].as_f64().expect("a number");
        let (theirs_m, step_m) = (number_of("gap"), number_of("unseen"));
        match gap_m {
            Some(m) => assert!(
                *m <= theirs_m + 1e-6 && *m >= theirs_m - 1e-3 - step_m - 1e-6,
                "scene {number}: {m} m, shapely {theirs_m} m with steps that may hide {step_m} m"
            ),
            None => assert!(theirs_m > LOOK_AROUND_M - step_m, "scene {number}: {theirs_m} m"),
        }
        // The outline is good to a centimetre; shapely's union of poses misses slivers between them.
        let (low, high) = (number_of("area"), number_of("area") + number_of("missed"));
        assert!(
            *area_m2 >= low - 0.001 * around_m && *area_m2 <= high + 0.01 * around_m,
            "scene {number}: {area_m2} m2, shapely {low} to {high} m2"
        );
    }
}
