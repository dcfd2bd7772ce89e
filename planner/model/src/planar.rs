//! Distances and closest points between shapes in the local plane. Both the clearance check and the sandbox's collision
//! use these, so that "how near" has one meaning.

use crate::frame::{Xy, xy};
use serde::{Deserialize, Serialize};

/// The plan view of something that a wing can meet, local metres.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "type", rename_all = "snake_case")]
pub enum Shape {
    /// A round thing: pole, mast, trunk, or the circle that a parked aeroplane of unknown heading needs.
    Disc {
        /// Middle.
        at: Xy,
        /// Radius, metres; 0 for a bare point.
        radius_m: f64,
    },
    /// A thin line: fence, wall.
    Line {
        /// At least two points.
        points: Vec<Xy>,
    },
    /// An area with an outer ring and holes; rings are open (first point not repeated), in either turning sense.
    Area {
        /// Outer ring, at least three points.
        outer: Vec<Xy>,
        /// Holes, such as courtyards.
        holes: Vec<Vec<Xy>>,
    },
}

/// A least distance with the two points between which it is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Closest {
    /// Distance, metres; 0 on contact or overlap.
    pub distance_m: f64,
    /// Closest point on the first shape.
    pub on_first: Xy,
    /// Closest point on the second shape.
    pub on_second: Xy,
}

impl Closest {
    const FAR: Closest = Closest {
        distance_m: f64::INFINITY,
        on_first: xy(f64::NAN, f64::NAN),
        on_second: xy(f64::NAN, f64::NAN),
    };

    fn min(self, other: Closest) -> Closest {
        if other.distance_m < self.distance_m {
            other
        } else {
            self
        }
    }

    fn contact(at: Xy) -> Closest {
        Closest {
            distance_m: 0.0,
            on_first: at,
            on_second: at,
        }
    }
}

/// Closest point to `p` on the piece of line a-b, with the fraction along it (0 at a, 1 at b).
pub fn closest_on_segment(p: Xy, a: Xy, b: Xy) -> (Xy, f64) {
    let ab = b - a;
    let length2 = ab.dot(ab);
    if length2 == 0.0 {
        return (a, 0.0);
    }
    let t = ((p - a).dot(ab) / length2).clamp(0.0, 1.0);
    (a.lerp(b, t), t)
}

/// Closest point to `p` on a polyline: the point, the index of its piece, and the fraction along that piece.
/// `None` when the line has fewer than two points.
pub fn closest_on_line(p: Xy, line: &[Xy]) -> Option<(Xy, usize, f64)> {
    let mut best: Option<(f64, (Xy, usize, f64))> = None;
    for (i, w) in line.windows(2).enumerate() {
        let (q, t) = closest_on_segment(p, w[0], w[1]);
        let d = q.distance(p);
        if best.is_none_or(|(b, _)| d < b) {
            best = Some((d, (q, i, t)));
        }
    }
    best.map(|(_, at)| at)
}

/// Where two pieces of line cross: fractions along each. `None` when they do not meet or are parallel.
pub fn crossing(a: Xy, b: Xy, c: Xy, d: Xy) -> Option<(f64, f64)> {
    let (r, s) = (b - a, d - c);
    let denominator = r.cross(s);
    if denominator == 0.0 {
        return None;
    }
    let t = (c - a).cross(s) / denominator;
    let u = (c - a).cross(r) / denominator;
    ((0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u)).then_some((t, u))
}

/// Least distance between two pieces of line.
pub fn between_segments(a: Xy, b: Xy, c: Xy, d: Xy) -> Closest {
    if let Some((t, _)) = crossing(a, b, c, d) {
        return Closest::contact(a.lerp(b, t));
    }
    let one = |p: Xy, (q, _): (Xy, f64)| Closest {
        distance_m: p.distance(q),
        on_first: p,
        on_second: q,
    };
    let other = |p: Xy, (q, _): (Xy, f64)| Closest {
        distance_m: p.distance(q),
        on_first: q,
        on_second: p,
    };
    one(a, closest_on_segment(a, c, d))
        .min(one(b, closest_on_segment(b, c, d)))
        .min(other(c, closest_on_segment(c, a, b)))
        .min(other(d, closest_on_segment(d, a, b)))
}

