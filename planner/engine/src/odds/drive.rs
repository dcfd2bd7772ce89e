//! One pupil's drive past the bodies, and thousands of them on all cores.
//!
//! The nose wheel runs beside the driven path by the pupil's deviation; the axis follows by the tractrix, exactly for the
//! chords between stations. What the chords leave out is the same on the driven path itself, where the exact heading is
//! known, and is taken away: the heading is the exact one turned by the difference of the two tractrices.

use super::bodies::{Body, Touch};
use super::seed::Stream;
use super::stations::{Stations, follow};
use super::wander::{Chain, State};
use rayon::prelude::*;
use toeline_model::aircraft::parts::Part;
use toeline_model::frame::xy;
use toeline_model::planar::{self, convex_hull};
use toeline_model::{Xy, math};

/// Wheelbases of way before a window over which the tractrix forgets how it began: e^−12.
const FORGETS: f64 = 12.0;

/// Everything a drive reads.
pub(super) struct Course<'a> {
    pub(super) stations: &'a Stations,
    pub(super) parts: &'a [Part],
    /// Each part's corners from the nose wheel, in the aeroplane's axes.
    pub(super) corners: Vec<Vec<Xy>>,
    pub(super) bodies: &'a [Body],
    /// Windows of stations that are driven; the rest is too far from anything.
    windows: Vec<Window>,
    spread_m: f64,
    accuracy_m: f64,
    parked: bool,
    chain: Chain,
}

/// A run of steps, with the chord tractrix of the driven path itself.
struct Window {
    from: usize,
    to: usize,
    /// Axis by chords at each station from `from` to `to`.
    plain: Vec<Xy>,
    /// What may be touched in each step: index of the body, part, gap in metres on the driven path.
    near: Vec<Vec<(usize, usize, f64)>>,
}

/// What became of a number of drives.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Tally {
    /// Drives that touched anything, as mapped and with the map off.
    pub(super) any: [u32; 2],
    /// The same for each group of bodies.
    pub(super) groups: Vec<[u32; 2]>,
    /// First touches as mapped, by body and part.
    pub(super) parts: Vec<Vec<u32>>,
}

impl Tally {
    fn new(groups: usize, bodies: usize, parts: usize) -> Tally {
        Tally {
            any: [0; 2],
            groups: vec![[0; 2]; groups],
            parts: vec![vec![0; parts]; bodies],
        }
    }

    fn plus(mut self, other: &Tally) -> Tally {
        let add = |a: &mut [u32; 2], b: &[u32; 2]| (0..2).for_each(|i| a[i] += b[i]);
        add(&mut self.any, &other.any);
        self.groups.iter_mut().zip(&other.groups).for_each(|(a, b)| add(a, b));
        for (a, b) in self.parts.iter_mut().zip(&other.parts) {
            a.iter_mut().zip(b).for_each(|(a, b)| *a += b);
        }
        self
    }
}

/// A pose with how far it is from the driven one.
#[derive(Clone, Copy)]
struct At {
    nose: Xy,
    axis: Xy,
    aside_m: f64,
    turned: f64,
}

#[derive(Default)]
struct Scratch {
    knots: Vec<State>,
    /// Where each stretch's knots begin.
    begins: Vec<usize>,
    hits: Vec<[Option<usize>; 2]>,
    groups: Vec<[bool; 2]>,
}

