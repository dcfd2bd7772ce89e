//! Mean and covariance of a wobble along the way, carried from station to station: the deviation, its slope and bend, and
//! how far the heading is from that of the driven path.
//!
//! To the first order about the driven path the heading's difference δ follows
//! δ' = (cos β·(y' − δ) − κ·sin β·y)/d, y the deviation, κ the curvature, d the wheelbase: the tractrix equation
//! ψ' = v·sin(θ − ψ)/d with v = 1 − κy and θ turned by y'. (Derived; the tests hold it against the exact drives.)

use super::stations::{Station, Stations};
use super::wander::{self, NOISE};
use toeline_model::math;

/// Deviation, slope, bend, heading: metres, 1, 1/m, radians.
pub(super) type Vector = [f64; 4];
type Matrix = [Vector; 4];

/// What is known of all drives at a station.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moment {
    pub(super) mean: Vector,
    pub(super) covariance: Matrix,
    /// δ' as a combination of the four.
    pub(super) turning: Vector,
}

impl Moment {
    /// Mean of a combination.
    pub(super) fn mean_of(&self, weights: &Vector) -> f64 {
        (0..4).map(|i| weights[i] * self.mean[i]).sum()
    }

    /// Covariance of two combinations.
    pub(super) fn covariance_of(&self, a: &Vector, b: &Vector) -> f64 {
        (0..4)
            .flat_map(|i| (0..4).map(move |j| (i, j)))
            .map(|(i, j)| a[i] * b[j] * self.covariance[i][j])
            .sum()
    }

    /// Mean and spread of one of the four.
    pub(super) fn of(&self, i: usize) -> (f64, f64) {
        (self.mean[i], self.covariance[i][i].max(0.0).sqrt())
    }

    /// The farthest that one of the four is from 0 within so many spreads.
    pub(super) fn within(&self, i: usize, spreads: f64) -> f64 {
        let (mean, spread) = self.of(i);
        mean.abs() + spreads * spread
    }
}

fn product(a: &Matrix, b: &Matrix) -> Matrix {
    a.map(|row| core::array::from_fn(|j| (0..4).map(|k| row[k] * b[k][j]).sum()))
}

fn apply(a: &Matrix, v: &Vector) -> Vector {
    a.map(|row| (0..4).map(|k| row[k] * v[k]).sum())
}

/// e^(m·s) for a short way.
fn exponential(m: &Matrix, s: f64) -> Matrix {
    let mut sum: Matrix = core::array::from_fn(|i| core::array::from_fn(|j| f64::from(u8::from(i == j))));
    let mut term = sum;
    for n in 1..=10 {
        term = product(&term, m).map(|row| row.map(|v| v * s / f64::from(n)));
        for (row, t) in sum.iter_mut().zip(&term) {
            row.iter_mut().zip(t).for_each(|(v, t)| *v += t);
        }
    }
    sum
}

fn turning(s: &Station, wheelbase_m: f64) -> Vector {
    let (sin, cos) = math::sin_cos(s.beta_rad);
    let d = wheelbase_m;
    [-s.curvature_per_m * sin / d, cos / d, 0.0, -cos / d]
}

/// The moments at every station.
pub(super) fn moments(stations: &Stations, spread_m: f64, parked: bool) -> Vec<Moment> {
    let (a, d) = (stations.rate_per_m, stations.wheelbase_m);
    let noise = NOISE * a * a * a * a * a * spread_m * spread_m;
    let mut list: Vec<Moment> = Vec::with_capacity(stations.list.len());
    for (i, s) in stations.list.iter().enumerate() {
        let mut now = Moment {
            mean: [0.0; 4],
            covariance: [[0.0; 4]; 4],
            turning: turning(s, d),
        };
        let begins = i == 0 || stations.list[i - 1].pushed || stations.list[i - 1].stretch != s.stretch;
        if s.pushed {
            now.turning = [0.0; 4];
        } else if begins {
            if !parked && s.stretch == 1 {
                now.mean[0] = s.steady.0;
                now.covariance = settled(a, spread_m);
            }
        } else {
            let before = &stations.list[i - 1];
            let last = &list[i - 1];
            let step = s.at_m - before.at_m;
            let (t0, t1) = (turning(before, d), turning(s, d));
            // The bend of the way may jump between pieces, where the step has no length.
            let m: Matrix = [
                [0.0, 1.0, 0.0, 0.0],
                [0.0, 0.0, 1.0, 0.0],
                [-a * a * a, -3.0 * a * a, -3.0 * a, 0.0],
                core::array::from_fn(|j| (t0[j] + t1[j]) / 2.0),
            ];
            let on = exponential(&m, step);
            // About the offset the wander is free; the offset itself turns the heading where the way bends.
            let offset = s.steady.2;
            let free = [last.mean[0] - offset, last.mean[1], last.mean[2], last.mean[3]];
            let push = apply(&exponential(&m, step / 2.0), &[0.0, 0.0, 0.0, m[3][0] * offset * step]);
            let free = apply(&on, &free);
            now.mean = core::array::from_fn(|j| free[j] + push[j]);
            now.mean[0] += offset;
            now.covariance = carried(&on, &last.covariance);
            // Simpson's rule for what the noise adds.
            for (part, weight) in [(0.0, 1.0), (0.5, 4.0), (1.0, 1.0)] {
                let e = exponential(&m, step * part);
                for (j, row) in now.covariance.iter_mut().enumerate() {
                    for (k, v) in row.iter_mut().enumerate() {
                        *v += noise * step * weight / 6.0 * e[j][2] * e[k][2];
                    }
                }
            }
        }
        list.push(now);
    }
    list
}

fn carried(on: &Matrix, covariance: &Matrix) -> Matrix {
    let half = product(on, covariance);
    core::array::from_fn(|i| core::array::from_fn(|j| (0..4).map(|k| half[i][k] * on[j][k]).sum()))
}

/// Covariance under way, the axle settled behind: δ = y' to the first order.
fn settled(a: f64, spread_m: f64) -> Matrix {
    let unit = [spread_m, spread_m * a, spread_m * a * a, spread_m * a];
    let from = [0, 1, 2, 1];
    core::array::from_fn(|i| core::array::from_fn(|j| unit[i] * unit[j] * wander::SETTLED[from[i]][from[j]]))
}
