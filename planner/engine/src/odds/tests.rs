//! What cannot be seen from outside: the process itself, and the moments against exact drives.

use super::seed::Stream;
use super::wander::{Between, Chain, KNOT_T, SETTLED, added, taken_up, transition};

fn kernel(t: f64) -> f64 {
    (1.0 + t + t * t / 3.0) * (-t).exp()
}

#[test]
fn the_chain_keeps_its_covariance_and_has_materns_kernel() {
    // No longer step is taken than from knot to knot.
    for t in [KNOT_T, 0.01] {
        let (f, q) = (transition(t), added(t));
        for i in 0..3 {
            // From the settled state it settles again: F S Fᵀ + Q = S.
            for j in 0..3 {
                let mut v = q[i][j];
                for k in 0..3 {
                    for l in 0..3 {
                        v += f[i][k] * SETTLED[k][l] * f[j][l];
                    }
                }
                assert!((v - SETTLED[i][j]).abs() < 1e-9, "t {t}, {i} {j}: {v}");
            }
        }
    }
    for t in [KNOT_T, 1.0, 4.0] {
        let f = transition(t);
        // Covariance of the value with the value t later: first row of F S.
        let lagged: f64 = (0..3).map(|k| f[0][k] * SETTLED[k][0]).sum();
        assert!((lagged - kernel(t)).abs() < 1e-12, "t {t}: {lagged}");
    }
}

#[test]
fn between_knots_less_than_a_thousandth_of_the_spread_is_left_out() {
    // What remains unknown of the value half way, with both ends known: conditional variance by one step of a Kalman
    // filter, from the middle to the far end.
    let half = KNOT_T / 2.0;
    let (f, q) = (transition(half), added(half));
    let mut end = q;
    for (i, row) in end.iter_mut().enumerate() {
        for (j, v) in row.iter_mut().enumerate() {
            for k in 0..3 {
                for l in 0..3 {
                    *v += f[i][k] * q[k][l] * f[j][l];
                }
            }
        }
    }
    let cross: [f64; 3] = core::array::from_fn(|j| (0..3).map(|l| q[0][l] * f[j][l]).sum());
    let left_out = (q[0][0] - quadratic(&end, &cross)).max(0.0).sqrt();
    assert!(left_out > 0.0 && left_out < 1e-3, "{left_out}");
    // And the polynomial is that most likely value, not another: its weights against the regression of the middle on
    // both ends, sampled.
    let chain = Chain::new();
    let mut worst: f64 = 0.0;
    for pupil in 0..2000 {
        let mut knots = Vec::new();
        chain.draw(Stream::of(3, pupil), 0, 1, false, &mut knots);
        let mean: [f64; 3] = core::array::from_fn(|i| (0..3).map(|k| f[i][k] * knots[0][k]).sum());
        let on: [f64; 3] = core::array::from_fn(|i| (0..3).map(|k| f[i][k] * mean[k]).sum());
        let rest: [f64; 3] = core::array::from_fn(|i| knots[1][i] - on[i]);
        let likely = mean[0] + bilinear(&end, &cross, &rest);
        worst = worst.max((Between::at(half).value(&knots) - likely).abs());
    }
    assert!(worst < 1e-3, "{worst}");
}

/// v·M⁻¹·w by elimination.
fn bilinear(m: &[[f64; 3]; 3], v: &[f64; 3], w: &[f64; 3]) -> f64 {
    let mut a: Vec<[f64; 4]> = (0..3).map(|i| [m[i][0], m[i][1], m[i][2], w[i]]).collect();
    for i in 0..3 {
        for j in i + 1..3 {
            let ratio = a[j][i] / a[i][i];
            let row = a[i];
            for (below, above) in a[j].iter_mut().zip(row).skip(i) {
                *below -= ratio * above;
            }
        }
    }
    let mut x = [0.0; 3];
    for i in (0..3).rev() {
        x[i] = (a[i][3] - (i + 1..3).map(|k| a[i][k] * x[k]).sum::<f64>()) / a[i][i];
    }
    (0..3).map(|i| v[i] * x[i]).sum()
}

fn quadratic(m: &[[f64; 3]; 3], v: &[f64; 3]) -> f64 {
    bilinear(m, v, v)
}

#[test]
fn the_polynomial_meets_its_knots_in_value_slope_and_bend() {
    let mut knots = Vec::new();
    Chain::new().draw(Stream::of(1, 1), 0, 3, true, &mut knots);
    assert_eq!(knots[0], [0.0; 3]);
    let value = |t: f64| {
        let b = Between::at(t);
        (b.value(&knots[b.knot..]), b.slope(&knots[b.knot..]))
    };
    for (k, knot) in knots.iter().enumerate().take(3).skip(1) {
        let t = KNOT_T * k as f64;
        let e = 1e-6;
        for at in [t - e, t + e] {
            assert!((value(at).0 - knot[0]).abs() < 1e-5);
            assert!((value(at).1 - knot[1]).abs() < 1e-4);
        }
        let bend = (value(t + 1e-4).1 - value(t - 1e-4).1) / 2e-4;
        assert!((bend - knot[2]).abs() < 1e-2, "{bend} {}", knot[2]);
    }
}

#[test]
fn the_offset_is_taken_up_without_a_jump_in_value_or_slope() {
    assert_eq!(taken_up(0.0, true), (0.0, 0.0));
    assert_eq!(taken_up(0.0, false), (1.0, 0.0));
    let (share, slope) = taken_up(2.0, true);
    let numeric = (taken_up(2.0 + 1e-5, true).0 - taken_up(2.0 - 1e-5, true).0) / 2e-5;
    assert!((slope - numeric).abs() < 1e-8 && share > 0.3 && share < 0.4);
    assert!(taken_up(30.0, true).0 > 0.999_999);
}
