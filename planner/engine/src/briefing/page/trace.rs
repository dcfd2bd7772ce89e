//! Lines of the ground as SVG path data: metres from the middle of the map, x right, y down; short, because every step is
//! written as its difference.

use std::fmt::Write as _;
use toeline_model::Xy;
use toeline_model::planar::bounds;

/// A place on the map, metres right of and below its middle.
pub(super) type Pt = (f64, f64);

/// Where the map's middle lies.
#[derive(Clone, Copy)]
pub(super) struct Frame {
    pub(super) middle: Xy,
}

impl Frame {
    /// Where a place of the field lies on the map.
    pub(super) fn pt(&self, p: Xy) -> Pt {
        (p.x - self.middle.x, self.middle.y - p.y)
    }
}

/// What keeps a line as wide at every zoom. An attribute, because rules of the style sheet do not reach what a "use" shows,
/// and because the HTML checker's style checker does not know the property.
pub(super) const STEADY: &str = "vector-effect=\"non-scaling-stroke\"";

/// Path data being written.
pub(super) struct Trace {
    frame: Frame,
    /// Steps of a metre that are kept.
    per_m: f64,
    d: String,
}

impl Trace {
    /// To a decimetre: what lies on the field.
    pub(super) fn coarse(frame: Frame) -> Trace {
        Trace {
            frame,
            per_m: 10.0,
            d: String::new(),
        }
    }

    /// To a centimetre: the way and what is measured.
    pub(super) fn fine(frame: Frame) -> Trace {
        Trace {
            frame,
            per_m: 100.0,
            d: String::new(),
        }
    }

    /// Adds a line, or a closed ring; nothing for fewer than two points.
    pub(super) fn add(&mut self, points: &[Xy], closed: bool) {
        if points.len() < 2 {
            return;
        }
        let mut last: Option<(i64, i64)> = None;
        let mut drawn = false;
        for p in points {
            let (x, y) = self.frame.pt(*p);
            let now = (self.whole(x), self.whole(y));
            match last {
                None => {
                    self.d.push('M');
                    self.pair(now);
                }
                Some(before) if before == now => continue,
                Some(before) => {
                    if !drawn {
                        self.d.push('l');
                        drawn = true;
                    } else if now.0 >= before.0 {
                        self.d.push(' ');
                    }
                    self.pair((now.0 - before.0, now.1 - before.1));
                }
            }
            last = Some(now);
        }
        // A line that shrinks to a point still shows as a dot where its ends are round.
        self.d.push_str(match (drawn, closed) {
            (_, true) => "z",
            (false, false) => "h0",
            _ => "",
        });
    }

    /// Adds a circle.
    pub(super) fn disc(&mut self, at: Xy, radius_m: f64) {
        let (x, y) = self.frame.pt(at);
        let (x, y, r) = (self.whole(x), self.whole(y), self.whole(radius_m).max(1));
        self.d.push('M');
        self.pair((x - r, y));
        for way in [2 * r, -2 * r] {
            self.d.push('a');
            self.pair((r, r));
            self.d.push_str(" 0 1 0");
            if way >= 0 {
                self.d.push(' ');
            }
            self.pair((way, 0));
        }
        self.d.push('z');
    }

    fn whole(&self, m: f64) -> i64 {
        let kept = if m.is_finite() {
            m.clamp(-100_000.0, 100_000.0)
        } else {
            0.0
        };
        (kept * self.per_m).round() as i64
    }

    fn pair(&mut self, (a, b): (i64, i64)) {
        self.number(a);
        if b >= 0 {
            self.d.push(' ');
        }
        self.number(b);
    }

    fn number(&mut self, n: i64) {
        let per_m = self.per_m as i64;
        let (size, sign) = (n.abs(), if n < 0 { "-" } else { "" });
        let _ = write!(self.d, "{sign}{}", size / per_m);
        let mut rest = size % per_m;
        let mut unit = per_m / 10;
        if rest > 0 {
            self.d.push('.');
        }
        while rest > 0 {
            let _ = write!(self.d, "{}", rest / unit);
            rest %= unit;
            unit /= 10;
        }
    }

    /// Whether nothing was added.
    pub(super) fn is_empty(&self) -> bool {
        self.d.is_empty()
    }

    /// The path data so far.
    pub(super) fn finish(self) -> String {
        self.d
    }

    /// Writes it as one path of a class; nothing when nothing was added.
    pub(super) fn path(self, out: &mut String, class: &str) {
        if !self.is_empty() {
            let _ = writeln!(out, "<path class=\"{class}\" {STEADY} d=\"{}\"/>", self.d);
        }
    }
}

