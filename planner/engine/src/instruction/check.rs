//! What is wrong with an instruction that cannot be followed: the way that breaks the fewest kinds of rules is looked at,
//! and everything it breaks is named.

use super::Instruction;
use super::meaning::Meaning;
use super::names::Names;
use super::product::{BETWEEN_LETTERS_M, Lifted, Product, State, TO_FIRST_LETTER_M, lanes_at, link_lane};
use crate::graph::Source;
use crate::route::{Block, Directed, World, blocked, feature_of, name_of, runway_name};
use core::ops::Range;
use std::collections::BTreeSet;
use toeline_model::Xy;
use toeline_model::airfield::Way;

/// Kinds of rules lifted one after another, until a way is found.
const LADDER: [Lifted; 5] = [
    Lifted {
        words: true,
        crossings: false,
        limits: false,
        gaps: false,
    },
    Lifted {
        words: true,
        crossings: true,
        limits: false,
        gaps: false,
    },
    Lifted {
        words: true,
        crossings: true,
        limits: true,
        gaps: false,
    },
    Lifted {
        words: true,
        crossings: true,
        limits: false,
        gaps: true,
    },
    Lifted {
        words: true,
        crossings: true,
        limits: true,
        gaps: true,
    },
];

/// Everything that a product's instruction breaks.
pub(super) fn findings(product: &Product<'_>, said: &Instruction) -> Vec<Block> {
    for lifted in LADDER {
        let looser = Product {
            lifted,
            not_at: None,
            ..*product
        };
        if let Some((_, way)) = looser.cheapest() {
            let found = Walk { product: &looser, said }.findings(&way);
            if !found.is_empty() {
                return found;
            }
        }
    }
    Vec::new()
}

struct Walk<'a> {
    product: &'a Product<'a>,
    said: &'a Instruction,
}

