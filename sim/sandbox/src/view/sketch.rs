//! A mesh under construction: coloured faces with flat normals, one draw call for many things.

use crate::convert::{narrow, world};
use bevy::asset::RenderAssetUsages;
use bevy::mesh::{Indices, MeshVertexAttribute, PrimitiveTopology, VertexAttributeValues, VertexFormat};
use bevy::prelude::*;
use toeline_model::Xy;
use toeline_model::planar::{crossing, signed_area};

/// Cosine of the sharpest corner that is mitred (50 degrees).
const GENTLE: f64 = 0.643;

/// Faces collected so far, in the bytes in which they go to the card: a large airfield has a million corners.
#[derive(Default)]
pub struct Sketch {
    at: Vec<[f32; 3]>,
    normal: Vec<[i8; 4]>,
    colour: Vec<[u16; 4]>,
    index: Vec<u32>,
}

impl Sketch {
    /// A convex face, its corners anticlockwise as seen from its front.
    pub fn face(&mut self, corners: &[Vec3], colour: Color) {
        self.blend(corners, &vec![colour; corners.len()]);
    }

    /// A convex face with a colour of its own at every corner.
    pub fn blend(&mut self, corners: &[Vec3], colours: &[Color]) {
        let Some(normal) = (corners.len() >= 3)
            .then(|| (corners[1] - corners[0]).cross(corners[corners.len() - 1] - corners[0]))
            .and_then(Vec3::try_normalize)
        else {
            return;
        };
        let first = self.at.len() as u32;
        for (c, colour) in corners.iter().zip(colours) {
            self.at.push(c.to_array());
            self.normal.push(normal.extend(0.0).to_array().map(signed_byte));
            self.colour.push(colour.to_linear().to_f32_array().map(two_bytes));
        }
        for i in 1..corners.len() as u32 - 1 {
            self.index.extend([first, first + i, first + i + 1]);
        }
    }

    /// Everything of another sketch, moved.
    pub fn place(&mut self, part: &Sketch, by: Transform) {
        let first = self.at.len() as u32;
        self.at
            .extend(part.at.iter().map(|p| by.transform_point(Vec3::from(*p)).to_array()));
        self.normal.extend(part.normal.iter().map(|n| {
            let [x, y, z, _] = n.map(f32::from);
            let turned = (by.rotation * Vec3::new(x, y, z)).normalize_or_zero();
            turned.extend(0.0).to_array().map(signed_byte)
        }));
        self.colour.extend(&part.colour);
        self.index.extend(part.index.iter().map(|i| first + i));
    }

    /// A face seen from both sides.
    pub fn leaf(&mut self, corners: &[Vec3], colour: Color) {
        self.face(corners, colour);
        let back: Vec<Vec3> = corners.iter().rev().copied().collect();
        self.face(&back, colour);
    }

    /// A convex flat patch of ground.
    pub fn patch(&mut self, ring: &[Xy], up_m: f64, colour: Color) {
        let mut corners: Vec<Vec3> = ring.iter().map(|p| world(*p, up_m)).collect();
        if signed_area(ring) < 0.0 {
            corners.reverse();
        }
        self.face(&corners, colour);
    }

    /// A flat area with any outline.
    pub fn area(&mut self, ring: &[Xy], up_m: f64, colour: Color) {
        for triangle in triangles(ring) {
            self.patch(&triangle, up_m, colour);
        }
    }

    /// A round flat patch.
    pub fn disc(&mut self, at: Xy, radius_m: f64, up_m: f64, colour: Color) {
        let ring: Vec<Xy> = (0..20)
            .map(|i| at + toeline_model::frame::xy(radius_m, 0.0).rotated(f64::from(i) * std::f64::consts::TAU / 20.0))
            .collect();
        self.patch(&ring, up_m, colour);
    }

