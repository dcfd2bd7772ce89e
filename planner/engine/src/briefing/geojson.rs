//! The way on a map: RFC 7946 GeoJSON in longitude and latitude, for any map program.

use super::shape_json::steps;
use super::{Briefing, clean, number};
use crate::notices::Shown;
use crate::plane::LocalPlane;
use crate::planning::{Outcome, Plan, Way};
use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};
use serde_json::{Value, json};
use toeline_model::Xy;
use toeline_model::path::DrivenPath;
use toeline_model::planar::{inside_ring, signed_area};

/// Longest step along the way, metres; an arc of 3 m radius then stays within 11 mm of its chords.
const STEP_M: f64 = 0.5;

/// Properties in a fixed order.
struct Properties(Vec<(&'static str, Value)>);

impl Serialize for Properties {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let mut map = s.serialize_map(Some(self.0.len()))?;
        for (key, value) in &self.0 {
            map.serialize_entry(key, value)?;
        }
        map.end()
    }
}

#[derive(Serialize)]
#[serde(tag = "type", content = "coordinates")]
enum Geometry {
    Point([f64; 2]),
    LineString(Vec<[f64; 2]>),
    Polygon(Vec<Vec<[f64; 2]>>),
    MultiPolygon(Vec<Vec<Vec<[f64; 2]>>>),
}

#[derive(Serialize)]
struct Feature {
    r#type: &'static str,
    id: String,
    geometry: Geometry,
    properties: Properties,
}

#[derive(Serialize)]
struct Collection<'a> {
    r#type: &'static str,
    // Foreign members, which RFC 7946 allows.
    #[serde(rename = "toeline:caution")]
    caution: &'a str,
    // The name that most who write GeoJSON give it; our own reader takes it up too.
    #[serde(skip_serializing_if = "Option::is_none")]
    attribution: Option<&'a str>,
    #[serde(rename = "toeline:field")]
    field: &'a str,
    #[serde(rename = "toeline:notams", skip_serializing_if = "<[_]>::is_empty")]
    notams: &'a [Shown],
    features: Vec<Feature>,
}

/// Local metres to rounded longitude and latitude. Longitudes stay on the origin's side of the antimeridian (and so may
/// pass 180), because a shape torn apart there would be worse than a figure above 180.
struct Placer {
    plane: LocalPlane,
    origin_lon_deg: f64,
}

impl Placer {
    fn at(&self, p: Xy) -> [f64; 2] {
        let ll = self.plane.to_lonlat(p);
        let turns = ((ll.lon_deg - self.origin_lon_deg) / 360.0).round();
        [number::lonlat(ll.lon_deg - 360.0 * turns), number::lonlat(ll.lat_deg)]
    }

    fn line(&self, points: impl IntoIterator<Item = Xy>) -> Vec<[f64; 2]> {
        let mut line: Vec<[f64; 2]> = points.into_iter().map(|p| self.at(p)).collect();
        line.dedup();
        // A LineString needs two positions, even where nothing moves.
        if let [only] = line[..] {
            line.push(only);
        }
        line
    }

    /// A closed ring, anticlockwise for an outer one and clockwise for a hole; `None` without area.
    fn ring(&self, points: &[Xy], outer: bool) -> Option<Vec<[f64; 2]>> {
        let mut ring: Vec<[f64; 2]> = points.iter().map(|p| self.at(*p)).collect();
        ring.dedup();
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
        if ring.len() < 3 {
            return None;
        }
        if (signed_area(points) > 0.0) != outer {
            ring.reverse();
        }
        ring.push(ring[0]);
        Some(ring)
    }
}

fn feature(id: String, geometry: Geometry, properties: Vec<(&'static str, Value)>) -> Feature {
    Feature {
        r#type: "Feature",
        id,
        geometry,
        properties: Properties(properties),
    }
}

/// Writes a plan as GeoJSON on one line.
pub fn geojson(plan: &Plan, briefing: &Briefing) -> String {
    let placer = Placer {
        plane: LocalPlane::new(plan.field.origin),
        origin_lon_deg: plan.field.origin.lon_deg,
    };
    let features = match &plan.outcome {
        Outcome::Way(way) => way_features(&placer, way, briefing),
        Outcome::NoWay(none) => {
            let one = |(i, b): (usize, &crate::route::Block)| {
                let properties = vec![
                    ("toeline:what", json!("block")),
                    ("feature", json!(clean::name(&b.feature))),
                    ("text", json!(clean::sentence(&b.text))),
                ];
                feature(format!("block-{}", i + 1), Geometry::Point(placer.at(b.at)), properties)
            };
            none.blocks.iter().enumerate().map(one).collect()
        }
    };
    let collection = Collection {
        r#type: "FeatureCollection",
        caution: &briefing.caution,
        attribution: briefing.attribution.as_deref(),
        field: &briefing.field,
        notams: &briefing.notams,
        features,
    };
    // A struct of strings and numbers always serialises.
    let mut out = serde_json::to_string(&collection).unwrap_or_default();
    out.push('\n');
    out
}

fn sampled(path: &DrivenPath, axle: bool) -> impl Iterator<Item = Xy> + '_ {
    let d = path.wheelbase_m;
    let stand = path.start;
    let poses = path
        .pieces
        .iter()
        .flat_map(move |p| steps(p.length_m, STEP_M).map(move |s| p.pose(d, s)));
    core::iter::once(stand)
        .chain(poses)
        .map(move |pose| if axle { pose.axle(d) } else { pose.nose })
}

