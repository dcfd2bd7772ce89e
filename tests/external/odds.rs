//! The odds against a closed form, scipy's intervals, and drives written a second time in Python.
//!
//! Closed form: a wander of endless correlation is one deviation for the whole way, so that a wall beside a straight lane is
//! touched with the odds of the normal tail beyond its gap (any table of the normal distribution; scipy's here).
//! `python/wobble.py` draws the wander as one Gaussian vector from its kernel, not as a chain; follows the axis by a fine
//! numerical integration, not by the closed tractrix; and asks every part's distance to every post at every fifth of a metre.

use crate::python::{answer, python};
use serde_json::{Value, json};
use toeline_engine::odds::{self, Begin, Chance, Odds, OddsAsked, Wobble, WobbleFrom, interval};
use toeline_model::aircraft::{Aircraft, parts};
use toeline_model::airfield::Obstacle;
use toeline_model::frame::xy;
use toeline_model::path::{DrivenPath, Motion};
use toeline_tests::lanes::{bend, built_in, clearance_of, eastward, on, post, wall};

fn told(a: &Aircraft, path: &DrivenPath, obstacles: Vec<Obstacle>, w: Wobble, drives: u32, begin: Begin) -> Odds {
    let clearance = clearance_of(a, path, obstacles, 0.0);
    let asked = OddsAsked {
        wobble: Some(w),
        drives,
        seed: 2026,
    };
    odds::odds(a, path, &clearance, &asked, begin).expect("drives were asked for")
}

fn wobble(offset_m: f64, spread_m: f64, correlation_m: f64) -> Wobble {
    Wobble {
        offset_m,
        spread_m,
        correlation_m,
        from: WobbleFrom::Given,
    }
}

/// Gap to the wall, offset, spread: from one in two to about one in 10 000.
const WALLS: [(f64, f64, f64); 6] = [
    (0.5, 0.5, 0.4),
    (0.5, 0.0, 0.4),
    (1.0, 0.2, 0.4),
    (1.0, -0.3, 0.5),
    (1.5, 0.3, 0.4),
    (1.9, 0.0, 0.5),
];

#[test]
fn one_deviation_for_the_whole_way_touches_a_wall_by_the_normal_tail() {
    let Some(python) = python() else { return };
    let rows: Vec<Value> = WALLS.iter().map(|w| json!([w.0, w.1, w.2])).collect();
    let tails = answer(&python, "wobble.py", &json!({ "what": "tails", "rows": rows }));
    let a = built_in("trainer-high-2");
    for (i, (gap_m, offset_m, spread_m)) in WALLS.into_iter().enumerate() {
        let tail = tails[i].as_f64().expect("a number");
        let mut path = eastward(&a);
        on(&mut path, 100.0);
        let y = a.wing.span_m / 2.0 + gap_m;
        let walls = vec![wall("W", xy(50.0, y), xy(70.0, y))];
        let o = told(
            &a,
            &path,
            walls,
            wobble(offset_m, spread_m, 1e7),
            40_000,
            Begin::UnderWay,
        )
        .as_mapped;
        let at_most = o.at_most.expect("a bound");
        println!(
            "gap {gap_m} m: tail {tail:.5}, drives {:.5}, bound {at_most:.5}",
            o.share()
        );
        // Six rows at 95 % would miss one by chance one time in four; four spreads leave room for neither error nor luck.
        let spread = (tail * (1.0 - tail) / f64::from(o.drives)).sqrt();
        assert!((o.share() - tail).abs() < 4.0 * spread, "{o:?}, tail {tail}");
        assert!(
            at_most >= tail && at_most <= 1.002 * tail + 5e-6,
            "bound {at_most}, tail {tail}"
        );
    }
}

#[test]
fn the_intervals_are_clopper_and_pearsons() {
    let Some(python) = python() else { return };
    let counts = [
        (1, 0),
        (1, 1),
        (10, 3),
        (10_000, 0),
        (10_000, 1),
        (10_000, 25),
        (10_000, 9_999),
        (1_000_000, 470_123),
    ];
    let rows: Vec<Value> = counts.iter().map(|(n, k)| json!([n, k])).collect();
    let theirs = answer(&python, "wobble.py", &json!({ "what": "intervals", "rows": rows }));
    for (i, (n, k)) in counts.into_iter().enumerate() {
        let (low, high) = interval(n, k);
        for (mine, theirs) in [(low, &theirs[i][0]), (high, &theirs[i][1])] {
            let theirs = theirs.as_f64().expect("a number");
            assert!(
                (mine - theirs).abs() <= 1e-9 * theirs + 1e-12,
                "{k} of {n}: {mine} {theirs}"
            );
        }
    }
}

/// A way, posts beside it, a wobble.
struct Scene {
    name: &'static str,
    aircraft: Aircraft,
    path: DrivenPath,
    /// Middle and radius.
    posts: Vec<([f64; 2], f64)>,
    wobble: Wobble,
    begin: Begin,
}

