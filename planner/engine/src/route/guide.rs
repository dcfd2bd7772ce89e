//! The mapped line that a way follows, with the leg that each piece of it belongs to.

use toeline_model::frame::Xy;
use toeline_model::{DrivenPath, planar};

/// A polyline to follow; `legs[i]` belongs to the piece from point i to point i + 1.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Guide {
    pub(super) points: Vec<Xy>,
    pub(super) legs: Vec<usize>,
}

impl Guide {
    /// Adds a line; a first point that repeats the last one is left out.
    pub(super) fn extend(&mut self, line: &[Xy], leg: usize) {
        for p in line {
            match self.points.last() {
                // Closer than a tenth of a millimetre has no direction worth following.
                Some(last) if last.distance(*p) < 1e-4 => {}
                Some(_) => {
                    self.points.push(*p);
                    self.legs.push(leg);
                }
                None => self.points.push(*p),
            }
        }
    }

    /// Length, metres.
    pub(super) fn length_m(&self) -> f64 {
        planar::line_length(&self.points)
    }

    /// Point and direction at a way along the line, clamped to it; `None` with fewer than two points.
    pub(super) fn at(&self, way_m: f64) -> Option<(Xy, toeline_model::Yaw)> {
        let mut left = way_m.max(0.0);
        let last = self.points.len().checked_sub(2)?;
        for (i, w) in self.points.windows(2).enumerate() {
            let length = w[0].distance(w[1]);
            if left <= length || i == last {
                let t = (left / length).min(1.0);
                return Some((w[0].lerp(w[1], t), (w[1] - w[0]).direction()));
            }
            left -= length;
        }
        None
    }

    /// The leg at a way along the line; `None` on an empty line.
    pub(super) fn leg_at(&self, way_m: f64) -> Option<usize> {
        let mut left = way_m;
        let piece = self.points.windows(2).position(|w| {
            left -= w[0].distance(w[1]);
            left <= 0.0
        });
        self.legs
            .get(piece.unwrap_or(self.legs.len().saturating_sub(1)))
            .copied()
    }

    /// The part between two ways.
    pub(super) fn slice(&self, from_m: f64, to_m: f64) -> Guide {
        let mut out = Guide::default();
        let mut way = 0.0;
        for (i, w) in self.points.windows(2).enumerate() {
            let length = w[0].distance(w[1]);
            let (a, b) = ((from_m - way).max(0.0), (to_m - way).min(length));
            if a < b {
                out.extend(
                    &[w[0].lerp(w[1], a / length), w[0].lerp(w[1], b / length)],
                    self.legs[i],
                );
            }
            way += length;
        }
        out
    }
}

/// How far a place of the path can lie from where the lengths before and after it put it, metres (ours): a turn of half a
/// circle makes its path longer by so much, and a corner before it may have made that shorter.
const LOOSE_M: f64 = 30.0;

/// Where along the path a point lies that is `guide_m` along the guide. `known` are two places around it, each by its way
/// along the guide and along the path: what these differ by in between, corners and turns may have moved the point by. So
/// a way that comes to one point twice tells the two apart. `None` when there is no path.
pub(super) fn along_path(
    path: &DrivenPath,
    point: Xy,
    guide_m: f64,
    (low, high): ((f64, f64), (f64, f64)),
    not_before_m: f64,
) -> Option<f64> {
    let longer_m = (high.1 - low.1) - (high.0 - low.0);
    let about_m = low.1 + guide_m - low.0;
    let from_m = (about_m + longer_m.min(0.0) - LOOSE_M).max(low.1).max(not_before_m);
    let to_m = (about_m + longer_m.max(0.0) + LOOSE_M).min(high.1);
    let (s, _) = path.nearest(point, from_m.min(to_m), to_m)?;
    Some(s.max(not_before_m))
}
