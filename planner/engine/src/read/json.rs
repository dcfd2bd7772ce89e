//! JSON taken in leniently: whatever stands in a place is accepted and judged afterwards, so that one broken feature does not
//! hide the others. Only text that is no JSON, and too much of it, stops the reading.
//!
//! Nothing here keeps more than the places need: members that are not read are passed over, lists and objects among the
//! properties are kept as a word that they were there, and positions become pairs of numbers at once.

use super::credit::{Said, SourceMember};
use super::geometry::{Coordinates, Geometry};
use super::tags::{Tags, Value, clean};
use super::{FEATURE_LIMIT, POSITION_LIMIT, PROPERTY_LIMIT, Progress};
use core::cell::{Cell, RefCell};
use core::fmt;
use serde::de::{DeserializeSeed, Deserializer, Error, IgnoredAny, MapAccess, SeqAccess, Visitor};
use serde_json::Number;
use std::borrow::Cow;
use toeline_model::LonLat;

/// Progress is told after as much text, bytes. Ours.
const TELL_BYTES: usize = 1 << 20;

/// What is counted while a text is taken apart.
pub(super) struct Reading<'p> {
    text_at: usize,
    total: usize,
    seen_at: Cell<usize>,
    told: Cell<usize>,
    features: Cell<usize>,
    positions: Cell<usize>,
    properties: Cell<usize>,
    /// Positions of the lists that are being read, the outer ones' first.
    positions_so_far: RefCell<Vec<LonLat>>,
    /// What there is too much of, once there is.
    pub(super) too_much: RefCell<Option<String>>,
    progress: RefCell<&'p mut dyn FnMut(Progress)>,
}

impl<'p> Reading<'p> {
    pub(super) fn new(text: &str, progress: &'p mut dyn FnMut(Progress)) -> Reading<'p> {
        let text_at = text.as_ptr() as usize;
        Reading {
            text_at,
            total: text.len(),
            seen_at: Cell::new(text_at),
            told: Cell::new(0),
            features: Cell::new(0),
            positions: Cell::new(0),
            properties: Cell::new(0),
            positions_so_far: RefCell::new(Vec::new()),
            too_much: RefCell::new(None),
            progress: RefCell::new(progress),
        }
    }

    /// The same text from its beginning, with nothing counted.
    pub(super) fn anew(self) -> Reading<'p> {
        Reading {
            seen_at: Cell::new(self.text_at),
            told: Cell::new(0),
            features: Cell::new(0),
            positions: Cell::new(0),
            properties: Cell::new(0),
            positions_so_far: RefCell::new(Vec::new()),
            ..self
        }
    }

    /// Counts a text of a sequence that is one feature; what there is too much of, once there is.
    pub(super) fn record(&self) -> Result<(), String> {
        self.feature::<serde::de::value::Error>()
            .map_err(|_| self.too_much.borrow_mut().take().unwrap_or_default())
    }

    fn count<E: Error>(&self, what: &Cell<usize>, limit: usize, name: &str) -> Result<(), E> {
        what.set(what.get() + 1);
        if what.get() > limit {
            *self.too_much.borrow_mut() = Some(format!("more than {limit} {name}; cut out one airfield"));
            return Err(E::custom("too much"));
        }
        Ok(())
    }

    fn feature<E: Error>(&self) -> Result<(), E> {
        let done = self.seen_at.get().saturating_sub(self.text_at).min(self.total);
        if done >= self.told.get() + TELL_BYTES {
            self.told.set(done);
            (self.progress.borrow_mut())(Progress::Text {
                done_bytes: done,
                of_bytes: self.total,
            });
        }
        self.count(&self.features, FEATURE_LIMIT, "features")
    }
}

/// An object that may be a feature, a collection, a geometry or anything else.
#[derive(Default)]
pub(super) struct Object<'t> {
    /// Whether it is an object at all.
    pub(super) is_object: bool,
    /// Its `type`, when that is text.
    pub(super) kind: Option<Cow<'static, str>>,
    /// Its `id`, when that is text or a number.
    pub(super) id: Option<Cow<'t, str>>,
    /// Its `properties`, when they are an object.
    pub(super) tags: Option<Tags<'t>>,
    /// Its `geometry`.
    pub(super) geometry: Geometry,
    /// Its `features`, where features are looked for: `Some(None)` when they are no list.
    pub(super) features: Option<Option<Vec<Object<'t>>>>,
    /// Its `crs`, likewise.
    pub(super) crs: Option<Box<Object<'t>>>,
    /// What it says of where its data are from, likewise.
    pub(super) said: Said,
}

