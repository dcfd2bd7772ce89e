//! Files that are broken or made to do harm: a word that names the place, never a panic, never much memory.

use super::{cut, good};
use toeline_engine::carrier::{self, CarrierError};
use toeline_tests::carried::{
    Packing, from_geojson, json, message, number, packed_block, pbf, signed, text_field, xml,
};
use toeline_tests::demo_field;

fn error(bytes: &[u8]) -> String {
    match cut(bytes, None) {
        Err(e) => {
            let told = e.to_string();
            assert!(!told.chars().any(|c| c.is_control() && c != '\n'), "{told:?}");
            told
        }
        Ok(made) => panic!("was read: {}", made.text),
    }
}

#[track_caller]
pub(super) fn says(bytes: &[u8], words: &[&str]) {
    let e = error(bytes);
    for word in words {
        assert!(e.contains(word), "{word:?} is not in: {e}");
    }
}

#[test]
fn what_is_none_of_the_carriers_is_told_what_it_is() {
    says(b"<kml></kml>", &["XML of another kind", "<kml>", "<osm>"]);
    says(b"<osmChange version=\"0.6\"></osmChange>", &["changes of the open map"]);
    says(b"\x1f\x8b\x08\x00", &["gzip", "unpack it first"]);
    says(b"BZh91AY", &["bzip2"]);
    says(b"\xff\xfe<\x00o\x00", &["UTF-16"]);
    says(b"\x00\x01\x02\x03 nothing", &["no text"]);
    says(b"{\"type\":\"FeatureCollection\",\"features\":[]}", &["GeoJSON"]);
    says(b"<", &["XML"]);
}

#[test]
fn xml_that_is_broken_names_the_byte_and_the_element() {
    let osm = |inside: &str| format!("<osm version=\"0.6\">{inside}</osm>").into_bytes();
    says(
        b"<osm><node id=\"1\" lat=\"1\" lon=\"1\"/>",
        &["OpenStreetMap XML", "byte 35", "ends before"],
    );
    says(&osm("<node id=\"1\" lat=\"1\" lon=\"1\"></way>"), &["byte", "node/1"]);
    says(
        &osm("<node id=\"one\" lat=\"1\" lon=\"1\"/>"),
        &["the id \"one\" is not a whole number"],
    );
    says(
        &osm("<node id=\"99999999999999999999\" lat=\"1\" lon=\"1\"/>"),
        &["99999999999999999999"],
    );
    says(&osm("<node lat=\"1\" lon=\"1\"/>"), &["<node>: has no id"]);
    says(
        &osm("<node id=\"1\" lat=\"91\" lon=\"1\"/>"),
        &["node/1", "latitude 91 is outside"],
    );
    says(
        &osm("<node id=\"1\" lat=\"NaN\" lon=\"1\"/>"),
        &["node/1", "not a number"],
    );
    says(
        &osm("<node id=\"1\" lat=\"x\" lon=\"1\"/>"),
        &["the lat \"x\" is not a number"],
    );
    says(&osm("<node id=\"1\"/>"), &["node/1 has no lat"]);
    says(
        &osm("<way id=\"5\"><nd ref=\"-\"/></way>"),
        &["in way/5", "ref of a node \"-\""],
    );
    says(
        &osm("<way id=\"5\"><tag k=\"a\"/></way>"),
        &["in way/5", "without k or v"],
    );
    says(
        &osm("<relation id=\"5\"><member type=\"area\" ref=\"1\"/></relation>"),
        &["type \"area\""],
    );
    says(&osm(&"<a>".repeat(100)), &["more than 32 deep"]);
    says(
        &osm(&format!("<note x=\"{}\"/>", "y".repeat(2 << 20))),
        &["longer than 1048576 bytes"],
    );
    says(&osm("\u{0}"), &["nothing to taxi on"]);
    let mut not_text = osm("<way id=\"5\"><tag k=\"a\" v=\"b\"/></way>");
    let at = not_text.iter().position(|b| *b == b'b').unwrap();
    not_text[at] = 0xff;
    says(&not_text, &["byte"]);
}

