//! What tells direction and size on a picture.

use super::sheet::{Sheet, Spot, Type, area, plain, stroke};

/// An arrow with a solid head.
pub(crate) fn arrow(sheet: &mut Sheet, from: Spot, to: Spot, width: f64) {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = (dx * dx + dy * dy).sqrt().max(1e-9);
    let (ux, uy) = (dx / length, dy / length);
    let back = (to.0 - ux * 2.6, to.1 - uy * 2.6);
    sheet.line(&[from, back], &stroke("#111", width));
    let head = vec![
        to,
        (back.0 - uy * 1.2, back.1 + ux * 1.2),
        (back.0 + uy * 1.2, back.1 - ux * 1.2),
    ];
    sheet.rings(&[head], &area("#111", "none", 0.0));
}

/// The greatest round number of a length unit whose bar is at most `most` mm long, and how long that is; `scale` is mm on the
/// sheet for one of it.
pub(crate) fn round_length(scale: f64, most: f64) -> (f64, f64) {
    let nice = [10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10_000.0];
    let units = nice.into_iter().rev().find(|m| m * scale <= most).unwrap_or(10.0);
    (units, units * scale)
}

/// A bar of a round number of metres, at most `most` mm long; `scale` is mm on the sheet for a metre.
pub(crate) fn scale_bar(sheet: &mut Sheet, at: Spot, scale: f64, most: f64) {
    scale_bar_in(sheet, at, scale, most, "m");
}

/// The same in another unit; `scale` is mm on the sheet for one of it.
pub(crate) fn scale_bar_in(sheet: &mut Sheet, (x, y): Spot, scale: f64, most: f64, unit: &str) {
    let (units, width) = round_length(scale, most);
    sheet.frame((x, y), width, 1.2, &area("#fff", "#111", 0.25));
    sheet.frame((x, y), width / 2.0, 1.2, &area("#111", "#111", 0.25));
    sheet.text((x, y + 4.2), &plain(2.3), "0");
    sheet.text(
        (x + width, y + 4.2),
        &Type {
            anchor: "end",
            ..plain(2.3)
        },
        &format!("{units:.0} {unit}"),
    );
}
