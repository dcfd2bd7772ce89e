//! What an instruction means on a map: the taxiways to use in order, the words about runways, where it ends.

use super::error::{InstructionError, Trouble};
use super::follow::FollowError;
use super::names::Names;
use super::{Instruction, Short, Step};
use crate::graph::{Source, TaxiGraph};
use crate::request::Request;
use crate::route::{Destination, Directed, World, at_holds, destination, runway_name};
use core::ops::Range;
use std::collections::BTreeSet;
use toeline_model::units::DEG;

/// A piece of the way that was said.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Element {
    /// Segments of this name.
    Taxiway {
        /// In the form in which names are compared.
        lane: String,
        at: Range<usize>,
    },
    /// Along a runway, in the direction of this designator when it matters.
    Runway {
        runway: usize,
        toward: Option<toeline_model::Yaw>,
        at: Range<usize>,
    },
    /// The taxiways on which the holding position named as the end lies: said by naming it.
    LastLane(BTreeSet<String>),
}

/// A word for meeting a runway: hold short of it, or cross it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct RunwayWord {
    pub(super) runway: usize,
    pub(super) crosses: bool,
    pub(super) on: Option<String>,
    pub(super) at: Range<usize>,
}

/// To hold short of something that is no runway.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct OtherShort {
    pub(super) of: Other,
    pub(super) on: Option<String>,
    pub(super) at: Range<usize>,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) enum Other {
    Taxiway(String),
    Holds(Vec<usize>),
}

/// An instruction on a map.
pub(super) struct Meaning {
    pub(super) elements: Vec<Element>,
    /// At most 32: one bit each in the search.
    pub(super) words: Vec<RunwayWord>,
    pub(super) shorts: Vec<OtherShort>,
    /// Where it ends.
    pub(super) destination: Destination,
    /// What that is called.
    pub(super) end: String,
    /// No taxiway was said: any may be used.
    pub(super) free: bool,
}

impl Meaning {
    /// What an element is called.
    pub(super) fn called(&self, names: &Names<'_>, world: World<'_>, k: usize) -> String {
        match &self.elements[k] {
            Element::Taxiway { lane, .. } => names.shown(lane).to_string(),
            Element::Runway { runway, .. } => runway_name(world.field, *runway),
            Element::LastLane(lanes) => {
                let shown: Vec<&str> = lanes.iter().map(|l| names.shown(l)).collect();
                shown.join("/")
            }
        }
    }

    /// Where in the text an element was said.
    pub(super) fn place(&self, k: usize) -> Range<usize> {
        match &self.elements[k] {
            Element::Taxiway { at, .. } | Element::Runway { at, .. } => at.clone(),
            Element::LastLane(_) => 0..0,
        }
    }

    /// How many elements were said, the lane of the last holding position apart.
    pub(super) fn said(&self) -> usize {
        let implied = matches!(self.elements.last(), Some(Element::LastLane(_)));
        self.elements.len() - usize::from(implied)
    }

    /// Whether a directed segment belongs to an element.
    pub(super) fn bears(&self, names: &Names<'_>, graph: &TaxiGraph, k: usize, d: Directed) -> bool {
        match &self.elements[k] {
            Element::Taxiway { lane, .. } => names.of_segment(d.edge).contains(lane),
            Element::LastLane(lanes) => names.of_segment(d.edge).iter().any(|l| lanes.contains(l)),
            Element::Runway { runway, toward, .. } => {
                graph.segment(d.edge).source == Source::Runway(*runway)
                    && toward.is_none_or(|t| t.to_rad(d.sets_off(graph)).abs() < 90.0 * DEG)
            }
        }
    }
}

/// Looks an instruction up on a map. `request.to` is the end when the instruction names none.
pub(super) fn meaning(
    world: World<'_>,
    names: &Names<'_>,
    request: &Request,
    said: &Instruction,
) -> Result<Meaning, FollowError> {
    let text = said.text.as_str();
    let mut elements = Vec::new();
    let (mut words, mut shorts) = (Vec::new(), Vec::new());
    for step in &said.steps {
        match step {
            Step::Via(name) => {
                for (lane, at) in names.taxiways(text, name)? {
                    // "via B, B": once.
                    let again = matches!(elements.last(), Some(Element::Taxiway { lane: l, .. }) if *l == lane);
                    if !again {
                        elements.push(Element::Taxiway { lane, at });
                    }
                }
            }
            Step::Along { runway, backtrack } => {
                let (index, shown) = names.runway(text, runway)?;
                let toward = (*backtrack && runway.designators.len() == 1).then(|| against(world, index, &shown));
                elements.push(Element::Runway {
                    runway: index,
                    toward,
                    at: runway.at.clone(),
                });
            }
            Step::Cross { runway, on, at } => words.push(RunwayWord {
                runway: names.runway(text, runway)?.0,
                crosses: true,
                on: on.as_ref().map(|n| names.taxiway(text, n)).transpose()?,
                at: at.clone(),
            }),
            Step::HoldShort { of, on, at } => {
                let on = on.as_ref().map(|n| names.taxiway(text, n)).transpose()?;
                let other = match of {
                    Short::Runway(runway) => {
                        words.push(RunwayWord {
                            runway: names.runway(text, runway)?.0,
                            crosses: false,
                            on,
                            at: at.clone(),
                        });
                        continue;
                    }
                    Short::Named(name) if names.lanes.contains_key(&name.pieces.concat()) => {
                        Other::Taxiway(name.pieces.concat())
                    }
                    Short::Named(name) => Other::Holds(names.holding_positions(text, name, None)?),
                };
                shorts.push(OtherShort {
                    of: other,
                    on,
                    at: at.clone(),
                });
            }
        }
    }
    if words.len() > 32 {
        let why = "more than 32 words about runways in one instruction".to_string();
        return Err(InstructionError::new(text, words[32].at.clone(), Trouble::Against(why)).into());
    }
    let (destination, end, last) = ends(world, names, request, said)?;
    let free = elements.is_empty();
    if let Some(lanes) = last.filter(|_| !free) {
        elements.push(Element::LastLane(lanes));
    }
    Ok(Meaning {
        elements,
        words,
        shorts,
        destination,
        end,
        free,
    })
}