#[test]
fn entities_are_never_expanded() {
    let mut bomb = String::from("<?xml version=\"1.0\"?><!DOCTYPE osm [<!ENTITY a \"ha\">");
    for (name, of) in [
        ("b", "a"),
        ("c", "b"),
        ("d", "c"),
        ("e", "d"),
        ("f", "e"),
        ("g", "f"),
        ("h", "g"),
    ] {
        let ten = format!("&{of};").repeat(10);
        bomb += &format!("<!ENTITY {name} \"{ten}\">");
    }
    bomb += "]><osm version=\"0.6\"><way id=\"5\"><tag k=\"name\" v=\"&h;\"/></way></osm>";
    says(bomb.as_bytes(), &["in way/5", "no entity is expanded"]);
    says(b"<osm>&h;</osm>", &["the entity &h; is not known"]);
    says(
        b"<!DOCTYPE osm [<!ENTITY x SYSTEM \"file:///etc/hostname\">]><osm><way id=\"5\"><tag k=\"&x;\" v=\"1\"/></way></osm>",
        &["no entity is expanded"],
    );
}

#[test]
fn json_that_is_broken_names_the_line_and_the_element() {
    let osm = |inside: &str| format!("{{\"elements\":[{inside}]}}").into_bytes();
    says(
        b"{\"elements\":[\n{\"type\":\"node\"",
        &["OpenStreetMap JSON", "line 2"],
    );
    says(b"{\"elements\":3}", &["line 1", "a list of elements"]);
    says(b"{\"osm3s\":{}}", &["no list \"elements\""]);
    says(&osm("{\"type\":\"node\",\"id\":\"one\"}"), &["line 1", "\"one\""]);
    says(&osm("{\"type\":\"node\",\"id\":1.5}"), &["1.5"]);
    says(&osm("{\"type\":\"node\",\"id\":1}"), &["node/1: has no lat"]);
    says(
        &osm("{\"type\":\"node\",\"id\":1,\"lat\":0,\"lon\":181}"),
        &["node/1: longitude 181 is outside"],
    );
    says(
        &osm("{\"type\":\"node\",\"id\":1,\"lat\":1e999,\"lon\":1}"),
        &["line 1"],
    );
    says(
        &osm("{\"type\":\"way\",\"id\":1,\"nodes\":[1,2],\"geometry\":[null]}"),
        &["way/1: has 2 nodes and 1 places"],
    );
    says(&osm("{\"type\":\"way\",\"id\":1,\"tags\":{\"a\":{}}}"), &["line 1"]);
    says(
        &osm(&format!("{{\"type\":\"way\",\"id\":1,\"note\":{}", "[".repeat(1000))),
        &["line 1"],
    );
    let many = vec!["1"; carrier::PARTS_LIMIT + 1].join(",");
    says(
        &osm(&format!("{{\"type\":\"way\",\"id\":7,\"nodes\":[{many}]}}")),
        &["way/7 has 500001 nodes", "500000"],
    );
    let long = "x".repeat(carrier::JSON_ELEMENT_LIMIT + 1);
    says(
        &osm(&format!("{{\"type\":\"way\",\"id\":1,\"note\":\"{long}\"}}")),
        &["longer than 33554432 bytes"],
    );
    // Elements of other kinds are passed over.
    says(
        &osm("{\"type\":\"count\",\"id\":0,\"tags\":{\"total\":\"7\"}}"),
        &["nothing to taxi on"],
    );
}

/// A file whose one block of data has this content.
fn with_block(content: &[u8]) -> Vec<u8> {
    let mut header = Vec::new();
    text_field(4, "OsmSchema-V0.6", &mut header);
    let mut out = packed_block("OSMHeader", &header, false);
    out.extend(packed_block("OSMData", content, false));
    out
}

