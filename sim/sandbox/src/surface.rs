//! What lies under a point of the field.

use toeline_model::airfield::{NamedArea, Surface};
use toeline_model::planar::{closest_on_line, inside_ring};
use toeline_model::{Airfield, Xy};

pub use toeline_training::surroundings::{LANE_WIDTH_M, RUNWAY_WIDTH_M, STAND_WIDTH_M};

fn on_strip(p: Xy, line: &[Xy], width_m: f64) -> bool {
    closest_on_line(p, line).is_some_and(|(q, _, _)| q.distance(p) <= width_m / 2.0)
}

fn known(surface: Surface) -> Surface {
    if surface == Surface::Unknown {
        Surface::Paved
    } else {
        surface
    }
}

/// The surface at a point: the runway's, else a lane's, else an area's, else grass. An untagged one is driven as paved.
pub fn at(field: &Airfield, p: Xy) -> Surface {
    let runway = field
        .runways
        .iter()
        .find(|r| on_strip(p, &r.line, r.width_m.unwrap_or(RUNWAY_WIDTH_M)));
    if let Some(r) = runway {
        return known(r.surface);
    }
    let lane = field
        .lanes
        .iter()
        .find(|l| on_strip(p, &l.line, l.width_m.unwrap_or(LANE_WIDTH_M)));
    if let Some(l) = lane {
        return known(l.surface);
    }
    let area = |a: &&NamedArea| inside_ring(p, &a.outer);
    if let Some(a) = field.check_areas.iter().chain(&field.aprons).find(area) {
        return known(a.surface);
    }
    let on_stand = |w: Option<f64>, line: &[Xy]| on_strip(p, line, w.unwrap_or(STAND_WIDTH_M));
    if field.stands.iter().any(|s| on_stand(s.width_m, &s.line)) {
        return Surface::Paved;
    }
    Surface::Grass
}
