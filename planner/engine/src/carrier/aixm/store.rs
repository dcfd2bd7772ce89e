//! What is kept of the messages: the time slices of the kinds of features that are used, and of those only the properties
//! that are read.

use super::crs::{self, Crs};
pub(super) use super::kinds::Kind;
use super::kinds::{INSIDE, OF_SLICES};
use super::time::{At, Slice, State, state};
use super::tree::{Broken, Member, Node, Space, each, uuid};
use crate::carrier::source::Teller;
use crate::carrier::{CarrierError, Form};
use crate::clean;
use std::collections::BTreeMap;

/// Most features that are kept of one set of messages. Ours.
const KEPT_FEATURES_LIMIT: usize = 300_000;
/// Most elements that are kept of them. Ours.
const KEPT_NODES_LIMIT: usize = 1_500_000;
/// Most text that is kept of them, bytes. Ours: twice what a million positions take.
const KEPT_TEXT_LIMIT: usize = 96 << 20;

/// Most time slices of one feature. Ours: a feature changes for good once a month or so, and is published for some years.
const SLICES_LIMIT: usize = 500;

/// A feature as its messages have it.
struct Raw {
    slices: Vec<Slice>,
    /// Where it was found first.
    place: String,
    crs: Option<Crs>,
}

/// A feature as it is at the time of the plan.
#[derive(Clone, Debug)]
pub(super) struct Live {
    /// Its properties.
    pub(super) node: Node,
    pub(super) doubts: Vec<String>,
    /// The reference system around it.
    pub(super) crs: Option<Crs>,
    /// Where it stands: file and line.
    pub(super) place: String,
}

/// Kind and uuid.
pub(super) type Id = (Kind, String);
/// Features that are not there at a time, each with why.
pub(super) type Absent = Vec<(Id, String)>;

/// All that is kept.
#[derive(Default)]
pub(super) struct Store {
    raw: BTreeMap<Id, Raw>,
    kinds_of: BTreeMap<String, Kind>,
    /// Members of other kinds, by name.
    pub(super) passed_over: BTreeMap<String, usize>,
    /// What the messages say of their origin.
    pub(super) credit: Vec<String>,
    problems: Vec<String>,
    nodes: usize,
    text: usize,
    /// Names in use, so that each is kept once.
    file: String,
    crs: Option<Crs>,
}

/// Most texts of credit that are kept.
const CREDITS: usize = 8;

impl Store {
    /// Takes in a message.
    pub(super) fn read(
        &mut self,
        name: &str,
        bytes: &mut dyn std::io::Read,
        teller: &mut Teller<'_>,
        before: u64,
    ) -> Result<(), CarrierError> {
        self.file = name.to_string();
        self.crs = None;
        let mut tell = |done| teller.tell(before + done);
        each(bytes, &mut tell, &mut |member| self.member(member)).map_err(|e: Stop| match e {
            Stop::Broken(Broken { place, found }) => {
                let place = if name.is_empty() {
                    place
                } else {
                    format!("{}, {place}", clean::name(name))
                };
                crate::carrier::source::broken(Form::Aixm, place, found)
            }
            Stop::Told(e) => e,
        })
    }

    fn member(&mut self, member: Member) -> Result<(), Stop> {
        match member {
            Member::Comment(text) => self.copyright(&text),
            Member::Beside(node) if node.is(Space::Gml, "boundedBy") => {
                let envelope = node.children.iter().find(|c| c.name == "Envelope");
                match envelope.map(|e| crs::of(e, None)) {
                    Some(Ok(crs)) => self.crs = crs,
                    Some(Err(e)) => self
                        .problems
                        .push(format!("the message's boundedBy ({}): {e}", self.at(node.line))),
                    None => {}
                }
            }
            Member::Beside(node) if node.name.to_ascii_lowercase().contains("metadata") => self.metadata(&node),
            Member::Beside(node) => self.pass_over(&node),
            Member::Feature(node) => self.feature(node)?,
        }
        Ok(())
    }

    fn pass_over(&mut self, node: &Node) {
        // Few names, unless the file is hostile.
        const NAMES: usize = 500;
        let name = clean::name(&node.name);
        if self.passed_over.len() < NAMES || self.passed_over.contains_key(&name) {
            *self.passed_over.entry(name).or_default() += 1;
        }
    }

    fn at(&self, line: u64) -> String {
        if self.file.is_empty() {
            format!("line {line}")
        } else {
            format!("{}, line {line}", clean::name(&self.file))
        }
    }

    /// The lines of a comment that claim a copyright.
    fn copyright(&mut self, text: &str) {
        for line in text.lines().map(str::trim).take(1000) {
            let small = line.get(..9).unwrap_or(line).to_ascii_lowercase();
            if small == "copyright" || line.starts_with('©') {
                self.credited(line);
            }
        }
    }

    fn credited(&mut self, text: &str) {
        let text = clean::sentence(text);
        if self.credit.len() < CREDITS && !self.credit.contains(&text) {
            self.credit.push(text);
        }
    }

