//! The list for a terminal.

use super::RunningStage;
use crate::clean::columns;
use crate::layout::Page;

/// Column at which it says how a thing should be.
const TO_BE_AT: usize = 38;

/// Writes the list; nothing when it is empty.
pub(crate) fn text(page: &mut Page, stages: &[RunningStage]) {
    if stages.is_empty() {
        return;
    }
    page.heading("RUNNING LIST   (ours, in the order of the way; the flight manual and its checklist come first)");
    for (i, stage) in stages.iter().enumerate() {
        let place = match (stage.at_m, stage.leg) {
            (Some(at_m), Some(leg)) => format!(" ({at_m:.0} m, leg {leg})"),
            _ => String::new(),
        };
        page.wrapped("  ", "    ", &format!("{}. {}{place}", i + 1, stage.title));
        for item in &stage.items {
            let Some(to_be) = &item.to_be else {
                page.wrapped("    ", "      ", &item.what);
                continue;
            };
            let head = format!("    {} ", item.what);
            let indent = " ".repeat(TO_BE_AT);
            // Two dots at least, or a line of its own.
            match TO_BE_AT.checked_sub(columns(&head) + 1).filter(|dots| *dots >= 2) {
                Some(dots) => page.wrapped(&format!("{head}{} ", ".".repeat(dots)), &indent, to_be),
                None => {
                    page.wrapped("    ", "      ", &item.what);
                    page.wrapped(&indent, &indent, to_be);
                }
            }
        }
    }
}