fn way_features(placer: &Placer, way: &Way, briefing: &Briefing) -> Vec<Feature> {
    let (route, clearance) = (&way.route, &way.clearance);
    let told = match &briefing.answer {
        super::Answer::Way(w) => Some(w.as_ref()),
        super::Answer::NoWay(_) => None,
    };
    let mut list = Vec::new();
    if let Some(polygons) = swept(placer, &clearance.swept) {
        list.push(feature(
            "swept".into(),
            polygons,
            vec![("toeline:what", json!("swept outline"))],
        ));
    }
    let way_properties = vec![
        ("toeline:what", json!("way of the nose wheel")),
        ("length_m", json!(number::metres(route.path.length_m()))),
        ("time_s", json!(told.map(|w| w.time_s))),
        ("verdict", json!(clearance.verdict)),
    ];
    list.push(feature(
        "way".into(),
        Geometry::LineString(placer.line(sampled(&route.path, false))),
        way_properties,
    ));
    list.push(feature(
        "axle".into(),
        Geometry::LineString(placer.line(sampled(&route.path, true))),
        vec![("toeline:what", json!("way of the middle of the main axle"))],
    ));
    for stop in told
        .map(|w| w.stops.as_slice())
        .unwrap_or_default()
        .iter()
        .zip(&route.stops)
        .enumerate()
    {
        let (i, (told, stop)) = stop;
        let properties = vec![
            ("toeline:what", json!("stop")),
            ("kind", json!(told.kind)),
            ("name", json!(told.name)),
            ("of", json!(told.of)),
            ("way_m", json!(told.at_m)),
            ("heading_true_deg", json!(told.heading_true_deg)),
            ("heading_magnetic_deg", json!(told.heading_magnetic_deg)),
            ("derived", json!(told.derived)),
            ("say", json!(told.say)),
        ];
        list.push(feature(
            format!("stop-{}", i + 1),
            Geometry::Point(placer.at(stop.pose.nose)),
            properties,
        ));
    }
    for (i, (told, g)) in told
        .map(|w| w.gaps.as_slice())
        .unwrap_or_default()
        .iter()
        .zip(&clearance.gaps)
        .enumerate()
    {
        let properties = vec![
            ("toeline:what", json!("least gap")),
            ("gap_m", json!(told.gap_m)),
            ("part", json!(told.part)),
            ("obstacle", json!(told.obstacle)),
            ("leg", json!(told.leg)),
            ("way_m", json!(told.at_m)),
            ("verdict", json!(told.verdict)),
        ];
        let line = placer.line([g.on_aircraft, g.on_obstacle]);
        list.push(feature(
            format!("gap-{}", i + 1),
            Geometry::LineString(line),
            properties,
        ));
    }
    list
}

/// Outer rings with the holes that lie in them.
fn swept(placer: &Placer, rings: &[Vec<Xy>]) -> Option<Geometry> {
    let outers = rings.iter().filter(|r| signed_area(r) > 0.0);
    let holes: Vec<&Vec<Xy>> = rings.iter().filter(|r| signed_area(r) < 0.0).collect();
    let polygon = |outer: &Vec<Xy>| -> Option<Vec<Vec<[f64; 2]>>> {
        let mut polygon = vec![placer.ring(outer, true)?];
        let inside = holes.iter().filter(|h| inside_ring(h[0], outer));
        polygon.extend(inside.filter_map(|h| placer.ring(h, false)));
        Some(polygon)
    };
    let mut polygons: Vec<_> = outers.filter_map(polygon).collect();
    match polygons.len() {
        0 => None,
        1 => polygons.pop().map(Geometry::Polygon),
        _ => Some(Geometry::MultiPolygon(polygons)),
    }
}
