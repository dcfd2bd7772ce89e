//! The summary for a terminal, at most 100 columns wide.

use super::Debrief;
use crate::measures::{Judged, Measure};

const COLUMNS: usize = 100;

/// A paragraph broken into lines, the first with one indent and the others with another.
fn wrapped(out: &mut String, first: &str, text: &str) {
    let next = " ".repeat(first.chars().count());
    let mut line = first.to_string();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > COLUMNS {
            out.push_str(line.trim_end());
            out.push('\n');
            line.clone_from(&next);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    out.push_str(line.trim_end());
    out.push('\n');
}

/// Minutes and seconds.
pub(super) fn clock(time_s: f64) -> String {
    let whole = time_s.round() as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

fn spots(out: &mut String, m: &Measure) {
    for s in &m.spots {
        wrapped(
            out,
            "      ",
            &format!("{}, {:.0} m along: {}", clock(s.time_s), s.way_m, s.text),
        );
    }
}

/// Writes a debrief, and how others did in what it says to work on.
pub fn text(d: &Debrief, others: &[Debrief]) -> String {
    let mut out = String::from("DEBRIEF\n");
    let head = format!(
        "{}: {}, {} min, {:.0} m rolled",
        d.name,
        d.aircraft,
        clock(d.time_s),
        d.rolled_m
    );
    wrapped(&mut out, "  ", &head);
    for left in &d.left_out {
        wrapped(&mut out, "  left out: ", left);
    }
    out.push_str("\nWORK ON NEXT\n");
    match d.work_on() {
        Some(m) => {
            wrapped(&mut out, "  ", &format!("{}: {}", m.title, m.sentence));
            spots(&mut out, m);
            wrapped(&mut out, "  practise: ", m.practise);
            wrapped(&mut out, "  judged by: ", m.reference);
        }
        None => out.push_str("  nothing was found to work on in what this drive holds\n"),
    }
    let mut section = |title: &str, judged: Judged, skip: usize, told: bool| {
        let mut all = d.judged(judged).skip(skip).peekable();
        if all.peek().is_some() {
            out.push_str(&format!("\n{title}\n"));
        }
        for m in all {
            let words = if told {
                format!("{}: {}", m.title, m.sentence)
            } else {
                m.title.to_string()
            };
            wrapped(&mut out, "  ", &words);
        }
    };
    section("GOOD", Judged::Good, 0, true);
    section("LATER", Judged::WorkOn, 1, true);
    section("TOLD, NOT JUDGED", Judged::Told, 0, true);
    section("LEFT OUT", Judged::LeftOut, 0, true);
    section("NOT RECORDED", Judged::NotRecorded, 0, false);
    for o in others {
        out.push_str("\nBESIDE IT\n");
        wrapped(
            &mut out,
            "  ",
            &format!("{}: {} min, {:.0} m rolled", o.name, clock(o.time_s), o.rolled_m),
        );
        let compared = ["path", "steady_offset", "weave", "speed", "brake_use", "least_gap"];
        for key in compared {
            if let Some(m) = o.measures.iter().find(|m| m.key == key && m.judged != Judged::LeftOut) {
                wrapped(&mut out, "    ", &format!("{}: {}", m.title, m.sentence));
            }
        }
    }
    out
}