    /// A strip along a line. Gentle corners are mitred, which costs nothing; sharp ones are round.
    pub fn ribbon(&mut self, line: &[Xy], width_m: f64, up_m: f64, colour: Color) {
        let mut line = line.to_vec();
        line.dedup_by(|b, a| a.distance(*b) < 1e-6);
        let half = width_m / 2.0;
        let ways: Vec<Xy> = line.windows(2).map(|w| Xy::unit((w[1] - w[0]).direction())).collect();
        // Half the strip's width to the left at a point, as its piece `k` has it there.
        let edge = |point: usize, k: usize| {
            if let (Some(before), Some(after)) = (point.checked_sub(1).and_then(|i| ways.get(i)), ways.get(point))
                && before.dot(*after) > GENTLE
            {
                let left = (*before + *after).left();
                return left * (half / left.dot(ways[k].left()));
            }
            ways[k].left() * half
        };
        for (k, w) in line.windows(2).enumerate() {
            let (start, end) = (edge(k, k), edge(k + 1, k));
            self.patch(&[w[0] - start, w[1] - end, w[1] + end, w[0] + start], up_m, colour);
        }
        for (k, w) in ways.windows(2).enumerate() {
            if w[0].dot(w[1]) <= GENTLE {
                self.disc(line[k + 1], half, up_m, colour);
            }
        }
    }

    /// Dashes along a line, the first one `start_m` from its beginning and whole ones only.
    pub fn dashes(&mut self, line: &[Xy], pattern: Dashes, width_m: f64, up_m: f64, colour: Color) {
        let whole = toeline_model::planar::line_length(line);
        let mut from = pattern.start_m;
        while from + pattern.dash_m <= whole - pattern.start_m + 1e-9 {
            self.ribbon(&part_of(line, from, from + pattern.dash_m), width_m, up_m, colour);
            from += pattern.dash_m + pattern.gap_m;
        }
    }

    /// Upright sides over an outline and, when a colour is given, a top.
    pub fn prism(&mut self, ring: &[Xy], low_m: f64, high_m: f64, side: Color, top: Option<Color>) {
        let clockwise = signed_area(ring) < 0.0;
        for i in 0..ring.len() {
            let (mut a, mut b) = (ring[i], ring[(i + 1) % ring.len()]);
            if clockwise {
                std::mem::swap(&mut a, &mut b);
            }
            self.face(
                &[world(a, low_m), world(b, low_m), world(b, high_m), world(a, high_m)],
                side,
            );
        }
        if let Some(top) = top {
            self.area(ring, high_m, top);
        }
    }

    /// A thin upright wall, seen from both sides.
    pub fn wall(&mut self, line: &[Xy], low_m: f64, high_m: f64, colour: Color) {
        for w in line.windows(2) {
            self.leaf(
                &[
                    world(w[0], low_m),
                    world(w[1], low_m),
                    world(w[1], high_m),
                    world(w[0], high_m),
                ],
                colour,
            );
        }
    }

    /// A round bar from one point to another.
    pub fn bar(&mut self, a: Vec3, b: Vec3, radius: (f32, f32), sides: u32, colour: Color) {
        if let Some([first, last]) = self.sleeve(a, b, radius, sides, colour) {
            self.face(&first, colour);
            self.face(&last, colour);
        }
    }

    /// The same without its foot, for what stands on the ground or on something else.
    pub fn post(&mut self, foot: Vec3, top: Vec3, radius: (f32, f32), sides: u32, colour: Color) {
        if let Some([_, last]) = self.sleeve(foot, top, radius, sides, colour) {
            self.face(&last, colour);
        }
    }

    /// The skin of a bar; its two ends, each seen from outside, are returned. Nothing for a bar without length.
    fn sleeve(&mut self, a: Vec3, b: Vec3, radius: (f32, f32), sides: u32, colour: Color) -> Option<[Vec<Vec3>; 2]> {
        let along = (b - a).try_normalize()?;
        let u = along.any_orthonormal_vector();
        let v = along.cross(u);
        let ring = |centre: Vec3, r: f32| -> Vec<Vec3> {
            (0..sides)
                .map(|i| {
                    let t = std::f32::consts::TAU * i as f32 / sides as f32;
                    centre + (u * t.cos() + v * t.sin()) * r
                })
                .collect()
        };
        let [mut first, last] = [ring(a, radius.0), ring(b, radius.1)];
        self.loft(&[first.clone(), last.clone()], |_, _| colour);
        first.reverse();
        Some([first, last])
    }

    /// A skin over rings of equally many points; the points run anticlockwise as seen from the end toward which the rings
    /// go. The colour is asked for by ring and by point.
    pub fn loft(&mut self, rings: &[Vec<Vec3>], colour: impl Fn(usize, usize) -> Color) {
        for (r, pair) in rings.windows(2).enumerate() {
            let n = pair[0].len();
            for i in 0..n {
                let j = (i + 1) % n;
                self.face(&[pair[0][i], pair[0][j], pair[1][j], pair[1][i]], colour(r, i));
            }
        }
    }

