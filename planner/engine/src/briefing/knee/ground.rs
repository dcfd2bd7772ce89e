//! The field under the way, for the knee: greys as areas, and no line that a grey print would lose.

use super::setting::{INK, THIN};
use super::{sheet, view};
use sheet::{Sheet, area, stroke, stroke_with};
use toeline_model::Airfield;
use toeline_model::airfield::{ObstacleKind, Surface};
use toeline_model::frame::Xy;
use toeline_model::planar::Shape;
use view::View;

/// Stands, trees and poles are drawn from this scale on, mm for a metre: smaller, they are specks.
const DETAIL: f64 = 0.12;

/// Draws the field; spots nearer than `apart` are one on paper, mm.
pub(super) fn draw(sheet: &mut Sheet, view: &View, field: &Airfield, apart: f64) {
    let spots = |line: &[Xy]| view.thin_spots(line, apart);
    let flat = |fill| area(fill, "none", 0.0);
    for a in field.aprons.iter().filter(|a| view.shows(&a.outer)) {
        sheet.rings(&[spots(&a.outer)], &flat("#ececec"));
    }
    for lane in field.lanes.iter().filter(|l| view.shows(&l.line)) {
        let line = spots(&lane.line);
        if lane.closed.is_some() {
            sheet.line(&line, &stroke_with("#444", 0.4, "stroke-dasharray=\"1.4 1\""));
            for ((x, y), _) in view.along(&lane.line, 9.0) {
                for s in [1.2, -1.2] {
                    sheet.line(&[(x - 1.2, y - s), (x + 1.2, y + s)], &stroke(INK, 0.5));
                }
            }
        } else if let Some(width) = lane.width_m {
            let round = "stroke-linejoin=\"round\" stroke-linecap=\"round\"";
            sheet.line(&line, &stroke_with("#cdcdcd", (width * view.scale).max(0.6), round));
        } else {
            sheet.line(&line, &stroke("#8a8a8a", 0.4));
        }
    }
    for runway in field.runways.iter().filter(|r| view.shows(&r.line)) {
        let width = (runway.width_m.unwrap_or(18.0) * view.scale).max(1.0);
        let soft = matches!(runway.surface, Surface::Grass | Surface::Loose);
        let line = view.spots(&runway.line);
        sheet.line(&line, &stroke("#333", width + 0.8));
        sheet.line(&line, &stroke(if soft { "#d8d8d8" } else { "#6a6a6a" }, width));
        let dash = if soft { "#555" } else { "#fff" };
        sheet.line(&line, &stroke_with(dash, 0.4, "stroke-dasharray=\"4 3\""));
    }
    for (list, dash) in [(&field.check_areas, "2.4 0.9 0.6 0.9"), (&field.hot_spots, "1.1 0.8")] {
        for a in list.iter().filter(|a| view.shows(&a.outer)) {
            let more = format!("stroke-dasharray=\"{dash}\"");
            let mut ring = spots(&a.outer);
            ring.extend(ring.first().copied());
            sheet.line(&ring, &stroke_with("#222", 0.45, &more));
        }
    }
    let detail = view.scale >= DETAIL;
    for stand in field.stands.iter().filter(|s| detail && view.shows(&s.line)) {
        sheet.line(
            &spots(&stand.line),
            &stroke_with("#777", THIN, "stroke-dasharray=\"0.9 0.7\""),
        );
    }
    for o in &field.obstacles {
        let (lo, hi) = o.shape.bounds();
        if !view.shows(&[lo, hi]) {
            continue;
        }
        let green = matches!(o.kind, ObstacleKind::Tree | ObstacleKind::TreeRow | ObstacleKind::Hedge);
        match &o.shape {
            Shape::Area { outer, .. } if o.kind == ObstacleKind::ParkedAeroplane => {
                sheet.rings(&[spots(outer)], &area("#fff", "#222", THIN));
            }
            Shape::Area { outer, holes } => {
                let mut rings = vec![spots(outer)];
                rings.extend(holes.iter().map(|h| spots(h)));
                sheet.rings(&rings, &flat(if green { "#d0d0d0" } else { "#8e8e8e" }));
            }
            Shape::Line { points } => {
                let dash = if green { "stroke-dasharray=\"0.8 0.8\"" } else { "" };
                sheet.line(&spots(points), &stroke_with("#555", THIN, dash));
            }
            Shape::Disc { at, radius_m } if detail => {
                let r = (radius_m * view.scale).max(0.5);
                let ink = if green {
                    area("#d0d0d0", "#777", THIN)
                } else {
                    flat("#333")
                };
                sheet.circle(view.spot(*at), r, &ink);
            }
            Shape::Disc { .. } => {}
        }
    }
}
