//! Stage 1: GeoJSON text becomes an [`Airfield`] in local metres.

use crate::notice::Notice;
use toeline_model::Airfield;

mod area;
mod credit;
mod document;
mod error;
mod geometry;
mod in_force;
mod json;
mod kind;
mod lifecycle;
mod number;
mod obstacle;
mod outline;
mod pavement;
mod project;
pub mod properties;
mod repeated;
mod runway;
mod swapped;
mod tags;
mod working;

pub use area::HELIPAD_WIDTH_M;
pub use error::{FeatureProblem, ReadError};
pub(crate) use in_force::shut;
pub use in_force::{OVER_M, SOON_MIN, in_force};
pub(crate) use lifecycle::is_marker;
pub use lifecycle::{MARKERS, STATUS_KEYS};
pub use obstacle::{CROWN_DIAMETER_M, MAST_RADIUS_M, PARKED_SPAN_M, POLE_RADIUS_M, WINDSOCK_RADIUS_M};

/// Horizontal accuracy taken for a map that states none, metres. Ours, for open maps drawn from aerial pictures.
pub const DEFAULT_ACCURACY_M: f64 = 2.0;
/// Longest text that is read, bytes (64 MiB). Ours: the largest real airfield seen has under 2 MiB.
pub const TEXT_LIMIT_BYTES: usize = 64 * 1024 * 1024;
/// Most features in one file. Ours.
pub const FEATURE_LIMIT: usize = 300_000;
/// Most positions in one file. Ours.
pub const POSITION_LIMIT: usize = 1_000_000;
/// Most properties of all features of one file together. Ours.
pub const PROPERTY_LIMIT: usize = 3_000_000;
/// Widest field, metres along either axis. Ours: more than any one aerodrome, less than two neighbouring ones.
pub const WIDTH_LIMIT_M: f64 = 30_000.0;
/// How far the projected line may be from the straight line in longitude and latitude that RFC 7946 means, metres.
pub const SAGITTA_M: f64 = 1e-4;

/// What reading gives.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadField {
    /// The airfield.
    pub field: Airfield,
    /// Doubts and omissions, in file order.
    pub notices: Vec<Notice>,
}

/// How far reading has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Progress {
    /// The text is being taken apart.
    Text {
        /// Bytes done.
        done_bytes: usize,
        /// Bytes in all.
        of_bytes: usize,
    },
    /// The features are being made out.
    Features {
        /// Features done.
        done: usize,
        /// Features in all.
        of: usize,
    },
}

/// Reads a map file's text.
///
/// # Errors
/// Text that is not GeoJSON, and everything wrong in the features at once.
pub fn read(text: &str) -> Result<ReadField, ReadError> {
    read_with(text, &mut |_| {})
}

/// The same, telling how far it has come: after every MiB of text and every few thousand features, so a small file tells
/// nothing.
///
/// # Errors
/// As [`read`].
pub fn read_with(text: &str, progress: &mut dyn FnMut(Progress)) -> Result<ReadField, ReadError> {
    working::read(text, progress)
}
