//! The ground of a field as a picture for others to draw on: what the chart draws under the way, and where a place lies.

use super::field;
use super::sheet::Sheet;
use super::view::{Rect, View};
use toeline_model::{Airfield, Xy};

/// A drawn ground. Millimetres on the sheet, true north up.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// SVG elements, without the `svg` element itself.
    pub markup: String,
    /// Width of the sheet, mm.
    pub width_mm: f64,
    /// Height of the sheet, mm.
    pub height_mm: f64,
    /// Millimetres on the sheet for a metre of ground.
    pub scale: f64,
    /// Where the field's origin lies on the sheet, mm from the left and from the top.
    pub origin_mm: (f64, f64),
}

/// Draws the ground around some places, on a sheet of a given size in millimetres. Without a field the sheet is empty, and
/// the places still have their spots.
pub fn ground(field: Option<&Airfield>, places: &[Xy], margin_m: f64, (width_mm, height_mm): (f64, f64)) -> Ground {
    let on = Rect {
        x: 0.0,
        y: 0.0,
        width: width_mm,
        height: height_mm,
    };
    let view = View::of(places.iter().copied(), margin_m, on);
    let mut sheet = Sheet::default();
    if let Some(field) = field {
        field::draw(&mut sheet, &view, field);
    }
    Ground {
        markup: sheet.finish(),
        width_mm,
        height_mm,
        scale: view.scale,
        origin_mm: view.spot(Xy::default()),
    }
}
