//! The text as a list of features, each with its identity, its tags and its geometry still as JSON.

use super::tags::Tags;
use super::{POSITION_LIMIT, ReadError, TEXT_LIMIT_BYTES};
use serde_json::{Map, Value};

/// One feature of the file.
pub(super) struct RawFeature {
    /// Its `id`, its `@id`, or "feature N".
    pub(super) id: String,
    /// Its properties.
    pub(super) tags: Tags,
    /// Its geometry; `Null` when it has none.
    pub(super) geometry: Value,
    /// What is wrong with it as a feature, when it is none.
    pub(super) broken: Option<String>,
}

const GEOMETRIES: [&str; 7] = [
    "Point",
    "MultiPoint",
    "LineString",
    "MultiLineString",
    "Polygon",
    "MultiPolygon",
    "GeometryCollection",
];

/// Takes the text apart.
pub(super) fn features(text: &str) -> Result<Vec<RawFeature>, ReadError> {
    if text.len() > TEXT_LIMIT_BYTES {
        return Err(ReadError::TooLarge {
            found: format!(
                "{} bytes of text; the limit is {TEXT_LIMIT_BYTES} bytes (256 MiB)",
                text.len()
            ),
        });
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let value: Value = serde_json::from_str(text).map_err(|e| not_json(&e))?;
    let not = |found: String| ReadError::NotGeoJson { found };
    let Value::Object(mut top) = value else {
        return Err(not("its outermost value is not an object".to_string()));
    };
    foreign_reference_system(&top)?;
    let list = match top.get("type").and_then(Value::as_str) {
        Some("FeatureCollection") => match top.remove("features") {
            Some(Value::Array(list)) => list,
            Some(_) => return Err(not("\"features\" of the FeatureCollection is not a list".to_string())),
            None => return Err(not("the FeatureCollection has no \"features\"".to_string())),
        },
        Some("Feature") => vec![Value::Object(top)],
        // Legal, but a bare geometry has no tags and so says nothing about an airfield.
        Some(t) if GEOMETRIES.contains(&t) => Vec::new(),
        Some(t) => {
            return Err(not(format!(
                "\"type\" is \"{}\"; a FeatureCollection is expected",
                clip(t)
            )));
        }
        None => return Err(not("it has no \"type\"; a FeatureCollection is expected".to_string())),
    };
    let features: Vec<RawFeature> = list.into_iter().enumerate().map(|(i, v)| one(i, v)).collect();
    let positions: usize = features.iter().map(|f| count_positions(&f.geometry)).sum();
    if positions > POSITION_LIMIT {
        return Err(ReadError::TooLarge {
            found: format!("{positions} positions; the limit is {POSITION_LIMIT} positions"),
        });
    }
    Ok(features)
}

fn not_json(e: &serde_json::Error) -> ReadError {
    let text = e.to_string();
    let found = text.split(" at line ").next().unwrap_or_default().to_string();
    ReadError::NotJson {
        line: e.line(),
        column: e.column(),
        found,
    }
}

/// Files older than RFC 7946 may name another reference system; its numbers would not be degrees of WGS 84.
fn foreign_reference_system(top: &Map<String, Value>) -> Result<(), ReadError> {
    let name = top
        .get("crs")
        .and_then(|c| c.pointer("/properties/name"))
        .and_then(Value::as_str);
    match name {
        Some(n) if !n.contains("CRS84") && !n.contains("4326") => Err(ReadError::NotGeoJson {
            found: format!(
                "its \"crs\" member names \"{}\"; only longitude and latitude on WGS 84 are read, convert it first",
                clip(n)
            ),
        }),
        _ => Ok(()),
    }
}

fn clip(text: &str) -> String {
    super::tags::clean(text)
}

fn one(index: usize, value: Value) -> RawFeature {
    let place = format!("feature {}", index + 1);
    let Value::Object(mut object) = value else {
        return RawFeature {
            id: place,
            tags: Tags::default(),
            geometry: Value::Null,
            broken: Some("is not an object".to_string()),
        };
    };
    let tags = match object.remove("properties") {
        Some(Value::Object(map)) => Tags::new(map),
        _ => Tags::default(),
    };
    let id = match object.get("id") {
        Some(Value::String(s)) => Some(clip(s)),
        Some(Value::Number(n)) => Some(n.to_string()),
        _ => None,
    };
    let id = id
        .or_else(|| tags.text("@id"))
        .filter(|t| !t.is_empty())
        .unwrap_or(place);
    let broken = (object.get("type").and_then(Value::as_str) != Some("Feature"))
        .then(|| "has no \"type\": \"Feature\"".to_string());
    RawFeature {
        id,
        tags,
        geometry: object.remove("geometry").unwrap_or(Value::Null),
        broken,
    }
}

fn count_positions(geometry: &Value) -> usize {
    fn within(v: &Value) -> usize {
        match v.as_array() {
            Some(list) if list.first().is_some_and(Value::is_number) => 1,
            Some(list) => list.iter().map(within).sum(),
            None => 0,
        }
    }
    let own = geometry.get("coordinates").map_or(0, within);
    let parts = geometry.get("geometries").and_then(Value::as_array);
    own + parts.map_or(0, |g| g.iter().map(count_positions).sum())
}
