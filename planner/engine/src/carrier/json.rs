//! OpenStreetMap JSON: an object whose `elements` are nodes, ways and relations, element by element.

use super::element::{Element, Form, Id, Kind, Member, Place, Tag};
use super::meter::{Count, Metered};
use super::source::{Teller, Visit, broken};
use super::{Carried, CarrierError, JSON_ELEMENT_LIMIT};
use core::cell::RefCell;
use core::fmt;
use serde::Deserialize;
use serde::de::{DeserializeSeed, Deserializer, Error, IgnoredAny, MapAccess, SeqAccess, Visitor};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::io::BufReader;
use std::rc::Rc;

/// Whether the outermost object of a beginning has the member `elements` or `osm3s` before one of GeoJSON's.
pub(super) fn has_elements(text: &[u8]) -> bool {
    let (mut depth, mut at) = (0_usize, 0);
    while let Some(byte) = text.get(at) {
        match byte {
            b'{' | b'[' => depth += 1,
            b'}' | b']' => depth = depth.saturating_sub(1),
            b'"' => {
                let begin = at + 1;
                let Some(end) = end_of_text(text, begin) else {
                    return false;
                };
                at = end;
                let after = text[end + 1..].trim_ascii_start();
                if depth == 1 && after.first() == Some(&b':') {
                    match &text[begin..end] {
                        b"elements" | b"osm3s" => return true,
                        b"type" | b"features" | b"geometry" | b"properties" | b"coordinates" => return false,
                        _ => {}
                    }
                }
            }
            _ => {}
        }
        at += 1;
    }
    false
}

fn end_of_text(text: &[u8], begin: usize) -> Option<usize> {
    let mut at = begin;
    loop {
        match text.get(at)? {
            b'"' => return Some(at),
            b'\\' => at += 2,
            _ => at += 1,
        }
    }
}

#[derive(Deserialize)]
struct LatLon {
    lat: f64,
    lon: f64,
}

#[derive(Deserialize)]
struct RawMember {
    #[serde(rename = "type")]
    kind: String,
    #[serde(rename = "ref")]
    id: i64,
    #[serde(default)]
    role: String,
    #[serde(default)]
    geometry: Vec<Option<LatLon>>,
    lat: Option<f64>,
    lon: Option<f64>,
}

#[derive(Deserialize)]
struct Raw {
    #[serde(rename = "type")]
    kind: String,
    id: i64,
    lat: Option<f64>,
    lon: Option<f64>,
    #[serde(default)]
    tags: BTreeMap<String, String>,
    #[serde(default)]
    nodes: Vec<i64>,
    #[serde(default)]
    geometry: Vec<Option<LatLon>>,
    #[serde(default)]
    members: Vec<RawMember>,
    #[serde(default = "yes")]
    visible: bool,
}

fn yes() -> bool {
    true
}

/// What the visitors share.
struct Walk<'w, 'v, 't> {
    count: Rc<Count>,
    visit: RefCell<&'w mut Visit<'v>>,
    teller: RefCell<&'w mut Teller<'t>>,
    stopped: RefCell<Option<CarrierError>>,
}

pub(super) fn each(
    bytes: &mut dyn Carried,
    teller: &mut Teller<'_>,
    visit: &mut Visit<'_>,
) -> Result<(), CarrierError> {
    let count = Count::new(JSON_ELEMENT_LIMIT);
    let mut reader = BufReader::with_capacity(1 << 16, bytes);
    pass_byte_order_mark(&mut reader)?;
    let mut text = serde_json::Deserializer::from_reader(Metered(reader, count.clone()));
    let walk = Walk {
        count,
        visit: RefCell::new(visit),
        teller: RefCell::new(teller),
        stopped: RefCell::new(None),
    };
    let found = Top(&walk)
        .deserialize(&mut text)
        .and_then(|found| text.end().map(|()| found));
    match found {
        Ok(true) => Ok(()),
        Ok(false) => Err(broken(Form::Json, "its outermost object", "has no list \"elements\"")),
        Err(e) => Err(walk.stopped.into_inner().unwrap_or_else(|| {
            let place = format!("line {}, column {}", e.line(), e.column());
            if walk.count.exceeded() {
                let found = format!("an element, or what is beside them, is longer than {JSON_ELEMENT_LIMIT} bytes");
                return broken(Form::Json, place, found);
            }
            let told = e.to_string();
            broken(Form::Json, place, told.split(" at line ").next().unwrap_or_default())
        })),
    }
}