impl Walk<'_> {
    fn findings(&self, way: &[State]) -> Vec<Block> {
        let mut list = self.unused(way);
        list.extend(self.crossings(way));
        list.extend(self.limits(way));
        list.extend(self.gaps(way));
        let mut seen = BTreeSet::new();
        list.retain(|b| seen.insert(b.text.clone()));
        list
    }

    fn world(&self) -> World<'_> {
        self.product.world
    }

    fn names(&self) -> &Names<'_> {
        self.product.names
    }

    fn meaning(&self) -> &Meaning {
        self.product.meaning
    }

    fn quoted(&self, at: &Range<usize>) -> String {
        format!("\"{}\"", self.said.words(at))
    }

    fn block(&self, on: Directed, at: Xy, text: String) -> Block {
        let feature = feature_of(self.world().field, self.world().graph.segment(on.edge));
        Block { feature, text, at }
    }

    /// Words about runways that the way never meets, or meets less often.
    fn unused(&self, way: &[State]) -> Vec<Block> {
        let Some(last) = way.last() else { return Vec::new() };
        let world = self.world();
        let at = world.graph.at(last.on.end(world.graph));
        let words = self.meaning().words.iter().enumerate();
        words
            .filter(|(k, _)| last.used & (1 << k) == 0 && !self.product.done_at_end(*k, last.on))
            .map(|(_, w)| {
                let again = self.meaning().words.iter().enumerate();
                let met = again
                    .filter(|(k, o)| o.runway == w.runway && last.used & (1 << k) != 0)
                    .count();
                let runway = runway_name(world.field, w.runway);
                let on =
                    w.on.as_ref()
                        .map(|l| format!(" at {}", self.names().shown(l)))
                        .unwrap_or_default();
                let text = match met {
                    0 => format!("{}: the way instructed never meets {runway}{on}", self.quoted(&w.at)),
                    1 => format!(
                        "{}: the way instructed meets {runway} once, and another word has named that",
                        self.quoted(&w.at)
                    ),
                    n => format!(
                        "{}: the way instructed meets {runway} {n} times, and other words have named those",
                        self.quoted(&w.at)
                    ),
                };
                self.block(last.on, at, text)
            })
            .collect()
    }

    /// Runways crossed or entered without a word.
    fn crossings(&self, way: &[State]) -> Vec<Block> {
        let mut list = Vec::new();
        for pair in way.windows(2) {
            // What joins pieces that do not meet is told as a whole.
            let link = self.product.lifted.gaps && (pair[0].link || pair[1].link);
            if pair[0].layer != pair[1].layer || link {
                continue;
            }
            let mut new = pair[1].used & !pair[0].used;
            for (runway, node) in self.product.crossings(pair[0].on, pair[1].on) {
                let word = (0..32).find(|k| {
                    new & (1 << k) != 0
                        && self
                            .meaning()
                            .words
                            .get(*k as usize)
                            .is_some_and(|w| w.runway == runway)
                });
                if let Some(k) = word {
                    new &= !(1 << k);
                    continue;
                }
                let world = self.world();
                let name = runway_name(world.field, runway);
                let rolls = world.graph.segment(pair[1].on.edge).source == Source::Runway(runway);
                let on = name_of(world.field, world.graph.segment(pair[0].on.edge));
                let (what, wanted) = if rolls {
                    ("enters", format!("say \"via {name}\" or \"backtrack\""))
                } else {
                    ("crosses", format!("say \"cross {name}\" or \"hold short of {name}\""))
                };
                let text = format!(
                    "the way instructed {what} {name} from {on}, and no word allows it (each crossing needs its own: FAA AIM 4-3-18, \
                     ICAO Doc 4444 7.6.3.1.1); {wanted}"
                );
                list.push(self.block(pair[0].on, world.graph.at(node), text));
            }
        }
        list
    }

    /// Closures and other hard limits on the way, one-way senses, and turns that are not made.
    fn limits(&self, way: &[State]) -> Vec<Block> {
        let world = self.world();
        let mut list = Vec::new();
        for (i, s) in way.iter().enumerate() {
            let segment = world.graph.segment(s.on.edge);
            let middle = segment.line[segment.line.len() / 2];
            if let Some(text) = blocked(world.field, world.graph, world.aircraft, s.on.edge) {
                list.push(self.block(s.on, middle, text));
            }
            let against = if s.on.forward { Way::Backward } else { Way::Forward };
            if segment.way == against {
                let text = format!("{}: one way, against the way instructed", name_of(world.field, segment));
                list.push(self.block(s.on, middle, text));
            }
            let Some(next) = way.get(i + 1).filter(|n| n.on != s.on) else {
                continue;
            };
            if world.turn_terms(s.on, next.on).is_none() {
                let turn = s.on.arrives(world.graph).to_rad(next.on.sets_off(world.graph));
                let text = format!(
                    "from {} to {}: a turn of {:.0} degrees, sharper than any that is made",
                    name_of(world.field, segment),
                    name_of(world.field, world.graph.segment(next.on.edge)),
                    turn.abs().to_degrees()
                );
                list.push(self.block(s.on, world.graph.at(s.on.end(world.graph)), text));
            }
        }
        list
    }

    /// Links between the pieces of the instruction that are too long or bear other names.
    fn gaps(&self, way: &[State]) -> Vec<Block> {
        let world = self.world();
        let mut list = Vec::new();
        let mut i = 0;
        while i < way.len() {
            if !way[i].link {
                i += 1;
                continue;
            }
            let first = i;
            while i < way.len() && way[i].link {
                i += 1;
            }
            let run = &way[first..i];
            let (mut length_m, mut others) = (0.0, Vec::<String>::new());
            for (k, s) in run.iter().enumerate() {
                if k > 0 && run[k - 1].on == s.on {
                    continue;
                }
                let segment = world.graph.segment(s.on.edge);
                length_m += segment.length_m;
                let plain = link_lane(segment, run[0].step == 0);
                let name = name_of(world.field, segment);
                if !plain && !others.contains(&name) {
                    others.push(name);
                }
            }
            let step = run[0].step;
            let most = if step == 0 {
                TO_FIRST_LETTER_M
            } else {
                BETWEEN_LETTERS_M
            };
            if others.is_empty() && length_m <= most {
                continue;
            }
            let joins = if others.is_empty() {
                format!("{length_m:.0} m without a letter (limit {most:.0} m)")
            } else {
                format!("{} ({length_m:.0} m)", others.join(", "))
            };
            let text = self.gap_text(way, first, i, step, &joins);
            list.push(self.block(run[0].on, world.graph.at(run[0].on.start(world.graph)), text));
        }
        list
    }

    fn gap_text(&self, way: &[State], first: usize, after: usize, step: usize, joins: &str) -> String {
        let (m, names, world) = (self.meaning(), self.names(), self.world());
        let called = |k: usize| m.called(names, world, k);
        let before = if step == 0 {
            "the stand".to_string()
        } else {
            called(step - 1)
        };
        let next = way.get(after).map(|s| s.step);
        let meet = lanes_at(names, world, way[first].on.start(world.graph));
        let by = meet.iter().map(|l| names.shown(l)).collect::<Vec<_>>().join(", ");
        let where_left = if by.is_empty() {
            String::new()
        } else {
            format!(", left where {by} meet")
        };
        let quoted = |k: usize| {
            let at = m.place(k);
            if at.is_empty() {
                String::new()
            } else {
                format!("{}: ", self.quoted(&at))
            }
        };
        match next {
            Some(n) if n > step => {
                let to = called(n - 1);
                format!(
                    "{}{before} and {to} do not meet; what joins them is {joins}{where_left}",
                    quoted(n - 1)
                )
            }
            Some(_) => format!(
                "{}{before} is not in one piece; what joins its pieces is {joins}",
                quoted(step.max(1) - 1)
            ),
            None => format!(
                "{}{before} does not lead to {}; what joins them is {joins}{where_left}",
                if step == 0 { String::new() } else { quoted(step - 1) },
                m.end
            ),
        }
    }
}
