//! Names on the chart: put where there is room, in order of weight, and dropped rather than laid over one another.

use super::sheet::{Sheet, Spot, Type, fitted, stroke, text_width};
use super::view::Rect;

/// What is taken already.
pub(crate) struct Labels {
    area: Rect,
    taken: Vec<Rect>,
    lines: Vec<Rect>,
    told: Vec<Spot>,
}

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

/// Longest label, mm.
const LONGEST: f64 = 46.0;
/// A name this near to a told one is the same thing, mm.
const TOLD_WITHIN: f64 = 4.0;
/// How far around its spot a label is tried, mm.
const RINGS: [f64; 4] = [2.2, 4.5, 8.0, 13.0];

impl Labels {
    /// An empty chart area.
    pub(crate) fn new(area: Rect) -> Labels {
        Labels {
            area,
            taken: Vec::new(),
            lines: Vec::new(),
            told: Vec::new(),
        }
    }

    /// Keeps names off a line that must stay seen.
    pub(crate) fn keep_off(&mut self, spot: Spot, size: f64) {
        self.lines.push(Rect::about(spot, size, size));
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

    /// Takes a box if it is free; `over_lines` lets it lie on the way itself.
    pub(crate) fn take(&mut self, rect: Rect, over_lines: bool) -> bool {
        let free = self.area.holds(&rect)
            && !self.taken.iter().any(|t| t.meets(&rect))
            && (over_lines || !self.lines.iter().any(|t| t.meets(&rect)));
        if free {
            self.taken.push(rect);
        }
        free
    }

    /// Tries a name centred on each of the given spots.
    pub(crate) fn on(&mut self, sheet: &mut Sheet, spots: &[Spot], name: &Name<'_>) -> bool {
        let (text, width, height) = measure(name);
        for spot in spots {
            let rect = Rect::about(*spot, width, height);
            if self.take(rect, false) {
                write(sheet, &rect, &text, name);
                return true;
            }
        }
        false
    }

    /// Tries a name around a spot: right, left, above, below, then the corners, near first.
    pub(crate) fn around(&mut self, sheet: &mut Sheet, spot: Spot, name: &Name<'_>) -> bool {
        let (text, width, height) = measure(name);
        for away in RINGS {
            let (dx, dy) = (away + width / 2.0, away + height / 2.0);
            let places = [
                (dx, 0.0),
                (-dx, 0.0),
                (0.0, -dy),
                (0.0, dy),
                (dx * 0.8, -dy),
                (-dx * 0.8, -dy),
                (dx * 0.8, dy),
                (-dx * 0.8, dy),
            ];
            for (px, py) in places {
                let rect = Rect::about((spot.0 + px, spot.1 + py), width, height);
                if self.take(rect, false) {
                    if name.leader && away > RINGS[0] {
                        sheet.line(&[spot, toward(&rect, spot)], &stroke("#222", 0.18));
                    }
                    write(sheet, &rect, &text, name);
                    return true;
                }
            }
        }
        false
    }
}

/// The point of a box's edge that is nearest to a spot.
fn toward(rect: &Rect, (x, y): Spot) -> Spot {
    (
        x.clamp(rect.x, rect.x + rect.width),
        y.clamp(rect.y, rect.y + rect.height),
    )
}

fn measure(name: &Name<'_>) -> (String, f64, f64) {
    let text = fitted(name.text, name.size, name.bold, LONGEST);
    let width = text_width(&text, name.size, name.bold) + 0.8;
    (text, width, name.size * 1.25)
}

fn write(sheet: &mut Sheet, rect: &Rect, text: &str, name: &Name<'_>) {
    if name.plate != "none" {
        let edge = super::sheet::area(name.plate, "#222", 0.18);
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
