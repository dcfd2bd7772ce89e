//! Where something may stand beside the pavement: what lamps and signs are placed by.

use crate::surface::{LANE_WIDTH_M, RUNWAY_WIDTH_M, STAND_WIDTH_M};
use toeline_model::planar::{bounds, closest_on_line, inside_ring};
use toeline_model::{Airfield, Xy};

/// A strip along a line with a box around it.
struct Strip<'a> {
    low: Xy,
    high: Xy,
    line: &'a [Xy],
    half_m: f64,
    /// Cut off square at its ends, as a runway is; others end round.
    square: bool,
}

impl Strip<'_> {
    fn within(&self, p: Xy, clear_m: f64) -> bool {
        let Some((q, _, _)) = closest_on_line(p, self.line) else {
            return false;
        };
        let last = self.line.len() - 1;
        let beyond = |end: Xy, inner: Xy| {
            let out = Xy::unit((end - inner).direction());
            (q == end).then(|| (p - end).dot(out))
        };
        let past = (self.square && last > 0)
            .then(|| beyond(self.line[0], self.line[1]).or_else(|| beyond(self.line[last], self.line[last - 1])))
            .flatten();
        past.is_none_or(|m| m < clear_m - 1e-6) && q.distance(p) < self.half_m + clear_m - 1e-6
    }
}

/// Runways, lanes, aprons, check areas and stands, each with a box around it.
pub struct FreeGround<'a> {
    strips: Vec<Strip<'a>>,
    areas: Vec<(Xy, Xy, &'a [Xy])>,
}

impl<'a> FreeGround<'a> {
    /// Gathers what wheels roll on.
    pub fn new(field: &'a Airfield) -> FreeGround<'a> {
        let runways = field
            .runways
            .iter()
            .map(|r| (&r.line, r.width_m.unwrap_or(RUNWAY_WIDTH_M), true));
        let lanes = field
            .lanes
            .iter()
            .map(|l| (&l.line, l.width_m.unwrap_or(LANE_WIDTH_M), false));
        let stands = field
            .stands
            .iter()
            .map(|s| (&s.line, s.width_m.unwrap_or(STAND_WIDTH_M), false));
        let strips = runways
            .chain(lanes)
            .chain(stands)
            .filter_map(|(line, width, square)| {
                let (low, high) = bounds(line.iter().copied())?;
                Some(Strip {
                    low,
                    high,
                    line,
                    half_m: width / 2.0,
                    square,
                })
            })
            .collect();
        let areas = field
            .aprons
            .iter()
            .chain(&field.check_areas)
            .filter_map(|a| {
                let (low, high) = bounds(a.outer.iter().copied())?;
                Some((low, high, a.outer.as_slice()))
            })
            .collect();
        FreeGround { strips, areas }
    }

    /// Whether a point lies at least `clear_m` from every strip and outside every area.
    pub fn is_free(&self, p: Xy, clear_m: f64) -> bool {
        let near = |low: &Xy, high: &Xy, by: f64| {
            p.x >= low.x - by && p.x <= high.x + by && p.y >= low.y - by && p.y <= high.y + by
        };
        let on_strip = self
            .strips
            .iter()
            .any(|s| near(&s.low, &s.high, s.half_m + clear_m) && s.within(p, clear_m));
        !on_strip
            && !self
                .areas
                .iter()
                .any(|(low, high, ring)| near(low, high, 0.0) && inside_ring(p, ring))
    }
}
