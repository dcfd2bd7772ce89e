//! Little airfields for tests: features drawn in metres about a place, written as GeoJSON text.

use serde_json::{Value, json};
use toeline_engine::plane::LocalPlane;
use toeline_model::{LonLat, Xy};

/// A file being drawn.
pub struct Sketch {
    plane: LocalPlane,
    features: Vec<Value>,
}

impl Default for Sketch {
    fn default() -> Sketch {
        Sketch::about(11.0, 47.0)
    }
}

impl Sketch {
    /// About a place, degrees.
    pub fn about(lon_deg: f64, lat_deg: f64) -> Sketch {
        Sketch {
            plane: LocalPlane::new(LonLat { lon_deg, lat_deg }),
            features: Vec::new(),
        }
    }

    /// Longitude and latitude of metres east and north of that place. Equal metres give equal numbers.
    pub fn position(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        self.plane.to_lonlat(Xy { x, y }).into()
    }

    /// Where metres of the sketch lie in an airfield read from it.
    pub fn in_field(&self, origin: LonLat, at: [f64; 2]) -> Xy {
        LocalPlane::new(origin).to_xy(LonLat::from(self.position(at)))
    }

    fn positions(&self, points: &[[f64; 2]]) -> Vec<[f64; 2]> {
        points.iter().map(|p| self.position(*p)).collect()
    }

    /// Adds a feature as it stands.
    pub fn raw(mut self, feature: Value) -> Sketch {
        self.features.push(feature);
        self
    }

    fn with(self, id: &str, kind: &str, coordinates: Value, properties: Value) -> Sketch {
        self.raw(json!({
            "type": "Feature",
            "id": id,
            "properties": properties,
            "geometry": { "type": kind, "coordinates": coordinates },
        }))
    }

    /// Adds a point.
    pub fn point(self, id: &str, at: [f64; 2], properties: Value) -> Sketch {
        let c = json!(self.position(at));
        self.with(id, "Point", c, properties)
    }

    /// Adds a line.
    pub fn line(self, id: &str, points: &[[f64; 2]], properties: Value) -> Sketch {
        let c = json!(self.positions(points));
        self.with(id, "LineString", c, properties)
    }

    /// Adds several lines as one feature.
    pub fn lines(self, id: &str, lines: &[&[[f64; 2]]], properties: Value) -> Sketch {
        let c = json!(lines.iter().map(|l| self.positions(l)).collect::<Vec<_>>());
        self.with(id, "MultiLineString", c, properties)
    }

    /// Adds an area: open rings in metres, the outer one first.
    pub fn area(self, id: &str, rings: &[&[[f64; 2]]], properties: Value) -> Sketch {
        let c = json!(self.closed(rings));
        self.with(id, "Polygon", c, properties)
    }

    /// Adds several areas as one feature.
    pub fn areas(self, id: &str, areas: &[&[&[[f64; 2]]]], properties: Value) -> Sketch {
        let c = json!(areas.iter().map(|a| self.closed(a)).collect::<Vec<_>>());
        self.with(id, "MultiPolygon", c, properties)
    }

    fn closed(&self, rings: &[&[[f64; 2]]]) -> Vec<Vec<[f64; 2]>> {
        rings
            .iter()
            .map(|r| {
                let mut ring = self.positions(r);
                ring.extend(ring.first().copied());
                ring
            })
            .collect()
    }

    /// Adds a runway.
    pub fn runway(self, id: &str, designators: &str, points: &[[f64; 2]]) -> Sketch {
        self.line(
            id,
            points,
            json!({ "aeroway": "runway", "ref": designators, "surface": "asphalt", "width": 23 }),
        )
    }

    /// Adds a taxiway.
    pub fn taxiway(self, id: &str, letter: &str, points: &[[f64; 2]]) -> Sketch {
        self.line(id, points, json!({ "aeroway": "taxiway", "ref": letter }))
    }

    /// The file's text.
    pub fn text(&self) -> String {
        json!({ "type": "FeatureCollection", "features": self.features }).to_string()
    }
}
