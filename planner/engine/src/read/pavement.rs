//! Taxiways, taxilanes, stands and holding positions.

use super::geometry::Part;
use super::project;
use super::working::{DEGREES, Desk, Item, SPAN_M, WIDTH_M};
use crate::notice::NoticeKind::{Doubt, LeftOut};
use toeline_model::airfield::{HoldingKind, HoldingPosition, Lane, LaneKind, Nose, Stand, Way};
use toeline_model::planar::{centroid, line_length};
use toeline_model::{Bearing, Xy};

/// Whether a line part is the outline of an area, which is no centreline.
pub(super) fn outline(item: &Item, part: &Part) -> bool {
    matches!(part, Part::Area { .. }) || (item.tags.says("area") && part.as_ring().is_some())
}

/// The centrelines of a taxiway or taxilane.
pub(super) fn lanes(desk: &mut Desk, item: &Item, kind: LaneKind, list: &mut Vec<Lane>) {
    let what = match kind {
        LaneKind::Taxiway => "taxiway",
        LaneKind::Taxilane => "taxilane",
    };
    if item.parts.iter().all(|p| outline(item, p)) {
        return desk.tell(
            LeftOut,
            item,
            format!("a {what} drawn as an area has no centreline; left out"),
        );
    }
    let width_m = desk.length(item, "width", &WIDTH_M);
    let surface = desk.surface(item);
    let way = item.tags.way().unwrap_or_else(|value| {
        desk.tell(
            Doubt,
            item,
            format!("oneway=\"{value}\" is not known (yes, no or -1); taken as both ways"),
        );
        Way::Both
    });
    let span_limit_m = desk.length(item, "maxspan", &SPAN_M);
    let speed_limit_mps = desk.speed(item, "maxspeed");
    for (i, part) in item.parts.iter().enumerate() {
        let Part::Line(places) = part else {
            desk.tell(
                LeftOut,
                item,
                format!("part {} of this {what} is not a line; left out", i + 1),
            );
            continue;
        };
        list.push(Lane {
            id: item.part_id(i),
            kind,
            letters: item.tags.letters(),
            line: project::line(&desk.plane, places),
            width_m,
            surface,
            way,
            closed: item.tags.closed(),
            span_limit_m,
            speed_limit_mps,
            level: item.tags.level(),
        });
    }
}

/// Stands.
pub(super) fn stands(desk: &mut Desk, item: &Item, list: &mut Vec<Stand>) {
    let heading = desk.angle(item, "direction", &DEGREES).map(Bearing::from_deg);
    let nose = match item.tags.word("toeline:nose").as_str() {
        "" => None,
        "out" => Some(Nose::Out),
        "in" => Some(Nose::In),
        other => {
            desk.tell(
                Doubt,
                item,
                format!("toeline:nose=\"{other}\" is not known (out or in); left out"),
            );
            None
        }
    };
    let span_limit_m = desk.length(item, "maxspan", &SPAN_M);
    let width_m = desk.length(item, "width", &WIDTH_M);
    for (i, part) in item.parts.iter().enumerate() {
        let line = match part {
            Part::Point(p) => vec![desk.plane.to_xy(*p)],
            Part::Line(places) if part.as_ring().is_none() => project::line(&desk.plane, places),
            Part::Line(places) => vec![middle_of(desk, item, places)],
            Part::Area { outer, .. } => vec![middle_of(desk, item, outer)],
        };
        list.push(Stand {
            id: item.part_id(i),
            name: item.tags.called(),
            line,
            heading,
            nose,
            span_limit_m,
            width_m,
            closed: item.tags.closed(),
        });
    }
}

fn middle_of(desk: &mut Desk, item: &Item, ring: &[toeline_model::LonLat]) -> Xy {
    let middle = centroid(&project::ring(&desk.plane, ring));
    let text = "a stand drawn as an area; its middle is taken as the place where the nose wheel stops";
    desk.tell_at(Doubt, item, Some(middle), text);
    middle
}

/// Holding positions. One drawn as the painted bar stands at the middle of the bar.
pub(super) fn holds(desk: &mut Desk, item: &Item, list: &mut Vec<HoldingPosition>) {
    let kind = match item.tags.word("holding_position:type").as_str() {
        "" => HoldingKind::Unknown,
        "runway" | "ils" => HoldingKind::Runway,
        "intermediate" => HoldingKind::Intermediate,
        // Hold short after landing: painted on a runway for arriving traffic; geometry decides what it is to us.
        "lahso" => HoldingKind::Unknown,
        other => {
            let text = format!(
                "holding_position:type=\"{other}\" is not known (runway, intermediate or ILS); geometry decides"
            );
            desk.tell(Doubt, item, text);
            HoldingKind::Unknown
        }
    };
    for (i, part) in item.parts.iter().enumerate() {
        let at = match part {
            Part::Point(p) => desk.plane.to_xy(*p),
            Part::Line(places) => half_way(&project::line(&desk.plane, places)),
            Part::Area { .. } => {
                desk.tell(
                    LeftOut,
                    item,
                    "a holding position drawn as an area has no line to stop at; left out",
                );
                continue;
            }
        };
        list.push(HoldingPosition {
            id: item.part_id(i),
            name: item.tags.called(),
            kind,
            at,
        });
    }
}

fn half_way(line: &[Xy]) -> Xy {
    let mut left_m = line_length(line) / 2.0;
    for w in line.windows(2) {
        let d = w[0].distance(w[1]);
        if d >= left_m && d > 0.0 {
            return w[0].lerp(w[1], left_m / d);
        }
        left_m -= d;
    }
    line[0]
}