fn pass_byte_order_mark(reader: &mut impl std::io::BufRead) -> Result<(), CarrierError> {
    if reader.fill_buf()?.starts_with(b"\xef\xbb\xbf") {
        reader.consume(3);
    }
    Ok(())
}

/// The outermost object; whether it has elements.
struct Top<'c, 'w, 'v, 't>(&'c Walk<'w, 'v, 't>);

impl<'de> DeserializeSeed<'de> for Top<'_, '_, '_, '_> {
    type Value = bool;
    fn deserialize<D: Deserializer<'de>>(self, d: D) -> Result<bool, D::Error> {
        d.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for Top<'_, '_, '_, '_> {
    type Value = bool;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object with \"elements\"")
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<bool, A::Error> {
        let mut found = false;
        while let Some(key) = map.next_key::<Cow<'de, str>>()? {
            self.0.count.anew();
            if key == "elements" {
                map.next_value_seed(Elements(self.0))?;
                found = true;
            } else {
                map.next_value::<IgnoredAny>()?;
            }
        }
        Ok(found)
    }
}

/// The list of elements.
struct Elements<'c, 'w, 'v, 't>(&'c Walk<'w, 'v, 't>);

impl<'de> DeserializeSeed<'de> for Elements<'_, '_, '_, '_> {
    type Value = ();
    fn deserialize<D: Deserializer<'de>>(self, d: D) -> Result<(), D::Error> {
        d.deserialize_seq(self)
    }
}

impl<'de> Visitor<'de> for Elements<'_, '_, '_, '_> {
    type Value = ();
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list of elements")
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        let walk = self.0;
        while let Some(raw) = list.next_element::<Raw>()? {
            walk.count.anew();
            walk.teller.borrow_mut().tell(walk.count.total());
            let shown = show(raw, &mut **walk.visit.borrow_mut());
            if let Err(e) = shown {
                let text = match e {
                    Shown::Here(text) => text,
                    Shown::Stop(e) => {
                        *walk.stopped.borrow_mut() = Some(e);
                        String::new()
                    }
                };
                return Err(A::Error::custom(text));
            }
        }
        Ok(())
    }
}

enum Shown {
    Here(String),
    Stop(CarrierError),
}

fn show(raw: Raw, visit: &mut Visit<'_>) -> Result<(), Shown> {
    let Some(kind) = Kind::of(&raw.kind) else {
        // Query answers may hold counts, areas and the like.
        return Ok(());
    };
    if !raw.visible {
        return Ok(());
    }
    let id = Id(kind, raw.id);
    let here = |text: String| Shown::Here(format!("{id}: {text}"));
    let places = |list: Vec<Option<LatLon>>| -> Result<Vec<Option<Place>>, String> {
        list.into_iter()
            .map(|p| p.map(|p| Place::from_deg(p.lon, p.lat)).transpose())
            .collect()
    };
    let place = match (kind, raw.lon, raw.lat) {
        (Kind::Node, Some(lon), Some(lat)) => Some(Place::from_deg(lon, lat).map_err(here)?),
        (Kind::Node, ..) => return Err(here("has no lat or no lon".to_string())),
        _ => None,
    };
    let inline = places(raw.geometry).map_err(here)?;
    if !raw.nodes.is_empty() && !inline.is_empty() && raw.nodes.len() != inline.len() {
        return Err(here(format!(
            "has {} nodes and {} places",
            raw.nodes.len(),
            inline.len()
        )));
    }
    let mut members = Vec::with_capacity(raw.members.len());
    for m in raw.members {
        let kind = Kind::of(&m.kind).ok_or_else(|| here(format!("has a member of the type \"{}\"", m.kind)))?;
        let mut inline = places(m.geometry).map_err(here)?;
        if let (Kind::Node, Some(lon), Some(lat)) = (kind, m.lon, m.lat) {
            inline = vec![Some(Place::from_deg(lon, lat).map_err(here)?)];
        }
        members.push(Member {
            kind,
            id: m.id,
            inner: m.role == "inner",
            inline,
        });
    }
    let tags: Vec<Tag<'_>> = raw
        .tags
        .iter()
        .map(|(k, v)| (Cow::Borrowed(k.as_str()), Cow::Borrowed(v.as_str())))
        .collect();
    visit(&Element {
        id,
        place,
        tags: &tags,
        refs: &raw.nodes,
        inline: &inline,
        members: &members,
    })
    .map_err(Shown::Stop)
}
