//! Aprons, engine-check areas, hot spots, closed areas and helipads.

use super::geometry::Part;
use super::lifecycle::{Shut, shut};
use super::project;
use super::properties::WIDTH;
use super::working::{Desk, Item};
use crate::notice::NoticeKind::{Doubt, LeftOut};
use toeline_model::airfield::{Airfield, Closed, Closure, NamedArea, Surface};
use toeline_model::frame::xy;
use toeline_model::{LonLat, Xy};

/// Width across a helipad drawn as a point, metres. Ours: about the rotor of a light helicopter and half as much again.
pub const HELIPAD_WIDTH_M: f64 = 20.0;
/// Corners of the ring around a helipad drawn as a point.
const CORNERS: usize = 24;

/// The rings of a part that encloses something: outer ring and holes. A closed line counts as the area it encloses.
pub(super) fn rings(part: &Part) -> Option<(Vec<LonLat>, Vec<Vec<LonLat>>)> {
    match part {
        Part::Area { outer, holes } => Some((outer.clone(), holes.clone())),
        other => other.as_ring().map(|ring| (ring, Vec::new())),
    }
}

/// A part as an area of a feature; `None` when it encloses nothing.
pub(super) fn named(desk: &mut Desk, item: &Item<'_>, i: usize) -> Option<NamedArea> {
    let (outer, holes) = rings(&item.parts[i])?;
    Some(NamedArea {
        id: item.part_id(i),
        name: item.tags.called(),
        note: item.tags.text("description"),
        outer: project::ring(&desk.plane, &outer),
        holes: holes.iter().map(|h| project::ring(&desk.plane, h)).collect(),
        surface: desk.surface(item),
    })
}

/// The areas of a feature; `what` with its article. One that is closed closes what lies in it too.
pub(super) fn areas(
    desk: &mut Desk,
    item: &Item<'_>,
    what: &str,
    list: &mut Vec<NamedArea>,
    closures: &mut Vec<Closure>,
) {
    let shut = shut(desk, item);
    for i in 0..item.parts.len() {
        let Some(area) = named(desk, item, i) else {
            desk.tell(LeftOut, item, format!("{what} must be drawn as an area; left out"));
            continue;
        };
        let called = called(what, &area);
        closures.extend(shut.closure(&area.id, called, Closed::Within(area.outer.clone())));
        list.push(area);
    }
}

/// Pavement that is no apron: outlines. Water carries no wheel.
pub(super) fn pavement(desk: &mut Desk, item: &Item<'_>, field: &mut Airfield) {
    let before = field.outlines.len();
    areas(desk, item, "a pavement area", &mut field.outlines, &mut field.closures);
    let mut at = 0;
    field.outlines.retain(|o| {
        at += 1;
        at <= before || o.surface != Surface::Water
    });
}

/// "apron North", "engine-check area (way/7)".
fn called(what: &str, area: &NamedArea) -> String {
    let word = what.trim_start_matches("an ").trim_start_matches("a ");
    match &area.name {
        Some(name) => format!("{word} {name}"),
        None => format!("{word} ({})", area.id),
    }
}

/// Areas that close what lies in them. Without dates they do so for good.
pub(super) fn closed(desk: &mut Desk, item: &Item<'_>, closures: &mut Vec<Closure>) {
    let shut = match shut(desk, item) {
        Shut::Open if item.tags.raw("toeline:closed").is_some() => {
            return desk.tell(LeftOut, item, "a closed area that is marked open; left out");
        }
        Shut::Open => Shut::ForGood("closed".to_string()),
        other => other,
    };
    let shut = shut.because(item.tags.text("description"));
    for i in 0..item.parts.len() {
        match named(desk, item, i) {
            Some(area) => {
                let called = called("a closed area", &area);
                closures.extend(shut.closure(&area.id, called, Closed::Within(area.outer)));
            }
            // Left out it would be driven through: say so as loudly as a doubt can.
            None => desk.tell(
                Doubt,
                item,
                "a closed area must be drawn as an area; what it closes is not known and taken as open",
            ),
        }
    }
}

/// Helipads: areas, or circles about points.
pub(super) fn helipads(desk: &mut Desk, item: &Item<'_>, list: &mut Vec<NamedArea>) {
    let width_m = desk.length(item, &WIDTH).unwrap_or(HELIPAD_WIDTH_M);
    for (i, part) in item.parts.iter().enumerate() {
        if let Some(area) = named(desk, item, i) {
            list.push(area);
            continue;
        }
        let Part::Point(p) = part else {
            desk.tell(LeftOut, item, "a helipad must be drawn as an area or a point; left out");
            continue;
        };
        let middle = desk.plane.to_xy(*p);
        list.push(NamedArea {
            id: item.part_id(i),
            name: item.tags.called(),
            note: item.tags.text("description"),
            outer: circle(middle, width_m / 2.0),
            holes: Vec::new(),
            surface: desk.surface(item),
        });
    }
}

/// A ring that holds a circle.
fn circle(middle: Xy, radius_m: f64) -> Vec<Xy> {
    let step = core::f64::consts::TAU / CORNERS as f64;
    let out_m = radius_m / toeline_model::math::cos(step / 2.0);
    (0..CORNERS)
        .map(|k| {
            let a = step * k as f64;
            middle + xy(toeline_model::math::cos(a), toeline_model::math::sin(a)) * out_m
        })
        .collect()
}
