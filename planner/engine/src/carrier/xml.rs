//! OpenStreetMap XML: `<osm>` with `<node>`, `<way>` and `<relation>`, piece by piece.
//!
//! Entities of a document type are never expanded: a reference to one is an error, and the declaration itself is passed over.

use super::element::{Element, Form, Id, Kind, Member, Place, Tag};
use super::meter::{Count, Metered};
use super::source::{Teller, Visit, broken};
use super::{Carried, CarrierError, PARTS_LIMIT, TAGS_LIMIT, XML_PIECE_LIMIT};
use quick_xml::XmlVersion;
use quick_xml::events::{BytesStart, Event};
use quick_xml::name::ResolveResult;
use quick_xml::reader::{NsReader, Reader};
use std::borrow::Cow;
use std::io::BufReader;

/// Deepest nesting of elements. Ours: a member's places are the fourth level.
const DEPTH_LIMIT: usize = 32;

/// The carrier by the outermost element of a beginning.
pub(super) fn outermost(text: &[u8]) -> Result<Form, String> {
    let mut reader = NsReader::from_reader(text);
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer) {
            Ok(Event::Start(e) | Event::Empty(e)) => {
                let (space, local) = reader.resolver().resolve_element(e.name());
                if local.as_ref() == "AIXMBasicMessage" {
                    return aixm(space);
                }
                return match e.name().as_ref() {
                    "osm" => Ok(Form::Xml),
                    "osmChange" => Err("it holds changes of the open map (osmChange), not a map".to_string()),
                    other => Err(format!(
                        "it is XML of another kind: its outermost element is <{}>, not <osm> or an AIXMBasicMessage",
                        crate::clean::name(other)
                    )),
                };
            }
            Ok(Event::Eof) => return Err("it begins like XML and has no element".to_string()),
            Ok(_) => {}
            Err(e) => {
                return Err(format!(
                    "it begins like XML and is broken: {}",
                    crate::clean::sentence(&e.to_string())
                ));
            }
        }
    }
}

/// An AIXM message, if it is of a version that is read.
fn aixm(space: ResolveResult<'_>) -> Result<Form, String> {
    let uri = match space {
        ResolveResult::Bound(uri) => uri.0,
        _ => "",
    };
    match super::aixm::tree::Space::of(uri) {
        super::aixm::tree::Space::Message => Ok(Form::Aixm),
        _ => Err(format!(
            "it is an AIXM message of another version: its namespace is \"{}\"; 5.1 and 5.1.1 are read",
            crate::clean::name(uri)
        )),
    }
}

/// The element that is being read.
struct Open {
    id: Id,
    place: Option<Place>,
    gone: bool,
    tags: Vec<Tag<'static>>,
    refs: Vec<i64>,
    inline: Vec<Option<Place>>,
    members: Vec<Member>,
    parts: usize,
}

pub(super) fn each(
    bytes: &mut dyn Carried,
    teller: &mut Teller<'_>,
    visit: &mut Visit<'_>,
) -> Result<(), CarrierError> {
    let count = Count::new(XML_PIECE_LIMIT);
    let mut reader = Reader::from_reader(Metered(BufReader::with_capacity(1 << 16, bytes), count.clone()));
    let mut buffer = Vec::new();
    let mut open: Option<Open> = None;
    let mut depth = 0_usize;
    let mut begun = false;
    let wrong = |open: &Option<Open>, found: &str| {
        let at = format!("byte {}", count.total());
        let place = match open {
            Some(o) => format!("{at}, in {}", o.id),
            None => at,
        };
        broken(Form::Xml, place, found)
    };
    loop {
        buffer.clear();
        count.anew();
        let event = reader.read_event_into(&mut buffer).map_err(|e| {
            if count.exceeded() {
                return wrong(&open, &format!("a tag or text longer than {XML_PIECE_LIMIT} bytes"));
            }
            wrong(&open, &e.to_string())
        })?;
        match event {
            Event::Start(e) => {
                depth += 1;
                if depth > DEPTH_LIMIT {
                    return Err(wrong(&open, &format!("elements nested more than {DEPTH_LIMIT} deep")));
                }
                begun = true;
                enter(&e, depth, &mut open).map_err(|found| wrong(&open, &found))?;
            }
            Event::Empty(e) => {
                begun = true;
                enter(&e, depth + 1, &mut open).map_err(|found| wrong(&open, &found))?;
                if depth + 1 == 2 {
                    show(open.take(), visit)?;
                }
            }
            Event::End(_) => {
                if depth == 2 {
                    show(open.take(), visit)?;
                }
                depth = depth.saturating_sub(1);
            }
            Event::GeneralRef(e) => {
                let name: &str = &e;
                let known = name.starts_with('#') || matches!(name, "lt" | "gt" | "amp" | "quot" | "apos");
                if !known {
                    return Err(wrong(
                        &open,
                        &format!("the entity &{name}; is not known, and none is expanded"),
                    ));
                }
            }
            Event::Eof if depth > 0 || !begun => {
                return Err(wrong(&open, "the file ends before its outermost element does"));
            }
            Event::Eof => return Ok(()),
            _ => {}
        }
        teller.tell(count.total());
    }
}