impl<'a> Course<'a> {
    pub(super) fn new(
        stations: &'a Stations,
        parts: &'a [Part],
        bodies: &'a [Body],
        spread_m: f64,
        accuracy_m: f64,
        parked: bool,
    ) -> Course<'a> {
        let nose = xy(stations.wheelbase_m, 0.0);
        let corners = parts
            .iter()
            .map(|p| p.outline.iter().map(|q| *q - nose).collect())
            .collect();
        Course {
            stations,
            parts,
            corners,
            bodies,
            windows: windows(stations, bodies),
            spread_m,
            accuracy_m,
            parked,
            chain: Chain::new(),
        }
    }

    /// Drives pupils 0 to `drives` of a seed. The counts are whole numbers, so that their sum does not depend on who
    /// counts what.
    pub(super) fn drive_all(&self, seed: u64, drives: u32, groups: &[usize]) -> Tally {
        let count = groups.iter().max().map_or(0, |g| g + 1);
        let empty = || Tally::new(count, self.bodies.len(), self.parts.len());
        const CHUNK: u32 = 64;
        (0..drives.div_ceil(CHUNK))
            .into_par_iter()
            .map_init(Scratch::default, |scratch, chunk| {
                let mut tally = empty();
                for pupil in chunk * CHUNK..drives.min((chunk + 1) * CHUNK) {
                    self.drive(Stream::of(seed, u64::from(pupil)), scratch);
                    self.count(scratch, groups, &mut tally);
                }
                tally
            })
            .reduce(empty, |a, b| a.plus(&b))
    }

    fn count(&self, scratch: &mut Scratch, groups: &[usize], tally: &mut Tally) {
        scratch.groups.clear();
        scratch.groups.resize(tally.groups.len(), [false; 2]);
        for (body, hit) in scratch.hits.iter().enumerate() {
            for (any, part) in scratch.groups[groups[body]].iter_mut().zip(hit) {
                *any |= part.is_some();
            }
            if let Some(part) = hit[0] {
                tally.parts[body][part] += 1;
            }
        }
        for level in 0..2 {
            tally.any[level] += u32::from(scratch.groups.iter().any(|g| g[level]));
            for (count, hit) in tally.groups.iter_mut().zip(&scratch.groups) {
                count[level] += u32::from(hit[level]);
            }
        }
    }

    /// One drive; what it touches goes to `scratch.hits`.
    fn drive(&self, stream: Stream, scratch: &mut Scratch) {
        scratch.knots.clear();
        scratch.begins.clear();
        let mut drawn = 0;
        for (k, last) in self.stations.knots.iter().enumerate() {
            scratch.begins.push(scratch.knots.len());
            let parked = self.parked || k > 0;
            self.chain.draw(stream, drawn, *last, parked, &mut scratch.knots);
            drawn += *last as u64 + 1;
        }
        scratch.hits.clear();
        scratch.hits.resize(self.bodies.len(), [None; 2]);
        for w in &self.windows {
            self.window(w, scratch);
        }
    }

    fn window(&self, w: &Window, scratch: &mut Scratch) {
        let d = self.stations.wheelbase_m;
        let first = &self.stations.list[w.from];
        // The axle has long settled behind the deviated way, or stands on the stand.
        let slope = if first.pushed {
            0.0
        } else {
            let knots = &scratch.knots[scratch.begins[first.stretch - 1] + first.between.knot..];
            first.steady.1 + self.spread_m * self.stations.rate_per_m * first.between.slope(knots)
        };
        let mut axis = turned(first.axis, slope);
        let mut before = self.at(w.from, axis, w.plain[0], scratch);
        for i in w.from..w.to {
            let station = (i + 1).min(self.stations.list.len() - 1);
            let plain = w.plain[i + 1 - w.from];
            let mut after = self.at(station, axis, plain, scratch);
            let (a, b) = self.stations.step(i);
            if b.pushed || a.pushed {
                // Pushed by hand, or set down: on the driven path.
                axis = plain;
            } else {
                axis = follow(axis, after.nose - before.nose, d);
            }
            after = self.at_nose(station, after.nose, after.aside_m, axis, plain);
            for &(body, part, gap_m) in &w.near[i - w.from] {
                self.look(body, part, gap_m, (&before, &after), scratch);
            }
            before = after;
        }
    }

    /// The pose at a station: the nose wheel aside by the deviation.
    fn at(&self, station: usize, axis: Xy, plain: Xy, scratch: &Scratch) -> At {
        let s = &self.stations.list[station];
        let aside_m = if s.pushed {
            0.0
        } else {
            let knots = &scratch.knots[scratch.begins[s.stretch - 1] + s.between.knot..];
            s.steady.0 + self.spread_m * s.between.value(knots)
        };
        self.at_nose(station, s.nose + s.along.left() * aside_m, aside_m, axis, plain)
    }

    fn at_nose(&self, station: usize, nose: Xy, aside_m: f64, axis: Xy, plain: Xy) -> At {
        let exact = self.stations.list[station].axis;
        // The turn from the chord axis of the driven path to that of this drive, put on the exact axis.
        let (c, s) = (plain.dot(axis), plain.cross(axis));
        At {
            nose,
            axis: xy(exact.x * c - exact.y * s, exact.x * s + exact.y * c),
            aside_m,
            turned: ((1.0 - c) * (1.0 - c) + s * s).sqrt(),
        }
    }

    fn look(&self, body: usize, part: usize, gap_m: f64, (a, b): (&At, &At), scratch: &mut Scratch) {
        let reach = self.bodies[body].reaches[part];
        // No corner has gone farther from its driven place than this, so nothing nearer than the gap.
        let moved = (a.aside_m.abs() + reach * a.turned).max(b.aside_m.abs() + reach * b.turned);
        let known = &scratch.hits[body];
        let open = |level: usize, off_m: f64| known[level].is_none() && gap_m <= moved + off_m;
        if !open(0, 0.0) && !open(1, self.accuracy_m) {
            return;
        }
        let mut corners = self.placed(part, a);
        corners.extend(self.placed(part, b));
        let hull = convex_hull(&corners);
        let gap_m = self.bodies[body].distance(&hull, self.accuracy_m);
        let hit = &mut scratch.hits[body];
        if gap_m <= 0.0 && hit[0].is_none() {
            hit[0] = Some(part);
        }
        if gap_m <= self.accuracy_m && hit[1].is_none() {
            hit[1] = Some(part);
        }
    }

    fn placed(&self, part: usize, at: &At) -> Vec<Xy> {
        let (c, s) = (at.axis.x, at.axis.y);
        self.corners[part]
            .iter()
            .map(|q| at.nose + xy(q.x * c - q.y * s, q.x * s + q.y * c))
            .collect()
    }
}

