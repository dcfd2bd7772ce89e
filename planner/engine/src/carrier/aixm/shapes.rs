//! GML geometry as places: points, curves and surfaces.

use super::crs::{self, Crs};
use super::geodesic::{self, RADIUS_LIMIT_M};
use super::tree::{Node, Space, uuid};
use super::units;
use crate::carrier::POSITION_LIMIT;
use crate::carrier::rings::Area;
use crate::clean;
use core::cell::Cell;
use std::collections::BTreeMap;
use toeline_model::LonLat;

/// Pieces of a curve that are farther apart than this are told, metres. Ours.
const GAP_M: f64 = 0.01;

/// Reads geometry.
pub(super) struct Shapes<'s> {
    /// Points of the message by their `gml:id`, as they stand there.
    pub(super) points: &'s BTreeMap<String, Result<LonLat, String>>,
    /// Places made so far.
    pub(super) made: &'s Cell<usize>,
}

/// How a line goes from place to place.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Along {
    Geodesic,
    /// Straight in longitude and latitude: what GML means by linear.
    Straight,
}

type Doubts = Vec<String>;

impl Shapes<'_> {
    fn count(&self, places: usize) -> Result<(), String> {
        self.made.set(self.made.get() + places);
        if self.made.get() > POSITION_LIMIT {
            return Err(format!("with it there are more than {POSITION_LIMIT} positions in all"));
        }
        Ok(())
    }

    /// The place of a property that holds a Point or ElevatedPoint.
    pub(super) fn point(&self, node: &Node, around: Option<Crs>) -> Result<LonLat, String> {
        let around = crs::of(node, around)?;
        if let Some(id) = node.href() {
            return self.referred(id);
        }
        let point = node.children.iter().find(|c| is_point(c)).ok_or("has no Point")?;
        point_of(point, around)
    }

    /// A point given elsewhere in the message.
    fn referred(&self, href: &str) -> Result<LonLat, String> {
        let found = href.strip_prefix('#').and_then(|id| self.points.get(id));
        match found {
            Some(place) => place.clone(),
            None => Err(format!(
                "refers to \"{}\", which is no point of a used feature in the message",
                clean::name(href)
            )),
        }
    }

    /// The line of a property that holds a Curve or ElevatedCurve.
    pub(super) fn line(&self, node: &Node, around: Option<Crs>, doubts: &mut Doubts) -> Result<Vec<LonLat>, String> {
        let around = crs::of(node, around)?;
        let curve = node
            .children
            .iter()
            .find(|c| matches!(c.name.as_str(), "Curve" | "ElevatedCurve" | "LineString"))
            .ok_or_else(|| by_reference(node, "Curve"))?;
        let line = self.curve(curve, around, doubts)?;
        if line.len() < 2 {
            return Err(format!("its line has {} position; at least 2 are needed", line.len()));
        }
        Ok(line)
    }

    /// The areas of a property that holds a Surface, ElevatedSurface or Polygon.
    pub(super) fn areas(
        &self,
        node: &Node,
        around: Option<Crs>,
        doubts: &mut Doubts,
    ) -> Result<Vec<Area<LonLat>>, String> {
        let around = crs::of(node, around)?;
        let surface = node
            .children
            .iter()
            .find(|c| matches!(c.name.as_str(), "Surface" | "ElevatedSurface" | "Polygon"))
            .ok_or_else(|| by_reference(node, "Surface"))?;
        let around = crs::of(surface, around)?;
        if surface.name == "Polygon" {
            return Ok(vec![self.polygon(surface, around, doubts)?]);
        }
        let patches = ["patches", "polygonPatches"]
            .iter()
            .flat_map(|n| surface.all(Space::Gml, n));
        let mut list = Vec::new();
        for patch in patches.flat_map(|p| &p.children) {
            if !matches!(patch.name.as_str(), "PolygonPatch" | "Rectangle") {
                return Err(format!(
                    "its surface has a {}, which is not read",
                    clean::name(&patch.name)
                ));
            }
            list.push(self.polygon(patch, crs::of(patch, around)?, doubts)?);
        }
        if list.is_empty() {
            return Err("its surface has no patch".to_string());
        }
        Ok(list)
    }

    fn polygon(&self, node: &Node, around: Option<Crs>, doubts: &mut Doubts) -> Result<Area<LonLat>, String> {
        let exterior = node
            .child(Space::Gml, "exterior")
            .ok_or("its polygon has no exterior")?;
        let outer = self.ring(exterior, around, doubts)?;
        let holes = node.all(Space::Gml, "interior").map(|i| self.ring(i, around, doubts));
        let holes = holes.collect::<Result<Vec<_>, String>>()?;
        Ok(Area { outer, holes })
    }

    /// An open ring.
    fn ring(&self, node: &Node, around: Option<Crs>, doubts: &mut Doubts) -> Result<Vec<LonLat>, String> {
        let ring = node
            .children
            .iter()
            .find(|c| matches!(c.name.as_str(), "Ring" | "LinearRing"))
            .ok_or("its border has no Ring")?;
        let around = crs::of(ring, around)?;
        let mut places = Vec::new();
        if ring.name == "LinearRing" {
            self.string(ring, around, Along::Straight, &mut places)?;
        }
        for member in ring.all(Space::Gml, "curveMember") {
            let curve = member.children.first().ok_or_else(|| by_reference(member, "Curve"))?;
            let part = self.curve(curve, around, doubts)?;
            join(&mut places, part, doubts)?;
        }
        if let (Some(first), Some(last)) = (places.first().copied(), places.last().copied()) {
            let gap_m = geodesic::distance_m(first, last);
            if gap_m > GAP_M {
                doubts.push(format!(
                    "its border is not closed ({gap_m:.2} m are missing); closed straight"
                ));
                geodesic::between(last, first, &mut places)?;
            } else if places.len() > 1 {
                places.pop();
            }
        }
        if places.len() < 3 {
            return Err(format!(
                "its border has {} corners; at least 3 are needed",
                places.len()
            ));
        }
        Ok(places)
    }

    fn curve(&self, curve: &Node, around: Option<Crs>, doubts: &mut Doubts) -> Result<Vec<LonLat>, String> {
        let around = crs::of(curve, around)?;
        let mut places = Vec::new();
        match curve.name.as_str() {
            "LineString" => self.string(curve, around, Along::Straight, &mut places)?,
            "Curve" | "ElevatedCurve" => {
                let segments = curve.child(Space::Gml, "segments").ok_or("its curve has no segments")?;
                for segment in &segments.children {
                    let part = self.segment(segment, crs::of(segment, around)?)?;
                    join(&mut places, part, doubts)?;
                }
            }
            other => return Err(format!("its curve is a {}, which is not read", clean::name(other))),
        }
        Ok(places)
    }

    fn segment(&self, node: &Node, around: Option<Crs>) -> Result<Vec<LonLat>, String> {
        let mut places = Vec::new();
        match node.name.as_str() {
            "GeodesicString" | "Geodesic" => self.string(node, around, Along::Geodesic, &mut places)?,
            "LineStringSegment" => self.string(node, around, Along::Straight, &mut places)?,
            "ArcByCenterPoint" => places = self.arc(node, around, false)?,
            "CircleByCenterPoint" => places = self.arc(node, around, true)?,
            other => return Err(format!("its curve has a {}, which is not read", clean::name(other))),
        }
        Ok(places)
    }

    /// The places that an element lists, in their order.
    fn listed(&self, node: &Node, around: Option<Crs>) -> Result<Vec<LonLat>, String> {
        let mut list = Vec::new();
        for child in node.children.iter().filter(|c| c.space == Space::Gml) {
            match child.name.as_str() {
                "posList" | "pos" => list.extend(crs::positions(&child.text, crs::of(child, around)?)?),
                "pointProperty" | "pointRep" => list.push(self.point(child, around)?),
                _ => {}
            }
        }
        Ok(list)
    }

    fn string(&self, node: &Node, around: Option<Crs>, along: Along, places: &mut Vec<LonLat>) -> Result<(), String> {
        for p in self.listed(node, around)? {
            let before = places.len();
            if let (Along::Geodesic, Some(last)) = (along, places.last().copied()) {
                geodesic::between(last, p, places)?;
            }
            places.push(p);
            self.count(places.len() - before)?;
        }
        Ok(())
    }

    /// An arc by its centre. Angles count from the first axis toward the second (OGC 12-028, from memory): clockwise from
    /// north where latitude is first, anticlockwise from east where longitude is; from the start angle up or down to the end
    /// angle.
    fn arc(&self, node: &Node, around: Option<Crs>, whole: bool) -> Result<Vec<LonLat>, String> {
        let centre = *self.listed(node, around)?.first().ok_or("its arc has no centre")?;
        let radius = node.child(Space::Gml, "radius").ok_or("its arc has no radius")?;
        let radius_m = units::length_m(radius)?;
        if !(radius_m > 0.0 && radius_m <= RADIUS_LIMIT_M) {
            return Err(format!(
                "its arc has the radius \"{}\"; above 0 and up to {RADIUS_LIMIT_M} m are read",
                clean::name(&radius.text)
            ));
        }
        let made = |places: Vec<LonLat>| self.count(places.len()).map(|()| places);
        if whole {
            return made(geodesic::arc(centre, radius_m, 0.0, 360.0));
        }
        let angle = |name: &str| -> Result<f64, String> {
            let node = node
                .child(Space::Gml, name)
                .ok_or_else(|| format!("its arc has no {name}"))?;
            let unit = node.attribute(Space::None, "uom").unwrap_or("deg");
            let value = units::number(node)?;
            let deg = match unit.to_ascii_lowercase().as_str() {
                "deg" | "degree" | "degrees" => value,
                "rad" => value.to_degrees(),
                other => {
                    return Err(format!(
                        "its {name} has the unit \"{}\"; deg and rad are read",
                        clean::name(other)
                    ));
                }
            };
            if deg.abs() > 720.0 {
                return Err(format!("its {name} {deg} is beyond two turns"));
            }
            Ok(deg)
        };
        let (start, end) = (angle("startAngle")?, angle("endAngle")?);
        let lat_first = crs::of(node, around)?.is_none_or(|c| c.lat_first);
        let azimuth = |deg: f64| if lat_first { deg } else { 90.0 - deg };
        made(geodesic::arc(centre, radius_m, azimuth(start), azimuth(end)))
    }
}

