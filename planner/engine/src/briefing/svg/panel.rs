//! Beside the chart: wind, north, scale, the list of legs, the key, and the whole field in small.

use super::list;
use super::scale::{arrow, scale_bar_in};
use super::sheet::{Sheet, Spot, Type, area, bold, plain, stroke, stroke_with};
use super::view::{Rect, View};
use super::way::WAY;
use crate::briefing::{Briefing, number};
use crate::planning::Plan;
use toeline_model::frame::Xy;
use toeline_model::math;
use toeline_model::units::DEG;

/// Draws the panel; `inset` holds what the small picture shows when the chart covers less than half of the field.
pub(crate) fn draw(sheet: &mut Sheet, on: &Rect, view: &View, plan: &Plan, told: &Briefing, inset: Option<&[Xy]>) {
    norths(sheet, (on.x + 11.0, on.y + 13.0), told.declination_deg);
    wind_rose(sheet, (on.x + 38.0, on.y + 13.0), plan);
    let unit = told.units;
    scale_bar_in(
        sheet,
        (on.x + 2.0, on.y + 32.0),
        view.scale * unit.unit_m(),
        on.width - 8.0,
        unit.length_unit(),
    );
    let inset_height = if inset.is_some() { 42.0 } else { 0.0 };
    let key_top = on.y + on.height - inset_height - 27.0;
    list::draw(sheet, on, on.y + 41.0, key_top - 2.0, told);
    key(sheet, (on.x, key_top));
    if let Some(way) = inset {
        let small = Rect {
            x: on.x,
            y: on.y + on.height - inset_height + 2.0,
            width: on.width,
            height: inset_height - 2.0,
        };
        whole_field(sheet, &small, view, plan, way);
    }
}

fn norths(sheet: &mut Sheet, (x, y): Spot, declination_deg: f64) {
    arrow(sheet, (x, y + 8.0), (x, y - 8.0), 0.6);
    sheet.text(
        (x, y - 9.0),
        &Type {
            anchor: "middle",
            ..bold(3.0)
        },
        "N",
    );
    // Magnetic north as a half arrow on its own side, never nearer than can be seen.
    let (s, c) = (math::sin(declination_deg * DEG), math::cos(declination_deg * DEG));
    sheet.line(
        &[(x, y + 8.0), (x + 15.0 * s, y + 8.0 - 15.0 * c)],
        &stroke_with("#111", 0.25, "stroke-dasharray=\"1 0.6\""),
    );
    let text = format!("mag {}", number::declination(declination_deg));
    sheet.text(
        (x, y + 11.5),
        &Type {
            anchor: "middle",
            ..plain(2.3)
        },
        &text,
    );
}

fn wind_rose(sheet: &mut Sheet, (x, y): Spot, plan: &Plan) {
    let shown = plan.request.wind.to_string();
    match plan.request.wind.from_true(plan.declination.deg) {
        Some(from) if plan.request.wind.speed_mps() > 0.0 => {
            let (s, c) = (math::sin(from.deg() * DEG), math::cos(from.deg() * DEG));
            sheet.circle((x, y), 8.6, &stroke("#999", 0.2));
            arrow(sheet, (x + 8.0 * s, y - 8.0 * c), (x - 8.0 * s, y + 8.0 * c), 1.1);
        }
        _ => sheet.circle((x, y), 8.6, &stroke_with("#555", 0.3, "stroke-dasharray=\"1 1\"")),
    }
    sheet.text(
        (x, y + 11.5),
        &Type {
            anchor: "middle",
            ..bold(2.5)
        },
        &format!("wind {shown}"),
    );
}