/// A line with fewer points: every one that is left out lies within `within_m` of the line that is kept. One pass: from a
/// kept point, the cone of directions that pass near enough by all points since.
pub(super) fn thinned(line: &[Xy], within_m: f64) -> Vec<Xy> {
    let Some(first) = line.first() else { return Vec::new() };
    let mut kept = vec![*first];
    let (mut from, mut cone): (Xy, Option<(f64, f64)>) = (*first, None);
    let mut farthest = 0.0_f64;
    for w in line.windows(2) {
        let (before, p) = (w[0], w[1]);
        let mut d = p - from;
        let mut r = d.norm();
        // A turn back toward the kept point ends its line as well.
        let fits = |cone: Option<(f64, f64)>, d: Xy, r: f64| match cone {
            _ if r <= within_m => farthest <= within_m,
            Some((lo, hi)) => {
                let a = turned(lo, d);
                a >= 0.0 && a <= hi - lo && r >= farthest - within_m
            }
            None => true,
        };
        if !fits(cone, d, r) {
            kept.push(before);
            (from, cone, farthest) = (before, None, 0.0);
            d = p - from;
            r = d.norm();
        }
        farthest = farthest.max(r);
        if r > within_m {
            let (to, half) = (d.direction().rad(), (within_m / r).asin());
            cone = Some(match cone {
                None => (to - half, to + half),
                Some((lo, hi)) => {
                    let middle = lo + turned(lo, d);
                    (lo.max(middle - half), hi.min(middle + half))
                }
            });
        }
    }
    if let Some(last) = line.last()
        && line.len() > 1
    {
        kept.push(*last);
    }
    kept
}

/// Angle from a direction to that of a step, radians, between -π and π.
fn turned(from_rad: f64, d: Xy) -> f64 {
    toeline_model::angle::wrap(d.direction().rad() - from_rad)
}

/// The parts of a line that run near a box of ground: every segment whose own box meets it, joined where they follow one
/// another.
pub(super) fn clipped<'a>(line: &'a [Xy], near: &'a (Xy, Xy)) -> impl Iterator<Item = &'a [Xy]> {
    let (lo, hi) = near;
    let meets = move |a: Xy, b: Xy| {
        a.x.min(b.x) <= hi.x && a.x.max(b.x) >= lo.x && a.y.min(b.y) <= hi.y && a.y.max(b.y) >= lo.y
    };
    let mut at = 0;
    std::iter::from_fn(move || {
        while at + 1 < line.len() && !meets(line[at], line[at + 1]) {
            at += 1;
        }
        if at + 1 >= line.len() {
            return None;
        }
        let from = at;
        while at + 1 < line.len() && meets(line[at], line[at + 1]) {
            at += 1;
        }
        Some(&line[from..=at])
    })
}

/// Whether the box around some points shares ground with another box.
pub(super) fn meets(points: &[Xy], (lo, hi): &(Xy, Xy)) -> bool {
    bounds(points.iter().copied()).is_some_and(|(a, b)| a.x <= hi.x && b.x >= lo.x && a.y <= hi.y && b.y >= lo.y)
}

#[cfg(test)]
mod tests {
    use super::*;
    use toeline_model::frame::xy;
    use toeline_model::planar::closest_on_line;

    #[test]
    fn path_data_is_short_and_true() {
        let frame = Frame {
            middle: xy(100.0, 50.0),
        };
        let mut t = Trace::fine(frame);
        t.add(
            &[xy(100.0, 50.0), xy(101.5, 50.0), xy(101.25, 49.0), xy(101.25, 49.001)],
            false,
        );
        assert_eq!(t.finish(), "M0 0l1.5 0-0.25 1");
        let mut t = Trace::coarse(frame);
        t.add(&[xy(90.0, 60.0), xy(110.0, 60.0), xy(110.0, 40.0)], true);
        assert_eq!(t.finish(), "M-10-10l20 0 0 20z");
    }

    #[test]
    fn what_is_left_out_lies_near_what_is_kept() {
        // A ring road with a spike and a way back over itself.
        let mut line: Vec<_> = (0..400)
            .map(|i| {
                let a = f64::from(i) * 0.01;
                xy(100.0 * a.cos(), 100.0 * a.sin())
            })
            .collect();
        line.extend([
            xy(0.0, 0.0),
            xy(30.0, 0.0),
            xy(10.0, 0.0),
            xy(10.0, 0.05),
            xy(40.0, 0.0),
        ]);
        for within in [0.02, 0.2, 3.0] {
            let kept = thinned(&line, within);
            assert!(kept.len() < line.len() / 2, "{}", kept.len());
            for p in &line {
                let (q, _, _) = closest_on_line(*p, &kept).unwrap();
                assert!(
                    q.distance(*p) <= within + 1e-9,
                    "{within}: {p:?} is {} off",
                    q.distance(*p)
                );
            }
        }
    }

    #[test]
    fn a_line_is_cut_to_what_is_near() {
        let line: Vec<_> = (0..=10).map(|i| xy(f64::from(i) * 10.0, 0.0)).collect();
        let near = (xy(25.0, -5.0), xy(44.0, 5.0));
        let parts: Vec<_> = clipped(&line, &near).collect();
        assert_eq!(parts, [&line[2..=5]]);
        assert_eq!(clipped(&line, &(xy(0.0, 5.0), xy(9.0, 9.0))).count(), 0);
    }
}