fn group(field: u64, element: &[u8], strings: &[&str]) -> Vec<u8> {
    let (mut table, mut group, mut content) = (Vec::new(), Vec::new(), Vec::new());
    strings.iter().for_each(|s| text_field(1, s, &mut table));
    message(1, &table, &mut content);
    message(field, element, &mut group);
    message(2, &group, &mut content);
    content
}

fn numbers(list: &[u64]) -> Vec<u8> {
    let mut out = Vec::new();
    list.iter().for_each(|n| number(*n, &mut out));
    out
}

fn fields(list: &[(u64, &[u64])]) -> Vec<u8> {
    let mut out = Vec::new();
    list.iter()
        .for_each(|(field, n)| message(*field, &numbers(n), &mut out));
    out
}

#[test]
fn a_truncated_pbf_says_where_it_ends() {
    let (osm, _) = from_geojson(&demo_field());
    let whole = pbf(
        &osm,
        Packing {
            block: 100,
            ..Packing::default()
        },
    );
    good(&whole, None);
    let mut words = std::collections::BTreeSet::new();
    for length in (40..whole.len()).step_by(37) {
        match cut(&whole[..length], None) {
            // Between two blocks a shorter file is a sound one.
            Ok(_) | Err(CarrierError::None | CarrierError::Several { .. }) => {}
            Err(e) => {
                let e = e.to_string();
                assert!(e.contains("block") && e.contains("the file ends in"), "{length}: {e}");
                words.insert(
                    e.split("the file ends in ")
                        .nth(1)
                        .and_then(|t| t.split(',').next())
                        .map(str::to_string),
                );
            }
        }
    }
    assert!(words.len() >= 2, "{words:?}");
}

#[test]
fn blocks_of_absurd_size_are_refused_before_they_are_read() {
    let (osm, _) = from_geojson(&demo_field());
    let whole = pbf(&osm, Packing::default());
    let with = |header: &[u8]| {
        let mut out = whole.clone();
        out.extend((header.len() as u32).to_be_bytes());
        out.extend(header);
        out
    };
    let mut long = whole.clone();
    long.extend(u32::MAX.to_be_bytes());
    says(&long, &["its header is 4294967295 bytes long", "65536"]);
    let header = |length: u64| {
        let mut header = Vec::new();
        text_field(1, "OSMData", &mut header);
        header.push(3 << 3);
        number(length, &mut header);
        header
    };
    says(
        &with(&header(1 << 40)),
        &["its content is 1099511627776 bytes long", "33554432"],
    );
    says(&with(&header(u64::MAX)), &["its content is -1 bytes long"]);
    says(
        &with(&header(30_000_000)),
        &["the file ends in its content, after 0 of 30000000 bytes"],
    );
    says(&with(b"\x0a\x03abc"), &["does not say how long"]);
    says(&with(b"\x0a\xff"), &["block"]);
    // Unpacked it is longer, or shorter, than it states: ten thousand times as much in a small file.
    let zeros = vec![0_u8; 20 << 20];
    let mut bomb = packed_block("OSMData", &zeros, true);
    assert!(bomb.len() < 300_000);
    let mut out = whole.clone();
    out.append(&mut bomb);
    // Twenty MiB of fields number 0: no such field.
    says(&out, &["block", "tag"]);
    for (stated, word) in [(7_u64, "more bytes unpacked than the 7"), (1 << 20, "fewer bytes")] {
        let mut packing = flate2_of(&zeros[..1000]);
        let mut blob = vec![2 << 3];
        number(stated, &mut blob);
        message(3, &packing, &mut blob);
        packing.clear();
        let mut header = Vec::new();
        text_field(1, "OSMData", &mut header);
        header.push(3 << 3);
        number(blob.len() as u64, &mut header);
        let mut out = with(&header);
        out.extend(blob);
        says(&out, &[word]);
    }
}

