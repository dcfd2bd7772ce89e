//! One table of properties in code; the documentation, the JSON Schema and the reader are held to it.
//!
//! `TOELINE_RENEW_TABLES=1` writes the tables of `docs/map-format.md` and the schema anew; look at every change.

use super::*;
use read::properties::{Form, On, PROPERTIES, Property, SURFACES};
use std::path::PathBuf;

const SECTIONS: [(On, &str); 8] = [
    (On::Aerodrome, "aerodrome"),
    (On::Runway, "runway"),
    (On::Lane, "lane"),
    (On::Stand, "stand"),
    (On::Hold, "holding position"),
    (On::Area, "area"),
    (On::Helipad, "helipad"),
    (On::Obstacle, "obstacle"),
];

fn docs(file: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../docs").join(file)
}

fn renew() -> bool {
    std::env::var_os("TOELINE_RENEW_TABLES").is_some()
}

fn of(on: On) -> impl Iterator<Item = &'static Property> {
    PROPERTIES.into_iter().filter(move |p| p.on.contains(&on))
}

fn table(on: On) -> String {
    let mut out = "| property | written, range | without it | example |\n|---|---|---|---|\n".to_string();
    for p in of(on) {
        let written = if p.key == "surface" {
            "see \"Surface\"".to_string()
        } else {
            p.written()
        };
        out += &format!("| `{}` | {written} | {} | `{}` |\n", p.key, p.without, p.example);
    }
    out
}

#[test]
fn the_documentation_has_the_tables_of_the_reader() {
    let path = docs("map-format.md");
    let mut text = std::fs::read_to_string(&path).unwrap();
    for (on, name) in SECTIONS {
        let mark = format!("<!-- properties: {name} -->\n");
        let at = text
            .find(&mark)
            .unwrap_or_else(|| panic!("no place for the table of {name}"))
            + mark.len();
        let end = at + text[at..].find("\n\n").map_or(text.len() - at, |n| n + 1);
        let wanted = table(on);
        if renew() {
            text.replace_range(at..end, &wanted);
        }
        let end = at + text[at..].find("\n\n").map_or(text.len() - at, |n| n + 1);
        assert_eq!(&text[at..end], wanted, "docs/map-format.md, table of {name}");
    }
    if renew() {
        std::fs::write(&path, &text).unwrap();
    }
    for word in SURFACES.iter().filter(|w| **w != "unknown") {
        assert!(
            text.contains(&format!("`{word}`")),
            "surface {word} is not in the documentation"
        );
    }
    for (word, _) in read::MARKERS {
        assert!(
            text.contains(&format!("`{word}`")),
            "marker {word} is not in the documentation"
        );
    }
}

fn value(p: &Property) -> Value {
    let numbers = |low: f64, high: f64, pattern: &str| {
        json!({ "anyOf": [
            { "type": "number", "minimum": low, "maximum": high },
            { "type": "string", "pattern": pattern },
        ] })
    };
    const FIGURE: &str = "[-+]?[0-9]+([.,][0-9]+)?";
    let direction = format!("^ *{FIGURE} *(°|deg|degrees)? *$|^([NnEeSsWw]{{1,3}})$");
    match p.form {
        Form::Text => json!({ "type": ["string", "number", "boolean"] }),
        Form::Flag => json!({ "type": ["string", "number", "boolean"] }),
        Form::Words(words) if p.key == "surface" => {
            json!({ "type": "string", "pattern": format!("^({})([:;].*)?$", words.join("|")) })
        }
        Form::Words(words) => json!({ "enum": words }),
        Form::Length(low, high) => numbers(
            low,
            high,
            &format!(
                "^ *{FIGURE} *(m|metre|metres|meter|meters|ft|foot|feet|in|cm|km)? *$|^ *[0-9.,]+ *'( *[0-9.,]+ *\")? *$"
            ),
        ),
        Form::Speed(low, high) => numbers(
            low,
            high,
            &format!("^ *{FIGURE} *(km/h|kmh|kph|kt|kts|knot|knots|mph|m/s)? *$"),
        ),
        Form::Direction(low, high) => numbers(low, high, &direction),
        Form::Facing(low, high) => numbers(low, high, &format!("^(forward|backward|both)$|{direction}")),
        Form::Percent(low, high) => numbers(low, high, &format!("^ *{FIGURE} *%? *$")),
        Form::Whole => {
            json!({ "anyOf": [{ "type": "integer" }, { "type": "string", "pattern": "^ *[-+]?[0-9]+ *$" }] })
        }
        Form::Moment => json!({
            "type": "string",
            "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}(T[0-9]{2}:[0-9]{2}(:[0-9]{2})?Z)?$",
        }),
    }
}

