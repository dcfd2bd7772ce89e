//! Taxiways, taxilanes, stands and holding positions.

use super::area;
use super::geometry::Part;
use super::lifecycle::shut;
use super::outline::Outline;
use super::project;
use super::properties::{FACING, HEADING, HOLD_KIND, INCLINE, NOSE, ONEWAY, SPAN, SPEED, WIDTH};
use super::working::{Desk, Item};
use crate::notice::NoticeKind::{Doubt, LeftOut};
use std::collections::hash_map::Entry;
use std::collections::{BTreeMap, HashMap};
use toeline_model::airfield::{
    Airfield, Closed, Facing, HoldingKind, HoldingPosition, Lane, LaneKind, NamedArea, Nose, Stand, Way,
};
use toeline_model::planar::{centroid, line_length};
use toeline_model::{Bearing, Xy};

/// Whether a line part is the outline of an area, which is no centreline.
pub(super) fn outline(item: &Item<'_>, part: &Part) -> bool {
    matches!(part, Part::Area { .. }) || (item.tags.says("area") && part.as_ring().is_some())
}

/// The centrelines of a taxiway or taxilane, and its outlines.
pub(super) fn lanes<'a>(
    desk: &mut Desk,
    item: &'a Item<'a>,
    kind: LaneKind,
    field: &mut Airfield,
    outlines: &mut Vec<Outline<'a>>,
) {
    let what = match kind {
        LaneKind::Taxiway => "taxiway",
        LaneKind::Taxilane => "taxilane",
    };
    let width_m = desk.length(item, &WIDTH);
    let surface = desk.surface(item);
    let way = item.tags.way().unwrap_or_else(|value| {
        let text = format!(
            "{}=\"{value}\" is not known ({}); taken as both ways",
            ONEWAY.key,
            ONEWAY.written()
        );
        desk.tell(Doubt, item, text);
        Way::Both
    });
    let span_limit_m = desk.length(item, &SPAN);
    let speed_limit_mps = desk.speed(item, &SPEED);
    let slope_percent = desk.percent(item, &INCLINE);
    let letters = item.tags.letters();
    if let Some(odd) = letters.iter().find(|l| l.contains('/') && super::runway::is_pair(l)) {
        desk.tell(
            Doubt,
            item,
            format!("ref=\"{odd}\" on a {what} reads like a runway's designators; kept as the letters of the {what}"),
        );
    }
    let shut = shut(desk, item);
    for (i, part) in item.parts.iter().enumerate() {
        if outline(item, part) {
            if let Some(area) = area::named(desk, item, i) {
                outlines.push(Outline {
                    item,
                    area,
                    runway: false,
                    width_m,
                    shut: shut.clone(),
                    level: item.tags.level(),
                });
            }
            continue;
        }
        let Part::Line(places) = part else {
            desk.tell(
                LeftOut,
                item,
                format!("part {} of this {what} is not a line; left out", i + 1),
            );
            continue;
        };
        let lane = Lane {
            id: item.part_id(i),
            kind,
            letters: letters.clone(),
            line: project::line(&desk.plane, places),
            width_m,
            surface,
            way,
            closed: shut.for_good(),
            span_limit_m,
            speed_limit_mps,
            slope_percent,
            level: item.tags.level(),
        };
        let called = match letters.as_slice() {
            [] => format!("unnamed {what} ({})", lane.id),
            list => format!("{what} {}", list.join("/")),
        };
        field.closures.extend(shut.dated(&lane.id, called));
        field.lanes.push(lane);
    }
}

