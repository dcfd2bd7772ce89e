//! The summary for a terminal, at most 100 columns wide.

use super::{Debrief, Progress};
use crate::exercise::StageCame;
use crate::measures::{Judged, Measure};

/// Most drives of a progress table: the newest.
const MOST_DRIVES: usize = 6;
/// Width of the names in it.
const NAMES: usize = 46;

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

/// What to do again when a stage was not done and no measure has more to say.
pub(super) fn again(s: &StageCame) -> String {
    let why = match (s.broken.first(), s.text.as_str()) {
        (Some(b), _) => format!(": {}", b.text),
        (None, "") => String::new(),
        (None, text) => format!(": {text}"),
    };
    format!(
        "stage {}, {}: {}{why}. Practise: the same exercise again, up to that stage at least.",
        s.stage,
        s.title,
        s.came.word()
    )
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
            if let Some(id) = m.exercise {
                wrapped(&mut out, "  exercise: ", &format!("toeline exercise drive {id}"));
            }
            wrapped(&mut out, "  judged by: ", m.reference);
        }
        None => match d.stage_again() {
            Some(s) => wrapped(&mut out, "  ", &again(s)),
            None => out.push_str("  nothing was found to work on in what this drive holds\n"),
        },
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
    if let Some(p) = &d.progress {
        out.push('\n');
        out.push_str(&progress_text(p));
    }
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

/// A text cut to a number of characters.
fn cut(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        return text.to_string();
    }
    text.chars().take(width - 1).chain(['…']).collect()
}

/// Writes the course of every measure as a table, at most 100 columns wide.
pub fn progress_text(p: &Progress) -> String {
    let skipped = p.drives.len().saturating_sub(MOST_DRIVES);
    let mut out = String::from("PROGRESS, oldest first; * to work on, - not judged\n");
    if skipped > 0 {
        out.push_str(&format!("  the newest {MOST_DRIVES} of {} drives\n", p.drives.len()));
    }
    for (k, name) in p.drives.iter().enumerate().skip(skipped) {
        wrapped(&mut out, "  ", &format!("{}: {name}", k + 1));
    }
    let number = |k: usize| format!("{:>7} ", k + 1);
    let numbers: String = (skipped..p.drives.len()).map(number).collect();
    out.push_str(format!("  {:<NAMES$} {numbers}", "").trim_end());
    out.push('\n');
    for row in &p.rows {
        let (unit, _) = row.unit();
        let title = if unit.is_empty() {
            cut(row.title, NAMES)
        } else {
            format!("{}, {unit}", cut(row.title, NAMES - 2 - unit.chars().count()))
        };
        let cells = (skipped..p.drives.len()).map(|k| match row.judged[k] {
            Judged::Good => format!(
                "{:>7} ",
                if row.figure.is_some() {
                    row.shown(k)
                } else {
                    "good".to_string()
                }
            ),
            Judged::WorkOn => format!("{:>7}*", row.shown(k)),
            _ => format!("{:>7} ", "-"),
        });
        let line = format!("  {title:<NAMES$} {}", cells.collect::<String>());
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}
