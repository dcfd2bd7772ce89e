//! Stage 1: GeoJSON text becomes an [`Airfield`] in local metres.

use crate::notice::Notice;
use toeline_model::Airfield;

mod area;
mod document;
mod error;
mod geometry;
mod in_force;
mod kind;
mod lifecycle;
mod number;
mod obstacle;
mod outline;
mod pavement;
mod project;
pub mod properties;
mod runway;
mod tags;
mod working;

pub use area::HELIPAD_WIDTH_M;
pub use error::{FeatureProblem, ReadError};
pub use in_force::{SOON_MIN, in_force};
pub use lifecycle::{MARKERS, STATUS_KEYS};
pub use obstacle::{CROWN_DIAMETER_M, MAST_RADIUS_M, PARKED_SPAN_M, POLE_RADIUS_M, WINDSOCK_RADIUS_M};

/// Horizontal accuracy taken for a map that states none, metres. Ours, for open maps drawn from aerial pictures.
pub const DEFAULT_ACCURACY_M: f64 = 2.0;
/// Longest text that is read, bytes (256 MiB). Ours: the largest real airfield seen has under 2 MiB.
pub const TEXT_LIMIT_BYTES: usize = 256 * 1024 * 1024;
/// Most positions in one file. Ours.
pub const POSITION_LIMIT: usize = 1_000_000;
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

/// Reads a map file's text.
///
/// # Errors
/// Text that is not GeoJSON, and everything wrong in the features at once.
pub fn read(text: &str) -> Result<ReadField, ReadError> {
    working::read(text)
}
