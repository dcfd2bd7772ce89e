//! Vector drawing of our own: areas and strokes as triangles, in logical pixels from the top left. Every edge carries a
//! fringe one screen pixel wide that fades out, so that it is sharp and smooth at any size and with any camera.

use bevy::asset::RenderAssetUsages;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;

/// A turn of a stroke sharper than this breaks it into two, radians: a mitre there would stick out.
const SHARP_RAD: f32 = 1.2;

/// Triangles collected so far.
pub struct Ink {
    at: Vec<[f32; 3]>,
    colour: Vec<[f32; 4]>,
    index: Vec<u32>,
    /// Side of a screen pixel, logical pixels.
    pub px: f32,
}

/// Direction at an angle clockwise from the top, on a screen whose y grows downward.
pub fn spoke(rad: f32) -> Vec2 {
    Vec2::new(rad.sin(), -rad.cos())
}

impl Ink {
    /// Nothing yet, for a screen with that many pixels to a logical one.
    pub fn new(scale: f32) -> Ink {
        Ink {
            at: vec![],
            colour: vec![],
            index: vec![],
            px: 1.0 / scale.max(0.1),
        }
    }

    fn point(&mut self, p: Vec2, colour: [f32; 4], share: f32) -> u32 {
        let [r, g, b, a] = colour;
        self.at.push([p.x, -p.y, 0.0]);
        self.colour.push([r, g, b, a * share]);
        self.at.len() as u32 - 1
    }

    fn quad(&mut self, [a, b, c, d]: [u32; 4]) {
        self.index.extend([a, b, c, a, c, d]);
    }

    /// A convex area.
    pub fn area(&mut self, ring: &[Vec2], colour: Color) {
        let n = ring.len();
        if n < 3 {
            return;
        }
        let colour = colour.to_linear().to_f32_array();
        let turn: f32 = (0..n).map(|i| ring[i].perp_dot(ring[(i + 1) % n])).sum();
        let outward = if turn > 0.0 { -1.0 } else { 1.0 };
        let first = self.at.len() as u32;
        for i in 0..n {
            let before = (ring[i] - ring[(i + n - 1) % n]).normalize_or_zero().perp() * outward;
            let after = (ring[(i + 1) % n] - ring[i]).normalize_or_zero().perp() * outward;
            let out = mitre(before, after) * (self.px / 2.0);
            self.point(ring[i] - out, colour, 1.0);
            self.point(ring[i] + out, colour, 0.0);
        }
        let at = |i: usize, outer: u32| first + 2 * (i % n) as u32 + outer;
        for i in 1..n - 1 {
            self.index.extend([at(0, 0), at(i, 0), at(i + 1, 0)]);
        }
        for i in 0..n {
            self.quad([at(i, 0), at(i + 1, 0), at(i + 1, 1), at(i, 1)]);
        }
    }

    /// A disc.
    pub fn disc(&mut self, middle: Vec2, radius: f32, colour: Color) {
        self.area(&circle(middle, radius), colour);
    }

    /// An upright rectangle.
    pub fn bar(&mut self, r: Rect, colour: Color) {
        let corners = [r.min, Vec2::new(r.max.x, r.min.y), r.max, Vec2::new(r.min.x, r.max.y)];
        // Edges on whole pixels need no fringe.
        let px = self.px;
        self.area(&corners.map(|c| (c / px).round() * px), colour);
    }

    /// An upright rectangle with round corners.
    pub fn plate(&mut self, r: Rect, corner: f32, colour: Color) {
        self.area(&rounded(r, corner), colour);
    }

    /// The outline of the same.
    pub fn frame(&mut self, r: Rect, corner: f32, width: f32, colour: Color) {
        let mut ring = rounded(r, corner);
        ring.push(ring[0]);
        self.stroke(&ring, width, colour, true);
    }

