//! A feature's geometry as plain parts in longitude and latitude, checked position by position.
//!
//! The parts are taken from the JSON value by hand and not by a typed parser, so that one broken feature does not hide
//! the others and every message can say which position is wrong.

use serde_json::Value;
use toeline_model::LonLat;

/// A part of a geometry. Rings are open: the repeated last position is dropped.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Part {
    /// One position.
    Point(LonLat),
    /// At least two positions.
    Line(Vec<LonLat>),
    /// An outer ring of at least three corners, and holes.
    Area {
        /// Outer ring.
        outer: Vec<LonLat>,
        /// Holes.
        holes: Vec<Vec<LonLat>>,
    },
}

impl Part {
    /// Every position of the part.
    pub(super) fn positions(&self) -> impl Iterator<Item = LonLat> + '_ {
        let (one, many, holes): (Option<LonLat>, &[LonLat], &[Vec<LonLat>]) = match self {
            Part::Point(p) => (Some(*p), &[], &[]),
            Part::Line(line) => (None, line, &[]),
            Part::Area { outer, holes } => (None, outer, holes),
        };
        one.into_iter()
            .chain(many.iter().copied())
            .chain(holes.iter().flatten().copied())
    }

    /// A line that ends where it begins, as the ring it draws.
    pub(super) fn as_ring(&self) -> Option<Vec<LonLat>> {
        match self {
            Part::Line(line) if line.len() >= 4 && line.first() == line.last() => Some(line[..line.len() - 1].to_vec()),
            _ => None,
        }
    }
}

/// The parts of a geometry, or the first thing wrong with it.
pub(super) fn parts(geometry: &Value) -> Result<Vec<Part>, String> {
    let mut list = Vec::new();
    collect(geometry, &mut list)?;
    Ok(list)
}

fn collect(geometry: &Value, list: &mut Vec<Part>) -> Result<(), String> {
    if geometry.is_null() {
        return Ok(());
    }
    let kind = geometry
        .get("type")
        .and_then(Value::as_str)
        .ok_or("its geometry has no \"type\"")?;
    if kind == "GeometryCollection" {
        let members = geometry
            .get("geometries")
            .and_then(Value::as_array)
            .ok_or("its GeometryCollection has no \"geometries\"")?;
        return members.iter().try_for_each(|g| collect(g, list));
    }
    let c = geometry
        .get("coordinates")
        .ok_or_else(|| format!("its {} has no \"coordinates\"", super::tags::clean(kind)))?;
    match kind {
        "Point" => list.push(Part::Point(position(c).map_err(|e| format!("its position {e}"))?)),
        "MultiPoint" => {
            for p in positions(c, "its points")? {
                list.push(Part::Point(p));
            }
        }
        "LineString" => list.push(Part::Line(line(c, "its line")?)),
        "MultiLineString" => {
            for (i, l) in array(c, "its lines")?.iter().enumerate() {
                list.push(Part::Line(line(l, &format!("its line {}", i + 1))?));
            }
        }
        "Polygon" => list.push(area(c, "")?),
        "MultiPolygon" => {
            for (i, a) in array(c, "its polygons")?.iter().enumerate() {
                list.push(area(a, &format!(" of polygon {}", i + 1))?);
            }
        }
        other => {
            return Err(format!(
                "its geometry type \"{}\" is not one of RFC 7946",
                super::tags::clean(other)
            ));
        }
    }
    Ok(())
}

fn array<'a>(v: &'a Value, what: &str) -> Result<&'a Vec<Value>, String> {
    v.as_array()
        .ok_or_else(|| format!("{what}: the coordinates are not a list"))
}

fn position(v: &Value) -> Result<LonLat, String> {
    let list = v.as_array().ok_or("is not a list of numbers")?;
    if list.len() < 2 {
        return Err(format!(
            "has {} numbers; 2 are needed (longitude, latitude)",
            list.len()
        ));
    }
    let number = |i: usize, what: &str| {
        list[i].as_f64().filter(|n| n.is_finite()).ok_or_else(|| {
            let mut shown = list[i].to_string();
            shown.truncate(shown.char_indices().nth(40).map_or(shown.len(), |(at, _)| at));
            format!("has the {what} {shown}, which is not a number")
        })
    };
    let (lon_deg, lat_deg) = (number(0, "longitude")?, number(1, "latitude")?);
    if !(-180.0..=180.0).contains(&lon_deg) {
        return Err(format!("has the longitude {lon_deg}, outside -180 to 180 degrees"));
    }
    if !(-90.0..=90.0).contains(&lat_deg) {
        return Err(format!("has the latitude {lat_deg}, outside -90 to 90 degrees"));
    }
    Ok(LonLat { lon_deg, lat_deg })
}

fn positions(v: &Value, what: &str) -> Result<Vec<LonLat>, String> {
    let list = array(v, what)?;
    list.iter()
        .enumerate()
        .map(|(i, p)| position(p).map_err(|e| format!("{what}: position {} {e}", i + 1)))
        .collect()
}

fn line(v: &Value, what: &str) -> Result<Vec<LonLat>, String> {
    let list = positions(v, what)?;
    if list.len() < 2 {
        return Err(format!("{what} has {} position; at least 2 are needed", list.len()));
    }
    Ok(list)
}

fn ring(v: &Value, what: &str) -> Result<Vec<LonLat>, String> {
    let mut list = positions(v, what)?;
    if list.len() < 4 {
        return Err(format!(
            "{what} has {} positions; at least 4 are needed, the last equal to the first",
            list.len()
        ));
    }
    if list.first() != list.last() {
        return Err(format!("{what} is not closed: its last position must equal its first"));
    }
    list.pop();
    Ok(list)
}

fn area(v: &Value, of: &str) -> Result<Part, String> {
    let rings = array(v, "its rings")?;
    let mut open = Vec::with_capacity(rings.len());
    for (i, r) in rings.iter().enumerate() {
        let what = if i == 0 {
            format!("the outer ring{of}")
        } else {
            format!("hole {i}{of}")
        };
        open.push(ring(r, &what)?);
    }
    let mut open = open.into_iter();
    let outer = open.next().ok_or_else(|| format!("its polygon has no ring{of}"))?;
    Ok(Part::Area {
        outer,
        holes: open.collect(),
    })
}
