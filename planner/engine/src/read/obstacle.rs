//! Buildings, fences, trees, poles: everything fixed that a part of an aeroplane can meet.

use super::geometry::Part;
use super::project;
use super::properties::{CROWN, HEIGHT, MIN_HEIGHT, PARKED_LENGTH, PARKED_SPAN};
use super::working::{Desk, Item};
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
/// Wing span of a parked aeroplane given as a point when none is tagged, metres. Ours: a light four-seater and a little.
pub const PARKED_SPAN_M: f64 = 12.0;

/// The obstacles of a feature.
pub(super) fn obstacles(desk: &mut Desk, item: &Item<'_>, kind: ObstacleKind, list: &mut Vec<Obstacle>) {
    let top_m = desk.length(item, &HEIGHT);
    let mut bottom_m = desk.length(item, &MIN_HEIGHT).unwrap_or(0.0);
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
    let across_m = match kind {
        ObstacleKind::Tree => desk.length(item, &CROWN),
        // A point is its middle: the circle holds it whichever way it stands.
        ObstacleKind::ParkedAeroplane => {
            let (span_m, length_m) = (desk.length(item, &PARKED_SPAN), desk.length(item, &PARKED_LENGTH));
            span_m.map(|s| s.max(length_m.unwrap_or(s)))
        }
        _ => None,
    };
    for (i, part) in item.parts.iter().enumerate() {
        let shapes = match shapes(desk, part, kind, across_m) {
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
            let radius_assumed = matches!(shape, Shape::Disc { .. }) && across_m.is_none();
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

fn shapes(desk: &Desk, part: &Part, kind: ObstacleKind, across_m: Option<f64>) -> Option<Vec<Shape>> {
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
        K::Building | K::Hangar | K::Terminal => area().map(|a| vec![a]),
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
        K::Tree | K::Pole | K::Mast | K::Windsock | K::ParkedAeroplane => {
            let radius_m = match kind {
                K::Tree => across_m.unwrap_or(CROWN_DIAMETER_M) / 2.0,
                K::ParkedAeroplane => across_m.unwrap_or(PARKED_SPAN_M) / 2.0,
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

pub(super) fn word(kind: ObstacleKind) -> &'static str {
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