/// Whether a point lies inside an open ring (even-odd rule; either turning sense).
pub fn inside_ring(p: Xy, ring: &[Xy]) -> bool {
    let mut inside = false;
    let mut j = ring.len().wrapping_sub(1);
    for i in 0..ring.len() {
        let (a, b) = (ring[i], ring[j]);
        if (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x {
            inside = !inside;
        }
        j = i;
    }
    inside
}

/// Whether an open ring winds round a point at all. The same as [`inside_ring`] for a ring that does not cross itself; of
/// one that does, every loop counts as inside, those too that the even-odd rule leaves out.
pub fn wound_round(p: Xy, ring: &[Xy]) -> bool {
    let mut turns = 0_i32;
    for (a, b) in ring_edges(ring) {
        if (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x {
            turns += if b.y > a.y { 1 } else { -1 };
        }
    }
    turns != 0
}

/// A place where an open ring crosses itself; `None` for one that does not, though it may touch itself at a corner.
/// Corners that repeat are passed over.
pub fn self_crossing(ring: &[Xy]) -> Option<Xy> {
    let mut clean: Vec<Xy> = ring.to_vec();
    clean.dedup();
    if clean.len() > 1 && clean.first() == clean.last() {
        clean.pop();
    }
    let n = clean.len();
    if n < 4 {
        return None;
    }
    let at = |i: usize| (clean[i % n], clean[(i + 1) % n]);
    for i in 0..n {
        for j in i + 2..n {
            if i == 0 && j == n - 1 {
                continue; // Neighbours round the end.
            }
            let ((a, b), (c, d)) = (at(i), at(j));
            let inner = |f: f64| f > 1e-9 && f < 1.0 - 1e-9;
            if let Some((t, u)) = crossing(a, b, c, d)
                && inner(t)
                && inner(u)
            {
                return Some(a.lerp(b, t));
            }
        }
    }
    None
}

/// Whether a line (or a single point) has any point inside a ring, or crosses it.
pub fn meets_ring(line: &[Xy], ring: &[Xy]) -> bool {
    line.iter().any(|p| inside_ring(*p, ring))
        || line
            .windows(2)
            .any(|w| ring_edges(ring).any(|(a, b)| crossing(w[0], w[1], a, b).is_some()))
}

/// How much of a line lies inside a ring, metres. What runs along its edge counts or does not, by rounding.
pub fn length_inside(line: &[Xy], ring: &[Xy]) -> f64 {
    let inside_m = |a: Xy, b: Xy| {
        let mut cuts: Vec<f64> = ring_edges(ring)
            .filter_map(|(c, d)| crossing(a, b, c, d))
            .map(|(t, _)| t)
            .collect();
        cuts.extend([0.0, 1.0]);
        cuts.sort_by(f64::total_cmp);
        let share: f64 = cuts
            .windows(2)
            .filter(|w| inside_ring(a.lerp(b, (w[0] + w[1]) / 2.0), ring))
            .map(|w| w[1] - w[0])
            .sum();
        share * a.distance(b)
    };
    pieces(line).map(|(a, b)| inside_m(a, b)).sum()
}

/// Least distance from an outline (open ring, at least three points) to a shape; 0 when they touch, overlap or contain
/// one another.
pub fn outline_to_shape(outline: &[Xy], shape: &Shape) -> Closest {
    match shape {
        Shape::Disc { at, radius_m } => {
            if inside_ring(*at, outline) {
                return Closest::contact(*at);
            }
            let c = point_to_ring(*at, outline);
            if c.distance_m <= *radius_m {
                return Closest::contact(c.on_first);
            }
            let edge = *at + (c.on_first - *at) * (radius_m / c.distance_m);
            Closest {
                distance_m: c.distance_m - radius_m,
                on_first: c.on_first,
                on_second: edge,
            }
        }
        Shape::Line { points } => {
            if points.first().is_some_and(|p| inside_ring(*p, outline)) {
                return Closest::contact(points[0]);
            }
            pieces(points)
                .map(|(c, d)| ring_to_segment(outline, c, d))
                .fold(Closest::FAR, Closest::min)
        }
        Shape::Area { outer, holes } => {
            let in_hole = holes
                .iter()
                .any(|h| outline.first().is_some_and(|p| inside_ring(*p, h)));
            if outer.first().is_some_and(|p| inside_ring(*p, outline)) {
                return Closest::contact(outer[0]);
            }
            if !in_hole && outline.first().is_some_and(|p| wound_round(*p, outer)) {
                return Closest::contact(outline[0]);
            }
            let mut best = Closest::FAR;
            for ring in core::iter::once(outer).chain(holes) {
                for (c, d) in ring_edges(ring) {
                    best = best.min(ring_to_segment(outline, c, d));
                }
            }
            best
        }
    }
}

/// Least distance between two outlines (open rings); 0 when they touch, overlap or contain one another.
pub fn outline_to_outline(first: &[Xy], second: &[Xy]) -> Closest {
    if first.first().is_some_and(|p| inside_ring(*p, second)) {
        return Closest::contact(first[0]);
    }
    if second.first().is_some_and(|p| inside_ring(*p, first)) {
        return Closest::contact(second[0]);
    }
    ring_edges(second)
        .map(|(c, d)| ring_to_segment(first, c, d))
        .fold(Closest::FAR, Closest::min)
}

fn point_to_ring(p: Xy, ring: &[Xy]) -> Closest {
    let mut best = Closest::FAR;
    for (a, b) in ring_edges(ring) {
        let (q, _) = closest_on_segment(p, a, b);
        best = best.min(Closest {
            distance_m: q.distance(p),
            on_first: q,
            on_second: p,
        });
    }
    best
}

fn ring_to_segment(ring: &[Xy], c: Xy, d: Xy) -> Closest {
    ring_edges(ring)
        .map(|(a, b)| between_segments(a, b, c, d))
        .fold(Closest::FAR, Closest::min)
}

fn pieces(line: &[Xy]) -> impl Iterator<Item = (Xy, Xy)> + '_ {
    line.windows(2).map(|w| (w[0], w[1]))
}

/// The edges of an open ring, the closing one included.
pub fn ring_edges(ring: &[Xy]) -> impl Iterator<Item = (Xy, Xy)> + '_ {
    (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()]))
}

