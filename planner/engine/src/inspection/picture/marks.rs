//! Signs on the places and plates with numbers beside them.

use crate::drawing::labels::Labels;
use crate::drawing::sheet::{Ink, Sheet, Spot, Type, area, stroke, stroke_with, text_width};
use crate::drawing::view::{Rect, View};
use crate::inspection::Inspection;
use crate::notice::NoticeKind;

/// Findings of one sort nearer than this to a plate's first place share the plate, mm.
pub(super) const TOGETHER_MM: f64 = 3.0;
/// Height of the type of a plate, mm.
const SIZE: f64 = 2.3;
/// Height of a plate, mm.
const TALL: f64 = 3.1;
/// How far from its place a plate is tried, mm.
const RINGS: [f64; 8] = [1.6, 3.2, 5.5, 8.5, 12.0, 17.0, 24.0, 34.0];
/// In how many directions.
const DIRECTIONS: usize = 16;

/// Findings that share a plate.
struct Mark {
    kind: NoticeKind,
    spot: Spot,
    numbers: Vec<usize>,
}

/// Draws signs and plates, the signs under the plates; tells by finding under which number its plate is to be found.
pub(super) fn draw(sheet: &mut Sheet, view: &View, inspection: &Inspection, labels: &mut Labels) -> Vec<Option<usize>> {
    let mut marks: Vec<Mark> = Vec::new();
    for f in &inspection.findings {
        let Some(at) = f.at else { continue };
        let (x, y) = view.spot(at);
        labels.keep_off((x, y), 2.0);
        let near = |m: &&mut Mark| {
            let (dx, dy) = (m.spot.0 - x, m.spot.1 - y);
            m.kind == f.kind && dx * dx + dy * dy <= TOGETHER_MM * TOGETHER_MM
        };
        match marks.iter_mut().find(near) {
            Some(mark) => mark.numbers.push(f.number),
            None => marks.push(Mark {
                kind: f.kind,
                spot: (x, y),
                numbers: vec![f.number],
            }),
        }
    }
    // First where no sign is covered; then, from the same rings, over signs.
    let mut middles: Vec<Option<Spot>> = marks.iter().map(|m| place(labels, m, false)).collect();
    for (mark, middle) in marks.iter().zip(&mut middles).filter(|(_, middle)| middle.is_none()) {
        *middle = place(labels, mark, true);
    }
    let mut told = vec![None; inspection.findings.len()];
    let placed: Vec<(&Mark, Spot)> = marks.iter().zip(middles).filter_map(|(m, s)| Some((m, s?))).collect();
    for (mark, middle) in &placed {
        leader(sheet, mark, *middle);
    }
    for p in &inspection.derived {
        derived(sheet, view.spot(*p));
    }
    for f in &inspection.findings {
        if let Some(at) = f.at {
            sign(sheet, f.kind, view.spot(at));
        }
    }
    for (mark, middle) in placed {
        let shown = numbers(&mark.numbers);
        let whole = !shown.contains('+');
        for n in &mark.numbers {
            told[n - 1] = Some(if whole { *n } else { mark.numbers[0] });
        }
        // Without text from the file: so that a reader can link to a mark, and a test can find it.
        sheet.raw(&format!("<g id=\"mark-{}\">", mark.numbers[0]));
        plate(sheet, mark.kind, middle, &shown);
        sheet.raw("</g>");
    }
    told
}

/// "7", "7 9 12", "7-9", and "7 +12" for more than fits.
pub(super) fn numbers(list: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for n in list {
        match runs.last_mut() {
            Some(run) if run.1 + 1 == *n => run.1 = *n,
            _ => runs.push((*n, *n)),
        }
    }
    if runs.len() > 3 {
        return format!("{} +{}", list[0], list.len() - 1);
    }
    let one = |(a, b): &(usize, usize)| match b - a {
        0 => a.to_string(),
        1 => format!("{a} {b}"),
        _ => format!("{a}-{b}"),
    };
    runs.iter().map(one).collect::<Vec<_>>().join(" ")
}

/// Where the plate of a mark goes: the middle of the first free place, near ones first.
fn place(labels: &mut Labels, mark: &Mark, over_signs: bool) -> Option<Spot> {
    let wide = width(&numbers(&mark.numbers), mark.kind);
    for away in RINGS {
        for k in 0..DIRECTIONS {
            let turn = core::f64::consts::TAU * k as f64 / DIRECTIONS as f64;
            let (c, s) = (toeline_model::math::cos(turn), toeline_model::math::sin(turn));
            let x = mark.spot.0 + c * (away + wide / 2.0);
            let y = mark.spot.1 - s * (away + TALL / 2.0);
            if labels.take(Rect::about((x, y), wide, TALL), over_signs) {
                return Some((x, y));
            }
        }
    }
    None
}

