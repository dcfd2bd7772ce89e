//! Names on the chart: put where there is room, in order of weight, and dropped rather than laid over one another.
//!
//! What is taken is kept in a grid, so that a name asks its neighbours only: a large field has thousands of them.

use super::sheet::{Sheet, Spot, Type, fitted, stroke, text_width};
use super::typeface::settable;
use super::view::Rect;

/// What is taken already.
pub(crate) struct Labels {
    area: Rect,
    pen: Pen,
    boxes: Vec<Taken>,
    columns: usize,
    cells: Vec<Vec<u32>>,
    told: Vec<Spot>,
    /// Letters shown as a box, as they came.
    pub(crate) lacking: Vec<char>,
}

#[derive(Clone, Copy)]
struct Taken {
    rect: Rect,
    /// A line that must stay seen; marks may lie on it, names may not.
    line: bool,
}

/// What the names of a sheet are drawn with, mm.
#[derive(Clone, Copy)]
pub(crate) struct Pen {
    /// Width of the line that leads to a name.
    pub(crate) leader: f64,
    /// Width of the edge of a name's box.
    pub(crate) edge: f64,
    /// Longest label.
    pub(crate) longest: f64,
    /// Whether a letter that the type lacks is shown as a box.
    pub(crate) settable: bool,
}

/// The pen of the charts.
const CHART: Pen = Pen {
    leader: 0.18,
    edge: 0.18,
    longest: 46.0,
    settable: false,
};

/// A name that wants a place.
pub(crate) struct Name<'a> {
    /// Text.
    pub(crate) text: &'a str,
    /// Height of the type, mm.
    pub(crate) size: f64,
    /// Whether it is bold.
    pub(crate) bold: bool,
    /// Colour of the type.
    pub(crate) fill: &'a str,
    /// Colour of a box behind it, or "none".
    pub(crate) plate: &'a str,
    /// Whether a thin line leads to the spot when it stands away from it.
    pub(crate) leader: bool,
}

/// Side of a cell of the grid, mm.
const CELL: f64 = 6.0;
/// A name this near to a told one is the same thing, mm.
const TOLD_WITHIN: f64 = 4.0;
/// How far around its spot a label is tried, mm.
const RINGS: [f64; 9] = [2.2, 3.2, 4.6, 6.5, 9.0, 13.0, 18.0, 25.0, 34.0];
/// Farther than this from its spot a name has a line that leads to it, mm.
const LED_BEYOND: f64 = 3.2;
/// A name without such a line stays this near, mm: farther off it would seem to belong to something else.
const UNLED_WITHIN: f64 = 4.6;
/// A name with such a line is not tried farther off than this, mm, unless it must be there.
const LED_WITHIN: f64 = 13.0;
/// Marks this near to a spot are at it, mm: stops may stand a few metres apart.
const AT_SPOT: f64 = 1.0;
/// Room between two names, across and up, mm: nearer they read as one.
const APART: (f64, f64) = (1.0, 0.3);

impl Labels {
    /// An empty chart area.
    pub(crate) fn new(area: Rect) -> Labels {
        Labels::with(area, CHART)
    }

    /// An empty area whose names are drawn with another pen than the chart's.
    pub(crate) fn with(area: Rect, pen: Pen) -> Labels {
        let columns = (area.width / CELL).ceil().max(1.0) as usize;
        let rows = (area.height / CELL).ceil().max(1.0) as usize;
        Labels {
            area,
            pen,
            boxes: Vec::new(),
            columns,
            cells: vec![Vec::new(); columns * rows],
            told: Vec::new(),
            lacking: Vec::new(),
        }
    }

