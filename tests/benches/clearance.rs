//! The certified sweep of a 3 km way past 100 to 100 000 obstacles: linear in the way, about logarithmic in the obstacles;
//! beside it, in the same run, the distance queries of `parry2d` on the same poses 0.1 m apart, with the same tree of boxes
//! to choose what is asked. The answers are held against each other first.
//!
//! `cargo bench -p toeline-tests --bench clearance`

#![allow(clippy::print_stdout)]

use parry2d_f64::math::{Pose as Place, Vector};
use parry2d_f64::query;
use parry2d_f64::shape::{Ball, ConvexPolygon, Shape as Solid};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::Write;
use std::process::{Command, Stdio};
use std::time::Instant;
use toeline_engine::clearance::{LOOK_AROUND_M, Margins, least_gaps};
use toeline_engine::route::{Route, Stop, StopKind};
use toeline_model::aircraft::{catalog, parts};
use toeline_model::airfield::{Airfield, Obstacle, ObstacleKind};
use toeline_model::frame::xy;
use toeline_model::path::DrivenPath;
use toeline_model::planar::Shape;
use toeline_model::{Aircraft, LonLat, Pose, Xy, Yaw};

/// Between two poses of the peer, metres of way.
const STEP_M: f64 = 0.1;
/// Between two obstacles, metres: the same on every field, so that the same number stands beside the way and the rest of the
/// field grows.
const SPACING_M: f64 = 30.0;

/// A way of a length that winds to and fro: straights of 120 m and bends of 12 m radius.
fn winding(a: &Aircraft, length_m: f64) -> DrivenPath {
    let mut direction = Yaw::from_rad(0.0);
    let start = Pose {
        nose: xy(0.0, 0.0),
        heading_rad: direction,
    };
    let mut path = DrivenPath::new(a.gear.wheelbase_m, start);
    let mut side = 1.0;
    while path.length_m() < length_m {
        path.straight(direction, 120.0_f64.min(length_m - path.length_m()), 0);
        let left_rad = side * core::f64::consts::FRAC_PI_2;
        if path.length_m() + 12.0 * left_rad.abs() < length_m {
            path.arc(direction, 12.0, left_rad, 0);
            direction = direction.turned(left_rad);
            side = -side;
        }
    }
    path
}

/// Poles and huts on a grid that grows outward from the way's start, none on the way itself.
fn obstacles(path: &DrivenPath, count: usize) -> Vec<Obstacle> {
    let length_m = path.length_m();
    let near: Vec<Xy> = (0..=(length_m / 5.0) as usize)
        .map(|i| path.pose_at(i as f64 * 5.0).nose)
        .collect();
    let driven = RTree::bulk_load(near.iter().map(|p| [p.x, p.y]).collect::<Vec<[f64; 2]>>());
    let mut list = Vec::new();
    let mut ring = 0_i64;
    // Beside the way first, then on ever wider rings of the grid about its middle.
    let middle = path.pose_at(length_m / 2.0).nose;
    while list.len() < count {
        for i in -ring..=ring {
            for j in -ring..=ring {
                if i.abs().max(j.abs()) != ring || list.len() == count {
                    continue;
                }
                let at = middle + xy(i as f64 * SPACING_M + 7.0, j as f64 * SPACING_M + 3.0);
                let off_m = driven
                    .nearest_neighbor([at.x, at.y])
                    .map_or(f64::INFINITY, |p| xy(p[0], p[1]).distance(at));
                if off_m < 12.0 {
                    continue;
                }
                let n = list.len();
                let shape = if n % 2 == 0 {
                    Shape::Disc { at, radius_m: 0.2 }
                } else {
                    Shape::Area {
                        outer: vec![at, at + xy(3.0, 1.0), at + xy(2.0, 4.0), at + xy(-1.0, 3.0)],
                        holes: Vec::new(),
                    }
                };
                list.push(Obstacle {
                    id: format!("thing {n}"),
                    kind: ObstacleKind::Building,
                    name: None,
                    shape,
                    bottom_m: 0.0,
                    top_m: None,
                    radius_assumed: false,
                });
            }
        }
        ring += 1;
    }
    list
}

fn route(path: &DrivenPath) -> Route {
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
        path: path.clone(),
        legs: Vec::new(),
        turns: Vec::new(),
        stops: vec![
            stop(StopKind::Start, 0.0, path.start),
            stop(StopKind::End, path.length_m(), path.end()),
        ],
        costs: Vec::new(),
        cost_ms: 0,
        check: None,
        segments: Vec::new(),
        doubts: Vec::new(),
    }
}

