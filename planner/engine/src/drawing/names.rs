//! Names of what is on the field: runways, lanes, holding positions, areas, stands, buildings, aprons.

use super::labels::{Labels, Name};
use super::sheet::{Sheet, Spot};
use super::view::View;
use crate::clean;
use toeline_model::Airfield;
use toeline_model::airfield::{Lane, NamedArea};
use toeline_model::planar::{Shape, centroid};

fn plain(text: &str, size: f64) -> Name<'_> {
    Name {
        text,
        size,
        bold: false,
        fill: "#111",
        plate: "none",
        leader: false,
    }
}

/// A lane this near to the way is named before others, mm.
pub(crate) const NEAR_THE_WAY: f64 = 12.0;
/// One name again is not written nearer than this to the last, mm: a map splits a taxiway into many lines.
const AGAIN_AFTER: f64 = 40.0;

/// How lanes are named on a picture.
pub(crate) struct LaneNames<'a> {
    /// Height of the type, mm.
    pub(crate) size: f64,
    /// Colour of the box.
    pub(crate) plate: &'a str,
    /// Whether only those near the way are named.
    pub(crate) at_way: bool,
}

/// Names of the lanes, those near the way first.
pub(crate) fn lanes(sheet: &mut Sheet, view: &View, field: &Airfield, how: &LaneNames<'_>, labels: &mut Labels) {
    let seen = field
        .lanes
        .iter()
        .filter(|l| !l.letters.is_empty() && view.shows(&l.line));
    let mut list: Vec<(bool, &Lane, Vec<(Spot, Spot)>)> = seen
        .map(|lane| {
            let mut places = view.along(&lane.line, 6.0);
            // The middle of what is seen first.
            let middle = places.len() / 2;
            places.rotate_left(middle);
            let near = places.iter().any(|(s, _)| labels.near_line(*s, NEAR_THE_WAY));
            (!near, lane, places)
        })
        .filter(|(far, ..)| !(how.at_way && *far))
        .collect();
    // Stable: the order of the map within.
    list.sort_by_key(|(far, ..)| *far);
    let mut written: Vec<(String, Spot)> = Vec::new();
    for (_, lane, places) in list {
        let text = clean::name(&lane.letters.join("/"));
        let name = Name {
            bold: true,
            plate: how.plate,
            ..plain(&text, how.size)
        };
        let beside = lane.width_m.unwrap_or(4.0) * view.scale / 2.0 + how.size * 0.9;
        for ((x, y), (dx, dy)) in places {
            let near = |(t, (a, b)): &(String, Spot)| *t == text && (a - x).hypot(b - y) < AGAIN_AFTER;
            if written.iter().any(near) {
                continue;
            }
            let spots = [
                (x - dy * beside, y + dx * beside),
                (x + dy * beside, y - dx * beside),
                (x, y),
            ];
            if labels.on(sheet, &spots, &name) {
                written.push((text, (x, y)));
                break;
            }
        }
    }
}

/// Names of the runways, on them.
pub(crate) fn runways(sheet: &mut Sheet, view: &View, field: &Airfield, size: f64, labels: &mut Labels) {
    for runway in field.runways.iter().filter(|r| view.shows(&r.line)) {
        let said: Vec<&str> = runway.designators.iter().flatten().map(String::as_str).collect();
        let text = clean::name(&format!("RWY {}", said.join("/")));
        let name = Name {
            bold: true,
            plate: "#fff",
            ..plain(&text, size)
        };
        let spots: Vec<Spot> = view.along(&runway.line, 12.0).iter().map(|(s, _)| *s).collect();
        labels.on(sheet, &spots, &name);
    }
}

/// Writes the names, the ones a pilot needs first. `told` is the engine-check area whose name a stop already bears.
pub(crate) fn draw(sheet: &mut Sheet, view: &View, field: &Airfield, told: Option<&str>, labels: &mut Labels) {
    runways(sheet, view, field, 3.2, labels);
    let how = LaneNames {
        size: 2.7,
        plate: "#f4f2ea",
        at_way: false,
    };
    lanes(sheet, view, field, &how, labels);
    for hold in &field.holding_positions {
        if let Some(text) = hold.name.as_deref().map(clean::name)
            && !labels.is_told(view.spot(hold.at))
        {
            labels.around(
                sheet,
                view.spot(hold.at),
                &Name {
                    bold: true,
                    ..plain(&text, 2.3)
                },
            );
        }
    }
    for (list, what) in [
        (&field.check_areas, "engine check"),
        (&field.hot_spots, "hot spot"),
        (&field.helipads, "helipad"),
    ] {
        let untold = |a: &&NamedArea| what != "engine check" || told.is_none() || a.name.as_deref() != told;
        for a in list.iter().filter(|a| view.shows(&a.outer)).filter(untold) {
            let text = clean::name(&format!("{what} {}", a.name.as_deref().unwrap_or("")));
            let (spot, name) = (
                view.spot(centroid(&a.outer)),
                Name {
                    leader: true,
                    ..plain(&text, 2.4)
                },
            );
            let _ = labels.on(sheet, &[spot], &name) || labels.around(sheet, spot, &name);
        }
    }
    for stand in field.stands.iter().filter(|s| view.shows(&s.line)) {
        if let (Some(text), Some(at)) = (stand.name.as_deref().map(clean::name), stand.line.last())
            && !stand.line.iter().any(|p| labels.is_told(view.spot(*p)))
        {
            labels.around(sheet, view.spot(*at), &plain(&text, 2.2));
        }
    }
    for o in &field.obstacles {
        if let (Some(text), Shape::Area { outer, .. }) = (o.name.as_deref().map(clean::name), &o.shape)
            && view.shows(outer)
        {
            let spot = view.spot(centroid(outer));
            let name = plain(&text, 2.3);
            let _ = labels.on(sheet, &[spot], &name) || labels.around(sheet, spot, &name);
        }
    }
    for apron in field.aprons.iter().filter(|a| view.shows(&a.outer)) {
        if let Some(text) = apron.name.as_deref().map(clean::name) {
            labels.on(
                sheet,
                &[view.spot(centroid(&apron.outer))],
                &Name {
                    fill: "#555",
                    ..plain(&text, 2.6)
                },
            );
        }
    }
}