/// Convex hull of points, anticlockwise, without collinear points (Andrew's monotone chain).
pub fn convex_hull(points: &[Xy]) -> Vec<Xy> {
    let mut p: Vec<Xy> = points.to_vec();
    p.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    p.dedup();
    if p.len() < 3 {
        return p;
    }
    let mut hull: Vec<Xy> = Vec::with_capacity(p.len() + 1);
    for pass in 0..2 {
        let start = hull.len();
        for i in 0..p.len() {
            let q = if pass == 0 { p[i] } else { p[p.len() - 1 - i] };
            while hull.len() >= start + 2
                && (hull[hull.len() - 1] - hull[hull.len() - 2]).cross(q - hull[hull.len() - 1]) <= 0.0
            {
                hull.pop();
            }
            hull.push(q);
        }
        hull.pop();
    }
    hull
}

/// Area of an open ring, m²; positive when it runs anticlockwise.
pub fn signed_area(ring: &[Xy]) -> f64 {
    ring_edges(ring).map(|(a, b)| a.cross(b)).sum::<f64>() / 2.0
}

/// Centroid of an open ring with area; the mean of its points when the area is 0.
pub fn centroid(ring: &[Xy]) -> Xy {
    let area = signed_area(ring);
    if area == 0.0 {
        let sum = ring.iter().fold(xy(0.0, 0.0), |s, p| s + *p);
        return sum * (1.0 / ring.len().max(1) as f64);
    }
    let mut sum = xy(0.0, 0.0);
    for (a, b) in ring_edges(ring) {
        sum = sum + (a + b) * a.cross(b);
    }
    sum * (1.0 / (6.0 * area))
}

/// Length of a polyline, metres.
pub fn line_length(line: &[Xy]) -> f64 {
    pieces(line).map(|(a, b)| a.distance(b)).sum()
}

/// Smallest box around points: lower-left and upper-right corner. `None` without points.
pub fn bounds(points: impl IntoIterator<Item = Xy>) -> Option<(Xy, Xy)> {
    points.into_iter().fold(None, |b, p| match b {
        None => Some((p, p)),
        Some((lo, hi)) => Some((xy(lo.x.min(p.x), lo.y.min(p.y)), xy(hi.x.max(p.x), hi.y.max(p.y)))),
    })
}

impl Shape {
    /// Smallest box around the shape: lower-left and upper-right corner.
    pub fn bounds(&self) -> (Xy, Xy) {
        let nowhere = (xy(0.0, 0.0), xy(0.0, 0.0));
        match self {
            Shape::Disc { at, radius_m } => (*at - xy(*radius_m, *radius_m), *at + xy(*radius_m, *radius_m)),
            Shape::Line { points } => bounds(points.iter().copied()).unwrap_or(nowhere),
            Shape::Area { outer, .. } => bounds(outer.iter().copied()).unwrap_or(nowhere),
        }
    }
}