fn flate2_of(bytes: &[u8]) -> Vec<u8> {
    // The packed field of a block made by the harness: after its size.
    let block = packed_block("X", bytes, true);
    let sign = block.windows(2).position(|w| w[0] == 0x78).unwrap();
    block[sign..].to_vec()
}

#[test]
fn messages_that_lie_are_told() {
    let lie = |field: u64, element: Vec<u8>| with_block(&group(field, &element, &["", "aeroway", "taxiway"]));
    // Dense nodes: two numbers, one latitude; sums beyond 64 bits; places beyond the earth; strings that are not there.
    says(
        &lie(2, fields(&[(1, &[2, 2]), (8, &[2]), (9, &[2, 2])])),
        &["as many nodes as latitudes"],
    );
    let far = signed(i64::MAX);
    says(
        &lie(2, fields(&[(1, &[far, far]), (8, &[0, 0]), (9, &[0, 0])])),
        &["no number of 64 bits"],
    );
    says(
        &lie(2, fields(&[(1, &[2]), (8, &[signed(1_000_000_000)]), (9, &[0])])),
        &["node/1", "latitude 100"],
    );
    says(
        &lie(2, fields(&[(1, &[2]), (8, &[far]), (9, &[0])])),
        &["node/1", "none on earth"],
    );
    says(
        &lie(2, fields(&[(1, &[2]), (8, &[0]), (9, &[0]), (10, &[1, 7, 0])])),
        &["node/1", "string 7 of 3"],
    );
    says(
        &lie(2, fields(&[(1, &[2]), (8, &[0]), (9, &[0]), (10, &[1])])),
        &["a key has no value"],
    );
    says(
        &lie(3, fields(&[(2, &[1]), (3, &[])])),
        &["way/0", "as many keys as values"],
    );
    says(&lie(3, fields(&[(8, &[2, 2]), (9, &[2])])), &["2 nodes, 1 latitudes"]);
    says(&lie(4, fields(&[(9, &[2]), (10, &[1])])), &["as many roles"]);
    says(&lie(4, fields(&[(8, &[0]), (9, &[2]), (10, &[9])])), &["kind 9"]);
    // A field that is longer than its message, and a group.
    says(&with_block(b"\x12\x7f\x00"), &["a message ends within a field"]);
    says(&with_block(b"\x13\x14"), &["a group"]);
    // Strings without number.
    let mut table = Vec::new();
    (0..=carrier::PBF_STRING_LIMIT).for_each(|_| text_field(1, "", &mut table));
    let mut content = Vec::new();
    message(1, &table, &mut content);
    says(&with_block(&content), &["more than 2000000 strings"]);
    // What the file requires of its reader.
    let mut header = Vec::new();
    text_field(4, "Clairvoyance", &mut header);
    says(
        &packed_block("OSMHeader", &header, true),
        &["requires \"Clairvoyance\""],
    );
    let mut header = Vec::new();
    text_field(4, "HistoricalInformation", &mut header);
    says(
        &packed_block("OSMHeader", &header, true),
        &["holds the history of its elements"],
    );
    let mut lzma = Vec::new();
    message(4, b"x", &mut lzma);
    let mut header = Vec::new();
    text_field(1, "OSMHeader", &mut header);
    header.push(3 << 3);
    number(lzma.len() as u64, &mut header);
    let mut file = (header.len() as u32).to_be_bytes().to_vec();
    file.extend(header);
    file.extend(lzma);
    says(&file, &["packed by lzma"]);
}

#[test]
fn thirty_two_mebibytes_of_empty_elements_are_passed_over() {
    // Two bytes an element: sixteen million ways without anything.
    let mut groups = Vec::new();
    (0..15_000_000).for_each(|_| groups.extend([3 << 3 | 2, 0]));
    let mut content = Vec::new();
    message(2, &groups, &mut content);
    says(&with_block(&content), &["nothing to taxi on"]);
}

