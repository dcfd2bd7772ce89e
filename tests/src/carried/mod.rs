//! OpenStreetMap and AIXM data for tests: made from a field's GeoJSON, and written as XML, JSON and PBF.

pub mod aixm;
mod packed;
mod text;

pub use packed::{Packing, message, number, packed_block, pbf, signed, text_field};
pub use text::{json, xml};

use serde_json::{Value, json as value};
use std::collections::BTreeMap;
use toeline_engine::carrier::At;
use toeline_model::date::Date;

/// The time at which test files are looked at: 2026-03-01, any time of the day.
pub const AT: At = At {
    date: Date {
        year: 2026,
        day_of_year: 60,
    },
    time: None,
};

/// Billionths of a degree: longitude, latitude.
pub type Nano = (i64, i64);
/// Keys and values.
pub type Tags = Vec<(String, String)>;

/// Members of a relation: kind, number, role.
pub type Members = Vec<(&'static str, i64, &'static str)>;

/// A file's content.
#[derive(Clone, Debug, Default)]
pub struct Osm {
    /// Number, place, tags.
    pub nodes: Vec<(i64, Nano, Tags)>,
    /// Number, nodes, tags.
    pub ways: Vec<(i64, Vec<i64>, Tags)>,
    /// Number, members, tags.
    pub relations: Vec<(i64, Members, Tags)>,
}

/// Builds one from features.
#[derive(Default)]
struct Maker {
    osm: Osm,
    at: BTreeMap<Nano, i64>,
    last: i64,
}

impl Maker {
    fn number(&mut self) -> i64 {
        self.last += 1;
        self.last
    }

    fn node(&mut self, position: &Value) -> i64 {
        let at = nano(position);
        if let Some(id) = self.at.get(&at) {
            return *id;
        }
        let id = self.number();
        self.at.insert(at, id);
        self.osm.nodes.push((id, at, Vec::new()));
        id
    }

    fn way(&mut self, positions: &Value, tags: Tags) -> i64 {
        let refs = list(positions).iter().map(|p| self.node(p)).collect();
        let id = self.number();
        self.osm.ways.push((id, refs, tags));
        id
    }
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

/// A position in billionths of a degree.
pub fn nano(position: &Value) -> Nano {
    let axis = |i: usize| (position[i].as_f64().unwrap_or(f64::NAN) * 1e9).round() as i64;
    (axis(0), axis(1))
}

fn tags(properties: &Value) -> Tags {
    let all = properties.as_object().into_iter().flatten();
    all.map(|(k, v)| (k.clone(), v.as_str().map_or_else(|| v.to_string(), str::to_string)))
        .collect()
}

/// A field's features as OpenStreetMap data, and the same features as GeoJSON called as they are called there and in the
/// order in which a carrier gives them: nodes, ways, relations. Polygons become closed ways with `area=yes`, closed
/// lines such with `area=no`, polygons with holes relations.
///
/// # Panics
/// On text that is no FeatureCollection.
pub fn from_geojson(text: &str) -> (Osm, String) {
    let whole: Value = serde_json::from_str(text).unwrap_or_else(|e| panic!("{e}"));
    let mut maker = Maker::default();
    let mut named: Vec<(usize, i64, Value)> = Vec::new();
    for feature in list(&whole["features"]) {
        let mut all = tags(&feature["properties"]);
        let (kind, coordinates) = (&feature["geometry"]["type"], &feature["geometry"]["coordinates"]);
        let (rank, word, id) = match kind.as_str().unwrap_or_default() {
            "Point" => {
                // A holding position drawn on a vertex of its lane is that node.
                let mut id = maker.node(coordinates);
                let taken = |m: &Maker, id: i64| m.osm.nodes.iter().any(|n| n.0 == id && !n.2.is_empty());
                if taken(&maker, id) {
                    id = maker.number();
                    maker.osm.nodes.push((id, nano(coordinates), Vec::new()));
                }
                let node = maker.osm.nodes.iter_mut().find(|n| n.0 == id);
                node.unwrap_or_else(|| panic!("node {id}")).2 = all;
                (0, "node", id)
            }
            "LineString" => {
                let places = list(coordinates);
                if places.first() == places.last() {
                    all.push(("area".to_string(), "no".to_string()));
                }
                (1, "way", maker.way(coordinates, all))
            }
            "Polygon" if list(coordinates).len() == 1 => {
                all.push(("area".to_string(), "yes".to_string()));
                (1, "way", maker.way(&coordinates[0], all))
            }
            "Polygon" => {
                let mut members = Vec::new();
                for (i, ring) in list(coordinates).iter().enumerate() {
                    let role = if i == 0 { "outer" } else { "inner" };
                    members.push(("way", maker.way(ring, Vec::new()), role));
                }
                all.push(("type".to_string(), "multipolygon".to_string()));
                let id = maker.number();
                maker.osm.relations.push((id, members, all));
                (2, "relation", id)
            }
            other => panic!("{other} is not made into OpenStreetMap data here"),
        };
        let mut same = feature.clone();
        same["id"] = value!(format!("{word}/{id}"));
        named.push((rank, id, same));
    }
    named.sort_by_key(|(rank, id, _)| (*rank, *id));
    let features: Vec<Value> = named.into_iter().map(|n| n.2).collect();
    maker.osm.nodes.sort_by_key(|n| n.0);
    let expected = value!({ "type": "FeatureCollection", "attribution": toeline_engine::carrier::ATTRIBUTION, "features": features });
    (maker.osm, expected.to_string())
}
