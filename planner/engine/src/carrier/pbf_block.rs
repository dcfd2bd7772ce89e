//! The elements of one block of PBF (the published format `osmformat.proto`).

use super::element::{Element, Id, Kind, Member, Place, Tag, Wants};
use super::source::Visit;
use super::wire::{Field, Fields, Numbers, Sums, signed};
use super::{CarrierError, PARTS_LIMIT, PBF_STRING_LIMIT, TAGS_LIMIT};
use std::borrow::Cow;

/// What stops the reading of a block.
pub(super) enum Wrong {
    Here(String),
    Stop(CarrierError),
}

impl From<String> for Wrong {
    fn from(found: String) -> Wrong {
        Wrong::Here(found)
    }
}

/// What the elements of a block share.
struct Block<'b> {
    strings: Vec<&'b [u8]>,
    granularity: i64,
    lon_offset: i64,
    lat_offset: i64,
}

impl<'b> Block<'b> {
    fn text(&self, index: u64) -> Result<Cow<'b, str>, String> {
        let text = usize::try_from(index).ok().and_then(|i| self.strings.get(i));
        let text = text.ok_or_else(|| format!("string {index} of {} is asked for", self.strings.len()))?;
        Ok(String::from_utf8_lossy(text))
    }

    fn place(&self, lon: i64, lat: i64) -> Result<Place, String> {
        let nano = |offset: i64, n: i64| n.checked_mul(self.granularity).and_then(|n| n.checked_add(offset));
        match (nano(self.lon_offset, lon), nano(self.lat_offset, lat)) {
            (Some(lon), Some(lat)) => Place::from_nano(lon, lat),
            _ => Err(format!(
                "the place {lon}, {lat} in steps of {} is none on earth",
                self.granularity
            )),
        }
    }
}

/// Shows the elements of a block, and notes which kinds it holds.
pub(super) fn block(bytes: &[u8], holds: &mut Wants, visit: &mut Visit<'_>) -> Result<(), Wrong> {
    let mut about = Block {
        strings: Vec::new(),
        granularity: 100,
        lon_offset: 0,
        lat_offset: 0,
    };
    for field in Fields(bytes) {
        match field? {
            (1, Field::Bytes(table)) => {
                for field in Fields(table) {
                    if let (1, Field::Bytes(text)) = field? {
                        if about.strings.len() == PBF_STRING_LIMIT {
                            return Err(Wrong::Here(format!("it has more than {PBF_STRING_LIMIT} strings")));
                        }
                        about.strings.push(text);
                    }
                }
            }
            (17, Field::Number(n)) => about.granularity = n as i64,
            (19, Field::Number(n)) => about.lat_offset = n as i64,
            (20, Field::Number(n)) => about.lon_offset = n as i64,
            _ => {}
        }
    }
    for field in Fields(bytes) {
        let (2, Field::Bytes(group)) = field? else { continue };
        for field in Fields(group) {
            match field? {
                (1, Field::Bytes(b)) => {
                    holds.nodes = true;
                    node(b, &about, visit)?;
                }
                (2, Field::Bytes(b)) => {
                    holds.nodes = true;
                    dense(b, &about, visit)?;
                }
                (3, Field::Bytes(b)) => {
                    holds.ways = true;
                    way(b, &about, visit)?;
                }
                (4, Field::Bytes(b)) => {
                    holds.relations = true;
                    relation(b, &about, visit)?;
                }
                _ => {}
            }
        }
    }
    Ok(())
}

/// Shows an element without parts of its own.
fn bare<'a>(id: Id, tags: &'a [Tag<'a>]) -> Element<'a> {
    Element {
        id,
        place: None,
        tags,
        refs: &[],
        inline: &[],
        members: &[],
    }
}

fn tags<'b>(keys: &'b [u8], values: &'b [u8], about: &Block<'b>) -> Result<Vec<Tag<'b>>, String> {
    let mut list = Vec::new();
    let (mut keys, mut values) = (Numbers(keys), Numbers(values));
    loop {
        match (keys.next().transpose()?, values.next().transpose()?) {
            (Some(_), Some(_)) if list.len() == TAGS_LIMIT => return Err(format!("more than {TAGS_LIMIT} tags")),
            (Some(k), Some(v)) => list.push((about.text(k)?, about.text(v)?)),
            (None, None) => return Ok(list),
            _ => return Err("as many keys as values are needed".to_string()),
        }
    }
}