/// A thin line from a place to its plate.
fn leader(sheet: &mut Sheet, mark: &Mark, (x, y): Spot) {
    let half = width(&numbers(&mark.numbers), mark.kind) / 2.0;
    let to = (
        mark.spot.0.clamp(x - half, x + half),
        mark.spot.1.clamp(y - TALL / 2.0, y + TALL / 2.0),
    );
    sheet.line(&[mark.spot, to], &stroke("#fff", 0.5));
    sheet.line(&[mark.spot, to], &stroke("#111", 0.2));
}

/// Width of a plate, mm.
pub(super) fn width(text: &str, kind: NoticeKind) -> f64 {
    let ends = if kind == NoticeKind::Doubt { 2.4 } else { 1.4 };
    // Digits are wider than the mean of letters, and some readers' bold type is wide.
    text_width(text, SIZE, true) * 1.2 + ends
}

/// A plate with numbers: dark with pointed ends for a doubt, light and round for a repair, light and square with a
/// broken edge for what is not used.
pub(super) fn plate(sheet: &mut Sheet, kind: NoticeKind, (x, y): Spot, text: &str) {
    let (w, h) = (width(text, kind) / 2.0, TALL / 2.0);
    let fill = match kind {
        NoticeKind::Doubt => {
            let p = 1.1;
            let ring = vec![
                (x - w, y),
                (x - w + p, y - h),
                (x + w - p, y - h),
                (x + w, y),
                (x + w - p, y + h),
                (x - w + p, y + h),
            ];
            sheet.rings(&[ring], &area("#111", "#fff", 0.2));
            "#fff"
        }
        NoticeKind::Repair => {
            let round = Ink {
                more: "rx=\"1.5\"",
                ..area("#fff", "#111", 0.35)
            };
            frame(sheet, (x, y), (w, h), &round);
            "#111"
        }
        NoticeKind::LeftOut => {
            let broken = Ink {
                more: "stroke-dasharray=\"0.7 0.5\"",
                ..area("#fff", "#444", 0.25)
            };
            frame(sheet, (x, y), (w, h), &broken);
            "#444"
        }
    };
    let look = Type {
        size: SIZE,
        fill,
        anchor: "middle",
        bold: kind != NoticeKind::LeftOut,
        rim: false,
    };
    sheet.text((x, y + SIZE * 0.35), &look, text);
}

fn frame(sheet: &mut Sheet, (x, y): Spot, (w, h): (f64, f64), ink: &Ink<'_>) {
    sheet.frame((x - w, y - h), 2.0 * w, 2.0 * h, ink);
}

/// The small sign on a place: a filled diamond for a doubt, a ring for a repair, a cross for what is not used.
pub(super) fn sign(sheet: &mut Sheet, kind: NoticeKind, (x, y): Spot) {
    match kind {
        NoticeKind::Doubt => {
            let r = 1.1;
            let diamond = vec![(x, y - r), (x + r, y), (x, y + r), (x - r, y)];
            sheet.rings(&[diamond], &area("#111", "#fff", 0.25));
        }
        NoticeKind::Repair => {
            sheet.circle((x, y), 0.9, &stroke("#fff", 0.9));
            sheet.circle((x, y), 0.9, &stroke("#111", 0.4));
        }
        NoticeKind::LeftOut => {
            let r = 0.7;
            for (width, colour) in [(0.8, "#fff"), (0.35, "#444")] {
                sheet.line(&[(x - r, y - r), (x + r, y + r)], &stroke(colour, width));
                sheet.line(&[(x - r, y + r), (x + r, y - r)], &stroke(colour, width));
            }
        }
    }
}

/// The sign of a derived holding position: an upright triangle, its edge broken because nothing is painted there.
pub(super) fn derived(sheet: &mut Sheet, (x, y): Spot) {
    let r = 1.7;
    let ring = vec![
        (x, y - r),
        (x + r * 0.87, y + r / 2.0),
        (x - r * 0.87, y + r / 2.0),
        (x, y - r),
    ];
    sheet.line(&ring, &stroke("#fff", 0.8));
    sheet.line(&ring, &stroke_with("#111", 0.3, "stroke-dasharray=\"0.6 0.4\""));
}

#[cfg(test)]
mod tests {
    use super::numbers;

    #[test]
    fn the_numbers_of_a_plate_are_short() {
        assert_eq!(numbers(&[7]), "7");
        assert_eq!(numbers(&[7, 8]), "7 8");
        assert_eq!(numbers(&[7, 8, 9, 12]), "7-9 12");
        assert_eq!(numbers(&[1, 3, 5, 7, 9]), "1 +4");
    }
}
