//! The list beside the map: what is chosen, the verdict in the engine's words, the legs, the tightest gaps.

use super::alternatives::Alternative;
use super::core::Deed;
use super::ends::Ends;
use super::legs;
use super::look::{self, Sizes};
use super::pick::label;
use super::planner::Planner;
use super::table::{Table, Trouble};
use super::widgets::button;
use crate::view::palette;
use crate::view::readout::text;
use bevy::prelude::*;
use toeline_engine::briefing::{Answer, CAUTION, WayBriefing};
use toeline_engine::clearance::Verdict;

/// Gaps in the list; the rest is counted.
const GAPS_LISTED: usize = 5;

/// The list that scrolls.
#[derive(Component)]
pub struct List;

/// The lines above it.
#[derive(Component)]
pub struct Chosen;

/// The line that says what is going on.
#[derive(Component)]
pub struct State;

/// The line of a leg.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq)]
pub struct LegLine(pub usize);

/// The leg that is lit on the map and in the list.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Lit(pub Option<usize>);

/// What is chosen, in lines.
pub fn chosen_words(table: &Table, ends: &Ends) -> String {
    let name = |p| label(&table.field, p);
    let via: Vec<String> = ends.via.iter().map(|v| name(*v)).collect();
    let via = if via.is_empty() { "-".into() } else { via.join(", ") };
    format!(
        "From {}\nby   {via}\nto   {}",
        ends.from.map_or_else(|| "-".into(), name),
        ends.to.map_or_else(|| "-".into(), name)
    )
}

/// The verdict as a word.
pub fn verdict_word(v: Verdict) -> &'static str {
    match v {
        Verdict::Clear => "CLEAR",
        Verdict::NotClear => "NOT CLEAR",
        Verdict::NotKnown => "NOT KNOWN",
    }
}

/// What is going on, in a line: what to click, that a way is being worked out, what is wrong, what was found.
pub fn state_words(table: &Table, ends: &Ends, planner: &Planner, trouble: &Trouble) -> String {
    if !trouble.0.is_empty() {
        return format!("Cannot go on: {}", trouble.0);
    }
    if planner.busy() {
        return match planner.found() {
            Some(_) => "planning ... (below: the way before)".into(),
            None => "planning ...".into(),
        };
    }
    if let Some(lacks) = table.lacks() {
        return lacks.into();
    }
    if let Some(missing) = ends.missing() {
        return missing.into();
    }
    match planner.answer() {
        None => String::new(),
        Some(Err(e)) => format!("The planner cannot answer: {e}"),
        Some(Ok(found)) => match &planner.told().unwrap_or(&found.briefing).answer {
            Answer::Way(w) => format!(
                "{}: {:.0} m, about {:.0} min without stops",
                verdict_word(w.verdict),
                w.length_m,
                (w.time_s / 60.0).ceil()
            ),
            Answer::NoWay(_) => "NO WAY".into(),
        },
    }
}

/// Whether that line is a good one: a way is there and it is clear. Everything else is drawn as a warning.
pub fn state_is_good(planner: &Planner, trouble: &Trouble) -> bool {
    trouble.0.is_empty()
        && !planner.busy()
        && planner
            .shown()
            .is_some_and(|(_, way, _)| way.clearance.verdict == Verdict::Clear)
}

/// Fills the list anew.
pub fn fill(list: &mut ChildSpawnerCommands, sizes: Sizes, planner: &Planner) {
    if let Some(found) = planner.found() {
        for reason in found.reasons() {
            list.spawn(text(reason, sizes.note(), palette::TEXT));
        }
        if let Some(Answer::Way(w)) = planner.told().map(|b| &b.answer) {
            way_lines(list, sizes, w, (&found.ways, planner.picked()));
        }
        let notams = &found.briefing.notams;
        if !notams.is_empty() {
            heading(list, sizes, "Notices");
            for notam in notams {
                list.spawn(text(notam.line(), sizes.note(), palette::TEXT));
            }
        }
    }
    list.spawn(text(CAUTION, sizes.note(), palette::TEXT_WARN));
}

fn heading(list: &mut ChildSpawnerCommands, sizes: Sizes, words: &str) {
    list.spawn(text(words, sizes.body(), palette::TEXT_HEAD));
}

fn way_lines(list: &mut ChildSpawnerCommands, sizes: Sizes, w: &WayBriefing, (ways, picked): (&[Alternative], usize)) {
    for sentence in &w.verdict_text {
        list.spawn(text(sentence.clone(), sizes.note(), palette::TEXT));
    }
    heading(list, sizes, "Legs: length, heading (magnetic)");
    for (i, leg) in w.legs.iter().enumerate() {
        let [name, length, bearing] = legs::words(leg);
        list.spawn((
            LegLine(i),
            Button,
            Node {
                column_gap: px(sizes.gap()),
                padding: UiRect::axes(px(3), px(1.5)),
                border: UiRect::all(px(1.5)),
                ..default()
            },
            BackgroundColor(look::PANEL),
            BorderColor::all(look::PANEL),
        ))
        .with_children(|line| {
            line.spawn((
                Node {
                    flex_grow: 1.0,
                    flex_basis: px(0),
                    min_width: px(0),
                    ..default()
                },
                text(name, sizes.note(), palette::TEXT),
            ));
            for (words, chars) in [(length, 6.0), (bearing, 7.0)] {
                line.spawn((
                    Node {
                        width: px(sizes.note() * 0.6 * chars + 2.0),
                        flex_shrink: 0.0,
                        ..default()
                    },
                    text(words, sizes.note(), palette::TEXT),
                    TextLayout::justify(Justify::Right),
                ));
            }
        });
    }
    if ways.len() > 1 {
        heading(list, sizes, "Ways to pick from");
        for (i, other) in ways.iter().enumerate() {
            let label = match (i == picked, &other.title) {
                (true, title) => format!("SHOWN: {title}"),
                (false, title) => title.clone(),
            };
            button(list, sizes, &label, Deed::PickWay(i), false);
        }
    }
    heading(list, sizes, "Tightest gaps, rounded down");
    if w.gaps.is_empty() {
        list.spawn(text("Nothing the map shows comes near.", sizes.note(), palette::TEXT));
    }
    for g in w.gaps.iter().take(GAPS_LISTED) {
        let touches = if g.touches { ", TOUCHES" } else { "" };
        list.spawn(text(
            format!(
                "{:.1} m  {} to {}, leg {}: {}{touches}",
                g.gap_m,
                g.part,
                g.obstacle,
                g.leg,
                verdict_word(g.verdict).to_lowercase()
            ),
            sizes.note(),
            palette::TEXT,
        ));
    }
    if w.gaps.len() > GAPS_LISTED {
        let more = format!("and {} wider ones", w.gaps.len() - GAPS_LISTED);
        list.spawn(text(more, sizes.note(), palette::TEXT_QUIET));
    }
    for (title, lines) in [
        ("Hot spots", &w.hot_spots),
        ("What the map lacks", &w.lacks),
        ("Doubts about the way", &w.doubts),
        ("Cheaper ways the planner gave up", &w.given_up),
    ] {
        if !lines.is_empty() {
            heading(list, sizes, title);
        }
        for line in lines {
            list.spawn(text(line.clone(), sizes.note(), palette::TEXT));
        }
    }
}
