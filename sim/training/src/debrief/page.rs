//! The debrief as one self-contained page: nothing is fetched. Text, map and plots are there without scripts; the script
//! only moves the cursors, the aeroplane and the reading.

use super::plot::{Line, caution, last_m, plot, safe};
use super::text::clock;
use super::{Debrief, Judged};
use crate::measures::{Measure, Source};
use serde_json::json;
use std::fmt::Write as _;
use toeline_model::units::{knots, round_to};
use toeline_model::{Aircraft, Xy, aircraft::parts};

/// Size of the map's sheet, mm.
const SHEET_MM: (f64, f64) = (240.0, 150.0);

/// Writes the page of a debrief, with other drives beside it. `aircraft` is what drove.
pub fn page(d: &Debrief, others: &[Debrief], aircraft: &Aircraft) -> String {
    let title = safe(&format!("Debrief: {}", d.name));
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" \
         content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n<style>{}</style>\n</head>\n<body>\n<h1>{title}</h1>\n\
         <p>{}, {} min, {:.0} m rolled.</p>\n",
        include_str!("page.css"),
        safe(&d.aircraft),
        clock(d.time_s),
        d.rolled_m
    );
    verdict(&mut out, d);
    let map = map(&mut out, d, others, aircraft);
    plots(&mut out, d, others);
    replay(&mut out, d);
    table(&mut out, d, others);
    let _ = write!(out, "<p class=\"said\">{}</p>\n", caution());
    let series = numbers(d, &map);
    // "<" cannot occur in numbers; nothing else is in it.
    let _ = write!(
        out,
        "<script type=\"application/json\" id=\"series\">{series}</script>\n<script>{}</script>\n</body>\n</html>\n",
        include_str!("page.js")
    );
    out
}

fn verdict(out: &mut String, d: &Debrief) {
    out.push_str("<section class=\"next\"><h2>Work on next</h2>\n");
    match d.work_on() {
        Some(m) => {
            let _ = write!(
                out,
                "<p><b>{}</b>: {}.</p>\n<p><b>Practise</b>: {}.</p>\n",
                safe(m.title),
                safe(&m.sentence),
                safe(m.practise)
            );
            places(out, m);
        }
        None => out.push_str("<p>Nothing was found to work on in what this drive holds.</p>\n"),
    }
    out.push_str("</section>\n<h2>What was good</h2>\n<ul>\n");
    for m in d.judged(Judged::Good) {
        let _ = writeln!(out, "<li><b>{}</b>: {}</li>", safe(m.title), safe(&m.sentence));
    }
    out.push_str("</ul>\n");
    if !d.left_out.is_empty() {
        out.push_str("<h2>Left out</h2>\n<ul>\n");
        for left in &d.left_out {
            let _ = writeln!(out, "<li>{}</li>", safe(left));
        }
        out.push_str("</ul>\n");
    }
}

/// Places as buttons that put the cursors there.
fn places(out: &mut String, m: &Measure) {
    if m.spots.is_empty() {
        return;
    }
    out.push_str("<ul>\n");
    for s in &m.spots {
        let _ = writeln!(
            out,
            "<li><button type=\"button\" data-time=\"{:.2}\">{}</button> {:.0} m along: {}</li>",
            s.time_s,
            clock(s.time_s),
            s.way_m,
            safe(&s.text)
        );
    }
    out.push_str("</ul>\n");
}

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

