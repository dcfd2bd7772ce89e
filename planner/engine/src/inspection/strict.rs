//! What a strict reading refuses.

use crate::clean;
use crate::notice::{Notice, NoticeKind, refusals};
use crate::read::ReadError;
use crate::{graph, read};

/// Everything for which a strict reading refuses a map, one line each, made safe to show: every repair, and every doubt
/// of reading and joining. The doubts that only an inspection has (a letter borne twice, parts that are not joined) and
/// what the map lacks are no reason, because a plan guesses nothing there.
///
/// # Errors
/// A text that cannot be read as an airfield.
pub fn refused(field_text: &str) -> Result<Vec<String>, ReadError> {
    let read::ReadField { field, mut notices } = read::read(field_text)?;
    notices.extend(graph::build(&field).1);
    let refuses = |n: &&Notice| n.kind == NoticeKind::Doubt || !refusals(core::slice::from_ref(*n)).is_empty();
    let line = |n: &Notice| format!("{}: {}", clean::name(&n.feature), clean::sentence(&n.text));
    Ok(notices.iter().filter(refuses).map(line).collect())
}
