//! The driven line on the map, with the planned one, other drives and the aeroplane that the replay moves.

use super::super::Debrief;
use std::fmt::Write as _;
use toeline_engine::ground::{Ground, ground};
use toeline_model::{Aircraft, Xy, aircraft::parts};

/// Size of the map's sheet, mm.
const SHEET_MM: (f64, f64) = (240.0, 150.0);

fn line(out: &mut String, points: impl Iterator<Item = (f64, f64)>, look: &str) {
    let mut d = String::new();
    let mut last = (f64::NAN, f64::NAN);
    for (x, y) in points {
        let near = (x - last.0).abs() < 0.1 && (y - last.1).abs() < 0.1;
        if !near {
            let _ = write!(d, "{}{x:.2} {y:.2}", if d.is_empty() { 'M' } else { 'L' });
            last = (x, y);
        }
    }
    if !d.is_empty() {
        let _ = writeln!(out, "<path d=\"{d}\" fill=\"none\" {look}/>");
    }
}

/// A bar of a round length, 20 to 60 mm long where it can be.
fn scale_bar(out: &mut String, ground: &Ground) {
    let lengths = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0];
    let fits = lengths.into_iter().find(|m| m * ground.scale >= 20.0);
    let Some(length_m) = fits else { return };
    let (x, y, wide) = (4.0, ground.height_mm - 4.0, length_m * ground.scale);
    let _ = writeln!(
        out,
        "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"9\" fill=\"#fff\" fill-opacity=\"0.85\"/><path d=\"M{x} \
         {:.1}v1.5h{wide:.2}v-1.5\" fill=\"none\" stroke=\"#111\" stroke-width=\"0.5\"/><text x=\"{:.1}\" y=\"{:.1}\" \
         font-size=\"4.5\" fill=\"#111\">{length_m:.0} m</text>",
        x - 2.0,
        y - 6.5,
        wide + 4.0,
        y - 0.5,
        x + 1.0,
        y - 1.2,
    );
}

/// The places of what is to be worked on, numbered as in the list.
fn numbered(out: &mut String, d: &Debrief, spot: &dyn Fn(&Xy) -> (f64, f64)) {
    let Some(m) = d.work_on() else { return };
    for (k, s) in m.spots.iter().enumerate() {
        let samples = &d.series.samples;
        let after = samples.partition_point(|p| p.time_s < s.time_s - 1e-6);
        let Some(at) = samples.get(after).or(samples.last()) else {
            continue;
        };
        let (x, y) = spot(&at.nose);
        let _ = writeln!(
            out,
            "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"1\" fill=\"#111\"/><path d=\"M{x:.2} {y:.2}l4 -4\" stroke=\"#111\" \
             stroke-width=\"0.4\"/><circle cx=\"{:.2}\" cy=\"{:.2}\" r=\"3\" fill=\"#fff\" stroke=\"#111\" \
             stroke-width=\"0.6\"/><text x=\"{:.2}\" y=\"{:.2}\" font-size=\"4.5\" text-anchor=\"middle\" \
             fill=\"#111\">{}</text>",
            x + 6.0,
            y - 6.0,
            x + 6.0,
            y - 4.4,
            k + 1
        );
    }
}

pub(super) fn map(out: &mut String, d: &Debrief, others: &[Debrief], aircraft: &Aircraft) -> Ground {
    let driven: Vec<Xy> = d.series.samples.iter().map(|s| s.nose).collect();
    let shown: Vec<Xy> = driven.iter().chain(&d.planned_line).copied().collect();
    let ground = ground(d.field.as_ref(), &shown, 15.0, SHEET_MM);
    let spot = |p: &Xy| {
        (
            ground.origin_mm.0 + p.x * ground.scale,
            ground.origin_mm.1 - p.y * ground.scale,
        )
    };
    let _ = write!(
        out,
        "<h2>The driven line</h2>\n<p>Full line: the nose wheel as driven. Dashes: the planned way. Dots: another drive. Numbers: \
         places of what to work on. True north up.</p>\n<div class=\"map\" tabindex=\"0\" role=\"region\" aria-label=\"Map\"><svg viewBox=\"0 0 {:.0} {:.0}\" role=\"img\" aria-label=\"Map with the driven line\">\n{}",
        ground.width_mm, ground.height_mm, ground.markup
    );
    line(
        out,
        d.planned_line.iter().map(spot),
        "stroke=\"#fff\" stroke-width=\"1.6\" stroke-opacity=\"0.7\"",
    );
    line(
        out,
        driven.iter().map(spot),
        "stroke=\"#fff\" stroke-width=\"1.4\" stroke-opacity=\"0.7\"",
    );
    line(
        out,
        d.planned_line.iter().map(spot),
        "stroke=\"#111\" stroke-width=\"0.5\" stroke-dasharray=\"2.4 1.6\"",
    );
    for o in others {
        line(
            out,
            o.series.samples.iter().map(|s| spot(&s.nose)),
            "stroke=\"#111\" stroke-width=\"0.6\" stroke-dasharray=\"0.1 1.2\" stroke-linecap=\"round\"",
        );
    }
    line(out, driven.iter().map(spot), "stroke=\"#111\" stroke-width=\"0.7\"");
    numbered(out, d, &spot);
    scale_bar(out, &ground);
    out.push_str("<g id=\"plane\">");
    for part in parts::parts(aircraft) {
        let corners = part.outline.iter().map(|q| {
            let (x, y) = ((q.x - aircraft.gear.wheelbase_m) * ground.scale, -q.y * ground.scale);
            format!("{x:.2},{y:.2}")
        });
        let corners: Vec<String> = corners.collect();
        let _ = write!(
            out,
            "<polygon points=\"{}\" fill=\"#fff\" stroke=\"#111\" stroke-width=\"0.25\"/>",
            corners.join(" ")
        );
    }
    out.push_str("</g>\n</svg></div>\n");
    ground
}
