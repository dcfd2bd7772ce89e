//! The XML of an AIXM message, one member at a time as a small tree. Messages of features and messages of events (notices)
//! are read through it.
//!
//! Entities of a document type are never expanded: a reference to one is an error, and the declaration itself is passed over.
//! Every limit is ours; what exceeds one is told with its line.

use super::lines::Lines;
use crate::carrier::meter::{Count, Metered};
use core::cell::Cell;
use quick_xml::XmlVersion;
use quick_xml::events::{BytesStart, Event};
use quick_xml::name::ResolveResult;
use quick_xml::reader::NsReader;
use std::io::{BufReader, Read};
use std::rc::Rc;

/// Deepest nesting of elements. The standard's own features reach about twenty.
pub(crate) const DEPTH_LIMIT: usize = 64;
/// Longest member, bytes: a line of a million positions has less.
pub(crate) const MEMBER_BYTES_LIMIT: usize = 40 << 20;
/// Most elements of one member.
pub(crate) const MEMBER_NODES_LIMIT: usize = 200_000;
/// Most attributes of one element, its declarations of namespaces not counted.
pub(crate) const ATTRIBUTES_LIMIT: usize = 64;
/// Most members of one message.
pub(crate) const MEMBERS_LIMIT: usize = 1_000_000;

/// The namespaces that are told apart. AIXM 5.1 and 5.1.1 count as one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Space {
    /// AIXM features.
    Aixm,
    /// The message around them.
    Message,
    /// Events (digital notices).
    Event,
    /// GML 3.2.
    Gml,
    /// References.
    Xlink,
    /// `xsi:nil`.
    Xsi,
    /// An attribute or element without a namespace.
    None,
    /// Any other.
    Other,
}

impl Space {
    pub(crate) fn of(uri: &str) -> Space {
        match uri {
            "http://www.opengis.net/gml/3.2" => Space::Gml,
            "http://www.w3.org/1999/xlink" => Space::Xlink,
            "http://www.w3.org/2001/XMLSchema-instance" => Space::Xsi,
            _ => match version(uri) {
                Some(("5.1" | "5.1.1", "")) => Space::Aixm,
                Some(("5.1" | "5.1.1", "message")) => Space::Message,
                Some(("5.1" | "5.1.1", "event")) => Space::Event,
                _ => Space::Other,
            },
        }
    }
}

/// Version and part of an AIXM namespace.
pub(crate) fn version(uri: &str) -> Option<(&str, &str)> {
    let rest = uri.strip_prefix("http://www.aixm.aero/schema/")?;
    Some(rest.split_once('/').unwrap_or((rest, "")))
}

/// One element with all that is in it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Node {
    pub(crate) space: Space,
    /// Its name without a prefix.
    pub(crate) name: String,
    pub(crate) attributes: Vec<(Space, String, String)>,
    /// Its own text, the parts between children put together, without white space around it.
    pub(crate) text: String,
    pub(crate) children: Vec<Node>,
    /// The line that it begins in.
    pub(crate) line: u64,
}

impl Node {
    /// An element of AIXM with nothing in it.
    pub(crate) fn named(name: &str) -> Node {
        Node {
            space: Space::Aixm,
            name: name.to_string(),
            attributes: Vec::new(),
            text: String::new(),
            children: Vec::new(),
            line: 0,
        }
    }

    pub(crate) fn is(&self, space: Space, name: &str) -> bool {
        self.space == space && self.name == name
    }

    pub(crate) fn attribute(&self, space: Space, name: &str) -> Option<&str> {
        let found = self.attributes.iter().find(|(s, n, _)| *s == space && n == name);
        found.map(|(_, _, value)| value.as_str())
    }

    /// The first child of a name.
    pub(crate) fn child(&self, space: Space, name: &str) -> Option<&Node> {
        self.children.iter().find(|c| c.is(space, name))
    }

    /// All children of a name.
    pub(crate) fn all<'n>(&'n self, space: Space, name: &'n str) -> impl Iterator<Item = &'n Node> {
        self.children.iter().filter(move |c| c.is(space, name))
    }

