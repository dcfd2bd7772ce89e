//! From figures to the three values, and which accuracy of the map they rest on.

use super::solid::Solid;
use super::{Margins, Verdict};
use toeline_model::Airfield;

/// What a gap is held against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rule {
    /// Wing-tip margin, metres.
    pub(super) margin_m: f64,
    /// Horizontal accuracy of the map, metres.
    pub(super) accuracy_m: f64,
}

impl Rule {
    /// Verdict on one gap. What the map does not say (whether the thing is there and how it stands, or how much of a
    /// disc's radius is real) never makes more than "not known", and a thing that is drawn wrongly never less.
    pub(super) fn of(&self, gap_m: f64, solid: &Solid) -> Verdict {
        if solid.sure && gap_m + solid.assumed_radius_m < self.margin_m {
            Verdict::NotClear
        } else if solid.flawed || gap_m - self.accuracy_m < self.margin_m {
            Verdict::NotKnown
        } else {
            Verdict::Clear
        }
    }
}

/// The worst of several verdicts: not clear before not known before clear.
pub(super) fn worst(all: impl IntoIterator<Item = Verdict>) -> Verdict {
    let rank = |v: &Verdict| match v {
        Verdict::Clear => 0,
        Verdict::NotKnown => 1,
        Verdict::NotClear => 2,
    };
    all.into_iter().max_by_key(rank).unwrap_or(Verdict::Clear)
}

/// The horizontal accuracy to use, metres, and where it is from.
pub(super) fn accuracy(field: &Airfield, margins: &Margins) -> (f64, &'static str) {
    accuracy_of(field, margins.accuracy_m)
}

/// The same, when the user states this one or none.
pub(crate) fn accuracy_of(field: &Airfield, stated_m: Option<f64>) -> (f64, &'static str) {
    match stated_m {
        Some(given) => (given, "given"),
        None if field.accuracy_stated => (field.accuracy_m, "stated by the map"),
        None => (field.accuracy_m, OURS),
    }
}

/// Said when neither the map nor the user states an accuracy.
pub(super) const OURS: &str = "ours, for open maps";
