//! Free apron area: the aprons together, less the plan view of everything that stands on them.

use super::obstacles::Areas;
use geo::{BooleanOps, Coord, LineString, MultiPolygon, Polygon, unary_union};
use std::f64::consts::PI;
use toeline_model::frame::xy;
use toeline_model::planar::{Shape, bounds, signed_area};
use toeline_model::{Airfield, Xy, math};

/// Half the width that a fence, a wall or another line takes from the apron, metres. Ours: a line has no area, and an
/// aeroplane must not be led across it.
pub const LINE_HALF_WIDTH_M: f64 = 0.05;
/// A round obstacle takes the regular polygon of so many corners that is drawn around its circle. Ours.
pub const ROUND_CORNERS: usize = 32;
/// Smallest free area and smallest hole that are kept, m². Ours: crumbs of the computation are far below.
const CRUMB_M2: f64 = 1e-3;

/// A connected piece of free apron, local metres; open rings, the outer one anticlockwise and the holes clockwise.
#[derive(Clone, Debug, PartialEq)]
pub struct FreeArea {
    /// Outer ring.
    pub outer: Vec<Xy>,
    /// What stands inside it.
    pub holes: Vec<Vec<Xy>>,
}

impl FreeArea {
    /// Its area, m².
    pub fn area_m2(&self) -> f64 {
        signed_area(&self.outer) + self.holes.iter().map(|h| signed_area(h)).sum::<f64>()
    }
}

/// The free areas of a field: whatever the height of an obstacle, its plan view is taken away. From west to east.
pub(super) fn areas(field: &Airfield, near: &Areas<'_>) -> Vec<FreeArea> {
    let mut aprons: Vec<Polygon> = Vec::new();
    for a in &field.aprons {
        polygons(&a.outer, &[], &mut aprons);
    }
    let Some((lo, hi)) = bounds(field.aprons.iter().flat_map(|a| a.outer.iter().copied())) else {
        return Vec::new();
    };
    let ground = unary_union(&aprons);
    let mut taken: Vec<Polygon> = Vec::new();
    for i in near.in_box(lo, hi) {
        plan_view(&field.obstacles[i].shape, &mut taken);
    }
    let free = if taken.is_empty() {
        ground
    } else {
        ground.difference(&unary_union(&taken))
    };
    rings(&free)
}

fn rings(free: &MultiPolygon) -> Vec<FreeArea> {
    let mut list: Vec<FreeArea> = free
        .iter()
        .map(|p| FreeArea {
            outer: ring(p.exterior(), true),
            holes: p
                .interiors()
                .iter()
                .map(|h| ring(h, false))
                .filter(|h| signed_area(h).abs() >= CRUMB_M2)
                .collect(),
        })
        .filter(|a| signed_area(&a.outer) >= CRUMB_M2)
        .collect();
    let west = |a: &FreeArea| bounds(a.outer.iter().copied()).map_or((0.0, 0.0), |(lo, _)| (lo.x, lo.y));
    list.sort_by(|a, b| {
        let (p, q) = (west(a), west(b));
        p.0.total_cmp(&q.0).then(p.1.total_cmp(&q.1))
    });
    list
}

/// The polygons that an obstacle takes from the ground.
fn plan_view(shape: &Shape, list: &mut Vec<Polygon>) {
    match shape {
        Shape::Area { outer, holes } => polygons(outer, holes, list),
        Shape::Line { points } => {
            for w in points.windows(2).filter(|w| w[0] != w[1]) {
                let along = (w[1] - w[0]) * (LINE_HALF_WIDTH_M / w[0].distance(w[1]));
                let left = xy(-along.y, along.x);
                let (a, b) = (w[0] - along, w[1] + along);
                polygons(&[a - left, b - left, b + left, a + left], &[], list);
            }
        }
        Shape::Disc { at, radius_m } if *radius_m > 0.0 => {
            let corner_m = radius_m / math::cos(PI / ROUND_CORNERS as f64);
            let corner = |i: usize| {
                let angle = 2.0 * PI * i as f64 / ROUND_CORNERS as f64;
                *at + xy(math::cos(angle), math::sin(angle)) * corner_m
            };
            polygons(&(0..ROUND_CORNERS).map(corner).collect::<Vec<_>>(), &[], list);
        }
        Shape::Disc { .. } => {}
    }
}

/// Adds the valid polygons of an outline: one that crosses itself is what it goes round, an odd number of times.
fn polygons(outer: &[Xy], holes: &[Vec<Xy>], list: &mut Vec<Polygon>) {
    let line = |ring: &[Xy]| LineString::new(ring.iter().map(|p| Coord { x: p.x, y: p.y }).collect());
    let drawn = Polygon::new(line(outer), holes.iter().map(|h| line(h)).collect());
    // The result is anticlockwise whatever the file has, which the union of many asks for.
    list.extend(drawn.union(&MultiPolygon::new(Vec::new())));
}

/// An open ring in the asked sense.
fn ring(closed: &LineString, anticlockwise: bool) -> Vec<Xy> {
    let mut list: Vec<Xy> = closed.0.iter().map(|c| xy(c.x, c.y)).collect();
    list.pop();
    if (signed_area(&list) > 0.0) != anticlockwise {
        list.reverse();
    }
    list
}