fn says(on: On) -> Value {
    let aeroway = |list: &[&str]| json!({ "properties": { "aeroway": { "enum": list } }, "required": ["aeroway"] });
    let any = |key: &str, list: &[&str]| json!({ "properties": { key: { "enum": list } }, "required": [key] });
    match on {
        On::Aerodrome => aeroway(&["aerodrome"]),
        On::Runway => aeroway(&["runway"]),
        On::Lane => aeroway(&["taxiway", "taxilane"]),
        On::Stand => aeroway(&["parking_position"]),
        On::Hold => aeroway(&["holding_position"]),
        On::Area => json!({ "anyOf": [aeroway(&["apron"]), { "required": ["toeline:area"] }] }),
        On::Helipad => aeroway(&["helipad"]),
        On::Obstacle => json!({ "anyOf": [
            aeroway(&["hangar", "terminal", "windsock"]),
            { "required": ["building"] },
            { "required": ["toeline:obstacle"] },
            any("barrier", &["fence", "wall", "hedge"]),
            any("natural", &["tree", "tree_row"]),
            any("power", &["pole", "tower"]),
            any("highway", &["street_lamp"]),
            any("man_made", &["flagpole", "mast", "tower"]),
        ] }),
    }
}

fn schema() -> Value {
    let rules: Vec<Value> = SECTIONS
        .into_iter()
        .map(|(on, name)| {
            let list: serde_json::Map<String, Value> = of(on).map(|p| (p.key.to_string(), value(p))).collect();
            json!({ "$comment": name, "if": says(on), "then": { "properties": list } })
        })
        .collect();
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A map for toeline",
        "description": "The properties that toeline reads, on GeoJSON (RFC 7946) with open aeroway tags. Geometry is RFC 7946's own \
            matter. What this schema refuses, toeline leaves out with a doubt; words are compared without regard to case there, \
            and here as they are written in docs/map-format.md. Written from the reader's own table by a test.",
        "type": "object",
        "required": ["type", "features"],
        "properties": {
            "type": { "const": "FeatureCollection" },
            "features": { "type": "array", "items": { "$ref": "#/$defs/feature" } },
        },
        "$defs": { "feature": {
            "type": "object",
            "required": ["type", "geometry", "properties"],
            "properties": {
                "type": { "const": "Feature" },
                "properties": { "type": ["object", "null"], "allOf": rules },
            },
        } },
    })
}

#[test]
fn the_schema_is_the_table_of_the_reader() {
    let path = docs("map-format.schema.json");
    let wanted = serde_json::to_string_pretty(&schema()).unwrap() + "\n";
    if renew() {
        std::fs::write(&path, &wanted).unwrap();
    }
    assert_eq!(
        std::fs::read_to_string(&path).unwrap(),
        wanted,
        "docs/map-format.schema.json"
    );
}

