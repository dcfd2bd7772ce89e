//! The airfield under the way: pavements, buildings, fences, trees, holding positions, areas.

use super::sheet::{Ink, Sheet, Spot, area, stroke, stroke_with};
use super::view::View;
use toeline_model::Airfield;
use toeline_model::airfield::{Closed, ObstacleKind, Runway, Surface};
use toeline_model::frame::Xy;
use toeline_model::planar::{Shape, closest_on_line};

/// Width drawn for a runway whose width is not mapped, metres; only drawn, never reckoned with.
const RUNWAY_DRAWN_M: f64 = 18.0;

fn pavement(surface: Surface) -> (&'static str, &'static str) {
    match surface {
        Surface::Grass => ("#e3e8d8", "#9aa587"),
        Surface::Loose => ("#e9e1d2", "#ad9f86"),
        _ => ("#d9d7d0", "#9b988e"),
    }
}

fn runway_fill(surface: Surface) -> &'static str {
    match surface {
        Surface::Grass => "#cfd8bd",
        Surface::Loose => "#d8cbb2",
        _ => "#6f6d72",
    }
}

/// Every place of the field that a picture of all of it must show.
pub(crate) fn places(field: &Airfield) -> Vec<Xy> {
    let runways = field.runways.iter().flat_map(|r| &r.line);
    let lanes = field.lanes.iter().flat_map(|l| &l.line);
    let areas = field.aprons.iter().chain(&field.check_areas).flat_map(|a| &a.outer);
    let stands = field.stands.iter().flat_map(|s| &s.line);
    runways.chain(lanes).chain(areas).chain(stands).copied().collect()
}

/// Draws the ground and what stands on it.
pub(crate) fn draw(sheet: &mut Sheet, view: &View, field: &Airfield) {
    for apron in field.aprons.iter().filter(|a| view.shows(&a.outer)) {
        let (fill, edge) = pavement(apron.surface);
        let lighter = if fill == "#d9d7d0" { "#eceae4" } else { fill };
        sheet.rings(&[view.spots(&apron.outer)], &area(lighter, edge, 0.15));
    }
    // Edges of all lanes first and their middles after, so that junctions are open.
    for inner in [false, true] {
        for lane in field.lanes.iter().filter(|l| l.closed.is_none() && view.shows(&l.line)) {
            let Some(width) = lane.width_m else { continue };
            let (fill, edge) = pavement(lane.surface);
            let round = "stroke-linejoin=\"round\" stroke-linecap=\"round\"";
            let width = width * view.scale;
            let ink = if inner {
                stroke_with(fill, width, round)
            } else {
                stroke_with(edge, width + 0.3, round)
            };
            sheet.line(&view.spots(&lane.line), &ink);
        }
    }
    for runway in field.runways.iter().filter(|r| view.shows(&r.line)) {
        draw_runway(sheet, view, runway);
    }
    for lane in field.lanes.iter().filter(|l| view.shows(&l.line)) {
        if lane.closed.is_some() {
            sheet.line(
                &view.spots(&lane.line),
                &stroke_with("#666", 0.3, "stroke-dasharray=\"1.2 1\""),
            );
            for ((x, y), _) in view.along(&lane.line, 7.0) {
                cross(sheet, (x, y), 1.3);
            }
        } else {
            sheet.line(&view.spots(&lane.line), &stroke("#6b685f", 0.2));
        }
    }
    for (list, dash) in [
        (&field.check_areas, "2.4 0.8 0.5 0.8"),
        (&field.hot_spots, "0.9 0.7"),
        (&field.helipads, "0.3 0.6"),
    ] {
        for a in list.iter().filter(|a| view.shows(&a.outer)) {
            let more = format!("stroke-dasharray=\"{dash}\" fill-opacity=\"0.5\"");
            let ink = Ink {
                fill: "#fff",
                stroke: "#222",
                width: 0.4,
                more: &more,
            };
            sheet.rings(&[view.spots(&a.outer)], &ink);
        }
    }
    for c in &field.closures {
        if let Closed::Stretch(line) = &c.closed
            && view.shows(line)
        {
            sheet.line(
                &view.spots(line),
                &stroke_with("#666", 0.3, "stroke-dasharray=\"1.2 1\""),
            );
            for ((x, y), _) in view.along(line, 7.0) {
                cross(sheet, (x, y), 1.3);
            }
        }
        let Some(ring) = c.closed.ring() else { continue };
        if view.shows(ring) {
            let ink = Ink {
                fill: "none",
                stroke: "#666",
                width: 0.4,
                more: "stroke-dasharray=\"1.2 1\"",
            };
            sheet.rings(&[view.spots(ring)], &ink);
            for ((x, y), _) in view.along(ring, 7.0) {
                cross(sheet, (x, y), 1.3);
            }
        }
    }
    for stand in field.stands.iter().filter(|s| view.shows(&s.line)) {
        sheet.line(
            &view.spots(&stand.line),
            &stroke_with("#6b685f", 0.2, "stroke-dasharray=\"0.8 0.5\""),
        );
    }
    obstacles(sheet, view, field);
    for hold in &field.holding_positions {
        holding_line(sheet, view, field, hold.at);
    }
}

