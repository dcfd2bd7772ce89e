//! Why no aerodrome comes out of a file.

use super::element::Form;
use super::listing::Aerodrome;
use super::{PICK_M, told};

/// Most aerodromes that a message lists. Ours.
pub(super) const LISTED: usize = 20;

/// Why a file of another carrier gives no aerodrome.
#[derive(Clone, Debug, PartialEq)]
pub enum CarrierError {
    /// None of the carriers.
    NotKnown {
        /// What it is instead, as far as that can be said.
        found: String,
    },
    /// One of them, but broken.
    Broken {
        /// Which.
        form: Form,
        /// Where: byte, block or line.
        place: String,
        /// What is wrong there, with value and limit.
        found: String,
    },
    /// Features that cannot be read, all of them.
    Features {
        /// Each with what is wrong with it.
        list: Vec<String>,
    },
    /// The bytes could not be read.
    Unreadable {
        /// What the system said.
        found: String,
    },
    /// More than is taken in.
    TooLarge {
        /// What there is too much of, with value and limit.
        found: String,
    },
    /// No aerodrome, runway or lane in it.
    None,
    /// Several aerodromes, and none was asked for or several answer to what was asked.
    Several {
        /// What was asked.
        asked: Option<String>,
        /// Those that answer to it.
        list: Vec<Aerodrome>,
    },
    /// No aerodrome answers to what was asked.
    NotFound {
        /// What was asked.
        asked: String,
        /// All there are.
        list: Vec<Aerodrome>,
    },
}

impl core::fmt::Display for CarrierError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            CarrierError::NotKnown { found } => write!(
                f,
                "{found}; a map file is GeoJSON (RFC 7946), OpenStreetMap data as XML (.osm), JSON or PBF (.osm.pbf), or AIXM 5.1.1"
            ),
            CarrierError::Broken { form, place, found } => write!(f, "the {form} is broken at {place}: {found}"),
            CarrierError::Features { list } => {
                let s = if list.len() == 1 { "" } else { "s" };
                write!(f, "{} thing{s} of the map file cannot be read:", list.len())?;
                for text in list.iter().take(LISTED) {
                    write!(f, "\n  {}", crate::clean::sentence(text))?;
                }
                if list.len() > LISTED {
                    write!(f, "\n  and {} more", list.len() - LISTED)?;
                }
                Ok(())
            }
            CarrierError::Unreadable { found } => write!(f, "cannot be read: {found}"),
            CarrierError::TooLarge { found } => write!(f, "the map file is too large: {found}"),
            CarrierError::None => write!(
                f,
                "the map file has no aerodrome, and no runway, taxiway or taxilane (aeroway=…; in AIXM Runway, GuidanceLine): nothing to \
                 taxi on"
            ),
            CarrierError::Several { asked: None, list } => write!(
                f,
                "the map file holds {}; say which with --aerodrome, by its name, a code, its feature or \
                 longitude,latitude:\n{}",
                told::count(list.len()),
                told::lines(list, LISTED)
            ),
            CarrierError::Several {
                asked: Some(asked),
                list,
            } => write!(
                f,
                "{} answer to \"{}\"; say which by its feature:\n{}",
                told::count(list.len()),
                crate::clean::name(asked),
                told::lines(list, LISTED)
            ),
            CarrierError::NotFound { asked, list } => write!(
                f,
                "no aerodrome of the map file answers to \"{}\" by name, code or feature, or lies within {:.0} km of it as a \
                 place; it holds {}:\n{}",
                crate::clean::name(asked),
                PICK_M / 1000.0,
                told::count(list.len()),
                told::lines(list, LISTED)
            ),
        }
    }
}

impl std::error::Error for CarrierError {}

impl From<std::io::Error> for CarrierError {
    fn from(e: std::io::Error) -> CarrierError {
        CarrierError::Unreadable { found: e.to_string() }
    }
}
