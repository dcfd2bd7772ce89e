//! The debrief as one self-contained page: nothing is fetched. Text, map and plots are there without scripts; the script
//! only moves the cursors, the aeroplane and the reading.

mod curves;
mod map;
mod progress;
mod table;

use super::plot::{caution, last_m, safe};
use super::text::{again, clock};
use super::{Debrief, Judged};
use crate::exercise::Came;
use crate::measures::Measure;
use serde_json::json;
use std::fmt::Write as _;
use toeline_engine::ground::Ground;
use toeline_model::Aircraft;
use toeline_model::units::{knots, round_to};

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
    stages(&mut out, d);
    let map = map::map(&mut out, d, others, aircraft);
    if let Some(credit) = d.attribution() {
        let _ = writeln!(out, "<p class=\"said\">Map data: {}</p>", safe(credit));
    }
    curves::plots(&mut out, d, others);
    replay(&mut out, d);
    progress::progress(&mut out, d);
    table::table(&mut out, d, others);
    let _ = writeln!(out, "<p class=\"said\">{}</p>", caution());
    let series = numbers(d, &map);
    // "<" cannot occur in numbers; nothing else is in it.
    let _ = writeln!(
        out,
        "<script type=\"application/json\" id=\"series\">{series}</script>\n<script>{}</script>\n</body>\n</html>",
        include_str!("page.js")
    );
    out
}

fn verdict(out: &mut String, d: &Debrief) {
    out.push_str("<section class=\"next\"><h2>Work on next</h2>\n");
    match d.work_on() {
        Some(m) => {
            let _ = writeln!(
                out,
                "<p><b>{}</b>: {}.</p>\n<p><b>Practise</b>: {}.</p>",
                safe(m.title),
                safe(&m.sentence),
                safe(m.practise)
            );
            if let Some(id) = m.exercise {
                let _ = writeln!(
                    out,
                    "<p><b>Exercise</b>: <code>toeline exercise drive {}</code></p>",
                    safe(id)
                );
            }
            places(out, m);
        }
        None => match d.stage_again() {
            Some(s) => {
                let _ = writeln!(out, "<p>{}</p>", safe(&again(s)));
            }
            None => out.push_str("<p>Nothing was found to work on in what this drive holds.</p>\n"),
        },
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

/// What came of the stages of an exercise, with the moment at which each ended, or a limit was first broken.
fn stages(out: &mut String, d: &Debrief) {
    if d.stages.is_empty() {
        return;
    }
    let button = |time_s: f64| {
        format!(
            "<button type=\"button\" data-time=\"{time_s:.2}\">{}</button>",
            clock(time_s)
        )
    };
    out.push_str("<h2>Stages of the exercise</h2>\n<ol>\n");
    for c in &d.stages {
        let _ = write!(out, "<li><b>{}</b>: {}", safe(&c.title), c.came.word());
        if let Some(time_s) = c.time_s {
            let _ = write!(out, " {}", button(time_s));
        }
        if c.came != Came::Done && !c.text.is_empty() {
            let _ = write!(out, ": {}", safe(&c.text));
        }
        for b in &c.broken {
            let _ = write!(out, "<br>{} {}", button(b.time_s), safe(&b.text));
        }
        out.push_str("</li>\n");
    }
    out.push_str("</ol>\n");
}

/// Places as buttons that put the cursors there.
fn places(out: &mut String, m: &Measure) {
    if m.spots.is_empty() {
        return;
    }
    out.push_str("<ol>\n");
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
    out.push_str("</ol>\n");
}

fn replay(out: &mut String, d: &Debrief) {
    let last = d.series.samples.len().saturating_sub(1);
    let _ = writeln!(
        out,
        "<div class=\"replay\"><label for=\"time\">Replay: drag, or use the arrow keys</label>\n<input type=\"range\" id=\"time\" min=\"0\" \
         max=\"{last}\" value=\"0\" step=\"1\">\n<button type=\"button\" id=\"play\">Play</button> <output id=\"reading\" \
         for=\"time\"></output></div>"
    );
}

fn numbers(d: &Debrief, ground: &Ground) -> String {
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
        "heading": column(&|k| s[k].heading_rad.bearing().deg(), 0),
        "indicator": s.iter().map(|s| Some(round_to(s.felt?.headings?.indicator_rad.to_degrees(), 0))).collect::<Vec<_>>(),
        "compass": s.iter().map(|s| Some(round_to(s.felt?.headings?.compass_rad.to_degrees(), 0))).collect::<Vec<_>>(),
    })
    .to_string()
}