    /// The first element found by going down one name after another.
    pub(crate) fn at<'n>(&'n self, space: Space, names: &[&str]) -> Option<&'n Node> {
        names.iter().try_fold(self, |node, name| node.child(space, name))
    }

    /// Whether it says that its value is not given (`xsi:nil`, or a `nilReason` and nothing in it).
    pub(crate) fn is_nil(&self) -> bool {
        matches!(self.attribute(Space::Xsi, "nil"), Some("true" | "1"))
            || (self.attribute(Space::None, "nilReason").is_some() && self.text.is_empty() && self.children.is_empty())
    }

    /// The text of the first child of a name, if it has one and it is not nil.
    pub(crate) fn value(&self, space: Space, name: &str) -> Option<&str> {
        let child = self.child(space, name)?;
        (!child.is_nil() && !child.text.is_empty()).then_some(child.text.as_str())
    }

    /// Where its `xlink:href` points.
    pub(crate) fn href(&self) -> Option<&str> {
        self.attribute(Space::Xlink, "href")
            .map(str::trim)
            .filter(|h| !h.is_empty())
    }

    /// The uuid that its `xlink:href` names ([`uuid`]).
    pub(crate) fn reference(&self) -> Option<String> {
        self.href().and_then(uuid)
    }
}

/// The uuid of `urn:uuid:…`, of `#uuid.…` or of the identifier by itself, in small letters; without one the text after `#`
/// or `urn:uuid:` as it is, so that files with other identifiers join too. `None` for an address of another kind.
pub(crate) fn uuid(text: &str) -> Option<String> {
    let text = text.trim();
    let bare = ["urn:uuid:", "URN:UUID:", "#uuid.", "#"]
        .iter()
        .find_map(|sign| text.strip_prefix(sign))
        .unwrap_or(text);
    let named =
        !bare.is_empty() && bare.len() <= 128 && !bare.contains(|c: char| c.is_whitespace() || "/:#?".contains(c));
    named.then(|| bare.to_ascii_lowercase())
}

/// What is found in a message.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Member {
    /// A feature or an event: what a `hasMember` holds.
    Feature(Node),
    /// What stands beside: `boundedBy`, the metadata, a `hasMember` with only a reference.
    Beside(Node),
    /// A comment outside of all of these.
    Comment(String),
}

/// What is wrong with a message, and where.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Broken {
    /// "line 12".
    pub(crate) place: String,
    /// With value and limit; not yet made safe to show.
    pub(crate) found: String,
}

/// Reads a message from where it stands and shows each member. Told after each piece: how many bytes are done.
///
/// # Errors
/// What is no well-formed AIXM message or exceeds a limit; whatever the visitor returns.
pub(crate) fn each<E: From<Broken>>(
    bytes: &mut dyn Read,
    tell: &mut dyn FnMut(u64),
    visit: &mut dyn FnMut(Member) -> Result<(), E>,
) -> Result<(), E> {
    let count = Count::new(MEMBER_BYTES_LIMIT);
    let line = Rc::new(Cell::new(1));
    let lines = Lines(BufReader::with_capacity(1 << 16, bytes), line.clone());
    let mut reader = NsReader::from_reader(Metered(lines, count.clone()));
    let mut buffer = Vec::new();
    let mut open: Vec<Node> = Vec::new();
    let (mut nodes, mut members, mut begun) = (0_usize, 0_usize, false);
    let place = |line: u64| format!("line {line}");
    loop {
        buffer.clear();
        if open.len() <= 1 {
            count.anew();
            nodes = 0;
        }
        let began = line.get();
        let event = reader.read_event_into(&mut buffer).map_err(|e| {
            let found = if count.exceeded() {
                format!("a member, or what is beside them, is longer than {MEMBER_BYTES_LIMIT} bytes")
            } else {
                e.to_string()
            };
            Broken {
                place: place(line.get()),
                found,
            }
        })?;
        let wrong = |found: String| Broken {
            place: place(began),
            found,
        };
        let (start, empty) = match &event {
            Event::Start(e) => (Some(e), false),
            Event::Empty(e) => (Some(e), true),
            _ => (None, false),
        };
        if let Some(e) = start {
            if open.is_empty() && begun {
                return Err(wrong("a second outermost element".to_string()).into());
            }
            if open.len() == DEPTH_LIMIT {
                return Err(wrong(format!("elements nested more than {DEPTH_LIMIT} deep")).into());
            }
            nodes += 1;
            if nodes > MEMBER_NODES_LIMIT {
                return Err(wrong(format!("a member has more than {MEMBER_NODES_LIMIT} elements")).into());
            }
            let node = enter(e, &reader, began).map_err(wrong)?;
            if open.is_empty() && !node.is(Space::Message, "AIXMBasicMessage") {
                return Err(wrong(format!(
                    "<{}> where the AIXMBasicMessage of AIXM 5.1 or 5.1.1 is expected",
                    node.name
                ))
                .into());
            }
            begun = true;
            open.push(node);
        }
        match event {
            Event::End(_) => close(&mut open, &mut members, visit, began)?,
            Event::Empty(_) if empty => close(&mut open, &mut members, visit, began)?,
            Event::Text(e) => {
                if let Some(node) = text_of(&mut open) {
                    node.text.push_str(&e.xml10_content());
                }
            }
            Event::CData(e) => {
                if let Some(node) = text_of(&mut open) {
                    node.text.push_str(&e);
                }
            }
            Event::GeneralRef(e) => {
                let c = match e.as_ref() {
                    "lt" => '<',
                    "gt" => '>',
                    "amp" => '&',
                    "quot" => '"',
                    "apos" => '\'',
                    name => match e.resolve_char_ref() {
                        Ok(Some(c)) => c,
                        Ok(None) => {
                            return Err(wrong(format!("the entity &{name}; is not known, and none is expanded")).into());
                        }
                        Err(e) => return Err(wrong(e.to_string()).into()),
                    },
                };
                if let Some(node) = text_of(&mut open) {
                    node.text.push(c);
                }
            }
            Event::Comment(e) if open.len() <= 1 => visit(Member::Comment(e.to_string()))?,
            Event::Eof if !open.is_empty() || !begun => {
                return Err(wrong("the file ends before its outermost element does".to_string()).into());
            }
            Event::Eof => return Ok(()),
            _ => {}
        }
        tell(count.total());
    }
}

