//! The wander: how a pupil's nose wheel runs beside the line, as a random process along the way.
//!
//! A stationary Gaussian process of Matérn's kernel with ν = 5/2: correlation (1 + t + t²/3)·e^(−t) over a distance
//! r = t/a, a = √5/ℓ, ℓ the correlation length. It is the solution of (d/dr + a)³ w = white noise, a chain of Markov in
//! (w, w', w''). With ν = 1/2 the nose wheel's way would have no direction and with 3/2 no curvature; with 5/2 both are
//! continuous, so that a nose wheel can run along it. (Kernel and state form: Rasmussen and Williams 2006, chapter 4;
//! Hartikainen and Särkkä 2010; from memory. The tests hold them against the kernel.)
//!
//! Here way is measured in t = a·r and the process has unit spread; the steady offset and the spread are applied where
//! it is used. The process is drawn exactly at knots ℓ/10 apart and runs between them along the fifth-degree polynomial
//! that has the drawn value, slope and bend at both ends: its most likely way. What is left out between knots is below
//! 1/1000 of the spread (computed in the tests).

use super::seed::Stream;
use toeline_model::math;

/// Value, slope and bend, in units of spread and of t.
pub(super) type State = [f64; 3];

/// Knots in one correlation length.
const KNOTS_A_LENGTH: f64 = 10.0;
/// Distance between knots in t.
pub(super) const KNOT_T: f64 = SQRT_5 / KNOTS_A_LENGTH;
const SQRT_5: f64 = 2.236_067_977_499_79;
/// Covariance of the state in the long run.
pub(super) const SETTLED: [[f64; 3]; 3] = [[1.0, 0.0, -1.0 / 3.0], [0.0, 1.0 / 3.0, 0.0], [-1.0 / 3.0, 0.0, 1.0]];
/// Strength of the white noise that keeps the spread at 1.
pub(super) const NOISE: f64 = 16.0 / 3.0;
/// Nodes and weights of Gauss and Legendre's rule on 0..1.
const NODES: [(f64, f64); 5] = [
    (0.046_910_077_030_668, 0.118_463_442_528_095),
    (0.230_765_344_947_158, 0.239_314_335_249_683),
    (0.5, 0.284_444_444_444_444),
    (0.769_234_655_052_842, 0.239_314_335_249_683),
    (0.953_089_922_969_332, 0.118_463_442_528_095),
];

/// a = √5/ℓ, 1/m.
pub(super) fn rate_per_m(correlation_m: f64) -> f64 {
    SQRT_5 / correlation_m
}

/// How the state runs on over `t` without noise.
pub(super) fn transition(t: f64) -> [[f64; 3]; 3] {
    // e^(At) with A = N − 1, N³ = 0.
    let e = math::exp(-t);
    let h = t * t / 2.0;
    [
        [e * (1.0 + t + h), e * (t + 2.0 * h), e * h],
        [-e * h, e * (1.0 + t - 2.0 * h), e * (t - h)],
        [e * (h - t), e * (2.0 * h - 3.0 * t), e * (1.0 - 2.0 * t + h)],
    ]
}

/// Covariance of what the noise adds over `t`.
pub(super) fn added(t: f64) -> [[f64; 3]; 3] {
    // By quadrature: the difference of SETTLED and what is left of it loses all its figures when t is small.
    let mut q = [[0.0; 3]; 3];
    for (x, weight) in NODES {
        let f = transition(t * x);
        for (i, row) in q.iter_mut().enumerate() {
            for (j, v) in row.iter_mut().enumerate() {
                *v += NOISE * t * weight * f[i][2] * f[j][2];
            }
        }
    }
    q
}

/// Lower triangle L with L·Lᵀ = q.
fn lower(q: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let mut l = [[0.0; 3]; 3];
    for i in 0..3 {
        for j in 0..=i {
            let rest = q[i][j] - (0..j).map(|k| l[i][k] * l[j][k]).sum::<f64>();
            l[i][j] = if i == j { rest.max(0.0).sqrt() } else { rest / l[j][j] };
        }
    }
    l
}