fn turned(axis: Xy, left_rad: f64) -> Xy {
    let (s, c) = math::sin_cos(left_rad);
    xy(axis.x * c - axis.y * s, axis.x * s + axis.y * c)
}

/// The steps in which anything may be touched, and enough before them for the axle to settle.
fn windows(stations: &Stations, bodies: &[Body]) -> Vec<Window> {
    let mut near: Vec<Vec<(usize, usize, f64)>> = vec![Vec::new(); stations.steps()];
    for (k, body) in bodies.iter().enumerate() {
        for Touch { step, part, gap_m, .. } in &body.touches {
            near[*step].push((k, *part, *gap_m));
        }
    }
    let lead_m = FORGETS * stations.wheelbase_m;
    let mut spans: Vec<(usize, usize)> = Vec::new();
    for (i, _) in near.iter().enumerate().filter(|(_, n)| !n.is_empty()) {
        let at_m = stations.list[i].at_m;
        let from = stations.list[..=i].partition_point(|s| s.at_m < at_m - lead_m);
        match spans.last_mut() {
            Some(last) if from <= last.1 => last.1 = i + 1,
            _ => spans.push((from, i + 1)),
        }
    }
    let window = |(from, to): (usize, usize)| {
        let mut plain = vec![stations.list[from].axis];
        for i in from..to {
            let (a, b) = stations.step(i);
            let axis = if a.pushed || b.pushed {
                b.axis
            } else {
                follow(plain[plain.len() - 1], b.nose - a.nose, stations.wheelbase_m)
            };
            plain.push(axis);
        }
        Window {
            from,
            to,
            plain,
            near: near[from..to].to_vec(),
        }
    };
    spans.into_iter().map(window).collect()
}

/// The hull of a part over a step of the driven path itself.
pub(super) fn driven_hull(course_corners: &[Xy], a: (Xy, Xy), b: (Xy, Xy)) -> Vec<Xy> {
    let place = |(nose, axis): (Xy, Xy)| {
        course_corners
            .iter()
            .map(move |q| nose + xy(q.x * axis.x - q.y * axis.y, q.x * axis.y + q.y * axis.x))
    };
    let points: Vec<Xy> = place(a).chain(place(b)).collect();
    planar::convex_hull(&points)
}