    /// The cells that a box lies in; what lies off the area counts to its nearest ones.
    fn cells_of(&self, rect: &Rect) -> impl Iterator<Item = usize> + use<> {
        let (columns, rows) = (self.columns, self.cells.len() / self.columns);
        let cell = |v: f64, most: usize| ((v / CELL).max(0.0) as usize).min(most - 1);
        let (x0, y0) = (rect.x - self.area.x, rect.y - self.area.y);
        let across = cell(x0, columns)..=cell(x0 + rect.width, columns);
        let down = cell(y0, rows)..=cell(y0 + rect.height, rows);
        down.flat_map(move |row| across.clone().map(move |column| row * columns + column))
    }

    fn keep(&mut self, rect: Rect, line: bool) {
        let index = self.boxes.len() as u32;
        for cell in self.cells_of(&rect) {
            self.cells[cell].push(index);
        }
        self.boxes.push(Taken { rect, line });
    }

    fn meets(&self, rect: &Rect, counts: impl Fn(&Taken) -> bool) -> bool {
        self.cells_of(rect).any(|cell| {
            let here = self.cells[cell].iter().filter_map(|i| self.boxes.get(*i as usize));
            here.filter(|t| counts(t)).any(|t| t.rect.meets(rect))
        })
    }

    /// Keeps names off a line that must stay seen.
    pub(crate) fn keep_off(&mut self, spot: Spot, size: f64) {
        self.keep(Rect::about(spot, size, size), true);
    }

    /// Says that the name at a spot is told already, so that the field does not tell it again.
    pub(crate) fn tell(&mut self, spot: Spot) {
        self.told.push(spot);
    }

    /// Whether the name at a spot is told already.
    pub(crate) fn is_told(&self, (x, y): Spot) -> bool {
        self.told
            .iter()
            .any(|(a, b)| (a - x).abs().max((b - y).abs()) < TOLD_WITHIN)
    }

    fn free(&self, rect: &Rect, over_lines: bool) -> bool {
        self.area.holds(rect) && !self.meets(rect, |t| !(over_lines && t.line))
    }

    /// Whether a line that must stay seen comes within a distance of a spot, mm.
    pub(crate) fn near_line(&self, spot: Spot, within: f64) -> bool {
        self.meets(&Rect::about(spot, 2.0 * within, 2.0 * within), |t| t.line)
    }

    /// Takes a box if it is free; `over_lines` lets it lie on the way itself.
    pub(crate) fn take(&mut self, rect: Rect, over_lines: bool) -> bool {
        let free = self.free(&rect, over_lines);
        if free {
            self.keep(rect, false);
        }
        free
    }

    /// Takes a box even over others: a mark that stands where it stands.
    pub(crate) fn mark(&mut self, rect: Rect) {
        self.keep(rect, false);
    }

    /// Takes the box of a name, which keeps some room to other names.
    fn take_name(&mut self, rect: Rect) -> bool {
        let (x, y) = APART;
        let wider = Rect {
            x: rect.x - x,
            y: rect.y - y,
            width: rect.width + 2.0 * x,
            height: rect.height + 2.0 * y,
        };
        let free = self.free(&rect, false) && !self.meets(&wider, |t| !t.line);
        if free {
            self.keep(rect, false);
        }
        free
    }

    /// Tries a name centred on each of the given spots.
    pub(crate) fn on(&mut self, sheet: &mut Sheet, spots: &[Spot], name: &Name<'_>) -> bool {
        let (text, width, height) = self.measure(name);
        for spot in spots {
            let rect = Rect::about(*spot, width, height);
            if self.take_name(rect) {
                self.write(sheet, &rect, &text, name);
                return true;
            }
        }
        false
    }

    /// Tries a name around a spot: right, left, above, below, then the corners, near first.
    pub(crate) fn around(&mut self, sheet: &mut Sheet, spot: Spot, name: &Name<'_>) -> bool {
        self.within(sheet, spot, name, LED_WITHIN)
    }

    /// The same up to a distance, mm, for what must be named.
    pub(crate) fn within(&mut self, sheet: &mut Sheet, spot: Spot, name: &Name<'_>, far: f64) -> bool {
        // Where marks stand close, a line that crosses one of them is better than no name.
        self.tried(sheet, spot, name, far, false) || far > LED_WITHIN && self.tried(sheet, spot, name, far, true)
    }