fn times(m: &[[f64; 3]; 3], v: &[f64; 3]) -> State {
    m.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

/// Draws the states at the knots.
#[derive(Clone, Debug)]
pub(super) struct Chain {
    step: [[f64; 3]; 3],
    noise: [[f64; 3]; 3],
    settled: [[f64; 3]; 3],
}

impl Chain {
    pub(super) fn new() -> Chain {
        Chain {
            step: transition(KNOT_T),
            noise: lower(&added(KNOT_T)),
            settled: lower(&SETTLED),
        }
    }

    /// The states at knots 0 to `last`, numbers from `first` on in the stream: from the middle of the line when the
    /// aeroplane starts from a stand, from anywhere when it is under way already.
    pub(super) fn draw(&self, stream: Stream, first: u64, last: usize, parked: bool, into: &mut Vec<State>) {
        let mut state = if parked {
            [0.0; 3]
        } else {
            times(&self.settled, &stream.normals(first))
        };
        into.push(state);
        for k in 1..=last {
            let (on, new) = (
                times(&self.step, &state),
                times(&self.noise, &stream.normals(first + k as u64)),
            );
            state = [on[0] + new[0], on[1] + new[1], on[2] + new[2]];
            into.push(state);
        }
    }
}

/// Weights of the two knots' states around a place: for the value and for the slope by t.
#[derive(Clone, Copy, Debug)]
pub(super) struct Between {
    /// The knot before.
    pub(super) knot: usize,
    value: [f64; 6],
    slope: [f64; 6],
}

impl Between {
    /// The place `t` after knot 0.
    pub(super) fn at(t: f64) -> Between {
        let knot = (t / KNOT_T).floor().max(0.0);
        let x = t / KNOT_T - knot;
        let h = KNOT_T;
        // Hermite's polynomials of the fifth degree on 0..1.
        let half = |x: f64| {
            let (x2, x3) = (x * x, x * x * x);
            [
                1.0 + x3 * (-10.0 + x * (15.0 - 6.0 * x)),
                x + x3 * (-6.0 + x * (8.0 - 3.0 * x)),
                x2 * (0.5 + x * (-1.5 + x * (1.5 - 0.5 * x))),
            ]
        };
        let half_slope = |x: f64| {
            let x2 = x * x;
            [
                x2 * (-30.0 + x * (60.0 - 30.0 * x)),
                1.0 + x2 * (-18.0 + x * (32.0 - 15.0 * x)),
                x * (1.0 + x * (-4.5 + x * (6.0 - 2.5 * x))),
            ]
        };
        let (a, b) = (half(x), half(1.0 - x));
        let (c, d) = (half_slope(x), half_slope(1.0 - x));
        Between {
            knot: knot as usize,
            value: [a[0], a[1] * h, a[2] * h * h, b[0], -b[1] * h, b[2] * h * h],
            slope: [c[0] / h, c[1], c[2] * h, -d[0] / h, d[1], -d[2] * h],
        }
    }

    fn sum(weights: &[f64; 6], knots: &[State]) -> f64 {
        let (a, b) = (&knots[0], &knots[1]);
        (0..3).map(|i| weights[i] * a[i] + weights[i + 3] * b[i]).sum()
    }

    /// The value there; `knots` begins with the knot before.
    pub(super) fn value(&self, knots: &[State]) -> f64 {
        Between::sum(&self.value, knots)
    }

    /// The slope by t there.
    pub(super) fn slope(&self, knots: &[State]) -> f64 {
        Between::sum(&self.slope, knots)
    }
}

/// How much of the steady offset a pupil has taken up `t` after starting from a stand, and the slope of that by t. It
/// eases in as the process itself would from (0, 0, 0), so that its way can be driven too.
pub(super) fn taken_up(t: f64, parked: bool) -> (f64, f64) {
    if !parked {
        return (1.0, 0.0);
    }
    let e = math::exp(-t);
    (1.0 - e * (1.0 + t + t * t / 2.0), e * t * t / 2.0)
}