/// Whether an element is a point.
pub(super) fn is_point(node: &Node) -> bool {
    matches!(node.name.as_str(), "Point" | "ElevatedPoint") && matches!(node.space, Space::Aixm | Space::Gml)
}

/// The place of a Point or ElevatedPoint.
pub(super) fn point_of(point: &Node, around: Option<Crs>) -> Result<LonLat, String> {
    let around = crs::of(point, around)?;
    let pos = point.child(Space::Gml, "pos").ok_or("its Point has no pos")?;
    match crs::positions(&pos.text, crs::of(pos, around)?)?.as_slice() {
        [one] => Ok(*one),
        list => Err(format!("its Point has {} positions", list.len())),
    }
}

fn by_reference(node: &Node, what: &str) -> String {
    match node.href() {
        Some(href) => format!(
            "its {what} is given by reference (\"{}\"), which is not read",
            clean::name(&uuid(href).unwrap_or_else(|| href.to_string()))
        ),
        None => format!("has no {what}"),
    }
}

/// Puts a part at the end of a line.
fn join(places: &mut Vec<LonLat>, part: Vec<LonLat>, doubts: &mut Doubts) -> Result<(), String> {
    if let (Some(last), Some(first)) = (places.last().copied(), part.first().copied()) {
        let gap_m = geodesic::distance_m(last, first);
        if gap_m > GAP_M {
            doubts.push(format!(
                "two pieces of its line are {gap_m:.2} m apart; joined straight"
            ));
            geodesic::between(last, first, places)?;
        } else {
            places.pop();
        }
    }
    places.extend(part);
    Ok(())
}
