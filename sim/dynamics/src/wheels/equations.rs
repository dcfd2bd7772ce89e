//! The four linear equations of a round: the level velocity of the body at the ground, its yaw rate and the swivel's rate.
//!
//! Every number in them is even or odd in a mirror, and stays so through elimination without a change of order: mirrored
//! equations have the mirrored solution to the last bit.

use super::Contact;
use super::newton::Round;

/// Symmetric 4 by 4 equations by their upper half, row by row, and their right side.
#[derive(Clone, Copy)]
pub(super) struct Equations {
    pub(super) m: [f64; 10],
    pub(super) right: [f64; 4],
}

impl Equations {
    /// What a wheel adds.
    #[inline(always)]
    pub(super) fn of(contact: &Contact, round: &Round) -> Equations {
        let [a, b] = contact.rows;
        let [xx, xy, yy] = round.falls;
        let along = [a.x * xx + b.x * xy, a.y * xx + b.y * xy, a.yaw * xx + b.yaw * xy];
        let across = [a.x * xy + b.x * yy, a.y * xy + b.y * yy, a.yaw * xy + b.yaw * yy];
        let [j, k] = round.impulse;
        Equations {
            m: [
                along[0] * a.x + across[0] * b.x,
                along[0] * a.y + across[0] * b.y,
                along[0] * a.yaw + across[0] * b.yaw,
                across[0] * b.swivel,
                along[1] * a.y + across[1] * b.y,
                along[1] * a.yaw + across[1] * b.yaw,
                across[1] * b.swivel,
                along[2] * a.yaw + across[2] * b.yaw,
                across[2] * b.swivel,
                yy * b.swivel * b.swivel,
            ],
            right: [
                a.x * j + b.x * k,
                a.y * j + b.y * k,
                a.yaw * j + b.yaw * k,
                b.swivel * k,
            ],
        }
    }

    /// The same of a main wheel, which points along the body and has no part in the swivel.
    #[inline(always)]
    pub(super) fn of_main(contact: &Contact, round: &Round) -> Equations {
        let (a, b) = (contact.rows[0].yaw, contact.rows[1].yaw);
        let [xx, xy, yy] = round.falls;
        let (forward, left) = (a * xx + b * xy, a * xy + b * yy);
        let [j, k] = round.impulse;
        Equations {
            m: [xx, xy, forward, 0.0, yy, left, 0.0, a * forward + b * left, 0.0, 0.0],
            right: [j, k, a * j + b * k, 0.0],
        }
    }

    /// The sum.
    #[inline(always)]
    pub(super) fn plus(&self, other: &Equations) -> Equations {
        let mut sum = *self;
        for (a, b) in sum.m.iter_mut().zip(&other.m) {
            *a += b;
        }
        for (a, b) in sum.right.iter_mut().zip(&other.right) {
            *a += b;
        }
        sum
    }

    /// The solution, its last number kept within bounds and the others as they follow: the swivel's stop.
    #[inline(always)]
    pub(super) fn solved(&self, least: f64, most: f64) -> [f64; 4] {
        let [a, b, c, d, e, f, g, h, i, j] = self.m;
        let [p, q, r, s] = self.right;
        let first = 1.0 / a;
        let (fb, fc, fd) = (b * first, c * first, d * first);
        let (e, f, g, q) = (e - fb * b, f - fb * c, g - fb * d, q - fb * p);
        let (h, i, r) = (h - fc * c, i - fc * d, r - fc * p);
        let (j, s) = (j - fd * d, s - fd * p);
        let second = 1.0 / e;
        let (ff, fg) = (f * second, g * second);
        let (h, i, r) = (h - ff * f, i - ff * g, r - ff * q);
        let (j, s) = (j - fg * g, s - fg * q);
        let third = 1.0 / h;
        let fi = i * third;
        let (j, s) = (j - fi * i, s - fi * r);
        let swivel = (s / j).max(least).min(most);
        let yaw = r * third - fi * swivel;
        let left = q * second - (ff * yaw + fg * swivel);
        let forward = p * first - (fb * left + (fc * yaw + fd * swivel));
        [forward, left, yaw, swivel]
    }
}
