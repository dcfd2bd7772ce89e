//! Requests that the map cannot answer.

/// A request that the map cannot answer.
#[derive(Clone, Debug, PartialEq)]
pub enum RouteError {
    /// No such place on the map.
    Unknown {
        /// "stand", "engine-check area", "runway or holding position".
        what: &'static str,
        /// As asked.
        asked: String,
        /// Near names, best first.
        near: Vec<String>,
        /// How many of that kind the map has.
        count: usize,
    },
    /// Several places of that name.
    Ambiguous {
        /// "stand" and so on.
        what: &'static str,
        /// As asked.
        asked: String,
        /// Feature ids to choose from.
        choices: Vec<String>,
    },
    /// The place is on the map but could not be joined to any lane.
    NotJoined {
        /// "stand 7".
        place: String,
    },
    /// The runway is known but no lane leads to it, or no lane passes the area.
    NoEntry {
        /// "runway 26".
        place: String,
    },
    /// The place to start from cannot be started from, in a sentence.
    BadStart {
        /// "point 11.0,47.0 has no heading ...".
        text: String,
    },
    /// The stand has no heading on the map and none was given.
    NeedsHeading {
        /// "stand 7".
        place: String,
        /// Bearing out to the lane, degrees true.
        out_deg: u32,
        /// Bearing in from the lane, degrees true.
        in_deg: u32,
    },
    /// The given heading points neither out of the stand nor into it.
    HeadingAcross {
        /// "stand 7".
        place: String,
        /// As given, degrees true.
        given_deg: u32,
        /// Bearing out to the lane, degrees true.
        out_deg: u32,
    },
}

impl core::fmt::Display for RouteError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            RouteError::Unknown {
                what,
                asked,
                near,
                count,
            } => {
                write!(f, "no {what} \"{asked}\" on the map")?;
                match (near.is_empty(), *count) {
                    (_, 0) => write!(f, "; it has none at all"),
                    (true, n) => write!(f, "; it has {n}, none of a similar name"),
                    (false, _) => write!(f, "; near: {}", near.join(", ")),
                }
            }
            RouteError::Ambiguous { what, asked, choices } => {
                write!(
                    f,
                    "{} places answer to {what} \"{asked}\"; name one by its feature: {}",
                    choices.len(),
                    choices.join(", ")
                )
            }
            RouteError::NotJoined { place } => {
                write!(
                    f,
                    "{place} lies too far from any lane in use to be joined to it (limit 60 m)"
                )
            }
            RouteError::BadStart { text } => write!(f, "{text}"),
            RouteError::NoEntry { place } => write!(f, "no lane in use leads to {place}"),
            RouteError::NeedsHeading { place, out_deg, in_deg } => write!(
                f,
                "{place} has no heading on the map; say how the aeroplane is parked with --parked-heading: {out_deg:03} is nose out to \
                 the lane, {in_deg:03} nose in"
            ),
            RouteError::HeadingAcross {
                place,
                given_deg,
                out_deg,
            } => write!(
                f,
                "{place}: a parked heading of {given_deg:03} lies across the way out, which is {out_deg:03}; give one within 60 degrees \
                 of it (nose out) or of its opposite (nose in)"
            ),
        }
    }
}

impl std::error::Error for RouteError {}