    /// A line through points, with square ends; sharp corners are closed.
    pub fn line(&mut self, points: &[Vec2], width: f32, colour: Color) {
        let mut from = 0;
        for i in 1..points.len().saturating_sub(1) {
            let (a, b) = (points[i] - points[i - 1], points[i + 1] - points[i]);
            if a.angle_to(b).abs() > SHARP_RAD {
                self.stroke(&points[from..=i], width, colour, false);
                from = i;
            }
        }
        self.stroke(&points[from..], width, colour, false);
    }

    /// A circle.
    pub fn ring(&mut self, middle: Vec2, radius: f32, width: f32, colour: Color) {
        let mut points = circle(middle, radius);
        points.push(points[0]);
        self.stroke(&points, width, colour, true);
    }

    /// Part of a circle between two angles clockwise from the top.
    pub fn arc(&mut self, middle: Vec2, radius: f32, [from, to]: [f32; 2], width: f32, colour: Color) {
        let steps = (((to - from).abs() * radius / 4.0).ceil() as usize).clamp(2, 96);
        let points: Vec<Vec2> = (0..=steps)
            .map(|i| middle + spoke(from + (to - from) * i as f32 / steps as f32) * radius)
            .collect();
        self.stroke(&points, width, colour, true);
    }

    fn stroke(&mut self, points: &[Vec2], width: f32, colour: Color, flush: bool) {
        let n = points.len();
        if n < 2 {
            return;
        }
        let mut colour = colour.to_linear().to_f32_array();
        // A line thinner than a pixel is drawn a pixel wide and fainter.
        let wide = width.max(self.px);
        colour[3] *= (width / wide).clamp(0.0, 1.0);
        let closed = points[0] == points[n - 1];
        let along = |i: usize| (points[i + 1] - points[i]).normalize_or_zero();
        let (inner, outer) = ((wide - self.px) / 2.0, (wide + self.px) / 2.0);
        let first = self.at.len() as u32;
        for (i, point) in points.iter().enumerate() {
            let before = if i > 0 {
                along(i - 1)
            } else if closed {
                along(n - 2)
            } else {
                along(0)
            };
            let after = if i + 1 < n {
                along(i)
            } else if closed {
                along(0)
            } else {
                before
            };
            let side = mitre(before.perp(), after.perp());
            // Ends reach half a width further, so that strokes that meet close their corner.
            let reach = if flush || closed { 0.0 } else { wide / 2.0 };
            let p = match i {
                0 => *point - after * reach,
                _ if i + 1 == n => *point + before * reach,
                _ => *point,
            };
            for (off, share) in [(-outer, 0.0), (-inner, 1.0), (inner, 1.0), (outer, 0.0)] {
                self.point(p + side * off, colour, share);
            }
        }
        let at = |i: usize, k: u32| first + 4 * i as u32 + k;
        for i in 0..n - 1 {
            for k in 0..3 {
                self.quad([at(i, k), at(i + 1, k), at(i + 1, k + 1), at(i, k + 1)]);
            }
        }
        if !closed {
            for (i, outward) in [(0, -along(0)), (n - 1, along(n - 2))] {
                let edge: Vec<u32> = (0..4)
                    .map(|k| {
                        let [x, y, _] = self.at[at(i, k) as usize];
                        self.point(Vec2::new(x, -y) + outward * self.px, colour, 0.0)
                    })
                    .collect();
                for k in 0..3_usize {
                    self.quad([at(i, k as u32), at(i, k as u32 + 1), edge[k + 1], edge[k]]);
                }
            }
        }
    }

    /// Number of triangles so far.
    pub fn triangles(&self) -> usize {
        self.index.len() / 3
    }

    /// Everything so far as a mesh whose origin is the top left corner.
    pub fn mesh(self) -> Mesh {
        Mesh::new(
            PrimitiveTopology::TriangleList,
            RenderAssetUsages::RENDER_WORLD | RenderAssetUsages::MAIN_WORLD,
        )
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, self.at)
        .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, self.colour)
        .with_inserted_indices(Indices::U32(self.index))
    }
}