fn vector(p: &Xy) -> Vector {
    Vector::new(p.x, p.y)
}

/// The aeroplane and the obstacles in the peer's shapes, ready for its queries.
struct Peer {
    parts: Vec<Box<dyn Solid>>,
    others: Vec<(Box<dyn Solid>, Place)>,
    tree: RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>,
    reach_m: f64,
}

impl Peer {
    fn new(a: &Aircraft, list: &[Obstacle]) -> Peer {
        let polygon = |ring: &[Xy]| -> Box<dyn Solid> {
            let points: Vec<Vector> = ring.iter().map(vector).collect();
            Box::new(ConvexPolygon::from_convex_polyline_unmodified(points).expect("convex"))
        };
        let other = |o: &Obstacle| match &o.shape {
            Shape::Disc { at, radius_m } => {
                let ball: Box<dyn Solid> = Box::new(Ball::new(*radius_m));
                (ball, Place::new(vector(at), 0.0))
            }
            Shape::Area { outer, .. } => (polygon(outer), Place::IDENTITY),
            Shape::Line { .. } => unreachable!("no lines here"),
        };
        let boxed = |(i, o): (usize, &Obstacle)| {
            let (low, high) = o.shape.bounds();
            GeomWithData::new(Rectangle::from_corners([low.x, low.y], [high.x, high.y]), i)
        };
        Peer {
            parts: parts::parts(a).iter().map(|p| polygon(&p.outline)).collect(),
            others: list.iter().map(other).collect(),
            tree: RTree::bulk_load(list.iter().enumerate().map(boxed).collect()),
            reach_m: a.reach_m() + LOOK_AROUND_M,
        }
    }

    /// Distance to one obstacle at a pose.
    fn at(&self, place: &Place, obstacle: usize) -> f64 {
        let (solid, at) = &self.others[obstacle];
        let gap = |p: &dyn Solid| query::distance(place, p, at, solid.as_ref()).expect("convex").distance;
        self.parts.iter().map(|p| gap(p.as_ref())).fold(f64::INFINITY, f64::min)
    }

    /// The least distance to each obstacle, on poses a step apart.
    fn least(&self, path: &DrivenPath) -> Vec<f64> {
        let mut least = vec![f64::INFINITY; self.others.len()];
        for pose in poses(path) {
            let (place, r) = (placed(path, &pose), self.reach_m);
            let around = AABB::from_corners([pose.nose.x - r, pose.nose.y - r], [pose.nose.x + r, pose.nose.y + r]);
            for found in self.tree.locate_in_envelope_intersecting(around) {
                least[found.data] = least[found.data].min(self.at(&place, found.data));
            }
        }
        least
    }
}

fn poses(path: &DrivenPath) -> impl Iterator<Item = Pose> + '_ {
    let steps = (path.length_m() / STEP_M).ceil() as usize;
    (0..=steps).map(move |i| path.pose_at(path.length_m() * i as f64 / steps as f64))
}

/// Where the parts' axes are at a pose: they start at the main axle.
fn placed(path: &DrivenPath, pose: &Pose) -> Place {
    let axle = pose.nose - Xy::unit(pose.heading_rad) * path.wheelbase_m;
    Place::new(vector(&axle), pose.heading_rad.rad())
}

/// The same by shapely, when `TOELINE_PYTHON` names a Python that has it: seconds, and the least distances.
fn by_shapely(a: &Aircraft, path: &DrivenPath, list: &[Obstacle]) -> Option<(f64, Vec<f64>)> {
    let python = std::env::var_os("TOELINE_PYTHON")?;
    let ring = |points: &[Xy]| points.iter().map(|q| [q.x, q.y]).collect::<Vec<_>>();
    let asked = json!({
        "parts": parts::parts(a).iter().map(|p| ring(&p.outline)).collect::<Vec<_>>(),
        "poses": poses(path).map(|p| {
            let axle = p.axle(path.wheelbase_m);
            [axle.x, axle.y, p.heading_rad.rad()]
        }).collect::<Vec<_>>(),
        "obstacles": list.iter().map(|o| match &o.shape {
            Shape::Disc { at, radius_m } => json!({"points": [[at.x, at.y]], "radius": radius_m}),
            Shape::Area { outer: points, .. } | Shape::Line { points } => json!({"points": ring(points), "radius": 0.0}),
        }).collect::<Vec<_>>(),
        "around": a.reach_m() + LOOK_AROUND_M,
    });
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/external/python/distances.py");
    let mut child = Command::new(python)
        .args(["-B", script])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("TOELINE_PYTHON starts");
    child
        .stdin
        .take()
        .expect("piped")
        .write_all(asked.to_string().as_bytes())
        .expect("it reads");
    let told: Value = serde_json::from_slice(&child.wait_with_output().expect("it ends").stdout).expect("JSON");
    let least = told["least"]
        .as_array()?
        .iter()
        .map(|v| v.as_f64().unwrap_or(f64::INFINITY));
    Some((told["seconds"].as_f64()?, least.collect()))
}

