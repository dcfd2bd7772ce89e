//! After the route stage, before clearance: a taxi instruction in plain words, read, found on the map and followed exactly; and the words for a way that
//! was chosen otherwise. `docs/taxi-instruction.md` says what is understood.
//!
//! [`read`] makes an [`Instruction`] of a text, [`follow`] a way of it, and [`say`] makes the words of a way.

mod check;
mod error;
mod follow;
mod meaning;
mod names;
mod parse;
mod parts;
mod pieces;
mod product;
mod say;
mod way;
mod words;

pub use error::{InstructionError, Trouble};
pub use follow::{FollowError, Followed, follow};
pub use parse::read;
pub use product::{BETWEEN_LETTERS_M, TO_FIRST_LETTER_M};
pub use say::{Said, say};

use core::ops::Range;

/// A runway as it was said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaidRunway {
    /// Designators without leading noughts, in capitals: one ("27L"), or both ends ("17", "35").
    pub designators: Vec<String>,
    /// Bytes of the text.
    pub at: Range<usize>,
}

/// A name as it was said: "Bravo 2", "A1", or several without a comma between them ("A B").
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaidName {
    /// Its words, each as the letter or figure it spells, otherwise in capitals.
    pub pieces: Vec<String>,
    /// Bytes of the text that each word takes.
    pub places: Vec<Range<usize>>,
}

impl SaidName {
    /// Bytes of the text from its first word to its last.
    pub fn at(&self) -> Range<usize> {
        match (self.places.first(), self.places.last()) {
            (Some(a), Some(b)) => a.start..b.end,
            _ => 0..0,
        }
    }
}

/// What is to be held short of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Short {
    /// A runway.
    Runway(SaidRunway),
    /// A taxiway or a holding position.
    Named(SaidName),
}

/// One thing to do on the way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// Taxi along these.
    Via(SaidName),
    /// Roll along a runway.
    Along {
        /// The runway.
        runway: SaidRunway,
        /// Against the direction of the designator.
        backtrack: bool,
    },
    /// Stop before it.
    HoldShort {
        /// Before what.
        of: Short,
        /// On which taxiway.
        on: Option<SaidName>,
        /// Bytes of the text.
        at: Range<usize>,
    },
    /// Cross a runway.
    Cross {
        /// Which.
        runway: SaidRunway,
        /// On which taxiway.
        on: Option<SaidName>,
        /// Bytes of the text.
        at: Range<usize>,
    },
}

/// A taxi instruction as read, before it is looked up on a map.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instruction {
    /// The text.
    pub text: String,
    /// The holding position to taxi to.
    pub holding_point: Option<SaidName>,
    /// The runway assigned.
    pub runway: Option<SaidRunway>,
    /// The taxiway on which that runway is joined ("runway 27 at B").
    pub runway_on: Option<SaidName>,
    /// What to do, in the order said.
    pub steps: Vec<Step>,
    /// What is understood as a remark and not planned ("give way to …"): bytes of the text.
    pub remarks: Vec<Range<usize>>,
}

impl Instruction {
    /// The words at a place of the text.
    pub fn words(&self, at: &Range<usize>) -> &str {
        self.text.get(at.clone()).unwrap_or_default()
    }

    /// Where it ends, in a form that a request takes: its holding position, else its runway.
    pub fn ends_at(&self) -> Option<String> {
        let hold = self.holding_point.as_ref().map(|h| h.pieces.concat());
        hold.or_else(|| self.runway.as_ref().and_then(|r| r.designators.first().cloned()))
    }
}