fn draw_runway(sheet: &mut Sheet, view: &View, runway: &Runway) {
    let width = runway.width_m.unwrap_or(RUNWAY_DRAWN_M) * view.scale;
    let spots = view.spots(&runway.line);
    sheet.line(&spots, &stroke("#2f2e31", width + 0.4));
    sheet.line(&spots, &stroke(runway_fill(runway.surface), width));
    let dash = if matches!(runway.surface, Surface::Grass | Surface::Loose) {
        "#555"
    } else {
        "#fff"
    };
    sheet.line(
        &spots,
        &stroke_with(dash, (width * 0.07).clamp(0.15, 0.6), "stroke-dasharray=\"4 3\""),
    );
    if runway.closed.is_some() {
        for (spot, _) in view.along(&runway.line, 18.0) {
            cross(sheet, spot, 3.0);
        }
    }
}

fn cross(sheet: &mut Sheet, (x, y): Spot, r: f64) {
    for (width, colour) in [(0.9, "#fff"), (0.45, "#111")] {
        sheet.line(&[(x - r, y - r), (x + r, y + r)], &stroke(colour, width));
        sheet.line(&[(x - r, y + r), (x + r, y - r)], &stroke(colour, width));
    }
}

fn obstacles(sheet: &mut Sheet, view: &View, field: &Airfield) {
    for o in &field.obstacles {
        let (lo, hi) = o.shape.bounds();
        if !view.shows(&[lo, hi]) {
            continue;
        }
        match (&o.shape, o.kind) {
            (Shape::Area { outer, holes }, kind) => {
                let mut rings = vec![view.spots(outer)];
                rings.extend(holes.iter().map(|h| view.spots(h)));
                let ink = match kind {
                    ObstacleKind::Hangar => area("#8c867c", "#2c2925", 0.3),
                    ObstacleKind::ParkedAeroplane => area("#fff", "#2c2925", 0.3),
                    ObstacleKind::Tree | ObstacleKind::TreeRow | ObstacleKind::Hedge => {
                        area("#c3ccb2", "#66745a", 0.25)
                    }
                    _ => area("#625d55", "#2c2925", 0.3),
                };
                sheet.rings(&rings, &ink);
            }
            (Shape::Line { points }, ObstacleKind::TreeRow | ObstacleKind::Hedge) => {
                let more = "stroke-dasharray=\"0.1 1.3\" stroke-linecap=\"round\"";
                sheet.line(&view.spots(points), &stroke_with("#66745a", 1.1, more));
            }
            (Shape::Line { points }, kind) => {
                let spots = view.spots(points);
                let width = if kind == ObstacleKind::Wall { 0.5 } else { 0.2 };
                sheet.line(&spots, &stroke("#222", width));
                if kind != ObstacleKind::Wall {
                    sheet.line(&spots, &stroke_with("#222", 1.0, "stroke-dasharray=\"0.25 2\""));
                }
            }
            (Shape::Disc { at, radius_m }, ObstacleKind::Tree) => {
                let spot = view.spot(*at);
                sheet.circle(
                    spot,
                    (radius_m * view.scale).max(0.7),
                    &area("#c3ccb2", "#66745a", 0.25),
                );
                sheet.circle(spot, 0.2, &area("#66745a", "none", 0.0));
            }
            (Shape::Disc { at, radius_m }, ObstacleKind::Windsock) => {
                let (x, y) = view.spot(*at);
                sheet.circle((x, y), (radius_m * view.scale).max(0.4), &area("#222", "none", 0.0));
                let sock = vec![(x, y - 0.8), (x + 3.2, y - 0.3), (x + 3.2, y + 0.3), (x, y + 0.8)];
                sheet.rings(&[sock], &area("#fff", "#222", 0.25));
            }
            (Shape::Disc { at, radius_m }, _) => {
                let r = (radius_m * view.scale).max(0.4);
                sheet.circle(view.spot(*at), r, &area("#222", "#fff", 0.2));
                sheet.circle(view.spot(*at), r + 0.5, &stroke("#222", 0.15));
            }
        }
    }
}

/// A holding line across the lane it lies on.
fn holding_line(sheet: &mut Sheet, view: &View, field: &Airfield, at: Xy) {
    let lanes = field.lanes.iter().filter(|l| view.shows(&l.line));
    let nearest = lanes
        .filter_map(|l| closest_on_line(at, &l.line).map(|(q, i, _)| (q.distance(at), l.line[i + 1] - l.line[i], l)))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let Some((_, along, lane)) = nearest else { return };
    let half = (lane.width_m.unwrap_or(8.0) * view.scale / 2.0).max(1.3);
    let (c, s) = along.direction().unit();
    let (x, y) = view.spot(at);
    for (shift, more) in [(-0.35, ""), (0.35, "stroke-dasharray=\"0.6 0.4\"")] {
        let (mx, my) = (x + c * shift, y - s * shift);
        sheet.line(
            &[(mx - s * half, my - c * half), (mx + s * half, my + c * half)],
            &stroke_with("#111", 0.35, more),
        );
    }
}
