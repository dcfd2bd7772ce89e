//! What can be wrong with a map file.

use toeline_model::airfield::FeatureId;

/// Most broken features that the message lists. Ours: more than anyone mends before trying again.
const LISTED: usize = 100;

/// One feature that cannot be used at all.
#[derive(Clone, Debug, PartialEq)]
pub struct FeatureProblem {
    /// Which.
    pub feature: FeatureId,
    /// What is wrong with it, with value and limit.
    pub text: String,
}

/// Why a map file could not be read.
#[derive(Clone, Debug, PartialEq)]
pub enum ReadError {
    /// Not JSON: where it breaks and how.
    NotJson {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What the parser found.
        found: String,
    },
    /// JSON, but not GeoJSON.
    NotGeoJson {
        /// What is missing or wrong.
        found: String,
    },
    /// A geometry alone, which is GeoJSON but says nothing about what it is.
    BareGeometry {
        /// Its type.
        kind: String,
    },
    /// No runway, taxiway or taxilane in it.
    NothingToTaxiOn {
        /// How many features it has.
        features: usize,
    },
    /// Too large to be one airfield.
    TooLarge {
        /// What is too large, with value, unit and limit.
        found: String,
    },
    /// Features that are broken, all of them.
    Features(Vec<FeatureProblem>),
}

impl core::fmt::Display for ReadError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            ReadError::NotJson { line, column, found } => {
                write!(f, "the map file is not JSON: line {line}, column {column}: {found}")
            }
            ReadError::NotGeoJson { found } => write!(f, "the map file is not GeoJSON (RFC 7946): {found}"),
            ReadError::BareGeometry { kind } => write!(
                f,
                "the map file is a bare {kind}: without properties nothing says what is a runway or a taxiway; put it in a \
                 Feature with properties such as \"aeroway\": \"taxiway\""
            ),
            ReadError::NothingToTaxiOn { features } => write!(
                f,
                "the map file has {features} features but no runway, taxiway or taxilane in use (aeroway=runway, taxiway or taxilane): \
                 nothing to taxi on"
            ),
            ReadError::TooLarge { found } => write!(f, "the map file is too large for one airfield: {found}"),
            ReadError::Features(list) => {
                write!(
                    f,
                    "{} feature{} of the map cannot be read:",
                    list.len(),
                    if list.len() == 1 { "" } else { "s" }
                )?;
                for p in list.iter().take(LISTED) {
                    write!(f, "\n  {}: {}", p.feature, p.text)?;
                }
                if list.len() > LISTED {
                    write!(f, "\n  and {} more", list.len() - LISTED)?;
                }
                Ok(())
            }
        }
    }
}

impl std::error::Error for ReadError {}