/// Every answer of ours against samples of another's: never above any, and nothing near left out.
fn hold(list: &[Obstacle], told: &BTreeMap<&str, f64>, theirs: &[f64], unseen_m: f64) {
    for (o, theirs_m) in list.iter().zip(theirs) {
        match told.get(o.id.as_str()) {
            Some(ours_m) => assert!(
                *ours_m <= theirs_m + 1e-6 && *ours_m >= theirs_m - 1e-3 - unseen_m - 1e-6,
                "{}: {ours_m} m, {theirs_m} m",
                o.id
            ),
            None => assert!(*theirs_m > LOOK_AROUND_M - unseen_m, "{}: {theirs_m}", o.id),
        }
    }
}

fn seconds(runs: usize, mut f: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..runs)
        .map(|_| {
            let begin = Instant::now();
            f();
            begin.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[runs / 2]
}

fn main() {
    let a = catalog::find("trainer-high-2").expect("built in");
    let margins = Margins {
        margin_m: 3.0,
        vertical_margin_m: 0.5,
        accuracy_m: None,
        rule: Default::default(),
        own_stand: None,
    };
    let field = |list: Vec<Obstacle>| {
        let origin = LonLat {
            lon_deg: 0.0,
            lat_deg: 0.0,
        };
        Airfield {
            obstacles: list,
            ..Airfield::bare(origin, 2.0)
        }
    };
    println!("way of 3000 m:");
    for count in [100, 1_000, 10_000, 100_000] {
        let path = winding(&a, 3000.0);
        let (list, route) = (obstacles(&path, count), route(&path));
        let field = field(list);
        let gaps = || least_gaps(&field, &a, &route, &margins).expect("sound");
        let (considered, ours) = gaps();
        let peer = Peer::new(&a, &field.obstacles);
        let told: BTreeMap<&str, f64> = ours
            .iter()
            .map(|g| (considered[g.obstacle].feature.as_str(), g.gap_m))
            .collect();
        // What samples can miss between two poses.
        let unseen_m = (1.0 + a.reach_m() / a.gear.wheelbase_m) * STEP_M / 2.0;
        hold(&field.obstacles, &told, &peer.least(&path), unseen_m);
        // At the pose that is named the two agree within the certified millimetre.
        let index: BTreeMap<&str, usize> = field
            .obstacles
            .iter()
            .enumerate()
            .map(|(i, o)| (o.id.as_str(), i))
            .collect();
        for g in &ours {
            let at = placed(&path, &path.pose_at(g.at_m));
            let named = peer.at(&at, index[considered[g.obstacle].feature.as_str()]);
            assert!(
                (g.gap_m - 1e-6..=g.gap_m + 1e-3 + 1e-6).contains(&named),
                "{} {named}",
                g.gap_m
            );
        }
        let ours_s = seconds(5, || {
            gaps();
        });
        let peer_s = seconds(3, || {
            Peer::new(&a, &field.obstacles).least(&path);
        });
        println!(
            "  {count:>6} obstacles, {} near: certified {:.0} ms, parry2d every {STEP_M} m {:.0} ms, {:.1} times",
            ours.len(),
            ours_s * 1e3,
            peer_s * 1e3,
            peer_s / ours_s
        );
        if let Some((s, least)) = (count == 1000)
            .then(|| by_shapely(&a, &path, &field.obstacles))
            .flatten()
        {
            hold(&field.obstacles, &told, &least, unseen_m);
            println!(
                "         shapely on the same poses {:.0} ms, {:.0} times",
                s * 1e3,
                s / ours_s
            );
        }
    }
    println!("past 10000 obstacles:");
    for length_m in [375.0, 750.0, 1500.0, 3000.0, 6000.0] {
        let path = winding(&a, length_m);
        let (list, route) = (obstacles(&path, 10_000), route(&path));
        let field = field(list);
        let s = seconds(5, || {
            least_gaps(&field, &a, &route, &margins).expect("sound");
        });
        println!(
            "  {length_m:>6} m: {:.0} ms, {:.1} us a metre",
            s * 1e3,
            s * 1e6 / length_m
        );
    }
}
