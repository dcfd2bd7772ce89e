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
    /// Size of what was mended or doubted, metres: the distance moved, the gap left open, the length dropped.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size_m: Option<f64>,
    /// What was assumed in place of what the map does not say, in a few words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub assumed: Option<String>,
    /// One sentence with number, unit and what was assumed.
    pub text: String,
}

impl Notice {
    /// A notice of a sort about a feature; place, size and what was assumed follow by the `with_` functions.
    pub fn new(kind: NoticeKind, feature: impl Into<FeatureId>, text: impl Into<String>) -> Notice {
        Notice {
            kind,
            feature: feature.into(),
            at: None,
            size_m: None,
            assumed: None,
            text: text.into(),
        }
    }

    /// With its place, local metres.
    #[must_use]
    pub fn with_place(self, at: Option<Xy>) -> Notice {
        Notice { at, ..self }
    }

    /// With its size, metres.
    #[must_use]
    pub fn with_size(self, size_m: f64) -> Notice {
        Notice {
            size_m: Some(size_m),
            ..self
        }
    }

    /// With what was assumed.
    #[must_use]
    pub fn with_assumption(self, assumed: impl Into<String>) -> Notice {
        Notice {
            assumed: Some(assumed.into()),
            ..self
        }
    }
}

/// The notices for which a strict reading refuses a map: every repair, and every doubt that was settled by assuming
/// something in place of what the map does not say. What is left out because the map says so is no reason.
pub fn refusals(notices: &[Notice]) -> Vec<&Notice> {
    notices
        .iter()
        .filter(|n| n.kind == NoticeKind::Repair || n.assumed.is_some())
        .collect()
}
