//! The plan's JSON re-checked without our code: the track by numerical integration of the tractrix, every gap with the
//! `geo` crate's polygon distances, the price by adding it up.

use geo::{Coord, Distance, Euclidean, LineString, Point, Polygon};
use serde_json::Value;

pub(crate) fn num(v: &Value) -> f64 {
    v.as_f64().unwrap_or_else(|| panic!("{v} is no number"))
}

pub(crate) fn pair(v: &Value) -> (f64, f64) {
    (num(&v[0]), num(&v[1]))
}

fn ring(points: &Value) -> LineString {
    points
        .as_array()
        .unwrap()
        .iter()
        .map(|p| Coord {
            x: num(&p[0]),
            y: num(&p[1]),
        })
        .collect()
}

/// One pose of the printed track.
pub(crate) struct Sample {
    pub(crate) way: f64,
    pub(crate) nose: (f64, f64),
    pub(crate) axle: (f64, f64),
    pub(crate) heading: f64,
}

pub(crate) fn track(plan: &Value) -> Vec<Sample> {
    let columns: Vec<&str> = plan["outcome"]["track"]["columns"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| c.as_str().unwrap())
        .collect();
    let column = |name: &str| {
        columns
            .iter()
            .position(|c| *c == name)
            .unwrap_or_else(|| panic!("{name} in {columns:?}"))
    };
    let [way, nx, ny, ax, ay, heading] =
        ["way_m", "nose_x_m", "nose_y_m", "axle_x_m", "axle_y_m", "heading_rad"].map(column);
    let rows = plan["outcome"]["track"]["rows"].as_array().unwrap();
    rows.iter()
        .map(|r| Sample {
            way: num(&r[way]),
            nose: (num(&r[nx]), num(&r[ny])),
            axle: (num(&r[ax]), num(&r[ay])),
            heading: num(&r[heading]),
        })
        .collect()
}

/// A part's outline placed at a sample.
fn placed(outline: &Value, s: &Sample) -> Polygon {
    let (sin, cos) = s.heading.sin_cos();
    let points = outline.as_array().unwrap().iter().map(|p| {
        let (x, y) = pair(p);
        Coord {
            x: s.axle.0 + x * cos - y * sin,
            y: s.axle.1 + x * sin + y * cos,
        }
    });
    Polygon::new(points.collect(), Vec::new())
}

fn distance(part: &Polygon, shape: &Value) -> f64 {
    match shape["type"].as_str().unwrap() {
        "disc" => {
            let (x, y) = pair(&shape["at_xy_m"]);
            (Euclidean.distance(part, &Point::new(x, y)) - num(&shape["radius_m"])).max(0.0)
        }
        "line" => Euclidean.distance(part, &ring(&shape["points_xy_m"])),
        "area" => {
            let holes = shape["holes_xy_m"]
                .as_array()
                .map(|h| h.iter().map(ring).collect())
                .unwrap_or_default();
            Euclidean.distance(part, &Polygon::new(ring(&shape["outer_xy_m"]), holes))
        }
        other => panic!("shape {other}"),
    }
}