/// Whether an element's information says that it was deleted (files with history).
fn deleted(info: &[u8]) -> Result<bool, String> {
    for field in Fields(info) {
        if let (6, Field::Number(visible)) = field? {
            return Ok(visible == 0);
        }
    }
    Ok(false)
}

fn node(bytes: &[u8], about: &Block<'_>, visit: &mut Visit<'_>) -> Result<(), Wrong> {
    let (mut id, mut lat, mut lon) = (0, 0, 0);
    let (mut keys, mut values, mut info): (&[u8], &[u8], &[u8]) = (&[], &[], &[]);
    for field in Fields(bytes) {
        match field? {
            (1, Field::Number(n)) => id = signed(n),
            (2, Field::Bytes(b)) => keys = b,
            (3, Field::Bytes(b)) => values = b,
            (4, Field::Bytes(b)) => info = b,
            (8, Field::Number(n)) => lat = signed(n),
            (9, Field::Number(n)) => lon = signed(n),
            _ => {}
        }
    }
    if deleted(info)? {
        return Ok(());
    }
    let id = Id(Kind::Node, id);
    let here = |found: String| Wrong::Here(format!("{id}: {found}"));
    let tags = tags(keys, values, about).map_err(here)?;
    let place = Some(about.place(lon, lat).map_err(here)?);
    visit(&Element {
        place,
        ..bare(id, &tags)
    })
    .map_err(Wrong::Stop)
}

/// Nodes of which each number is written as the difference to the one before.
fn dense(bytes: &[u8], about: &Block<'_>, visit: &mut Visit<'_>) -> Result<(), Wrong> {
    let (mut ids, mut lats, mut lons) = (Sums::default(), Sums::default(), Sums::default());
    let (mut words, mut visible) = (Numbers::default(), None);
    for field in Fields(bytes) {
        match field? {
            (1, Field::Bytes(b)) => ids = Sums::of(b),
            (5, Field::Bytes(b)) => {
                for field in Fields(b) {
                    if let (6, Field::Bytes(b)) = field? {
                        visible = Some(Numbers(b));
                    }
                }
            }
            (8, Field::Bytes(b)) => lats = Sums::of(b),
            (9, Field::Bytes(b)) => lons = Sums::of(b),
            (10, Field::Bytes(b)) => words = Numbers(b),
            _ => {}
        }
    }
    let mut tags: Vec<Tag<'_>> = Vec::new();
    loop {
        let next = (
            ids.next().transpose()?,
            lats.next().transpose()?,
            lons.next().transpose()?,
        );
        let (id, lat, lon) = match next {
            (Some(id), Some(lat), Some(lon)) => (Id(Kind::Node, id), lat, lon),
            (None, None, None) => return Ok(()),
            _ => {
                return Err(Wrong::Here(
                    "as many nodes as latitudes and longitudes are needed".to_string(),
                ));
            }
        };
        let here = |found: String| Wrong::Here(format!("{id}: {found}"));
        tags.clear();
        // Keys and values of all nodes in one list, those of each node ended by a 0; none at all where no node has any.
        while let Some(key) = words.next().transpose()? {
            if key == 0 {
                break;
            }
            if tags.len() == TAGS_LIMIT {
                return Err(here(format!("more than {TAGS_LIMIT} tags")));
            }
            let value = words
                .next()
                .transpose()?
                .ok_or_else(|| here("a key has no value".to_string()))?;
            tags.push((about.text(key).map_err(here)?, about.text(value).map_err(here)?));
        }
        let shown = match &mut visible {
            Some(list) => list.next().transpose()? != Some(0),
            None => true,
        };
        if shown {
            let place = Some(about.place(lon, lat).map_err(here)?);
            visit(&Element {
                place,
                ..bare(id, &tags)
            })
            .map_err(Wrong::Stop)?;
        }
    }
}

