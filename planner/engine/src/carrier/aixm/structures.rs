//! Vertical structures: buildings, masts, fences and the like.

use super::desk::{Desk, Draft, named};
use super::geodesic;
use super::store::Kind;
use super::tree::{Node, Space};
use super::units;
use crate::carrier::rings::Area;
use crate::carrier::write::Shape;
use toeline_model::LonLat;

/// Corners of the ring around a structure given as a point with a radius.
const CORNERS: usize = 32;

/// How a part is drawn.
enum Drawn {
    Point,
    Line,
    Area,
}

pub(super) fn structures(desk: &mut Desk<'_>) {
    for (id, live) in desk.each(Kind::VerticalStructure) {
        let parts: Vec<&Node> = live.node.all(Space::Aixm, "part").flat_map(|p| &p.children).collect();
        let whole_type = live.node.value(Space::Aixm, "type").unwrap_or_default();
        let radius = live.node.child(Space::Aixm, "radius").filter(|_| parts.len() == 1);
        if parts.is_empty() {
            desk.leave_out("VerticalStructure without a part");
        }
        for (k, part) in parts.iter().enumerate() {
            let sort = part.value(Space::Aixm, "type").unwrap_or(whole_type);
            if terrain(sort) {
                desk.leave_out(format!(
                    "VerticalStructurePart of the type {}, ground and no obstacle",
                    crate::clean::name(sort)
                ));
                continue;
            }
            let mut draft = Draft::of(id, live);
            if k > 0 {
                draft.id += &format!("/{}", k + 1);
            }
            draft.tag_some("name", named(part, "designator").or(named(&live.node, "name")));
            height(desk, &mut draft, part);
            let ways = [
                ("horizontalProjection_location", Drawn::Point),
                ("horizontalProjection_linearExtent", Drawn::Line),
                ("horizontalProjection_surfaceExtent", Drawn::Area),
            ];
            let given = ways
                .iter()
                .find_map(|(name, how)| Some((part.child(Space::Aixm, name)?, how)));
            let Some((node, how)) = given else {
                desk.leave_out("VerticalStructurePart without a projection on the ground");
                continue;
            };
            let mut doubts = Vec::new();
            let shape = match how {
                Drawn::Point => desk
                    .shapes
                    .point(node, live.crs)
                    .map(|p| match radius.map(units::length_m) {
                        Some(Ok(m)) if m > 0.0 && m <= geodesic::RADIUS_LIMIT_M => Shape::Areas(vec![around(p, m)]),
                        _ => Shape::Point(p),
                    }),
                Drawn::Line => desk
                    .shapes
                    .line(node, live.crs, &mut doubts)
                    .map(|l| Shape::Lines(vec![l])),
                Drawn::Area => desk.shapes.areas(node, live.crs, &mut doubts).map(Shape::Areas),
            };
            doubts.into_iter().for_each(|d| draft.doubt(d));
            let drawn = match &shape {
                Ok(Shape::Areas(_)) => Drawn::Area,
                Ok(Shape::Lines(_)) => Drawn::Line,
                _ => Drawn::Point,
            };
            let (key, value) = tag(sort, &drawn);
            draft.tag(key, value);
            desk.put(draft, live, shape);
        }
    }
}

/// Whether it is the ground itself.
fn terrain(sort: &str) -> bool {
    sort == "NATURAL_HIGHPOINT" || sort.starts_with("OTHER:TERRAIN")
}

/// What the map format calls it. What has no word there is what its shape blocks: a building, a wall or a mast.
fn tag(sort: &str, drawn: &Drawn) -> (&'static str, &'static str) {
    match (sort, drawn) {
        ("OTHER:WINDSOCK", Drawn::Point | Drawn::Area) => ("aeroway", "windsock"),
        ("TREE" | "VEGETATION", Drawn::Point | Drawn::Area) => ("natural", "tree"),
        ("TREE" | "VEGETATION", Drawn::Line) => ("natural", "tree_row"),
        ("POLE" | "SIGN" | "ELECTRICAL_EXIT_LIGHT", Drawn::Point) => ("power", "pole"),
        ("FENCE", Drawn::Line) => ("barrier", "fence"),
        (_, Drawn::Line) => ("barrier", "wall"),
        (_, Drawn::Point) => ("man_made", "mast"),
        ("ANTENNA" | "NAVAID" | "TOWER" | "POLE" | "WINDMILL" | "STACK" | "CRANE", Drawn::Area) => {
            ("man_made", "tower")
        }
        (_, Drawn::Area) => ("building", "yes"),
    }
}

/// `height` from the vertical extent; without one from the elevations of its top and of the aerodrome, with a doubt.
fn height(desk: &Desk<'_>, draft: &mut Draft, part: &Node) {
    let extent = part.child(Space::Aixm, "verticalExtent").map(units::length_m);
    match extent {
        Some(Ok(m)) if m > 0.0 => return draft.tag("height", units::shown(m)),
        Some(Err(e)) => draft.doubt(format!("{e}; left out")),
        _ => {}
    }
    let geometry = part
        .children
        .iter()
        .filter(|c| c.name.starts_with("horizontalProjection"));
    let top = geometry
        .flat_map(|g| &g.children)
        .find_map(|g| g.child(Space::Aixm, "elevation"))
        .filter(|e| !e.is_nil());
    if let (Some(Ok(top_m)), Some(ground_m)) = (top.map(units::length_m), desk.elevation_m)
        && top_m > ground_m
    {
        draft.tag("height", units::shown(top_m - ground_m));
        draft.doubt("it has no vertical extent; its height is taken as its elevation above that of the aerodrome");
    }
}

/// A ring that holds a circle.
fn around(p: LonLat, radius_m: f64) -> Area<LonLat> {
    let step_deg = 360.0 / CORNERS as f64;
    let out_m = radius_m / toeline_model::math::cos((step_deg / 2.0).to_radians());
    let outer = (0..CORNERS)
        .map(|k| geodesic::place(p, step_deg * k as f64, out_m))
        .collect();
    Area {
        outer,
        holes: Vec::new(),
    }
}