    /// Everything so far as a mesh.
    pub fn mesh(self) -> Mesh {
        Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::RENDER_WORLD)
            .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, self.at)
            .with_inserted_attribute(NORMAL, VertexAttributeValues::Snorm8x4(self.normal))
            .with_inserted_attribute(COLOUR, VertexAttributeValues::Unorm16x4(self.colour))
            .with_inserted_indices(Indices::U32(self.index))
    }

    /// Number of corners so far.
    pub fn len(&self) -> usize {
        self.at.len()
    }

    /// Whether nothing was drawn.
    pub fn is_empty(&self) -> bool {
        self.at.is_empty()
    }

    /// Highest point so far, metres.
    pub fn top(&self) -> f32 {
        self.at.iter().map(|p| p[1]).fold(narrow(0.0), f32::max)
    }
}

/// Bevy's own attributes in fewer bytes: a corner takes 24, not 48. The shader reads the same numbers, a normal to a hundredth
/// and a colour to 1 in 65 535, and works out the place on the ground grain by itself. They keep the identity of Bevy's
/// attributes, which is what it finds them by.
const NORMAL: MeshVertexAttribute = MeshVertexAttribute::new("Vertex_Normal", 1, VertexFormat::Snorm8x4);
const COLOUR: MeshVertexAttribute = MeshVertexAttribute::new("Vertex_Color", 5, VertexFormat::Unorm16x4);

fn signed_byte(share: f32) -> i8 {
    (share.clamp(-1.0, 1.0) * f32::from(i8::MAX)).round() as i8
}

fn two_bytes(share: f32) -> u16 {
    (share.clamp(0.0, 1.0) * f32::from(u16::MAX)).round() as u16
}

/// A dash pattern, metres.
#[derive(Clone, Copy, Debug)]
pub struct Dashes {
    /// Length of a dash.
    pub dash_m: f64,
    /// Length of a gap.
    pub gap_m: f64,
    /// Bare way before the first dash and after the last.
    pub start_m: f64,
}

/// The part of a line between two distances from its start.
pub fn part_of(line: &[Xy], from_m: f64, to_m: f64) -> Vec<Xy> {
    let mut out = Vec::new();
    let mut s = 0.0;
    for w in line.windows(2) {
        let length = w[0].distance(w[1]);
        let (a, b) = (from_m.max(s), to_m.min(s + length));
        if b > a {
            if out.is_empty() {
                out.push(w[0].lerp(w[1], (a - s) / length));
            }
            out.push(w[0].lerp(w[1], (b - s) / length));
        }
        s += length;
    }
    out
}

/// Cuts an outline into triangles by its ears. A crossing outline gives what can be cut, and the rest is left out.
pub fn triangles(ring: &[Xy]) -> Vec<[Xy; 3]> {
    let mut left: Vec<Xy> = ring.to_vec();
    if signed_area(&left) < 0.0 {
        left.reverse();
    }
    let mut out = Vec::new();
    while left.len() > 3 {
        let n = left.len();
        let ear = (0..n).find(|&i| {
            let (a, b, c) = (left[(i + n - 1) % n], left[i], left[(i + 1) % n]);
            (b - a).cross(c - b) > 0.0
                && !(0..n).any(|k| {
                    let p = left[k];
                    p != a && p != b && p != c && within(p, a, b, c)
                })
        });
        let Some(i) = ear else {
            // Nothing but flat corners: take one away and go on.
            let flat = (0..n).find(|&i| {
                let (a, b, c) = (left[(i + n - 1) % n], left[i], left[(i + 1) % n]);
                (b - a).cross(c - b) == 0.0
            });
            let Some(i) = flat else { return out };
            left.remove(i);
            continue;
        };
        out.push([left[(i + n - 1) % n], left[i], left[(i + 1) % n]]);
        left.remove(i);
    }
    if left.len() == 3 {
        out.push([left[0], left[1], left[2]]);
    }
    out
}

fn within(p: Xy, a: Xy, b: Xy, c: Xy) -> bool {
    (b - a).cross(p - a) >= 0.0 && (c - b).cross(p - b) >= 0.0 && (a - c).cross(p - c) >= 0.0
}