fn map(out: &mut String, d: &Debrief, others: &[Debrief], aircraft: &Aircraft) -> toeline_engine::ground::Ground {
    let driven: Vec<Xy> = d.series.samples.iter().map(|s| s.nose).collect();
    let shown: Vec<Xy> = driven.iter().chain(&d.planned_line).copied().collect();
    let ground = toeline_engine::ground::ground(d.field.as_ref(), &shown, 15.0, SHEET_MM);
    let spot = |p: &Xy| {
        (
            ground.origin_mm.0 + p.x * ground.scale,
            ground.origin_mm.1 - p.y * ground.scale,
        )
    };
    let _ = write!(
        out,
        "<h2>The driven line</h2>\n<p>Full line: the nose wheel as driven. Dashes: the planned way. Dots: another drive. True north \
         up.</p>\n<div class=\"map\"><svg viewBox=\"0 0 {:.0} {:.0}\" role=\"img\" aria-label=\"Map with the driven line\">\n{}",
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

fn plots(out: &mut String, d: &Debrief, others: &[Debrief]) {
    let s = &d.series.samples;
    let ways: Vec<f64> = s.iter().map(|s| s.way_m).collect();
    let last = last_m(d);
    let of = |what, dash, f: &dyn Fn(usize) -> Option<f64>| Line {
        what,
        dash,
        values: (0..s.len()).map(f).collect(),
    };
    let _ = write!(out, "<h2>Along the way, 0 to {last:.0} m</h2>\n");
    // Another drive at the same ways: the nearest sample before each.
    let beside = |f: &dyn Fn(&Debrief, usize) -> Option<f64>| -> Vec<Option<f64>> {
        let Some(o) = others.first() else {
            return vec![None; s.len()];
        };
        let there: Vec<f64> = o.series.samples.iter().map(|s| s.way_m).collect();
        ways.iter()
            .map(|w| {
                let k = there.partition_point(|t| t <= w);
                if k == 0 || k >= there.len() { None } else { f(o, k - 1) }
            })
            .collect()
    };
    let mut deviation = vec![of("full line: this drive", "", &|k| s[k].offset_m)];
    let mut speed = vec![of("full line: this drive", "", &|k| Some(knots(s[k].speed_mps)))];
    speed.push(of("dashes: meant for the lane", "8 5", &|k| {
        d.intended_mps.get(k).map(|v| knots(*v))
    }));
    if !others.is_empty() {
        deviation.push(Line {
            what: "dots: the other drive",
            dash: "1 4",
            values: beside(&|o, k| o.series.samples[k].offset_m),
        });
        speed.push(Line {
            what: "dots: the other drive",
            dash: "1 4",
            values: beside(&|o, k| Some(knots(o.series.samples[k].speed_mps))),
        });
    }
    plot(
        out,
        "Nose wheel off the line",
        "m, left up",
        &ways,
        last,
        &deviation,
        true,
    );
    plot(out, "Speed", "kt", &ways, last, &speed, false);
    let soles = [of("right pedal up", "", &|k| Some(100.0 * s[k].controls.rudder))];
    plot(out, "Soles", "per cent", &ways, last, &soles, true);
    let brakes = [
        of("full line: left", "", &|k| Some(100.0 * s[k].controls.brakes()[0])),
        of("dashes: right", "8 5", &|k| Some(100.0 * s[k].controls.brakes()[1])),
        of("dots: throttle", "1 4", &|k| Some(100.0 * s[k].controls.throttle)),
    ];
    plot(out, "Brakes and throttle", "per cent", &ways, last, &brakes, false);
    let gap = [of("nearest thing within 20 m", "", &|k| {
        d.gaps.get(k).copied().flatten()
    })];
    plot(out, "Gap", "m", &ways, last, &gap, false);
}

fn replay(out: &mut String, d: &Debrief) {
    let last = d.series.samples.len().saturating_sub(1);
    let _ = write!(
        out,
        "<div class=\"replay\"><label for=\"time\">Replay: drag, or use the arrow keys</label>\n<input type=\"range\" id=\"time\" min=\"0\" \
         max=\"{last}\" value=\"0\" step=\"1\">\n<button type=\"button\" id=\"play\">Play</button> <output id=\"reading\" \
         for=\"time\"></output></div>\n"
    );
}

fn word(j: Judged) -> &'static str {
    match j {
        Judged::Good => "good",
        Judged::Told => "told",
        Judged::WorkOn => "WORK ON",
        Judged::LeftOut => "left out",
        Judged::NotRecorded => "not recorded",
    }
}

fn table(out: &mut String, d: &Debrief, others: &[Debrief]) {
    out.push_str("<h2>Every measure</h2>\n<div class=\"wide\"><table>\n<thead><tr><th scope=\"col\">What</th><th scope=\"col\"></th><th \
                  scope=\"col\">Seen</th><th scope=\"col\">Judged by</th>");
    for o in others {
        let _ = write!(out, "<th scope=\"col\">{}</th>", safe(&o.name));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for m in &d.measures {
        let whose = match m.source {
            Source::Published => "published",
            Source::Common => "common practice",
            Source::Ours => "ours",
        };
        let _ = write!(
            out,
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{whose}: {}</td>",
            safe(m.title),
            word(m.judged),
            safe(&m.sentence),
            safe(m.reference)
        );
        for o in others {
            let beside = o
                .measures
                .iter()
                .find(|x| x.key == m.key)
                .map_or("", |x| x.sentence.as_str());
            let _ = write!(out, "<td>{}</td>", safe(beside));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table></div>\n");
}

fn numbers(d: &Debrief, ground: &toeline_engine::ground::Ground) -> String {
    let s = &d.series.samples;
    let column = |f: &dyn Fn(usize) -> f64, decimals: usize| -> Vec<f64> {
        (0..s.len()).map(|k| round_to(f(k), decimals)).collect()
    };
    json!({
        "last": last_m(d),
        "scale": ground.scale,
        "ox": ground.origin_mm.0,
        "oy": ground.origin_mm.1,
        "time": column(&|k| s[k].time_s, 2),
        "way": column(&|k| s[k].way_m, 2),
        "x": column(&|k| s[k].nose.x, 2),
        "y": column(&|k| s[k].nose.y, 2),
        "yaw": column(&|k| s[k].heading_rad.rad().to_degrees(), 1),
        "kt": column(&|k| knots(s[k].speed_mps), 1),
        "off": s.iter().map(|s| s.offset_m.map(|o| round_to(o, 2))).collect::<Vec<_>>(),
        "gap": d.gaps.iter().map(|g| g.map(|g| round_to(g, 1))).collect::<Vec<_>>(),
        "rudder": column(&|k| s[k].controls.rudder, 2),
        "left": column(&|k| s[k].controls.brakes()[0], 2),
        "right": column(&|k| s[k].controls.brakes()[1], 2),
        "throttle": column(&|k| s[k].controls.throttle, 2),
    })
    .to_string()
}
