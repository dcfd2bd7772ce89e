//! Which part of the field is shown, and where a place of the field lies on the sheet.

use super::sheet::Spot;
use toeline_model::frame::{Xy, xy};
use toeline_model::planar::bounds;

/// A box on the sheet, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rect {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) width: f64,
    pub(crate) height: f64,
}

impl Rect {
    /// A box about a middle.
    pub(crate) fn about((x, y): Spot, width: f64, height: f64) -> Rect {
        Rect {
            x: x - width / 2.0,
            y: y - height / 2.0,
            width,
            height,
        }
    }

    /// Its middle.
    pub(crate) fn middle(&self) -> Spot {
        (self.x + self.width / 2.0, self.y + self.height / 2.0)
    }

    /// Whether two boxes share ground.
    pub(crate) fn meets(&self, o: &Rect) -> bool {
        self.x < o.x + o.width && o.x < self.x + self.width && self.y < o.y + o.height && o.y < self.y + self.height
    }

    /// Whether another box lies within.
    pub(crate) fn holds(&self, o: &Rect) -> bool {
        o.x >= self.x && o.y >= self.y && o.x + o.width <= self.x + self.width && o.y + o.height <= self.y + self.height
    }

    /// Whether a spot lies within, at least `inside` from the edge.
    pub(crate) fn has(&self, (x, y): Spot, inside: f64) -> bool {
        x >= self.x + inside
            && x <= self.x + self.width - inside
            && y >= self.y + inside
            && y <= self.y + self.height - inside
    }
}

/// Shows a part of the field in a box of the sheet, true north up.
#[derive(Clone, Copy, Debug)]
pub(crate) struct View {
    /// Box on the sheet.
    pub(crate) on: Rect,
    /// Middle of what is shown, local metres.
    middle: Xy,
    /// Millimetres on the sheet for a metre of ground.
    pub(crate) scale: f64,
}

/// Least ground shown across, metres (ours: below that a chart shows nothing but the aeroplane).
const LEAST_ACROSS_M: f64 = 80.0;

impl View {
    /// A view that shows all of some places with a margin of ground around them.
    pub(crate) fn of(places: impl IntoIterator<Item = Xy>, margin_m: f64, on: Rect) -> View {
        let finite = places.into_iter().filter(|p| p.x.is_finite() && p.y.is_finite());
        let (lo, hi) = bounds(finite).unwrap_or((xy(0.0, 0.0), xy(0.0, 0.0)));
        let across = (hi.x - lo.x + 2.0 * margin_m).max(LEAST_ACROSS_M);
        let up = (hi.y - lo.y + 2.0 * margin_m).max(LEAST_ACROSS_M * on.height / on.width);
        View {
            on,
            middle: lo.lerp(hi, 0.5),
            scale: (on.width / across).min(on.height / up),
        }
    }

    /// Where a place lies on the sheet.
    pub(crate) fn spot(&self, p: Xy) -> Spot {
        let (cx, cy) = self.on.middle();
        (
            cx + (p.x - self.middle.x) * self.scale,
            cy - (p.y - self.middle.y) * self.scale,
        )
    }

    /// Where places lie on the sheet.
    pub(crate) fn spots(&self, points: &[Xy]) -> Vec<Spot> {
        points.iter().map(|p| self.spot(*p)).collect()
    }

    /// Where places lie on the sheet, without those that are nearer than `apart` mm to the one before; the last one stays.
    pub(crate) fn thin_spots(&self, points: &[Xy], apart: f64) -> Vec<Spot> {
        let mut out: Vec<Spot> = Vec::new();
        for (i, p) in points.iter().enumerate() {
            let spot = self.spot(*p);
            let far = out
                .last()
                .is_none_or(|(x, y)| (spot.0 - x).abs().max((spot.1 - y).abs()) >= apart);
            if far || i + 1 == points.len() {
                out.push(spot);
            }
        }
        out
    }

    /// Corners of the ground that is shown, local metres: lower left and upper right.
    pub(crate) fn ground(&self) -> (Xy, Xy) {
        let half = xy(self.on.width, self.on.height) * (0.5 / self.scale);
        (self.middle - half, self.middle + half)
    }

    /// Whether the box around some points shares ground with what is shown.
    pub(crate) fn shows(&self, points: &[Xy]) -> bool {
        let (lo, hi) = self.ground();
        bounds(points.iter().copied()).is_some_and(|(a, b)| a.x <= hi.x && b.x >= lo.x && a.y <= hi.y && b.y >= lo.y)
    }

    /// Spots along a line that are in the box, about every `step` mm, with the direction of the line on the sheet.
    pub(crate) fn along(&self, line: &[Xy], step: f64) -> Vec<(Spot, Spot)> {
        let mut out = Vec::new();
        let mut left_over = step / 2.0;
        for w in line.windows(2) {
            let (a, b) = (self.spot(w[0]), self.spot(w[1]));
            let (dx, dy) = (b.0 - a.0, b.1 - a.1);
            let length = (dx * dx + dy * dy).sqrt();
            // Nothing of a piece can be seen when its box is away from ours; long runways would cost much.
            if length <= 0.0 || !self.shows(w) {
                continue;
            }
            let mut s = left_over;
            while s < length {
                let spot = (a.0 + dx * s / length, a.1 + dy * s / length);
                if self.on.has(spot, 1.0) {
                    out.push((spot, (dx / length, dy / length)));
                }
                s += step;
            }
            left_over = s - length;
        }
        out
    }
}
