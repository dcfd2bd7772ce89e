//! Names on the map, for every zoom: at each of a few scales, coarse first, what finds room is placed and stays; a finer
//! scale adds what had none. A name keeps its size and its offset in pixels, so that zooming in only draws names apart.

use super::trace::Pt;
use crate::drawing::labels::beside;
use std::collections::HashMap;

/// A box in pixels: left, top, right, bottom.
pub(super) type Box4 = [f64; 4];

/// Where a name may stand.
pub(super) enum Where {
    /// Around a place: right, left, above, below, then the corners, near first.
    Around(Pt),
    /// On a place, or around it.
    On(Pt),
    /// On or beside a line, again and again: places along it with its direction, and half its width in metres.
    Along(Vec<(Pt, Pt)>, f64),
}

/// A name that wants a place.
pub(super) struct Wish {
    pub(super) at: Where,
    /// Coarsest scale at which it is told.
    pub(super) level: usize,
    /// Width and height of its box, px.
    pub(super) size: (f64, f64),
    /// Whether a thin line leads to its place when it stands away from it.
    pub(super) leader: bool,
    /// What is told again and again is not told twice near one another.
    pub(super) text: String,
}

/// A name that has one.
pub(super) struct Put {
    /// Number of the wish.
    pub(super) wish: usize,
    /// Number of the scale from which it is shown.
    pub(super) level: usize,
    /// Number of the scale from which it is not shown any more, because another name has come in its way there.
    pub(super) until: usize,
    /// Place it belongs to, metres on the map.
    pub(super) at: Pt,
    /// Middle of its box from there, px.
    pub(super) off: Pt,
    /// Whether a line leads to it.
    pub(super) led: bool,
}

/// How far around its place a name is tried, px.
const RINGS: [f64; 7] = [8.0, 18.0, 32.0, 52.0, 76.0, 104.0, 136.0];
/// A name without a line to its place stands in one of the first of these.
const RINGS_UNLED: usize = 2;
/// The same name is not told nearer than this along a line, px.
const AGAIN_PX: f64 = 420.0;
/// Finest scale at which names are told again: beyond it their number would only weigh.
const AGAIN_LEVELS: usize = 6;
/// Room for the scale bar in the lower left corner, px.
const BAR_PX: (f64, f64) = (160.0, 36.0);
/// Beyond the edge of what is shown at first a name keeps off it by this, px.
const EDGE_PX: f64 = 60.0;
/// Side of a cell in which boxes are looked up, px.
const CELL: f64 = 48.0;

/// Boxes that are taken, found by cell.
#[derive(Default)]
struct Taken {
    boxes: Vec<Box4>,
    cells: HashMap<(i32, i32), Vec<u32>>,
}

impl Taken {
    fn cells_of(b: &Box4) -> impl Iterator<Item = (i32, i32)> + use<> {
        let at = |v: f64| (v / CELL).floor() as i32;
        let (x0, y0, x1, y1) = (at(b[0]), at(b[1]), at(b[2]), at(b[3]));
        (x0..=x1).flat_map(move |x| (y0..=y1).map(move |y| (x, y)))
    }

    fn add(&mut self, b: Box4) {
        let number = self.boxes.len() as u32;
        for cell in Taken::cells_of(&b) {
            self.cells.entry(cell).or_default().push(number);
        }
        self.boxes.push(b);
    }

    fn free(&self, b: &Box4) -> bool {
        let hits = |i: &u32| {
            let t = &self.boxes[*i as usize];
            t[0] < b[2] && b[0] < t[2] && t[1] < b[3] && b[1] < t[3]
        };
        !Taken::cells_of(b).any(|c| self.cells.get(&c).is_some_and(|list| list.iter().any(hits)))
    }
}

/// What names are placed on.
pub(super) struct Sheet<'a> {
    /// Scales, px for a metre, coarse first.
    pub(super) levels: &'a [f64],
    /// Ground that the map shows before anything is moved, metres: left, top, right, bottom. Up to the scale `home_level`
    /// no name is cut by its edge.
    pub(super) home: Box4,
    /// Number of the scale at which the map is printed.
    pub(super) home_level: usize,
    /// Half the width and height of the printed map, px: its edge cuts no name either.
    pub(super) print_half: Pt,
    /// Lines that must stay seen.
    pub(super) keep_off: &'a [Vec<Pt>],
}

fn about((x, y): Pt, (w, h): (f64, f64)) -> Box4 {
    [x - w / 2.0, y - h / 2.0, x + w / 2.0, y + h / 2.0]
}

fn scaled((x, y): Pt, s: f64) -> Pt {
    (x * s, y * s)
}

fn plus(a: Pt, b: Pt) -> Pt {
    (a.0 + b.0, a.1 + b.1)
}