/// A finished element.
fn show(open: Option<Open>, visit: &mut Visit<'_>) -> Result<(), CarrierError> {
    match open {
        Some(o) if !o.gone => visit(&Element {
            id: o.id,
            place: o.place,
            tags: &o.tags,
            refs: &o.refs,
            // Places beside only some of the nodes are no help.
            inline: if o.inline.iter().any(Option::is_some) {
                &o.inline
            } else {
                &[]
            },
            members: &o.members,
        }),
        _ => Ok(()),
    }
}

/// The attributes of a tag that are read, unescaped.
#[derive(Default)]
struct Attributes {
    id: Option<String>,
    reference: Option<String>,
    lat: Option<String>,
    lon: Option<String>,
    key: Option<String>,
    value: Option<String>,
    kind: Option<String>,
    role: Option<String>,
    gone: bool,
}

impl Attributes {
    fn of(e: &BytesStart<'_>) -> Result<Attributes, String> {
        let mut all = Attributes::default();
        for attribute in e.attributes().with_checks(false) {
            let attribute = attribute.map_err(|e| e.to_string())?;
            let place = match attribute.key.as_ref() {
                "id" => &mut all.id,
                "ref" => &mut all.reference,
                "lat" => &mut all.lat,
                "lon" => &mut all.lon,
                "k" => &mut all.key,
                "v" => &mut all.value,
                "type" => &mut all.kind,
                "role" => &mut all.role,
                "visible" => {
                    all.gone |= attribute.value == "false";
                    continue;
                }
                "action" => {
                    all.gone |= attribute.value == "delete";
                    continue;
                }
                _ => continue,
            };
            let text = attribute
                .normalized_value(XmlVersion::Implicit1_0)
                .map_err(|e| format!("{e} (no entity is expanded)"))?;
            *place = Some(text.into_owned());
        }
        Ok(all)
    }

    fn place(&self) -> Result<Option<Place>, String> {
        let number = |text: &str, what: &str| {
            let number = text.trim().parse::<f64>();
            number.map_err(|_| format!("the {what} \"{text}\" is not a number"))
        };
        match (&self.lon, &self.lat) {
            (Some(lon), Some(lat)) => Place::from_deg(number(lon, "lon")?, number(lat, "lat")?).map(Some),
            _ => Ok(None),
        }
    }
}

/// A whole number that names an element.
fn whole(text: Option<&String>, what: &str) -> Result<i64, String> {
    let text = text.ok_or_else(|| format!("has no {what}"))?;
    let number = text.trim().parse();
    number.map_err(|_| format!("the {what} \"{text}\" is not a whole number of 64 bits"))
}

fn enter(e: &BytesStart<'_>, depth: usize, open: &mut Option<Open>) -> Result<(), String> {
    let name = e.name();
    match (depth, name.as_ref(), &mut *open) {
        (1, "osm", _) => {}
        (1, other, _) => return Err(format!("<{other}> where <osm> is expected")),
        (2, name, _) => {
            let Some(kind) = Kind::of(name) else { return Ok(()) };
            let attributes = Attributes::of(e)?;
            let id = whole(attributes.id.as_ref(), "id").map_err(|e| format!("<{name}>: {e}"))?;
            let place = attributes.place().map_err(|e| format!("{name}/{id}: {e}"))?;
            if kind == Kind::Node && place.is_none() && !attributes.gone {
                return Err(format!("{name}/{id} has no lat or no lon"));
            }
            *open = Some(Open {
                id: Id(kind, id),
                place: place.filter(|_| kind == Kind::Node),
                gone: attributes.gone,
                tags: Vec::new(),
                refs: Vec::new(),
                inline: Vec::new(),
                members: Vec::new(),
                parts: 0,
            });
        }
        (3, "tag", Some(o)) => {
            let Attributes { key, value, .. } = Attributes::of(e)?;
            let (Some(key), Some(value)) = (key, value) else {
                return Err("a tag without k or v".to_string());
            };
            if o.tags.len() == TAGS_LIMIT {
                return Err(format!("more than {TAGS_LIMIT} tags"));
            }
            o.tags.push((Cow::Owned(key), Cow::Owned(value)));
        }
        (3, "nd", Some(o)) if o.id.0 == Kind::Way => {
            part(o)?;
            let attributes = Attributes::of(e)?;
            o.refs.push(whole(attributes.reference.as_ref(), "ref of a node")?);
            o.inline.push(attributes.place()?);
        }
        (3, "member", Some(o)) if o.id.0 == Kind::Relation => {
            part(o)?;
            let attributes = Attributes::of(e)?;
            let kind = attributes.kind.as_deref().unwrap_or_default();
            let member = Member {
                kind: Kind::of(kind).ok_or_else(|| format!("a member of the type \"{kind}\""))?,
                id: whole(attributes.reference.as_ref(), "ref of a member")?,
                inner: attributes.role.as_deref() == Some("inner"),
                inline: Vec::new(),
            };
            o.members.push(member);
        }
        (4, "nd", Some(o)) if o.id.0 == Kind::Relation => {
            part(o)?;
            let place = Attributes::of(e)?.place()?;
            if let Some(member) = o.members.last_mut() {
                member.inline.push(place);
            }
        }
        _ => {}
    }
    Ok(())
}

fn part(open: &mut Open) -> Result<(), String> {
    open.parts += 1;
    if open.parts > PARTS_LIMIT {
        return Err(format!("more than {PARTS_LIMIT} nodes or members"));
    }
    Ok(())
}