/// Stands.
pub(super) fn stands(desk: &mut Desk, item: &Item<'_>, field: &mut Airfield) {
    let heading = desk.angle(item, &HEADING).map(Bearing::from_deg);
    let nose = match item.tags.word(NOSE.key).as_ref() {
        "" => None,
        "out" => Some(Nose::Out),
        "in" => Some(Nose::In),
        other => {
            desk.tell(
                Doubt,
                item,
                format!("{}=\"{other}\" is not known ({}); left out", NOSE.key, NOSE.written()),
            );
            None
        }
    };
    let span_limit_m = desk.length(item, &SPAN);
    let width_m = desk.length(item, &WIDTH);
    let shut = shut(desk, item);
    for (i, part) in item.parts.iter().enumerate() {
        let line = match part {
            Part::Point(p) => vec![desk.plane.to_xy(*p)],
            Part::Line(places) if part.as_ring().is_none() => project::line(&desk.plane, places),
            Part::Line(_) | Part::Area { .. } => {
                let Some(area) = area::named(desk, item, i) else {
                    continue;
                };
                let middle = centroid(&area.outer);
                let text = "a stand drawn as an area; its middle is taken as the place where the nose wheel stops";
                desk.tell_at(Doubt, item, Some(middle), text);
                if shut.for_good().is_none() {
                    field.outlines.push(NamedArea { name: None, ..area });
                }
                vec![middle]
            }
        };
        let stand = Stand {
            id: item.part_id(i),
            name: item.tags.called(),
            line,
            heading,
            nose,
            span_limit_m,
            width_m,
            closed: shut.for_good(),
        };
        let called = stand
            .name
            .as_ref()
            .map_or_else(|| format!("unnamed stand ({})", stand.id), |n| format!("stand {n}"));
        field.closures.extend(shut.dated(&stand.id, called));
        field.stands.push(stand);
    }
}

/// Doubts about names that several stands bear: such a name alone picks none of them.
pub(super) fn shared_names(desk: &mut Desk, items: &[&Item<'_>], stands: &[Stand]) {
    // Looked up, never walked through: most names are borne once.
    let mut first: HashMap<String, &Stand> = HashMap::with_capacity(stands.len());
    let mut by_name: BTreeMap<String, Vec<&Stand>> = BTreeMap::new();
    for stand in stands {
        let Some(name) = &stand.name else { continue };
        match first.entry(name.to_lowercase()) {
            Entry::Vacant(place) => {
                place.insert(stand);
            }
            Entry::Occupied(place) => by_name
                .entry(place.key().clone())
                .or_insert_with(|| vec![*place.get()])
                .push(stand),
        }
    }
    for list in by_name.values() {
        let first = list[0];
        let Some(item) = items.iter().find(|i| first.id.starts_with(i.id.as_ref())) else {
            continue;
        };
        let ids: Vec<&str> = list.iter().map(|s| s.id.as_str()).collect();
        let text = format!(
            "{} stands are called \"{}\" ({}); that name alone picks none, name one by its feature",
            list.len(),
            first.name.as_deref().unwrap_or_default(),
            ids.join(", ")
        );
        desk.tell_at(Doubt, item, first.line.first().copied(), text);
    }
}

/// Holding positions. One drawn as the painted bar stands at the middle of the bar.
pub(super) fn holds(desk: &mut Desk, item: &Item<'_>, field: &mut Airfield) {
    let kind = match item.tags.word(HOLD_KIND.key).as_ref() {
        "" => HoldingKind::Unknown,
        "runway" | "ils" => HoldingKind::Runway,
        "intermediate" => HoldingKind::Intermediate,
        // Hold short after landing: painted on a runway for arriving traffic; geometry decides what it is to us.
        "lahso" => HoldingKind::Unknown,
        other => {
            let text = format!(
                "{}=\"{other}\" is not known ({}); geometry decides",
                HOLD_KIND.key,
                HOLD_KIND.written()
            );
            desk.tell(Doubt, item, text);
            HoldingKind::Unknown
        }
    };
    let facing = match item.tags.word(FACING.key).as_ref() {
        "" | "both" => None,
        "forward" => Some(Facing::Forward),
        "backward" => Some(Facing::Backward),
        _ => desk
            .angle(item, &FACING)
            .map(|deg| Facing::Toward(Bearing::from_deg(deg))),
    };
    let shut = shut(desk, item);
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
        let hold = HoldingPosition {
            id: item.part_id(i),
            name: item.tags.called(),
            kind,
            at,
            facing,
        };
        let called = format!("holding position {}", hold.name.as_ref().unwrap_or(&hold.id));
        field.closures.extend(shut.closure(&hold.id, called, Closed::Itself));
        field.holding_positions.push(hold);
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
