//! What every picture of a field is drawn with: the sheet, the view, the ground and what stands on it, names without
//! overlaps. No picture of its own; the chart of a briefing and the picture of an inspection use it.

pub(crate) mod field;
pub mod ground;
pub(crate) mod labels;
pub(crate) mod names;
pub(crate) mod scale;
pub(crate) mod sheet;
pub mod typeface;
pub(crate) mod view;