    /// Credit and constraints of use in ISO 19139 metadata.
    fn metadata(&mut self, node: &Node) {
        for child in &node.children {
            if matches!(child.name.as_str(), "credit" | "otherConstraints" | "useLimitation") {
                let words: Vec<&str> = core::iter::once(child)
                    .chain(&child.children)
                    .map(|c| c.text.as_str())
                    .filter(|t| !t.is_empty())
                    .collect();
                if !words.is_empty() {
                    self.credited(&words.join(" "));
                }
            } else {
                self.metadata(child);
            }
        }
    }

    fn feature(&mut self, node: Node) -> Result<(), Stop> {
        let known = Kind::of(&node.name).filter(|_| node.space == Space::Aixm);
        let Some((kind, properties)) = known else {
            self.pass_over(&node);
            return Ok(());
        };
        let place = self.at(node.line);
        let identifier = node.value(Space::Gml, "identifier").and_then(uuid);
        let Some(id) = identifier.or_else(|| node.attribute(Space::Gml, "id").and_then(uuid)) else {
            self.problem(format!(
                "a {} at {place} has neither a gml:identifier nor a gml:id",
                kind.word()
            ));
            return Ok(());
        };
        if let Some(other) = self.kinds_of.insert(id.clone(), kind).filter(|k| *k != kind) {
            self.problem(format!(
                "{}/{} at {place} has the identifier of a {} too",
                kind.word(),
                clean::name(&id),
                other.word()
            ));
            return Ok(());
        }
        let bounded = node.child(Space::Gml, "boundedBy").and_then(|b| b.children.first());
        let crs = match bounded.map(|e| crs::of(e, self.crs)) {
            Some(Ok(crs)) => crs,
            Some(Err(e)) => {
                self.problem(format!("{}/{} ({place}): {e}", kind.word(), clean::name(&id)));
                return Ok(());
            }
            None => self.crs,
        };
        let mut slices = Vec::new();
        for wrap in node.children.into_iter().filter(|c| c.is(Space::Aixm, "timeSlice")) {
            for mut slice in wrap.children {
                prune(&mut slice, properties);
                self.weigh(&slice);
                match Slice::of(slice) {
                    Ok(slice) => slices.push(slice),
                    Err(e) => self.problem(format!("{}/{} ({place}): {e}", kind.word(), clean::name(&id))),
                }
            }
        }
        let raw = self.raw.entry((kind, id)).or_insert_with(|| Raw {
            slices: Vec::new(),
            place,
            crs,
        });
        raw.slices.extend(slices);
        if raw.slices.len() > SLICES_LIMIT {
            let found = format!(
                "{} ({}) has more than {SLICES_LIMIT} time slices",
                kind.word(),
                raw.place
            );
            return Err(Stop::Told(CarrierError::TooLarge { found }));
        }
        for (count, limit, what) in [
            (self.raw.len(), KEPT_FEATURES_LIMIT, "features"),
            (self.nodes, KEPT_NODES_LIMIT, "elements"),
            (self.text, KEPT_TEXT_LIMIT, "bytes of text"),
        ] {
            if count > limit {
                return Err(Stop::Told(CarrierError::TooLarge {
                    found: format!(
                        "the AIXM features that are used have more than {limit} {what}: cut out one aerodrome"
                    ),
                }));
            }
        }
        Ok(())
    }

    fn problem(&mut self, text: String) {
        // What is told is cut after a few; what is kept is bounded too.
        const KEPT: usize = 1000;
        if self.problems.len() < KEPT {
            self.problems.push(text);
        }
    }

    fn weigh(&mut self, node: &Node) {
        self.nodes += 1;
        self.text += node.text.len() + node.attributes.iter().map(|a| a.1.len() + a.2.len()).sum::<usize>();
        node.children.iter().for_each(|c| self.weigh(c));
    }

    /// Every feature as it is at a time; and sentences about those that are not there then.
    pub(super) fn live(self, at: At) -> Result<(BTreeMap<Id, Live>, Absent), CarrierError> {
        let (mut live, mut absent, mut problems) = (BTreeMap::new(), Vec::new(), self.problems);
        for (id, raw) in self.raw {
            let Raw { slices, place, crs } = raw;
            match state(&slices, at) {
                Ok(State { node, doubts }) => {
                    live.insert(
                        id,
                        Live {
                            node,
                            doubts,
                            crs,
                            place,
                        },
                    );
                }
                Err(why) if slices.is_empty() => {
                    let _ = why;
                    problems.push(format!(
                        "{}/{} ({place}): has no time slice",
                        id.0.word(),
                        clean::name(&id.1)
                    ));
                }
                Err(why) => absent.push((id, why)),
            }
        }
        if problems.is_empty() {
            Ok((live, absent))
        } else {
            Err(CarrierError::Features { list: problems })
        }
    }
}

/// Drops what is not read.
fn prune(slice: &mut Node, properties: &[&str]) {
    let read = |c: &Node| {
        let name = c.name.as_str();
        OF_SLICES.contains(&name) || properties.contains(&name)
    };
    slice.children.retain(read);
    slice.children.iter_mut().for_each(inside);
}

fn inside(node: &mut Node) {
    node.children.retain(|c| !INSIDE.contains(&c.name.as_str()));
    node.children.iter_mut().for_each(inside);
}

/// Why the reading of a message stops.
enum Stop {
    Broken(Broken),
    Told(CarrierError),
}

impl From<Broken> for Stop {
    fn from(b: Broken) -> Stop {
        Stop::Broken(b)
    }
}
