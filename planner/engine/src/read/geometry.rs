//! A feature's geometry as plain parts in longitude and latitude, checked position by position.
//!
//! The coordinates come as they stand in the file, sound or not, so that one broken feature does not hide the others and
//! every message can say which position is wrong.

use std::borrow::Cow;
use toeline_model::LonLat;

/// The geometry types of RFC 7946.
pub(super) const KINDS: [&str; 7] = [
    "Point",
    "MultiPoint",
    "LineString",
    "MultiLineString",
    "Polygon",
    "MultiPolygon",
    "GeometryCollection",
];

/// What stands in a `coordinates` member.
pub(super) enum Coordinates {
    /// A sound position.
    Position(LonLat),
    /// A list that begins like a position and is none: what is wrong with it.
    NoPosition(String),
    /// A list of sound positions, at least one.
    Positions(Vec<LonLat>),
    /// Any other list.
    List(Vec<Coordinates>),
    /// No list at all.
    NoList,
}

impl Coordinates {
    /// From the first two members of a list: each a number, or how to show what is none.
    pub(super) fn position(lon: Result<f64, String>, lat: Option<Result<f64, String>>) -> Coordinates {
        let checked = |value: Result<f64, String>, what: &str| {
            value.map_err(|shown| format!("has the {what} {shown}, which is not a number"))
        };
        let found = || {
            let lat = lat.ok_or_else(|| "has 1 numbers; 2 are needed (longitude, latitude)".to_string())?;
            let (lon_deg, lat_deg) = (checked(lon, "longitude")?, checked(lat, "latitude")?);
            if !(-180.0..=180.0).contains(&lon_deg) {
                return Err(format!("has the longitude {lon_deg}, outside -180 to 180 degrees"));
            }
            if !(-90.0..=90.0).contains(&lat_deg) {
                let turned = if lat_deg.abs() <= 180.0 && lon_deg.abs() <= 90.0 {
                    " (longitude comes first: are the two swapped?)"
                } else {
                    ""
                };
                return Err(format!("has the latitude {lat_deg}, outside -90 to 90 degrees{turned}"));
            }
            Ok(LonLat { lon_deg, lat_deg })
        };
        found().map_or_else(Coordinates::NoPosition, Coordinates::Position)
    }
}

/// A geometry as it stands in the file.
#[derive(Default)]
pub(super) enum Geometry {
    /// None, or null.
    #[default]
    None,
    /// A value with these members.
    Object {
        /// Its `type`, when that is text.
        kind: Option<Cow<'static, str>>,
        /// Its `coordinates`.
        coordinates: Option<Coordinates>,
        /// Its `geometries`, when they are a list.
        members: Option<Vec<Geometry>>,
    },
}

impl Geometry {
    /// Something that is no object.
    pub(super) fn default_object() -> Geometry {
        Geometry::Object {
            kind: None,
            coordinates: None,
            members: None,
        }
    }
}

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
    pub(super) fn positions(&self) -> impl Iterator<Item = LonLat> + Clone + '_ {
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
pub(super) fn parts(geometry: Geometry) -> Result<Vec<Part>, String> {
    let mut list = Vec::new();
    collect(geometry, &mut list)?;
    Ok(list)
}

fn collect(geometry: Geometry, list: &mut Vec<Part>) -> Result<(), String> {
    let Geometry::Object {
        kind,
        coordinates,
        members,
    } = geometry
    else {
        return Ok(());
    };
    let kind = kind.ok_or("its geometry has no \"type\"")?;
    if kind == "GeometryCollection" {
        let mut members = members
            .ok_or("its GeometryCollection has no \"geometries\"")?
            .into_iter();
        return members.try_for_each(|g| collect(g, list));
    }
    let c = coordinates.ok_or_else(|| format!("its {kind} has no \"coordinates\""))?;
    match kind.as_ref() {
        "Point" => list.push(Part::Point(position(c).map_err(|e| format!("its position {e}"))?)),
        "MultiPoint" => list.extend(positions(c, "its points")?.into_iter().map(Part::Point)),
        "LineString" => list.push(Part::Line(line(c, "its line")?)),
        "MultiLineString" => {
            for (i, l) in items(c, "its lines")?.into_iter().enumerate() {
                list.push(Part::Line(line(l, &format!("its line {}", i + 1))?));
            }
        }
        "Polygon" => list.push(area(c, "")?),
        "MultiPolygon" => {
            for (i, a) in items(c, "its polygons")?.into_iter().enumerate() {
                list.push(area(a, &format!(" of polygon {}", i + 1))?);
            }
        }
        other => return Err(format!("its geometry type \"{other}\" is not one of RFC 7946")),
    }
    Ok(())
}

/// The members of a list.
fn items(c: Coordinates, what: &str) -> Result<Vec<Coordinates>, String> {
    match c {
        Coordinates::List(list) => Ok(list),
        Coordinates::Positions(list) => Ok(list.into_iter().map(Coordinates::Position).collect()),
        // A list of numbers where lists are due: nothing in it is one.
        Coordinates::Position(_) | Coordinates::NoPosition(_) => Ok(vec![Coordinates::NoList]),
        Coordinates::NoList => Err(format!("{what}: the coordinates are not a list")),
    }
}

fn position(c: Coordinates) -> Result<LonLat, String> {
    match c {
        Coordinates::Position(p) => Ok(p),
        Coordinates::NoPosition(e) => Err(e),
        Coordinates::List(list) if list.is_empty() => {
            Err("has 0 numbers; 2 are needed (longitude, latitude)".to_string())
        }
        Coordinates::List(_) | Coordinates::Positions(_) => {
            Err("has the longitude […], which is not a number".to_string())
        }
        Coordinates::NoList => Err("is not a list of numbers".to_string()),
    }
}

fn positions(c: Coordinates, what: &str) -> Result<Vec<LonLat>, String> {
    if let Coordinates::Positions(list) = c {
        return Ok(list);
    }
    let list = items(c, what)?.into_iter().enumerate();
    list.map(|(i, p)| position(p).map_err(|e| format!("{what}: position {} {e}", i + 1)))
        .collect()
}

fn line(c: Coordinates, what: &str) -> Result<Vec<LonLat>, String> {
    let list = positions(c, what)?;
    if list.len() < 2 {
        return Err(format!("{what} has {} position; at least 2 are needed", list.len()));
    }
    Ok(list)
}

fn ring(c: Coordinates, what: &str) -> Result<Vec<LonLat>, String> {
    let mut list = positions(c, what)?;
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

fn area(c: Coordinates, of: &str) -> Result<Part, String> {
    let rings = items(c, "its rings")?;
    let mut open = Vec::with_capacity(rings.len());
    for (i, r) in rings.into_iter().enumerate() {
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
