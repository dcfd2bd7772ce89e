//! Names of what is on the field: runways, lanes, holding positions, areas, stands, buildings, aprons.

use super::labels::{Labels, Name};
use super::sheet::{Sheet, Spot};
use super::view::View;
use crate::clean;
use toeline_model::Airfield;
use toeline_model::airfield::NamedArea;
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

/// Writes the names, the ones a pilot needs first. `told` is the engine-check area whose name a stop already bears.
pub(crate) fn draw(sheet: &mut Sheet, view: &View, field: &Airfield, told: Option<&str>, labels: &mut Labels) {
    for runway in field.runways.iter().filter(|r| view.shows(&r.line)) {
        let said: Vec<&str> = runway.designators.iter().flatten().map(String::as_str).collect();
        let text = clean::name(&format!("RWY {}", said.join("/")));
        let name = Name {
            bold: true,
            plate: "#fff",
            ..plain(&text, 3.2)
        };
        let spots: Vec<Spot> = view.along(&runway.line, 12.0).iter().map(|(s, _)| *s).collect();
        labels.on(sheet, &spots, &name);
    }
    for lane in field
        .lanes
        .iter()
        .filter(|l| !l.letters.is_empty() && view.shows(&l.line))
    {
        let text = clean::name(&lane.letters.join("/"));
        let name = Name {
            bold: true,
            plate: "#f4f2ea",
            ..plain(&text, 2.7)
        };
        let beside = lane.width_m.unwrap_or(4.0) * view.scale / 2.0 + 2.4;
        let mut places = view.along(&lane.line, 6.0);
        // The middle of what is seen first.
        let middle = places.len() / 2;
        places.rotate_left(middle);
        let spots = places.iter().flat_map(|((x, y), (dx, dy))| {
            [
                (x - dy * beside, y + dx * beside),
                (x + dy * beside, y - dx * beside),
                (*x, *y),
            ]
        });
        labels.on(sheet, &spots.collect::<Vec<_>>(), &name);
    }
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