fn scenes() -> Vec<Scene> {
    let a = built_in("trainer-high-2");
    let low = built_in("caster-low-2");
    let half = a.wing.span_m / 2.0;
    let mut lane = eastward(&a);
    on(&mut lane, 60.0);
    let row = |y: f64| {
        (0..=6)
            .map(|i| ([30.0 + 3.0 * f64::from(i), y + 0.1], 0.1))
            .collect::<Vec<_>>()
    };
    let mut corner = eastward(&low);
    on(&mut corner, 30.0);
    bend(&mut corner, 9.0, std::f64::consts::FRAC_PI_2);
    on(&mut corner, 20.0);
    let beside = |path: &DrivenPath, a: &Aircraft, at_m: f64, aside: f64, radius: f64| {
        let y = aside.signum() * (a.wing.span_m / 2.0 + aside.abs() + radius);
        let p = path.pose_at(at_m).place(a.gear.wheelbase_m, xy(0.2, y));
        ([p.x, p.y], radius)
    };
    let corner_posts = vec![
        beside(&corner, &low, 36.0, 0.6, 0.2),
        beside(&corner, &low, 44.0, -0.9, 0.15),
        beside(&corner, &low, 58.0, 0.8, 0.1),
    ];
    let mut tight = eastward(&a);
    on(&mut tight, 20.0);
    bend(&mut tight, 5.0, -1.4);
    on(&mut tight, 20.0);
    let tight_posts = vec![
        beside(&tight, &a, 25.0, 0.7, 0.1),
        beside(&tight, &a, 30.0, -0.5, 0.1),
        ([28.0, 1.5], 0.2),
    ];
    vec![
        Scene {
            name: "a row of posts along a lane",
            aircraft: a.clone(),
            path: lane.clone(),
            posts: row(half + 0.8),
            wobble: wobble(-0.1, 0.4, 20.0),
            begin: Begin::UnderWay,
        },
        Scene {
            name: "the same from the stand",
            aircraft: a.clone(),
            path: lane,
            posts: row(half + 0.6),
            wobble: wobble(0.25, 0.3, 20.0),
            begin: Begin::Parked,
        },
        Scene {
            name: "posts about a corner",
            aircraft: low,
            path: corner,
            posts: corner_posts,
            wobble: wobble(-0.2, 0.35, 10.0),
            begin: Begin::UnderWay,
        },
        Scene {
            name: "posts about a tight turn",
            aircraft: a,
            path: tight,
            posts: tight_posts,
            wobble: wobble(0.1, 0.25, 15.0),
            begin: Begin::Parked,
        },
    ]
}

fn question(s: &Scene, drives: u32) -> Value {
    let pieces: Vec<Value> = s
        .path
        .pieces
        .iter()
        .map(|p| {
            let curvature = match p.motion {
                Motion::Arc { curvature_per_m } => curvature_per_m,
                _ => 0.0,
            };
            json!([p.length_m, curvature])
        })
        .collect();
    let outlines: Vec<Vec<[f64; 2]>> = parts::parts(&s.aircraft)
        .iter()
        .map(|p| p.outline.iter().map(|q| [q.x, q.y]).collect())
        .collect();
    json!({
        "what": "drives", "drives": drives, "pieces": pieces, "wheelbase_m": s.path.wheelbase_m, "parts": outlines,
        "posts": s.posts, "parked": s.begin == Begin::Parked,
        "offset_m": s.wobble.offset_m, "spread_m": s.wobble.spread_m, "correlation_m": s.wobble.correlation_m,
    })
}

/// Two counts of the same odds differ by more than `z` spreads of their difference once in many times.
fn apart(mine: &Chance, theirs: f64, drives: f64) -> f64 {
    let n = f64::from(mine.drives);
    let both = (mine.share() * n + theirs * drives) / (n + drives);
    let spread = (both * (1.0 - both) * (1.0 / n + 1.0 / drives)).sqrt();
    (mine.share() - theirs) / spread.max(1e-12)
}

#[test]
fn drives_written_a_second_time_touch_as_often() {
    let Some(python) = python() else { return };
    let drives = 4000;
    for s in scenes() {
        let theirs = answer(&python, "wobble.py", &question(&s, drives));
        let named = |i: usize| format!("post {}", i + 1);
        let obstacles = s.posts.iter().enumerate();
        let obstacles = obstacles
            .map(|(i, (at, r))| post(&named(i), xy(at[0], at[1]), *r))
            .collect();
        let o = told(&s.aircraft, &s.path, obstacles, s.wobble, 40_000, s.begin);
        let n = f64::from(drives);
        let whole = theirs["any"].as_f64().expect("a share");
        println!(
            "{}: drives {:.4}, Python {whole:.4}, {:+.1} spreads apart; bound {:.4}",
            s.name,
            o.as_mapped.share(),
            apart(&o.as_mapped, whole, n),
            o.as_mapped.at_most.expect("a bound"),
        );
        assert!(whole > 0.005 && whole < 0.9, "a scene that shows something");
        // Seeds are fixed: what passes once passes always. Four spreads leave room for neither error nor luck.
        assert!(apart(&o.as_mapped, whole, n).abs() < 4.0, "{}", s.name);
        for (i, share) in theirs["posts"].as_array().expect("posts").iter().enumerate() {
            let share = share.as_f64().expect("a share");
            let found = o.obstacles.iter().find(|b| b.name.contains(&format!("({})", named(i))));
            match found {
                Some(b) => assert!(apart(&b.as_mapped, share, n).abs() < 4.0, "{}: {b:?}, {share}", s.name),
                None => assert!(share == 0.0, "{}: post {} left out, {share}", s.name, i + 1),
            }
        }
    }
}