/// Direction of rolling against a designator.
fn against(world: World<'_>, runway: usize, designator: &str) -> toeline_model::Yaw {
    let r = &world.field.runways[runway];
    let along = (r.line[r.line.len() - 1] - r.line[0]).direction();
    if r.designators[0].as_deref() == Some(designator) {
        along.turned(core::f64::consts::PI)
    } else {
        along
    }
}

type End = (Destination, String, Option<BTreeSet<String>>);

/// Where an instruction ends, what that is called, and the taxiways that are said by naming it.
fn ends(world: World<'_>, names: &Names<'_>, request: &Request, said: &Instruction) -> Result<End, FollowError> {
    let text = said.text.as_str();
    let runway = said.runway.as_ref().map(|r| names.runway(text, r)).transpose()?;
    let of_runway = |designator: &str| destination(world.field, world.graph, designator);
    if let Some(name) = &said.holding_point {
        let holds = names.holding_positions(text, name, runway.as_ref().map(|r| r.0))?;
        let mut end = match &runway {
            Some((_, designator)) => {
                let mut all = of_runway(designator)?;
                let nodes: BTreeSet<_> = holds.iter().map(|h| world.graph.holds[*h].node).collect();
                all.ends.retain(|d, _| nodes.contains(&d.end(world.graph)));
                all.holds.retain(|node, _| nodes.contains(node));
                all
            }
            None => at_holds(world.field, world.graph, &holds, None),
        };
        // A holding position that was named is where it is: its price does not count.
        end.ends.values_mut().for_each(|extra| *extra = 0);
        let lanes = holds.iter().flat_map(|h| names.lanes_of_hold(*h)).collect();
        return Ok((
            end,
            format!("holding position {}", world.graph.holds[holds[0]].name),
            Some(lanes),
        ));
    }
    let Some((_, designator)) = runway else {
        let what = if request.to.starts_with(|c: char| c.is_ascii_digit()) {
            "runway "
        } else {
            ""
        };
        return Ok((of_runway(&request.to)?, format!("{what}{}", request.to), None));
    };
    let mut end = of_runway(&designator)?;
    let called = format!("runway {designator}");
    let Some(on) = &said.runway_on else {
        return Ok((end, called, None));
    };
    let lane = names.taxiway(text, on)?;
    end.ends.retain(|d, _| names.of_segment(d.edge).contains(&lane));
    if end.ends.is_empty() {
        let why = format!("no holding position of {called} lies on {}", names.shown(&lane));
        return Err(InstructionError::new(text, on.at(), Trouble::Against(why)).into());
    }
    end.ends.values_mut().for_each(|extra| *extra = 0);
    Ok((
        end,
        format!("{called} at {}", names.shown(&lane)),
        Some(BTreeSet::from([lane])),
    ))
}

/// The way up to where one is to hold short of a runway, when the instruction says no more of the way.
pub(super) fn up_to(world: World<'_>, names: &Names<'_>, meaning: &Meaning, k: usize) -> Option<Meaning> {
    let word = &meaning.words[k];
    let holds: Vec<usize> = (0..world.graph.holds.len())
        .filter(|h| world.graph.holds[*h].guards == Some(word.runway))
        .filter(|h| word.on.as_ref().is_none_or(|on| names.lanes_of_hold(*h).contains(on)))
        .collect();
    let destination = at_holds(world.field, world.graph, &holds, None);
    if destination.ends.is_empty() {
        return None;
    }
    let mut elements = meaning.elements.clone();
    elements.truncate(meaning.said());
    let mut words = meaning.words.clone();
    words.remove(k);
    Some(Meaning {
        elements,
        words,
        shorts: meaning.shorts.clone(),
        destination,
        end: format!("the holding position before {}", runway_name(world.field, word.runway)),
        free: meaning.free,
    })
}
