//! Buildings, fences, trees, poles: everything fixed that a part of an aeroplane can meet.

use super::geometry::Part;
use super::project;
use super::working::{CROWN_M, Desk, HEIGHT_M, Item};
use crate::notice::NoticeKind::{Doubt, LeftOut};
use toeline_model::airfield::{Obstacle, ObstacleKind};
use toeline_model::planar::Shape;

/// Diameter of a tree's crown when none is tagged, metres. Ours.
pub const CROWN_DIAMETER_M: f64 = 5.0;
/// Radius of a pole or lamp post, metres. Ours.
pub const POLE_RADIUS_M: f64 = 0.15;
/// Radius of a mast or tower given as a point, metres. Ours.
pub const MAST_RADIUS_M: f64 = 0.5;
/// Radius of a windsock's pole with its ring, metres. Ours.
pub const WINDSOCK_RADIUS_M: f64 = 0.3;

/// The obstacles of a feature.
pub(super) fn obstacles(desk: &mut Desk, item: &Item, kind: ObstacleKind, list: &mut Vec<Obstacle>) {
    let top_m = desk.length(item, "height", &HEIGHT_M);
    let mut bottom_m = desk.length(item, "min_height", &HEIGHT_M).unwrap_or(0.0);
    if let Some(top) = top_m
        && bottom_m >= top
    {
        desk.tell(
            Doubt,
            item,
            format!("min_height {bottom_m} m is not below height {top} m; taken to reach the ground"),
        );
        bottom_m = 0.0;
    }
    let crown_m = if kind == ObstacleKind::Tree {
        desk.length(item, "diameter_crown", &CROWN_M)
    } else {
        None
    };
    for (i, part) in item.parts.iter().enumerate() {
        let shapes = match shapes(desk, part, kind, crown_m) {
            Some(shapes) => shapes,
            None => {
                desk.tell(
                    LeftOut,
                    item,
                    format!("a {} cannot be drawn as a {}; left out", word(kind), drawn(part)),
                );
                continue;
            }
        };
        for shape in shapes {
            let radius_assumed = matches!(shape, Shape::Disc { .. }) && crown_m.is_none();
            list.push(Obstacle {
                id: item.part_id(i),
                kind,
                name: item.tags.called_thing(),
                shape,
                bottom_m,
                top_m,
                radius_assumed,
            });
        }
    }
}

fn shapes(desk: &Desk, part: &Part, kind: ObstacleKind, crown_m: Option<f64>) -> Option<Vec<Shape>> {
    use ObstacleKind as K;
    let ring = |r: &[toeline_model::LonLat]| project::ring(&desk.plane, r);
    let area = || match part {
        Part::Area { outer, holes } => Some(Shape::Area {
            outer: ring(outer),
            holes: holes.iter().map(|h| ring(h)).collect(),
        }),
        other => other.as_ring().map(|r| Shape::Area {
            outer: ring(&r),
            holes: Vec::new(),
        }),
    };
    match kind {
        K::Building | K::Hangar | K::Terminal | K::ParkedAeroplane => area().map(|a| vec![a]),
        K::Fence | K::Wall | K::Hedge | K::TreeRow => match part {
            Part::Point(_) => None,
            Part::Line(places) => Some(vec![Shape::Line {
                points: project::line(&desk.plane, places),
            }]),
            // A fence around a field is its ring; a hedge drawn as an area is solid.
            Part::Area { .. } if kind == K::Hedge => area().map(|a| vec![a]),
            Part::Area { outer, holes } => Some(
                core::iter::once(outer)
                    .chain(holes)
                    .map(|r| {
                        let mut points = ring(r);
                        points.extend(points.first().copied());
                        Shape::Line { points }
                    })
                    .collect(),
            ),
        },
        K::Tree | K::Pole | K::Mast | K::Windsock => {
            let radius_m = match kind {
                K::Tree => crown_m.unwrap_or(CROWN_DIAMETER_M) / 2.0,
                K::Pole => POLE_RADIUS_M,
                K::Windsock => WINDSOCK_RADIUS_M,
                _ => MAST_RADIUS_M,
            };
            match part {
                Part::Point(p) => Some(vec![Shape::Disc {
                    at: desk.plane.to_xy(*p),
                    radius_m,
                }]),
                _ => area().map(|a| vec![a]),
            }
        }
    }
}

fn word(kind: ObstacleKind) -> &'static str {
    use ObstacleKind as K;
    match kind {
        K::Building => "building",
        K::Hangar => "hangar",
        K::Terminal => "terminal",
        K::Fence => "fence",
        K::Wall => "wall",
        K::Tree => "tree",
        K::TreeRow => "tree row",
        K::Hedge => "hedge",
        K::Pole => "pole",
        K::Mast => "mast or tower",
        K::Windsock => "windsock",
        K::ParkedAeroplane => "parked aeroplane",
    }
}

fn drawn(part: &Part) -> &'static str {
    match part {
        Part::Point(_) => "point",
        Part::Line(_) => "line",
        Part::Area { .. } => "area",
    }
}
