//! The obstacles that a wobble may reach, and in which steps of the way which part may.

use super::drive::driven_hull;
use super::moments::Moment;
use super::stations::Stations;
use crate::clearance::{Clearance, bands_meet};
use toeline_model::Xy;
use toeline_model::aircraft::parts::Part;
use toeline_model::frame::xy;
use toeline_model::planar::{self, Shape};

/// Spreads beyond which a deviation is left out: less than one in 10⁸ at any place.
pub(super) const SPREADS: f64 = 6.0;

/// A part that may reach a body in a step.
#[derive(Clone, Copy, Debug)]
pub(super) struct Touch {
    pub(super) step: usize,
    pub(super) part: usize,
    /// Gap on the driven path between the ends of the step, chords for the ways of the corners, metres.
    pub(super) gap_m: f64,
}

/// An obstacle that a wobble may reach.
#[derive(Clone, Debug)]
pub(super) struct Body {
    /// Index in the clearance's `considered`.
    pub(super) obstacle: usize,
    pub(super) shape: Shape,
    bounds: (Xy, Xy),
    /// Farthest corner of each part of the aeroplane from the nose wheel, metres.
    pub(super) reaches: Vec<f64>,
    /// By step, then by part.
    pub(super) touches: Vec<Touch>,
}

impl Body {
    /// Distance to a convex outline, metres; exact up to `limit_m`, more than it otherwise.
    pub(super) fn distance(&self, outline: &[Xy], limit_m: f64) -> f64 {
        let Some((low, high)) = planar::bounds(outline.iter().copied()) else {
            return f64::INFINITY;
        };
        if box_gap((low, high), self.bounds) > limit_m {
            return f64::INFINITY;
        }
        planar::outline_to_shape(outline, &self.shape).distance_m
    }
}

fn box_gap(a: (Xy, Xy), b: (Xy, Xy)) -> f64 {
    let dx = (b.0.x - a.1.x).max(a.0.x - b.1.x).max(0.0);
    let dy = (b.0.y - a.1.y).max(a.0.y - b.1.y).max(0.0);
    xy(dx, dy).norm()
}

/// How far a point at a distance from the nose wheel may be off its driven place at a station, metres.
fn displaced_m(moment: &Moment, reach_m: f64) -> f64 {
    moment.within(0, SPREADS) + reach_m * moment.within(3, SPREADS)
}

/// The obstacles of a clearance within reach.
pub(super) fn bodies(stations: &Stations, moments: &[Moment], parts: &[Part], clearance: &Clearance) -> Vec<Body> {
    let nose = xy(stations.wheelbase_m, 0.0);
    let corners: Vec<Vec<Xy>> = parts
        .iter()
        .map(|p| p.outline.iter().map(|q| *q - nose).collect())
        .collect();
    let reaches: Vec<f64> = corners
        .iter()
        .map(|c| c.iter().map(|q| q.norm()).fold(0.0, f64::max))
        .collect();
    let reach_m = reaches.iter().copied().fold(0.0, f64::max);
    let farthest = moments.iter().map(|m| displaced_m(m, reach_m)).fold(0.0, f64::max) + clearance.accuracy_m;
    let mut obstacles: Vec<usize> = clearance
        .gaps
        .iter()
        .filter(|g| g.gap_m <= farthest)
        .map(|g| g.obstacle)
        .collect();
    obstacles.sort_unstable();
    let mut list = Vec::new();
    for obstacle in obstacles {
        let c = &clearance.considered[obstacle];
        let meets: Vec<usize> = (0..parts.len())
            .filter(|k| bands_meet(&parts[*k], c.bottom_m, c.top_m, clearance.vertical_margin_m))
            .collect();
        let mut body = Body {
            obstacle,
            shape: c.shape.clone(),
            bounds: c.shape.bounds(),
            reaches: reaches.clone(),
            touches: Vec::new(),
        };
        for step in 0..stations.steps() {
            let (a, b) = stations.step(step);
            let last = moments.len() - 1;
            let (m, n) = (&moments[step], &moments[(step + 1).min(last)]);
            let limit = |reach: f64| displaced_m(m, reach).max(displaced_m(n, reach)) + clearance.accuracy_m;
            let step_m = b.nose.distance(a.nose);
            if box_gap((a.nose, a.nose), body.bounds) > limit(reach_m) + reach_m + step_m {
                continue;
            }
            for &part in &meets {
                let limit_m = limit(reaches[part]);
                let hull = driven_hull(&corners[part], (a.nose, a.axis), (b.nose, b.axis));
                let gap_m = body.distance(&hull, limit_m);
                if gap_m <= limit_m {
                    body.touches.push(Touch { step, part, gap_m });
                }
            }
        }
        if !body.touches.is_empty() {
            list.push(body);
        }
    }
    list
}