/// Joins a hole to its outline by a seam, so that the two are one outline. A hole that no seam reaches is dropped.
pub fn with_hole(outer: &[Xy], hole: &[Xy]) -> Vec<Xy> {
    let mut outer = outer.to_vec();
    let mut hole = hole.to_vec();
    if signed_area(&outer) < 0.0 {
        outer.reverse();
    }
    if signed_area(&hole) > 0.0 {
        hole.reverse();
    }
    let blocked = |ring: &[Xy], a: Xy, b: Xy| {
        (0..ring.len()).any(|i| {
            let (c, d) = (ring[i], ring[(i + 1) % ring.len()]);
            c != a && c != b && d != a && d != b && crossing(a, b, c, d).is_some()
        })
    };
    for (h, start) in hole.iter().enumerate() {
        for (o, end) in outer.iter().enumerate() {
            if !blocked(&outer, *start, *end) && !blocked(&hole, *start, *end) {
                let mut joined = outer[..=o].to_vec();
                joined.extend(hole[h..].iter().chain(&hole[..=h]));
                joined.extend(&outer[o..]);
                return joined;
            }
        }
    }
    outer
}

#[cfg(test)]
mod tests {
    use super::*;
    use toeline_model::frame::xy;

    fn total(list: &[[Xy; 3]]) -> f64 {
        list.iter().map(|t| signed_area(t)).sum()
    }

    #[test]
    fn an_l_shape_keeps_its_area_in_either_sense() {
        let mut l = vec![xy(0., 0.), xy(4., 0.), xy(4., 1.), xy(1., 1.), xy(1., 3.), xy(0., 3.)];
        assert!((total(&triangles(&l)) - 6.0).abs() < 1e-12);
        l.reverse();
        assert!((total(&triangles(&l)) - 6.0).abs() < 1e-12);
    }

    #[test]
    fn a_courtyard_is_left_open() {
        let outer = [xy(0., 0.), xy(10., 0.), xy(10., 10.), xy(0., 10.)];
        let hole = [xy(4., 4.), xy(6., 4.), xy(6., 6.), xy(4., 6.)];
        let cut = triangles(&with_hole(&outer, &hole));
        assert!((total(&cut) - 96.0).abs() < 1e-9, "area {}", total(&cut));
    }

    #[test]
    fn a_patch_of_ground_faces_up_whichever_way_it_was_drawn() {
        for ring in [
            [xy(0., 0.), xy(1., 0.), xy(0., 1.)],
            [xy(0., 1.), xy(1., 0.), xy(0., 0.)],
        ] {
            let mut s = Sketch::default();
            s.patch(&ring, 0.0, Color::WHITE);
            assert!(s.normal.iter().all(|n| n[1] == i8::MAX));
        }
    }

    #[test]
    fn a_ribbon_round_a_gentle_bend_has_no_gap_and_no_overlap() {
        let bend: Vec<Xy> = (0..=9)
            .map(|i| xy(20.0, 0.0).rotated(f64::from(i) * 10.0_f64.to_radians()))
            .collect();
        let mut s = Sketch::default();
        s.ribbon(&bend, 2.0, 0.0, Color::WHITE);
        // Mitred at the half angle, each piece is a trapezium: width times the chord's length.
        let area: f32 = s
            .index
            .chunks(3)
            .map(|t| {
                let [a, b, c] = [0, 1, 2].map(|i| Vec3::from(s.at[t[i] as usize]));
                (b - a).cross(c - a).length() / 2.0
            })
            .sum();
        let chord = 2.0 * 20.0 * 5.0_f32.to_radians().sin();
        // The two ends are square: each adds or takes a sliver of 1 m · tan 5° / 2, one on each side, so nothing.
        assert!((area - 9.0 * chord * 2.0).abs() < 1e-3, "{area}");
        assert_eq!(s.len(), 9 * 4);
    }

    #[test]
    fn dashes_are_whole() {
        let mut s = Sketch::default();
        let pattern = Dashes {
            dash_m: 30.0,
            gap_m: 20.0,
            start_m: 10.0,
        };
        s.dashes(&[xy(0., 0.), xy(200., 0.)], pattern, 0.3, 0.0, Color::WHITE);
        // 10-40, 60-90, 110-140, 160-190: four dashes of four corners.
        assert_eq!(s.len(), 16);
    }
}
