//! The odds that a wobbling pupil touches something, in sentences.

use super::{clean, number};
use crate::odds::{Chance, LEAST_SAID, Odds};

/// Obstacles told one by one; the rest is counted.
const TOLD: usize = 6;

/// What the odds are not, on every form that prints them.
const NOT: &str = "This counts a nose wheel that wanders beside the line, and nothing else: no wrong turn, no lost control, \
    nothing that the map lacks; and the pupil neither sees nor avoids what comes near.";

/// Whether the odds of a count are a figure that can be said.
fn said(c: &Chance) -> bool {
    c.touched > 0 && c.share() >= LEAST_SAID || c.surely_below() >= LEAST_SAID
}

/// The whole way first, then obstacle by obstacle, then whose wobble it was and what it is not.
pub(crate) fn sentences(odds: &Odds) -> Vec<String> {
    let mut list = vec![format!(
        "A part touches something on this way: {}.",
        odds.as_mapped.words()
    )];
    if odds.accuracy_m > 0.0 {
        list.push(format!(
            "Were everything {:.1} m nearer, which is the map's accuracy: {}.",
            number::metres(odds.accuracy_m),
            odds.map_off.words()
        ));
    }
    let told: Vec<_> = odds.obstacles.iter().filter(|o| said(&o.as_mapped)).collect();
    for o in told.iter().take(TOLD) {
        let part = o.part.as_deref().unwrap_or("part nearest to it");
        list.push(format!(
            "{} touches {}: {}.",
            capital(&clean::name(part)),
            clean::name(&o.name),
            o.as_mapped.words()
        ));
    }
    if told.len() > TOLD {
        list.push(format!(
            "{} more things can be touched, all in the JSON form.",
            told.len() - TOLD
        ));
    }
    list.push(format!(
        "Of {} simulated drives (seed {}); pupil: {}.",
        odds.drives,
        odds.seed,
        odds.wobble.words()
    ));
    list.push(NOT.to_string());
    list
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
