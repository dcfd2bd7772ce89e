//! What the map calls its taxiways, holding positions and runways, and which of them a said name means.

use super::error::{InstructionError, Trouble};
use super::words::{canonical, designator};
use super::{SaidName, SaidRunway};
use crate::graph::{Source, TaxiGraph};
use crate::route::{near, runway_name};
use petgraph::graph::{EdgeIndex, NodeIndex};
use petgraph::visit::EdgeRef;
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::Airfield;
use toeline_model::airfield::Surface;

/// Up to this many taxiways, all of them are named when one is not known.
const ALL_UP_TO: usize = 12;

/// The names of a map, in the form in which they are compared.
pub(super) struct Names<'a> {
    field: &'a Airfield,
    graph: &'a TaxiGraph,
    /// Taxiways: compared form, and as the map writes it.
    pub(super) lanes: BTreeMap<String, String>,
    /// Holding positions with a name on the map: compared form, and their numbers in the graph.
    pub(super) holds: BTreeMap<String, Vec<usize>>,
    /// Names of each segment, compared form.
    letters: Vec<Vec<String>>,
}

impl<'a> Names<'a> {
    pub(super) fn of(field: &'a Airfield, graph: &'a TaxiGraph) -> Names<'a> {
        let mut lanes = BTreeMap::new();
        let mut letters = Vec::new();
        for edge in graph.graph.edge_indices() {
            let s = graph.segment(edge);
            let mut list = Vec::new();
            if matches!(s.source, Source::Lane(..)) {
                for l in &s.letters {
                    let c = canonical(l);
                    if !c.is_empty() {
                        lanes.entry(c.clone()).or_insert_with(|| l.clone());
                        list.push(c);
                    }
                }
            }
            letters.push(list);
        }
        let mut holds: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (i, h) in graph.holds.iter().enumerate() {
            let named = h.position.and_then(|p| field.holding_positions[p].name.as_deref());
            if let Some(c) = named.map(canonical).filter(|c| !c.is_empty()) {
                holds.entry(c).or_default().push(i);
            }
        }
        Names {
            field,
            graph,
            lanes,
            holds,
            letters,
        }
    }

    /// Names of a segment, compared form.
    pub(super) fn of_segment(&self, edge: EdgeIndex) -> &[String] {
        &self.letters[edge.index()]
    }

    /// A taxiway as the map writes it.
    pub(super) fn shown<'b>(&'b self, lane: &'b str) -> &'b str {
        self.lanes.get(lane).map_or(lane, String::as_str)
    }

    /// Runways that wheels may be on, at a node.
    pub(super) fn runways_at(&self, node: NodeIndex) -> BTreeSet<usize> {
        let edges = self.graph.graph.edges(node);
        let runway = edges.filter_map(|e| match e.weight().source {
            Source::Runway(r) => Some(r),
            _ => None,
        });
        runway
            .filter(|r| {
                let r = &self.field.runways[*r];
                r.closed.is_none() && r.surface != Surface::Water
            })
            .collect()
    }

    /// Taxiways on which a holding position lies.
    pub(super) fn lanes_of_hold(&self, hold: usize) -> BTreeSet<String> {
        let edges = self.graph.graph.edges(self.graph.holds[hold].node);
        edges.flat_map(|e| self.of_segment(e.id()).to_vec()).collect()
    }

    /// Taxiways that a said name means: each run of its words that is a name, in order.
    pub(super) fn taxiways(
        &self,
        text: &str,
        name: &SaidName,
    ) -> Result<Vec<(String, core::ops::Range<usize>)>, InstructionError> {
        let n = name.pieces.len();
        // All ways to cut the words into names; few words, and few names begin alike.
        let mut readings: Vec<Vec<(usize, usize)>> = Vec::new();
        let mut open: Vec<Vec<(usize, usize)>> = vec![Vec::new()];
        let mut farthest = 0;
        while let Some(cut) = open.pop() {
            let from = cut.last().map_or(0, |c| c.1);
            farthest = farthest.max(from);
            if from == n {
                readings.push(cut);
                continue;
            }
            // Enough to see that it is not clear.
            if readings.len() >= 8 {
                break;
            }
            for to in from + 1..=n {
                if self.lanes.contains_key(&name.pieces[from..to].concat()) {
                    let mut more = cut.clone();
                    more.push((from, to));
                    open.push(more);
                }
            }
        }
        let said = |(a, b): &(usize, usize)| name.pieces[*a..*b].concat();
        match readings.as_slice() {
            [one] => Ok(one
                .iter()
                .map(|c| (said(c), name.places[c.0].start..name.places[c.1 - 1].end))
                .collect()),
            [] => {
                let at = name.places[farthest].start..name.at().end;
                let rest = name.pieces[farthest..].concat();
                Err(InstructionError::new(text, at, self.unknown("taxiway", &rest)))
            }
            several => {
                let mut ways: Vec<String> = several
                    .iter()
                    .map(|cut| {
                        cut.iter()
                            .map(|c| self.shown(&said(c)).to_string())
                            .collect::<Vec<_>>()
                            .join(", ")
                    })
                    .collect();
                ways.sort();
                Err(InstructionError::new(text, name.at(), Trouble::Several(ways)))
            }
        }
    }

    /// What to say about a name that is none.
    fn unknown(&self, what: &'static str, asked: &str) -> Trouble {
        let taxiway = what == "taxiway";
        let all: Vec<&str> = if taxiway {
            self.lanes.values().map(String::as_str).collect()
        } else {
            let holds = self.holds.values().flatten();
            holds.map(|h| self.graph.holds[*h].name.as_str()).collect()
        };
        let near = near(asked, all.iter().copied());
        let mut hint = String::new();
        if taxiway && self.holds.contains_key(asked) {
            hint = format!("{asked} is a holding position");
        } else if !taxiway && self.lanes.contains_key(asked) {
            hint = format!("{asked} is a taxiway without a holding position on it");
        } else if all.is_empty() {
            hint = format!("the map names no {what} at all");
        } else if near.is_empty() && all.len() <= ALL_UP_TO {
            hint = format!("the map has {}", all.join(", "));
        }
        Trouble::Unknown { what, near, hint }
    }

    /// One taxiway.
    pub(super) fn taxiway(&self, text: &str, name: &SaidName) -> Result<String, InstructionError> {
        let mut list = self.taxiways(text, name)?;
        match list.len() {
            1 => Ok(list.remove(0).0),
            _ => {
                let at = list[1].1.clone();
                Err(InstructionError::new(
                    text,
                    at,
                    Trouble::Against("only one taxiway can be meant here".into()),
                ))
            }
        }
    }

    /// Holding positions that a said name means: by their own name, else those on the taxiway of that name; only such as
    /// guard a runway when one is given.
    pub(super) fn holding_positions(
        &self,
        text: &str,
        name: &SaidName,
        runway: Option<usize>,
    ) -> Result<Vec<usize>, InstructionError> {
        let asked = name.pieces.concat();
        let guards = |h: &usize| runway.is_none() || self.graph.holds[*h].guards == runway;
        let named = self.holds.get(&asked).cloned().unwrap_or_default();
        let (all, found): (Vec<usize>, Vec<usize>) = if named.is_empty() {
            let on_lane = |h: &usize| self.graph.holds[*h].guards.is_some() && self.lanes_of_hold(*h).contains(&asked);
            let all: Vec<usize> = (0..self.graph.holds.len()).filter(on_lane).collect();
            (all.clone(), all.into_iter().filter(guards).collect())
        } else {
            (named.clone(), named.into_iter().filter(guards).collect())
        };
        if !found.is_empty() {
            return Ok(found);
        }
        let trouble = match (all.first(), runway) {
            (Some(h), Some(r)) => {
                let other = self.graph.holds[*h]
                    .guards
                    .map_or("no runway".to_string(), |g| runway_name(self.field, g));
                Trouble::Against(format!(
                    "it is before {other}, not before {}",
                    runway_name(self.field, r)
                ))
            }
            _ => self.unknown("holding position", &asked),
        };
        Err(InstructionError::new(text, name.at(), trouble))
    }

    /// The runway that is said, and the designator that was said first, as the map writes it.
    pub(super) fn runway(&self, text: &str, said: &SaidRunway) -> Result<(usize, String), InstructionError> {
        let ends = |r: usize| self.field.runways[r].designators.iter().flatten();
        let has = |r: usize, d: &String| ends(r).any(|e| designator(e) == *d);
        let fail = |trouble| Err(InstructionError::new(text, said.at.clone(), trouble));
        let found: Vec<usize> = (0..self.field.runways.len())
            .filter(|r| said.designators.iter().all(|d| has(*r, d)))
            .collect();
        if let [one] = found.as_slice() {
            let first = &said.designators[0];
            let shown = ends(*one).find(|e| designator(e) == *first);
            return Ok((*one, shown.cloned().unwrap_or_else(|| first.clone())));
        }
        if found.len() > 1 {
            let ids: Vec<&str> = found.iter().map(|r| self.field.runways[*r].id.as_str()).collect();
            let why = format!("the map has {} runways of that name: {}", ids.len(), ids.join(", "));
            return fail(Trouble::Against(why));
        }
        let all: Vec<&String> = (0..self.field.runways.len()).flat_map(ends).collect();
        // "27" where the map has 27L and 27R.
        let first = &said.designators[0];
        let sides: Vec<&str> = all
            .iter()
            .filter(|d| {
                designator(d)
                    .strip_prefix(first.as_str())
                    .is_some_and(|s| s.chars().all(char::is_alphabetic) && !s.is_empty())
            })
            .map(|d| d.as_str())
            .collect();
        if said.designators.len() == 1 && !sides.is_empty() {
            return fail(Trouble::Against(format!(
                "the map has {}: say which",
                sides.join(" and ")
            )));
        }
        let list: Vec<&str> = all.iter().map(|d| d.as_str()).collect();
        let hint = match list.as_slice() {
            [] => "its runways have no designators".to_string(),
            list => format!("the map has {}", list.join(", ")),
        };
        fail(Trouble::Unknown {
            what: "runway",
            near: Vec::new(),
            hint,
        })
    }
}
