//! OpenStreetMap data as PBF, by a small encoder of our own: blocks, string tables, dense nodes, differences.

use super::{Osm, Tags};
use std::collections::BTreeMap;
use std::io::Write;

/// How a file is packed.
#[derive(Clone, Copy, Debug)]
pub struct Packing {
    /// Elements a block.
    pub block: usize,
    /// Nodes in one list of differences, not one by one.
    pub dense: bool,
    /// Content packed by zlib.
    pub zlib: bool,
    /// Billionths of a degree in one step of a place.
    pub granularity: i64,
    /// Relations first, then ways, then nodes.
    pub turned: bool,
}

impl Default for Packing {
    fn default() -> Packing {
        Packing {
            block: 8000,
            dense: true,
            zlib: true,
            granularity: 100,
            turned: false,
        }
    }
}

/// A number in seven bits a byte.
pub fn number(mut n: u64, out: &mut Vec<u8>) {
    while n >= 128 {
        out.push((n & 127) as u8 | 128);
        n >>= 7;
    }
    out.push(n as u8);
}

/// A number with its sign, zigzag.
pub fn signed(n: i64) -> u64 {
    ((n << 1) ^ (n >> 63)) as u64
}

fn number_field(field: u64, n: u64, out: &mut Vec<u8>) {
    number(field << 3, out);
    number(n, out);
}

/// A field that holds bytes.
pub fn message(field: u64, bytes: &[u8], out: &mut Vec<u8>) {
    number(field << 3 | 2, out);
    number(bytes.len() as u64, out);
    out.extend_from_slice(bytes);
}

/// A field that holds text.
pub fn text_field(field: u64, text: &str, out: &mut Vec<u8>) {
    message(field, text.as_bytes(), out);
}

fn numbers(field: u64, list: impl IntoIterator<Item = u64>, out: &mut Vec<u8>) {
    let mut bytes = Vec::new();
    list.into_iter().for_each(|n| number(n, &mut bytes));
    if !bytes.is_empty() {
        message(field, &bytes, out);
    }
}

fn differences(list: impl IntoIterator<Item = i64>) -> Vec<u64> {
    let mut last = 0;
    list.into_iter()
        .map(|n| signed(n - core::mem::replace(&mut last, n)))
        .collect()
}

/// One block: length of its header, header, content.
pub fn packed_block(kind: &str, content: &[u8], zlib: bool) -> Vec<u8> {
    let mut blob = Vec::new();
    if zlib {
        number_field(2, content.len() as u64, &mut blob);
        let mut packing = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::fast());
        // Writing to memory cannot fail.
        let _ = packing.write_all(content);
        message(3, &packing.finish().unwrap_or_default(), &mut blob);
    } else {
        message(1, content, &mut blob);
    }
    let mut header = Vec::new();
    text_field(1, kind, &mut header);
    number_field(3, blob.len() as u64, &mut header);
    let mut out = (header.len() as u32).to_be_bytes().to_vec();
    out.extend(header);
    out.extend(blob);
    out
}

/// The strings of a block.
#[derive(Default)]
struct Strings {
    list: Vec<String>,
    numbers: BTreeMap<String, u64>,
}

impl Strings {
    fn number(&mut self, text: &str) -> u64 {
        if let Some(n) = self.numbers.get(text) {
            return *n;
        }
        // Number 0 ends the tags of a node, so no string has it.
        let n = self.list.len() as u64 + 1;
        self.list.push(text.to_string());
        self.numbers.insert(text.to_string(), n);
        n
    }

    fn tags(&mut self, tags: &Tags, out: &mut Vec<u8>) {
        let (keys, values): (Vec<u64>, Vec<u64>) = tags.iter().map(|(k, v)| (self.number(k), self.number(v))).unzip();
        numbers(2, keys, out);
        numbers(3, values, out);
    }
}

fn block(group: &[u8], strings: &Strings, packing: Packing, out: &mut Vec<u8>) {
    let mut table = Vec::new();
    text_field(1, "", &mut table);
    strings.list.iter().for_each(|s| text_field(1, s, &mut table));
    let mut content = Vec::new();
    message(1, &table, &mut content);
    message(2, group, &mut content);
    number_field(17, packing.granularity as u64, &mut content);
    out.extend(packed_block("OSMData", &content, packing.zlib));
}

/// As PBF.
pub fn pbf(osm: &Osm, packing: Packing) -> Vec<u8> {
    let mut header = Vec::new();
    text_field(4, "OsmSchema-V0.6", &mut header);
    text_field(4, "DenseNodes", &mut header);
    text_field(16, "a test", &mut header);
    let (mut nodes, mut ways, mut relations) = (Vec::new(), Vec::new(), Vec::new());
    for list in osm.nodes.chunks(packing.block) {
        let (mut group, mut strings) = (Vec::new(), Strings::default());
        let step = |n: i64| n / packing.granularity;
        if packing.dense {
            let mut dense = Vec::new();
            numbers(1, differences(list.iter().map(|n| n.0)), &mut dense);
            numbers(8, differences(list.iter().map(|n| step(n.1.1))), &mut dense);
            numbers(9, differences(list.iter().map(|n| step(n.1.0))), &mut dense);
            let mut words = Vec::new();
            for (_, _, tags) in list {
                for (k, v) in tags {
                    words.extend([strings.number(k), strings.number(v)]);
                }
                words.push(0);
            }
            if words.iter().any(|w| *w != 0) {
                numbers(10, words, &mut dense);
            }
            message(2, &dense, &mut group);
        } else {
            for (id, (lon, lat), tags) in list {
                let mut node = Vec::new();
                number_field(1, signed(*id), &mut node);
                strings.tags(tags, &mut node);
                number_field(8, signed(step(*lat)), &mut node);
                number_field(9, signed(step(*lon)), &mut node);
                message(1, &node, &mut group);
            }
        }
        block(&group, &strings, packing, &mut nodes);
    }
    for list in osm.ways.chunks(packing.block) {
        let (mut group, mut strings) = (Vec::new(), Strings::default());
        for (id, refs, tags) in list {
            let mut way = Vec::new();
            number_field(1, *id as u64, &mut way);
            strings.tags(tags, &mut way);
            numbers(8, differences(refs.iter().copied()), &mut way);
            message(3, &way, &mut group);
        }
        block(&group, &strings, packing, &mut ways);
    }
    for list in osm.relations.chunks(packing.block) {
        let (mut group, mut strings) = (Vec::new(), Strings::default());
        for (id, members, tags) in list {
            let mut relation = Vec::new();
            number_field(1, *id as u64, &mut relation);
            strings.tags(tags, &mut relation);
            let roles: Vec<u64> = members.iter().map(|m| strings.number(m.2)).collect();
            numbers(8, roles, &mut relation);
            numbers(9, differences(members.iter().map(|m| m.1)), &mut relation);
            let kind = |word: &str| ["node", "way", "relation"].iter().position(|k| *k == word).unwrap_or(0) as u64;
            numbers(10, members.iter().map(|m| kind(m.0)), &mut relation);
            message(4, &relation, &mut group);
        }
        block(&group, &strings, packing, &mut relations);
    }
    let mut out = packed_block("OSMHeader", &header, packing.zlib);
    let order = if packing.turned {
        [relations, ways, nodes]
    } else {
        [nodes, ways, relations]
    };
    out.extend(order.concat());
    out
}