/// Every reported least gap is at most the least over the printed samples, and not below it by more than the samples can
/// miss between them.
pub(crate) fn recheck_gaps(plan: &Value) -> usize {
    let track = track(plan);
    let parts: Vec<(&Value, f64, f64)> = plan["parts"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| (&p["outline_xy_m"], num(&p["low_m"]), num(&p["high_m"])))
        .collect();
    let vertical = num(&plan["outcome"]["vertical_margin_m"]);
    let obstacles = plan["outcome"]["obstacles"].as_array().unwrap();
    let mut checked = 0;
    for gap in plan["outcome"]["gaps"].as_array().unwrap() {
        let number = gap["obstacle"].as_u64().unwrap();
        let obstacle = obstacles
            .iter()
            .find(|o| o["number"].as_u64() == Some(number))
            .expect("the obstacle is listed");
        let bottom = num(&obstacle["bottom_m"]);
        let top = obstacle["top_m"].as_f64().unwrap_or(f64::INFINITY);
        let mut least = f64::INFINITY;
        let mut at = 0.0;
        for s in &track {
            for (outline, low, high) in &parts {
                if low - vertical < top && bottom < high + vertical {
                    let d = distance(&placed(outline, s), &obstacle["shape"]);
                    if d < least {
                        (least, at) = (d, s.way);
                    }
                }
            }
        }
        let told = num(&gap["gap_m"]);
        assert!(
            told <= least + 2e-3,
            "{}: told {told}, found {least} at {at} m",
            obstacle["name"]
        );
        // Samples lie at most 0.25 m apart; a wing tip may dip between two of them by less than 2 cm, and a part may move
        // up to a few times as fast as the nose wheel where it turns.
        assert!(
            told >= least - 0.10,
            "{}: told {told}, but {least} is the least of the samples (at {at} m)",
            obstacle["name"]
        );
        checked += 1;
    }
    checked
}

/// The axle follows the nose wheel: between samples the heading changes by sin β / d, integrated here with small steps
/// along the chord.
pub(crate) fn recheck_track(plan: &Value) {
    let track = track(plan);
    let d = num(&plan["outcome"]["wheelbase_m"]);
    for s in &track {
        let gap = ((s.nose.0 - s.axle.0).powi(2) + (s.nose.1 - s.axle.1).powi(2)).sqrt();
        assert!((gap - d).abs() < 1e-5, "wheelbase {gap} at {}", s.way);
        let heading = (s.nose.1 - s.axle.1).atan2(s.nose.0 - s.axle.0);
        assert!((heading - s.heading).sin().abs() < 1e-5, "heading at {}", s.way);
    }
    for w in track.windows(2) {
        let (dx, dy) = (w[1].nose.0 - w[0].nose.0, w[1].nose.1 - w[0].nose.1);
        let length = (dx * dx + dy * dy).sqrt();
        assert!(
            w[1].way - w[0].way <= 0.2501,
            "samples {} m apart at {}",
            w[1].way - w[0].way,
            w[0].way
        );
        if length < 1e-6 {
            continue;
        }
        // No side slip: the axle moves along the mean heading.
        let (ax, ay) = (w[1].axle.0 - w[0].axle.0, w[1].axle.1 - w[0].axle.1);
        let mean = w[0].heading
            + (w[1].heading - w[0].heading + 9.424_777_960_769_38).rem_euclid(std::f64::consts::TAU) / 2.0
            - std::f64::consts::FRAC_PI_2;
        let across = (-ax * mean.sin() + ay * mean.cos()).abs();
        assert!(across < 2e-3, "the axle slips {across} m sideways at {}", w[0].way);
    }
}

/// The terms add up to the price.
pub(crate) fn recheck_costs(plan: &Value) {
    let terms = plan["outcome"]["costs"].as_array().unwrap();
    assert!(!terms.is_empty());
    let sum: u64 = terms.iter().map(|t| t["cost_ms"].as_u64().unwrap()).sum();
    assert_eq!(sum, plan["outcome"]["cost_ms"].as_u64().unwrap());
}

#[test]
fn the_demo_plan_stands_up() {
    let plan = super::demo::json("trainer-high-2", "4", &["E"], "26");
    assert!(recheck_gaps(&plan) > 5);
    recheck_track(&plan);
    recheck_costs(&plan);
}

#[test]
fn so_do_plans_of_every_aeroplane_from_every_kind_of_stand() {
    for aircraft in toeline_model::aircraft::catalog::all() {
        for from in ["1", "7", "H2"] {
            let plan = super::demo::json(&aircraft.id, from, &["E"], "26");
            recheck_gaps(&plan);
            recheck_costs(&plan);
        }
    }
}