/// Reads an [`Object`]; at the top of a text with its features.
pub(super) struct ObjectSeed<'c, 'p> {
    pub(super) reading: &'c Reading<'p>,
    pub(super) top: bool,
}

/// Implements what a lenient visitor does with a place it has no use for.
macro_rules! otherwise {
    ($de:lifetime, $value:expr; $($method:ident)*) => { $(otherwise!(@ $de, $method, $value);)* };
    (@ $de:lifetime, null, $value:expr) => {
        fn visit_unit<E: Error>(self) -> Result<Self::Value, E> { Ok($value) }
    };
    (@ $de:lifetime, bool, $value:expr) => {
        fn visit_bool<E: Error>(self, _: bool) -> Result<Self::Value, E> { Ok($value) }
    };
    (@ $de:lifetime, number, $value:expr) => {
        fn visit_u64<E: Error>(self, _: u64) -> Result<Self::Value, E> { Ok($value) }
        fn visit_i64<E: Error>(self, _: i64) -> Result<Self::Value, E> { Ok($value) }
        fn visit_f64<E: Error>(self, _: f64) -> Result<Self::Value, E> { Ok($value) }
    };
    (@ $de:lifetime, text, $value:expr) => {
        fn visit_str<E: Error>(self, _: &str) -> Result<Self::Value, E> { Ok($value) }
    };
    (@ $de:lifetime, list, $value:expr) => {
        fn visit_seq<A: SeqAccess<$de>>(self, mut list: A) -> Result<Self::Value, A::Error> {
            while list.next_element::<IgnoredAny>()?.is_some() {}
            Ok($value)
        }
    };
    (@ $de:lifetime, object, $value:expr) => {
        fn visit_map<A: MapAccess<$de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
            while map.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
            Ok($value)
        }
    };
}

macro_rules! anything {
    () => {
        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("any JSON value")
        }
    };
}

macro_rules! seed {
    ($de:lifetime) => {
        fn deserialize<D: Deserializer<$de>>(self, d: D) -> Result<Self::Value, D::Error> {
            d.deserialize_any(self)
        }
    };
}

#[derive(Clone, Copy)]
enum Member {
    Type,
    Id,
    Properties,
    Geometry,
    Features,
    Crs,
    Source(SourceMember),
    Coordinates,
    Geometries,
    Foreign,
}

/// The key of a member, and where in the text it stands.
struct MemberSeed<'c, 'p>(&'c Reading<'p>);

impl<'de> DeserializeSeed<'de> for MemberSeed<'_, '_> {
    type Value = Member;
    fn deserialize<D: Deserializer<'de>>(self, d: D) -> Result<Member, D::Error> {
        d.deserialize_str(self)
    }
}

impl<'de> Visitor<'de> for MemberSeed<'_, '_> {
    type Value = Member;
    anything!();
    fn visit_borrowed_str<E: Error>(self, key: &'de str) -> Result<Member, E> {
        self.0.seen_at.set(key.as_ptr() as usize);
        self.visit_str(key)
    }
    fn visit_str<E: Error>(self, key: &str) -> Result<Member, E> {
        Ok(match key {
            "type" => Member::Type,
            "id" => Member::Id,
            "properties" => Member::Properties,
            "geometry" => Member::Geometry,
            "features" => Member::Features,
            "crs" => Member::Crs,
            "attribution" => Member::Source(SourceMember::Attribution),
            "copyright" => Member::Source(SourceMember::Copyright),
            "license" | "licence" => Member::Source(SourceMember::Licence),
            "generator" => Member::Source(SourceMember::Generator),
            "coordinates" => Member::Coordinates,
            "geometries" => Member::Geometries,
            _ => Member::Foreign,
        })
    }
}