/// The element that a text belongs to; none for the message itself, whose text is of no use.
fn text_of(open: &mut [Node]) -> Option<&mut Node> {
    if open.len() > 1 { open.last_mut() } else { None }
}

fn enter<R>(e: &BytesStart<'_>, reader: &NsReader<R>, line: u64) -> Result<Node, String> {
    let space = |resolved: ResolveResult<'_>| match resolved {
        ResolveResult::Bound(uri) => Ok(Space::of(uri.0)),
        ResolveResult::Unbound => Ok(Space::None),
        ResolveResult::Unknown(prefix) => Err(format!("the prefix \"{prefix}\" has no namespace")),
    };
    let (resolved, local) = reader.resolver().resolve_element(e.name());
    let mut node = Node {
        space: space(resolved)?,
        name: local.as_ref().to_string(),
        attributes: Vec::new(),
        text: String::new(),
        children: Vec::new(),
        line,
    };
    for attribute in e.attributes().with_checks(false) {
        let attribute = attribute.map_err(|e| e.to_string())?;
        if attribute.key.as_namespace_binding().is_some() {
            continue;
        }
        if node.attributes.len() == ATTRIBUTES_LIMIT {
            return Err(format!("<{}> has more than {ATTRIBUTES_LIMIT} attributes", node.name));
        }
        let (resolved, local) = reader.resolver().resolve_attribute(attribute.key);
        let space = space(resolved)?;
        let local = local.as_ref().to_string();
        if node.attribute(space, &local).is_some() {
            return Err(format!("<{}> has the attribute {local} twice", node.name));
        }
        let value = attribute
            .normalized_value(XmlVersion::Implicit1_0)
            .map_err(|e| format!("{e} (no entity is expanded)"))?;
        node.attributes.push((space, local, value.into_owned()));
    }
    Ok(node)
}

/// An element ends: it goes to its parent, or to the visitor.
fn close<E: From<Broken>>(
    open: &mut Vec<Node>,
    members: &mut usize,
    visit: &mut dyn FnMut(Member) -> Result<(), E>,
    line: u64,
) -> Result<(), E> {
    let Some(mut node) = open.pop() else { return Ok(()) };
    let trimmed = node.text.trim();
    if trimmed.len() < node.text.len() {
        node.text = trimmed.to_string();
    }
    if open.len() > 1 {
        if let Some(parent) = open.last_mut() {
            parent.children.push(node);
        }
        return Ok(());
    }
    if open.is_empty() {
        return Ok(());
    }
    *members += 1;
    if *members > MEMBERS_LIMIT {
        return Err(Broken {
            place: format!("line {line}"),
            found: format!("the message has more than {MEMBERS_LIMIT} members"),
        }
        .into());
    }
    if node.is(Space::Message, "hasMember") && !node.children.is_empty() {
        return node.children.into_iter().try_for_each(|f| visit(Member::Feature(f)));
    }
    visit(Member::Beside(node))
}

#[cfg(test)]
#[path = "tree_tests.rs"]
mod tests;
