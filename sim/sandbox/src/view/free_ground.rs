//! Where something may stand beside the pavement: what lamps and signs are placed by.

use crate::surface::{LANE_WIDTH_M, RUNWAY_WIDTH_M, STAND_WIDTH_M};
use toeline_model::planar::{bounds, closest_on_line, inside_ring};
use toeline_model::{Airfield, Xy};

/// Runways, lanes, aprons, check areas and stands, each with a box around it.
pub struct FreeGround<'a> {
    strips: Vec<(Xy, Xy, &'a [Xy], f64)>,
    areas: Vec<(Xy, Xy, &'a [Xy])>,
}

impl<'a> FreeGround<'a> {
    /// Gathers what wheels roll on.
    pub fn new(field: &'a Airfield) -> FreeGround<'a> {
        let runways = field
            .runways
            .iter()
            .map(|r| (&r.line, r.width_m.unwrap_or(RUNWAY_WIDTH_M)));
        let lanes = field.lanes.iter().map(|l| (&l.line, l.width_m.unwrap_or(LANE_WIDTH_M)));
        let stands = field.stands.iter().map(|s| (&s.line, s.width_m.unwrap_or(STAND_WIDTH_M)));
        let strips = runways
            .chain(lanes)
            .chain(stands)
            .filter_map(|(line, width)| {
                let (low, high) = bounds(line.iter().copied())?;
                Some((low, high, line.as_slice(), width / 2.0))
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
        let on_strip = self.strips.iter().any(|(low, high, line, half)| {
            near(low, high, half + clear_m)
                && closest_on_line(p, line).is_some_and(|(q, _, _)| q.distance(p) < half + clear_m - 1e-6)
        });
        !on_strip
            && !self
                .areas
                .iter()
                .any(|(low, high, ring)| near(low, high, 0.0) && inside_ring(p, ring))
    }
}
