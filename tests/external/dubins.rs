//! The shortest ways of bounded curvature in closed form against a search that knows no formula: the angle of the first arc
//! is walked through in small steps, and where the rest fits (a straight tangent to the last circle, or a middle circle that
//! touches it) the angle is found by bisection. By Dubins (1957) the shortest way is among these two kinds.

use core::f64::consts::{PI, TAU};
use toeline_engine::route::dubins;
use toeline_model::Yaw;
use toeline_model::frame::{Xy, xy};
use toeline_model::path::{DrivenPath, Pose};

const STEPS: usize = 720;

/// Angle turned from one direction to another in one sense (1 left, -1 right), 0..2π.
fn turned(from: f64, to: f64, sense: f64) -> f64 {
    let a = (sense * (to - from)).rem_euclid(TAU);
    if a > TAU - 1e-7 { 0.0 } else { a }
}

fn angle(v: Xy) -> f64 {
    v.y.atan2(v.x)
}

fn unit(a: f64) -> Xy {
    xy(a.cos(), a.sin())
}

/// All roots of a function on 0..2π that changes its sign there.
fn roots(f: impl Fn(f64) -> f64) -> Vec<f64> {
    let mut list = Vec::new();
    for k in 0..STEPS {
        let (mut a, mut b) = (TAU * k as f64 / STEPS as f64, TAU * (k + 1) as f64 / STEPS as f64);
        if f(a) == 0.0 {
            list.push(a);
        }
        if f(a) * f(b) < 0.0 {
            for _ in 0..60 {
                let m = (a + b) / 2.0;
                if f(a) * f(m) <= 0.0 { b = m } else { a = m }
            }
            list.push((a + b) / 2.0);
        }
    }
    list
}

fn shortest(h: f64, to: Xy, arrive: f64, r: f64) -> f64 {
    let mut best = f64::INFINITY;
    for s1 in [1.0, -1.0] {
        let first = unit(h).left() * (s1 * r);
        let after = |t: f64| {
            let d = h + s1 * t;
            (first - unit(d).left() * (s1 * r), d)
        };
        for s2 in [1.0, -1.0] {
            let c = to + unit(arrive).left() * (s2 * r);
            let off = |t: f64| {
                let (p, d) = after(t);
                unit(d).cross(c - p) - s2 * r
            };
            for t in roots(off) {
                let (p, d) = after(t);
                let straight = unit(d).dot(c - p);
                if straight >= -1e-9 {
                    best = best.min(r * t + straight.max(0.0) + r * turned(d, arrive, s2));
                }
            }
        }
        let c = to + unit(arrive).left() * (s1 * r);
        let middle = |t: f64| {
            let (p, d) = after(t);
            p - unit(d).left() * (s1 * r)
        };
        for t in roots(|t| middle(t).distance(c) - 2.0 * r) {
            let (p, m) = (after(t).0, middle(t));
            let touch = m.lerp(c, 0.5);
            let mid = turned(angle(p - m), angle(touch - m), -s1);
            let last = turned(angle(touch - c), angle(to - c), s1);
            best = best.min(r * (t + mid + last));
        }
    }
    best
}

#[test]
fn the_closed_form_is_as_short_as_a_search_without_formulas_and_arrives() {
    let mut seed = 20_261_129_u64;
    let mut roll = || {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (seed >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut worst = 0.0_f64;
    for case in 0..3000 {
        let r = 4.0 + 8.0 * roll();
        let (h, arrive) = (TAU * roll() - PI, TAU * roll() - PI);
        // Half of them nearer than two circles, where the ways with a middle circle are.
        let far = if case % 2 == 0 { 3.0 * r } else { 10.0 * r };
        let to = xy(far * (2.0 * roll() - 1.0), far * (2.0 * roll() - 1.0));
        let list = dubins::words(xy(0.0, 0.0), Yaw::from_rad(h), to, Yaw::from_rad(arrive), r);
        let reference = shortest(h, to, arrive, r);
        let ours = list[0].length_m();
        worst = worst.max((ours - reference).abs());
        assert!(
            (ours - reference).abs() < 1e-6,
            "case {case}: {ours} m, search {reference} m"
        );
        for word in &list {
            let start = Pose {
                nose: xy(0.0, 0.0),
                heading_rad: Yaw::from_rad(h),
            };
            let mut path = DrivenPath::new(1.5, start);
            word.append(&mut path, Yaw::from_rad(h), 0);
            assert!(path.end().nose.distance(to) < 1e-5, "case {case}");
            let arrived = path.direction_at(path.length_m());
            assert!(arrived.to_rad(Yaw::from_rad(arrive)).abs() < 1e-6, "case {case}");
            assert!((path.length_m() - word.length_m()).abs() < 1e-6, "case {case}");
        }
    }
    println!("3000 pairs of poses, largest difference {worst:.1e} m");
}
