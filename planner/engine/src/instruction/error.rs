//! What is wrong with a taxi instruction: always the words, their place, and what would have been right.

use core::ops::Range;

/// Longest instruction read, characters (ours).
pub(super) const MOST_CHARS: usize = 2000;

/// What is wrong at one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// Nothing to read, or far too much: characters.
    Length(usize),
    /// Something else was expected here.
    Expected(String),
    /// A word that is understood and that this planner does not do.
    NotDone(String),
    /// No such thing on the map.
    Unknown {
        /// "taxiway", "runway", "holding position".
        what: &'static str,
        /// Near names, best first.
        near: Vec<String>,
        /// More to say, for example that it is the name of something else.
        hint: String,
    },
    /// It can be read in several ways.
    Several(Vec<String>),
    /// It does not fit what was said before.
    Against(String),
}

/// A taxi instruction that cannot be read, or that names what the map does not have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InstructionError {
    /// The whole text.
    pub text: String,
    /// Bytes of the text that are meant; empty at the end of the text.
    pub at: Range<usize>,
    /// What is wrong there.
    pub trouble: Trouble,
}

/// The text as one printable line.
fn line_of(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

impl InstructionError {
    pub(super) fn new(text: &str, at: Range<usize>, trouble: Trouble) -> InstructionError {
        InstructionError {
            text: text.to_string(),
            at,
            trouble,
        }
    }

    /// The text with carets under the words that are meant, two lines.
    pub fn pointed(&self) -> String {
        let before = self.text.get(..self.at.start).unwrap_or_default().chars().count();
        let under = self
            .text
            .get(self.at.clone())
            .unwrap_or_default()
            .chars()
            .count()
            .max(1);
        format!(
            "  {}\n  {}{}",
            line_of(&self.text),
            " ".repeat(before),
            "^".repeat(under)
        )
    }

    /// Which word it is, from 1.
    fn number(&self) -> usize {
        let before = self.text.get(..self.at.start).unwrap_or_default();
        before.split_whitespace().count() + usize::from(before.is_empty() || before.ends_with(char::is_whitespace))
    }
}

impl core::fmt::Display for InstructionError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        if let Trouble::Length(n) = self.trouble {
            return if n == 0 {
                write!(
                    f,
                    "the taxi instruction is empty; for example: taxi to holding point A1 runway 27 via B, C"
                )
            } else {
                write!(f, "the taxi instruction has {n} characters; the limit is {MOST_CHARS}")
            };
        }
        let words = line_of(self.text.get(self.at.clone()).unwrap_or_default());
        if words.is_empty() {
            write!(f, "taxi instruction, at its end: ")?;
        } else {
            write!(f, "taxi instruction, word {} \"{words}\": ", self.number().max(1))?;
        }
        match &self.trouble {
            Trouble::Length(_) => {}
            Trouble::Expected(what) => write!(f, "expected {what}")?,
            Trouble::NotDone(why) | Trouble::Against(why) => write!(f, "{why}")?,
            Trouble::Unknown { what, near, hint } => {
                write!(f, "no {what} of that name on the map")?;
                if !hint.is_empty() {
                    write!(f, "; {hint}")?;
                }
                if !near.is_empty() {
                    write!(f, "; near: {}", near.join(", "))?;
                }
            }
            Trouble::Several(ways) => write!(
                f,
                "can be read in {} ways: {}; put commas between the names",
                ways.len(),
                ways.join(" or ")
            )?,
        }
        write!(f, "\n{}", self.pointed())
    }
}

impl std::error::Error for InstructionError {}