    fn tried(&mut self, sheet: &mut Sheet, spot: Spot, name: &Name<'_>, far: f64, crossing: bool) -> bool {
        let (text, width, height) = self.measure(name);
        let far = if name.leader { far } else { UNLED_WITHIN };
        for away in RINGS.into_iter().filter(|r| *r <= far) {
            let (dx, dy) = (away + width / 2.0, away + height / 2.0);
            for (px, py) in beside(dx, dy) {
                let rect = Rect::about((spot.0 + px, spot.1 + py), width, height);
                let led = (name.leader && away > LED_BEYOND).then(|| toward(&rect, spot));
                if led.is_some_and(|to| !crossing && !self.leads(spot, to)) || !self.take_name(rect) {
                    continue;
                }
                if let Some(to) = led {
                    sheet.line(&[spot, to], &stroke("#222", self.pen.leader));
                    for at in between(spot, to) {
                        self.keep_off(at, 0.6);
                    }
                }
                self.write(sheet, &rect, &text, name);
                return true;
            }
        }
        false
    }

    /// Whether a line may lead from a spot: it crosses no other name or mark on its way, those at the spot apart.
    fn leads(&self, from: Spot, to: Spot) -> bool {
        let own = Rect::about(from, 2.0 * AT_SPOT, 2.0 * AT_SPOT);
        !between(from, to).any(|at| {
            let here = Rect::about(at, 0.4, 0.4);
            self.meets(&here, |t| !t.line && !t.rect.meets(&own))
        })
    }

    fn measure(&self, name: &Name<'_>) -> (String, f64, f64) {
        let text = fitted(name.text, name.size, name.bold, self.pen.longest);
        let text = if self.pen.settable { settable(&text).0 } else { text };
        let width = text_width(&text, name.size, name.bold) + 0.8 + self.pen.edge;
        (text, width, name.size * 1.25)
    }

    fn write(&mut self, sheet: &mut Sheet, rect: &Rect, text: &str, name: &Name<'_>) {
        if self.pen.settable {
            self.lacking.extend(settable(name.text).1);
        }
        if name.plate != "none" {
            let edge = super::sheet::area(name.plate, "#222", self.pen.edge);
            sheet.frame((rect.x, rect.y), rect.width, rect.height, &edge);
        }
        let look = Type {
            size: name.size,
            fill: name.fill,
            anchor: "middle",
            bold: name.bold,
            rim: name.plate == "none",
        };
        let (x, y) = rect.middle();
        // The middle of capital letters lies about a third of the type's height above its foot.
        sheet.text((x, y + name.size * 0.35), &look, text);
    }
}

/// The point of a box's edge that is nearest to a spot.
fn toward(rect: &Rect, (x, y): Spot) -> Spot {
    (
        x.clamp(rect.x, rect.x + rect.width),
        y.clamp(rect.y, rect.y + rect.height),
    )
}

/// Spots of a line, less than a millimetre apart, its ends left out.
fn between(from: Spot, to: Spot) -> impl Iterator<Item = Spot> {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let steps = ((dx * dx + dy * dy).sqrt() / 0.8).ceil().max(1.0) as usize;
    (1..steps).map(move |i| {
        let share = i as f64 / steps as f64;
        (from.0 + dx * share, from.1 + dy * share)
    })
}

/// Where a name may stand beside its place: right, left, above, below, then the corners.
pub(crate) fn beside(dx: f64, dy: f64) -> [(f64, f64); 12] {
    [
        (dx, 0.0),
        (-dx, 0.0),
        (0.0, -dy),
        (0.0, dy),
        (dx * 0.8, -dy),
        (-dx * 0.8, -dy),
        (dx * 0.8, dy),
        (-dx * 0.8, dy),
        (dx, -dy / 2.0),
        (-dx, -dy / 2.0),
        (dx, dy / 2.0),
        (-dx, dy / 2.0),
    ]
}