#[test]
fn any_byte_may_be_wrong() {
    let (osm, _) = from_geojson(&demo_field());
    let mut all: Vec<Vec<u8>> = vec![xml(&osm).into_bytes(), json(&osm, true).into_bytes()];
    all.push(pbf(
        &osm,
        Packing {
            zlib: false,
            ..Packing::default()
        },
    ));
    all.push(pbf(&osm, Packing::default()));
    let mut dice = 7_u64;
    for whole in all {
        for _ in 0..150 {
            let mut bytes = whole.clone();
            for _ in 0..3 {
                dice = dice
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1_442_695_040_888_963_407);
                let at = (dice >> 33) as usize % bytes.len();
                bytes[at] = (dice >> 20) as u8;
            }
            toeline_tests::fuzzed::check_carried(&bytes);
        }
    }
}

#[test]
fn the_kept_corpus_of_the_fuzzers_keeps_every_promise() {
    for (folder, whole) in [("xml", true), ("json", true), ("pbf", false)] {
        let folder = toeline_tests::root().join("tests/fuzz/corpus").join(folder);
        let mut made = 0;
        for entry in std::fs::read_dir(&folder).unwrap() {
            let bytes = std::fs::read(entry.unwrap().path()).unwrap();
            made += usize::from(if whole {
                toeline_tests::fuzzed::check_carried(&bytes)
            } else {
                toeline_tests::fuzzed::check_carried_block(&bytes)
            });
        }
        assert!(made > 0, "{}: nothing becomes a field", folder.display());
    }
}

#[test]
fn an_aerodrome_as_wide_as_the_earth_is_read_all_the_same() {
    // Half around the earth along every edge: points added for the bend of each would be without number.
    let corner = |i: i32| {
        format!(
            "[{},{}]",
            if i % 2 == 0 { -78 } else { 100 },
            47.0 + f64::from(i % 20_000) * 1e-5
        )
    };
    let ring: Vec<String> = (0..=20_000).map(corner).collect();
    let area = |name: &str| {
        format!(
            r#"{{"type":"Feature","properties":{{"aeroway":"aerodrome","name":"{name}"}},
            "geometry":{{"type":"Polygon","coordinates":[[{}]]}}}}"#,
            ring.join(",")
        )
    };
    let lane = r#"{"type":"Feature","properties":{"aeroway":"taxiway"},"geometry":{"type":"LineString",
        "coordinates":[[11,47.1],[11.001,47.1]]}}"#;
    for areas in [vec![area("one")], vec![area("one"), area("another")]] {
        let text = format!(
            r#"{{"type":"FeatureCollection","features":[{lane},{}]}}"#,
            areas.join(",")
        );
        let found = toeline_engine::read::read(&text).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(found.field.name.as_deref(), Some("one"));
    }
}

#[test]
fn a_number_that_is_a_lane_and_an_aerodrome_is_what_it_is_first() {
    let field = |first: &str, second: &str| {
        format!(
            "<osm><node id=\"1\" lat=\"47\" lon=\"11\"/><node id=\"2\" lat=\"47.001\" lon=\"11\"/>\
             <way id=\"1\"><nd ref=\"1\"/><nd ref=\"2\"/><tag k=\"aeroway\" v=\"{first}\"/></way>\
             <way id=\"1\"><nd ref=\"1\"/><nd ref=\"2\"/><tag k=\"aeroway\" v=\"{second}\"/></way></osm>"
        )
    };
    for (first, second, tagged) in [("taxiway", "aerodrome", false), ("aerodrome", "taxiway", true)] {
        let text = field(first, second);
        let listed = super::list(text.as_bytes());
        assert_eq!(listed.len(), 1, "{first}: {listed:?}");
        assert_eq!(
            (listed[0].tagged, listed[0].lanes),
            (tagged, usize::from(!tagged)),
            "{first}"
        );
        // Found by fuzzing: there were two of one name, and none could be asked for.
        assert_eq!(
            cut(text.as_bytes(), Some("way/1")).map(|c| c.aerodrome.tagged),
            Ok(tagged)
        );
    }
}