fn key(sheet: &mut Sheet, (x, y): Spot) {
    let (left, text, right) = (x + 1.0, x + 8.0, x + 28.0);
    let mut row = y;
    let say = |sheet: &mut Sheet, at: Spot, words: &str| sheet.text((at.0, at.1 + 0.8), &plain(2.2), words);
    sheet.line(&[(x, row), (x + 56.0, row)], &stroke("#999", 0.2));
    row += 4.0;
    sheet.line(&[(left, row), (left + 5.0, row)], &stroke(WAY, 0.85));
    say(sheet, (text, row), "nose wheel");
    sheet.rings(
        &[vec![
            (right, row - 1.2),
            (right + 5.0, row - 1.2),
            (right + 5.0, row + 1.2),
            (right, row + 1.2),
        ]],
        &super::sheet::Ink {
            fill: WAY,
            stroke: WAY,
            width: 0.2,
            more: "fill-opacity=\"0.15\" stroke-dasharray=\"1 0.6\"",
        },
    );
    say(sheet, (right + 7.0, row), "swept by the wings");
    row += 5.0;
    sheet.line(
        &[(left + 2.5, row - 1.6), (left + 2.5, row + 1.6)],
        &stroke("#111", 0.9),
    );
    say(sheet, (text, row), "stop, hold short");
    sheet.line(&[(right, row), (right + 5.0, row)], &stroke("#111", 0.45));
    for end in [right, right + 5.0] {
        sheet.line(&[(end, row - 0.8), (end, row + 0.8)], &stroke("#111", 0.35));
    }
    say(sheet, (right + 7.0, row), "least gap");
    row += 5.0;
    sheet.rings(
        &[vec![
            (left + 2.5, row - 1.5),
            (left + 4.0, row),
            (left + 2.5, row + 1.5),
            (left + 1.0, row),
        ]],
        &area("#fff", WAY, 0.5),
    );
    say(sheet, (text, row), "engine check");
    sheet.line(&[(right, row), (right + 5.0, row)], &stroke("#222", 0.2));
    sheet.line(
        &[(right, row), (right + 5.0, row)],
        &stroke_with("#222", 1.0, "stroke-dasharray=\"0.25 2\""),
    );
    say(sheet, (right + 7.0, row), "fence");
    row += 5.0;
    sheet.line(
        &[(left, row), (left + 5.0, row)],
        &stroke_with("#666", 0.3, "stroke-dasharray=\"1.2 1\""),
    );
    for (sx, sy) in [(1.0, 1.0), (1.0, -1.0)] {
        sheet.line(
            &[(left + 2.5 - sx, row - sy), (left + 2.5 + sx, row + sy)],
            &stroke("#111", 0.45),
        );
    }
    say(sheet, (text, row), "closed");
    sheet.circle((right + 2.5, row), 1.3, &area("#c3ccb2", "#66745a", 0.25));
    say(sheet, (right + 7.0, row), "tree");
}

fn whole_field(sheet: &mut Sheet, on: &Rect, main: &View, plan: &Plan, way: &[Xy]) {
    let field = &plan.field;
    let view = View::of(super::field::places(field), 30.0, *on);
    sheet.frame((on.x, on.y), on.width, on.height, &area("#fff", "#666", 0.25));
    for apron in &field.aprons {
        sheet.rings(&[view.spots(&apron.outer)], &area("#e4e1d8", "none", 0.0));
    }
    for lane in &field.lanes {
        sheet.line(&view.spots(&lane.line), &stroke("#9b988e", 0.3));
    }
    for runway in &field.runways {
        sheet.line(&view.spots(&runway.line), &stroke("#4c4a4f", 1.1));
    }
    sheet.line(&view.spots(way), &stroke(WAY, 0.6));
    let (lo, hi) = main.ground();
    let (a, b) = (view.spot(lo), view.spot(hi));
    // The chart may reach beyond the small picture; the frame of it is kept inside.
    let (x0, y0) = (a.0.max(on.x), b.1.max(on.y));
    let (x1, y1) = (b.0.min(on.x + on.width), a.1.min(on.y + on.height));
    sheet.frame((x0, y0), (x1 - x0).max(0.0), (y1 - y0).max(0.0), &stroke("#111", 0.4));
    sheet.text((on.x + 1.2, on.y + 3.2), &plain(2.2), "whole field");
}