impl<'de> DeserializeSeed<'de> for ObjectSeed<'_, '_> {
    type Value = Object<'de>;
    seed!('de);
}

impl<'de> Visitor<'de> for ObjectSeed<'_, '_> {
    type Value = Object<'de>;
    anything!();
    otherwise!('de, Object::default(); null bool number text list);
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Object<'de>, A::Error> {
        let mut object = Object {
            is_object: true,
            ..Object::default()
        };
        let reading = self.reading;
        while let Some(member) = map.next_key_seed(MemberSeed(reading))? {
            match member {
                Member::Type => object.kind = map.next_value_seed(WordSeed)?,
                Member::Id => object.id = map.next_value_seed(IdSeed)?,
                Member::Properties => object.tags = map.next_value_seed(TagsSeed(reading))?,
                Member::Geometry => object.geometry = map.next_value_seed(GeometrySeed(reading))?,
                Member::Features if self.top => object.features = Some(map.next_value_seed(ListSeed(reading))?),
                Member::Crs if self.top => {
                    let seed = ObjectSeed { reading, top: false };
                    object.crs = Some(Box::new(map.next_value_seed(seed)?));
                }
                Member::Source(which) if self.top => {
                    let said = &mut object.said;
                    map.next_value_seed(SaidSeed { said, which })?;
                }
                _ => {
                    map.next_value::<IgnoredAny>()?;
                }
            }
        }
        Ok(object)
    }
}

/// The features of a collection.
struct ListSeed<'c, 'p>(&'c Reading<'p>);

impl<'de> DeserializeSeed<'de> for ListSeed<'_, '_> {
    type Value = Option<Vec<Object<'de>>>;
    seed!('de);
}

impl<'de> Visitor<'de> for ListSeed<'_, '_> {
    type Value = Option<Vec<Object<'de>>>;
    anything!();
    otherwise!('de, None; null bool number text object);
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Self::Value, A::Error> {
        let mut features = Vec::new();
        let reading = self.0;
        while let Some(object) = list.next_element_seed(ObjectSeed { reading, top: false })? {
            reading.feature()?;
            features.push(object);
        }
        Ok(Some(features))
    }
}

/// A `type`.
struct WordSeed;

impl<'de> DeserializeSeed<'de> for WordSeed {
    type Value = Option<Cow<'static, str>>;
    seed!('de);
}

impl<'de> Visitor<'de> for WordSeed {
    type Value = Option<Cow<'static, str>>;
    anything!();
    otherwise!('de, None; null bool number list object);
    fn visit_str<E: Error>(self, word: &str) -> Result<Self::Value, E> {
        let known = super::geometry::KINDS.iter().chain(&["Feature", "FeatureCollection"]);
        Ok(Some(match known.into_iter().find(|k| **k == word) {
            Some(k) => Cow::Borrowed(*k),
            None => Cow::Owned(clean(word).into_owned()),
        }))
    }
}

/// What a member says of where the data are from; anything but a text says nothing.
struct SaidSeed<'s> {
    said: &'s mut Said,
    which: SourceMember,
}

impl<'de> DeserializeSeed<'de> for SaidSeed<'_> {
    type Value = ();
    seed!('de);
}

impl<'de> Visitor<'de> for SaidSeed<'_> {
    type Value = ();
    anything!();
    otherwise!('de, (); null bool number list object);
    fn visit_str<E: Error>(self, text: &str) -> Result<(), E> {
        self.said.add(self.which, text);
        Ok(())
    }
}

/// An `id`.
struct IdSeed;

impl<'de> DeserializeSeed<'de> for IdSeed {
    type Value = Option<Cow<'de, str>>;
    seed!('de);
}

impl<'de> Visitor<'de> for IdSeed {
    type Value = Option<Cow<'de, str>>;
    anything!();
    otherwise!('de, None; null bool list object);
    fn visit_u64<E: Error>(self, n: u64) -> Result<Self::Value, E> {
        Ok(Some(Cow::Owned(n.to_string())))
    }
    fn visit_i64<E: Error>(self, n: i64) -> Result<Self::Value, E> {
        Ok(Some(Cow::Owned(n.to_string())))
    }
    fn visit_f64<E: Error>(self, n: f64) -> Result<Self::Value, E> {
        Ok(Number::from_f64(n).map(|n| Cow::Owned(n.to_string())))
    }
    fn visit_str<E: Error>(self, text: &str) -> Result<Self::Value, E> {
        Ok(Some(Cow::Owned(clean(text).into_owned())))
    }
    fn visit_borrowed_str<E: Error>(self, text: &'de str) -> Result<Self::Value, E> {
        Ok(Some(clean(text)))
    }
}

/// The properties of a feature.
struct TagsSeed<'c, 'p>(&'c Reading<'p>);

impl<'de> DeserializeSeed<'de> for TagsSeed<'_, '_> {
    type Value = Option<Tags<'de>>;
    seed!('de);
}

impl<'de> Visitor<'de> for TagsSeed<'_, '_> {
    type Value = Option<Tags<'de>>;
    anything!();
    otherwise!('de, None; null bool number text list);
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut list = Vec::with_capacity(8);
        while let Some(key) = map.next_key_seed(KeySeed)? {
            self.0.count(&self.0.properties, PROPERTY_LIMIT, "properties")?;
            list.push((key, map.next_value_seed(ValueSeed)?));
        }
        Ok(Some(Tags::new(list)))
    }
}

/// A property's key.
struct KeySeed;

impl<'de> DeserializeSeed<'de> for KeySeed {
    type Value = Cow<'de, str>;
    fn deserialize<D: Deserializer<'de>>(self, d: D) -> Result<Self::Value, D::Error> {
        d.deserialize_str(self)
    }
}

impl<'de> Visitor<'de> for KeySeed {
    type Value = Cow<'de, str>;
    anything!();
    fn visit_str<E: Error>(self, key: &str) -> Result<Self::Value, E> {
        Ok(Cow::Owned(key.to_string()))
    }
    fn visit_borrowed_str<E: Error>(self, key: &'de str) -> Result<Self::Value, E> {
        Ok(Cow::Borrowed(key))
    }
}

/// A property's value.
struct ValueSeed;

impl<'de> DeserializeSeed<'de> for ValueSeed {
    type Value = Value<'de>;
    seed!('de);
}

impl<'de> Visitor<'de> for ValueSeed {
    type Value = Value<'de>;
    anything!();
    otherwise!('de, Value::Null; null);
    otherwise!('de, Value::Other; list object);
    fn visit_bool<E: Error>(self, b: bool) -> Result<Value<'de>, E> {
        Ok(Value::Bool(b))
    }
    fn visit_u64<E: Error>(self, n: u64) -> Result<Value<'de>, E> {
        Ok(Value::Number(n.into()))
    }
    fn visit_i64<E: Error>(self, n: i64) -> Result<Value<'de>, E> {
        Ok(Value::Number(n.into()))
    }
    fn visit_f64<E: Error>(self, n: f64) -> Result<Value<'de>, E> {
        Ok(Number::from_f64(n).map_or(Value::Null, Value::Number))
    }
    fn visit_str<E: Error>(self, text: &str) -> Result<Value<'de>, E> {
        Ok(Value::String(Cow::Owned(text.to_string())))
    }
    fn visit_borrowed_str<E: Error>(self, text: &'de str) -> Result<Value<'de>, E> {
        Ok(Value::String(Cow::Borrowed(text)))
    }
}

/// A geometry.
struct GeometrySeed<'c, 'p>(&'c Reading<'p>);

impl<'de> DeserializeSeed<'de> for GeometrySeed<'_, '_> {
    type Value = Geometry;
    seed!('de);
}

impl<'de> Visitor<'de> for GeometrySeed<'_, '_> {
    type Value = Geometry;
    anything!();
    otherwise!('de, Geometry::None; null);
    otherwise!('de, Geometry::default_object(); bool number text list);
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Geometry, A::Error> {
        let (mut kind, mut coordinates, mut members) = (None, None, None);
        while let Some(member) = map.next_key_seed(MemberSeed(self.0))? {
            match member {
                Member::Type => kind = map.next_value_seed(WordSeed)?,
                Member::Coordinates => coordinates = Some(map.next_value_seed(NodeSeed(self.0))?.coordinates()),
                Member::Geometries => members = map.next_value_seed(GeometriesSeed(self.0))?,
                _ => {
                    map.next_value::<IgnoredAny>()?;
                }
            }
        }
        Ok(Geometry::Object {
            kind,
            coordinates,
            members,
        })
    }
}

/// The members of a GeometryCollection; `None` when they are no list.
struct GeometriesSeed<'c, 'p>(&'c Reading<'p>);

impl<'de> DeserializeSeed<'de> for GeometriesSeed<'_, '_> {
    type Value = Option<Vec<Geometry>>;
    seed!('de);
}

impl<'de> Visitor<'de> for GeometriesSeed<'_, '_> {
    type Value = Option<Vec<Geometry>>;
    anything!();
    otherwise!('de, None; null bool number text object);
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Self::Value, A::Error> {
        let mut members = Vec::new();
        while let Some(member) = list.next_element_seed(GeometrySeed(self.0))? {
            // An empty member costs memory as a position does.
            self.0.count(&self.0.positions, POSITION_LIMIT, "positions")?;
            members.push(member);
        }
        Ok(Some(members))
    }
}

/// Something among coordinates.
pub(super) enum Node {
    Number(f64),
    /// No number and no list: how to show it.
    Shown(String),
    List(Coordinates),
}

impl Node {
    fn coordinates(self) -> Coordinates {
        match self {
            Node::List(c) => c,
            _ => Coordinates::NoList,
        }
    }

    fn number(self) -> Result<f64, String> {
        match self {
            Node::Number(n) => Ok(n),
            Node::Shown(s) => Err(s),
            Node::List(_) => Err("[…]".to_string()),
        }
    }
}

struct NodeSeed<'c, 'p>(&'c Reading<'p>);

impl<'de> DeserializeSeed<'de> for NodeSeed<'_, '_> {
    type Value = Node;
    seed!('de);
}

impl<'de> Visitor<'de> for NodeSeed<'_, '_> {
    type Value = Node;
    anything!();
    otherwise!('de, Node::Shown("null".to_string()); null);
    otherwise!('de, Node::Shown("{…}".to_string()); object);
    fn visit_bool<E: Error>(self, b: bool) -> Result<Node, E> {
        Ok(Node::Shown(b.to_string()))
    }
    fn visit_u64<E: Error>(self, n: u64) -> Result<Node, E> {
        Ok(Node::Number(n as f64))
    }
    fn visit_i64<E: Error>(self, n: i64) -> Result<Node, E> {
        Ok(Node::Number(n as f64))
    }
    fn visit_f64<E: Error>(self, n: f64) -> Result<Node, E> {
        Ok(Node::Number(n))
    }
    fn visit_str<E: Error>(self, text: &str) -> Result<Node, E> {
        let short: String = clean(text).chars().take(40).collect();
        Ok(Node::Shown(format!("\"{short}\"")))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Node, A::Error> {
        let reading = self.0;
        let first = match list.next_element_seed(NodeSeed(reading))? {
            None => {
                reading.count(&reading.positions, POSITION_LIMIT, "positions")?;
                return Ok(Node::List(Coordinates::List(Vec::new())));
            }
            Some(Node::List(first)) => first,
            Some(lon) => {
                reading.count(&reading.positions, POSITION_LIMIT, "positions")?;
                let lat = list.next_element_seed(NodeSeed(reading))?;
                while list.next_element::<IgnoredAny>()?.is_some() {}
                return Ok(Node::List(Coordinates::position(lon.number(), lat.map(Node::number))));
            }
        };
        // Sound positions are gathered at the end of one list for all, so that each list is taken in its true size.
        let begin = reading.positions_so_far.borrow().len();
        let mut mixed = Vec::new();
        match first {
            Coordinates::Position(p) => reading.positions_so_far.borrow_mut().push(p),
            other => mixed.push(other),
        }
        while let Some(next) = list.next_element_seed(NodeSeed(reading))? {
            match next {
                Node::List(Coordinates::Position(p)) if mixed.is_empty() => {
                    reading.positions_so_far.borrow_mut().push(p);
                }
                other => {
                    if !matches!(other, Node::List(_)) {
                        reading.count(&reading.positions, POSITION_LIMIT, "positions")?;
                    }
                    let mut sound = reading.positions_so_far.borrow_mut();
                    mixed.extend(sound.drain(begin..).map(Coordinates::Position));
                    mixed.push(other.coordinates());
                }
            }
        }
        Ok(Node::List(if mixed.is_empty() {
            let mut sound = reading.positions_so_far.borrow_mut();
            let own = sound[begin..].to_vec();
            sound.truncate(begin);
            Coordinates::Positions(own)
        } else {
            Coordinates::List(mixed)
        }))
    }
}