/// A small field with one feature of a sort that bears some properties.
fn with(on: On, more: Value) -> ReadField {
    let square: &[[f64; 2]] = &[[0.0, 30.0], [30.0, 30.0], [30.0, 60.0], [0.0, 60.0]];
    let key = more.as_object().unwrap().keys().next().unwrap().clone();
    let tags = |own: Value| {
        let mut all = own;
        all.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        all
    };
    let s = base();
    let line = [[0.0, 20.0], [80.0, 20.0]];
    good(&match on {
        On::Aerodrome => s.point("X", [0.0, 0.0], tags(json!({ "aeroway": "aerodrome" }))),
        On::Runway => s.line("X", &line, tags(json!({ "aeroway": "runway" }))),
        On::Lane => s.line("X", &line, tags(json!({ "aeroway": "taxiway" }))),
        On::Stand => s.point("X", [20.0, 10.0], tags(json!({ "aeroway": "parking_position" }))),
        On::Hold => s.point("X", [20.0, 0.0], tags(json!({ "aeroway": "holding_position" }))),
        On::Area if key == "toeline:area" => s.area("X", &[square], tags(json!({}))),
        On::Area => s.area("X", &[square], tags(json!({ "aeroway": "apron" }))),
        On::Helipad => s.point("X", [20.0, 40.0], tags(json!({ "aeroway": "helipad" }))),
        On::Obstacle if key == "diameter_crown" => s.point("X", [20.0, 40.0], tags(json!({ "natural": "tree" }))),
        On::Obstacle if key.starts_with("toeline:") => s.point(
            "X",
            [20.0, 40.0],
            tags(json!({ "toeline:obstacle": "parked_aeroplane" })),
        ),
        On::Obstacle => s.area("X", &[square], tags(json!({ "building": "yes" }))),
    })
}

#[test]
fn the_reader_keeps_to_the_ranges_of_the_table() {
    let mut checked = 0;
    for p in PROPERTIES {
        let Some((low, high, unit)) = p.range() else { continue };
        for on in p.on {
            for inside in [low, high, (low + high) / 2.0] {
                let r = with(*on, json!({ p.key: inside }));
                let doubt = r.notices.iter().find(|n| n.text.contains(&format!("{}=", p.key)));
                assert_eq!(doubt, None, "{} = {inside} on {on:?}", p.key);
            }
            for outside in [low - 0.05, high + 0.05] {
                let r = with(*on, json!({ p.key: outside }));
                let words = format!("{}=\"{outside}\" is outside {low} to {high} {unit}; left out", p.key);
                told(&r.notices, NoticeKind::Doubt, "X", &words);
                checked += 1;
            }
            let r = with(*on, json!({ p.key: "plenty" }));
            told(
                &r.notices,
                NoticeKind::Doubt,
                "X",
                &format!("{}=\"plenty\" is not a ", p.key),
            );
        }
    }
    assert!(checked >= 30, "{checked}");
}

#[test]
fn the_reader_knows_the_words_of_the_table_and_doubts_others() {
    for p in PROPERTIES {
        let Form::Words(words) = p.form else { continue };
        for on in p.on {
            for word in words {
                let r = with(*on, json!({ p.key: word }));
                let unknown = r.notices.iter().find(|n| n.text.contains("is not known"));
                assert_eq!(unknown, None, "{}={word} on {on:?}", p.key);
            }
            // Any other piece of a runway is the runway, and a building may be anywhere.
            if !["runway", "location"].contains(&p.key) {
                let r = with(*on, json!({ p.key: "sideways" }));
                assert!(
                    r.notices
                        .iter()
                        .any(|n| n.feature == "X" && n.text.contains(&format!("{}=\"sideways\" is not known", p.key))),
                    "{} on {on:?}: {:?}",
                    p.key,
                    r.notices
                );
            }
        }
    }
}

#[test]
fn every_property_is_listed_once_for_a_sort_of_feature() {
    for (on, name) in SECTIONS {
        let mut keys: Vec<&str> = of(on).map(|p| p.key).collect();
        let count = keys.len();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), count, "{name}");
    }
}
