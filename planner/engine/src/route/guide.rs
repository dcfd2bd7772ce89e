//! The mapped line that a way follows, with the leg that each piece of it belongs to.

use toeline_model::frame::Xy;
use toeline_model::planar;

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