impl Sheet<'_> {
    /// Finds places; the first wishes choose first.
    pub(super) fn place(&self, wishes: &[Wish]) -> Vec<Put> {
        let mut puts: Vec<Put> = Vec::new();
        let mut has = vec![false; wishes.len()];
        for (level, &s) in self.levels.iter().enumerate() {
            let mut taken = Taken::default();
            for line in self.keep_off {
                spaced(line, s, 12.0, |p, _| taken.add(about(p, (11.0, 11.0))));
            }
            let mut names = Taken::default();
            // Where each repeated text stands already, px at this scale.
            let mut told: HashMap<&str, Vec<Pt>> = HashMap::new();
            for p in puts.iter_mut().filter(|p| p.until > level) {
                let (w, middle) = (&wishes[p.wish], plus(scaled(p.at, s), p.off));
                let b = about(middle, w.size);
                if names.free(&b) {
                    names.add(b);
                    taken.add(b);
                } else {
                    // Zooming in has moved two names toward one another: this one looks for a new place.
                    p.until = level;
                    has[p.wish] = false;
                    continue;
                }
                if matches!(w.at, Where::Along(..)) {
                    told.entry(&w.text).or_default().push(middle);
                }
            }
            let inside = |b: &Box4| {
                let h = self.home.map(|v| v * s);
                // A window shows more than that ground on two sides, so that what lies beyond those is not cut.
                let across = b[0] >= h[0] && b[2] <= h[2];
                let up = b[1] >= h[1] && b[3] <= h[3];
                let above_or_below = b[3] <= h[1] - EDGE_PX || b[1] >= h[3] + EDGE_PX;
                let beside = b[2] <= h[0] - EDGE_PX || b[0] >= h[2] + EDGE_PX;
                level > self.home_level || across && (up || above_or_below) || up && beside
            };
            let (px, py) = self.print_half;
            let whole_in_print = |at: Pt, off: Pt, size: (f64, f64)| {
                let b = about(plus(scaled(at, self.levels[self.home_level]), off), size);
                let in_it = b[0] >= -px && b[2] <= px && b[1] >= -py && b[3] <= py;
                let out_of_it = b[0] >= px || b[2] <= -px || b[1] >= py || b[3] <= -py;
                level > self.home_level || in_it || out_of_it
            };
            if level <= self.home_level {
                let (left, bottom) = (self.home[0] * s, self.home[3] * s);
                taken.add([left, bottom - BAR_PX.1, left + BAR_PX.0, bottom]);
            }
            for (number, w) in wishes.iter().enumerate().filter(|(_, w)| w.level <= level) {
                let mut take = |at: Pt, off: Pt, led: bool| {
                    let b = about(plus(scaled(at, s), off), w.size);
                    let found = inside(&b) && whole_in_print(at, off, w.size) && taken.free(&b);
                    if found {
                        taken.add(b);
                        puts.push(Put {
                            wish: number,
                            level,
                            until: self.levels.len(),
                            at,
                            off,
                            led,
                        });
                    }
                    found
                };
                match &w.at {
                    Where::Around(_) | Where::On(_) if has[number] => {}
                    Where::On(at) => has[number] = take(*at, (0.0, 0.0), false) || around(*at, w, &mut take),
                    Where::Around(at) => has[number] = around(*at, w, &mut take),
                    Where::Along(..) if level > AGAIN_LEVELS && has[number] => {}
                    Where::Along(places, half_m) => {
                        for (at, (dx, dy)) in places {
                            let middle = scaled(*at, s);
                            let near = |p: &Pt| (p.0 - middle.0).abs().max((p.1 - middle.1).abs()) < AGAIN_PX;
                            if told.get(w.text.as_str()).is_some_and(|list| list.iter().any(near)) {
                                continue;
                            }
                            let beside = half_m * s + 4.0 + (w.size.0 * dy.abs() + w.size.1 * dx.abs()) / 2.0 + 6.0;
                            let offs = [(0.0, 0.0), (-dy * beside, dx * beside), (dy * beside, -dx * beside)];
                            if offs.into_iter().any(|off| take(*at, off, false)) {
                                has[number] = true;
                                told.entry(&w.text).or_default().push(middle);
                            }
                        }
                    }
                }
            }
        }
        puts
    }
}

fn around(at: Pt, w: &Wish, take: &mut dyn FnMut(Pt, Pt, bool) -> bool) -> bool {
    let most = if w.leader { RINGS.len() } else { RINGS_UNLED };
    for away in RINGS.into_iter().take(most) {
        let (dx, dy) = (away + w.size.0 / 2.0, away + w.size.1 / 2.0);
        if beside(dx, dy)
            .into_iter()
            .any(|off| take(at, off, w.leader && away > RINGS[0]))
        {
            return true;
        }
    }
    false
}

/// Calls with places along a line of the map, about every `step` px at a scale, in px, and the line's direction there.
pub(super) fn spaced(line: &[Pt], s: f64, step: f64, mut with: impl FnMut(Pt, Pt)) {
    let mut left_over = 0.0;
    for w in line.windows(2) {
        let (a, b) = (scaled(w[0], s), scaled(w[1], s));
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = (dx * dx + dy * dy).sqrt();
        if length <= 0.0 {
            continue;
        }
        let mut at = left_over;
        while at < length {
            with(
                (a.0 + dx * at / length, a.1 + dy * at / length),
                (dx / length, dy / length),
            );
            at += step;
        }
        left_over = at - length;
    }
}
