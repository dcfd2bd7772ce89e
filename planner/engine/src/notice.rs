//! What a stage had to repair, assume or leave out, returned beside its result and never printed by a library.

use serde::{Deserialize, Serialize};
use toeline_model::Xy;
use toeline_model::airfield::FeatureId;

/// What sort of thing is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum NoticeKind {
    /// The map was mended: something was joined, split or snapped.
    Repair,
    /// A value was read as nonsense and left out, or something was assumed in its place.
    Doubt,
    /// Something in the file is not used, for example because it is closed.
    LeftOut,
}

/// One repair, doubt or omission.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Notice {
    /// Sort.
    pub kind: NoticeKind,
    /// Feature it is about.
    pub feature: FeatureId,
    /// Where, local metres, when it has a place.
    pub at: Option<Xy>,
    /// One sentence with number, unit and what was assumed.
    pub text: String,
}