fn way(bytes: &[u8], about: &Block<'_>, visit: &mut Visit<'_>) -> Result<(), Wrong> {
    let mut id = 0;
    let [mut keys, mut values, mut info, mut refs, mut lats, mut lons]: [&[u8]; 6] = [&[]; 6];
    for field in Fields(bytes) {
        match field? {
            (1, Field::Number(n)) => id = n as i64,
            (2, Field::Bytes(b)) => keys = b,
            (3, Field::Bytes(b)) => values = b,
            (4, Field::Bytes(b)) => info = b,
            (8, Field::Bytes(b)) => refs = b,
            (9, Field::Bytes(b)) => lats = b,
            (10, Field::Bytes(b)) => lons = b,
            _ => {}
        }
    }
    if deleted(info)? {
        return Ok(());
    }
    let id = Id(Kind::Way, id);
    let here = |found: String| Wrong::Here(format!("{id}: {found}"));
    let tags = tags(keys, values, about).map_err(here)?;
    let refs = sums(refs).map_err(here)?;
    let (lats, lons) = (sums(lats).map_err(here)?, sums(lons).map_err(here)?);
    let mut inline = Vec::new();
    if !lats.is_empty() {
        if lats.len() != refs.len() || lons.len() != refs.len() {
            let found = format!(
                "has {} nodes, {} latitudes and {} longitudes",
                refs.len(),
                lats.len(),
                lons.len()
            );
            return Err(here(found));
        }
        for (lon, lat) in lons.iter().zip(&lats) {
            inline.push(Some(about.place(*lon, *lat).map_err(here)?));
        }
    }
    let way = Element {
        refs: &refs,
        inline: &inline,
        ..bare(id, &tags)
    };
    visit(&way).map_err(Wrong::Stop)
}

fn sums(bytes: &[u8]) -> Result<Vec<i64>, String> {
    let mut list = Vec::new();
    for n in Sums::of(bytes) {
        if list.len() == PARTS_LIMIT {
            return Err(format!("more than {PARTS_LIMIT} nodes or members"));
        }
        list.push(n?);
    }
    Ok(list)
}

fn relation(bytes: &[u8], about: &Block<'_>, visit: &mut Visit<'_>) -> Result<(), Wrong> {
    let mut id = 0;
    let [mut keys, mut values, mut info, mut roles, mut ids, mut kinds]: [&[u8]; 6] = [&[]; 6];
    for field in Fields(bytes) {
        match field? {
            (1, Field::Number(n)) => id = n as i64,
            (2, Field::Bytes(b)) => keys = b,
            (3, Field::Bytes(b)) => values = b,
            (4, Field::Bytes(b)) => info = b,
            (8, Field::Bytes(b)) => roles = b,
            (9, Field::Bytes(b)) => ids = b,
            (10, Field::Bytes(b)) => kinds = b,
            _ => {}
        }
    }
    if deleted(info)? {
        return Ok(());
    }
    let id = Id(Kind::Relation, id);
    let here = |found: String| Wrong::Here(format!("{id}: {found}"));
    let tags = tags(keys, values, about).map_err(here)?;
    let (mut roles, mut kinds) = (Numbers(roles), Numbers(kinds));
    let mut members = Vec::new();
    for member in sums(ids).map_err(here)? {
        let (Some(role), Some(kind)) = (roles.next().transpose()?, kinds.next().transpose()?) else {
            return Err(here("as many roles and kinds as members are needed".to_string()));
        };
        let kind = match kind {
            0 => Kind::Node,
            1 => Kind::Way,
            2 => Kind::Relation,
            other => return Err(here(format!("has a member of the kind {other}"))),
        };
        members.push(Member {
            kind,
            id: member,
            inner: about.text(role).map_err(here)? == "inner",
            inline: Vec::new(),
        });
    }
    let relation = Element {
        members: &members,
        ..bare(id, &tags)
    };
    visit(&relation).map_err(Wrong::Stop)
}
