//! Notices laid over a field: what is closed or limited by NOTAM counts at the time of a plan. A stage between `read` and
//! `graph`, and it changes nothing but what is closed. `docs/notices.md` tells it for users.
//!
//! | file | what it holds |
//! |---|---|
//! | `notam` | a notice as data, whatever form it was read from |
//! | `own`, `own_what` | the form of our own, JSON |
//! | `digital` | Digital NOTAM events of AIXM 5.1.1 |
//! | `schedule` | period, days and hours |
//! | `condition` | who may use it still, in three values |
//! | `place`, `stretch` | where on the field it means |
//! | `force` | whether it holds at a time |
//! | `lay` | all of it put together |
//! | `told` | what became of it |
//!
//! Reading (text to [`Notam`]s) and laying ([`lay`]) are apart: a request carries notices as they were read, so that whoever plans
//! it again has the same ones.

mod condition;
mod digital;
mod error;
mod force;
mod lay;
mod notam;
mod own;
mod own_what;
mod place;
mod schedule;
mod stretch;
mod told;

pub use condition::{Condition, DEEPEST, Is, Truth};
pub use error::{NoticeProblem, NoticesError};
pub(crate) use lay::mark_lanes;
pub use lay::{Laid, lay};
pub use notam::{About, Effect, Ends, Kind, Notam, Target};
pub use own::{FORMAT, SORTS};
pub use schedule::{DayOfYear, Season, Sheet, Span, spans};
pub use told::{Force, Shown, Status, Told, Use, shown};

use crate::clean;

/// Longest file of notices that is read, bytes (16 MiB). Ours: the notices of a whole state in force have a few.
pub const TEXT_LIMIT_BYTES: usize = 16 << 20;
/// Most notices in one file. Ours.
pub const MOST_NOTICES: usize = 5_000;
/// Most things that one notice closes. Ours.
pub const MOST_EFFECTS: usize = 500;
/// Most places of an area that a notice draws. Ours.
pub const MOST_PLACES: usize = 2_000;
/// Longest text of a notice that is kept, characters. Ours: NOTAM texts have some hundred.
pub const TEXT_CHARS: usize = 1_500;

/// Reads a file of notices, whose form its content tells; `file` is what it is called.
///
/// # Errors
/// Text that is neither form, and everything wrong in the notices at once.
pub fn read(text: &str, file: &str) -> Result<Vec<Notam>, NoticesError> {
    if text.len() > TEXT_LIMIT_BYTES {
        return Err(NoticesError::TooLarge {
            found: format!(
                "{} bytes of text; the limit is {TEXT_LIMIT_BYTES} bytes ({} MiB)",
                text.len(),
                TEXT_LIMIT_BYTES >> 20
            ),
        });
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    match text.trim_start().chars().next() {
        Some('{') => own::read(text, file),
        Some('<') => digital::read(text, file),
        _ => Err(NoticesError::NotNotices),
    }
}

/// The text of a notice made safe to show.
fn text_of(text: &str) -> String {
    if text.trim().is_empty() {
        return String::new();
    }
    clean::shown(text, TEXT_CHARS)
}

/// A time of day as "HH:MM", minutes after midnight; 24:00 is the end of a day.
fn clock(text: &str) -> Option<u16> {
    let (h, m) = text.split_once(':')?;
    let two = |t: &str| (t.len() == 2 && t.bytes().all(|b| b.is_ascii_digit())).then(|| t.parse::<u16>().ok())?;
    let (h, m) = (two(h)?, two(m)?);
    let minute = h * 60 + m;
    (m < 60 && minute <= 1440).then_some(minute)
}