/// The sum of two unit normals, as long as it takes to keep a line's width through the corner.
fn mitre(before: Vec2, after: Vec2) -> Vec2 {
    let sum = before + after;
    let square = sum.length_squared();
    if square < 0.2 { after } else { sum * (2.0 / square) }
}

/// Points of a circle, enough that no corner is seen.
pub fn circle(middle: Vec2, radius: f32) -> Vec<Vec2> {
    let n = ((radius.max(1.0).sqrt() * 8.0) as usize).clamp(12, 128);
    (0..n)
        .map(|i| middle + spoke(std::f32::consts::TAU * i as f32 / n as f32) * radius)
        .collect()
}

fn rounded(r: Rect, corner: f32) -> Vec<Vec2> {
    let c = corner.min(r.width() / 2.0).min(r.height() / 2.0).max(0.01);
    let quarter = std::f32::consts::FRAC_PI_2;
    [
        (Vec2::new(r.max.x - c, r.min.y + c), 0.0),
        (Vec2::new(r.max.x - c, r.max.y - c), quarter),
        (Vec2::new(r.min.x + c, r.max.y - c), 2.0 * quarter),
        (Vec2::new(r.min.x + c, r.min.y + c), 3.0 * quarter),
    ]
    .into_iter()
    .flat_map(|(middle, from)| (0..=5).map(move |i| middle + spoke(from + quarter * i as f32 / 5.0) * c))
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reach(ink: &Ink) -> (Vec2, Vec2) {
        let all = |f: fn(f32, f32) -> f32, k: usize, start: f32| ink.at.iter().map(|p| p[k]).fold(start, f);
        (
            Vec2::new(all(f32::min, 0, f32::MAX), -all(f32::max, 1, f32::MIN)),
            Vec2::new(all(f32::max, 0, f32::MIN), -all(f32::min, 1, f32::MAX)),
        )
    }

    #[test]
    fn a_fringe_is_half_a_screen_pixel_either_way_whatever_the_scale() {
        for scale in [1.0, 2.0, 3.0] {
            let mut ink = Ink::new(scale);
            ink.bar(Rect::new(10.0, 20.0, 30.0, 40.0), Color::WHITE);
            let (low, high) = reach(&ink);
            let half = 0.5 / scale;
            assert!((low - Vec2::new(10.0 - half, 20.0 - half)).length() < 1e-4, "{low}");
            assert!((high - Vec2::new(30.0 + half, 40.0 + half)).length() < 1e-4, "{high}");
            assert!(ink.colour.iter().any(|c| c[3] == 0.0) && ink.colour.iter().any(|c| c[3] == 1.0));
        }
    }

    #[test]
    fn a_line_is_as_wide_as_asked_and_a_hairline_a_pixel_and_fainter() {
        let mut ink = Ink::new(1.0);
        ink.line(&[Vec2::new(0.0, 10.0), Vec2::new(50.0, 10.0)], 6.0, Color::WHITE);
        let (low, high) = reach(&ink);
        assert!((high.y - low.y - 7.0).abs() < 1e-4, "6 and a fringe: {low} {high}");
        let mut hair = Ink::new(1.0);
        hair.line(&[Vec2::new(0.0, 10.0), Vec2::new(50.0, 10.0)], 0.25, Color::WHITE);
        assert!(hair.colour.iter().all(|c| c[3] <= 0.25 + 1e-6));
    }

    #[test]
    fn nothing_drawn_is_not_a_number() {
        let mut ink = Ink::new(1.0);
        ink.disc(Vec2::ZERO, 0.0, Color::WHITE);
        ink.line(&[Vec2::ONE, Vec2::ONE, Vec2::ZERO, Vec2::ONE], 1.0, Color::WHITE);
        ink.area(&[Vec2::ZERO; 4], Color::WHITE);
        ink.plate(Rect::new(0.0, 0.0, 0.0, 0.0), 3.0, Color::WHITE);
        assert!(ink.at.iter().flatten().all(|v| v.is_finite()));
    }
}
