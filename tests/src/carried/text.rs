//! OpenStreetMap data as XML and as JSON.

use super::{Nano, Osm, Tags};
use core::fmt::Write;
use serde_json::{Map, Value, json as value};

fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            '&' => out += "&amp;",
            '<' => out += "&lt;",
            '"' => out += "&quot;",
            '\n' => out += "&#10;",
            c => out.push(c),
        }
    }
    out
}

fn degrees(nano: i64) -> String {
    let whole = nano.unsigned_abs();
    let sign = if nano < 0 { "-" } else { "" };
    format!("{sign}{}.{:09}", whole / 1_000_000_000, whole % 1_000_000_000)
}

fn xml_tags(tags: &Tags) -> String {
    let line = |(k, v): &(String, String)| format!("    <tag k=\"{}\" v=\"{}\"/>\n", escaped(k), escaped(v));
    tags.iter().map(line).collect()
}

/// As XML.
pub fn xml(osm: &Osm) -> String {
    let mut out = String::from("<?xml version='1.0' encoding='UTF-8'?>\n<osm version=\"0.6\" generator=\"a test\">\n");
    // Writing to a String cannot fail.
    for (id, (lon, lat), tags) in &osm.nodes {
        let _ = writeln!(
            out,
            "  <node id=\"{id}\" lat=\"{}\" lon=\"{}\">\n{}  </node>",
            degrees(*lat),
            degrees(*lon),
            xml_tags(tags)
        );
    }
    for (id, refs, tags) in &osm.ways {
        let nodes: String = refs.iter().map(|r| format!("    <nd ref=\"{r}\"/>\n")).collect();
        let _ = writeln!(out, "  <way id=\"{id}\">\n{nodes}{}  </way>", xml_tags(tags));
    }
    for (id, members, tags) in &osm.relations {
        let one = |(kind, id, role): &(&str, i64, &str)| {
            format!("    <member type=\"{kind}\" ref=\"{id}\" role=\"{role}\"/>\n")
        };
        let list: String = members.iter().map(one).collect();
        let _ = writeln!(out, "  <relation id=\"{id}\">\n{list}{}  </relation>", xml_tags(tags));
    }
    out + "</osm>\n"
}

fn json_tags(tags: &Tags) -> Value {
    let all: Map<String, Value> = tags.iter().map(|(k, v)| (k.clone(), value!(v))).collect();
    Value::Object(all)
}

/// As JSON: what `beside` asks, with every way's places beside it and only tagged nodes, as many query answers have it.
pub fn json(osm: &Osm, beside: bool) -> String {
    let place = |(lon, lat): Nano| value!({ "lat": lat as f64 / 1e9, "lon": lon as f64 / 1e9 });
    let at = |id: i64| osm.nodes.iter().find(|n| n.0 == id).map(|n| place(n.1));
    // Element by element: a country of them as values would be gigabytes.
    let mut out = String::from(
        "{\"version\": 0.6, \"generator\": \"a test\", \"osm3s\": {\"copyright\": \"invented\"}, \"elements\": [",
    );
    let mut first = true;
    let mut add = |element: Value| {
        let _ = write!(out, "{}\n{element:#}", if first { "" } else { "," });
        first = false;
    };
    for (id, at, tags) in osm.nodes.iter().filter(|n| !beside || !n.2.is_empty()) {
        let mut node = value!({ "type": "node", "id": id, "tags": json_tags(tags) });
        node["lat"] = place(*at)["lat"].clone();
        node["lon"] = place(*at)["lon"].clone();
        add(node);
    }
    for (id, refs, tags) in &osm.ways {
        let mut way = value!({ "type": "way", "id": id, "nodes": refs, "tags": json_tags(tags) });
        if beside {
            way["geometry"] = refs.iter().map(|r| at(*r)).collect();
        }
        add(way);
    }
    for (id, members, tags) in &osm.relations {
        let one = |(kind, id, role): &(&str, i64, &str)| {
            let mut member = value!({ "type": kind, "ref": id, "role": role });
            if beside && let Some(way) = osm.ways.iter().find(|w| w.0 == *id) {
                member["geometry"] = way.1.iter().map(|r| at(*r)).collect();
            }
            member
        };
        let list: Vec<Value> = members.iter().map(one).collect();
        add(value!({ "type": "relation", "id": id, "members": list, "tags": json_tags(tags) }));
    }
    out + "\n]}\n"
}
